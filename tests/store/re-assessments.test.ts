import pg from 'pg';
import pino from 'pino';
import { afterAll, beforeAll, beforeEach, describe, expect, test, vi } from 'vitest';
import { startWorker } from '../../src/jobs/worker.ts';
import type { RoofPoint } from '../../src/domain/roof/structure.ts';
import type { Proposal } from '../../src/store/proposals/rows.ts';
import { openQueue } from '../../src/store/queue.ts';
import { createStore, type Store } from '../../src/store/store.ts';
import { freshDatabase, type TestDatabase } from '../support/database.ts';
import {
  deadHang,
  done,
  openShow,
  partyOn,
  plainly,
  planOf,
  pointAt,
  publishedScene,
  publishNow,
  settledNow,
  submitted,
  yesTo,
  type Scene,
} from '../support/scene.ts';

let database: TestDatabase;
let store: Store;
let owner: pg.Client;
beforeAll(async () => {
  database = await freshDatabase();
  store = createStore({ url: database.appUrl, now: () => new Date('2026-06-01T12:00:00Z') });
  owner = new pg.Client({ connectionString: database.superUrl });
  await owner.connect();
});
afterAll(async () => {
  await store.close();
  await owner.end();
  await database.drop();
});

let scene: Scene;
let a: RoofPoint;
let b: RoofPoint;
let onA: Proposal;
let onB: Proposal;
beforeEach(async () => {
  await owner.query('DELETE FROM graphile_worker._private_jobs');
  [a, b] = [pointAt('A', 0, 0, 1000), pointAt('B', 4, 0, 1000)];
  scene = await publishedScene(store, { points: [a, b] });
  [onA, onB] = [await agreedOn(a, 800), await agreedOn(b, 500)];
});

async function agreedOn(point: RoofPoint, massKg: number): Promise<Proposal> {
  const show = await openShow(store, scene.rigger, scene.space.id, '2026-07-01T08:00:00Z', '2026-07-02T04:00:00Z');
  const proposal = await submitted(store, scene.rigger, show, planOf(deadHang(point, massKg)));
  return (await done(store.proposals.review, scene.manager.scope, await yesTo(store, scene.manager, proposal))).proposal;
}
async function rated(point: RoofPoint, wllKg: number): Promise<void> {
  await done(store.register.changeItems, scene.manager.scope, {
    actor: scene.manager.author,
    spaceId: scene.space.id,
    because: 'test',
    changes: [{ kind: 'point' as const, id: point.id, ifMatch: 'any' as const, body: { ...point, wllKg } }],
  });
  await publishNow(store, scene.manager, scene.space.id, '');
}
const settled = (revision: number) => settledNow(store, scene.manager, scene.space.id, revision);
const progress = (revision: number) => store.register.reAssessment(scene.manager.scope, scene.space.id, revision);
const now = async ({ id }: Proposal) => (await store.proposals.find(scene.rigger.scope, id))!;
const withdrawn = async (proposal: Proposal) =>
  done(store.proposals.perform, scene.rigger.scope, {
    actor: scene.rigger.author,
    party: partyOn('tour', scene.rigger),
    proposalId: proposal.id,
    spaceId: scene.space.id,
    ifMatch: (await now(proposal)).version,
    action: 'withdraw' as const,
  });

