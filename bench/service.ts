import autocannon from 'autocannon';
import Fastify, { type FastifyInstance } from 'fastify';
import { randomUUID } from 'node:crypto';
import pg from 'pg';
import { buildApp } from '../src/app.ts';
import { createPasswords } from '../src/auth/passwords.ts';
import type { AppConfig } from '../src/config.ts';
import { createStore, type Store } from '../src/store/store.ts';
import { copyTemplate, startCluster, urlOf, type ClusterAddress } from '../tests/support/cluster.ts';
import { deadHang, done, openShow, partyOn, planOf, pointAt, publishedScene, submitted, type Scene } from '../tests/support/scene.ts';

const NOW = new Date('2026-06-01T12:00:00Z');
const PLENTY = { requests: 1_000_000, windowS: 1 };
const CONFIG: AppConfig = {
  publicUrl: 'http://localhost:3000',
  trustProxy: false,
  rateLimits: { default: PLENTY, signIn: PLENTY, calculations: PLENTY },
  streams: { atMost: 1000, perPerson: 1000, beatMs: 12_000 },
  metricsToken: null,
  securityContact: null,
};
const DECISIONS = 150;

type Served = { app: FastifyInstance; store: Store; origin: string };

/** Each figure of the service beside a bare Fastify and pg route in the same run. */
export async function run(): Promise<void> {
  const cluster = await startCluster();
  try {
    const scene = await prepare(cluster.address, 'bench_origin');
    await revisionRead(cluster.address, scene);
    await deciding(cluster.address, scene);
    await dryRun(cluster.address, scene);
  } finally {
    await cluster.stop();
  }
}

type Prepared = {
  scene: Scene;
  proposals: { id: string; version: number; spaceId: string; assessmentHash: string }[];
  hangs: { proposalId: string };
};

async function prepare(cluster: ClusterAddress, name: string): Promise<Prepared> {
  await copyTemplate(cluster, name);
  const store = createStore({ url: urlOf(cluster, 'app', name), now: () => NOW });
  const points = Array.from({ length: 2000 }, (_, n) => pointAt(`P${n}`, (n % 50) * 1.5, Math.floor(n / 50) * 1.5, 1000));
  const scene = await publishedScene(store, { points });
  const show = await openShow(store, scene.rigger, scene.space.id, '2026-07-01T08:00:00Z', '2026-07-02T04:00:00Z');
  const proposals = [];
  for (let n = 0; n < DECISIONS; n += 1) {
    // shows that follow each other, so that each is decided alone and not among all that were agreed before
    const own = await openShow(
      store,
      scene.rigger,
      scene.space.id,
      new Date(NOW.getTime() + (n + 50) * 86_400_000).toISOString(),
      new Date(NOW.getTime() + (n + 51) * 86_400_000).toISOString(),
    );
    const proposal = await submitted(store, scene.rigger, own, planOf(deadHang(points[n]!, 500)));
    const last = await store.proposals.lastAssessment(scene.manager.scope, proposal.id);
    proposals.push({ id: proposal.id, version: proposal.version, spaceId: proposal.spaceId, assessmentHash: last!.kept.assessmentHash });
  }
  const fifty = await done(store.proposals.create, scene.rigger.scope, { actor: scene.rigger.author, showId: show.id, name: 'Fifty' });
  await done(store.proposals.edit, scene.rigger.scope, {
    actor: scene.rigger.author,
    party: partyOn('tour', scene.rigger),
    proposalId: fifty.id,
    ifMatch: fifty.version,
    unagree: false,
    edit: { kind: 'whole' as const, plan: planOf(...Array.from({ length: 50 }, (_, n) => deadHang(points[500 + n]!, 400))) },
  });
  await store.close();
  return { scene, proposals, hangs: { proposalId: fifty.id } };
}

