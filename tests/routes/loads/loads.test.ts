import { afterAll, beforeAll, expect, test } from 'vitest';
import { startApp, type Caller, type RunningApp } from '../../support/app.ts';
import { deadHang, done, groupOf, openShow, planOf, pointAt, publishedScene, submitted, yesTo, type Scene } from '../../support/scene.ts';

// An invented roof of two points, one group over both.
let running: RunningApp;
let scene: Scene;
let venue: Caller['call'];
let tour: Caller['call'];
let strangerVenue: Caller;
beforeAll(async () => {
  running = await startApp();
  const points = [pointAt('A', 0, 0, 1000), pointAt('B', 4, 0, 800)];
  scene = await publishedScene(running.store, { points, limits: [groupOf('Girder', points, 1500)] });
  const tokenOf = async (personId: string) => {
    const refreshHash = `${personId}-refresh`;
    const sessionId = await running.store.accounts.startSession({ personId, refreshHash, client: 'test' });
    return running.app.tokens.sign({ personId, sessionId });
  };
  venue = running.as(await tokenOf(scene.manager.actor.personId));
  tour = running.as(await tokenOf(scene.rigger.actor.personId));
  strangerVenue = await running.signUp('Another manager', 'venueOperator');
});
afterAll(() => running.close());

const during = (from: string, to: string) => `spaces/${scene.space.id}/loads?from=${encodeURIComponent(from)}&to=${encodeURIComponent(to)}`;
const july = () => during('2026-07-01T00:00:00+02:00', '2026-08-01T00:00:00+02:00');
type Place = { id: string; demand: number; remaining: number | null; counted: { from: string; id: string }[] };
const placeOf = (body: unknown, list: 'agreed' | 'withSubmitted', id: string) =>
  (body as Record<typeof list, Place[]>)[list].find((place) => place.id === id);

test('what is agreed takes from what remains, what is asked for is told beside it, and nobody is named', async () => {
  const [a, b] = scene.points as [(typeof scene.points)[0], (typeof scene.points)[0]];
  const show = await openShow(running.store, scene.rigger, scene.space.id, '2026-07-01T08:00:00Z', '2026-07-02T04:00:00Z');
  const first = await submitted(running.store, scene.rigger, show, planOf(deadHang(a, 700)));
  await done(running.store.proposals.review, scene.manager.scope, await yesTo(running.store, scene.manager, first));
  await submitted(running.store, scene.rigger, show, planOf(deadHang(b, 300)));
  for (const call of [venue, tour]) {
    const read = await call('GET', july());
    expect(read).toMatchObject({ status: 200, body: { revision: 1, spaceId: scene.space.id } });
    expect(placeOf(read.body, 'agreed', `pointDown:${a.id}`)!.remaining).toBeCloseTo(300, 6);
    expect(placeOf(read.body, 'agreed', `pointDown:${b.id}`)).toMatchObject({ demand: 0, remaining: 800 });
    expect(placeOf(read.body, 'agreed', `group:${scene.limits[0]!.id}`)!.remaining).toBeCloseTo(800, 6);
    expect(placeOf(read.body, 'withSubmitted', `pointDown:${b.id}`)!.remaining).toBeCloseTo(500, 6);
    expect(placeOf(read.body, 'withSubmitted', `pointDown:${a.id}`)).toBeUndefined();
    expect(placeOf(read.body, 'agreed', `pointDown:${a.id}`)!.counted).toMatchObject([{ from: 'neighbour', id: first.commitmentRef }]);
    expect(JSON.stringify(read.body)).not.toContain(scene.rigger.actor.orgId);
  }
  const later = await venue('GET', during('2026-07-02T04:00:00Z', '2026-07-03T00:00:00Z'));
  expect(placeOf(later.body, 'agreed', `pointDown:${a.id}`)).toMatchObject({ demand: 0, remaining: 1000 });
});

test('who is not let in reads no loads, and times that cannot be are refused by name', async () => {
  expect((await strangerVenue.call('GET', july())).status).toBe(403);
  expect((await running.call('GET', july())).status).toBe(401);
  const pointersOf = async (path: string) => {
    const refused = await venue('GET', path);
    expect(refused.status).toBe(400);
    return [...new Set((refused.body.errors as { pointer: string }[]).map(({ pointer }) => pointer))].sort();
  };
  expect(await pointersOf(`spaces/${scene.space.id}/loads`)).toEqual(['/query/from', '/query/to']);
  expect(await pointersOf(during('2026-07-02T00:00:00Z', '2026-07-01T00:00:00Z'))).toEqual(['/query/to']);
  expect(await pointersOf(during('2026-07-01T00:00:00Z', '2028-07-01T00:00:00Z'))).toEqual(['/query/to']);
  expect(await pointersOf(during('2026-07-01', '2026-02-30T00:00:00Z'))).toEqual(['/query/from', '/query/to']);
});
