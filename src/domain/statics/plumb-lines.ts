import { atan2 } from '../foundation/elementary.ts';
import type { Result } from '../foundation/result.ts';
import { fail, ok } from '../foundation/result.ts';
import { compensatedSum } from '../foundation/sum.ts';
import type { PositionM, Vec3 } from '../foundation/vector.ts';
import { between, cross, dot, isFinitePosition, lengthOf } from '../foundation/vector.ts';
import { PLANE_TOLERANCE_M } from './bridle-legs.ts';
import type { Reckoning } from './hoist-line-reckoning.ts';

/**
 * What holds a hang besides or instead of a plumb chain. A breastline or pull-back takes what equilibrium asks of it; a guy is
 * set to a pretension and pulls with that.
 */
export type LineKind = 'hoist' | 'breastline' | 'pull-back' | 'guy';
export type LineOffPlumb = {
  readonly id: string;
  readonly kind: LineKind;
  readonly to: PositionM;
  /** Only a guy has one; null = not stated, and then nothing about this hang is known. */
  readonly pretensionN: number | null;
};

/** Pull of the line on its far end [N]: x, y in space axes towards the hang, down positive; negative down lifts a floor anchor. */
export type LinePull = { readonly xN: number; readonly yN: number; readonly downN: number };
export type SolvedLine = { readonly id: string; readonly tensionN: number; readonly offVerticalRad: number; readonly pull: LinePull };
/** The hang once one of its lines is lost. */
export type LostLine = { readonly lost: string } & (
  | {
      readonly state: 'plumb';
      /** The remaining chain once the hang has come to rest under it, and at the bottom of its first swing. */
      readonly hoist: string;
      readonly restingN: number;
      readonly peakN: number;
      readonly reckoning: Reckoning;
    }
  | { readonly state: 'unknown'; readonly reason: 'place-after-loss-not-computed' }
);

export type LinesOutcome =
  | { readonly known: true; readonly lines: readonly SolvedLine[]; readonly lost: readonly LostLine[]; readonly reckoning: Reckoning }
  | { readonly known: false; readonly reason: 'guy-without-pretension'; readonly lines: readonly string[] };
export type LinesError =
  | { code: 'not-finite'; what: string }
  | { code: 'force-negative'; what: string; forceN: number }
  | { code: 'line-twice'; line: string }
  | { code: 'line-has-no-length'; line: string }
  | { code: 'no-lines' }
  | { code: 'indeterminate'; lines: number }
  | { code: 'lines-nearly-parallel' }
  | { code: 'hang-off-the-lines-plane'; offM: number; nearest: PositionM }
  | { code: 'hang-not-below-hoist'; line: string; offM: number; nearest: PositionM }
  | { code: 'line-would-push'; line: string; forceN: number };

const MIN_LENGTH_M = 0.001;
const MIN_SINE = 1e-6; // both ends in one line with the load, but for rounding
/**
 * Of two lines the sine between them, of three the volume that their directions span, from which on they can be told apart: a drawing that
 * is a few millimetres wrong turns each by at most that over its length, and it may be some times as wrong.
 * @param times  how many times as wrong
 */
export const leastIndependence = (lengthsM: readonly number[], times: number): number =>
  lengthsM.reduce((sum, lengthM) => sum + (times * PLANE_TOLERANCE_M) / lengthM, 0);
/** A point is solved where it is drawn alone: so far from parallel, 5 mm change a line by some hundredths of the load. */
const TELLS_APART = 50;
const ROUNDING_SHARE = 1e-9;
const LARGEST_N_OR_M = 1e30; // products of a few of these are still finite

/**
 * A hang that counts as one point (a single pick), held where it is drawn by lines of known direction.
 * @param at      the point where the lines meet [m]
 * @param loadN   weight on it [N], down positive
 * @param lines   one hoist (plumb), two lines in one plane with the load, or three; guys besides, with their pretension
 * @returns tensions and pulls [N], and each line other than a hoist lost in turn; or why the drawn place cannot be held
 * @source equilibrium of forces at the point; first swing of a lost line: T = W·(3 - 2 cos θ), energy of a pendulum
 */
