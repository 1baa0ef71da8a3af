import fc from 'fast-check';
import { expect, test } from 'vitest';
import { calculateLimits } from '../../src/domain/roof/calculate-limits.ts';
import type { CalculatedLimit } from '../../src/domain/roof/calculate-limits.ts';
import type { LimitsInput } from '../../src/domain/roof/limits-input.ts';
import { hour } from './limits-twin.ts';
import { expectFail, expectOk } from './roof-samples.ts';

const girder = {
  id: 'm',
  lengthM: 13,
  selfKgPerM: 0,
  allowableIs: 'imposed' as const,
  ei: { eGpa: 210, iCm4: 20_000 },
  supports: [
    { id: 'a', atM: 0 },
    { id: 'b', atM: 10 },
  ],
  allowSaggingKnm: 50,
  allowHoggingKnm: 100,
  allowShearKn: 40,
};
const onePoint = (id: string, from: number, to: number, point: string, massKg: number, permanent?: boolean) => ({
  id,
  from: hour(from),
  to: hour(to),
  permanent,
  points: [{ point, massKg }],
});
// 10 m + 3 m, 2 t midspan, 2 t tip.
const overhang: LimitsInput = {
  points: [
    { id: 'p5', wllKg: 2500, memberId: 'm', atM: 5 },
    { id: 'p13', wllKg: 2000, memberId: 'm', atM: 13 },
    { id: 'free', wllKg: 500 },
  ],
  members: [girder],
  limits: [{ id: 'g', kind: 'group', terms: [{ point: 'p5', factor: 1 }, { point: 'p13', factor: 1 }], capacityKg: 3500 }], // prettier-ignore
  loads: [onePoint('mid', 1, 3, 'p5', 2000), onePoint('tip', 2, 4, 'p13', 2000)],
};
const find = (input: LimitsInput, kind: CalculatedLimit['kind'], id: string): CalculatedLimit => {
  const found = expectOk(calculateLimits(input)).limits.find((limit) => limit.kind === kind && limit.id === id);
  if (found === undefined) throw new Error(`${kind} ${id}`);
  return found;
};

test('every point, limit and member answers, in the order given', () => {
  const { limits, cautions } = expectOk(calculateLimits(overhang));
  expect(limits.map(({ kind, id }) => `${kind} ${id}`)).toEqual(['point p5', 'point p13', 'point free', 'group g', 'member-moment m', 'member-shear m']); // prettier-ignore
  expect(cautions.length).toBeGreaterThan(0);
});

test('worked by hand: each limit at its own worst moment', () => {
  expect(find(overhang, 'point', 'p5')).toEqual({ id: 'p5', kind: 'point', worst: 2000, unit: 'kg', capacity: 2500, utilisation: 0.8, verdict: 'fits', from: hour(1), to: hour(3), loads: ['mid'] }); // prettier-ignore
  expect(find(overhang, 'point', 'p13')).toMatchObject({ worst: 2000, utilisation: 1, verdict: 'close', from: hour(2), to: hour(4) });
  expect(find(overhang, 'point', 'free')).toMatchObject({ worst: 0, utilisation: 0, verdict: 'fits', from: null, to: null, loads: [] });
  expect(find(overhang, 'group', 'g')).toMatchObject({ worst: 4000, verdict: 'over', from: hour(2), to: hour(3), loads: ['mid', 'tip'] });
  // Sagging 2000 · 9.80665 · 10 / 4 = 49.03325 of 50, hogging 2000 · 9.80665 · 3 = 58.8399 of 100: sagging governs.
  const moment = find(overhang, 'member-moment', 'm');
  expect(moment).toMatchObject({ unit: 'kNm', capacity: 50, verdict: 'close', atM: 5, from: hour(1), to: hour(3), loads: ['mid'] });
  expect(moment.worst).toBeCloseTo(49.03325, 9);
  const strong = { ...overhang, members: [{ ...girder, allowSaggingKnm: 200 }] };
  expect(find(strong, 'member-moment', 'm')).toMatchObject({ capacity: 100, verdict: 'fits', atM: 10, from: hour(2), loads: ['tip'] });
  // Over the overhang the whole tip load: 2000 · 9.80665e-3 = 19.6133 kN; left of the support 9.80665 + 5.88399 = 15.69064.
  const shear = find(overhang, 'member-shear', 'm');
  expect(shear).toMatchObject({ unit: 'kN', capacity: 40, atM: 10, loads: ['tip'] });
  expect(shear.worst).toBeCloseTo(19.6133, 9);
});

