import { compensatedSum } from '../foundation/sum.ts';
import type { Span } from './calendar.ts';
import type { DemandFactors } from './capacity.ts';
import { WORKING_FACTORS } from './capacity.ts';
import type { LoadTimeline, PlacedUnit } from './load-timeline.ts';
import { spanBetween, unitsTouching } from './load-timeline.ts';
import type { Verdict } from './verdict.ts';
import { utilisationOf, verdictOf } from './verdict.ts';
import type { Sweep } from './worst-moment.ts';
import { sweepOf, worstMoment } from './worst-moment.ts';

/** In which direction a limit is looked at; each has its own capacity. */
export type LimitSense =
  | 'most'
  | 'least'
  | 'sagging'
  | 'hogging'
  | 'shear'
  | 'alongForward'
  | 'alongBackward'
  | 'acrossLeft'
  | 'acrossRight'
  | 'tooClose'
  | 'reduced';

export type CountedUnit = { readonly id: string; readonly amount: number };

/** What came out of one limit in one sense. A finding about a bad roof is a good answer: nothing here is an error. */
export type LimitFinding = {
  readonly sense: LimitSense;
  readonly unit: 'kg' | 'kN' | 'kNm' | 'count' | 'm';
  /** In the limit's own sense: for `least` the smallest sum, otherwise the largest. Null when nothing can be said. */
  readonly worst: number | null;
  readonly capacity: number | null;
  readonly utilisation: number | null;
  readonly verdict: Verdict;
  /** Earliest unbroken interval at the worst; null when no load counts then. */
  readonly during: Span | null;
  /** Loads that count at its beginning, by ascending id, with what they add to the demand in the limit's unit. */
  readonly counted: readonly CountedUnit[];
  /** Station on a member where the worst is reached [m]; null where there is none, or where the value is 0. */
  readonly atM: number | null;
  /** Of a member's strength: the most of this sense at its ends, supports, loads and peaks, left to right, range by range. */
  readonly diagram?: readonly DiagramStation[];
};

/** What the loads can come to at a station of a member, never all stations at once, beside what is allowed there; in the finding's unit. */
export type DiagramStation = { readonly atM: number; readonly demand: number; readonly capacity: number | null };

/** A limit on a sum in normal form. A point that is not listed has the factor 0; one listed twice has the sum of its factors. */
export type SumLimit = {
  readonly terms: readonly { readonly pointId: string; readonly factor: number }[];
  readonly maxKg: number | null;
  readonly minKg: number | null;
  readonly factors?: DemandFactors;
  /** Mass that a load spread over a member adds; absent = none. */
  readonly spreadKg?: (spread: PlacedUnit['spreads'][number]) => number;
  /** Members whose spread loads count. */
  readonly spreadMemberIds?: readonly string[];
};

/**
 * One finding for each bound that the limit has, by the adverse rule: of a load that may be absent the positive part counts towards an
 * upper bound and the negative part towards a lower one; a permanent load counts in full, while it is there. Sums in kg.
 * @param doubtful  the capacity or a load cannot be relied on: then the verdict is `over` or `unknown`
 */
export function sumFindings(limit: SumLimit, timeline: LoadTimeline, closeFrom: number, doubtful = false): LimitFinding[] {
  const factorOf = new Map<string, number>();
  for (const { pointId, factor } of limit.terms)
    if (timeline.byPoint.has(pointId)) factorOf.set(pointId, (factorOf.get(pointId) ?? 0) + factor); // most points of a roof carry nothing
  const units = unitsTouching(timeline, factorOf.keys(), limit.spreadMemberIds ?? []);
  const look: Look = { timeline, units, sweep: sweepOf(timeline, units), closeFrom, doubtful };
  const sums = units.map((unit) => unitSum(unit, factorOf, limit.spreadKg));
  const factors = limit.factors ?? WORKING_FACTORS;
  const findings: LimitFinding[] = [];
  if (limit.maxKg !== null) {
    const amounts = adverseAmounts(units, sums, factors);
    findings.push({ ...demandFinding(look, amounts, limit.maxKg, 'kg'), sense: 'most' });
  }
  if (limit.minKg !== null) {
    // A lower bound is an upper bound on the negative of the sum.
    const negative = sums.map((sum) => -sum);
    findings.push(negated({ ...demandFinding(look, adverseAmounts(units, negative, factors), -limit.minKg, 'kg'), sense: 'least' }));
  }
  return findings;
}

