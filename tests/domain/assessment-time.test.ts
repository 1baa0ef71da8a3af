import { expect, test } from 'vitest';
import { assess } from '../../src/domain/assessment/assess.ts';
import { commitmentsOf } from '../../src/domain/assessment/commitments.ts';
import { neighboursStillHold } from '../../src/domain/assessment/neighbours.ts';
import { kgToKn } from '../../src/domain/foundation/units.ts';
import type { Limit } from '../../src/domain/roof/structure.ts';
import { assessed, checkIn, dead, direct, inputOf, neighbour, pickUp, planOf, roofOf, sha256, SHOW, single } from './plan-samples.ts';
import { group, member, point, terms } from './roof-samples.ts';

/** Masses go through newtons and back: the last digit may differ. */
const near = (value: number): unknown => expect.closeTo(value, 9);
const hour = (h: number): string => `2026-03-11T${String(h).padStart(2, '0')}:00:00.000Z`;
const up = (from: number, to: number) => ({ up: { from: hour(from), to: hour(to) } });
const weighted = (weights: { pointId: string; factor: number }[], maxKg: number, minKg: number | null = null): Limit => ({
  id: 'w1',
  label: 'w1',
  hard: true,
  terms,
  kind: 'weighted',
  weights,
  maxKg,
  minKg,
});

test('a neighbour that ends when a hang goes up does not load it, and one that ends a millisecond later does', () => {
  const plan = planOf([dead('a', 'p1', 600, up(12, 14))]);
  const until = (to: string) => assessed(plan, { neighbours: [neighbour('p1', 600, { from: hour(9), to })] });
  expect(checkIn(until(hour(12)), 'pointDown:p1')).toMatchObject({ demand: near(600), verdict: 'fits' });
  const over = checkIn(until('2026-03-11T12:00:00.001Z'), 'pointDown:p1');
  expect(over).toMatchObject({ verdict: 'over', during: { from: hour(12), to: '2026-03-11T12:00:00.001Z' } });
  expect(over.demand).toBeCloseTo(1200, 9);
});

test('two hangs of one plan that follow each other never hang together', () => {
  const plan = planOf([dead('a', 'p1', 600, up(10, 12)), dead('b', 'p1', 700, up(12, 14))]);
  expect(checkIn(assessed(plan), 'pointDown:p1')).toMatchObject({ demand: near(700), during: { from: hour(12), to: hour(14) } });
});

test('the earliest unbroken interval at the worst is told, with the loads that count then', () => {
  const plan = planOf([dead('a', 'p1', 100)]);
  const neighbours = [
    neighbour('p1', 50, { ref: 'n1', from: hour(8), to: hour(9) }),
    neighbour('p1', 50, { ref: 'n2', from: hour(11), to: hour(13) }),
    neighbour('p1', 50, { ref: 'n3', from: hour(12), to: hour(14) }),
  ];
  const check = checkIn(assessed(plan, { neighbours }), 'pointDown:p1');
  expect(check).toMatchObject({ verdict: 'fits', during: { from: hour(12), to: hour(13) } });
  expect(check.demand).toBeCloseTo(200, 9);
  expect(check.counted.map(({ from, id }) => `${from} ${id}`)).toEqual(['neighbour n2', 'neighbour n3', 'plan a']);
});

test('what a neighbour does alone before we come is not ours to answer for', () => {
  const plan = planOf([dead('a', 'p1', 100, up(12, 14))]);
  const neighbours = [neighbour('p1', 2000, { from: hour(8), to: hour(12) })];
  expect(checkIn(assessed(plan, { neighbours }), 'pointDown:p1')).toMatchObject({ demand: near(100), verdict: 'fits' });
});

test('a limit over without us and untouched by us is not reported', () => {
  const roof = roofOf({ limits: [group('g2', ['p2'], 100)] });
  const checks = assessed(planOf([dead('a', 'p1', 100)]), { roof, neighbours: [neighbour('p2', 500)] }).outcome.checks;
  expect(checks.some(({ limitId, pointId }) => limitId === 'g2' || pointId === 'p2')).toBe(false);
});

