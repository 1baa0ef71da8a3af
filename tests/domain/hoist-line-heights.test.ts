import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { z } from 'zod';
import type { Result } from '../../src/domain/foundation/result.ts';
import { STANDARD_GRAVITY } from '../../src/domain/foundation/units.ts';
import type { HoistLineSpec, LineHoist } from '../../src/domain/statics/hoist-line.ts';
import { hoistLine } from '../../src/domain/statics/hoist-line.ts';
import { answerHoistLine } from '../../src/domain/statics/hoist-line-answer.ts';
import type { HoistingClass } from '../../src/domain/statics/hoist-line-dynamic.ts';
import { hoistingFactor } from '../../src/domain/statics/hoist-line-dynamic.ts';
import type { HeadroomQuestion } from '../../src/domain/statics/hoist-line-headroom.ts';
import { headroom } from '../../src/domain/statics/hoist-line-headroom.ts';
import { limiterLoad } from '../../src/domain/statics/limiter.ts';

function expectOk<T, E>(result: Result<T, E>): T {
  if (!result.ok) throw new Error(JSON.stringify(result.error));
  return result.value;
}
function expectFail<T, E>(result: Result<T, E>): E {
  if (result.ok) throw new Error('was expected to fail');
  return result.error;
}
const g = STANDARD_GRAVITY;

// --- Hoisting factors: values from memory, computed (EN 1991-3:2006 Table 2.5 / EN 13001-2) ---

const HoistingCase = z.object({
  id: z.string(),
  inputs: z.object({ class: z.enum(['HC1', 'HC2', 'HC3', 'HC4']), v_m_per_min: z.number() }),
  expected: z.object({ phi2: z.number() }),
  tolerance: z.object({ relative: z.number() }),
});
const factors = z
  .object({ hoisting: z.array(HoistingCase) })
  .parse(JSON.parse(readFileSync(new URL('../published/hoisting-factors.json', import.meta.url), 'utf8')));
test.each(factors.hoisting)('$id: hoisting factor', ({ inputs, expected, tolerance }) => {
  const found = hoistingFactor(inputs.class satisfies HoistingClass, inputs.v_m_per_min / 60);
  expect(Math.abs(found / expected.phi2 - 1)).toBeLessThan(tolerance.relative);
});

// --- Limiter, by hand: 1000 kg WLL at 1.6, body 50 and bag 4 and 40 kg of chain climb: (1600 + 94)·g, and 6 kg of legs stand ---

const hoist: LineHoist = {
  bodyKg: 50,
  bagKg: 4,
  bagAt: 'body',
  chainKgPerM: 1,
  falls: 2,
  chainM: 20,
  basis: 'weighed',
  wllKg: 1000,
  wllNetOf: 'hook',
};
const NONE = { weighed: 0, documented: 0, estimated: 0, cableAtLeast: 0 };
const legs: HoistLineSpec['items'] = [{ id: 'steels', kind: 'equipment', place: 'leg', massKg: 6, basis: 'weighed' }];
const lineOf = (mount: HoistLineSpec['mount']) => expectOk(hoistLine({ hoist, mount, paidOutM: null, items: legs }, NONE));

test.each([
  { mount: 'body-down', tripKg: 1694, apexKg: 1694 },
  // Body up only the chain moves; body and bag stand, but weigh on the roof all the same.
  { mount: 'body-up', tripKg: 1640, apexKg: 1694 },
] as const)('a stuck hoist, $mount, pulls until its limiter trips', ({ mount, tripKg, apexKg }) => {
  const load = expectOk(limiterLoad(lineOf(mount), 1000, null, 1.6));
  expect(load?.tripN).toBeCloseTo(tripKg * g, 6);
  expect(load?.atApexN).toBeCloseTo(apexKg * g, 6);
  expect(load?.atPointN).toBeCloseTo((apexKg + 6) * g, 6);
});

test('the maker’s limiter factor goes before the policy’s, and no rating means no load', () => {
  const line = lineOf('body-down');
  expect(expectOk(limiterLoad(line, 1000, 1.25, 1.6))?.tripN).toBeCloseTo((1250 + 94) * g, 6);
  expect(expectOk(limiterLoad(line, null, 1.25, 1.6))).toBeNull();
  expect(expectFail(limiterLoad(line, 1000, 0.9, 1.6))).toEqual({ code: 'factor-below-one', what: 'limiter factor', factor: 0.9 });
  expect(expectFail(limiterLoad(line, -1, null, 1.6))).toEqual({ code: 'mass-negative', what: 'WLL', massKg: -1 });
  expect(expectFail(limiterLoad(line, 1e308, null, 1.6))).toEqual({ code: 'not-finite', what: 'limiter load' });
});

