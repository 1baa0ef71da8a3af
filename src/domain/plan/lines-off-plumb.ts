import { atan2, degToRad, radToDeg, tan } from '../foundation/elementary.ts';
import { kgToKn, STANDARD_GRAVITY } from '../foundation/units.ts';
import type { TakeOffRow } from '../statics/hoist-line-take-off.ts';
import { missingMasses } from '../statics/hoist-line-take-off.ts';
import { arrayHeldAside } from './array-held-aside.ts';
import type { ArrayHook } from './array-held-on-two.ts';
import { arrayHeldOnTwo } from './array-held-on-two.ts';
import { holeFindings } from './array-hook-loads.ts';
import type { Aside, AsideRefusal, EndedLine, EndPull, Tensions } from './aside.ts';
import { isRefusal } from './aside.ts';
import { pointIdsOf } from './attachment-places.ts';
import type { ApexPulls } from './bridle-held-aside.ts';
import { apexNotHeld, bridleHeldAside, legPoints } from './bridle-held-aside.ts';
import type { BridlePulls } from './bridle-loads.ts';
import { dynamicFactorOf } from './dynamic-factor.ts';
import type { HangFinding, HookLoad } from './hook-load.ts';
import { BLANK_FINDING, notHeld } from './hook-load.ts';
import { hookHeldAside, nameOf, swingFactor } from './hook-held-aside.ts';
import type { LoadRules, PickUpLine } from './line-loads.ts';
import { partItems } from './line-loads.ts';
import type { Missing } from './missing.ts';
import type { ArrayBuild, Hang, LineOffPlumb, PickUp, Plan, Position } from './plan.ts';
import type { Plumb } from './plumb.ts';
import { lineTopOf, plumbOf } from './plumb.ts';
import type { Anchors, PointPull, Pull } from './pull.ts';
import { pullNotKnown } from './pull.ts';
import { reckonedKg, takeOffRows } from './take-off-items.ts';
import type { HeldTrussHook } from './truss-held-on-lines.ts';
import { trussHeldOnLines } from './truss-held-on-lines.ts';

/** What each line pulls at its most [kN], at rest, built or moving, with its own parts; null where that is not solved. */
export type LinePulls = readonly { readonly pullKn: number; readonly offVerticalDeg: number }[] | null;
/** One pick-up of the hang with what it carries. */
export type CarriedHook = { readonly pickUp: PickUp; readonly hook: HookLoad; readonly line: PickUpLine };
export type HeldHook = {
  readonly line: PickUpLine;
  readonly plumb: Plumb;
  /** Of its way up, in the order of its legs; then of the lines off plumb that are made fast at it. */
  readonly pulls: readonly PointPull[];
  readonly bridle: BridlePulls | null;
};
export type HeldAside = {
  /** In the order of the pick-ups given. */
  readonly hooks: readonly HeldHook[];
  readonly takeOff: readonly TakeOffRow[];
  readonly findings: readonly HangFinding[];
  readonly lines: LinePulls;
  readonly missing: readonly Missing[];
};

export const ASIDE_CAUTION =
  'Lines off plumb are solved at trim and with the hang whole, but for the loads on a truss, each of which may be missing while it is built or moved; what a pull to the side does within the hang is not computed.';

