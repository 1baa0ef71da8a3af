import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { acos, asin, atan, atan2, cos, degToRad, PI, radToDeg, sin, tan } from '../../src/domain/foundation/elementary.ts';
import { compensatedSum } from '../../src/domain/foundation/sum.ts';

/** Gap between neighbouring doubles at `x`. */
function ulpAt(x: number): number {
  const view = new DataView(new ArrayBuffer(8));
  view.setFloat64(0, Math.abs(x));
  view.setBigInt64(0, view.getBigInt64(0) + 1n);
  return view.getFloat64(0) - Math.abs(x);
}
const ulps = (found: number, wanted: number): number => (found === wanted ? 0 : Math.abs(found - wanted) / ulpAt(wanted));

// Decimal expansions of the On-Line Encyclopedia of Integer Sequences, from memory; each is longer than a double can hold.
test.each([
  { name: 'sin 1 (A049469)', found: sin(1), wanted: 0.841470984807896506652502321630298 },
  { name: 'cos 1 (A049470)', found: cos(1), wanted: 0.540302305868139717400936607442976 },
  { name: 'tan 1 (A049471)', found: tan(1), wanted: 1.55740772465490223050697480745836 },
  { name: 'arctan 1/2 (A073000)', found: atan(0.5), wanted: 0.463647609000806116214256231461214 },
  { name: 'arctan 2 (A105199)', found: atan(2), wanted: 1.107148717794090503017065460178537 },
  { name: 'arcsin 1/3 (A188595)', found: asin(1 / 3), wanted: 0.339836909454121937096392513391764 },
  { name: 'arccos 1/3 (A137914)', found: acos(1 / 3), wanted: 1.230959417340774682134929178247987 },
  { name: 'pi/4 as atan2', found: atan2(1, 1), wanted: 0.785398163397448309615660845819875 },
])('$name to one unit in the last place', ({ found, wanted }) => {
  expect(ulps(found, wanted)).toBeLessThanOrEqual(1);
});

test.each([
  { name: 'sin 30°', found: sin(degToRad(30)), wanted: 0.5 },
  { name: 'cos 60°', found: cos(degToRad(60)), wanted: 0.5 },
  { name: 'tan 45°', found: tan(degToRad(45)), wanted: 1 },
  { name: 'sin 45°', found: sin(degToRad(45)), wanted: Math.SQRT1_2 },
  { name: 'cos 180°', found: cos(degToRad(180)), wanted: -1 },
  { name: 'sin 90°', found: sin(degToRad(90)), wanted: 1 },
  { name: 'asin 1/2', found: radToDeg(asin(0.5)), wanted: 30 },
  { name: 'acos 1/2', found: radToDeg(acos(0.5)), wanted: 60 },
])('$name has its textbook value, but for the rounding of pi', ({ found, wanted }) => {
  expect(Math.abs(found - wanted)).toBeLessThanOrEqual(2.3e-16 * Math.max(1, wanted));
});

// An independent double of 1 + rounding would pass a looser test, so the last place is counted.
describe('within one unit in the last place of the engine', () => {
  const angles: number[] = [];
  const ratios: number[] = [];
  let seed = 12345;
  const random = (): number => (seed = (seed * 48271) % 2147483647) / 2147483647; // Lehmer; the engine's own cannot be seeded
  for (let i = 0; i < 60_000; i += 1) {
    angles.push((random() - 0.5) * 7, (random() - 0.5) * 2000, (random() - 0.5) * 3e6);
    ratios.push(random() * 2 - 1, (random() - 0.5) * 2 ** Math.floor(random() * -40));
  }
  for (let k = -40; k <= 40; k += 1) angles.push((k * Math.PI) / 4, (k * Math.PI) / 12, k * 1e-9);
  angles.push(0, 5e-324, 1e-300, 0.3, 0.6744, 0.78125, 5e5 * Math.PI); // the last loses many digits in its reduction
  ratios.push(0, 0.5, -0.5, 1, -1, 0.975, 0.999999, 1 - 2 ** -53, 1e-300, 0.4375, 0.6875);
  test.each([
    { name: 'sin', ours: sin, engine: Math.sin, samples: angles },
    { name: 'cos', ours: cos, engine: Math.cos, samples: angles },
    { name: 'tan', ours: tan, engine: Math.tan, samples: angles },
    { name: 'asin', ours: asin, engine: Math.asin, samples: ratios },
    { name: 'acos', ours: acos, engine: Math.acos, samples: ratios },
    { name: 'atan', ours: atan, engine: Math.atan, samples: [...ratios, ...angles, 1.1875, 2.4375, 1e20, -1e300] },
  ])('$name', ({ ours, engine, samples }) => {
    let worst = { at: 0, ulps: 0 };
    for (const at of samples) {
      const apart = ulps(ours(at), engine(at));
      if (!(apart <= worst.ulps)) worst = { at, ulps: apart };
    }
    expect(worst.ulps, `at ${worst.at}`).toBeLessThanOrEqual(1);
  });
  test('atan2 in all quadrants and on the axes', () => {
    const places = [0, -0, 1, -1, 1e-300, -1e300, ...angles.slice(0, 300)];
    let worst = { y: 0, x: 0, ulps: 0 };
    for (const y of places) {
      for (const x of places) {
        const apart = ulps(atan2(y, x), Math.atan2(y, x));
        if (!(apart <= worst.ulps)) worst = { y, x, ulps: apart };
      }
    }
    expect(worst.ulps, `${worst.y}, ${worst.x}`).toBeLessThanOrEqual(1);
  });
});

