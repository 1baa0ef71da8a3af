import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { Assessment } from '../../src/domain/assessment/assessment.ts';
import { STANDARD_GRAVITY } from '../../src/domain/foundation/units.ts';
import { checkPlan } from '../../src/domain/plan/check-plan.ts';
import type { Hang, LineOffPlumb, PartUsed, PickUp, TrussBuild } from '../../src/domain/plan/plan.ts';
import { assessed, checkIn, direct, documented, hoist, pickUp, planOf, roofOf, SHOW, single, steel } from './plan-samples.ts';
import { group, point } from './roof-samples.ts';

// Everything is invented. A truss of 8 m without weight on hoists at its ends, 400 kg at 2 m: 300 kg on hook a, 100 on hook b. Its chains
// are 6 m high, and 0.3 m aside of its point a hook leans 1 in 20. A drawing may be 5 mm wrong, so that counts as 0.305 m.
const at = (xM: number, yM: number, zM: number) => ({ xM, yM, zM });
const ROPE: PartUsed[] = [{ equipment: 'rope', count: 1, hitch: 'straight' }];
const place = (xM: number, yM: number, zM: number) => ({ place: at(xM, yM, zM), holdsKn: 50, basis: 'test 1' });
const lineAt = (pickUpId: string | null, to: LineOffPlumb['to'], change: Partial<LineOffPlumb> = {}): LineOffPlumb => ({
  id: `line ${pickUpId}`,
  kind: 'breastline',
  at: null,
  pickUpId,
  to,
  parts: ROPE,
  pretensionKn: null,
  ...change,
});
const section: TrussBuild['section'] = {
  selfKgPerM: 0,
  selfBasis: 'weighed',
  eiKnm2: 1900,
  gaKn: null,
  gjKnm2: null,
  saggingKnm: 30,
  hoggingKnm: 30,
  shearKn: 20,
  nodeSpacingM: 0.5,
  allowablesBasis: 'maker',
};
const load = (atM: number, massKg: number, basis: 'weighed' | 'documented' | 'estimated' = 'weighed') => ({
  ...{ what: 'load', atM, massKg, basis, besideM: 0, aboveM: 0 },
});
const build: TrussBuild = {
  lengthM: 8,
  start: at(0, 0, 5.7),
  azimuthDeg: 0,
  section,
  pickUps: [
    { pickUpId: 'a', atM: 0, levelMm: 0 },
    { pickUpId: 'b', atM: 8, levelMm: 0 },
  ],
  pickUpsAboveM: 0.3,
  pointLoads: [load(2, 400)],
  spreadLoads: [],
};
const truss = (lines: LineOffPlumb[], change: Partial<TrussBuild> = {}, ofPickUps: Partial<PickUp> = {}): Hang => ({
  ...single('h', {
    items: [],
    linesOffPlumb: lines,
    pickUps: [
      pickUp('a', { position: at(0, 0, 6), hoist: null, attachment: direct('pa'), ...ofPickUps }),
      pickUp('b', { position: at(8, 0, 6), hoist: null, attachment: direct('pb'), ...ofPickUps }),
    ],
  }),
  kind: 'truss',
  build: { ...build, ...change },
});
const roofWith = (
  a: Partial<{ xM: number; yM: number }> = { yM: -0.3 },
  b: Partial<{ xM: number; yM: number }> = {},
  limits = [] as never[],
) =>
  roofOf({
    points: [
      point('pa', { ...at(0, 0, 12), ...a }),
      point('pb', { ...at(8, 0, 12), ...b }),
      point('q', at(0, 6, 12)),
      point('level', at(0, 7, 6)),
    ].map((one) => ({ ...one, on: [], maxAngleDeg: 60, maxSidewaysKn: 9 })),
    limits,
  });
const equipment = { rope: documented(steel({ massKg: 0 })) };
const planWith = (hang: Hang, more: Parameters<typeof planOf>[1] = {}) => planOf([hang], { ...equipment, ...more });
const found = (hang: Hang, roof = roofWith(), more: Parameters<typeof planOf>[1] = {}) => assessed(planWith(hang, more), { roof });
const loadOf = ({ outcome }: Assessment, pointId: string, loadCase = 'resting') => {
  const one = outcome.loads.find((each) => each.pointId === pointId && each.case === loadCase);
  return one === undefined ? null : { xKn: one.xKn, yKn: one.yKn, downKn: one.downKn };
};
const about = (value: number, digits = 9): number => expect.closeTo(value, digits) as number;
const kn = (kg: number) => (kg * STANDARD_GRAVITY) / 1000;
const LEAN = 0.305 / 6;

