import fc from 'fast-check';
import { expect, test } from 'vitest';
import { COLUMNS, emptyRow, isChanged, pasted, pointOf, rowOf } from '../../../src/web/pages/space/points-grid.ts';
import type { Units } from '../../../src/web/units/units.ts';
import { pointAt } from '../../support/scene.ts';

const KG: Units = { mass: 'kg', length: 'm' };
const LB: Units = { mass: 'lb', length: 'ft' };
const ids = () => {
  let next = 0;
  return () => `id-${(next += 1)}`;
};

test('a point that nobody touches comes out of the grid to the last digit, in any units', () => {
  fc.assert(
    fc.property(
      fc.double({ min: -100, max: 100, noNaN: true }),
      fc.double({ min: 0, max: 1e5, noNaN: true }),
      fc.constantFrom(KG, LB),
      (xM, wllKg, units) => {
        const point = pointAt('P1', xM, 1 / 3, wllKg, 'p');
        const row = rowOf(point, units);
        expect(isChanged(row, units)).toBe(false);
        expect(pointOf(row, units).point).toEqual(point);
      },
    ),
  );
});

test('changing one cell changes one field', () => {
  const point = pointAt('P1', 1.23456789012345, 2, 1000, 'p');
  const row = rowOf(point, LB);
  const edited = { ...row, cells: { ...row.cells, wll: '500 kg' } };
  expect(pointOf(edited, LB).point).toEqual({ ...point, wllKg: 500 });
});

test('a rating that is emptied is not stated, never zero', () => {
  const row = rowOf(pointAt('P1', 0, 0, 1000, 'p'), KG);
  expect(pointOf({ ...row, cells: { ...row.cells, wll: ' ' } }, KG).point?.wllKg).toBeNull();
});

test('a new point states nothing that was not typed', () => {
  const row = { ...emptyRow('n'), cells: { label: ' N ', x: '1', y: '2,5', z: '14', wll: '', state: 'inService' } };
  expect(pointOf(row, KG).point).toMatchObject({
    id: 'n',
    label: 'N',
    yM: 2.5,
    wllKg: null,
    inspectionDueDay: null,
    terms: { basis: null, format: null, dynamic: null, mustInclude: null, holdsWithOthersLoaded: null },
  });
});

test('every fault of a row is named at its cell, and no point comes of it', () => {
  const row = { ...emptyRow('n'), cells: { label: '', x: 'abc', y: '1,234', z: '3 furlong', wll: '5', state: 'fine' } };
  expect(pointOf(row, KG)).toEqual({
    point: null,
    faults: { label: 'empty', x: 'not-a-number', y: 'ambiguous', z: 'unit', state: 'state' },
  });
});

test('a block goes in from the cell on to the right and down, and adds the rows that are missing', () => {
  const rows = [rowOf(pointAt('P1', 0, 0, 100, 'p1'), KG), rowOf(pointAt('P2', 1, 0, 100, 'p2'), KG)];
  const next = pasted(rows, 1, 'x', '5\t6\r\n7\t8\r\n', ids());
  expect(next.map(({ id }) => id)).toEqual(['p1', 'p2', 'id-1']);
  expect(next.map(({ cells }) => [cells.label, cells.x, cells.y])).toEqual([
    ['P1', '0', '0'],
    ['P2', '5', '6'],
    ['', '7', '8'],
  ]);
  expect(rows[1]!.cells.x).toBe('1'); // what was there is not changed in place: undo has it
});

test('what does not fit to the right is left out, and states are understood in words', () => {
  const [row] = pasted([emptyRow('n')], 0, 'wll', '250\tout of service\tand more', ids());
  expect(row!.cells).toMatchObject({ wll: '250', state: 'outOfService' });
  expect(Object.keys(row!.cells)).toEqual([...COLUMNS]);
});
