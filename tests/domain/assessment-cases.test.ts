import { expect, test } from 'vitest';
import type { ArrayBuild, Hang, PickUp } from '../../src/domain/plan/plan.ts';
import { assessed, checkIn, dead, direct, documented, hoist, neighbour, pickUp, planOf, roofOf, single, steel } from './plan-samples.ts';
import { basis, member, point, terms } from './roof-samples.ts';

// Loads are invented and round.
const near = (value: number, digits = 9): unknown => expect.closeTo(value, digits);
const common = (id: string) => {
  const { kind: _, ...rest } = single(id) as Extract<Hang, { kind: 'single' }>;
  return rest;
};
const HOIST = { equipment: 'hoist', mount: 'bodyDown', chainLengthM: 20, bag: 'none' } as const;
const weightless = (wllKg: number) => ({ hoist: documented(hoist({ bodyKg: 0, chainKgPerM: 0, wllKg })) });
const on = (pointId: string, xM: number, change: Partial<PickUp> = {}): PickUp =>
  pickUp(pointId, { hoist: null, attachment: direct(pointId), position: { xM, yM: 0, zM: 6 }, ...change });
const given = (massKg: number, levelWithinMm?: number): PickUp['givenLoad'] => ({ massKg, basis: 'weighed', source: 'M-1', levelWithinMm });
const rowRoof = roofOf({ points: [point('p1', { xM: 2 }), point('p2', { xM: 7 }), point('p3', { xM: 4.5 })], limits: [] });

// The worked array: frame 60 kg at (0, 0), holes (±0.4, 0.1), bottom pivot (0.5, -0.1); two of 50 kg, cg (-0.3, -0.15), bottom
// (0, -0.3), splays 0 and 10: level 103.6569 and 56.3431 kg; at -10° 91.9132 and 68.0868.
const element = (splayDeg: number): ArrayBuild['elements'][number] => ({
  equipment: null,
  massKg: 50,
  basis: 'weighed',
  cg: { uM: -0.3, vM: -0.15 },
  bottomPivot: { uM: 0, vM: -0.3 },
  corners: [],
  splayDeg,
});
const arrayBuild = (change: Partial<ArrayBuild> = {}): ArrayBuild => ({
  azimuthDeg: 0,
  framePitchDeg: -10,
  frame: {
    equipment: null,
    massKg: 60,
    basis: 'weighed',
    cg: { uM: 0, vM: 0 },
    bottomPivot: { uM: 0.5, vM: -0.1 },
    holes: [
      { id: 'front', wllKg: null, uM: 0.4, vM: 0.1 },
      { id: 'rear', wllKg: null, uM: -0.4, vM: 0.1 },
    ],
  },
  elements: [element(0), element(10)],
  extras: [],
  holes: [
    { pickUpId: 'p1', holeId: 'front' },
    { pickUpId: 'p2', holeId: 'rear' },
  ],
  stackSizes: [],
  permittedConfiguration: { document: 'M-1', covers: 'two elements' },
  ...change,
});
const array = (build: ArrayBuild | null, pickUps: PickUp[]): Hang => ({ ...common('a'), kind: 'array', items: [], build, pickUps });

test('the rating of a hoist holds while an array is built and tilted too, not at its final pitch alone', () => {
  // At rest the front hoist carries 91.9132 of its 100 kg; level, on the way there, 103.6569.
  const hang = array(arrayBuild(), [on('p1', 2, { hoist: HOIST }), on('p2', 7, { hoist: HOIST })]);
  const assessment = assessed(planOf([hang], weightless(100)), { roof: rowRoof });
  expect(checkIn(assessment, 'hoist:a:p1:rating')).toMatchObject({
    case: 'moving',
    demand: near(103.6569, 4),
    capacity: 100,
    verdict: 'over',
  });
  expect(checkIn(assessment, 'hoist:a:p2:rating')).toMatchObject({ case: 'resting', demand: near(68.0868, 4), verdict: 'fits' });
});

