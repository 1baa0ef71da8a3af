import type { PositionM } from '../foundation/vector.ts';
import { PLANE_TOLERANCE_M } from '../statics/bridle-legs.ts';
import type { HeldTruss, Hook, TrussHook, TrussLine } from '../statics/truss-held-aside.ts';
import { TrussHeldAside } from '../statics/truss-held-aside.ts';
import { plumbAt } from './array-held-aside.ts';
import type { Aside, AsideCase, AsideRefusal, EndedLine, EndPull, Loading, Tensions } from './aside.ts';
import { isRefusal } from './aside.ts';
import { carryingGuy, nameOf } from './hook-held-aside.ts';
import type { Plumb } from './plumb.ts';
import { atan2 } from '../foundation/elementary.ts';

/** A hook of the truss as drawn, and what it carries at rest as stated, without contingency [N]. */
export type HeldTrussHook = TrussHook & { readonly pickUpId: string; readonly drawn: Plumb; readonly statedN: number };
type Pair<T> = readonly [T, T];

/** What loads beside those as stated may move the truss by: it then swings a little, which changes its forces by less. Our choice. */
const SWING_M = 0.05;
const ROUNDING_M = 1e-9;

/**
 * A straight truss on two hoists that lines at its hooks hold aside. What a line pulls follows from how far the chains lean as drawn, so a
 * drawing that is a few millimetres wrong to either side counts too, in each way that lines hold it: all that pulls counts at the most of
 * them. Each hook may carry any load from the least of the case (at rest what contingency leaves, else with loads missing) to its most, one heavy while the other is light. A
 * guy may slacken: what its pull takes off others is not counted. No guy may be what holds the truss as its loads change.
 */
export function trussHeldOnLines(hooks: Pair<HeldTrussHook>, sides: readonly EndedLine[]): Aside | AsideRefusal {
  const carrying = carryingGuy(sides, (side) => hooks[hookOf(hooks, side)].place);
  if (carrying !== null) return carrying;
  const unset = sides.findIndex(({ kind, pretensionKn }) => kind === 'guy' && pretensionKn === null);
  if (unset >= 0) return { why: { code: 'guy-without-pretension', of: nameOf(unset) }, sure: false };
  const lines = sides.map((side, index): TrussLine => ({
    id: nameOf(index),
    hook: hookOf(hooks, side),
    to: side.end,
    pretensionN: side.kind === 'guy' ? (side.pretensionKn ?? 0) * 1000 : null,
  }));
  const statedN = [hooks[0].statedN, hooks[1].statedN] as const;
  const whole = asDrawn(hooks, lines, statedN);
  if (isRefusal(whole)) return whole;
  const found = [posesOf(hooks, lines, whole.drawn)];
  const guys = lines.filter(({ pretensionN }) => pretensionN !== null);
  for (const gone of guys.length === 0 ? [] : [guys, ...(guys.length > 1 ? guys.map((guy) => [guy]) : [])]) {
    const left = lines.filter((line) => !gone.includes(line));
    const way = asDrawn(hooks, left, statedN);
    // Where the truss does not stay as drawn without them, they are what holds it.
    if (!isRefusal(way)) found.push(posesOf(hooks, left, way.drawn));
  }
  const ways: Pose[] = [];
  for (const poses of found) {
    if (isRefusal(poses)) return poses;
    ways.push(...poses);
  }
  const plumbs = ([0, 1] as const).map((hook) => {
    const { xN, yN, downN } = whole.held.chains[hook];
    const slope = downN > 0 ? { x: xN / downN, y: yN / downN } : { x: 0, y: 0 };
    return plumbAt(hooks[hook].drawn, slope, atan2(Math.sqrt(slope.x * slope.x + slope.y * slope.y), 1));
  });
  return { under: (loading) => worstOf(ways, loading, sides.length), plumbs, notes: [] };
}

type Pose = { readonly on: TrussHeldAside; /** As drawn: there no line may push. */ readonly isDrawn: boolean };

const hookOf = (hooks: Pair<HeldTrussHook>, { pickUpId }: EndedLine): Hook => (hooks[1].pickUpId === pickUpId ? 1 : 0);
const sure = (code: string, of: string): AsideRefusal => ({ why: { code, of }, sure: true });
const doubtful = (code: string, of: string): AsideRefusal => ({ why: { code, of }, sure: false });
const ofError = (error: object): string => ('line' in error && typeof error.line === 'string' ? error.line : 'lines off plumb');

