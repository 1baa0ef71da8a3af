import type { TakeOffRow } from '../statics/hoist-line-take-off.ts';
import type { BridlePulls } from './bridle-loads.ts';
import { bridlePulls } from './bridle-loads.ts';
import { buildEquipmentFindings } from './build-equipment.ts';
import type { CheckedPlan } from './check-plan.ts';
import type { HangFinding } from './hook-load.ts';
import { BLANK_FINDING } from './hook-load.ts';
import { hookLoads } from './hook-loads.ts';
import type { LoadRules, PickUpLine } from './line-loads.ts';
import { pickUpLine } from './line-loads.ts';
import type { CarriedHook } from './lines-off-plumb.ts';
import { ASIDE_CAUTION, heldAside } from './lines-off-plumb.ts';
import type { Missing } from './missing.ts';
import { sortedMissing } from './missing.ts';
import type { Anchors, PointPull, Pull } from './pull.ts';
import { headroomFindings } from './headroom-findings.ts';
import { linePartFindings, partFindings, secondaryPartFindings } from './part-findings.ts';
import type { SecondaryLoads } from './secondary-loads.ts';
import { secondaryLoads } from './secondary-loads.ts';
import { placesFinding } from './pick-up-places.ts';
import type { Hang, PickUp } from './plan.ts';
import type { Plumb } from './plumb.ts';
import type { LikeTrusses } from './truss-answer.ts';
import { lineTopOf, plumbOf } from './plumb.ts';
import { tiersPulls } from './tiers-loads.ts';

export type PickUpLoads = {
  readonly pickUp: PickUp;
  readonly line: PickUpLine;
  readonly pulls: readonly PointPull[];
  readonly plumb: Plumb;
  readonly bridle: BridlePulls | null;
  readonly secondary: SecondaryLoads | null;
};

export type HangLoads = {
  readonly hang: Hang;
  readonly overPeople: boolean;
  readonly pickUps: readonly PickUpLoads[];
  /** Everything that hangs by this hang: itself, hoists, chain, leg parts. */
  readonly takeOff: readonly TakeOffRow[];
  readonly missing: readonly Missing[];
  readonly findings: readonly HangFinding[];
  readonly cautions: readonly string[];
};

const byId = (a: { id: string }, b: { id: string }): number => (a.id < b.id ? -1 : a.id > b.id ? 1 : 0);

