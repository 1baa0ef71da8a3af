import { expect, test } from 'vitest';
import type { PlanError } from '../../src/domain/plan/check-plan.ts';
import { checkPlan } from '../../src/domain/plan/check-plan.ts';
import { asInstant } from '../../src/domain/plan/instants.ts';
import type { Hang, Plan } from '../../src/domain/plan/plan.ts';
import { direct, documented, hoist, pickUp, planOf, SHOW, single } from './plan-samples.ts';
import { expectFail, expectOk } from './roof-samples.ts';

const faultsOf = (plan: Plan): string[] => {
  const error = expectFail(checkPlan(plan, SHOW));
  return error.faults.map(({ pointer, code }) => `${pointer} ${code}`);
};
const hangWith = (change: Parameters<typeof single>[1]): Plan => planOf([single('a', change)]);

test('a plan in which nothing is impossible is passed on as it is', () => {
  const plan = planOf([single('a'), single('b')]);
  expect(expectOk(checkPlan(plan, SHOW))).toBe(plan);
});

test('what is merely not stated is no fault', () => {
  const plan = hangWith({ items: [{ what: 'load', count: 1, massKg: null, basis: null }], pickUps: [] });
  expect(checkPlan(plan, SHOW).ok).toBe(true);
});

test('a point that no roof has is no fault of the plan', () => {
  expect(checkPlan(hangWith({ pickUps: [pickUp('a-1', { attachment: direct('nowhere') })] }), SHOW).ok).toBe(true);
});

test('all faults are told at once, each at its place', () => {
  const plan = planOf([
    single('a', {
      items: [{ what: 'load', count: 1, massKg: -1, basis: 'weighed' }],
      pickUps: [pickUp('a-1', { hoist: { equipment: 'nothing', mount: 'bodyUp', chainLengthM: Number.NaN, bag: 'none' } })],
    }),
    single('a', { pickUps: [pickUp('a-1')] }),
  ]);
  expect(faultsOf(plan)).toEqual([
    '/hangs/0/pickUps/0/hoist/chainLengthM not-finite',
    '/hangs/0/items/0/massKg out-of-range',
    '/hangs/1/id id-twice',
    '/hangs/1/pickUps/0/id id-twice',
    '/hangs/0/pickUps/0/hoist/equipment no-such-equipment',
  ]);
});

const leg = (pointId: string) => ({ pointId, parts: [] });
const bridle = (...pointIds: string[]) =>
  hangWith({
    pickUps: [pickUp('a-1', { attachment: { kind: 'bridle', apex: { xM: 4, yM: 0, zM: 8 }, legs: pointIds.map(leg), apexParts: [] } })],
  });
const given = { massKg: 100, basis: 'weighed', source: 'maker' } as const;
const box = { xM: 0, yM: 0, alongM: 1, acrossM: 1, azimuthDeg: 0, bottomZM: 4, topZM: 6 };

