import { describe, expect, test } from 'vitest';
import { outcomesOf, rowsOfTable, tableColumns, withTable, type TableHang } from '../../../src/web/plan-editing/plan-table.ts';
import { readRows } from '../../../src/web/parts/typed-rows.ts';
import { words } from '../../../src/web/words.ts';
import { deadHang, planOf, pointAt } from '../../support/scene.ts';

const points = [pointAt('P1', 0, 0, 1000, 'p-1'), pointAt('P2', 4, 0, 1000, 'p-2')];
const METRIC = { mass: 'kg', length: 'm' } as const;
const read = (text: string) => {
  const rows = rowsOfTable(text);
  if (!rows.ok) throw new Error(rows.error.code);
  return readRows<TableHang>(tableColumns(points), rows.value.rows, METRIC);
};
const TWO: TableHang[] = [
  { label: 'Left', pointId: 'p-1', massKg: 120, trimM: 9 },
  { label: 'Right, far', pointId: 'p-2', massKg: null, trimM: null },
];

describe('a table of hangs', () => {
  test.each([
    ['pasted from a spreadsheet', 'Hang\tPoint\tMass\tTrim\nLeft\tP1\t120\t9\nRight, far\tP2\t\t\n'],
    [
      'with its columns in another order, and one that is not known',
      'Trim height (m)\tNotes\tWeight [kg]\tPoint\tName\r\n9\tx\t120\tP1\tLeft\r\n\t\t\tP2\tRight, far\r\n',
    ],
    ['without headings', 'Left\tP1\t120\t9\nRight, far\tP2\t\t'],
    ['as a CSV file with semicolons', '\uFEFFLabel;Point;Mass kg;Trim m\r\nLeft;P1;120;9\r\nRight, far;P2;;\r\n'],
    ['as a CSV file with commas', 'label,point,mass,trim\n"Left",P1,120,9\n"Right, far",P2,,\n'],
  ])('%s is read as the same two hangs', (_, text) => {
    expect(read(text).rows).toEqual(TWO);
  });

  test('a unit in a heading goes to the numbers under it, and a cell with a unit of its own keeps it', () => {
    const { rows } = read('Hang\tPoint\tMass (lb)\tTrim mm\nA\tP1\t100\t9500\nB\tP2\t100 kg\t9.5 m\n');
    expect(rows).toMatchObject([
      { massKg: 45.359237, trimM: 9.5 },
      { massKg: 100, trimM: 9.5 },
    ]);
  });

  test('what is doubtful is asked at its cell: a thousand or one, which ton, which point', () => {
    const found = read('Hang\tPoint\tMass\nA\tP1\t1,200\nB\tP9\t80\n');
    expect(found.rows).toBeNull();
    expect(found.fault(0, 'massKg')).toBe(words.points.faults.ambiguous);
    expect(found.fault(1, 'pointId')).toBe(words.rows.noSuch('P9'));
    expect(read('Hang\tPoint\tMass (t)\nA\tP1\t1.2\n').fault(0, 'massKg')).toBe(words.points.faults.unit);
  });

  test('columns that are not taken in are told', () => {
    expect(rowsOfTable('Hang\tCircuit\tPoint\nA\t12\tP1\n')).toMatchObject({ ok: true, value: { unread: ['Circuit'] } });
  });

  test('nothing, and too much, is refused', () => {
    expect(rowsOfTable(' \n')).toMatchObject({ ok: false, error: { code: 'empty' } });
    expect(rowsOfTable('Hang\tPoint\n')).toMatchObject({ ok: false, error: { code: 'empty' } });
    expect(rowsOfTable('a\tb\n'.repeat(501))).toMatchObject({ ok: false, error: { code: 'too-many', rows: 501 } });
    expect(rowsOfTable('label,point\n"open,P1\n')).toMatchObject({ ok: false, error: { code: 'unreadable' } });
  });
});

describe('beside the plan', () => {
  const there = { ...deadHang(points[0]!, 120), label: 'Left' };
  const plan = planOf(there);
  let ids = 0;
  const newId = () => `new-${(ids += 1)}`;
  const outcome = (...rows: Partial<TableHang>[]) =>
    outcomesOf(
      plan,
      rows.map((row) => ({ ...TWO[0]!, trimM: null, ...row })),
    ).map((one) => one.outcome);

  test('each row is new, changes a hang of its name, leaves it, or cannot stand', () => {
    expect(outcome({ label: 'Other' }, {}, { label: 'Other' })).toEqual(['add', 'same', 'mend']);
    expect(outcome({ massKg: 130 })).toEqual(['change']);
    expect(outcome({ massKg: null })).toEqual(['same']); // not said: it stays
    expect(outcome({ pointId: 'p-2' })).toEqual(['change']);
    const two = planOf({ ...there, pickUps: [...there.pickUps, ...there.pickUps] });
    expect(outcomesOf(two, [TWO[0]!])).toMatchObject([{ outcome: 'mend', why: words.planTable.notPlain }]);
  });

  test('hangs come in under their points with what is said, and what is not said stays not stated, or as it was', () => {
    const rows = [{ ...TWO[0]!, pointId: 'p-2', massKg: null }, { ...TWO[1]! }];
    const after = withTable(plan, points, rows, 'weighed', newId);
    expect(after.hangs).toHaveLength(2);
    expect(after.hangs[0]).toMatchObject({
      id: there.id,
      items: there.items,
      trim: { heightM: 9 },
      pickUps: [{ position: { xM: 4 }, attachment: { kind: 'direct', pointId: 'p-2' } }],
    });
    expect(after.hangs[1]).toMatchObject({ kind: 'single', label: 'Right, far', trim: null, items: [{ massKg: null, basis: null }] });
    expect(withTable(plan, points, [{ ...TWO[0]!, massKg: 75 }], 'weighed', newId).hangs[0]?.items).toMatchObject([
      { massKg: 75, basis: 'weighed' },
    ]);
    expect(withTable(plan, points, [{ ...TWO[0]!, trimM: null }], 'weighed', newId)).toBe(plan);
  });
});