async function serve(cluster: ClusterAddress, name: string): Promise<Served> {
  const store = createStore({ url: urlOf(cluster, 'app', name), now: () => NOW });
  const app = await buildApp({
    store,
    config: CONFIG,
    now: () => NOW,
    log: false,
    passwords: createPasswords({ memoryKib: 8, passes: 1 }),
  });
  return { app, store, origin: await app.listen({ port: 0, host: '127.0.0.1' }) };
}

async function tokenFor({ app, store }: Served, personId: string): Promise<string> {
  const sessionId = await store.accounts.startSession({ personId, refreshHash: randomUUID(), client: 'bench' });
  return app.tokens.sign({ personId, sessionId });
}

const median = (values: readonly number[]): number => [...values].sort((a, b) => a - b)[Math.floor(values.length / 2)] ?? Number.NaN;

async function requestsPerSecond(url: string, headers: Record<string, string>): Promise<number> {
  const result = await autocannon({ url, headers, connections: 8, duration: 3 });
  if (result.non2xx > 0) throw new Error(`${result.non2xx} answers were not 2xx`);
  return result.requests.average;
}

async function revisionRead(cluster: ClusterAddress, { scene }: Prepared): Promise<void> {
  const served = await serve(cluster, 'bench_origin');
  const pool = new pg.Pool({ connectionString: urlOf(cluster, 'superuser', 'bench_origin'), max: 10 });
  const bare = Fastify();
  bare.get('/revision', async (_request, reply) => {
    const { rows } = await pool.query<{ bytes: string }>('SELECT bytes FROM revision WHERE space_id = $1 AND number = 1', [scene.space.id]);
    return reply.header('content-type', 'application/json').send(rows[0]!.bytes);
  });
  const bareOrigin = await bare.listen({ port: 0, host: '127.0.0.1' });
  const authorization = `Bearer ${await tokenFor(served, scene.manager.actor.personId)}`;
  const ratios: number[] = [];
  const [ours, theirs]: [number[], number[]] = [[], []];
  for (let pair = 0; pair < 5; pair += 1) {
    ours.push(await requestsPerSecond(`${served.origin}/api/v1/spaces/${scene.space.id}/revisions/1`, { authorization }));
    theirs.push(await requestsPerSecond(`${bareOrigin}/revision`, {}));
    ratios.push(ours.at(-1)! / theirs.at(-1)!);
  }
  console.log(
    `2,000-point revision: ${median(ours).toFixed(0)} req/s, bare route that selects the text ${median(theirs).toFixed(0)} req/s, ratio ${median(ratios).toFixed(2)} (goal 0.8)`,
  );
  await bare.close();
  await pool.end();
  await served.app.close();
  await served.store.close();
}

type Statement = { text: string; values: unknown[] };

