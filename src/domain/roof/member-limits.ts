import type { Result } from '../foundation/result.ts';
import { ok } from '../foundation/result.ts';
import { compensatedSum } from '../foundation/sum.ts';
import type { BeamError } from '../statics/beam.ts';
import type { BeamForces, BeamPattern, BuildingBeam } from './beam-influence.ts';
import { forcesOfEach, placesOf } from './beam-influence.ts';
import type { DemandFactors } from './capacity.ts';
import type { LoadTimeline, PlacedUnit } from './load-timeline.ts';
import { spanBetween } from './load-timeline.ts';
import type { Curve } from './sagging-peaks.ts';
import { saggingPeaks } from './sagging-peaks.ts';
import type { DiagramStation, LimitFinding, LimitSense } from './sum-limits.ts';
import { adverseAmount, governing } from './sum-limits.ts';
import { utilisationOf, verdictOf } from './verdict.ts';
import type { Stretch, Sweep, WorstMoment } from './worst-moment.ts';
import { sweepOf, worstMoment } from './worst-moment.ts';

/** Allowable forces between two stations, sizes. Null = not stated. */
export type AllowableRange = {
  readonly fromM: number;
  readonly toM: number;
  readonly saggingKnm: number | null;
  readonly hoggingKnm: number | null;
  readonly shearKn: number | null;
};

export type MemberLimit = BuildingBeam & {
  /** At least one. Borders belong to both neighbours. */
  readonly ranges: readonly AllowableRange[];
  /** Self weight and dead loads, where the allowables are for the total; each counts as a permanent load of its own. */
  readonly always: readonly BeamPattern[];
  readonly factors: DemandFactors;
};

/** A load and what of it comes onto the member. */
export type UnitOnMember = { readonly unit: PlacedUnit; readonly pattern: BeamPattern };

/**
 * Largest sagging and hogging moment and shear that any combination of the loads present reaches at any station and moment: at each
 * station a load that may be absent counts only if it makes the force there worse. Building supports can also push down, so the beam
 * is linear and the loads can be taken one by one.
 *
 * For hogging and shear the worst station is always an end, a support or where a load begins or ends; a sagging moment under a
 * spread load can also peak between two of those, and is looked for there.
 * @param onMember  in ascending id order
 * @param doubtful  an allowable or a load cannot be relied on: then a verdict is `over` or `unknown`
 * @returns the governing finding for sagging, hogging and shear, or why the beam cannot be solved
 */
export function memberFindings(
  member: MemberLimit,
  onMember: readonly UnitOnMember[],
  timeline: LoadTimeline,
  closeFrom: number,
  doubtful = false,
): Result<LimitFinding[], BeamError> {
  const patterns = [...member.always, ...onMember.map(({ pattern }) => pattern)];
  const bordersM = member.ranges.flatMap(({ fromM, toM }) => [fromM, toM]);
  const placesM = placesOf(member, patterns, bordersM);
  const forces = forcesOfEach(member, placesM, patterns);
  if (!forces.ok) return forces;
  const units = onMember.map(({ unit }) => unit);
  const look: MemberLook = {
    factors: member.factors,
    placesM,
    always: forces.value.slice(0, member.always.length),
    loads: forces.value.slice(member.always.length),
    units,
    timeline,
    sweep: sweepOf(timeline, units),
  };
  const findings: LimitFinding[] = [];
  for (const sense of ['sagging', 'hogging', 'shear'] as const) {
    const found = member.ranges.map((range) => rangeFinding(look, sense, range, closeFrom, doubtful));
    const worst = governing(found);
    if (worst !== null) findings.push({ ...worst, diagram: found.flatMap(({ diagram = [] }) => diagram) });
  }
  return ok(findings);
}

type MemberLook = {
  readonly factors: DemandFactors;
  readonly placesM: readonly number[];
  readonly always: readonly BeamForces[];
  readonly loads: readonly BeamForces[];
  readonly units: readonly PlacedUnit[];
  readonly timeline: LoadTimeline;
  readonly sweep: Sweep;
};

/** A force at one station, as a demand of which more is worse. */
type Cut = { readonly atM: number; readonly demandOf: (forces: BeamForces) => number };
type WorstCut = Cut & { readonly found: WorstMoment };

function rangeFinding(
  look: MemberLook,
  sense: 'sagging' | 'hogging' | 'shear',
  range: AllowableRange,
  closeFrom: number,
  doubtful: boolean,
): LimitFinding {
  const capacity = { sagging: range.saggingKnm, hogging: range.hoggingKnm, shear: range.shearKn }[sense];
  const cuts = cutsWithin(look, sense, range).map((cut) => worstAt(look, cut));
  if (sense === 'sagging') cuts.push(...peaksWithin(look, range, cuts));
  const { worst, counted, during, atM } = worstOfCuts(look, cuts);
  return {
    sense,
    unit: sense === 'shear' ? 'kN' : 'kNm',
    worst,
    capacity,
    utilisation: utilisationOf(worst, capacity),
    verdict: verdictOf(worst, capacity, closeFrom, doubtful),
    during,
    counted,
    atM,
    diagram: diagramOf(cuts, capacity),
  };
}

