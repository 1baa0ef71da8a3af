import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { degToRad } from '../../src/domain/foundation/elementary.ts';
import { hitchedSling, slingAround } from '../../src/domain/statics/leg-hitch.ts';
import type { Hitch } from '../../src/domain/statics/leg-hitch.ts';
import published from '../published/bridles.json' with { type: 'json' };

const basket = (includedAngleDeg: number): Hitch => ({ kind: 'basket', includedAngleRad: degToRad(includedAngleDeg) });

test.each(published.sling_angles)('a basket is two legs: $id', ({ inputs, expected, tolerance }) => {
  // Parts at this angle from horizontal include twice what is missing to 90°. The factor is the tension over half the load.
  const found = hitchedSling(2, basket(180 - 2 * inputs.angle_from_horizontal_deg));
  expect(found.ok).toBe(true);
  if (found.ok)
    expect(Math.abs(found.value.tensionN - expected.tension_factor)).toBeLessThanOrEqual(tolerance.relative * expected.tension_factor);
});

test('a basket at 120° carries the whole load in each part', () => {
  expect(hitchedSling(1000, basket(120))).toEqual({
    ok: true,
    value: { tensionN: expect.closeTo(1000, 9) as number, straightRatingN: expect.closeTo(1000, 9) as number },
  });
});
// Mode factor 0.8 of EN 13414-1, from memory.
test('a choke needs a sling of a higher rating, its tension stays', () => {
  expect(hitchedSling(1000, { kind: 'choke', factor: 0.8 })).toEqual({ ok: true, value: { tensionN: 1000, straightRatingN: 1250 } });
});
test('turns of a wrap are not counted: it carries as a basket', () => {
  expect(hitchedSling(700, { kind: 'wrap', includedAngleRad: 1 })).toEqual(hitchedSling(700, { kind: 'basket', includedAngleRad: 1 }));
});
test('a straight sling carries the load', () => {
  expect(hitchedSling(1000, { kind: 'straight' })).toEqual({ ok: true, value: { tensionN: 1000, straightRatingN: 1000 } });
});

test.each([
  { name: 'a flat basket', pull: 1, hitch: basket(170), code: 'hitch-too-flat' },
  { name: 'a basket turned over', pull: 1, hitch: basket(-1), code: 'hitch-angle-negative' },
  { name: 'an angle that is no number', pull: 1, hitch: basket(NaN), code: 'not-finite' },
  { name: 'a choke that holds nothing', pull: 1, hitch: { kind: 'choke' as const, factor: 0 }, code: 'choke-factor-impossible' },
  { name: 'a choke stronger than the sling', pull: 1, hitch: { kind: 'choke' as const, factor: 1.2 }, code: 'choke-factor-impossible' },
  { name: 'a push', pull: -1, hitch: { kind: 'straight' as const }, code: 'load-negative' },
  { name: 'a pull that is no number', pull: NaN, hitch: { kind: 'straight' as const }, code: 'not-finite' },
])('$name is refused', ({ pull, hitch, code }) => expect(hitchedSling(pull, hitch)).toMatchObject({ ok: false, error: { code } }));

describe('a sling round a member', () => {
  // By hand: 0.3 wide, 0.4 high, 2.1 m sling: 1.1 m go round, two tails of 0.5; a 3-4-5 triangle of 0.15, 0.476970 and 0.5.
  test('worked by hand', () => {
    const found = slingAround(2.1, { widthM: 0.3, heightM: 0.4 }, 0);
    expect(found).toMatchObject({ ok: true, value: { dropM: expect.closeTo(Math.sqrt(0.25 - 0.0225), 12) as number } });
    if (found.ok) expect(found.value.includedAngleRad).toBeCloseTo(2 * Math.asin(0.3), 12);
  });
  test('an extra turn takes the way round', () => {
    expect(slingAround(2.1 + 1.4, { widthM: 0.3, heightM: 0.4 }, 1)).toMatchObject({
      ok: true,
      value: { dropM: expect.closeTo(Math.sqrt(0.25 - 0.0225), 12) as number },
    });
  });
  test('too short tells what would do, and that does', () => {
    const member = { widthM: 0.3, heightM: 0.4 };
    const found = slingAround(1.2, member, 0);
    expect(found).toMatchObject({ ok: false, error: { code: 'sling-too-short' } });
    if (found.ok || found.error.code !== 'sling-too-short') return;
    expect(found.error.neededM).toBeCloseTo(1.1 + 0.3 / Math.sin((85 * Math.PI) / 180), 12);
    expect(slingAround(found.error.neededM + 1e-6, member, 0).ok).toBe(true);
  });
  test('the longer the sling, the narrower the angle', () => {
    const size = fc.double({ min: 0.05, max: 1, noNaN: true });
    fc.assert(
      fc.property(size, size, size, size, (widthM, heightM, shorter, more) => {
        const [short, long] = [widthM * 2 + heightM * 2 + shorter, widthM * 2 + heightM * 2 + shorter + more].map((slingM) =>
          slingAround(slingM, { widthM, heightM }, 0),
        );
        if (!short?.ok || !long?.ok) return;
        expect(long.value.includedAngleRad).toBeLessThan(short.value.includedAngleRad);
        expect(long.value.dropM).toBeGreaterThan(short.value.dropM);
      }),
    );
  });
  test.each([
    { name: 'no sling', ask: [0, 0.3, 0.4, 0] as const, code: 'length-impossible' },
    { name: 'no width', ask: [2, NaN, 0.4, 0] as const, code: 'length-impossible' },
    { name: 'half a turn', ask: [2, 0.3, 0.4, 0.5] as const, code: 'turns-impossible' },
  ])('$name is refused', ({ ask: [slingM, widthM, heightM, turns], code }) => {
    expect(slingAround(slingM, { widthM, heightM }, turns)).toMatchObject({ ok: false, error: { code } });
  });
});
