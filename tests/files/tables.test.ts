import { utils, write } from '@e965/xlsx';
import { describe, expect, test } from 'vitest';
import { matchHeading } from '../../src/files/headings.ts';
import { mapColumns } from '../../src/files/map-columns.ts';
import { tableFromBytes } from '../../src/files/table-from-bytes.ts';
import { columnLetter } from '../../src/files/table.ts';
import { inline, sheetXml, workbookOf } from './archives.ts';
import { expectError, expectOk, tableOf, utf8 } from './expect-result.ts';

const shown = async (file: string | Uint8Array) => (await tableOf(file)).rows.map((row) => row.cells.map((cell) => cell?.shown ?? null));

describe('text tables', () => {
  test.each([
    [',', 'Label,x,y\nP1,1,2\n'],
    [';', 'Label;x;y\nP1;1;2\n'],
    ['\t', 'Label\tx\ty\nP1\t1\t2\n'],
    [';', '\uFEFFLabel;x;y\r\nP1;1;2\r\n'],
    [',', 'Label,x,y\rP1,1,2\r'],
    [';', 'sep=;\r\nLabel;x;y\r\nP1;1;2'],
    // More commas than semicolons, all of them decimal.
    [';', 'Roof, north, 2025, draft, internal\nLabel;x [m];y [m]\nP1;1,5;2,5\nP2;1,5;2,5\n'],
  ])('the separator "%s" is found in %j', async (separator, text) => {
    const table = await tableOf(text);
    expect(table.separator).toBe(separator);
    expect(table.columns.map((each) => each.heading.charAt(0))).toEqual(['L', 'x', 'y']);
    expect(table.rows[0]?.cells[0]?.shown).toBe('P1');
  });

  test('quoted line breaks and doubled quotes stay in their cell, and rows are counted as a spreadsheet counts', async () => {
    const table = await tableOf('Label,Access,x\n"P\n1","by ""lift"", or rope",1\nP2,,2\n');
    expect(table.rows.map((row) => [row.rowNumber, ...row.cells.map((cell) => cell?.shown ?? null)])).toEqual([
      [2, 'P\n1', 'by "lift", or rope', '1'],
      [3, 'P2', null, '2'],
    ]);
  });

  test('marks of feet and inches need no quotes', async () => {
    expect(await shown(`Label,x,y\nP1,12' 3",4' 6 1/2"\n`)).toEqual([['P1', `12' 3"`, `4' 6 1/2"`]]);
  });

  test('UTF-16 as spreadsheets save Unicode text', async () => {
    for (const swap of [false, true]) {
      const bytes = Buffer.from('\uFEFFLabel\tx\ty\nÖst 1\t1\t2\n', 'utf16le');
      expect(await shown(swap ? bytes.swap16() : bytes)).toEqual([['Öst 1', '1', '2']]);
    }
  });

  test('Windows-1252 is assumed, said so with a sample, and can be chosen', async () => {
    const bytes = Buffer.from('Label;x;y\nP1;1;2\nS\u00fcd 2;1;2\n', 'latin1');
    const assumed = await tableOf(bytes);
    expect(assumed.encoding).toBe('windows-1252');
    expect(assumed.notes).toContainEqual({ code: 'encoding-assumed', encoding: 'windows-1252', rowNumber: 3, sample: 'Süd 2' });
    expect((await tableOf(bytes, { encoding: 'windows-1252' })).notes).toEqual([]);
    expect(expectError(await tableFromBytes(bytes, 'a', { encoding: 'utf-8' }))).toEqual({
      code: 'text-not-decodable',
      encoding: 'utf-8',
      line: 3,
    });
  });

  test('titles above, a row of units below, blank rows between', async () => {
    const table = await tableOf('Invented Hall,,,\nRigging points,,,\n,,,\nLabel,x,Height,WLL\n,m,ft,kg\n,,,\nP1,1,2,3\n\nP2,1,2,3\n');
    expect(table.headingRowNumber).toBe(4);
    expect(table.columns.map((each) => each.unitText)).toEqual([null, 'm', 'ft', 'kg']);
    expect(table.rows.map((row) => row.rowNumber)).toEqual([7, 9]);
    expect(table.notes).toEqual([{ code: 'title-rows-skipped', rowNumbers: [1, 2] }]);
  });

  test('a point called m is no row of units', async () => {
    expect((await tableOf('Label,x,y\nm,1,2\n')).rows).toHaveLength(1);
    expect((await tableOf('Label,x,y\nm,,\nP1,1,2\n')).rows).toHaveLength(2);
  });

  test('without a heading row it is refused, unless the row is chosen', async () => {
    const text = 'P1,1,2\nP2,3,4\n';
    expect(expectError(await tableFromBytes(utf8(text), 'a', {}))).toMatchObject({ code: 'table-without-heading-row', rowsLookedAt: 2 });
    expect(expectError(await tableFromBytes(utf8(text), 'a', { headingRowNumber: 9 }))).toEqual({
      code: 'heading-row-not-found',
      headingRowNumber: 9,
    });
    expect((await tableOf('foo,bar\nP1,1\n', { headingRowNumber: 1 })).columns.map((each) => each.heading)).toEqual(['foo', 'bar']);
  });

  test('a column without a heading is said', async () => {
    expect((await tableOf('Label,,x\nP1,secret,2\n')).notes).toEqual([{ code: 'column-without-heading', letter: 'B' }]);
  });
});

