import { atan2, radToDeg } from '../foundation/elementary.ts';
import { kgToKn, STANDARD_GRAVITY } from '../foundation/units.ts';
import type { TakeOffRow } from '../statics/hoist-line-take-off.ts';
import { missingMasses } from '../statics/hoist-line-take-off.ts';
import { arrayHeldAside } from './array-held-aside.ts';
import type { Aside, AsideRefusal, EndedLine, EndPull, Tensions } from './aside.ts';
import { isRefusal } from './aside.ts';
import { dynamicFactorOf } from './dynamic-factor.ts';
import type { HangFinding, HookLoad } from './hook-load.ts';
import { BLANK_FINDING, notHeld } from './hook-load.ts';
import { hookHeldAside, nameOf, swingFactor } from './hook-held-aside.ts';
import type { LoadRules, PickUpLine } from './line-loads.ts';
import { partItems } from './line-loads.ts';
import type { Missing } from './missing.ts';
import type { Hang, LineOffPlumb, PickUp, Plan } from './plan.ts';
import type { Plumb } from './plumb.ts';
import { plumbOf } from './plumb.ts';
import type { Anchors, PointPull, Pull } from './pull.ts';
import { pullNotKnown } from './pull.ts';
import { reckonedKg, takeOffRows } from './take-off-items.ts';

