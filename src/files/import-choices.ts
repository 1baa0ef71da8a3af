import type { DecimalSign } from './number-text.ts';
import type { Unit } from './units-of-measure.ts';

/** What the person who imports has said about the table. Fields are named as in the drafts (`xM`, `wllKg` …). */
export type ImportChoices = {
  /** Column index of a field, or null to leave the field out. Goes before what the headings say. */
  columns?: Readonly<Record<string, number | null>>;
  /** Unit of the numbers of a field that carry none of their own. Goes before the heading's. */
  units?: Readonly<Record<string, Unit>>;
  /** Of the whole table. */
  decimalSign?: DecimalSign;
  /** By the id of the question. */
  answers?: Readonly<Record<string, string>>;
};

export type ChoiceError =
  | { code: 'import-field-unknown'; field: string; fields: readonly string[] }
  | { code: 'import-column-missing'; field: string; columnIndex: number }
  | { code: 'import-column-chosen-twice'; columnIndex: number; fields: readonly string[] }
  | { code: 'import-unit-does-not-fit'; field: string; unit: string; units: readonly Unit[] }
  | { code: 'import-answer-not-offered'; questionId: string; answer: string; offered: readonly string[] };

type QuestionCode =
  | 'which-column'
  | 'is-this-the-column'
  | 'decimal-sign'
  | 'unit'
  | 'which-ton'
  | 'date-order'
  | 'angle-from'
  | 'value-meaning'
  | 'same-item';

/** One way to answer, and what the sample cell would then say. */
export type Alternative = { answer: string; readsAs: string };
export type Ask = { id: string; code: QuestionCode; alternatives: readonly Alternative[] };
/** Asked once, however many cells wait for it. */
export type Question = Ask & {
  field: string;
  letter: string;
  heading: string;
  sample: { rowNumber: number; cellText: string } | null;
  rowCount: number;
};

/** Looks answers up and keeps those that were never on offer, so that a misspelt one is refused and not passed over. */
export class Answers {
  readonly #given: ReadonlyMap<string, string>;
  readonly #refused = new Map<string, ChoiceError>();

  constructor(choices: ImportChoices) {
    this.#given = new Map(Object.entries(choices.answers ?? {}));
  }

  /** The answer as one of those offered, or null when not answered. */
  get<A extends string>(questionId: string, offered: readonly A[]): A | null {
    const answer = this.#given.get(questionId);
    if (answer === undefined) return null;
    const found = offered.find((each) => each === answer);
    if (found === undefined) this.#refused.set(questionId, { code: 'import-answer-not-offered', questionId, answer, offered });
    return found ?? null;
  }

  get refused(): ChoiceError | null {
    return this.#refused.values().next().value ?? null;
  }
}
