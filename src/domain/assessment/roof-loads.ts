import { indexRoof } from '../roof/roof-index.ts';
import type { Instant, PublishedRoof } from '../roof/structure.ts';
import type { Check, NeighbourLoad } from './assessment.ts';
import { CAUTIONS } from './cautions.ts';
import { limitChecks } from './limit-checks.ts';
import type { Interval, LoadUnit } from './load-units.ts';
import { neighbourUnit, overlap, standingUnits } from './load-units.ts';
import { downCheck } from './point-checks.ts';

/** What one point or limit carries at its worst moment of a time, and what a next show could add there: nothing where that is not known. */
export type PlaceLoad = Pick<
  Check,
  | 'id'
  | 'kind'
  | 'pointId'
  | 'limitId'
  | 'memberId'
  | 'hard'
  | 'demand'
  | 'capacity'
  | 'unit'
  | 'utilisation'
  | 'verdict'
  | 'reason'
  | 'during'
  | 'counted'
> & {
  /** In `unit`, at that moment, for this limit alone: others may hold less. */
  readonly remaining: number | null;
};

export type RoofLoads = {
  /** With everything agreed and every standing load. */
  readonly agreed: readonly PlaceLoad[];
  /** The same with what is asked for too, where that makes a difference. */
  readonly withSubmitted: readonly PlaceLoad[];
  readonly cautions: readonly string[];
};

export type RoofLoadsInput = {
  readonly roof: PublishedRoof;
  /** [from, to). */
  readonly during: Interval;
  readonly loads: readonly NeighbourLoad[];
  readonly asOf: Instant;
};

/**
 * A roof as loaded during a time, as a next show without weight would find it: every point and limit at its worst moment, by the adverse
 * rule, in ascending order of the ids of the checks.
 */
export function roofLoads({ roof, during, loads, asOf }: RoofLoadsInput): RoofLoads {
  const near = loads
    .map((load) => ({ load, unit: neighbourUnit(load, asOf, roof.exposure) }))
    .filter(({ unit }) => overlap(unit.during, during));
  const wishes = new Set(near.filter(({ load }) => load.status === 'submitted').map(({ load }) => load.ref));
  const agreed = near.filter(({ load }) => load.status === 'agreed').map(({ unit }) => unit);
  // Who has both a standing yes and a newer submission is counted by the newer one, which would take the place of the other.
  const asked = near.filter(({ load }) => load.status === 'submitted' || !wishes.has(load.ref)).map(({ unit }) => unit);
  const found = placeLoads(roof, during, agreed);
  const before = new Map(found.map((place) => [place.id, place]));
  const withSubmitted = wishes.size === 0 ? [] : placeLoads(roof, during, asked);
  return {
    agreed: found,
    withSubmitted: withSubmitted.filter(
      (place) => place.demand !== before.get(place.id)?.demand || place.verdict !== before.get(place.id)?.verdict,
    ),
    cautions: CAUTIONS,
  };
}

function placeLoads(roof: PublishedRoof, during: Interval, others: readonly LoadUnit[]): PlaceLoad[] {
  const index = indexRoof(roof);
  const { policy } = roof.policy;
  const standing = standingUnits(roof).filter((unit) => overlap(unit.during, during));
  const next = roof.points.map(({ id }) => nothingAt(id, during));
  const units = [...next, ...standing, ...others].sort((a, b) => (a.sortKey < b.sortKey ? -1 : a.sortKey > b.sortKey ? 1 : 0));
  const at = new Map<string, LoadUnit[]>(roof.points.map(({ id }) => [id, []]));
  for (const unit of units) at.get(unit.pointId)?.push(unit);
  const checks = [
    ...roof.points.map((point) =>
      downCheck({ roof, policy, show: during, pointId: point.id, point, units: at.get(point.id) ?? [], pulls: [] }),
    ),
    ...limitChecks({ index, policy, units, usedPoints: new Set(at.keys()), memory: null }).flat(),
  ];
  return checks.map(placeLoad).sort((a, b) => (a.id < b.id ? -1 : 1));
}

/** A hang of the next show that weighs nothing: it asks, and adds nothing to the answer. */
const nothingAt = (pointId: string, during: Interval): LoadUnit => ({
  source: 'plan',
  id: 'next',
  sortKey: `plan next ${pointId}`,
  pointId,
  during,
  permanent: false,
  moves: 'never',
  restingKg: 0,
  movingKg: 0,
  pulls: [],
  windKn: 0,
  missing: [],
  missingSideways: [],
});

function placeLoad({
  id,
  kind,
  pointId,
  limitId,
  memberId,
  hard,
  demand,
  capacity,
  unit,
  utilisation,
  verdict,
  reason,
  during,
  counted,
}: Check): PlaceLoad {
  const counts = counted.filter(({ from }) => from !== 'plan');
  const facts = { id, kind, pointId, limitId, memberId, hard, demand, capacity, unit, utilisation, verdict, reason, during };
  return { ...facts, counted: counts, remaining: remainingOf({ id, demand, capacity, unit, verdict }) };
}

/** A least sum, a count and a spacing have no room that more load could take up. */
function remainingOf({
  id,
  demand,
  capacity,
  unit,
  verdict,
}: Pick<Check, 'id' | 'demand' | 'capacity' | 'unit' | 'verdict'>): number | null {
  if (verdict === 'unknown' || demand === null || capacity === null || id.endsWith(':least')) return null;
  if (unit !== 'kg' && unit !== 'kN' && unit !== 'kNm') return null;
  return Math.max(0, capacity - demand);
}
