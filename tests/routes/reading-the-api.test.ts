import request from 'supertest';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { startApp, type RunningApp } from '../support/app.ts';

let running: RunningApp;
beforeAll(async () => {
  running = await startApp();
});
afterAll(() => running.close());

test('a newcomer can read and try the API without signing in', async () => {
  const page = await request(running.app.server).get('/api/docs/').expect(200);
  expect(page.text).toContain('swagger-ui');
  const document = await request(running.app.server).get('/api/v1/openapi.json').expect(200);
  expect(document.body).toMatchObject({ openapi: '3.1.0', info: { title: 'Roofbook' } });
  expect(Object.keys((document.body as { paths: object }).paths).length).toBeGreaterThan(50);
});

test('what a problem means is served at its type', async () => {
  const refused = await request(running.app.server)
    .get('/api/v1/proposals')
    .expect(401)
    .expect('content-type', /application\/problem\+json/);
  const { type } = refused.body as { type: string };
  const explained = await request(running.app.server).get(type).expect(200);
  expect(explained.text).toContain('Sign in first');
});

test('live and ready', async () => {
  await request(running.app.server).get('/health/live').expect(200);
  await request(running.app.server).get('/health/ready').expect(200);
});
