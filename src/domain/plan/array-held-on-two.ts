import { atan2, cos, degToRad, sin } from '../foundation/elementary.ts';
import type { PositionM } from '../foundation/vector.ts';
import { STANDARD_GRAVITY } from '../foundation/units.ts';
import type { ArrayOnThreeLines } from '../statics/array-three-lines.ts';
import { arrayOnThreeLines } from '../statics/array-three-lines.ts';
import { PLANE_TOLERANCE_M } from '../statics/bridle-legs.ts';
import type { SidePoint } from '../statics/array-assembly.ts';
import type { Contingency } from '../statics/hoist-line-take-off.ts';
import { reckonedKg } from './take-off-items.ts';
import type { ArrayPart } from './array-hook-loads.ts';
import { arrayParts, staticsBuild } from './array-hook-loads.ts';
import { arrayHeldAside, plumbAt } from './array-held-aside.ts';
import type { Aside, AsideCase, AsideRefusal, EndedLine, EndPull, Tensions } from './aside.ts';
import { isRefusal } from './aside.ts';
import { nameOf } from './hook-held-aside.ts';
import type { ArrayBuild } from './plan.ts';
import type { Plumb } from './plumb.ts';

/** A hook of the array as drawn: its hole, its place, the upper end of its chain. */
export type ArrayHook = { readonly holeId: string | null; readonly place: PositionM; readonly top: PositionM; readonly drawn: Plumb };
type Pair<T> = readonly [T, T];

/**
 * An array on two holes that one line pulls aside. What the line pulls follows from how far the chains lean as drawn, so a drawing that is a
 * few millimetres wrong to either side counts too: each line at the most of them. A chain that would have to push there hangs slack, and
 * the array then comes to its pitch on the other one. Contingency counts on each part, and for each line, only where it makes it pull more.
 */
export function arrayHeldOnTwo(build: ArrayBuild, hooks: Pair<ArrayHook>, side: EndedLine, contingency: Contingency): Aside | AsideRefusal {
  const refused = (code: string, sure = false): AsideRefusal => ({ why: { code, of: nameOf(0) }, sure });
  const { at, end } = side;
  const [one, other] = hooks;
  if (one.holeId === null || other.holeId === null || at === null) return refused('hole-not-stated');
  if (build.framePitchDeg === null) return refused('frame-pitch-not-stated');
  const azimuthRad = degToRad(build.azimuthDeg);
  const forward = { x: -sin(azimuthRad), y: -cos(azimuthRad) };
  const middle = {
    xM: (one.place.xM + other.place.xM) / 2,
    yM: (one.place.yM + other.place.yM) / 2,
    zM: (one.place.zM + other.place.zM) / 2,
  };
  const acrossM = (place: PositionM) => (place.xM - middle.xM) * forward.y - (place.yM - middle.yM) * forward.x;
  const inPlane = (place: PositionM, shiftM: number) => ({
    uM: (place.xM - middle.xM) * forward.x + (place.yM - middle.yM) * forward.y - shiftM,
    vM: place.zM - middle.zM,
  });
  if (Math.abs(acrossM(one.place)) > PLANE_TOLERANCE_M) return refused('hooks-beside-side-plane', true);
  if (Math.abs(acrossM(end)) > PLANE_TOLERANCE_M) return refused('line-beside-side-plane', true);
  const parts = arrayParts(build, contingency);
  const statics = staticsBuild(build, parts, build.elements.length);
  const holes = [one.holeId, other.holeId] as const;
  const places = holes.flatMap((hole) => build.frame.holes.filter(({ id }) => id === hole));
  const poses: Pose[] = [];
  for (const shiftM of [0, -PLANE_TOLERANCE_M, PLANE_TOLERANCE_M]) {
    const found = arrayOnThreeLines(statics, {
      holes,
      framePitchRad: degToRad(build.framePitchDeg),
      on: at.on,
      at,
      tops: [inPlane(one.top, shiftM), inPlane(other.top, shiftM)],
      to: inPlane(end, shiftM),
    });
    if (!found.ok) return refused(found.error.code, true);
    poses.push({ on: found.value, pulls: LINES.map((line) => linePulls(found.value, line, parts, places, at)) });
  }
  const [drawn] = poses;
  if (drawn === undefined) throw new Error('an array is drawn in one pose');
  const leastN = -ROUNDING_SHARE * reckonedKg(parts.map(({ row }) => row)) * STANDARD_GRAVITY;
  const [idle, ...more] = ([0, 1] as const).filter((line) => pullsOf(drawn, line).statedN < leastN);
  if (more.length > 0) return refused('pull-back-lifts-the-array', true);
  if (idle !== undefined) return onOneChain(build, hooks, idle, side, contingency);
  if (pullsOf(drawn, PULL_BACK).statedN < leastN) return refused('line-would-push', true);
  if (poses.some((pose) => pullsOf(pose, PULL_BACK).statedN <= 0)) return refused('line-pulls-nothing');

  const inSpace = ({ uM, vM }: SidePoint, pullN: number): EndPull => ({
    xN: -uM * pullN * forward.x,
    yN: -uM * pullN * forward.y,
    downN: vM * pullN,
  });
  const worst = (line: Line, loading: AsideCase): EndPull => {
    const pulls = poses.map((pose) => ({ pose, pullN: pullsOf(pose, line).mostN(loading) }));
    const { pose, pullN } = pulls.reduce((most, each) => (each.pullN > most.pullN ? each : most));
    return inSpace(directionOf(pose.on.lines[line]), pullN);
  };
  const under = (loading: AsideCase): Tensions | AsideRefusal =>
    poses.some((pose) => pose.pulls.some((pulls) => pulls.leastN(loading) < 0))
      ? refused('line-may-slacken')
      : { hoists: [worst(0, loading), worst(1, loading)], lines: [worst(PULL_BACK, loading)] };
  const plumbs = hooks.map(({ top, drawn: asDrawn }, index) => {
    const hole = drawn.on.lines[index === 0 ? 0 : 1].at;
    // In the side plane alone: across it nothing holds a chain aside.
    const alongM = (hole.uM - inPlane(top, 0).uM) / (top.zM - middle.zM - hole.vM);
    const slope = { x: alongM * forward.x, y: alongM * forward.y };
    return plumbAt(asDrawn, slope, atan2(Math.abs(alongM), 1));
  });
  return { under, plumbs, notes: [] };
}