/**
 * A hang that lines hold aside. A line counts where it hurts and nowhere else: what is above the hook carries at least what it would without
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
  const onHangN = (hook: number): number =>
    sides.reduce((sum, side, index) => {
      const counts = !('pointId' in side.to) && (hang.kind !== 'truss' || hookOf(side, carried) === hook);
      return sum + (counts ? (ownKg[index] ?? 0) * STANDARD_GRAVITY : 0);
    }, 0);
  const ofLines = carried.flatMap(({ line }) => line.missing);
  const missing = [...ofLines, ...carried.flatMap(({ line }) => line.missingForMoving), ...doubts];
  const drawn = carried.map(({ pickUp, hook, line }, index): DrawnHook => {
    const top = lineTopOf(pickUp.attachment, anchors);
    const lineN = Math.max(0, line.top.restingN - hook.restingKg * STANDARD_GRAVITY);
    const statedN = (hook.atLeast?.statedKg ?? hook.restingKg) * STANDARD_GRAVITY + lineN + onHangN(index);
    return { pickUp, top, plumb: plumbOf(pickUp.position, top), statedN };
  });
  const ended = endsOf(sides, anchors);
  const aside = ended === null ? NO_POINT : (apexRefusal(drawn, anchors) ?? asideOf(hang, drawn, ended, rules));
  const movingFactor = carried.reduce((most, { line }) => Math.max(most, factorOf(line, rules)), 1);
  const solved = isRefusal(aside) ? aside : solveCases(aside, carried, movingFactor, onHangN);
  const takeOff = rows.flat();
  const bridleOf = ({ attachment }: PickUp, pulls: ApexPulls | null): BridlePulls | null =>
    attachment.kind === 'bridle' ? bridleHeldAside(plan, attachment, pulls, missing, rules.contingency, anchors) : null;
  if (isRefusal(aside) || isRefusal(solved) || ended === null) {
    const { why, sure, hook = null }: AsideRefusal = isRefusal(aside) ? aside : isRefusal(solved) ? solved : NO_POINT;
    const all = [...ofLines, ...doubts];
    const finding: HangFinding = {
      ...notHeld('configuration', 'linesOffPlumb', why, all),
      pickUpId: hook === null ? null : (carried[hook]?.pickUp.id ?? null),
      ...(sure ? {} : { state: 'unknown' }),
    };
    const notKnown = (pointId: string) => pullNotKnown(pointId, missing, why);
    const bridles = carried.map(({ pickUp }) => bridleOf(pickUp, null));
    return {
      hooks: carried.map(({ pickUp, line }, index) => ({
        line: { ...line, missing: [...line.missing, ...doubts, why] },
        plumb: plumbOf(pickUp.position, lineTopOf(pickUp.attachment, anchors)),
        pulls: [
          ...pointIdsOf(pickUp.attachment).map(notKnown),
          ...sides.flatMap((side) => ('pointId' in side.to && hookOf(side, carried) === index ? [notKnown(side.to.pointId)] : [])),
        ],
        bridle: bridles[index] ?? null,
      })),
      takeOff: [...takeOff, ...bridles.flatMap((bridle) => bridle?.takeOff ?? [])],
      findings: [finding],
      lines: null,
      missing: [...missing, why],
    };
  }

  const { resting, build, moving } = solved;
  const swing = swingOf(hang, drawn, ended, anchors);
  const hooks = carried.map(({ pickUp, line }, index): HeldHook & { readonly moreKg: number; readonly atTop: TopPulls } => {
    const { restingN, buildN, movingN } = line.top;
    // Where the hang is not at trim a line may hang slack: what it takes off the line of the hook is not counted.
    const above = (tensions: Tensions, loadN: number): Pull => {
      const pull = hoistOf(tensions, index);
      return pullOf({ ...pull, downN: Math.max(pull.downN, loadN) });
    };
    // All that hangs there; what the lines weigh on the hang moves with it.
    const all = { resting: restingN + onHangN(index), build: buildN + onHangN(index), moving: movingN + movingFactor * onHangN(index) };
    const pulls = { resting: above(resting, all.resting), build: above(build, all.build), moving: above(moving, all.moving) };
    const swungTo =
      swing === null ? null : { slackN: all.resting * swing, slackKg: (line.onHoist.massKg + onHangN(index) / STANDARD_GRAVITY) * swing };
    const plumb = aside.plumbs[index];
    if (plumb === undefined) throw new Error('every hook that is held aside has a line');
    const tight = tightened(line, pulls, swungTo, doubts, factorOf(line, rules));
    const limiter = line.top.limiterN === null ? null : leaning(line.top.limiterN, pulls.resting);
    const atTop: TopPulls = { ...pulls, limiter, slack: swungTo === null ? null : straightDown(swungTo.slackN) };
    // A leg may pull more while the line off plumb is slack, and the one over against it while it pulls.
    const either = (pull: Pull, held: Tensions, loadN: number): Pull[] => [pullOf(hoistOf(held, index)), pull, straightDown(loadN)];
    const swung = atTop.slack === null ? null : swungOver(atTop.slack, plumb, drawn[index]);
    const bridle = bridleOf(pickUp, {
      resting: either(pulls.resting, resting, all.resting),
      build: either(pulls.build, build, all.build),
      moving: either(pulls.moving, moving, all.moving),
      limiter: limiter === null ? null : [limiter, straightDown(limiter.downKn * 1000)],
      slack: swung,
      whenLost: swung === null ? [] : [{ lost: LOST_LINE, pulls: swung }],
    });
    const { attachment } = pickUp;
    const own = attachment.kind === 'direct' ? [directPull(attachment.pointId, atTop, missing)] : (bridle?.pulls ?? []);
    const asidePulls = sides.flatMap((side, at) =>
      'pointId' in side.to && hookOf(side, carried) === index
        ? [sidePull(side.to.pointId, at, solved, kgToKn(ownKg[at] ?? 0), missing, swing !== null)]
        : [],
    );
    return { line: tight, plumb, moreKg: tight.onHoist.massKg - line.onHoist.massKg, atTop, bridle, pulls: [...own, ...asidePulls] };
  });
  const lines = sides.map((_, index) => {
    const pulls = [resting, build, moving].map((tensions) => pullOf(endOf(tensions, index)));
    const { xKn, yKn, downKn } = pulls.reduce((most, pull) => (sizeKn(pull) > sizeKn(most) ? pull : most));
    const offVerticalDeg = radToDeg(atan2(Math.sqrt(xKn * xKn + yKn * yKn), Math.abs(downKn)));
    return { pullKn: sizeKn({ xKn, yKn, downKn }) + kgToKn(ownKg[index] ?? 0), offVerticalDeg };
  });
  const lost = swing === null ? [lostFinding(aside.withoutLine)] : [];
  const largestKn = hooks.reduce((most, { atTop }) => Math.max(most, sizeKn(atTop.moving)), 0);
  return {
    hooks,
    takeOff: [...takeOff, ...hooks.flatMap(({ bridle }) => bridle?.takeOff ?? [])],
    findings: [
      toldFinding(largestKn, lines),
      ...aside.notes.map(({ hook, why }) => noteFinding(carried[hook]?.pickUp.id ?? null, why)),
      ...lost,
      ...axialFindings(solved, carried, rules, missing),
      ...sides.flatMap((side, index) => anchorFindings(side, index, lines[index]?.pullKn ?? 0, missing)),
      ...carried.flatMap(({ pickUp, hook }, index) => heldHoleFindings(hang, pickUp.id, hook.movingKg + (hooks[index]?.moreKg ?? 0))),
    ],
    lines,
    missing,
  };
}

/** What pulls on the upper end of the line of a hook. */
type TopPulls = Cases<Pull> & Pick<PointPull, 'limiter' | 'slack'>;

