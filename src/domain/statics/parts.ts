import { degToRad } from '../foundation/elementary.ts';
import type { Result } from '../foundation/result.ts';
import { fail, ok } from '../foundation/result.ts';
import { STANDARD_GRAVITY } from '../foundation/units.ts';
import type { Reckoning } from './hoist-line-reckoning.ts';
import type { Hitch, HitchError } from './leg-hitch.ts';
import { hitchedSling } from './leg-hitch.ts';
import type { PartFactors, PartKind, PartRating, PartRatingError } from './parts-rating.ts';
import { partCapacity } from './parts-rating.ts';

/** One part of a leg or a line and how it is used. Null = not stated. */
export type PartUsed = {
  readonly id: string;
  readonly kind: PartKind;
  readonly rating: PartRating;
  /** Pull on the part [N]: for a sling what hangs on it, for a shackle or ring the resultant. */
  readonly pullN: number;
  /** How a sling takes hold; everything else is pulled straight. */
  readonly hitch: Hitch;
  /** Diameter of what a sling bends round over its own, and the smallest its document permits. */
  readonly bend: { readonly ratio: number | null; readonly leastRatio: number | null };
  /** Angle between the pull and the line for which the part is made [rad]: across a shackle's bow, off vertical at a clamp or an eye. */
  readonly sideAngleRad: number | null;
  /** Largest such angle that the part's marking permits; null = nothing is marked. */
  readonly markedAngleRad: number | null;
  readonly shackle: ShackleUse | null;
  readonly clamp: ClampUse | null;
};
export type ShackleUse = {
  readonly pin: 'screw' | 'bolt' | 'round' | null;
  /** Slings that pull on the bow, and the angle between them. */
  readonly legsOnBow: number;
  readonly includedAngleRad: number | null;
};
export type ClampUse = { readonly flangeM: number | null; readonly fromM: number | null; readonly toM: number | null };

export type PartRule = 'rating' | 'bend' | 'side-load' | 'bow-angle' | 'legs-on-bow' | 'flange';
export type PartFinding = { readonly partId: string; readonly rule: PartRule } & (
  | {
      readonly state: 'measured';
      readonly demand: number;
      readonly capacity: number;
      readonly unit: 'N' | 'rad' | 'm' | 'ratio';
      readonly reckoning: Reckoning;
    }
  | { readonly state: 'forbidden'; readonly reason: string }
  | { readonly state: 'unknown'; readonly reason: string }
);
export type PartsPolicy = {
  readonly factors: PartFactors;
  /** Up to this angle a pull counts as vertical at a clamp or a plain eye; the policy's plumb tolerance. */
  readonly verticalWithinRad: number;
};
export type PartError = PartRatingError | HitchError | { code: 'angle-negative'; what: string; angleRad: number };

const IN_LINE_RAD = degToRad(5); // a pull this near its line counts as in line (29 CFR 1910.184(b); WAC 296-155-33905 Figure 17)
// ASME B30.26 side-load figure (read second-hand), bands of WAC 296-155-33905 Figure 17 (factors from memory).
// In between, the next worse step: no interpolation is published.
const SIDE_BANDS = [
  { upToRad: IN_LINE_RAD, factor: 1 },
  { upToRad: degToRad(45), factor: 0.7 },
  { upToRad: degToRad(90), factor: 0.5 },
];
const LARGEST_BOW_ANGLE_RAD = degToRad(120); // ASME B30.26: two slings in one shackle bow at its full limit
const ANGLE_SLACK = 1e-9; // degrees turned into radians and back

/**
 * What is left of a shackle's limit when it is pulled across its bow. Screw-pin and bolt-type only.
 * @returns factor on the limit; null beyond 90°, where only the maker may say
 */
export function shackleSideFactor(sideAngleRad: number): number | null {
  return SIDE_BANDS.find(({ upToRad }) => sideAngleRad <= upToRad * (1 + ANGLE_SLACK))?.factor ?? null;
}

/**
 * One part against everything that its kind is held to: rating at its tension with hitch and side load, bend, bow, flange, angle.
 * @returns findings; `unknown` where a fact is missing, `forbidden` where a rule is broken that has no number; or a typed refusal
 * @source hitch: equilibrium at the pick (`hitchedSling`); side load, bow: ASME B30.26; clamps and plain eyes: vertical load only unless marked
 */