describe('worked by hand', () => {
  test('a level line across the truss at one hook takes a share of what that hook carries, and all of it fits', () => {
    const level = found(truss([lineAt('a', place(0, 5, 6))]));
    expect(loadOf(level, 'pa')).toEqual({ xKn: about(0), yKn: about(kn(300 * LEAN)), downKn: about(kn(300)) });
    expect(loadOf(level, 'pb')).toEqual({ xKn: about(0), yKn: about(0), downKn: about(kn(100)) });
    expect(checkIn(level, 'configuration:h:linesOffPlumb:0:anchor')).toMatchObject({ demand: about(kn(300 * LEAN)), verdict: 'fits' });
    expect(checkIn(level, 'part:h:a:aside0:0:rating').demand).toBeCloseTo(kn(300 * LEAN), 9);
    expect(checkIn(level, 'plumb:h:a')).toMatchObject({ verdict: 'fits', demand: about(0) });
    expect(checkIn(level, 'truss:h:linesOffPlumb:along')).toMatchObject({ verdict: 'fits' });
    expect(checkIn(level, 'truss:h:sagging').verdict).toBe('fits');
    expect(level.outcome.checks.filter(({ hard, verdict }) => hard && verdict !== 'fits').map(({ id }) => id)).toEqual([]);
    expect(level.outcome.verdict).toBe('fits');
    // Where it would come to rest without its line, and how far it swings through, is not computed.
    expect(checkIn(level, 'configuration:h:linesOffPlumb:lost')).toMatchObject({ verdict: 'unknown', hard: false, case: 'slack' });
    // Without the line the chain is 2.9° off plumb and nothing says so of the sideways pull of its hook.
    expect(checkIn(found(truss([])), 'plumb:h:a').verdict).toBe('close');
  });
  test('up to a point the line loads that, and takes nothing off the hook; both hooks are held each by its own', () => {
    // Up 1 in 1 from hook a to q: T/√2 = 300 · lean / (1 + lean), lean of the pose at its most.
    const up = found(truss([lineAt('a', { pointId: 'q' }), lineAt('b', place(8, -5, 6))]), roofWith({ yM: -0.3 }, { yM: 0.6 }));
    const [upY, upZ] = [6 - 0.005, 6];
    const most = (300 * LEAN) / (upY / upZ + LEAN); // kg, vertical
    expect(loadOf(up, 'q')).toEqual({ xKn: about(0), yKn: about(-kn((most * upY) / upZ)), downKn: about(kn(most)) });
    expect(loadOf(up, 'pa')?.downKn).toBeCloseTo(kn(300), 9);
    expect(loadOf(up, 'pb')?.yKn).toBeCloseTo(-kn((100 * 0.605) / 6), 9);
    expect(checkIn(up, 'part:h:b:aside1:0:rating').demand).toBeCloseTo(kn((100 * 0.605) / 6), 9);
  });
  test('a line along the truss takes of both, and what it hands on along itself is not covered by anything', () => {
    const along = found(truss([lineAt('b', place(20, 0, 6))]), roofWith({ xM: -0.6 }, { xM: 7.4 }));
    expect(checkIn(along, 'configuration:h:linesOffPlumb:0:anchor').demand).toBeCloseTo(kn((400 * 0.605) / 6), 9);
    expect(checkIn(along, 'truss:h:linesOffPlumb:along')).toMatchObject({
      verdict: 'unknown',
      reason: { code: 'axial-force-not-covered' },
    });
    const [reckoning] = checkIn(along, 'truss:h:linesOffPlumb:along').reckoning;
    expect(Number.parseFloat(reckoning?.result ?? '')).toBeCloseTo(kn((300 * 0.605) / 6), 9);
    // As much as the plumb tolerance leaves any truss is borne with: 3° of the lighter hook, 5.24 kg.
    const little = found(truss([lineAt('b', place(20, 0, 6))]), roofWith({ xM: -0.09 }, { xM: 7.91 }));
    expect(checkIn(little, 'truss:h:linesOffPlumb:along').verdict).toBe('fits');
  });
  test('the hoist carries the pull along its chain; moving, all of it has the dynamic factor', () => {
    const hoisted = { hoist: { equipment: 'hoist', mount: 'bodyUp', chainLengthM: 0, bag: 'none' } } as const;
    const more = { hoist: documented(hoist({ bodyKg: 0, chainKgPerM: 0 })) };
    const moved = found(truss([lineAt('a', place(0, 5, 6))], {}, hoisted), roofWith(), more);
    expect(loadOf(moved, 'pa', 'moving')).toEqual({ xKn: about(0), yKn: about(1.25 * kn(300 * LEAN)), downKn: about(1.25 * kn(300)) });
    expect(checkIn(moved, 'hoist:h:a:rating').demand).toBeCloseTo(300 * Math.sqrt(1 + LEAN * LEAN), 6);
    expect(checkIn(moved, 'hoist:h:b:rating').demand).toBeCloseTo(100, 6);
    expect(checkIn(moved, 'configuration:h:linesOffPlumb:0:anchor').demand).toBeCloseTo(1.25 * kn(300 * LEAN), 9);
  });
  test('a line that ends beside the roof hangs at its own hook, one that ends at a point hangs there', () => {
    const heavy = { rope: documented(steel({ massKg: 20 })) }; // documented: 21 kg
    const beside = found(truss([lineAt('a', place(0, 5, 6))]), roofWith(), heavy);
    expect([loadOf(beside, 'pa')?.downKn, loadOf(beside, 'pb')?.downKn]).toEqual([about(kn(321)), about(kn(100))]);
    const above = found(truss([lineAt('a', { pointId: 'level' })]), roofWith(), heavy);
    expect([loadOf(above, 'pa')?.downKn, loadOf(above, 'level')?.downKn]).toEqual([about(kn(300)), about(kn(21))]);
  });
  test('contingency counts at each hook where it loads it, and a stage of the build where it loads it more', () => {
    const guessed = found(truss([lineAt('a', place(0, 5, 6))], { pointLoads: [load(2, 400, 'estimated')] }));
    expect(checkIn(guessed, 'configuration:h:linesOffPlumb:0:anchor').demand).toBeCloseTo(kn(345 * LEAN), 9);
    // A truss of 100 kg puts 37.5 on hook a; 100 kg 2 m beyond hook b take 25 off it, once they are there.
    const build10 = { lengthM: 10, section: { ...section, selfKgPerM: 10 }, pointLoads: [load(2, 400), load(10, 100)] };
    const counter = found(truss([lineAt('a', { pointId: 'level' })], build10));
    expect(loadOf(counter, 'pa')?.downKn).toBeCloseTo(kn(312.5), 9);
    expect(checkIn(counter, 'pointDown:level').demand).toBe(0);
    expect(loadOf(counter, 'level')?.yKn).toBeCloseTo(-kn(312.5 * LEAN), 9);
    const sideways = checkIn(counter, 'pointSideways:level:force');
    expect(sideways.demand).toBeCloseTo(kn(337.5 * LEAN), 9);
  });
  test('where less at one hook asks more of the line at the other, it counts at its least', () => {
    // Hook a is pulled across and forwards by its own line; what is left of the lean along takes the line at hook b: 3 in 100 of all but
    // about 5 in 100 of hook a. A load beyond hook b lifts hook a: as heavy as it may be, it asks the most.
    const lines = [lineAt('a', place(5, 5, 6)), lineAt('b', place(20, 0, 6))];
    const roof = roofWith({ xM: -0.18, yM: -0.3 }, { xM: 7.82 });
    type Basis = Parameters<typeof load>[2];
    const ofB = (atA: [number, Basis], beyond: [number, Basis]) => {
      const pointLoads = [load(0, ...atA), load(8, 100), load(10, ...beyond)];
      const own = { lengthM: 10, section: { ...section, selfKgPerM: 100, selfBasis: 'weighed' as const }, pointLoads };
      const told = found(truss(lines, own), roof);
      expect(checkIn(told, 'configuration:h:linesOffPlumb').verdict).toBe('fits');
      return checkIn(told, 'configuration:h:linesOffPlumb:1:anchor').demand;
    };
    const weighed = ofB([20, 'weighed'], [40, 'weighed']) ?? NaN;
    // What hangs at hook a may be missing while the truss is built, so it never takes anything off.
    expect(ofB([25, 'weighed'], [40, 'weighed'])).toBeCloseTo(weighed, 9);
    expect(ofB([20, 'estimated'], [40, 'weighed'])).toBeCloseTo(weighed, 9);
    expect(ofB([20, 'weighed'], [46, 'weighed'])).toBeGreaterThan(weighed + 0.001);
    expect(ofB([20, 'weighed'], [40, 'estimated'])).toBeCloseTo(ofB([20, 'weighed'], [46, 'weighed']) ?? NaN, 9);
  });
  test('any load may be missing while it is built: a line along it takes of one hook what the other no longer gives back', () => {
    // Hook a leans 4 in 100 away from the line, hook b 1 in 30 towards it: 400 and 300 kg ask 6 kg of the line, 400 kg alone 16.
    const roof = roofWith({ xM: 0.24 }, { xM: 7.8 });
    const told = found(truss([lineAt('a', place(-5, 0, 6))], { pointLoads: [load(0, 400), load(8, 300)] }), roof);
    expect(checkIn(told, 'configuration:h:linesOffPlumb')).toMatchObject({ verdict: 'unknown', reason: { code: 'line-may-slacken' } });
    // A truss of 100 kg/m keeps it taut: hook a carries 400 to 800 kg, hook b 400 to 430; the most of a and the least of b ask the most.
    const own = { section: { ...section, selfKgPerM: 100 } };
    const taut = found(truss([lineAt('a', place(-5, 0, 6))], { ...own, pointLoads: [load(0, 400), load(8, 30)] }), roof);
    const alongN = 800 * ((0.24 + 0.005) / 6) - 400 * ((0.2 - 0.005) / 6);
    expect(checkIn(taut, 'configuration:h:linesOffPlumb:0:anchor').demand).toBeCloseTo(kn(alongN), 9);
  });
  test('two guys across against each other: their pretension is on their places, and the chains carry the truss alone', () => {
    const guys = [5, -5].map((yM, n) => lineAt('a', place(0, yM, 6), { id: `g${n}`, kind: 'guy', pretensionKn: 0.3 }));
    const guyed = found(truss(guys), roofWith({}));
    expect(loadOf(guyed, 'pa')).toEqual({ xKn: about(0), yKn: about(0), downKn: about(kn(300)) });
    expect(checkIn(guyed, 'configuration:h:linesOffPlumb:1:anchor').demand).toBeCloseTo(0.3, 9);
    // Beside a breastline a guy to the other side adds its pull, and one to the same side takes nothing off it.
    const beside = (yM: number) => [
      lineAt('a', place(0, 5, 6)),
      lineAt('a', place(0, yM, 6), { id: 'g', kind: 'guy', pretensionKn: 0.01 }),
    ];
    const own = { section: { ...section, selfKgPerM: 10 } };
    const pullOf = (lines: LineOffPlumb[]) => checkIn(found(truss(lines, own)), 'configuration:h:linesOffPlumb:0:anchor').demand;
    expect(pullOf(beside(-5))).toBeCloseTo(kn(340 * LEAN) + 0.01, 9);
    expect(pullOf(beside(6))).toBeCloseTo(kn(340 * LEAN), 9);
    // With nothing on it yet a truss that weighs nothing would follow that guy.
    expect(checkIn(found(truss(beside(6))), 'configuration:h:linesOffPlumb').reason?.code).toBe('line-may-slacken');
  });
  test('a limit over the points sees the pull up to them', () => {
    const limits = [group('all', ['pa', 'pb', 'q'], 420)] as never[];
    const up = found(truss([lineAt('a', { pointId: 'q' })]), roofWith({ yM: -0.3 }, {}, limits));
    expect(checkIn(up, 'group:all').demand).toBeGreaterThan(400);
  });
});

