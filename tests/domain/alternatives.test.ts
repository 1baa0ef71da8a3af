import fc from 'fast-check';
import { expect, test } from 'vitest';
import { outcomeOf } from '../../src/domain/assessment/assess.ts';
import { alternativesFor } from '../../src/domain/alternatives/one-hang.ts';
import type { Bounds, HangQuestion } from '../../src/domain/alternatives/question.ts';
import { alternativesForPlan } from '../../src/domain/alternatives/whole-plan.ts';
import { checkPlan } from '../../src/domain/plan/check-plan.ts';
import type { Attachment, Hang } from '../../src/domain/plan/plan.ts';
import type { KeepOut, RoofPoint } from '../../src/domain/roof/structure.ts';
import { direct, inputOf, pickUp, planOf, roofOf, single } from './plan-samples.ts';
import { expectOk, group, point } from './roof-samples.ts';

const ENOUGH = { mostAssessed: 5000, isOver: () => false };
const BOUNDS: Bounds = { withinM: 12, shift: { xM: 0, yM: 0 }, mostLegs: 3, legAngleDeg: 40, most: 3 };
const at = (id: string, xM: number, yM: number, change: Partial<RoofPoint> = {}): RoofPoint =>
  point(id, { xM, yM, zM: 12, on: [], maxAngleDeg: 55, wllKg: 1000, ...change });
const hangAt = (id: string, xM: number, yM: number, massKg: number, attachment: Attachment): Hang =>
  single(id, {
    pickUps: [pickUp(`${id}-1`, { position: { xM, yM, zM: 4 }, attachment })],
    items: [{ what: 'load', count: 1, massKg, basis: 'weighed' }],
  });
const ask = (
  points: RoofPoint[],
  hangs: Hang[],
  hangId: string,
  change: Partial<Bounds> = {},
  limits = [] as ReturnType<typeof group>[],
): HangQuestion => ({
  ...inputOf(planOf(hangs), { roof: roofOf({ points, limits, standingLoads: [] }) }),
  hangId,
  bounds: { ...BOUNDS, ...change },
});
/** Why hard checks of a plan do not fit, each reason once. */
const wanting = (question: HangQuestion): (string | undefined)[] => {
  const missed = outcomeOf(question).outcome.checks.filter(({ hard, verdict }) => hard && verdict !== 'fits' && verdict !== 'close');
  return [...new Set(missed.map(({ reason }) => reason?.code))];
};
const square = [at('a', 0, 0), at('b', 6, 0), at('c', 6, 6), at('d', 0, 6)];

test('what is too much for one point hangs between two, and moves below a stronger one only as far as it may', () => {
  const hang = hangAt('h', 3, 0, 800, direct('a'));
  const { alternatives, stoppedEarly } = alternativesFor(ask(square, [hang], 'h'), ENOUGH);
  expect(stoppedEarly).toEqual([]);
  expect(alternatives[0]).toMatchObject({ verdict: 'unknown', displacementM: 0, pieces: 2, pointIds: ['a', 'b'] });
  expect(wanting(ask(square, [alternatives[0]!.hang], 'h'))).toEqual(['leg-parts-not-stated']);
  const strong = [...square, at('s', 4, 1, { wllKg: 3000 })];
  const moved = (shift: Bounds['shift']) => alternativesFor(ask(strong, [hang], 'h', { shift, mostLegs: 1 }), ENOUGH).alternatives;
  expect(moved({ xM: 1, yM: 1 })[0]).toMatchObject({ pointIds: ['s'], pieces: 1 });
  expect(moved({ xM: 1, yM: 1 })[0]!.displacementM).toBeCloseTo(Math.SQRT2, 9);
  expect(moved({ xM: 0.5, yM: 1 })).toEqual([]);
});

