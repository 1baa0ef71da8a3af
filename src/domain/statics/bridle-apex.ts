import { fail, ok } from '../foundation/result.ts';
import type { Result } from '../foundation/result.ts';
import { between, cross, distanceM, dot, lengthOf } from '../foundation/vector.ts';
import type { PositionM, Vec3 } from '../foundation/vector.ts';
import { anchorFault, STRAIGHT_DOWN, unitBridle } from './bridle-legs.ts';
import type { Anchor, BridleError, UnitBridle } from './bridle-legs.ts';
import { loadFault, underLoad } from './bridle.ts';
import type { Bridle, LoadError } from './bridle.ts';

export type CutLeg = Anchor & { readonly legM: number };
export type ApexError =
  | Exclude<BridleError, { code: 'leg-in-compression' }>
  | LoadError
  | { readonly code: 'leg-length-not-positive'; readonly leg: string; readonly legM: number }
  /** `legs-too-short`: no place is in reach of all. `leg-too-long`: `slackLegs` never pull taut, the load rests at `plumbApex`. */
  | { readonly code: 'legs-do-not-meet'; readonly reason: 'legs-too-short' }
  | {
      readonly code: 'legs-do-not-meet';
      readonly reason: 'leg-too-long';
      readonly slackLegs: readonly string[];
      readonly plumbApex: PositionM;
    }
  /** All legs can meet, but there one would push: the load swings away from it and rests at `plumbApex`. */
  | { readonly code: 'leg-in-compression'; readonly slackLegs: readonly string[]; readonly plumbApex: PositionM | null };

/** Lengths agree when they agree to this; well below what a tape reads. */
const REACH_M = 1e-9;

/**
 * Where legs of known lengths meet under a load, and what they carry: the lower of the two places.
 * @param loadN  weight at the apex [N]; 0 when only the place is asked for
 * @param legs   anchors with the length of each leg, bearing to bearing [m]
 * @source intersection of two circles in the anchors' plane, of three spheres; the place of rest is the lowest in reach of every leg
 */
export function solveCutLegs(loadN: number, legs: readonly CutLeg[]): Result<Bridle & { readonly apex: PositionM }, ApexError> {
  const fault = loadFault(loadN);
  if (fault !== null) return fail(fault);
  const unit = unitCutLegs(legs);
  return unit.ok ? ok({ ...underLoad(unit.value, loadN), apex: unit.value.apex }) : unit;
}

/** As `solveCutLegs`, under a pull of 1 N. */
export function unitCutLegs(legs: readonly CutLeg[]): Result<UnitBridle, ApexError> {
  const [first, second, third] = legs;
  if (legs.length > 3) return fail({ code: 'indeterminate', reason: 'four-legs-or-more', legs: legs.length });
  if (first === undefined || second === undefined) return fail({ code: 'too-few-legs', legs: legs.length });
  const fault = anchorFault(legs) ?? legFault(legs);
  if (fault !== null) return fail(fault);

  const apex = third === undefined ? circlesMeet(first, second) : spheresMeet(first, second, third);
  if (apex === 'in-line') {
    if (third === undefined) return fail({ code: 'anchors-coincide', anchors: [first.id, second.id] });
    return fail({ code: 'indeterminate', reason: 'anchors-in-line', legs: 3 });
  }
  if (apex === null) {
    const rest = placeOfRest(legs);
    return fail(
      rest === null
        ? { code: 'legs-do-not-meet', reason: 'legs-too-short' }
        : { code: 'legs-do-not-meet', reason: 'leg-too-long', slackLegs: rest.slackLegs, plumbApex: rest.apex },
    );
  }
  const unit = unitBridle(apex, legs, STRAIGHT_DOWN);
  if (unit.ok) return unit;
  // A leg that would push hangs slack instead, also where that place is not below every anchor.
  const pushes = unit.error.code === 'leg-in-compression' || unit.error.code === 'apex-not-below-anchors';
  const rest = pushes ? placeOfRest(legs) : null;
  if (rest !== null) return fail({ code: 'leg-in-compression', slackLegs: rest.slackLegs, plumbApex: rest.apex });
  if (unit.error.code === 'leg-in-compression') return fail({ code: 'leg-in-compression', slackLegs: unit.error.legs, plumbApex: null });
  return fail(unit.error);
}

/** Lower meeting place of two circles in the vertical plane of their anchors; null when they do not meet. */
function circlesMeet(first: CutLeg, second: CutLeg): PositionM | null | 'in-line' {
  const line = between(first, second);
  const spanM = Math.sqrt(line.x * line.x + line.y * line.y);
  if (spanM < 0.001) return 'in-line';
  const apartM = lengthOf(line);
  const doubledAreaM2 = doubledTriangleArea(apartM, first.legM, second.legM);
  if (doubledAreaM2 === null) return null;
  const alongM = ((first.legM - second.legM) * (first.legM + second.legM) + apartM * apartM) / (2 * apartM);
  const belowM = doubledAreaM2 / apartM;
  // Unit vectors: along the line of the anchors, and square to it downwards in the vertical plane.
  const along = { x: line.x / apartM, y: line.y / apartM, z: line.z / apartM };
  const down = { x: (along.z * line.x) / spanM, y: (along.z * line.y) / spanM, z: -spanM / apartM };
  return moved(moved(first, along, alongM), down, belowM);
}

