import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { PointDraft } from '../../src/files/import-fields.ts';
import { mapColumns } from '../../src/files/map-columns.ts';
import { labelKey, nearKey } from '../../src/files/match-labels.ts';
import { planImport, type Existing } from '../../src/files/plan-import.ts';
import { HEADINGS, inline, workbookOf } from './archives.ts';
import { expectError, expectOk, planOf, tableOf } from './expect-result.ts';

const HEADING = 'Label;x [m];y [m];z [m];WLL [kg]\n';
const known = (label: string, facts: Partial<PointDraft> = {}): Existing<PointDraft> => ({
  id: `id of ${label}`,
  label,
  xM: 1,
  yM: 2,
  zM: 12,
  wllKg: 450,
  memberLabel: null,
  stationM: null,
  attachment: null,
  access: null,
  state: null,
  stateReason: null,
  inspectionDue: null,
  maxAngleDeg: null,
  sidewaysKn: null,
  basisText: null,
  ...facts,
});
const only = async (text: string, options: Parameters<typeof planOf<'points'>>[2] = {}) => {
  const plan = await planOf('points', text, options);
  const [row] = plan.rows;
  if (row === undefined) throw new Error('no row');
  return { plan, row };
};
const wllOf = async (heading: string, cell: string, choices = {}) => {
  const { row } = await only(`Label;x [m];y [m];z [m];${heading}\nP1;1;2;3;${cell}\n`, { choices });
  return row.outcome === 'add' ? row.draft.wllKg : row;
};
const faultsOf = async (heading: string, cell: string, choices = {}) => {
  const { row } = await only(`Label;x [m];y [m];z [m];${heading}\nP1;1;2;3;${cell}\n`, { choices });
  return row.outcome === 'refused' ? row.faults : row;
};

