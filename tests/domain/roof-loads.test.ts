import fc from 'fast-check';
import { expect, test } from 'vitest';
import { roofLoads } from '../../src/domain/assessment/roof-loads.ts';
import type { PlaceLoad } from '../../src/domain/assessment/roof-loads.ts';
import type { NeighbourLoad } from '../../src/domain/assessment/assessment.ts';
import { assessed, checkIn, dead, neighbour, planOf, roofOf, SHOW } from './plan-samples.ts';
import { group, point, publish, terms } from './roof-samples.ts';
import type { CapacityTerms } from '../../src/domain/roof/structure.ts';

const hour = (h: number): string => `2026-03-11T${String(h).padStart(2, '0')}:00:00.000Z`;
const NOON = { from: hour(10), to: hour(16) };
const at = (places: readonly PlaceLoad[], id: string): PlaceLoad => {
  const found = places.find((place) => place.id === id);
  if (!found) throw new Error(`${id} is not among ${places.map((place) => place.id).join(', ')}`);
  return found;
};
const loadsOf = (loads: NeighbourLoad[], roof = roofOf(), during = NOON) => roofLoads({ roof, during, loads, asOf: hour(0) });

test('an empty roof has all of each rating left, and loads nothing that is only counted', () => {
  const { agreed, withSubmitted } = loadsOf([], roofOf({ limits: [group('g', ['p1', 'p2'], 1500)] }));
  expect(at(agreed, 'pointDown:p1')).toMatchObject({ demand: 0, capacity: 1000, remaining: 1000, verdict: 'fits', counted: [] });
  expect(at(agreed, 'group:g')).toMatchObject({ demand: 0, remaining: 1500 });
  expect(withSubmitted).toEqual([]);
});

test('the worst moment counts, of those that hang within the time alone, and who they are is not told twice', () => {
  const loads = [
    neighbour('p1', 300, { ref: 'a', from: hour(8), to: hour(11) }),
    neighbour('p1', 400, { ref: 'b', from: hour(10), to: hour(12) }),
    neighbour('p1', 500, { ref: 'c', from: hour(12), to: hour(20) }),
    neighbour('p1', 900, { ref: 'd', from: hour(16), to: hour(20) }),
  ];
  const found = at(loadsOf(loads).agreed, 'pointDown:p1');
  expect(found.demand).toBeCloseTo(700, 9); // a and b from 10 to 11
  expect(found.remaining).toBeCloseTo(300, 9);
  expect(found.during).toEqual({ from: hour(10), to: hour(11) });
  expect(found.counted.map(({ id }) => id)).toEqual(['a', 'b']);
});

test('what is asked for is told apart from what is agreed, and a newer plan takes the place of the standing one', () => {
  const loads = [
    neighbour('p1', 300, { ref: 'a' }),
    neighbour('p1', 500, { ref: 'a', status: 'submitted' }),
    neighbour('p1', 100, { ref: 'b' }),
  ];
  const { agreed, withSubmitted } = loadsOf(loads);
  expect(at(agreed, 'pointDown:p1').demand).toBeCloseTo(400, 9);
  expect(at(withSubmitted, 'pointDown:p1').demand).toBeCloseTo(600, 9);
  expect(withSubmitted.map(({ id }) => id)).toEqual(['group:g1', 'pointDown:p1']); // the sample roof has a group g1 over its points
});

test('where a load or a rating is not fully stated nothing is said to remain', () => {
  const { agreed } = loadsOf(
    [{ ...neighbour('p1', 300), isLowerBound: true }],
    roofOf({ points: [point('p1'), point('p2', { wllKg: null })] }),
  );
  expect(at(agreed, 'pointDown:p1')).toMatchObject({ verdict: 'unknown', remaining: null });
  expect(at(agreed, 'pointDown:p2')).toMatchObject({ verdict: 'unknown', remaining: null });
});

test('girders that a point hangs from are told too', () => {
  const { agreed } = loadsOf([neighbour('p1', 300)], publish());
  const kinds = agreed.filter(({ memberId }) => memberId !== null).map(({ kind }) => kind);
  expect(new Set(kinds)).toEqual(new Set(['memberMoment', 'memberShear']));
});

// 1,000 kg against loads times 1.5: 300 kg agreed count 450, so 550 are left, which 366 2/3 kg fill.
test('what remains under a design capacity is unfactored: the assessor agrees', () => {
  const design: CapacityTerms = { ...terms, format: { kind: 'design', imposedFactor: 1.5, permanentFactor: 1.35 } };
  const roof = roofOf({ points: [point('p1', { terms: design }), point('p2')], limits: [] });
  const neighbours = [neighbour('p1', 300)];
  const found = at(loadsOf(neighbours, roof, SHOW).agreed, 'pointDown:p1');
  expect(found.demand).toBeCloseTo(450, 9);
  expect(found.remaining).toBeCloseTo(1100 / 3, 9);
  const verdictOf = (kg: number) => checkIn(assessed(planOf([dead('x', 'p1', kg)]), { roof, neighbours }), 'pointDown:p1').verdict;
  expect(verdictOf(366)).toBe('close');
  expect(verdictOf(367)).toBe('over');
});

test('a limit that is no plain sum of loads tells no room', () => {
  const { agreed } = loadsOf([neighbour('p1', 300)], publish());
  for (const { kind, remaining } of agreed) if (kind !== 'pointDown' && kind !== 'group') expect(remaining).toBeNull();
});

// The second way: what the assessor says of a hang of just less, and of just more, than what remains.
test('a hang of what remains fits, and one of more is over', () => {
  const load = fc.record({
    kg: fc.integer({ min: 0, max: 600 }),
    pointId: fc.constantFrom('p1', 'p2'),
    from: fc.integer({ min: 6, max: 20 }),
  });
  fc.assert(
    fc.property(fc.array(load, { maxLength: 6 }), (others) => {
      const neighbours = others.map(({ kg, pointId, from }, n) =>
        neighbour(pointId, kg, { ref: `n${n}`, from: hour(from), to: hour(from + 3) }),
      );
      const roof = roofOf({ limits: [group('g', ['p1', 'p2'], 1400)] });
      const { agreed } = loadsOf(neighbours, roof, SHOW);
      const left = Math.min(at(agreed, 'pointDown:p1').remaining!, at(agreed, 'group:g').remaining!);
      const verdictOf = (kg: number) => {
        const assessment = assessed(planOf([dead('x', 'p1', kg)]), { roof, neighbours });
        return [checkIn(assessment, 'pointDown:p1').verdict, checkIn(assessment, 'group:g').verdict];
      };
      if (left > 1e-3) expect(verdictOf(left * (1 - 1e-6))).not.toContain('over');
      expect(verdictOf(left + 1e-3)).toContain('over');
    }),
    { numRuns: 200, seed: 7 },
  );
});
