import type { LoadUnit, PlacedUnit, UnitSpread } from './load-timeline.ts';
import { spanOf } from './calendar.ts';
import { memberLengthM } from './draft-members.ts';
import { pointsOfLimit } from './limit-points.ts';
import type { Limit, Member, PublishedRoof, RoofNode, RoofPoint } from './structure.ts';

/** A point's place on a member, and the share of its load that comes there. */
export type PlaceOnMember = { readonly pointId: string; readonly stationM: number; readonly share: number };

/** A published roof by ids, made once for any number of limits. */
export type RoofIndex = {
  readonly roof: PublishedRoof;
  readonly points: ReadonlyMap<string, RoofPoint>;
  readonly members: ReadonlyMap<string, Member>;
  readonly nodes: ReadonlyMap<string, RoofNode>;
  /** In ascending order of station, then id. Stations past an end by rounding are on the end. */
  readonly onMember: ReadonlyMap<string, readonly PlaceOnMember[]>;
  /** The limits that see the load of a point, over one point or more. */
  readonly limitsAt: ReadonlyMap<string, readonly Limit[]>;
};

export function indexRoof(roof: PublishedRoof): RoofIndex {
  const nodes = new Map(roof.nodes.map((node) => [node.id, node]));
  const members = new Map(roof.members.map((member) => [member.id, member]));
  const onMember = new Map<string, PlaceOnMember[]>(roof.members.map(({ id }) => [id, []]));
  for (const { id: pointId, on } of roof.points) {
    for (const { memberId, stationM, share } of on) {
      const member = members.get(memberId);
      if (member === undefined) throw new RangeError(`point ${pointId} is on no member of the published roof`);
      onMember.get(memberId)?.push({ pointId, stationM: within(stationM, lengthOfMember(member, nodes)), share });
    }
  }
  for (const places of onMember.values()) places.sort((a, b) => a.stationM - b.stationM || (a.pointId < b.pointId ? -1 : 1));
  const limitsAt = new Map<string, Limit[]>();
  for (const limit of roof.limits) {
    for (const pointId of pointsOfLimit(limit, roof.points, onMember)) {
      const listed = limitsAt.get(pointId);
      if (listed === undefined) limitsAt.set(pointId, [limit]);
      else listed.push(limit);
    }
  }
  return { roof, points: new Map(roof.points.map((point) => [point.id, point])), members, nodes, onMember, limitsAt };
}

/** Every member of a published roof has a length: without one it could not be published. */
export function lengthOfMember(member: Member, nodes: ReadonlyMap<string, RoofNode>): number {
  const lengthM = memberLengthM(member, nodes);
  if (lengthM === null) throw new RangeError(`member ${member.id} has no length`);
  return lengthM;
}

export function memberOf({ members }: RoofIndex, memberId: string): Member {
  const member = members.get(memberId);
  if (member === undefined) throw new RangeError(`the published roof has no member ${memberId}`);
  return member;
}

export const within = (stationM: number, lengthM: number): number => Math.min(Math.max(stationM, 0), lengthM);

/** Standing loads that are spread over members, one for each stretch. What they put on points is the caller's to list. */
export const standingSpreads = (roof: PublishedRoof): LoadUnit[] =>
  roof.standingLoads.flatMap((load) =>
    load.memberLoads.map((spread, index): LoadUnit => {
      const { from, to } = spanOf(load, roof.dayStarts);
      return { id: `standing ${load.id} member ${index}`, from, to, permanent: load.permanent, points: [], spreads: [spread] };
    }),
  );

/** Mass of a spread load between two stations of its member [kg]. */
export const spreadWithin = ({ fromM, toM, kgPerM }: UnitSpread, startM: number, endM: number): number =>
  kgPerM * Math.max(0, Math.min(toM, endM) - Math.max(fromM, startM));

/** Does the load put anything on the point? A pull to the side is a load too. */
export const loads = (unit: PlacedUnit, pointId: string): boolean =>
  unit.points.some((point) => point.pointId === pointId && (point.massKg > 0 || (point.xKn ?? 0) !== 0 || (point.yKn ?? 0) !== 0));
