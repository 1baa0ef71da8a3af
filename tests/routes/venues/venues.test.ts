import { randomUUID } from 'node:crypto';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { startApp, type Caller, type RunningApp } from '../../support/app.ts';

let running: RunningApp;
let venue: Caller;
let other: Caller;
let tour: Caller;
beforeAll(async () => {
  running = await startApp();
  venue = await running.signUp('Venue manager', 'venueOperator');
  other = await running.signUp('Other manager', 'venueOperator');
  tour = await running.signUp('Head rigger', 'production');
});
afterAll(() => running.close());

const HALL = { name: 'Hall', place: 'Town', timeZone: 'Europe/Amsterdam', contactRole: 'technical manager' };
const pointersOf = (body: Record<string, unknown>) => (body.errors as { pointer: string }[]).map(({ pointer }) => pointer).sort();

test('a venue is entered by its operator and named to everyone who is signed in', async () => {
  const key = { 'idempotency-key': randomUUID() };
  const made = await venue.call('POST', 'venues', HALL, key);
  expect(made).toMatchObject({ status: 201, body: { ...HALL, organisationId: venue.orgId, version: 1 } });
  const again = await venue.call('POST', 'venues', HALL, key);
  expect(again.body.id).toBe(made.body.id);
  expect(again.headers['idempotent-replayed']).toBe('true');
  expect(await venue.call('POST', 'venues', { ...HALL, name: 'Else' }, key)).toMatchObject({ status: 422 });
  const path = `venues/${made.body.id}`;
  expect(await tour.call('GET', path)).toMatchObject({ status: 200, body: HALL });
  expect((await tour.call('GET', path, undefined, { 'if-none-match': made.etag })).status).toBe(304);
  expect((await running.call('GET', path)).status).toBe(401);
  expect((await tour.call('POST', 'venues', HALL)).status).toBe(403);
  expect((await tour.call('GET', `venues/${randomUUID()}`)).status).toBe(404);
});

test('every fault of a venue is named at once, and markup in a name stays text', async () => {
  const bad = await venue.call('POST', 'venues', { ...HALL, timeZone: 'Moon/Tranquility', name: ' ', owner: 'me' });
  expect(bad.status).toBe(400);
  expect(pointersOf(bad.body)).toEqual(['/name', '/owner', '/timeZone']);
  const name = `<b>Hall</b>'; DROP TABLE venue; --`;
  const made = await venue.call('POST', 'venues', { ...HALL, name });
  expect(made).toMatchObject({ status: 201, body: { name } });
  expect((await venue.call('GET', `venues/${made.body.id}`)).body.name).toBe(name);
});

test('of two changes of one version one is kept, and others change nothing', async () => {
  const made = await venue.call('POST', 'venues', HALL);
  const path = `venues/${made.body.id}`;
  expect((await venue.call('PATCH', path, { place: 'Port' })).status).toBe(428);
  expect((await other.call('PATCH', path, { place: 'Port' }, { 'if-match': made.etag })).status).toBe(403);
  const both = await Promise.all(['Port', 'Bay'].map((place) => venue.call('PATCH', path, { place }, { 'if-match': made.etag })));
  expect(both.map(({ status }) => status).sort()).toEqual([200, 412]);
  const kept = both.find(({ status }) => status === 200)!;
  expect((await venue.call('GET', path)).body).toEqual(kept.body);
});

test('pages of venues follow one another without a gap or a repeat', async () => {
  const name = `Paged ${randomUUID()}`;
  for (const number of [1, 2, 3]) {
    running.clock.now = new Date(running.clock.now.getTime() + 1000);
    await venue.call('POST', 'venues', { ...HALL, name: `${name} ${number}` });
  }
  const names: unknown[] = [];
  let next: string | undefined = `/api/v1/venues?limit=2&name=${encodeURIComponent(name)}`;
  while (next !== undefined) {
    const page = await venue.call('GET', next);
    names.push(...page.body.items.map((item) => item.name));
    next = /<([^>]+)>; rel="next"/.exec(typeof page.headers.link === 'string' ? page.headers.link : '')?.[1];
  }
  expect(names).toEqual([1, 2, 3].map((number) => `${name} ${number}`));
  expect((await venue.call('GET', 'venues?cursor=nonsense')).status).toBe(400);
});

test('a space belongs to the venue that enters it', async () => {
  const hall = await venue.call('POST', 'venues', HALL);
  const body = { name: 'Bowl', exposure: 'indoor' };
  expect((await other.call('POST', `venues/${hall.body.id}/spaces`, body)).status).toBe(403);
  expect((await venue.call('POST', `venues/${randomUUID()}/spaces`, body)).status).toBe(404);
  const space = await venue.call('POST', `venues/${hall.body.id}/spaces`, body);
  expect(space).toMatchObject({ status: 201, body: { ...body, opened: false, mayReadRoof: true, version: 1 } });
  const path = `spaces/${space.body.id}`;
  expect(await tour.call('GET', path)).toMatchObject({ status: 200, body: { mayReadRoof: false, latestRevision: null } });
  expect((await venue.call('PATCH', path, { opened: true }, { 'if-match': '"v7"' })).status).toBe(412);
  expect((await tour.call('PATCH', path, { opened: true }, { 'if-match': space.etag })).status).toBe(403);
  expect(await venue.call('PATCH', path, { opened: true }, { 'if-match': space.etag })).toMatchObject({
    status: 200,
    body: { opened: true },
  });
  expect((await tour.call('GET', path)).body.mayReadRoof).toBe(true);
});