test('a full group, a place to be kept free and a vertical-only point are no way out', () => {
  const hang = hangAt('h', 3, 3, 900, direct('a'));
  const other = hangAt('o', 6, 0, 500, direct('b'));
  expect(alternativesFor(ask(square, [hang, other], 'h', {}, [group('g', ['a', 'b', 'c', 'd'], 1600)]), ENOUGH).alternatives).toEqual([]);
  expect(
    alternativesFor(
      ask(
        square.map((one) => ({ ...one, maxAngleDeg: null })),
        [hang],
        'h',
      ),
      ENOUGH,
    ).alternatives,
  ).toEqual([]);
  const box = { xM: 3, yM: 3, alongM: 1, acrossM: 1, azimuthDeg: 0, bottomZM: 3, topZM: 4 };
  const keepOut: KeepOut = {
    id: 'k',
    label: 'duct',
    reason: 'duct',
    area: [
      { xM: 2, yM: 2 },
      { xM: 4, yM: 2 },
      { xM: 4, yM: 4 },
      { xM: 2, yM: 4 },
    ],
    fromZM: 0,
    toZM: 10,
    hard: true,
    fromDay: null,
    untilDay: null,
  };
  const inTheWay = ask(square, [{ ...hang, box }], 'h', { shift: { xM: 3, yM: 0 } });
  const roof = roofOf({ points: square, limits: [], standingLoads: [], keepOuts: [keepOut] });
  const { alternatives } = alternativesFor({ ...inTheWay, roof }, ENOUGH);
  expect(alternatives.length).toBeGreaterThan(0);
  for (const { displacementM } of alternatives) expect(displacementM).toBeGreaterThanOrEqual(1.5 - 1e-9);
});

// The second way: every pair and triple, put together without bounds or order, each assessed.
const everyWay = (question: HangQuestion): { verdict: string; pieces: number; utilisation: number }[] => {
  const { plan, roof, show, bounds } = question;
  const hang = plan.hangs.find(({ id }) => id === question.hangId)!;
  const line = hang.pickUps[0]!;
  const hook = { ...line.position, zM: line.position.zM! };
  const subsets = (of: RoofPoint[], count: number): RoofPoint[][] =>
    count === 0 ? [[]] : of.flatMap((one, n) => subsets(of.slice(n + 1), count - 1).map((rest) => [one, ...rest]));
  const attachments = [1, 2, 3].flatMap((legs) =>
    subsets(roof.points, legs).map((some): Attachment => {
      if (legs === 1) return direct(some[0]!.id);
      const wanted = Math.tan((bounds.legAngleDeg * Math.PI) / 180);
      const high = some.map((one) => one.zM - Math.hypot(one.xM - hook.xM, one.yM - hook.yM) / wanted);
      const apex = { xM: hook.xM, yM: hook.yM, zM: Math.max(hook.zM + 0.6, Math.min(...high)) };
      return { kind: 'bridle', apex, legs: some.map(({ id }) => ({ pointId: id, parts: [] })), apexParts: [] };
    }),
  );
  return attachments.flatMap((attachment) => {
    const changed = { ...hang, pickUps: [{ ...line, attachment }] };
    const checked = checkPlan({ ...plan, hangs: plan.hangs.map((one) => (one.id === hang.id ? changed : one)) }, show);
    if (!checked.ok) return [];
    const { outcome } = outcomeOf({ ...question, plan: checked.value });
    // A bridle of which one leg carries nothing is no bridle.
    if (outcome.loads.some(({ downKn }) => downKn < 1e-6)) return [];
    const utilisation = outcome.totals.worstUtilisation ?? 0;
    return [{ verdict: outcome.verdict, pieces: attachment.kind === 'bridle' ? attachment.legs.length : 1, utilisation }];
  });
};

const anyRoof = fc.record({
  places: fc.uniqueArray(fc.tuple(fc.integer({ min: -4, max: 4 }), fc.integer({ min: -4, max: 4 })), {
    minLength: 3,
    maxLength: 6,
    selector: ([x, y]) => `${x} ${y}`,
  }),
  ratings: fc.array(fc.integer({ min: 200, max: 1500 }), { minLength: 6, maxLength: 6 }),
  heights: fc.array(fc.integer({ min: 10, max: 14 }), { minLength: 6, maxLength: 6 }),
  groupKg: fc.integer({ min: 500, max: 3000 }),
  massKg: fc.integer({ min: 50, max: 1200 }),
});

