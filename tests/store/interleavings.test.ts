import pg from 'pg';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import type { Proposal } from '../../src/store/proposals/rows.ts';
import { createStore, type Store } from '../../src/store/store.ts';
import { seeded } from '../domain/seeded.ts';
import { freshDatabase, type TestDatabase } from '../support/database.ts';
import { faultsOfRoof, type RoofSeen } from '../support/roof-invariants.ts';
import { storeInProcess } from '../support/store-in-process.ts';
import {
  deadHang,
  groupOf,
  openShow,
  partyOn,
  plainly,
  planOf,
  pointAt,
  publishedScene,
  settledNow,
  submitted,
  yesTo,
  type Scene,
} from '../support/scene.ts';

const RUNS = Number(process.env.MODEL_RUNS ?? 50); // the soak makes 500
const SEED = Number(process.env.MODEL_SEED ?? 20260701);
const IN_PROCESSES = process.env.MODEL_PROCESSES === '2'; // as the soak does: two real ones, which do the background work too
const STEPS = Number(process.env.MODEL_STEPS ?? 8); // the soak makes 12
const MASSES_KG = [200, 400, 600, 900]; // on points of 1000 kg, 1500 kg together: two or three of them are too many
// Before both shows, then in the first, in both, in the second alone: the first is over then, and hangs on until it is struck.
const HOURS = ['2026-06-01T12:00:00Z', '2026-07-01T12:00:00Z', '2026-07-02T12:00:00Z', '2026-07-03T12:00:00Z'] as const;
/** What may be answered to one who comes too late or may not. Anything else is a fault. */
const REFUSALS = new Set([
  'version-moved-on',
  'roof-moved',
  'wrong-state',
  'needs-unagree',
  'may-be-hanging',
  'requirements-unmet',
  'ticks-missing',
  'neighbours-would-break',
  'assessment-moved-on',
]);

let database: TestDatabase;
let clock = new Date(HOURS[0]);
/** Two pools on one database, as two processes of the service have; or two processes. */
let stores: Store[] = [];
let owner: pg.Client;
beforeAll(async () => {
  database = await freshDatabase();
  const now = () => clock;
  const oneStore = async () =>
    IN_PROCESSES ? storeInProcess(database.appUrl, now) : createStore({ url: database.appUrl, now, poolSize: 4 });
  stores = await Promise.all([oneStore(), oneStore()]);
  owner = new pg.Client({ connectionString: database.superUrl });
  await owner.connect();
});
afterAll(async () => {
  for (const store of stores) await store.close();
  await owner.end();
  await database.drop();
});

type Outcome = { ok: boolean; error?: { code: string } };
type Act = { name: string; anew?: boolean; run: () => Promise<Outcome> };
type World = { scene: Scene; proposals: string[]; random: () => number };

const oneOf = <T>(random: () => number, list: readonly T[]): T => list[Math.floor(random() * list.length)]!;

/** The last life's: the next is another space of the same people. */
let scene: Scene | undefined;
async function freshWorld(random: () => number): Promise<World> {
  clock = new Date(HOURS[0]);
  const points = [pointAt('A', 0, 0, 1000), pointAt('B', 4, 0, 1000), pointAt('C', 8, 0, 1000)];
  scene = await publishedScene(stores[0]!, { points, limits: [groupOf('Girder', points, 1500)], beside: scene });
  const { rigger, space } = scene;
  const first = await openShow(stores[0]!, rigger, space.id, '2026-07-01T08:00:00Z', '2026-07-03T08:00:00Z');
  const second = await openShow(stores[1]!, rigger, space.id, '2026-07-02T08:00:00Z', '2026-07-04T08:00:00Z');
  const begun = [];
  for (const show of [first, first, second]) {
    const plan = planOf(deadHang(oneOf(random, points), oneOf(random, MASSES_KG)));
    begun.push(await submitted(oneOf(random, stores), rigger, show, plan));
  }
  const proposals = begun.map(({ id }) => id);
  return { scene, proposals, random };
}

