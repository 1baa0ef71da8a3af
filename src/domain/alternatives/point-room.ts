import type { Outcome } from '../assessment/assessment.ts';
import { degToRad, tan } from '../foundation/elementary.ts';
import { knToKg } from '../foundation/units.ts';
import type { Plan } from '../plan/plan.ts';
import { demandFactors } from '../roof/capacity.ts';
import type { PublishedRoof, RoofPoint } from '../roof/structure.ts';
import type { LineLoad } from './candidate-assessor.ts';

/** What a point can take beside what hangs there, as far as it needs no assessment to say so. Every bound is on the safe side: never too little. */
export type PointRoom = {
  readonly point: RoofPoint;
  readonly othersKg: number;
  readonly capacityKg: number;
  /** Tangent of the widest pull off vertical. */
  readonly widest: number;
  readonly mostSidewaysKg: number;
  /** Demand for each kilogram of the line at rest, and of it moving. */
  readonly restingFactor: number;
  readonly movingFactor: number;
  readonly groups: readonly GroupRoom[];
};
export type GroupRoom = { readonly id: string; readonly leftKg: number };

/** The demand on a point that takes `share` of a line is at least this. */
export const leastDemandKg = (room: PointRoom, line: LineLoad, share: number): number =>
  share * Math.max(line.restingKg * room.restingFactor, line.movingKg * room.movingFactor);

/**
 * Rooms of points that could take anything at all, by the roof without the hang. A point with a hard check that is over or unknown before
 * anything hangs there is left out, unless all that is wanting there is the choice of another bridle's steels.
 */
export function pointRooms(points: readonly RoofPoint[], without: Outcome, roof: PublishedRoof, plan: Plan): Map<string, PointRoom> {
  const barred = new Set<string>();
  const down = new Map<string, { demand: number; capacity: number }>();
  // Others are at their worst while the hang is up only where all of the plan hangs as long as the show.
  const together = plan.hangs.every(({ up }) => up === null);
  const lefts = new Map<string, number>();
  for (const { kind, hard, hangId, pointId, limitId, verdict, reason, demand, capacity, id } of without.checks) {
    if (!hard || hangId !== null) continue;
    const awaitsSteels = reason?.code === 'leg-parts-not-stated'; // of another hang's bridle: what is offered here is assessed with it
    if (pointId !== null && (verdict === 'over' || (verdict === 'unknown' && !awaitsSteels))) barred.add(pointId);
    if (demand === null || capacity === null) continue;
    if (kind === 'pointDown' && pointId !== null) down.set(pointId, { demand, capacity });
    if (kind === 'group' && limitId !== null && !id.endsWith(':least') && together) lefts.set(limitId, capacity - demand);
  }
  const groupsAt = new Map<string, GroupRoom[]>();
  for (const limit of roof.limits) {
    const leftKg = lefts.get(limit.id);
    if (limit.kind !== 'group' || leftKg === undefined || limit.terms.format?.kind !== 'working') continue;
    const room = { id: limit.id, leftKg };
    for (const pointId of limit.pointIds) groupsAt.set(pointId, [...(groupsAt.get(pointId) ?? []), room]);
  }
  const { policy } = roof.policy;
  const rooms = new Map<string, PointRoom>();
  for (const point of points) {
    const found = down.get(point.id);
    if (found === undefined || barred.has(point.id)) continue;
    const { imposed } = demandFactors(point.terms);
    const verticalOnly = point.maxAngleDeg === null && point.maxSidewaysKn === null;
    const widestDeg = Math.min(policy.legOverDeg, verticalOnly ? policy.plumbDeg : (point.maxAngleDeg ?? 90));
    rooms.set(point.id, {
      point,
      othersKg: together ? found.demand : 0,
      capacityKg: found.capacity,
      widest: tan(degToRad(widestDeg)) * ROUNDING,
      mostSidewaysKg: point.maxSidewaysKn === null ? Infinity : knToKg(point.maxSidewaysKn) * ROUNDING,
      restingFactor: imposed,
      movingFactor: point.terms.dynamic?.kind === 'notIncluded' ? imposed : 0,
      groups: groupsAt.get(point.id) ?? [],
    });
  }
  return rooms;
}

/** The assessor lets a demand pass that is over by less than one part in 1e9. */
const ROUNDING = 1 + 2e-9;