export function solveLinesAtPoint(at: PositionM, loadN: number, lines: readonly LineOffPlumb[]): Result<LinesOutcome, LinesError> {
  const fault = faultIn(at, loadN, lines);
  if (fault) return fail(fault);
  const unset = lines.filter((line) => line.kind === 'guy' && line.pretensionN === null).map(({ id }) => id);
  if (unset.length > 0) return ok({ known: false, reason: 'guy-without-pretension', lines: unset });

  const directions = lines.map((line) => unit(between(at, line.to)));
  const guyPulls = lines.map((line) => (line.kind === 'guy' ? (line.pretensionN ?? 0) : 0));
  const along = (axis: keyof Vec3) => compensatedSum(directions.map((direction, index) => direction[axis] * (guyPulls[index] ?? 0)));
  const applied: Vec3 = { x: along('x'), y: along('y'), z: along('z') - loadN };
  const holding = lines.filter(({ kind }) => kind !== 'guy');
  const tensions = tensionsOf(at, applied, holding);
  if (!tensions.ok) return tensions;
  const scaleN = lengthOf(applied);
  const tensionById = new Map<string, number>();
  for (const [index, line] of holding.entries()) {
    const tensionN = tensions.value[index] ?? 0;
    if (!Number.isFinite(tensionN)) return fail({ code: 'not-finite', what: `tension of ${line.id}` });
    if (tensionN < -ROUNDING_SHARE * scaleN) return fail({ code: 'line-would-push', line: line.id, forceN: tensionN });
    tensionById.set(line.id, Math.max(0, tensionN));
  }
  const solved = lines.map((line, index) => {
    const direction = directions[index] ?? { x: 0, y: 0, z: 1 };
    const tensionN = tensionById.get(line.id) ?? line.pretensionN ?? 0;
    const sidewaysShare = Math.sqrt(direction.x * direction.x + direction.y * direction.y);
    const pull = { xN: -direction.x * tensionN, yN: -direction.y * tensionN, downN: direction.z * tensionN };
    return { id: line.id, tensionN, offVerticalRad: atan2(sidewaysShare, Math.abs(direction.z)), pull };
  });
  const numbers = Object.fromEntries([['loadN', loadN], ...solved.map(({ id, tensionN }) => [`${id}N`, tensionN] as const)]);
  const reckoning = { formula: 'sum of tension · direction = loadN', numbers, unit: 'N', source: 'equilibrium of forces at the point' };
  return ok({ known: true, lines: solved, lost: losses(at, loadN, lines), reckoning });
}

/** Tensions of the lines that are not guys, in their order; a wrong sign is for the caller to refuse. */
function tensionsOf(at: PositionM, applied: Vec3, holding: readonly LineOffPlumb[]): Result<number[], LinesError> {
  const [a, b, c, ...more] = holding;
  if (a === undefined) return fail({ code: 'no-lines' });
  if (more.length > 0) return fail({ code: 'indeterminate', lines: holding.length });
  if (b === undefined) return oneLine(at, applied, a);
  if (c === undefined) return twoLines(at, applied, a, b);
  const [da, db, dc] = [a, b, c].map((line) => unit(between(at, line.to)));
  if (da === undefined || db === undefined || dc === undefined) throw new Error('three lines have three directions');
  const determinant = dot(da, cross(db, dc));
  if (
    Math.abs(determinant) <
    leastIndependence(
      [a, b, c].map((line) => lengthOf(between(at, line.to))),
      TELLS_APART,
    )
  )
    return fail({ code: 'lines-nearly-parallel' });
  const held = { x: -applied.x, y: -applied.y, z: -applied.z };
  const [ta, tb, tc] = [
    dot(held, cross(db, dc)) / determinant,
    dot(da, cross(held, dc)) / determinant,
    dot(da, cross(db, held)) / determinant,
  ];
  return ok([ta, tb, tc]);
}

/** One line alone must point straight against what pulls on the hang. */
function oneLine(at: PositionM, applied: Vec3, line: LineOffPlumb): Result<number[], LinesError> {
  const pullN = lengthOf(applied);
  if (pullN <= 0) return ok([0]);
  const against = { x: -applied.x / pullN, y: -applied.y / pullN, z: -applied.z / pullN };
  const toEnd = between(at, line.to);
  const alongM = dot(toEnd, against);
  const nearest = { xM: line.to.xM - against.x * alongM, yM: line.to.yM - against.y * alongM, zM: line.to.zM - against.z * alongM };
  const offM = lengthOf(between(at, nearest));
  if (alongM > 0 && offM > PLANE_TOLERANCE_M) return fail({ code: 'hang-not-below-hoist', line: line.id, offM, nearest });
  return ok([alongM > 0 ? pullN : -pullN]);
}

