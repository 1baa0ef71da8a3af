import { fail, ok, type Result } from '../../domain/foundation/result.ts';
import type { FileError } from '../../files/file-error.ts';
import type { ImportChoices } from '../../files/import-choices.ts';
import type { ImportPlan, PlanError } from '../../files/import-plan.ts';
import { mapColumns, type Mapping } from '../../files/map-columns.ts';
import { planImport } from '../../files/plan-import.ts';
import type { Table, TableChoices } from '../../files/table.ts';
import type { DryRun, ImportFile, PlanOn } from '../../store/register/imports.ts';
import { memberDraftsOf, importedMembers } from './imported-members.ts';
import { importedPoints, pointDraftsOf } from './imported-points.ts';
import { countsOf, faultsAt, type ImportRow } from './imported-rows.ts';

export type Choices = TableChoices & ImportChoices;
export type DryRunError = FileError | PlanError;

/** What can be mended by an answer, so that the file is kept and asked about: another sheet, heading row, encoding or column. */
const ANSWERABLE = ['sheet-not-chosen', 'table-without-heading-row', 'text-not-decodable', 'import-label-column-missing'] as const;
export type Unread = Extract<DryRunError, { code: (typeof ANSWERABLE)[number] }>;
export const isAnswerable = (error: DryRunError): error is Unread => ANSWERABLE.some((code) => code === error.code);

export type Read = { table: Table; mapping: Mapping; plan: ImportPlan<unknown>; rows: ImportRow[] };
export type ImportDryRun = DryRun & { unread: Unread | null; read: Read | null };

/** A text about where a capacity comes from is not a basis, which has a day, a role and a document: it is shown and not entered. */
const NOT_TAKEN = ['basisText'];

export function dryRunOf(table: Result<Table, FileError>, kind: ImportFile['kind'], choices: Choices): PlanOn<ImportDryRun, DryRunError> {
  const orUnread = (error: DryRunError): Result<ImportDryRun, DryRunError> =>
    isAnswerable(error) ? ok({ open: 1, changes: [], unread: error, read: null }) : fail(error);
  return ({ draft }) => {
    if (!table.ok) return orUnread(table.error);
    const mapped = mapColumns(table.value, kind === 'point' ? 'points' : 'members', choices);
    if (!mapped.ok) return fail(mapped.error);
    const mapping = { ...mapped.value, columns: mapped.value.columns.filter(({ field }) => !NOT_TAKEN.includes(field)) };
    const faultAt = faultsAt(table.value, mapping);
    const common = { table: table.value, mapping, choices };
    const finish = (plan: ImportPlan<unknown>, { rows, changes }: { rows: ImportRow[]; changes: DryRun['changes'] }) =>
      ok({ open: plan.questions.length, changes, unread: null, read: { table: table.value, mapping: mapped.value, plan, rows } });
    if (kind === 'point') {
      const plan = planImport({ kind: 'points', existing: pointDraftsOf(draft), ...common });
      return plan.ok ? finish(plan.value, importedPoints(plan.value, draft, faultAt)) : orUnread(plan.error);
    }
    const plan = planImport({ kind: 'members', existing: memberDraftsOf(draft), ...common });
    return plan.ok ? finish(plan.value, importedMembers(plan.value, draft, faultAt)) : orUnread(plan.error);
  };
}

/** The dry run as it is shown. */
export function presentDryRun({ unread, read }: Pick<ImportDryRun, 'unread' | 'read'>) {
  if (!read) return { unread, table: null, fieldsNotFound: [], questions: [], rows: [], notInFile: [], counts: NOTHING };
  const { table, mapping, plan, rows } = read;
  const fieldOf = new Map(mapping.columns.map((mapped) => [mapped.column.columnIndex, mapped]));
  return {
    unread: null,
    table: {
      format: table.format,
      encoding: table.encoding,
      separator: table.separator,
      sheet: table.sheet,
      sheets: table.sheets,
      headingRowNumber: table.headingRowNumber,
      columns: table.columns.map((column) => {
        const mapped = fieldOf.get(column.columnIndex);
        const field = mapped?.field ?? null;
        return { ...column, field, unit: mapped?.unit ?? null, isEntered: field !== null && !NOT_TAKEN.includes(field) };
      }),
      notes: table.notes,
    },
    fieldsNotFound: mapping.fieldsNotFound,
    questions: plan.questions,
    rows,
    notInFile: plan.notInFile,
    counts: countsOf(rows, plan),
  };
}
const NOTHING = { add: 0, change: 0, same: 0, duplicate: 0, refused: 0, question: 0, notInFile: 0 };