test('a permanent load relieves only while it hangs', () => {
  const permanent = { ...overhang, loads: [onePoint('mid', 1, 3, 'p5', 2000), onePoint('tip', 0, 3, 'p13', 2000, true)] };
  expect(find(permanent, 'member-moment', 'm').worst).toBeCloseTo(58.8399, 9); // hogging of 100 is now the larger share
  const found = find({ ...permanent, members: [{ ...girder, allowHoggingKnm: 1000 }] }, 'member-moment', 'm');
  expect(found.worst).toBeCloseTo(19.6133, 9);
  expect(found.loads).toEqual(['mid', 'tip']);
});

test('a load that names a point twice puts both on it', () => {
  const twice = { ...overhang, loads: [{ ...onePoint('A', 1, 2, 'p5', 300), points: [{ point: 'p5', massKg: 300 }, { point: 'p5', massKg: 200 }] }] }; // prettier-ignore
  expect(find(twice, 'point', 'p5').worst).toBe(500);
  expect(find(twice, 'member-moment', 'm').worst).toBeCloseTo((500 * 9.80665 * 10) / 4 / 1000, 9);
});

test('relief that may go, over the counter: 120 against 100', () => {
  const input: LimitsInput = {
    points: [
      { id: 'p', wllKg: 1000 },
      { id: 'q', wllKg: 1000 },
    ],
    limits: [{ id: 'w', kind: 'weighted', terms: [{ point: 'p', factor: 1 }, { point: 'q', factor: -0.5 }], capacityKg: 100 }], // prettier-ignore
    loads: [onePoint('A', 10, 14, 'p', 120), onePoint('B', 9, 12, 'q', 100)],
  };
  expect(find(input, 'weighted', 'w')).toMatchObject({
    worst: 120,
    utilisation: 1.2,
    verdict: 'over',
    from: hour(10),
    to: hour(14),
    loads: ['A'],
  });
});

test('a rating of 0 holds nothing, and nothing is a fit', () => {
  const points = [{ id: 'p', wllKg: 0 }];
  expect(find({ points, limits: [], loads: [] }, 'point', 'p')).toMatchObject({ worst: 0, utilisation: null, verdict: 'fits' });
  const loaded = { points, limits: [], loads: [onePoint('A', 1, 2, 'p', 1)] };
  expect(find(loaded, 'point', 'p')).toMatchObject({ worst: 1, utilisation: null, verdict: 'over' });
});