const directPull = (pointId: string, atTop: TopPulls, missing: readonly Missing[]): PointPull => ({
  ...atTop,
  role: 'line',
  pointId,
  whenLost: atTop.slack === null ? [] : [{ lost: LOST_LINE, pull: atTop.slack }],
  accidental: null,
  missing,
  missingSideways: [],
});

/** The hook at which a line off plumb is made fast; of a hang with one hook, or of an array, the first. */
function hookOf({ pickUpId }: LineOffPlumb, carried: readonly { readonly pickUp: PickUp }[]): number {
  const named = carried.findIndex(({ pickUp }) => pickUp.id === pickUpId);
  return named < 0 ? 0 : named;
}

/** A hang on one hook, held by one line: the multiple of its load at the bottom of the swing once that is lost; null where not computed. */
function swingOf(hang: Hang, drawn: readonly DrawnHook[], ended: readonly EndedLine[], anchors: Anchors): number | null {
  const [one, ...others] = drawn;
  if (one === undefined || one.top === null || others.length > 0 || hang.kind === 'array' || ended.length !== 1) return null;
  const { attachment } = one.pickUp;
  if (attachment.kind === 'bridle') {
    // It swings as far beyond plumb: there too its legs have to hold the apex.
    const [hook, points] = [placeOf(one.pickUp), legPoints(attachment, anchors)];
    const beyond = { xM: 2 * one.top.xM - hook.xM, yM: 2 * one.top.yM - hook.yM, zM: hook.zM };
    if (points === null || apexNotHeld(one.top, beyond, points) !== null) return null;
  }
  return swingFactor(placeOf(one.pickUp), one.top, ended);
}

