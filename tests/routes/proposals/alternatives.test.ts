import { randomUUID } from 'node:crypto';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { startApp, type Caller, type RunningApp } from '../../support/app.ts';
import { deadHang, done, openShow, partyOn, planOf, pointAt, publishedScene, type Scene } from '../../support/scene.ts';

// An invented roof: two points that take bridles, and a hang between them that is too much for either.
let running: RunningApp;
let scene: Scene;
let tour: Caller['call'];
let tourToken: string;
let venue: Caller['call'];
let stranger: Caller;
let proposalId: string;
const hangOf = (massKg: number) => {
  const [a] = scene.points;
  const hang = deadHang(a!, massKg);
  return { ...hang, pickUps: [{ ...hang.pickUps[0]!, position: { xM: 2, yM: 0, zM: 6 } }] };
};
let hang: ReturnType<typeof hangOf>;
beforeAll(async () => {
  running = await startApp();
  const points = [pointAt('A', 0, 0, 1000), pointAt('B', 4, 0, 1000)].map((one) => ({ ...one, maxAngleDeg: 60 }));
  scene = await publishedScene(running.store, { points });
  const tokenOf = async (personId: string) => {
    const sessionId = await running.store.accounts.startSession({ personId, refreshHash: `${personId}-refresh`, client: 'test' });
    return running.app.tokens.sign({ personId, sessionId });
  };
  tourToken = await tokenOf(scene.rigger.actor.personId);
  tour = running.as(tourToken);
  venue = running.as(await tokenOf(scene.manager.actor.personId));
  stranger = await running.signUp('Another rigger', 'production');
  const show = await openShow(running.store, scene.rigger, scene.space.id, '2026-07-01T08:00:00Z', '2026-07-02T04:00:00Z');
  const begun = await done(running.store.proposals.create, scene.rigger.scope, {
    actor: scene.rigger.author,
    showId: show.id,
    name: 'Rig',
  });
  hang = hangOf(1200);
  await done(running.store.proposals.edit, scene.rigger.scope, {
    actor: scene.rigger.author,
    party: partyOn('tour', scene.rigger),
    proposalId: begun.id,
    ifMatch: begun.version,
    unagree: false,
    edit: { kind: 'whole' as const, plan: planOf(hang) },
  });
  proposalId = begun.id;
});
afterAll(() => running.close());

const path = () => `proposals/${proposalId}/alternatives`;
type Dry = { outcome: { verdict: string; checks: { hard: boolean; verdict: string; reason: { code: string } | null }[] } };
type Answer = {
  results: { planVerdict: string; changes: { hang: typeof hang; pieces: number; pointIds: string[] }[] }[];
  stoppedEarly: string[];
};

test('what is offered has the same verdict when it is put into the plan: a bridle wants its steels', async () => {
  for (const hangId of [hang.id, null]) {
    const found = await tour('POST', path(), { hangId, budgetS: 20 });
    expect(found).toMatchObject({ status: 200, body: { proposalId, revision: 1, stillOver: [] } });
    const [best] = (found.body as unknown as Answer).results;
    expect(best).toMatchObject({ planVerdict: 'unknown', changes: [{ pieces: 2, pointIds: scene.points.map(({ id }) => id).sort() }] });
    const { etag } = await tour('GET', `proposals/${proposalId}/plan`);
    const put = await tour('PUT', `proposals/${proposalId}/hangs/${hang.id}`, { hang: best!.changes[0]!.hang }, { 'if-match': etag });
    expect(put.status).toBe(200);
    const { outcome } = (await tour('POST', `proposals/${proposalId}/assessment`)).body as unknown as Dry;
    expect(outcome.verdict).toBe('unknown');
    const missed = outcome.checks.filter(({ hard, verdict }) => hard && verdict !== 'fits' && verdict !== 'close');
    expect(new Set(missed.map(({ reason }) => reason?.code))).toEqual(new Set(['leg-parts-not-stated']));
    const back = await tour('PUT', `proposals/${proposalId}/hangs/${hang.id}`, { hang }, { 'if-match': put.etag });
    expect(back.status).toBe(200);
  }
});

test('it is for the touring side, and what cannot be asked is refused with every fault', async () => {
  const body = { hangId: hang.id };
  expect((await running.call('POST', path(), body)).status).toBe(401);
  expect((await venue('POST', path(), body)).status).toBe(404); // a draft is the tour's own
  expect((await stranger.call('POST', path(), body)).status).toBe(404);
  const refused = await tour('POST', path(), { hangId: 'x', withinM: -1 });
  expect(refused.status).toBe(400);
  expect((refused.body.errors as { pointer: string }[]).map(({ pointer }) => pointer).sort()).toEqual(['/hangId', '/withinM']);
  await done(running.store.proposals.submit, scene.rigger.scope, {
    actor: scene.rigger.author,
    party: partyOn('tour', scene.rigger),
    proposalId,
    ifMatch: (await tour('GET', `proposals/${proposalId}`)).body.version,
    note: '',
  });
  expect((await venue('POST', path(), body)).status).toBe(403);
  expect(await tour('POST', path(), { hangId: randomUUID() })).toMatchObject({ status: 422, body: { type: '/problems/hang-not-in-plan' } });
});

test('as a stream it says how far it is, then what was found; a refusal stays a refusal', async () => {
  const ask = (body: object) =>
    running.app.inject({
      method: 'POST',
      url: `/api/v1/${path()}`,
      headers: { authorization: `Bearer ${tourToken}`, accept: 'text/event-stream', 'idempotency-key': randomUUID() },
      payload: body,
    });
  const told = await ask({ hangId: hang.id, budgetS: 20 });
  expect([told.statusCode, told.headers['content-type']]).toEqual([200, 'text/event-stream']);
  const events = [...told.body.matchAll(/^event: (.*)\ndata: (.*)$/gm)].map(([, event, data]) => ({
    event,
    data: JSON.parse(data!) as object,
  }));
  expect(events[0]).toMatchObject({ event: 'progress', data: { hang: 1, ofHangs: 1 } });
  const plain = await tour('POST', path(), { hangId: hang.id, budgetS: 20 });
  expect(events.at(-1)).toEqual({ event: 'found', data: plain.body });
  const refused = await ask({ hangId: randomUUID(), budgetS: 1 });
  expect([refused.statusCode, refused.headers['content-type']]).toEqual([422, 'application/problem+json; charset=utf-8']);
});