describe('what happens to a row', () => {
  test('add, change, same, and what is not in the file', async () => {
    const existing = [known('P1'), known('P2'), known('P3', { zM: 12.5 })];
    const plan = await planOf('points', `${HEADING}P1;1;2;12;500\nP2;1;2;12;450\nP4;1,5;2,5;12;450\n`, { existing });
    expect(plan.rows).toEqual([
      {
        rowNumber: 2,
        label: 'P1',
        notes: [],
        outcome: 'change',
        id: 'id of P1',
        changes: [{ field: 'wllKg', old: 450, new: 500 }],
        draft: expect.objectContaining({ label: 'P1', wllKg: 500 }) as unknown,
      },
      { rowNumber: 3, label: 'P2', notes: [], outcome: 'same', id: 'id of P2' },
      {
        rowNumber: 4,
        label: 'P4',
        notes: [],
        outcome: 'add',
        draft: expect.objectContaining({ label: 'P4', xM: 1.5, yM: 2.5, zM: 12, wllKg: 450, state: null }) as unknown,
      },
    ]);
    expect(plan.notInFile).toEqual([{ id: 'id of P3', label: 'P3' }]);
    expect(plan.counts).toEqual({ add: 1, change: 1, same: 1, duplicate: 0, refused: 0, question: 0, notInFile: 1 });
  });

  test('a column that is not there changes nothing, a blank cell makes the value unknown', async () => {
    const existing = [known('P1', { access: 'lift' })];
    const { row } = await only('Label;WLL [kg]\nP1;\n', { existing });
    expect(row).toMatchObject({ outcome: 'change', changes: [{ field: 'wllKg', old: 450, new: null }], draft: { access: 'lift', zM: 12 } });
  });

  test.each(['-', '–', 'n/a', 'N.A.', 'k.A.', 'TBC', '?', 'unbekannt'])('"%s" is unknown, and said so', async (cell) => {
    const { row } = await only(`${HEADING}P1;1;2;3;${cell}\n`);
    expect(row).toMatchObject({ outcome: 'add', draft: { wllKg: null }, notes: [{ code: 'said-unknown', letter: 'E', cellText: cell }] });
  });

  test('a new point without a whole position is refused, a known one keeps its own', async () => {
    expect((await only(`${HEADING}P1;1;;3;450\n`)).row).toMatchObject({ outcome: 'refused', faults: [{ code: 'position-missing' }] });
    expect((await only('Label;WLL [kg]\nP9;450\n')).row).toMatchObject({ outcome: 'refused', faults: [{ code: 'position-missing' }] });
  });

  test('every fault of a row is named at once, with column, text and remedy', async () => {
    const { row } = await only(`${HEADING};1;abc;3;-5\n`);
    expect(row).toMatchObject({
      outcome: 'refused',
      faults: [
        { code: 'not-a-number', field: 'yM', letter: 'C', heading: 'y [m]', cellText: 'abc' },
        { code: 'out-of-range', field: 'wllKg', letter: 'E', cellText: '-5' },
        { code: 'label-missing' },
      ],
    });
    if (row.outcome === 'refused') for (const fault of row.faults) expect(`${fault.problem} ${fault.mend}`).toMatch(/^\S.*\. .*\.$/);
  });

  test('an unquoted decimal comma is seen by the cell too many', async () => {
    expect((await only('Label,x [m],y [m],z [m],WLL [kg]\nP1,1,5,2,5,12,450\n')).row).toMatchObject({
      faults: [{ code: 'more-cells-than-headings' }],
    });
  });

  test('repeated headings and totals are refused by name', async () => {
    const plan = await planOf('points', `${HEADING}P1;1;2;3;450\nLabel;x [m];y [m];z [m];WLL [kg]\nTotal;;;;450\n`);
    expect(plan.rows.map((row) => (row.outcome === 'refused' ? row.faults.at(-1)?.code : row.outcome))).toEqual([
      'add',
      expect.anything(),
      'totals-row',
    ]);
    expect(plan.counts.refused).toBe(2);
  });

  test('of 5000 rows with one percent bad, exactly the bad ones are listed', async () => {
    const bad = ['abc', '-1', '450 stone', '1e9', '9999999', '12 m', '#REF!', '450/500', '1..2', '4,5,6'];
    const isBad = (index: number): boolean => index % 100 === 37;
    const rows = Array.from(
      { length: 5000 },
      (_, index) => `P${index};${index % 50};2;12;${isBad(index) ? bad[Math.floor(index / 100) % bad.length] : 450}`,
    );
    const started = performance.now();
    const plan = await planOf('points', `${HEADING}${rows.join('\n')}\n`);
    expect(performance.now() - started).toBeLessThan(10_000);
    expect(plan.rows.filter((row) => row.outcome === 'refused').map((row) => row.label)).toEqual(
      Array.from({ length: 50 }, (_, index) => `P${index * 100 + 37}`),
    );
    expect(plan.counts).toEqual({ add: 4950, change: 0, same: 0, duplicate: 0, refused: 50, question: 0, notInFile: 0 });
  });
});

