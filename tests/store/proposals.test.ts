import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { createStore, type Store } from '../../src/store/store.ts';
import { freshDatabase, type TestDatabase } from '../support/database.ts';
import {
  deadHang,
  done,
  groupOf,
  openShow,
  partyOn,
  planOf,
  plainly,
  pointAt,
  publishedScene,
  publishNow,
  settledNow,
  submitted,
  yesTo,
} from '../support/scene.ts';

let database: TestDatabase;
let store: Store;
let now = new Date('2026-06-01T12:00:00Z');
beforeAll(async () => {
  database = await freshDatabase();
  store = createStore({ url: database.appUrl, now: () => now });
});
afterAll(async () => {
  await store.close();
  await database.drop();
});

describe('from published points to a signed-off hang', () => {
  test('what fits is agreed, and counts as hanging for the next who asks', async () => {
    const [a, b] = [pointAt('A', 0, 0, 1000), pointAt('B', 4, 0, 1000)];
    const scene = await publishedScene(store, { points: [a, b], limits: [groupOf('Girder 1', [a, b], 1500)] });
    const show = await openShow(store, scene.rigger, scene.space.id, '2026-07-01T08:00:00Z', '2026-07-02T04:00:00Z');
    const first = await submitted(store, scene.rigger, show, planOf(deadHang(a, 800)));
    expect(first.state).toBe('submitted');
    const reviewed = await done(store.proposals.review, scene.manager.scope, await yesTo(store, scene.manager, first));
    expect(reviewed).toMatchObject({ kind: 'decided', proposal: { state: 'agreed', stale: false } });

    const second = await submitted(store, scene.rigger, show, planOf(deadHang(b, 800)));
    const last = await store.proposals.lastAssessment(scene.manager.scope, second.id);
    const group = last!.assessment.outcome.checks.find(({ kind }) => kind === 'group');
    expect(group).toMatchObject({ verdict: 'over', demand: 1600, capacity: 1500, unit: 'kg' });
    const { reply } = plainly<never>();
    const refused = await store.proposals.review(scene.manager.scope, await yesTo(store, scene.manager, second), reply as never);
    expect(refused).toMatchObject({ ok: false, error: { code: 'requirements-unmet' } });
  });

  test('when the roof fills up between reading and deciding, the answer is the new assessment and nothing is decided', async () => {
    const a = pointAt('A', 0, 0, 1000);
    const scene = await publishedScene(store, { points: [a] });
    const show = await openShow(store, scene.rigger, scene.space.id, '2026-07-01T08:00:00Z', '2026-07-02T04:00:00Z');
    const one = await submitted(store, scene.rigger, show, planOf(deadHang(a, 600)));
    const two = await submitted(store, scene.rigger, show, planOf(deadHang(a, 600)));
    const yesToTwo = await yesTo(store, scene.manager, two);
    await done(store.proposals.review, scene.manager.scope, await yesTo(store, scene.manager, one));
    const moved = await done(store.proposals.review, scene.manager.scope, yesToTwo);
    expect(moved.kind).toBe('roofMoved');
    expect(moved.kind === 'roofMoved' && moved.assessment.outcome.verdict).toBe('over');
    expect((await store.proposals.find(scene.manager.scope, two.id))?.state).toBe('submitted');
  });

  test('a tick holds for a later submission where all that it covers is the same, for the one who gave it, and need not be sent again', async () => {
    const [a, b] = [pointAt('A', 0, 0, 1000), pointAt('B', 4, 0, 1000)];
    const scene = await publishedScene(store, { points: [a, b] });
    const show = await openShow(store, scene.rigger, scene.space.id, '2026-07-01T08:00:00Z', '2026-07-02T04:00:00Z');
    const [under, beside] = [deadHang(a, 950), deadHang(b, 950)];
    const first = await submitted(store, scene.rigger, show, planOf(under, beside));
    const { scope } = scene.manager;
    expect((await store.proposals.lastAssessment(scope, first.id))!.heldTicks).toEqual([]);
    const asked = { ...(await yesTo(store, scene.manager, first)), answer: 'ask' as const, reason: 'Could the second be lighter?' };
    const questioned = await done(store.proposals.review, scope, asked);
    const party = partyOn('tour', scene.rigger);
    const edited = await done(store.proposals.edit, scene.rigger.scope, {
      actor: scene.rigger.author,
      party,
      proposalId: first.id,
      ifMatch: questioned.proposal.version,
      unagree: false,
      edit: { kind: 'whole' as const, plan: planOf(under, { ...beside, items: [{ ...beside.items[0]!, massKg: 940 }] }) },
    });
    const again = { actor: scene.rigger.author, party, proposalId: first.id, ifMatch: edited.version, note: '' };
    const { proposal } = await done(store.proposals.submit, scene.rigger.scope, again);

    const held = (await store.proposals.lastAssessment(scope, first.id))!.heldTicks;
    expect(held).toMatchObject([{ checkId: `pointDown:${a.id}`, submissionNumber: 1, tickedAt: now }]);
    expect((await store.proposals.lastAssessment(scene.rigger.scope, first.id))!.heldTicks).toEqual([]);
    const yes = await yesTo(store, scene.manager, proposal);
    expect(yes.ticks.map(({ checkId }) => checkId).sort()).toEqual([`pointDown:${a.id}`, `pointDown:${b.id}`].sort());
    const sent = (pointId: string) => ({ ...yes, ticks: yes.ticks.filter(({ checkId }) => checkId === `pointDown:${pointId}`) });
    const { reply } = plainly<never>();
    const refused = await store.proposals.review(scope, sent(a.id), reply as never);
    expect(refused).toMatchObject({ ok: false, error: { code: 'ticks-missing', missing: [{ checkId: `pointDown:${b.id}` }] } });
    expect(await done(store.proposals.review, scope, sent(b.id))).toMatchObject({ kind: 'decided', proposal: { state: 'agreed' } });
  });

  test('a new revision keeps an agreement whose outcome it leaves alone, and makes the other stale', async () => {
    const [a, b] = [pointAt('A', 0, 0, 1000), pointAt('B', 4, 0, 1000)];
    const scene = await publishedScene(store, { points: [a, b] });
    const show = await openShow(store, scene.rigger, scene.space.id, '2026-07-01T08:00:00Z', '2026-07-02T04:00:00Z');
    const onA = await submitted(store, scene.rigger, show, planOf(deadHang(a, 800)));
    const onB = await submitted(store, scene.rigger, show, planOf(deadHang(b, 500)));
    for (const one of [onA, onB]) await done(store.proposals.review, scene.manager.scope, await yesTo(store, scene.manager, one));
    await done(store.register.changeItems, scene.manager.scope, {
      actor: scene.manager.author,
      spaceId: scene.space.id,
      because: 'derate',
      changes: [
        { kind: 'point' as const, id: a.id, ifMatch: 1, body: { ...a, wllKg: 999 } },
        { kind: 'point' as const, id: b.id, ifMatch: 1, body: { ...b, label: 'B renamed' } },
      ],
    });
    const published = await publishNow(store, scene.manager, scene.space.id, 'derated A');
    expect(published.toCheck).toBe(2);
    for (const { id } of [onA, onB]) {
      expect(await store.proposals.find(scene.rigger.scope, id)).toMatchObject({ stale: true, staleReasons: ['beingChecked'] });
    }
    expect(await settledNow(store, scene.manager, scene.space.id, 2)).toEqual(
      new Map([
        [onA.id, 'stillFits'],
        [onB.id, 'kept'],
      ]),
    );
    expect(await store.proposals.find(scene.rigger.scope, onA.id)).toMatchObject({ state: 'agreed', stale: true, staleReasons: ['roof'] });
    expect(await store.proposals.find(scene.rigger.scope, onB.id)).toMatchObject({ state: 'agreed', stale: false, staleReasons: [] });
  });

  test('a withdrawn yes frees the roof; history of both sides stays whole', async () => {
    const a = pointAt('A', 0, 0, 1000);
    const scene = await publishedScene(store, { points: [a] });
    const show = await openShow(store, scene.rigger, scene.space.id, '2026-07-01T08:00:00Z', '2026-07-02T04:00:00Z');
    const one = await submitted(store, scene.rigger, show, planOf(deadHang(a, 900)));
    const agreed = await done(store.proposals.review, scene.manager.scope, await yesTo(store, scene.manager, one));
    await done(store.proposals.perform, scene.rigger.scope, {
      actor: scene.rigger.author,
      party: partyOn('tour', scene.rigger),
      proposalId: one.id,
      spaceId: one.spaceId,
      ifMatch: agreed.proposal.version,
      action: 'withdraw' as const,
    });
    const two = await submitted(store, scene.rigger, show, planOf(deadHang(a, 900)));
    const again = await done(store.proposals.review, scene.manager.scope, await yesTo(store, scene.manager, two));
    expect(again.proposal.state).toBe('agreed');
    for (const { scope } of [scene.manager, scene.rigger]) {
      const report = await store.audit.verify(scope);
      expect(report).toMatchObject({ whole: true, firstBad: null });
      expect(report.entries).toBeGreaterThan(5);
    }
    now = new Date('2026-06-01T12:00:00Z');
  });
});

