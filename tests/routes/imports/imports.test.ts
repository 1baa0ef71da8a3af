import { randomUUID } from 'node:crypto';
import { utils, write } from '@e965/xlsx';
import { afterAll, beforeAll, expect, test } from 'vitest';
import type { RoofPoint } from '../../../src/domain/roof/structure.ts';
import { startApp, type Called, type Caller, type RunningApp } from '../../support/app.ts';
import { pointAt } from '../../support/scene.ts';

// An invented hall and invented tables.
let running: RunningApp;
let venue: Caller;
let other: Caller;
let tour: Caller;
let venueId: string;
beforeAll(async () => {
  running = await startApp();
  venue = await running.signUp('Venue manager', 'venueOperator');
  other = await running.signUp('Other manager', 'venueOperator');
  tour = await running.signUp('Head rigger', 'production');
  const body = { name: 'Hall', place: 'Town', timeZone: 'Europe/Amsterdam', contactRole: 'technical manager' };
  venueId = (await venue.call('POST', 'venues', body)).body.id;
});
afterAll(() => running.close());

const newSpace = async () =>
  `spaces/${(await venue.call('POST', `venues/${venueId}/spaces`, { name: 'Bowl', exposure: 'indoor' })).body.id}`;
const upload = (by: Caller, space: string, text: string | Buffer, kind = 'point', headers: Record<string, string> = {}) =>
  by.call('POST', `${space}/imports?kind=${kind}&fileName=points.csv`, text, { 'content-type': 'text/csv', ...headers });
const apply = (space: string, dry: Called, headers: Record<string, string> = {}) =>
  venue.call('POST', `${space}/imports/${dry.body.id}/application`, undefined, { 'if-match': dry.etag, ...headers });
const structureOf = async (space: string) => {
  const { body } = await venue.call('GET', `${space}/structure`);
  return body as unknown as {
    points: RoofPoint[];
    members: { label: string; fromNodeId: string; toNodeId: string; iCm4: number; eGpa: number; deadLoads: object[] }[];
    nodes: { id: string; label: string; xM: number }[];
  };
};

const TABLE = `Rigging points of the hall;;;;
Label;x m;y m;z m;SWL kg
P1;0;0;12,5;1000
P2;3;0;12,5;heavy
P3;6;0;12,5;500
`;

test('good rows are entered, the bad one is named with row and column, and ids outlive a second import', async () => {
  const space = await newSpace();
  const dry = await upload(venue, space, `\uFEFF${TABLE}`);
  expect(dry).toMatchObject({ status: 201, body: { unread: null, questions: [], counts: { add: 2, refused: 1, question: 0 } } });
  const rows = dry.body.rows as Record<string, unknown>[];
  expect(rows.find(({ outcome }) => outcome === 'refused')).toMatchObject({
    rowNumber: 4,
    label: 'P2',
    faults: [{ letter: 'E', heading: 'SWL kg' }],
  });
  expect((await structureOf(space)).points).toEqual([]);

  const key = randomUUID();
  const applied = await apply(space, dry, { 'idempotency-key': key });
  expect(applied).toMatchObject({ status: 200, body: { leftOut: [{ rowNumber: 4, outcome: 'refused' }] } });
  const first = await structureOf(space);
  expect(first.points).toMatchObject([
    { label: 'P1', wllKg: 1000, zM: 12.5, terms: { basis: null } },
    { label: 'P3', wllKg: 500 },
  ]);
  const again = await apply(space, dry, { 'idempotency-key': key });
  expect(again.body).toEqual(applied.body);
  expect(again.headers['idempotent-replayed']).toBe('true');
  const read = await venue.call('GET', `${space}/imports/${dry.body.id}`);
  expect(await apply(space, read)).toMatchObject({ status: 409, body: { type: '/problems/import-applied' } });

  const p1 = first.points.find(({ label }) => label === 'P1')!;
  const item = { ...p1, stiffnessKnPerM: 900, access: 'catwalk', terms: pointAt('any', 0, 0, 1).terms };
  const path = `${space}/structure/points/${p1.id}`;
  await venue.call('PUT', path, item, { 'if-match': (await venue.call('GET', path)).etag });
  const second = await upload(venue, space, TABLE.replace('1000', '800').replace('heavy', '700'));
  expect(second).toMatchObject({ status: 201, body: { counts: { add: 1, change: 1, same: 1, refused: 0 } } });
  expect((await apply(space, second)).status).toBe(200);
  const after = await structureOf(space);
  expect(after.points.find(({ label }) => label === 'P1')).toEqual({ ...item, wllKg: 800 });
  expect(after.points.map(({ label, wllKg }) => [label, wllKg])).toEqual([
    ['P1', 800],
    ['P2', 700],
    ['P3', 500],
  ]);
});