/** The most of the swing, at its bottom and, which is more than it can be there, leaning to either end of it. */
function swungOver(peak: Pull, { heldAtDeg }: Plumb, hook: DrawnHook | undefined): Pull[] {
  if (hook === undefined || hook.top === null || heldAtDeg === undefined) return [peak];
  const { xM, yM, zM } = placeOf(hook.pickUp);
  const heightM = hook.top.zM - zM;
  const [x, y] = [((xM - hook.top.xM) / heightM) * peak.downKn, ((yM - hook.top.yM) / heightM) * peak.downKn];
  return [peak, { ...peak, xKn: x, yKn: y }, { ...peak, xKn: 0 - x, yKn: 0 - y }];
}

/** A bridle above a hook has to hold its apex as drawn, with the line off plumb slack and with it as drawn. */
function apexRefusal(drawn: readonly DrawnHook[], anchors: Anchors): AsideRefusal | null {
  for (const { pickUp, top } of drawn) {
    const { attachment, position } = pickUp;
    if (attachment.kind !== 'bridle' || top === null || position.zM === null || position.zM >= top.zM) continue;
    const points = legPoints(attachment, anchors);
    if (points === null) return { why: { code: 'point-missing', of: 'bridle' }, sure: false };
    const error = apexNotHeld(top, placeOf(pickUp), points);
    if (error !== null) return { why: { code: WHY_NOT_HELD[error.code] ?? 'bridle-not-solved', of: 'bridle' }, sure: true };
  }
  return null;
}

const WHY_NOT_HELD: Readonly<Record<string, string>> = {
  'apex-out-of-plane': 'pull-off-the-legs-plane',
  'leg-in-compression': 'leg-slackens-under-pull',
};

/**
 * No allowable force of a truss speaks of a push or pull along it. As much as hoists within the plumb tolerance put into any truss is
 * borne with here too; more is not known to hold.
 */