test('whom publishing would touch is told before it, with the checks that fail, and nothing is published or marked', async () => {
  const points = [pointAt('A', 0, 0, 1000), pointAt('B', 4, 0, 1000)];
  const scene = await publishedScene(store, { points });
  const [a, b] = points as [(typeof points)[0], (typeof points)[0]];
  const show = await openShow(store, scene.rigger, scene.space.id, '2026-07-01T08:00:00Z', '2026-07-02T04:00:00Z');
  const on = async (point: typeof a, massKg: number) => {
    const proposal = await submitted(store, scene.rigger, show, planOf(deadHang(point, massKg)));
    return (await done(store.proposals.review, scene.manager.scope, await yesTo(store, scene.manager, proposal))).proposal;
  };
  const [heavy, other] = [await on(a, 900), await on(b, 300)];
  await done(store.register.changeItems, scene.manager.scope, {
    actor: scene.manager.author,
    spaceId: scene.space.id,
    because: 'test',
    changes: [{ kind: 'point' as const, id: a.id, ifMatch: 'any' as const, body: { ...a, wllKg: 800 } }],
  });
  const dayStartOf = (day: string) => `${day}T00:00:00.000Z`;
  const preview = () =>
    store.register.previewPublishing(scene.manager.scope, { actor: scene.manager.author, spaceId: scene.space.id, dayStartOf });
  const told = await preview();
  if (!told.ok) throw new Error(told.error.code);
  const of = (id: string) => told.value.find(({ proposalId }) => proposalId === id);
  expect(of(other.id)).toMatchObject({ outcome: 'kept', failing: [] });
  expect(of(heavy.id)).toMatchObject({
    outcome: 'doesNot',
    verdict: 'over',
    failing: [{ id: `pointDown:${a.id}`, verdict: 'over', capacity: 800 }],
  });
  expect(of(heavy.id)!.failing[0]!.demand).toBeCloseTo(900, 6);
  expect(await store.proposals.find(scene.manager.scope, heavy.id)).toMatchObject({ stale: false, version: heavy.version });
  const published = await publishNow(store, scene.manager, scene.space.id, 'lower');
  expect(published.revision.number).toBe(2);
  await settledNow(store, scene.manager, scene.space.id, 2);
  const found = await store.register.reAssessment(scene.manager.scope, scene.space.id, 2);
  expect(found?.agreements).toEqual(told.value);
});

