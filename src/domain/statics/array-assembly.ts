import { PI, cos, sin } from '../foundation/elementary.ts';
import type { Result } from '../foundation/result.ts';
import { fail, ok } from '../foundation/result.ts';

/** A place in the side plane [m]: u forward (where the array looks), v up. */
export type SidePoint = { readonly uM: number; readonly vM: number };
export type FrameHole = SidePoint & { readonly id: string };

export type ArrayFrame = {
  readonly massKg: number;
  readonly cg: SidePoint;
  /** Where the first element hangs. */
  readonly bottomPivot: SidePoint;
  /** Any one origin serves for CG, pivot and holes. */
  readonly holes: readonly FrameHole[];
};
/** Cabinet or adaptor in its own axes: its top pivot is (0, 0). Each element brings its own geometry, so mixed arrays need nothing special. */
export type ArrayElement = {
  readonly massKg: number;
  readonly cg: SidePoint;
  readonly bottomPivot: SidePoint;
  /** Outline in the side plane; absent or empty = not known, the lowest corner is then not known either. */
  readonly corners?: readonly SidePoint[];
  /** Angle to the element above [rad], positive nose down; opens downwards, may be negative at the first joint and at adaptors. */
  readonly splayRad: number;
};
/** Cable, tie-off or another mass at a stated place of the frame or of one element (counted from 0), in that part's axes. */
export type ExtraMass = SidePoint & { readonly on: 'frame' | number; readonly massKg: number };

export type ArrayBuild = {
  readonly frame: ArrayFrame;
  readonly elements: readonly ArrayElement[];
  readonly extraMasses: readonly ExtraMass[];
};

export type AssemblyError =
  | { code: 'not-finite'; what: string }
  | { code: 'mass-negative'; what: string; massKg: number }
  | { code: 'angle-beyond-a-turn'; what: string; angleRad: number }
  | { code: 'no-mass' }
  | { code: 'no-such-element'; on: number; elements: number }
  | { code: 'hole-twice'; hole: string };

/** Mass and its first moment about the frame's origin [kg, kg·m]. */
export type MassMoment = { readonly massKg: number; readonly uKgM: number; readonly vKgM: number };

export type OutlinePoint = SidePoint & { readonly of: 'frame' | number };

/** The array pinned together, seen in the frame's axes: rigid, so one rotation brings it to any frame pitch. */
export type ArrayAssembly = {
  readonly holes: readonly FrameHole[];
  /** Entry n: frame and the first n elements with their extra masses. */
  readonly upTo: readonly MassMoment[];
  readonly tops: readonly SidePoint[];
  /** Turn of each element against the frame [rad]: minus the sum of splays down to it. */
  readonly turnsRad: readonly number[];
  readonly outline: readonly OutlinePoint[];
  /** Elements whose corners were not given; only their pivots are in the outline. */
  readonly withoutCorners: readonly number[];
};

const LARGEST_KG_OR_M = 1e100; // far beyond anything real, and products of such numbers are still finite

/** More than one turn is a slip of units (degrees read as radians), and keeps the sum of splays within what sine and cosine take. */
export const LARGEST_ANGLE_RAD = 2 * PI;
const LARGEST_TURN_RAD = 1e6;

const isSane = (point: SidePoint) => Math.abs(point.uM) <= LARGEST_KG_OR_M && Math.abs(point.vM) <= LARGEST_KG_OR_M;

/**
 * Hangs every element by its top pivot from the bottom pivot of the one above, in the frame's axes.
 * Positive pitch is nose up: (u, v) → (u cos p - v sin p, u sin p + v cos p); element k is turned by minus its summed splays.
 * @returns masses, moments and outline [kg, m], or a typed refusal of a number that cannot be
 * @source rigid-body geometry in the side plane; CG = Σ m·r / Σ m
 */