describe('labels', () => {
  test('capitals and spaces do not part labels; the id stays', async () => {
    const { row } = await only(`${HEADING}p  1;1;2;12;450\n`, { existing: [known('P 1')] });
    expect(row).toMatchObject({ outcome: 'change', id: 'id of P 1', changes: [{ field: 'label', old: 'P 1', new: 'p 1' }] });
  });
  test.each(['P14', 'p-14', 'P.014', 'P 014'])('"%s" is near "P 14" and is asked about', async (label) => {
    const existing = [known('P 14')];
    const text = `${HEADING}${label};1;2;12;450\n`;
    const { plan, row } = await only(text, { existing });
    const id = `label:${label.toLowerCase()}`;
    expect(row).toMatchObject({ outcome: 'question', questionIds: [id] });
    expect(plan.questions).toMatchObject([
      {
        id,
        code: 'same-item',
        field: 'label',
        letter: 'A',
        alternatives: [{ answer: 'id of P 14' }, { answer: 'new' }],
        sample: { rowNumber: 2, cellText: label },
      },
    ]);
    expect(plan.notInFile).toEqual([]);
    expect((await only(text, { existing, choices: { answers: { [id]: 'id of P 14' } } })).row).toMatchObject({
      outcome: 'change',
      id: 'id of P 14',
    });
    const added = await only(text, { existing, choices: { answers: { [id]: 'new' } } });
    expect(added.row).toMatchObject({ outcome: 'add', draft: { label } });
    expect(added.plan.notInFile).toEqual([{ id: 'id of P 14', label: 'P 14' }]);
  });
  test('an id that was not offered is no answer', async () => {
    const table = await tableOf(`${HEADING}P14;1;2;12;450\n`);
    const mapping = expectOk(mapColumns(table, 'points'));
    const existing = [known('P 14'), known('Q1')];
    const error = expectError(planImport({ kind: 'points', table, mapping, existing, choices: { answers: { 'label:p14': 'id of Q1' } } }));
    expect(error).toEqual({
      code: 'import-answer-not-offered',
      questionId: 'label:p14',
      answer: 'id of Q1',
      offered: ['id of P 14', 'new'],
    });
  });
  test('grid labels are not near each other', () => {
    expect(nearKey('1-11')).not.toBe(nearKey('11-1'));
    expect(nearKey('1.1')).not.toBe(nearKey('11'));
    expect(nearKey('A-01')).toBe(nearKey('a 1'));
    expect(nearKey('P10')).not.toBe(nearKey('P1'));
    expect(labelKey('P\u200b 1')).toBe(labelKey('p 1'));
  });
  test('near labels within one file are asked about once', async () => {
    const text = `${HEADING}P 14;1;2;12;450\nP14;1;2;12;450\n`;
    const plan = await planOf('points', text);
    expect(plan.rows.map((row) => row.outcome)).toEqual(['add', 'question']);
    expect(plan.questions[0]?.alternatives.map((each) => each.answer)).toEqual(['new', 'same-as-row']);
    expect((await planOf('points', text, { choices: { answers: { 'label:p14': 'same-as-row' } } })).rows.map((row) => row.outcome)).toEqual(
      ['add', 'duplicate'],
    );
    expect((await planOf('points', text, { choices: { answers: { 'label:p14': 'new' } } })).rows.map((row) => row.outcome)).toEqual([
      'add',
      'add',
    ]);
  });
  test('a copy of a row is harmless; rows that contradict each other are both left out', async () => {
    const copies = await planOf('points', `${HEADING}P1;1;2;12;450\np1;1;2;12;450\nP2;1;2;12;450\n`);
    expect(copies.rows).toMatchObject([{ outcome: 'add' }, { outcome: 'duplicate', ofRowNumber: 2, differs: [] }, { outcome: 'add' }]);
    const differing = await planOf('points', `${HEADING}P1;1;2;12;450\nP1;1;2;12;900\nP2;1;2;12;450\n`);
    expect(differing.rows).toMatchObject([
      { outcome: 'duplicate', ofRowNumber: 3, differs: ['wllKg'] },
      { outcome: 'duplicate', ofRowNumber: 2, differs: ['wllKg'] },
      { outcome: 'add' },
    ]);
    const halfBad = await planOf('points', `${HEADING}P1;1;2;12;450\nP1;1;2;12;abc\n`);
    expect(halfBad.rows).toMatchObject([{ outcome: 'duplicate', ofRowNumber: 3 }, { outcome: 'refused' }]);
  });
  test('two rows answered as one known point are duplicates too', async () => {
    const plan = await planOf('points', `${HEADING}P 14;1;2;12;450\nP14;1;2;12;900\n`, {
      existing: [known('P 14')],
      choices: { answers: { 'label:p14': 'id of P 14' } },
    });
    expect(plan.rows).toMatchObject([
      { outcome: 'duplicate', differs: ['wllKg'] },
      { outcome: 'duplicate', differs: ['wllKg'] },
    ]);
  });
  test('a label that a spreadsheet turned into a date is refused', async () => {
    const plan = await planOf(
      'points',
      workbookOf(
        `${HEADINGS}<row r="2"><c r="A2" s="1"><v>46173</v></c><c r="B2"><v>1</v></c><c r="C2"><v>1</v></c><c r="D2"><v>1</v></c></row>`,
      ),
    );
    expect(plan.rows[0]).toMatchObject({ outcome: 'refused', faults: [{ code: 'date-instead-of-text', letter: 'A' }] });
  });
  test('without a label column there is no plan', async () => {
    const table = await tableOf('x [m];y [m]\n1;2\n');
    expect(expectError(planImport({ kind: 'points', table, mapping: expectOk(mapColumns(table, 'points')), existing: [] }))).toMatchObject({
      code: 'import-label-column-missing',
    });
  });
});

