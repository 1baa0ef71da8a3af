import type { Fault } from '../../files/cell-fault.ts';
import type { Change, ImportPlan, RowNote, RowPlan } from '../../files/import-plan.ts';
import type { DraftValue } from '../../files/field-spec.ts';
import type { Mapping } from '../../files/map-columns.ts';
import type { Table } from '../../files/table.ts';
import type { ItemChange } from '../../store/register/structure.ts';

/** What is wrong with a row, found in the file or when it is laid beside the working copy. */
export type RowFault = Omit<Fault, 'code'> & { code: string };
/**
 * `station-from-position`: worked out along the girder. `terms-kept`: the rating falls, what it means stays as it was entered.
 * `terms-cleared`: it rises, so its basis has to be entered anew and until then every check of it is unknown.
 */
export type ImportNote = RowNote | { code: 'station-from-position'; stationM: number } | { code: 'terms-kept' | 'terms-cleared' };

/** One row of the file and what becomes of it. */
export type ImportRow = {
  rowNumber: number;
  label: string | null;
  outcome: RowPlan<unknown>['outcome'];
  id?: string;
  changes?: readonly Change[];
  draft?: object;
  faults?: readonly RowFault[];
  ofRowNumber?: number;
  differs?: readonly string[];
  questionIds?: readonly string[];
  notes: readonly ImportNote[];
};
export type ImportedRows = { rows: ImportRow[]; changes: ItemChange[] };

type TakenRow<D> = Extract<RowPlan<D>, { outcome: 'add' | 'change' }>;

/** The fields that a taken row says: of a new item all that are stated, of a known one those that differ. */
export function saidIn<D extends object>(row: TakenRow<D>): Map<string, DraftValue> {
  if (row.outcome === 'change') return new Map(row.changes.map((change) => [change.field, change.new]));
  return new Map(Object.entries(row.draft as Record<string, DraftValue>).filter(([, value]) => value !== null));
}

export const refused = (row: RowPlan<unknown>, faults: readonly RowFault[]): ImportRow => ({
  rowNumber: row.rowNumber,
  label: row.label,
  outcome: 'refused',
  faults,
  notes: row.notes,
});

/** Says what is wrong at the cell of a field, or at the whole row where the file has no column for it. */
export function faultsAt(table: Table, mapping: Mapping) {
  const rows = new Map(table.rows.map((row) => [row.rowNumber, row]));
  const columns = new Map(mapping.columns.map(({ field, column }) => [field, column]));
  return (rowNumber: number, field: string, code: string, problem: string, mend: string): RowFault => {
    const column = columns.get(field);
    const cellText = column ? (rows.get(rowNumber)?.cells[column.columnIndex]?.shown ?? '') : '';
    return { code, field, letter: column?.letter ?? null, heading: column?.heading ?? null, cellText, problem, mend };
  };
}
export type FaultAt = ReturnType<typeof faultsAt>;

export function countsOf(rows: readonly ImportRow[], plan: ImportPlan<unknown>): ImportPlan<unknown>['counts'] {
  const counts = { add: 0, change: 0, same: 0, duplicate: 0, refused: 0, question: 0, notInFile: plan.notInFile.length };
  for (const { outcome } of rows) counts[outcome] += 1;
  return counts;
}