export function assembleArray({ frame, elements, extraMasses }: ArrayBuild): Result<ArrayAssembly, AssemblyError> {
  const fault = faultIn(frame, elements, extraMasses);
  if (fault) return fail(fault);

  let [massKg, uKgM, vKgM] = [0, 0, 0];
  const weigh = (partKg: number, uM: number, vM: number) => {
    massKg += partKg;
    uKgM += partKg * uM;
    vKgM += partKg * vM;
  };
  const extrasOf = extraMasses.length === 0 ? null : extrasByPart(extraMasses);
  weigh(frame.massKg, frame.cg.uM, frame.cg.vM);
  for (const extra of extrasOf?.get('frame') ?? []) weigh(extra.massKg, extra.uM, extra.vM);

  const outline: OutlinePoint[] = [];
  for (const { uM, vM } of frame.holes) outline.push({ uM, vM, of: 'frame' });
  outline.push({ uM: frame.bottomPivot.uM, vM: frame.bottomPivot.vM, of: 'frame' });
  const upTo: MassMoment[] = [{ massKg, uKgM, vKgM }];
  const tops: SidePoint[] = [];
  const turnsRad: number[] = [];
  const withoutCorners: number[] = [];
  let top = frame.bottomPivot;
  let turnRad = 0;
  for (const [index, element] of elements.entries()) {
    turnRad -= element.splayRad;
    if (Math.abs(turnRad) > LARGEST_TURN_RAD) return fail({ code: 'angle-beyond-a-turn', what: `element ${index}`, angleRad: turnRad });
    const [c, s] = [cos(turnRad), sin(turnRad)];
    tops.push(top);
    turnsRad.push(turnRad);
    const cg = placed(top, c, s, element.cg);
    weigh(element.massKg, cg.uM, cg.vM);
    for (const extra of extrasOf?.get(index) ?? []) {
      const at = placed(top, c, s, extra);
      weigh(extra.massKg, at.uM, at.vM);
    }
    upTo.push({ massKg, uKgM, vKgM });
    const bottom = placed(top, c, s, element.bottomPivot);
    if (element.corners === undefined || element.corners.length === 0) {
      withoutCorners.push(index);
      outline.push({ uM: top.uM, vM: top.vM, of: index }, { uM: bottom.uM, vM: bottom.vM, of: index });
    } else {
      for (const corner of element.corners) {
        const at = placed(top, c, s, corner);
        outline.push({ uM: at.uM, vM: at.vM, of: index });
      }
    }
    top = bottom;
  }
  if (massKg <= 0) return fail({ code: 'no-mass' });
  return ok({ holes: frame.holes, upTo, tops, turnsRad, outline, withoutCorners });
}

/** Centre of gravity [m] of the frame and its first elements; null while nothing there has mass. */
export function centreOfGravity({ massKg, uKgM, vKgM }: MassMoment): SidePoint | null {
  return massKg > 0 ? { uM: uKgM / massKg, vM: vKgM / massKg } : null;
}

/** A point of an element's axes in the axes in which its top pivot and turn are given. Called for every corner, so it makes one object only. */
export const placed = (top: SidePoint, cosTurn: number, sinTurn: number, { uM, vM }: SidePoint): SidePoint => ({
  uM: top.uM + uM * cosTurn - vM * sinTurn,
  vM: top.vM + uM * sinTurn + vM * cosTurn,
});

function extrasByPart(extraMasses: readonly ExtraMass[]): Map<'frame' | number, ExtraMass[]> {
  const byPart = new Map<'frame' | number, ExtraMass[]>();
  for (const extra of extraMasses) {
    const already = byPart.get(extra.on);
    if (already === undefined) byPart.set(extra.on, [extra]);
    else already.push(extra);
  }
  return byPart;
}

function faultIn(frame: ArrayFrame, elements: readonly ArrayElement[], extraMasses: readonly ExtraMass[]): AssemblyError | null {
  const ids = new Set<string>();
  for (const hole of frame.holes) {
    if (!isSane(hole)) return { code: 'not-finite', what: `hole ${hole.id}` };
    if (ids.has(hole.id)) return { code: 'hole-twice', hole: hole.id };
    ids.add(hole.id);
  }
  const ofFrame = faultOfPart('frame', null, frame.massKg, frame.cg, frame.bottomPivot);
  if (ofFrame) return ofFrame;
  for (const [index, { massKg, cg, bottomPivot, corners, splayRad }] of elements.entries()) {
    if (!Number.isFinite(splayRad)) return { code: 'not-finite', what: `splay of element ${index}` };
    if (Math.abs(splayRad) > LARGEST_ANGLE_RAD)
      return { code: 'angle-beyond-a-turn', what: `splay of element ${index}`, angleRad: splayRad };
    const fault = faultOfPart('element', index, massKg, cg, bottomPivot);
    if (fault) return fault;
    if (corners !== undefined && !corners.every(isSane)) return { code: 'not-finite', what: `corners of element ${index}` };
  }
  for (const [index, extra] of extraMasses.entries()) {
    if (extra.on !== 'frame' && !(Number.isInteger(extra.on) && extra.on >= 0 && extra.on < elements.length)) {
      return { code: 'no-such-element', on: extra.on, elements: elements.length };
    }
    const fault = faultOfPart('extra mass', index, extra.massKg, extra, extra);
    if (fault) return fault;
  }
  return null;
}

function faultOfPart(kind: string, index: number | null, massKg: number, a: SidePoint, b: SidePoint): AssemblyError | null {
  if (massKg >= 0 && massKg <= LARGEST_KG_OR_M && isSane(a) && isSane(b)) return null;
  const what = index === null ? kind : `${kind} ${index}`;
  return massKg < 0 && Number.isFinite(massKg) ? { code: 'mass-negative', what, massKg } : { code: 'not-finite', what };
}