describe('workbooks', () => {
  const book = (sheets: Record<string, unknown[][]>): Uint8Array => {
    const workbook = utils.book_new();
    for (const [name, rows] of Object.entries(sheets)) utils.book_append_sheet(workbook, utils.aoa_to_sheet(rows), name);
    return new Uint8Array(write(workbook, { type: 'array', bookType: 'xlsx' }) as ArrayBuffer);
  };
  const ROOF = [
    ['Label', 'x [m]'],
    ['P1', 1.234],
  ];

  test('a workbook that a spreadsheet library wrote', async () => {
    const table = await tableOf(book({ Roof: [['Invented Hall'], [], ...ROOF] }));
    expect(table).toMatchObject({ format: 'xlsx', sheet: 'Roof', headingRowNumber: 3, separator: null });
    expect(table.rows[0]).toMatchObject({
      rowNumber: 4,
      cells: [
        { kind: 'text', shown: 'P1' },
        { kind: 'number', value: 1.234 },
      ],
    });
  });

  test('several filled sheets: which one is asked, and chosen by name', async () => {
    const bytes = book({
      Points: ROOF,
      Empty: [],
      'Old points': [
        ['Label', 'x [m]'],
        ['P9', 9],
      ],
    });
    expect(expectError(await tableFromBytes(bytes, 'a', {}))).toEqual({
      code: 'sheet-not-chosen',
      sheets: ['Points', 'Empty', 'Old points'],
    });
    const table = await tableOf(bytes, { sheet: 'Old points' });
    expect(table.rows[0]?.cells[0]?.shown).toBe('P9');
    expect(table.sheets).toEqual([
      { name: 'Points', hidden: false, rowCount: 2 },
      { name: 'Empty', hidden: false, rowCount: 0 },
      { name: 'Old points', hidden: false, rowCount: 2 },
    ]);
    expect(expectError(await tableFromBytes(bytes, 'a', { sheet: 'x' }))).toMatchObject({ code: 'sheet-not-found', sheet: 'x' });
  });

  test('one filled sheet among empty ones needs no choice; none at all is an empty file', async () => {
    expect((await tableOf(book({ Empty: [], Roof: ROOF }))).sheet).toBe('Roof');
    expect(expectError(await tableFromBytes(book({ Empty: [] }), 'a', {}))).toEqual({ code: 'file-empty' });
  });

  test('hidden rows are marked and merged cells are said', async () => {
    const sheetData = `<row r="1">${inline('A1', 'Label')}${inline('B1', 'x [m]')}</row><row r="2" hidden="1">${inline('A2', 'P1')}<c r="B2"><v>1</v></c></row><row r="3">${inline('A3', 'P2')}<c r="B3"><v>1</v></c></row>`;
    const after = '<mergeCells count="1"><mergeCell ref="A2:A3"/></mergeCells>';
    const table = await tableOf(workbookOf('', [{ name: 'xl/worksheets/sheet1.xml', text: sheetXml(sheetData, after) }]));
    expect(table.rows.map((row) => row.hidden)).toEqual([true, false]);
    expect(table.notes).toEqual([{ code: 'merged-cells', ranges: ['A2:A3'] }]);
  });
});