describe('identities', () => {
  const angle = fc.double({ min: -1e5, max: 1e5, noNaN: true });
  test('sine and cosine lie on the unit circle', () => {
    fc.assert(fc.property(angle, (a) => Math.abs(sin(a) * sin(a) + cos(a) * cos(a) - 1) < 1e-15));
  });
  test('sine is odd, cosine even, to the bit', () => {
    fc.assert(fc.property(angle, (a) => Object.is(sin(-a), -sin(a)) && Object.is(cos(-a), cos(a)) && Object.is(tan(-a), -tan(a))));
  });
  test('arc functions undo theirs', () => {
    fc.assert(
      fc.property(
        fc.double({ min: -1, max: 1, noNaN: true }),
        (x) => Math.abs(sin(asin(x)) - x) < 1e-15 && Math.abs(cos(acos(x)) - x) < 1e-15,
      ),
    );
    fc.assert(fc.property(fc.double({ min: -1.5, max: 1.5, noNaN: true }), (a) => Math.abs(atan(tan(a)) - a) < 2e-15));
  });
  test('atan2 gives back the direction', () => {
    fc.assert(fc.property(fc.double({ min: -3.14, max: 3.14, noNaN: true }), (a) => Math.abs(atan2(sin(a), cos(a)) - a) < 1e-15));
  });
  test('degrees come back, and right angles are exact', () => {
    expect([degToRad(180), degToRad(90), radToDeg(PI), radToDeg(PI / 2)]).toEqual([Math.PI, Math.PI / 2, 180, 90]);
    fc.assert(fc.property(fc.double({ min: -360, max: 360, noNaN: true }), (d) => Math.abs(radToDeg(degToRad(d)) - d) <= 1e-13));
  });
});

test.each([
  ['sin of infinity', () => sin(Infinity)],
  ['cos of NaN', () => cos(NaN)],
  ['tan beyond the reduction', () => tan(1.7e6)],
  ['asin above 1', () => asin(1.0000000000000002)],
  ['acos below -1', () => acos(-1.0000000000000002)],
  ['atan of NaN', () => atan(NaN)],
  ['atan2 of infinity', () => atan2(Infinity, 1)],
])('%s throws, never NaN', (_name, call) => {
  expect(call).toThrow(RangeError);
});

describe('compensated sum', () => {
  // Neumaier, "Rundungsfehleranalyse einiger Verfahren zur Summation endlicher Summen" (1974); example from memory.
  test('keeps what a plain sum loses', () => expect(compensatedSum([1, 1e100, 1, -1e100])).toBe(2));
  test('ten tenths are one', () => expect(compensatedSum(Array.from({ length: 10 }, () => 0.1))).toBe(1));
  test('nothing is zero', () => expect(compensatedSum([])).toBe(0));
  test('agrees with whole-number arithmetic for a long list of grams', () => {
    fc.assert(
      fc.property(fc.array(fc.integer({ min: -1e9, max: 1e9 }), { maxLength: 2000 }), (grams) => {
        const exact = Number(grams.reduce((sum, g) => sum + BigInt(g), 0n)) / 1000;
        expect(Math.abs(compensatedSum(grams.map((g) => g / 1000)) - exact)).toBeLessThanOrEqual(1e-9 + 1e-15 * Math.abs(exact));
      }),
    );
  });
  test('an endless load throws', () => expect(() => compensatedSum([1, Infinity])).toThrow(RangeError));
});