// From the worked cases: A on [10,14) 120 × 1 and B on [9,12) 100 × -0.5 against 100: over, because B may be gone.
test('a load that helps may be absent: it does not count', () => {
  const roof = roofOf({
    points: [point('p1', { xM: 2 }), point('p2', { xM: 7 })],
    limits: [
      weighted(
        [
          { pointId: 'p1', factor: 1 },
          { pointId: 'p2', factor: -0.5 },
        ],
        100,
      ),
    ],
  });
  const plan = planOf([dead('a', 'p1', 120, up(10, 14)), dead('b', 'p2', 100, up(9, 12))]);
  expect(checkIn(assessed(plan, { roof }), 'weighted:w1')).toMatchObject({ demand: near(120), capacity: 100, verdict: 'over' });
});

test('only a permanent standing load relieves a limit', () => {
  const limits = [
    weighted(
      [
        { pointId: 'p1', factor: 1 },
        { pointId: 'p2', factor: -0.5 },
      ],
      100,
    ),
  ];
  const standing = (permanent: boolean) =>
    roofOf({
      limits,
      standingLoads: [
        { id: 's', label: 's', permanent, points: [{ pointId: 'p2', massKg: 100 }], memberLoads: [], fromDay: null, untilDay: null },
      ],
    });
  const plan = planOf([dead('a', 'p1', 120)]);
  expect(checkIn(assessed(plan, { roof: standing(false) }), 'weighted:w1')).toMatchObject({ demand: near(120), verdict: 'over' });
  expect(checkIn(assessed(plan, { roof: standing(true) }), 'weighted:w1')).toMatchObject({ demand: near(70), verdict: 'fits' });
});

test('a lower bound counts only what pulls the sum down', () => {
  // 300 · 1 helps and may be absent; 200 · -1 is uplift: the least the sum can be is -200, against at least -150.
  const limits = [
    weighted(
      [
        { pointId: 'p1', factor: 1 },
        { pointId: 'p2', factor: -1 },
      ],
      1000,
      -150,
    ),
  ];
  const plan = planOf([dead('a', 'p1', 300), dead('b', 'p2', 200)]);
  const assessment = assessed(plan, { roof: roofOf({ limits }) });
  expect(checkIn(assessment, 'weighted:w1:least')).toMatchObject({ demand: near(-200), capacity: -150, verdict: 'over' });
  expect(checkIn(assessment, 'weighted:w1')).toMatchObject({ demand: near(300), verdict: 'fits' });
});

test('hangs of one cue move together, those of another rest meanwhile, and one without a cue moves with any', () => {
  // Each weighs 468.25 at rest and 585.3125 moving (400 weighed, hoist 68.25, factor 1.25).
  const at = (id: string, pointId: string, cue: string | null) =>
    single(id, {
      cue,
      pickUps: [pickUp(`${id}-1`, { attachment: direct(pointId), position: { xM: pointId === 'p2' ? 7 : 2, yM: 0, zM: 6 } })],
    });
  const sumOf = (a: string | null, b: string | null) => checkIn(assessed(planOf([at('a', 'p1', a), at('b', 'p2', b)])), 'group:g1');
  expect(sumOf('1', '2').demand).toBeCloseTo(585.3125 + 468.25, 9);
  expect(sumOf('1', '1').demand).toBeCloseTo(2 * 585.3125, 9);
  expect(sumOf(null, null).demand).toBeCloseTo(2 * 585.3125, 9);
  expect(sumOf('1', null).demand).toBeCloseTo(2 * 585.3125, 9);
  expect(sumOf('1', '2').case).toBe('moving');
});

