import type { Fault } from './cell-fault.ts';
import type { ChoiceError, Question } from './import-choices.ts';
import type { DraftValue } from './field-spec.ts';
import type { ImportKind } from './import-fields.ts';

/** What the reader should know about a row that is taken. */
export type RowNote =
  | { code: 'formula'; letter: string; heading: string; formula: string; cellText: string }
  | { code: 'said-unknown'; letter: string; heading: string; cellText: string }
  | { code: 'hidden-row' };

export type Change = { field: string; old: DraftValue; new: DraftValue };

/** What will happen to one row of the table. `draft` is the whole item as it will then be, in SI. */
export type RowPlan<D> = { rowNumber: number; label: string | null; notes: readonly RowNote[] } & (
  | { outcome: 'add'; draft: D }
  | { outcome: 'change'; id: string; changes: readonly Change[]; draft: D }
  | { outcome: 'same'; id: string }
  /** `differs` empty: a copy of the row named, which is taken. Else the two contradict each other and neither is taken. */
  | { outcome: 'duplicate'; ofRowNumber: number; differs: readonly string[] }
  | { outcome: 'refused'; faults: readonly Fault[] }
  | { outcome: 'question'; questionIds: readonly string[] }
);
export type Outcome = RowPlan<unknown>['outcome'];

export type ImportPlan<D> = {
  kind: ImportKind;
  rows: readonly RowPlan<D>[];
  questions: readonly Question[];
  /** Known, and named by no row. They stay as they are: an import never deletes. */
  notInFile: readonly { id: string; label: string }[];
  counts: Readonly<Record<Outcome | 'notInFile', number>>;
};

export type PlanError = ChoiceError | { code: 'import-label-column-missing'; headings: readonly string[]; wanted: string };
