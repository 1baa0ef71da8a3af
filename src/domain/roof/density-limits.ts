import { isInsidePolygon, polygonAreaM2, polygonsOverlap } from '../foundation/polygon.ts';
import type { Polygon } from '../foundation/polygon.ts';
import type { DemandFactors } from './capacity.ts';
import type { LoadTimeline } from './load-timeline.ts';
import { unitsTouching } from './load-timeline.ts';
import type { PlaceOnMember, RoofIndex } from './roof-index.ts';
import { spreadWithin } from './roof-index.ts';
import type { LimitFinding } from './sum-limits.ts';
import { governing, sumFindings } from './sum-limits.ts';

/** A window takes in what lies on either of its ends, and rounding must not push it out. */
const EDGE_M = 1e-9;

/**
 * The heaviest window of a length anywhere along a member. Moving a window, its load is largest when one of its ends meets a load, so
 * those windows are looked at and no others. `atM` is where the window begins (which may be before the member does).
 */
export function densityFinding(
  memberId: string,
  places: readonly PlaceOnMember[],
  limit: { windowM: number; maxKg: number },
  factors: DemandFactors,
  timeline: LoadTimeline,
  closeFrom: number,
  doubtful: boolean,
): LimitFinding {
  const loaded = places.filter(({ pointId }) => (timeline.byPoint.get(pointId) ?? []).length > 0);
  const edges = unitsTouching(timeline, [], [memberId]).flatMap(({ spreads }) =>
    spreads.filter((spread) => spread.memberId === memberId).flatMap(({ fromM, toM }) => [fromM, toM]),
  );
  const metM = [...loaded.map(({ stationM }) => stationM), ...edges];
  const startsM = [...new Set([0, ...metM.flatMap((atM) => [atM, atM - limit.windowM])])].sort((a, b) => a - b);
  const found = startsM.flatMap((startM) => {
    const endM = startM + limit.windowM;
    const inside = loaded.filter(({ stationM }) => stationM >= startM - EDGE_M && stationM <= endM + EDGE_M);
    const [finding] = sumFindings(
      {
        terms: inside.map(({ pointId, share }) => ({ pointId, factor: share })),
        maxKg: limit.maxKg,
        minKg: null,
        factors,
        spreadMemberIds: [memberId],
        spreadKg: (spread) => (spread.memberId === memberId ? spreadWithin(spread, startM, endM) : 0),
      },
      timeline,
      closeFrom,
      doubtful,
    );
    return finding === undefined ? [] : [{ ...finding, atM: finding.worst === 0 ? null : startM }];
  });
  const worst = governing(found);
  if (worst === null) throw new RangeError('a member without a window');
  return worst;
}

/**
 * Everything over an area of plan against so many kg/m² of it: points inside or on the outline, and the whole of any load spread over
 * a stretch of member that touches it.
 */
export function areaDensityFinding(
  { roof, members, nodes }: RoofIndex,
  limit: { area: Polygon; maxKgPerM2: number },
  factors: DemandFactors,
  timeline: LoadTimeline,
  closeFrom: number,
  doubtful: boolean,
): LimitFinding {
  const inside = roof.points.filter((point) => isInsidePolygon(point, limit.area));
  const touching = [...members.values()].filter(({ fromNodeId, toNodeId }) => {
    const [from, to] = [nodes.get(fromNodeId), nodes.get(toNodeId)];
    return from !== undefined && to !== undefined && polygonsOverlap([from, to], limit.area);
  });
  const memberIds = new Set(touching.map(({ id }) => id));
  const [finding] = sumFindings(
    {
      terms: inside.map(({ id }) => ({ pointId: id, factor: 1 })),
      maxKg: limit.maxKgPerM2 * polygonAreaM2(limit.area),
      minKg: null,
      factors,
      spreadMemberIds: [...memberIds],
      spreadKg: ({ memberId, fromM, toM, kgPerM }) => (memberIds.has(memberId) ? kgPerM * (toM - fromM) : 0),
    },
    timeline,
    closeFrom,
    doubtful,
  );
  if (finding === undefined) throw new RangeError('an area without a bound');
  return finding;
}
