import { expect, test } from 'vitest';
import type { PointLoad } from '../../../src/domain/assessment/assessment.ts';
import { sheetFacts } from '../../../src/web/load-in/sheet-facts.ts';
import { direct, documented, hoist, pickUp, planOf, single } from '../../domain/plan-samples.ts';
import { point } from '../../domain/roof-samples.ts';

// Invented: one hoist on P-a, with a line off plumb to P-b and a secondary on P-c.
const line = { id: 'l', kind: 'guy', at: null, to: { pointId: 'b' }, parts: [], pretensionKn: 0.5 } as const;
const away = {
  ...line,
  id: 'm',
  kind: 'breastline',
  to: { place: { xM: 1, yM: 0, zM: 1 }, holdsKn: null, basis: null },
  pretensionKn: null,
} as const;
const hang = single('h', {
  linesOffPlumb: [
    { ...line, to: { ...line.to }, parts: [] },
    { ...away, parts: [] },
  ],
  pickUps: [
    pickUp('h-1', {
      hoist: { equipment: 'hoist', mount: 'bodyDown', chainLengthM: 20, bag: 'none' },
      attachment: direct('a'),
      secondary: { pointId: 'c', parts: [], slackMm: 100 },
    }),
  ],
});
const load = (pointId: string, downKn: number) =>
  ({ hangId: 'h', pickUpId: 'h-1', pointId, case: 'moving', downKn, isLowerBound: false }) as PointLoad;
const roof = { points: ['a', 'b', 'c'].map((id) => point(id)) };
const facts = sheetFacts(planOf([hang], { hoist: documented(hoist()) }), roof, { loads: [load('a', 4), load('b', 1), load('c', 2)] });

test('a load-in sheet names every line that holds a hang aside', () => {
  expect(facts.sideLines.map(({ kind, to, pretensionKn }) => [kind, to, pretensionKn])).toEqual([
    ['Guy', 'P-b', 0.5],
    ['Breastline', 'another place', null],
  ]);
});

test('of a hang with several hooks it says at which of them a line is made fast', () => {
  const pickUps = ['a', 'b'].map((id) => pickUp(id, { chalk: `chalk ${id}` }));
  const lines = [{ ...line, pickUpId: 'b', to: { ...line.to }, parts: [] }];
  const sheet = sheetFacts(planOf([single('h', { linesOffPlumb: lines, pickUps })]), roof, { loads: [] });
  expect(sheet.sideLines.map(({ chalk }) => chalk)).toEqual(['chalk b']);
  expect(facts.sideLines.map(({ chalk }) => chalk)).toEqual([null, null]);
});

test("a hoist's load is that of the points above it, not of its secondary or of a line off plumb", () => {
  expect(facts.hoists.map(({ points, loadKn }) => [points, loadKn])).toEqual([['P-a', 4]]);
});