// --- Headroom, by hand: point at 18 m, 1.2 m of steels, 0.6 m hook to hook, 0.3 m below the hook, pick-up 4 m above the lowest corner ---

const question: HeadroomQuestion = {
  topM: 18,
  partsAboveM: 1.2,
  hoist: { shortestHookToHookM: 0.6, liftM: 18 },
  partsBelowM: 0.3,
  pickUpAboveTrimM: 4,
  hangTopAboveTrimM: 4.1,
  trimM: 9,
  lowestStructureM: 'none',
  hoistMayPassStructure: true,
  lowestPickUpM: 0.5,
};

test('highest trim, spare and lift needed', () => {
  // 18 - 1.2 - 0.6 - 0.3 - 4 = 11.9. Top hook 16.8, lowest hook 0.8: 16.8 - 0.6 - 0.8 = 15.4 m of travel.
  const found = expectOk(headroom(question));
  expect(found.highestTrimM).toBeCloseTo(11.9, 12);
  expect(found.governedBy).toBe('hoist');
  expect(found.spareM).toBeCloseTo(2.9, 12);
  expect(found.hookAtTrimM).toBeCloseTo(13.3, 12);
  expect(found.hookToHookM.atTrimM).toBeCloseTo(3.5, 12);
  expect(found.hookToHookM.atLowestM).toBeCloseTo(16, 12);
  expect(found.paidOutM?.atTrimM).toBeCloseTo(2.9, 12);
  expect(found.paidOutM?.atLowestM).toBeCloseTo(16, 12);
  expect(found.liftNeededM).toBeCloseTo(15.4, 12);
  expect(found.liftSpareM).toBeCloseTo(2.6, 12);
  expect(found.missing).toEqual([]);
});

test.each([
  // The hang's top stays below 15 m: 15 - 4.1.
  { lowestStructureM: 15, hoistMayPassStructure: true, highestM: 10.9 },
  // The hoist stays below it too: 15 - (4 + 0.3 + 0.6).
  { lowestStructureM: 15, hoistMayPassStructure: false, highestM: 10.1 },
])('structure at $lowestStructureM m, hoist may pass: $hoistMayPassStructure', ({ lowestStructureM, hoistMayPassStructure, highestM }) => {
  const found = expectOk(headroom({ ...question, lowestStructureM, hoistMayPassStructure }));
  expect(found.highestTrimM).toBeCloseTo(highestM, 12);
  expect(found.governedBy).toBe('structure');
});

test('a trim that is too high says by how much, a short hoist says how much lift it lacks', () => {
  expect(expectOk(headroom({ ...question, trimM: 12.4 })).spareM).toBeCloseTo(-0.5, 12);
  expect(expectOk(headroom({ ...question, hoist: { shortestHookToHookM: 0.6, liftM: 12 } })).liftSpareM).toBeCloseTo(-3.4, 12);
});

test('a dead hang has one height and no lift', () => {
  const found = expectOk(headroom({ ...question, hoist: null }));
  expect(found.highestTrimM).toBeCloseTo(12.5, 12);
  expect([found.liftNeededM, found.liftSpareM, found.paidOutM]).toEqual([null, null, null]);
});

test.each([
  { change: { hoist: { shortestHookToHookM: null, liftM: 18 } }, missing: { code: 'shortest-hook-to-hook-missing', of: 'hoist' } },
  { change: { lowestStructureM: null }, missing: { code: 'lowest-structure-missing', of: 'roof' } },
])('no highest trim while $missing.code', ({ change, missing }) => {
  const found = expectOk(headroom({ ...question, ...change }));
  expect(found.highestTrimM).toBeNull();
  expect(found.spareM).toBeNull();
  expect(found.missing).toEqual([missing]);
});

test('a missing lift is named', () => {
  const found = expectOk(headroom({ ...question, hoist: { shortestHookToHookM: 0.6, liftM: null } }));
  expect(found.liftSpareM).toBeNull();
  expect(found.missing).toEqual([{ code: 'lift-missing', of: 'hoist' }]);
});

