import { afterAll, beforeAll, expect, test } from 'vitest';
import { startApp, type Called, type RunningApp } from '../../support/app.ts';

let running: RunningApp;
beforeAll(async () => {
  running = await startApp();
});
afterAll(() => running.close());

const PASSWORD = 'a long test phrase';
let people = 0;
/** Signs up, and hands back the tokens beside a call as that person. */
async function newcomer() {
  people += 1;
  const email = `newcomer.${people}@test.example`;
  const organisation = { name: 'Newcomers', kind: 'venueOperator' };
  const made = await running.call('POST', 'auth/sign-up', { email, displayName: 'Newcomer', password: PASSWORD, organisation });
  expect(made.status).toBe(201);
  return { email, call: running.as(String(made.body.accessToken)), refreshToken: String(made.body.refreshToken) };
}
const refresh = (refreshToken: unknown) => running.call('POST', 'auth/refresh', { refreshToken });
const signIn = (email: string, password = PASSWORD) => running.call('POST', 'auth/sign-in', { email, password });
const codeOf = ({ body }: Called) => String(body.type).replace('/problems/', '');

test('a founder is administrator, and holds the roles that an organisation needs to begin', async () => {
  const { call, email } = await newcomer();
  const me = await call('GET', 'auth/me');
  expect(me.status).toBe(200);
  expect(me.body).toMatchObject({
    person: { email, displayName: 'Newcomer' },
    memberships: [{ organisationName: 'Newcomers', kind: 'venueOperator', roles: ['administrator', 'technicalManager', 'decider'] }],
  });
});

test('an address in use, in whatever case, is not taken twice', async () => {
  const { email } = await newcomer();
  const again = await running.call('POST', 'auth/sign-up', {
    email: email.toUpperCase(),
    displayName: 'Another',
    password: PASSWORD,
    organisation: { name: 'Others', kind: 'production' },
  });
  expect([again.status, codeOf(again)]).toEqual([409, 'email-taken']);
});

test('every fault of a sign-up is named at once', async () => {
  const wrong = await running.call('POST', 'auth/sign-up', {
    email: 'nobody',
    displayName: ' ',
    password: PASSWORD,
    organisation: { name: 'X', kind: 'band' },
    admin: true,
  });
  expect(wrong.status).toBe(400);
  const pointers = (wrong.body.errors as { pointer: string }[]).map(({ pointer }) => pointer).sort();
  expect(pointers).toEqual(['/admin', '/displayName', '/email', '/organisation/kind']);
});

test.each(['short', '1234567890', 'password123', 'aaaaaaaaaaaaaaa', 'weak.person@test.example'])('%s is no password', async (password) => {
  const organisation = { name: 'Weak', kind: 'production' };
  const refused = await running.call('POST', 'auth/sign-up', {
    email: 'weak.person@test.example',
    displayName: 'Weak',
    password,
    organisation,
  });
  expect([refused.status, codeOf(refused)]).toEqual([422, 'password-too-weak']);
  expect(refused.body.errors).toMatchObject([{ pointer: '/password' }]);
});

test('a wrong password and an unknown address get the same answer', async () => {
  const { email } = await newcomer();
  const answers = [await signIn(email, 'not the phrase at all'), await signIn('nobody.here@test.example')];
  const [wrong, unknown] = answers.map(({ status, body: { instance: _, ...body } }) => ({ status, body }));
  expect(wrong?.status).toBe(401);
  expect(wrong).toEqual(unknown);
});

test('each refresh token is good once, and the next one works', async () => {
  const { refreshToken } = await newcomer();
  const first = await refresh(refreshToken);
  expect(first.status).toBe(200);
  expect(first.body.refreshToken).not.toBe(refreshToken);
  expect((await refresh(first.body.refreshToken)).status).toBe(200);
});

test.each(['thief first', 'owner first'])('a stolen refresh token ends the session for both: %s', async () => {
  const { refreshToken, call } = await newcomer();
  const first = await refresh(refreshToken); // whoever of the two comes first
  const second = await refresh(refreshToken);
  expect([second.status, codeOf(second)]).toEqual([401, 'refresh-token-spent']);
  expect((await refresh(first.body.refreshToken)).status).toBe(401);
  expect((await call('GET', 'auth/me')).status).toBe(401);
  expect((await running.as(String(first.body.accessToken))('GET', 'auth/me')).status).toBe(401);
});

