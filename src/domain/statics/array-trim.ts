import { PI, cos, sin } from '../foundation/elementary.ts';
import type { Result } from '../foundation/result.ts';
import { fail, ok } from '../foundation/result.ts';
import type { ArrayStatics } from './array.ts';
import type { ArrayElement, SidePoint } from './array-assembly.ts';
import { placed } from './array-assembly.ts';

export type TrimError =
  | { code: 'not-finite'; what: string }
  | { code: 'lowest-corner-unknown'; elements: readonly number[] }
  | { code: 'plane-has-no-length' }
  | { code: 'axes-do-not-match'; axes: number; elements: number };

/**
 * Heights above the floor [m] at which the holes must be for a trim of the lowest corner.
 * @param trimM  wanted height of the lowest corner above the floor
 * @returns one height per hole in use, or `lowest-corner-unknown` when an element has no outline
 */
export function hookHeights(statics: ArrayStatics, trimM: number): Result<{ hole: string; heightM: number }[], TrimError> {
  if (!Number.isFinite(trimM)) return fail({ code: 'not-finite', what: 'trim' });
  if (statics.withoutCorners.length > 0) return fail({ code: 'lowest-corner-unknown', elements: statics.withoutCorners });
  const originM = trimM - statics.lowest.vM;
  const heights = statics.reactions.map(({ hole }) => {
    const at = statics.holes.find(({ id }) => id === hole);
    if (at === undefined) throw new Error('a reaction is at one of the holes');
    return { hole, heightM: originM + at.vM };
  });
  return ok(heights);
}

/** Where a cabinet's axis starts in its own axes, and its tilt against the cabinet's pitch (positive up). */
export type CabinetAxis = SidePoint & { readonly tiltRad: number };
/** A raked audience plane cut by the array's side plane: from its front edge to its back edge, u from the front hole, height above the floor. */
export type RakedPlane = { readonly fromUM: number; readonly fromHeightM: number; readonly toUM: number; readonly toHeightM: number };
export type AxisHit = { readonly uM: number; readonly heightM: number; readonly distanceM: number };
export type CabinetAim = {
  /** Pitch of the axis [rad], positive up. */
  readonly pitchRad: number;
  readonly from: { readonly uM: number; readonly heightM: number };
  /** Null: the axis never comes down to the floor, or not in front of the cabinet. */
  readonly floor: AxisHit | null;
  readonly plane: AxisHit | null;
};

/**
 * Where each cabinet's axis meets the floor and a raked plane. Straight lines in the side plane; nothing acoustic is computed.
 * @param axes          one per element; null = the middle of the front of its corners, level in the cabinet
 * @param hookHeightM   height of the front (or only) hole above the floor
 * @returns null for an element with neither axis nor corners
 */
export function cabinetAims(
  statics: ArrayStatics,
  elements: readonly ArrayElement[],
  axes: readonly (CabinetAxis | null)[],
  hookHeightM: number,
  plane: RakedPlane | null,
): Result<(CabinetAim | null)[], TrimError> {
  if (!Number.isFinite(hookHeightM)) return fail({ code: 'not-finite', what: 'hook height' });
  if (axes.length !== elements.length || statics.elements.length !== elements.length) {
    return fail({ code: 'axes-do-not-match', axes: axes.length, elements: elements.length });
  }
  if (plane !== null) {
    if (!Object.values(plane).every(Number.isFinite)) return fail({ code: 'not-finite', what: 'raked plane' });
    if (plane.fromUM === plane.toUM && plane.fromHeightM === plane.toHeightM) return fail({ code: 'plane-has-no-length' });
  }
  const aims: (CabinetAim | null)[] = [];
  for (const [index, { pitchRad: cabinetRad, top }] of statics.elements.entries()) {
    const axis = axes[index] ?? frontMiddle(elements[index]?.corners ?? []);
    if (axis === null) {
      aims.push(null);
      continue;
    }
    if (!Number.isFinite(axis.uM + axis.vM) || !(Math.abs(axis.tiltRad) <= PI))
      return fail({ code: 'not-finite', what: `axis of element ${index}` });
    const start = placed(top, cos(cabinetRad), sin(cabinetRad), axis);
    const from = { uM: start.uM, heightM: hookHeightM + start.vM };
    const pitchRad = cabinetRad + axis.tiltRad;
    aims.push({ pitchRad, from, floor: meetsFloor(from, pitchRad), plane: plane === null ? null : meetsPlane(from, pitchRad, plane) });
  }
  return ok(aims);
}

function frontMiddle(corners: readonly SidePoint[]): CabinetAxis | null {
  if (corners.length === 0) return null;
  const heights = corners.map(({ vM }) => vM);
  return { uM: Math.max(...corners.map(({ uM }) => uM)), vM: (Math.min(...heights) + Math.max(...heights)) / 2, tiltRad: 0 };
}

/** Flatter than this, an axis and a plane are parallel on any drawing. */
const PARALLEL = 1e-9;

const meetsFloor = (from: CabinetAim['from'], pitchRad: number): AxisHit | null => {
  const fall = -sin(pitchRad);
  if (fall < PARALLEL || from.heightM < 0) return null;
  const distanceM = from.heightM / fall;
  return { uM: from.uM + distanceM * cos(pitchRad), heightM: 0, distanceM };
};

function meetsPlane(from: CabinetAim['from'], pitchRad: number, plane: RakedPlane): AxisHit | null {
  const [forward, rise] = [cos(pitchRad), sin(pitchRad)];
  const [planeU, planeV] = [plane.toUM - plane.fromUM, plane.toHeightM - plane.fromHeightM];
  const turn = forward * planeV - rise * planeU;
  if (Math.abs(turn) < PARALLEL * Math.sqrt(planeU * planeU + planeV * planeV)) return null;
  const [awayU, awayV] = [plane.fromUM - from.uM, plane.fromHeightM - from.heightM];
  const distanceM = (awayU * planeV - awayV * planeU) / turn;
  const along = (awayU * rise - awayV * forward) / turn;
  if (distanceM < 0 || along < 0 || along > 1) return null;
  return { uM: from.uM + distanceM * forward, heightM: from.heightM + distanceM * rise, distanceM };
}
