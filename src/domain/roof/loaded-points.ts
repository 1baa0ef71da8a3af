import { compensatedSum } from '../foundation/sum.ts';
import type { DemandFactors } from './capacity.ts';
import type { LoadTimeline, PlacedUnit } from './load-timeline.ts';
import { spanBetween, unitsTouching } from './load-timeline.ts';
import type { PlaceOnMember } from './roof-index.ts';
import { loads } from './roof-index.ts';
import type { CountedUnit, LimitFinding } from './sum-limits.ts';
import { adverseAmount, governing } from './sum-limits.ts';
import { utilisationOf, verdictOf } from './verdict.ts';
import type { Stretch } from './worst-moment.ts';
import { sweepOf, worstMoment } from './worst-moment.ts';

/** When a point can be loaded at all: whatever may be there counts as there. Stretches do not touch, earliest first. */
function loadedStretches(timeline: LoadTimeline, pointId: string): Stretch[] {
  const present = unitsTouching(timeline, [pointId]).filter((unit) => loads(unit, pointId));
  return joined(present, []);
}

/** Loads on some points at one moment, by ascending id, each with what `amountOf` says. */
function presentOn(
  timeline: LoadTimeline,
  pointIds: readonly string[],
  moment: number,
  amountOf: (unit: PlacedUnit) => number,
): CountedUnit[] {
  return unitsTouching(timeline, pointIds)
    .filter((unit) => unit.start <= moment && moment < unit.end && pointIds.some((pointId) => loads(unit, pointId)))
    .map((unit) => ({ id: unit.id, amount: amountOf(unit) }));
}

/** At most so many points of a set loaded at once. A load's amount is the number of points of the set that it loads. */
export function countFinding(
  pointIds: readonly string[],
  maxLoaded: number,
  timeline: LoadTimeline,
  closeFrom: number,
  doubtful: boolean,
): LimitFinding {
  const ids = [...new Set(pointIds)].sort();
  const stretches = ids.flatMap((pointId) => loadedStretches(timeline, pointId));
  const { value, when } = worstMoment(
    sweepOf(timeline, stretches),
    0,
    Uint8Array.from(stretches, () => 1),
  );
  const [first] = when;
  const loadedBy = (unit: PlacedUnit) => ids.filter((pointId) => loads(unit, pointId)).length;
  const counted = first === undefined || value === 0 ? [] : presentOn(timeline, ids, first.start, loadedBy);
  return {
    sense: 'most',
    unit: 'count',
    worst: value,
    capacity: maxLoaded,
    utilisation: utilisationOf(value, maxLoaded),
    verdict: verdictOf(value, maxLoaded, closeFrom, doubtful),
    during: counted.length === 0 || first === undefined ? null : spanBetween(timeline, first),
    counted,
    atM: null,
  };
}

/** Rounding of two stations must not make a spacing that is kept exactly too small. */
const SPACING_ROUNDING = 1e-9;

/**
 * Points of a member that are loaded at the same time must be so far apart, or carry only a reduced rating where there is one.
 * Without one the demand is the spacing asked for and the capacity the least spacing there is, in metres; with one it is the load of the
 * point, in kg, while any point nearer than that is loaded.
 */
export function spacingFinding(
  places: readonly PlaceOnMember[],
  limit: { minSpacingM: number; reducedKg: number | null },
  factors: DemandFactors,
  timeline: LoadTimeline,
  closeFrom: number,
  doubtful: boolean,
): LimitFinding {
  const loaded = places.map((place) => ({ ...place, when: loadedStretches(timeline, place.pointId) }));
  const occupied = loaded.filter(({ when }) => when.length > 0);
  if (limit.reducedKg !== null) {
    return reducedFinding(occupied, { minSpacingM: limit.minSpacingM, reducedKg: limit.reducedKg }, factors, timeline, closeFrom, doubtful);
  }
  const pair = nearestTogether(occupied);
  if (pair === null) return { ...NO_PAIR, verdict: doubtful ? 'unknown' : 'fits' };
  const { a, b, gapM, first } = pair;
  const kgOn = ({ points }: PlacedUnit) =>
    compensatedSum(points.map(({ pointId, massKg }) => (pointId === a.pointId || pointId === b.pointId ? massKg : 0)));
  return {
    sense: 'tooClose',
    unit: 'm',
    worst: limit.minSpacingM,
    capacity: gapM,
    utilisation: utilisationOf(limit.minSpacingM, gapM),
    verdict: verdictOf(limit.minSpacingM, gapM, closeFrom, doubtful),
    during: spanBetween(timeline, first),
    counted: presentOn(timeline, [a.pointId, b.pointId], first.start, kgOn),
    atM: a.stationM,
  };
}

