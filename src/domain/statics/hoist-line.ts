import type { Result } from '../foundation/result.ts';
import { fail, ok } from '../foundation/result.ts';
import { STANDARD_GRAVITY } from '../foundation/units.ts';
import type { MissingFact, Reckoning } from './hoist-line-reckoning.ts';
import type { Contingency, MassBasis, TakeOffError, TakeOffItem, TakeOffRow } from './hoist-line-take-off.ts';
import { estimatedMassKg, missingMasses, reckonedMassKg, takeOff } from './hoist-line-take-off.ts';

/** Body down: the hoist climbs its own chain with the hang. Body up: the body stays at the roof and the hook travels. */
export type Mount = 'body-down' | 'body-up';

export type LineHoist = {
  readonly bodyKg: number | null;
  /** Empty chain bag; 0 when there is none. */
  readonly bagKg: number | null;
  /** Where the bag hangs: with the body, or on the hang, which then lifts bag and slack chain whichever way the hoist is mounted. */
  readonly bagAt: 'body' | 'hang';
  readonly chainKgPerM: number | null;
  /** Falls of chain between body and hook. */
  readonly falls: number;
  /** Length of one fall, fully paid out [m]; the whole chain is falls times this. */
  readonly chainM: number | null;
  readonly basis: MassBasis | null;
  /** Rating and what has already been taken off it: the hook alone, or the body too for a hoist that lifts itself. */
  readonly wllKg: number | null;
  readonly wllNetOf: 'hook' | 'hook-plus-body' | null;
};

export type HoistLineSpec = {
  /** Null: dead-hung, nothing on this line travels. */
  readonly hoist: LineHoist | null;
  readonly mount: Mount;
  /**
   * Chain paid out between body and hook, one fall [m]: at trim and with the hang at its lowest. Null = not known, and then
   * the whole chain counts as travelling, which is never too little.
   * Body down, the length at trim is what is sure to stand, so give hook-to-hook less the hoist's own length.
   */
  readonly paidOutM: { readonly atTrimM: number; readonly atLowestM: number } | null;
  /** Everything else on the line: load cell, cable share, steels below the hook, leg parts. */
  readonly items: readonly (TakeOffItem & { readonly place: 'below-hook' | 'above-hoist' | 'leg' })[];
};

export type HoistLineError =
  | TakeOffError
  | { code: 'falls-not-whole'; falls: number }
  | { code: 'length-negative'; what: string; lengthM: number }
  | { code: 'paid-out-reversed'; atTrimM: number; atLowestM: number }
  | { code: 'force-negative'; what: string; forceN: number }
  | { code: 'factor-below-one'; what: string; factor: number };

/** One line without the hang: masses by what the dynamic factor does to them. Known masses only; `missing` tells what is not in. */
export type HoistLine = {
  readonly takeOff: readonly TakeOffRow[];
  /** On the hook besides the hang itself. */
  readonly belowHookKg: number;
  /** Moves with the hang: what is below the hook, and the parts of the hoist that travel. */
  readonly travellingKg: number;
  /** Part of the travelling mass that is the hoist's own: body and bag when it climbs, and the chain that moves. */
  readonly movedPartsKg: number;
  /** Hangs from the apex or the leg parts and stays where it is. */
  readonly standingKg: number;
  /** Leg parts: they weigh on the roof point, not on the apex. For a bridle, give each leg's parts to its own anchor instead. */
  readonly legKg: number;
  /** Of the hoist's own parts, what its rating has still to carry. */
  readonly countsAgainstHoistKg: number;
  readonly estimatedKg: number;
  readonly missing: readonly MissingFact[];
};

/**
 * The take-off of one line from the hook to the roof. The hang's own reaction comes later (`lineLoads`), so that one line
 * serves every load case.
 * Chain: body down, what is paid out stands and the rest travels in the bag; body up, what is paid out travels and the rest
 * stays in the bag, unless the bag is on the hang. The split is taken where the worst of it travels.
 * @returns masses [kg] with their contingencies, or a typed refusal of a number that cannot be
 * @source mass of chain = mass per metre · falls · length of one fall; sums
 */