/** What a client would do next: mostly what the state calls for, sometimes anything. It acts on what it reads now. */
async function nextAct({ scene, proposals, random }: World): Promise<Act> {
  const store = oneOf(random, stores);
  if (random() < 0.12) return publishing(scene, store, random);
  const { manager, rigger } = scene;
  const proposal = (await stores[0]!.proposals.find(rigger.scope, oneOf(random, proposals)))!;
  const isWaiting = proposal.staleReasons.includes('beingChecked');
  const waiting = random() < (isWaiting ? 0.7 : 0.1) ? await waitingRevisions(scene) : [];
  if (waiting.length > 0) return backgroundWork(scene, store, oneOf(random, waiting));
  const calledFor: Record<string, readonly string[]> = {
    drafting: ['edit', 'submit', 'submit'],
    submitted: ['agree', 'agree', 'agree', 'agree', 'ask', 'decline', 'edit', 'withdraw'],
    questions: ['edit', 'submit', 'agree', 'agree'],
    declined: ['edit', 'submit', 'agree'],
    agreed: ['edit', 'edit', 'submit', 'submit', 'suspend', 'liftSuspension', 'strike', 'withdraw'],
    agreedAndStale: ['agree', 'agree', 'agree', 'agree', 'edit', 'submit', 'suspend', 'liftSuspension', 'strike', 'withdraw'],
  };
  const anything = ['edit', 'submit', 'agree', 'ask', 'decline', 'withdraw', 'suspend', 'liftSuspension', 'strike'];
  const state = proposal.state === 'agreed' && proposal.stale ? 'agreedAndStale' : proposal.state;
  const usual = proposal.suspended && random() < 0.3 ? ['liftSuspension'] : calledFor[state];
  const name = oneOf(random, random() < 0.1 ? anything : (usual ?? anything));
  // The venue does not know of a plan that was never put to it.
  if (proposal.submissionCount === 0 && !['edit', 'submit', 'withdraw'].includes(name)) return nextAct({ scene, proposals, random });
  const { reply } = plainly<never>();
  const tour = { actor: rigger.author, party: partyOn('tour', rigger), proposalId: proposal.id, ifMatch: proposal.version };
  const venue = { actor: manager.author, party: partyOn('venue', manager), proposalId: proposal.id, ifMatch: proposal.version };
  const { spaceId } = proposal;
  switch (name) {
    case 'edit': {
      const plan = planOf(deadHang(oneOf(random, scene.points), oneOf(random, MASSES_KG)));
      return {
        name,
        run: () => store.proposals.edit(rigger.scope, { ...tour, unagree: random() < 0.7, edit: { kind: 'whole', plan } }, reply as never),
      };
    }
    case 'submit':
      return { name, run: () => store.proposals.submit(rigger.scope, { ...tour, note: '' }, reply as never) };
    case 'withdraw':
      return { name, run: () => store.proposals.perform(rigger.scope, { ...tour, spaceId, action: name }, reply as never) };
    case 'liftSuspension':
    case 'strike':
      return { name, run: () => store.proposals.perform(manager.scope, { ...venue, spaceId, action: name }, reply as never) };
    case 'suspend':
      return {
        name,
        run: () => store.proposals.perform(manager.scope, { ...venue, spaceId, action: name, reason: 'wind' }, reply as never),
      };
    default:
      return answering(scene, store, proposal, name as 'agree');
  }
}

async function answering({ manager }: Scene, store: Store, proposal: Proposal, answer: 'agree' | 'ask' | 'decline'): Promise<Act> {
  const yes = await yesTo(store, manager, proposal);
  const input = answer === 'agree' ? yes : { ...yes, answer, ticks: [], reason: 'as it is, no' };
  const run = async (): Promise<Outcome> => {
    const { reply, value } = plainly<{ kind: string }>();
    const result = await store.proposals.review(manager.scope, input, reply);
    return result.ok && value().kind === 'roofMoved' ? { ok: false, error: { code: 'roof-moved' } } : result;
  };
  return { name: answer, anew: proposal.state === 'agreed', run };
}

/** One rating, of a point or of the group, lowered or raised, and published. */
function publishing({ manager, space, points, limits }: Scene, store: Store, random: () => number): Act {
  const point = oneOf(random, points);
  const item =
    random() < 0.5
      ? ({ kind: 'point', id: point.id, body: { ...point, wllKg: oneOf(random, [500, 800, 1000]) } } as const)
      : ({
          kind: 'limit',
          id: limits[0]!.id,
          body: { ...groupOf('Girder', points, oneOf(random, [1000, 1300, 1500])), id: limits[0]!.id },
        } as const);
  const dayStartOf = (day: string) => `${day}T00:00:00.000Z`;
  const run = async (): Promise<Outcome> => {
    const common = { actor: manager.author, spaceId: space.id };
    const change = { ...common, because: 'test', changes: [{ ...item, ifMatch: 'any' as const }] };
    const changed = await store.register.changeItems(manager.scope, change, plainly<never>().reply as never);
    if (!changed.ok) return changed;
    const structure = await store.register.structure(manager.scope, space.id);
    const published = { ...common, ifMatch: structure!.version, note: '', dayStartOf };
    return store.register.publish(manager.scope, published, plainly<never>().reply as never);
  };
  return { name: 'publish', run };
}

/** Revisions of which it is not known yet what they mean for all that stood. */
async function waitingRevisions({ manager, space }: Scene): Promise<number[]> {
  const all = await stores[0]!.register.reAssessments(manager.scope, space.id, null, 100);
  return all.filter(({ total, done }) => done < total).map(({ revision }) => revision);
}

/** A part of a job: one agreement is settled, as a worker does it, between and beside everything else. */
const backgroundWork = ({ manager, space }: Scene, store: Store, revision: number): Act => ({
  name: 'settle',
  run: async () => {
    await store.register.reAssessNext(manager.scope, space.id, revision);
    return { ok: true };
  },
});

type Tally = { acts: number; done: Map<string, number>; refused: Map<string, number>; faults: string[] };
const count = (map: Map<string, number>, key: string) => map.set(key, (map.get(key) ?? 0) + 1);

