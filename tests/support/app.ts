import type { FastifyInstance, InjectOptions } from 'fastify';
import { randomUUID } from 'node:crypto';
import { buildApp } from '../../src/app.ts';
import { createPasswords } from '../../src/auth/passwords.ts';
import type { OrgKind } from '../../src/auth/can.ts';
import type { AppConfig } from '../../src/config.ts';
import type { Walls } from '../../src/store/database.ts';
import { createStore, type Store } from '../../src/store/store.ts';
import { freshDatabase, type TestDatabase } from './database.ts';

export const TEST_CONFIG: AppConfig = {
  publicUrl: 'http://localhost:3000',
  trustProxy: false,
  rateLimits: {
    default: { requests: 100_000, windowS: 1 },
    signIn: { requests: 100_000, windowS: 1 },
    calculations: { requests: 100_000, windowS: 1 },
  },
  streams: { atMost: 1000, perPerson: 1000, beatMs: 12_000 },
  metricsToken: null,
  securityContact: null,
};

export type Called = {
  status: number;
  body: Record<string, unknown> & { id: string; version: number; items: Record<string, unknown>[] };
  headers: Record<string, unknown>;
  etag: string;
};
/** A signed-in person: calls the API as they would. */
export type Caller = {
  personId: string;
  orgId: string;
  token: string;
  call: (method: string, path: string, body?: unknown, headers?: Record<string, string>) => Promise<Called>;
};
export type RunningApp = {
  app: FastifyInstance;
  store: Store;
  database: TestDatabase;
  clock: { now: Date };
  call: (method: string, path: string, body?: unknown, headers?: Record<string, string>) => Promise<Called>;
  signUp: (name: string, kind: OrgKind) => Promise<Caller>;
  as: (token: string) => Caller['call'];
  close: () => Promise<void>;
};

/** The service on a database of its own or on that of another, with a clock that tests set and a password cost that they can afford. */
export async function startApp({
  walls,
  asSuperuser = false,
  config = TEST_CONFIG,
  beside,
}: { walls?: Walls; asSuperuser?: boolean; config?: AppConfig; beside?: RunningApp } = {}): Promise<RunningApp> {
  const database = beside?.database ?? (await freshDatabase());
  const clock = { now: new Date('2026-06-01T12:00:00.000Z') };
  const now = () => clock.now;
  const store = createStore({ url: asSuperuser ? database.superUrl : database.appUrl, now, ...(walls ? { walls } : {}) });
  const app = await buildApp({ store, config, now, log: false, passwords: createPasswords({ memoryKib: 8, passes: 1 }) });

  const callWith =
    (token: string | null): Caller['call'] =>
    async (method, path, body, headers = {}) => {
      const key = method === 'POST' ? { 'idempotency-key': randomUUID() } : {};
      const answered = await app.inject({
        method: method as InjectOptions['method'] & string,
        url: path.startsWith('/') ? path : `/api/v1/${path}`,
        headers: {
          ...key,
          ...(token ? { authorization: `Bearer ${token}` } : {}),
          ...(body === undefined ? {} : { 'content-type': 'application/json' }),
          ...headers,
        },
        ...(body === undefined ? {} : { payload: typeof body === 'string' || Buffer.isBuffer(body) ? body : JSON.stringify(body) }),
      });
      const text = answered.body;
      return {
        status: answered.statusCode,
        body: (text === '' ? {} : JSON.parse(text)) as Called['body'],
        headers: answered.headers,
        etag: String(answered.headers.etag ?? ''),
      };
    };
  let people = 0;
  return {
    app,
    store,
    database,
    clock,
    call: callWith(null),
    as: callWith,
    signUp: async (name, kind) => {
      people += 1;
      const answered = await callWith(null)('POST', 'auth/sign-up', {
        email: `${name.toLowerCase().replaceAll(/[^a-z]+/g, '.')}.${people}@test.example`,
        displayName: name,
        password: 'a long test phrase',
        organisation: { name: `Organisation of ${name}`, kind },
      });
      if (answered.status !== 201) throw new Error(JSON.stringify(answered.body));
      const token = String(answered.body.accessToken);
      const me = await store.accounts.callerBySession(await sessionOf(app, token), null);
      if (!me?.ok || !me.value.actor) throw new Error('signed up and unknown');
      return { personId: me.value.personId, orgId: me.value.actor.orgId, token, call: callWith(token) };
    },
    close: async () => {
      await app.close();
      await store.close();
      if (!beside) await database.drop();
    },
  };
}

async function sessionOf(app: FastifyInstance, token: string) {
  const subject = await app.tokens.verify(token);
  if (!subject) throw new Error('a token of ours does not verify');
  return subject;
}
