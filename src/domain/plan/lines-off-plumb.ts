import { atan2, radToDeg } from '../foundation/elementary.ts';
import { kgToKn, STANDARD_GRAVITY } from '../foundation/units.ts';
import type { TakeOffRow } from '../statics/hoist-line-take-off.ts';
import { missingMasses } from '../statics/hoist-line-take-off.ts';
import { arrayHeldAside } from './array-held-aside.ts';
import type { ArrayHook } from './array-held-on-two.ts';
import { arrayHeldOnTwo } from './array-held-on-two.ts';
import { holeFindings } from './array-hook-loads.ts';
import type { Aside, AsideRefusal, EndedLine, EndPull, Tensions } from './aside.ts';
import { isRefusal } from './aside.ts';
import { dynamicFactorOf } from './dynamic-factor.ts';
import type { HangFinding, HookLoad } from './hook-load.ts';
import { BLANK_FINDING, notHeld } from './hook-load.ts';
import { hookHeldAside, nameOf, swingFactor } from './hook-held-aside.ts';
import type { LoadRules, PickUpLine } from './line-loads.ts';
import { partItems } from './line-loads.ts';
import type { Missing } from './missing.ts';
import type { ArrayBuild, Hang, LineOffPlumb, PickUp, Plan, Position } from './plan.ts';
import type { Plumb } from './plumb.ts';
import { plumbOf } from './plumb.ts';
import type { Anchors, PointPull, Pull } from './pull.ts';
import { pullNotKnown } from './pull.ts';
import { reckonedKg, takeOffRows } from './take-off-items.ts';

/** What each line pulls at its most [kN], moving, with its own parts; null where that is not solved. */
export type LinePulls = readonly { readonly pullKn: number; readonly offVerticalDeg: number }[] | null;
/** One pick-up of the hang with what it carries. */
export type CarriedHook = { readonly pickUp: PickUp; readonly hook: HookLoad; readonly line: PickUpLine };
export type HeldHook = { readonly line: PickUpLine; readonly plumb: Plumb; readonly pull: PointPull };
export type HeldAside = {
  /** In the order of the pick-ups given. */
  readonly hooks: readonly HeldHook[];
  /** On the points that the lines off plumb go to. */
  readonly pulls: readonly PointPull[];
  readonly takeOff: readonly TakeOffRow[];
  readonly findings: readonly HangFinding[];
  readonly lines: LinePulls;
  readonly missing: readonly Missing[];
};

export const ASIDE_CAUTION =
  'Lines off plumb are solved with the hang whole and at trim; what a pull to the side does within the hang is not computed.';

/**
 * A hang that lines hold aside. A line counts where it hurts and nowhere else: point and hoist above carry at least what they would without
 * it. Parts of a line hang on its point, or on the hang where it ends at another place.
 */
