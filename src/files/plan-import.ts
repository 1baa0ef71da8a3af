import { faultOf, type Fault } from './cell-fault.ts';
import { fail, ok, type Result } from '../domain/foundation/result.ts';
import { columnReader, type ColumnReader } from './column-reader.ts';
import { headingKey } from './headings.ts';
import { Answers, type Ask, type ImportChoices, type Question } from './import-choices.ts';
import type { DraftValue } from './field-spec.ts';
import { KINDS, type Drafts, type ImportKind } from './import-fields.ts';
import type { Change, ImportPlan, Outcome, PlanError, RowNote, RowPlan } from './import-plan.ts';
import type { Mapping } from './map-columns.ts';
import { grouped, labelKey, labelMatcher, nearKey } from './match-labels.ts';
import { readCell } from './read-cell.ts';
import type { Row, Table } from './table.ts';

export type Existing<D> = D & { id: string };
/** A row read by itself, before it is compared with the others and with what is known. */
type ReadRow = {
  row: Row;
  label: string | null;
  values: Map<string, DraftValue>;
  faults: Fault[];
  asks: Map<string, Ask>;
  notes: RowNote[];
};
/** The known item that a row names, and the earlier row that it was said to repeat. */
type Target = { id: string | null; repeats: ReadRow | null };
type Candidate<D> = { read: ReadRow; label: string; target: string | null; draft: D };

/** Relative: the same text read twice gives the same double, and a store may lose the last digit on the way. */
const SAME_NUMBER = 1e-12;
const TOTALS = new Set(['total', 'totals', 'sum', 'grand total', 'summe', 'gesamt', 'gesamtlast', 'somme', 'totaal', 'suma']);
const NEW = 'new';
const SAME_AS_ROW = 'same-as-row';

/**
 * The dry run of an import: what would happen to each row, and what must be answered first. Writes nothing and decides nothing
 * that is doubtful. One bad row leaves the others as they are.
 */
export function planImport<K extends ImportKind>(input: {
  kind: K;
  table: Table;
  mapping: Mapping;
  existing: readonly Existing<Drafts[K]>[];
  choices?: ImportChoices;
}): Result<ImportPlan<Drafts[K]>, PlanError> {
  const { kind, table, mapping, existing, choices = {} } = input;
  const spec = KINDS[kind];
  const answers = new Answers(choices);
  const readers = mapping.columns.flatMap((column) => {
    const field = spec.fields.find((each) => each.field === column.field);
    return field ? [columnReader(field, column, choices, answers)] : [];
  });
  const labelIsOpen = mapping.questions.some((each) => each.field === 'label');
  if (!labelIsOpen && !readers.some((each) => each.spec.field === 'label')) {
    return fail({ code: 'import-label-column-missing', headings: table.columns.map((each) => each.heading), wanted: spec.wanted });
  }
  const reads = table.rows.map((row) => readRow(row, table, mapping, readers, labelIsOpen));
  const known = existing.map((each) => ({ id: each.id, label: each.label }));
  const targets = targetsOf(reads, known, answers);
  if (answers.refused) return fail(answers.refused);

  const byId = new Map(existing.map((each) => [each.id, each]));
  const candidates = new Map<ReadRow, Candidate<Drafts[K]>>();
  for (const read of reads) {
    if (read.label === null || read.faults.length > 0 || read.asks.size > 0) continue;
    const target = targets.get(read)?.id ?? null;
    const draft = spec.draft(read.label, read.values, target === null ? null : (byId.get(target) ?? null));
    const missing = spec.missing(draft);
    if (missing.length > 0) read.faults.push(rowFault('position-missing', read.label, missing.join(', ')));
    else candidates.set(read, { read, label: read.label, target, draft });
  }
  const duplicates = duplicatesAmong(reads, candidates, targets);
  const rows = reads.map((read): RowPlan<Drafts[K]> => {
    const common = { rowNumber: read.row.rowNumber, label: read.label, notes: read.notes };
    const duplicate = duplicates.get(read);
    const candidate = candidates.get(read);
    if (read.faults.length > 0) return { ...common, outcome: 'refused', faults: read.faults };
    if (duplicate) return { ...common, outcome: 'duplicate', ...duplicate };
    if (candidate === undefined) return { ...common, outcome: 'question', questionIds: [...read.asks.keys()] };
    const old = candidate.target === null ? undefined : byId.get(candidate.target);
    if (old === undefined) return { ...common, outcome: 'add', draft: candidate.draft };
    const changes = changesBetween(old, candidate.draft, spec.fields);
    if (changes.length === 0) return { ...common, outcome: 'same', id: old.id };
    return { ...common, outcome: 'change', id: old.id, changes, draft: candidate.draft };
  });
  const notInFile = namedByNoRow(known, reads, targets);
  return ok({ kind, rows, questions: questionsOf(reads, mapping, readers), notInFile, counts: countsOf(rows, notInFile.length) });
}