test('a rating that rises loses the basis that stood behind the lower one', async () => {
  const space = await newSpace();
  await apply(space, await upload(venue, space, TABLE));
  const p1 = (await structureOf(space)).points.find(({ label }) => label === 'P1')!;
  const path = `${space}/structure/points/${p1.id}`;
  const stated = { ...p1, terms: pointAt('any', 0, 0, 1).terms };
  await venue.call('PUT', path, stated, { 'if-match': (await venue.call('GET', path)).etag });
  const notesOf = (dry: Called) => (dry.body.rows as { notes: { code: string }[] }[]).flatMap(({ notes }) => notes.map(({ code }) => code));
  const lower = await upload(venue, space, TABLE.replace('1000', '900'));
  expect(notesOf(lower)).toEqual(['terms-kept']);
  const higher = await upload(venue, space, TABLE.replace('1000', '1001'));
  expect(notesOf(higher)).toEqual(['terms-cleared']);
  await apply(space, higher);
  const after = (await structureOf(space)).points.find(({ label }) => label === 'P1')!;
  expect(after).toMatchObject({ wllKg: 1001, terms: { basis: null, format: null, dynamic: null, mustInclude: null } });
});

test('a workbook of a spreadsheet program is read as well as a text', async () => {
  const space = await newSpace();
  const workbook = utils.book_new();
  const rows = [['Rigging points'], ['Label', 'x [ft]', 'y [ft]', 'z [ft]', 'SWL [lb]'], ['P1', 10, -20, 40, 2000]];
  utils.book_append_sheet(workbook, utils.aoa_to_sheet(rows), 'Roof');
  const bytes = Buffer.from(write(workbook, { type: 'array', bookType: 'xlsx' }) as ArrayBuffer);
  const type = 'application/vnd.openxmlformats-officedocument.spreadsheetml.sheet';
  const dry = await upload(venue, space, bytes, 'point', { 'content-type': type });
  expect(dry).toMatchObject({ status: 201, body: { questions: [], counts: { add: 1 } } });
  expect((await apply(space, dry)).status).toBe(200);
  const [point] = (await structureOf(space)).points;
  // 1 ft = 0.3048 m and 1 lb = 0.45359237 kg, exactly (international yard and pound, 1959).
  for (const [got, wanted] of [
    [point!.xM, 3.048],
    [point!.yM, -6.096],
    [point!.zM, 12.192],
    [point!.wllKg!, 907.18474],
  ] as const)
    expect(got).toBeCloseTo(wanted, 9);
});

test('an ambiguous number is asked about, and nothing is entered while a question is open', async () => {
  const space = await newSpace();
  const dry = await upload(venue, space, 'Label;x m;y m;z m;WLL kg\nA1;1;2;12;1.234\n');
  const questions = dry.body.questions as { id: string; code: string; alternatives: { answer: string }[] }[];
  expect(questions).toMatchObject([{ code: 'decimal-sign' }]);
  expect(await apply(space, dry)).toMatchObject({ status: 409, body: { type: '/problems/import-questions-open', open: 1 } });
  const answers = `${space}/imports/${dry.body.id}/answers`;
  expect((await venue.call('PUT', answers, { decimalSign: ',' })).status).toBe(428);
  expect((await venue.call('PUT', answers, { decimalSign: ',' }, { 'if-match': '"v999"' })).status).toBe(412);
  const wrong = await venue.call('PUT', answers, { answers: { [questions[0]!.id]: 'perhaps' } }, { 'if-match': dry.etag });
  expect(wrong).toMatchObject({ status: 422, body: { type: '/problems/import-answer-not-offered', answer: 'perhaps' } });
  const twoFaults = await venue.call('PUT', answers, { decimalSign: 'x', more: 1 }, { 'if-match': dry.etag });
  expect((twoFaults.body.errors as { pointer: string }[]).map(({ pointer }) => pointer).sort()).toEqual(['/decimalSign', '/more']);
  const answered = await venue.call('PUT', answers, { decimalSign: ',' }, { 'if-match': dry.etag });
  expect(answered).toMatchObject({ status: 200, body: { questions: [], counts: { add: 1 } } });
  expect((await apply(space, dry)).status).toBe(412);
  expect((await apply(space, answered)).status).toBe(200);
  expect((await structureOf(space)).points).toMatchObject([{ label: 'A1', wllKg: 1234 }]);
});