describe('what a revision means for what stands', () => {
  test('until it is known, an agreement is stale, its version has moved on and both sides are told', async () => {
    await rated(a, 700);
    expect(await now(onB)).toMatchObject({ state: 'agreed', stale: true, staleReasons: ['beingChecked'], version: onB.version + 1 });
    expect(await progress(2)).toMatchObject({ total: 2, done: 0, kept: 0, stillFits: 0, doesNot: 0, ended: 0, settledAt: null });
    for (const orgId of [scene.manager.actor.orgId, scene.rigger.actor.orgId]) {
      const { rows } = await owner.query(`SELECT 1 FROM event WHERE org_id = $1 AND type = 'proposal.beingChecked' AND subject_id = $2`, [
        orgId,
        onB.id,
      ]);
      expect(rows).toHaveLength(1);
    }
  });

  test('kept, still fits, or does not and why', async () => {
    const heavy = await agreedOn(a, 150);
    await rated(a, 900); // 800 and 150 hang there
    expect(await settled(2)).toEqual(
      new Map([
        [onA.id, 'doesNot'],
        [heavy.id, 'doesNot'],
        [onB.id, 'kept'],
      ]),
    );
    const found = await progress(2);
    expect(found).toMatchObject({ total: 3, done: 3, kept: 1, stillFits: 0, doesNot: 2, ended: 0, settledAt: expect.any(Date) as Date });
    const why = found!.agreements.find(({ proposalId }) => proposalId === onA.id);
    expect(why).toMatchObject({ verdict: 'over', failing: [{ id: `pointDown:${a.id}`, verdict: 'over', capacity: 900 }] });
    expect(await now(onA)).toMatchObject({ stale: true, staleReasons: ['roof'] });
    expect(await now(onB)).toMatchObject({ stale: false, staleReasons: [] });
    await rated(b, 990);
    expect((await settled(3)).get(onB.id)).toBe('stillFits');
    expect(await now(onB)).toMatchObject({ stale: true, staleReasons: ['roof'] });
  });

  test('what still fits is agreed anew by one act of the venue, and nothing else that is stale is', async () => {
    await rated(b, 990); // 500 hang there
    const yesNow = async (proposal: Proposal) => yesTo(store, scene.manager, await now(proposal));
    const early = await store.proposals.review(scene.manager.scope, await yesNow(onB), plainly<unknown>().reply);
    expect(early).toMatchObject({ ok: false, error: { code: 'wrong-state', state: 'agreed' } }); // not known yet what it means
    await settled(2);
    const { proposal } = await done(store.proposals.review, scene.manager.scope, await yesNow(onB));
    expect(proposal).toMatchObject({ state: 'agreed', stale: false, staleReasons: [], submissionCount: 1 });
    expect(proposal.standingYesId).not.toBe(onB.standingYesId);
    const { rows } = await owner.query(`SELECT status FROM commitment WHERE ref = $1`, [proposal.commitmentRef]);
    expect(rows).toEqual([{ status: 'agreed' }]);
    const fresh = await store.proposals.review(scene.manager.scope, await yesNow(onB), plainly<unknown>().reply);
    expect(fresh).toMatchObject({ ok: false, error: { code: 'wrong-state' } });

    await rated(a, 700); // 800 hang there
    await settled(3);
    const over = await store.proposals.review(scene.manager.scope, await yesNow(onA), plainly<unknown>().reply);
    expect(over).toMatchObject({ ok: false, error: { code: 'requirements-unmet', unmet: [{ id: 'withinHardLimits' }] } });
  });

  test('with two revisions waiting, it is good again only when it is kept by both, in whichever order', async () => {
    await rated(a, 990);
    await rated(a, 1000); // back to where it was: what was agreed was not, for a while
    expect(await settled(3)).toMatchObject(
      new Map([
        [onA.id, 'stillFits'],
        [onB.id, 'kept'],
      ]),
    );
    expect(await now(onB)).toMatchObject({ stale: true, staleReasons: ['beingChecked'] });
    expect(await settled(2)).toMatchObject(
      new Map([
        [onA.id, 'stillFits'],
        [onB.id, 'kept'],
      ]),
    );
    expect(await now(onB)).toMatchObject({ stale: false, staleReasons: [] });
    expect(await now(onA)).toMatchObject({ stale: true, staleReasons: ['roof'] });
  });

  test('what ended, or was agreed anew, before it came to that is left as it is', async () => {
    await rated(a, 900);
    await withdrawn(onB);
    const again = await submitAgain(onA);
    await done(store.proposals.review, scene.manager.scope, await yesTo(store, scene.manager, again));
    expect(await now(onA)).toMatchObject({ stale: false, staleReasons: [] });
    const before = await now(onA);
    expect(await settled(2)).toEqual(
      new Map([
        [onA.id, 'ended'],
        [onB.id, 'ended'],
      ]),
    );
    expect(await now(onA)).toEqual(before);
  });

  test('found out once: asked again, nothing changes any more', async () => {
    await rated(a, 900);
    await settled(2);
    const before = [await now(onA), await now(onB), await progress(2)];
    await settled(2);
    expect([await now(onA), await now(onB), await progress(2)]).toEqual(before);
  });

  test('while it waits it hangs on: nobody gets its capacity', async () => {
    await rated(b, 900);
    const show = await openShow(store, scene.rigger, scene.space.id, '2026-07-01T08:00:00Z', '2026-07-02T04:00:00Z');
    const other = await submitted(store, scene.rigger, show, planOf(deadHang(a, 300)));
    const asked = await store.proposals.lastAssessment(scene.manager.scope, other.id);
    expect(asked?.assessment.outcome.verdict).toBe('over');
  });

  async function submitAgain(proposal: Proposal): Promise<Proposal> {
    const again = { actor: scene.rigger.author, party: partyOn('tour', scene.rigger), proposalId: proposal.id, note: '' };
    const put = await done(store.proposals.submit, scene.rigger.scope, { ...again, ifMatch: (await now(proposal)).version });
    return put.proposal;
  }
});

