import { compensatedSum } from '../foundation/sum.ts';
import type { LoadTimeline } from './load-timeline.ts';

/**
 * Demands this near each other, relative, are one demand: sums of different loads that are equal on paper may differ in the last digit,
 * and must not break an unbroken interval.
 */
const SAME_DEMAND = 1e-12;
/** A compensated running sum of up to a million comings and goings stays this near the true one, relative to the sizes in it. */
const RUNNING_ERROR = 1e-20;

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
  readonly stretches: readonly Stretch[];
  /** For each change, in order of time: when it is, and whose. `comes` is 1 for a coming and 0 for a going. */
  readonly times: Int32Array;
  readonly which: Int32Array;
  readonly comes: Uint8Array;
};

/** @param stretches  when each load is there, in the order in which amounts are summed: ascending id */
export function sweepOf(timeline: Pick<LoadTimeline, 'start' | 'end'>, stretches: readonly Stretch[]): Sweep {
  const changes: { at: number; which: number; comes: number }[] = [];
  for (const [which, { start, end }] of stretches.entries()) {
    if (start < end) changes.push({ at: start, which, comes: 1 }, { at: end, which, comes: 0 });
  }
  changes.sort((a, b) => a.at - b.at);
  const times = new Int32Array(changes.length);
  const which = new Int32Array(changes.length);
  const comes = new Uint8Array(changes.length);
  for (const [index, change] of changes.entries()) {
    times[index] = change.at;
    which[index] = change.which;
    comes[index] = change.comes;
  }
  return { timeline, stretches, times, which, comes };
}

/**
 * The largest sum that is reached at any moment: what is always there plus the amounts of the loads present. A relieving amount
 * (negative, of a permanent load) counts while it is there and no longer, so the moment after it ends is looked at too.
 *
 * A running sum finds the moment; what is present then is summed anew in ascending id order, so that the value does not depend on what
 * came before.
 * @param always   there at every moment
 * @param amounts  for each of the sweep's stretches
 */
export function worstMoment(sweep: Sweep, always: number, amounts: ArrayLike<number>): WorstMoment {
  const { timeline, stretches } = sweep;
  let size = Math.abs(always);
  for (let index = 0; index < amounts.length; index++) size += Math.abs(amounts[index] ?? 0);
  if (!Number.isFinite(size)) throw new RangeError('a load is not finite');
  let best = -Infinity;
  run(sweep, always, amounts, (value) => {
    if (value > best) best = value;
  });
  const least = best - SAME_DEMAND * Math.abs(best) - RUNNING_ERROR * size;
  const when: { start: number; end: number }[] = [];
  run(sweep, always, amounts, (value, start, end) => {
    if (value < least) return;
    const last = when.at(-1);
    if (last?.end === start) last.end = end;
    else when.push({ start, end });
  });
  const [first] = when;
  if (first === undefined) throw new RangeError(`a timeline without a moment, from ${timeline.start} to ${timeline.end}`);
  const counted: number[] = [];
  for (const [index, { start, end }] of stretches.entries()) {
    if (start <= first.start && first.start < end && (amounts[index] ?? 0) !== 0) counted.push(index);
  }
  const value = compensatedSum([always, ...counted.map((index) => amounts[index] ?? 0)]);
  return { value: value + 0, when, counted }; // + 0: never -0
}

/** Visits every stretch between two changes, in order of time, with the sum there. */
function run(
  { times, which, comes, timeline }: Sweep,
  always: number,
  amounts: ArrayLike<number>,
  visit: (value: number, start: number, end: number) => void,
): void {
  // Compensated as in a single sum (Neumaier 1974), but over all comings and goings.
  let sum = always;
  let lost = 0;
  const firstChange = Math.min(times[0] ?? timeline.end, timeline.end);
  if (timeline.start < firstChange) visit(sum, timeline.start, firstChange);
  for (let index = 0; index < times.length;) {
    const at = times[index] ?? 0;
    for (; index < times.length && times[index] === at; index++) {
      const amount = amounts[which[index] ?? 0] ?? 0;
      const change = comes[index] === 1 ? amount : -amount;
      const next = sum + change;
      lost += Math.abs(sum) >= Math.abs(change) ? sum - next + change : change - next + sum;
      sum = next;
    }
    const end = times[index] ?? timeline.end;
    if (at < end && at < timeline.end) visit(sum + lost, at, end);
  }
}