const NO_PAIR: Omit<LimitFinding, 'verdict'> = {
  sense: 'tooClose',
  unit: 'm',
  worst: null,
  capacity: null,
  utilisation: null,
  during: null,
  counted: [],
  atM: null,
};

type Loaded = PlaceOnMember & { readonly when: readonly Stretch[] };

/** The two points loaded at once that are nearest; of equal ones the earliest, then the leftmost. */
function nearestTogether(occupied: readonly Loaded[]): { a: Loaded; b: Loaded; gapM: number; first: Stretch } | null {
  let nearest: { a: Loaded; b: Loaded; gapM: number; first: Stretch } | null = null;
  for (const [index, a] of occupied.entries()) {
    for (const b of occupied.slice(index + 1)) {
      const gapM = b.stationM - a.stationM; // places come in order of station
      if (nearest !== null && gapM > nearest.gapM) break;
      if (b.pointId === a.pointId) continue;
      const first = firstCommon(a.when, b.when);
      if (first === null || (nearest !== null && gapM === nearest.gapM && first.start >= nearest.first.start)) continue;
      nearest = { a, b, gapM, first };
    }
  }
  return nearest;
}

function firstCommon(a: readonly Stretch[], b: readonly Stretch[]): Stretch | null {
  return commonStretches(a, b)[0] ?? null;
}

function commonStretches(a: readonly Stretch[], b: readonly Stretch[]): Stretch[] {
  const common: Stretch[] = [];
  let [i, j] = [0, 0];
  for (let [one, other] = [a[i], b[j]]; one !== undefined && other !== undefined; [one, other] = [a[i], b[j]]) {
    const [start, end] = [Math.max(one.start, other.start), Math.min(one.end, other.end)];
    if (start < end) common.push({ start, end });
    if (one.end <= other.end) i++;
    else j++;
  }
  return common;
}

function reducedFinding(
  occupied: readonly Loaded[],
  limit: { minSpacingM: number; reducedKg: number },
  factors: DemandFactors,
  timeline: LoadTimeline,
  closeFrom: number,
  doubtful: boolean,
): LimitFinding {
  const nearM = limit.minSpacingM * (1 - SPACING_ROUNDING);
  const findings = occupied.map((point): LimitFinding => {
    const neighbours = occupied.filter((other) => other.pointId !== point.pointId && Math.abs(other.stationM - point.stationM) < nearM);
    const crowded = neighbours.map(({ when }) => when).reduce(joined, []);
    // Each load while the point is crowded; such stretches do not overlap, so none counts twice.
    const parts = unitsTouching(timeline, [point.pointId]).flatMap((unit) => {
      const massKg = compensatedSum(unit.points.map((one) => (one.pointId === point.pointId ? one.massKg : 0)));
      return commonStretches([unit], crowded).map((stretch) => ({
        ...stretch,
        unit,
        amount: adverseAmount(massKg, unit.permanent, factors),
      }));
    });
    const { value, when, counted } = worstMoment(
      sweepOf(timeline, parts),
      0,
      Float64Array.from(parts, ({ amount }) => amount),
    );
    const [first] = when;
    return {
      sense: 'reduced',
      unit: 'kg',
      worst: value,
      capacity: limit.reducedKg,
      utilisation: utilisationOf(value, limit.reducedKg),
      verdict: verdictOf(value, limit.reducedKg, closeFrom, doubtful),
      during: counted.length === 0 || first === undefined ? null : spanBetween(timeline, first),
      counted: counted.map((index) => ({ id: parts[index]?.unit.id ?? '', amount: parts[index]?.amount ?? 0 })),
      atM: value === 0 ? null : point.stationM,
    };
  });
  const nothing: LimitFinding = {
    ...NO_PAIR,
    sense: 'reduced',
    unit: 'kg',
    worst: 0,
    capacity: limit.reducedKg,
    verdict: doubtful ? 'unknown' : 'fits',
  };
  return governing(findings) ?? nothing;
}

/** Union of two lists of stretches, in order and without touching ones. */
function joined(a: readonly Stretch[], b: readonly Stretch[]): Stretch[] {
  const merged: { start: number; end: number }[] = [];
  for (const { start, end } of [...a, ...b].sort((one, other) => one.start - other.start)) {
    const last = merged.at(-1);
    if (last !== undefined && start <= last.end) last.end = Math.max(last.end, end);
    else merged.push({ start, end });
  }
  return merged;
}
