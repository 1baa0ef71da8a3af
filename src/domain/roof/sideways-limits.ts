import { compensatedSum } from '../foundation/sum.ts';
import type { DemandFactors } from './capacity.ts';
import { SAME_PLACE_M } from './draft-members.ts';
import type { LoadTimeline, PlacedUnit } from './load-timeline.ts';
import { unitsTouching } from './load-timeline.ts';
import type { PlaceOnMember } from './roof-index.ts';
import type { LimitFinding, LimitSense, Look } from './sum-limits.ts';
import { adverseAmounts, demandFinding } from './sum-limits.ts';
import type { Member, RoofNode } from './structure.ts';
import { sweepOf } from './worst-moment.ts';

/** A member's direction in plan from its first node to its second, of length 1; null for one that stands upright. */
export function planDirection(member: Member, nodes: ReadonlyMap<string, RoofNode>): { x: number; y: number } | null {
  const [from, to] = [nodes.get(member.fromNodeId), nodes.get(member.toNodeId)];
  if (from === undefined || to === undefined) return null;
  const [xM, yM] = [to.xM - from.xM, to.yM - from.yM];
  const lengthM = Math.sqrt(xM * xM + yM * yM);
  return lengthM < SAME_PLACE_M ? null : { x: xM / lengthM, y: yM / lengthM };
}

/**
 * Sideways force on a member along and across it, each sense by itself: pulls to the other side may go, so they relieve nothing.
 * Forward is from the member's first node to its second, left is 90° anticlockwise from that as seen from above. In kN.
 */
export function sidewaysFindings(
  direction: { readonly x: number; readonly y: number },
  places: readonly PlaceOnMember[],
  limit: { alongKn: number | null; acrossKn: number | null },
  factors: DemandFactors,
  timeline: LoadTimeline,
  closeFrom: number,
  doubtful: boolean,
): LimitFinding[] {
  const shareOf = new Map<string, number>();
  for (const { pointId, share } of places) shareOf.set(pointId, (shareOf.get(pointId) ?? 0) + share);
  const units = unitsTouching(timeline, shareOf.keys());
  const look: Look = { timeline, units, sweep: sweepOf(timeline, units), closeFrom, doubtful };
  const senses: { sense: LimitSense; capacityKn: number | null; x: number; y: number }[] = [
    { sense: 'alongForward', capacityKn: limit.alongKn, x: direction.x, y: direction.y },
    { sense: 'alongBackward', capacityKn: limit.alongKn, x: -direction.x, y: -direction.y },
    { sense: 'acrossLeft', capacityKn: limit.acrossKn, x: -direction.y, y: direction.x },
    { sense: 'acrossRight', capacityKn: limit.acrossKn, x: direction.y, y: -direction.x },
  ];
  return senses.flatMap(({ sense, capacityKn, x, y }) => {
    if (capacityKn === null) return [];
    const pullKn = ({ points }: PlacedUnit) =>
      compensatedSum(points.map(({ pointId, xKn, yKn }) => (shareOf.get(pointId) ?? 0) * ((xKn ?? 0) * x + (yKn ?? 0) * y)));
    return [{ ...demandFinding(look, adverseAmounts(units, units.map(pullKn), factors), capacityKn, 'kN'), sense }]; // prettier-ignore
  });
}
