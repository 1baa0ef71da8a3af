import { randomUUID } from 'node:crypto';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { offeredPolicies } from '../../../src/domain/roof/offered-policies.ts';
import { startApp, type Caller, type RunningApp } from '../../support/app.ts';
import { deadHang, planOf, pointAt } from '../../support/scene.ts';

const UNTIL = '2026-09-01T00:00:00Z';
const NOW = new Date('2026-06-01T12:00:00.000Z');
let running: RunningApp;
let venue: Caller;
let other: Caller;
beforeAll(async () => {
  running = await startApp();
  venue = await running.signUp('Venue manager', 'venueOperator');
  other = await running.signUp('Other rigger', 'production');
});
afterAll(() => running.close());

const point = pointAt('P1', 0, 0, 1000);
async function publishedSpace(): Promise<{ id: string; etag: string }> {
  const body = { name: 'Hall', place: 'Town', timeZone: 'Europe/Amsterdam', contactRole: 'technical manager' };
  const hall = await venue.call('POST', 'venues', body);
  const space = await venue.call('POST', `venues/${hall.body.id}/spaces`, { name: 'Bowl', exposure: 'indoor' });
  const path = `spaces/${space.body.id}`;
  const added = await venue.call('POST', `${path}/structure/batch`, { changes: [{ kind: 'points', ifMatch: null, item: point }] });
  const policy = { policy: offeredPolicies()[0]!.policy, signerRole: 'technical manager' };
  const signed = await venue.call('PUT', `${path}/structure/policy`, policy, { 'if-match': added.etag });
  await venue.call('POST', `${path}/revisions`, { note: 'first' }, { 'if-match': signed.etag });
  return { id: space.body.id, etag: space.etag };
}
const ask = (tour: Caller, spaceId: string, until = UNTIL) => tour.call('POST', `spaces/${spaceId}/access`, { note: 'one night', until });
const decide = (id: string, etag: string, body: object) => venue.call('PATCH', `access/${id}`, body, { 'if-match': etag });
const grant = { answer: 'grant', until: UNTIL, reply: '' };
const revisionAs = async (tour: Caller, spaceId: string) => (await tour.call('GET', `spaces/${spaceId}/revisions/1`)).status;

test('a roof is read from the grant until its end, and no longer', async () => {
  running.clock.now = NOW;
  const space = await publishedSpace();
  const tour = await running.signUp('Head rigger', 'production');
  const asked = await ask(tour, space.id);
  expect(asked).toMatchObject({ status: 201, body: { state: 'requested', tourOrganisationId: tour.orgId } });
  expect(await ask(tour, space.id)).toMatchObject({ status: 409, body: { type: '/problems/access-already' } });
  expect(await revisionAs(tour, space.id)).toBe(404);
  expect((await tour.call('PATCH', `access/${asked.body.id}`, grant, { 'if-match': asked.etag })).status).toBe(403);
  expect((await other.call('GET', `access/${asked.body.id}`)).status).toBe(404);
  expect((await running.call('GET', `access/${asked.body.id}`)).status).toBe(401);
  expect((await venue.call('PATCH', `access/${asked.body.id}`, grant)).status).toBe(428);
  expect((await decide(asked.body.id, asked.etag, { ...grant, until: '2026-01-01T00:00:00Z' })).status).toBe(422);
  const faults = await decide(asked.body.id, asked.etag, { answer: 'grant', until: 'soon', reply: '', more: 1 });
  expect(new Set((faults.body.errors as { pointer: string }[]).map(({ pointer }) => pointer))).toEqual(new Set(['/more', '/until']));
  const both = await Promise.all([1, 2].map(() => decide(asked.body.id, asked.etag, grant)));
  expect(both.map(({ status }) => status).sort()).toEqual([200, 412]);
  expect(await revisionAs(tour, space.id)).toBe(200);
  expect(await revisionAs(other, space.id)).toBe(404);
  const at = `access/${asked.body.id}`;
  const read = await tour.call('GET', at);
  expect((await tour.call('GET', at, undefined, { 'if-none-match': read.etag })).status).toBe(304);
  expect((await decide(asked.body.id, read.etag, { answer: 'refuse', reply: '' })).status).toBe(409);
  expect((await decide(asked.body.id, read.etag, { answer: 'end', reply: 'works' })).status).toBe(200);
  expect(await revisionAs(tour, space.id)).toBe(404);
});

test('of two requests at once one stands', async () => {
  const space = await publishedSpace();
  const tour = await running.signUp('Head rigger', 'production');
  const both = await Promise.all([ask(tour, space.id), ask(tour, space.id)]);
  expect(both.map(({ status }) => status).sort()).toEqual([201, 409]);
});

test('an opened roof is read by everyone who is signed in, and asking is being let in', async () => {
  const space = await publishedSpace();
  expect((await venue.call('PATCH', `spaces/${space.id}`, { opened: true }, { 'if-match': space.etag })).status).toBe(200);
  expect(await revisionAs(other, space.id)).toBe(200);
  expect(await ask(other, space.id)).toMatchObject({ status: 201, body: { state: 'granted' } });
  expect((await ask(other, randomUUID())).status).toBe(404);
});

test('after the end, the revision of the own submission is still read and the proposal can be withdrawn', async () => {
  running.clock.now = NOW;
  const space = await publishedSpace();
  const tour = await running.signUp('Head rigger', 'production');
  const asked = await ask(tour, space.id);
  const granted = await decide(asked.body.id, asked.etag, grant);
  const production = await tour.call('POST', 'productions', { name: 'Tour' });
  const night = { name: 'Night', from: '2026-07-01T08:00:00+02:00', to: '2026-07-02T04:00:00+02:00', calls: [] };
  const show = await tour.call('POST', `productions/${production.body.id}/shows`, { spaceId: space.id, ...night });
  const begun = await tour.call('POST', 'proposals', { showId: show.body.id, name: 'Rig' });
  const at = `proposals/${begun.body.id}`;
  const edited = await tour.call('PUT', `${at}/plan`, planOf(deadHang(point, 800)), { 'if-match': begun.etag });
  const put = await tour.call('POST', `${at}/submission`, { note: '' }, { 'if-match': edited.etag });
  expect(put.status).toBe(200);
  expect((await decide(asked.body.id, granted.etag, { answer: 'end', reply: '' })).status).toBe(200);
  expect(await revisionAs(tour, space.id)).toBe(200);
  expect(await revisionAs(other, space.id)).toBe(404);
  const now = await tour.call('GET', at);
  const withdrawn = await tour.call('POST', `${at}/withdrawal`, {}, { 'if-match': now.etag });
  expect(withdrawn).toMatchObject({ status: 200, body: { state: 'withdrawn' } });
});
