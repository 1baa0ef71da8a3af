import { afterAll, beforeAll, expect, test } from 'vitest';
import { startApp, type Called, type Caller, type RunningApp } from '../../support/app.ts';

let running: RunningApp;
let tour: Caller;
beforeAll(async () => {
  running = await startApp();
  tour = await running.signUp('Head rigger', 'production');
});
afterAll(() => running.close());

const codeOf = ({ status, body }: Called) => [status, String(body.type).replace('/problems/', '')];
const make = async (scopes: string[], expiresInDays = 30) => {
  const made = await tour.call('POST', 'auth/api-keys', { name: 'Export', scopes, expiresInDays });
  expect(made.status).toBe(201);
  return { id: made.body.id, secret: String(made.body.secret), call: running.as(String(made.body.secret)) };
};

test('a secret is marked, 32 bytes long, and kept nowhere', async () => {
  const { secret } = await make(['read']);
  expect(secret).toMatch(/^rbk_[\w-]{43}$/);
  const listed = await tour.call('GET', 'auth/api-keys');
  expect(JSON.stringify(listed.body)).not.toContain(secret.slice(4));
});

test('a key that reads does not write', async () => {
  const { call } = await make(['read']);
  expect((await call('GET', 'productions')).status).toBe(200);
  expect(codeOf(await call('POST', 'productions', { name: 'Tour' }))).toEqual([403, 'key-not-allowed']);
});

test('a key that writes acts as its person, and does not read unless it may', async () => {
  const { call } = await make(['write']);
  expect((await call('POST', 'productions', { name: 'Tour' })).status).toBe(201);
  expect(codeOf(await call('GET', 'productions'))).toEqual([403, 'key-not-allowed']);
});

test('no key makes keys, passwords, members, or an end to sessions', async () => {
  const { call } = await make(['read', 'write']);
  const own = `organisations/${tour.orgId}`;
  const answers = [
    await call('POST', 'auth/api-keys', { name: 'More', scopes: ['write'], expiresInDays: 1 }),
    await call('POST', 'auth/password', { currentPassword: 'a long test phrase', newPassword: 'another long phrase' }),
    await call('POST', `${own}/invitations`, { email: 'more@test.example', roles: ['administrator'] }),
    await call('POST', `${own}/members/${tour.personId}/password-reset`),
    await call('POST', 'auth/sign-out'),
  ];
  expect(answers.map(codeOf)).toEqual(answers.map(() => [403, 'key-not-allowed']));
});

test('a key names no other organisation, and tells nothing of its person elsewhere', async () => {
  const { call } = await make(['read']);
  const venue = await running.signUp('Venue', 'venueOperator');
  expect(codeOf(await call('GET', 'productions', undefined, { 'acting-organisation': venue.orgId }))).toEqual([403, 'not-a-member']);
  const { body } = await call('GET', 'auth/me');
  expect(body).toMatchObject({ actingForOrganisationId: tour.orgId, memberships: [{ organisationId: tour.orgId }] });
});

test('a key ends on its day, and when it is revoked', async () => {
  const [aged, revoked] = [await make(['read'], 2), await make(['read'], 2)];
  const path = `auth/api-keys/${revoked.id}`;
  const stranger = await running.signUp('Stranger', 'production');
  expect((await stranger.call('DELETE', path, undefined, { 'if-match': '"v1"' })).status).toBe(404);
  expect((await tour.call('DELETE', path)).status).toBe(428);
  expect((await tour.call('DELETE', path, undefined, { 'if-match': '"v1"' })).status).toBe(204);
  expect((await revoked.call('GET', 'productions')).status).toBe(401);
  const { now } = running.clock;
  running.clock.now = new Date(now.getTime() + 2 * 86_400_000 - 1);
  expect((await aged.call('GET', 'productions')).status).toBe(200);
  running.clock.now = new Date(now.getTime() + 2 * 86_400_000);
  expect((await aged.call('GET', 'productions')).status).toBe(401);
  running.clock.now = now;
});

test('the last use is shown to the minute', async () => {
  const { id, call } = await make(['read']);
  const shown = async () => (await tour.call('GET', 'auth/api-keys?limit=200')).body.items.find((key) => key.id === id)?.lastUsedAt;
  expect(await shown()).toBeNull();
  await call('GET', 'productions');
  expect(await shown()).toBe(running.clock.now.toISOString());
});

test('a key made twice with one idempotency key shows its secret once', async () => {
  const body = { name: 'Once', scopes: ['read'], expiresInDays: 1 };
  const send = () => tour.call('POST', 'auth/api-keys', body, { 'idempotency-key': 'one' });
  const [first, again] = [await send(), await send()];
  expect(again.body).toEqual({ ...first.body, secret: null });
  expect(codeOf(await tour.call('POST', 'auth/api-keys', body, { 'idempotency-key': '' }))).toEqual([400, 'invalid-request']);
});

test('what a key may not be is refused with every fault', async () => {
  const wrong = await tour.call('POST', 'auth/api-keys', { name: '', scopes: ['read', 'read'], expiresInDays: 366 });
  expect((wrong.body.errors as { pointer: string }[]).map(({ pointer }) => pointer)).toEqual(['/name', '/scopes', '/expiresInDays']);
});
