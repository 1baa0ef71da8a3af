import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { z } from 'zod';
import type { Result } from '../../src/domain/foundation/result.ts';
import { KG_PER_LB, STANDARD_GRAVITY } from '../../src/domain/foundation/units.ts';
import type { Hitch } from '../../src/domain/statics/leg-hitch.ts';
import type { PartFinding, PartUsed, PartsPolicy } from '../../src/domain/statics/parts.ts';
import { checkPart, pullsUpLine, shackleSideFactor } from '../../src/domain/statics/parts.ts';
import { checkHoist, checkSecondary } from '../../src/domain/statics/parts-hoist.ts';
import type { PartFactors, PartKind, PartRating } from '../../src/domain/statics/parts-rating.ts';
import { partCapacity } from '../../src/domain/statics/parts-rating.ts';

function expectOk<T, E>(result: Result<T, E>): T {
  if (!result.ok) throw new Error(JSON.stringify(result.error));
  return result.value;
}
function expectFail<T, E>(result: Result<T, E>): E {
  if (result.ok) throw new Error('was expected to fail');
  return result.error;
}
const rad = (deg: number) => (deg * Math.PI) / 180;
const g = STANDARD_GRAVITY;
const near = (value: number, digits = 9): unknown => expect.closeTo(value, digits);

const read = (name: string): unknown => JSON.parse(readFileSync(new URL(`../published/${name}`, import.meta.url), 'utf8'));
const Entry = z.object({ id: z.string(), inputs: z.record(z.string(), z.unknown()), expected: z.record(z.string(), z.unknown()) });
const hardware = z
  .object({ mode_factors: z.array(Entry), shackles: z.array(Entry), wire_rope: z.array(Entry), design_factors: z.array(Entry) })
  .parse(read('slings-and-hardware.json'));
const practice = z.object({ practice: z.array(Entry) }).parse(read('common-practice.json')).practice;
function entry(list: z.infer<typeof Entry>[], id: string) {
  const found = list.find((one) => one.id === id);
  if (found === undefined) throw new Error(`no entry ${id}`);
  const number = (value: unknown) => z.number().parse(value);
  return { input: (name: string) => number(found.inputs[name]), expected: (name: string) => number(found.expected[name]) };
}

const EUROPE: PartFactors = { wllShare: 1, wireRope: 5, shackle: 5, textile: 7, chain: 4 };
const OVER_PEOPLE: PartFactors = { wllShare: 0.5, wireRope: 10, shackle: 10, textile: 14, chain: 8 }; // DGUV Information 215-313 §1.4, Table 1
const wll = (wllKg: number): PartRating => ({ wllKg, breakingForceN: null, breakingForceOf: 'part', terminationEfficiency: null });
const breaks = (breakingForceN: number): PartRating => ({
  wllKg: null,
  breakingForceN,
  breakingForceOf: 'part',
  terminationEfficiency: null,
});
function capacityN(kind: PartKind, rating: PartRating, factors: PartFactors): number {
  const capacity = expectOk(partCapacity(kind, rating, factors));
  if (!capacity.known) throw new Error(capacity.reason);
  return capacity.capacityN;
}

