import { atan2, degToRad, radToDeg } from '../foundation/elementary.ts';
import { fail, ok } from '../foundation/result.ts';
import type { Result } from '../foundation/result.ts';
import { between, cross, dot, lengthOf } from '../foundation/vector.ts';
import type { PositionM, Vec3 } from '../foundation/vector.ts';

export type Anchor = PositionM & { readonly id: string };

/** A leg and what it carries of a pull of 1 N on the apex; every force of the bridle is this times the pull. */
export type UnitLeg = {
  readonly id: string;
  /** From the apex to the anchor [m]. */
  readonly way: Vec3;
  readonly lengthM: number;
  readonly angleOffVerticalRad: number;
  /** Tension per newton of pull; 0 when slack. */
  readonly tension: number;
  readonly slack: boolean;
};
export type UnitBridle = {
  readonly legs: readonly UnitLeg[];
  /** The apex the legs were solved with: in the plane of two legs, at most `PLANE_TOLERANCE_M` from the one asked for. */
  readonly apex: PositionM;
  readonly movedM: number;
};

export type NumberFault =
  { readonly code: 'not-finite'; readonly what: string } | { readonly code: 'out-of-range'; readonly what: string; readonly limit: number };
/** The facts cross the border as they are, so angles in them are degrees. */
export type BridleError =
  | NumberFault
  | { readonly code: 'too-few-legs'; readonly legs: number }
  | { readonly code: 'indeterminate'; readonly reason: 'four-legs-or-more' | 'anchors-in-line'; readonly legs: number }
  | { readonly code: 'anchors-coincide'; readonly anchors: readonly [string, string] }
  | { readonly code: 'apex-not-below-anchors'; readonly lowestAnchor: string; readonly belowM: number }
  | { readonly code: 'apex-out-of-plane'; readonly offM: number; readonly nearestApex: PositionM }
  | { readonly code: 'leg-in-compression'; readonly legs: readonly string[] }
  | { readonly code: 'leg-too-flat'; readonly legs: readonly { readonly id: string; readonly angleOffVerticalDeg: number }[] };

/** Two legs hold their apex in one plane; this much is taken as inaccuracy of a drawing, more is another place. */
export const PLANE_TOLERANCE_M = 0.005;
const LEAST_DROP_M = 0.001;
/** Closer than this across the pull, two anchors are one. */
const LEAST_SPAN_M = 0.001;
/** From here on a millimetre of length changes the tension by more than it is worth. */
const FLAT_RAD = degToRad(85);
/** A leg that carries less than this share of the load is slack. */
const SLACK_SHARE = 1e-9;
/** Far above any roof; keeps the squares of lengths exact enough. */
const FARTHEST_M = 1e6;
// What decimal fractions lose in binary: 5 mm entered as 0.005 must still be 5 mm.
const ROUNDING_M = 1e-9;
const ROUNDING_RAD = 1e-12;

export const STRAIGHT_DOWN: Vec3 = { x: 0, y: 0, z: -1 };

/**
 * Weightless straight legs from one apex up to two or three anchors, under a pull of 1 N on the apex. Legs only pull.
 * @param pull  direction of the pull, length 1; straight down for a load, along a leg for a ring that carries another bridle
 * @param swingM  two legs are solved where their apex comes to rest, if that is no farther than this from the one asked for
 * @returns the legs in the order of the anchors; refused, first reason first: wrong numbers, indeterminate, apex not below, apex out of
 *          the plane of two legs, a leg that would push, a leg 85° or more off vertical
 * @source equilibrium of a point: Σ f·way + pull = 0, solved by triple products (Cramer), f = tension / length
 */
export function unitBridle(
  apex: PositionM,
  anchors: readonly Anchor[],
  pull: Vec3,
  swingM = PLANE_TOLERANCE_M,
): Result<UnitBridle, BridleError> {
  const [first, second, third] = anchors;
  if (anchors.length > 3) return fail({ code: 'indeterminate', reason: 'four-legs-or-more', legs: anchors.length });
  if (first === undefined || second === undefined) return fail({ code: 'too-few-legs', legs: anchors.length });
  const fault = placeFault(apex, 'apex') ?? anchorFault(anchors);
  if (fault !== null) return fail(fault);
  return third === undefined ? twoLegs(apex, first, second, pull, swingM) : threeLegs(apex, first, second, third, pull);
}

