import { afterAll, beforeAll, expect, test } from 'vitest';
import { startApp, type Caller, type RunningApp } from '../../support/app.ts';
import { deadHang, done, groupOf, openShow, planOf, pointAt, publishedScene, submitted, yesTo, type Scene } from '../../support/scene.ts';

// An invented roof of two rated points under one group, and one point that nobody has rated.
let running: RunningApp;
let scene: Scene;
let venue: Caller['call'];
let tour: Caller['call'];
let stranger: Caller;
beforeAll(async () => {
  running = await startApp();
  const rated = [pointAt('A', 0, 0, 1000), pointAt('B', 4, 0, 800)];
  scene = await publishedScene(running.store, { points: [...rated, pointAt('C', 8, 0, null)], limits: [groupOf('Girder', rated, 1500)] });
  const tokenOf = async (personId: string) => {
    const sessionId = await running.store.accounts.startSession({ personId, refreshHash: `${personId}-refresh`, client: 'test' });
    return running.app.tokens.sign({ personId, sessionId });
  };
  venue = running.as(await tokenOf(scene.manager.actor.personId));
  tour = running.as(await tokenOf(scene.rigger.actor.personId));
  stranger = await running.signUp('Another manager', 'venueOperator');
});
afterAll(() => running.close());

const path = (pointIds: string[], spaceId = scene.space.id, from = '2026-07-01T00:00:00Z', to = '2026-08-01T00:00:00Z') =>
  `spaces/${spaceId}/capacity?from=${from}&to=${to}&pointIds=${pointIds.join(',')}`;

test('what is agreed takes from what can hang; no number is told where a rating is missing', async () => {
  const [a, b, c] = scene.points.map(({ id }) => id) as [string, string, string];
  const show = await openShow(running.store, scene.rigger, scene.space.id, '2026-07-01T08:00:00Z', '2026-07-02T04:00:00Z');
  const put = await submitted(running.store, scene.rigger, show, planOf(deadHang(scene.points[0]!, 700)));
  await done(running.store.proposals.review, scene.manager.scope, await yesTo(running.store, scene.manager, put));
  for (const call of [venue, tour]) {
    const read = await call('GET', path([a, b]));
    expect(read).toMatchObject({ status: 200, body: { revision: 1, spaceId: scene.space.id, from: '2026-07-01T00:00:00.000Z' } });
    const { each, together } = read.body as unknown as { each: { maxKg: number; heldBy: string[] }[]; together: { maxKg: number } };
    expect(each[0]!.maxKg).toBeCloseTo(300, 6);
    expect(each[1]!.maxKg).toBeCloseTo(800, 6);
    expect(each[1]!.heldBy.sort()).toEqual([`group:${scene.limits[0]!.id}`, `pointDown:${b}`].sort()); // 1500 - 700 and 800 are one
    expect(together.maxKg).toBeCloseTo(300, 6);
  }
  const unrated = await venue('GET', path([c]));
  expect(unrated.body).toMatchObject({ each: [{ maxKg: null }], together: { maxKg: null } });
  expect((unrated.body as unknown as { each: [{ reasons: { code: string }[] }] }).each[0].reasons.length).toBeGreaterThan(0);
});

test('who is not let in is told nothing, and faults are told all at once', async () => {
  const one = [scene.points[0]!.id];
  expect((await running.call('GET', path(one))).status).toBe(401);
  expect((await stranger.call('GET', path(one))).status).toBe(403);
  expect((await venue('GET', path(one, one[0]))).status).toBe(404);
  const pointers = async (query: string) => {
    const refused = await venue('GET', query);
    expect(refused.status).toBe(400);
    return [...new Set((refused.body.errors as { pointer: string }[]).map(({ pointer }) => pointer))].sort();
  };
  expect(await pointers(`spaces/${scene.space.id}/capacity?from=2026-07-01&to=2026-08-01T00:00:00Z&pointIds=x`)).toEqual([
    '/query/from',
    '/query/pointIds/0',
  ]);
  expect(await pointers(path([...one, ...one]))).toEqual(['/query/pointIds']);
  expect(await pointers(path(one, scene.space.id, '2026-08-01T00:00:00Z', '2026-07-01T00:00:00Z'))).toEqual(['/query/to']);
});