describe('ratings from a breaking force', () => {
  test.each(['wll-01', 'wll-02', 'wll-03'])('%s: strength, termination and design factor', (id) => {
    const { input, expected } = entry(hardware.wire_rope, id);
    const rating: PartRating = {
      wllKg: null,
      breakingForceN: input('mbs_lb') * KG_PER_LB * g,
      breakingForceOf: 'rope',
      terminationEfficiency: input('efficiency'),
    };
    const found = capacityN('wireRope', rating, { ...EUROPE, wireRope: input('design_factor') });
    expect(found / g / KG_PER_LB / expected('wll_lb')).toBeCloseTo(1, 9);
  });
  test('wll-04: a ferrule-secured sling at factor 5', () => {
    const { input, expected } = entry(hardware.wire_rope, 'wll-04');
    const rating: PartRating = {
      wllKg: null,
      breakingForceN: input('F_min_kN') * 1000,
      breakingForceOf: 'rope',
      terminationEfficiency: input('K_T'),
    };
    const found = capacityN('wireRope', rating, { ...EUROPE, wireRope: input('design_factor') });
    expect(Math.abs(found / 1000 / expected('wll_kN') - 1)).toBeLessThan(1e-5);
    expect(Math.abs(found / g / expected('wll_kg') - 1)).toBeLessThan(1e-5);
  });
  test.each(['shackle-rrc-1_2', 'shackle-rrc-5_8', 'shackle-rrc-3_4'])('%s: ultimate strength at factor 5', (id) => {
    const { input, expected } = entry(hardware.shackles, id);
    const found = capacityN('shackle', breaks(input('min_ultimate_lb') * KG_PER_LB * g), { ...EUROPE, shackle: input('safety_factor') });
    expect(found / g / KG_PER_LB).toBeCloseTo(expected('wll_lb'), 6);
  });
  test.each([
    ['df-rope-eu', 'wireRope'],
    ['df-textile-eu', 'textile'],
    ['df-chain-eu', 'chain'],
    ['df-shackle-eu', 'shackle'],
  ] as const)('%s divides the breaking force of a %s', (id, kind) => {
    const { expected } = entry(hardware.design_factors, id);
    expect(capacityN(kind, breaks(70_000), EUROPE)).toBeCloseTo(70_000 / expected('value'), 9);
  });
});

describe('over people', () => {
  test('half the marked load, and a tenth of the breaking force', () => {
    const half = entry(hardware.design_factors, 'venue-half').expected('value');
    const tenth = entry(hardware.design_factors, 'venue-tenth').expected('value');
    const common = entry(practice, 'practice-13'); // common practice, no source
    expect(capacityN('ring', wll(1000), OVER_PEOPLE)).toBeCloseTo(half * 1000 * g, 9);
    expect(capacityN('shackle', breaks(50_000), OVER_PEOPLE)).toBeCloseTo(tenth * 50_000, 9);
    expect([half, 1 / tenth]).toEqual([common.expected('share'), common.expected('factor')]);
  });
  test.each([
    ['textile', 14],
    ['chain', 8],
    ['wireRope', 10],
    ['clamp', 10],
    ['adjuster', 10],
  ] as const)('breaking force of a %s is divided by %i', (kind, divisor) => {
    expect(capacityN(kind, breaks(28_000), OVER_PEOPLE)).toBeCloseTo(28_000 / divisor, 9);
  });
  test('where both are stated the smaller counts', () => {
    expect(capacityN('shackle', { ...wll(1000), breakingForceN: 40_000 }, OVER_PEOPLE)).toBeCloseTo(4000, 9);
    expect(capacityN('shackle', { ...wll(1000), breakingForceN: 60_000 }, OVER_PEOPLE)).toBeCloseTo(500 * g, 9);
  });
});

test('a rating that is not stated is unknown, and a bare rope without its ends too', () => {
  expect(expectOk(partCapacity('ring', { ...wll(0), wllKg: null }, EUROPE))).toEqual({ known: false, reason: 'rating-missing' });
  expect(expectOk(partCapacity('wireRope', { ...breaks(1000), breakingForceOf: 'rope' }, EUROPE))).toEqual({
    known: false,
    reason: 'termination-missing',
  });
  expect(capacityN('ring', wll(0), EUROPE)).toBe(0);
});

// --- One part at its tension ---

