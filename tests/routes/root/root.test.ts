import { randomUUID } from 'node:crypto';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { PROBLEMS } from '../../../src/routes/problem-table.ts';
import { startApp, TEST_CONFIG, type RunningApp } from '../../support/app.ts';

const METRICS_TOKEN = 'a token for the tests, 32 or more characters';
let running: RunningApp;
beforeAll(async () => {
  running = await startApp({ config: { ...TEST_CONFIG, metricsToken: METRICS_TOKEN, securityContact: 'mailto:security@rigging.example' } });
});
afterAll(() => running.close());

const get = (url: string, headers: Record<string, string> = {}, remoteAddress = '127.0.0.1') =>
  running.app.inject({ url, headers, remoteAddress });

test('alive and ready', async () => {
  expect((await get('/health/live')).json()).toEqual({ status: 'live' });
  expect((await get('/health/ready')).json()).toEqual({ status: 'ready' });
});

test('published keys say nothing private', async () => {
  const { keys } = (await get('/.well-known/jwks.json')).json<{ keys: Record<string, unknown>[] }>();
  expect(keys.length).toBeGreaterThan(0);
  for (const { kid, x, ...rest } of keys) {
    expect(typeof kid).toBe('string');
    expect(x).toMatch(/^[\w-]{43}$/);
    expect(rest).toEqual({ kty: 'OKP', crv: 'Ed25519', use: 'sig', alg: 'EdDSA' });
  }
});

test('whom to tell of a weakness, for half a year', async () => {
  const answer = await get('/.well-known/security.txt');
  expect(answer.headers['content-type']).toContain('text/plain');
  expect(answer.body.split('\n')).toEqual([
    'Contact: mailto:security@rigging.example',
    'Expires: 2026-11-28T12:00:00.000Z', // 180 days after the tests' 1 June
    'Preferred-Languages: en',
    'Canonical: http://localhost:3000/.well-known/security.txt',
    '',
  ]);
});

test('every problem type explains itself, to programs and to people', async () => {
  for (const [code, { status, title, detail }] of Object.entries(PROBLEMS)) {
    expect((await get(`/problems/${code}`)).json()).toEqual({ type: `/problems/${code}`, status, title, detail });
  }
  const page = await get('/problems/not-found', { accept: 'text/html,application/xhtml+xml,*/*;q=0.8' });
  expect(page.headers['content-type']).toContain('text/html');
  expect(page.body).toContain(`<h1>${PROBLEMS['not-found'].title}</h1>`);
  for (const nothing of ['constructor', '__proto__', 'nothing', '%3Cscript%3E'])
    expect((await get(`/problems/${nothing}`)).statusCode, nothing).toBe(404);
});

test('metrics are shown to this machine and to the holder of the token alone', async () => {
  const elsewhere = '192.0.2.7';
  const bearer = { authorization: `Bearer ${METRICS_TOKEN}` };
  expect((await get('/metrics')).statusCode).toBe(200);
  expect((await get('/metrics', bearer, elsewhere)).statusCode).toBe(200);
  expect((await get('/metrics', {}, elsewhere)).statusCode).toBe(404);
  expect((await get('/metrics', { authorization: `Bearer ${METRICS_TOKEN}.` }, elsewhere)).statusCode).toBe(404);
  expect((await get('/metrics', { 'x-forwarded-for': '192.0.2.7' })).statusCode).toBe(404);
});

test('answers are counted by route, never by address', async () => {
  const id = randomUUID();
  await running.call('GET', `venues/${id}`);
  await running.call('GET', `nowhere/${id}`);
  const { body } = await get('/metrics');
  expect(body).toContain('http_request_duration_seconds_count{method="GET",route="/api/v1/venues/:venueId",status="401"} 1');
  expect(body).toContain('route="none",status="404"');
  expect(body).not.toContain(id);
});
