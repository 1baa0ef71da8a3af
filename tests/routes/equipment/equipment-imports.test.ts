import { randomUUID } from 'node:crypto';
import { afterAll, beforeAll, expect, test } from 'vitest';
import type { EquipmentData } from '../../../src/domain/plan/plan.ts';
import { inline, workbookOf } from '../../files/archives.ts';
import { startApp, type Called, type Caller, type RunningApp } from '../../support/app.ts';

// Invented equipment in invented tables.
let running: RunningApp;
let tour: Caller;
let other: Caller;
beforeAll(async () => {
  running = await startApp();
  tour = await running.signUp('Head rigger', 'production');
  other = await running.signUp('Other rigger', 'production');
});
afterAll(() => running.close());

const upload = (by: Caller, kind: string, table: string | Buffer, headers: Record<string, string> = {}) =>
  by.call('POST', `equipment-imports?kind=${kind}&fileName=list.csv`, table, { 'content-type': 'text/csv', ...headers });
const apply = (by: Caller, dry: Called, headers: Record<string, string> = {}) =>
  by.call('POST', `equipment-imports/${dry.body.id}/application`, undefined, { 'if-match': dry.etag, ...headers });
const nameOf = ({ data }: Record<string, unknown>) => (data as EquipmentData).name.toLowerCase();
const own = async (by: Caller, kind: string) =>
  (await by.call('GET', `equipment?library=own&kind=${kind}&limit=200`)).body.items.toSorted((a, b) =>
    nameOf(a) < nameOf(b) ? -1 : 1,
  ) as unknown as {
    id: string;
    latest: number;
    data: EquipmentData;
  }[];
const rowsOf = (dry: Called) => dry.body.rows as Record<string, unknown>[];

const KG_PER_LB = 0.45359237; // exact, international agreement of 1959

const HOISTS = `Hoists in the store;;;;;;;;
Name;SWL lb;Body weight lb;Chain weight lb/ft;Falls;Lift ft;Speed m/min;Hook to hook mm;Over people at rest
Chain hoist one;2000;110,5;0,75;1;60;4;550;yes
Chain hoist two;heavy;110,5;0,75;1;60;4;550;no
Chain hoist half;1000;90;0,5;1,5;60;8;450;ja
Chain hoist small;500;60,25;n/a;1;60;8;400;-
`;

test('pounds, feet and decimal commas become SI; a bad row is named with row and column and spoils no other', async () => {
  const dry = await upload(tour, 'hoist', `\uFEFF${HOISTS}`);
  expect(dry.status, JSON.stringify(dry.body)).toBe(201);
  expect(dry.body).toMatchObject({ unread: null, questions: [], counts: { add: 2, refused: 2, question: 0 } });
  expect(dry.headers.location).toBe(`/api/v1/equipment-imports/${dry.body.id}`);
  expect(rowsOf(dry).filter(({ outcome }) => outcome === 'refused')).toMatchObject([
    { rowNumber: 4, label: 'Chain hoist two', faults: [{ letter: 'B', heading: 'SWL lb', cellText: 'heavy' }] },
    { rowNumber: 5, label: 'Chain hoist half', faults: [{ letter: 'E', heading: 'Falls', cellText: '1,5' }] },
  ]);
  expect(await own(tour, 'hoist')).toEqual([]);

  const key = { 'idempotency-key': randomUUID() };
  const applied = await apply(tour, dry, key);
  expect(applied).toMatchObject({ status: 200, body: { leftOut: [{ rowNumber: 4 }, { rowNumber: 5 }] } });
  expect(applied.body.items).toMatchObject([
    { name: 'Chain hoist one', number: 1 },
    { name: 'Chain hoist small', number: 1 },
  ]);
  const again = await apply(tour, dry, key);
  expect(again.body).toEqual(applied.body);
  expect(again.headers['idempotent-replayed']).toBe('true');
  const read = await tour.call('GET', `equipment-imports/${dry.body.id}`);
  expect(await apply(tour, read)).toMatchObject({ status: 409, body: { type: '/problems/import-applied' } });

  const [one, small] = (await own(tour, 'hoist')).map(({ data }) => data as Extract<EquipmentData, { kind: 'hoist' }>);
  expect(one!.wllKg).toBeCloseTo(2000 * KG_PER_LB, 9);
  expect(one!.bodyKg).toBeCloseTo(110.5 * KG_PER_LB, 9);
  expect(one!.chainKgPerM).toBeCloseTo((0.75 * KG_PER_LB) / 0.3048, 9);
  expect(one!.liftM).toBeCloseTo(60 * 0.3048, 9);
  expect(one).toMatchObject({ falls: 1, speedMPerMin: 4, shortestHookToHookM: 0.55, mayHoldOverPeople: true, bagKg: null });
  expect(small).toMatchObject({ chainKgPerM: null, mayHoldOverPeople: null });
});