test('a capacity that includes a dynamic factor is not asked for it again', () => {
  // 585.3125 moving: divided by 1.25 it is the 468.25 at rest; by 1.1 it is 532.1023.
  const included = (factor: number) =>
    roofOf({ points: [point('p1', { xM: 2, terms: { ...terms, dynamic: { kind: 'included', factor } } })], limits: [] });
  const demand = (factor: number) => checkIn(assessed(planOf([single('a')]), { roof: included(factor) }), 'pointDown:p1').demand;
  expect(demand(1.25)).toBeCloseTo(468.25, 9);
  expect(demand(2)).toBeCloseTo(468.25, 9);
  expect(demand(1.1)).toBeCloseTo(585.3125 / 1.1, 9);
});

test('a design capacity is compared with the factored load', () => {
  // 1.35 · 100 permanent + 1.5 · 400 imposed = 735.
  const format = { kind: 'design', permanentFactor: 1.35, imposedFactor: 1.5 } as const;
  const roof = roofOf({
    points: [point('p1', { xM: 2, terms: { ...terms, format } })],
    limits: [],
    standingLoads: [
      { id: 's', label: 's', permanent: true, points: [{ pointId: 'p1', massKg: 100 }], memberLoads: [], fromDay: null, untilDay: null },
    ],
  });
  expect(checkIn(assessed(planOf([dead('a', 'p1', 400)]), { roof }), 'pointDown:p1').demand).toBeCloseTo(735, 9);
});

test('a standing load with dates loads only its days', () => {
  // The zone of these samples is two hours ahead: 11 March begins at 22:00 of the 10th in UTC.
  const roof = roofOf({
    standingLoads: [
      {
        id: 's',
        label: 's',
        permanent: false,
        points: [{ pointId: 'p1', massKg: 900 }],
        memberLoads: [],
        fromDay: '2026-03-11',
        untilDay: '2026-03-12',
      },
    ],
  });
  const upTo = (from: string, to: string) =>
    checkIn(assessed(planOf([dead('a', 'p1', 200, { up: { from, to } })]), { roof }), 'pointDown:p1');
  expect(upTo('2026-03-10T12:00:00.000Z', '2026-03-10T22:00:00.000Z')).toMatchObject({ demand: near(200), verdict: 'fits' });
  expect(upTo('2026-03-10T12:00:00.000Z', '2026-03-10T22:00:00.001Z')).toMatchObject({ demand: near(1100), verdict: 'over' });
  expect(upTo('2026-03-11T22:00:00.000Z', '2026-03-12T01:00:00.000Z').verdict).toBe('fits');
});

test('a neighbour counts by the larger of what it is at rest and moving', () => {
  const kn = (massKg: number) => ({ xKn: 0, yKn: 0, downKn: kgToKn(massKg) });
  const neighbours = [neighbour('p1', 0, { resting: kn(300), moving: kn(400) })];
  expect(checkIn(assessed(planOf([dead('a', 'p1', 100)]), { neighbours }), 'pointDown:p1').demand).toBeCloseTo(500, 9);
});

test('a neighbour that weighs more at rest than the part of its lift that a capacity does not allow for counts at rest', () => {
  const kn = (massKg: number) => ({ xKn: 0, yKn: 0, downKn: kgToKn(massKg) });
  const included = { ...terms, dynamic: { kind: 'included' as const, factor: 1.5 } };
  const roof = roofOf({ points: [point('p1', { xM: 2, terms: included }), point('p2')], limits: [] });
  const neighbours = [neighbour('p1', 0, { resting: kn(300), moving: kn(375) })];
  expect(checkIn(assessed(planOf([dead('a', 'p1', 100)]), { roof, neighbours }), 'pointDown:p1').demand).toBeCloseTo(400, 9);
});

test('what is missing of a neighbour that has gone when we come does not matter', () => {
  const plan = planOf([dead('a', 'p1', 100, up(12, 14))]);
  const until = (to: string) => assessed(plan, { neighbours: [neighbour('p1', 100, { from: hour(9), to, isLowerBound: true })] });
  expect(checkIn(until(hour(12)), 'pointDown:p1').verdict).toBe('fits');
  expect(checkIn(until(hour(13)), 'pointDown:p1').verdict).toBe('unknown');
});

