import { timelineOf } from '../roof/load-timeline.ts';
import type { LoadTimeline, LoadUnit as RoofLoad, UnitPoint } from '../roof/load-timeline.ts';
import type { LimitFinding } from '../roof/sum-limits.ts';
import type { CapacityTerms } from '../roof/structure.ts';
import { worseVerdict } from '../roof/verdict.ts';
import type { Check, CountedLoad, LoadCase } from './assessment.ts';
import type { Interval, LoadUnit, Lost } from './load-units.ts';
import type { Horizontal } from './sideways.ts';
import { sizeKn, totalOf } from './sideways.ts';

/** Who moves: nobody, all that is not dead-hung, or the hangs of one cue (and those whose cue is not told). */
export type Scene = { readonly case: 'resting' } | { readonly case: 'moving'; readonly cue: string | null };
/** One hang without what it has lost, all others at their envelope; `atMost`: each as heavy as any loss can make it, all at once. */
type LossScene = Lost | { readonly case: 'atMost' };

/** The scenes to look at for some loads: at rest, and each cue of theirs moving. Without any cue all move together. */
export function scenesOf(units: readonly LoadUnit[]): Scene[] {
  const cues = new Set<string>();
  let moves = false;
  for (const { moves: how } of units) {
    if (typeof how === 'string') continue;
    moves = true;
    if (how.cue !== null) cues.add(how.cue);
  }
  const scenes: Scene[] = [{ case: 'resting' }];
  for (const cue of [...cues].sort()) scenes.push({ case: 'moving', cue });
  if (moves && cues.size === 0) scenes.push({ case: 'moving', cue: null });
  return scenes;
}

export function mayMove({ moves }: LoadUnit, scene: Scene): boolean {
  if (moves === 'always') return true;
  if (moves === 'never' || scene.case === 'resting') return false;
  return moves.cue === null || moves.cue === scene.cue;
}

/** The dynamic factor that a capacity already allows for; 1 when it allows for none or does not say. */
export const dynamicIncluded = ({ dynamic }: Pick<CapacityTerms, 'dynamic'>): number =>
  dynamic?.kind === 'included' ? Math.max(1, dynamic.factor) : 1;

/**
 * What a unit can weigh in a scene, at rest or moving. A capacity that allows for a dynamic factor carries that much more of a moving
 * load, so the moving load is divided by it, and the load at rest is compared as it is.
 */
export function weightKg(unit: LoadUnit, scene: Scene, included: number): number {
  return mayMove(unit, scene) ? Math.max(unit.restingKg, unit.movingKg / included) : unit.restingKg;
}

/** From the first to the last moment at which something of the plan is among the units: what happens then is ours to answer for. */
export function ownWindow(units: readonly LoadUnit[]): Interval {
  let window: Interval | null = null;
  for (const { source, during } of units) if (source === 'plan') window = window === null ? during : hullOf(window, during);
  if (window === null) throw new Error('a check of a plan has a load of the plan in it');
  return window;
}

function hullOf(a: Interval, b: Interval): Interval {
  if (a.from <= b.from && b.to <= a.to) return a;
  return { from: a.from < b.from ? a.from : b.from, to: a.to > b.to ? a.to : b.to };
}

/**
 * The units on the roof's timeline, for each scene with what they weigh in it; each may be absent by itself, unless it is permanent.
 * @param spreads  standing loads spread over members
 */
function sceneTimelines<S>(
  units: readonly LoadUnit[],
  spreads: readonly Spread[],
  window: Interval,
  loadOf: (unit: LoadUnit, scene: S) => UnitPoint,
): (scene: S) => LoadTimeline {
  const near = ({ from, to }: { from: string | null; to: string | null }) =>
    (from === null || from < window.to) && (to === null || window.from < to);
  const there = units.filter(({ during }) => near(during));
  const loads = there.map(({ sortKey, during, permanent, pointId }): RoofLoad => {
    const { from, to } = during;
    return { id: sortKey, from, to, permanent, points: [{ pointId, massKg: 0 }] };
  });
  // Who is there, and when, is the same in every scene: that is put in order once.
  const timeline = timelineOf([...loads, ...spreads.map(({ load }) => load).filter(near)], window);
  const unitOf = new Map(there.map((unit) => [unit.sortKey, unit]));
  return (scene) => ({
    ...timeline,
    units: timeline.units.map((placed) => {
      const unit = unitOf.get(placed.id);
      if (unit === undefined) return placed;
      const { id, from, to, permanent, spreads, start, end } = placed;
      return { id, from, to, permanent, points: [loadOf(unit, scene)], spreads, start, end };
    }),
  });
}

/** Its lines and legs together, at rest or moving, whichever is larger; the two point the same way. */
function sidewaysOf(unit: LoadUnit, scene: Scene, included: number): { xKn: number; yKn: number } {
  const resting = totalOf(unit.pulls.map((pull) => pull.resting));
  if (!mayMove(unit, scene)) return resting;
  const moving = totalOf(unit.pulls.map((pull) => pull.moving));
  return sizeKn(moving) / included > sizeKn(resting) ? { xKn: moving.xKn / included, yKn: moving.yKn / included } : resting;
}

const unitPoint = ({ pointId }: LoadUnit, massKg: number, { xKn, yKn }: Horizontal): UnitPoint => ({ pointId, massKg, xKn, yKn });

/** A standing load spread over a member, with its id in the record of the roof. */
export type Spread = { readonly load: RoofLoad; readonly standingId: string };

export type WorstCase = { readonly finding: LimitFinding; readonly case: LoadCase };

/**
 * The worst of all scenes for each sense of a limit; of equals the load at rest.
 * @param evaluate  the limit on one scene's timeline
 */