/** The same decisions on two copies of one database: by the service, and by a bare route that sends the very statements the service sent. */
async function deciding(cluster: ClusterAddress, { scene, proposals }: Prepared): Promise<void> {
  for (const copy of ['bench_record', 'bench_ours', 'bench_bare']) await copyTemplate(cluster, copy, 'bench_origin');
  const recorded: Statement[][] = [];
  const decide = async (served: Served, authorization: string, n: number) => {
    const { id, version, assessmentHash } = proposals[n]!;
    const answered = await fetch(`${served.origin}/api/v1/proposals/${id}/review`, {
      method: 'POST',
      headers: { authorization, 'content-type': 'application/json', 'if-match': `"v${version}"`, 'idempotency-key': `key-${n}` },
      body: JSON.stringify({
        answer: 'agree',
        capacity: 'decider',
        assessmentHash,
        ticks: [],
        conditions: [],
        reason: '',
        validUntil: null,
      }),
    });
    if (answered.status !== 200) throw new Error(`${answered.status} ${await answered.text()}`);
    await answered.arrayBuffer();
  };
  const recorder = await serve(cluster, 'bench_record');
  const recorderToken = `Bearer ${await tokenFor(recorder, scene.manager.actor.personId)}`;
  const stop = record((statement) => recorded.at(-1)?.push(statement));
  for (let n = 0; n < DECISIONS; n += 1) {
    recorded.push([]);
    await decide(recorder, recorderToken, n);
  }
  stop();
  await recorder.app.close();
  await recorder.store.close();

  const served = await serve(cluster, 'bench_ours');
  const token = `Bearer ${await tokenFor(served, scene.manager.actor.personId)}`;
  const pool = new pg.Pool({ connectionString: urlOf(cluster, 'app', 'bench_bare'), max: 10 });
  const bare = Fastify();
  bare.post('/decide/:n', async (request) => {
    const { n } = request.params as { n: string };
    const client = await pool.connect();
    try {
      for (const { text, values } of recorded[Number(n)]!) await client.query(text, values);
    } finally {
      client.release();
    }
    return { decided: true };
  });
  const bareOrigin = await bare.listen({ port: 0, host: '127.0.0.1' });
  const [ours, theirs]: [number[], number[]] = [[], []];
  for (let n = 0; n < DECISIONS; n += 1) {
    const began = performance.now();
    await decide(served, token, n);
    const between = performance.now();
    await (
      await fetch(`${bareOrigin}/decide/${n}`, { method: 'POST', headers: { 'content-type': 'application/json' }, body: '{}' })
    ).arrayBuffer();
    const ended = performance.now();
    if (n < 20) continue; // warm-up
    ours.push(between - began);
    theirs.push(ended - between);
  }
  const ratios = ours.map((ms, index) => theirs[index]! / ms);
  console.log(
    `decide: ${median(ours).toFixed(2)} ms, the same ${recorded.at(-1)!.length} statements on bare pg ${median(theirs).toFixed(2)} ms, ratio ${median(ratios).toFixed(2)} (goal 0.5)`,
  );
  await bare.close();
  await pool.end();
  await served.app.close();
  await served.store.close();
}

/** Listens to what the driver sends. */
function record(take: (statement: Statement) => void): () => void {
  const prototype = pg.Client.prototype as unknown as { query: (...given: unknown[]) => unknown };
  const original = prototype.query;
  prototype.query = function (this: unknown, ...given: unknown[]) {
    const [first, second] = given;
    if (typeof first === 'string') take({ text: first, values: Array.isArray(second) ? second : [] });
    else if (typeof first === 'object' && first !== null && 'text' in first) {
      const { text, values } = first as { text: string; values?: unknown[] };
      take({ text, values: values ?? (Array.isArray(second) ? second : []) });
    }
    return original.apply(this, given);
  };
  return () => {
    prototype.query = original;
  };
}

async function dryRun(cluster: ClusterAddress, { scene, hangs }: Prepared): Promise<void> {
  const served = await serve(cluster, 'bench_origin');
  const authorization = `Bearer ${await tokenFor(served, scene.rigger.actor.personId)}`;
  const [read, assess, total]: [number[], number[], number[]] = [[], [], []];
  for (let n = 0; n < 40; n += 1) {
    const began = performance.now();
    const answered = await fetch(`${served.origin}/api/v1/proposals/${hangs.proposalId}/assessment`, {
      method: 'POST',
      headers: { authorization },
    });
    await answered.arrayBuffer();
    if (answered.status !== 200) throw new Error(`${answered.status}`);
    const timing = answered.headers.get('server-timing') ?? '';
    if (n < 10) continue;
    total.push(performance.now() - began);
    read.push(Number(/read;dur=([\d.]+)/.exec(timing)?.[1]));
    assess.push(Number(/assess;dur=([\d.]+)/.exec(timing)?.[1]));
  }
  console.log(
    `dry run of 50 hangs on 2,000 points: domain code ${median(assess).toFixed(1)} ms, reading ${median(read).toFixed(1)} ms, whole request ${median(total).toFixed(1)} ms`,
  );
  await served.app.close();
  await served.store.close();
}