test('turned and mirrored in plan it loads its points the same', () => {
  const lines = [lineAt('a', place(1, 5, 7)), lineAt('b', place(9, -4, 5))];
  const before = found(truss(lines), roofWith({ yM: -0.3 }, { yM: 0.3, xM: 8 }));
  const turn = ({ xM, yM, zM }: ReturnType<typeof at>) => at(-yM, xM, zM); // by 90°
  const hang = truss(lines.map((one) => ({ ...one, to: { ...place(0, 0, 0), place: turn(one.to as never) } })));
  const ends = [at(1, 5, 7), at(9, -4, 5)].map(turn);
  const turned: Hang = {
    ...hang,
    linesOffPlumb: lines.map((one, index) => ({ ...one, to: { ...place(0, 0, 0), place: ends[index] ?? at(0, 0, 0) } })),
    pickUps: hang.pickUps.map((one) => ({ ...one, position: turn(one.position as never) })),
    ...(hang.kind === 'truss' && hang.build !== null ? { build: { ...hang.build, start: turn(hang.build.start), azimuthDeg: 90 } } : {}),
  } as Hang;
  const roof = roofWith();
  const after = found(turned, {
    ...roof,
    points: roofWith({ yM: -0.3 }, { yM: 0.3, xM: 8 }).points.map((one) => ({ ...one, ...turn(one) })),
  });
  for (const id of ['pa', 'pb']) {
    const [now, then] = [loadOf(after, id), loadOf(before, id)];
    expect(now).toEqual({ xKn: about(-(then?.yKn ?? NaN)), yKn: about(then?.xKn ?? NaN), downKn: about(then?.downKn ?? NaN) });
  }
});

