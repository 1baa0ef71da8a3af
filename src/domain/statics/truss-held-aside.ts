import type { Result } from '../foundation/result.ts';
import { fail, ok } from '../foundation/result.ts';
import { compensatedSum } from '../foundation/sum.ts';
import type { PositionM } from '../foundation/vector.ts';
import { between, isFinitePosition, lengthOf } from '../foundation/vector.ts';
import { PLANE_TOLERANCE_M } from './bridle-legs.ts';
import type { LinePull } from './plumb-lines.ts';

/** Where chain, lines and truss meet, and where the chain ends above it. */
export type TrussHook = { readonly place: PositionM; readonly top: PositionM };
export type Hook = 0 | 1;
/** A line made fast at one hook. `pretensionN`: of a guy, which pulls with that; null = it takes what equilibrium asks of it. */
export type TrussLine = { readonly id: string; readonly hook: Hook; readonly to: PositionM; readonly pretensionN: number | null };

export type HeldTruss = {
  /** Pull of the chain of each hook on its upper end [N]. */
  readonly chains: readonly [LinePull, LinePull];
  /** In the order of the lines; `tensionN` is not negative. */
  readonly lines: readonly { readonly id: string; readonly tensionN: number; readonly pull: LinePull }[];
  /** Along the truss from hook to hook [N], pull positive. */
  readonly axialN: number;
  /** How far from where it is drawn the truss comes to rest under these loads: the largest of across at either hook, and along [m]. */
  readonly swingM: number;
};
/** Of a drawing: nothing of the loads would change it. */
export type TrussLinesError =
  | { readonly code: 'not-finite'; readonly what: string }
  | { readonly code: 'hooks-coincide'; readonly apartM: number }
  | { readonly code: 'hook-not-below-point'; readonly hook: Hook }
  | { readonly code: 'line-has-no-length'; readonly line: string }
  | { readonly code: 'line-beside-chain'; readonly line: string }
  | { readonly code: 'lines-share-by-stiffness'; readonly lines: readonly string[] };
/** Of the loads on it. */
export type TrussLoadError =
  | { readonly code: 'not-finite'; readonly what: string }
  | { readonly code: 'line-would-push'; readonly line: string; readonly forceN: number }
  | { readonly code: 'lines-lift-the-hook'; readonly hook: Hook }
  | { readonly code: 'hooks-not-level'; readonly apartM: number }
  | { readonly code: 'truss-would-turn'; readonly pushN: number };

const LARGEST_N_OR_M = 1e12; // products of a few of these are still finite
const LEAST_APART_M = 0.1;
const LEAST_M = 0.001;
/** The drawing being this much wrong to either side, a line beside its chain must still pull to the same side: else its share is anybody's guess. */
const BESIDE_CHAIN = 4 * PLANE_TOLERANCE_M;
/** Of the determinant of the lines' directions, each of length 1: about the square of the sine between two of them. */
const LEAST_DETERMINANT = 1e-6;
const ROUNDING_SHARE = 1e-9;
/** Along the truss less than this share of the loads is nothing, whatever the heights of its hooks. */
const LEVEL_SHARE = 1e-6;
/** Of what would turn it sideways; the lines' own hold is left out. Our cautious choice. */
const TURNS_FROM = 0.5;

type Line = TrussLine & {
  /** Unit vector from the hook to the far end: along and across the truss, and up. */
  readonly along: number;
  readonly across: number;
  readonly up: number;
  /** What 1 N of it asks of a chain of fixed load to the side: `p - slope · up`. */
  readonly asksAlong: number;
  readonly asksAcross: number;
};

/**
 * A straight truss on two hoists that lines at its hooks pull aside, solved where it is drawn.
 *
 * Each line is made fast where chain and truss meet. The truss passes forces on between its hooks as a rigid bar does: moments about the
 * vertical through one hook leave no force across it at the other, so across the truss each hook holds itself; along it, what one hook
 * gives the other takes, as a pull or push N in the truss. What a hook carries of the weight follows from levers alone, whatever N is, as
 * long as both are at one height. With a line's unit vector p to its end, the chain's slope s (to the side per metre of height) and the
 * load V of its hook, chain i pulls upwards U = V - Σ P·p_up and to the side U·s, which leaves for each hook across and for both along
 *
 *     s·V + Σ P·(p - s·p_up) = 0
 *
 * three equations for at most three lines. With fewer, some way to move is left free, and the truss comes to rest in it: the loads are
 * those of that place, by one step from the drawn one (least squares in the pendulum stiffness V / height), which is off by the square of
 * `swingM` over the height. Chains of fixed slope and lines of fixed length have one such place. Nothing turns the truss about the line of
 * its hooks, which is what the balance of the truss is judged by.
 * @param lines  any number of guys; others, no more than what the three equations tell apart
 * @returns what all pull under loads given later; or why no loads have an answer
 * @source equilibrium of forces at each hook, and of forces and moments of the truss
 */