export function worstOfScenes(
  units: readonly LoadUnit[],
  spreads: readonly Spread[],
  terms: Pick<CapacityTerms, 'dynamic'>,
  evaluate: (timeline: LoadTimeline) => readonly LimitFinding[],
): WorstCase[] {
  const included = dynamicIncluded(terms);
  const timelineIn = sceneTimelines(units, spreads, ownWindow(units), (unit, scene: Scene) =>
    unitPoint(unit, weightKg(unit, scene, included), sidewaysOf(unit, scene, included)),
  );
  const worst = new Map<LimitFinding['sense'], WorstCase>();
  for (const scene of scenesOf(units)) {
    for (const finding of evaluate(timelineIn(scene))) {
      const before = worst.get(finding.sense);
      if (before === undefined || isWorse(finding, before.finding)) worst.set(finding.sense, { finding, case: scene.case });
    }
  }
  return [...worst.values()];
}

/** The worst for each sense and case with something of one hang of the plan lost, where that is close to the limit or over. */
export type WorstLoss = { readonly finding: LimitFinding; readonly lost: Lost };

/**
 * What a limit sees when a hang of the plan loses a hoist, or a secondary catches: each in turn, with all others at their envelope. Such a
 * case is no lift, so what a capacity allows for lifting is not given to it.
 * @param grows  whether more of any load never makes a sense better, so that one look at all of them at their most may tell that nothing
 *   is close; not so for sideways pulls, which may turn
 */
export function worstOfLosses(
  units: readonly LoadUnit[],
  spreads: readonly Spread[],
  grows: boolean,
  evaluate: (timeline: LoadTimeline) => readonly LimitFinding[],
): WorstLoss[] {
  const losses = new Map(
    units.flatMap(({ ifLost }) => ifLost.map(({ lost }) => [`${lost.hangId} ${lost.case} ${lost.of}`, lost] as const)),
  );
  if (losses.size === 0) return [];
  const timelineIn = sceneTimelines(units, spreads, ownWindow(units), loadWithLoss);
  const matters = ({ verdict }: LimitFinding) => verdict === 'over' || verdict === 'close';
  if (grows && !evaluate(timelineIn({ case: 'atMost' })).some(matters)) return [];
  const worst = new Map<string, WorstLoss>();
  for (const lost of losses.values()) {
    for (const finding of evaluate(timelineIn(lost)).filter(matters)) {
      const key = `${finding.sense} ${lost.case}`;
      const before = worst.get(key);
      if (before === undefined || isWorse(finding, before.finding)) worst.set(key, { finding, lost });
    }
  }
  return [...worst.values()];
}

function loadWithLoss(unit: LoadUnit, scene: LossScene): UnitPoint {
  const cue = typeof unit.moves === 'string' ? null : unit.moves.cue;
  const moving: Scene = { case: 'moving', cue };
  const envelopeKg = weightKg(unit, moving, 1);
  const sideways = sidewaysOf(unit, moving, 1);
  if (scene.case === 'atMost')
    return unitPoint(unit, unit.ifLost.reduce((most, { massKg }) => Math.max(most, massKg), envelopeKg), sideways); // prettier-ignore
  const found = unit.ifLost.find(({ lost }) => lost.case === scene.case && lost.hangId === scene.hangId && lost.of === scene.of);
  return found === undefined ? unitPoint(unit, envelopeKg, sideways) : unitPoint(unit, found.massKg, found.pull);
}

/** Of two findings on one limit in one sense. */
export function isWorse(a: LimitFinding, b: LimitFinding): boolean {
  if (a.verdict !== b.verdict) return worseVerdict(a.verdict, b.verdict) === a.verdict;
  if (a.utilisation !== null && b.utilisation !== null) return a.utilisation > b.utilisation;
  if (a.worst === null || b.worst === null) return false;
  return a.sense === 'least' ? a.worst < b.worst : a.worst > b.worst;
}

/** What a finding says, as part of a check. */
export function asChecked(
  { finding, case: loadCase }: WorstCase,
  units: readonly LoadUnit[],
  spreads: readonly Spread[] = [],
): Pick<Check, 'demand' | 'capacity' | 'unit' | 'utilisation' | 'verdict' | 'case' | 'during' | 'counted'> {
  const window = ownWindow(units);
  const bySortKey = new Map<string, Omit<CountedLoad, 'amount'>>(
    units.map(({ sortKey, source, id, pointId }) => [sortKey, { from: source, id, pointId }]),
  );
  for (const { load, standingId } of spreads) bySortKey.set(load.id, { from: 'standing', id: standingId, pointId: null });
  return {
    demand: finding.worst,
    capacity: finding.capacity,
    unit: finding.unit,
    utilisation: finding.utilisation,
    verdict: finding.verdict,
    case: loadCase,
    during: finding.during === null ? null : { from: finding.during.from ?? window.from, to: finding.during.to ?? window.to },
    counted: finding.counted.map(({ id, amount }): CountedLoad => {
      const load = bySortKey.get(id);
      if (load === undefined) throw new Error('a finding counts loads that it was given');
      return { amount, from: load.from, id: load.id, pointId: load.pointId };
    }),
  };
}

/** The moments between which nothing comes or goes. */
export function stretchesOf(units: readonly LoadUnit[], window: Interval): Interval[] {
  const cuts = new Set([window.from, window.to]);
  for (const { during } of units) for (const cut of [during.from, during.to]) if (cut > window.from && cut < window.to) cuts.add(cut);
  const sorted = [...cuts].sort();
  return sorted.flatMap((from, index) => {
    const to = sorted[index + 1];
    return to === undefined ? [] : [{ from, to }];
  });
}