const POLICY: PartsPolicy = { factors: { ...EUROPE }, verticalWithinRad: rad(3) };
const part: PartUsed = {
  id: 'it',
  kind: 'wireRope',
  rating: wll(1000),
  pullN: 5000,
  hitch: { kind: 'straight' },
  bend: { ratio: 10, leastRatio: 6 },
  sideAngleRad: 0,
  markedAngleRad: null,
  shackle: null,
  clamp: null,
};
const shackle: PartUsed = { ...part, kind: 'shackle', shackle: { pin: 'screw', legsOnBow: 1, includedAngleRad: null } };
const clamp: PartUsed = { ...part, kind: 'clamp', clamp: { flangeM: 0.2, fromM: 0.1, toM: 0.25 } };
const find = (used: PartUsed, rule: PartFinding['rule']) => expectOk(checkPart(used, POLICY)).find((one) => one.rule === rule);
function measured(used: PartUsed, rule: PartFinding['rule']) {
  const finding = find(used, rule);
  if (finding?.state !== 'measured') throw new Error(JSON.stringify(finding));
  return finding;
}
/** Largest pull [N] that the rating lets through. */
const largestPullN = (used: PartUsed) => {
  const { demand, capacity } = measured(used, 'rating');
  return (used.pullN * capacity) / demand;
};

test.each<{ id: string; hitch: Hitch; within: number }>([
  { id: 'mode-straight', hitch: { kind: 'straight' }, within: 0 },
  { id: 'mode-choke', hitch: { kind: 'choke', factor: 0.8 }, within: 0 },
  { id: 'mode-basket-parallel-legs', hitch: { kind: 'basket', includedAngleRad: 0 }, within: 0 },
  // The printed bands are for their worst edge: 2 cos 45° = 1.414 is printed as 1.4; 2 cos 60° is 1 exactly.
  { id: 'mode-basket-legs-0-45-deg-from-vertical', hitch: { kind: 'basket', includedAngleRad: rad(90) }, within: 0.05 },
  { id: 'mode-basket-legs-45-60-deg-from-vertical', hitch: { kind: 'basket', includedAngleRad: rad(120) }, within: 0 },
])('$id: mode factor of the hitch', ({ id, hitch, within }) => {
  const printed = entry(hardware.mode_factors, id).expected('M');
  const factor = largestPullN({ ...part, hitch }) / (1000 * g);
  expect(Math.abs(factor - printed)).toBeLessThan(Math.max(within, 1e-9));
});

describe('shackles', () => {
  test.each(['shackle-side-0', 'shackle-side-45', 'shackle-side-90'])('%s: side load', (id) => {
    const { input, expected } = entry(hardware.shackles, id);
    expect(shackleSideFactor(rad(input('angle_from_in_line_deg')))).toBe(expected('factor'));
  });
  test('shackle-side-bands: in between, the next worse step', () => {
    const bands = z.object({ bands_deg: z.array(z.tuple([z.number(), z.number()])), factor: z.array(z.number()) });
    const { bands_deg, factor } = bands.parse(hardware.shackles.find(({ id }) => id === 'shackle-side-bands')?.expected);
    for (const [index, [fromDeg, toDeg]] of bands_deg.entries()) {
      expect(shackleSideFactor(rad(fromDeg))).toBe(factor[index]);
      expect(shackleSideFactor(rad(toDeg))).toBe(factor[index]);
    }
    expect(shackleSideFactor(rad(5.5))).toBe(0.7);
    expect(shackleSideFactor(rad(91))).toBeNull();
  });
  test('shackle-side-example: 3.25 at 45°', () => {
    const { input, expected } = entry(hardware.shackles, 'shackle-side-example');
    const used = { ...shackle, rating: wll(input('wll_tons') * 1000), sideAngleRad: rad(input('angle_deg')) };
    expect(measured(used, 'rating').capacity / g / 1000).toBeCloseTo(expected('allowed_tons'), 9);
  });
  test('shackle-included: two slings on one bow up to 120°, three need a ring', () => {
    const largestDeg = entry(hardware.shackles, 'shackle-included').expected('deg');
    expect(largestDeg).toBe(entry(practice, 'practice-05').expected('max_included_angle_deg')); // common practice, no source
    const onBow = (legsOnBow: number, includedAngleRad: number | null) => ({
      ...shackle,
      shackle: { pin: 'screw' as const, legsOnBow, includedAngleRad },
    });
    expect(measured(onBow(2, rad(100)), 'bow-angle')).toMatchObject({ demand: near(rad(100)), capacity: near(rad(largestDeg)) });
    expect(find(onBow(3, rad(60)), 'legs-on-bow')).toMatchObject({ state: 'forbidden', reason: 'three-legs-need-a-ring' });
    expect(find(onBow(2, null), 'bow-angle')).toMatchObject({ state: 'unknown', reason: 'included-angle-missing' });
    expect(find(onBow(1, null), 'bow-angle')).toBeUndefined();
    expect(find({ ...shackle, shackle: null }, 'legs-on-bow')).toMatchObject({ state: 'unknown' });
  });
  test.each([
    { pin: 'round', state: 'forbidden', reason: 'round-pin-takes-no-side-load' },
    { pin: null, state: 'unknown', reason: 'pin-missing' },
  ] as const)('side load on a $pin pin is $state', ({ pin, state, reason }) => {
    expect(find({ ...shackle, sideAngleRad: rad(6), shackle: { pin, legsOnBow: 1, includedAngleRad: null } }, 'side-load')).toMatchObject({
      state,
      reason,
    });
    expect(find({ ...shackle, sideAngleRad: rad(5), shackle: { pin, legsOnBow: 1, includedAngleRad: null } }, 'side-load')).toBeUndefined();
  });
  test('an unknown side angle leaves the rating unknown, not whole', () => {
    expect(find({ ...shackle, sideAngleRad: null }, 'rating')).toMatchObject({ state: 'unknown', reason: 'side-angle-missing' });
    expect(find({ ...shackle, sideAngleRad: rad(91) }, 'rating')).toMatchObject({ state: 'unknown', reason: 'side-load-beyond-90' });
  });
});

