import type { Result } from '../foundation/result.ts';
import { fail, ok } from '../foundation/result.ts';
import { STANDARD_GRAVITY } from '../foundation/units.ts';
import type { HoistLine } from './hoist-line.ts';
import type { MissingFact, Reckoning } from './hoist-line-reckoning.ts';

export type LimiterLoad = {
  /** The hoist pulls this on its way up before its limiter trips, with the parts of the hoist that move. */
  readonly tripN: number;
  readonly atApexN: number;
  readonly atPointN: number;
  readonly missing: readonly MissingFact[];
  readonly reckoning: Reckoning;
};
export type LimiterError =
  | { code: 'not-finite'; what: string }
  | { code: 'mass-negative'; what: string; massKg: number }
  | { code: 'factor-below-one'; what: string; factor: number };

/**
 * A hoist whose hang is stuck pulls until its limiter trips: an accidental load on everything above it, whatever the hang weighs.
 * Standing parts and legs weigh on apex and point besides.
 * @param wllKg           null = not known: no load can be told
 * @param makersFactor    load at which the limiter trips over WLL; null = not stated, the policy's is taken
 * @param policyFactor    common practice offers 1.6 (EN 14492-2 range, from memory)
 * @returns forces [N], down positive; null when the hoist has no known rating
 * @source F = (factor·WLL + moved parts)·g
 */
export function limiterLoad(
  line: HoistLine,
  wllKg: number | null,
  makersFactor: number | null,
  policyFactor: number,
): Result<LimiterLoad | null, LimiterError> {
  if (wllKg === null) return ok(null);
  const factor = makersFactor ?? policyFactor;
  if (!Number.isFinite(wllKg)) return fail({ code: 'not-finite', what: 'WLL' });
  if (wllKg < 0) return fail({ code: 'mass-negative', what: 'WLL', massKg: wllKg });
  if (!Number.isFinite(factor)) return fail({ code: 'not-finite', what: 'limiter factor' });
  if (factor < 1) return fail({ code: 'factor-below-one', what: 'limiter factor', factor });
  const { movedPartsKg, standingKg, legKg } = line;
  const tripN = (factor * wllKg + movedPartsKg) * STANDARD_GRAVITY;
  const atApexN = tripN + standingKg * STANDARD_GRAVITY;
  const atPointN = atApexN + legKg * STANDARD_GRAVITY;
  if (!Number.isFinite(atPointN)) return fail({ code: 'not-finite', what: 'limiter load' });
  const numbers = { factor, wllKg, movedPartsKg, standingKg, legKg, g: STANDARD_GRAVITY };
  const source = makersFactor === null ? 'factor of the policy' : 'maker’s factor';
  const reckoning = { formula: '(factor · wllKg + movedPartsKg + standingKg + legKg) · g', numbers, unit: 'N', source };
  return ok({ tripN, atApexN, atPointN, missing: line.missing, reckoning });
}
