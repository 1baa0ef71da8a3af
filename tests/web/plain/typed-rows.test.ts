import { expect, test } from 'vitest';
import { emptyRow, nextKey, readRows, rowsOf, withCell, withPasted, type Column } from '../../../src/web/parts/typed-rows.ts';
import { words } from '../../../src/web/words.ts';

const POINTS = [
  { id: 'p-1', label: 'A 1' },
  { id: 'p-2', label: 'B' },
];
type Load = { pointId: string; massKg: number; fromM: number | null };
const COLUMNS: readonly Column<keyof Load>[] = [
  { name: 'pointId', label: 'point', of: 'named', among: POINTS },
  { name: 'massKg', label: 'mass', of: 'mass' },
  { name: 'fromM', label: 'from', of: 'length', optional: true },
];
const METRIC = { mass: 'kg', length: 'm' } as const;
const IMPERIAL = { mass: 'lb', length: 'ft' } as const;
/** No step of a foot or a pound: written in those units it comes back as another double. */
const LOADS: Load[] = [
  { pointId: 'p-1', massKg: 100.1 / 3, fromM: 1 / 3 },
  { pointId: 'p-2', massKg: 70, fromM: null },
];

test.each([METRIC, IMPERIAL])('what nobody touches comes back to the last digit, in $mass and $length', (units) => {
  const rows = rowsOf(COLUMNS, LOADS, units);
  expect(readRows<Load>(COLUMNS, rows, units).rows).toEqual(LOADS);
  const changed = withCell(rows, 1, 'massKg', '80 kg');
  expect(readRows<Load>(COLUMNS, changed, units).rows).toEqual([LOADS[0], { ...LOADS[1], massKg: 80 }]);
});

test('each cell that cannot be read says what is wrong with it, and nothing is half read', () => {
  const typed = withCell(withCell(rowsOf(COLUMNS, LOADS, METRIC), 0, 'massKg', '1,234'), 1, 'pointId', 'C9');
  const read = readRows<Load>(COLUMNS, typed, METRIC);
  expect(read.rows).toBeNull();
  expect(read.fault(0, 'massKg')).toBe(words.points.faults.ambiguous);
  expect(read.fault(1, 'pointId')).toBe(words.rows.noSuch('C9'));
  expect(read.fault(1, 'fromM')).toBeNull();
});

test('a row with nothing in it is not there; one with something wants the rest of it', () => {
  const rows = [emptyRow(0), ...rowsOf(COLUMNS, [LOADS[1]!], METRIC).map((row) => ({ ...row, key: 1 }))];
  const read = readRows<Load>(COLUMNS, rows, METRIC);
  expect(read).toMatchObject({ rows: [LOADS[1]], keys: [1] });
  const begun = readRows<Load>(COLUMNS, withCell(rows, 0, 'pointId', 'B'), METRIC);
  expect(begun.rows).toBeNull();
  expect(begun.fault(0, 'massKg')).toBe(words.points.faults.empty);
});

test('a block from a spreadsheet fills cells to the right and down, and adds rows; one cell is pasted as it is', () => {
  const rows = [emptyRow(4)];
  const pasted = withPasted(COLUMNS, rows, 4, 'pointId', 'A 1\t50\r\nB\t70\t2\tbeyond\r\n')!;
  expect(readRows<Load>(COLUMNS, pasted, METRIC).rows).toEqual([
    { pointId: 'p-1', massKg: 50, fromM: null },
    { pointId: 'p-2', massKg: 70, fromM: 2 },
  ]);
  expect(nextKey(pasted)).toBe(6);
  expect(withPasted(COLUMNS, rows, 4, 'massKg', '50')).toBeNull();
});