test('more load at a hook never lowers what its line pulls or its point sees', () => {
  fc.assert(
    fc.property(fc.double({ min: 1, max: 7, noNaN: true }), fc.double({ min: 0, max: 300, noNaN: true }), (atM, massKg) => {
      const lines = [lineAt('a', place(0, 5, 6.5)), lineAt('b', place(8, 5, 5))];
      const roof = roofWith({ yM: -0.3 }, { yM: -0.3 });
      const [less, more] = [[load(2, 400)], [load(2, 400), load(atM, massKg)]].map((pointLoads) =>
        found(truss(lines, { pointLoads }), roof),
      );
      for (const id of [
        'configuration:h:linesOffPlumb:0:anchor',
        'configuration:h:linesOffPlumb:1:anchor',
        'pointDown:pa',
        'pointDown:pb',
      ]) {
        const [before, after] = [less, more].map((one) => (one === undefined ? NaN : (checkIn(one, id).demand ?? NaN)));
        expect(after).toBeGreaterThanOrEqual((before ?? NaN) - 1e-9);
      }
    }),
    { numRuns: 40 },
  );
});

test('numbers from anywhere: every answer is finite, and what is not known never passes', () => {
  const number = fc.oneof(fc.constantFrom(0, 0.3, -0.3, 1e-9, 6, -6), fc.double({ min: -12, max: 12, noNaN: true }));
  const any = fc.record({
    xM: number,
    yM: number,
    zM: number,
    hook: fc.constantFrom('a', 'b'),
    kind: fc.constantFrom('guy', 'breastline'),
  });
  let known = 0;
  fc.assert(
    fc.property(
      fc.array(any, { minLength: 1, maxLength: 4 }),
      number,
      number,
      fc.constantFrom(0, 1, 400, 1e5),
      (ends, leanA, leanB, massKg) => {
        const lines = ends.map(({ hook, kind, ...to }, n) =>
          lineAt(hook, place(to.xM, to.yM, to.zM), { id: `l${n}`, kind: kind as 'guy', pretensionKn: kind === 'guy' ? 0.2 : null }),
        );
        const plan = planWith(truss(lines, { pointLoads: [load(2, massKg)] }));
        if (!checkPlan(plan, SHOW).ok) return;
        const { outcome } = assessed(plan, { roof: roofWith({ yM: leanA }, { yM: leanB }) });
        const numbers = outcome.loads.flatMap(({ xKn, yKn, downKn }) => [xKn, yKn, downKn]);
        expect(numbers.every(Number.isFinite)).toBe(true);
        const told = outcome.checks.find(({ id }) => id === 'configuration:h:linesOffPlumb');
        if (told?.verdict === 'fits') known++;
        else
          for (const id of ['pointDown:pa', 'pointDown:pb']) expect(checkIn({ outcome } as Assessment, id).verdict).toMatch(/unknown|over/);
      },
    ),
    { numRuns: 300, seed: 5 },
  );
  expect(known).toBeGreaterThan(5);
});

