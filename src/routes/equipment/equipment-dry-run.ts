import { fail, ok, type Result } from '../../domain/foundation/result.ts';
import type { FileError } from '../../files/file-error.ts';
import { mapColumns } from '../../files/map-columns.ts';
import { planImport } from '../../files/plan-import.ts';
import type { Table } from '../../files/table.ts';
import type { CatalogueDryRun, ImportedKind, PlanOnCatalogue } from '../../store/equipment/imports.ts';
import { isAnswerable, type Choices, type DryRunError, type Read, type Unread } from '../imports/import-dry-run.ts';
import { faultsAt } from '../imports/imported-rows.ts';
import { equipmentDraftsOf, importedEquipment, TABLE_OF } from './imported-equipment.ts';

export type EquipmentDryRun = CatalogueDryRun & { unread: Unread | null; read: Read | null };

/** What a table of one kind of equipment would do to the catalogue. What an answer can mend is kept and asked about. */
export function equipmentDryRun(
  table: Result<Table, FileError>,
  kind: ImportedKind,
  choices: Choices,
): PlanOnCatalogue<EquipmentDryRun, DryRunError> {
  const orUnread = (error: DryRunError): Result<EquipmentDryRun, DryRunError> =>
    isAnswerable(error) ? ok({ open: 1, changes: [], unread: error, read: null }) : fail(error);
  return ({ items }) => {
    if (!table.ok) return orUnread(table.error);
    const mapping = mapColumns(table.value, TABLE_OF[kind], choices);
    if (!mapping.ok) return fail(mapping.error);
    const common = { table: table.value, mapping: mapping.value };
    const plan = planImport({ kind: TABLE_OF[kind], ...common, existing: equipmentDraftsOf(kind, items), choices });
    if (!plan.ok) return orUnread(plan.error);
    const { rows, changes } = importedEquipment(kind, plan.value, items, faultsAt(table.value, mapping.value));
    return ok({ open: plan.value.questions.length, changes, unread: null, read: { ...common, plan: plan.value, rows } });
  };
}
