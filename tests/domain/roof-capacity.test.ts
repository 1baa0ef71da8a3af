import { expect, test } from 'vitest';
import { demandFactors, dynamicFactorLeft, effectiveCapacity, termsDoubts } from '../../src/domain/roof/capacity.ts';
import type { RoofPoint } from '../../src/domain/roof/structure.ts';
import { point, publish, terms } from './roof-samples.ts';

// Days of the samples' zone start at 22:00 UTC of the evening before.
const show = { from: '2026-03-10T08:00:00.000Z', to: '2026-03-12T22:00:00.000Z' };

function capacityOf(change: Partial<RoofPoint>, during = show, showEnd = show.to) {
  const roof = publish({ points: [point('p1', change), point('p2')] });
  return effectiveCapacity(roof, 'p1', roof.points[0], during, showEnd);
}
const codes = (change: Partial<RoofPoint>, during = show, showEnd = show.to) =>
  capacityOf(change, during, showEnd).doubts.map(({ code }) => code);

test('a point whose every term is stated holds its rating', () => {
  expect(capacityOf({})).toMatchObject({ wllKg: 1000, reducedBecause: null, doubts: [], factors: { imposed: 1, permanent: 1 } });
});

test('the lowest rating of any moment of the interval counts', () => {
  const reductions = [
    { fromDay: '2026-03-12', untilDay: '2026-04-01', wllKg: 600, reason: 'works' },
    { fromDay: null, untilDay: '2026-03-11', wllKg: 700, reason: 'snow' },
    { fromDay: '2026-03-13', untilDay: null, wllKg: 100, reason: 'begins when the show ends' },
  ];
  expect(capacityOf({ reductions })).toMatchObject({ wllKg: 600, reducedBecause: 'works', doubts: [] });
  // The works begin on 12 March at 22:00 UTC of the 11th: a hang that comes down then does not see them.
  const early = { from: show.from, to: '2026-03-11T22:00:00.000Z' };
  expect(capacityOf({ reductions }, early)).toMatchObject({ wllKg: 700, reducedBecause: 'snow' });
});

test.each<[string, Partial<RoofPoint>, string[]]>([
  ['no rating', { wllKg: null }, ['rating-not-stated']],
  ['a reduction of a rating that is not stated', { wllKg: null, reductions: [{ fromDay: null, untilDay: null, wllKg: 5, reason: '' }] }, ['rating-not-stated']], // prettier-ignore
  ['out of service', { state: 'outOfService' }, ['point-out-of-service']],
  ['restricted in words', { state: 'restricted' }, ['point-restricted']],
  [
    'out of service for a day of the show',
    { outOfService: [{ fromDay: '2026-03-11', untilDay: '2026-03-12', reason: '' }] },
    ['point-out-of-service'],
  ],
  ['out of service once it is over', { outOfService: [{ fromDay: '2026-03-13', untilDay: null, reason: '' }] }, []],
  ['no inspection day', { inspectionDueDay: null }, ['inspection-not-stated']],
  ['inspection due on the last day', { inspectionDueDay: '2026-03-12' }, []],
  ['inspection due the day before the last', { inspectionDueDay: '2026-03-11' }, ['inspection-past-due']],
  ['no basis', { terms: { ...terms, basis: null } }, ['basis-not-stated']],
  ['no format', { terms: { ...terms, format: null } }, ['format-not-stated']],
  ['nothing about lifting', { terms: { ...terms, dynamic: null } }, ['dynamic-not-stated']],
  ['nothing about what must be in', { terms: { ...terms, mustInclude: null } }, ['must-include-not-stated']],
  ['nothing about the others', { terms: { ...terms, holdsWithOthersLoaded: null } }, ['others-loaded-not-stated']],
  ['only alone', { terms: { ...terms, holdsWithOthersLoaded: false } }, ['holds-alone-only']],
])('%s: %#', (_what, change, expected) => {
  expect(codes(change)).toEqual(expected);
});

test('the inspection is judged at the end of the show, not of the hang', () => {
  const hang = { from: show.from, to: '2026-03-10T20:00:00.000Z' };
  expect(codes({ inspectionDueDay: '2026-03-10' }, hang, show.to)).toEqual(['inspection-past-due']);
  expect(codes({ inspectionDueDay: '2026-03-10' }, hang, hang.to)).toEqual([]);
});

test('a point that the roof does not have is a doubt', () => {
  expect(effectiveCapacity(publish(), 'gone', undefined, show, show.to)).toMatchObject({
    wllKg: null,
    doubts: [{ code: 'point-missing' }],
  });
});

test('every missing term is told, not only the first', () => {
  const bare = { basis: null, format: null, dynamic: null, mustInclude: null, holdsWithOthersLoaded: null };
  expect(termsDoubts(bare)).toHaveLength(5);
});

test('design capacities meet loads times factors, and a helping permanent load counts for less than itself', () => {
  // 1.35 and 1.5: EN 1990:2002 Table A1.2(B). 0.9: EN 1990 Table A1.2(A) and ASCE/SEI 7-16 section 2.3.
  expect(demandFactors({ format: { kind: 'design', permanentFactor: 1.35, imposedFactor: 1.5 } })).toEqual({
    imposed: 1.5,
    permanent: 1.35,
    permanentHelping: 0.9,
  });
  expect(demandFactors({ format: { kind: 'working' } })).toEqual({ imposed: 1, permanent: 1, permanentHelping: 1 });
});

test('a dynamic factor that the capacity includes is not applied twice, and what goes beyond it is not lost', () => {
  expect(dynamicFactorLeft({ dynamic: { kind: 'notIncluded' } }, 1.25)).toBe(1.25);
  expect(dynamicFactorLeft({ dynamic: null }, 1.25)).toBe(1.25);
  expect(dynamicFactorLeft({ dynamic: { kind: 'included', factor: 1.25 } }, 1.25)).toBe(1);
  expect(dynamicFactorLeft({ dynamic: { kind: 'included', factor: 1.6 } }, 1.25)).toBe(1);
  expect(dynamicFactorLeft({ dynamic: { kind: 'included', factor: 1.25 } }, 2)).toBe(1.6); // 2 / 1.25
});
