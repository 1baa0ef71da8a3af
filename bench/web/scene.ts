import { execFileSync } from 'node:child_process';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import type { Browser, BrowserContext, Page } from 'playwright-core';
import { buildApp } from '../../src/app.ts';
import { createPasswords } from '../../src/auth/passwords.ts';
import { DEMO_PASSWORD, loadDemo } from '../../src/demo/load.ts';
import { createStore, type Store } from '../../src/store/store.ts';
import { startBrowser } from '../../tests/support/browser.ts';
import { copyTemplate, startCluster, urlOf } from '../../tests/support/cluster.ts';
import {
  deadHang,
  done,
  letIn,
  openShow,
  personOf,
  planOf,
  pointAt,
  publishNow,
  signPolicy,
  submitted,
  type TestPerson,
} from '../../tests/support/scene.ts';

const ROOT = join(import.meta.dirname, '../..');
const PLENTY = { requests: 1_000_000, windowS: 1 };
const POINTS = 2_000;
const HANGS = 50;

export const TAMSIN = 'tamsin@umbrelquay.example'; // technical manager of the venue
export const ROOK = 'rook@mothmeridian.example'; // head rigger on tour
export const ETTA = 'etta@mothmeridian.example'; // system designer on tour

export type WebScene = {
  browser: Browser;
  signedIn: (email: string | null, options?: Parameters<Browser['newContext']>[0]) => Promise<BrowserContext>;
  ids: { arena: string; agreed: string; over: string; large: string; fifty: string };
  stop: () => Promise<void>;
};

/** The demonstration, and beside it a roof of 2,000 points with a plan of 50 hangs, served as `npm start` serves it. */
export async function startScene(executable: string): Promise<WebScene> {
  execFileSync(process.execPath, [join(ROOT, 'scripts/build.mjs'), '--if-changed']);
  process.env.BUILT_THREADS = pathToFileURL(join(ROOT, 'dist/')).href;
  const cluster = await startCluster();
  await copyTemplate(cluster.address, 'bench_web');
  const now = () => new Date();
  const store = createStore({ url: urlOf(cluster.address, 'app', 'bench_web'), now });
  const app = await buildApp({
    store,
    now,
    log: false,
    passwords: createPasswords({ memoryKib: 8, passes: 1 }),
    config: {
      publicUrl: 'http://localhost:3000',
      trustProxy: false,
      rateLimits: { default: PLENTY, signIn: PLENTY, calculations: PLENTY },
      streams: { atMost: 1000, perPerson: 1000, beatMs: 12_000 },
      metricsToken: null,
      securityContact: null,
    },
  });
  await loadDemo(store, now, app.passwords.hash);
  const baseURL = (await app.listen({ port: 0, host: '127.0.0.1' })).replace('127.0.0.1', 'localhost');
  const browser = await startBrowser(executable);

  const signedIn: WebScene['signedIn'] = async (email, options = {}) => {
    const context = await browser.newContext({ viewport: { width: 1440, height: 900 }, baseURL, ...options });
    await context.addInitScript('globalThis.__name = (named) => named'); // tsx wraps what it sends to the page in calls of it
    if (email !== null) {
      const answered = await context.request.post('/session', {
        headers: { 'roofbook-page': '1' },
        data: { email, password: DEMO_PASSWORD },
      });
      if (answered.status() !== 204) throw new Error(`${email} is not let in: ${answered.status()}`);
    }
    return context;
  };
  const [venue, tour] = [await signedIn(TAMSIN), await signedIn(ROOK)];
  const read = async <T>(context: BrowserContext, path: string): Promise<T> =>
    (await (await context.request.get(`/api/v1/${path}`)).json()) as T;
  const { items } = await read<{ items: { id: string; state: string; spaceId: string }[] }>(tour, 'proposals');
  const [agreed, over] = ['agreed', 'submitted'].map((state) => items.find((one) => one.state === state)!);
  const { venueId } = await read<{ venueId: string }>(venue, `spaces/${agreed!.spaceId}`);
  const manager = await personBehind(venue, 'venueOperator', 'Tamsin Orrowby', ['technicalManager', 'decider']);
  const rigger = await personBehind(tour, 'production', 'Rook Sallowfield', ['headRigger', 'productionOffice']);
  const large = await largeRoof(store, manager, rigger, venueId);
  await Promise.all([venue.close(), tour.close()]);

  return {
    browser,
    signedIn,
    ids: { arena: agreed!.spaceId, agreed: agreed!.id, over: over!.id, large: large.spaceId, fifty: large.proposalId },
    stop: async () => {
      await browser.close();
      await app.close();
      await store.close();
      await cluster.stop();
    },
  };
}

async function personBehind(context: BrowserContext, kind: 'venueOperator' | 'production', name: string, roles: string[]) {
  const me = (await (await context.request.get('/api/v1/auth/me')).json()) as {
    person: { id: string };
    memberships: { organisationId: string }[];
  };
  return personOf(me.person.id, me.memberships[0]!.organisationId, kind, name, roles);
}

async function largeRoof(store: Store, manager: TestPerson, rigger: TestPerson, venueId: string) {
  const space = await done(store.register.createSpace, manager.scope, {
    actor: manager.author,
    venueId,
    name: 'Great Field',
    exposure: 'indoor' as const,
  });
  const points = Array.from({ length: POINTS }, (_, n) => pointAt(`P${n + 1}`, (n % 50) * 1.5, Math.floor(n / 50) * 1.5, 1000));
  await done(store.register.changeItems, manager.scope, {
    actor: manager.author,
    spaceId: space.id,
    because: 'bench',
    changes: points.map((body) => ({ kind: 'point' as const, id: body.id, ifMatch: null, body })),
  });
  await signPolicy(store, manager, space.id);
  await publishNow(store, manager, space.id, 'first');
  const inDays = (days: number) => new Date(Date.now() + days * 86_400_000);
  await letIn(store, manager, rigger, space.id, inDays(200));
  const show = await openShow(store, rigger, space.id, inDays(30).toISOString(), inDays(31).toISOString());
  const hangs = Array.from({ length: HANGS }, (_, n) => ({ ...deadHang(points[n * 31]!, 500), label: `Hang ${n + 1}` }));
  const proposal = await submitted(store, rigger, show, planOf(...hangs));
  return { spaceId: space.id, proposalId: proposal.id };
}

export async function openAt(context: BrowserContext, path: string): Promise<Page> {
  const page = await context.newPage();
  await page.goto(path);
  await page.getByRole('heading', { level: 1 }).waitFor();
  return page;
}
