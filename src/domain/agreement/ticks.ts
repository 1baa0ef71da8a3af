import type { Result } from '../foundation/result.ts';
import { fail, ok } from '../foundation/result.ts';
import type { AgreementError } from './acts.ts';
import type { CheckFacts, Tick } from './facts.ts';

const tickOf = ({ id, demand, capacity }: Pick<CheckFacts, 'id' | 'demand' | 'capacity'>): Tick => ({ checkId: id, demand, capacity });

/**
 * What whoever says yes has to have looked at, one by one: everything that does not simply fit. A hard check that is over comes this far
 * only when overridden; an advisory one stops nothing, and for that very reason is not passed over unseen.
 */
export const ticksWanted = (checks: readonly CheckFacts[]): Tick[] => checks.filter(({ verdict }) => verdict !== 'fits').map(tickOf);

/** Whether every check that wants a tick has one that echoes its numbers exactly. Fails too on a tick of what is not there. */
export function ticksComplete(checks: readonly CheckFacts[], ticks: readonly Tick[]): Result<void, AgreementError> {
  const wanted = ticksWanted(checks);
  const echoes = (tick: Tick) => wanted.some((want) => sameTick(want, tick));
  const missing = wanted.filter((want) => !ticks.some((tick) => sameTick(want, tick)));
  const differing = ticks.filter((tick) => !echoes(tick));
  return missing.length === 0 && differing.length === 0 ? ok(undefined) : fail({ code: 'ticks-missing', missing, differing });
}

// Both sides are the same stored doubles, sent out and echoed back: no arithmetic lies between them, so they are equal or not the same.
const sameTick = (a: Tick, b: Tick): boolean => a.checkId === b.checkId && a.demand === b.demand && a.capacity === b.capacity;

/** A tick with the hash of all that its check covered. */
export type CoveringTick = Tick & { readonly coverHash: string };

/**
 * The earlier ticks of one reviewer that still hold for a later plan: those whose check covers the very same thing, each once, in the
 * order of the checks.
 * @param previous  in the order in which they were given: of several that hold for one check it is the first, when it was really read
 * @param coverHash  of everything that a check's tick covers: its loads, numbers and verdict
 */
export function ticksCarried<T extends CoveringTick, C extends CheckFacts>(
  previous: readonly T[],
  checks: readonly C[],
  coverHash: (check: C) => string,
): T[] {
  return checks
    .filter(({ verdict }) => verdict !== 'fits')
    .flatMap((check) => previous.find((tick) => sameTick(tick, tickOf(check)) && tick.coverHash === coverHash(check)) ?? []);
}
