import { expect, test } from 'vitest';
import { checkPlan } from '../../src/domain/plan/check-plan.ts';
import type { ArrayBuild, Hang, PartData, PartUsed, PickUp } from '../../src/domain/plan/plan.ts';
import {
  assessed,
  checkIn,
  dead,
  direct,
  documented,
  hoist,
  neighbour,
  pickUp,
  planOf,
  roofOf,
  SHOW,
  single,
  steel,
} from './plan-samples.ts';
import { basis, expectFail, member, point, terms } from './roof-samples.ts';

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
const given = (massKg: number, levelWithinMm?: number, coversBuild?: boolean): PickUp['givenLoad'] => ({
  massKg,
  basis: 'weighed',
  source: 'M-1',
  levelWithinMm,
  coversBuild,
});
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
          on('p1', 2, { givenLoad: given(100, levelWithinMm, true) }),
          on('p3', 4.5, { givenLoad: given(200, 25, true) }),
          on('p2', 7, { givenLoad: given(100, 25, true) }),
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

test('loads given for three hoists count only when they hold in every stage of the build; for two a reader is told', () => {
  const places = [2, 4.5, 7];
  const assessedWith = (count: number, ...covers: (boolean | undefined)[]) => {
    const pickUps = places.slice(0, count).map((xM, n) => on(['p1', 'p3', 'p2'][n]!, xM, { givenLoad: given(100, 25, covers[n]) }));
    const assessment = assessed(planOf([single('a', { items: [], pickUps })]), { roof: rowRoof });
    const { verdict, reason } = checkIn(assessment, 'pointDown:p1');
    return { verdict, code: reason?.code, isTold: assessment.cautions.some((caution) => caution.includes('on two hoists')) };
  };
  const unknown = { verdict: 'unknown', code: 'build-stages-not-given', isTold: false };
  const fits = { verdict: 'fits', code: undefined, isTold: false };
  expect(assessedWith(3, true, true, true)).toEqual(fits);
  expect(assessedWith(3, true, undefined, true)).toEqual(unknown);
  expect(assessedWith(3, true, false, true)).toEqual(unknown);
  expect(assessedWith(2, true, true)).toEqual(fits);
  expect(assessedWith(2, true, undefined)).toEqual({ ...fits, isTold: true });
  expect(assessedWith(2, true, false)).toEqual(unknown);
  expect(assessedWith(1, false)).toEqual(fits);
});

test('a hang partly on the ground is reckoned with all of it on one hoist; on several its shares are unknown', () => {
  const one = assessed(planOf([dead('a', 'p1', 400, { support: 'ground' })]), { roof: rowRoof });
  expect(checkIn(one, 'configuration:a:ground').verdict).toBe('fits');
  expect(checkIn(one, 'pointDown:p1').demand).toBe(400);
  const several = assessed(planOf([{ ...array(arrayBuild(), [on('p1', 2), on('p2', 7)]), support: 'ground' }]), { roof: rowRoof });
  expect(checkIn(several, 'configuration:a:ground')).toMatchObject({ hard: true, verdict: 'unknown' });
});

// 400 kg, a hoist of 40 and 5 kg with 20 kg of chain, documented: 468.25 kg on the line.
const caught = (change: Partial<PartData>, slackMm: number | null = 100) =>
  planOf(
    [
      single('a', {
        pickUps: [
          pickUp('a-1', {
            secondary: {
              pointId: 'p2',
              parts: [
                { equipment: 'catch', count: 1, hitch: null },
                { equipment: 'steel', count: 1, hitch: 'straight' },
              ],
              slackMm,
            },
          }),
        ],
      }),
    ],
    {
      hoist: documented(hoist({ needsSecondary: true })),
      catch: documented(steel({ part: 'secondary', name: 'catch', ...change })),
    },
  );
const RATED = { catchesKg: 500, catchFallM: 0.2, catchPeakKn: 15 };

test('a secondary hangs slack from its own point, which sees its rated catch as an accidental case', () => {
  const assessment = assessed(caught(RATED));
  // Slack: two parts of 2 kg, documented: 4.2 kg. Caught: 15 kN and those, 15 / g + 4.2 = 1533.774 kg of 1000.
  expect(checkIn(assessment, 'pointDown:p2').demand).toEqual(near(4.2));
  const check = checkIn(assessment, 'pointDown:a:a-1:p2:accidental');
  expect(check).toMatchObject({ hard: false, case: 'accidental', verdict: 'over', demand: near(15 / 0.00980665 + 4.2, 6) });
  expect(checkIn(assessment, 'part:a:a-1:secondary:mass')).toMatchObject({ demand: near(468.25), capacity: 500, verdict: 'close' });
  expect(checkIn(assessment, 'part:a:a-1:secondary:fall')).toMatchObject({ demand: 0.1, capacity: 0.2, verdict: 'fits' });
  // The steel beside it bears half of 4 t: 19.6 kN.
  expect(checkIn(assessment, 'part:a:a-1:secondary:1:rating')).toMatchObject({ hard: false, case: 'accidental', demand: near(15) });
  expect(checkIn(assessment, 'hoist:a:a-1:overPeople').verdict).toBe('fits');
  const roof = roofOf();
  const strict = { ...roof, policy: { ...roof.policy, policy: { ...roof.policy.policy, secondaryCasesHard: true } } };
  expect(checkIn(assessed(caught(RATED), { roof: strict }), check.id).hard).toBe(true);
});

