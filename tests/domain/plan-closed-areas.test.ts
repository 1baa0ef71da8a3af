import { expect, test } from 'vitest';
import { checkPlan } from '../../src/domain/plan/check-plan.ts';
import type { ClosedArea, Hang, Plan } from '../../src/domain/plan/plan.ts';
import { assessed, checkIn, documented, hoist, pickUp, planOf, SHOW, single, steel } from './plan-samples.ts';
import { expectFail } from './roof-samples.ts';

const near = (value: number): unknown => expect.closeTo(value, 9);

// Box 2 m by 2 m about (2, 0), its line plumb under the point there. All invented.
const box = { xM: 2, yM: 0, alongM: 2, acrossM: 2, azimuthDeg: 0, bottomZM: 4, topZM: 6 };
const hang = (change: Partial<Omit<Extract<Hang, { kind: 'single' }>, 'kind'>> = {}): Hang =>
  single('a', {
    box,
    pickUps: [
      pickUp('a-1', { attachment: { kind: 'direct', pointId: 'p1', parts: [{ equipment: 'steel', count: 1, hitch: 'straight' }] } }),
    ],
    ...change,
  });
const area = (change: Partial<ClosedArea> = {}): ClosedArea => ({
  what: 'stage',
  corners: [
    { xM: 0, yM: -3 },
    { xM: 6, yM: -3 },
    { xM: 6, yM: 3 },
    { xM: 0, yM: 3 },
  ],
  ...SHOW,
  ...change,
});
const equipment = {
  hoist: documented(hoist({ mayHoldOverPeople: false, needsSecondary: true, mayMoveOverPeople: false })),
  steel: documented(steel({ wllKg: 1000, massKg: 0 })),
};
const plan = (closedAreas: ClosedArea[] | undefined, one = hang()): Plan => ({ ...planOf([one], equipment), closedAreas });
const ids = (of: Plan) => assessed(of).outcome.checks.map(({ id }) => id);

test('over people a part may use half of its WLL; over a floor that is closed while it hangs, all of it', () => {
  // (400 + 68.25) · 1.25 = 585.3125 kg on a steel of 1 t: half of it is less, all of it is not. The offered set: share 0.5 and 1.
  const over = checkIn(assessed(plan(undefined)), 'part:a:a-1:attachment:0:rating');
  expect(over).toMatchObject({ demand: near(585.3125 * 0.00980665), capacity: near(4.903325), verdict: 'over' });
  const closed = checkIn(assessed(plan([area()])), 'part:a:a-1:attachment:0:rating');
  expect(closed).toMatchObject({ demand: near(585.3125 * 0.00980665), capacity: near(9.80665), verdict: 'fits' });
});

test('a hoist that may not hold over people may hold over a closed floor', () => {
  expect(checkIn(assessed(plan([])), 'hoist:a:a-1:overPeople')).toMatchObject({ verdict: 'over' });
  expect(assessed(plan([area()])).outcome.verdict).toBe('fits');
  expect(ids(plan([area()])).filter((id) => id.includes('OverPeople') || id.includes('overPeople'))).toEqual([]);
});

const LATER = '2026-03-11T00:00:00.000Z';
test.each<[string, Plan]>([
  ['is closed for a part of its time only', plan([area({ from: LATER })])],
  ['opens before it is down', plan([area({ to: LATER })])],
  ['ends under its box', plan([area({ corners: area().corners.map(({ xM, yM }) => ({ xM: xM === 0 ? 1.1 : xM, yM })) })])],
  [
    'ends under its point',
    plan([area({ corners: area().corners.map(({ xM, yM }) => ({ xM: xM + 4, yM })) })], hang({ box: { ...box, xM: 6 } })),
  ],
  ['may not be under it, for it has no box', plan([area()], hang({ box: null }))],
])('a hang is over people where the floor %s', (_, over) => {
  expect(ids(over)).toContain('hoist:a:a-1:overPeople');
});

test('a floor closed until a hang is down counts for that hang', () => {
  const early = hang({ up: { from: SHOW.from, to: LATER } });
  expect(ids(plan([area({ to: LATER })], early))).not.toContain('hoist:a:a-1:overPeople');
});

test('an area that cannot be is refused with its place', () => {
  const faults = (closed: ClosedArea) =>
    expectFail(checkPlan(plan([closed]), SHOW)).faults.map(({ pointer, code }) => `${pointer} ${code}`);
  const [a, b, c] = area().corners;
  expect(faults(area({ corners: [a!, b!] }))).toEqual(['/closedAreas/0/corners polygon-too-few-corners']);
  expect(faults(area({ corners: [a!, b!, { xM: 1, yM: 0 }, c!] }))).toHaveLength(1);
  expect(faults(area({ corners: [a!, b!, c!, { xM: 4, yM: 0 }] }))).toEqual(['/closedAreas/0/corners area-not-convex']);
  expect(faults(area({ from: SHOW.to, to: SHOW.from }))).toEqual(['/closedAreas/0 interval-reversed']);
  expect(faults(area({ from: 'tomorrow' }))).toEqual(['/closedAreas/0/from not-an-instant']);
});