export function checkPart(part: PartUsed, policy: PartsPolicy): Result<PartFinding[], PartError> {
  for (const [what, angleRad] of Object.entries({
    sideAngleRad: part.sideAngleRad,
    markedAngleRad: part.markedAngleRad,
    includedAngleRad: part.shackle?.includedAngleRad ?? null,
  })) {
    if (angleRad === null) continue;
    if (!Number.isFinite(angleRad)) return fail({ code: 'not-finite', what });
    if (angleRad < 0) return fail({ code: 'angle-negative', what, angleRad });
  }
  const rating = ratingFinding(part, policy);
  if (!rating.ok) return rating;
  const findings: (PartFinding | null)[] = [
    rating.value,
    bendFinding(part),
    sideFinding(part, policy),
    ...bowFindings(part),
    flangeFinding(part),
  ];
  return ok(findings.filter((finding) => finding !== null));
}

/** Pull on each part of a line [N], from the bottom up: what hangs below it, and its own weight, so that a long heavy leg is not forgotten. */
export function pullsUpLine(pullBelowN: number, massesKg: readonly number[]): number[] {
  let pullN = pullBelowN;
  return massesKg.map((massKg) => (pullN += massKg * STANDARD_GRAVITY));
}

function ratingFinding(part: PartUsed, policy: PartsPolicy): Result<PartFinding, PartError> {
  const about = { partId: part.id, rule: 'rating' } as const;
  const sling = hitchedSling(part.pullN, part.hitch);
  if (!sling.ok) return sling;
  const capacity = partCapacity(part.kind, part.rating, policy.factors);
  if (!capacity.ok) return capacity;
  if (!capacity.value.known) return ok({ ...about, state: 'unknown', reason: capacity.value.reason });
  // A side load that is not known, or beyond what is published, is told by its own rule; here the whole limit would be a pass.
  const sideFactor = part.kind === 'shackle' ? shackleSideFactor(part.sideAngleRad ?? Infinity) : 1;
  if (sideFactor === null)
    return ok({ ...about, state: 'unknown', reason: part.sideAngleRad === null ? 'side-angle-missing' : 'side-load-beyond-90' });
  const { capacityN, reckoning } = capacity.value;
  return ok({
    ...about,
    state: 'measured',
    demand: sling.value.straightRatingN,
    capacity: capacityN * sideFactor,
    unit: 'N',
    reckoning: {
      ...reckoning,
      formula: `${reckoning.formula}${part.kind === 'shackle' ? ' · sideFactor' : ''}; needs ${needOf(part.hitch)}`,
      numbers: { ...reckoning.numbers, ...(part.kind === 'shackle' ? { sideFactor } : {}), pullN: part.pullN, ...numbersOf(part.hitch) },
    },
  });
}

const needOf = (hitch: Hitch) =>
  hitch.kind === 'straight' ? 'pullN' : hitch.kind === 'choke' ? 'pullN / chokeFactor' : 'pullN / (2 cos(includedAngleRad / 2))';
const numbersOf = (hitch: Hitch): Record<string, number> =>
  hitch.kind === 'straight' ? {} : hitch.kind === 'choke' ? { chokeFactor: hitch.factor } : { includedAngleRad: hitch.includedAngleRad };

/** A sling that bends round something needs room: how much, only its document says. */
function bendFinding({ id, kind, hitch, bend }: PartUsed): PartFinding | null {
  const about = { partId: id, rule: 'bend' } as const;
  if (hitch.kind === 'straight' || (kind !== 'wireRope' && kind !== 'textile' && kind !== 'chain')) return null;
  const { ratio, leastRatio } = bend;
  if (ratio === null || !Number.isFinite(ratio)) return { ...about, state: 'unknown', reason: 'bend-ratio-missing' };
  if (leastRatio === null || !Number.isFinite(leastRatio)) return { ...about, state: 'unknown', reason: 'least-bend-ratio-missing' };
  const reckoning = { formula: 'leastRatio ≤ ratio', numbers: { leastRatio, ratio }, unit: '', source: 'document of the sling' };
  return { ...about, state: 'measured', demand: leastRatio, capacity: ratio, unit: 'ratio', reckoning };
}

