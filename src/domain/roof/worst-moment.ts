import { compensatedSum } from '../foundation/sum.ts';
import type { LoadTimeline } from './load-timeline.ts';

/**
 * Demands this near each other, relative, are one demand: sums of different loads that are equal on paper may differ in the last digit,
 * and must not break an unbroken interval.
 */
const SAME_DEMAND = 1e-12;

/** A stretch of time as places in the timeline, [start, end). */
export type Stretch = { readonly start: number; readonly end: number };

export type WorstMoment = {
  readonly value: number;
  /** Unbroken intervals at the worst, earliest first; at least one. */
  readonly when: readonly Stretch[];
  /** What counts when the first of them begins: positions among the sweep's stretches, ascending, none with the amount 0. */
  readonly counted: readonly number[];
};

/** The comings and goings of some loads, sorted once, for any number of questions about them. */
export type Sweep = {
  readonly timeline: Pick<LoadTimeline, 'start' | 'end'>;
  readonly count: number;
  /** For each change, in order of time: when it is, and whose; that one comes if it was not there, and goes if it was. */
  readonly times: Int32Array;
  readonly which: Int32Array;
};

/** @param stretches  when each load is there, in the order in which amounts are summed: ascending id */
export function sweepOf(timeline: Pick<LoadTimeline, 'start' | 'end'>, stretches: readonly Stretch[]): Sweep {
  const changes: { at: number; which: number }[] = [];
  for (const [which, { start, end }] of stretches.entries()) if (start < end) changes.push({ at: start, which }, { at: end, which });
  changes.sort((a, b) => a.at - b.at);
  return {
    timeline,
    count: stretches.length,
    times: Int32Array.from(changes, ({ at }) => at),
    which: Int32Array.from(changes, ({ which }) => which),
  };
}

/**
 * The largest sum that is reached at any moment: what is always there plus the amounts of the units present. A relieving amount
 * (negative, of a permanent load) counts while it is there and no longer, so the moment after it ends is looked at too.
 *
 * One pass finds the moments that can be the worst by a running sum; those are summed anew in ascending id order, so that the
 * value does not depend on what came before.
 * @param always   there at every moment
 * @param amounts  for each of the sweep's stretches
 */
export function worstMoment(sweep: Sweep, always: number, amounts: ArrayLike<number>): WorstMoment {
  const { times, which, timeline } = sweep;
  const there = new Uint8Array(sweep.count);
  let size = Math.abs(always);
  for (let index = 0; index < amounts.length; index++) size += Math.abs(amounts[index] ?? 0);
  if (!Number.isFinite(size)) throw new RangeError('a load is not finite');
  // A running sum of n terms is wrong by at most n units in the last place of the sum of their sizes.
  const slack = size * Math.max(1e-11, 4 * times.length * 2.3e-16);
  let running = always;
  let highest = times[0] === timeline.start ? -Infinity : always;
  for (let index = 0; index < times.length;) {
    const at = times[index] ?? 0;
    for (; index < times.length && times[index] === at; index++) running = changed(which[index] ?? 0, there, amounts, running);
    if (at < timeline.end && running > highest) highest = running;
  }
  return amongCandidates(sweep, always, amounts, highest - slack);
}

function changed(unit: number, there: Uint8Array, amounts: ArrayLike<number>, running: number): number {
  const amount = amounts[unit] ?? 0;
  if (there[unit] === 1) {
    there[unit] = 0;
    return running - amount;
  }
  there[unit] = 1;
  return running + amount;
}

/** Second pass, over the moments whose running sum reaches `from`: exact sums, the highest of them, and how long it lasts. */
function amongCandidates(sweep: Sweep, always: number, amounts: ArrayLike<number>, from: number): WorstMoment {
  const { times, which, timeline } = sweep;
  const there = new Uint8Array(sweep.count);
  const present: number[] = []; // ascending, only those with an amount
  const stretches: { value: number; start: number; end: number; counted: readonly number[] | null }[] = [];
  let best = -Infinity;
  const consider = (running: number, start: number, end: number) => {
    if (start >= end || running < from) return;
    const value = compensatedSum(withFirst(always, present, amounts));
    // Only what may turn out to be the worst needs its loads kept.
    const kept = value >= best - SAME_DEMAND * Math.abs(best);
    best = Math.max(best, value);
    stretches.push({ value, start, end, counted: kept ? [...present] : null });
  };
  let running = always;
  consider(running, timeline.start, Math.min(times[0] ?? timeline.end, timeline.end));
  for (let index = 0; index < times.length;) {
    const at = times[index] ?? 0;
    for (; index < times.length && times[index] === at; index++) {
      const unit = which[index] ?? 0;
      running = changed(unit, there, amounts, running);
      if ((amounts[unit] ?? 0) !== 0) toggle(present, unit);
    }
    if (at < timeline.end) consider(running, at, times[index] ?? timeline.end);
  }
  const when: Stretch[] = [];
  let counted: readonly number[] | null = null;
  for (const { value, start, end, counted: then } of stretches) {
    if (value < best - SAME_DEMAND * Math.abs(best)) continue;
    counted ??= then ?? [];
    const last = when.at(-1);
    if (last?.end === start) when[when.length - 1] = { start: last.start, end };
    else when.push({ start, end });
  }
  if (counted === null) throw new RangeError('a timeline without a moment');
  return { value: best + 0, when, counted }; // + 0: never -0
}

function* withFirst(always: number, present: readonly number[], amounts: ArrayLike<number>): Generator<number> {
  yield always;
  for (const unit of present) yield amounts[unit] ?? 0;
}

/** Puts a number into an ascending list, or takes it out. */
function toggle(list: number[], value: number): void {
  let [low, high] = [0, list.length];
  while (low < high) {
    const middle = (low + high) >> 1;
    if ((list[middle] ?? 0) < value) low = middle + 1;
    else high = middle;
  }
  if (list[low] === value) list.splice(low, 1);
  else list.splice(low, 0, value);
}