const rowFault = (code: Fault['code'], cellText: string, detail = ''): Fault =>
  faultOf(code, { field: null, letter: null, heading: null, cellText }, detail);

function readRow(row: Row, table: Table, mapping: Mapping, readers: readonly ColumnReader[], labelIsOpen: boolean): ReadRow {
  const read: ReadRow = {
    row,
    label: null,
    values: new Map(),
    faults: [],
    asks: new Map(),
    notes: row.hidden ? [{ code: 'hidden-row' }] : [],
  };
  const afterLast = (table.columns.at(-1)?.columnIndex ?? -1) + 1;
  const extra = table.format === 'csv' ? row.cells.slice(afterLast).find((cell) => cell !== null) : undefined;
  if (extra) read.faults.push(rowFault('more-cells-than-headings', extra.shown));
  for (const question of mapping.questions) {
    const waits = question.field === 'label' || question.columnIndexes.some((index) => (row.cells[index] ?? null) !== null);
    if (waits) read.asks.set(question.id, question);
  }
  for (const reader of readers) {
    const cell = row.cells[reader.column.columnIndex] ?? null;
    const { letter, heading } = reader.column;
    const reading = readCell(cell, reader);
    const formula = cell?.formula ?? null;
    if (formula !== null)
      read.notes.push({ code: 'formula', letter, heading, formula: formula.slice(0, 200), cellText: cell?.shown ?? '' });
    if (reading.is === 'fault') read.faults.push(reading.fault);
    else if (reading.is === 'asks') for (const ask of reading.asks) read.asks.set(ask.id, ask);
    else if (reader.spec.field === 'label') labelInto(read, reading.value, heading);
    else {
      read.values.set(reader.spec.field, reading.value);
      if (reading.saidUnknown) read.notes.push({ code: 'said-unknown', letter, heading, cellText: cell?.shown ?? '' });
    }
  }
  const labelIsFaulty = read.faults.some((each) => each.field === 'label');
  if (read.label === null && !labelIsOpen && !labelIsFaulty) read.faults.push(rowFault('label-missing', ''));
  return read;
}

function labelInto(read: ReadRow, value: DraftValue, heading: string): void {
  if (typeof value !== 'string') return;
  read.label = value;
  if (headingKey(value) === headingKey(heading)) read.faults.push(rowFault('heading-again', value));
  else if (TOTALS.has(headingKey(value))) read.faults.push(rowFault('totals-row', value));
}

/** Which known item each labelled row names. Where that is not certain the row gets a question, or follows its answer. */
function targetsOf(reads: readonly ReadRow[], existing: readonly { id: string; label: string }[], answers: Answers): Map<ReadRow, Target> {
  const match = labelMatcher(existing);
  const firstByNearKey = new Map<string, ReadRow>();
  const targets = new Map<ReadRow, Target>();
  for (const read of reads) {
    if (read.label === null) continue;
    const key = labelKey(read.label);
    const found = match(read.label);
    const near = nearKey(read.label);
    const earlier = near === '' ? undefined : firstByNearKey.get(near);
    if (earlier === undefined) firstByNearKey.set(near, read);
    const looksLikeEarlier = earlier !== undefined && labelKey(earlier.label ?? '') !== key && found.is !== 'known';
    if (found.is === 'known') targets.set(read, { id: found.id, repeats: null });
    if (found.is === 'known' || (found.is === 'new' && !looksLikeEarlier)) continue;
    const known = found.is === 'unsure' ? found.candidates : [];
    const id = `label:${key}`;
    const alternatives = [
      ...known.map((each) => ({ answer: each.id, readsAs: `the same as ${each.label}` })),
      { answer: NEW, readsAs: 'another one, not known yet' },
      ...(looksLikeEarlier ? [{ answer: SAME_AS_ROW, readsAs: `the same as row ${earlier.row.rowNumber}, ${earlier.label ?? ''}` }] : []),
    ];
    const answer = answers.get(
      id,
      alternatives.map((each) => each.answer),
    );
    if (answer === null) read.asks.set(id, { id, code: 'same-item', alternatives });
    else if (answer === SAME_AS_ROW && earlier) targets.set(read, { id: targets.get(earlier)?.id ?? null, repeats: earlier });
    else if (answer !== NEW) targets.set(read, { id: answer, repeats: null });
  }
  return targets;
}