/** The worst finding of a limit: by verdict, then by utilisation, then by demand; of equal ones the earliest, then the first given. */
export function governing(findings: readonly LimitFinding[]): LimitFinding | null {
  let worst: LimitFinding | null = null;
  for (const finding of findings) if (worst === null || isWorse(finding, worst)) worst = finding;
  return worst;
}

const RANK = { fits: 0, close: 1, unknown: 2, over: 3 };

function isWorse(a: LimitFinding, b: LimitFinding): boolean {
  if (a.verdict !== b.verdict) return RANK[a.verdict] > RANK[b.verdict];
  const byShare = moreBy(share(a), share(b));
  if (byShare !== 0) return byShare > 0;
  const byDemand = moreBy(Math.abs(a.worst ?? 0), Math.abs(b.worst ?? 0));
  if (byDemand !== 0 && (a.capacity === null || a.capacity === 0)) return byDemand > 0;
  return a.during !== null && (b.during === null || (a.during.from ?? '') < (b.during.from ?? ''));
}

/** Where there is a demand and no capacity for it, no share is larger. */
const share = ({ utilisation, worst, capacity }: LimitFinding): number => utilisation ?? (capacity === 0 && worst !== 0 ? Infinity : -1);

/** 1, 0 or -1; numbers that differ only by rounding are equal. */
function moreBy(a: number, b: number): number {
  if (a === b || Math.abs(a - b) <= 1e-12 * Math.max(Math.abs(a), Math.abs(b))) return 0;
  return a > b ? 1 : -1;
}

function unitSum(unit: PlacedUnit, factorOf: ReadonlyMap<string, number>, spreadKg: SumLimit['spreadKg']): number {
  const onPoints = unit.points.map(({ pointId, massKg }) => massKg * (factorOf.get(pointId) ?? 0));
  const spread = spreadKg === undefined ? [] : unit.spreads.map(spreadKg);
  return compensatedSum([...onPoints, ...spread]);
}

/** What a load adds to a demand of which more is worse. */
export function adverseAmount(amount: number, permanent: boolean, factors: DemandFactors): number {
  if (permanent) return amount * (amount >= 0 ? factors.permanent : factors.permanentHelping);
  return amount > 0 ? amount * factors.imposed : 0;
}

export const adverseAmounts = (units: readonly PlacedUnit[], amounts: readonly number[], factors: DemandFactors): number[] =>
  units.map(({ permanent }, index) => adverseAmount(amounts[index] ?? 0, permanent, factors));

/** What is looked at: some loads of a timeline, in ascending id order, and how demands are judged. */
export type Look = {
  readonly timeline: LoadTimeline;
  readonly units: readonly PlacedUnit[];
  readonly sweep: Sweep;
  readonly closeFrom: number;
  readonly doubtful: boolean;
};

/** The worst sum of adverse amounts against a capacity. */
export function demandFinding(
  look: Look,
  amounts: readonly number[],
  capacity: number,
  unit: LimitFinding['unit'],
): Omit<LimitFinding, 'sense'> {
  const { value, when, counted } = worstMoment(look.sweep, 0, amounts);
  const [first] = when;
  return {
    unit,
    worst: value,
    capacity,
    utilisation: utilisationOf(value, capacity),
    verdict: verdictOf(value, capacity, look.closeFrom, look.doubtful),
    during: counted.length === 0 || first === undefined ? null : spanBetween(look.timeline, first),
    counted: counted.map((index) => ({ id: look.units[index]?.id ?? '', amount: amounts[index] ?? 0 })),
    atM: null,
  };
}

function negated(finding: LimitFinding): LimitFinding {
  const turned = (value: number | null) => (value === null ? null : 0 - value); // 0 - 0 is 0, -0 would have another spelling
  const counted = finding.counted.map(({ id, amount }) => ({ id, amount: 0 - amount }));
  return { ...finding, worst: turned(finding.worst), capacity: turned(finding.capacity), counted };
}
