import { randomUUID } from 'node:crypto';
import { Logger, runTaskList, type TaskList, type WorkerPool } from 'graphile-worker';
import type pino from 'pino';
import type { Queue } from '../store/queue.ts';
import type { Store } from '../store/store.ts';
import { reAssess } from './re-assess.ts';

export type Worker = { stop: () => Promise<void> };

/** How often it makes sure that it is there itself, and looks for jobs whose worker is not any more. */
const LOOK_ROUND_EVERY_MS = 5000;
/** It is told of new jobs; this is for those that wait for a later time, to be tried again. */
const POLL_EVERY_MS = 2000;

/** Takes up background work, one job at a time, until it is stopped. A database that is away is waited for. */
export function startWorker({ queue, store, log }: { queue: Queue; store: Store; log: pino.Logger }): Worker {
  const workerId = `worker-${randomUUID()}`;
  const stopping = new AbortController();
  const tasks: TaskList = { 're-assess': reAssess(store, stopping.signal) };
  const options = { workerId, concurrency: 1, noHandleSignals: true, pollInterval: POLL_EVERY_MS, logger: loggerTo(log) };
  let pool: WorkerPool | null = null;
  let lookAgain: NodeJS.Timeout | null = null;

  async function lookRound(): Promise<void> {
    try {
      await queue.attend(workerId);
      await queue.freeJobsOfTheDead();
      if (!stopping.signal.aborted) pool ??= runTaskList(options, tasks, queue.pool);
    } catch (error) {
      log.error({ err: error }, 'Background work waits: the database does not answer.');
    }
    if (!stopping.signal.aborted) lookAgain = setTimeout(() => void (looking = lookRound()), LOOK_ROUND_EVERY_MS);
  }
  let looking = lookRound();

  return {
    stop: async () => {
      stopping.abort();
      await looking;
      if (lookAgain) clearTimeout(lookAgain);
      await pool?.gracefulShutdown('asked to stop'); // the job under way puts the rest of itself back
      await queue.close();
    },
  };
}

const loggerTo = (log: pino.Logger): Logger =>
  new Logger(() => (level, message, meta) => {
    const facts = { worker: true, ...(meta?.error === undefined ? {} : { err: meta.error as unknown }) };
    const name: string = level;
    if (name === 'error') log.error(facts, message);
    else if (name === 'warning') log.warn(facts, message);
    else log.debug(facts, message);
  });
