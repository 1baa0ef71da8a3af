import pg from 'pg';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import type { Walls } from '../../src/store/database.ts';
import { createStore, type Store } from '../../src/store/store.ts';
import type { Proposal } from '../../src/store/proposals/rows.ts';
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
  submitted,
  yesTo,
  type Scene,
} from '../support/scene.ts';

const ROUNDS = Number(process.env.RACE_ROUNDS ?? 6); // eight acts at once in each; the soak runs 200
const SEED = Number(process.env.RACE_SEED ?? 20260601);
const WALLS: Walls = { store: true };

let database: TestDatabase;
let store: Store;
let owner: pg.Client;
beforeAll(async () => {
  database = await freshDatabase();
  store = createStore({ url: database.appUrl, now: () => new Date('2026-06-01T12:00:00Z'), walls: WALLS });
  owner = new pg.Client({ connectionString: database.superUrl });
  await owner.connect();
});
afterAll(async () => {
  await store.close();
  await owner.end();
  await database.drop();
});

/** xorshift: the same rounds for the same seed. */
function randomOf(seed: number): () => number {
  let state = seed | 1;
  return () => {
    state ^= state << 13;
    state ^= state >>> 17;
    state ^= state << 5;
    return (state >>> 0) / 2 ** 32;
  };
}

/** What really hangs at each point, added up by the database itself, in kg. */
async function hangingKg(spaceId: string): Promise<Map<string, number>> {
  const { rows } = await owner.query<{ point_id: string; kn: number }>(
    `SELECT point_id, sum(resting_kn) AS kn FROM commitment WHERE space_id = $1 AND status = 'agreed' GROUP BY point_id`,
    [spaceId],
  );
  return new Map(rows.map(({ point_id, kn }) => [point_id, (Number(kn) * 1000) / 9.80665]));
}

type Round = { agreed: number; refused: number; errors: unknown[] };

/** Eight acts at once: five yeses that each fit alone, a withdrawal by the touring side, a submission, an edit. */
async function race(scene: Scene, proposals: readonly Proposal[], standing: Proposal, random: () => number): Promise<Round> {
  const { manager, rigger } = scene;
  const yeses = await Promise.all(proposals.slice(0, 5).map((proposal) => yesTo(scene.store, manager, proposal)));
  const party = partyOn('tour', rigger);
  const common = { actor: rigger.author, party };
  const acts: (() => Promise<{ ok: boolean; value?: unknown; error?: unknown }>)[] = [
    ...yeses.map((input) => async () => {
      const { reply, value } = plainly<{ kind: string }>();
      const result = await scene.store.proposals.review(manager.scope, input, reply);
      return result.ok ? { ok: true, value: value().kind } : result;
    }),
    () =>
      scene.store.proposals.perform(
        rigger.scope,
        { ...common, proposalId: standing.id, spaceId: standing.spaceId, ifMatch: standing.version, action: 'withdraw' },
        plainly<never>().reply as never,
      ),
    () =>
      scene.store.proposals.submit(
        rigger.scope,
        { ...common, proposalId: proposals[5]!.id, ifMatch: proposals[5]!.version, note: '' },
        plainly<never>().reply as never,
      ),
    () =>
      scene.store.proposals.edit(
        rigger.scope,
        {
          ...common,
          proposalId: proposals[6]!.id,
          ifMatch: proposals[6]!.version,
          unagree: false,
          edit: { kind: 'whole', plan: planOf(deadHang(scene.points[0]!, 10)) },
        },
        plainly<never>().reply as never,
      ),
  ];
  const shuffled = acts.map((act) => ({ act, at: random() })).sort((a, b) => a.at - b.at);
  const settled = await Promise.allSettled(shuffled.map(({ act }) => act()));
  const round: Round = { agreed: 0, refused: 0, errors: [] };
  for (const result of settled) {
    if (result.status === 'rejected') round.errors.push(result.reason);
    else if (result.value.ok && result.value.value === 'decided') round.agreed += 1;
    else if (!result.value.ok || result.value.value === 'roofMoved') round.refused += 1;
  }
  return round;
}

