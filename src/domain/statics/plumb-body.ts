import { atan2 } from '../foundation/elementary.ts';
import type { Result } from '../foundation/result.ts';
import { fail, ok } from '../foundation/result.ts';
import type { SidePoint } from './array-assembly.ts';
import { PLANE_TOLERANCE_M } from './bridle-legs.ts';
import type { Reckoning } from './hoist-line-reckoning.ts';
import type { LineKind } from './plumb-lines.ts';

/** A line from a place on the body to its far end, both in level axes of the side plane [m]: u forward, v up. */
export type BodyLine = {
  readonly id: string;
  readonly kind: LineKind;
  readonly at: SidePoint;
  readonly to: SidePoint;
  /** Only a guy has one; null = not stated. */
  readonly pretensionN: number | null;
};
export type RigidBody = { readonly weightN: number; readonly cg: SidePoint };

export type SolvedBodyLine = {
  readonly id: string;
  readonly tensionN: number;
  readonly offVerticalRad: number;
  /** Pull on the far end [N]: u towards the body, down positive. */
  readonly pull: { readonly uN: number; readonly downN: number };
};
export type LostBodyLine = { readonly lost: string } & (
  | { readonly state: 'plumb'; readonly hoists: readonly { readonly id: string; readonly restingN: number }[] }
  | { readonly state: 'unknown'; readonly reason: 'place-after-loss-not-computed' }
);
export type BodyOutcome =
  | {
      readonly known: true;
      readonly lines: readonly SolvedBodyLine[];
      readonly lost: readonly LostBodyLine[];
      readonly reckoning: Reckoning;
    }
  | { readonly known: false; readonly reason: 'guy-without-pretension'; readonly lines: readonly string[] };
export type BodyError =
  | { code: 'not-finite'; what: string }
  | { code: 'force-negative'; what: string; forceN: number }
  | { code: 'line-twice'; line: string }
  | { code: 'line-has-no-length'; line: string }
  | { code: 'indeterminate'; lines: number }
  | { code: 'body-would-move'; lines: number }
  | { code: 'lines-meet-in-one-point' }
  | { code: 'line-would-push'; line: string; forceN: number };

const MIN_LENGTH_M = 0.001;
const MIN_SINE = 1e-6; // nearer to parallel, or to one common point, there is no answer worth the name
const ROUNDING_SHARE = 1e-9;
const LARGEST_N_OR_M = 1e30; // products of a few of these are still finite

/**
 * A rigid body in its side plane on three lines of known direction: two chains and a pull-back, say. Fewer lines leave it
 * free to move, more share the load by their stiffness: both are refused. Guys pull with their pretension besides.
 * @returns tensions and pulls [N], and each line other than a hoist lost in turn; or why the drawn place cannot be held
 * @source equilibrium of both forces and of moments about the centre of gravity
 */
export function solveLinesOnBody(body: RigidBody, lines: readonly BodyLine[]): Result<BodyOutcome, BodyError> {
  const fault = faultIn(body, lines);
  if (fault) return fail(fault);
  const unset = lines.filter((line) => line.kind === 'guy' && line.pretensionN === null).map(({ id }) => id);
  if (unset.length > 0) return ok({ known: false, reason: 'guy-without-pretension', lines: unset });
  const holding = lines.filter(({ kind }) => kind !== 'guy');
  const [a, b, c, ...more] = holding.map((line) => wrenchOf(line, body.cg));
  if (more.length > 0) return fail({ code: 'indeterminate', lines: holding.length });
  if (a === undefined || b === undefined || c === undefined) return fail({ code: 'body-would-move', lines: holding.length });

  // What the three have to balance: the weight at the CG, and the guys.
  const need = { u: 0, v: body.weightN, m: 0 };
  for (const line of lines) {
    if (line.kind !== 'guy') continue;
    const wrench = wrenchOf(line, body.cg);
    const pretensionN = line.pretensionN ?? 0;
    need.u -= wrench.u * pretensionN;
    need.v -= wrench.v * pretensionN;
    need.m -= wrench.m * pretensionN;
  }
  const armM = Math.max(Math.abs(a.m), Math.abs(b.m), Math.abs(c.m), MIN_LENGTH_M);
  const determinant = determinantOf(a, b, c);
  if (determinant === null) return fail({ code: 'lines-meet-in-one-point' });
  const tensions = [triple(need, b, c) / determinant, triple(a, need, c) / determinant, triple(a, b, need) / determinant];
  const scaleN = Math.sqrt(need.u * need.u + need.v * need.v) + Math.abs(need.m) / armM;
  const tensionById = new Map<string, number>();
  for (const [index, line] of holding.entries()) {
    const tensionN = tensions[index] ?? NaN;
    if (!Number.isFinite(tensionN)) return fail({ code: 'not-finite', what: `tension of ${line.id}` });
    if (tensionN < -ROUNDING_SHARE * scaleN) return fail({ code: 'line-would-push', line: line.id, forceN: tensionN });
    tensionById.set(line.id, Math.max(0, tensionN));
  }
  const solved = lines.map((line) => {
    const { u, v } = wrenchOf(line, body.cg);
    const tensionN = tensionById.get(line.id) ?? line.pretensionN ?? 0;
    return { id: line.id, tensionN, offVerticalRad: atan2(Math.abs(u), Math.abs(v)), pull: { uN: -u * tensionN, downN: v * tensionN } };
  });
  const numbers = Object.fromEntries([['weightN', body.weightN], ...solved.map(({ id, tensionN }) => [`${id}N`, tensionN] as const)]);
  return ok({
    known: true,
    lines: solved,
    lost: losses(body, lines),
    reckoning: { formula: 'forces and moments of all lines balance weightN', numbers, unit: 'N', source: 'equilibrium in the side plane' },
  });
}