describe("the database's own wall", () => {
  const asVenue = async (sql: string, values: unknown[]) => {
    const client = new pg.Client({ connectionString: database.appUrl });
    await client.connect();
    try {
      await client.query('BEGIN');
      const { orgId, personId } = scene.manager.scope;
      await client.query(`SELECT set_config('app.org', $1, true), set_config('app.person', $2, true)`, [orgId, personId]);
      await client.query(sql, values);
      await client.query('COMMIT');
    } finally {
      await client.end();
    }
  };
  const UNMARK = `UPDATE proposal SET stale = false, stale_reasons = '{}', version = version + 1 WHERE id = $1`;

  test('what waits cannot be called good, and what is settled cannot be settled again', async () => {
    await rated(a, 900);
    await expect(asVenue(UNMARK, [onB.id])).rejects.toThrow(/waits to be checked/);
    await settled(2);
    const again = `UPDATE re_assessment SET outcome = 'kept' WHERE proposal_id = $1`;
    await expect(asVenue(again, [onA.id])).rejects.toThrow(/settled once/);
    await expect(asVenue(`UPDATE proposal SET stale = false WHERE id = $1`, [onA.id])).rejects.toThrow(/check constraint/);
  });

  test('no revision is published beside an agreement that is not marked', async () => {
    const unmarked = `INSERT INTO revision (space_id, number, bytes, sha256, policy_sha256, note, author_id, author_name, published_at)
      SELECT space_id, number + 1, bytes, sha256, policy_sha256, note, author_id, author_name, published_at FROM revision WHERE space_id = $1`;
    await expect(asVenue(unmarked, [scene.space.id])).rejects.toThrow(/stale when another is published/);
  });
});

describe('background work', () => {
  const log = pino({ level: 'silent' });
  const jobs = async () =>
    (await owner.query<{ locked_by: string | null; attempts: number }>('SELECT locked_by, attempts FROM graphile_worker._private_jobs'))
      .rows;
  const finished = (revision: number) =>
    vi.waitFor(async () => expect(await progress(revision)).toMatchObject({ total: 2, done: 2 }), { timeout: 20_000, interval: 20 });

  test('is put in with a publication and done by a worker', async () => {
    await rated(a, 900);
    expect(await jobs()).toEqual([{ locked_by: null, attempts: 0 }]);
    const worker = startWorker({ queue: openQueue(database.appUrl), store, log });
    await finished(2);
    await rated(a, 1000); // it is told of the next
    await finished(3);
    await worker.stop();
    expect(await jobs()).toEqual([]);
  });

  test('a publication that nothing rests on puts none in', async () => {
    await withdrawn(onA);
    await withdrawn(onB);
    await rated(a, 900);
    expect(await jobs()).toEqual([]);
    expect(await progress(2)).toMatchObject({ total: 0, done: 0, settledAt: null });
  });

  test('asked to stop in the middle, a worker puts the rest in again for the next', async () => {
    await rated(a, 900);
    const stopped: Promise<void>[] = [];
    const reAssessNext: Store['register']['reAssessNext'] = async (...asked) => {
      const next = await store.register.reAssessNext(...asked);
      if (stopped.length === 0) stopped.push(worker.stop());
      return next;
    };
    const worker = startWorker({
      queue: openQueue(database.appUrl),
      store: { ...store, register: { ...store.register, reAssessNext } },
      log,
    });
    await vi.waitFor(() => expect(stopped).toHaveLength(1), { timeout: 20_000, interval: 20 });
    await stopped[0];
    expect(await progress(2)).toMatchObject({ done: 1 });
    expect(await jobs()).toEqual([{ locked_by: null, attempts: 0 }]);
    const next = startWorker({ queue: openQueue(database.appUrl), store, log });
    await finished(2);
    await next.stop();
  });

  test("a dead worker's job is taken up by another, a living one's is left to it", async () => {
    await rated(a, 900);
    await owner.query(`UPDATE graphile_worker._private_jobs SET locked_by = 'worker-1', locked_at = now(), attempts = 1`);
    const [living, other] = [openQueue(database.appUrl), openQueue(database.appUrl)];
    await living.attend('worker-1');
    await other.freeJobsOfTheDead();
    expect(await jobs()).toEqual([{ locked_by: 'worker-1', attempts: 1 }]);
    await living.close(); // PostgreSQL sees the same when the process is killed
    await other.close();
    const worker = startWorker({ queue: openQueue(database.appUrl), store, log });
    await finished(2);
    await worker.stop();
  });
});