/** From a hang to what each roof point sees of it; pick-ups in ascending order of ids, whatever their order in the plan. */
export function hangLoads(plan: CheckedPlan, hang: Hang, rules: LoadRules, anchors: Anchors, like: LikeTrusses): HangLoads {
  const hooks = hookLoads(plan, hang, rules, anchors, like);
  const pickUps: PickUpLoads[] = [];
  const takeOff: TakeOffRow[] = [...hooks.takeOff];
  const cautions = [...hooks.cautions];
  const findingsAside: HangFinding[] = [];
  const heldHooks: (CarriedHook & { readonly secondary: SecondaryLoads | null })[] = [];
  for (const pickUp of [...hang.pickUps].sort(byId)) {
    const hook = hooks.hooks.find(({ pickUpId }) => pickUpId === pickUp.id);
    if (hook === undefined) throw new Error('every pick-up of a checked plan has a load');
    const line = pickUpLine(plan, pickUp, hook, rules);
    takeOff.push(...line.line.takeOff);
    const secondary = secondaryLoads(plan, pickUp, line, rules.contingency);
    if (secondary !== null) takeOff.push(...secondary.takeOff);
    const beside = secondary === null ? [] : [secondary.pull];
    const { attachment } = pickUp;
    if (attachment.kind === 'hang') throw new Error('a checked plan has no pick-up on another hang');
    if ((hang.linesOffPlumb ?? []).length > 0) {
      heldHooks.push({ pickUp, hook, line, secondary });
    } else if (attachment.kind === 'bridle' || attachment.kind === 'tiers') {
      const bridle =
        attachment.kind === 'bridle'
          ? bridlePulls(plan, attachment, line, rules.contingency, anchors)
          : tiersPulls(plan, attachment, line, rules.contingency, anchors);
      takeOff.push(...bridle.takeOff);
      const plumb = plumbOf(pickUp.position, lineTopOf(attachment, anchors));
      pickUps.push({ pickUp, line, pulls: [...bridle.pulls, ...beside], plumb, bridle, secondary });
    } else {
      const plumb = plumbOf(pickUp.position, anchors(attachment.pointId));
      pickUps.push({ pickUp, line, pulls: [directPull(attachment.pointId, line, plumb), ...beside], plumb, bridle: null, secondary });
    }
  }
  const [firstHeld] = heldHooks;
  if (firstHeld !== undefined) {
    const held = heldAside(plan, hang, heldHooks, rules, anchors);
    takeOff.push(...held.takeOff);
    cautions.push(ASIDE_CAUTION);
    for (const [index, { line, plumb, pulls, bridle }] of held.hooks.entries()) {
      const { pickUp, secondary } = heldHooks[index] ?? firstHeld;
      pickUps.push({ pickUp, line, plumb, pulls: secondary === null ? pulls : [...pulls, secondary.pull], bridle, secondary });
    }
    findingsAside.push(...held.findings, ...linePartFindings(plan, hang, firstHeld.pickUp, held.lines, held.missing, rules.parts));
  }
  const findings = [
    ...hooks.findings,
    ...findingsAside,
    ...placesFinding(hooks.places, pickUps, rules.plumbDeg),
    ...groundFindings(hang),
    ...buildEquipmentFindings(plan, hang),
  ];
  const missing = [...hooks.missing];
  for (const { pickUp, line, pulls, bridle, plumb, secondary } of pickUps) {
    missing.push(...line.missing);
    findings.push(...partFindings(plan, pickUp, line, pulls, bridle, plumb.heldAtDeg ?? plumb.angleDeg, rules.parts));
    if (secondary !== null) {
      const aside = plumbOf(pickUp.position, anchors(secondary.pull.pointId)).angleDeg;
      findings.push(...secondary.findings, ...secondaryPartFindings(plan, pickUp, secondary.peakKn, aside, rules.parts));
    }
    findings.push(...headroomFindings(plan, pickUp, line.hoist, lineTopOf(pickUp.attachment, anchors)?.zM ?? null));
  }
  return { hang, overPeople: rules.overPeople, pickUps, takeOff, missing: sortedMissing(missing), findings, cautions };
}

/**
 * A hang that stands partly on the ground is reckoned as if its hoists carried all of it. On one line that is the most it can be. On
 * several it is not: ground under one end takes load off one line and puts more on another.
 */
function groundFindings({ support, pickUps }: Hang): HangFinding[] {
  if (support === 'hoist') return [];
  const about = { ...BLANK_FINDING, kind: 'configuration', subject: 'ground' } as const;
  if (pickUps.length <= 1) return [{ ...about, state: 'told' }];
  return [{ ...about, state: 'unknown', why: [{ code: 'ground-share-not-computed', of: 'hang' }] }];
}

/** A line shorter than this is no line; it keeps the slope of its pull finite. */
const LEAST_LINE_M = 0.001;

/**
 * A line straight up to its point. Off plumb it pulls sideways too, towards the hook: down · offset / height. A hook that is not below
 * its point has no such line, and its sideways pull is not known.
 */
function directPull(pointId: string, line: PickUpLine, { offset, heightM, missing: missingPlumb }: Plumb): PointPull {
  const slope = offset === null || heightM === null || heightM < LEAST_LINE_M ? null : { x: offset.xM / heightM, y: offset.yM / heightM };
  const at = (downN: number): Pull => {
    const downKn = downN / 1000;
    return { xKn: downKn * (slope?.x ?? 0), yKn: downKn * (slope?.y ?? 0), downKn };
  };
  const straight = missingPlumb.length === 0 && heightM === null;
  const missingSideways: Missing[] = [...missingPlumb];
  if (slope === null && !straight && missingPlumb.length === 0) missingSideways.push({ code: 'hook-not-below-point', of: 'pick-up' });
  return {
    role: 'line',
    accidental: null,
    pointId,
    resting: at(line.top.restingN),
    build: at(line.top.buildN),
    moving: at(line.top.movingN),
    limiter: line.top.limiterN === null ? null : at(line.top.limiterN),
    slack: line.top.slackN === null ? null : at(line.top.slackN),
    whenLost: line.top.whenLost.map(({ lost, loadN }) => ({ lost, pull: at(loadN) })),
    missing: [...line.missing, ...line.missingForMoving],
    missingSideways,
  };
}
