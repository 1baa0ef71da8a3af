import fc from 'fast-check';
import { Matrix, solve } from 'ml-matrix';
import { describe, expect, test } from 'vitest';
import type { Assessment } from '../../src/domain/assessment/assessment.ts';
import { STANDARD_GRAVITY } from '../../src/domain/foundation/units.ts';
import type { Attachment, Hang, LineOffPlumb, PartUsed, PickUp, Position } from '../../src/domain/plan/plan.ts';
import { assessed, checkIn, direct, documented, hoist, pickUp, planOf, roofOf, single, steel } from './plan-samples.ts';
import { group, point } from './roof-samples.ts';

// Everything is invented. 400 kg hang 6 m below an apex and 1.5 m aside of it, held by a level line: 100 kg aside, 400 kg down on the apex.
// Three legs go up 4 m to (4, 0), (-3, 3) and (-3, -3).
const at = (xM: number, yM: number, zM: number): Position => ({ xM, yM, zM });
const PARTS: PartUsed[] = [{ equipment: 'rope', count: 1, hitch: 'straight' }];
const POINTS = { a: at(4, 0, 18), b: at(-3, 3, 18), c: at(-3, -3, 18), d: at(-4, 0, 18), e: at(7.5, 0, 14) };
type Name = keyof typeof POINTS;
const APEX = at(0, 0, 14);
const lengthM = (from: Position, to: Position) => Math.hypot(to.xM - from.xM, to.yM - from.yM, to.zM - from.zM);
const ropeOf = (name: Name, apex = APEX) => `rope ${name} ${apex.xM} ${apex.yM}`;
const bridle = (names: readonly Name[], apex = APEX): Attachment => ({
  kind: 'bridle',
  apex,
  legs: names.map((name) => ({ pointId: name, parts: [{ equipment: ropeOf(name, apex), count: 1, hitch: 'straight' }] })),
  apexParts: [],
});
const equipment = (apex = APEX) => ({
  rope: documented(steel({ massKg: 0 })),
  ...Object.fromEntries(
    (Object.keys(POINTS) as Name[]).map((name) => [
      ropeOf(name, apex),
      documented(steel({ massKg: 0, lengthM: lengthM(apex, POINTS[name]) })),
    ]),
  ),
});
const line = (to: LineOffPlumb['to'], change: Partial<LineOffPlumb> = {}): LineOffPlumb => ({
  ...{ id: 'line', kind: 'breastline', at: null, parts: PARTS, pretensionKn: null, to },
  ...change,
});
const level = line({ place: at(9, 0, 8), holdsKn: 50, basis: 'test 1' });
const heldAt = (attachment: Attachment, hook = at(1.5, 0, 8), lines = [level], change: Partial<PickUp> = {}): Hang =>
  single('h', { linesOffPlumb: lines, pickUps: [pickUp('h-1', { position: hook, hoist: null, attachment, ...change })] });
const roof = roofOf({
  points: (Object.keys(POINTS) as Name[]).map((name) => ({ ...point(name, POINTS[name]), on: [], maxAngleDeg: 80, maxSidewaysKn: 90 })),
  limits: [],
});
const found = (hang: Hang, apex = APEX, more: Parameters<typeof planOf>[1] = {}) =>
  assessed(planOf([hang], { ...equipment(apex), ...more }), { roof });
const loadOf = ({ outcome }: Assessment, pointId: string, loadCase = 'resting') => {
  const one = outcome.loads.find((each) => each.pointId === pointId && each.case === loadCase);
  return one === undefined ? null : { xKn: one.xKn, yKn: one.yKn, downKn: one.downKn };
};
const about = (value: number, digits = 9): number => expect.closeTo(value, digits) as number;
const kn = (kg: number) => (kg * STANDARD_GRAVITY) / 1000;

