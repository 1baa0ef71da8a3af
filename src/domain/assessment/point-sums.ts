import { compensatedSum } from '../foundation/sum.ts';
import type { EffectiveCapacity } from '../roof/capacity.ts';
import { adverseAmount } from '../roof/sum-limits.ts';
import { utilisationOf, verdictOf, worseVerdict } from '../roof/verdict.ts';
import type { Stretch, Sweep } from '../roof/worst-moment.ts';
import { sweepOf, worstMoment } from '../roof/worst-moment.ts';
import type { Check } from './assessment.ts';
import type { Interval, LoadUnit } from './load-units.ts';
import { overlap } from './load-units.ts';
import type { Scene } from './worst.ts';
import { dynamicIncluded, ownWindow, scenesOf, weightKg } from './worst.ts';

/** The loads of one point in order of id and of time, laid out once for every question about their sum. */
export type PointSums = {
  readonly units: readonly LoadUnit[];
  readonly window: Interval;
  readonly scenes: readonly Scene[];
  /** Comings and goings within the window; null where every load is there all of the time, as most are. */
  readonly changes: { readonly instants: readonly string[]; readonly sweep: Sweep } | null;
};

/** @param units  all of one point, in ascending order; at least one is the plan's */
export function pointSums(units: readonly LoadUnit[]): PointSums {
  const window = ownWindow(units);
  const near = units.length === 1 ? units : units.filter(({ during }) => overlap(during, window));
  for (const [index, { sortKey, during }] of near.entries()) {
    if (during.from >= during.to) throw new RangeError(`load ${sortKey} ends before it begins`);
    if (sortKey === near[index - 1]?.sortKey) throw new RangeError(`two loads have the id ${sortKey}`);
  }
  const steady = near.every(({ during: { from, to } }) => from <= window.from && window.to <= to);
  return { units: near, window, scenes: scenesOf(units), changes: steady ? null : changesOf(near, window) };
}

function changesOf(units: readonly LoadUnit[], { from: first, to: last }: Interval): PointSums['changes'] {
  const clipped = units.map(({ during: { from, to } }) => ({ from: from < first ? first : from, to: to > last ? last : to }));
  const instants = [...new Set([first, last, ...clipped.flatMap(({ from, to }) => [from, to])])].sort();
  const rank = new Map(instants.map((instant, index) => [instant, index]));
  const place = ({ from, to }: Interval): Stretch => ({ start: rank.get(from) ?? 0, end: rank.get(to) ?? instants.length });
  return { instants, sweep: sweepOf(place({ from: first, to: last }), clipped.map(place)) };
}

type Worst = Pick<Check, 'demand' | 'capacity' | 'unit' | 'utilisation' | 'verdict' | 'case' | 'during' | 'counted'>;

/** A load that weighs something else for once, moving or not. */
type Instead = { readonly unit: LoadUnit; readonly massKg: number };

/**
 * The worst of all scenes and moments for the sum on a point, by the adverse rule; of equals the load at rest. Without a rating there is
 * nothing to compare with: the load is still told, and the verdict is `unknown`.
 * @param doubtful  the capacity or a load cannot be relied on
 */
export function worstSum(
  sums: PointSums,
  { wllKg, terms, factors }: Pick<EffectiveCapacity, 'wllKg' | 'terms' | 'factors'>,
  closeFrom: number,
  doubtful: boolean,
  instead: Instead | null = null,
): Worst {
  const included = terms === null ? 1 : dynamicIncluded(terms);
  let worst: { scene: Scene; sum: Sum; utilisation: number | null; verdict: Check['verdict'] } | null = null;
  for (const scene of sums.scenes) {
    const amounts = sums.units.map((unit) => {
      const massKg = unit === instead?.unit ? instead.massKg : weightKg(unit, scene, included);
      return adverseAmount(massKg, unit.permanent, factors);
    });
    if (worst !== null && amounts.every((amount, index) => amount === worst?.sum.amounts[index])) continue;
    const sum = sumOf(sums, amounts);
    const comparedKg = wllKg ?? 0; // without a rating, only to choose the scene by
    const utilisation = utilisationOf(sum.value, comparedKg);
    const verdict = verdictOf(sum.value, comparedKg, closeFrom, doubtful || wllKg === null);
    if (worst === null || isWorse({ sum, utilisation, verdict }, worst)) worst = { scene, sum, utilisation, verdict };
  }
  if (worst === null) throw new Error('a point has a scene at rest');
  const { scene, sum } = worst;
  return {
    demand: sum.value,
    capacity: wllKg,
    unit: 'kg',
    utilisation: wllKg === null ? null : worst.utilisation,
    verdict: wllKg === null ? 'unknown' : worst.verdict,
    case: scene.case,
    during: sum.counted.length === 0 ? null : sum.during,
    counted: sum.counted.map((index) => {
      const unit = sums.units[index];
      if (unit === undefined) throw new Error('a sum counts loads that it was given');
      return { amount: sum.amounts[index] ?? 0, from: unit.source, id: unit.id, pointId: unit.pointId };
    }),
  };
}

type Sum = {
  readonly value: number;
  readonly amounts: readonly number[];
  readonly counted: readonly number[];
  readonly during: Interval;
};
type Judged = { readonly sum: Pick<Sum, 'value'>; readonly utilisation: number | null; readonly verdict: Check['verdict'] };

function sumOf({ changes, window }: PointSums, amounts: readonly number[]): Sum {
  if (changes === null) {
    const counted: number[] = [];
    for (const [index, amount] of amounts.entries()) if (amount !== 0) counted.push(index);
    return { value: compensatedSum(amounts) + 0, amounts, counted, during: window };
  }
  const { value, when, counted } = worstMoment(changes.sweep, 0, amounts);
  const [first] = when;
  const from = first === undefined ? window.from : (changes.instants[first.start] ?? window.from);
  const to = first === undefined ? window.to : (changes.instants[first.end] ?? window.to);
  return { value, amounts, counted, during: { from, to } };
}

function isWorse(a: Judged, b: Judged): boolean {
  if (a.verdict !== b.verdict) return worseVerdict(a.verdict, b.verdict) === a.verdict;
  return a.utilisation !== null && b.utilisation !== null ? a.utilisation > b.utilisation : a.sum.value > b.sum.value;
}
