import { afterAll, beforeAll, expect, test } from 'vitest';
import { startApp, type RunningApp } from '../support/app.ts';

// The browser's way in: a cookie that no script reads, and nothing that another site could send along with it.
const PERSON = { email: 'mira@test.example', password: 'a long test phrase' };
const FROM_PAGE = { 'roofbook-page': '1' };
const DAY_MS = 86_400_000;

let running: RunningApp;
let cookie: string;
beforeAll(async () => {
  running = await startApp();
  const made = await call('POST', '/session/new-account', FROM_PAGE, {
    ...PERSON,
    displayName: 'Mira',
    organisation: { name: 'Mira Touring', kind: 'production' },
  });
  expect(made.statusCode).toBe(204);
  cookie = await signIn();
});
afterAll(() => running.close());

const call = (method: 'GET' | 'POST' | 'DELETE', url: string, headers: Record<string, string>, body?: unknown) =>
  running.app.inject({
    method,
    url,
    headers: { ...headers, ...(body === undefined ? {} : { 'content-type': 'application/json' }) },
    ...(body === undefined ? {} : { payload: JSON.stringify(body) }),
  });
async function signIn(): Promise<string> {
  const answered = await call('POST', '/session', FROM_PAGE, PERSON);
  expect(answered.statusCode).toBe(204);
  return String(answered.headers['set-cookie']).split(';')[0]!;
}
const production = (headers: Record<string, string>) =>
  call('POST', '/api/v1/productions', { 'idempotency-key': crypto.randomUUID(), ...headers }, { name: 'Long Weather' });
const codeOf = (answered: { json: () => unknown }) => (answered.json() as { type: string }).type;

test('the cookie cannot be read by scripts, sent by other sites, or set by neighbours', async () => {
  const set = String((await call('POST', '/session', FROM_PAGE, PERSON)).headers['set-cookie']);
  expect(set).toMatch(/^__Host-roofbook=[\w-]{43}; /);
  expect(set.split('; ').slice(1).toSorted()).toEqual(['HttpOnly', 'Max-Age=2592000', 'Path=/', 'SameSite=Strict', 'Secure']);
});

test('the cookie opens what its person may see and do', async () => {
  const me = await call('GET', '/api/v1/auth/me', { cookie });
  expect(me.statusCode).toBe(200);
  expect(me.json()).toMatchObject({ person: { email: PERSON.email } });
  expect((await production({ cookie, ...FROM_PAGE, origin: 'http://localhost:3000' })).statusCode).toBe(201);
});

test.each([
  ['without the header that pages send', {}],
  ['from another origin', { ...FROM_PAGE, origin: 'https://elsewhere.example' }],
  ['from an origin that hides itself', { ...FROM_PAGE, origin: 'null' }],
  ['from another site, as the browser says', { ...FROM_PAGE, 'sec-fetch-site': 'cross-site' }],
  ['from a sibling of this site', { ...FROM_PAGE, 'sec-fetch-site': 'same-site' }],
])('a change %s is refused', async (_name, headers) => {
  const answered = await production({ cookie, ...headers });
  expect(answered.statusCode).toBe(403);
  expect(codeOf(answered)).toBe('/problems/not-from-here');
});

test('signing somebody in from elsewhere is refused too', async () => {
  const answered = await call('POST', '/session', {}, PERSON);
  expect([answered.statusCode, codeOf(answered)]).toEqual([403, '/problems/not-from-here']);
  expect(answered.headers['set-cookie']).toBeUndefined();
});

test('a bearer token needs no such header, and a cookie beside it counts for nothing', async () => {
  const { token } = await running.signUp('Programmer', 'production');
  expect((await production({ authorization: `Bearer ${token}` })).statusCode).toBe(201);
  expect((await production({ authorization: 'Bearer nonsense', cookie, ...FROM_PAGE })).statusCode).toBe(401);
});

test('a refresh token is no cookie, and the secret of a cookie no refresh token', async () => {
  const tokens = (await running.call('POST', 'auth/sign-in', PERSON)).body as unknown as { refreshToken: string };
  expect((await call('GET', '/api/v1/auth/me', { cookie: `__Host-roofbook=${tokens.refreshToken}` })).statusCode).toBe(401);
  const refreshed = await running.call('POST', 'auth/refresh', { refreshToken: cookie.split('=')[1] });
  expect(refreshed.status).toBe(401);
});

