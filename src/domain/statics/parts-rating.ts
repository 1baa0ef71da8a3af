import type { Result } from '../foundation/result.ts';
import { fail, ok } from '../foundation/result.ts';
import { STANDARD_GRAVITY } from '../foundation/units.ts';
import type { Reckoning } from './hoist-line-reckoning.ts';

export type PartKind =
  'wireRope' | 'textile' | 'chain' | 'shackle' | 'ring' | 'adjuster' | 'spreader' | 'clamp' | 'eye' | 'loadCell' | 'secondary';

/** From the part's own marking or document; null = not stated. A table of sizes is never a rating. */
export type PartRating = {
  readonly wllKg: number | null;
  readonly breakingForceN: number | null;
  /** Of the finished part, or of the bare rope, whose ends hold less. */
  readonly breakingForceOf: 'part' | 'rope';
  /** Share of the bare rope's breaking force that its ends hold; needed only for a bare rope. */
  readonly terminationEfficiency: number | null;
};

/** The venue's values: share of a stated WLL that may be used, and divisors of a breaking force. */
export type PartFactors = {
  readonly wllShare: number;
  readonly wireRope: number;
  readonly shackle: number;
  readonly textile: number;
  readonly chain: number;
};

export type PartCapacity =
  | { readonly known: true; readonly capacityN: number; readonly reckoning: Reckoning }
  | { readonly known: false; readonly reason: 'rating-missing' | 'termination-missing' };
export type PartRatingError =
  | { code: 'not-finite'; what: string }
  | { code: 'rating-negative'; what: string; value: number }
  | { code: 'factor-out-of-range'; what: string; factor: number };

/** Metal parts that are neither rope nor chain are held to the shackle's factor, the highest of the metal ones. */
const FACTOR_OF = { wireRope: 'wireRope', textile: 'textile', chain: 'chain' } as const;
const isRope = (kind: PartKind): kind is keyof typeof FACTOR_OF => Object.hasOwn(FACTOR_OF, kind);

/**
 * Pull that a part may see in a straight line. Where WLL and breaking force are both stated, the smaller result counts.
 * @returns force [N], or why it is unknown; or a typed refusal of a number that cannot be
 * @source share · WLL · g, breaking force · termination efficiency / factor; over people half the WLL, and 10, 14 textile, 8 chain
 *         (DGUV Information 215-313 §1.4, Table 1); else 5, 7 textile, 4 chain (2006/42/EC Annex I 4.1.2.5, EN 13889)
 */
export function partCapacity(kind: PartKind, rating: PartRating, factors: PartFactors): Result<PartCapacity, PartRatingError> {
  const { wllKg, breakingForceN, breakingForceOf, terminationEfficiency } = rating;
  for (const [what, value] of Object.entries({ wllKg, breakingForceN })) {
    if (value !== null && !Number.isFinite(value)) return fail({ code: 'not-finite', what });
    if (value !== null && value < 0) return fail({ code: 'rating-negative', what, value });
  }
  const divisor = factors[isRope(kind) ? FACTOR_OF[kind] : 'shackle'];
  if (!(divisor >= 1 && divisor <= 1000)) return fail({ code: 'factor-out-of-range', what: kind, factor: divisor });
  if (!(factors.wllShare > 0 && factors.wllShare <= 1))
    return fail({ code: 'factor-out-of-range', what: 'wllShare', factor: factors.wllShare });
  if (terminationEfficiency !== null && !(terminationEfficiency > 0 && terminationEfficiency <= 1)) {
    return fail({ code: 'factor-out-of-range', what: 'terminationEfficiency', factor: terminationEfficiency });
  }
  const efficiency = breakingForceOf === 'part' ? 1 : terminationEfficiency;
  const byWllN = wllKg === null ? null : factors.wllShare * wllKg * STANDARD_GRAVITY;
  const byBreakingN = breakingForceN === null || efficiency === null ? null : (breakingForceN * efficiency) / divisor;
  if (byWllN !== null && !Number.isFinite(byWllN)) return fail({ code: 'not-finite', what: 'wllKg' });
  if (byWllN !== null && (byBreakingN === null || byWllN <= byBreakingN)) {
    const numbers = { wllShare: factors.wllShare, wllKg: wllKg ?? 0, g: STANDARD_GRAVITY };
    return ok({
      known: true,
      capacityN: byWllN,
      reckoning: { formula: 'wllShare · wllKg · g', numbers, unit: 'N', source: 'marking; share of the policy' },
    });
  }
  if (byBreakingN !== null) {
    const numbers = { breakingForceN: breakingForceN ?? 0, terminationEfficiency: efficiency ?? 0, factor: divisor };
    const formula = 'breakingForceN · terminationEfficiency / factor';
    return ok({
      known: true,
      capacityN: byBreakingN,
      reckoning: { formula, numbers, unit: 'N', source: 'document; factor of the policy' },
    });
  }
  return ok({ known: false, reason: breakingForceN === null ? 'rating-missing' : 'termination-missing' });
}
