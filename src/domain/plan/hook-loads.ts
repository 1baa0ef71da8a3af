import { compensatedSum } from '../foundation/sum.ts';
import type { Reckoning } from '../statics/hoist-line-reckoning.ts';
import type { Contingency, TakeOffItem, TakeOffRow } from '../statics/hoist-line-take-off.ts';
import { missingMasses, takeOff } from '../statics/hoist-line-take-off.ts';
import type { Missing } from './missing.ts';
import type { CableItem, GivenLoad, Hang, MassItem } from './plan.ts';

/** A reckoning with the number that it gives. */
export type Reckoned = Reckoning & { readonly result: number };

/** What the hang puts on one hook [kg], contingency included, before the dynamic factor. */
export type HookLoad = {
  readonly pickUpId: string;
  readonly restingKg: number;
  /** While the hang moves: the worst of the level envelope; the same as at rest where the split cannot change. */
  readonly movingKg: number;
  readonly missing: readonly Missing[];
  readonly reckonings: readonly Reckoned[];
};
export type HookLoads = {
  readonly hooks: readonly HookLoad[];
  readonly takeOff: readonly TakeOffRow[];
  readonly missing: readonly Missing[];
};

/** Given loads are stated in whole kilograms as a rule, so that their sum may fall short of the list by half a kilogram each. */
const ROUNDING_PER_PICK_UP_KG = 0.5;

/** The hang's own pull on each of its hooks: as given, or by the statics of its kind. */
export function hookLoads(hang: Hang, contingency: Contingency): HookLoads {
  const given = hang.pickUps.flatMap(({ id, givenLoad }) => (givenLoad === null ? [] : [{ id, givenLoad }]));
  if (given.length > 0) return givenHookLoads(hang, given, contingency);
  const rows = takeOffRows(listedItems(hang.items, hang.cables, 'below-hook', 'hang'), contingency);
  const missing = missingMasses(rows);
  if (hang.items.length + hang.cables.length === 0) missing.push({ code: 'no-load-listed', of: 'hang' });
  const totalKg = reckonedKg(rows);
  const [only] = hang.pickUps;
  if (only === undefined) return { hooks: [], takeOff: rows, missing: [...missing, { code: 'no-pick-up', of: 'hang' }] };
  const reckoning: Reckoned = {
    formula: 'Σ massKg · (1 + contingency)',
    numbers: { totalKg: compensatedSum(rows.map(({ massKg }) => massKg ?? 0)), contingencyKg: contingencyKg(rows) },
    unit: 'kg',
    source: 'take-off of the hang; contingency of the policy',
    result: totalKg,
  };
  return {
    hooks: [{ pickUpId: only.id, restingKg: totalKg, movingKg: totalKg, missing, reckonings: [reckoning] }],
    takeOff: rows,
    missing,
  };
}

function givenHookLoads(hang: Hang, given: readonly { id: string; givenLoad: GivenLoad }[], contingency: Contingency): HookLoads {
  const takeOffGiven = takeOffRows(
    given.map(({ id, givenLoad }) => ({ id, kind: 'equipment', place: 'below-hook', massKg: givenLoad.massKg, basis: givenLoad.basis })),
    contingency,
  );
  const missing = shortOfTheList(hang, takeOffGiven);
  const hooks = takeOffGiven.map(({ id, massKg, contingency: share, reckonedKg: kg }): HookLoad => {
    const loadKg = kg ?? 0;
    const reckoning: Reckoned = {
      formula: 'massKg · (1 + contingency)',
      numbers: { massKg: massKg ?? 0, contingency: share },
      unit: 'kg',
      source: 'load given for this pick-up; contingency of the policy',
      result: loadKg,
    };
    return { pickUpId: id, restingKg: loadKg, movingKg: loadKg, missing, reckonings: [reckoning] };
  });
  return { hooks, takeOff: takeOffGiven, missing };
}

/** Loads that add up to less than what is listed as hanging there contradict the list: neither can be trusted. */
function shortOfTheList(hang: Hang, given: readonly TakeOffRow[]): Missing[] {
  const listed = [...hang.items.map(itemKg), ...hang.cables.map(cableKg)].map((massKg) => massKg ?? 0);
  const allowanceKg = ROUNDING_PER_PICK_UP_KG * given.length;
  const short = reckonedKg(given) + allowanceKg < compensatedSum(listed);
  return short ? [{ code: 'given-loads-short-of-list', of: 'hang' }] : [];
}

const itemKg = ({ count, massKg }: MassItem): number | null => (massKg === null ? null : count * massKg);
const cableKg = ({ count, lengthM, kgPerM }: CableItem): number | null => (kgPerM === null ? null : count * lengthM * kgPerM);

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

export const reckonedKg = (rows: readonly TakeOffRow[]): number => compensatedSum(rows.map((row) => row.reckonedKg ?? 0));
const contingencyKg = (rows: readonly TakeOffRow[]): number => compensatedSum(rows.map((row) => (row.reckonedKg ?? 0) - (row.massKg ?? 0)));
