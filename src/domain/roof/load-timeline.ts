import type { Span } from './calendar.ts';
import type { Instant } from './structure.ts';

/** What one load puts on one point: mass [kg], and the sideways pull of the rigging on the roof in space axes [kN] where there is one. */
export type UnitPoint = { readonly pointId: string; readonly massKg: number; readonly xKn?: number; readonly yKn?: number };
/** A load spread evenly over a stretch of a member. */
export type UnitSpread = { readonly memberId: string; readonly fromM: number; readonly toM: number; readonly kgPerM: number };

/**
 * A load that is there as a whole or not at all. Unless it is permanent it may be absent at any moment of [from, to): on the floor, not
 * yet in, already out. So it counts only where it makes a limit worse.
 */
export type LoadUnit = {
  readonly id: string;
  /** Null = always there already, and never ending. */
  readonly from: Instant | null;
  readonly to: Instant | null;
  readonly permanent: boolean;
  readonly points: readonly UnitPoint[];
  readonly spreads?: readonly UnitSpread[];
};

/** Instants by their place in order, so that a sweep compares small whole numbers. -1 is before everything. */
export type PlacedUnit = LoadUnit & { readonly start: number; readonly end: number; readonly spreads: readonly UnitSpread[] };

export type LoadTimeline = {
  readonly instants: readonly Instant[];
  /** In ascending id order: that is the order of every sum. */
  readonly units: readonly PlacedUnit[];
  readonly byPoint: ReadonlyMap<string, readonly number[]>;
  readonly byMember: ReadonlyMap<string, readonly number[]>;
  /** First and last moment looked at. */
  readonly start: number;
  readonly end: number;
};

/**
 * Loads in order of id and of time.
 * @param window  only moments of [from, to) count; without one, all of time does
 */
export function timelineOf(loads: readonly LoadUnit[], window: { from: Instant; to: Instant } | null = null): LoadTimeline {
  if (window !== null && window.from >= window.to) throw new RangeError('a window of time that ends before it begins');
  const clipped = loads.flatMap((load) => clip(load, window)).sort((a, b) => (a.id < b.id ? -1 : 1));
  for (const [index, load] of clipped.entries()) {
    if (load.id === clipped[index - 1]?.id) throw new RangeError(`two loads have the id ${load.id}`);
  }
  const named = clipped.flatMap(({ from, to }) => [from, to]).filter((instant) => instant !== null);
  const instants = [...new Set(window === null ? named : [...named, window.from, window.to])].sort();
  const rank = new Map(instants.map((instant, index) => [instant, index]));
  const placeOf = (instant: Instant | null, otherwise: number) => (instant === null ? otherwise : (rank.get(instant) ?? otherwise));
  const units = clipped.map(({ id, from, to, permanent, points, spreads = [] }): PlacedUnit => {
    const sorted = [...points].sort((a, b) => (a.pointId < b.pointId ? -1 : a.pointId > b.pointId ? 1 : a.massKg - b.massKg));
    return { id, from, to, permanent, points: sorted, spreads, start: placeOf(from, -1), end: placeOf(to, instants.length) };
  });
  const byPoint = indexed(units, ({ points }) => points.map(({ pointId }) => pointId));
  const byMember = indexed(units, ({ spreads }) => spreads.map(({ memberId }) => memberId));
  return {
    instants,
    units,
    byPoint,
    byMember,
    start: placeOf(window?.from ?? null, -1),
    end: placeOf(window?.to ?? null, instants.length),
  };
}

function clip(load: LoadUnit, window: { from: Instant; to: Instant } | null): LoadUnit[] {
  if (load.from !== null && load.to !== null && load.from >= load.to) throw new RangeError(`load ${load.id} ends before it begins`);
  if (window === null) return [load];
  const from = load.from === null || load.from < window.from ? window.from : load.from;
  const to = load.to === null || load.to > window.to ? window.to : load.to;
  if (from >= to) return [];
  return from === load.from && to === load.to ? [load] : [{ ...load, from, to }];
}

function indexed(units: readonly PlacedUnit[], keysOf: (unit: PlacedUnit) => readonly string[]): Map<string, number[]> {
  const index = new Map<string, number[]>();
  for (const [position, unit] of units.entries()) {
    for (const key of new Set(keysOf(unit))) {
      const listed = index.get(key);
      if (listed === undefined) index.set(key, [position]);
      else listed.push(position);
    }
  }
  return index;
}

/** Loads that touch any of some points or members, in ascending id order. */
export function unitsTouching(timeline: LoadTimeline, pointIds: Iterable<string>, memberIds: Iterable<string> = []): PlacedUnit[] {
  const positions = new Set<number>();
  for (const pointId of pointIds) for (const position of timeline.byPoint.get(pointId) ?? []) positions.add(position);
  for (const memberId of memberIds) for (const position of timeline.byMember.get(memberId) ?? []) positions.add(position);
  if (positions.size === timeline.units.length) return [...timeline.units];
  return [...positions].sort((a, b) => a - b).flatMap((position) => timeline.units[position] ?? []);
}

export const spanBetween = ({ instants }: LoadTimeline, { start, end }: { start: number; end: number }): Span => ({
  from: instants[start] ?? null,
  to: instants[end] ?? null,
});