describe('three legs, worked by hand', () => {
  // f per metre of leg: 4 fa - 6 f = -aside and 4 fa + 8 f = down, so f = (down + aside) / 14 and fa = down / 4 - 2 f.
  const legs = (asideKg: number, downKg: number) => ({ f: (downKg + asideKg) / 14, fa: downKg / 4 - (downKg + asideKg) / 7 });
  const [pulled, plumb] = [legs(100, 400), legs(0, 400)];
  test('each leg at the worse of the line taut and the line slack', () => {
    const three = found(heldAt(bridle(['a', 'b', 'c'])));
    // Against the pull the leg in front is the lighter one: it counts with the load plumb. Those behind carry more.
    expect(loadOf(three, 'a')).toEqual({ xKn: about(kn(-4 * plumb.fa)), yKn: about(0), downKn: about(kn(4 * plumb.fa)) });
    expect(loadOf(three, 'b')).toEqual({ xKn: about(kn(3 * pulled.f)), yKn: about(kn(-3 * pulled.f)), downKn: about(kn(4 * pulled.f)) });
    expect(loadOf(three, 'c')?.downKn).toBeCloseTo(kn(4 * pulled.f), 9);
    expect(pulled.fa).toBeLessThan(plumb.fa);
    expect(checkIn(three, 'configuration:h:linesOffPlumb:0:anchor').demand).toBeCloseTo(kn(100), 9);
    expect(checkIn(three, 'plumb:h:h-1')).toMatchObject({ demand: 0, verdict: 'fits' });
    expect(checkIn(three, 'part:h:h-1:leg1:0:rating').demand).toBeCloseTo(kn(pulled.f * Math.sqrt(34)), 9);
    expect(checkIn(three, 'leg:h:h-1:offVertical').verdict).toBe('close'); // 46.7°
    expect(three.outcome.checks.filter(({ hard, verdict }) => hard && verdict === 'unknown')).toEqual([]);
  });
  test('its line lost, it swings as far beyond: the leg in front counts there', () => {
    const peakKg = 400 * (3 - 8 / Math.sqrt(17));
    const three = found(heldAt(bridle(['a', 'b', 'c'])));
    const beyond = legs(-peakKg / 4, peakKg);
    expect(loadOf(three, 'a', 'slack')?.downKn).toBeCloseTo(kn(4 * beyond.fa), 9);
    expect(loadOf(three, 'b', 'slack')?.downKn).toBeCloseTo(kn(4 * legs(peakKg / 4, peakKg).f), 9);
    expect(three.outcome.checks.some(({ id }) => id === 'configuration:h:linesOffPlumb:lost')).toBe(false);
    const limited = assessed(planOf([heldAt(bridle(['a', 'b', 'c']))], equipment()), {
      roof: { ...roof, limits: [group('front', ['a'], 4 * plumb.fa + 10)] },
    });
    expect(checkIn(limited, 'group:front').demand).toBeCloseTo(4 * plumb.fa, 9);
    expect(checkIn(limited, 'group:front:slack')).toMatchObject({ verdict: 'over', demand: about(4 * beyond.fa) });
  });
  test('the hoist at the apex or at the hook: what moves pulls with the dynamic factor, and the trip of its limiter leans as the line does', () => {
    const more = { hoist: documented(hoist({ bodyKg: 0, chainKgPerM: 0, bagKg: 0 })) };
    for (const mount of ['bodyUp', 'bodyDown'] as const) {
      const line = { hoist: { equipment: 'hoist', mount, chainLengthM: 0, bag: 'none' as const } };
      const moved = found(heldAt(bridle(['a', 'b', 'c']), at(1.5, 0, 8), [level], line), APEX, more);
      expect(loadOf(moved, 'b', 'moving')?.downKn).toBeCloseTo(1.25 * kn(4 * pulled.f), 9);
      expect(checkIn(moved, 'hoist:h:h-1:rating').demand).toBeCloseTo(100 * Math.sqrt(17), 6);
      const trip = legs(400, 1600); // 1.6 · 1000 kg, leaning 1 in 4
      expect(loadOf(moved, 'b', 'limiter')?.downKn).toBeCloseTo(kn(4 * trip.f), 9);
      expect(loadOf(moved, 'a', 'limiter')?.downKn).toBeCloseTo(kn(4 * legs(0, 1600).fa), 9);
    }
  });
  test('a line up to a point takes nothing off the legs, and loads that point', () => {
    // Up at 45° beside a lean of 1 in 4: a fifth of the load on the line, 80 kg aside, and 400 down all the same.
    const up = found(heldAt(bridle(['a', 'b', 'c']), at(1.5, 0, 8), [line({ pointId: 'e' })]));
    expect(loadOf(up, 'e')).toEqual({ xKn: about(-kn(80)), yKn: about(0), downKn: about(kn(80)) });
    expect(loadOf(up, 'b')?.downKn).toBeCloseTo(kn(4 * legs(80, 400).f), 9);
    expect(loadOf(up, 'a')?.downKn).toBeCloseTo(kn(4 * plumb.fa), 9);
  });
});