// Headings as venues write them. Common practice, no source.
describe('headings of points', () => {
  test.each<[heading: string, field: string, unit: string | null]>([
    ['Label', 'label', null],
    ['Point No.', 'label', null],
    ['Hängepunkt', 'label', null],
    ['Point d’accroche', 'label', null],
    ['Punto de cuelgue', 'label', null],
    ['Ophangpunt', 'label', null],
    ['x', 'xM', null],
    ['X [mm]', 'xM', 'mm'],
    ['x mm', 'xM', 'mm'],
    ['x, m', 'xM', 'm'],
    ['x_m', 'xM', 'm'],
    ['x in m', 'xM', 'm'],
    ['X-Koordinate (m)', 'xM', 'm'],
    ['Coordonnée Y (m)', 'yM', 'm'],
    ['y (ft)', 'yM', 'ft'],
    ['x (in)', 'xM', 'in'],
    ['Height ft', 'zM', 'ft'],
    ['Höhe (m)', 'zM', 'm'],
    ['Hauteur', 'zM', null],
    ['Altura [m]', 'zM', 'm'],
    ['Hoogte m', 'zM', 'm'],
    ['WLL', 'wllKg', null],
    ['WLL [kg]', 'wllKg', 'kg'],
    ['W.L.L. (kg)', 'wllKg', 'kg'],
    ['SWL (lbs)', 'wllKg', 'lb'],
    ['SWL in kg', 'wllKg', 'kg'],
    ['WLL/kN', 'wllKg', 'kN'],
    ['Max. load (kg)', 'wllKg', 'kg'],
    ['WLL\n(kg)', 'wllKg', 'kg'],
    ['Tragfähigkeit [kN]', 'wllKg', 'kN'],
    ['TRAGFAEHIGKEIT', 'wllKg', null],
    ['zul. Last [t]', 'wllKg', 't'],
    ['C.M.U. (kg)', 'wllKg', 'kg'],
    ['Charge admissible (daN)', 'wllKg', 'daN'],
    ['Carga máxima (kg)', 'wllKg', 'kg'],
    ['Draagvermogen (kg)', 'wllKg', 'kg'],
    ['Capacity (ton)', 'wllKg', 'ton'],
    ['Capacity (short tons)', 'wllKg', 'short-ton'],
    ['Capacity [T]', 'wllKg', 'ton'],
    ['Girder', 'memberLabel', null],
    ['Träger', 'memberLabel', null],
    ['Poutre', 'memberLabel', null],
    ['Viga', 'memberLabel', null],
    ['Ligger', 'memberLabel', null],
    ['Station (m)', 'stationM', 'm'],
    ['Attachment', 'attachment', null],
    ['Anschlagart', 'attachment', null],
    ['Access', 'access', null],
    ['Zugang', 'access', null],
    ['Accès', 'access', null],
    ['Status', 'state', null],
    ['État', 'state', null],
    ['Grund', 'stateReason', null],
    ['Nächste Prüfung', 'inspectionDue', null],
    ['Prochaine vérification', 'inspectionDue', null],
    ['Volgende keuring', 'inspectionDue', null],
    ['Max angle (°)', 'maxAngleDeg', 'deg'],
    ['Angle off vertical', 'maxAngleDeg', null],
    ['Horizontalkraft [kN]', 'sidewaysKn', 'kN'],
    ['Side load (lbf)', 'sidewaysKn', 'lb'],
    ['Nachweis', 'basisText', null],
  ])('"%s" is surely %s in %s', (heading, field, unit) => {
    expect(matchHeading('points', heading, null)).toMatchObject({ field, unit, sure: true });
  });

  test.each<[string, string]>([
    ['Load (lb)', 'wllKg'],
    ['Last [kg]', 'wllKg'],
    ['Point load', 'wllKg'],
    ['Charge', 'wllKg'],
    ['Name', 'label'],
    ['No.', 'label'],
    ['ID', 'label'],
    ['Level', 'zM'],
    ['Position', 'stationM'],
    ['WLL (bridle)', 'wllKg'],
    ['WLL (kg/lb)', 'wllKg'],
    ['WLL (m)', 'wllKg'],
    ['x (from wall)', 'xM'],
  ])('"%s" may be %s and is asked about', (heading, field) => {
    expect(matchHeading('points', heading, null)).toMatchObject({ field, sure: false });
  });

  test.each(['MBL', 'Breaking load (kN)', 'Bruchlast', 'Last inspection', 'Remarks', 'Colour', 'Self weight', '', ' ', 'x'.repeat(300)])(
    '"%s" is none',
    (heading) => expect(matchHeading('points', heading, null)).toBeNull(),
  );

  test('a unit in the row below, one that agrees, one that contradicts', () => {
    expect(matchHeading('points', 'WLL', '[kg]')).toMatchObject({ sure: true, unit: 'kg' });
    expect(matchHeading('points', 'WLL [kg]', 'kg')).toMatchObject({ sure: true, unit: 'kg' });
    expect(matchHeading('points', 'WLL [kg]', 'lb')).toMatchObject({ sure: false });
  });
});

