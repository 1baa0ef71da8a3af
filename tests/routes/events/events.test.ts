import { randomUUID } from 'node:crypto';
import pg from 'pg';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { EventStream } from '../../../src/routes/events/event-stream.ts';
import { startApp, TEST_CONFIG, type Caller, type RunningApp } from '../../support/app.ts';
import { follow } from '../../support/follow.ts';

const SEED = Number(process.env.EVENTS_SEED ?? 1);
const CLIENTS = Number(process.env.EVENTS_CLIENTS ?? 50);
const DROPS = 4; // of each client
const WRITES = Number(process.env.EVENTS_WRITES ?? 40);

let first: RunningApp;
// Other processes on the same database, but for the process: a pool and a connection for notices of their own.
let second: RunningApp;
let narrow: RunningApp;
let bases: string[];
let narrowBase: string;
let venue: Caller;
let stranger: Caller;
beforeAll(async () => {
  first = await startApp();
  second = await startApp({ beside: first });
  narrow = await startApp({ beside: first, config: { ...TEST_CONFIG, streams: { atMost: 3, perPerson: 2, beatMs: 25 } } });
  const listen = (app: RunningApp['app']) => app.listen({ port: 0, host: '127.0.0.1' });
  bases = await Promise.all([listen(first.app), listen(second.app)]);
  narrowBase = await listen(narrow.app);
  venue = await first.signUp('Venue manager', 'venueOperator');
  stranger = await first.signUp('Somebody else', 'production');
});
afterAll(async () => {
  for (const one of [second, narrow, first]) await one.close();
});

const bearer = ({ token }: Caller) => ({ authorization: `Bearer ${token}` });
const HALL = { place: 'Town', timeZone: 'Europe/Amsterdam', contactRole: 'manager' };
const makeHall = async (by: Caller, name: string): Promise<string> => (await by.call('POST', 'venues', { ...HALL, name })).body.id;

/** Mulberry32: the same seed drops the same streams at the same events. */
function seeded(seed: number): (below: number) => number {
  let state = seed >>> 0;
  return (below) => {
    state = (state + 0x6d2b79f5) >>> 0;
    let mixed = Math.imul(state ^ (state >>> 15), state | 1);
    mixed ^= mixed + Math.imul(mixed ^ (mixed >>> 7), mixed | 61);
    return ((mixed ^ (mixed >>> 14)) >>> 0) % below;
  };
}

type Seen = { number: number; type: string; subjectId: string };

test(`${CLIENTS * DROPS} streams of two processes dropped at random under writes: each client has the log, no more and no less`, async () => {
  const pick = seeded(SEED);
  const last = (await wholeLog()).at(-1)!.number + WRITES;
  const authorization = `Bearer ${venue.token}`;
  const plans = Array.from({ length: CLIENTS }, () => ({ at: pick(2), drops: Array.from({ length: DROPS }, () => pick(WRITES / 2)) }));
  let dropped = 0;

  const client = async ({ at, drops }: { at: number; drops: readonly number[] }): Promise<Seen[]> => {
    const seen: Seen[] = [];
    for (let time = 0; time < DROPS || (seen.at(-1)?.number ?? 0) < last;) {
      const stream = await follow(bases[(at + time) % 2]!, { authorization, 'last-event-id': String(seen.at(-1)?.number ?? 0) });
      if (stream.status === 503) continue; // a machine too slow to take all at once says so, and clients come back
      expect(stream.status).toBe(200);
      const most = drops[time] ?? Infinity;
      for (let got = 0; got < most && (seen.at(-1)?.number ?? 0) < last;) {
        const message = await stream.next();
        if (message === null) break;
        if (message.event !== 'change') continue;
        const { number, type, subjectId } = JSON.parse(message.data) as Seen;
        expect(message.id).toBe(String(number));
        seen.push({ number, type, subjectId });
        got += 1;
      }
      if (time < DROPS) dropped += 1;
      time += 1;
      stream.drop();
    }
    return seen;
  };
  const write = async (from: number): Promise<void> => {
    for (let nth = from; nth < WRITES; nth += 4) {
      const { app } = nth % 2 === 0 ? first : second;
      const answered = await app.inject({
        method: 'POST',
        url: '/api/v1/venues',
        headers: { authorization, 'idempotency-key': `write-${nth}` },
        payload: { ...HALL, name: `Hall ${nth}` },
      });
      expect(answered.statusCode).toBe(201);
    }
  };
  const clients = plans.map(client);
  await Promise.all([0, 1, 2, 3].map(write));
  const log = await wholeLog();
  for (const seen of await Promise.all(clients)) expect(seen).toEqual(log);
  expect([log.at(-1)!.number, dropped]).toEqual([last, CLIENTS * DROPS]);
}, 120_000);