test('an agreed show whose time has passed and that nobody has called down still hangs, and says so', () => {
  const past = { from: '2026-02-01T00:00:00.000Z', to: '2026-02-03T00:00:00.000Z' };
  const neighbours = [neighbour('p1', 700, past)];
  const plan = planOf([dead('a', 'p1', 400)]);
  const before = assessed(plan, { neighbours, asOf: '2026-02-02T23:59:59.999Z' });
  expect(before.overdueNeighbours).toEqual([]);
  expect(checkIn(before, 'pointDown:p1').demand).toBe(400);
  const after = assessed(plan, { neighbours, asOf: past.to });
  expect(after.overdueNeighbours).toEqual(['n']);
  expect(checkIn(after, 'pointDown:p1')).toMatchObject({ verdict: 'over', during: SHOW });
  const wish = assessed(plan, { neighbours: [neighbour('p1', 700, { ...past, status: 'submitted' })], asOf: past.to });
  expect(wish.overdueNeighbours).toEqual([]);
  expect(wish.outcome.verdict).toBe('fits');
});

test('what is only submitted advises apart, and moves neither verdict nor hashes', () => {
  const plan = planOf([dead('a', 'p1', 400)]);
  const alone = assessed(plan);
  const among = assessed(plan, { neighbours: [neighbour('p1', 700, { status: 'submitted' })] });
  expect(among.outcome).toEqual(alone.outcome);
  expect(among.assessmentHash).toBe(alone.assessmentHash);
  expect(among.withSubmitted.map(({ id, hard, verdict }) => ({ id, hard, verdict }))).toEqual([
    { id: 'group:g1:withSubmitted', hard: false, verdict: 'fits' },
    { id: 'pointDown:p1:withSubmitted', hard: false, verdict: 'over' },
  ]);
});

test('a newer submission of somebody with a standing yes is looked at in its place, not on top of it', () => {
  const neighbours = [neighbour('p1', 500), neighbour('p1', 450, { status: 'submitted' })];
  const assessment = assessed(planOf([dead('a', 'p1', 400)]), { neighbours });
  expect(checkIn(assessment, 'pointDown:p1').demand).toBeCloseTo(900, 9);
  expect(assessment.withSubmitted.find(({ id }) => id === 'pointDown:p1:withSubmitted')?.demand).toBeCloseTo(850, 9);
});

test('a hidden neighbour is a bug, never a free roof', () => {
  const input = inputOf(planOf([dead('a', 'p1', 400)]), { neighbours: [neighbour('p1', 700)], expectedNeighbourCount: 2 });
  expect(() => assess(input)).toThrow();
});

test('a plan that was checked for another show is not assessed', () => {
  const input = inputOf(planOf([dead('a', 'p1', 400, up(10, 12))]));
  expect(() => assess({ ...input, show: { from: hour(11), to: hour(20) } })).toThrow();
  expect(() => assess({ ...input, show: { from: hour(9), to: hour(11) } })).toThrow();
});

test('what is stored of a plan gives its neighbour the loads of the plan', () => {
  const assessment = assessed(planOf([single('a'), dead('b', 'p2', 150, up(10, 12))]));
  const rows = commitmentsOf(assessment);
  expect(rows.map(({ hangId, pointId, from, planHash }) => ({ hangId, pointId, from, planHash }))).toEqual([
    { hangId: 'a', pointId: 'p1', from: SHOW.from, planHash: 'plan' },
    { hangId: 'b', pointId: 'p2', from: hour(10), planHash: 'plan' },
  ]);
  expect(rows[0]!.resting.downKn).toBeCloseTo(kgToKn(468.25), 12);
  expect(rows[0]!.moving.downKn).toBeCloseTo(kgToKn(585.3125), 12);
  expect(rows[1]!.moving).toEqual(rows[1]!.resting);
});