test('two legs: in their plane they share the pull; out of it their apex would swing', () => {
  const two = found(heldAt(bridle(['a', 'd'])));
  expect(loadOf(two, 'd')?.downKn).toBeCloseTo(kn(250), 9); // 4 f1 - 4 f2 = -100, 4 f1 + 4 f2 = 400
  expect(loadOf(two, 'a')?.downKn).toBeCloseTo(kn(200), 9);
  const across = line({ place: at(0, 9, 8), holdsKn: 50, basis: 'x' });
  const out = found(heldAt(bridle(['a', 'd']), at(0, 1.5, 8), [across]));
  expect(checkIn(out, 'configuration:h:linesOffPlumb')).toMatchObject({ verdict: 'over', reason: { code: 'pull-off-the-legs-plane' } });
  expect(checkIn(out, 'configuration:h:linesOffPlumb').reason?.text).toContain('use three legs');
  for (const id of ['pointDown:a', 'pointDown:d']) expect(checkIn(out, id).verdict).toBe('unknown');
});

test('a second way: legs by a general solver of linear equations, over any apex and any lean', () => {
  const metres = (min: number, max: number) => fc.double({ min, max, noNaN: true });
  let solved = 0;
  fc.assert(
    fc.property(metres(-1, 1.5), metres(-1, 1), metres(10, 16), metres(-1, 1), metres(-1, 1), metres(-2, 2), (x, y, z, dx, dy, endZ) => {
      if (Math.hypot(dx, dy) < 0.1) return;
      const apex = at(x, y, z);
      const hook = at(x + dx, y + dy, z - 6);
      const pulling = line({ place: at(hook.xM + 4 * dx, hook.yM + 4 * dy, hook.zM + endZ), holdsKn: 50, basis: 'x' });
      const held = found(heldAt(bridle(['a', 'b', 'c'], apex), hook, [pulling]), apex);
      const ways = (['a', 'b', 'c'] as const).map((name) => [POINTS[name].xM - x, POINTS[name].yM - y, POINTS[name].zM - z] as const);
      const columns = new Matrix([0, 1, 2].map((axis) => ways.map((way) => way[axis] ?? 0)));
      // Moments about the far end of the line give the pull of the chain; what it is relieved by does not count.
      const [lean, rise] = [Math.hypot(dx, dy), endZ / (4 * Math.hypot(dx, dy))];
      const asideKg = 400 / (6 / lean + rise);
      const taut = { asideKg, downKg: 400 - asideKg * rise };
      const densities = [taut, { asideKg: taut.asideKg, downKg: Math.max(400, taut.downKg) }, { asideKg: 0, downKg: 400 }].map((pull) =>
        solve(columns, Matrix.columnVector([(-pull.asideKg * dx) / lean, (-pull.asideKg * dy) / lean, pull.downKg])).to1DArray(),
      );
      const flat = ways.some((way) => Math.hypot(way[0], way[1]) > 9 * way[2]);
      const pushes = densities.some((each) => each.some((density) => density < 0));
      const told = checkIn(held, 'configuration:h:linesOffPlumb');
      if (pushes || flat) {
        expect(told.verdict).toBe(flat && !pushes ? told.verdict : 'over');
        return;
      }
      solved++;
      expect(told.verdict).toBe('fits');
      for (const [index, name] of (['a', 'b', 'c'] as const).entries()) {
        const density = Math.max(...densities.map((each) => each[index] ?? NaN));
        expect(loadOf(held, name)?.downKn).toBeCloseTo(kn(density * (ways[index]?.[2] ?? NaN)), 6);
      }
    }),
    { numRuns: 400, seed: 3 },
  );
  expect(solved).toBeGreaterThan(60);
});

