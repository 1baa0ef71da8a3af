import { parse } from 'csv-parse/sync';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { PointDraft } from '../../src/files/import-fields.ts';
import { mapColumns } from '../../src/files/map-columns.ts';
import { planImport } from '../../src/files/plan-import.ts';
import { decimalText, withoutFormulaEscape, writeCsv, type CsvHeader } from '../../src/files/write-csv.ts';
import { readNumberText } from '../../src/files/number-text.ts';
import { expectOk, tableOf } from './expect-result.ts';

const TEXT: CsvHeader = { name: 'Note', unit: null, holds: 'text' };
const NUMBER: CsvHeader = { name: 'WLL', unit: 'kg', holds: 'number' };

test('comma, CRLF, quotes doubled, units in the headings', () => {
  const text = writeCsv(
    [TEXT, NUMBER],
    [
      ['plain', 450],
      ['with, comma', 0.5],
      ['with "quote"', null],
      ['two\r\nlines', -3.25],
      [null, 0],
    ],
  );
  expect(text).toBe('Note,WLL [kg]\r\nplain,450\r\n"with, comma",0.5\r\n"with ""quote""",\r\n"two\r\nlines",-3.25\r\n,0\r\n');
  expect(writeCsv([TEXT], [], { mark: true })).toBe('\uFEFFNote\r\n');
});

describe('formulas', () => {
  const HOSTILE = ['=1+1', '+1', '-1', '@SUM(A1)', '\t=1', '\r=1', '\0=1', '=HYPERLINK("http://example.invalid")', "'=1", "''+x", '-', '='];
  test.each(HOSTILE)('%j is written as text and comes back as it was', (text) => {
    const [[cell = ''] = []] = parse(writeCsv([TEXT], [[text]]), { from: 2 });
    expect(cell).not.toMatch(/^[=+\-@\t\r\0]/);
    expect(withoutFormulaEscape(cell)).toBe(text);
  });
  test('numbers are never touched, not even negative ones', () => {
    expect(writeCsv([NUMBER], [[-1], [-0.25]])).toBe('WLL [kg]\r\n-1\r\n-0.25\r\n');
  });
  test('texts that need no escape keep their apostrophes', () => {
    for (const text of ["'quoted'", "o'clock", "'", 'P1-2']) expect(writeCsv([TEXT], [[text]])).toBe(`Note\r\n${text}\r\n`);
  });
  test('any text comes back through another reader', () => {
    fc.assert(
      fc.property(
        fc.array(fc.array(fc.string({ unit: 'grapheme', maxLength: 20 }), { minLength: 2, maxLength: 2 }), { minLength: 1 }),
        (rows) => {
          const read = parse(writeCsv([TEXT, TEXT], rows), { record_delimiter: '\r\n' });
          expect(read.slice(1).map((row) => row.map(withoutFormulaEscape))).toEqual(rows);
        },
      ),
      { numRuns: 1000 },
    );
  });
});

describe('numbers', () => {
  test.each([
    [1.5, '1.5'],
    [1.234, '1.2340'],
    [-12.5, '-12.5'],
    [100.125, '100.1250'],
    [1000.125, '1000.125'],
    [0.125, '0.125'],
    [1e21, '1000000000000000000000'],
    [1.5e-7, '0.00000015'],
    [-2.5e25, '-25000000000000000000000000'],
    [-0, '0'],
    [0.1 + 0.2, '0.30000000000000004'],
  ])('%d is written %s', (value, text) => expect(decimalText(value)).toBe(text));
  test('every double comes back as itself and is never ambiguous', () => {
    fc.assert(
      fc.property(fc.double({ noNaN: true, noDefaultInfinity: true }), (value) => {
        const text = decimalText(value);
        expect(Number(text)).toBe(value === 0 ? 0 : value);
        // Beyond 300 digits our reader still reads it; what it must not do is ask.
        expect(readNumberText(text, null)).toEqual({ is: 'number', value: value === 0 ? 0 : value });
      }),
      { numRuns: 5000 },
    );
  });
  test('NaN, infinity, a number among texts and a row too short are bugs', () => {
    expect(() => writeCsv([NUMBER], [[NaN]])).toThrow(RangeError);
    expect(() => writeCsv([NUMBER], [[Infinity]])).toThrow(RangeError);
    expect(() => writeCsv([TEXT], [[1]])).toThrow(TypeError);
    expect(() => writeCsv([NUMBER], [['=1']])).toThrow(TypeError);
    expect(() => writeCsv([TEXT, NUMBER], [['x']])).toThrow(RangeError);
  });
});