// Factors from NIST SP 811 and the 1959 agreement (tests/published/units.json); products worked out by hand.
describe('units of a cell', () => {
  test.each<[heading: string, cell: string, massKg: number]>([
    ['WLL [kg]', '450', 450],
    ['WLL', '450 kg', 450],
    ['WLL', '1,2 t', 1200],
    ['WLL', '1.2t', 1200],
    ['WLL (lb)', '1000', 453.59237],
    ['SWL', '1,000.0 lbs', 453.59237],
    ['WLL', '1000#', 453.59237],
    ['WLL [kN]', '9,80665', 1000],
    ['WLL', '4.903325 kN', 500],
    ['WLL (daN)', '980.665', 1000],
    ['WLL', '2 short tons', 1814.36948],
    ['WLL (kip)', '1', 453.59237],
    ['WLL [t]', '0,5', 500],
    ['WLL [kg]', '0', 0],
  ])('%s %s is %d kg', async (heading, cell, massKg) => {
    const choices = cell === '980.665' ? { decimalSign: '.' } : {};
    expect(await wllOf(heading, cell, choices)).toBeCloseTo(massKg, 9);
  });
  test.each<[heading: string, cell: string, code: string]>([
    ['WLL [kg]', '450 lb', 'unit-contradicts-heading'],
    ['WLL [kg]', '450 m', 'unit-does-not-fit'],
    ['WLL [kg]', '450 stone', 'unit-not-known'],
    ['WLL [kg]', '450 kg max', 'unit-not-known'],
    ['WLL [kg]', 'kg 450', 'not-a-number'],
    ['WLL [kg]', '450 to 500', 'unit-not-known'],
    ['WLL [kg]', '1e3', 'unit-not-known'],
    ['WLL [kg]', 'TRUE', 'not-a-number'],
    ['WLL [kg]', '200001', 'out-of-range'],
  ])('%s %s: %s', async (heading, cell, code) =>
    expect(await faultsOf(heading, cell)).toMatchObject([{ code, letter: 'E', cellText: cell }]),
  );

  test('a chosen unit speaks for cells without their own only', async () => {
    expect(await wllOf('WLL', '450', { units: { wllKg: 'lb' } })).toBeCloseTo(204.1165665, 9);
    expect(await wllOf('WLL', '450 kg', { units: { wllKg: 'lb' } })).toBe(450);
    expect(await wllOf('WLL [kg]', '450', { units: { wllKg: 'lb' } })).toBeCloseTo(204.1165665, 9);
  });
  test('a column of feet takes feet, inches and both', async () => {
    const plan = await planOf('points', `Label\tx (ft)\ty (ft)\tz\tWLL [kg]\nP1\t10\t6"\t12' 3 1/2"\t450\n`);
    // 10 ft = 3.048 m, 6 in = 0.1524 m, 147.5 in = 3.7465 m
    expect(plan.rows[0]).toMatchObject({ outcome: 'add', draft: { xM: 3.048, yM: 0.1524, zM: 3.7465 } });
  });
  test('a force to the side stays a force', async () => {
    const plan = await planOf('points', 'Label;x [m];y [m];z [m];Side load [kN];Max angle off vertical\nP1;1;2;3;1,5;30°\n');
    expect(plan.rows[0]).toMatchObject({ outcome: 'add', draft: { sidewaysKn: 1.5, maxAngleDeg: 30 } });
  });
  test('a number that shows its unit in the format', async () => {
    const cells = '<c r="B2"><v>1</v></c><c r="C2"><v>2</v></c><c r="D2"><v>3</v></c><c r="E2" s="2"><v>450.25</v></c>';
    const headings = HEADINGS.replace('WLL [kg]', 'WLL');
    expect((await planOf('points', workbookOf(`${headings}<row r="2">${inline('A2', 'P1')}${cells}</row>`))).rows[0]).toMatchObject({
      draft: { wllKg: 450.25 },
    });
    const contradicting = HEADINGS.replace('WLL [kg]', 'WLL [lb]');
    expect((await planOf('points', workbookOf(`${contradicting}<row r="2">${inline('A2', 'P1')}${cells}</row>`))).rows[0]).toMatchObject({
      faults: [{ code: 'unit-contradicts-heading' }],
    });
  });
});