describe('what is not known is never a pass', () => {
  const back = line({ place: at(-9, 0, 8), holdsKn: 50, basis: 'x' });
  test.each<[string, Hang, string, string]>([
    ['towards the leg in front', heldAt(bridle(['a', 'b', 'c'], at(-2.6, 0, 14)), at(-4.1, 0, 8), [back]), 'fits', ''],
    [
      'away from the leg in front, which goes slack',
      heldAt(bridle(['a', 'b', 'c'], at(-2.6, 0, 14)), at(-1.1, 0, 8)),
      'over',
      'leg-slackens-under-pull',
    ],
  ])('%s', (_, hang, verdict, code) => {
    const [one] = hang.pickUps;
    const apex = one?.attachment.kind === 'bridle' ? one.attachment.apex : APEX;
    const assessment = found(hang, apex);
    expect(checkIn(assessment, 'configuration:h:linesOffPlumb').verdict).toBe(verdict);
    if (code === '') return;
    expect(checkIn(assessment, 'configuration:h:linesOffPlumb').reason?.code).toBe(code);
    expect(checkIn(assessment, 'pointDown:a').verdict).toBe('unknown');
  });
  test('an apex that hangs slack without its line, a point that is gone, legs not chosen, a line on the wrong side', () => {
    const beside = found(heldAt(bridle(['a', 'b', 'c'], at(-3.2, 0, 14)), at(-4, 0, 8)), at(-3.2, 0, 14));
    expect(checkIn(beside, 'configuration:h:linesOffPlumb')).toMatchObject({
      verdict: 'over',
      reason: { code: 'leg-slackens-under-pull' },
    });
    const gone = heldAt({ ...bridle(['a', 'b']), legs: ['a', 'gone'].map((pointId) => ({ pointId, parts: [] })) } as Attachment);
    expect(checkIn(found(gone), 'configuration:h:linesOffPlumb')).toMatchObject({ verdict: 'unknown', reason: { code: 'point-missing' } });
    const bare = heldAt({ ...bridle(['a', 'd']), legs: ['a', 'd'].map((pointId) => ({ pointId, parts: [] })) } as Attachment);
    expect(checkIn(found(bare), 'pointDown:a')).toMatchObject({ verdict: 'unknown', reason: { code: 'leg-parts-not-stated' } });
    const wrong = found(heldAt(bridle(['a', 'b', 'c']), at(1.5, 0, 8), [line({ place: at(-9, 0, 8), holdsKn: 9, basis: 'x' })]));
    expect(checkIn(wrong, 'configuration:h:linesOffPlumb')).toMatchObject({ verdict: 'over', reason: { code: 'line-would-push' } });
    expect(checkIn(wrong, 'pointDown:b').verdict).toBe('unknown');
    const noHeight = heldAt(bridle(['a', 'b', 'c']), { ...at(1.5, 0, 8), zM: null } as never);
    expect(checkIn(found(noHeight), 'configuration:h:linesOffPlumb')).toMatchObject({ reason: { code: 'hook-height-not-stated' } });
    const above = heldAt(bridle(['a', 'b', 'c']), at(1.5, 0, 14));
    expect(checkIn(found(above), 'configuration:h:linesOffPlumb')).toMatchObject({ reason: { code: 'hook-not-below-point' } });
  });
  test('a swing beyond which a leg would go slack is not computed', () => {
    const near = found(heldAt(bridle(['a', 'b', 'c'], at(-2.6, 0, 14)), at(-4.1, 0, 8), [back]), at(-2.6, 0, 14));
    expect(checkIn(near, 'configuration:h:linesOffPlumb').verdict).toBe('fits');
    expect(checkIn(near, 'configuration:h:linesOffPlumb:lost').verdict).toBe('unknown');
  });
});

test('a hook of a truss below a bridle: its chain leans from the apex, and the legs share that', () => {
  const truss: Hang = {
    ...single('h', {
      items: [],
      linesOffPlumb: [{ ...level, pickUpId: 't1', to: { place: at(9, 0, 8), holdsKn: 9, basis: 'x' } }],
      pickUps: [
        pickUp('t1', { position: at(1.5, 0, 8), hoist: null, attachment: bridle(['a', 'b', 'c']) }),
        pickUp('t2', { position: at(1.5, 8, 8), hoist: null, attachment: direct('far') }),
      ],
    }),
    kind: 'truss',
    build: {
      lengthM: 8,
      start: at(1.5, 0, 7.7),
      azimuthDeg: 90,
      section: {
        ...{ selfKgPerM: 0, selfBasis: 'weighed', eiKnm2: 1900, gaKn: null, gjKnm2: null, saggingKnm: 30, hoggingKnm: 30, shearKn: 20 },
        ...{ nodeSpacingM: 0.5, allowablesBasis: 'maker' },
      },
      pickUps: [
        { pickUpId: 't1', atM: 0, levelMm: 0 },
        { pickUpId: 't2', atM: 8, levelMm: 0 },
      ],
      pickUpsAboveM: 0.3,
      pointLoads: [{ what: 'load', atM: 0, massKg: 400, basis: 'weighed', besideM: 0, aboveM: 0 }],
      spreadLoads: [],
    },
  };
  const far = { ...point('far', at(1.5, 8, 18)), on: [], maxAngleDeg: 60, maxSidewaysKn: 9 };
  const held = assessed(planOf([truss], equipment()), { roof: { ...roof, points: [...roof.points, far] } });
  expect(checkIn(held, 'configuration:h:linesOffPlumb').verdict).toBe('fits');
  // As the single hang above, drawn 5 mm farther out at the most.
  const asideKg = (400 * 1.505) / 6;
  expect(loadOf(held, 'b')?.downKn).toBeCloseTo(kn((4 * (400 + asideKg)) / 14), 9);
  expect(loadOf(held, 'far')?.downKn).toBeCloseTo(0, 9);
});
