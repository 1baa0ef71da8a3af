import { kgToKn, knToKg } from '../foundation/units.ts';
import type { HangLoads } from '../plan/hang-loads.ts';
import { asInstant } from '../plan/instants.ts';
import type { Missing } from '../plan/missing.ts';
import { sortedMissing } from '../plan/missing.ts';
import type { PointPull, Pull } from '../plan/pull.ts';
import { spanOf } from '../roof/calendar.ts';
import type { Instant, PublishedRoof } from '../roof/structure.ts';
import type { CountedLoad, NeighbourLoad } from './assessment.ts';

export type Interval = { readonly from: Instant; readonly to: Instant };

/**
 * What one hang, neighbour's hang or standing load puts on one point: the least that can be there or not by itself. Unless it is
 * permanent it may be absent at any moment of its interval.
 */
export type LoadUnit = {
  readonly source: CountedLoad['from'];
  /** Hang, commitment or standing load, as a check names it. */
  readonly id: string;
  /** Ascending order of these is the order of every sum. */
  readonly sortKey: string;
  readonly pointId: string;
  readonly during: Interval;
  readonly permanent: boolean;
  /** Of an own hang on hoists: with which others it moves; null = its cue is not told, so with any. Others are taken at their envelope. */
  readonly moves: 'never' | 'always' | { readonly cue: string | null };
  /** The most while nothing moves: of an own hang in any stage of its build. */
  readonly restingKg: number;
  readonly movingKg: number;
  /** Pulls of the single lines and legs, for the sideways checks. */
  readonly pulls: readonly { readonly resting: Pull; readonly moving: Pull }[];
  /** What is there instead when something of its own hang is lost; empty where nothing can be. */
  readonly ifLost: readonly UnitIfLost[];
  readonly windKn: number;
  readonly missing: readonly Missing[];
  readonly missingSideways: readonly Missing[];
};

/** `of`: what is lost, told apart over all hangs. */
export type UnitIfLost = { readonly lost: Lost; readonly massKg: number; readonly pull: Pull };
export type Lost = { readonly case: 'slack' | 'accidental'; readonly hangId: string; readonly of: string };

/** Later than any show: the end of what nobody has called down. */
export const NO_END: Instant = '9999-12-31T23:59:59.999Z';

export const overlap = (a: Interval, b: Interval): boolean => a.from < b.to && b.from < a.to;

/** A hang's own [up, down), or the whole show. */
export function hangInterval({ hang }: Pick<HangLoads, 'hang'>, show: Interval): Interval {
  if (hang.up === null) return { from: show.from, to: show.to };
  const [from, to] = [asInstant(hang.up.from), asInstant(hang.up.to)];
  if (from === null || to === null || from < show.from || to > show.to || from >= to)
    throw new Error('a checked plan is assessed for the show that it was checked with');
  return { from, to };
}

/** One unit per point of the hang: what its lines and legs put there together. */
export function planUnits(hang: HangLoads, show: Interval): LoadUnit[] {
  const during = hangInterval(hang, show);
  const byPoint = new Map<string, LoadUnit>();
  for (const { pickUp, pulls } of hang.pickUps) {
    for (const pull of pulls) {
      const before = byPoint.get(pull.pointId);
      const deadHung = pickUp.hoist === null;
      byPoint.set(pull.pointId, {
        source: 'plan',
        id: hang.hang.id,
        sortKey: `plan ${hang.hang.id} ${pull.pointId}`,
        pointId: pull.pointId,
        during,
        permanent: false,
        moves: deadHung && (before === undefined || before.moves === 'never') ? 'never' : { cue: hang.hang.cue },
        restingKg: (before?.restingKg ?? 0) + knToKg(pull.build.downKn),
        movingKg: (before?.movingKg ?? 0) + knToKg(pull.moving.downKn),
        pulls: [...(before?.pulls ?? []), { resting: pull.build, moving: pull.moving }],
        ifLost: [],
        windKn: windKn(hang),
        missing: sortedMissing([...(before?.missing ?? []), ...pull.missing]),
        missingSideways: sortedMissing([...(before?.missingSideways ?? []), ...pull.missingSideways]),
      });
    }
  }
  const losses = lossesOf(hang);
  const units = [...byPoint.values()].sort((a, b) => (a.sortKey < b.sortKey ? -1 : 1));
  if (losses.length === 0) return units;
  return units.map((unit) => ({ ...unit, ifLost: losses.map((lost) => ifLost(hang, unit.pointId, lost)) }));
}