describe('slings', () => {
  test.each<{ bend: PartUsed['bend']; hitch: Hitch; found: object | undefined }>([
    { hitch: { kind: 'straight' }, bend: { ratio: null, leastRatio: null }, found: undefined },
    {
      hitch: { kind: 'choke', factor: 0.8 },
      bend: { ratio: null, leastRatio: 6 },
      found: { state: 'unknown', reason: 'bend-ratio-missing' },
    },
    {
      hitch: { kind: 'basket', includedAngleRad: 0 },
      bend: { ratio: 4, leastRatio: null },
      found: { state: 'unknown', reason: 'least-bend-ratio-missing' },
    },
    {
      hitch: { kind: 'basket', includedAngleRad: 0 },
      bend: { ratio: 4, leastRatio: 6 },
      found: { state: 'measured', demand: 6, capacity: 4 },
    },
  ])('bend $bend of a $hitch.kind', ({ hitch, bend, found }) => {
    const finding = find({ ...part, hitch, bend }, 'bend');
    if (found === undefined) expect(finding).toBeUndefined();
    else expect(finding).toMatchObject(found);
  });
});

describe('clamps and plain eyes', () => {
  test('take vertical load only, unless marked', () => {
    for (const used of [clamp, { ...part, kind: 'eye' as const }]) {
      expect(find({ ...used, sideAngleRad: rad(3) }, 'side-load')).toBeUndefined();
      expect(find({ ...used, sideAngleRad: rad(3.1) }, 'side-load')).toMatchObject({ state: 'forbidden', reason: 'vertical-load-only' });
      expect(find({ ...used, sideAngleRad: null }, 'side-load')).toMatchObject({ state: 'unknown', reason: 'side-angle-missing' });
      expect(measured({ ...used, sideAngleRad: rad(30), markedAngleRad: rad(45) }, 'side-load')).toMatchObject({
        demand: rad(30),
        capacity: rad(45),
      });
    }
  });
  test('a part made for one line is unknown off it, unless marked', () => {
    expect(find({ ...part, kind: 'loadCell', sideAngleRad: rad(6) }, 'side-load')).toMatchObject({
      state: 'unknown',
      reason: 'side-load-not-marked',
    });
  });
  test.each([
    { use: { flangeM: null, fromM: 0.1, toM: 0.2 }, found: { state: 'unknown', reason: 'flange-width-missing' } },
    { use: { flangeM: 0.15, fromM: null, toM: 0.2 }, found: { state: 'unknown', reason: 'clamp-range-missing' } },
    { use: { flangeM: 0.09, fromM: 0.1, toM: 0.2 }, found: { state: 'forbidden', reason: 'flange-too-narrow' } },
    { use: { flangeM: 0.21, fromM: 0.1, toM: 0.2 }, found: { state: 'measured', demand: 0.21, capacity: 0.2 } },
  ])('flange $use', ({ use, found }) => {
    expect(find({ ...clamp, clamp: use }, 'flange')).toMatchObject(found);
  });
  test('a clamp of which nothing is known is unknown', () => {
    expect(find({ ...clamp, clamp: null }, 'flange')).toMatchObject({ state: 'unknown' });
  });
});