export function hoistLine(spec: HoistLineSpec, contingency: Contingency): Result<HoistLine, HoistLineError> {
  const own = spec.hoist === null ? ok([]) : hoistItems(spec.hoist, spec.mount, spec.paidOutM);
  if (!own.ok) return own;
  const listed = takeOff([...own.value, ...spec.items], contingency);
  if (!listed.ok) return listed;
  const rows = listed.value;
  const climbs = spec.mount === 'body-down';
  const belowHookKg = reckonedMassKg(rows, ['below-hook']);
  const movedPartsKg = reckonedMassKg(rows, climbs ? ['hoist', 'chain-travelling'] : ['chain-travelling']);
  const travellingKg = belowHookKg + movedPartsKg;
  const standingKg = reckonedMassKg(rows, climbs ? ['chain-standing', 'above-hoist'] : ['hoist', 'chain-standing', 'above-hoist']);
  const legKg = reckonedMassKg(rows, ['leg']);
  const missing = missingMasses(rows);
  if (spec.hoist !== null && climbs && spec.hoist.wllNetOf === null) missing.push({ code: 'rating-terms-missing', of: 'hoist' });
  return ok({
    takeOff: rows,
    belowHookKg,
    travellingKg,
    movedPartsKg,
    standingKg,
    legKg,
    countsAgainstHoistKg: ownWeightOnRating(rows, spec),
    estimatedKg: estimatedMassKg(rows),
    missing,
  });
}

/**
 * A climbing hoist lifts itself: body, bag and the chain in it come off a rating that is net of the hook alone. A rating net
 * of the body too has body and bag already off, but nobody says how much chain was meant, so the chain still counts.
 * A hoist with its body up is rated at its hook, and its body loads the roof only.
 */
function ownWeightOnRating(rows: readonly TakeOffRow[], { hoist, mount }: HoistLineSpec): number {
  if (hoist === null || mount === 'body-up') return 0;
  return reckonedMassKg(rows, hoist.wllNetOf === 'hook-plus-body' ? ['chain-travelling'] : ['hoist', 'chain-travelling']);
}

function hoistItems(hoist: LineHoist, mount: Mount, paidOutM: HoistLineSpec['paidOutM']): Result<TakeOffItem[], HoistLineError> {
  const { bodyKg, bagKg, bagAt, chainKgPerM, falls, chainM, basis } = hoist;
  if (!Number.isInteger(falls) || falls < 1) return fail({ code: 'falls-not-whole', falls });
  const lengths = { chainM: chainM ?? 0, atTrimM: paidOutM?.atTrimM ?? 0, atLowestM: paidOutM?.atLowestM ?? 0 };
  for (const what of ['chainM', 'atTrimM', 'atLowestM'] as const) {
    const lengthM = lengths[what];
    if (!Number.isFinite(lengthM)) return fail({ code: 'not-finite', what });
    if (lengthM < 0) return fail({ code: 'length-negative', what, lengthM });
  }
  if (lengths.atTrimM > lengths.atLowestM)
    return fail({ code: 'paid-out-reversed', atTrimM: lengths.atTrimM, atLowestM: lengths.atLowestM });
  const item = (id: string, place: TakeOffItem['place'], massKg: number | null): TakeOffItem => ({
    id,
    kind: 'equipment',
    place,
    massKg,
    basis,
  });
  const chainKg = (oneFallM: number | null) => (chainKgPerM === null || oneFallM === null ? null : chainKgPerM * falls * oneFallM);
  const parts = [item('hoist body', 'hoist', bodyKg), item('chain bag', bagAt === 'hang' ? 'below-hook' : 'hoist', bagKg)];
  const inBag = bagAt === 'hang' ? 'below-hook' : mount === 'body-down' ? 'chain-travelling' : 'chain-standing';
  const paidOut = mount === 'body-down' ? 'chain-standing' : 'chain-travelling';
  // Wherever the bag travels, the worst is a full one: the hang at trim. Only a bag that stands is worst when it is empty.
  const fullBagIsWorst = inBag !== 'chain-standing';
  const paidOutAtWorstM = paidOutM === null ? null : fullBagIsWorst ? paidOutM.atTrimM : paidOutM.atLowestM;
  if (chainM === null || paidOutAtWorstM === null) return ok([...parts, item('chain', fullBagIsWorst ? inBag : paidOut, chainKg(chainM))]);
  const outM = Math.min(paidOutAtWorstM, chainM);
  return ok([...parts, item('chain in the bag', inBag, chainKg(chainM - outM)), item('chain paid out', paidOut, chainKg(outM))]);
}

