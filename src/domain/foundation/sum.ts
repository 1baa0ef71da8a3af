/**
 * Sum with the rounding errors carried along (Neumaier 1974): the answer is good to the last digit where a plain sum drifts with the
 * number of terms. Order still matters for the last bit, so callers add in ascending id order. A sum that is not finite is a bug: throws.
 */
export function compensatedSum(values: Iterable<number>): number {
  let sum = 0;
  let lost = 0;
  for (const value of values) {
    const next = sum + value;
    lost += Math.abs(sum) >= Math.abs(value) ? sum - next + value : value - next + sum;
    sum = next;
  }
  const total = sum + lost;
  if (!Number.isFinite(total)) throw new RangeError('a sum of loads is not finite');
  return total;
}
