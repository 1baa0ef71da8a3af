import { fail, ok, type Result } from '../domain/foundation/result.ts';
import { matchHeading, measures, unitOfHeading, type HeadingMatch } from './headings.ts';
import { Answers, type ChoiceError, type ImportChoices, type Question } from './import-choices.ts';
import type { FieldSpec } from './field-spec.ts';
import { KINDS, type ImportKind } from './import-fields.ts';
import type { Column, Table } from './table.ts';
import { UNITS_OF, type UnitWord } from './units-of-measure.ts';

export type MappedColumn = { field: string; column: Column; unit: UnitWord | null; unitSaidBy: 'heading' | 'choice' | null };
export type Mapping = {
  kind: ImportKind;
  columns: readonly MappedColumn[];
  /** Asked because two columns claim one field, or a heading may mean something else. Until answered that field is not read. */
  questions: readonly (Question & { columnIndexes: readonly number[] })[];
  unused: readonly Column[];
  fieldsNotFound: readonly string[];
};
type Claim = { column: Column; match: HeadingMatch };

const NO_COLUMN = 'none';

/** Which column holds which field, from headings in the trade's words and from what the caller chose. Nothing doubtful is taken. */
export function mapColumns(table: Table, kind: ImportKind, choices: ImportChoices = {}): Result<Mapping, ChoiceError> {
  const fields: readonly FieldSpec[] = KINDS[kind].fields;
  const answers = new Answers(choices);
  const bad = badChoice(table, fields, choices);
  if (bad) return fail(bad);
  const claims = claimsOf(table, kind, choices);
  const columns: MappedColumn[] = [];
  const questions: Mapping['questions'][number][] = [];
  const fieldsNotFound: string[] = [];
  for (const spec of fields) {
    const chosen = choices.columns?.[spec.field];
    const candidates = claims.get(spec.field) ?? [];
    const sure = candidates.filter((each) => each.match.sure);
    const open = sure.length > 0 ? sure : candidates;
    let column: Column | null = null;
    if (chosen !== undefined) column = table.columns.find((each) => each.columnIndex === chosen) ?? null;
    else if (sure.length === 1) column = sure[0]?.column ?? null;
    else if (open.length > 0) {
      const id = `${spec.field}:column`;
      const letters = open.map((each) => each.column.letter);
      const answer = answers.get(id, [...letters, NO_COLUMN]);
      if (answer === null) questions.push(columnQuestion(table, id, spec, open, sure.length > 1));
      column = open.find((each) => each.column.letter === answer)?.column ?? null;
    }
    if (column === null) fieldsNotFound.push(spec.field);
    else columns.push(mapped(spec, column, choices, answers));
  }
  if (answers.refused) return fail(answers.refused);
  const asked = new Set(questions.flatMap((each) => each.columnIndexes));
  const used = new Set(columns.map((each) => each.column.columnIndex));
  const unused = table.columns.filter(({ columnIndex }) => !used.has(columnIndex) && !asked.has(columnIndex));
  return ok({ kind, columns, questions, unused, fieldsNotFound });
}

function claimsOf(table: Table, kind: ImportKind, choices: ImportChoices): Map<string, Claim[]> {
  const taken = new Set(Object.values(choices.columns ?? {}));
  const claims = new Map<string, Claim[]>();
  for (const column of table.columns) {
    if (taken.has(column.columnIndex)) continue;
    const match = matchHeading(kind, column.heading, column.unitText);
    if (match) claims.set(match.field, [...(claims.get(match.field) ?? []), { column, match }]);
  }
  return claims;
}

function mapped(spec: FieldSpec, column: Column, choices: ImportChoices, answers: Answers): MappedColumn {
  const common = { field: spec.field, column };
  if (spec.is !== 'number') return { ...common, unit: null, unitSaidBy: null };
  const chosen = choices.units?.[spec.field] ?? answers.get(`${spec.field}:unit`, UNITS_OF[spec.quantity]);
  if (chosen) return { ...common, unit: chosen, unitSaidBy: 'choice' };
  const said = unitOfHeading(column.heading, column.unitText, spec);
  return { ...common, unit: said, unitSaidBy: said === null ? null : 'heading' };
}

function columnQuestion(table: Table, id: string, spec: FieldSpec, open: readonly Claim[], several: boolean): Mapping['questions'][number] {
  const [first] = open;
  const alternatives = open.map(({ column }) => ({
    answer: column.letter,
    readsAs: `${column.heading}: ${sampleOf(table, column)?.cellText ?? ''}`,
  }));
  return {
    id,
    code: several ? 'which-column' : 'is-this-the-column',
    field: spec.field,
    letter: first?.column.letter ?? '',
    heading: first?.column.heading ?? '',
    sample: first ? sampleOf(table, first.column) : null,
    alternatives: [...alternatives, { answer: NO_COLUMN, readsAs: 'not in this table' }],
    columnIndexes: open.map(({ column }) => column.columnIndex),
    rowCount: table.rows.filter((row) => open.some(({ column }) => (row.cells[column.columnIndex] ?? null) !== null)).length,
  };
}

function sampleOf(table: Table, { columnIndex }: Column): Question['sample'] {
  const row = table.rows.find((each) => (each.cells[columnIndex] ?? null) !== null);
  return row ? { rowNumber: row.rowNumber, cellText: row.cells[columnIndex]?.shown ?? '' } : null;
}

function badChoice(table: Table, fields: readonly FieldSpec[], choices: ImportChoices): ChoiceError | null {
  const names = fields.map((each) => each.field);
  for (const field of [...Object.keys(choices.columns ?? {}), ...Object.keys(choices.units ?? {})]) {
    if (!names.includes(field)) return { code: 'import-field-unknown', field, fields: names };
  }
  const fieldsOfColumn = new Map<number, string[]>();
  for (const [field, columnIndex] of Object.entries(choices.columns ?? {})) {
    if (columnIndex === null) continue;
    if (!table.columns.some((each) => each.columnIndex === columnIndex)) return { code: 'import-column-missing', field, columnIndex };
    fieldsOfColumn.set(columnIndex, [...(fieldsOfColumn.get(columnIndex) ?? []), field]);
  }
  for (const [columnIndex, claimed] of fieldsOfColumn) {
    if (claimed.length > 1) return { code: 'import-column-chosen-twice', columnIndex, fields: claimed };
  }
  for (const spec of fields) {
    const unit = choices.units?.[spec.field];
    if (unit === undefined || measures(spec, unit)) continue;
    return { code: 'import-unit-does-not-fit', field: spec.field, unit, units: spec.is === 'number' ? UNITS_OF[spec.quantity] : [] };
  }
  return null;
}
