import { demandFactors } from '../roof/capacity.ts';
import { indexRoof } from '../roof/roof-index.ts';
import type { CapacityTerms, Instant, PublishedRoof } from '../roof/structure.ts';
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
  | 'diagram'
> & {
  /**
   * What a next show could hang here at rest, unfactored [kg], by this limit alone: others may hold less, and a lift counts with its
   * dynamic factor. Null where that is not known, and for limits that are no plain sum of loads.
   */
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
  const points = new Map(roof.points.map(({ id, terms }) => [id, terms]));
  const limits = new Map(roof.limits.map(({ id, terms }) => [id, terms]));
  const termsOf = ({ pointId, limitId }: Check) => points.get(pointId ?? '') ?? limits.get(limitId ?? '') ?? null;
  return checks.map((check) => placeLoad(check, termsOf(check))).sort((a, b) => (a.id < b.id ? -1 : 1));
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
  ifLost: [],
  windKn: 0,
  missing: [],
  missingSideways: [],
});

function placeLoad(check: Check, terms: CapacityTerms | null): PlaceLoad {
  const { id, kind, pointId, limitId, memberId, hard, demand, capacity, unit, utilisation, verdict, reason, during, diagram } = check;
  const facts = { id, kind, pointId, limitId, memberId, hard, demand, capacity, unit, utilisation, verdict, reason, during, diagram };
  return { ...facts, counted: check.counted.filter(({ from }) => from !== 'plan'), remaining: remainingOf(check, terms) };
}

/** A design capacity is compared with factored loads, so what may be hung is less than the difference by that factor. */
function remainingOf({ id, kind, demand, capacity, verdict }: Check, terms: CapacityTerms | null): number | null {
  if (kind !== 'pointDown' && (kind !== 'group' || id.endsWith(':least'))) return null;
  if (verdict === 'unknown' || demand === null || capacity === null || terms === null) return null;
  return Math.max(0, capacity - demand) / demandFactors(terms).imposed;
}