export type ThreeLines = readonly [BodyLine, BodyLine, BodyLine];
/** One number for each of the three lines. */
export type OfThree = readonly [number, number, number];

/**
 * What each of three lines takes of one newton of weight at a place of the body: less than 0 where that weight takes load off the line.
 * Lines of given lengths that are all taut hold the body in one pose, whatever it weighs, so that shares of several weights add up. A pose
 * in which all three pull is stable: to leave it, the body would have to stretch a line or rise.
 * @returns shares [N/N], or why the three lines hold no body
 * @source equilibrium of both forces and of moments; multipliers of the lengths in the least height of the centre of gravity
 */
export function sharesOfWeight(lines: ThreeLines): Result<(at: SidePoint) => OfThree, BodyError> {
  const origin = { uM: 0, vM: 0 };
  const fault = faultIn({ weightN: 0, cg: origin }, lines);
  if (fault) return fail(fault);
  const [one, two, three] = lines;
  const [a, b, c] = [wrenchOf(one, origin), wrenchOf(two, origin), wrenchOf(three, origin)];
  const determinant = determinantOf(a, b, c);
  if (determinant === null) return fail({ code: 'lines-meet-in-one-point' });
  return ok(({ uM }) => {
    const need = { u: 0, v: 1, m: uM };
    return [triple(need, b, c) / determinant, triple(a, need, c) / determinant, triple(a, b, need) / determinant];
  });
}

/** Null where the three lines are as good as parallel, or meet in one point. */
function determinantOf(a: Wrench, b: Wrench, c: Wrench): number | null {
  const determinant = triple(a, b, c);
  const armM = Math.max(Math.abs(a.m), Math.abs(b.m), Math.abs(c.m), MIN_LENGTH_M);
  return Math.abs(determinant) < MIN_SINE * armM ? null : determinant;
}

/** Direction of a line's pull on the body, and its moment about the CG for one newton. */
type Wrench = { readonly u: number; readonly v: number; readonly m: number };
function wrenchOf({ at, to }: BodyLine, cg: SidePoint): Wrench {
  const [du, dv] = [to.uM - at.uM, to.vM - at.vM];
  const length = Math.sqrt(du * du + dv * dv);
  const [u, v] = [du / length, dv / length];
  return { u, v, m: (at.uM - cg.uM) * v - (at.vM - cg.vM) * u };
}
const triple = (a: Wrench, b: Wrench, c: Wrench): number =>
  a.u * (b.v * c.m - b.m * c.v) - a.v * (b.u * c.m - b.m * c.u) + a.m * (b.u * c.v - b.v * c.u);

/**
 * With two hoists left whose chains are drawn alike, the body swings without turning until both are plumb, and the lever rule
 * gives their shares. Chains that differ turn it, and that pose is not computed.
 */
function losses(body: RigidBody, lines: readonly BodyLine[]): LostBodyLine[] {
  return lines
    .filter(({ kind }) => kind !== 'hoist')
    .map(({ id }) => {
      const unknown = { lost: id, state: 'unknown', reason: 'place-after-loss-not-computed' } as const;
      const left = lines.filter((line) => line.id !== id);
      const [first, second] = left;
      if (first === undefined || second === undefined || left.length > 2 || left.some(({ kind }) => kind !== 'hoist')) return unknown;
      const chain = ({ at, to }: BodyLine) => ({ uM: to.uM - at.uM, vM: to.vM - at.vM });
      const [one, other] = [chain(first), chain(second)];
      const alike = Math.abs(one.uM - other.uM) <= PLANE_TOLERANCE_M && Math.abs(one.vM - other.vM) <= PLANE_TOLERANCE_M;
      const apartM = first.at.uM - second.at.uM;
      if (!alike || one.vM <= 0 || Math.abs(apartM) < MIN_LENGTH_M) return unknown;
      const share = (body.cg.uM - second.at.uM) / apartM;
      if (share < -ROUNDING_SHARE || share > 1 + ROUNDING_SHARE) return unknown;
      const firstN = body.weightN * Math.min(1, Math.max(0, share));
      return {
        lost: id,
        state: 'plumb',
        hoists: [
          { id: first.id, restingN: firstN },
          { id: second.id, restingN: body.weightN - firstN },
        ],
      };
    });
}

function faultIn({ weightN, cg }: RigidBody, lines: readonly BodyLine[]): BodyError | null {
  const isSane = ({ uM, vM }: SidePoint) => Math.abs(uM) <= LARGEST_N_OR_M && Math.abs(vM) <= LARGEST_N_OR_M;
  if (!isSane(cg)) return { code: 'not-finite', what: 'centre of gravity' };
  if (!(Math.abs(weightN) <= LARGEST_N_OR_M)) return { code: 'not-finite', what: 'weight' };
  if (weightN < 0) return { code: 'force-negative', what: 'weight', forceN: weightN };
  const ids = new Set<string>();
  for (const { id, at, to, pretensionN } of lines) {
    if (ids.has(id)) return { code: 'line-twice', line: id };
    ids.add(id);
    if (!isSane(at) || !isSane(to)) return { code: 'not-finite', what: `ends of ${id}` };
    const [du, dv] = [to.uM - at.uM, to.vM - at.vM];
    if (Math.sqrt(du * du + dv * dv) < MIN_LENGTH_M) return { code: 'line-has-no-length', line: id };
    if (pretensionN !== null && !(Math.abs(pretensionN) <= LARGEST_N_OR_M)) return { code: 'not-finite', what: `pretension of ${id}` };
    if (pretensionN !== null && pretensionN < 0) return { code: 'force-negative', what: `pretension of ${id}`, forceN: pretensionN };
  }
  return null;
}