function twoLegs(apex: PositionM, first: Anchor, second: Anchor, pull: Vec3, swingM: number): Result<UnitBridle, BridleError> {
  const normal = cross(between(first, second), pull); // its length is the span across the pull
  const spanM = lengthOf(normal);
  if (spanM < LEAST_SPAN_M) return fail({ code: 'anchors-coincide', anchors: [first.id, second.id] });
  const low = notBelow(apex, [first, second]);
  if (low !== null) return fail(low);
  const offM = dot(between(first, apex), normal) / spanM;
  const shift = offM / spanM;
  const inPlane = { xM: apex.xM - shift * normal.x, yM: apex.yM - shift * normal.y, zM: apex.zM - shift * normal.z };
  if (Math.abs(offM) > swingM + ROUNDING_M) return fail({ code: 'apex-out-of-plane', offM: Math.abs(offM), nearestApex: inPlane });

  const [way1, way2] = [between(inPlane, first), between(inPlane, second)];
  // (way1 × way2)·normal has the sign of the apex's side of the anchors' line, seen along the pull; below, the legs can hold.
  const spread = dot(cross(way1, way2), normal);
  const density1 = -dot(cross(pull, way2), normal) / spread;
  const density2 = -dot(cross(way1, pull), normal) / spread;
  return settled(inPlane, Math.abs(offM), [legUnder(first.id, way1, density1), legUnder(second.id, way2, density2)]);
}

function threeLegs(apex: PositionM, first: Anchor, second: Anchor, third: Anchor, pull: Vec3): Result<UnitBridle, BridleError> {
  const [side1, side2, side3] = [between(first, second), between(second, third), between(third, first)];
  // Seen along the pull: twice the triangle's area over its longest side is its height.
  const longestM = Math.max(lengthOf(cross(side1, pull)), lengthOf(cross(side2, pull)), lengthOf(cross(side3, pull)));
  const facing = dot(cross(side1, side2), pull);
  if (Math.abs(facing) <= PLANE_TOLERANCE_M * longestM) return fail({ code: 'indeterminate', reason: 'anchors-in-line', legs: 3 });
  const low = notBelow(apex, [first, second, third]);
  if (low !== null) return fail(low);

  const [way1, way2, way3] = [between(apex, first), between(apex, second), between(apex, third)];
  const across1 = cross(way2, way3);
  const volume = dot(way1, across1);
  // 0: the apex lies in the anchors' plane although it is below them all, so it is outside their triangle and one leg would push.
  const scale = volume === 0 ? -Math.sign(facing) : volume;
  const density1 = -dot(pull, across1) / scale;
  const density2 = -dot(pull, cross(way3, way1)) / scale;
  const density3 = -dot(pull, cross(way1, way2)) / scale;
  return settled(apex, 0, [legUnder(first.id, way1, density1), legUnder(second.id, way2, density2), legUnder(third.id, way3, density3)]);
}

/** @param density tension per metre of leg and newton of pull */
function legUnder(id: string, way: Vec3, density: number): UnitLeg {
  const lengthM = lengthOf(way);
  const tension = density * lengthM;
  const slack = Math.abs(tension) < SLACK_SHARE;
  const angleOffVerticalRad = atan2(Math.sqrt(way.x * way.x + way.y * way.y), way.z);
  return { id, way, lengthM, angleOffVerticalRad, tension: slack ? 0 : tension, slack };
}

function settled(apex: PositionM, movedM: number, legs: readonly UnitLeg[]): Result<UnitBridle, BridleError> {
  let sound = true;
  for (const leg of legs) sound &&= leg.tension >= 0 && leg.angleOffVerticalRad < FLAT_RAD - ROUNDING_RAD;
  if (sound) return ok({ legs, apex, movedM });
  const pushing = legs.filter((leg) => !(leg.tension >= 0)).map(({ id }) => id);
  if (pushing.length > 0) return fail({ code: 'leg-in-compression', legs: pushing });
  const flat = legs.filter((leg) => leg.angleOffVerticalRad >= FLAT_RAD - ROUNDING_RAD);
  return fail({
    code: 'leg-too-flat',
    legs: flat.map(({ id, angleOffVerticalRad }) => ({ id, angleOffVerticalDeg: radToDeg(angleOffVerticalRad) })),
  });
}

function notBelow(apex: PositionM, anchors: readonly Anchor[]): BridleError | null {
  let lowest = anchors[0];
  for (const anchor of anchors) if (lowest === undefined || anchor.zM < lowest.zM) lowest = anchor;
  if (lowest === undefined || lowest.zM - apex.zM >= LEAST_DROP_M - ROUNDING_M) return null;
  return { code: 'apex-not-below-anchors', lowestAnchor: lowest.id, belowM: lowest.zM - apex.zM };
}

/** What is wrong with a place: not a number, or farther off than any roof. */
export function placeFault(place: PositionM, what: string): NumberFault | null {
  const farthest = Math.max(Math.abs(place.xM), Math.abs(place.yM), Math.abs(place.zM));
  if (farthest <= FARTHEST_M) return null;
  return Number.isFinite(farthest) ? { code: 'out-of-range', what, limit: FARTHEST_M } : { code: 'not-finite', what };
}

export function anchorFault(anchors: readonly Anchor[]): NumberFault | null {
  for (const anchor of anchors) {
    const fault = placeFault(anchor, anchor.id);
    if (fault !== null) return fault;
  }
  return null;
}