function axialFindings(
  { moving }: Cases<Tensions>,
  carried: readonly CarriedHook[],
  { plumbDeg }: LoadRules,
  missing: readonly Missing[],
): HangFinding[] {
  const { axialN } = moving;
  if (axialN === undefined) return [];
  const leastN = carried.reduce((least, { hook }) => Math.min(least, (hook.atLeast?.leastKg ?? 0) * STANDARD_GRAVITY), Infinity);
  const allowedN = leastN * tan(degToRad(plumbDeg));
  const reckonings = [
    {
      formula: 'largest pull or push along the truss between its hooks',
      numbers: { plumbDeg, withinToleranceKn: allowedN / 1000 },
      unit: 'kN',
      source: 'equilibrium of forces along the truss',
      result: axialN / 1000,
    },
  ];
  const about = { ...BLANK_FINDING, kind: 'truss', subject: 'linesOffPlumb:along', case: 'moving', reckonings } as const;
  if (axialN <= allowedN && missing.length === 0) return [{ ...about, state: 'told' }];
  const why = axialN <= allowedN ? [] : [{ code: 'axial-force-not-covered', of: 'truss' }];
  return [{ ...about, state: 'unknown', why: [...why, ...missing] }];
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

type DrawnHook = {
  readonly pickUp: PickUp;
  /** Point or apex that its line ends at. */
  readonly top: Position | null;
  readonly plumb: Plumb;
  /** What hangs there at rest as stated. */
  readonly statedN: number;
};

function asideOf(hang: Hang, drawn: readonly DrawnHook[], ended: readonly EndedLine[], { contingency }: LoadRules): Aside | AsideRefusal {
  const holeIdOf = (build: ArrayBuild, { id }: PickUp) => build.holes.find(({ pickUpId }) => pickUpId === id)?.holeId ?? null;
  const hooks: (ArrayHook & HeldTrussHook)[] = [];
  for (const { pickUp, top, plumb, statedN } of drawn) {
    if (top === null) return NO_POINT;
    if (pickUp.position.zM === null) return { why: { code: 'hook-height-not-stated', of: 'pick-up' }, sure: false };
    if (top.zM - pickUp.position.zM <= 0) return { why: { code: 'hook-not-below-point', of: 'pick-up' }, sure: false };
    const holeId = hang.kind === 'array' && hang.build !== null ? holeIdOf(hang.build, pickUp) : null;
    hooks.push({ pickUpId: pickUp.id, holeId, place: placeOf(pickUp), top, drawn: plumb, statedN });
  }
  const [one, other] = hooks;
  if (one === undefined) throw new Error('a checked hang with lines off plumb has a pick-up');
  if (hang.kind === 'truss' && other !== undefined) return trussHeldOnLines([one, other], ended);
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

function solveCases(
  aside: Aside,
  carried: readonly CarriedHook[],
  movingFactor: number,
  onHangN: (hook: number) => number,
): Cases<Tensions> | AsideRefusal {
  type AtLeast = NonNullable<HookLoad['atLeast']>;
  const at = (topN: (top: PickUpLine['top']) => number, leastKg: (atLeast: AtLeast) => number, factor: number) => {
    const hooks = carried.map(({ line: { top }, hook }, index) => ({
      loadN: topN(top) + factor * onHangN(index),
      lineN: factor * Math.max(0, top.restingN - hook.restingKg * STANDARD_GRAVITY),
      // What moves is lighter for a moment too, by as much as it is heavier.
      leastN: Math.max(0, 2 - factor) * (hook.atLeast === undefined ? 0 : leastKg(hook.atLeast)) * STANDARD_GRAVITY,
    }));
    return aside.under({ hooks, factor, onHangN: factor * onHangN(0) });
  };
  const resting = at(
    ({ restingN }) => restingN,
    ({ leastKg }) => leastKg,
    1,
  );
  const build = at(
    ({ buildN }) => buildN,
    ({ barestKg }) => barestKg,
    1,
  );
  const moving = at(
    ({ movingN }) => movingN,
    ({ barestKg }) => barestKg,
    movingFactor,
  );
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

/**
 * The line of the hook with what it now pulls along itself; its hoist carries more by as much. What a guy is set to, nothing that moves
 * multiplies: the dynamic factor is taken only out of what is more while moving, and no less counts than at rest.
 */
function tightened(
  line: PickUpLine,
  pulls: Cases<Pull>,
  swungTo: { readonly slackN: number; readonly slackKg: number } | null,
  doubts: readonly Missing[],
  factor: number,
): PickUpLine {
  const { top, onHoist } = line;
  const now = { restingN: sizeKn(pulls.resting) * 1000, buildN: sizeKn(pulls.build) * 1000, movingN: sizeKn(pulls.moving) * 1000 };
  const moreN = Math.max(0, now.restingN - top.restingN, now.buildN - top.buildN, (now.movingN - top.movingN) / factor);
  const massKg = onHoist.massKg + moreN / STANDARD_GRAVITY;
  return {
    ...line,
    top: { ...now, limiterN: top.limiterN, slackN: swungTo?.slackN ?? null, whenLost: [] },
    onHoist: { ...onHoist, massKg, slackKg: swungTo === null ? null : Math.max(massKg, swungTo.slackKg) },
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

const lostFinding = (atRest: Aside['withoutLine']): HangFinding => ({
  ...BLANK_FINDING,
  kind: 'configuration',
  subject: 'linesOffPlumb:lost',
  hard: false,
  case: 'slack',
  state: 'unknown',
  why: [{ code: atRest === undefined ? 'place-after-loss-not-computed' : 'swing-after-loss-not-computed', of: 'line off plumb' }],
  reckonings: atRest ?? [],
});

/** What a place that is no point of the roof holds, only its own document says. */
function anchorFindings({ to }: LineOffPlumb, index: number, pullKn: number, missing: readonly Missing[]): HangFinding[] {
  if ('pointId' in to) return [];
  const { holdsKn, basis } = to;
  const why = holdsKn === null || basis === null ? [{ code: 'anchor-not-stated', of: nameOf(index) }] : [];
  const about = { ...BLANK_FINDING, kind: 'configuration', subject: `linesOffPlumb:${index}:anchor`, case: 'moving', unit: 'kN' } as const;
  return [{ ...about, state: 'compare', demand: pullKn, capacity: holdsKn, why: [...why, ...missing] }];
}
