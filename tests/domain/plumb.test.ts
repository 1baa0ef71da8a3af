import fc from 'fast-check';
import { expect, test } from 'vitest';
import type { Result } from '../../src/domain/foundation/result.ts';
import { plumbOverLift } from '../../src/domain/statics/plumb.ts';

function expectOk<T, E>(result: Result<T, E>): T {
  if (!result.ok) throw new Error(JSON.stringify(result.error));
  return result.value;
}
function expectFail<T, E>(result: Result<T, E>): E {
  if (result.ok) throw new Error('was expected to fail');
  return result.error;
}
const rad = (deg: number) => (deg * Math.PI) / 180;
const at = (xM: number, yM: number, zM: number) => ({ xM, yM, zM });
const TOLERANCE = rad(3); // common practice, no source
const CLOSE_FROM = 0.9; // common practice, no source

test('an offset that is harmless at the floor is over at trim, where the chain is short', () => {
  // 0.3 m over 18 m is 0.95°, over 4 m 4.29°. 10 kN down pull 0.75 kN sideways at trim.
  const found = expectOk(plumbOverLift(at(0, 0, 20), [at(0.3, 0, 2), at(0.3, 0, 16)], 10_000, TOLERANCE, CLOSE_FROM));
  expect(found.worstAt.zM).toBe(16);
  expect(found.worstRad).toBeCloseTo(Math.atan(0.3 / 4), 12);
  expect(found.sideways.forceN).toBeCloseTo(750, 9);
  // On the roof it pulls towards the pick-up.
  expect(found.sideways.onRoofXN).toBeCloseTo(750, 9);
  expect(found.sideways.onRoofYN).toBeCloseTo(0, 12);
  expect(found.verdict).toBe('over');
  expect(expectOk(plumbOverLift(at(0, 0, 20), [at(0.3, 0, 2)], 10_000, TOLERANCE, CLOSE_FROM)).verdict).toBe('fits');
});

test.each([
  { deg: 2.69, verdict: 'fits' },
  { deg: 2.71, verdict: 'close' },
  { deg: 3, verdict: 'close' },
  { deg: 3.01, verdict: 'over' },
  { deg: 0, verdict: 'fits' },
])('$deg° against 3° is $verdict', ({ deg, verdict }) => {
  expect(expectOk(plumbOverLift(at(0, 0, 10), [at(0, 10 * Math.tan(rad(deg)), 0)], 1, TOLERANCE, CLOSE_FROM)).verdict).toBe(verdict);
});

test('wherever the roof is, it pulls towards the pick-up: 0.3 and -0.4 m aside over 5 m, a tenth of the load', () => {
  for (const top of [at(0, 0, 20), at(7, -3, 20), at(-40, 25, 20)]) {
    const found = expectOk(plumbOverLift(top, [at(top.xM + 0.3, top.yM - 0.4, 15)], 1000, TOLERANCE, CLOSE_FROM));
    expect([found.offsetM, found.worstRad]).toEqual([expect.closeTo(0.5, 12), expect.closeTo(Math.atan(0.1), 12)]);
    const { forceN, onRoofXN, onRoofYN } = found.sideways;
    expect([forceN, onRoofXN, onRoofYN]).toEqual([100, 60, -80].map((wanted) => expect.closeTo(wanted, 9) as number));
  }
});

test('no height between two given positions is worse than the worse of them', () => {
  const m = fc.double({ min: -2, max: 2, noNaN: true });
  const height = fc.double({ min: 0, max: 15, noNaN: true });
  const position = fc.tuple(m, m, height).map(([x, y, z]) => at(x, y, z));
  fc.assert(
    fc.property(position, position, fc.double({ min: 0, max: 1, noNaN: true }), (low, high, share) => {
      const top = at(0, 0, 16);
      const { worstRad } = expectOk(plumbOverLift(top, [low, high], 1000, TOLERANCE, CLOSE_FROM));
      const mix = (a: number, b: number) => a + (b - a) * share;
      const between = at(mix(low.xM, high.xM), mix(low.yM, high.yM), mix(low.zM, high.zM));
      expect(expectOk(plumbOverLift(top, [between], 1000, TOLERANCE, CLOSE_FROM)).worstRad).toBeLessThanOrEqual(worstRad + 1e-12);
    }),
  );
});

test('chains that cannot be are refused', () => {
  const top = at(0, 0, 10);
  const refuse = (path: ReturnType<typeof at>[], verticalN = 1, toleranceRad = TOLERANCE) =>
    expectFail(plumbOverLift(top, path, verticalN, toleranceRad, CLOSE_FROM));
  expect(refuse([])).toEqual({ code: 'no-positions' });
  expect(refuse([at(0, 0, 10)])).toEqual({ code: 'pick-up-not-below-top', atZM: 10, topZM: 10 });
  expect(refuse([at(NaN, 0, 1)])).toEqual({ code: 'not-finite', what: 'pick-up' });
  expect(refuse([at(1e300, 0, 1)])).toEqual({ code: 'not-finite', what: 'offset over drop' });
  expect(refuse([at(0, 0, 1)], -1)).toEqual({ code: 'force-negative', what: 'vertical force', forceN: -1 });
  expect(refuse([at(0, 0, 1)], NaN)).toEqual({ code: 'not-finite', what: 'vertical force' });
  expect(expectFail(plumbOverLift(at(0, NaN, 10), [at(0, 0, 1)], 1, TOLERANCE, CLOSE_FROM))).toEqual({
    code: 'not-finite',
    what: 'top of the chain',
  });
  expect(expectFail(plumbOverLift(top, [at(0, 0, 1)], 1, TOLERANCE, NaN))).toEqual({ code: 'not-finite', what: 'close threshold' });
  expect(refuse([at(1e150, 0, 1)], 1e300)).toEqual({ code: 'not-finite', what: 'sideways force' });
  // So little height that the slope has no number.
  expect(expectFail(plumbOverLift(at(0, 0, 5e-324), [at(1, 0, 0)], 1, TOLERANCE, CLOSE_FROM))).toEqual({
    code: 'not-finite',
    what: 'offset over drop',
  });
  expect(refuse([at(0, 0, 1)], 1, 0)).toEqual({ code: 'tolerance-out-of-range', toleranceRad: 0 });
});