/** Two lines hold the hang only in the plane through both far ends and the load; a few millimetres beside it count as in it. */
function twoLines(at: PositionM, applied: Vec3, a: LineOffPlumb, b: LineOffPlumb): Result<number[], LinesError> {
  const ends = between(a.to, b.to);
  const pullN = lengthOf(applied);
  if (pullN <= 0) return ok([0, 0]);
  const acrossEnds = cross(ends, applied);
  const span = lengthOf(acrossEnds);
  // Both ends on one line with the load: any place beside it spans the plane by itself.
  const onOneLine = span <= MIN_SINE * lengthOf(ends) * pullN;
  const normal = onOneLine
    ? unitOrNull(cross(between(at, a.to), applied))
    : { x: acrossEnds.x / span, y: acrossEnds.y / span, z: acrossEnds.z / span };
  if (normal === null) return fail({ code: 'lines-nearly-parallel' });
  const offM = dot(between(a.to, at), normal);
  const inPlane = { xM: at.xM - offM * normal.x, yM: at.yM - offM * normal.y, zM: at.zM - offM * normal.z };
  if (Math.abs(offM) > PLANE_TOLERANCE_M) return fail({ code: 'hang-off-the-lines-plane', offM: Math.abs(offM), nearest: inPlane });
  const [da, db] = [unitOrNull(between(inPlane, a.to)), unitOrNull(between(inPlane, b.to))];
  if (da === null || db === null) return fail({ code: 'line-has-no-length', line: da === null ? a.id : b.id });
  const sine = dot(cross(da, db), normal);
  const least = leastIndependence(
    [a, b].map((line) => lengthOf(between(inPlane, line.to))),
    TELLS_APART,
  );
  if (Math.abs(sine) < least) return fail({ code: 'lines-nearly-parallel' });
  return ok([-dot(cross(applied, db), normal) / sine, -dot(cross(da, applied), normal) / sine]);
}

/** Each line that is not a hoist lost in turn. With one hoist left and nothing else, the hang swings under it. */
function losses(at: PositionM, loadN: number, lines: readonly LineOffPlumb[]): LostLine[] {
  return lines
    .filter(({ kind }) => kind !== 'hoist')
    .map(({ id }) => {
      const [left, ...more] = lines.filter((line) => line.id !== id);
      if (left === undefined || more.length > 0 || left.kind !== 'hoist' || left.to.zM <= at.zM) {
        return { lost: id, state: 'unknown', reason: 'place-after-loss-not-computed' };
      }
      const cosine = unit(between(at, left.to)).z;
      const peakN = loadN * (3 - 2 * cosine);
      const numbers = { loadN, cosine };
      const reckoning = {
        formula: 'loadN · (3 - 2 · cosine)',
        numbers,
        unit: 'N',
        source: 'energy of a pendulum released from the lean of its chain',
      };
      return { lost: id, state: 'plumb', hoist: left.id, restingN: loadN, peakN, reckoning };
    });
}

const unitOrNull = (vector: Vec3): Vec3 | null => {
  const length = lengthOf(vector);
  return length > 0 ? { x: vector.x / length, y: vector.y / length, z: vector.z / length } : null;
};
function unit(vector: Vec3): Vec3 {
  const direction = unitOrNull(vector);
  if (direction === null) throw new Error('lines are checked to have a length');
  return direction;
}

function faultIn(at: PositionM, loadN: number, lines: readonly LineOffPlumb[]): LinesError | null {
  const isSane = (place: PositionM) =>
    isFinitePosition(place) && Math.max(Math.abs(place.xM), Math.abs(place.yM), Math.abs(place.zM)) <= LARGEST_N_OR_M;
  if (!isSane(at)) return { code: 'not-finite', what: 'place of the hang' };
  if (!(Math.abs(loadN) <= LARGEST_N_OR_M)) return { code: 'not-finite', what: 'load' };
  if (loadN < 0) return { code: 'force-negative', what: 'load', forceN: loadN };
  const ids = new Set<string>();
  for (const { id, to, pretensionN } of lines) {
    if (ids.has(id)) return { code: 'line-twice', line: id };
    ids.add(id);
    if (!isSane(to)) return { code: 'not-finite', what: `end of ${id}` };
    if (lengthOf(between(at, to)) < MIN_LENGTH_M) return { code: 'line-has-no-length', line: id };
    if (pretensionN !== null && !(Math.abs(pretensionN) <= LARGEST_N_OR_M)) return { code: 'not-finite', what: `pretension of ${id}` };
    if (pretensionN !== null && pretensionN < 0) return { code: 'force-negative', what: `pretension of ${id}`, forceN: pretensionN };
  }
  return null;
}
