import { expect, test } from 'vitest';
import type { PartUsed } from '../../src/domain/plan/plan.ts';
import { assessed, checkIn, documented, pickUp, planOf, roofOf, single, steel } from './plan-samples.ts';
import { point } from './roof-samples.ts';

// Anchors (±3, 0, 12), apex (0, 0, 8): legs of 5 m, a 3-4-5 triangle. All invented.
const roof = roofOf({
  points: [point('p1', { xM: -3, maxAngleDeg: 50, maxSidewaysKn: 9 }), point('p2', { xM: 3, maxAngleDeg: 50, maxSidewaysKn: 9 })],
  limits: [],
});
const downWith = (parts: PartUsed[], change: Parameters<typeof steel>[0] = {}) => {
  const legs = ['p1', 'p2'].map((pointId) => ({ pointId, parts }));
  const attachment = { kind: 'bridle' as const, apex: { xM: 0, yM: 0, zM: 8 }, legs, apexParts: [] };
  const hang = single('a', { pickUps: [pickUp('a-1', { position: { xM: 0, yM: 0, zM: 6 }, attachment })] });
  return checkIn(assessed(planOf([hang], { steel: documented(steel(change)) }), { roof }), 'pointDown:p1');
};
const used = (count: number, hitch: PartUsed['hitch'] = 'straight'): PartUsed[] => [{ equipment: 'steel', count, hitch }];

test('a leg made as long as it is drawn has the loads that were drawn', () => {
  expect(downWith(used(5))).toMatchObject({ verdict: 'fits', reason: null }); // five steels of 1 m
  expect(downWith(used(1), { lengthM: 5.09 })).toMatchObject({ verdict: 'fits' }); // within 2 %
});

test.each<[string, string, ReturnType<typeof downWith>]>([
  ['no steels at all', 'leg-parts-not-stated', downWith([])],
  ['a steel too few', 'leg-length-differs', downWith(used(4))],
  ['a steel too many', 'leg-length-differs', downWith(used(6))],
  ['just beyond 2 %', 'leg-length-differs', downWith(used(1), { lengthM: 5.11 })],
  ['a steel of no stated length', 'leg-length-not-known', downWith(used(5), { lengthM: null })],
  ['a basket, which takes length up', 'leg-length-not-known', downWith(used(5, 'basket'))],
])('with %s the load of its point is not known', (_, code, check) => {
  expect(check).toMatchObject({ verdict: 'unknown', reason: { code } });
});