/** One space's life: up to three acts at once, then a look at everything. Ends at the first fault. */
async function oneRun(seed: number, tally: Tally): Promise<void> {
  const random = seeded(seed);
  const world = await freshWorld(random);
  const { manager, space } = world.scene;
  const told: string[] = [];
  let before: RoofSeen | null = null;
  for (let step = 0; step < STEPS; step += 1) {
    if (step > STEPS / 2 && random() < 0.5) clock = new Date(HOURS[Math.min(HOURS.indexOf(clockHour()) + 1, HOURS.length - 1)]!);
    const acts: Act[] = [];
    const atOnce = 1 + Math.floor(random() * 3);
    while (acts.length < atOnce) acts.push(await nextAct(world));
    const settled = await Promise.allSettled(acts.map(({ run }) => run()));
    const errors: string[] = [];
    for (const [index, result] of settled.entries()) {
      const { name } = acts[index]!;
      const code = result.status === 'rejected' ? String(result.reason) : (result.value.error?.code ?? 'done');
      told.push(`${step}: ${name} ${code}`);
      tally.acts += 1;
      if (code === 'done') count(tally.done, acts[index]!.anew ? 'agree anew' : name);
      else if (REFUSALS.has(code)) count(tally.refused, code);
      else errors.push(`${name} ended in ${code}`);
    }
    const { seen, faults } = await faultsOfRoof(owner, { spaceId: space.id, now: clock, before });
    if (errors.length + faults.length > 0) {
      tally.faults.push(`seed ${seed}, step ${step}: ${[...errors, ...faults].join('; ')} after ${told.join(', ')}`);
      return;
    }
    before = seen;
  }
  for (const revision of await waitingRevisions(world.scene)) await settledNow(stores[0]!, manager, space.id, revision);
  const { seen, faults } = await faultsOfRoof(owner, { spaceId: space.id, now: clock, before });
  if (seen.proposals.some(({ stale_reasons }) => stale_reasons.includes('beingChecked'))) faults.push('something is still being checked');
  if (faults.length > 0) tally.faults.push(`seed ${seed}, at its end: ${faults.join('; ')} after ${told.join(', ')}`);
}
const clockHour = () => HOURS.find((hour) => new Date(hour).getTime() === clock.getTime())!;

async function runs(number: number, seed: number, enough: (tally: Tally) => boolean = () => false): Promise<Tally> {
  const tally: Tally = { acts: 0, done: new Map(), refused: new Map(), faults: [] };
  for (let run = 0; run < number && !enough(tally); run += 1) await oneRun(seed + run, tally);
  for (const { scope } of scene ? [scene.manager, scene.rigger] : []) {
    const chain = await stores[0]!.audit.verify(scope);
    if (!chain.whole) tally.faults.push(`the chain of ${scope.orgId} breaks at ${chain.firstBad}`);
  }
  return tally;
}

describe('several clients on two pools, in any order and at once', () => {
  test(`never over, never un-stale on changed data, chains whole (${RUNS} runs, seed ${SEED})`, { timeout: 3_600_000 }, async () => {
    const { acts, done: wentThrough, refused, faults } = await runs(RUNS, SEED);
    console.log(`${RUNS} runs from seed ${SEED}: ${acts} acts;`, Object.fromEntries(wentThrough), 'refused:', Object.fromEntries(refused));
    expect(faults).toEqual([]);
    if (RUNS >= 50)
      for (const name of [
        'edit',
        'submit',
        'agree',
        'agree anew',
        'ask',
        'decline',
        'publish',
        'withdraw',
        'suspend',
        'liftSuspension',
        'strike',
        'settle',
      ])
        expect(wentThrough.get(name), name).toBeGreaterThan(0);
  });

  // Mutants: the database undoes, in the same statement, what the service wrote.
  test.each([
    ['publishing marks nothing', `'beingChecked' = ANY(NEW.stale_reasons)`, /publish ended in .*stale when another is published/],
    [
      'what a revision changes is not found stale',
      `'roof' = ANY(NEW.stale_reasons)`,
      /is not stale on revision|waits to be checked is stale/,
    ],
    ['editing an agreed plan marks nothing stale', `'plan' = ANY(NEW.stale_reasons) AND NOT OLD.stale`, /is not stale on an edited plan/],
  ])('is noticed: %s', { timeout: 300_000 }, async (_, condition, told) => {
    await owner.query(`CREATE FUNCTION forget() RETURNS trigger LANGUAGE plpgsql AS $$ BEGIN NEW.stale := false; NEW.stale_reasons := '{}'; RETURN NEW; END $$;
      CREATE TRIGGER forget BEFORE UPDATE ON proposal FOR EACH ROW WHEN (${condition}) EXECUTE FUNCTION forget();`);
    try {
      const { faults } = await runs(20, SEED, (tally) => tally.faults.length > 0);
      expect(faults.join()).toMatch(told);
    } finally {
      await owner.query('DROP TRIGGER forget ON proposal; DROP FUNCTION forget;');
    }
  });
});