export type LineLoads = {
  /** What hangs on the hook (or, body down, on the hoist): the hang and everything between. */
  readonly hookN: number;
  /** What the hoist's rating is compared with. */
  readonly onHoistN: number;
  /** At the apex of a bridle or the lower end of the leg parts. Moving is null when the dynamic factor is not known. */
  readonly apex: { readonly restingN: number; readonly movingN: number | null };
  /** On a roof point straight above. Sideways parts of bridles and lines off plumb are not in here. */
  readonly point: { readonly restingN: number; readonly movingN: number | null };
  readonly missing: readonly MissingFact[];
  readonly reckonings: { readonly resting: Reckoning; readonly moving: Reckoning | null };
};

/** The hang's pull on one line [N], contingencies of its masses included. `movingN` is before the dynamic factor: the worst of the level envelope. */
export type LineReaction = { readonly restingN: number; readonly movingN: number };

/**
 * What hook, hoist, apex and roof point see of one line. The dynamic factor multiplies the hang's reaction and what travels
 * with it, not standing chain or leg parts.
 * @param dynamicFactor  1 or more; 1 for a dead hang; null = not known, moving loads are then null and `missing` says so
 * @returns forces [N], down positive, or `force-negative` (a chain cannot push), `factor-below-one`, `not-finite`
 * @source resting = R + (travelling + standing + legs)·g; moving = φ·(R + travelling·g) + (standing + legs)·g
 */
export function lineLoads(line: HoistLine, reaction: LineReaction, dynamicFactor: number | null): Result<LineLoads, HoistLineError> {
  for (const what of ['restingN', 'movingN'] as const) {
    const forceN = reaction[what];
    if (!Number.isFinite(forceN)) return fail({ code: 'not-finite', what });
    if (forceN < 0) return fail({ code: 'force-negative', what, forceN });
  }
  if (dynamicFactor !== null && !Number.isFinite(dynamicFactor)) return fail({ code: 'not-finite', what: 'dynamic factor' });
  if (dynamicFactor !== null && dynamicFactor < 1) return fail({ code: 'factor-below-one', what: 'dynamic factor', factor: dynamicFactor });
  const g = STANDARD_GRAVITY;
  const { travellingKg, standingKg, legKg } = line;
  const hookN = reaction.restingN + line.belowHookKg * g;
  const apexRestingN = reaction.restingN + (travellingKg + standingKg) * g;
  const apexMovingN = dynamicFactor === null ? null : dynamicFactor * (reaction.movingN + travellingKg * g) + standingKg * g;
  const legN = legKg * g;
  if (!Number.isFinite(apexRestingN + (apexMovingN ?? 0) + legN)) return fail({ code: 'not-finite', what: 'load of the line' });
  const numbers = { reactionN: reaction.restingN, travellingKg, standingKg, legKg, g };
  return ok({
    hookN,
    onHoistN: hookN + line.countsAgainstHoistKg * g,
    apex: { restingN: apexRestingN, movingN: apexMovingN },
    point: { restingN: apexRestingN + legN, movingN: apexMovingN === null ? null : apexMovingN + legN },
    missing: dynamicFactor === null ? [...line.missing, { code: 'dynamic-factor-unknown', of: 'hoist' }] : line.missing,
    reckonings: {
      resting: { formula: 'reactionN + (travellingKg + standingKg + legKg) · g', numbers, unit: 'N', source: 'sum of weights' },
      moving:
        dynamicFactor === null
          ? null
          : {
              formula: 'dynamicFactor · (reactionN + travellingKg · g) + (standingKg + legKg) · g',
              numbers: { reactionN: reaction.movingN, travellingKg, standingKg, legKg, g, dynamicFactor },
              unit: 'N',
              source: 'the factor multiplies only what travels',
            },
    },
  });
}