/** A nearly full point and a nearly full group: of five that fit alone, few fit together. */
async function nearlyFull() {
  const points = [pointAt('A', 0, 0, 1000), pointAt('B', 4, 0, 1000), pointAt('C', 8, 0, 1000)];
  const scene = await publishedScene(store, { points, limits: [groupOf('Girder', points, 1500)] });
  const show = await openShow(store, scene.rigger, scene.space.id, '2026-07-01T08:00:00Z', '2026-07-02T04:00:00Z');
  const [a, b, c] = points as [(typeof points)[0], (typeof points)[0], (typeof points)[0]];
  const standing = await submitted(store, scene.rigger, show, planOf(deadHang(a, 500)));
  const reviewed = await done(store.proposals.review, scene.manager.scope, await yesTo(store, scene.manager, standing));
  const masses = [
    [a, 400],
    [a, 450],
    [b, 600],
    [c, 600],
    [b, 550],
    [c, 300],
    [b, 200],
  ] as const;
  const proposals = [];
  for (const [point, massKg] of masses) proposals.push(await submitted(store, scene.rigger, show, planOf(deadHang(point, massKg))));
  return { scene, proposals, standing: reviewed.proposal };
}

/** Whoever was told to read anew does so, and answers again, one after the other. Returns how many then agreed. */
async function answeredAnew({ store: kept, manager }: Scene, proposals: readonly Proposal[]): Promise<number> {
  let agreed = 0;
  for (const { id } of proposals) {
    for (let reading = 0; reading < 2; reading += 1) {
      const proposal = await kept.proposals.find(manager.scope, id);
      if (proposal?.state !== 'submitted') break;
      const { reply, value } = plainly<{ kind: string }>();
      const result = await kept.proposals.review(manager.scope, await yesTo(kept, manager, proposal), reply);
      if (!result.ok) {
        expect(result.error.code).toBe('requirements-unmet'); // it would be over now
        break;
      }
      if (value().kind === 'decided') agreed += 1;
    }
  }
  return agreed;
}

async function rounds(count: number): Promise<{ over: number; agreed: number; refused: number; errors: unknown[] }> {
  const random = randomOf(SEED);
  const sum = { over: 0, agreed: 0, refused: 0, errors: [] as unknown[] };
  for (let round = 0; round < count; round += 1) {
    const { scene, proposals, standing } = await nearlyFull();
    const { agreed, refused, errors } = await race(scene, proposals, standing, random);
    const hanging = await hangingKg(scene.space.id);
    const group = [...hanging.values()].reduce((total, kg) => total + kg, 0);
    if ([...hanging.values()].some((kg) => kg > 1000 * (1 + 1e-9)) || group > 1500 * (1 + 1e-9)) sum.over += 1;
    sum.agreed += agreed;
    sum.refused += refused;
    sum.errors.push(...errors);
    const states = await Promise.all(proposals.map(({ id }) => store.proposals.find(scene.rigger.scope, id)));
    // no decision is lost: whatever was told to be agreed is agreed, and hangs
    expect(states.filter((proposal) => proposal?.state === 'agreed')).toHaveLength(agreed);
    // Nobody gets through only where the withdrawal came first: it changed what every one of the five had read.
    if (agreed === 0) expect((await store.proposals.find(scene.rigger.scope, standing.id))?.state).toBe('withdrawn');
    const later = await answeredAnew(scene, proposals.slice(0, 5));
    expect(agreed + later).toBeGreaterThanOrEqual(1);
    const after = [...(await hangingKg(scene.space.id)).values()];
    expect(Math.max(...after)).toBeLessThanOrEqual(1000 * (1 + 1e-9));
    expect(after.reduce((total, kg) => total + kg, 0)).toBeLessThanOrEqual(1500 * (1 + 1e-9));
    for (const { scope } of [scene.manager, scene.rigger]) expect(await store.audit.verify(scope)).toMatchObject({ whole: true });
  }
  return sum;
}