test('after its grant has ended and was asked for anew, a production can still take its agreement back', async () => {
  const a = pointAt('A', 0, 0, 1000);
  const scene = await publishedScene(store, { points: [a], until: new Date('2026-06-02T00:00:00Z') });
  const show = await openShow(store, scene.rigger, scene.space.id, '2026-07-01T08:00:00Z', '2026-07-02T04:00:00Z');
  const one = await submitted(store, scene.rigger, show, planOf(deadHang(a, 500)));
  const { proposal } = await done(store.proposals.review, scene.manager.scope, await yesTo(store, scene.manager, one));
  now = new Date('2026-06-03T12:00:00Z');
  await done(store.access.ask, scene.rigger.scope, {
    actor: scene.rigger.author,
    spaceId: scene.space.id,
    note: '',
    until: new Date('2026-08-01T00:00:00Z'),
  });
  const withdrawn = await done(store.proposals.perform, scene.rigger.scope, {
    actor: scene.rigger.author,
    party: partyOn('tour', scene.rigger),
    proposalId: one.id,
    spaceId: one.spaceId,
    ifMatch: proposal.version,
    action: 'withdraw' as const,
  });
  expect(withdrawn.proposal.state).toBe('withdrawn');
  now = new Date('2026-06-01T12:00:00Z');
});

test('a show whose time has passed and that nobody has called down still fills the roof, until it is struck', async () => {
  const a = pointAt('A', 0, 0, 1000);
  const scene = await publishedScene(store, { points: [a] });
  const first = await openShow(store, scene.rigger, scene.space.id, '2026-06-02T08:00:00Z', '2026-06-03T04:00:00Z');
  const next = await openShow(store, scene.rigger, scene.space.id, '2026-06-05T08:00:00Z', '2026-06-06T04:00:00Z');
  const one = await submitted(store, scene.rigger, first, planOf(deadHang(a, 700)));
  const { proposal } = await done(store.proposals.review, scene.manager.scope, await yesTo(store, scene.manager, one));
  now = new Date('2026-06-04T12:00:00Z'); // its time has passed
  const two = await submitted(store, scene.rigger, next, planOf(deadHang(a, 700)));
  expect((await store.proposals.lastAssessment(scene.manager.scope, two.id))!.assessment).toMatchObject({
    outcome: { verdict: 'over' },
    overdueNeighbours: [one.commitmentRef],
  });
  await done(store.proposals.perform, scene.manager.scope, {
    actor: scene.manager.author,
    party: partyOn('venue', scene.manager),
    proposalId: one.id,
    spaceId: one.spaceId,
    ifMatch: proposal.version,
    action: 'strike' as const,
  });
  const moved = await done(store.proposals.review, scene.manager.scope, await yesTo(store, scene.manager, two));
  expect(moved).toMatchObject({ kind: 'roofMoved', assessment: { outcome: { verdict: 'fits' } } });
  const again = await done(store.proposals.review, scene.manager.scope, await yesTo(store, scene.manager, two));
  expect(again.proposal.state).toBe('agreed');
  now = new Date('2026-06-01T12:00:00Z');
});
