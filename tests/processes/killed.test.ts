import { randomUUID } from 'node:crypto';
import pg from 'pg';
import { afterAll, beforeAll, expect, test, vi } from 'vitest';
import { API_KEY_PREFIX } from '../../src/auth/tokens.ts';
import type { RoofPoint } from '../../src/domain/roof/structure.ts';
import { etagOf } from '../../src/routes/headers.ts';
import { hashOf, secretText } from '../../src/routes/auth/secrets.ts';
import { createStore, type Store } from '../../src/store/store.ts';
import { seeded } from '../domain/seeded.ts';
import { databaseBetween, type DatabaseBetween, type Piece } from '../support/database-between.ts';
import { freshDatabase, type TestDatabase } from '../support/database.ts';
import {
  deadHang,
  done,
  openShow,
  planOf,
  pointAt,
  publishedScene,
  submitted,
  yesTo,
  type Scene,
  type TestPerson,
} from '../support/scene.ts';
import { callAt, killed, serviceOn, type Fetched, type ServiceProcess } from '../support/service-process.ts';

const KILLS = Number(process.env.KILLS ?? 10); // the soak makes 100
const SEED = Number(process.env.KILL_SEED ?? 20260801);
const HOURS = ['2090-07-01T08:00:00Z', '2090-07-02T04:00:00Z'] as const;

let database: TestDatabase;
let between: DatabaseBetween;
let owner: pg.Client;
let store: Store;
let service: ServiceProcess;
beforeAll(async () => {
  database = await freshDatabase();
  between = await databaseBetween(Number(new URL(database.appUrl).port));
  owner = new pg.Client({ connectionString: database.superUrl });
  await owner.connect();
  store = createStore({ url: database.appUrl, now: () => new Date(), poolSize: 3 });
  service = await startAnew();
});
afterAll(async () => {
  await killed(service);
  await store.close();
  await owner.end();
  between.close();
  await database.drop();
});
const startAnew = () => serviceOn(database, { DEMO: 'no', DATABASE_URL: between.urlOf(database.appUrl) });

/** A request that can be sent again just as it was. Null: no answer came. */
type Sent = { key: string; send: () => Promise<Fetched | null> };
function request(token: string, path: string, body: unknown, ifMatch: string): Sent {
  const key = randomUUID();
  const headers = { 'if-match': ifMatch, 'idempotency-key': key };
  return { key, send: () => callAt(service.origin, token, 'POST', path, body, headers).catch(() => null) };
}

async function keyOf({ author, scope }: TestPerson): Promise<string> {
  const secret = API_KEY_PREFIX + secretText();
  const key = { actor: author, name: 'test', scopes: ['read' as const, 'write' as const], expiresInDays: 30, keyHash: hashOf(secret) };
  await done(store.accounts.createApiKey, scope, key);
  return secret;
}

/** Kills at that moment, unless all of it is over before; then starts anew. Tells what was answered. */
async function killedAt(moment: (piece: Piece) => boolean, requests: readonly Sent[], isOver: () => Promise<void>) {
  const dying = service;
  const isDead = new Promise<void>((resolve) => dying.child.once('exit', () => resolve()));
  between.cutWhen(moment, () => dying.child.kill('SIGKILL'));
  const answers = await Promise.all(requests.map(({ send }) => send()));
  await Promise.race([isDead, isOver()]);
  await killed(dying);
  between.leaveAlone();
  service = await startAnew();
  return answers;
}

/** How many pieces pass between service and database while all of it is done unharmed: the moments there are. */
async function piecesOf(requests: readonly Sent[], isOver: () => Promise<void>): Promise<number> {
  let pieces = 0;
  between.cutWhen(
    ({ number }) => ((pieces = number), false),
    () => {},
  );
  for (const answer of await Promise.all(requests.map(({ send }) => send()))) expect(answer?.status).toBeLessThan(300);
  await isOver();
  between.leaveAlone();
  return pieces;
}

// ---- decisions ----

async function decisions({ rigger, manager, space, points }: Scene, token: string) {
  const show = await openShow(store, rigger, space.id, ...HOURS);
  const one = async (answer: keyof typeof WHOLE) => {
    const proposal = await submitted(store, rigger, show, planOf(deadHang(points[0]!, 100)));
    const { assessmentHash } = await yesTo(store, manager, proposal);
    const reason = answer === 'agree' ? '' : 'not like this';
    const body = { answer, capacity: 'decider', assessmentHash, ticks: [], conditions: [], reason, validUntil: null };
    return { answer, id: proposal.id, ...request(token, `proposals/${proposal.id}/review`, body, etagOf(proposal.version)) };
  };
  return [await one('agree'), await one('ask'), await one('decline')];
}