test('the reuse of a refresh token stands in the history of the organisation', async () => {
  const { refreshToken, email } = await newcomer();
  await refresh(refreshToken);
  await refresh(refreshToken);
  const back = await signIn(email);
  const audit = await running.as(String(back.body.accessToken))('GET', 'audit');
  expect(JSON.stringify(audit.body)).toContain('session.refreshTokenReused');
});

test('of 50 refreshes at once with one token exactly one has a successor', async () => {
  const { refreshToken } = await newcomer();
  const answers = await Promise.all(Array.from({ length: 50 }, () => refresh(refreshToken)));
  expect(answers.map(({ status }) => status).sort()).toEqual([200, ...Array.from({ length: 49 }, () => 401)]);
});

test('a session ends 7 days after its last use, and 30 days after its start however often it is used', async () => {
  const { now } = running.clock;
  const dayLater = (days: number) => (running.clock.now = new Date(now.getTime() + days * 86_400_000));
  try {
    const idle = await newcomer();
    dayLater(7);
    expect((await refresh(idle.refreshToken)).status).toBe(401);
    running.clock.now = now;
    let { refreshToken }: { refreshToken: unknown } = await newcomer();
    for (const day of [6, 12, 18, 24, 29.9]) {
      dayLater(day);
      const next = await refresh(refreshToken);
      expect(next.status).toBe(200);
      refreshToken = next.body.refreshToken;
    }
    dayLater(30);
    expect((await refresh(refreshToken)).status).toBe(401);
  } finally {
    running.clock.now = now;
  }
});

test('after signing out neither token works', async () => {
  const { call, refreshToken } = await newcomer();
  expect((await call('POST', 'auth/sign-out')).status).toBe(204);
  expect((await call('GET', 'auth/me')).status).toBe(401);
  expect((await refresh(refreshToken)).status).toBe(401);
});

test('sessions are listed, and one elsewhere can be ended', async () => {
  const { call, email } = await newcomer();
  const elsewhere = await signIn(email);
  const { body } = await call('GET', 'auth/sessions');
  expect(body.items.map(({ current }) => current).sort()).toEqual([false, true]);
  const other = `auth/sessions/${String(body.items.find(({ current }) => !current)?.id)}`;
  expect((await call('DELETE', other)).status).toBe(428);
  expect((await call('DELETE', other, undefined, { 'if-match': '"v2"' })).status).toBe(412);
  expect((await call('DELETE', other, undefined, { 'if-match': '"v1"' })).status).toBe(204);
  expect((await call('DELETE', other, undefined, { 'if-match': '"v1"' })).status).toBe(404);
  expect((await running.as(String(elsewhere.body.accessToken))('GET', 'auth/me')).status).toBe(401);
});

test("another person's session is not there to end", async () => {
  const [one, other] = [await newcomer(), await newcomer()];
  const { body } = await other.call('GET', 'auth/sessions');
  const answer = await one.call('DELETE', `auth/sessions/${String(body.items[0]?.id)}`, undefined, { 'if-match': '"v1"' });
  expect(answer.status).toBe(404);
  expect((await other.call('GET', 'auth/me')).status).toBe(200);
});

test('a new password ends every other session, and the old one opens nothing', async () => {
  const { call, email, refreshToken } = await newcomer();
  const elsewhere = await signIn(email);
  const wrong = await call('POST', 'auth/password', { currentPassword: 'not the phrase at all', newPassword: 'another long phrase' });
  expect([wrong.status, codeOf(wrong)]).toEqual([422, 'wrong-password']);
  const weak = await call('POST', 'auth/password', { currentPassword: PASSWORD, newPassword: 'short' });
  expect(weak.body.errors).toMatchObject([{ pointer: '/newPassword' }]);
  const done = await call('POST', 'auth/password', { currentPassword: PASSWORD, newPassword: 'another long phrase' });
  expect(done.status).toBe(204);
  expect((await call('GET', 'auth/me')).status).toBe(200);
  expect((await refresh(refreshToken)).status).toBe(200);
  expect((await refresh(elsewhere.body.refreshToken)).status).toBe(401);
  expect((await signIn(email)).status).toBe(401);
  expect((await signIn(email, 'another long phrase')).status).toBe(200);
});

test('nobody without a token is somebody', async () => {
  for (const [method, path] of [
    ['GET', 'auth/me'],
    ['GET', 'auth/sessions'],
    ['POST', 'auth/sign-out'],
    ['POST', 'auth/password'],
  ] as const) {
    const answer = await running.call(method, path, method === 'POST' ? {} : undefined);
    expect([path, answer.status, answer.headers['www-authenticate']]).toEqual([path, 401, 'Bearer']);
  }
});