export class TrussHeldAside {
  readonly #hooks: readonly [TrussHook, TrussHook];
  readonly #lines: readonly Line[];
  readonly #slopes: readonly [Slope, Slope];
  readonly #heights: readonly [number, number];
  readonly #axes: { readonly x: number; readonly y: number };
  readonly #apartM: number;

  private constructor(hooks: readonly [TrussHook, TrussHook], lines: readonly Line[], frame: Frame) {
    this.#hooks = hooks;
    this.#lines = lines;
    this.#slopes = frame.slopes;
    this.#heights = frame.heights;
    this.#axes = frame.axes;
    this.#apartM = frame.apartM;
  }

  static drawn(hooks: readonly [TrussHook, TrussHook], lines: readonly TrussLine[]): Result<TrussHeldAside, TrussLinesError> {
    const frame = frameOf(hooks, lines);
    if (!frame.ok) return frame;
    const held: Line[] = [];
    for (const line of lines) {
      const { place } = hooks[line.hook];
      const way = between(place, line.to);
      const lengthM = lengthOf(way);
      if (lengthM < LEAST_M) return fail({ code: 'line-has-no-length', line: line.id });
      const { axes } = frame.value;
      const [along, across, up] = [alongOf(way, axes) / lengthM, acrossOf(way, axes) / lengthM, way.z / lengthM];
      const slope = frame.value.slopes[line.hook];
      const [asksAlong, asksAcross] = [along - slope.along * up, across - slope.across * up];
      const beside = BESIDE_CHAIN * (1 / frame.value.heights[line.hook] + 1 / lengthM);
      if (line.pretensionN === null && Math.sqrt(asksAlong * asksAlong + asksAcross * asksAcross) < beside)
        return fail({ code: 'line-beside-chain', line: line.id });
      held.push({ ...line, along, across, up, asksAlong, asksAcross });
    }
    const holding = held.filter(({ pretensionN }) => pretensionN === null);
    const told = holding.map((line) => normed(askedBy(line)));
    if (holding.length > 3 || determinantOf(told.map((a) => told.map((b) => product(a, b)))) < LEAST_DETERMINANT)
      return fail({ code: 'lines-share-by-stiffness', lines: holding.map(({ id }) => id) });
    return ok(new TrussHeldAside(hooks, held, frame.value));
  }

  /** Which ways lines hold it: across at each hook, and along. */
  get holds(): readonly [boolean, boolean, boolean] {
    const asks = this.#lines.filter(({ pretensionN }) => pretensionN === null).map(askedBy);
    const some = (way: 0 | 1 | 2) => asks.some((asked) => Math.abs(asked[way]) > ROUNDING_SHARE);
    return [some(0), some(1), some(2)];
  }

