import type { Result } from '../foundation/result.ts';
import { fail, ok } from '../foundation/result.ts';
import type { BeamPattern } from './beam-influence.ts';
import { WORKING_FACTORS } from './capacity.ts';
import type { InputFault, LimitsInput } from './limits-input.ts';
import { faultsIn } from './limits-input.ts';
import type { LoadTimeline, LoadUnit, PlacedUnit } from './load-timeline.ts';
import { timelineOf, unitsTouching } from './load-timeline.ts';
import { memberFindings } from './member-limits.ts';
import type { Instant } from './structure.ts';
import type { LimitFinding } from './sum-limits.ts';
import { governing, sumFindings } from './sum-limits.ts';
import type { Verdict } from './verdict.ts';

export type CalculatedLimit = {
  id: string;
  kind: 'point' | 'group' | 'weighted' | 'member-moment' | 'member-shear';
  worst: number;
  unit: 'kg' | 'kNm' | 'kN';
  capacity: number;
  utilisation: number | null;
  verdict: Verdict;
  from: Instant | null;
  to: Instant | null;
  loads: string[];
  atM?: number | null;
};
export type CalculatedLimits = { limits: CalculatedLimit[]; cautions: string[] };
export type LimitsError = { readonly code: 'limits-input-impossible'; readonly faults: readonly InputFault[] };

const AS_ENTERED = 'Capacities are taken as entered: what they must include, lifting and inspection are not looked at.';
const STRONG_AXIS =
  'Members are checked in bending about their strong axis and shear alone: sideways force, torsion, flange bending and lateral buckling are not.';

/**
 * Every limit over all of time, by the same evaluation as an assessment: a load that is not permanent counts only where it makes the
 * limit worse. Point limits first, then group and weighted ones, then moment and shear of each member, each in the order given.
 * Masses in kg, moments in kNm (sagging and hogging each against its own allowable, sizes), shear in kN.
 * @returns the findings, or every fault of the input at once
 */
export function calculateLimits(input: LimitsInput): Result<CalculatedLimits, LimitsError> {
  const faults = faultsIn(input);
  if (faults.length > 0) return fail({ code: 'limits-input-impossible', faults });
  const closeFrom = input.closeFrom ?? 0.9;
  const timeline = timelineOf(input.loads.map(loadUnit));
  const limits: CalculatedLimit[] = [];
  for (const { id, wllKg } of input.points) {
    const [found] = sumFindings({ terms: [{ pointId: id, factor: 1 }], maxKg: wllKg, minKg: null }, timeline, closeFrom);
    limits.push(presented(id, 'point', found));
  }
  for (const { id, kind, terms, capacityKg } of input.limits) {
    const normal = terms.map(({ point, factor }) => ({ pointId: point, factor }));
    const [found] = sumFindings({ terms: normal, maxKg: capacityKg, minKg: null }, timeline, closeFrom);
    limits.push(presented(id, kind, found));
  }
  for (const [index, member] of (input.members ?? []).entries()) {
    const found = calculatedMember(member, input.points, timeline, closeFrom);
    if (!found.ok) return fail({ code: 'limits-input-impossible', faults: [{ pointer: `/members/${index}`, ...found.error }] });
    limits.push(...found.value);
  }
  const cautions = (input.members ?? []).length > 0 ? [AS_ENTERED, STRONG_AXIS] : [AS_ENTERED];
  return ok({ limits, cautions });
}

const loadUnit = ({ id, from, to, permanent, points }: LimitsInput['loads'][number]): LoadUnit => ({
  id,
  from,
  to,
  permanent: permanent ?? false,
  points: points.map(({ point, massKg }) => ({ pointId: point, massKg })),
});

type Member = NonNullable<LimitsInput['members']>[number];

function calculatedMember(
  member: Member,
  points: LimitsInput['points'],
  timeline: LoadTimeline,
  closeFrom: number,
): Result<CalculatedLimit[], Pick<InputFault, 'code' | 'message'>> {
  const { lengthM, selfKgPerM, supports } = member;
  const stations = new Map<string, number>();
  for (const { id, memberId, atM } of points) if (memberId === member.id && atM !== undefined) stations.set(id, atM);
  const onMember = unitsTouching(timeline, stations.keys()).map((unit) => ({ unit, pattern: patternOf(unit, stations) }));
  const self: BeamPattern = { points: [], spreads: [{ fromM: 0, toM: lengthM, kgPerM: selfKgPerM }] };
  const range = {
    fromM: 0,
    toM: lengthM,
    saggingKnm: member.allowSaggingKnm,
    hoggingKnm: member.allowHoggingKnm,
    shearKn: member.allowShearKn,
  };
  const always = member.allowableIs === 'total' && selfKgPerM > 0 ? [self] : [];
  const found = memberFindings({ lengthM, supports, ranges: [range], always, factors: WORKING_FACTORS }, onMember, timeline, closeFrom);
  if (!found.ok) return fail({ code: found.error.code, message: BEAM_WORDS[found.error.code] ?? 'cannot be solved' });
  const moment = governing(found.value.filter(({ unit }) => unit === 'kNm'));
  const shear = governing(found.value.filter(({ unit }) => unit === 'kN'));
  return ok(
    [presented(member.id, 'member-moment', moment ?? undefined), presented(member.id, 'member-shear', shear ?? undefined)].map(
      (limit, index) => ({ ...limit, atM: [moment, shear][index]?.atM ?? null }),
    ),
  );
}

const patternOf = ({ points }: PlacedUnit, stations: ReadonlyMap<string, number>): BeamPattern => ({
  points: points.flatMap(({ pointId, massKg }) => {
    const atM = stations.get(pointId);
    return atM === undefined ? [] : [{ atM, massKg }];
  }),
  spreads: [],
});

const BEAM_WORDS: Readonly<Record<string, string>> = {
  unstable: 'rests on fewer than two supports',
  'supports-coincide': 'has two supports at one place',
  'ill-conditioned': 'cannot be solved to the accuracy that a check needs',
};

function presented(id: string, kind: CalculatedLimit['kind'], finding: LimitFinding | undefined): CalculatedLimit {
  if (finding === undefined || finding.worst === null || finding.capacity === null || finding.unit === 'count' || finding.unit === 'm') {
    throw new RangeError(`${kind} limit ${id} has no finding`);
  }
  const { worst, capacity, unit, utilisation, verdict, during, counted } = finding;
  return {
    id,
    kind,
    worst,
    unit,
    capacity,
    utilisation,
    verdict,
    from: during?.from ?? null,
    to: during?.to ?? null,
    loads: counted.map((load) => load.id),
  };
}