describe('what is not known is never a pass', () => {
  const across = lineAt('a', place(0, 5, 6));
  const weightless = { hoist: documented(hoist({ bodyKg: 0, chainKgPerM: 0 })) };
  test.each<[string, Hang, ReturnType<typeof roofWith>, string, string]>([
    ['a line on the wrong side', truss([lineAt('a', place(0, -5, 6))]), roofWith(), 'line-would-push', 'over'],
    ['a hook beside where it would rest', truss([across]), roofWith({ yM: -0.3 }, { yM: 0.02 }), 'truss-not-at-rest', 'over'],
    [
      'lines against each other',
      truss([across, lineAt('a', place(0, -5, 6), { id: 'l' })]),
      roofWith(),
      'lines-share-by-stiffness',
      'unknown',
    ],
    [
      'lines against each other but for a few millimetres',
      truss([lineAt('a', place(0, 2, 6)), lineAt('a', place(0.004, -2, 6), { id: 'l' })], { pointLoads: [load(4, 400)] }),
      roofWith({ yM: -0.1 }),
      'lines-share-by-stiffness',
      'unknown',
    ],
    [
      'lines along it from either end, but for a few millimetres',
      truss([lineAt('a', place(-5, 0.02, 6)), lineAt('b', place(13, -0.02, 6))]),
      roofWith({}),
      'lines-share-by-stiffness',
      'unknown',
    ],
    ['a line beside its chain', truss([lineAt('a', place(0, -0.31, 12))]), roofWith(), 'line-beside-chain', 'unknown'],
    [
      'a guy without its pretension',
      truss([lineAt('a', place(0, 5, 6), { kind: 'guy' })]),
      roofWith(),
      'guy-without-pretension',
      'unknown',
    ],
    ['a guy that goes up', truss([lineAt('a', place(0, 5, 7), { kind: 'guy', pretensionKn: 1 })]), roofWith(), 'guy-carries', 'unknown'],
    [
      'a guy that nothing pulls against',
      truss([lineAt('a', place(0, 5, 6), { kind: 'guy', pretensionKn: 1 })]),
      roofWith({}),
      'truss-not-at-rest',
      'over',
    ],
    [
      // Its pretension holds 200 kg at rest 0.1 m aside; moving, the hook asks for a quarter more of it.
      'a guy that alone holds a hook aside',
      truss(
        [lineAt('a', place(0, 5, 6), { kind: 'guy', pretensionKn: kn(200) / 60 })],
        { pointLoads: [load(4, 400)] },
        { hoist: { equipment: 'hoist', mount: 'bodyUp', chainLengthM: 0, bag: 'none' } },
      ),
      roofWith({ yM: -0.1 }),
      'guy-holds-as-loads-change',
      'unknown',
    ],
    ['a point that the roof does not have', truss([lineAt('a', { pointId: 'gone' })]), roofWith(), 'point-missing', 'unknown'],
    [
      'no height of the hook',
      truss([across], {}, { position: { ...at(0, 0, 6), zM: null } }),
      roofWith(),
      'hook-height-not-stated',
      'unknown',
    ],
    [
      // Splayed lines: what one hook loses of its load the truss has to give along, and comes to rest elsewhere.
      'loads that move it too far',
      truss([lineAt('a', place(-5, 5, 6)), lineAt('b', place(13, 5, 6))], {
        pointLoads: [load(4, 400), load(-0, 0), load(0, 900, 'estimated')],
      }),
      roofWith({ yM: -0.9, xM: -0.0 }, { yM: -0.9 }),
      'truss-not-at-rest',
      'over',
    ],
  ])('%s', (_, hang, roof, code, verdict) => {
    const assessment = found(hang, roof, weightless);
    expect(checkIn(assessment, 'configuration:h:linesOffPlumb')).toMatchObject({ verdict, reason: { code } });
    for (const id of ['pointDown:pa', 'pointDown:pb']) expect(checkIn(assessment, id).verdict).toBe('unknown');
    expect(checkIn(assessment, 'configuration:h:linesOffPlumb').reason?.text).not.toContain(code); // in words
  });
  test('loads on one side of splayed lines may move the truss, and then nothing is known', () => {
    // As stated both hooks carry the same and the splayed lines balance; with 20 kg more at hook a alone it moves along by a little.
    const lines = [lineAt('a', place(-5, 5, 6)), lineAt('b', place(13, 5, 6))];
    const roof = roofWith({ yM: -0.9 }, { yM: -0.9 });
    const own = { section: { ...section, selfKgPerM: 100, selfBasis: 'weighed' as const } };
    const little = found(truss(lines, { ...own, pointLoads: [load(0, 20, 'estimated'), load(8, 20)] }), roof);
    expect(checkIn(little, 'configuration:h:linesOffPlumb').verdict).toBe('fits');
    const far = roofWith({ yM: -2 }, { yM: -2 });
    const much = found(truss(lines, { pointLoads: [load(4, 40), load(0, 180, 'estimated'), load(8, 180)] }), far);
    expect(checkIn(much, 'configuration:h:linesOffPlumb')).toMatchObject({
      verdict: 'unknown',
      reason: { code: 'truss-swings-with-loads' },
    });
  });
  test('drawn where it does not rest, it is told which hook is how far out, or the whole truss along', () => {
    const told = (roof: ReturnType<typeof roofWith>) => checkIn(found(truss([across]), roof), 'configuration:h:linesOffPlumb');
    const besideB = told(roofWith({ yM: -0.3 }, { yM: 0.02 }));
    expect([besideB.pickUpId, besideB.reason?.text]).toEqual(['b', expect.stringContaining('20 mm across at this hook') as string]);
    const ofB = found(truss([lineAt('b', place(8, 5, 6))]), roofWith({ yM: 0.02 }, { yM: -0.3 }));
    expect(checkIn(ofB, 'configuration:h:linesOffPlumb').pickUpId).toBe('a');
    const along = told(roofWith({ yM: -0.3, xM: -0.03 }, { xM: 7.97 }));
    expect([along.pickUpId, along.reason?.text]).toEqual([null, expect.stringContaining('30 mm along') as string]);
    const diagonal = found(truss([lineAt('a', place(2, 5, 6))]));
    expect(checkIn(diagonal, 'configuration:h:linesOffPlumb').reason?.text).toMatch(/\d+ mm along/);
  });
  test('with a mass missing nobody can tell that it cannot hang so', () => {
    const missing = truss([lineAt('a', place(0, -5, 6))], { pointLoads: [load(2, 400), { ...load(3, 1), massKg: null, basis: null }] });
    expect(checkIn(found(missing), 'configuration:h:linesOffPlumb').verdict).toBe('unknown');
  });
});