describe('questions', () => {
  test('an ambiguous number is asked once per column and never guessed', async () => {
    const text = `${HEADING}P1;1;2;12;1.234\nP2;1;2;12;1,500\nP3;1;2;12;450\n`;
    const plan = await planOf('points', text);
    expect(plan.rows.map((row) => row.outcome)).toEqual(['question', 'question', 'add']);
    expect(plan.questions).toEqual([
      {
        id: 'wllKg:decimal-sign',
        code: 'decimal-sign',
        field: 'wllKg',
        letter: 'E',
        heading: 'WLL [kg]',
        rowCount: 2,
        sample: { rowNumber: 2, cellText: '1.234' },
        alternatives: [
          { answer: '.', readsAs: '1.234 kg' },
          { answer: ',', readsAs: '1234 kg' },
        ],
      },
    ]);
    const drafts = async (sign: string) =>
      (await planOf('points', text, { choices: { answers: { 'wllKg:decimal-sign': sign } } })).rows.map((row) =>
        row.outcome === 'add' ? row.draft.wllKg : row.outcome,
      );
    expect(await drafts('.')).toEqual([1.234, 1500, 450]);
    expect(await drafts(',')).toEqual([1234, 1.5, 450]);
  });
  test('one decimal sign may be said for the whole table, and what contradicts it is refused', async () => {
    const plan = await planOf('points', `${HEADING}P1;1,125;1.250;12,5;1.234\nP2;1.5;2;12;450\n`, { choices: { decimalSign: ',' } });
    expect(plan.rows).toMatchObject([
      { outcome: 'add', draft: { xM: 1.125, yM: 1250, zM: 12.5, wllKg: 1234 } },
      { outcome: 'refused', faults: [{ code: 'other-decimal-sign', letter: 'B', cellText: '1.5' }] },
    ]);
  });
  test('a number in a workbook is a number, not a text with a sign', async () => {
    const plan = await planOf(
      'points',
      workbookOf(
        `${HEADINGS}<row r="2">${inline('A2', 'P1')}<c r="B2"><v>1.234</v></c><c r="C2"><v>2</v></c><c r="D2"><v>3</v></c><c r="E2"><v>1.234</v></c></row>`,
      ),
    );
    expect(plan.rows[0]).toMatchObject({ outcome: 'add', draft: { xM: 1.234, wllKg: 1.234 } });
  });
  test('a number without any unit', async () => {
    const text = 'Label;x [m];y [m];z [m];WLL\nP1;1;2;3;450\n';
    const { plan, row } = await only(text);
    expect(row).toMatchObject({ outcome: 'question', questionIds: ['wllKg:unit'] });
    expect(plan.questions[0]?.alternatives).toContainEqual({ answer: 'kg', readsAs: '450 kg' });
    expect(plan.questions[0]?.alternatives).toContainEqual({ answer: 't', readsAs: '450000 kg' });
    expect(await wllOf('WLL', '450', { answers: { 'wllKg:unit': 'kg' } })).toBe(450);
  });
  test.each([
    ['WLL (ton)', '1.2'],
    ['WLL', '1.2 ton'],
    ['WLL', '1.2 T'],
    ['WLL [T]', '1.2'],
  ])('the ton of "%s" "%s" is asked about', async (heading, cell) => {
    expect(await wllOf(heading, cell)).toMatchObject({ outcome: 'question', questionIds: ['wllKg:ton'] });
    expect(await wllOf(heading, cell, { answers: { 'wllKg:ton': 't' } })).toBe(1200);
    expect(await wllOf(heading, cell, { answers: { 'wllKg:ton': 'short-ton' } })).toBeCloseTo(1088.621688, 9);
    expect(await wllOf(heading, cell, { answers: { 'wllKg:ton': 'long-ton' } })).toBeCloseTo(1219.25629056, 9);
  });
  test('an angle that does not say from where', async () => {
    const angle = async (heading: string, choices = {}) => {
      const { row } = await only(`Label;x [m];y [m];z [m];${heading}\nP1;1;2;3;60\n`, { choices });
      return row.outcome === 'add' ? row.draft.maxAngleDeg : row;
    };
    expect(await angle('Max angle')).toMatchObject({ outcome: 'question', questionIds: ['maxAngleDeg:angle-from'] });
    expect(await angle('Max angle', { answers: { 'maxAngleDeg:angle-from': 'vertical' } })).toBe(60);
    expect(await angle('Max angle', { answers: { 'maxAngleDeg:angle-from': 'horizontal' } })).toBe(30);
    expect(await angle('Max angle from horizontal')).toBe(30);
    expect(await angle('Max. Winkel zur Vertikalen (°)')).toBe(60);
  });
  test('a day with two readings', async () => {
    const due = async (choices = {}) => (await only('Label;x [m];y [m];z [m];Inspection due\nP1;1;2;3;03/04/2026\n', { choices })).row;
    expect(await due()).toMatchObject({ outcome: 'question', questionIds: ['inspectionDue:date-order'] });
    expect(await due({ answers: { 'inspectionDue:date-order': 'month-first' } })).toMatchObject({ draft: { inspectionDue: '2026-03-04' } });
  });
  test('words for a state are known in five languages, others are asked about once each', async () => {
    const text = 'Label;x [m];y [m];z [m];Status\nP1;1;2;3;In Betrieb\nP2;1;2;3;hors service\nP3;1;2;3;beperkt\nP4;1;2;3;OK\nP5;1;2;3;ok\n';
    const plan = await planOf('points', text);
    expect(plan.rows.map((row) => (row.outcome === 'add' ? row.draft.state : row.outcome))).toEqual([
      'in service',
      'out of service',
      'restricted',
      'question',
      'question',
    ]);
    expect(plan.questions).toMatchObject([{ id: 'state:value:ok', code: 'value-meaning', rowCount: 2 }]);
    const answered = await planOf('points', text, { choices: { answers: { 'state:value:ok': 'unknown' } } });
    expect(answered.rows[3]).toMatchObject({ outcome: 'add', draft: { state: null } });
  });
  test('a doubtful column holds back the rows that fill it', async () => {
    const plan = await planOf('points', 'Label;x [m];y [m];z [m];Load [kg]\nP1;1;2;3;450\nP2;1;2;3;\n');
    expect(plan.rows).toMatchObject([
      { outcome: 'question', questionIds: ['wllKg:column'] },
      { outcome: 'add', draft: { wllKg: null } },
    ]);
  });
  test('several things open in one cell are asked together', async () => {
    expect(await wllOf('WLL', '1.234')).toMatchObject({ outcome: 'question', questionIds: ['wllKg:decimal-sign', 'wllKg:unit'] });
  });
});

