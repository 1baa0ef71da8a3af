import { randomUUID } from 'node:crypto';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { offeredPolicies } from '../../../src/domain/roof/offered-policies.ts';
import { startApp, type Caller, type RunningApp } from '../../support/app.ts';
import { deadHang, planOf, pointAt } from '../../support/scene.ts';

let running: RunningApp;
let venue: Caller;
let tour: Caller;
beforeAll(async () => {
  running = await startApp();
  venue = await running.signUp('Venue manager', 'venueOperator');
  tour = await running.signUp('Head rigger', 'production');
});
afterAll(() => running.close());

test('from an empty service to an agreed proposal, over HTTP alone', async () => {
  const hall = await venue.call('POST', 'venues', {
    name: 'Hall',
    place: 'Town',
    timeZone: 'Europe/Amsterdam',
    contactRole: 'technical manager',
  });
  expect(hall.status).toBe(201);
  const space = await venue.call('POST', `venues/${hall.body.id}/spaces`, { name: 'Bowl', exposure: 'indoor' });
  const point = pointAt('P1', 0, 0, 1000);
  const added = await venue.call('POST', `spaces/${space.body.id}/structure/batch`, {
    changes: [{ kind: 'points', ifMatch: null, item: point }],
  });
  expect(added.status).toBe(200);
  const signed = await venue.call(
    'PUT',
    `spaces/${space.body.id}/structure/policy`,
    { policy: offeredPolicies()[0]!.policy, signerRole: 'technical manager' },
    { 'if-match': added.etag },
  );
  expect(signed.status).toBe(200);
  const published = await venue.call('POST', `spaces/${space.body.id}/revisions`, { note: 'first' }, { 'if-match': signed.etag });
  expect(published).toMatchObject({ status: 201, body: { revision: { number: 1 }, toCheck: 0 } });

  expect((await tour.call('GET', `spaces/${space.body.id}/revisions/1`)).status).toBe(404);
  const asked = await tour.call('POST', `spaces/${space.body.id}/access`, { note: 'one night', until: '2027-01-01T00:00:00Z' });
  const granted = await venue.call(
    'PATCH',
    `access/${asked.body.id}`,
    { answer: 'grant', until: '2027-01-01T00:00:00Z', reply: '' },
    { 'if-match': asked.etag },
  );
  expect(granted).toMatchObject({ status: 200, body: { state: 'granted' } });
  const roof = await tour.call('GET', `spaces/${space.body.id}/revisions/1`);
  expect(roof).toMatchObject({ status: 200, body: { format: 1, points: [{ id: point.id, wllKg: 1000 }] } });

  const production = await tour.call('POST', 'productions', { name: 'Tour' });
  const show = await tour.call('POST', `productions/${production.body.id}/shows`, {
    spaceId: space.body.id,
    name: 'Night',
    from: '2026-07-01T08:00:00+02:00',
    to: '2026-07-02T04:00:00+02:00',
    calls: [],
  });
  expect(show.status).toBe(201);
  const begun = await tour.call('POST', 'proposals', { showId: show.body.id, name: 'Rig' });
  expect((await venue.call('GET', `proposals/${begun.body.id}`)).status).toBe(404);
  const edited = await tour.call('PUT', `proposals/${begun.body.id}/plan`, planOf(deadHang(point, 800)), { 'if-match': begun.etag });
  expect(edited.status).toBe(200);
  const dry = await tour.call('POST', `proposals/${begun.body.id}/assessment`);
  expect(dry).toMatchObject({ status: 200, body: { outcome: { verdict: 'fits' } } });
  const put = await tour.call('POST', `proposals/${begun.body.id}/submission`, { note: '' }, { 'if-match': edited.etag });
  expect(put).toMatchObject({ status: 200, body: { state: 'submitted', whoseTurn: { side: 'venue' } } });

  const seen = await venue.call('GET', `proposals/${begun.body.id}`);
  const last = await venue.call('GET', `proposals/${begun.body.id}/assessment`);
  const { assessmentHash } = last.body.assessment as { assessmentHash: string };
  const body = { answer: 'agree', capacity: 'decider', assessmentHash, ticks: [], conditions: [], reason: '', validUntil: null };
  const key = randomUUID();
  const first = await venue.call('POST', `proposals/${begun.body.id}/review`, body, { 'if-match': seen.etag, 'idempotency-key': key });
  expect(first).toMatchObject({ status: 200, body: { state: 'agreed', standingYes: { submission: 1 } } });
  const again = await venue.call('POST', `proposals/${begun.body.id}/review`, body, { 'if-match': seen.etag, 'idempotency-key': key });
  expect(again.body).toEqual(first.body);
  expect(again.headers['idempotent-replayed']).toBe('true');

  // Who may read the roof hears of each new revision as long as that is so, and nobody else does.
  const publishAgain = async (note: string) => {
    const structure = await venue.call('GET', `spaces/${space.body.id}/structure`);
    expect((await venue.call('POST', `spaces/${space.body.id}/revisions`, { note }, { 'if-match': structure.etag })).status).toBe(201);
  };
  const heardBy = async (somebody: Caller): Promise<number> => {
    const log = await somebody.call('GET', 'events/log?limit=200');
    const items = log.body.items as { type: string; subjectId: string }[];
    return items.filter(({ type, subjectId }) => type === 'revision.published' && subjectId === space.body.id).length;
  };
  const stranger = await running.signUp('Somebody else', 'production');
  await publishAgain('second');
  expect(await Promise.all([venue, tour, stranger].map(heardBy))).toEqual([2, 1, 0]);
  const ended = await venue.call('PATCH', `access/${asked.body.id}`, { answer: 'end', reply: '' }, { 'if-match': granted.etag });
  expect(ended.status).toBe(200);
  await publishAgain('third');
  expect(await Promise.all([venue, tour, stranger].map(heardBy))).toEqual([3, 1, 0]);

  for (const side of [venue, tour]) {
    const report = await side.call('POST', 'audit/verification');
    expect(report).toMatchObject({ status: 200, body: { whole: true } });
  }
});