/** What each line pulls at its most [kN], moving, with its own parts; null where that is not solved. */
export type LinePulls = readonly { readonly pullKn: number; readonly offVerticalDeg: number }[] | null;
export type HeldAside = {
  readonly line: PickUpLine;
  readonly plumb: Plumb;
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
export function heldAside(
  plan: Plan,
  hang: Hang,
  pickUp: PickUp,
  hook: HookLoad,
  line: PickUpLine,
  rules: LoadRules,
  anchors: Anchors,
): HeldAside {
  const sides = hang.linesOffPlumb ?? [];
  const { attachment } = pickUp;
  if (attachment.kind !== 'direct') throw new Error('a checked plan has lines off plumb beside a line straight to a point alone');
  const rows = sides.map(({ parts }, index) => takeOffRows(partItems(plan, parts, 'leg', nameOf(index)), rules.contingency));
  const doubts: Missing[] = [
    ...rows.flatMap((own) => missingMasses(own)),
    ...sides.flatMap(({ parts }, index) => (parts.length === 0 ? [{ code: 'leg-parts-not-stated', of: nameOf(index) }] : [])),
  ];
  const ownKg = rows.map((own) => reckonedKg(own));
  const onHangN = sides.reduce((sum, { to }, index) => sum + ('pointId' in to ? 0 : (ownKg[index] ?? 0) * STANDARD_GRAVITY), 0);
  const missing = [...line.missing, ...line.missingForMoving, ...doubts];
  const drawn = plumbOf(pickUp.position, anchors(attachment.pointId));
  const ended = endsOf(sides, anchors);
  const aside = ended === null ? NO_POINT : asideOf(hang, pickUp, ended, drawn, rules, anchors);

  const { restingN, buildN, movingN } = line.top;
  const factor = line.hoist === null ? 1 : dynamicFactorOf(line.hoist, rules.dynamic).factor;
  const solved = isRefusal(aside) ? aside : solveCases(aside, { restingN, buildN, movingN }, hook, factor, onHangN);
  const takeOff = rows.flat();
  if (isRefusal(aside) || isRefusal(solved) || ended === null) {
    const { why, sure } = isRefusal(aside) ? aside : isRefusal(solved) ? solved : NO_POINT;
    const ids = [attachment.pointId, ...sides.flatMap(({ to }) => ('pointId' in to ? [to.pointId] : []))];
    const all = [...line.missing, ...doubts];
    const finding: HangFinding = sure
      ? notHeld('configuration', 'linesOffPlumb', why, all)
      : { ...BLANK_FINDING, kind: 'configuration', subject: 'linesOffPlumb', state: 'unknown', why: [why, ...all] };
    const pulls = ids.map((id) => pullNotKnown(id, missing, why));
    return {
      line: { ...line, missing: [...all, why] },
      plumb: drawn,
      pulls,
      takeOff,
      findings: [finding],
      lines: null,
      missing: [...missing, why],
    };
  }

  const { resting, build, moving } = solved;
  const top = anchors(attachment.pointId);
  const swing = hang.kind === 'array' || ended.length > 1 || top === null ? null : swingFactor(placeOf(pickUp), top, ended);
  const slackN = swing === null ? null : (restingN + onHangN) * swing;
  // Where the hang is not at trim a line may hang slack: what it takes off the line of the hook is not counted.
  const above = ({ hoist }: Tensions, loadN: number): Pull => pullOf({ ...hoist, downN: Math.max(hoist.downN, loadN + onHangN) });
  const hoistPulls = { resting: above(resting, restingN), build: above(build, buildN), moving: above(moving, movingN) };
  const own: PointPull = {
    ...hoistPulls,
    role: 'line',
    pointId: attachment.pointId,
    limiter: line.top.limiterN === null ? null : leaning(line.top.limiterN, hoistPulls.resting),
    slack: slackN === null ? null : straightDown(slackN),
    whenLost: slackN === null ? [] : [{ lost: LOST_LINE, pull: straightDown(slackN) }],
    accidental: null,
    missing,
    missingSideways: [],
  };
  const lines = sides.map((_, index) => {
    const { xKn, yKn, downKn } = pullOf(endOf(moving, index));
    const offVerticalDeg = radToDeg(atan2(Math.sqrt(xKn * xKn + yKn * yKn), Math.abs(downKn)));
    return { pullKn: sizeKn({ xKn, yKn, downKn }) + kgToKn(ownKg[index] ?? 0), offVerticalDeg };
  });
  const sidePulls = sides.flatMap(({ to }, index) =>
    'pointId' in to ? [sidePull(to.pointId, index, solved, kgToKn(ownKg[index] ?? 0), missing, slackN !== null)] : [],
  );
  const lost = swing === null ? [lostFinding()] : [];
  return {
    line: tightened(line, hoistPulls, slackN, swing, doubts),
    plumb: aside.plumb,
    pulls: [own, ...sidePulls],
    takeOff,
    findings: [
      toldFinding(hoistPulls, lines),
      ...lost,
      ...sides.flatMap((side, index) => anchorFindings(side, index, lines[index]?.pullKn ?? 0, missing)),
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

function asideOf(
  hang: Hang,
  pickUp: PickUp,
  ended: readonly EndedLine[],
  drawn: Plumb,
  rules: LoadRules,
  anchors: Anchors,
): Aside | AsideRefusal {
  const { attachment, position } = pickUp;
  const top = attachment.kind === 'direct' ? anchors(attachment.pointId) : null;
  if (top === null) return NO_POINT;
  if (position.zM === null) return { why: { code: 'hook-height-not-stated', of: 'pick-up' }, sure: false };
  if (top.zM - position.zM <= 0) return { why: { code: 'hook-not-below-point', of: 'pick-up' }, sure: false };
  const { contingency } = rules;
  if (hang.kind !== 'array') {
    const largest = Math.max(contingency.weighed, contingency.documented, contingency.estimated, contingency.cableAtLeast);
    return hookHeldAside(placeOf(pickUp), top, ended, drawn, largest);
  }
  const [side] = ended;
  if (side === undefined || hang.build === null) throw new Error('a checked array with a pull-back states its build');
  const holeId = hang.build.holes.find(({ pickUpId }) => pickUpId === pickUp.id)?.holeId ?? null;
  return arrayHeldAside(hang.build, holeId, placeOf(pickUp), side, drawn, contingency);
}

type Cases<T> = { readonly resting: T; readonly build: T; readonly moving: T };
type TopN = { readonly restingN: number; readonly buildN: number; readonly movingN: number };

function solveCases(aside: Aside, top: TopN, hook: HookLoad, factor: number, onHangN: number): Cases<Tensions> | AsideRefusal {
  const at = (loadN: number, hangKg: number) => aside.under({ loadN: loadN + onHangN, hangN: hangKg * STANDARD_GRAVITY + onHangN });
  const [resting, build, moving] = [
    at(top.restingN, hook.restingKg),
    at(top.buildN, hook.buildKg),
    at(top.movingN, hook.movingKg * factor),
  ];
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
): PickUpLine {
  const { top, onHoist } = line;
  const now = { restingN: sizeKn(pulls.resting) * 1000, buildN: sizeKn(pulls.build) * 1000, movingN: sizeKn(pulls.moving) * 1000 };
  const ratio = (afterN: number, beforeN: number) => (beforeN > 0 ? afterN / beforeN : 1);
  const most = Math.max(1, ratio(now.restingN, top.restingN), ratio(now.buildN, top.buildN), ratio(now.movingN, top.movingN));
  return {
    ...line,
    top: { ...now, limiterN: top.limiterN, slackN, whenLost: [] },
    onHoist: { ...onHoist, massKg: onHoist.massKg * most, slackKg: swing === null ? null : onHoist.massKg * Math.max(swing, most) },
    missing: [...line.missing, ...doubts],
  };
}

const toldFinding = (hoist: Cases<Pull>, lines: NonNullable<LinePulls>): HangFinding => ({
  ...BLANK_FINDING,
  kind: 'configuration',
  subject: 'linesOffPlumb',
  state: 'told',
  reckonings: [
    {
      formula: 'lines and loads balance where the hang is drawn',
      numbers: Object.fromEntries(lines.map(({ pullKn }, index) => [`line${index}Kn`, pullKn])),
      unit: 'kN',
      source: 'equilibrium of forces; of moments about the hole of an array',
      result: sizeKn(hoist.moving),
    },
  ],
});

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
