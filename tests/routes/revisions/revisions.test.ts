import { createHash, randomUUID } from 'node:crypto';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { offeredPolicies } from '../../../src/domain/roof/offered-policies.ts';
import type { Member, RoofPoint } from '../../../src/domain/roof/structure.ts';
import { EXAMPLE_MEMBER } from '../../../src/routes/schemas/structure-example.ts';
import { startApp, type Caller, type RunningApp } from '../../support/app.ts';
import { pointAt } from '../../support/scene.ts';

let running: RunningApp;
let venue: Caller;
let tour: Caller;
let venueId: string;
beforeAll(async () => {
  running = await startApp();
  venue = await running.signUp('Venue manager', 'venueOperator');
  tour = await running.signUp('Head rigger', 'production');
  const body = { name: 'Hall', place: 'Town', timeZone: 'Europe/Amsterdam', contactRole: 'technical manager' };
  venueId = (await venue.call('POST', 'venues', body)).body.id;
});
afterAll(() => running.close());

async function roofWith(points: RoofPoint[], members: Member[] = []) {
  const space = await venue.call('POST', `venues/${venueId}/spaces`, { name: 'Bowl', exposure: 'indoor' });
  const path = `spaces/${space.body.id}`;
  const changes = [
    ...points.map((item) => ({ kind: 'points', ifMatch: null, item })),
    ...members.map((item) => ({ kind: 'members', ifMatch: null, item })),
  ];
  const added = await venue.call('POST', `${path}/structure/batch`, { changes });
  const policy = { policy: offeredPolicies()[0]!.policy, signerRole: 'technical manager' };
  const signed = await venue.call('PUT', `${path}/structure/policy`, policy, { 'if-match': added.etag });
  return { path, unsigned: added.etag, etag: signed.etag };
}
const publish = (path: string, etag: string, headers: Record<string, string> = {}) =>
  venue.call('POST', `${path}/revisions`, { note: 'first' }, { 'if-match': etag, ...headers });

test('what is served is what was hashed, for 2,000 points too', async () => {
  const points = Array.from({ length: 2000 }, (_, index) => pointAt(`P${index}`, index % 50, Math.floor(index / 50), 1000));
  const { path, etag } = await roofWith(points);
  const published = await publish(path, etag);
  expect(published).toMatchObject({ status: 201, body: { revision: { number: 1 } } });
  const { sha256 } = published.body.revision as { sha256: string };
  const sent = await running.app.inject({ url: `/api/v1/${path}/revisions/1`, headers: { authorization: `Bearer ${venue.token}` } });
  expect(createHash('sha256').update(sent.rawPayload).digest('hex')).toBe(sha256);
  expect(sent.headers['cache-control']).toContain('immutable');
  expect(sent.json<{ points: object[] }>().points).toHaveLength(2000);
  expect((await venue.call('GET', `${path}/revisions/1`, undefined, { 'if-none-match': `"${sha256}"` })).status).toBe(304);
  expect(await venue.call('GET', `${path}/revisions`)).toMatchObject({ status: 200, body: { items: [{ number: 1, sha256 }] } });
}, 120_000);

test('publishing twice with one key is one revision, a stale copy none, and of two at once both or one', async () => {
  const { path, etag, unsigned } = await roofWith([pointAt('P1', 0, 0, 1000)]);
  expect((await publish(path, unsigned)).status).toBe(412);
  const key = { 'idempotency-key': randomUUID() };
  const first = await publish(path, etag, key);
  const again = await publish(path, etag, key);
  expect(again.body).toEqual(first.body);
  const both = await Promise.all([publish(path, etag), publish(path, etag)]);
  expect(both.map(({ status }) => status)).toEqual([201, 201]);
  const { body } = await venue.call('GET', `${path}/revisions`);
  expect(body.items.map((item) => item.number)).toEqual([3, 2, 1]);
});

test('every fault that stops publishing is named at once, and nothing is published', async () => {
  const members = ['G1', 'G2'].map((label) => ({ ...EXAMPLE_MEMBER, id: randomUUID(), label, fromNodeId: randomUUID() }));
  const { path, etag } = await roofWith([pointAt('P1', 0, 0, 1000)], members);
  const refused = await publish(path, etag);
  expect(refused).toMatchObject({ status: 422, body: { type: '/problems/draft-not-publishable' } });
  const pointers = JSON.stringify(refused.body);
  for (const pointer of ['/members/0/fromNodeId', '/members/1/fromNodeId']) expect(pointers).toContain(pointer);
  expect((await venue.call('GET', `${path}/revisions`)).body.items).toEqual([]);
});

test('two revisions are compared by what was added, removed and changed', async () => {
  const [kept, gone, added] = [pointAt('P1', 0, 0, 1000), pointAt('P2', 1, 0, 1000), pointAt('P3', 2, 0, 1000)];
  const { path, etag } = await roofWith([kept, gone]);
  await publish(path, etag);
  const changed = await venue.call('POST', `${path}/structure/batch`, {
    changes: [
      { kind: 'points', ifMatch: 1, item: { ...kept, wllKg: 750 } },
      { kind: 'remove', of: 'points', id: gone.id, ifMatch: 1 },
      { kind: 'points', ifMatch: null, item: added },
    ],
  });
  await publish(path, changed.etag);
  const { body } = await venue.call('GET', `${path}/revisions/1/changes/2`);
  expect(body.points).toMatchObject({
    added: [{ id: added.id }],
    removed: [{ id: gone.id }],
    changed: [{ id: kept.id, fields: [{ path: expect.stringContaining('wllKg') as string, old: 1000, new: 750 }] }],
  });
});

test('revisions are for the venue and whom it lets in', async () => {
  const { path, etag } = await roofWith([pointAt('P1', 0, 0, 1000)]);
  await publish(path, etag);
  expect((await running.call('GET', `${path}/revisions/1`)).status).toBe(401);
  expect((await tour.call('GET', `${path}/revisions/1`)).status).toBe(404);
  expect((await tour.call('GET', `${path}/revisions/1/changes/1`)).status).toBe(404);
  expect((await tour.call('GET', `${path}/revisions`)).status).toBe(403);
  expect((await tour.call('POST', `${path}/revisions`, { note: '' }, { 'if-match': etag })).status).toBe(403);
  expect((await venue.call('GET', `${path}/revisions/9`)).status).toBe(404);
  expect((await venue.call('POST', `${path}/revisions`, { note: 'no version' })).status).toBe(428);
});