/** Shackles lose by bands (in the rating); everything made for one line takes no more than its marking says. */
function sideFinding(part: PartUsed, { verticalWithinRad }: PartsPolicy): PartFinding | null {
  const { id, kind, sideAngleRad, markedAngleRad, shackle } = part;
  const about = { partId: id, rule: 'side-load' } as const;
  if (kind === 'shackle') {
    if (sideAngleRad === null) return { ...about, state: 'unknown', reason: 'side-angle-missing' };
    if (sideAngleRad <= IN_LINE_RAD * (1 + ANGLE_SLACK)) return null;
    const pin = shackle?.pin ?? null;
    if (pin === null) return { ...about, state: 'unknown', reason: 'pin-missing' };
    return pin === 'round' ? { ...about, state: 'forbidden', reason: 'round-pin-takes-no-side-load' } : null;
  }
  if (!MADE_FOR_ONE_LINE.includes(kind)) return null;
  const verticalOnly = kind === 'clamp' || kind === 'eye';
  if (sideAngleRad === null) return { ...about, state: 'unknown', reason: 'side-angle-missing' };
  if (markedAngleRad === null) {
    if (sideAngleRad <= (verticalOnly ? verticalWithinRad : IN_LINE_RAD) * (1 + ANGLE_SLACK)) return null;
    return verticalOnly
      ? { ...about, state: 'forbidden', reason: 'vertical-load-only' }
      : { ...about, state: 'unknown', reason: 'side-load-not-marked' };
  }
  const reckoning = { formula: 'sideAngleRad ≤ markedAngleRad', numbers: { sideAngleRad, markedAngleRad }, unit: 'rad', source: 'marking' };
  return { ...about, state: 'measured', demand: sideAngleRad, capacity: markedAngleRad, unit: 'rad', reckoning };
}
const MADE_FOR_ONE_LINE: readonly PartKind[] = ['clamp', 'eye', 'adjuster', 'loadCell', 'spreader'];

function bowFindings({ id, kind, shackle }: PartUsed): PartFinding[] {
  if (kind !== 'shackle') return [];
  if (shackle === null) return [{ partId: id, rule: 'legs-on-bow', state: 'unknown', reason: 'legs-on-bow-missing' }];
  const { legsOnBow, includedAngleRad } = shackle;
  if (!Number.isInteger(legsOnBow) || legsOnBow < 1)
    return [{ partId: id, rule: 'legs-on-bow', state: 'unknown', reason: 'legs-on-bow-missing' }];
  if (legsOnBow === 1) return [];
  if (legsOnBow > 2) return [{ partId: id, rule: 'legs-on-bow', state: 'forbidden', reason: 'three-legs-need-a-ring' }];
  if (includedAngleRad === null) return [{ partId: id, rule: 'bow-angle', state: 'unknown', reason: 'included-angle-missing' }];
  const numbers = { includedAngleRad, largestRad: LARGEST_BOW_ANGLE_RAD };
  const reckoning = { formula: 'includedAngleRad ≤ largestRad', numbers, unit: 'rad', source: 'ASME B30.26, 120°' };
  return [
    { partId: id, rule: 'bow-angle', state: 'measured', demand: includedAngleRad, capacity: LARGEST_BOW_ANGLE_RAD, unit: 'rad', reckoning },
  ];
}

function flangeFinding({ id, kind, clamp }: PartUsed): PartFinding | null {
  const about = { partId: id, rule: 'flange' } as const;
  if (kind !== 'clamp') return null;
  const { flangeM, fromM, toM } = clamp ?? { flangeM: null, fromM: null, toM: null };
  if (flangeM === null || !Number.isFinite(flangeM)) return { ...about, state: 'unknown', reason: 'flange-width-missing' };
  if (fromM === null || toM === null || !Number.isFinite(fromM + toM)) return { ...about, state: 'unknown', reason: 'clamp-range-missing' };
  if (flangeM < fromM) return { ...about, state: 'forbidden', reason: 'flange-too-narrow' };
  const reckoning = { formula: 'fromM ≤ flangeM ≤ toM', numbers: { fromM, flangeM, toM }, unit: 'm', source: 'marking of the clamp' };
  return { ...about, state: 'measured', demand: flangeM, capacity: toM, unit: 'm', reckoning };
}