test('the rating of a hoist with another one lost is told, and advises', () => {
  // 12 m of truss at 10 kg/m, 5 % contingency: 126 kg. Without the middle hoist each of the others carries half of it.
  const hang: Hang = {
    ...common('a'),
    kind: 'truss',
    items: [],
    build: {
      lengthM: 12,
      start: { xM: 0, yM: 0, zM: 6 },
      azimuthDeg: 90,
      section: {
        selfKgPerM: 10,
        eiKnm2: 1000,
        gaKn: null,
        gjKnm2: null,
        saggingKnm: 10,
        hoggingKnm: 10,
        shearKn: 20,
        nodeSpacingM: 0.5,
        allowablesBasis: 'M-1',
      },
      pickUps: [
        { pickUpId: 'p1', atM: 2, levelMm: 0 },
        { pickUpId: 'p3', atM: 6, levelMm: 0 },
        { pickUpId: 'p2', atM: 10, levelMm: 0 },
      ],
      pointLoads: [],
      spreadLoads: [],
    },
    pickUps: [on('p1', 2, { hoist: HOIST }), on('p3', 6, { hoist: HOIST }), on('p2', 10, { hoist: HOIST })],
  };
  const roof = roofOf({ points: [point('p1', { xM: 2 }), point('p3', { xM: 6 }), point('p2', { xM: 10 })], limits: [] });
  const lost = checkIn(assessed(planOf([hang], weightless(60)), { roof }), 'hoist:a:p1:rating:slack');
  expect(lost).toMatchObject({ hard: false, case: 'slack', demand: near(63), capacity: 60, verdict: 'over' });
});

test('loads given for an array say nothing of whether it holds together', () => {
  const loads = [on('p1', 2, { givenLoad: given(92) }), on('p2', 7, { givenLoad: given(69) })];
  const bare = assessed(planOf([array(null, loads)]), { roof: rowRoof });
  expect(checkIn(bare, 'configuration:a:permitted')).toMatchObject({ hard: true, verdict: 'unknown' });
  expect(bare.outcome.verdict).toBe('unknown');
  const built = assessed(planOf([array(arrayBuild(), loads)]), { roof: rowRoof });
  expect(checkIn(built, 'configuration:a:permitted').verdict).toBe('fits');
  expect(checkIn(built, 'pointDown:p1').demand).toEqual(near(92));
});

test('loads given for a truss say nothing of its strength', () => {
  const truss = { ...common('a'), kind: 'truss' as const, items: [], build: null };
  const plan = planOf([{ ...truss, pickUps: [on('p1', 2, { givenLoad: given(92) }), on('p2', 7, { givenLoad: given(69) })] }]);
  expect(checkIn(assessed(plan, { roof: rowRoof }), 'truss:a:strength')).toMatchObject({ hard: true, verdict: 'unknown' });
});

test('loads given for three hoists count only when they hold for hoists out of level', () => {
  // The policy: 25 mm while moving (common practice, no source).
  const plan = (levelWithinMm?: number) =>
    planOf([
      single('a', {
        items: [],
        pickUps: [
          on('p1', 2, { givenLoad: given(100, levelWithinMm) }),
          on('p3', 4.5, { givenLoad: given(200, 25) }),
          on('p2', 7, { givenLoad: given(100, 25) }),
        ],
      }),
    ]);
  const unsaid = { verdict: 'unknown', reason: { code: 'level-envelope-not-given' } };
  expect(checkIn(assessed(plan(), { roof: rowRoof }), 'pointDown:p1')).toMatchObject(unsaid);
  expect(checkIn(assessed(plan(24), { roof: rowRoof }), 'pointDown:p2')).toMatchObject(unsaid);
  const covered = assessed(plan(25), { roof: rowRoof });
  expect(checkIn(covered, 'pointDown:p1')).toMatchObject({ verdict: 'fits', demand: near(100) });
  expect(checkIn(covered, 'configuration:a:lostHoist')).toMatchObject({ hard: false, case: 'slack', verdict: 'unknown' });
});

