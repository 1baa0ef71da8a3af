import type { Check, PointLoad } from '../../domain/assessment/assessment.ts';
import type { Plan } from '../../domain/plan/plan.ts';
import type { LiveAnswer } from '../live/live-checks.ts';

/** What the checks of the plan that is drawn say of one hang. */
export type HangTold = {
  /** What is impossible in it, by where: `/linesOffPlumb/0/at`. */
  readonly faults: readonly { readonly pointer: string; readonly message: string }[];
  /** Of the whole plan. */
  readonly checks: readonly Check[];
  readonly loads: readonly PointLoad[];
};

/** @param of  the plan that the answer is of */
export function toldOf(answer: LiveAnswer | null, of: Plan | null, hangId: string): HangTold {
  if (answer === null || of === null) return { faults: [], checks: [], loads: [] };
  if (answer.kind === 'worked-out')
    return { faults: [], checks: answer.checks, loads: answer.loads.filter((load) => load.hangId === hangId) };
  const before = `/hangs/${of.hangs.findIndex(({ id }) => id === hangId)}`;
  const faults = answer.faults.flatMap(({ pointer, message }) =>
    pointer.startsWith(`${before}/`) ? [{ pointer: pointer.slice(before.length), message }] : [],
  );
  return { faults, checks: [], loads: [] };
}

/** What is wrong with one field, or with anything in it; null = nothing. */
export function faultAt({ faults }: HangTold, pointer: string): string | null {
  const found = faults.filter((one) => one.pointer === pointer || one.pointer.startsWith(`${pointer}/`));
  return found.length === 0 ? null : found.map(({ message }) => message).join('; ');
}
