import { describe, expect, test } from 'vitest';
import { GENERIC_LIBRARY } from '../../../src/domain/equipment/generic-library.ts';
import { equipmentBytes } from '../../../src/domain/plan/equipment-hash.ts';
import type { EquipmentData } from '../../../src/domain/plan/plan.ts';
import { ITEM_KINDS, type ItemKind } from '../../../src/web/pages/equipment/item-fields.ts';
import { readItem, typedItem } from '../../../src/web/pages/equipment/item-typed.ts';
import { withCell } from '../../../src/web/parts/typed-rows.ts';

const METRIC = { mass: 'kg', length: 'm' } as const;
const IMPERIAL = { mass: 'lb', length: 'ft' } as const;
/** With what the generic library does not state of its own. */
const ITEMS: readonly EquipmentData[] = [
  ...GENERIC_LIBRARY.flatMap(({ versions }) => versions.map(({ data }) => data)),
  {
    kind: 'part',
    name: 'Clamp',
    part: 'clamp',
    lengthM: 1 / 3,
    massKg: 7.1 / 3,
    wllKg: 500,
    breakingKn: null,
    flangeFromM: 0.1,
    flangeToM: 0.3,
  },
  {
    kind: 'part',
    name: 'Catch',
    part: 'secondary',
    lengthM: 1,
    massKg: 1,
    wllKg: null,
    breakingKn: 30,
    catchesKg: 90,
    catchFallM: 0.2,
    catchPeakKn: 6,
  },
  { kind: 'part', name: 'Bow', part: 'shackle', lengthM: 0.1, massKg: 1, wllKg: 3250, breakingKn: null, pin: 'screw' },
  { kind: 'part', name: 'Soft', part: 'textile', lengthM: 2, massKg: 1, wllKg: 1000, breakingKn: null, hitches: ['straight', 'choke'] },
];

test('the items are of every kind', () => {
  expect([...new Set(ITEMS.map(({ kind }) => kind))].sort()).toEqual([...ITEM_KINDS].sort());
});

describe.each([METRIC, IMPERIAL])('in $mass and $length', (units) => {
  test.each(ITEMS.map((data) => [data.name, data] as const))('%s that nobody touches states the very same', (_, data) => {
    const read = readItem(data.kind, typedItem(data, units), data, units);
    expect(read).toMatchObject({ faults: {}, others: [] });
    expect(equipmentBytes(read.data as EquipmentData)).toBe(equipmentBytes(data));
  });
});

test('a part that becomes another kind of part no longer states what that cannot have', () => {
  const clamp = ITEMS.find(({ name }) => name === 'Clamp')!;
  const typed = typedItem(clamp, METRIC);
  const read = readItem('part', { ...typed, texts: { ...typed.texts, part: 'ring' } }, clamp, METRIC);
  expect(read.data).toMatchObject({ part: 'ring', wllKg: 500 });
  expect(read.data).not.toHaveProperty('flangeFromM');
});

const itemOf = (kind: ItemKind): EquipmentData => ITEMS.find((data) => data.kind === kind)!;
test.each<[ItemKind, Record<string, string>, string, RegExp]>([
  ['hoist', { name: ' ' }, 'name', /Fill this in/],
  ['hoist', { wllKg: '0' }, 'wllKg', /more than 0/],
  ['hoist', { falls: '9' }, 'falls', /between 1 and 8/],
  ['part', { part: '' }, 'part', /Fill this in/],
  ['part', { wllKg: '1000', breakingKn: '1' }, 'breakingKn', /less than/],
  ['cabinet', { 'cg.uM': '', 'cg.vM': '1' }, 'cg.uM', /Fill this in/],
  ['cabinet', { 'bottomPivot.uM': '0', 'bottomPivot.vM': '0' }, 'bottomPivot.uM', /top pivot/],
  ['cabinet', { allowedSplaysDeg: '0; two' }, 'allowedSplaysDeg', /semicolons/],
  ['cabinet', { allowedSplaysDeg: '0; 2; 2' }, 'allowedSplaysDeg', /already/],
  ['arrayFrame', { massKg: 'heavy' }, 'massKg', /Not a number/],
  ['truss', { eiKnm2: '-3' }, 'eiKnm2', /between 0/],
  ['cable', { kgPerM: '0' }, 'kgPerM', /more than 0/],
])('of a %s, %j is refused at %s', (kind, change, at, fault) => {
  const data = itemOf(kind);
  const typed = typedItem(data, METRIC);
  const read = readItem(kind, { ...typed, texts: { ...typed.texts, ...change } }, data, METRIC);
  expect(read.data).toBeNull();
  expect(Object.keys(read.faults)).toEqual([at]);
  expect(read.faults[at]).toMatch(fault);
});

test('a hole or a span that cannot be is refused at its cell, or its row', () => {
  const frame = itemOf('arrayFrame');
  const typed = typedItem(frame, METRIC);
  const holes = withCell(typed.rows.holes!, 1, 'id', typed.rows.holes![0]!.cells.id!.text);
  const twice = readItem('arrayFrame', { ...typed, rows: { holes } }, frame, METRIC);
  expect(twice.data).toBeNull();
  expect(twice.rowFault('holes', 1, 'id')).toMatch(/another hole/);
  const truss = itemOf('truss');
  const spans = (...cells: [string, string][]) => {
    const row = { key: 7, cells: Object.fromEntries(cells.map(([name, text]) => [name, { text }])) };
    return readItem('truss', { ...typedItem(truss, METRIC), rows: { spanTable: [row] } }, truss, METRIC);
  };
  expect(spans(['spanM', '6'], ['evenKgPerM', '40']).data).toMatchObject({ spanTable: [{ spanM: 6, evenKgPerM: 40, points: null }] });
  expect(spans(['spanM', '6'], ['count', '3'], ['eachKg', '90']).data).toMatchObject({ spanTable: [{ points: { count: 3, eachKg: 90 } }] });
  expect(spans(['spanM', '6'])).toMatchObject({ data: null, others: [expect.stringMatching(/Row 1: .*neither/) as string] });
  const half = spans(['spanM', '6'], ['count', '3']);
  expect(half.data).toBeNull();
  expect(half.rowFault('spanTable', 7, 'eachKg')).toMatch(/Fill this in/);
});