/**
 * Rows that name one item more than once. Copies of the first are harmless. Where any of them differs, or could not be read, no
 * row of the group can be trusted: taking the first could take the higher rating of two.
 */
function duplicatesAmong<D>(
  reads: readonly ReadRow[],
  candidates: ReadonlyMap<ReadRow, Candidate<D>>,
  targets: ReadonlyMap<ReadRow, Target>,
): Map<ReadRow, { ofRowNumber: number; differs: readonly string[] }> {
  const duplicates = new Map<ReadRow, { ofRowNumber: number; differs: readonly string[] }>();
  const labelled = reads.filter((read) => read.label !== null);
  const identity = (read: ReadRow): string => {
    const target = targets.get(read);
    return target?.id ?? `label:${labelKey(target?.repeats?.label ?? read.label ?? '')}`;
  };
  for (const group of grouped(labelled, identity).values()) {
    const [first] = group;
    if (first === undefined || group.length === 1) continue;
    const differs = new Set(group.flatMap((read) => differingFields(first, read, candidates)));
    for (const read of group) {
      if (!candidates.has(read) || (differs.size === 0 && read === first)) continue;
      const other = read === first ? group[1] : first;
      duplicates.set(read, { ofRowNumber: other?.row.rowNumber ?? 0, differs: [...differs] });
    }
  }
  return duplicates;
}

function differingFields<D>(first: ReadRow, other: ReadRow, candidates: ReadonlyMap<ReadRow, Candidate<D>>): string[] {
  if (!candidates.has(first) || !candidates.has(other)) return ['label'];
  const fields = [...new Set([...first.values.keys(), ...other.values.keys()])];
  return fields.filter((field) => !sameValue(first.values.get(field) ?? null, other.values.get(field) ?? null));
}

function changesBetween<D extends Record<string, DraftValue>>(old: D, draft: D, fields: readonly { field: keyof D & string }[]): Change[] {
  return fields.flatMap(({ field }) => {
    const change = { field, old: old[field] ?? null, new: draft[field] ?? null };
    return sameValue(change.old, change.new) ? [] : [change];
  });
}

function sameValue(one: DraftValue, other: DraftValue): boolean {
  if (typeof one !== 'number' || typeof other !== 'number') return one === other;
  return Math.abs(one - other) <= SAME_NUMBER * Math.max(Math.abs(one), Math.abs(other));
}

function namedByNoRow(
  existing: readonly { id: string; label: string }[],
  reads: readonly ReadRow[],
  targets: ReadonlyMap<ReadRow, Target>,
): { id: string; label: string }[] {
  const named = new Set<string>();
  for (const read of reads) {
    const id = targets.get(read)?.id ?? null;
    if (id !== null) named.add(id);
    // A row that still asks which item it names may name any of those on offer.
    for (const ask of read.asks.values()) if (ask.code === 'same-item') for (const each of ask.alternatives) named.add(each.answer);
  }
  return existing.filter((each) => !named.has(each.id)).map(({ id, label }) => ({ id, label }));
}

function questionsOf(reads: readonly ReadRow[], mapping: Mapping, readers: readonly ColumnReader[]): Question[] {
  const questions = new Map<string, Question>(mapping.questions.map(({ columnIndexes: _, ...question }) => [question.id, question]));
  for (const { row, asks } of reads) {
    for (const ask of asks.values()) {
      const known = questions.get(ask.id);
      if (mapping.questions.some((each) => each.id === ask.id)) continue;
      if (known) {
        questions.set(ask.id, { ...known, rowCount: known.rowCount + 1 });
        continue;
      }
      const field = ask.id.slice(0, ask.id.indexOf(':'));
      const column = readers.find((each) => each.spec.field === field)?.column;
      const cellText = column ? (row.cells[column.columnIndex]?.shown ?? '') : '';
      questions.set(ask.id, {
        ...ask,
        field,
        letter: column?.letter ?? '',
        heading: column?.heading ?? '',
        sample: { rowNumber: row.rowNumber, cellText },
        rowCount: 1,
      });
    }
  }
  return [...questions.values()];
}

function countsOf(rows: readonly { outcome: Outcome }[], notInFile: number): Record<Outcome | 'notInFile', number> {
  const counts = { add: 0, change: 0, same: 0, duplicate: 0, refused: 0, question: 0, notInFile };
  for (const { outcome } of rows) counts[outcome] += 1;
  return counts;
}