async function wholeLog(): Promise<Seen[]> {
  const log: Seen[] = [];
  for (let cursor = ''; ;) {
    const page = await venue.call('GET', `events/log?limit=100${cursor}`);
    log.push(...(page.body.items as Seen[]).map(({ number, type, subjectId }) => ({ number, type, subjectId })));
    const next = /[?&](cursor=[^&>]+)/.exec(JSON.stringify(page.headers.link ?? ''))?.[1];
    if (next === undefined) return log;
    cursor = `&${next}`;
  }
}

test('a stream says where it begins, brings what happens with who did it, and nothing of other organisations', async () => {
  const stream = await follow(bases[1]!, bearer(venue));
  expect(Object.fromEntries(stream.headers)).toMatchObject({
    'content-type': expect.stringMatching(/^text\/event-stream/) as unknown,
    'cache-control': 'no-store',
    'x-accel-buffering': 'no',
  });
  const { number, missed } = await stream.until('position');
  expect(missed).toBe(true);
  await stranger.call('POST', 'productions', { name: 'Of no concern' });
  const id = await makeHall(venue, 'Assembly rooms');
  const [at, actorName] = [first.clock.now.toISOString(), 'Venue manager'];
  const change = await stream.until('change');
  expect(change).toEqual({ number: Number(number) + 1, at, type: 'venue.created', subjectId: id, actorName });
  stream.drop();
  const again = await follow(bases[0]!, { ...bearer(venue), 'last-event-id': String(number) });
  expect(await again.until('position')).toEqual({ number, missed: false });
  expect(await again.until('change')).toEqual(change);
  again.drop();
  // A number that this organisation's log has not reached is of another one.
  const beyond = await follow(bases[0]!, { ...bearer(stranger), 'last-event-id': '900000' });
  expect(await beyond.until('position')).toMatchObject({ missed: true });
  beyond.drop();
});

test('who may not follow is told so before anything is sent', async () => {
  const ask = async (headers: Record<string, string>, query = '') => {
    const answered = await first.app.inject({ url: `/api/v1/events${query}`, headers });
    return [answered.statusCode, answered.json<{ type: string }>().type];
  };
  expect(await ask({})).toEqual([401, '/problems/not-signed-in']);
  expect(await ask({ ...bearer(venue), 'last-event-id': 'seven' })).toEqual([400, '/problems/invalid-request']);
  expect(await ask(bearer(venue), `?proposalId=${randomUUID()}`)).toEqual([404, '/problems/not-found']);
  expect(await ask(bearer(venue), `?proposalId=${randomUUID()}&spaceId=${randomUUID()}`)).toEqual([400, '/problems/invalid-request']);
  const head = await first.app.inject({ method: 'HEAD', url: '/api/v1/events', headers: bearer(venue) });
  expect([head.statusCode, head.body, head.headers['cache-control']]).toEqual([200, '', 'no-store']);
});