/** Each hoist of a hang that can lose one, and each line that a secondary with a rated catch stands beside. */
function lossesOf({ hang, pickUps }: HangLoads): Lost[] {
  const hoists = new Set<string>();
  for (const { pulls } of pickUps) for (const { whenLost } of pulls) for (const { lost } of whenLost) hoists.add(lost);
  const caught = pickUps.filter(({ pulls }) => pulls.some(({ accidental }) => accidental !== null)).map(({ pickUp }) => pickUp.id);
  return [
    ...[...hoists].sort().map((of): Lost => ({ case: 'slack', hangId: hang.id, of })),
    ...caught.map((of): Lost => ({ case: 'accidental', hangId: hang.id, of })),
  ];
}

/** The hang's pulls on one point with something of it lost: what is not told for that stays at its envelope. A caught line has let go. */
function ifLost({ pickUps }: HangLoads, pointId: string, lost: Lost): UnitIfLost {
  let [xKn, yKn, downKn] = [0, 0, 0];
  for (const { pickUp, pulls } of pickUps) {
    for (const one of pulls) {
      if (one.pointId !== pointId) continue;
      const pull = pullIfLost(one, pickUp.id, lost);
      if (pull === null) continue;
      xKn += pull.xKn;
      yKn += pull.yKn;
      downKn += pull.downKn;
    }
  }
  return { lost, massKg: knToKg(downKn), pull: { xKn, yKn, downKn } };
}

/** Null where the line itself is what has let go. */
function pullIfLost(pull: PointPull, pickUpId: string, lost: Lost): Pull | null {
  if (lost.case === 'slack') return pull.whenLost.find((other) => other.lost === lost.of)?.pull ?? envelopeOf(pull);
  if (pickUpId !== lost.of) return envelopeOf(pull);
  return pull.role === 'secondary' ? (pull.accidental ?? envelopeOf(pull)) : null;
}

const envelopeOf = ({ build, moving }: PointPull): Pull => (moving.downKn > build.downKn ? moving : build);

/** The larger of the entered wind actions, from any side. On one pick-up the whole of it arrives at the roof as a sideways pull. */
const windKn = ({ hang }: HangLoads): number => (hang.wind === null ? 0 : Math.max(hang.wind.inServiceKn, hang.wind.outOfServiceKn));

/** What the building always, or for some days, carries at its points. */
export function standingUnits(roof: PublishedRoof): LoadUnit[] {
  return roof.standingLoads.flatMap((load) => {
    const span = spanOf(load, roof.dayStarts);
    return load.points.map(({ pointId, massKg }, index): LoadUnit => {
      const pull: Pull = { xKn: 0, yKn: 0, downKn: kgToKn(massKg) };
      return {
        source: 'standing',
        id: load.id,
        sortKey: `standing ${load.id} ${pointId} ${index}`,
        pointId,
        during: { from: span.from ?? '', to: span.to ?? NO_END },
        permanent: load.permanent,
        moves: 'never',
        restingKg: massKg,
        movingKg: massKg,
        pulls: [{ resting: pull, moving: pull }],
        ifLost: [],
        windKn: 0,
        missing: [],
        missingSideways: [],
      };
    });
  });
}

/**
 * A neighbour by the envelope of what is stored of it. One that was agreed and whose time has passed hangs on: nobody has said that it
 * is down.
 */
export function neighbourUnit(load: NeighbourLoad, asOf: Instant, exposure: PublishedRoof['exposure']): LoadUnit {
  return {
    source: 'neighbour',
    id: load.ref,
    sortKey: `neighbour ${load.ref} ${load.hangId} ${load.pointId}`,
    pointId: load.pointId,
    during: { from: load.from, to: isOverdue(load, asOf) ? NO_END : load.to },
    permanent: false,
    moves: 'always',
    restingKg: knToKg(load.resting.downKn),
    movingKg: knToKg(load.moving.downKn),
    pulls: [{ resting: load.resting, moving: load.moving }],
    ifLost: [],
    windKn: 0,
    missing: load.isLowerBound === true ? [{ code: 'neighbour-load-incomplete', of: 'neighbour' }] : [],
    // What wind does to a neighbour is not in its commitment.
    missingSideways: exposure === 'indoor' ? [] : [{ code: 'neighbour-wind-not-stated', of: 'neighbour' }],
  };
}

export const isOverdue = (load: NeighbourLoad, asOf: Instant): boolean => load.status === 'agreed' && load.to <= asOf;
