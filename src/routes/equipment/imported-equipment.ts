import { checkItem } from '../../domain/equipment/check-item.ts';
import { BLANKS } from '../../domain/plan/blank-equipment.ts';
import type { EquipmentData } from '../../domain/plan/plan.ts';
import { EQUIPMENT_KINDS, type EquipmentDraft, type EquipmentTable } from '../../files/equipment-fields.ts';
import type { DraftValue } from '../../files/field-spec.ts';
import type { ImportPlan, RowPlan } from '../../files/import-plan.ts';
import type { Existing } from '../../files/plan-import.ts';
import type { CatalogueChange, ImportedKind } from '../../store/equipment/imports.ts';
import type { EquipmentItem } from '../../store/equipment/items.ts';
import { refused, saidIn, type FaultAt, type ImportRow, type RowFault } from '../imports/imported-rows.ts';
import { EquipmentDataSchema } from '../schemas/plan.ts';

export const TABLE_OF: Readonly<Record<ImportedKind, EquipmentTable>> = {
  hoist: 'hoists',
  part: 'parts',
  cabinet: 'cabinets',
  truss: 'trusses',
  cable: 'cables',
};
type Facts = Record<string, unknown>;
type TakenRow = Extract<RowPlan<EquipmentDraft>, { outcome: 'add' | 'change' }>;

/** A place is one fact and two columns. */
const PLACES: Readonly<Record<string, readonly [fact: 'cg' | 'bottomPivot', axis: 'uM' | 'vM']>> = {
  cgUM: ['cg', 'uM'],
  cgVM: ['cg', 'vM'],
  bottomPivotUM: ['bottomPivot', 'uM'],
  bottomPivotVM: ['bottomPivot', 'vM'],
};

/** The catalogue's items of one kind as a table would tell them. */
export function equipmentDraftsOf(kind: ImportedKind, items: readonly EquipmentItem[]): Existing<EquipmentDraft>[] {
  const fields = EQUIPMENT_KINDS[TABLE_OF[kind]].fields.filter(({ field }) => field !== 'label');
  return items.flatMap(({ id, data }) => {
    if (data.kind !== kind) return [];
    const facts: Facts = { ...data };
    const told = fields.map(({ field }): [string, DraftValue] => [field, tellable(placeOr(facts, field))]);
    return [{ id, ...Object.fromEntries(told), label: data.name }];
  });
}

function placeOr(facts: Facts, field: string): unknown {
  const place = PLACES[field];
  if (!place) return facts[field];
  const at = facts[place[0]];
  return typeof at === 'object' && at !== null ? (at as Facts)[place[1]] : null;
}

function tellable(value: unknown): DraftValue {
  if (typeof value === 'boolean') return value ? 'yes' : 'no';
  return typeof value === 'number' || typeof value === 'string' ? value : null;
}

/** Lays the rows beside the catalogue. A row that cannot be entered is named with its column, and leaves the others as they are. */
export function importedEquipment(
  kind: ImportedKind,
  plan: ImportPlan<EquipmentDraft>,
  items: readonly EquipmentItem[],
  faultAt: FaultAt,
): { rows: ImportRow[]; changes: CatalogueChange[] } {
  const known = new Map(items.map((item) => [item.id, item.data]));
  const changes: CatalogueChange[] = [];
  const rows = plan.rows.map((row): ImportRow => {
    if (row.outcome !== 'add' && row.outcome !== 'change') return row;
    const base = row.outcome === 'change' ? known.get(row.id) : undefined;
    const made = factsFrom(kind, base ?? null, row, faultAt);
    if ('faults' in made) return refused(row, made.faults);
    changes.push({ id: row.outcome === 'change' ? row.id : null, data: made.data });
    return row;
  });
  return { rows, changes };
}

function factsFrom(
  kind: ImportedKind,
  base: EquipmentData | null,
  row: TakenRow,
  faultAt: FaultAt,
): { data: EquipmentData } | { faults: RowFault[] } {
  const facts: Facts = { ...BLANKS[kind], ...base, kind, name: row.draft.label };
  const faults: RowFault[] = [];
  for (const [field, value] of saidIn(row)) {
    if (field === 'label' || PLACES[field]) continue;
    facts[field] = value === 'yes' || value === 'no' ? value === 'yes' : value;
  }
  for (const fact of kind === 'cabinet' ? (['cg', 'bottomPivot'] as const) : []) {
    const [uM, vM] = [row.draft[`${fact}UM`] ?? null, row.draft[`${fact}VM`] ?? null];
    if ((uM === null) !== (vM === null)) {
      const field = `${fact}${uM === null ? 'UM' : 'VM'}`;
      faults.push(faultAt(row.rowNumber, field, 'place-not-whole', 'One half of the place is missing.', 'Enter both, or neither.'));
    } else facts[fact] = uM === null ? null : { uM, vM };
  }
  if (kind === 'part' && typeof facts.part !== 'string') {
    const problem = 'It is not said what kind of part this is.';
    faults.push(faultAt(row.rowNumber, 'part', 'part-kind-missing', problem, 'Enter shackle, steel, ring or what else it is.'));
  }
  if (faults.length > 0) return { faults };
  const fits = EquipmentDataSchema.safeParse(facts);
  if (!fits.success) {
    return {
      faults: fits.error.issues.map(({ path, message }) =>
        faultAt(row.rowNumber, String(path[0]), 'out-of-range', message, 'Check digits and unit.'),
      ),
    };
  }
  const checked = checkItem(fits.data);
  if (checked.ok) return { data: checked.value };
  return {
    faults: checked.error.faults.map(({ pointer, code, message }) => {
      const fact = pointer.split('/')[1] ?? '';
      const field = fact === 'bottomPivot' ? 'bottomPivotUM' : fact;
      return faultAt(row.rowNumber, field, code, `The value ${message}.`, 'Correct the row.');
    }),
  };
}