  /**
   * @param loadsN  what each hook carries [N], down positive
   * @param mayPush  a line that would push is told as one that pulls nothing, and the chains as if it pushed
   * @returns forces [N], in balance at each hook; `line-would-push`, `lines-lift-the-hook` (its chain would have to push),
   *          `hooks-not-level` (and a force along the truss between them), `truss-would-turn` (pushed together, it turns out to the side)
   */
  under(loadsN: readonly [number, number], mayPush = false): Result<HeldTruss, TrussLoadError> {
    if (loadsN.some((loadN) => !(loadN >= 0 && loadN <= LARGEST_N_OR_M))) return fail({ code: 'not-finite', what: 'load' });
    const [first, second] = loadsN;
    const allN = first + second;
    const stiff = [0, 1].map((hook) => ((loadsN[hook] ?? 0) + ROUNDING_SHARE * allN) / (this.#heights[hook] ?? 1));
    const gives = ways((hook) => 1 / (stiff[hook] || 1), 1 / (compensatedSum(stiff) || 1)); // metres per newton
    const wants = ways((hook) => this.#slopes[hook].across * loadsN[hook], this.#slopes[0].along * first + this.#slopes[1].along * second);
    const guys = this.#lines.filter(({ pretensionN }) => pretensionN !== null);
    const set = plus(wants, guys, (guy) => guy.pretensionN ?? 0);
    const holding = this.#lines.filter(({ pretensionN }) => pretensionN === null);
    const pulls = leastSquares(holding.map(askedBy), set, gives);
    const tensions = new Map(guys.map(({ id, pretensionN }) => [id, pretensionN ?? 0]));
    const pullScaleN = allN + guys.reduce((sum, { pretensionN }) => sum + (pretensionN ?? 0), 0);
    for (const [index, { id }] of holding.entries()) {
      const forceN = pulls[index] ?? 0;
      if (!Number.isFinite(forceN)) return fail({ code: 'not-finite', what: id });
      if (forceN < -ROUNDING_SHARE * pullScaleN && !mayPush) return fail({ code: 'line-would-push', line: id, forceN });
      tensions.set(id, forceN < 0 && !mayPush ? 0 : forceN);
    }
    const tensionOf = ({ id }: TrussLine) => tensions.get(id) ?? 0;
    const left = plus(wants, this.#lines, tensionOf);
    const swings = left.map((forceN, way) => Math.abs(forceN) * (gives[way] ?? 0));
    const chains = ([0, 1] as const).map((hook) => {
      const own = this.#lines.filter((line) => line.hook === hook);
      const upN = loadsN[hook] - compensatedSum(own.map((line) => line.up * tensionOf(line)));
      const share = (stiff[hook] ?? 0) * gives[2];
      return {
        upN,
        alongN: upN * this.#slopes[hook].along - left[2] * share,
        acrossN: 0 - compensatedSum(own.map((line) => line.across * tensionOf(line))),
      };
    });
    const [one, other] = chains;
    if (one === undefined || other === undefined) throw new Error('a truss has two hooks');
    for (const [hook, { upN }] of [one, other].entries())
      if (upN < -ROUNDING_SHARE * pullScaleN) return fail({ code: 'lines-lift-the-hook', hook: hook === 0 ? 0 : 1 });
    const axialN = other.alongN + compensatedSum(this.#lines.filter(({ hook }) => hook === 1).map((line) => line.along * tensionOf(line)));
    const levelM = Math.abs(this.#hooks[0].place.zM - this.#hooks[1].place.zM);
    if (levelM > PLANE_TOLERANCE_M && Math.abs(axialN) > LEVEL_SHARE * allN) return fail({ code: 'hooks-not-level', apartM: levelM });
    const pushN = -axialN - ROUNDING_SHARE * pullScaleN;
    if (pushN > TURNS_FROM * this.#holdsTogetherN(one.upN, other.upN)) return fail({ code: 'truss-would-turn', pushN: -axialN });
    const inSpace = (alongN: number, acrossN: number, downN: number): LinePull => ({
      xN: 0 - alongN * this.#axes.x + acrossN * this.#axes.y,
      yN: 0 - alongN * this.#axes.y - acrossN * this.#axes.x,
      downN,
    });
    return ok({
      chains: [inSpace(one.alongN, one.acrossN, Math.max(0, one.upN)), inSpace(other.alongN, other.acrossN, Math.max(0, other.upN))],
      lines: this.#lines.map((line) => {
        const tensionN = Math.max(0, tensionOf(line));
        return { id: line.id, tensionN, pull: inSpace(line.along * tensionN, line.across * tensionN, line.up * tensionN) };
      }),
      axialN,
      swingM: swings.reduce((most, swing) => Math.max(most, swing), 0),
    });
  }

  /** A push along the truss from which on its hooks would go apart sideways, as far as its chains alone hold them [N]. */
  #holdsTogetherN(oneUpN: number, otherUpN: number): number {
    const [a, b] = [Math.max(0, oneUpN) / this.#heights[0], Math.max(0, otherUpN) / this.#heights[1]];
    return a + b > 0 ? (this.#apartM * a * b) / (a + b) : 0;
  }
}

type Slope = { readonly along: number; readonly across: number };
type Frame = {
  readonly axes: { readonly x: number; readonly y: number };
  readonly apartM: number;
  readonly slopes: readonly [Slope, Slope];
  readonly heights: readonly [number, number];
};
/** Of each way that the truss can move: across at either hook, and along. */
type Ways = readonly [number, number, number];
const ways = (across: (hook: Hook) => number, along: number): Ways => [across(0), across(1), along];
const askedBy = ({ hook, asksAcross, asksAlong }: Line): Ways => ways((of) => (of === hook ? asksAcross : 0), asksAlong);
const product = (a: Ways, b: Ways): number => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
const normed = (a: Ways): Ways => {
  const size = Math.sqrt(product(a, a));
  return [a[0] / size, a[1] / size, a[2] / size];
};
const alongOf = (way: { x: number; y: number }, axes: Frame['axes']): number => way.x * axes.x + way.y * axes.y;
const acrossOf = (way: { x: number; y: number }, axes: Frame['axes']): number => way.y * axes.x - way.x * axes.y;

function plus(sum: Ways, lines: readonly Line[], tensionOf: (line: Line) => number): Ways {
  const of = (way: 0 | 1 | 2) => compensatedSum([sum[way], ...lines.map((line) => askedBy(line)[way] * tensionOf(line))]);
  return [of(0), of(1), of(2)];
}

/** Columns · x ≈ -set, each way counted by how far it gives. */
function leastSquares(columns: readonly Ways[], set: Ways, gives: Ways): number[] {
  const scaled = columns.map((column): Ways => [column[0] * root(gives[0]), column[1] * root(gives[1]), column[2] * root(gives[2])]);
  const sizes = scaled.map((column) => Math.sqrt(product(column, column)) || 1);
  const units = scaled.map((column, index): Ways => {
    const size = sizes[index] ?? 1;
    return [column[0] / size, column[1] / size, column[2] / size];
  });
  const wanted: Ways = [-set[0] * root(gives[0]), -set[1] * root(gives[1]), -set[2] * root(gives[2])];
  const matrix = units.map((a) => units.map((b) => product(a, b)));
  const right = units.map((a) => product(a, wanted));
  const determinant = determinantOf(matrix);
  return right.map((_, index) => {
    const replaced = matrix.map((row, at) => row.map((value, column) => (column === index ? (right[at] ?? 0) : value)));
    return determinantOf(replaced) / determinant / (sizes[index] ?? 1);
  });
}
const root = Math.sqrt;

/** Of a square matrix of at most three rows; of none it is 1. */
function determinantOf(matrix: readonly (readonly number[])[]): number {
  const [[a = 0, b = 0, c = 0] = [], [d = 0, e = 0, f = 0] = [], [g = 0, h = 0, i = 0] = []] = matrix;
  switch (matrix.length) {
    case 0:
      return 1;
    case 1:
      return a;
    case 2:
      return a * e - b * d;
    default:
      return a * (e * i - f * h) - b * (d * i - f * g) + c * (d * h - e * g);
  }
}

function frameOf(hooks: readonly [TrussHook, TrussHook], lines: readonly TrussLine[]): Result<Frame, TrussLinesError> {
  const isSane = (place: PositionM) =>
    isFinitePosition(place) && Math.max(Math.abs(place.xM), Math.abs(place.yM), Math.abs(place.zM)) <= LARGEST_N_OR_M;
  for (const { place, top } of hooks) if (!isSane(place) || !isSane(top)) return fail({ code: 'not-finite', what: 'hook' });
  for (const { id, to, pretensionN } of lines)
    if (!isSane(to) || !(pretensionN === null || (pretensionN >= 0 && pretensionN <= LARGEST_N_OR_M)))
      return fail({ code: 'not-finite', what: id });
  const [one, other] = hooks;
  const way = between(one.place, other.place);
  const apartM = Math.sqrt(way.x * way.x + way.y * way.y);
  if (apartM < LEAST_APART_M) return fail({ code: 'hooks-coincide', apartM });
  const axes = { x: way.x / apartM, y: way.y / apartM };
  const heights = [one.top.zM - one.place.zM, other.top.zM - other.place.zM] as const;
  const low = heights.findIndex((heightM) => heightM < LEAST_M);
  if (low >= 0) return fail({ code: 'hook-not-below-point', hook: low === 0 ? 0 : 1 });
  const slopeOf = (hook: Hook): Slope => {
    const up = between(hooks[hook].place, hooks[hook].top);
    return { along: alongOf(up, axes) / heights[hook], across: acrossOf(up, axes) / heights[hook] };
  };
  return ok({ axes, apartM, heights, slopes: [slopeOf(0), slopeOf(1)] });
}
