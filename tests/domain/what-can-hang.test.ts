import fc from 'fast-check';
import loadSolver from 'highs';
import { expect, test } from 'vitest';
import type { NeighbourLoad } from '../../src/domain/assessment/assessment.ts';
import { whatCanHang } from '../../src/domain/capacity/what-can-hang.ts';
import type { Limit, PublishedRoof } from '../../src/domain/roof/structure.ts';
import { assessed, BEFORE, dead, neighbour, planOf, roofOf, SHOW } from './plan-samples.ts';
import { group, member, point, publish, terms } from './roof-samples.ts';

const ask = (roof: PublishedRoof, pointIds: string[], loads: NeighbourLoad[] = []) =>
  whatCanHang({ roof, during: SHOW, loads, asOf: BEFORE, pointIds });
const common = (id: string) => ({ id, label: id, hard: true, terms });

test('one point holds its rating less what hangs there, two of a group share what the group has left', () => {
  const roof = roofOf({ limits: [group('g', ['p1', 'p2'], 1500)] });
  const others = [neighbour('p1', 300), neighbour('p2', 50, { ref: 'wish', status: 'submitted' })];
  expect(ask(roof, ['p1'])).toEqual({ pointIds: ['p1'], maxKg: 1000, heldBy: ['pointDown:p1'], reasons: [] });
  expect(ask(roof, ['p1'], others).maxKg).toBeCloseTo(700, 6);
  expect(ask(roof, ['p2', 'p1'], others)).toMatchObject({ pointIds: ['p1', 'p2'], heldBy: ['group:g'] });
  expect(ask(roof, ['p2', 'p1'], others).maxKg).toBeCloseTo(600, 6);
});

test('a roof that is over already holds nothing more, and one load of a count that is full nothing at all', () => {
  const counted: Limit = { ...common('c'), kind: 'count', pointIds: ['p1', 'p2'], maxLoaded: 1 };
  expect(ask(roofOf({ limits: [] }), ['p1'], [neighbour('p1', 1200)])).toMatchObject({ maxKg: 0, heldBy: ['pointDown:p1'] });
  const full = ask(roofOf({ limits: [counted] }), ['p1'], [neighbour('p2', 10)]);
  expect(full.maxKg).toBeCloseTo(0, 6);
  expect(full.heldBy).toEqual(['count:c']);
});

test('where a rating, a load or a point is not stated there is a reason and no number', () => {
  const unrated = roofOf({ points: [point('p1', { wllKg: null, on: [] })], limits: [], standingLoads: [] });
  for (const [roof, pointId, others] of [
    [unrated, 'p1', []],
    [roofOf(), 'p1', [{ ...neighbour('p1', 1), isLowerBound: true }]],
    [roofOf(), 'nowhere', []],
  ] as const) {
    const answer = ask(roof, [pointId], [...others]);
    expect(answer.maxKg).toBeNull();
    expect(answer.reasons.length).toBeGreaterThan(0);
  }
});

// The second way: a linear programme of the same limits, solved by a solver that knows nothing of the assessor.
const solver = await loadSolver();
test('as much as the linear programme says, over ratings, groups and weights of both signs', () => {
  const factor = fc.constantFrom(-1, -0.5, 0.25, 0.5, 1, 1.5);
  const scene = fc.record({
    ratings: fc.array(fc.integer({ min: 100, max: 2000 }), { minLength: 3, maxLength: 3 }),
    others: fc.array(fc.integer({ min: 0, max: 90 }), { minLength: 3, maxLength: 3 }),
    weights: fc.array(factor, { minLength: 3, maxLength: 3 }),
    groupKg: fc.integer({ min: 300, max: 4000 }),
    weightedKg: fc.integer({ min: 300, max: 4000 }),
    asked: fc.subarray([0, 1, 2], { minLength: 1 }),
  });
  fc.assert(
    fc.property(scene, ({ ratings, others, weights, groupKg, weightedKg, asked }) => {
      const ids = ['a', 'b', 'c'];
      const weighted: Limit = {
        ...common('w'),
        kind: 'weighted',
        weights: ids.map((pointId, n) => ({ pointId, factor: weights[n]! })),
        maxKg: weightedKg,
        minKg: null,
      };
      const points = ids.map((id, n) => point(id, { wllKg: ratings[n]!, xM: n * 3, on: [] }));
      const roof = roofOf({ points, standingLoads: [], limits: [group('g', ids, groupKg), weighted] });
      const neighbours = ids.map((id, n) => neighbour(id, others[n]!, { ref: id }));
      const found = ask(
        roof,
        asked.map((n) => ids[n]!),
        neighbours,
      );
      // A load that helps may be absent, so only what makes a sum worse is in it.
      const worse = weights.map((w) => Math.max(0, w));
      const sum = (of: number[], factors: number[]) => of.reduce((total, n) => total + factors[n]!, 0);
      const fixed = others.reduce((total, kg, n) => total + kg * worse[n]!, 0);
      const rows = [
        ...asked.map((n) => ({ factor: 1, most: ratings[n]! - others[n]! })),
        { factor: asked.length, most: groupKg - others.reduce((total, kg) => total + kg, 0) },
        { factor: sum(asked, worse), most: weightedKg - fixed },
      ].filter((row) => row.factor > 0);
      const text = rows.map((row, n) => ` r${n}: ${row.factor} x <= ${row.most}`).join('\n');
      const solved = solver.solve(`Maximize\n obj: x\nSubject To\n${text}\nBounds\n x >= 0\nEnd`);
      expect(solved.Status).toBe('Optimal');
      expect(Math.abs(found.maxKg! - solved.ObjectiveValue)).toBeLessThanOrEqual(1e-7 * (1 + solved.ObjectiveValue));
    }),
    { numRuns: 100, seed: 11 },
  );
});

test('a girder, a spacing and a density hold too: the answer is not over as a plan, and a little more is', () => {
  const girder = publish({
    members: [member('m1', { allowables: [{ fromM: 0, toM: 10, saggingKnm: 20, hoggingKnm: 20, shearKn: 30 }] })],
    limits: [
      { ...common('d'), kind: 'density', memberId: 'm1', windowM: 6, maxKg: 700 },
      { ...common('s'), kind: 'spacing', memberId: 'm1', minSpacingM: 8, reducedKg: 420 },
    ],
  });
  fc.assert(
    fc.property(
      fc.subarray(['p1', 'p2'], { minLength: 1 }),
      fc.integer({ min: 0, max: 400 }),
      fc.constantFrom('p1', 'p2'),
      (pointIds, kg, at) => {
        const neighbours = kg === 0 ? [] : [neighbour(at, kg)];
        const { maxKg, heldBy } = ask(girder, pointIds, neighbours);
        const overWith = (each: number) =>
          assessed(planOf(pointIds.map((id) => dead(id, id, each))), { roof: girder, neighbours })
            .outcome.checks.filter(({ hard, verdict }) => hard && verdict === 'over')
            .map(({ id }) => id);
        if (maxKg! > 0) expect(overWith(maxKg!)).toEqual([]);
        expect(overWith(maxKg! * (1 + 1e-7) + 1e-6)).toEqual(expect.arrayContaining([...heldBy]));
        expect(heldBy.length).toBeGreaterThan(0);
      },
    ),
    { numRuns: 60, seed: 3 },
  );
});
