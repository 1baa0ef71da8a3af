import { lapseOf, spanOf, spansOverlap } from './calendar.ts';
import type { Span } from './calendar.ts';
import type { CapacityTerms, Instant, PublishedRoof, RoofPoint } from './structure.ts';

/** Why a capacity cannot be relied on. Any reason makes every check against it `unknown` (or `over`, never a pass). */
type DoubtCode =
  | 'point-missing'
  | 'point-out-of-service'
  | 'point-restricted'
  | 'inspection-past-due'
  | 'inspection-not-stated'
  | 'rating-not-stated'
  | TermsDoubtCode;
export type TermsDoubtCode =
  | 'basis-not-stated'
  | 'format-not-stated'
  | 'dynamic-not-stated'
  | 'must-include-not-stated'
  | 'others-loaded-not-stated'
  | 'holds-alone-only';
export type Doubt<C extends string = DoubtCode> = { readonly code: C; readonly text: string };

/** What a demand is multiplied by before it is compared with a capacity. */
export type DemandFactors = {
  readonly imposed: number;
  readonly permanent: number;
  /** For a permanent load where it relieves. */
  readonly permanentHelping: number;
};

export const WORKING_FACTORS: DemandFactors = { imposed: 1, permanent: 1, permanentHelping: 1 };

/**
 * Against a design capacity, a permanent load that helps counts for 0.9 of itself, not for its weight times the factor.
 * @source the lower of EN 1990:2002 Table A1.2(B) gamma_G,inf 1.0 and (A) 0.9; ASCE/SEI 7-16 section 2.3, 0.9 D
 */
const HELPING_IN_DESIGN = 0.9;

/** A format that is not stated is compared unfactored, which may still show `over`; it is a doubt, so it never passes. */
export function demandFactors({ format }: Pick<CapacityTerms, 'format'>): DemandFactors {
  if (format === null || format.kind === 'working') return WORKING_FACTORS;
  return {
    imposed: format.imposedFactor,
    permanent: format.permanentFactor,
    permanentHelping: Math.min(HELPING_IN_DESIGN, format.permanentFactor),
  };
}

/**
 * The dynamic factor that is still to be applied to a demand. A capacity that allows for lifting with its own factor is compared with
 * the load at rest; only what goes beyond that factor is added, so nothing is applied twice and nothing is lost.
 * @param factor  dynamic factor of the lift, 1 or more
 */
export function dynamicFactorLeft({ dynamic }: Pick<CapacityTerms, 'dynamic'>, factor: number): number {
  return dynamic?.kind === 'included' ? Math.max(1, factor / dynamic.factor) : factor;
}

/** What is not stated about a capacity. */
export function termsDoubts(terms: CapacityTerms): Doubt<TermsDoubtCode>[] {
  const doubts: Doubt<TermsDoubtCode>[] = [];
  if (terms.basis === null) doubts.push({ code: 'basis-not-stated', text: 'where the capacity comes from is not stated' });
  if (terms.format === null) {
    doubts.push({
      code: 'format-not-stated',
      text: 'whether the capacity is for the load itself or for the load times factors is not stated',
    });
  }
  if (terms.dynamic === null) {
    doubts.push({ code: 'dynamic-not-stated', text: 'whether the capacity already allows for lifting is not stated' });
  }
  if (terms.mustInclude === null) doubts.push({ code: 'must-include-not-stated', text: 'what the load must include is not stated' });
  if (terms.holdsWithOthersLoaded === null) {
    doubts.push({ code: 'others-loaded-not-stated', text: 'whether the capacity holds with every other point loaded is not stated' });
  } else if (!terms.holdsWithOthersLoaded) {
    doubts.push({ code: 'holds-alone-only', text: 'the capacity does not hold with every other point loaded' });
  }
  return doubts;
}

export type EffectiveCapacity = {
  readonly pointId: string;
  /** Lowest rating over the interval [kg]; null when none is stated. Only to be relied on when `doubts` is empty. */
  readonly wllKg: number | null;
  /** The reduction that governs, or null where the point's own rating does. */
  readonly reducedBecause: string | null;
  readonly doubts: readonly Doubt[];
  readonly factors: DemandFactors;
  readonly terms: CapacityTerms | null;
};

/**
 * What a point may carry while something hangs there: the lowest rating of any moment of the interval.
 * @param point     undefined when the revision has no such point, which is a doubt and never dropped
 * @param during    when the load hangs, [from, to)
 * @param showEnd   the inspection must still be good then: it is judged at the end of the show, not of the hang
 */
export function effectiveCapacity(
  roof: Pick<PublishedRoof, 'dayStarts'>,
  pointId: string,
  point: RoofPoint | undefined,
  during: Span,
  showEnd: Instant,
): EffectiveCapacity {
  if (point === undefined) {
    const doubts: Doubt[] = [{ code: 'point-missing', text: 'the roof has no such point' }];
    return { pointId, wllKg: null, reducedBecause: null, doubts, factors: WORKING_FACTORS, terms: null };
  }
  let { wllKg } = point;
  let reducedBecause: string | null = null;
  for (const reduction of point.reductions) {
    if (!spansOverlap(spanOf(reduction, roof.dayStarts), during)) continue;
    if (wllKg !== null && reduction.wllKg >= wllKg) continue;
    wllKg = reduction.wllKg;
    reducedBecause = reduction.reason;
  }
  const doubts: Doubt[] = [...serviceDoubts(point, roof, during, showEnd), ...termsDoubts(point.terms)];
  // A reduction says what may hang for a time; it does not replace a rating that nobody has stated.
  if (point.wllKg === null) doubts.push({ code: 'rating-not-stated', text: 'no rating is stated' });
  return { pointId, wllKg, reducedBecause, doubts, factors: demandFactors(point.terms), terms: point.terms };
}

function serviceDoubts(point: RoofPoint, roof: Pick<PublishedRoof, 'dayStarts'>, during: Span, showEnd: Instant): Doubt[] {
  const doubts: Doubt[] = [];
  const because = (reason: string | null) => (reason === null || reason === '' ? '' : `: ${reason}`);
  if (point.state === 'outOfService') {
    doubts.push({ code: 'point-out-of-service', text: `the point is out of service${because(point.stateReason)}` });
  }
  for (const period of point.outOfService) {
    if (!spansOverlap(spanOf(period, roof.dayStarts), during)) continue;
    doubts.push({ code: 'point-out-of-service', text: `the point is out of service for a time${because(period.reason)}` });
  }
  if (point.state === 'restricted') {
    // The restriction is in words, so only a person can tell whether this load keeps to it.
    doubts.push({ code: 'point-restricted', text: `the point is restricted${because(point.stateReason)}` });
  }
  if (point.inspectionDueDay === null) {
    doubts.push({ code: 'inspection-not-stated', text: 'no day is stated on which the inspection is due' });
  } else if (lapseOf(point.inspectionDueDay, roof.dayStarts) < showEnd) {
    doubts.push({ code: 'inspection-past-due', text: `the inspection is due on ${point.inspectionDueDay}, before the show ends` });
  }
  return doubts;
}
