import fc from 'fast-check';
import { expect, test } from 'vitest';
import { utilisationOf, verdictOf, worstVerdict } from '../../src/domain/roof/verdict.ts';

test.each([
  { demand: 89.9, capacity: 100, verdict: 'fits' },
  { demand: 90, capacity: 100, verdict: 'close' },
  { demand: 100, capacity: 100, verdict: 'close' },
  { demand: 100 * (1 + 0.5e-9), capacity: 100, verdict: 'close' }, // within 1e-9: rounding of a sum
  { demand: 100 * (1 + 2e-9), capacity: 100, verdict: 'over' },
  { demand: 90 * (1 - 0.5e-9), capacity: 100, verdict: 'close' },
  { demand: 90 * (1 - 2e-9), capacity: 100, verdict: 'fits' },
  // The ratio 8.2 / 10 kN = 0.82 of the published combination comb-10 (computed), where 100 percent passes and anything above fails.
  { demand: 8.2, capacity: 10, verdict: 'fits' },
  { demand: 0, capacity: 0, verdict: 'fits' },
  { demand: 1e-9, capacity: 0, verdict: 'over' },
  { demand: -5, capacity: 0, verdict: 'fits' },
  { demand: null, capacity: 100, verdict: 'unknown' },
  { demand: 100, capacity: null, verdict: 'unknown' },
  // A sum that must stay at or below -100: 10 of 100 away from it is close.
  { demand: -99, capacity: -100, verdict: 'over' },
  { demand: -100, capacity: -100, verdict: 'close' },
  { demand: -110, capacity: -100, verdict: 'close' },
  { demand: -111, capacity: -100, verdict: 'fits' },
])('$demand against $capacity: $verdict', ({ demand, capacity, verdict }) => {
  expect(verdictOf(demand, capacity, 0.9)).toBe(verdict);
});

test('a doubtful demand is over when it is, and unknown otherwise', () => {
  expect(verdictOf(101, 100, 0.9, true)).toBe('over');
  expect(verdictOf(95, 100, 0.9, true)).toBe('unknown');
  expect(verdictOf(0, 100, 0.9, true)).toBe('unknown');
  expect(verdictOf(0, 0, 0.9, true)).toBe('unknown');
});

test('over outranks unknown outranks close', () => {
  expect(worstVerdict(['fits', 'over', 'unknown', 'close'])).toBe('over');
  expect(worstVerdict(['close', 'unknown', 'fits'])).toBe('unknown');
  expect(worstVerdict([])).toBe('fits');
});

test('more demand never makes a verdict better, less capacity neither', () => {
  const rank = { fits: 0, close: 1, unknown: 2, over: 3 };
  const size = fc.double({ min: -1e6, max: 1e6, noNaN: true });
  const more = fc.double({ min: 0, max: 1e6, noNaN: true });
  fc.assert(
    fc.property(size, size, more, (demand, capacity, extra) => {
      const verdict = rank[verdictOf(demand, capacity, 0.9)];
      expect(rank[verdictOf(demand + extra, capacity, 0.9)]).toBeGreaterThanOrEqual(verdict);
    }),
  );
});

test('numbers that are not finite never come out as a verdict', () => {
  expect(() => verdictOf(Number.NaN, 100, 0.9)).toThrow(RangeError);
  expect(() => verdictOf(1, Infinity, 0.9)).toThrow(RangeError);
});

test('utilisation is demand over capacity, and nothing where there is no capacity', () => {
  expect(utilisationOf(8.2, 10)).toBeCloseTo(0.82, 12);
  expect(utilisationOf(1, 0)).toBeNull();
  expect(utilisationOf(0, 0)).toBeNull();
  expect(utilisationOf(1, null)).toBeNull();
});