test('nothing better is to be found by trying everything, and what is offered is what an assessment finds', () => {
  fc.assert(
    fc.property(anyRoof, ({ places, ratings, heights, groupKg, massKg }) => {
      const points = places.map(([xM, yM], n) => at(`p${n}`, xM, yM, { wllKg: ratings[n]!, zM: heights[n]! }));
      const question = ask(points, [hangAt('h', 0, 0, massKg, direct('p0'))], 'h', { most: 2 }, [group('g', ['p0', 'p1', 'p2'], groupKg)]);
      const { alternatives } = alternativesFor(question, ENOUGH);
      for (const offered of alternatives) {
        const plan = expectOk(checkPlan({ ...question.plan, hangs: [offered.hang] }, question.show));
        const { outcome } = outcomeOf({ ...question, plan });
        expect(outcome.verdict).toBe(offered.verdict);
        expect(offered.planVerdict).toBe(offered.verdict);
        expect(offered.verdict).not.toBe('over');
        expect(outcome.totals.worstUtilisation).toBeCloseTo(offered.utilisation ?? 0, 12);
      }
      const all = everyWay(question);
      for (const pieces of [1, 2, 3]) {
        for (const verdict of ['fits', 'close']) {
          const possible = all.filter((one) => one.pieces === pieces && one.verdict === verdict).map(({ utilisation }) => utilisation);
          const offered = alternatives
            .filter((one) => one.pieces === pieces && one.verdict === verdict)
            .map(({ utilisation }) => utilisation ?? 0);
          const better = verdict === 'close' ? all.filter((one) => one.pieces === pieces && one.verdict === 'fits').length : 0;
          const expected = possible.sort((a, b) => a - b).slice(0, Math.max(0, 2 - better));
          expect(offered).toHaveLength(expected.length);
          for (const [n, one] of offered.sort((a, b) => a - b).entries()) expect(one).toBeCloseTo(expected[n]!, 7);
        }
      }
    }),
    { numRuns: 40, seed: 5 },
  );
});

test('the same question has the same answer, and a budget is kept and told', () => {
  const question = ask(square, [hangAt('h', 2.5, 3, 900, direct('a'))], 'h', { shift: { xM: 1, yM: 1 } });
  expect(alternativesFor(question, ENOUGH)).toEqual(alternativesFor(question, ENOUGH));
  const few = alternativesFor(question, { ...ENOUGH, mostAssessed: 2 });
  expect(few.assessed).toBeLessThanOrEqual(2);
  expect(few.stoppedEarly).toEqual(['assessments']);
  let asked = 0;
  const brief = alternativesFor(question, { ...ENOUGH, isOver: () => (asked += 1) > 1 });
  expect(brief.stoppedEarly).toEqual(['time']);
});

test('a truss moves as a whole, line by line from points of its own', () => {
  const points = [at('a', 0, 0, { wllKg: 100 }), at('b', 6, 0), at('c', 0, 1), at('d', 6, 1)];
  const lines = [0, 6].map((xM, n) =>
    pickUp(`t-${n}`, {
      position: { xM, yM: 0, zM: 4 },
      attachment: direct(n === 0 ? 'a' : 'b'),
      givenLoad: { massKg: 400, basis: 'weighed', source: 'maker' },
    }),
  );
  const hang = single('t', { pickUps: lines, items: [] });
  const found = alternativesFor(ask(points, [hang], 't', { shift: { xM: 0, yM: 1 }, mostLegs: 1 }), ENOUGH);
  expect(found.alternatives[0]).toMatchObject({ verdict: 'fits', displacementM: 1, moved: { xM: 0, yM: 1 }, pointIds: ['c', 'd'] });
  expect(found.alternatives[0]!.hang.pickUps.map(({ position }) => position.yM)).toEqual([1, 1]);
  expect(found.stoppedEarly).toEqual(['combinations']);
});

test('a whole plan is put right hang by hang, and what cannot be placed is named', () => {
  const hangs = [hangAt('h1', 3, 0, 800, direct('a')), hangAt('h2', 3, 6, 800, direct('d')), hangAt('h3', 0, 3, 60, direct('a'))];
  const { hangId, ...question } = ask(square, hangs, 'h1');
  const found = alternativesForPlan(question, ENOUGH);
  expect(hangId).toBe('h1');
  expect(found).toMatchObject({ stillOver: [], planVerdict: 'unknown' });
  expect(found.changes.map(({ hang }) => hang.id).sort()).toEqual(['h1', 'h2', 'h3']);
  const plan = expectOk(
    checkPlan(
      { ...question.plan, hangs: hangs.map((one) => found.changes.find(({ hang }) => hang.id === one.id)?.hang ?? one) },
      question.show,
    ),
  );
  expect(outcomeOf({ ...question, plan }).outcome.verdict).toBe('unknown');
  expect(wanting({ ...question, plan, hangId: 'h1' })).toEqual(['leg-parts-not-stated']);
  const hopeless = alternativesForPlan(ask(square, [hangAt('h1', 3, 0, 9000, direct('a'))], 'h1'), ENOUGH);
  expect(hopeless).toMatchObject({ changes: [], stillOver: ['h1'], planVerdict: 'over' });
});