test('at the highest trim nothing is spare, and a higher roof gives as much more', () => {
  const m = (max: number) => fc.double({ min: 0, max, noNaN: true });
  fc.assert(
    fc.property(m(5), m(2), m(2), m(6), m(10), (partsAboveM, shortestHookToHookM, partsBelowM, pickUpAboveTrimM, higherM) => {
      const asked = { ...question, partsAboveM, partsBelowM, pickUpAboveTrimM, hoist: { shortestHookToHookM, liftM: 18 } };
      const highestM = expectOk(headroom(asked)).highestTrimM ?? NaN;
      expect(expectOk(headroom({ ...asked, trimM: highestM })).spareM).toBe(0);
      expect(expectOk(headroom({ ...asked, topM: 18 + higherM })).highestTrimM).toBeCloseTo(highestM + higherM, 9);
    }),
  );
});

test.each([
  { change: { topM: NaN }, error: { code: 'not-finite', what: 'topM' } },
  { change: { lowestStructureM: Infinity }, error: { code: 'not-finite', what: 'lowestStructureM' } },
  { change: { partsAboveM: -1 }, error: { code: 'length-negative', what: 'partsAboveM', lengthM: -1 } },
  {
    change: { hoist: { shortestHookToHookM: -1, liftM: 3 } },
    error: { code: 'length-negative', what: 'shortestHookToHookM', lengthM: -1 },
  },
  { change: { hoist: { shortestHookToHookM: 1, liftM: NaN } }, error: { code: 'not-finite', what: 'liftM' } },
])('heights with $change are refused', ({ change, error }) => {
  expect(expectFail(headroom({ ...question, ...change }))).toEqual(error);
});

// --- The calculator ---

test('take-off items to hook, apex and point', () => {
  const items: HoistLineSpec['items'] = [{ id: 'hang', kind: 'equipment', place: 'below-hook', massKg: 310, basis: 'weighed' }, ...legs];
  const { hoist: _, ...heights } = question;
  const asked = { items, hoist, mount: 'body-down' as const, dynamicFactor: 1.25, limiterFactor: 1.6, contingency: NONE };
  const plain = expectOk(answerHoistLine(asked));
  expect(plain.hook.massKg).toBeCloseTo(310, 9);
  expect(plain.onHoist.massKg).toBeCloseTo(404, 9);
  expect(plain.onHoist.utilisation).toBeCloseTo(0.404, 12);
  expect(plain.apex.resting.massKg).toBeCloseTo(404, 9);
  expect(plain.point.resting.massKg).toBeCloseTo(410, 9);
  expect(plain.point.moving?.massKg).toBeCloseTo(1.25 * 404 + 6, 9);
  expect(plain.point.limiter?.massKg).toBeCloseTo(1700, 9);
  expect(plain.missing).toEqual([]);
  // With heights, 2.9 m of chain are sure to stand: 5.8 kg of it do not travel.
  const placed = expectOk(answerHoistLine({ ...asked, heights: { ...heights, shortestHookToHookM: 0.6, liftM: 18 } }));
  expect(placed.point.resting.massKg).toBeCloseTo(410, 9);
  expect(placed.point.moving?.massKg).toBeCloseTo(1.25 * (404 - 5.8) + 5.8 + 6, 9);
  expect(placed.headroom?.highestTrimM).toBeCloseTo(11.9, 9);
  expect(placed.cautions).toEqual([]);
});

test('what is not known makes no pass', () => {
  const answer = expectOk(
    answerHoistLine({ items: legs, hoist: { ...hoist, bodyKg: null }, mount: 'body-down', dynamicFactor: null, limiterFactor: null }),
  );
  expect(answer.point.moving).toBeNull();
  expect(answer.missing.map(({ code }) => code)).toEqual(['mass-missing', 'dynamic-factor-unknown']);
  expect(answer.cautions[0]).toContain('nothing here is a pass');
  expect(answer.cautions).toHaveLength(4);
});

test('heights below the floor, as under a stage lift, are no lengths', () => {
  // Trim 2 m and lowest pick-up 3 m below the floor: from the hook at -2 + 0.3 + 0.5 = -1.2 the highest trim is as before.
  const { hoist: _, ...heights } = question;
  const asked = { items: legs, hoist, mount: 'body-down' as const, dynamicFactor: 1.25, limiterFactor: 1.6 };
  const below = { ...heights, partsBelowM: 0.5, pickUpAboveTrimM: 0.3, trimM: -2, lowestPickUpM: -3, shortestHookToHookM: 0.6, liftM: 18 };
  expect(expectOk(answerHoistLine({ ...asked, heights: below })).headroom?.hookAtTrimM).toBeCloseTo(-1.2, 9);
  expect(expectFail(answerHoistLine({ ...asked, heights: { ...below, liftM: -1 } }))).toMatchObject({
    code: 'length-negative',
    what: 'liftM',
  });
});