/** The worst at every station that was looked at, from left to right. */
function diagramOf(cuts: readonly WorstCut[], capacity: number | null): DiagramStation[] {
  const most = new Map<number, number>();
  for (const { atM, found } of cuts) most.set(atM, Math.max(0, found.value, most.get(atM) ?? 0));
  return [...most].map(([atM, demand]) => ({ atM, demand, capacity })).sort((a, b) => a.atM - b.atM);
}

/** Stations where the worst can be, from left to right. At a border only the side that lies within the range. */
function cutsWithin({ placesM }: MemberLook, sense: LimitSense, { fromM, toM }: AllowableRange): Cut[] {
  const cuts: Cut[] = [];
  for (const [place, atM] of placesM.entries()) {
    if (atM < fromM || atM > toM) continue;
    if (sense === 'sagging') cuts.push({ atM, demandOf: ({ momentKnm }) => momentKnm[place] ?? 0 });
    if (sense === 'hogging') cuts.push({ atM, demandOf: ({ momentKnm }) => -(momentKnm[place] ?? 0) });
    if (sense !== 'shear') continue;
    for (const sign of [1, -1]) {
      if (atM > fromM) cuts.push({ atM, demandOf: ({ shearLeftKn }) => sign * (shearLeftKn[place] ?? 0) });
      if (atM < toM) cuts.push({ atM, demandOf: ({ shearRightKn }) => sign * (shearRightKn[place] ?? 0) });
    }
  }
  return cuts;
}

function worstAt(look: MemberLook, cut: Cut): WorstCut {
  const always = compensatedSum(look.always.map((forces) => adverseAmount(cut.demandOf(forces), true, look.factors)));
  return { ...cut, found: worstMoment(look.sweep, always, amountsAt(look, cut)) };
}

const amountsAt = ({ loads, units, factors }: MemberLook, { demandOf }: Cut): number[] =>
  loads.map((forces, index) => adverseAmount(demandOf(forces), units[index]?.permanent ?? false, factors));

/** Between two stations, where a spread load bends the moment's line: the peaks that may exceed what was found at the stations. */
function peaksWithin(look: MemberLook, range: AllowableRange, cuts: readonly WorstCut[]): WorstCut[] {
  const { placesM, factors } = look;
  const best = Math.max(...cuts.map(({ found }) => found.value));
  const peaks: WorstCut[] = [];
  for (let place = 0; place + 1 < placesM.length; place++) {
    const [fromM, toM] = [placesM[place] ?? 0, placesM[place + 1] ?? 0];
    if (fromM < range.fromM || toM > range.toM) continue;
    const curveOf = (forces: BeamForces, permanent: boolean): Curve => ({
      moment: forces.momentKnm[place] ?? 0,
      shear: forces.shearRightKn[place] ?? 0,
      even: forces.evenKnPerM[place] ?? 0,
      // A permanent load is always there at its helping factor, and the rest of it counts only where it sags.
      fixed: permanent ? factors.permanentHelping : 0,
      adverse: permanent ? factors.permanent - factors.permanentHelping : factors.imposed,
    });
    const curves = {
      always: look.always.map((forces) => curveOf(forces, true)),
      loads: look.loads.map((forces, index) => curveOf(forces, look.units[index]?.permanent ?? false)),
    };
    for (const intoM of saggingPeaks(look.sweep, curves, toM - fromM, best)) {
      const momentInto = ({ momentKnm, shearRightKn, evenKnPerM }: BeamForces) =>
        (momentKnm[place] ?? 0) + (shearRightKn[place] ?? 0) * intoM - ((evenKnPerM[place] ?? 0) * intoM * intoM) / 2;
      peaks.push(worstAt(look, { atM: fromM + intoM, demandOf: momentInto }));
    }
  }
  return peaks;
}

/** Stations whose worst is this near, relative, share it. Moments come from a solved beam, so less than what a plain sum could tell apart. */
const SAME_AT_STATIONS = 1e-10;

/** Earliest first, then leftmost. The interval runs on while any station is at the worst. */
function worstOfCuts(look: MemberLook, cuts: readonly WorstCut[]): Pick<LimitFinding, 'worst' | 'counted' | 'during' | 'atM'> {
  const worst = cuts.reduce((most, { found }) => Math.max(most, found.value), -Infinity);
  const equal = cuts.filter(({ found }) => found.value >= worst - SAME_AT_STATIONS * Math.abs(worst));
  const start = equal.reduce((earliest, { found }) => Math.min(earliest, found.when[0]?.start ?? earliest), look.timeline.end);
  const first = equal
    .filter(({ found }) => found.when[0]?.start === start)
    .reduce<WorstCut | null>((leftmost, cut) => (leftmost === null || cut.atM < leftmost.atM ? cut : leftmost), null);
  if (first === null) throw new RangeError('a member without a station');
  const stretch = runningOn(start, equal.flatMap(({ found }) => found.when)); // prettier-ignore
  const amounts = amountsAt(look, first);
  const counted = first.found.counted.map((index) => ({ id: look.units[index]?.id ?? '', amount: amounts[index] ?? 0 }));
  return {
    worst,
    counted,
    during: counted.length === 0 ? null : spanBetween(look.timeline, stretch),
    atM: worst === 0 ? null : first.atM,
  };
}

function runningOn(start: number, stretches: readonly Stretch[]): Stretch {
  let end = start;
  for (const stretch of [...stretches].sort((a, b) => a.start - b.start)) {
    if (stretch.start > end) break;
    end = Math.max(end, stretch.end);
  }
  return { start, end };
}