export function heldAside(plan: Plan, hang: Hang, carried: readonly CarriedHook[], rules: LoadRules, anchors: Anchors): HeldAside {
  const sides = hang.linesOffPlumb ?? [];
  const rows = sides.map(({ parts }, index) => takeOffRows(partItems(plan, parts, 'leg', nameOf(index)), rules.contingency));
  const doubts: Missing[] = [
    ...rows.flatMap((own) => missingMasses(own)),
    ...sides.flatMap(({ parts }, index) => (parts.length === 0 ? [{ code: 'leg-parts-not-stated', of: nameOf(index) }] : [])),
  ];
  const ownKg = rows.map((own) => reckonedKg(own));
  const onHangN = sides.reduce((sum, { to }, index) => sum + ('pointId' in to ? 0 : (ownKg[index] ?? 0) * STANDARD_GRAVITY), 0);
  const ofLines = carried.flatMap(({ line }) => line.missing);
  const missing = [...ofLines, ...carried.flatMap(({ line }) => line.missingForMoving), ...doubts];
  const drawn = carried.map(({ pickUp }) => ({
    pickUp,
    top: anchors(pointOf(pickUp)),
    plumb: plumbOf(pickUp.position, anchors(pointOf(pickUp))),
  }));
  const ended = endsOf(sides, anchors);
  const aside = ended === null ? NO_POINT : asideOf(hang, drawn, ended, rules);
  const solved = isRefusal(aside) ? aside : solveCases(aside, carried, rules, onHangN);
  const takeOff = rows.flat();
  if (isRefusal(aside) || isRefusal(solved) || ended === null) {
    const { why, sure } = isRefusal(aside) ? aside : isRefusal(solved) ? solved : NO_POINT;
    const all = [...ofLines, ...doubts];
    const finding: HangFinding = sure
      ? notHeld('configuration', 'linesOffPlumb', why, all)
      : { ...BLANK_FINDING, kind: 'configuration', subject: 'linesOffPlumb', state: 'unknown', why: [why, ...all] };
    return {
      hooks: carried.map(({ pickUp, line }) => ({
        line: { ...line, missing: [...line.missing, ...doubts, why] },
        plumb: plumbOf(pickUp.position, anchors(pointOf(pickUp))),
        pull: pullNotKnown(pointOf(pickUp), missing, why),
      })),
      pulls: sides.flatMap(({ to }) => ('pointId' in to ? [pullNotKnown(to.pointId, missing, why)] : [])),
      takeOff,
      findings: [finding],
      lines: null,
      missing: [...missing, why],
    };
  }

  const { resting, build, moving } = solved;
  const [first] = drawn;
  const only = first !== undefined && first.top !== null && hang.kind !== 'array' && ended.length === 1 ? first : null;
  const swing = only === null || only.top === null ? null : swingFactor(placeOf(only.pickUp), only.top, ended);
  const hooks = carried.map(({ pickUp, line }, index): HeldHook & { readonly moreKg: number } => {
    const { restingN, buildN, movingN } = line.top;
    const slackN = swing === null ? null : (restingN + onHangN) * swing;
    // Where the hang is not at trim a line may hang slack: what it takes off the line of the hook is not counted.
    const above = (tensions: Tensions, loadN: number): Pull => {
      const pull = hoistOf(tensions, index);
      return pullOf({ ...pull, downN: Math.max(pull.downN, loadN + onHangN) });
    };
    const pulls = { resting: above(resting, restingN), build: above(build, buildN), moving: above(moving, movingN) };
    const plumb = aside.plumbs[index];
    if (plumb === undefined) throw new Error('every hook that is held aside has a line');
    const tight = tightened(line, pulls, slackN, swing, doubts, factorOf(line, rules));
    return {
      line: tight,
      plumb,
      moreKg: tight.onHoist.massKg - line.onHoist.massKg,
      pull: {
        ...pulls,
        role: 'line',
        pointId: pointOf(pickUp),
        limiter: line.top.limiterN === null ? null : leaning(line.top.limiterN, pulls.resting),
        slack: slackN === null ? null : straightDown(slackN),
        whenLost: slackN === null ? [] : [{ lost: LOST_LINE, pull: straightDown(slackN) }],
        accidental: null,
        missing,
        missingSideways: [],
      },
    };
  });
  const lines = sides.map((_, index) => {
    const { xKn, yKn, downKn } = pullOf(endOf(moving, index));
    const offVerticalDeg = radToDeg(atan2(Math.sqrt(xKn * xKn + yKn * yKn), Math.abs(downKn)));
    return { pullKn: sizeKn({ xKn, yKn, downKn }) + kgToKn(ownKg[index] ?? 0), offVerticalDeg };
  });
  const sidePulls = sides.flatMap(({ to }, index) =>
    'pointId' in to ? [sidePull(to.pointId, index, solved, kgToKn(ownKg[index] ?? 0), missing, swing !== null)] : [],
  );
  const lost = swing === null ? [lostFinding()] : [];
  const largestKn = hooks.reduce((most, { pull }) => Math.max(most, sizeKn(pull.moving)), 0);
  return {
    hooks,
    pulls: sidePulls,
    takeOff,
    findings: [
      toldFinding(largestKn, lines),
      ...aside.notes.map(({ hook, why }) => noteFinding(carried[hook]?.pickUp.id ?? null, why)),
      ...lost,
      ...sides.flatMap((side, index) => anchorFindings(side, index, lines[index]?.pullKn ?? 0, missing)),
      ...carried.flatMap(({ pickUp, hook }, index) => heldHoleFindings(hang, pickUp.id, hook.movingKg + (hooks[index]?.moreKg ?? 0))),
    ],
    lines,
    missing,
  };
}

