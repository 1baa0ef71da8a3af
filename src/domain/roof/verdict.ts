/** `unknown` is never a pass: something that the check needs was not stated, or is not computed. */
export type Verdict = 'fits' | 'close' | 'over' | 'unknown';

/** Relative. Rounding in the last digits of a sum must not turn "exactly full" into "over". */
const VERDICT_TOLERANCE = 1e-9;

/**
 * The one rule that turns a demand and a capacity into a verdict. Both in the same unit and sense; more demand is worse.
 * `over` outranks `unknown` outranks `close`: a demand that is only a lower bound can be over, but never fits.
 * @param demand     null = nothing can be said about it
 * @param capacity   null = not stated. 0: no demand fits, any demand is over. Negative (a sum that must stay below zero): no share of
 *                   it means anything, so `close` is within the same distance of it
 * @param closeFrom  share of the capacity from which a check is `close`
 * @param doubtful   something that may add to the demand, or take from the capacity, is missing
 */
export function verdictOf(demand: number | null, capacity: number | null, closeFrom: number, doubtful = false): Verdict {
  if (demand === null || capacity === null) return 'unknown';
  if (!Number.isFinite(demand) || !Number.isFinite(capacity)) throw new RangeError('a demand or capacity is not finite');
  const tolerance = Math.abs(capacity) * VERDICT_TOLERANCE;
  if (demand > capacity + tolerance) return 'over';
  if (doubtful) return 'unknown';
  if (capacity === 0) return 'fits';
  const closeAt =
    capacity > 0 ? closeFrom * capacity * (1 - VERDICT_TOLERANCE) : capacity - (1 - closeFrom) * Math.abs(capacity) - tolerance;
  return demand >= closeAt ? 'close' : 'fits';
}

/** Demand divided by capacity; null where no share can be given. */
export function utilisationOf(demand: number | null, capacity: number | null): number | null {
  if (demand === null || capacity === null || capacity <= 0) return null;
  const utilisation = demand / capacity;
  return Number.isFinite(utilisation) ? utilisation : null;
}

const RANK: Record<Verdict, number> = { fits: 0, close: 1, unknown: 2, over: 3 };
export const worseVerdict = (a: Verdict, b: Verdict): Verdict => (RANK[b] > RANK[a] ? b : a);
export const worstVerdict = (verdicts: Iterable<Verdict>): Verdict => {
  let worst: Verdict = 'fits';
  for (const verdict of verdicts) worst = worseVerdict(worst, verdict);
  return worst;
};