test('points written and read again are all the same, to the last digit', async () => {
  const headers: CsvHeader[] = [
    { name: 'Label', unit: null, holds: 'text' },
    { name: 'x', unit: 'm', holds: 'number' },
    { name: 'y', unit: 'm', holds: 'number' },
    { name: 'z', unit: 'm', holds: 'number' },
    NUMBER,
    { name: 'Member', unit: null, holds: 'text' },
    { name: 'Station', unit: 'm', holds: 'number' },
    { name: 'Attachment', unit: null, holds: 'text' },
    { name: 'Access', unit: null, holds: 'text' },
    { name: 'State', unit: null, holds: 'text' },
    { name: 'Reason', unit: null, holds: 'text' },
    { name: 'Inspection due', unit: null, holds: 'text' },
    { name: 'Max angle off vertical', unit: '°', holds: 'number' },
    { name: 'Sideways force', unit: 'kN', holds: 'number' },
    { name: 'Basis', unit: null, holds: 'text' },
  ];
  const between = (min: number, max: number) => fc.double({ min, max, noNaN: true }).map((value) => (value === 0 ? 0 : value));
  const maybe = <T>(arbitrary: fc.Arbitrary<T>) => fc.option(arbitrary);
  // Our import trims, and reads a lone dash or question mark as unknown.
  const words = fc
    .string({ unit: fc.constantFrom('a', 'B', '9', ' ', ',', ';', '"', "'", '=', '+', '@', 'é', '\n', 'ß'), minLength: 1, maxLength: 20 })
    .map((text) => `w${text}w`);
  const formulaLike = fc.constantFrom('=1+1', '+P', '-P1', '@x', "'=x").map((text) => `${text} end`);
  const note = fc.oneof(words, formulaLike);
  const oneLine = note.map((text) => text.replace(/\s+/g, ' '));
  const point = fc.record({
    xM: between(-2000, 2000),
    yM: between(-2000, 2000),
    zM: between(-2000, 2000),
    wllKg: maybe(between(0, 200_000)),
    memberLabel: maybe(oneLine),
    stationM: maybe(between(0, 2000)),
    attachment: maybe(fc.constantFrom('eye', 'clamp', 'wrap', 'node')),
    access: maybe(note),
    state: maybe(fc.constantFrom('in service', 'restricted', 'out of service')),
    stateReason: maybe(note),
    inspectionDue: maybe(fc.constantFrom('2026-03-04', '2027-12-31')),
    maxAngleDeg: maybe(between(0, 90)),
    sidewaysKn: maybe(between(0, 2000)),
    basisText: maybe(note),
  });
  await fc.assert(
    fc.asyncProperty(fc.array(point, { minLength: 1, maxLength: 20 }), async (points) => {
      const existing = points.map((facts, index): PointDraft & { id: string } => ({
        id: `id ${index}`,
        label: `${index % 2 === 0 ? '=P' : 'P '}${index}`,
        ...facts,
      }));
      const rows = existing.map((p) => [
        p.label,
        p.xM,
        p.yM,
        p.zM,
        p.wllKg,
        p.memberLabel,
        p.stationM,
        p.attachment,
        p.access,
        p.state,
        p.stateReason,
        p.inspectionDue,
        p.maxAngleDeg,
        p.sidewaysKn,
        p.basisText,
      ]);
      const table = await tableOf(writeCsv(headers, rows));
      const mapping = expectOk(mapColumns(table, 'points'));
      expect(mapping.columns).toHaveLength(headers.length);
      const plan = expectOk(planImport({ kind: 'points', table, mapping, existing }));
      expect(plan.questions).toEqual([]);
      expect(plan.rows.filter((row) => row.outcome !== 'same')).toEqual([]);
      expect(plan.notInFile).toEqual([]);
      // "Same" allows for a last digit; a second plan against nothing shows that not even that is lost.
      const fresh = expectOk(planImport({ kind: 'points', table, mapping, existing: [] }));
      expect(fresh.rows.map((row) => (row.outcome === 'add' ? row.draft.wllKg : row.outcome))).toEqual(existing.map((p) => p.wllKg));
    }),
    { numRuns: 100 },
  );
}, 60_000);