test('two lines of one hang to one point are one commitment', () => {
  const line = (id: string) => pickUp(id, { hoist: null, givenLoad: { massKg: 100, basis: 'weighed', source: 'maker' } });
  const rows = commitmentsOf(assessed(planOf([single('a', { items: [], pickUps: [line('a-1'), line('a-2')] })])));
  expect(rows.length).toBe(1);
  expect(rows[0]!.resting.downKn).toBeCloseTo(kgToKn(200), 12);
});

test('a neighbour agreed on with something missing leaves every check that it counts in unknown', () => {
  const assessment = assessed(planOf([dead('a', 'p1', 100)]), { neighbours: [neighbour('p1', 100, { isLowerBound: true })] });
  expect(checkIn(assessment, 'pointDown:p1')).toMatchObject({ verdict: 'unknown', reason: { code: 'neighbour-load-incomplete' } });
  const gap = planOf([dead('a', 'p1', 0, { items: [{ what: 'x', count: 1, massKg: null, basis: 'weighed' }] })]);
  expect(commitmentsOf(assessed(gap))).toMatchObject([{ isLowerBound: true }]);
});

const standing = (massKg: number, others: ReturnType<typeof neighbour>[], newLoads: ReturnType<typeof neighbour>[]) =>
  neighboursStillHold({ ...inputOf(planOf([dead('a', 'p1', massKg)])), neighbours: others, newLoads, sha256 });

test('a new yes that fills a neighbour up is refused with the checks that break, and one that comes close is told', () => {
  expect(standing(400, [], [neighbour('p1', 400)])).toEqual({ broken: [], close: [] });
  expect(standing(400, [], [neighbour('p1', 550)])).toEqual({ broken: [], close: ['pointDown:p1'] });
  expect(standing(400, [], [neighbour('p1', 601)])).toEqual({ broken: ['pointDown:p1'], close: [] });
  expect(standing(400, [], [neighbour('p2', 1101)])).toEqual({ broken: ['group:g1'], close: [] });
});

test('a neighbour that is over already may not be made worse, and may be made better', () => {
  const old = neighbour('p1', 700, { ref: 'new' });
  const more = neighbour('p1', 701, { ref: 'new' });
  const less = neighbour('p1', 650, { ref: 'new' });
  expect(standing(400, [old], [more]).broken).toEqual(['pointDown:p1']);
  expect(standing(400, [old], [less])).toEqual({ broken: [], close: [] });
  expect(standing(400, [old], [old])).toEqual({ broken: [], close: [] });
});

const overhanging = (change: Parameters<typeof roofOf>[0] = {}) =>
  roofOf({
    nodes: [
      { id: 'n1', label: 'n1', xM: 0, yM: 0, zM: 12 },
      { id: 'n2', label: 'n2', xM: 13, yM: 0, zM: 12 },
    ],
    members: [
      member('m1', {
        supports: [
          { id: 's1', atM: 0 },
          { id: 's2', atM: 10 },
        ],
        allowables: [{ fromM: 0, toM: 13, saggingKnm: 45, hoggingKnm: 60, shearKn: 40 }],
        allowableIs: 'imposed',
      }),
    ],
    points: [
      point('p1', { xM: 5, wllKg: 3000, on: [{ memberId: 'm1', stationM: 5, share: 1 }] }),
      point('p2', { xM: 13, wllKg: 3000, on: [{ memberId: 'm1', stationM: 13, share: 1 }] }),
    ],
    limits: [],
    ...change,
  });
const at = (id: string, pointId: string, xM: number, massKg: number, change: Parameters<typeof dead>[3] = {}) =>
  dead(id, pointId, massKg, { ...change, pickUps: [{ ...dead(id, pointId, massKg).pickUps[0]!, position: { xM, yM: 0, zM: 6 } }] });

