import type { Result } from '../foundation/result.ts';
import { fail, ok } from '../foundation/result.ts';
import type { PositionM } from '../foundation/vector.ts';
import { between, isFinitePosition, lengthOf } from '../foundation/vector.ts';
import { PLANE_TOLERANCE_M } from './bridle-legs.ts';
import type { LinePull } from './plumb-lines.ts';
import { leastIndependence } from './plumb-lines.ts';

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
  /** At which hook it is across; null = along. */
  readonly swingAt: Hook | null;
  /** The largest of it in a way that a guy pulls [m]; 0 without guys. */
  readonly guysSwingM: number;
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

/** Every place within the millimetres that a drawing may be wrong by is solved. */
const TELLS_APART = 4;
const LARGEST_N_OR_M = 1e12; // products of a few of these are still finite
const LEAST_APART_M = 0.1;
const LEAST_M = 0.001;
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
  /** What 1 N of it asks of its chain to the side while that carries the same load: `p - slope · up`. */
  readonly asks: Ways;
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
  /** Places among them of those that are not guys, and what these ask. */
  readonly #holding: readonly number[];
  readonly #asked: readonly Ways[];
  readonly #slopes: readonly [Slope, Slope];
  readonly #heights: readonly [number, number];
  readonly #axes: { readonly x: number; readonly y: number };
  readonly #apartM: number;

  private constructor(hooks: readonly [TrussHook, TrussHook], lines: readonly Line[], frame: Frame) {
    this.#hooks = hooks;
    this.#lines = lines;
    this.#holding = lines.flatMap(({ pretensionN }, index) => (pretensionN === null ? [index] : []));
    this.#asked = lines.flatMap(({ pretensionN, asks }) => (pretensionN === null ? [asks] : []));
    this.#slopes = frame.slopes;
    this.#heights = frame.heights;
    this.#axes = frame.axes;
    this.#apartM = frame.apartM;
  }

  static drawn(hooks: readonly [TrussHook, TrussHook], lines: readonly TrussLine[]): Result<TrussHeldAside, TrussLinesError> {
    const frame = frameOf(hooks, lines);
    if (!frame.ok) return frame;
    const held: Line[] = [];
    const turnLikeM: number[] = [];
    for (const line of lines) {
      const { place } = hooks[line.hook];
      const way = between(place, line.to);
      const lengthM = lengthOf(way);
      if (lengthM < LEAST_M) return fail({ code: 'line-has-no-length', line: line.id });
      const { axes } = frame.value;
      const [along, across, up] = [alongOf(way, axes) / lengthM, acrossOf(way, axes) / lengthM, way.z / lengthM];
      const slope = frame.value.slopes[line.hook];
      const [asksAlong, asksAcross] = [along - slope.along * up, across - slope.across * up];
      const heightM = frame.value.heights[line.hook];
      const asksSize = Math.sqrt(asksAlong * asksAlong + asksAcross * asksAcross);
      // The drawing being a few millimetres wrong, it must still pull to the same side of its chain: else its share is anybody's guess.
      if (line.pretensionN === null && asksSize < leastIndependence([heightM, lengthM], TELLS_APART))
        return fail({ code: 'line-beside-chain', line: line.id });
      const asks: Ways = [line.hook === 0 ? asksAcross : 0, line.hook === 1 ? asksAcross : 0, asksAlong];
      held.push({ ...line, along, across, up, asks });
      // So long a line at its hook turns as much with the drawing as what this one asks.
      if (line.pretensionN === null) turnLikeM.push(asksSize / (1 / lengthM + Math.abs(up) / heightM));
    }
    const holding = held.filter(({ pretensionN }) => pretensionN === null);
    const told = holding.map(({ asks }) => normed(asks));
    const least = holding.length > 1 ? leastIndependence(turnLikeM, TELLS_APART) : 0;
    if (holding.length > 3 || independence(told) < least * least)
      return fail({ code: 'lines-share-by-stiffness', lines: holding.map(({ id }) => id) });
    return ok(new TrussHeldAside(hooks, held, frame.value));
  }

  /** Which ways lines hold it: across at each hook, and along. */
  get holds(): readonly [boolean, boolean, boolean] {
    const some = (way: 0 | 1 | 2) => this.#asked.some((asks) => Math.abs(asks[way]) > ROUNDING_SHARE);
    return [some(0), some(1), some(2)];
  }

  /**
   * @param loadsN  what each hook carries [N], down positive
   * @param mayPush  a line that would push is told as one that pulls nothing, and the chains as if it pushed
   * @returns forces [N], in balance at each hook; `line-would-push`, `lines-lift-the-hook` (its chain would have to push),
   *          `hooks-not-level` (and a force along the truss between them), `truss-would-turn` (pushed together, it turns out to the side)
   */
  under(loadsN: readonly [number, number], mayPush = false): Result<HeldTruss, TrussLoadError> {
    const [first, second] = loadsN;
    if (!(first >= 0 && first <= LARGEST_N_OR_M && second >= 0 && second <= LARGEST_N_OR_M))
      return fail({ code: 'not-finite', what: 'load' });
    const allN = first + second;
    const stiff = [(first + ROUNDING_SHARE * allN) / this.#heights[0], (second + ROUNDING_SHARE * allN) / this.#heights[1]] as const;
    const gives: Ways = [1 / (stiff[0] || 1), 1 / (stiff[1] || 1), 1 / (stiff[0] + stiff[1] || 1)]; // metres per newton
    const tensions = this.#lines.map(({ pretensionN }) => pretensionN ?? 0);
    const scaleN = tensions.reduce((sum, tensionN) => sum + tensionN, allN);
    const pulls = leastSquares(this.#asked, this.#leftOver(loadsN, tensions), gives);
    for (const [at, index] of this.#holding.entries()) {
      const forceN = pulls[at] ?? 0;
      const line = this.#lines[index]?.id ?? '';
      if (!Number.isFinite(forceN)) return fail({ code: 'not-finite', what: line });
      if (forceN < -ROUNDING_SHARE * scaleN && !mayPush) return fail({ code: 'line-would-push', line, forceN });
      tensions[index] = forceN < 0 && !mayPush ? 0 : forceN;
    }
    const left = this.#leftOver(loadsN, tensions);
    const one = this.#chain(0, first, tensions, left[2] * stiff[0] * gives[2]);
    const other = this.#chain(1, second, tensions, left[2] * stiff[1] * gives[2]);
    if (Math.min(one.upN, other.upN) < -ROUNDING_SHARE * scaleN)
      return fail({ code: 'lines-lift-the-hook', hook: one.upN < other.upN ? 0 : 1 });
    const axialN = other.alongN + other.linesAlongN;
    const levelM = Math.abs(this.#hooks[0].place.zM - this.#hooks[1].place.zM);
    if (levelM > PLANE_TOLERANCE_M && Math.abs(axialN) > LEVEL_SHARE * allN) return fail({ code: 'hooks-not-level', apartM: levelM });
    const pushN = -axialN - ROUNDING_SHARE * scaleN;
    if (pushN > TURNS_FROM * this.#holdsTogetherN(one.upN, other.upN)) return fail({ code: 'truss-would-turn', pushN: -axialN });
    const inSpace = (alongN: number, acrossN: number, downN: number): LinePull => ({
      xN: 0 - alongN * this.#axes.x + acrossN * this.#axes.y,
      yN: 0 - alongN * this.#axes.y - acrossN * this.#axes.x,
      downN,
    });
    const [oneM, otherM, alongM] = [Math.abs(left[0]) * gives[0], Math.abs(left[1]) * gives[1], Math.abs(left[2]) * gives[2]];
    return ok({
      chains: [inSpace(one.alongN, one.acrossN, Math.max(0, one.upN)), inSpace(other.alongN, other.acrossN, Math.max(0, other.upN))],
      lines: this.#lines.map((line, index) => {
        const tensionN = Math.max(0, tensions[index] ?? 0);
        return { id: line.id, tensionN, pull: inSpace(line.along * tensionN, line.across * tensionN, line.up * tensionN) };
      }),
      axialN,
      ...farthest(oneM, otherM, alongM),
      guysSwingM: Math.max(this.#guyed(0) ? oneM : 0, this.#guyed(1) ? otherM : 0, this.#guyed(2) ? alongM : 0),
    });
  }

  #guyed(way: 0 | 1 | 2): boolean {
    return this.#lines.some(({ pretensionN, asks }) => (pretensionN ?? 0) > 0 && Math.abs(asks[way]) > ROUNDING_SHARE);
  }

  /** What is not in balance across at either hook and along, with these pulls [N]: towards the tops of the chains. */
  #leftOver([first, second]: readonly [number, number], tensions: readonly number[]): Ways {
    const [one, other] = this.#slopes;
    let [across, otherAcross, along] = [one.across * first, other.across * second, one.along * first + other.along * second];
    for (const [index, { asks }] of this.#lines.entries()) {
      const tensionN = tensions[index] ?? 0;
      across += asks[0] * tensionN;
      otherAcross += asks[1] * tensionN;
      along += asks[2] * tensionN;
    }
    return [across, otherAcross, along];
  }

  /** Pull of one chain on its hook [N], and of the lines there along the truss. */
  #chain(hook: Hook, loadN: number, tensions: readonly number[], givenWayN: number) {
    let [upN, acrossN, linesAlongN] = [loadN, 0, 0];
    for (const [index, line] of this.#lines.entries()) {
      if (line.hook !== hook) continue;
      const tensionN = tensions[index] ?? 0;
      upN -= line.up * tensionN;
      acrossN -= line.across * tensionN;
      linesAlongN += line.along * tensionN;
    }
    return { upN, acrossN, alongN: upN * this.#slopes[hook].along - givenWayN, linesAlongN };
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
function farthest(oneM: number, otherM: number, alongM: number): Pick<HeldTruss, 'swingM' | 'swingAt'> {
  if (alongM >= Math.max(oneM, otherM)) return { swingM: alongM, swingAt: null };
  return oneM >= otherM ? { swingM: oneM, swingAt: 0 } : { swingM: otherM, swingAt: 1 };
}
const product = (a: Ways, b: Ways): number => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
const normed = (a: Ways): Ways => {
  const size = Math.sqrt(product(a, a));
  return [a[0] / size, a[1] / size, a[2] / size];
};
const alongOf = (way: { x: number; y: number }, axes: Frame['axes']): number => way.x * axes.x + way.y * axes.y;
const acrossOf = (way: { x: number; y: number }, axes: Frame['axes']): number => way.y * axes.x - way.x * axes.y;

/** Columns · x ≈ -set, each way counted by how far it gives: normal equations of columns of length 1, by Cramer's rule. */
function leastSquares([first, second, third]: readonly Ways[], set: Ways, gives: Ways): readonly number[] {
  const by = (a: Ways, b: Ways): number => a[0] * b[0] * gives[0] + a[1] * b[1] * gives[1] + a[2] * b[2] * gives[2];
  if (first === undefined) return [];
  const sizeA = Math.sqrt(by(first, first)) || 1;
  const wantA = -by(first, set) / sizeA;
  if (second === undefined) return [wantA / sizeA];
  const sizeB = Math.sqrt(by(second, second)) || 1;
  const wantB = -by(second, set) / sizeB;
  const ab = by(first, second) / (sizeA * sizeB);
  if (third === undefined) {
    const determinant = 1 - ab * ab;
    return [(wantA - ab * wantB) / determinant / sizeA, (wantB - ab * wantA) / determinant / sizeB];
  }
  const sizeC = Math.sqrt(by(third, third)) || 1;
  const wantC = -by(third, set) / sizeC;
  const [ac, bc] = [by(first, third) / (sizeA * sizeC), by(second, third) / (sizeB * sizeC)];
  const determinant = 1 + 2 * ab * ac * bc - ab * ab - ac * ac - bc * bc;
  return [
    (wantA * (1 - bc * bc) + wantB * (ac * bc - ab) + wantC * (ab * bc - ac)) / determinant / sizeA,
    (wantA * (ac * bc - ab) + wantB * (1 - ac * ac) + wantC * (ab * ac - bc)) / determinant / sizeB,
    (wantA * (ab * bc - ac) + wantB * (ab * ac - bc) + wantC * (1 - ab * ab)) / determinant / sizeC,
  ];
}

/** Of the products of directions of length 1, at most three, with each other: 1 for lines square to one another, 0 where they depend. */
function independence([first, second, third]: readonly Ways[]): number {
  if (first === undefined || second === undefined) return 1;
  const ab = product(first, second);
  if (third === undefined) return 1 - ab * ab;
  const [ac, bc] = [product(first, third), product(second, third)];
  return 1 + 2 * ab * ac * bc - ab * ab - ac * ac - bc * bc;
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