/** Of the lines of an array: the chain of each hook, then the pull-back. */
type Line = 0 | 1 | 2;
const LINES = [0, 1, 2] as const;
const PULL_BACK = 2;
const ROUNDING_SHARE = 1e-9;

type Pose = { readonly on: ArrayOnThreeLines; readonly pulls: readonly LinePull[] };
function pullsOf({ pulls }: Pose, line: Line): LinePull {
  const found = pulls[line];
  if (found === undefined) throw new Error('every line of a pose is solved');
  return found;
}

/** From the array towards the far end, of length 1. */
function directionOf({ at, to }: ArrayOnThreeLines['lines'][number]): SidePoint {
  const [uM, vM] = [to.uM - at.uM, to.vM - at.vM];
  const lengthM = Math.sqrt(uM * uM + vM * vM);
  return { uM: uM / lengthM, vM: vM / lengthM };
}

/** What one line pulls in one pose [N]: of the stated masses alone, and the most and the least that it may be. */
type LinePull = {
  readonly statedN: number;
  readonly mostN: (loading: AsideCase) => number;
  readonly leastN: (loading: AsideCase) => number;
};

/**
 * All that the line of a hook weighs counts at its hole, which pulls more aside than where it really is; where it relieves a line it does
 * not count.
 */
function linePulls(
  { sharesAt }: ArrayOnThreeLines,
  line: Line,
  parts: readonly ArrayPart[],
  holes: readonly SidePoint[],
  fast: SidePoint & { readonly on: 'frame' | number },
): LinePull {
  let [statedN, moreN, lessN] = [0, 0, 0];
  for (const { on, at, row } of parts) {
    const shareN = sharesAt(on, at)[line] * STANDARD_GRAVITY;
    const contingencyN = ((row.reckonedKg ?? 0) - (row.massKg ?? 0)) * shareN;
    statedN += (row.massKg ?? 0) * shareN;
    if (contingencyN > 0) moreN += contingencyN;
    else lessN += contingencyN;
  }
  const atHoles = holes.map((hole) => sharesAt('frame', hole)[line]);
  const atFast = sharesAt(fast.on, fast)[line];
  const besideN = ({ hooks, onHangN }: AsideCase, sign: 1 | -1): number =>
    hooks.reduce((sum, { lineN }, hook) => sum + Math.max(0, sign * (atHoles[hook] ?? 0)) * lineN, Math.max(0, sign * atFast) * onHangN);
  return {
    statedN,
    mostN: (loading) => loading.factor * (statedN + moreN) + besideN(loading, 1),
    leastN: (loading) => statedN + lessN - besideN(loading, -1),
  };
}

/** With one chain slack: the other with the pull-back, as of an array on one hole. */
function onOneChain(
  build: ArrayBuild,
  hooks: Pair<ArrayHook>,
  idle: 0 | 1,
  side: EndedLine,
  contingency: Contingency,
): Aside | AsideRefusal {
  const taut = idle === 0 ? 1 : 0;
  const { holeId, place, drawn } = hooks[taut];
  const held = arrayHeldAside(build, holeId, place, side, drawn, contingency);
  if (isRefusal(held)) return held;
  const wholeN = reckonedKg(arrayParts(build, contingency).map(({ row }) => row)) * STANDARD_GRAVITY;
  const [plumb] = held.plumbs;
  if (plumb === undefined) throw new Error('an array on one hole has one line');
  return {
    under: (loading) => {
      const lineN = loading.hooks[taut]?.lineN ?? 0;
      const found = held.under({ ...loading, hooks: [{ loadN: wholeN * loading.factor + loading.onHangN + lineN, lineN, leastN: 0 }] });
      if (isRefusal(found)) return found;
      const [hoist] = found.hoists;
      if (hoist === undefined) throw new Error('an array on one hole has one hoist');
      return { hoists: idle === 0 ? [NO_PULL, hoist] : [hoist, NO_PULL], lines: found.lines };
    },
    plumbs: idle === 0 ? [hooks[0].drawn, plumb] : [plumb, hooks[1].drawn],
    notes: [{ hook: idle, why: { code: 'chain-hangs-slack', of: nameOf(0) } }],
  };
}
const NO_PULL: EndPull = { xN: 0, yN: 0, downN: 0 };