// The worked case: 10 m + 3 m, 2 t midspan, 2 t tip: 2 · 9.80665 · 10 / 4 = 49.03325 kNm sagging by the adverse rule (the tip may be
// absent), and 2 · 9.80665 · 3 = 58.8399 kNm hogging over the support.
test('a load on the overhang does not relieve the span', () => {
  const assessment = assessed(planOf([at('a', 'p1', 5, 2000), at('b', 'p2', 13, 2000)]), { roof: overhanging() });
  expect(checkIn(assessment, 'memberMoment:m1:sagging')).toMatchObject({
    demand: near(49.03325),
    capacity: 45,
    unit: 'kNm',
    verdict: 'over',
  });
  expect(checkIn(assessment, 'memberMoment:m1:hogging')).toMatchObject({ demand: near(58.8399), capacity: 60, verdict: 'close' });
  // Shear left of the support: half of the midspan load and 3/10 of the tip's: 9.80665 · (1 + 0.6) · 1 = 15.69064; right of it the tip's 19.6133.
  expect(checkIn(assessment, 'memberShear:m1')).toMatchObject({ demand: near(19.6133), capacity: 40, unit: 'kN', verdict: 'fits' });
});

test('a permanent load on the overhang does relieve it, and a standing load along the member is counted', () => {
  const tip = {
    id: 's',
    label: 's',
    permanent: true,
    points: [{ pointId: 'p2', massKg: 2000 }],
    memberLoads: [],
    fromDay: null,
    untilDay: null,
  };
  const plan = planOf([at('a', 'p1', 5, 2000)]);
  // 49.03325 - 58.8399 / 2 = 19.6133: the tip's hogging at midspan is half of that at the support.
  const relieved = assessed(plan, { roof: overhanging({ standingLoads: [tip] }) });
  expect(checkIn(relieved, 'memberMoment:m1:sagging')).toMatchObject({ demand: near(19.6133), verdict: 'fits' });
  const drape = { ...tip, points: [], memberLoads: [{ memberId: 'm1', fromM: 0, toM: 10, kgPerM: 40 }] };
  // 40 · 9.80665 / 1000 · 10² / 8 = 4.903325 kNm more.
  const draped = checkIn(assessed(plan, { roof: overhanging({ standingLoads: [drape] }) }), 'memberMoment:m1:sagging');
  expect(draped.demand).toBeCloseTo(53.936575, 9);
  expect(draped.counted.map(({ from, id, pointId }) => `${from} ${id} ${pointId}`)).toEqual(['plan a p1', 'standing s null']);
});

const common = (id: string) => ({ id, label: id, hard: true, terms });

test('every kind of limit that a point of the plan is in is checked', () => {
  const limits: Limit[] = [
    { ...common('count'), kind: 'count', pointIds: ['p1', 'p2'], maxLoaded: 1 },
    { ...common('spacing'), kind: 'spacing', memberId: 'm1', minSpacingM: 9, reducedKg: null },
    { ...common('side'), kind: 'sideways', memberId: 'm1', acrossKn: 1, alongKn: 1 },
    { ...common('dense'), kind: 'density', memberId: 'm1', windowM: 9, maxKg: 3000 },
    {
      ...common('area'),
      kind: 'areaDensity',
      area: [
        { xM: 0, yM: -1 },
        { xM: 20, yM: -1 },
        { xM: 20, yM: 1 },
        { xM: 0, yM: 1 },
      ],
      maxKgPerM2: 100,
    },
  ];
  const assessment = assessed(planOf([at('a', 'p1', 5, 2000), at('b', 'p2', 13, 2000)]), { roof: overhanging({ limits }) });
  expect(checkIn(assessment, 'count:count')).toMatchObject({ demand: 2, capacity: 1, unit: 'count', verdict: 'over' });
  expect(checkIn(assessment, 'spacing:spacing:tooClose')).toMatchObject({ demand: 9, capacity: 8, unit: 'm', verdict: 'over' });
  expect(checkIn(assessment, 'sideways:side:acrossLeft')).toMatchObject({ demand: 0, verdict: 'fits' });
  expect(checkIn(assessment, 'density:dense')).toMatchObject({ demand: near(4000), capacity: 3000, verdict: 'over' });
  expect(checkIn(assessment, 'density:area')).toMatchObject({ demand: near(4000), capacity: 4000, unit: 'kg', verdict: 'close' });
});
