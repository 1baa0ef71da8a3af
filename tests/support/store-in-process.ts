import { fork } from 'node:child_process';
import { join } from 'node:path';
import type { Reply } from '../../src/store/once.ts';
import type { Store } from '../../src/store/store.ts';

export type Asked = { id: number; at: Date; room: string; operation: string; args: unknown[]; acts: boolean };
export type Answered = { id: number; result?: unknown; presented?: unknown; thrown?: string };

/** The same store to its caller, in a process of its own. */
export async function storeInProcess(url: string, now: () => Date): Promise<Store> {
  const child = fork(join(import.meta.dirname, 'store-process.ts'), [url], {
    execArgv: ['--import', 'tsx'],
    serialization: 'advanced', // instants stay instants
  });
  const waiting = new Map<number, (answered: Answered) => void>();
  const ready = new Promise<void>((resolve) => waiting.set(0, () => resolve()));
  child.on('message', (answered: Answered) => waiting.get(answered.id)?.(answered));
  let asked = 0;

  async function ask(room: string, operation: string, args: unknown[]): Promise<unknown> {
    const reply = args.find(isReply);
    const plain = args.filter((one) => one !== reply).map(withoutFunctions);
    asked += 1;
    const id = asked;
    const { result, presented, thrown } = await new Promise<Answered>((resolve) => {
      waiting.set(id, resolve);
      child.send({ id, at: now(), room, operation, args: plain, acts: reply !== undefined } satisfies Asked);
    });
    waiting.delete(id);
    if (thrown !== undefined) throw new Error(thrown);
    if (reply && presented !== undefined) reply.present(presented);
    return result;
  }
  const roomOf = (room: string) =>
    new Proxy(
      {},
      {
        get:
          (_, operation: string) =>
          (...args: unknown[]) =>
            ask(room, operation, args),
      },
    );
  const close = async () => child.disconnect();
  await ready;
  return new Proxy({}, { get: (_, room: string) => (room === 'then' ? undefined : room === 'close' ? close : roomOf(room)) }) as Store;
}

const isReply = (one: unknown): one is Reply<unknown> => typeof one === 'object' && one !== null && 'present' in one;
const withoutFunctions = (one: unknown): unknown =>
  typeof one === 'object' && one !== null && !(one instanceof Date)
    ? Object.fromEntries(Object.entries(one).filter(([, value]) => typeof value !== 'function'))
    : one;