/** Only where there is one: of several, where the hang would come to rest is not computed. */
const LOST_LINE = 'line off plumb';
const NO_POINT: AsideRefusal = { why: { code: 'point-missing', of: 'line off plumb' }, sure: false };
const straightDown = (downN: number): Pull => ({ xKn: 0, yKn: 0, downKn: downN / 1000 });
/** Down by so much along a line that leans as this pull does. */
const leaning = (downN: number, { xKn, yKn, downKn }: Pull): Pull => {
  const times = downKn > 0 ? downN / 1000 / downKn : 0;
  return { xKn: xKn * times, yKn: yKn * times, downKn: downN / 1000 };
};
const pullOf = ({ xN, yN, downN }: EndPull): Pull => ({ xKn: xN / 1000, yKn: yN / 1000, downKn: downN / 1000 });
const sizeKn = ({ xKn, yKn, downKn }: Pull): number => Math.sqrt(xKn * xKn + yKn * yKn + downKn * downKn);
const placeOf = ({ position: { xM, yM, zM } }: PickUp) => ({ xM, yM, zM: zM ?? 0 });

/** A checked plan has lines off plumb beside lines straight to a point alone. */
function pointOf({ attachment }: PickUp): string {
  if (attachment.kind !== 'direct') throw new Error('a line off plumb stands beside a line straight to a point');
  return attachment.pointId;
}

const factorOf = ({ hoist }: PickUpLine, { dynamic }: LoadRules): number => (hoist === null ? 1 : dynamicFactorOf(hoist, dynamic).factor);

function hoistOf({ hoists }: Tensions, index: number): EndPull {
  const pull = hoists[index];
  if (pull === undefined) throw new Error('the line of every hook is solved');
  return pull;
}

function endOf({ lines }: Tensions, index: number): EndPull {
  const end = lines[index];
  if (end === undefined) throw new Error('every line off plumb is solved');
  return end;
}

function endsOf(sides: readonly LineOffPlumb[], anchors: Anchors): EndedLine[] | null {
  const ended = sides.flatMap((side) => {
    const end = 'pointId' in side.to ? anchors(side.to.pointId) : side.to.place;
    return end === null ? [] : [{ ...side, end }];
  });
  return ended.length === sides.length ? ended : null;
}

type DrawnHook = { readonly pickUp: PickUp; readonly top: Position | null; readonly plumb: Plumb };

function asideOf(hang: Hang, drawn: readonly DrawnHook[], ended: readonly EndedLine[], { contingency }: LoadRules): Aside | AsideRefusal {
  const holeIdOf = (build: ArrayBuild, { id }: PickUp) => build.holes.find(({ pickUpId }) => pickUpId === id)?.holeId ?? null;
  const hooks: (ArrayHook & { readonly pickUp: PickUp })[] = [];
  for (const { pickUp, top, plumb } of drawn) {
    if (top === null) return NO_POINT;
    if (pickUp.position.zM === null) return { why: { code: 'hook-height-not-stated', of: 'pick-up' }, sure: false };
    if (top.zM - pickUp.position.zM <= 0) return { why: { code: 'hook-not-below-point', of: 'pick-up' }, sure: false };
    const holeId = hang.kind === 'array' && hang.build !== null ? holeIdOf(hang.build, pickUp) : null;
    hooks.push({ pickUp, holeId, place: placeOf(pickUp), top, drawn: plumb });
  }
  const [one, other] = hooks;
  if (one === undefined) throw new Error('a checked hang with lines off plumb has a pick-up');
  if (hang.kind !== 'array') {
    const largest = Math.max(contingency.weighed, contingency.documented, contingency.estimated, contingency.cableAtLeast);
    return hookHeldAside(one.place, one.top, ended, one.drawn, largest);
  }
  const [side] = ended;
  if (side === undefined || hang.build === null) throw new Error('a checked array with a pull-back states its build');
  if (other !== undefined) return arrayHeldOnTwo(hang.build, [one, other], side, contingency);
  return arrayHeldAside(hang.build, one.holeId, one.place, side, one.drawn, contingency);
}

type Cases<T> = { readonly resting: T; readonly build: T; readonly moving: T };

function solveCases(aside: Aside, carried: readonly CarriedHook[], rules: LoadRules, onHangN: number): Cases<Tensions> | AsideRefusal {
  const at = (topN: (top: PickUpLine['top']) => number, factor: number) => {
    const hooks = carried.map(({ line: { top }, hook }) => ({
      loadN: topN(top) + onHangN,
      lineN: factor * Math.max(0, top.restingN - hook.restingKg * STANDARD_GRAVITY),
    }));
    return aside.under({ hooks, factor, onHangN });
  };
  const movingFactor = carried.reduce((most, { line }) => Math.max(most, factorOf(line, rules)), 1);
  const [resting, build, moving] = [at((top) => top.restingN, 1), at((top) => top.buildN, 1), at((top) => top.movingN, movingFactor)];
  if (isRefusal(resting)) return resting;
  if (isRefusal(build)) return build;
  return isRefusal(moving) ? moving : { resting, build, moving };
}

