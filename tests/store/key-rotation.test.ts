import { randomUUID } from 'node:crypto';
import { beforeEach, afterEach, expect, test } from 'vitest';
import { createTokens, type Tokens } from '../../src/auth/tokens.ts';
import { createStore, type Store } from '../../src/store/store.ts';
import { freshDatabase, type TestDatabase } from '../support/database.ts';

const START = new Date('2026-06-01T12:00:00.000Z');
const SUBJECT = { personId: randomUUID(), sessionId: randomUUID() };
const MINUTE_MS = 60_000;
const DAY_MS = 86_400_000;

let database: TestDatabase;
let clock: Date;
const stores: Store[] = [];
beforeEach(async () => {
  database = await freshDatabase();
  clock = START;
});
afterEach(async () => {
  await Promise.all(stores.splice(0).map((store) => store.close()));
  await database.drop();
});

/** As another process has it: a pool and a memory of its own, on the same database. */
function aProcess(): Tokens {
  const store = createStore({ url: database.appUrl, now: () => clock, poolSize: 2 });
  stores.push(store);
  return createTokens({ keys: store.keys, now: () => clock, issuer: 'https://rigging.example' });
}
const after = (days: number, ms = 0) => (clock = new Date(START.getTime() + days * DAY_MS + ms));
const kids = async (tokens: Tokens) => (await tokens.jwks()).keys.map(({ kid }) => kid);
const kidOf = (token: string) => (JSON.parse(Buffer.from(token.split('.')[0]!, 'base64url').toString()) as { kid: string }).kid;

test('processes that begin at once agree on one key', async () => {
  const processes = [aProcess(), aProcess(), aProcess(), aProcess()];
  const signed = await Promise.all(processes.map((tokens) => tokens.sign(SUBJECT)));
  expect(new Set(signed.map(kidOf)).size).toBe(1);
  for (const tokens of processes) for (const token of signed) expect(await tokens.verify(token)).toEqual(SUBJECT);
});

test('a successor is published two days before it signs, and every process follows it', async () => {
  const [one, other] = [aProcess(), aProcess()];
  const first = kidOf(await one.sign(SUBJECT));
  after(27.9);
  expect(await kids(one)).toEqual([first]);
  after(28, MINUTE_MS);
  const shown = await kids(one);
  expect(shown).toHaveLength(2);
  expect(await kids(other)).toEqual(shown);
  expect(kidOf(await one.sign(SUBJECT))).toBe(first);
  after(30, -1);
  expect(kidOf(await one.sign(SUBJECT))).toBe(first);
  after(30);
  expect(kidOf(await one.sign(SUBJECT))).toBe(shown[1]);
  expect(kidOf(await other.sign(SUBJECT))).toBe(shown[1]);
});

test('what an old key signed last is good until it runs out, and then the key goes', async () => {
  const tokens = aProcess();
  const first = kidOf(await tokens.sign(SUBJECT));
  after(29);
  await tokens.jwks();
  after(30, -1000);
  const last = await tokens.sign(SUBJECT);
  expect(kidOf(last)).toBe(first);
  after(30, 9 * MINUTE_MS);
  expect(await tokens.verify(last)).toEqual(SUBJECT);
  after(31, MINUTE_MS);
  expect(await kids(tokens)).not.toContain(first);
});

test('a service that slept for a year signs at once', async () => {
  await aProcess().sign(SUBJECT);
  after(365);
  const tokens = aProcess();
  expect(await tokens.verify(await tokens.sign(SUBJECT))).toEqual(SUBJECT);
});
