import { afterAll, beforeAll, expect, test } from 'vitest';
import { startApp, type RunningApp } from '../support/app.ts';
import { operationsOf, readDocument, type Operation } from './operations.ts';
import { Schemas, Watch, type Got } from './watch.ts';
import { makeWorld, type World } from './world.ts';

const SEED = Number(process.env.FUZZ_SEED ?? 1);
const REQUESTS = Number(process.env.FUZZ_REQUESTS ?? 600);

let running: RunningApp;
let operations: Operation[];
let watch: Watch;
let world: World;
beforeAll(async () => {
  running = await startApp();
  const document = await readDocument(running.app);
  // Without those that would end what the rest needs.
  operations = operationsOf(document).filter(
    ({ id }) => !['signOut', 'endSession', 'changePassword', 'endMembership', 'changeMemberRoles'].includes(id),
  );
  watch = new Watch(running.app, new Schemas(document));
  world = await makeWorld(running);
});
afterAll(() => running.close());

/** Mulberry32: the same seed sends the same requests. */
function seeded(seed: number): (below: number) => number {
  let state = seed >>> 0;
  return (below) => {
    state = (state + 0x6d2b79f5) >>> 0;
    let mixed = Math.imul(state ^ (state >>> 15), state | 1);
    mixed ^= mixed + Math.imul(mixed ^ (mixed >>> 7), mixed | 61);
    return ((mixed ^ (mixed >>> 14)) >>> 0) % below;
  };
}

const NASTY: readonly unknown[] = [
  null,
  '',
  ' ',
  'x'.repeat(5000),
  "'; DROP TABLE point; --",
  '<script>alert(1)</script>',
  '${7*7}',
  '../../etc/passwd',
  '2026-02-30T00:00:00Z',
  '2026-03-29T02:30:00+01:00',
  '9999-12-31T23:59:59Z',
  '0000-01-01T00:00:00Z',
  '00000000-0000-0000-0000-000000000000',
  '🜁'.repeat(150),
  '\u202e\u0301',
  0,
  -0,
  -1,
  1,
  1e-9,
  1e9,
  1e308,
  -1e308,
  5e-324,
  2 ** 53,
  0.1 + 0.2,
  true,
  [],
  {},
  [[]],
  Array.from({ length: 400 }, () => 1),
];

/** The body with one to three of its places spoilt, dropped, doubled or swapped. */
function spoilt(body: unknown, pick: (below: number) => number): unknown {
  const copy: unknown = structuredClone(body);
  for (let times = 1 + pick(3); times > 0; times--) {
    const places = placesIn(copy);
    const place = places[pick(Math.max(places.length, 1))];
    if (!place) return NASTY[pick(NASTY.length)];
    const { holder, name } = place;
    const act = pick(6);
    if (Array.isArray(holder) && act === 0) holder.push(structuredClone(holder[Number(name)]));
    else if (Array.isArray(holder) && act === 1) holder.splice(Number(name), 1);
    else if (!Array.isArray(holder) && act === 0) Reflect.deleteProperty(holder, name);
    else if (act === 2) (holder as Record<string, unknown>)[name] = structuredClone(places[pick(places.length)]!.value);
    else (holder as Record<string, unknown>)[name] = structuredClone(NASTY[pick(NASTY.length)]);
  }
  return copy;
}
type Place = { holder: object; name: string; value: unknown };
function placesIn(value: unknown): Place[] {
  if (typeof value !== 'object' || value === null) return [];
  return Object.entries(value).flatMap(([name, inner]) => [{ holder: value, name, value: inner as unknown }, ...placesIn(inner)]);
}

/** The version that is there now, so that a request gets past If-Match and as deep as it can. */
async function matchFor(operation: Operation, params: Record<string, string>, token: string): Promise<string> {
  const path = operation.path.replace(/\{(\w+)\}/g, (_, name: string) => params[name]!);
  const candidates = [
    path,
    path.replace(/\/[^/]+$/, ''),
    path.replace(/\/(batch|policy)$/, ''),
    path.replace(/\/revisions$/, '/structure'),
  ];
  for (const url of candidates) {
    const read = await running.app.inject({ url, headers: { authorization: `Bearer ${token}` } });
    if (read.statusCode === 200 && read.headers.etag !== undefined) return String(read.headers.etag);
  }
  return '"v1"';
}

async function send(operation: Operation, side: 'venue' | 'tour', body: unknown, query?: string): Promise<Got> {
  const { token } = world[side];
  const params = world.paramsOf(operation, side);
  const headers = operation.takesMatch ? { 'if-match': await matchFor(operation, params, token) } : {};
  return watch.send(operation, {
    token,
    params,
    headers,
    ...(body === undefined ? {} : { body }),
    ...(query === undefined ? {} : { query }),
  });
}

test(`${REQUESTS} spoilt requests are refused or answered, never a fault of ours`, async () => {
  const pick = seeded(SEED);
  const bodied = operations.filter(({ body }) => body !== null);
  const asked = operations.filter(({ query }) => query.length > 0);
  const statuses = new Map<number, number>();
  for (let sent = 0; sent < REQUESTS; sent++) {
    const side = pick(2) === 0 ? 'venue' : 'tour';
    const isQuery = pick(8) === 0;
    const operation = isQuery ? asked[pick(asked.length)]! : bodied[pick(bodied.length)]!;
    const query = isQuery
      ? operation.query.map(({ name }) => `${name}=${encodeURIComponent(String(NASTY[pick(NASTY.length)])).slice(0, 500)}`).join('&')
      : undefined;
    const body = operation.body ? spoilt(world.bodyOf(operation), pick) : undefined;
    const { status } = await send(operation, side, body, query);
    statuses.set(status, (statuses.get(status) ?? 0) + 1);
  }
  console.log(
    `seed ${SEED}: ${[...statuses]
      .toSorted(([a], [b]) => a - b)
      .map(([status, count]) => `${count} × ${status}`)
      .join(', ')}`,
  );
  expect(watch.faults).toEqual([]);
  expect([...statuses.keys()].filter((status) => status >= 500)).toEqual([]);
  expect(statuses.get(400)).toBeGreaterThan(REQUESTS / 4);
}, 300_000);