test('wrong credentials set no cookie', async () => {
  const answered = await call('POST', '/session', FROM_PAGE, { ...PERSON, password: 'not the phrase' });
  expect(answered.statusCode).toBe(401);
  expect(answered.headers['set-cookie']).toBeUndefined();
});

test('signing out ends the session, not only the cookie', async () => {
  const mine = await signIn();
  const out = await call('DELETE', '/session', { cookie: mine, ...FROM_PAGE });
  expect(out.statusCode).toBe(204);
  expect(String(out.headers['set-cookie'])).toContain('Max-Age=0');
  expect((await call('GET', '/api/v1/auth/me', { cookie: mine })).statusCode).toBe(401);
  expect((await call('GET', '/api/v1/auth/me', { cookie })).statusCode).toBe(200);
});

test('a cookie that is used keeps its session alive, one that is not used for a week is dead', async () => {
  const [used, left] = [await signIn(), await signIn()];
  const start = running.clock.now;
  const meWith = async (one: string) => (await call('GET', '/api/v1/auth/me', { cookie: one })).statusCode;
  running.clock.now = new Date(start.getTime() + 6 * DAY_MS);
  expect(await meWith(used)).toBe(200);
  running.clock.now = new Date(start.getTime() + 8 * DAY_MS);
  expect(await meWith(used)).toBe(200);
  expect(await meWith(left)).toBe(401);
  running.clock.now = start;
});

test('whoever is signed in by the cookie joins by an invitation as themselves, and on no other site', async () => {
  const host = await running.signUp('Host', 'venueOperator');
  const offered = { email: PERSON.email, roles: ['crew'] };
  const { token } = (await host.call('POST', `organisations/${host.orgId}/invitations`, offered)).body;
  const accept = (headers: Record<string, string>) => call('POST', '/api/v1/auth/invitations/accept', headers, { token });
  expect((await accept({ cookie })).statusCode).toBe(403); // without the header that pages send
  expect((await accept({ cookie: `${cookie}x`, ...FROM_PAGE })).statusCode).toBe(401); // a cookie that opens nothing is nobody's
  const joined = await accept({ cookie, ...FROM_PAGE });
  expect(joined.statusCode).toBe(201);
  const me = (await call('GET', '/api/v1/auth/me', { cookie })).json<{
    person: { id: string };
    memberships: { organisationId: string }[];
  }>();
  expect(joined.json()).toMatchObject({ personId: me.person.id, organisationId: host.orgId, tokens: null });
  expect(me.memberships.map(({ organisationId }) => organisationId)).toContain(host.orgId);
});

test('pages allow scripts of this service alone; files with a hash in their name are kept for a year', async () => {
  const page = await call('GET', '/proposals/2f0c9a6e-9f0b-4a67-8b7c-0e4f6a1d2c33', {});
  expect(page.statusCode).toBe(200);
  const policy = String(page.headers['content-security-policy']);
  expect(policy).toContain("default-src 'none'; script-src 'self';");
  expect(policy).not.toContain('unsafe');
  expect(page.headers['cache-control']).toBe('no-cache');
  const script = /src="(\/assets\/[^"]+\.js)"/.exec(page.body)?.[1];
  const file = await call('GET', script ?? '', { 'accept-encoding': 'gzip' });
  expect(file.headers).toMatchObject({ 'cache-control': 'public, max-age=31536000, immutable', 'content-encoding': 'gzip' });
});

test('an address says which scripts its page will want, and each of them is there', async () => {
  const linked = async (url: string) => {
    const link = String((await call('GET', url, {})).headers.link);
    return [...link.matchAll(/<(\/assets\/[^>]+)>; rel=modulepreload/g)].map(([, path]) => path!);
  };
  const roof = await linked('/spaces/2f0c9a6e-9f0b-4a67-8b7c-0e4f6a1d2c33');
  expect(roof.some((path) => path.startsWith('/assets/SpacePage-'))).toBe(true);
  for (const path of roof) {
    const script = await call('GET', path, {});
    expect(script.statusCode, path).toBe(200);
    expect(script.body.includes('unique "key" prop'), `${path} is of React's development build, which warns of that`).toBe(false);
  }
  const entry = await linked('/sign-in');
  expect(roof).toEqual(expect.arrayContaining(entry)); // what draws every screen
  expect(roof.length).toBeGreaterThan(entry.length);
});

test('an address that no screen has is not found, and no page stands in for it', async () => {
  for (const url of ['/nothing', '/assets/none.js', '/assets/../main.js', '/api/v1/nothing'])
    expect((await call('GET', url, {})).statusCode, url).toBe(404);
});