test.each<[string, Partial<PartData>, number | null, string, string]>([
  ['without a rated catch', {}, 100, 'unknown', 'no-rated-catch'],
  ['without its slack', RATED, null, 'unknown', 'no-rated-catch'],
  ['rated for less mass', { ...RATED, catchesKg: 468 }, 100, 'over', 'secondary-too-weak'],
  ['rated for less fall', RATED, 201, 'over', 'secondary-too-weak'],
])('a hoist that needs a secondary does not pass with one %s', (_, change, slackMm, verdict, code) => {
  const assessment = assessed(caught(change, slackMm));
  expect(checkIn(assessment, 'hoist:a:a-1:overPeople')).toMatchObject({ verdict, reason: { code } });
  if (verdict === 'unknown') expect(checkIn(assessment, 'pointDown:a:a-1:p2:accidental').verdict).toBe('unknown');
});

test('a secondary on the point of the line that it is for is refused', () => {
  const hang = single('a', { pickUps: [pickUp('a-1', { secondary: { pointId: 'p1', parts: [], slackMm: 10 } })] });
  expect(expectFail(checkPlan(planOf([hang]), SHOW)).faults).toMatchObject([
    { pointer: '/hangs/0/pickUps/0/secondary/pointId', code: 'point-twice' },
  ]);
});

const part = (data: Partial<PartData>, used: Partial<PartUsed>) => {
  const attachment = { kind: 'direct' as const, pointId: 'p1', parts: [{ equipment: 'steel', count: 1, hitch: null, ...used }] };
  const pickUps = [pickUp('a-1', { hoist: null, attachment, position: { xM: 2, yM: 0, zM: 6 } })];
  const assessment = assessed(
    planOf([single('a', { pickUps, items: [{ what: 'load', count: 1, massKg: 998, basis: 'weighed' }] })], {
      steel: documented(steel({ massKg: 0, ...data })),
    }),
    { roof: rowRoof },
  );
  return (rule: string) => checkIn(assessment, `part:a:a-1:attachment:0${rule}`);
};

test('a basket halves the pull at no angle, and needs more the wider it opens', () => {
  // T = W / (2 cos(a/2)), W = 998 · g = 9.7870367 kN; at 90° that is W / √2.
  const basket = part({}, { hitch: 'basket', basketDeg: 90, bendRatio: 10 });
  expect(basket(':rating').demand).toEqual(near((998 * 0.00980665) / Math.SQRT2));
  expect(basket(':bend')).toMatchObject({ verdict: 'unknown', reason: { code: 'least-bend-ratio-missing' } });
  expect(part({ leastBendRatio: 4 }, { hitch: 'basket', basketDeg: 90, bendRatio: 10 })(':bend').verdict).toBe('fits');
  expect(part({ leastBendRatio: 11 }, { hitch: 'choke', bendRatio: 10 })(':bend').verdict).toBe('over');
  expect(part({ hitches: ['straight', 'basket'] }, { hitch: 'choke' })('')).toMatchObject({
    verdict: 'over',
    reason: { code: 'hitch-not-permitted' },
  });
});

test('a clamp is held to its flange', () => {
  const clamp = { part: 'clamp', flangeFromM: 0.1, flangeToM: 0.2 } as const;
  expect(part(clamp, { flangeM: 0.15 })(':flange')).toMatchObject({ unit: 'm', verdict: 'fits' });
  expect(part(clamp, { flangeM: 0.21 })(':flange').verdict).toBe('over');
  expect(part(clamp, { flangeM: 0.09 })(':flange')).toMatchObject({ verdict: 'over', reason: { code: 'flange-too-narrow' } });
  expect(part(clamp, {})(':flange').verdict).toBe('unknown');
  expect(part({ part: 'clamp' }, { flangeM: 0.15 })(':flange').verdict).toBe('unknown');
});

test('a clamp at the top of a bridle leg takes the slope of the leg only as marked', () => {
  // Anchors 2.5 m to either side and 4 m up: each leg is atan(2.5 / 4) = 32.0° off vertical.
  const leg = (pointId: string) => ({ pointId, parts: [{ equipment: 'clamp', count: 1, hitch: null, flangeM: 0.15 }] });
  const bridle = { kind: 'bridle' as const, apex: { xM: 4.5, yM: 0, zM: 8 }, legs: [leg('p1'), leg('p2')], apexParts: [] };
  const hang = dead('a', 'p1', 400, { pickUps: [pickUp('a-1', { hoist: null, position: { xM: 4.5, yM: 0, zM: 6 }, attachment: bridle })] });
  const clamp = (sideAngleDeg: number | null) =>
    assessed(planOf([hang], { clamp: documented(steel({ part: 'clamp', flangeFromM: 0.1, flangeToM: 0.2, sideAngleDeg })) }), {
      roof: rowRoof,
    });
  expect(checkIn(clamp(null), 'part:a:a-1:leg0:0:side-load')).toMatchObject({ verdict: 'over', reason: { code: 'vertical-load-only' } });
  expect(checkIn(clamp(45), 'part:a:a-1:leg0:0:side-load')).toMatchObject({
    demand: near((Math.atan2(2.5, 4) * 180) / Math.PI),
    verdict: 'fits',
  });
  expect(checkIn(clamp(30), 'part:a:a-1:leg0:0:side-load').verdict).toBe('over');
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
