import type { Result } from '../foundation/result.ts';
import { fail, ok } from '../foundation/result.ts';
import { STANDARD_GRAVITY } from '../foundation/units.ts';
import type { Reckoning } from './hoist-line-reckoning.ts';

/** What the maker's documents say; class labels are free text, so three facts decide. Null = not stated. */
export type HoistFacts = {
  readonly wllKg: number | null;
  readonly mayHoldOverPeople: boolean | null;
  readonly mayMoveOverPeople: boolean | null;
  readonly needsSecondary: boolean | null;
};
export type HoistUse = {
  readonly onHoistN: number;
  readonly holdsOverPeople: boolean;
  readonly movesOverPeople: boolean;
  readonly hasSecondary: boolean;
};

export type HoistRule = 'rating' | 'holds-over-people' | 'moves-over-people' | 'secondary';
export type HoistFinding = { readonly rule: HoistRule } & (
  | { readonly state: 'measured'; readonly demand: number; readonly capacity: number; readonly unit: 'N'; readonly reckoning: Reckoning }
  | { readonly state: 'permitted' }
  | { readonly state: 'forbidden'; readonly reason: string }
  | { readonly state: 'unknown'; readonly reason: string }
);
export type HoistUseError =
  | { code: 'not-finite'; what: string }
  | { code: 'force-negative'; what: string; forceN: number }
  | { code: 'rating-negative'; what: string; value: number };

/**
 * A hoist against its rating and against what it may do over people. Its rating is for moving loads, so no dynamic factor is added.
 * @param use  `onHoistN` from `lineLoads`: what its rating is net of is already taken care of
 */
export function checkHoist(facts: HoistFacts, use: HoistUse): Result<HoistFinding[], HoistUseError> {
  const { wllKg, mayHoldOverPeople, mayMoveOverPeople, needsSecondary } = facts;
  const { onHoistN, holdsOverPeople, movesOverPeople, hasSecondary } = use;
  if (!Number.isFinite(onHoistN)) return fail({ code: 'not-finite', what: 'load on the hoist' });
  if (onHoistN < 0) return fail({ code: 'force-negative', what: 'load on the hoist', forceN: onHoistN });
  if (wllKg !== null && !Number.isFinite(wllKg * STANDARD_GRAVITY)) return fail({ code: 'not-finite', what: 'WLL' });
  if (wllKg !== null && wllKg < 0) return fail({ code: 'rating-negative', what: 'WLL', value: wllKg });
  const findings: HoistFinding[] = [ratingOf(wllKg, onHoistN)];
  if (holdsOverPeople) findings.push(overPeople('holds-over-people', mayHoldOverPeople, 'may-not-hold-over-people'));
  if (movesOverPeople) findings.push(overPeople('moves-over-people', mayMoveOverPeople, 'may-not-move-over-people'));
  if ((holdsOverPeople || movesOverPeople) && !hasSecondary) {
    // Yes and no change places here: a hoist that needs none is the good answer.
    findings.push(overPeople('secondary', needsSecondary === null ? null : !needsSecondary, 'needs-a-secondary'));
  }
  return ok(findings);
}

function ratingOf(wllKg: number | null, onHoistN: number): HoistFinding {
  if (wllKg === null) return { rule: 'rating', state: 'unknown', reason: 'rating-missing' };
  const capacity = wllKg * STANDARD_GRAVITY;
  const reckoning = {
    formula: 'onHoistN ≤ wllKg · g',
    numbers: { onHoistN, wllKg, g: STANDARD_GRAVITY },
    unit: 'N',
    source: 'marking of the hoist',
  };
  return { rule: 'rating', state: 'measured', demand: onHoistN, capacity, unit: 'N', reckoning };
}

function overPeople(rule: HoistRule, may: boolean | null, refusal: string): HoistFinding {
  if (may === null) return { rule, state: 'unknown', reason: `${refusal}-not-stated` };
  return may ? { rule, state: 'permitted' } : { rule, state: 'forbidden', reason: refusal };
}

/** What a secondary is rated to catch, from its document. Null = not stated. */
export type SecondaryRating = {
  readonly catchesKg: number | null;
  readonly fallM: number | null;
  /** Largest force of the catch [N]; what its own point then sees, as an accidental case. */
  readonly peakN: number | null;
};
export type SecondaryFinding =
  | {
      readonly state: 'rated';
      readonly peakN: number;
      readonly mass: { demand: number; capacity: number };
      readonly fall: { demand: number; capacity: number };
    }
  | { readonly state: 'unknown'; readonly reason: 'no-rated-catch' };

/**
 * A secondary that takes over after a failure. What a catch does follows from stiffness that nobody knows, so only a rated
 * value counts: without one the finding is unknown, whatever its WLL.
 * @param slackM  how far the load falls before the secondary is taut [m]
 */
export function checkSecondary(rating: SecondaryRating, loadKg: number, slackM: number): Result<SecondaryFinding, HoistUseError> {
  const { catchesKg, fallM, peakN } = rating;
  for (const [what, value] of Object.entries({ catchesKg, fallM, peakN, loadKg, slackM })) {
    if (value !== null && !Number.isFinite(value)) return fail({ code: 'not-finite', what });
    if (value !== null && value < 0) return fail({ code: 'rating-negative', what, value });
  }
  if (catchesKg === null || fallM === null || peakN === null) return ok({ state: 'unknown', reason: 'no-rated-catch' });
  return ok({ state: 'rated', peakN, mass: { demand: loadKg, capacity: catchesKg }, fall: { demand: slackM, capacity: fallM } });
}