/** Lower meeting place of three spheres; null when they do not meet, 'in-line' when the anchors lie in one vertical plane. */
function spheresMeet(first: CutLeg, second: CutLeg, third: CutLeg): PositionM | null | 'in-line' {
  const [toSecond, toThird] = [between(first, second), between(first, third)];
  const square = cross(toSecond, toThird);
  const squareLength = lengthOf(square);
  if (squareLength === 0 || square.z === 0) return 'in-line';
  const apartM = lengthOf(toSecond);
  const alongFirst = scaled(toSecond, 1 / apartM);
  const normal = scaled(square, (square.z < 0 ? 1 : -1) / squareLength); // square to the anchors' plane, downwards
  const alongSecond = cross(normal, alongFirst);
  const [iM, jM] = [dot(alongFirst, toThird), dot(alongSecond, toThird)];
  const xM = ((first.legM - second.legM) * (first.legM + second.legM) + apartM * apartM) / (2 * apartM);
  const yM = ((first.legM - third.legM) * (first.legM + third.legM) + iM * iM + jM * jM - 2 * iM * xM) / (2 * jM);
  const inPlaneM = Math.sqrt(xM * xM + yM * yM);
  const depthSquared = (first.legM - inPlaneM) * (first.legM + inPlaneM);
  if (depthSquared < 0) return null;
  const foot = moved(moved(first, alongFirst, xM), alongSecond, yM);
  return moved(foot, normal, Math.sqrt(depthSquared));
}

/**
 * Where a load comes to rest on legs of which some are slack: the lowest place within reach of all. That place is unique; it hangs
 * plumb under one anchor, or in the plane of two, with all others slack. Null when none is in reach of all (or all would be taut).
 */
function placeOfRest(legs: readonly CutLeg[]): { apex: PositionM; slackLegs: string[] } | null {
  const inReach = (apex: PositionM): boolean => legs.every((leg) => distanceM(apex, leg) <= leg.legM + REACH_M);
  const restOn = (apex: PositionM, taut: readonly CutLeg[]) => ({
    apex,
    slackLegs: legs.filter((leg) => !taut.includes(leg)).map(({ id }) => id),
  });
  for (const leg of legs) {
    const plumb = { xM: leg.xM, yM: leg.yM, zM: leg.zM - leg.legM };
    if (inReach(plumb)) return restOn(plumb, [leg]);
  }
  for (const [index, first] of legs.entries()) {
    for (const second of legs.slice(index + 1)) {
      const apex = legs.length > 2 ? circlesMeet(first, second) : null;
      // Between its two anchors in plan both pull; beside them it would be plumb under one, which was tried above.
      if (apex !== null && apex !== 'in-line' && isBetweenInPlan(apex, first, second) && inReach(apex))
        return restOn(apex, [first, second]);
    }
  }
  return null;
}

function isBetweenInPlan(place: PositionM, first: PositionM, second: PositionM): boolean {
  const [line, way] = [between(first, second), between(first, place)];
  const share = (line.x * way.x + line.y * way.y) / (line.x * line.x + line.y * line.y);
  return share >= 0 && share <= 1;
}

/**
 * Twice the area of a triangle [m²], null when its sides do not close. Kahan's arrangement keeps the digits of flat triangles.
 * @source W. Kahan, "Miscalculating Area and Angles of a Needle-like Triangle", from memory
 */
function doubledTriangleArea(aM: number, bM: number, cM: number): number | null {
  const longest = Math.max(aM, bM, cM);
  const shortest = Math.min(aM, bM, cM);
  const middle = Math.max(Math.min(aM, bM), Math.min(Math.max(aM, bM), cM));
  const closes = shortest - (longest - middle);
  if (closes < 0) return null;
  return Math.sqrt((longest + (middle + shortest)) * closes * (shortest + (longest - middle)) * (longest + (middle - shortest))) / 2;
}

function legFault(legs: readonly CutLeg[]): ApexError | null {
  for (const { id, legM } of legs) {
    if (!Number.isFinite(legM)) return { code: 'not-finite', what: id };
    if (legM <= 0) return { code: 'leg-length-not-positive', leg: id, legM };
    if (legM > 1e6) return { code: 'out-of-range', what: id, limit: 1e6 };
  }
  return null;
}

const scaled = (a: Vec3, factor: number): Vec3 => ({ x: a.x * factor, y: a.y * factor, z: a.z * factor });
const moved = (from: PositionM, way: Vec3, byM: number): PositionM => ({
  xM: from.xM + way.x * byM,
  yM: from.yM + way.y * byM,
  zM: from.zM + way.z * byM,
});
