import { atan2, radToDeg } from '../foundation/elementary.ts';
import type { TakeOffRow } from '../statics/hoist-line-take-off.ts';
import type { BridlePulls } from './bridle-loads.ts';
import { bridlePulls } from './bridle-loads.ts';
import type { CheckedPlan } from './check-plan.ts';
import { hookLoads } from './hook-loads.ts';
import type { LoadRules, PickUpLine } from './line-loads.ts';
import { pickUpLine } from './line-loads.ts';
import type { Missing } from './missing.ts';
import { sortedMissing } from './missing.ts';
import type { Anchors, PointPull, Pull } from './pull.ts';
import type { Hang, PickUp, Plan, Position } from './plan.ts';

/** How far the line from the hook to its upper end is off plumb, with the hang at trim, where the line is shortest. */
export type Plumb = {
  /** From the upper end to the hook, in plan. */
  readonly offset: { readonly xM: number; readonly yM: number } | null;
  readonly heightM: number | null;
  readonly angleDeg: number | null;
  readonly missing: readonly Missing[];
};

export type PickUpLoads = {
  readonly pickUp: PickUp;
  readonly line: PickUpLine;
  readonly pulls: readonly PointPull[];
  readonly plumb: Plumb;
  readonly bridle: BridlePulls | null;
};

export type HangLoads = {
  readonly hang: Hang;
  readonly pickUps: readonly PickUpLoads[];
  /** Everything that hangs by this hang: itself, hoists, chain, leg parts. */
  readonly takeOff: readonly TakeOffRow[];
  readonly missing: readonly Missing[];
};

/** From hangs to what each roof point sees, in ascending order of hang and pick-up ids whatever the order in the plan. */
export function planLoads(plan: CheckedPlan, rules: LoadRules, anchors: Anchors): HangLoads[] {
  return [...plan.hangs].sort(byId).map((hang) => hangLoads(plan, hang, rules, anchors));
}

const byId = (a: { id: string }, b: { id: string }): number => (a.id < b.id ? -1 : a.id > b.id ? 1 : 0);

function hangLoads(plan: Plan, hang: Hang, rules: LoadRules, anchors: Anchors): HangLoads {
  const hooks = hookLoads(hang, rules.contingency);
  const pickUps: PickUpLoads[] = [];
  const takeOff: TakeOffRow[] = [...hooks.takeOff];
  for (const pickUp of [...hang.pickUps].sort(byId)) {
    const hook = hooks.hooks.find(({ pickUpId }) => pickUpId === pickUp.id);
    if (hook === undefined) throw new Error('every pick-up of a checked plan has a load');
    const line = pickUpLine(plan, pickUp, hook, rules);
    takeOff.push(...line.line.takeOff);
    const { attachment } = pickUp;
    if (attachment.kind === 'hang') throw new Error('a checked plan has no pick-up on another hang');
    if (attachment.kind === 'bridle') {
      const bridle = bridlePulls(plan, attachment, line, rules.contingency, anchors);
      takeOff.push(...bridle.takeOff);
      pickUps.push({ pickUp, line, pulls: bridle.pulls, plumb: plumbOf(pickUp.position, attachment.apex), bridle });
    } else {
      const plumb = plumbOf(pickUp.position, anchors(attachment.pointId));
      pickUps.push({ pickUp, line, pulls: [directPull(attachment.pointId, line, plumb)], plumb, bridle: null });
    }
  }
  const missing = sortedMissing([...hooks.missing, ...pickUps.flatMap(({ line }) => line.missing)]);
  return { hang, pickUps, takeOff, missing };
}

/** Nearer than this in plan, a hook is straight below: drawings are not more exact. */
const STRAIGHT_BELOW_M = 1e-6;
/** A line shorter than this is no line; it keeps the slope of its pull finite. */
const LEAST_LINE_M = 0.001;

function plumbOf(hook: PickUp['position'], top: Position | null): Plumb {
  if (top === null) return { offset: null, heightM: null, angleDeg: null, missing: [{ code: 'point-missing', of: 'attachment' }] };
  const offset = { xM: hook.xM - top.xM, yM: hook.yM - top.yM };
  const offsetM = Math.sqrt(offset.xM * offset.xM + offset.yM * offset.yM);
  const heightM = hook.zM === null ? null : top.zM - hook.zM;
  if (offsetM <= STRAIGHT_BELOW_M && heightM === null) return { offset, heightM, angleDeg: 0, missing: [] };
  if (heightM === null) return { offset, heightM, angleDeg: null, missing: [{ code: 'hook-height-not-stated', of: 'pick-up' }] };
  return { offset, heightM, angleDeg: radToDeg(atan2(offsetM, heightM)), missing: [] };
}

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
    pointId,
    resting: at(line.top.restingN),
    moving: at(line.top.movingN),
    limiter: line.top.limiterN === null ? null : at(line.top.limiterN),
    missing: [...line.missing, ...line.missingForMoving],
    missingSideways,
  };
}