test('each part of a line carries what hangs below it and itself', () => {
  expect(pullsUpLine(1000, [2, 0, 5])).toEqual([near(1000 + 2 * g), near(1000 + 2 * g), near(1000 + 7 * g)]);
});

test('more pull, a flatter basket or more side load never lower what is used of the rating', () => {
  const pullN = fc.double({ min: 1, max: 1e6, noNaN: true });
  const angle = fc.double({ min: 0, max: rad(160), noNaN: true });
  const side = fc.double({ min: 0, max: rad(90), noNaN: true });
  const used = (one: PartUsed) => measured(one, 'rating').demand / measured(one, 'rating').capacity;
  const ordered = <T extends number>(a: T, b: T) => [Math.min(a, b), Math.max(a, b)] as const;
  fc.assert(
    fc.property(pullN, pullN, angle, angle, side, side, (p1, p2, a1, a2, s1, s2) => {
      const [lightN, heavyN] = ordered(p1, p2);
      const [steep, flat] = ordered(a1, a2);
      const [little, much] = ordered(s1, s2);
      expect(used({ ...part, pullN: heavyN })).toBeGreaterThanOrEqual(used({ ...part, pullN: lightN }));
      const basket = (includedAngleRad: number): PartUsed => ({ ...part, hitch: { kind: 'basket', includedAngleRad } });
      expect(used(basket(flat))).toBeGreaterThanOrEqual(used(basket(steep)) * (1 - 1e-12));
      expect(used({ ...shackle, sideAngleRad: much })).toBeGreaterThanOrEqual(used({ ...shackle, sideAngleRad: little }));
    }),
  );
});

// --- Hoists and secondaries ---

const facts = { wllKg: 1000, mayHoldOverPeople: true, mayMoveOverPeople: false, needsSecondary: false };
const use = { onHoistN: 4000, holdsOverPeople: true, movesOverPeople: false, hasSecondary: false };
const states = (hoist: object, used: object) =>
  expectOk(checkHoist({ ...facts, ...hoist }, { ...use, ...used })).map(({ rule, state }) => [rule, state]);

test.each([
  {
    hoist: {},
    used: {},
    found: [
      ['rating', 'measured'],
      ['holds-over-people', 'permitted'],
      ['secondary', 'permitted'],
    ],
  },
  {
    hoist: { mayHoldOverPeople: false },
    used: {},
    found: [
      ['rating', 'measured'],
      ['holds-over-people', 'forbidden'],
      ['secondary', 'permitted'],
    ],
  },
  {
    hoist: { mayHoldOverPeople: null },
    used: {},
    found: [
      ['rating', 'measured'],
      ['holds-over-people', 'unknown'],
      ['secondary', 'permitted'],
    ],
  },
  {
    hoist: { needsSecondary: true },
    used: {},
    found: [
      ['rating', 'measured'],
      ['holds-over-people', 'permitted'],
      ['secondary', 'forbidden'],
    ],
  },
  {
    hoist: { needsSecondary: null },
    used: {},
    found: [
      ['rating', 'measured'],
      ['holds-over-people', 'permitted'],
      ['secondary', 'unknown'],
    ],
  },
  {
    hoist: { needsSecondary: true },
    used: { hasSecondary: true },
    found: [
      ['rating', 'measured'],
      ['holds-over-people', 'permitted'],
    ],
  },
  { hoist: {}, used: { holdsOverPeople: false }, found: [['rating', 'measured']] },
  { hoist: { wllKg: null }, used: { holdsOverPeople: false }, found: [['rating', 'unknown']] },
  {
    hoist: {},
    used: { movesOverPeople: true, hasSecondary: true },
    found: [
      ['rating', 'measured'],
      ['holds-over-people', 'permitted'],
      ['moves-over-people', 'forbidden'],
    ],
  },
])('a hoist with $hoist used $used', ({ hoist, used, found }) => {
  expect(states(hoist, used)).toEqual(found);
});

