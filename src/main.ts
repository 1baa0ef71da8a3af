import type { Server, ServerResponse } from 'node:http';
import { join } from 'node:path';
import type { FastifyInstance } from 'fastify';
import pino from 'pino';
import type { Logger } from 'pino';
import { readConfig } from './config.ts';
import type { Config } from './config.ts';
import { openDatabase } from './open-database.ts';
import type { Worker } from './jobs/worker.ts';
import type { Store } from './store/store.ts';
import { explainConfig, explainListen, explainOpen } from './start-refusals.ts';

const PROJECT_DIR = join(import.meta.dirname, '..'); // of dist/ as of src/
const GRACE_MS = 10_000; // for requests in flight when asked to stop
// npm passes Ctrl-C on to a process that has had it from the terminal already: only a later one means "now".
const SECOND_SIGNAL_AFTER_MS = 500;

type Service = {
  app: FastifyInstance;
  answers: ReturnType<typeof openAnswers>;
  store: Store;
  /** Whether it is there, once it has been looked for and loaded. */
  demo: Promise<boolean>;
  /** Null where other processes do the background work. */
  worker: Promise<Worker | null>;
  closeDatabase: () => Promise<void>;
};

/** Null when it was refused: the reason is printed. */
async function start(config: Config, log: Logger): Promise<Service | null> {
  const now = () => new Date();
  let appUrl = '';
  // The application takes as long to build as PostgreSQL to start, which waits for other processes: both at once.
  const opening = openDatabase(config.database, PROJECT_DIR, (line) => log.warn(line));
  const building = buildOn(() => appUrl, config, now, log);
  const [open, built] = await Promise.allSettled([opening, building]);
  if (open.status === 'rejected') throw open.reason;
  const opened = open.value;
  if (built.status === 'rejected') {
    if (opened.ok) await opened.value.close();
    throw built.reason;
  }
  const { app, store } = built.value;
  if (!opened.ok) {
    await app.close();
    await store.close();
    return refuse(explainOpen(opened.error));
  }
  const { applied, newer, takenOver, close } = opened.value;
  appUrl = opened.value.appUrl;
  if (takenOver) log.warn('Took over the database of a process that was killed.');
  if (applied.length > 0) log.info({ migrations: applied }, 'Migrated the database.');
  if (newer.length > 0) log.warn({ migrations: newer }, 'The database was migrated by a newer version of this service.');
  try {
    const answers = openAnswers(app.server);
    const listening = await app.listen({ port: config.port, host: config.host }).then(
      () => null,
      (error: NodeJS.ErrnoException) => error,
    );
    if (listening === null) {
      const demo = config.loadDemo ? withDemo(store, now, app.passwords.hash) : Promise.resolve(false);
      demo.catch((error: unknown) => log.error({ err: error }, 'The demonstration could not be loaded.'));
      const worker = demo.catch(() => false).then(() => (config.backgroundWork ? withWorker(appUrl, store, log) : null));
      return { app, answers, store, demo, worker, closeDatabase: close };
    }
    await app.close();
    await store.close();
    await close();
    return refuse(explainListen(listening.code ?? listening.message, config));
  } catch (error) {
    await close();
    throw error;
  }
}

/** @param url  of the application's login; asked when the first question is */
async function buildOn(url: () => string, config: Config, now: () => Date, log: Logger): Promise<{ app: FastifyInstance; store: Store }> {
  const [{ buildApp }, { createStore }] = await Promise.all([import('./app.ts'), import('./store/store.ts')]);
  const store = createStore({ url, now, poolSize: config.poolSize });
  return { store, app: await buildApp({ store, config, now, log }) };
}

/** Loaded last: nobody who waits for the service to answer waits for it. */
async function withWorker(appUrl: string, store: Store, log: Logger): Promise<Worker> {
  const [{ startWorker }, { openQueue }] = await Promise.all([import('./jobs/worker.ts'), import('./store/queue.ts')]);
  return startWorker({ queue: openQueue(appUrl), store, log });
}

/** Fills an empty service with the demonstration. True where it is there. */
async function withDemo(store: Store, now: () => Date, hash: (password: string) => Promise<string>): Promise<boolean> {
  const { DEMO_SIGN_INS, loadDemo } = await import('./demo/load.ts');
  if (await store.accounts.isEmpty()) await loadDemo(store, now, hash);
  return (await store.accounts.credentials({ email: DEMO_SIGN_INS[0].email })) !== null;
}

function refuse(text: string): null {
  console.error(text);
  process.exitCode = 1;
  return null;
}

/** Answers begun and not ended. Told to, each closes its connection when it ends, which would else stay open for the next request. */
function openAnswers(server: Server): { closeAfter: () => void } {
  const answers = new Set<ServerResponse>();
  server.prependListener('request', (_request, answer: ServerResponse) => {
    answers.add(answer);
    answer.once('close', () => answers.delete(answer));
  });
  return {
    closeAfter: () => {
      for (const answer of answers) if (!answer.headersSent) answer.setHeader('connection', 'close');
    },
  };
}

/** Requests first, then the database, so that what was asked before the signal is answered. */
async function stop({ app, answers, store, demo, worker, closeDatabase }: Service): Promise<void> {
  const patience = setTimeout(() => app.server.closeAllConnections(), GRACE_MS);
  answers.closeAfter();
  await app.close();
  clearTimeout(patience);
  await demo.catch(() => false); // told when it failed
  await (await worker)?.stop();
  await store.close();
  await closeDatabase();
}

function onSignals(service: Promise<Service | null>): void {
  let firstAtMs: number | null = null;
  const onSignal = (): void => {
    if (firstAtMs === null) {
      firstAtMs = performance.now();
      void service.then(async (started) => {
        if (started) await stop(started);
        process.exit();
      });
    } else if (performance.now() - firstAtMs > SECOND_SIGNAL_AFTER_MS) {
      // Requests are dropped where they stand. The embedded database may stay behind: the next start takes it over.
      process.exit(1);
    }
  };
  for (const signal of ['SIGTERM', 'SIGINT', 'SIGHUP'] as const) process.on(signal, onSignal);
}

const config = readConfig(process.env);
if (config.ok) {
  const service = start(config.value, pino({ level: config.value.logLevel }));
  onSignals(service);
  const started = await service;
  if (started) console.log(`Roofbook is at ${config.value.publicUrl}`);
  if (await started?.demo.catch(() => false)) console.log((await import('./demo/greeting.ts')).demoGreeting(config.value.publicUrl));
} else {
  refuse(explainConfig(config.error));
}