describe('eight acts at once on a nearly full point and a nearly full group', () => {
  test(`never over, never lost, never an error (${ROUNDS} rounds, seed ${SEED})`, { timeout: 600_000 }, async () => {
    const sum = await rounds(ROUNDS);
    expect(sum.errors).toEqual([]);
    expect(sum.over).toBe(0);
    expect(sum.refused).toBeGreaterThan(0);
    console.log(`${ROUNDS} rounds: ${sum.agreed} agreed, ${sum.refused} refused, ${sum.over} over`);
  });

  test('without the lock the database refuses to hang anything', async () => {
    await withoutLock(async () => {
      const { errors, agreed } = await oneRound();
      expect(agreed).toBe(0);
      expect(errors.map(String).join()).toMatch(/changes only under that space's lock/);
    });
  });

  test('without the lock, and without that wall, this test finds roofs that are over', { timeout: 300_000 }, async () => {
    await withoutLock(() =>
      withoutTrigger(async () => {
        let over = 0;
        for (let round = 0; round < 12 && over === 0; round += 1) over += (await oneRound()).over;
        expect(over).toBeGreaterThan(0);
      }),
    );
  });
});

let prepared: Awaited<ReturnType<typeof nearlyFull>>[] = [];
beforeAll(async () => {
  prepared = [];
  for (let n = 0; n < 13; n += 1) prepared.push(await nearlyFull());
}, 300_000);

async function oneRound() {
  const next = prepared.pop();
  if (!next) throw new Error('no scene is left');
  const { agreed, errors } = await race(next.scene, next.proposals, next.standing, randomOf(SEED));
  const hanging = [...(await hangingKg(next.scene.space.id)).values()];
  const over = hanging.some((kg) => kg > 1000 * (1 + 1e-9)) || hanging.reduce((total, kg) => total + kg, 0) > 1500 * (1 + 1e-9) ? 1 : 0;
  return { agreed, errors, over };
}

/** The mutant: the lock statement is made to lock nothing, by a rule in this database alone. */
async function withoutLock(work: () => Promise<unknown>): Promise<void> {
  await owner.query(`ALTER TABLE space_lock RENAME TO real_space_lock;
    CREATE VIEW space_lock AS SELECT * FROM real_space_lock;
    CREATE FUNCTION pretend_lock() RETURNS trigger LANGUAGE plpgsql AS $$ BEGIN RETURN NEW; END $$;
    CREATE TRIGGER pretend INSTEAD OF UPDATE ON space_lock FOR EACH ROW EXECUTE FUNCTION pretend_lock();
    GRANT SELECT, UPDATE ON space_lock TO roofbook_app;`);
  try {
    await work();
  } finally {
    await owner.query(`DROP VIEW space_lock; DROP FUNCTION pretend_lock; ALTER TABLE real_space_lock RENAME TO space_lock;`);
  }
}

/** The counts are then kept by nobody, so a view shows what is counted as what is seen. */
async function withoutTrigger(work: () => Promise<unknown>): Promise<void> {
  const triggers = ['locked_in', 'locked_out', 'counted_in', 'counted_out'];
  await owner.query(`${triggers.map((trigger) => `ALTER TABLE commitment DISABLE TRIGGER ${trigger};`).join(' ')}
    ALTER TABLE commitment_day RENAME TO real_commitment_day;
    CREATE VIEW commitment_day AS SELECT space_id, day::date AS day, count(*)::int AS there,
        (count(*) FILTER (WHERE status = 'agreed' AND day = ((to_at - interval '1 millisecond') AT TIME ZONE 'UTC')::date))::int AS last_agreed
      FROM commitment c CROSS JOIN LATERAL generate_series((from_at AT TIME ZONE 'UTC')::date::timestamp,
        ((to_at - interval '1 millisecond') AT TIME ZONE 'UTC')::date::timestamp, interval '1 day') AS d(day) GROUP BY space_id, day;
    GRANT SELECT ON commitment_day TO roofbook_app;`);
  try {
    await work();
  } finally {
    await owner.query(`DROP VIEW commitment_day; ALTER TABLE real_commitment_day RENAME TO commitment_day;
      ${triggers.map((trigger) => `ALTER TABLE commitment ENABLE TRIGGER ${trigger};`).join(' ')}`);
  }
}
