import type { Result } from '../foundation/result.ts';
import { ok } from '../foundation/result.ts';
import type { BeamError } from '../statics/beam.ts';
import type { BeamPattern } from './beam-influence.ts';
import type { Doubt, TermsDoubtCode } from './capacity.ts';
import { demandFactors, termsDoubts } from './capacity.ts';
import { areaDensityFinding, densityFinding } from './density-limits.ts';
import { SAME_PLACE_M } from './draft-members.ts';
import { countFinding, spacingFinding } from './loaded-points.ts';
import type { LoadTimeline, PlacedUnit } from './load-timeline.ts';
import { unitsTouching } from './load-timeline.ts';
import type { AllowableRange } from './member-limits.ts';
import { memberFindings } from './member-limits.ts';
import type { PlaceOnMember, RoofIndex } from './roof-index.ts';
import { lengthOfMember, loads, memberOf, within } from './roof-index.ts';
import { planDirection, sidewaysFindings } from './sideways-limits.ts';
import type { Limit, Member } from './structure.ts';
import type { LimitFinding } from './sum-limits.ts';
import { sumFindings } from './sum-limits.ts';

type LimitDoubtCode =
  | TermsDoubtCode
  | 'member-upright'
  | 'member-not-level'
  | 'self-weight-not-stated'
  | 'allowable-terms-not-stated'
  | 'allowables-not-stated'
  | 'allowables-have-gaps'
  | 'other-effects-not-covered'
  | 'load-off-panel-point';
type LimitDoubt = Doubt<LimitDoubtCode>;

/** One finding for each sense of a limit. With any doubt none of them passes. */
export type LimitAnswer = { readonly findings: readonly LimitFinding[]; readonly doubts: readonly LimitDoubt[] };

/**
 * A limit of the roof against everything of a timeline, by the adverse rule. Against a design capacity loads count times its factors.
 * @param otherDoubt  a load that counts here cannot be relied on
 */
export function limitAnswer(index: RoofIndex, limit: Limit, timeline: LoadTimeline, closeFrom: number, otherDoubt = false): LimitAnswer {
  // Where only points are counted or spaced there is no load to factor or to lift: its basis is all that must be known.
  const countsPoints = limit.kind === 'count' || (limit.kind === 'spacing' && limit.reducedKg === null);
  const doubts: LimitDoubt[] = termsDoubts(limit.terms).filter(({ code }) => !countsPoints || code === 'basis-not-stated');
  const direction = limit.kind === 'sideways' ? planDirection(memberOf(index, limit.memberId), index.nodes) : null;
  if (limit.kind === 'sideways' && direction === null) {
    doubts.push({ code: 'member-upright', text: 'the member stands upright, so it has no along and across in plan' });
  }
  const doubtful = otherDoubt || doubts.length > 0;
  const factors = demandFactors(limit.terms);
  const placesOn = (memberId: string) => index.onMember.get(memberId) ?? [];
  switch (limit.kind) {
    case 'group':
      return {
        findings: sumFindings(
          { ...bounds(limit), factors, terms: [...new Set(limit.pointIds.filter((id) => timeline.byPoint.has(id)))].map(withFactorOne) },
          timeline,
          closeFrom,
          doubtful,
        ),
        doubts,
      };
    case 'weighted':
      return { findings: sumFindings({ ...bounds(limit), factors, terms: limit.weights }, timeline, closeFrom, doubtful), doubts };
    case 'spacing':
      return { findings: [spacingFinding(placesOn(limit.memberId), limit, factors, timeline, closeFrom, doubtful)], doubts };
    case 'count':
      return { findings: [countFinding(limit.pointIds, limit.maxLoaded, timeline, closeFrom, doubtful)], doubts };
    case 'sideways': {
      // Along what is not known, any direction does for the size; the doubt keeps it from passing.
      const along = direction ?? { x: 1, y: 0 };
      return { findings: sidewaysFindings(along, placesOn(limit.memberId), limit, factors, timeline, closeFrom, doubtful), doubts };
    }
    case 'density':
      return {
        findings: [densityFinding(limit.memberId, placesOn(limit.memberId), limit, factors, timeline, closeFrom, doubtful)],
        doubts,
      };
    case 'areaDensity':
      return { findings: [areaDensityFinding(index, limit, factors, timeline, closeFrom, doubtful)], doubts };
  }
}

const bounds = ({ maxKg, minKg }: { maxKg: number; minKg: number | null }) => ({ maxKg, minKg });
const withFactorOne = (pointId: string) => ({ pointId, factor: 1 });

/** Steeper than this, axial force is no longer small beside bending. Our cautious choice, no source. */
const LEVEL_SLOPE = 0.1;

/**
 * Moment and shear of a member from the loads on it, against its allowables, range by range. Strong axis only: what else such loads do
 * to a member must be covered by a stated basis. Stations are measured along the member, which on a slope gives more than the
 * true moment, never less.
 */
