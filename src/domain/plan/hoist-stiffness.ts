import { hoistOf } from './equipment-used.ts';
import type { DynamicRule } from './dynamic-factor.ts';
import { dynamicFactorOf } from './dynamic-factor.ts';
import type { Missing } from './missing.ts';
import type { Hang, PickUp, Plan } from './plan.ts';
import type { Anchors } from './pull.ts';

/** Chain and anchor one after the other [N/m]; null where the chain's is not stated: both are then rigid. A bridle's anchors are rigid. */
export function lineStiffnessNPerM(plan: Plan, { hoist, attachment }: PickUp, anchors: Anchors): number | null {
  if (hoist === null) return null;
  const chainKnPerM = hoistOf(plan, hoist.equipment).hoist.chainStiffnessKnPerM;
  if (chainKnPerM === null || chainKnPerM === 0) return null;
  const anchorKnPerM = attachment.kind === 'direct' ? (anchors(attachment.pointId)?.stiffnessKnPerM ?? null) : null;
  const bothKnPerM = anchorKnPerM === null || anchorKnPerM === 0 ? chainKnPerM : 1 / (1 / chainKnPerM + 1 / anchorKnPerM);
  return bothKnPerM * 1000;
}

/** The largest dynamic factor of a hang's hoists: what its truss feels when they move together. 1 when it is dead-hung. */
export function movingFactorOf(plan: Plan, hang: Hang, rule: DynamicRule): { factor: number; missing: Missing[] } {
  let factor = 1;
  const missing: Missing[] = [];
  for (const { hoist } of hang.pickUps) {
    if (hoist === null) continue;
    const found = dynamicFactorOf(hoistOf(plan, hoist.equipment).hoist, rule);
    factor = Math.max(factor, found.factor);
    missing.push(...found.missing);
  }
  return { factor, missing };
}