const NOTHING = { state: 'submitted', decisions: 0, agreed: 0, submitted: 1, chains: 0, events: 0, answers: 0 };
const WHOLE = {
  agree: { state: 'agreed', decisions: 1, agreed: 1, submitted: 0, chains: 2, events: 2, answers: 1 },
  ask: { state: 'questions', decisions: 1, agreed: 0, submitted: 1, chains: 2, events: 2, answers: 1 },
  decline: { state: 'declined', decisions: 1, agreed: 0, submitted: 0, chains: 2, events: 2, answers: 1 },
};
/** Every trace that a decision leaves, counted past every wall. */
async function tracesOf(id: string, key: string) {
  const { rows } = await owner.query<typeof NOTHING>(
    `SELECT p.state, (SELECT count(*)::int FROM decision d WHERE d.proposal_id = p.id) AS decisions,
        (SELECT count(*)::int FROM commitment c WHERE c.ref = p.commitment_ref AND c.status = 'agreed') AS agreed,
        (SELECT count(*)::int FROM commitment c WHERE c.ref = p.commitment_ref AND c.status = 'submitted') AS submitted,
        (SELECT count(*)::int FROM audit_entry a WHERE a.body::jsonb ->> 'subjectId' = p.id::text AND a.body::jsonb -> 'facts' ? 'decisionId') AS chains,
        (SELECT count(*)::int FROM event e WHERE e.subject_id = p.id AND e.body::jsonb -> 'facts' ? 'decisionId') AS events,
        (SELECT count(*)::int FROM idempotency_key k WHERE k.key = $2) AS answers
      FROM proposal p WHERE p.id = $1`,
    [id, key],
  );
  return rows[0]!;
}

// ---- publishing, and what it sets going ----

async function publishing({ manager, space }: Scene, point: RoofPoint, wllKg: number, token: string): Promise<Sent> {
  const changes = [{ kind: 'point' as const, id: point.id, ifMatch: 'any' as const, body: { ...point, wllKg } }];
  await done(store.register.changeItems, manager.scope, { actor: manager.author, spaceId: space.id, because: 'test', changes });
  const structure = await store.register.structure(manager.scope, space.id);
  return request(token, `spaces/${space.id}/revisions`, { note: '' }, etagOf(structure!.version));
}
const latestOf = async ({ space }: Scene): Promise<number> =>
  (await owner.query<{ n: number }>('SELECT max(number) AS n FROM revision WHERE space_id = $1', [space.id])).rows[0]!.n;
async function jobsWaiting(): Promise<number> {
  return (await owner.query<{ n: number }>('SELECT count(*)::int AS n FROM graphile_worker._private_jobs')).rows[0]!.n;
}
const settled = ({ manager, space }: Scene, revision: number, total: number) =>
  vi.waitFor(
    async () => {
      expect(await store.register.reAssessment(manager.scope, space.id, revision)).toMatchObject({ total, done: total });
      expect(await jobsWaiting()).toBe(0);
    },
    { timeout: 60_000, interval: 25 },
  );
/** What each side was told of a revision, by kind and agreement: once, however often the work was cut off. */
async function toldOf({ space }: Scene, revision: number): Promise<number[]> {
  const { rows } = await owner.query<{ n: number }>(
    `SELECT count(*)::int AS n FROM event e JOIN proposal p ON p.id = e.subject_id AND p.space_id = $1
      WHERE e.body::jsonb -> 'facts' ->> 'revision' = $2::text AND e.type IN ('proposal.beingChecked', 'proposal.kept', 'proposal.stale')
      GROUP BY e.org_id, e.subject_id, e.type = 'proposal.beingChecked'`,
    [space.id, revision],
  );
  return rows.map(({ n }) => n);
}