/** On a point of the roof. A pull that lifts it helps nobody for certain, and no capacity says what it bears upwards. */
function sidePull(
  pointId: string,
  index: number,
  cases: Cases<Tensions>,
  ownKn: number,
  missing: readonly Missing[],
  canBeLost: boolean,
): PointPull {
  const at = (tensions: Tensions): Pull => {
    const pull = pullOf(endOf(tensions, index));
    return { ...pull, downKn: Math.max(0, pull.downKn) + ownKn };
  };
  const lifts = endOf(cases.moving, index).downN < 0 ? [{ code: 'point-pulled-up', of: nameOf(index) }] : [];
  return {
    role: 'line',
    pointId,
    resting: at(cases.resting),
    build: at(cases.build),
    moving: at(cases.moving),
    limiter: null,
    slack: null,
    whenLost: canBeLost ? [{ lost: LOST_LINE, pull: straightDown(ownKn * 1000) }] : [],
    accidental: null,
    missing: [...missing, ...lifts],
    missingSideways: [],
  };
}

/** The line of the hook with what it now pulls along itself; its hoist carries more by as much. */
function tightened(
  line: PickUpLine,
  pulls: Cases<Pull>,
  slackN: number | null,
  swing: number | null,
  doubts: readonly Missing[],
  factor: number,
): PickUpLine {
  const { top, onHoist } = line;
  const now = { restingN: sizeKn(pulls.resting) * 1000, buildN: sizeKn(pulls.build) * 1000, movingN: sizeKn(pulls.moving) * 1000 };
  const massKg = onHoist.massKg + Math.max(0, now.movingN - top.movingN) / (factor * STANDARD_GRAVITY);
  return {
    ...line,
    top: { ...now, limiterN: top.limiterN, slackN, whenLost: [] },
    onHoist: { ...onHoist, massKg, slackKg: swing === null ? null : Math.max(massKg, onHoist.massKg * swing) },
    missing: [...line.missing, ...doubts],
  };
}

const toldFinding = (largestKn: number, lines: NonNullable<LinePulls>): HangFinding => ({
  ...BLANK_FINDING,
  kind: 'configuration',
  subject: 'linesOffPlumb',
  state: 'told',
  reckonings: [
    {
      formula: 'lines and loads balance where the hang is drawn',
      numbers: Object.fromEntries(lines.map(({ pullKn }, index) => [`line${index}Kn`, pullKn])),
      unit: 'kN',
      source: 'equilibrium of forces, and of moments of an array',
      result: largestKn,
    },
  ],
});

const noteFinding = (pickUpId: string | null, why: Missing): HangFinding => ({
  ...BLANK_FINDING,
  kind: 'configuration',
  subject: 'linesOffPlumb:slack',
  pickUpId,
  state: 'told',
  why: [why],
});

/** A hole of an array takes what its line pulls, not only what hangs on it. */
function heldHoleFindings(hang: Hang, pickUpId: string, loadKg: number): HangFinding[] {
  if (hang.kind !== 'array' || hang.build === null) return [];
  const { build } = hang;
  return holeFindings(build, pickUpId, build.holes.find((hole) => hole.pickUpId === pickUpId)?.holeId, loadKg);
}

const lostFinding = (): HangFinding => ({
  ...BLANK_FINDING,
  kind: 'configuration',
  subject: 'linesOffPlumb:lost',
  hard: false,
  case: 'slack',
  state: 'unknown',
  why: [{ code: 'place-after-loss-not-computed', of: 'line off plumb' }],
});

/** What a place that is no point of the roof holds, only its own document says. */
function anchorFindings({ to }: LineOffPlumb, index: number, pullKn: number, missing: readonly Missing[]): HangFinding[] {
  if ('pointId' in to) return [];
  const { holdsKn, basis } = to;
  const why = holdsKn === null || basis === null ? [{ code: 'anchor-not-stated', of: nameOf(index) }] : [];
  const about = { ...BLANK_FINDING, kind: 'configuration', subject: `linesOffPlumb:${index}:anchor`, case: 'moving', unit: 'kN' } as const;
  return [{ ...about, state: 'compare', demand: pullKn, capacity: holdsKn, why: [...why, ...missing] }];
}