export function memberAnswer(
  index: RoofIndex,
  memberId: string,
  timeline: LoadTimeline,
  closeFrom: number,
  otherDoubt = false,
): Result<LimitAnswer, BeamError> {
  const member = memberOf(index, memberId);
  const lengthM = lengthOfMember(member, index.nodes);
  const places = index.onMember.get(memberId) ?? [];
  const units = unitsTouching(timeline, new Set(places.map(({ pointId }) => pointId)), [memberId]);
  const onMember = units.map((unit) => ({ unit, pattern: patternOn(unit, memberId, places, lengthM) }));
  const doubts = memberDoubts(index, member, lengthM, places, units);
  const found = memberFindings(
    {
      lengthM,
      supports: member.supports.map(({ id, atM }) => ({ id, atM: within(atM, lengthM) })),
      ranges: rangesOf(member, lengthM),
      always: member.allowableIs === 'imposed' ? [] : ownWeight(member, lengthM),
      factors: demandFactors(member.terms),
    },
    onMember,
    timeline,
    closeFrom,
    otherDoubt || doubts.length > 0,
  );
  return found.ok ? ok({ findings: found.value, doubts }) : found;
}

function patternOn(unit: PlacedUnit, memberId: string, places: readonly PlaceOnMember[], lengthM: number): BeamPattern {
  return {
    points: unit.points.flatMap(({ pointId, massKg }) =>
      places.filter((place) => place.pointId === pointId).map(({ stationM, share }) => ({ atM: stationM, massKg: massKg * share })),
    ),
    spreads: unit.spreads
      .filter((spread) => spread.memberId === memberId)
      .map(({ fromM, toM, kgPerM }) => ({ fromM: within(fromM, lengthM), toM: within(toM, lengthM), kgPerM })),
  };
}

/** Each a permanent load of its own. */
function ownWeight({ selfKgPerM, deadLoads }: Member, lengthM: number): BeamPattern[] {
  const self = selfKgPerM === null ? [] : [{ fromM: 0, toM: lengthM, kgPerM: selfKgPerM }];
  const dead = deadLoads.map(({ fromM, toM, kgPerM }) => ({ fromM: within(fromM, lengthM), toM: within(toM, lengthM), kgPerM }));
  return [...self, ...dead].filter(({ kgPerM }) => kgPerM > 0).map((spread) => ({ points: [], spreads: [spread] }));
}

const NOT_STATED = { saggingKnm: null, hoggingKnm: null, shearKn: null };

/** Ranges as stated, and one without allowables for each gap between them, so that the worst of the whole member is looked at. */
function rangesOf({ allowables }: Member, lengthM: number): AllowableRange[] {
  const ranges: AllowableRange[] = [];
  let reachedM = 0;
  for (const range of [...allowables].sort((a, b) => a.fromM - b.fromM)) {
    const [fromM, toM] = [within(range.fromM, lengthM), within(range.toM, lengthM)];
    if (fromM - reachedM > SAME_PLACE_M) ranges.push({ fromM: reachedM, toM: fromM, ...NOT_STATED });
    const startM = fromM - reachedM > SAME_PLACE_M ? fromM : reachedM;
    if (toM <= startM) continue;
    ranges.push({ ...range, fromM: startM, toM });
    reachedM = toM;
  }
  const last = ranges.at(-1);
  if (last === undefined || lengthM - reachedM > SAME_PLACE_M) ranges.push({ fromM: reachedM, toM: lengthM, ...NOT_STATED });
  else ranges[ranges.length - 1] = { ...last, toM: lengthM };
  return ranges;
}

function memberDoubts(
  { nodes }: RoofIndex,
  member: Member,
  lengthM: number,
  places: readonly PlaceOnMember[],
  units: readonly PlacedUnit[],
): LimitDoubt[] {
  const doubts: LimitDoubt[] = [...termsDoubts(member.terms)];
  const [from, to] = [nodes.get(member.fromNodeId), nodes.get(member.toNodeId)];
  if (from !== undefined && to !== undefined && Math.abs(to.zM - from.zM) > LEVEL_SLOPE * lengthM) {
    doubts.push({ code: 'member-not-level', text: 'the member is not level: axial force is not looked at' });
  }
  if (member.allowableIs === null) {
    doubts.push({ code: 'allowable-terms-not-stated', text: 'whether self weight and dead load are part of the allowables is not stated' });
  }
  if (member.selfKgPerM === null && member.allowableIs !== 'imposed') {
    doubts.push({ code: 'self-weight-not-stated', text: 'the self weight of the member is not stated' });
  }
  const ranges = rangesOf(member, lengthM);
  const missing = ranges.filter(({ saggingKnm, hoggingKnm, shearKn }) => saggingKnm === null || hoggingKnm === null || shearKn === null);
  if (missing.length === ranges.length) doubts.push({ code: 'allowables-not-stated', text: 'no full set of allowable forces is stated' });
  else if (missing.length > 0)
    doubts.push({ code: 'allowables-have-gaps', text: 'for some stretches of the member an allowable is not stated' });
  if (member.otherEffectsBasis === null) {
    doubts.push({ code: 'other-effects-not-covered', text: 'nothing covers sideways force, torsion, flange bending and lateral buckling' });
  }
  const { panelPoints } = member;
  if (panelPoints !== null) {
    const loaded = places.filter(({ pointId }) => units.some((unit) => loads(unit, pointId)));
    const isOff = ({ stationM }: PlaceOnMember) =>
      panelPoints.atM.every((atM) => Math.abs(atM - stationM) > panelPoints.toleranceM + SAME_PLACE_M);
    const spreadOn = units.some(({ spreads }) => spreads.some(({ memberId }) => memberId === member.id));
    if (loaded.some(isOff) || spreadOn) {
      doubts.push({ code: 'load-off-panel-point', text: 'a load sits between the panel points, without a local allowable' });
    }
  }
  return doubts;
}