/** With its loads as stated the truss has to come to rest where it is drawn. */
function asDrawn(
  hooks: Pair<TrussHook>,
  lines: readonly TrussLine[],
  statedN: Pair<number>,
): { readonly drawn: TrussHeldAside; readonly held: HeldTruss } | AsideRefusal {
  const drawn = TrussHeldAside.drawn(hooks, lines);
  if (!drawn.ok) return doubtful(drawn.error.code, ofError(drawn.error));
  const held = drawn.value.under(statedN);
  if (!held.ok) return sure(held.error.code, ofError(held.error));
  const { swingM, swingAt } = held.value;
  if (swingM > PLANE_TOLERANCE_M + ROUNDING_M) {
    const way = swingAt === null ? 'along' : 'across at this hook';
    return { ...sure('truss-not-at-rest', `lines off plumb, ${Math.ceil(swingM * 1000)} mm ${way} from where it would`), hook: swingAt };
  }
  return { drawn: drawn.value, held: held.value };
}

/** The truss drawn a few millimetres to either side, in each way that lines hold it. */
function posesOf(hooks: Pair<TrussHook>, lines: readonly TrussLine[], drawn: TrussHeldAside): Pose[] | AsideRefusal {
  const poses: Pose[] = [{ on: drawn, isDrawn: true }];
  const shifts = drawn.holds.map((held) => (held ? [-PLANE_TOLERANCE_M, PLANE_TOLERANCE_M] : [0]));
  const [across = [0], otherAcross = [0], along = [0]] = shifts;
  const way = { x: hooks[1].place.xM - hooks[0].place.xM, y: hooks[1].place.yM - hooks[0].place.yM };
  const apartM = Math.sqrt(way.x * way.x + way.y * way.y);
  const axis = { x: way.x / apartM, y: way.y / apartM };
  const moved = ({ place, top }: TrussHook, alongM: number, acrossM: number): TrussHook => {
    const to: PositionM = {
      xM: place.xM + alongM * axis.x - acrossM * axis.y,
      yM: place.yM + alongM * axis.y + acrossM * axis.x,
      zM: place.zM,
    };
    return { place: to, top };
  };
  for (const alongM of along) {
    for (const oneM of across) {
      for (const otherM of otherAcross) {
        if (alongM === 0 && oneM === 0 && otherM === 0) continue;
        const on = TrussHeldAside.drawn([moved(hooks[0], alongM, oneM), moved(hooks[1], alongM, otherM)], lines);
        if (!on.ok) return doubtful(on.error.code, ofError(on.error));
        poses.push({ on: on.value, isDrawn: false });
      }
    }
  }
  return poses;
}

function worstOf(poses: readonly Pose[], { hooks }: AsideCase, count: number): Tensions | AsideRefusal {
  const [one, other] = hooks;
  if (one === undefined || other === undefined) throw new Error('a truss that lines hold has two hooks');
  const between = ({ leastN, loadN }: Loading) => (leastN < loadN ? [leastN, loadN] : [loadN]);
  const chains: [EndPull, EndPull] = [NO_PULL, NO_PULL];
  const lines = new Map<string, { readonly tensionN: number; readonly pull: EndPull }>();
  let axialN = 0;
  for (const { on, isDrawn } of poses) {
    for (const oneN of between(one)) {
      for (const otherN of between(other)) {
        const held = on.under([oneN, otherN], !isDrawn);
        if (!held.ok) return doubtful(held.error.code === 'line-would-push' ? 'line-may-slacken' : held.error.code, ofError(held.error));
        // Where it would swing on a guy, that holds it as a line of its length does, with more than its pretension.
        if (isDrawn && held.value.guysSwingM > PLANE_TOLERANCE_M + ROUNDING_M)
          return doubtful('guy-holds-as-loads-change', 'lines off plumb');
        if (held.value.swingM > SWING_M) return doubtful('truss-swings-with-loads', 'lines off plumb');
        for (const hook of [0, 1] as const) chains[hook] = worseChain(chains[hook], held.value.chains[hook]);
        for (const line of held.value.lines) if (line.tensionN >= (lines.get(line.id)?.tensionN ?? 0)) lines.set(line.id, line);
        axialN = Math.max(axialN, Math.abs(held.value.axialN));
      }
    }
  }
  return { hoists: chains, lines: Array.from({ length: count }, (_, index) => lines.get(nameOf(index))?.pull ?? NO_PULL), axialN };
}

const NO_PULL: EndPull = { xN: 0, yN: 0, downN: 0 };
const asideN = ({ xN, yN }: EndPull): number => Math.sqrt(xN * xN + yN * yN);
/** As far aside as either, and as far down. */
const worseChain = (a: EndPull, b: EndPull): EndPull => ({ ...(asideN(b) > asideN(a) ? b : a), downN: Math.max(a.downN, b.downN) });