test(
  `killed amid decisions and background work: nothing half done, nothing lost (${KILLS} kills, seed ${SEED})`,
  { timeout: 3_600_000 },
  async () => {
    const random = seeded(SEED);
    const upTo = (most: number) => 1 + Math.floor(random() * most);
    const large = await publishedScene(store, { points: [pointAt('P', 0, 0, 500_000)] }); // carries every hang of the test
    const points = [pointAt('X', 0, 0, 1000), pointAt('Y', 4, 0, 1000)] as const;
    const small = await publishedScene(store, { points: [...points] });
    const show = await openShow(store, small.rigger, small.space.id, ...HOURS);
    const standing = new Map<string, 'stillFits' | 'kept'>(); // what a new rating of X means for each
    for (const [index, point] of [points[0], points[1], points[1]].entries()) {
      const proposal = await submitted(store, small.rigger, show, planOf(deadHang(point, 100)));
      await done(store.proposals.review, small.manager.scope, await yesTo(store, small.manager, proposal));
      standing.set(proposal.id, index === 0 ? 'stillFits' : 'kept');
    }
    const [decider, publisher] = [await keyOf(large.manager), await keyOf(small.manager)];
    const nothingMore = async () => {};
    let rating = 1000;
    const next = async () => publishing(small, points[0], (rating = 1990 - rating), publisher);
    const moments = {
      decisions: await piecesOf(await decisions(large, decider), nothingMore),
      publishing: await piecesOf([await next()], () => settled(small, 2, standing.size)),
    };

    const sum = { answered: 0, unansweredDone: 0, unansweredNotDone: 0, cutAmidJobs: 0 };
    const tally = (answered: boolean, isDone: boolean) => {
      if (answered) sum.answered += 1;
      else if (isDone) sum.unansweredDone += 1;
      else sum.unansweredNotDone += 1;
    };
    /** At any moment, or just when an act is done and the service has not heard of it. */
    const momentOf = (pieces: number, acts: number): ((piece: Piece) => boolean) => {
      const at = random() < 0.5 ? { piece: upTo(pieces) } : { commit: upTo(acts) };
      let commits = 0;
      return ({ number, committed }) => {
        if (committed) commits += 1;
        return at.piece === undefined ? committed && commits === at.commit : number === at.piece;
      };
    };
    for (let kill = 0; kill < KILLS; kill += 1) {
      if (kill % 2 === 0) {
        const asked = await decisions(large, decider);
        const answers = await killedAt(momentOf(moments.decisions, asked.length), asked, nothingMore);
        for (const [index, { answer, id, key }] of asked.entries()) {
          const traces = await tracesOf(id, key);
          const answered = answers[index] ?? null;
          if (answered) expect([answered.status, traces], answer).toEqual([200, WHOLE[answer]]);
          else expect([NOTHING, WHOLE[answer]], answer).toContainEqual(traces);
          tally(answered !== null, traces.decisions === 1);
        }
        for (const { answer, id, key, send } of asked) {
          const first = await send();
          expect(first?.status, JSON.stringify(first?.body)).toBe(200);
          expect(await send()).toEqual(first); // the one outcome, however often it is asked for
          expect(await tracesOf(id, key)).toEqual(WHOLE[answer]);
        }
      } else {
        const revision = (await latestOf(small)) + 1;
        const asked = await next();
        const [answered] = await killedAt(momentOf(moments.publishing, 1 + standing.size), [asked], () =>
          settled(small, revision, standing.size),
        );
        const isPublished = (await latestOf(small)) === revision;
        if (answered) expect([answered.status, isPublished]).toEqual([201, true]);
        tally(answered !== null && answered !== undefined, isPublished);
        const found = await store.register.reAssessment(small.manager.scope, small.space.id, revision);
        if (found && found.done < found.total) sum.cutAmidJobs += 1;
        const again = await asked.send();
        expect(again?.body, JSON.stringify(again)).toMatchObject({ revision: { number: revision }, toCheck: standing.size });
        expect(await latestOf(small)).toBe(revision);
        await settled(small, revision, standing.size);
        const checked = await store.register.reAssessment(small.manager.scope, small.space.id, revision);
        expect(new Map(checked!.agreements.map(({ proposalId, outcome }) => [proposalId, outcome]))).toEqual(standing);
        expect(await toldOf(small, revision)).toEqual(Array(4 * standing.size).fill(1)); // to two sides, of two things each
      }
    }
    for (const { scope } of [large, small].flatMap(({ manager, rigger }) => [manager, rigger])) {
      expect(await store.audit.verify(scope)).toMatchObject({ whole: true });
    }
    console.log(`${KILLS} kills, seed ${SEED}:`, sum, 'moments:', moments);
    if (KILLS >= 10) {
      for (const [what, times] of Object.entries(sum)) expect(times, what).toBeGreaterThan(0);
    }
  },
);
