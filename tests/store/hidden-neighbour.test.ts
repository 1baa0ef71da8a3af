import pg from 'pg';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { HiddenCommitments } from '../../src/store/roof-lock.ts';
import { createStore, type Store } from '../../src/store/store.ts';
import { freshDatabase, type TestDatabase } from '../support/database.ts';
import { deadHang, done, openShow, partyOn, planOf, plainly, pointAt, publishedScene, submitted, yesTo } from '../support/scene.ts';

let database: TestDatabase;
let store: Store;
let superuser: pg.Client;
beforeAll(async () => {
  database = await freshDatabase();
  store = createStore({ url: database.appUrl, now: () => new Date('2026-06-01T12:00:00Z') });
  superuser = new pg.Client({ connectionString: database.superUrl });
  await superuser.connect();
});
afterAll(async () => {
  await store.close();
  await superuser.end();
  await database.drop();
});

/** A point of 1,000 kg with 700 kg agreed on it, and another 600 kg that would fit were the first not there. */
async function loadedPoint() {
  const point = pointAt('A', 0, 0, 1000);
  const scene = await publishedScene(store, { points: [point] });
  const show = await openShow(store, scene.rigger, scene.space.id, '2026-07-01T08:00:00Z', '2026-07-02T04:00:00Z');
  const first = await submitted(store, scene.rigger, show, planOf(deadHang(point, 700)));
  await done(store.proposals.review, scene.manager.scope, await yesTo(store, scene.manager, first));
  const second = await submitted(store, scene.rigger, show, planOf(deadHang(point, 600)));
  const { actor, party } = { actor: scene.rigger.author, party: partyOn('tour', scene.rigger) };
  const begun = await done(store.proposals.create, scene.rigger.scope, { actor, showId: show.id, name: 'Third' });
  const edit = { kind: 'whole' as const, plan: planOf(deadHang(point, 200)) };
  const third = await done(store.proposals.edit, scene.rigger.scope, {
    actor,
    party,
    proposalId: begun.id,
    ifMatch: begun.version,
    unagree: false,
    edit,
  });
  return { ...scene, first, second, submission: { actor, party, proposalId: third.id, ifMatch: third.version, note: '' } };
}

/** Ways in which a neighbour's load can go missing: each takes it away, and hands back how to undo that. */
const HIDDEN = {
  'a row gone without its count': async (ref: string) => {
    const { rows } = await superuser.query<{ id: string }>('SELECT id FROM commitment WHERE ref = $1', [ref]);
    expect(rows.length).toBeGreaterThan(0);
    await superuser.query('SET session_replication_role = replica'); // no trigger counts it down
    await superuser.query('DELETE FROM commitment WHERE ref = $1', [ref]);
    await superuser.query('SET session_replication_role = DEFAULT');
    return async () => undefined;
  },
  'a policy that shows too little': async (ref: string) => {
    await superuser.query(`CREATE POLICY too_narrow ON commitment AS RESTRICTIVE FOR SELECT USING (ref <> '${ref}')`);
    return async () => {
      await superuser.query('DROP POLICY too_narrow ON commitment');
    };
  },
} satisfies Record<string, (ref: string) => Promise<() => Promise<void>>>;

describe.each(Object.entries(HIDDEN))('with a neighbour hidden by %s', (_, hide) => {
  test('nothing is computed: not the dry run, not a submission, not a yes', async () => {
    const { manager, rigger, first, second, submission } = await loadedPoint();
    const seen = await store.proposals.dryRun(rigger.scope, second.id);
    expect(seen.ok && seen.value.assessment.outcome.verdict).toBe('over');
    const yes = await yesTo(store, manager, second);
    const undo = await hide(first.commitmentRef);
    try {
      await expect(store.proposals.dryRun(rigger.scope, second.id)).rejects.toThrow(HiddenCommitments);
      await expect(store.proposals.review(manager.scope, yes, plainly<never>().reply as never)).rejects.toThrow(HiddenCommitments);
      await expect(store.proposals.submit(rigger.scope, submission, plainly<never>().reply as never)).rejects.toThrow(HiddenCommitments);
    } finally {
      await undo();
    }
    const { rows } = await superuser.query<{ state: string }>('SELECT state FROM proposal WHERE id = $1', [second.id]);
    expect(rows).toEqual([{ state: 'submitted' }]);
  });
});
