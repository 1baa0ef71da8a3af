import type { HangLoads, PickUpLoads } from '../plan/hang-loads.ts';
import type { Missing } from '../plan/missing.ts';
import type { PointPull } from '../plan/pull.ts';
import type { EffectiveCapacity } from '../roof/capacity.ts';
import { effectiveCapacity } from '../roof/capacity.ts';
import type { Policy, PublishedRoof, RoofPoint } from '../roof/structure.ts';
import type { Why } from './check.ts';
import { whysMissing } from './check.ts';
import type { Interval, LoadUnit } from './load-units.ts';
import { overlap } from './load-units.ts';
import { ownWindow } from './worst.ts';

/** A line or leg of the plan at one point. */
export type PullHere = { readonly hang: HangLoads; readonly pickUp: PickUpLoads; readonly pull: PointPull };

export type PointScene = {
  readonly roof: PublishedRoof;
  readonly policy: Policy;
  readonly show: Interval;
  readonly pointId: string;
  readonly point: RoofPoint | undefined;
  /** Every unit on this point, ours and others, in ascending order. */
  readonly units: readonly LoadUnit[];
  readonly pulls: readonly PullHere[];
};

export const capacityOf = (scene: PointScene): EffectiveCapacity =>
  effectiveCapacity(scene.roof, scene.pointId, scene.point, ownWindow(scene.units), scene.show.to);

/** What is not stated of any load that may hang here while we do. */
export function missingOf(units: readonly LoadUnit[]): Why[] {
  const window = ownWindow(units);
  const found: Missing[] = [];
  for (const { during, missing } of units) if (overlap(during, window)) found.push(...missing);
  return whysMissing(found);
}
