import { compensatedSum } from '../foundation/sum.ts';
import type { Contingency, TakeOffItem, TakeOffRow } from '../statics/hoist-line-take-off.ts';
import { takeOff } from '../statics/hoist-line-take-off.ts';
import type { CableItem, MassItem } from './plan.ts';

export const itemKg = ({ count, massKg }: MassItem): number | null => (massKg === null ? null : count * massKg);
export const cableKg = ({ count, lengthM, kgPerM }: CableItem): number | null => (kgPerM === null ? null : count * lengthM * kgPerM);

/** Rows named by their place in the list, never by what somebody called them: a name must not change a hash. */
export function listedItems<P extends TakeOffItem['place']>(
  items: readonly MassItem[],
  cables: readonly CableItem[],
  place: P,
  of: string,
): (TakeOffItem & { readonly place: P })[] {
  return [
    ...items.map((item, index) => ({
      id: `${of} item ${index}`,
      kind: 'equipment' as const,
      place,
      massKg: itemKg(item),
      basis: item.basis,
    })),
    ...cables.map((cable, index) => ({
      id: `${of} cable ${index}`,
      kind: 'cable' as const,
      place,
      massKg: cableKg(cable),
      basis: cable.basis,
    })),
  ];
}

/** Masses of a checked plan and contingencies of a checked policy cannot be refused: a failure is a bug. */
export function takeOffRows(items: readonly TakeOffItem[], contingency: Contingency): readonly TakeOffRow[] {
  const rows = takeOff(items, contingency);
  if (!rows.ok) throw new Error(`a checked plan has a take-off: ${rows.error.code}`);
  return rows.value;
}

export const knownKg = (rows: readonly TakeOffRow[]): number => compensatedSum(rows.map((row) => row.massKg ?? 0));
export const reckonedKg = (rows: readonly TakeOffRow[]): number => compensatedSum(rows.map((row) => row.reckonedKg ?? 0));