test('one person, and one process, hold only so many streams; a closed one makes room', async () => {
  const own = [await follow(narrowBase, bearer(venue)), await follow(narrowBase, bearer(venue))];
  const third = await follow(narrowBase, bearer(venue));
  expect([third.status, third.headers.get('retry-after')]).toEqual([429, '5']);
  const other = await follow(narrowBase, bearer(stranger));
  const full = await follow(narrowBase, bearer(stranger));
  expect([other.status, full.status, Number(full.headers.get('retry-after')) > 0]).toEqual([200, 503, true]);
  for (const stream of [...own, other]) stream.drop();
  await expect
    .poll(async () => {
      const stream = await follow(narrowBase, bearer(venue));
      stream.drop();
      return stream.status;
    })
    .toBe(200);
});

test('a stream ends when the sign-in is ended elsewhere, at once, and when it runs out', async () => {
  const person = await first.signUp('Leaving', 'venueOperator');
  const stream = await follow(bases[1]!, bearer(person));
  await stream.until('position');
  const began = performance.now();
  expect((await person.call('POST', 'auth/sign-out')).status).toBe(204);
  expect(await stream.until('ended')).toEqual({ why: 'not-signed-in' });
  expect(await stream.next()).toBeNull();
  expect(performance.now() - began).toBeLessThan(5000);

  const late = await first.signUp('Staying too long', 'venueOperator');
  const running = await follow(narrowBase, bearer(late));
  await running.until('position');
  narrow.clock.now = new Date(narrow.clock.now.getTime() + 3_600_000);
  expect(await running.until('ended')).toEqual({ why: 'not-signed-in' });
  narrow.clock.now = first.clock.now;
});

test('a lost connection for notices is made again, and what was written meanwhile is brought', async () => {
  const stream = await follow(bases[1]!, bearer(venue));
  await stream.until('position');
  const client = new pg.Client({ connectionString: first.database.superUrl });
  await client.connect();
  const { rowCount } = await client.query(
    `SELECT pg_terminate_backend(pid) FROM pg_stat_activity WHERE datname = current_database() AND application_name = 'roofbook notices'`,
  );
  expect(rowCount).toBeGreaterThan(0);
  await client.end();
  const id = await makeHall(venue, 'Written in silence');
  expect(await stream.until('change')).toMatchObject({ subjectId: id });
  stream.drop();
});

test('those who have a space open see each other across processes, within their organisation, and see them go', async () => {
  const hall = await makeHall(venue, 'Hall with a roof');
  const space = (await venue.call('POST', `venues/${hall}/spaces`, { name: 'Bowl', exposure: 'indoor' })).body.id;
  const query = `?spaceId=${space}`;
  const [one, outside] = [await follow(bases[0]!, bearer(venue), query), await follow(bases[0]!, bearer(stranger), query)];
  await one.until('position');
  const two = await follow(bases[1]!, bearer(venue), query);
  const me = { name: 'Venue manager', own: true, you: true };
  expect(await one.until('present')).toEqual({ people: [me] });
  expect(await two.until('present')).toEqual({ people: [me] });
  two.drop();
  expect(await one.until('present')).toEqual({ people: [] });
  await stranger.call('POST', 'productions', { name: 'The first that the other side hears of' });
  await outside.until('position');
  expect((await outside.next())?.event).toBe('change');
  for (const stream of [one, outside]) stream.drop();
});

test('a client that does not read is dropped, and one that does is waited for', async () => {
  const stream = new EventStream();
  const line = 'x'.repeat(1000);
  let sent = 0;
  while (stream.send('change', line, sent)) sent += 1;
  expect([stream.destroyed, sent > 200, sent < 300]).toEqual([true, true, true]);
  const read = new EventStream();
  for (let nth = 0; nth < 50; nth++) read.send('change', line, nth);
  const drained = read.drained();
  read.resume();
  await drained;
  expect(read.destroyed).toBe(false);
});

test('a process that stops ends its streams and is gone at once', async () => {
  const stream = await follow(narrowBase, bearer(venue));
  await stream.until('position');
  const began = performance.now();
  await narrow.app.close();
  expect(await stream.next()).toBeNull();
  expect(performance.now() - began).toBeLessThan(8000);
});
