import fc from 'fast-check';
import { expect, test } from 'vitest';
import type { LoadUnit, UnitIfLost } from '../../src/domain/assessment/load-units.ts';
import { STANDARD_GRAVITY } from '../../src/domain/foundation/units.ts';
import { worstOfLosses } from '../../src/domain/assessment/worst.ts';
import type { Hang, PickUp, TrussBuild } from '../../src/domain/plan/plan.ts';
import { whenLost } from '../../src/domain/plan/when-lost.ts';
import type { LoadTimeline } from '../../src/domain/roof/load-timeline.ts';
import { limitAnswer } from '../../src/domain/roof/roof-limits.ts';
import { indexRoof } from '../../src/domain/roof/roof-index.ts';
import { assessed, checkIn, dead, direct, pickUp, planOf, roofOf, SHOW, single } from './plan-samples.ts';
import { europe, group, point, terms } from './roof-samples.ts';

// A truss of 12 m and 10 kg/m, so soft that levels hardly matter, on three points at 2, 6 and 10 m; 5 % may be more of it.
const points = [point('p1', { xM: 2 }), point('p3', { xM: 6 }), point('p2', { xM: 10 })];
const build: TrussBuild = {
  lengthM: 12,
  start: { xM: 0, yM: 0, zM: 6 },
  azimuthDeg: 90,
  section: {
    selfKgPerM: 10,
    eiKnm2: 10,
    gaKn: null,
    gjKnm2: null,
    saggingKnm: 10,
    hoggingKnm: 10,
    shearKn: 20,
    nodeSpacingM: 0.5,
    allowablesBasis: 'maker',
  },
  pickUps: [
    { pickUpId: 'l', atM: 2, levelMm: 0 },
    { pickUpId: 'm', atM: 6, levelMm: 0 },
    { pickUpId: 'r', atM: 10, levelMm: 0 },
  ],
  pointLoads: [],
  spreadLoads: [],
  pickUpsAboveM: 0.3,
};
const line = (id: string, pointId: string, xM: number): PickUp =>
  pickUp(id, { hoist: null, attachment: direct(pointId), position: { xM, yM: 0, zM: 6 } });
const hang: Hang = {
  ...(single('a') as Extract<Hang, { kind: 'single' }>),
  kind: 'truss',
  items: [],
  build,
  pickUps: [line('l', 'p1', 2), line('m', 'p3', 6), line('r', 'p2', 10)],
};
const ends = (maxKg: number) => group('ends', ['p1', 'p2'], maxKg);

test('a lost hoist moves a truss onto its ends, which a limit over both sees: by hand', () => {
  const assessment = assessed(planOf([hang]), { roof: roofOf({ points, limits: [ends(120)] }) });
  // Nothing lost: three moments give w · 4.25 m at each end, w = 10.5 kg/m; levels add a little.
  const whole = checkIn(assessment, 'group:ends');
  expect(whole.demand).toBeGreaterThan(2 * 4.25 * 10.5 - 1e-9);
  expect(whole).toMatchObject({ verdict: 'fits', hard: true });
  // The middle one lost: all 126 kg hang by the ends.
  const lost = checkIn(assessment, 'group:ends:slack');
  expect(lost).toMatchObject({
    verdict: 'over',
    hard: false,
    case: 'slack',
    hangId: 'a',
    capacity: 120,
    demand: expect.closeTo(126, 9) as number,
  });
  expect(assessment.outcome.verdict).not.toBe('over');
});

test('it counts beside all others at their most, is hard where the policy says so, and is not told where it fits', () => {
  const policy = { ...europe(), policy: { ...europe().policy, secondaryCasesHard: true } };
  const hard = assessed(planOf([hang, dead('b', 'p1', 40)]), { roof: roofOf({ points, limits: [ends(150)], policy }) });
  expect(checkIn(hard, 'group:ends:slack')).toMatchObject({ verdict: 'over', hard: true, demand: expect.closeTo(166, 9) as number });
  expect(hard.outcome.verdict).toBe('over');
  const fits = assessed(planOf([hang]), { roof: roofOf({ points, limits: [ends(150)] }) });
  expect(fits.outcome.checks.some(({ id }) => id === 'group:ends:slack')).toBe(false);
});

