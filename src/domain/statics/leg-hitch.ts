import { atan2, cos, degToRad, radToDeg } from '../foundation/elementary.ts';
import { fail, ok } from '../foundation/result.ts';
import type { Result } from '../foundation/result.ts';

/**
 * How a sling takes hold of a member. In a basket both ends come up to the pick; a wrap is a basket with extra turns, whose friction may
 * hold a part of the load but is never counted: a wrap is not a rating.
 */
export type Hitch =
  | { readonly kind: 'straight' }
  /** `factor`: what is left of the rating when the sling bites into itself. */
  | { readonly kind: 'choke'; readonly factor: number }
  /** Angle between the two parts of the sling, at the pick. The pull is taken to halve it. */
  | { readonly kind: 'basket' | 'wrap'; readonly includedAngleRad: number };

export type HitchedSling = {
  /** In each part of the sling [N]. */
  readonly tensionN: number;
  /** What the sling must be rated for in a straight pull [N]. */
  readonly straightRatingN: number;
};
export type HitchError =
  | { readonly code: 'not-finite'; readonly what: string }
  | { readonly code: 'load-negative'; readonly loadN: number }
  | { readonly code: 'hitch-angle-negative'; readonly includedAngleDeg: number }
  | { readonly code: 'hitch-too-flat'; readonly includedAngleDeg: number }
  | { readonly code: 'choke-factor-impossible'; readonly factor: number };

const FLATTEST_RAD = degToRad(170); // each part 85° off the pull, where a leg of a bridle is refused too

/**
 * Tension in a sling that carries `pullN` by this hitch.
 * @source basket: equilibrium at the pick, T = W / (2 cos(a/2)); choke: EN 13414-1 and ASME B30.9 give the factor (from memory)
 */
export function hitchedSling(pullN: number, hitch: Hitch): Result<HitchedSling, HitchError> {
  if (!Number.isFinite(pullN)) return fail({ code: 'not-finite', what: 'pull' });
  if (pullN < 0) return fail({ code: 'load-negative', loadN: pullN });
  switch (hitch.kind) {
    case 'straight':
      return ok({ tensionN: pullN, straightRatingN: pullN });
    case 'choke':
      if (!(hitch.factor > 0 && hitch.factor <= 1)) return fail({ code: 'choke-factor-impossible', factor: hitch.factor });
      return ok({ tensionN: pullN, straightRatingN: pullN / hitch.factor });
    case 'basket':
    case 'wrap': {
      const { includedAngleRad } = hitch;
      if (!Number.isFinite(includedAngleRad)) return fail({ code: 'not-finite', what: 'included angle' });
      if (includedAngleRad < 0) return fail({ code: 'hitch-angle-negative', includedAngleDeg: radToDeg(includedAngleRad) });
      if (includedAngleRad >= FLATTEST_RAD) return fail({ code: 'hitch-too-flat', includedAngleDeg: radToDeg(includedAngleRad) });
      const tensionN = pullN / (2 * cos(includedAngleRad / 2));
      return ok({ tensionN, straightRatingN: tensionN });
    }
  }
}

/** A member as a sling feels it: the rectangle round its section [m]. */
export type WrappedMember = { readonly widthM: number; readonly heightM: number };
export type SlingAround = {
  /** From the member's underside down to the pick [m]. */
  readonly dropM: number;
  readonly includedAngleRad: number;
};
export type SlingAroundError =
  | { readonly code: 'length-impossible'; readonly what: 'slingM' | 'widthM' | 'heightM'; readonly lengthM: number }
  | { readonly code: 'turns-impossible'; readonly extraTurns: number }
  | { readonly code: 'sling-too-short'; readonly neededM: number };

/**
 * Where a sling round a member hangs: over the top, down both sides, and from the lower edges together at the pick, which is plumb
 * under the middle.
 * @param slingM      length between the bearings of its eyes [m]
 * @param extraTurns  full turns besides the one over the top; 0 for a basket
 * @returns drop and included angle, or the length from which it would hang less than 85° off plumb
 * @source right-angled triangle of half the width, the drop and one tail
 */
export function slingAround(slingM: number, { widthM, heightM }: WrappedMember, extraTurns: number): Result<SlingAround, SlingAroundError> {
  for (const [what, lengthM] of [
    ['slingM', slingM],
    ['widthM', widthM],
    ['heightM', heightM],
  ] as const) {
    if (!(lengthM > 0 && lengthM <= 1e4)) return fail({ code: 'length-impossible', what, lengthM });
  }
  if (!(Number.isInteger(extraTurns) && extraTurns >= 0 && extraTurns <= 100)) return fail({ code: 'turns-impossible', extraTurns });
  const roundM = widthM + 2 * heightM + extraTurns * 2 * (widthM + heightM);
  const tailM = (slingM - roundM) / 2;
  const halfM = widthM / 2;
  const shortestTailM = halfM / cos(degToRad(5)); // sin 85°
  if (tailM <= shortestTailM) return fail({ code: 'sling-too-short', neededM: roundM + 2 * shortestTailM });
  const dropM = Math.sqrt((tailM - halfM) * (tailM + halfM));
  return ok({ dropM, includedAngleRad: 2 * atan2(halfM, dropM) });
}