test('a dry run goes stale when the working copy moves on, and is read again with the same answers', async () => {
  const space = await newSpace();
  const dry = await upload(venue, space, TABLE);
  const point = pointAt('P3', 6, 0, 500);
  await venue.call('POST', `${space}/structure/batch`, { changes: [{ kind: 'points', ifMatch: null, item: point }] });
  expect(await apply(space, dry)).toMatchObject({ status: 412, body: { type: '/problems/version-moved-on' } });
  const read = await venue.call('GET', `${space}/imports/${dry.body.id}`);
  expect(read).toMatchObject({ status: 200, body: { counts: { add: 1, change: 1 } } });
  expect((await venue.call('GET', `${space}/imports/${dry.body.id}`, undefined, { 'if-none-match': read.etag })).status).toBe(304);
  const both = await Promise.all([apply(space, read), apply(space, read)]);
  expect(both.map(({ status }) => status).sort()).toEqual([200, 412]);
});

test('girders make their nodes once, and points find their station on them', async () => {
  const space = await newSpace();
  const table = `Label;From;To;from x m;from y m;from z m;to x m;to y m;to z m;E GPa;I cm4
G1;N1;N2;0;0;15;24;0;15;210;85000
G2;N2;N3;24;0;15;24;10;15;210;85000
G3;N1;N9;;;;;;;210;85000
`;
  const dry = await upload(venue, space, table, 'member');
  expect(dry).toMatchObject({ status: 201, body: { questions: [], counts: { add: 2, refused: 1 } } });
  expect((dry.body.rows as object[])[2]).toMatchObject({ rowNumber: 4, faults: [{ code: 'node-not-known', letter: 'C', cellText: 'N9' }] });
  expect((await apply(space, dry)).status).toBe(200);
  const { nodes, members } = await structureOf(space);
  expect(nodes.map(({ label }) => label).sort()).toEqual(['N1', 'N2', 'N3']);
  expect(members[0]!.toNodeId).toBe(members[1]!.fromNodeId);
  expect(members[0]!.iCm4).toBeCloseTo(85_000, 6);
  expect(members[0]!.eGpa).toBeCloseTo(210, 9);
  expect(await upload(venue, space, table, 'member')).toMatchObject({ body: { counts: { same: 2, refused: 1 } } });

  const points = await upload(venue, space, 'Label;x m;y m;z m;Girder\nP1;6;0;14.5;G1\nP2;30;0;14.5;G1\nP3;1;0;14.5;G7\n');
  expect(points.body.questions).toEqual([]);
  const rows = points.body.rows as object[];
  expect(rows[0]).toMatchObject({ outcome: 'add', notes: [{ code: 'station-from-position', stationM: 6 }] });
  expect(rows[1]).toMatchObject({ outcome: 'refused', faults: [{ code: 'station-off-girder' }] });
  expect(rows[2]).toMatchObject({ outcome: 'refused', faults: [{ code: 'girder-not-known', letter: 'E', cellText: 'G7' }] });
});

test('what is no table, and whoever may not, is refused', async () => {
  const space = await newSpace();
  const dry = await upload(venue, space, TABLE);
  const path = `${space}/imports/${dry.body.id}`;
  expect((await running.call('GET', path)).status).toBe(401);
  expect((await upload(tour, space, TABLE)).status).toBe(403);
  expect((await upload(other, space, TABLE)).status).toBe(403);
  expect((await other.call('GET', path)).status).toBe(403);
  expect((await venue.call('GET', `${await newSpace()}/imports/${dry.body.id}`)).status).toBe(404);
  expect((await upload(venue, `spaces/${randomUUID()}`, TABLE)).status).toBe(404);
  expect((await upload(venue, space, '{"a":1}', 'point', { 'content-type': 'application/json' })).status).toBe(415);
  expect(await upload(venue, space, 'PK\u0003\u0004 no archive')).toMatchObject({ status: 422 });
  const faults = await venue.call('POST', `${space}/imports?kind=girder&more=1`, TABLE, { 'content-type': 'text/csv' });
  expect(faults.status).toBe(400);
  expect((faults.body.errors as { pointer: string }[]).map(({ pointer }) => pointer).sort()).toEqual([
    '/query/fileName',
    '/query/kind',
    '/query/more',
  ]);
  expect((await upload(venue, space, Buffer.alloc(20 * 1024 * 1024 + 1, 'a'))).status).toBe(413);
  expect(await upload(venue, space, 'nothing\nof a table\n')).toMatchObject({
    status: 201,
    body: { unread: { code: 'table-without-heading-row' }, rows: [] },
  });
});