test('brought again with another rating, a table writes a new version of what is known, and leaves the rest', async () => {
  const table = 'Name;Kind;Length m;WLL t;MBF kN\nShackle A;bow shackle;0,08;3;150\nSteel A;steel;1,5;1;60\n';
  const first = await upload(other, 'part', table);
  expect((await apply(other, first)).status).toBe(200);
  const [shackle, steel] = await own(other, 'part');
  expect(shackle!.data).toMatchObject({ kind: 'part', part: 'shackle', wllKg: 3000, breakingKn: 150, lengthM: 0.08, massKg: null });
  const put = { data: { ...shackle!.data, massKg: 1 }, note: '' };
  await other.call('PUT', `equipment/${shackle!.id}`, put, { 'if-match': '"v1"' });

  const second = await upload(other, 'part', table.replace(';3;', ';2,5;').replace('Steel A', 'STEEL  a'));
  expect(second.body).toMatchObject({ counts: { change: 2 } });
  expect(rowsOf(second)[0]).toMatchObject({ outcome: 'change', id: shackle!.id, changes: [{ field: 'wllKg', old: 3000, new: 2500 }] });
  const applied = await apply(other, second);
  expect(applied.body.items).toMatchObject([
    { id: shackle!.id, number: 3 },
    { id: steel!.id, number: 2 },
  ]);
  const after = await own(other, 'part');
  expect(after[0]).toMatchObject({ latest: 3, data: { ...put.data, wllKg: 2500 } });
  expect(after[1]!.data.name).toBe('STEEL a');
  expect((await other.call('GET', `equipment/${shackle!.id}/versions`)).body.items).toMatchObject([
    { number: 3, note: 'import of list.csv' },
    { number: 2 },
    { number: 1 },
  ]);
});

test('what is doubtful is asked about, and nothing is entered while a question is open', async () => {
  const dry = await upload(other, 'cable', 'Name;Weight per metre\nMulticore;1.234\nPower;0,5 lb/ft\n');
  expect(dry.body.questions).toMatchObject([{ code: 'decimal-sign' }, { code: 'unit' }]);
  expect(await apply(other, dry)).toMatchObject({ status: 409, body: { type: '/problems/import-questions-open', open: 2 } });
  const answers = `equipment-imports/${dry.body.id}/answers`;
  const meant = { decimalSign: '.', units: { kgPerM: 'kg/m' } };
  expect((await other.call('PUT', answers, meant)).status).toBe(428);
  expect((await other.call('PUT', answers, meant, { 'if-match': '"v999"' })).status).toBe(412);
  const twoFaults = await other.call('PUT', answers, { decimalSign: 'x', more: 1 }, { 'if-match': dry.etag });
  expect((twoFaults.body.errors as { pointer: string }[]).map(({ pointer }) => pointer).toSorted()).toEqual(['/decimalSign', '/more']);
  const wrong = await other.call('PUT', answers, { units: { kgPerM: 'kNm' } }, { 'if-match': dry.etag });
  expect(wrong).toMatchObject({ status: 422, body: { type: '/problems/import-unit-does-not-fit' } });
  const answered = await other.call('PUT', answers, meant, { 'if-match': dry.etag });
  expect(answered).toMatchObject({ status: 200, body: { questions: [], counts: { add: 1, refused: 1 } } });
  expect((await apply(other, dry)).status).toBe(412);
  expect((await apply(other, answered)).status).toBe(200);
  expect((await own(other, 'cable')).map(({ data }) => data)).toMatchObject([{ name: 'Multicore', kgPerM: 1.234 }]);

  const parts = await upload(other, 'part', 'Name;Kind\nThing;wotsit\nOther thing;\n');
  expect(parts.body.questions).toMatchObject([{ code: 'value-meaning', sample: { cellText: 'wotsit' } }]);
  expect(rowsOf(parts)[1]).toMatchObject({ outcome: 'refused', faults: [{ code: 'part-kind-missing', letter: 'B' }] });
});