test('members, with nodes or with coordinates', async () => {
  const plan = await planOf(
    'members',
    'Member;From;To;x1 [m];y1 [m];z1 [m];Self weight [kN/m];E [GPa];Iy [cm4]\nG1;N1;N2;;;;0,980665;210;8091\nG2;;N2;1;2;3;;;\nG3;;N2;1;;3;;;\n',
  );
  expect(plan.rows).toMatchObject([
    { outcome: 'add', draft: { label: 'G1', fromNodeLabel: 'N1', toNodeLabel: 'N2', youngsModulusPa: 210e9, secondMomentM4: 8.091e-5 } },
    { outcome: 'add', draft: { label: 'G2', fromNodeLabel: null, fromXM: 1, fromYM: 2, fromZM: 3 } },
    { outcome: 'refused', faults: [{ code: 'position-missing' }] },
  ]);
  const [first] = plan.rows;
  if (first?.outcome !== 'add') throw new Error('not added');
  expect(first.draft.selfWeightKgPerM).toBeCloseTo(100, 9);
});

test('a formula is taken by its stored result and flagged; a hidden row is flagged', async () => {
  const sheetData = `${HEADINGS}<row r="2" hidden="1">${inline('A2', 'P1')}<c r="B2"><v>1</v></c><c r="C2"><v>2</v></c><c r="D2"><v>3</v></c><c r="E2"><f>D2*150</f><v>450</v></c></row><row r="3">${inline('A3', 'P2')}<c r="B3"><v>1</v></c><c r="C3"><v>2</v></c><c r="D3"><v>3</v></c><c r="E3"><f>D3*150</f></c></row>`;
  const plan = await planOf('points', workbookOf(sheetData));
  expect(plan.rows).toMatchObject([
    {
      outcome: 'add',
      draft: { wllKg: 450 },
      notes: [{ code: 'hidden-row' }, { code: 'formula', letter: 'E', formula: 'D2*150', cellText: '450' }],
    },
    { outcome: 'refused', faults: [{ code: 'formula-without-value', letter: 'E', cellText: '=D3*150' }] },
  ]);
});

