// A store of its own in a process of its own, which does background work too. It is asked by messages: see store-in-process.ts.
import pino from 'pino';
import { startWorker } from '../../src/jobs/worker.ts';
import { openQueue } from '../../src/store/queue.ts';
import { createStore } from '../../src/store/store.ts';
import { plainly } from './scene.ts';
import type { Asked, Answered } from './store-in-process.ts';

const [, , url] = process.argv;
if (url === undefined) throw new Error('Give the login.');
let now = new Date();
const store = createStore({ url, now: () => now, poolSize: 4 });
const worker = startWorker({ queue: openQueue(url), store, log: pino({ level: 'error' }) });

type Operation = (...args: unknown[]) => Promise<unknown>;
const rooms: Record<string, Record<string, Operation>> = store as never; // named by messages of our own tests alone

async function answer({ id, at, room, operation, args, acts }: Asked): Promise<Answered> {
  now = at;
  const { reply, value } = plainly<unknown>();
  const given = args.map((one) => (typeof one === 'object' && one !== null && 'note' in one ? { ...one, dayStartOf } : one));
  try {
    const result = await rooms[room]![operation]!(...given, ...(acts ? [reply] : []));
    return { id, result, presented: value() };
  } catch (error) {
    return { id, thrown: String(error) };
  }
}
const dayStartOf = (day: string) => `${day}T00:00:00.000Z`; // a function cannot be sent

process.on('message', (asked: Asked) => void answer(asked).then((answered) => process.send!(answered)));
process.on('disconnect', () => void worker.stop().then(() => process.exit()));
process.send!({ id: 0, result: 'ready' } satisfies Answered);