test('cabinets and truss sections are brought as a workbook or a table', async () => {
  const headings = ['Name', 'Weight [kg]', 'Height [mm]', 'Depth [mm]', 'CG u [m]', 'CG v [m]', 'Mass basis'];
  const cell = (at: string, value: number) => `<c r="${at}"><v>${value}</v></c>`;
  const row = (n: number, name: string, numbers: (number | null)[], basis: string) =>
    `<row r="${n}">${inline(`A${n}`, name)}${numbers.map((value, index) => (value === null ? '' : cell(`${'BCDEF'[index]!}${n}`, value))).join('')}${inline(`G${n}`, basis)}</row>`;
  const sheet = `<row r="1">${headings.map((text, index) => inline(`${'ABCDEFG'[index]!}1`, text)).join('')}</row>${row(2, 'Cabinet A', [40.5, 300, 500, -0.2, -0.15], 'weighed')}${row(3, 'Cabinet B', [40, 300, 500, -0.2, null], 'data sheet')}`;
  const dry = await upload(tour, 'cabinet', workbookOf(sheet), { 'content-type': 'application/octet-stream' });
  expect(dry.status, JSON.stringify(dry.body)).toBe(201);
  expect(dry.body).toMatchObject({ table: { format: 'xlsx' }, questions: [], counts: { add: 1, refused: 1 } });
  expect(rowsOf(dry)[1]).toMatchObject({ rowNumber: 3, faults: [{ code: 'place-not-whole', letter: 'F', heading: 'CG v [m]' }] });
  expect((await apply(tour, dry)).status).toBe(200);
  const [cabinet] = await own(tour, 'cabinet');
  expect(cabinet!.data).toMatchObject({
    massKg: 40.5,
    heightM: 0.3,
    depthM: 0.5,
    cg: { uM: -0.2, vM: -0.15 },
    basis: 'weighed',
    bottomPivot: null,
  });
  expect((await upload(tour, 'cabinet', workbookOf(sheet))).body).toMatchObject({ counts: { same: 1, refused: 1 } });

  const table =
    'Name;Self weight kg/m;Node spacing mm;Sagging kNm;Hogging kgm;Shear kN;EI kNm2;Document\nTruss A;8;500;20;1000;15;4000;T-1\n';
  const trusses = await upload(tour, 'truss', table);
  expect(trusses.body).toMatchObject({ questions: [], counts: { add: 1 } });
  expect((await apply(tour, trusses)).status).toBe(200);
  const [truss] = (await own(tour, 'truss')).map(({ data }) => data as Extract<EquipmentData, { kind: 'truss' }>);
  expect(truss).toMatchObject({ selfKgPerM: 8, nodeSpacingM: 0.5, saggingKnm: 20, shearKn: 15, eiKnm2: 4000, allowablesBasis: 'T-1' });
  expect(truss!.hoggingKnm).toBeCloseTo(9.80665, 12); // standard gravity times 1000 kg times 1 m
});

test('a dry run goes stale when the catalogue moves on, and of two who enter it one is refused', async () => {
  const table = 'Name;kg per m\nStage cable;0,75\n';
  const dry = await upload(tour, 'cable', table);
  const data = { kind: 'cable', name: 'Stage cable', kgPerM: 1, basis: null };
  const made = await tour.call('POST', 'equipment', { data, note: '' });
  expect(made.status).toBe(201);
  expect(await apply(tour, dry)).toMatchObject({ status: 412, body: { type: '/problems/version-moved-on' } });
  const read = await tour.call('GET', `equipment-imports/${dry.body.id}`);
  expect(read.body).toMatchObject({ counts: { change: 1 } });
  expect((await tour.call('GET', `equipment-imports/${dry.body.id}`, undefined, { 'if-none-match': read.etag })).status).toBe(304);
  const both = await Promise.all([apply(tour, read), apply(tour, read)]);
  expect(both.map(({ status }) => status).toSorted()).toEqual([200, 412]);

  const retired = await tour.call('GET', `equipment/${made.body.id}`);
  await tour.call('DELETE', `equipment/${made.body.id}`, undefined, { 'if-match': retired.etag });
  expect((await upload(tour, 'cable', table)).body).toMatchObject({ counts: { add: 1, change: 0 } });
});

test('whoever may not, and what is no table, is refused', async () => {
  const dry = await upload(tour, 'cable', 'Name;kg per m\nLine;1\n');
  const path = `equipment-imports/${dry.body.id}`;
  expect((await running.call('GET', path)).status).toBe(401);
  expect((await other.call('GET', path)).status).toBe(404);
  expect((await other.call('PUT', `${path}/answers`, {}, { 'if-match': dry.etag })).status).toBe(404);
  expect((await apply(other, dry)).status).toBe(404);
  expect((await upload(tour, 'cable', '{"a":1}', { 'content-type': 'application/json' })).status).toBe(415);
  expect((await upload(tour, 'cable', 'PK\u0003\u0004 no archive')).status).toBe(422);
  const faults = await tour.call('POST', 'equipment-imports?kind=girder&more=1', 'x', { 'content-type': 'text/csv' });
  expect(faults.status).toBe(400);
  expect((faults.body.errors as { pointer: string }[]).map(({ pointer }) => pointer).toSorted()).toEqual([
    '/query/fileName',
    '/query/kind',
    '/query/more',
  ]);
  const unread = await upload(tour, 'cable', 'colour,shape\nred,round\n');
  expect(unread).toMatchObject({ status: 201, body: { unread: { code: 'table-without-heading-row' }, rows: [] } });
});