test('whatever the cells hold, each row gets exactly one outcome and no number is not finite', async () => {
  const cell = fc.oneof(
    fc.constantFrom(
      '1',
      '1.234',
      '1,5',
      '450 kg',
      '1 ton',
      '12\' 3"',
      '-',
      '',
      'NaN',
      'Infinity',
      '1e400',
      '=1+1',
      '__proto__',
      'constructor',
      '03/04/2026',
    ),
    fc.string({ maxLength: 12 }),
  );
  await fc.assert(
    fc.asyncProperty(fc.array(fc.array(cell, { minLength: 7, maxLength: 7 }), { minLength: 1, maxLength: 8 }), async (rows) => {
      const quoted = rows.map((row) => row.map((each) => `"${each.replaceAll('"', '""')}"`).join(';'));
      const table = await tableOf(`Label;x;y;z [m];WLL;Status;Inspection due\n${quoted.join('\n')}\n`, { separator: ';' });
      const mapping = expectOk(mapColumns(table, 'points'));
      const plan = expectOk(
        planImport({ kind: 'points', table, mapping, existing: [known('1')], choices: { units: { xM: 'm', yM: 'ft', wllKg: 'lb' } } }),
      );
      expect(plan.rows).toHaveLength(table.rows.length);
      const { notInFile: _, ...outcomes } = plan.counts;
      expect(Object.values(outcomes).reduce((sum, each) => sum + each, 0)).toBe(table.rows.length);
      for (const row of plan.rows) {
        if (row.outcome === 'question') expect(row.questionIds.length).toBeGreaterThan(0);
        if (row.outcome === 'add' || row.outcome === 'change')
          for (const value of Object.values(row.draft)) if (typeof value === 'number') expect(Number.isFinite(value)).toBe(true);
      }
    }),
    { numRuns: 500 },
  );
});

test('cells made to keep a pattern busy cost no time', async () => {
  const long = [
    `${'1'.repeat(1990)}'x`,
    `1'${' '.repeat(1990)}x`,
    `${'1 '.repeat(990)}x`,
    `${'1,111'.repeat(390)}x`,
    `-${' '.repeat(1990)}1`,
    `${'('.repeat(1990)}`,
  ];
  const rows = Array.from({ length: 2000 }, (_, index) => `P${index};${long[index % long.length]};2;3;${long[(index + 1) % long.length]}`);
  const table = await tableOf(`${HEADING}${rows.join('\n')}\n`);
  const started = process.cpuUsage();
  const plan = expectOk(planImport({ kind: 'points', table, mapping: expectOk(mapColumns(table, 'points')), existing: [] }));
  // 4000 hostile cells; a quadratic pattern needs more than a minute for them.
  expect(process.cpuUsage(started).user / 1e6).toBeLessThan(10);
  expect(plan.counts.refused).toBe(2000);
});