describe('headings of members', () => {
  test.each<[heading: string, field: string, unit: string | null]>([
    ['Member', 'label', null],
    ['Binder', 'label', null],
    ['From', 'fromNodeLabel', null],
    ['To node', 'toNodeLabel', null],
    ['Anfangsknoten', 'fromNodeLabel', null],
    ['Nœud fin', 'toNodeLabel', null],
    ['x1 (m)', 'fromXM', 'm'],
    ['Start y [mm]', 'fromYM', 'mm'],
    ['z2', 'toZM', null],
    ['End x', 'toXM', null],
    ['Self weight (kg/m)', 'selfWeightKgPerM', 'kg/m'],
    ['Eigengewicht [kN/m]', 'selfWeightKgPerM', 'kN/m'],
    ['Dead load (plf)', 'deadLoadKgPerM', 'lb/ft'],
    ['E-Modul [N/mm²]', 'youngsModulusPa', 'MPa'],
    ['Iy [cm4]', 'secondMomentM4', 'cm4'],
  ])('"%s" is surely %s in %s', (heading, field, unit) => {
    expect(matchHeading('members', heading, null)).toMatchObject({ field, unit, sure: true });
  });
  test('a weight as a whole is not a weight per metre', () => {
    expect(matchHeading('members', 'Self weight (kg)', null)).toMatchObject({ field: 'selfWeightKgPerM', sure: false });
  });
});

describe('mapping of columns', () => {
  const mapped = async (text: string, choices = {}) => expectOk(mapColumns(await tableOf(text), 'points', choices));
  test('two columns for one field are a question, and so is a doubtful heading', async () => {
    const { questions, columns } = await mapped('Label,x,WLL (kg),SWL (lb)\nP1,1,450,992\n');
    expect(questions).toMatchObject([
      {
        id: 'wllKg:column',
        code: 'which-column',
        rowCount: 1,
        alternatives: [{ answer: 'C', readsAs: 'WLL (kg): 450' }, { answer: 'D', readsAs: 'SWL (lb): 992' }, { answer: 'none' }],
      },
    ]);
    expect(columns.map((each) => each.field)).toEqual(['label', 'xM']);
    expect((await mapped('Label,x,Load (lb)\nP1,1,992\n')).questions).toMatchObject([{ id: 'wllKg:column', code: 'is-this-the-column' }]);
  });
  test('an answer settles it', async () => {
    const text = 'Label,x,WLL (kg),SWL (lb)\nP1,1,450,992\n';
    const { questions, columns } = await mapped(text, { answers: { 'wllKg:column': 'D' } });
    expect(questions).toEqual([]);
    expect(columns.at(-1)).toMatchObject({ field: 'wllKg', unit: 'lb', column: { letter: 'D' } });
    expect((await mapped(text, { answers: { 'wllKg:column': 'none' } })).fieldsNotFound).toContain('wllKg');
    expect(expectError(mapColumns(await tableOf(text), 'points', { answers: { 'wllKg:column': 'A' } }))).toMatchObject({
      code: 'import-answer-not-offered',
      offered: ['C', 'D', 'none'],
    });
  });
  test('chosen columns and units go before headings', async () => {
    const { columns } = await mapped('Label,x [m],Foo,y\nP1,1,2,3\n', {
      columns: { xM: 2, yM: null, wllKg: 1 },
      units: { xM: 'ft', wllKg: 'kN' },
    });
    expect(columns.map((each) => [each.field, each.column.letter, each.unit, each.unitSaidBy])).toEqual([
      ['label', 'A', null, null],
      ['xM', 'C', 'ft', 'choice'],
      ['wllKg', 'B', 'kN', 'choice'],
    ]);
  });
  test('choices that cannot be are refused', async () => {
    const table = await tableOf('Label,x\nP1,1\n');
    const refused = (choices: object) => expectError(mapColumns(table, 'points', choices));
    expect(refused({ columns: { colour: 1 } })).toMatchObject({ code: 'import-field-unknown', field: 'colour' });
    expect(refused({ columns: { xM: 7 } })).toEqual({ code: 'import-column-missing', field: 'xM', columnIndex: 7 });
    expect(refused({ columns: { xM: 1, yM: 1 } })).toEqual({ code: 'import-column-chosen-twice', columnIndex: 1, fields: ['xM', 'yM'] });
    expect(refused({ units: { xM: 'kg' } })).toMatchObject({ code: 'import-unit-does-not-fit', field: 'xM', unit: 'kg' });
  });
});

test('columns are named as spreadsheets name them', () => {
  expect([0, 25, 26, 51, 52, 255, 701, 702].map(columnLetter)).toEqual(['A', 'Z', 'AA', 'AZ', 'BA', 'IV', 'ZZ', 'AAA']);
});