test.each<[string, Hang]>([
  ['hook-of-line-missing', truss([lineAt(null, place(0, 5, 6))])],
  ['no-such-pick-up', truss([lineAt('c', place(0, 5, 6))])],
  ['no-such-pick-up', { ...single('h'), linesOffPlumb: [lineAt('b', place(0, 5, 6))] }],
  ['no-place-on-this-kind', truss([lineAt('a', place(0, 5, 6), { at: { on: 'frame', uM: 0, vM: 0 } })])],
  ['hang-not-computed', { ...truss([lineAt('a', place(0, 5, 6))]), kind: 'truss', build: null }],
  ['hang-not-computed', truss([lineAt('a', place(0, 5, 6))], {}, { givenLoad: { massKg: 1, basis: 'weighed', source: 's' } })],
  ['hang-not-computed', truss([lineAt('a', place(0, 5, 6), { kind: 'pullBack' })])],
  ['hang-not-computed', truss([0, 1, 2].map((n) => lineAt('a', place(n, 5, 6), { id: `l${n}` })))],
  ['hang-not-computed', truss([0, 1, 2, 3].map((n) => lineAt(n < 2 ? 'a' : 'b', place(n, 5, 6), { id: `l${n}` })))],
  ['hang-not-computed', { ...truss([lineAt('a', place(0, 5, 6))]), support: 'ground' }],
  [
    'hang-not-computed',
    { ...truss([lineAt('a', place(0, 5, 6))]), pickUps: ['a', 'b', 'c'].map((id) => pickUp(id, { attachment: direct('pa') })) },
  ],
])('refused: %s', (code, hang) => {
  const checked = checkPlan(planWith(hang), SHOW);
  expect(checked.ok ? [] : checked.error.faults.map((fault) => fault.code)).toContain(code);
});

test('a refusal says why and what to do instead', () => {
  const whyOf = (hang: Hang) => {
    const checked = checkPlan(planWith(hang), SHOW);
    return checked.ok ? '' : checked.error.faults.map(({ message }) => message).join();
  };
  const three = { ...truss([lineAt('a', place(0, 5, 6))]), pickUps: ['a', 'b', 'c'].map((id) => pickUp(id, { attachment: direct('pa') })) };
  expect(whyOf(three)).toMatch(/on 3 hoists bends sideways.*Hang it on two, or take the lines out/);
  expect(whyOf({ ...three, kind: 'trussFrame', build: null })).toMatch(/frame pass a pull/);
});
