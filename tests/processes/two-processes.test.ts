import { randomUUID } from 'node:crypto';
import pg from 'pg';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { offeredPolicies } from '../../src/domain/roof/offered-policies.ts';
import { freshDatabase, type TestDatabase } from '../support/database.ts';
import { deadHang, planOf, pointAt } from '../support/scene.ts';
import { buildService, callAt, killed, serviceOn, type Fetched, type ServiceProcess } from '../support/service-process.ts';

let database: TestDatabase;
let services: ServiceProcess[] = [];
beforeAll(async () => {
  buildService();
  database = await freshDatabase();
  services = [await serviceOn(database), await serviceOn(database)];
}, 180_000);
afterAll(async () => {
  for (const service of services) await killed(service, 'SIGTERM');
  await database.drop();
});

let turn = 0;
/** Requests go to the two processes in turn, as behind one address. */
const inTurn = (token: string | null, method: string, path: string, body?: unknown, headers?: Record<string, string>): Promise<Fetched> => {
  turn += 1;
  return callAt(services[turn % services.length]!.origin, token, method, path, body, headers);
};
const signUp = async (name: string, kind: string): Promise<string> => {
  const answered = await inTurn(null, 'POST', 'auth/sign-up', {
    email: `${name}@test.example`,
    displayName: name,
    password: 'a long test phrase',
    organisation: { name, kind },
  });
  expect(answered.status).toBe(201);
  return String(answered.body.accessToken);
};

test('two processes on one database are one service, and one goes on alone when the other is killed', { timeout: 120_000 }, async () => {
  const venue = await signUp('venue', 'venueOperator');
  const tour = await signUp('tour', 'production');
  const hall = await inTurn(venue, 'POST', 'venues', { name: 'Hall', place: 'Town', timeZone: 'Europe/Amsterdam', contactRole: 'manager' });
  const space = await inTurn(venue, 'POST', `venues/${hall.body.id}/spaces`, { name: 'Bowl', exposure: 'indoor' });
  const point = pointAt('P1', 0, 0, 1000);
  const added = await inTurn(venue, 'POST', `spaces/${space.body.id}/structure/batch`, {
    changes: [{ kind: 'points', ifMatch: null, item: point }],
  });
  const policy = { policy: offeredPolicies()[0]!.policy, signerRole: 'technical manager' };
  const signed = await inTurn(venue, 'PUT', `spaces/${space.body.id}/structure/policy`, policy, { 'if-match': added.etag });
  await inTurn(venue, 'POST', `spaces/${space.body.id}/revisions`, { note: '' }, { 'if-match': signed.etag });
  const asked = await inTurn(tour, 'POST', `spaces/${space.body.id}/access`, { note: '', until: '2099-01-01T00:00:00Z' });
  await inTurn(
    venue,
    'PATCH',
    `access/${asked.body.id}`,
    { answer: 'grant', until: '2099-01-01T00:00:00Z', reply: '' },
    { 'if-match': asked.etag },
  );
  const production = await inTurn(tour, 'POST', 'productions', { name: 'Tour' });
  const show = await inTurn(tour, 'POST', `productions/${production.body.id}/shows`, {
    spaceId: space.body.id,
    name: 'Night',
    from: '2090-07-01T08:00:00Z',
    to: '2090-07-02T04:00:00Z',
    calls: [],
  });
  const put = async (massKg: number) => {
    const begun = await inTurn(tour, 'POST', 'proposals', { showId: show.body.id, name: 'Rig' });
    const edited = await inTurn(tour, 'PUT', `proposals/${begun.body.id}/plan`, planOf(deadHang(point, massKg)), {
      'if-match': begun.etag,
    });
    return inTurn(tour, 'POST', `proposals/${begun.body.id}/submission`, { note: '' }, { 'if-match': edited.etag });
  };
  const proposals = [await put(600), await put(600), await put(300)];
  const yes = async (proposal: Fetched, origin: string, key: string = randomUUID()) => {
    const last = await callAt(origin, venue, 'GET', `proposals/${proposal.body.id}/assessment`);
    const { assessmentHash, outcome } = last.body.assessment as {
      assessmentHash: string;
      outcome: { checks: { id: string; verdict: string; demand: number | null; capacity: number | null }[] };
    };
    const ticks = outcome.checks
      .filter(({ verdict }) => verdict !== 'fits')
      .map(({ id, demand, capacity }) => ({ checkId: id, demand, capacity }));
    const body = { answer: 'agree', capacity: 'decider', assessmentHash, ticks, conditions: [], reason: '', validUntil: null };
    return callAt(origin, venue, 'POST', `proposals/${proposal.body.id}/review`, body, {
      'if-match': proposal.etag,
      'idempotency-key': key,
    });
  };

  const [first, second] = await Promise.all([yes(proposals[0]!, services[0]!.origin), yes(proposals[1]!, services[1]!.origin)]);
  expect([first.status, second.status].sort()).toEqual([200, 409]); // 600 and 600 on 1000 kg: one of them, whichever process

  const [dying, left] = services as [ServiceProcess, ServiceProcess];
  const key = randomUUID();
  const cut = yes(proposals[2]!, dying.origin, key).catch(() => null);
  await killed(dying);
  await cut;
  services = [left];
  // Decided before the kill or not: sent again, it is decided once. The roof has filled up since, so it may have to be read anew.
  const again = await yes(proposals[2]!, left.origin, key);
  if (again.status === 409) expect((await yes(proposals[2]!, left.origin)).status).toBe(200);
  else expect(again.status).toBe(200);
  const seen = await inTurn(venue, 'GET', `proposals/${proposals[2]!.body.id}`);
  expect(seen.body.state).toBe('agreed');
  expect((await inTurn(venue, 'POST', 'audit/verification')).body).toMatchObject({ whole: true });

  const owner = new pg.Client({ connectionString: database.superUrl });
  await owner.connect();
  const { rows } = await owner.query<{ kg: number }>(
    `SELECT sum(resting_kn) * 1000 / 9.80665 AS kg FROM commitment WHERE status = 'agreed'`,
  );
  await owner.end();
  expect(Number(rows[0]?.kg)).toBeCloseTo(900, 6);
});
