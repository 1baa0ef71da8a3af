import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import { LiveConnection, type Change } from '../../../src/web/live/live-connection.ts';
import { EventText } from '../../../src/web/live/event-text.ts';
import { isTouched } from '../../../src/web/live/touched.ts';

beforeEach(() => void vi.useFakeTimers());
afterEach(() => void vi.useRealTimers());

type Asked = { query: string; lastId: string | undefined; say: (text: string) => void; hangUp: () => void; signal: AbortSignal };

/** A service that answers as it is told, and a connection to it. */
function scene() {
  const asked: Asked[] = [];
  const told = { changes: [] as Change[], missed: 0, refused: 0 };
  let status = 200;
  const live = new LiveConnection({
    ask: (query, headers, signal) => {
      if (status !== 200) return status === 0 ? Promise.reject(new Error('no network')) : Promise.resolve(new Response(null, { status }));
      const body = new ReadableStream<Uint8Array>({
        start: (control) => {
          signal.addEventListener('abort', () => {
            try {
              control.error(new Error('aborted'));
            } catch {
              // ended before
            }
          });
          asked.push({
            query,
            lastId: headers['last-event-id'],
            say: (text) => control.enqueue(new TextEncoder().encode(text)),
            hangUp: () => control.close(),
            signal,
          });
        },
      });
      return Promise.resolve(new Response(body));
    },
    onChanges: (changes) => void told.changes.push(...changes),
    onMissed: () => void (told.missed += 1),
    onRefused: () => void (told.refused += 1),
  });
  return { live, asked, told, answerWith: (next: number) => (status = next), settle: (ms = 100) => vi.advanceTimersByTimeAsync(ms) };
}
const position = (number: number, missed: boolean) => `event: position\nid: ${number}\ndata: ${JSON.stringify({ number, missed })}\n\n`;
const change = (number: number) =>
  `event: change\nid: ${number}\ndata: ${JSON.stringify({ number, at: '', type: 'proposal.agreed', subjectId: 'p', actorName: 'Maren' })}\n\n`;

test('a stream that breaks is taken up after the last event, and only a longer break is a lost connection', async () => {
  const { live, asked, told, settle } = scene();
  live.start();
  await settle();
  asked[0]!.say(`retry: 1000\n\n${position(7, true)}${change(8)}`);
  await settle();
  expect([live.read().state, told.missed, told.changes.map(({ number }) => number)]).toEqual(['up', 1, [8]]);
  asked[0]!.hangUp();
  await settle(2000);
  expect([asked.length, asked[1]!.lastId, live.read().state]).toEqual([2, '8', 'up']);
  asked[1]!.say(`${position(8, false)}${change(9)}`);
  await settle(5000);
  expect([live.read().state, told.missed, told.changes.length]).toEqual(['up', 1, 2]);
  live.stop();
});

test('a connection that stays away is said to be lost, and to be back, and what is shown is read again both times', async () => {
  const { live, asked, told, answerWith, settle } = scene();
  live.start();
  await settle();
  asked[0]!.say(position(7, false));
  await settle();
  answerWith(0);
  asked[0]!.hangUp();
  await settle(3_200);
  expect([live.read().state, told.missed]).toEqual(['lost', 1]);
  answerWith(200);
  live.tryNow();
  await settle();
  asked[1]!.say(position(7, false));
  await settle();
  expect([live.read().state, told.missed]).toEqual(['back', 2]);
  await settle(10_000);
  expect(live.read().state).toBe('up');
  live.stop();
});

test('silence is a broken stream; a comment now and then is none', async () => {
  const { live, asked, settle } = scene();
  live.start();
  await settle();
  asked[0]!.say(position(7, false));
  for (let times = 0; times < 5; times++) {
    await settle(12_000);
    asked[0]!.say(':\n\n');
  }
  await settle();
  expect(asked).toHaveLength(1);
  await settle(40_000);
  expect(asked.length).toBeGreaterThan(1);
  live.stop();
});

test('going to another page is one change of the stream, which goes on where it was', async () => {
  const { live, asked, settle } = scene();
  live.start();
  live.show({ kind: 'proposalId', id: 'p' });
  await settle();
  const open = asked.filter(({ signal }) => !signal.aborted);
  expect(open.map(({ query }) => query)).toEqual(['?proposalId=p']);
  open[0]!.say(`${position(7, true)}event: present\ndata: {"people":[{"name":"Maren","own":true,"you":false}]}\n\n`);
  await settle();
  expect(live.read().people).toHaveLength(1);
  live.show(null);
  live.show({ kind: 'spaceId', id: 's' });
  await settle();
  const after = asked.filter(({ signal }) => !signal.aborted);
  expect(after.map(({ query, lastId }) => [query, lastId])).toEqual([['?spaceId=s', '7']]);
  expect(live.read().people).toEqual([]);
  live.stop();
  expect(asked.every(({ signal }) => signal.aborted)).toBe(true);
});

test('a sign-in that ended is told, by the stream or by a refusal', async () => {
  const { live, asked, told, answerWith, settle } = scene();
  live.start();
  await settle();
  answerWith(401);
  asked[0]!.say('event: ended\ndata: {"why":"not-signed-in"}\n\n');
  asked[0]!.hangUp();
  await settle(2500);
  expect(told.refused).toBeGreaterThan(1);
  live.stop();
});

test('text that comes in any pieces makes the same messages', () => {
  const whole = `retry: 1400\n\n:\n\n${position(7, true)}${change(8)}data: one\ndata: two\n\n`;
  const read = (size: number) => {
    const text = new EventText();
    const messages = [];
    for (let at = 0; at < whole.length; at += size) messages.push(...text.push(whole.slice(at, at + size)));
    return { messages, retryMs: text.retryMs };
  };
  const wanted = read(whole.length);
  expect(wanted).toMatchObject({
    retryMs: 1400,
    messages: [{ event: 'position', id: '7' }, { event: 'change', id: '8' }, { data: 'one\ntwo' }],
  });
  for (const size of [1, 2, 3, 7]) expect(read(size)).toEqual(wanted);
});

test('a change makes stale what shows its subject and lists of its kind, never what is edited or cannot change', () => {
  const of = (type: string): Change => ({ number: 1, at: '', type, subjectId: 'p', actorName: '' });
  expect(isTouched(['proposal', 'p'], of('comment.added'))).toBe(true);
  expect(isTouched(['board', 'x'], of('proposal.agreed'))).toBe(true);
  expect(isTouched(['proposal', 'q'], of('proposal.agreed'))).toBe(false);
  for (const head of ['plan', 'structure', 'roof', 'frozen-plan']) expect(isTouched([head, 'p'], of('proposal.planChanged'))).toBe(false);
});