test.each<[string, Plan, string[]]>([
  [
    'a mass beyond anything that hangs',
    hangWith({ items: [{ what: 'x', count: 1, massKg: 1e9, basis: 'weighed' }] }),
    ['/hangs/0/items/0/massKg out-of-range'],
  ],
  [
    'an infinite mass',
    hangWith({ items: [{ what: 'x', count: 1, massKg: Infinity, basis: 'weighed' }] }),
    ['/hangs/0/items/0/massKg not-finite'],
  ],
  ['half a piece', hangWith({ items: [{ what: 'x', count: 0.5, massKg: 1, basis: 'weighed' }] }), ['/hangs/0/items/0/count not-whole']],
  [
    'a hoist named where a part is used',
    hangWith({
      pickUps: [pickUp('a-1', { attachment: { kind: 'direct', pointId: 'p1', parts: [{ equipment: 'hoist', count: 1, hitch: null }] } })],
    }),
    ['/hangs/0/pickUps/0/attachment/parts/0/equipment wrong-equipment'],
  ],
  [
    'a name that every object inherits',
    hangWith({ pickUps: [pickUp('a-1', { hoist: { equipment: 'constructor', mount: 'bodyUp', chainLengthM: 1, bag: 'none' } })] }),
    ['/hangs/0/pickUps/0/hoist/equipment no-such-equipment'],
  ],
  ['one leg', bridle('p1'), ['/hangs/0/pickUps/0/attachment/legs too-few-legs']],
  ['four legs', bridle('p1', 'p2', 'p3', 'p4'), ['/hangs/0/pickUps/0/attachment/legs indeterminate']],
  ['two legs to one point', bridle('p1', 'p1'), ['/hangs/0/pickUps/0/attachment/legs/1/pointId point-twice']],
  [
    'an attachment to a hang that is not there',
    hangWith({ pickUps: [pickUp('a-1', { attachment: { kind: 'hang', hangId: 'z', parts: [] } })] }),
    ['/hangs/0/pickUps/0/attachment/hangId no-such-hang'],
  ],
  ['a time reversed', hangWith({ up: { from: SHOW.to, to: SHOW.from } }), ['/hangs/0/up interval-reversed']],
  [
    'a time outside the show',
    hangWith({ up: { from: '2026-03-10T09:59:59.999Z', to: '2026-03-12T04:00:00.001Z' } }),
    ['/hangs/0/up/from outside-show', '/hangs/0/up/to outside-show'],
  ],
  ['a day that does not exist', hangWith({ up: { from: '2026-02-30T10:00:00Z', to: SHOW.to } }), ['/hangs/0/up/from not-an-instant']],
  ['a box without width', hangWith({ box: { ...box, acrossM: 0 } }), ['/hangs/0/box/acrossM not-positive']],
  ['a box upside down', hangWith({ box: { ...box, topZM: 3 } }), ['/hangs/0/box/topZM box-upside-down']],
  ['two pick-ups of a single pick', hangWith({ pickUps: [pickUp('a-1'), pickUp('a-2')] }), ['/hangs/0/pickUps one-pick-up-only']],
  [
    'a given load for some pick-ups only',
    hangWith({ pickUps: [pickUp('a-1', { givenLoad: given }), pickUp('a-2')] }),
    ['/hangs/0/pickUps given-load-not-for-all'],
  ],
  ['a hoist with half a fall', planOf([single('a')], { odd: documented(hoist({ falls: 1.5 })) }), ['/equipment/odd/data/falls not-whole']],
  [
    'a dynamic factor that makes loads lighter',
    planOf([single('a')], { odd: documented(hoist({ dynamicFactor: 0.9 })) }),
    ['/equipment/odd/data/dynamicFactor out-of-range'],
  ],
])('refused: %s', (_, plan, faults) => {
  expect(faultsOf(plan)).toEqual(faults);
});

test('a pick-up on another hang is named as not computed, which is no fault of the plan', () => {
  const plan = planOf([single('a'), single('b', { pickUps: [pickUp('b-1', { attachment: { kind: 'hang', hangId: 'a', parts: [] } })] })]);
  expect(expectFail<unknown, PlanError>(checkPlan(plan, SHOW))).toMatchObject({ code: 'hang-not-computed', hangIds: ['b'] });
});

test('a hang kind without given loads is not computed, and with them is', () => {
  const { kind: _, ...common } = single('a') as Extract<Hang, { kind: 'single' }>;
  const truss: Hang = { ...common, kind: 'truss', build: null };
  const loaded: Hang = { ...truss, pickUps: [pickUp('a-1', { givenLoad: given }), pickUp('a-2', { givenLoad: given })] };
  expect(checkPlan(planOf([loaded]), SHOW).ok).toBe(true);
});

test.each([
  ['2026-03-29T01:30:00+01:00', '2026-03-29T00:30:00.000Z'],
  ['2026-03-29T03:30:00.5+02:00', '2026-03-29T01:30:00.500Z'],
  ['2024-02-29T00:00:00Z', '2024-02-29T00:00:00.000Z'],
  ['2026-02-29T00:00:00Z', null],
  ['2026-01-01T24:00:00Z', null],
  ['2026-01-01T00:00:60Z', null],
  ['2026-01-01T00:00:00', null],
  ['2026-01-01T00:00:00+99:00', null],
  ['9999-12-31T23:59:59-01:00', null],
])('%s as an instant: %s', (text, instant) => {
  expect(asInstant(text)).toBe(instant);
});