test('a limit that holds something down sees the loss in its own sense', () => {
  const uplift = {
    id: 'w',
    label: 'L-w',
    hard: true,
    terms,
    kind: 'weighted',
    weights: [
      { pointId: 'p1', factor: -1 },
      { pointId: 'p2', factor: -1 },
    ],
    maxKg: 1000,
    minKg: -120,
  } as const;
  const assessment = assessed(planOf([hang]), { roof: roofOf({ points, limits: [{ ...uplift, weights: [...uplift.weights] }] }) });
  expect(checkIn(assessment, 'weighted:w:least').verdict).toBe('fits');
  expect(checkIn(assessment, 'weighted:w:least:slack')).toMatchObject({ verdict: 'over', demand: expect.closeTo(-126, 9) as number });
});

test('a group of all its points sees no more than the whole of it', () => {
  const limits = [group('all', ['p1', 'p2', 'p3'], 127)];
  const assessment = assessed(planOf([hang]), { roof: roofOf({ points, limits }) });
  expect(assessment.outcome.checks.some(({ id }) => id === 'group:all:slack')).toBe(false);
});

// One look at each load at its most may say that nothing is close; what it lets through is the same as looking at every loss.
test('looking at all at their most first leaves nothing out', () => {
  const roof = roofOf({
    points,
    limits: [
      group('g', ['p1', 'p2', 'p3'], 1000),
      {
        id: 'w',
        label: 'L-w',
        hard: true,
        terms,
        kind: 'weighted',
        weights: [
          { pointId: 'p1', factor: 1 },
          { pointId: 'p2', factor: -0.5 },
          { pointId: 'p3', factor: 0.7 },
        ],
        maxKg: 600,
        minKg: -300,
      },
    ],
  });
  const index = indexRoof(roof);
  const kg = fc.double({ min: 0, max: 800, noNaN: true });
  const units = fc.array(
    fc.record({ pointId: fc.constantFrom('p1', 'p2', 'p3'), restingKg: kg, movingKg: kg, losses: fc.array(kg, { maxLength: 3 }) }),
    { minLength: 1, maxLength: 5 },
  );
  let told = 0;
  fc.assert(
    fc.property(units, (some) => {
      const loads = some.map(({ pointId, restingKg, movingKg, losses }, at): LoadUnit => ({
        source: 'plan',
        id: `h${at}`,
        sortKey: `plan h${at} ${pointId}`,
        pointId,
        during: SHOW,
        permanent: false,
        moves: 'always',
        restingKg,
        movingKg,
        pulls: [],
        ifLost: losses.map((massKg, of): UnitIfLost => ({
          lost: { case: 'slack', hangId: `h${at}`, of: String(of) },
          massKg,
          pull: { xKn: 0, yKn: 0, downKn: 0 },
        })),
        windKn: 0,
        missing: [],
        missingSideways: [],
      }));
      for (const limit of roof.limits) {
        const look = (timeline: LoadTimeline) => limitAnswer(index, limit, timeline, 0.9).findings;
        const short = worstOfLosses(loads, [], true, look);
        expect(short).toEqual(worstOfLosses(loads, [], false, look));
        told += short.length;
      }
    }),
    { numRuns: 300, seed: 20261125 },
  );
  expect(told).toBeGreaterThan(30);
});

test('what a hook carries once another is lost: the most of all answers, and nothing of its own loss', () => {
  const case_ = (lost: string, ...kg: number[]) => ({
    lost,
    reactions: kg.map((one, n) => ({ id: `h${n}`, forceN: one * STANDARD_GRAVITY })),
  });
  const cases = [case_('h0', 900, 300, 100), case_('h1', 200, 0, 50), case_('h1', 250, 0, 10), { lost: 'h2', reactions: null }];
  const near = (value: number) => expect.closeTo(value, 9) as number;
  expect(whenLost(cases, 'h0')).toEqual({ slackKg: near(250), whenLost: [{ lost: 'h0', massKg: near(900) }, { lost: 'h1', massKg: near(250) }] }); // prettier-ignore
  expect(whenLost(cases, 'h2')).toEqual({ slackKg: near(100), whenLost: [{ lost: 'h0', massKg: near(100) }, { lost: 'h1', massKg: near(50) }] }); // prettier-ignore
  expect(whenLost(cases, 'gone')).toMatchObject({ slackKg: 0 });
  expect(whenLost([{ lost: 'h2', reactions: null }], 'h0')).toEqual({ slackKg: null, whenLost: [] });
});
