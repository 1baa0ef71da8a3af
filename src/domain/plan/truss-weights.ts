import { STANDARD_GRAVITY } from '../foundation/units.ts';
import type { BeamPointLoad, BeamSpreadLoad } from '../statics/beam.ts';
import type { Contingency, TakeOffItem, TakeOffRow } from '../statics/hoist-line-take-off.ts';
import type { MassBasis, TrussLoads, TrussSection } from './plan.ts';
import { takeOffRows } from './take-off-items.ts';

/** One length of truss with all that weighs on it, as rows of a take-off. */
export type TrussWeights = {
  readonly rows: readonly TakeOffRow[];
  /** Forces [N] of all that is known: without or with its contingency. */
  readonly loads: (how: 'known' | 'reckoned') => TrussForces;
  /** What each row's contingency adds, and where along the truss. */
  readonly contingencies: readonly { readonly forceN: number; readonly fromM: number; readonly toM: number }[];
};
export type TrussForces = { readonly selfNPerM: number; readonly pointLoads: BeamPointLoad[]; readonly spreadLoads: BeamSpreadLoad[] };

/** A section that does not speak of it has its self weight from its maker's document. */
const UNTOLD_BASIS: MassBasis = 'documented';

export function trussWeights(
  of: string,
  lengthM: number,
  { selfKgPerM, selfBasis = UNTOLD_BASIS }: Pick<TrussSection, 'selfKgPerM' | 'selfBasis'>,
  loads: TrussLoads,
  contingency: Contingency,
): TrussWeights {
  const item = (id: string, massKg: number | null, basis: MassBasis | null): TakeOffItem => ({
    id: `${of} ${id}`,
    kind: 'equipment',
    place: 'below-hook',
    massKg,
    basis,
  });
  const listed = [
    { fromM: 0, toM: lengthM, self: true, item: item('self weight', selfKgPerM === null ? null : selfKgPerM * lengthM, selfBasis) },
    ...loads.pointLoads.map(({ atM, massKg, basis }, index) => ({
      fromM: atM,
      toM: atM,
      self: false,
      item: item(`point load ${index}`, massKg, basis),
    })),
    ...loads.spreadLoads.map(({ fromM, toM, kgPerM, basis }, index) => ({
      fromM,
      toM,
      self: false,
      item: item(`spread load ${index}`, kgPerM === null ? null : kgPerM * (toM - fromM), basis),
    })),
  ];
  const rows = takeOffRows(
    listed.map((one) => one.item),
    contingency,
  );
  const weights = listed.map(({ fromM, toM, self }, index) => {
    const row = rows[index];
    return {
      fromM,
      toM,
      self,
      knownN: (row?.massKg ?? 0) * STANDARD_GRAVITY,
      reckonedN: (row?.reckonedKg ?? 0) * STANDARD_GRAVITY,
    };
  });
  return {
    rows,
    contingencies: weights.map(({ fromM, toM, knownN, reckonedN }) => ({ fromM, toM, forceN: reckonedN - knownN })),
    loads: (how) => {
      const forces: TrussForces = { selfNPerM: 0, pointLoads: [], spreadLoads: [] };
      let selfNPerM = 0;
      for (const { fromM, toM, self, knownN, reckonedN } of weights) {
        const forceN = how === 'known' ? knownN : reckonedN;
        if (self) selfNPerM = lengthM > 0 ? forceN / lengthM : 0;
        else if (toM > fromM) forces.spreadLoads.push({ fromM, toM, forceNPerM: forceN / (toM - fromM) });
        else forces.pointLoads.push({ atM: fromM, forceN });
      }
      return { ...forces, selfNPerM };
    },
  };
}
