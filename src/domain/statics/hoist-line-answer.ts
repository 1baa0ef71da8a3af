import type { Result } from '../foundation/result.ts';
import { ok } from '../foundation/result.ts';
import { STANDARD_GRAVITY } from '../foundation/units.ts';
import type { HoistLineError, HoistLineSpec, LineHoist, LineLoads } from './hoist-line.ts';
import { hoistLine, lineLoads } from './hoist-line.ts';
import type { Headroom, HeadroomError, HeadroomQuestion } from './hoist-line-headroom.ts';
import { headroom } from './hoist-line-headroom.ts';
import type { Reckoning } from './hoist-line-reckoning.ts';
import type { Contingency, TakeOffRow } from './hoist-line-take-off.ts';
import type { LimiterError } from './limiter.ts';
import { limiterLoad } from './limiter.ts';

/** One line asked without a plan: the hang is what is listed below the hook. */
export type HoistLineQuestion = {
  readonly items: HoistLineSpec['items'];
  readonly hoist: LineHoist | null;
  readonly mount: HoistLineSpec['mount'];
  /** Null = not known. */
  readonly dynamicFactor: number | null;
  readonly limiterFactor: number | null;
  /** Absent = no contingency is added, and a caution says so. */
  readonly contingency?: Contingency | undefined;
  /** Absent = heights are not asked; the whole chain then counts as travelling. */
  readonly heights?: Omit<HeadroomQuestion, 'hoist'> & { readonly shortestHookToHookM: number | null; readonly liftM: number | null };
};

type MassAndForce = { readonly massKg: number; readonly forceKn: number };
export type HoistLineAnswer = {
  readonly hook: MassAndForce;
  readonly onHoist: MassAndForce & { readonly wllKg: number | null; readonly utilisation: number | null };
  readonly apex: { readonly resting: MassAndForce; readonly moving: MassAndForce | null };
  readonly point: { readonly resting: MassAndForce; readonly moving: MassAndForce | null; readonly limiter: MassAndForce | null };
  readonly takeOff: readonly Omit<TakeOffRow, 'reckoning'>[];
  readonly estimatedKg: number;
  readonly headroom: Headroom | null;
  /** What is not known; loads are lower bounds while a mass is missing. */
  readonly missing: LineLoads['missing'];
  readonly reckonings: readonly Reckoning[];
  readonly cautions: readonly string[];
};

const NO_CONTINGENCY: Contingency = { weighed: 0, documented: 0, estimated: 0, cableAtLeast: 0 };

/**
 * Take-off items to hook, apex and point load, with headroom, highest trim and lift when heights are given.
 * @returns kilograms and kilonewtons, down positive; or the typed refusal of a number that cannot be
 */
export function answerHoistLine(question: HoistLineQuestion): Result<HoistLineAnswer, HoistLineError | HeadroomError | LimiterError> {
  const { items, hoist, mount, dynamicFactor, limiterFactor, contingency, heights } = question;
  const room = heights === undefined ? ok(null) : headroom({ ...heights, hoist: hoist === null ? null : hoistLengths(heights) });
  if (!room.ok) return room;
  const line = hoistLine({ hoist, mount, paidOutM: room.value?.paidOutM ?? null, items }, contingency ?? NO_CONTINGENCY);
  if (!line.ok) return line;
  // The hang is in the items, so nothing else pulls on the hook. A dead hang never moves.
  const loads = lineLoads(line.value, { restingN: 0, movingN: 0 }, hoist === null ? 1 : dynamicFactor);
  if (!loads.ok) return loads;
  const limiter = hoist === null || limiterFactor === null ? ok(null) : limiterLoad(line.value, hoist.wllKg, limiterFactor, limiterFactor);
  if (!limiter.ok) return limiter;
  const { apex, point, hookN, onHoistN, reckonings } = loads.value;
  const wllKg = hoist?.wllKg ?? null;
  const onHoist = both(onHoistN);
  const missing = [...loads.value.missing, ...(room.value?.missing ?? [])];
  return ok({
    hook: both(hookN),
    onHoist: { ...onHoist, wllKg, utilisation: wllKg === null || wllKg <= 0 ? null : onHoist.massKg / wllKg },
    apex: { resting: both(apex.restingN), moving: bothOrNull(apex.movingN) },
    point: { resting: both(point.restingN), moving: bothOrNull(point.movingN), limiter: bothOrNull(limiter.value?.atPointN ?? null) },
    takeOff: line.value.takeOff.map(({ id, place, massKg, basis, contingency: share, reckonedKg }) => ({
      id,
      place,
      massKg,
      basis,
      contingency: share,
      reckonedKg,
    })),
    estimatedKg: line.value.estimatedKg,
    headroom: room.value,
    missing,
    reckonings: [reckonings.resting, reckonings.moving, limiter.value?.reckoning ?? null].filter((one) => one !== null),
    cautions: cautionsOf(question, missing.length > 0),
  });
}

/** Lengths of the hoist alone: heights beside them may be negative, as below a stage lift. */
const hoistLengths = ({ shortestHookToHookM, liftM }: NonNullable<HoistLineQuestion['heights']>) => ({ shortestHookToHookM, liftM });

const both = (forceN: number): MassAndForce => ({ massKg: forceN / STANDARD_GRAVITY, forceKn: forceN / 1000 });
const bothOrNull = (forceN: number | null): MassAndForce | null => (forceN === null ? null : both(forceN));

function cautionsOf({ hoist, contingency, heights, limiterFactor }: HoistLineQuestion, somethingIsMissing: boolean): string[] {
  const cautions = [];
  if (somethingIsMissing) cautions.push('Something is not known: what is counted is a lower bound, and nothing here is a pass.');
  if (contingency === undefined) cautions.push('No contingency is added to any mass.');
  if (heights === undefined && hoist !== null)
    cautions.push('No heights are given: the whole chain counts as travelling, and headroom and lift are not looked at.');
  if (hoist !== null && limiterFactor === null) cautions.push('No limiter factor is given: the load of a stuck hoist is not looked at.');
  return cautions;
}