test('a hang partly on the ground is reckoned with all of it on one hoist; on several its shares are unknown', () => {
  const one = assessed(planOf([dead('a', 'p1', 400, { support: 'ground' })]), { roof: rowRoof });
  expect(checkIn(one, 'configuration:a:ground').verdict).toBe('fits');
  expect(checkIn(one, 'pointDown:p1').demand).toBe(400);
  const several = assessed(planOf([{ ...array(arrayBuild(), [on('p1', 2), on('p2', 7)]), support: 'ground' }]), { roof: rowRoof });
  expect(checkIn(several, 'configuration:a:ground')).toMatchObject({ hard: true, verdict: 'unknown' });
});

test('a hoist that needs a secondary is unknown with one whose catch is not rated', () => {
  const secondary = { equipment: 'catch', count: 1, hitch: null };
  const hang = single('a', { pickUps: [pickUp('a-1', { attachment: { kind: 'direct', pointId: 'p1', parts: [secondary] } })] });
  const plan = planOf([hang], {
    hoist: documented(hoist({ needsSecondary: true })),
    catch: documented(steel({ part: 'secondary', name: 'catch' })),
  });
  expect(checkIn(assessed(plan), 'hoist:a:a-1:overPeople')).toMatchObject({ verdict: 'unknown', reason: { code: 'catch-not-rated' } });
});

const WIND = { inServiceKn: 0.5, outOfServiceKn: 2, comesDownAtMPerS: 15 };

test('wind on a hang under a bridle is unknown: it loads one leg more than the other', () => {
  const bridle: PickUp['attachment'] = {
    kind: 'bridle',
    apex: { xM: 4.5, yM: 0, zM: 8 },
    legs: [
      { pointId: 'p1', parts: [] },
      { pointId: 'p2', parts: [] },
    ],
    apexParts: [],
  };
  const hang = dead('a', 'p1', 400, {
    wind: WIND,
    pickUps: [pickUp('a-1', { hoist: null, position: { xM: 4.5, yM: 0, zM: 6 }, attachment: bridle })],
  });
  const roof = { ...rowRoof, exposure: 'open' as const };
  expect(checkIn(assessed(planOf([hang]), { roof }), 'wind:a')).toMatchObject({ verdict: 'unknown', reason: { code: 'wind-on-bridle' } });
});

test('the wind of a hang, and a neighbour outdoors, leave sideways limits unknown', () => {
  const sideways = {
    id: 's',
    label: 's',
    hard: true,
    terms,
    kind: 'sideways' as const,
    memberId: 'm1',
    alongKn: 10,
    acrossKn: 10,
  };
  const roof = {
    ...roofOf({
      members: [member('m1', { allowables: [], otherEffectsBasis: basis })],
      points: [point('p1', { on: [{ memberId: 'm1', stationM: 2, share: 1 }], xM: 2 })],
      limits: [sideways],
    }),
    exposure: 'open' as const,
  };
  const windy = assessed(planOf([dead('a', 'p1', 400, { wind: WIND })]), { roof });
  expect(checkIn(windy, 'sideways:s:alongForward')).toMatchObject({ verdict: 'unknown', reason: { code: 'wind-not-in-limit' } });
  const calm = dead('a', 'p1', 400, { wind: { ...WIND, inServiceKn: 0, outOfServiceKn: 0 } });
  expect(checkIn(assessed(planOf([calm]), { roof }), 'sideways:s:alongForward').verdict).toBe('fits');
  const beside = assessed(planOf([calm]), { roof, neighbours: [neighbour('p1', 100)] });
  expect(checkIn(beside, 'sideways:s:alongForward')).toMatchObject({ verdict: 'unknown', reason: { code: 'neighbour-wind-not-stated' } });
});
