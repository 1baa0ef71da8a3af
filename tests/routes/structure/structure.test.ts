import { randomUUID } from 'node:crypto';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { startApp, type Caller, type RunningApp } from '../../support/app.ts';
import { pointAt } from '../../support/scene.ts';

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

const newRoof = async () =>
  `spaces/${(await venue.call('POST', `venues/${venueId}/spaces`, { name: 'Bowl', exposure: 'indoor' })).body.id}/structure`;
const isNew = { 'if-none-match': '*' };

test('an item is entered once, changed by who has read it, and removed', async () => {
  const roof = await newRoof();
  const point = pointAt('P1', 0, 0, 1000);
  const path = `${roof}/points/${point.id}`;
  expect((await venue.call('PUT', path, point)).status).toBe(428);
  expect((await venue.call('PUT', path, point, isNew)).status).toBe(200);
  expect(await venue.call('PUT', path, point, isNew)).toMatchObject({ status: 409, body: { type: '/problems/already-there' } });
  const read = await venue.call('GET', path);
  expect(read).toMatchObject({ status: 200, body: point });
  expect((await venue.call('GET', path, undefined, { 'if-none-match': read.etag })).status).toBe(304);
  const both = await Promise.all([900, 800].map((wllKg) => venue.call('PUT', path, { ...point, wllKg }, { 'if-match': read.etag })));
  expect(both.map(({ status }) => status).sort()).toEqual([200, 412]);
  expect((await venue.call('DELETE', path, undefined, { 'if-match': read.etag })).status).toBe(412);
  const now = await venue.call('GET', path);
  expect((await venue.call('DELETE', path, undefined, { 'if-match': now.etag })).status).toBe(200);
  expect((await venue.call('GET', path)).status).toBe(404);
});

test('labels are one where people read them as one', async () => {
  const roof = await newRoof();
  const [first, second] = [pointAt('P 1', 0, 0, 1000), pointAt('  p  1 ', 1, 0, 1000)];
  expect((await venue.call('PUT', `${roof}/points/${first.id}`, first, isNew)).status).toBe(200);
  const taken = await venue.call('PUT', `${roof}/points/${second.id}`, second, isNew);
  expect(taken).toMatchObject({ status: 409, body: { type: '/problems/label-taken', kind: 'point' } });
});

test('a batch is done whole or not at all, and is not done twice', async () => {
  const roof = await newRoof();
  const [a, b] = [pointAt('A', 0, 0, 1000), pointAt('B', 1, 0, 1000)];
  const change = (item: object, ifMatch: number | null = null) => ({ kind: 'points', ifMatch, item });
  const stale = await venue.call('POST', `${roof}/batch`, { changes: [change(a), change(b, 3)] });
  expect(stale.status).toBe(404);
  expect((await venue.call('GET', roof)).body.points).toEqual([]);
  const key = { 'idempotency-key': randomUUID() };
  const done = await venue.call('POST', `${roof}/batch`, { changes: [change(a), change(b)] }, key);
  expect(done.status).toBe(200);
  const again = await venue.call('POST', `${roof}/batch`, { changes: [change(a), change(b)] }, key);
  expect(again.body).toEqual(done.body);
  const mixed = { changes: [{ kind: 'remove', of: 'points', id: a.id, ifMatch: 1 }, change({ ...b, label: 'A' }, 1)] };
  expect((await venue.call('POST', `${roof}/batch`, mixed)).status).toBe(200);
  expect((await venue.call('GET', roof)).body.points).toMatchObject([{ id: b.id, label: 'A' }]);
});

test('two faults are two entries, and a mass without a size is one', async () => {
  const roof = await newRoof();
  const point = { ...pointAt('P1', 0, 0, 1000), wllKg: -1, xM: 'left' };
  const bad = await venue.call('PUT', `${roof}/points/${point.id}`, point, isNew);
  expect(bad.status).toBe(400);
  expect((bad.body.errors as { pointer: string }[]).map(({ pointer }) => pointer).sort()).toEqual(['/wllKg', '/xM']);
  const huge = JSON.stringify(pointAt('P1', 0, 0, 1000)).replace('1000', '1e400');
  expect(await venue.call('PUT', `${roof}/points/${point.id}`, huge, isNew)).toMatchObject({
    status: 400,
    body: { type: '/problems/malformed-json', errors: [{ pointer: '/wllKg' }] },
  });
});

test('the working copy is for the venue alone', async () => {
  const roof = await newRoof();
  const point = pointAt('P1', 0, 0, 1000);
  expect((await running.call('GET', roof)).status).toBe(401);
  for (const caller of [other, tour]) {
    expect((await caller.call('GET', roof)).status).toBe(403);
    expect((await caller.call('PUT', `${roof}/points/${point.id}`, point, isNew)).status).toBe(403);
  }
  expect((await venue.call('GET', `spaces/${randomUUID()}/structure`)).status).toBe(404);
});