test('a hoist is compared with its marked rating', () => {
  expect(expectOk(checkHoist(facts, use))[0]).toMatchObject({ demand: 4000, capacity: near(1000 * g) });
  expect(expectFail(checkHoist(facts, { ...use, onHoistN: -1 }))).toEqual({
    code: 'force-negative',
    what: 'load on the hoist',
    forceN: -1,
  });
  expect(expectFail(checkHoist({ ...facts, wllKg: NaN }, use))).toEqual({ code: 'not-finite', what: 'WLL' });
  expect(expectFail(checkHoist({ ...facts, wllKg: -5 }, use))).toEqual({ code: 'rating-negative', what: 'WLL', value: -5 });
});

test('a secondary without a rated catch is unknown, whatever it is made of', () => {
  const rated = { catchesKg: 500, fallM: 0.1, peakN: 30_000 };
  expect(expectOk(checkSecondary(rated, 400, 0.05))).toEqual({
    state: 'rated',
    peakN: 30_000,
    mass: { demand: 400, capacity: 500 },
    fall: { demand: 0.05, capacity: 0.1 },
  });
  for (const missing of ['catchesKg', 'fallM', 'peakN']) {
    expect(expectOk(checkSecondary({ ...rated, [missing]: null }, 400, 0.05))).toEqual({ state: 'unknown', reason: 'no-rated-catch' });
  }
  expect(expectFail(checkSecondary(rated, NaN, 0))).toEqual({ code: 'not-finite', what: 'loadKg' });
});

test.each<{ change: Partial<PartUsed>; error: object }>([
  { change: { pullN: -1 }, error: { code: 'load-negative' } },
  { change: { pullN: NaN }, error: { code: 'not-finite', what: 'pull' } },
  { change: { rating: wll(-1) }, error: { code: 'rating-negative', what: 'wllKg', value: -1 } },
  { change: { rating: wll(Infinity) }, error: { code: 'not-finite', what: 'wllKg' } },
  {
    change: { rating: { ...breaks(1), terminationEfficiency: 1.2 } },
    error: { code: 'factor-out-of-range', what: 'terminationEfficiency', factor: 1.2 },
  },
  { change: { hitch: { kind: 'choke', factor: 0 } }, error: { code: 'choke-factor-impossible' } },
  { change: { hitch: { kind: 'basket', includedAngleRad: rad(179) } }, error: { code: 'hitch-too-flat' } },
  { change: { sideAngleRad: -0.1 }, error: { code: 'angle-negative', what: 'sideAngleRad', angleRad: -0.1 } },
  { change: { markedAngleRad: NaN }, error: { code: 'not-finite', what: 'markedAngleRad' } },
])('a part with $change is refused', ({ change, error }) => {
  expect(expectFail(checkPart({ ...part, ...change }, POLICY))).toMatchObject(error);
});

test('factors that cannot be are refused', () => {
  expect(expectFail(partCapacity('ring', wll(1), { ...EUROPE, shackle: 0.5 }))).toEqual({
    code: 'factor-out-of-range',
    what: 'ring',
    factor: 0.5,
  });
  expect(expectFail(partCapacity('ring', wll(1), { ...EUROPE, wllShare: 1.5 }))).toEqual({
    code: 'factor-out-of-range',
    what: 'wllShare',
    factor: 1.5,
  });
});