test.each<[string, Partial<LimitsInput>, string[]]>([
  [
    'a limit on no point',
    { limits: [{ id: 'g', kind: 'group', terms: [{ point: 'gone', factor: 1 }], capacityKg: 1 }] },
    ['/limits/0/terms/0/point id-unknown'],
  ],
  ['a load on no point', { loads: [onePoint('A', 1, 2, 'gone', 1)] }, ['/loads/0/points/0/point id-unknown']],
  ['a point on no member', { members: [] }, ['/points/0/memberId id-unknown', '/points/1/memberId id-unknown']],
  ['an interval reversed', { loads: [onePoint('A', 2, 1, 'p5', 1)] }, ['/loads/0/to interval-reversed']],
  ['an interval of no length', { loads: [onePoint('A', 2, 2, 'p5', 1)] }, ['/loads/0/to interval-reversed']],
  ['an instant that is none', { loads: [{ ...onePoint('A', 1, 2, 'p5', 1), from: '2026-01-01' }] }, ['/loads/0/from instant-not-valid']],
  ['a point off its member', { points: [{ id: 'p5', wllKg: 1, memberId: 'm', atM: 13.01 }, { id: 'p13', wllKg: 1 }] }, ['/points/0/atM station-off-member']], // prettier-ignore
  ['a point without a station', { points: [{ id: 'p5', wllKg: 1, memberId: 'm' }, { id: 'p13', wllKg: 1 }] }, ['/points/0 value-missing']], // prettier-ignore
  ['a support off its member', { members: [{ ...girder, supports: [{ id: 'a', atM: 0 }, { id: 'b', atM: 14 }] }] }, ['/members/0/supports/1/atM station-off-member']], // prettier-ignore
  ['one support', { members: [{ ...girder, supports: [{ id: 'a', atM: 0 }] }] }, ['/members/0 unstable']],
  ['two supports in one place', { members: [{ ...girder, supports: [{ id: 'a', atM: 0 }, { id: 'b', atM: 0 }] }] }, ['/members/0 supports-coincide']], // prettier-ignore
  ['a negative mass', { loads: [onePoint('A', 1, 2, 'p5', -1)] }, ['/loads/0/points/0/massKg number-out-of-range']],
  ['a mass that is no number', { loads: [onePoint('A', 1, 2, 'p5', Number.NaN)] }, ['/loads/0/points/0/massKg number-out-of-range']],
  [
    'a group that weighs',
    { limits: [{ id: 'g', kind: 'group', terms: [{ point: 'p5', factor: 2 }], capacityKg: 1 }] },
    ['/limits/0/terms/0/factor group-factor-not-one'],
  ],
  ['two loads of one id', { loads: [onePoint('A', 1, 2, 'p5', 1), onePoint('A', 1, 2, 'p5', 1)] }, ['/loads/1/id id-repeated']],
  ['close from nothing', { closeFrom: 0 }, ['/closeFrom number-out-of-range']],
])('%s is refused', (_what, change, faults) => {
  const error = expectFail(calculateLimits({ ...overhang, ...change }));
  expect(error.code).toBe('limits-input-impossible');
  expect(error.faults.map(({ pointer, code }) => `${pointer} ${code}`)).toEqual(faults);
});

const someLoads = fc.array(
  fc.record({
    from: fc.integer({ min: 0, max: 9 }),
    hours: fc.integer({ min: 1, max: 5 }),
    permanent: fc.boolean(),
    point: fc.constantFrom('p5', 'p13', 'free'),
    massKg: fc.double({ min: 0, max: 2000, noNaN: true }),
  }),
  { maxLength: 8 },
);
const inputOf = (loads: { from: number; hours: number; permanent: boolean; point: string; massKg: number }[]): LimitsInput => ({
  ...overhang,
  loads: loads.map(({ from, hours, permanent, point, massKg }, index) =>
    onePoint(`L${index}`, from, from + hours, point, massKg, permanent),
  ),
});

test('the order of loads and points changes no byte of the answer', () => {
  fc.assert(
    fc.property(someLoads, (loads) => {
      const input = inputOf(loads);
      const { limits } = expectOk(calculateLimits(input));
      expect(JSON.stringify(expectOk(calculateLimits({ ...input, loads: [...input.loads].reverse() })).limits)).toBe(
        JSON.stringify(limits),
      );
    }),
  );
});

test('one more load that may go never lowers a utilisation', () => {
  fc.assert(
    fc.property(someLoads, fc.constantFrom('p5', 'p13'), (loads, point) => {
      const before = expectOk(calculateLimits(inputOf(loads))).limits;
      const after = expectOk(calculateLimits(inputOf([...loads, { from: 2, hours: 4, permanent: false, point, massKg: 700 }]))).limits;
      for (const [index, limit] of after.entries()) {
        expect(limit.utilisation ?? 0).toBeGreaterThanOrEqual((before[index]?.utilisation ?? 0) * (1 - 1e-12));
      }
    }),
  );
});

test('twice the load and twice the capacity is the same share', () => {
  fc.assert(
    fc.property(someLoads, (loads) => {
      const once = expectOk(calculateLimits(inputOf(loads))).limits;
      const doubled = expectOk(calculateLimits(inputOf(loads.map((one) => ({ ...one, massKg: 2 * one.massKg }))))).limits;
      for (const [index, limit] of doubled.entries()) expect(limit.worst).toBeCloseTo(2 * (once[index]?.worst ?? NaN), 8);
    }),
  );
});
