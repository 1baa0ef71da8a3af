import { describe, expect, test } from 'vitest';
import type { Limit, Member, RoofNode } from '../../../src/domain/roof/structure.ts';
import { rowsOf, withCell } from '../../../src/web/parts/typed-rows.ts';
import {
  LIMIT_KINDS,
  pointsNamed,
  readLimit,
  typedLimit,
  weightColumns,
  type LimitField,
  type LimitKind,
} from '../../../src/web/pages/space/limit-typed.ts';
import { CORNERS } from '../../../src/web/pages/space/outline.ts';
import { pointAt } from '../../support/scene.ts';

const points = [pointAt('A 1', 0, 0, 500, 'p-1'), pointAt('B', 4, 0, 500, 'p-2'), pointAt('C', 8, 0, 500, 'p-3')];
const nodes: RoofNode[] = [
  { id: 'n-1', label: 'N1', xM: 0, yM: 0, zM: 10 },
  { id: 'n-2', label: 'N2', xM: 10, yM: 0, zM: 10 },
];
const terms = { basis: null, format: null, dynamic: null, mustInclude: null, holdsWithOthersLoaded: null };
const member: Member = {
  id: 'm-1',
  label: 'M',
  fromNodeId: 'n-1',
  toNodeId: 'n-2',
  supports: [],
  selfKgPerM: null,
  deadLoads: [],
  eGpa: null,
  iCm4: null,
  allowables: [],
  allowableIs: null,
  terms,
  panelPoints: null,
  otherEffectsBasis: null,
};
const roof = { nodes, points, members: [member] };
const common = { id: 'l', label: 'L', hard: false, terms };
const CORNER = [
  { xM: 0, yM: 0 },
  { xM: 3, yM: 1 / 3 },
  { xM: 0, yM: 3 },
];
const OF_EACH: Record<LimitKind, Limit> = {
  group: { ...common, kind: 'group', pointIds: ['p-1', 'p-3'], maxKg: 1000 / 3, minKg: -20 },
  weighted: {
    ...common,
    kind: 'weighted',
    weights: [
      { pointId: 'p-1', factor: 0.7 },
      { pointId: 'p-2', factor: -0.25 },
    ],
    maxKg: 900,
    minKg: null,
  },
  count: { ...common, kind: 'count', pointIds: ['p-2'], maxLoaded: 2 },
  spacing: { ...common, kind: 'spacing', memberId: 'm-1', minSpacingM: 1 / 3, reducedKg: 50 },
  density: { ...common, kind: 'density', memberId: 'm-1', windowM: 2, maxKg: 300 },
  sideways: { ...common, kind: 'sideways', memberId: 'm-1', acrossKn: 1.25, alongKn: null },
  areaDensity: { ...common, kind: 'areaDensity', area: CORNER, maxKgPerM2: 12.5 },
};
const METRIC = { mass: 'kg', length: 'm' } as const;
const IMPERIAL = { mass: 'lb', length: 'ft' } as const;

const rowsFor = (limit: Limit, units: typeof METRIC | typeof IMPERIAL) => ({
  weights: limit.kind === 'weighted' ? rowsOf(weightColumns(roof), limit.weights, units) : [],
  corners: limit.kind === 'areaDensity' ? rowsOf(CORNERS, limit.area, units) : [],
});

describe.each([METRIC, IMPERIAL])('in $mass and $length', (units) => {
  test.each(LIMIT_KINDS)('a limit of kind %s that nobody touches stays itself, and typed anew is read as the same', (kind) => {
    const limit = OF_EACH[kind];
    const typed = typedLimit(limit, roof, units);
    expect(readLimit(kind, typed, rowsFor(limit, units), { common, roof, units, began: limit })).toMatchObject({ limit, others: [] });
    const anew = readLimit(kind, typed, rowsFor(limit, units), { common, roof, units, began: null }).limit;
    expect(Object.keys(anew ?? {}).sort()).toEqual(Object.keys(limit).sort());
  });
});

test.each<[LimitKind, LimitField, string, RegExp]>([
  ['group', 'label', ' ', /Fill this in/],
  ['group', 'points', 'A 1, Z9', /Z9/],
  ['group', 'mass', '', /Fill this in/],
  ['weighted', 'least', '901', /upper bound/],
  ['count', 'count', '0', /whole number/],
  ['spacing', 'length', '0', /more than 0/],
  ['density', 'mass', '-5', /between 0/],
  ['sideways', 'across', 'much', /Not a number/],
  ['areaDensity', 'mass', '1.2.3', /Not a number/],
])('of a limit of kind %s, a wrong %s is refused at that field', (kind, field, text, fault) => {
  const limit = OF_EACH[kind];
  const typed = { ...typedLimit(limit, roof, METRIC), [field]: text };
  const read = readLimit(kind, typed, rowsFor(limit, METRIC), { common, roof, units: METRIC, began: limit });
  expect(read.limit).toBeNull();
  expect(Object.entries(read.faults)).toEqual([[field, expect.stringMatching(fault) as string]]);
});

test('what is wrong with rows is said at the cell, and of the whole where no cell is to blame', () => {
  const weighted = OF_EACH.weighted;
  const twice = withCell(rowsFor(weighted, METRIC).weights, 1, 'pointId', 'A 1');
  const how = { common, roof, units: METRIC };
  const read = readLimit('weighted', typedLimit(weighted, roof, METRIC), { weights: twice, corners: [] }, { ...how, began: weighted });
  expect(read.limit).toBeNull();
  expect(read.weightFault(1, 'pointId')).toMatch(/already/);
  const crooked = rowsFor(OF_EACH.areaDensity, METRIC).corners;
  const flat = withCell(withCell(withCell(crooked, 1, 'yM', '0'), 2, 'yM', '0'), 2, 'xM', '6');
  const area = readLimit(
    'areaDensity',
    typedLimit(OF_EACH.areaDensity, roof, METRIC),
    { weights: [], corners: flat },
    { ...how, began: OF_EACH.areaDensity },
  );
  expect(area).toMatchObject({ limit: null, others: [expect.stringMatching(/outline|line/)] });
  const neither = { ...typedLimit(OF_EACH.sideways, roof, METRIC), across: '' };
  const sideways = readLimit('sideways', neither, { weights: [], corners: [] }, { ...how, began: OF_EACH.sideways });
  expect(sideways).toMatchObject({ limit: null, others: [expect.stringMatching(/across or along/)] });
});

test('points are named with commas, or with spaces where no label has one', () => {
  expect(pointsNamed('A 1, C', points)).toEqual({ ids: ['p-1', 'p-3'], missing: [] });
  expect(pointsNamed('B C; B', points)).toEqual({ ids: ['p-2', 'p-3'], missing: [] });
  expect(pointsNamed('A', points)).toEqual({ ids: [], missing: ['A'] });
});
