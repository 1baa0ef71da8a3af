import { PrismaPg } from '@prisma/adapter-pg';
import { type Result } from '../domain/foundation/result.ts';
import { PrismaClient, Prisma } from './generated/client.ts';
import { appendHistory, type HistoryEntry } from './history.ts';

/** Who asks. Set for one transaction, where the database's own wall reads it; the queries' own conditions read it too. */
export type Scope = {
  readonly orgId: string | null;
  readonly personId: string | null;
  /** Hash of a presented invitation or API key: its holder may find its row. */
  readonly secretHash?: string;
};

/** A transaction: `sql` runs in it, `note` keeps what is appended to the organisations' history as its last statement. */
export type Tx = {
  readonly sql: Prisma.TransactionClient;
  readonly scope: Scope;
  readonly now: Date;
  readonly walls: Walls;
  readonly note: (entry: HistoryEntry) => void;
};

/** Two walls stand between organisations: the store's conditions and the database's policies. Tests take one away to see that the other holds. */
export type Walls = { readonly store: boolean };

export class TooBusy extends Error {
  readonly retryAfterS = 1;
  constructor() {
    super('every database connection is taken and the queue is full');
  }
}

/** The database is not there, or went away under a transaction: nothing was committed that was answered. */
export class DatabaseLost extends Error {
  override readonly name = 'DatabaseLost';
}

export type DatabaseOptions = {
  /** Where it is; a function is asked at the first connection, so that a store can be made before its database has started. */
  readonly url: string | (() => string);
  readonly now: () => Date;
  readonly poolSize?: number;
  readonly queueLength?: number;
  readonly walls?: Walls;
};

const CONNECTS_WITHIN_MS = 10_000;
const READY_WITHIN_MS = 5_000;
const RETRIES = 8;
const RETRIED = new Set(['40001', '40P01']); // serialization failure, deadlock: the whole transaction may simply run again

export class Database {
  readonly #prisma: PrismaClient;
  readonly #now: () => Date;
  readonly #walls: Walls;
  readonly #poolSize: number;
  readonly #queueLength: number;
  #running = 0;
  readonly #waiting: (() => void)[] = [];

  constructor({ url, now, poolSize = 10, queueLength = 500, walls = { store: true } }: DatabaseOptions) {
    this.#prisma = new PrismaClient({
      adapter: new PrismaPg({
        get connectionString() {
          return typeof url === 'string' ? url : url();
        },
        max: poolSize,
        connectionTimeoutMillis: CONNECTS_WITHIN_MS, // a connection that is taken and never answered must not hold its asker for ever
      }),
      transactionOptions: { maxWait: 10_000, timeout: 10_000 },
    });
    this.#now = now;
    this.#walls = walls;
    this.#poolSize = poolSize;
    this.#queueLength = queueLength;
  }

  /**
   * Runs `work` in one transaction as `scope`. A returned failure rolls back, so nothing is ever half-written;
   * serialization failures and deadlocks run again, bounded and with jitter.
   * Throws `TooBusy` when the queue is full, `DatabaseLost` when no connection could be had or kept.
   */
  async transaction<T, E>(scope: Scope, work: (tx: Tx) => Promise<Result<T, E>>): Promise<Result<T, E>> {
    const free = await this.#place();
    try {
      for (let attempt = 1; ; attempt += 1) {
        try {
          return await this.#once(scope, work);
        } catch (error) {
          if (error instanceof RolledBack) return error.failure as Result<T, E>;
          if (isLost(error)) throw new DatabaseLost('the database does not answer', { cause: error });
          if (attempt > RETRIES || !RETRIED.has(sqlState(error) ?? '')) throw error;
          await new Promise((resolve) => setTimeout(resolve, Math.random() * 5 * attempt));
        }
      }
    } finally {
      free();
    }
  }

  /** A transaction that cannot fail in a way the caller must handle: mostly a read. */
  async read<T>(scope: Scope, work: (tx: Tx) => Promise<T>): Promise<T> {
    const read = await this.transaction<T, never>(scope, async (tx) => ({ ok: true, value: await work(tx) }));
    if (!read.ok) throw new Error('a read does not fail');
    return read.value;
  }

  now(): Date {
    return this.#now();
  }

  /** Says no, rather than nothing, where the database does not answer. */
  async isReady(): Promise<boolean> {
    let patience: NodeJS.Timeout | undefined;
    const late = new Promise<boolean>((resolve) => {
      patience = setTimeout(() => resolve(false), READY_WITHIN_MS);
    });
    const answered = this.#prisma.$queryRaw`SELECT 1`.then(
      () => true,
      () => false,
    );
    return Promise.race([answered, late]).finally(() => clearTimeout(patience));
  }

  async close(): Promise<void> {
    await this.#prisma.$disconnect();
  }

  async #once<T, E>(scope: Scope, work: (tx: Tx) => Promise<Result<T, E>>): Promise<Result<T, E>> {
    const now = this.#now();
    return this.#prisma.$transaction(async (sql) => {
      await sql.$queryRaw`SELECT set_config('app.org', ${scope.orgId ?? ''}, true), set_config('app.person', ${scope.personId ?? ''}, true),
        set_config('app.secret', ${scope.secretHash ?? ''}, true), set_config('app.now', ${now.toISOString()}, true)`;
      const entries: HistoryEntry[] = [];
      const done = await work({ sql, scope, now, walls: this.#walls, note: (entry) => entries.push(entry) });
      if (!done.ok) throw new RolledBack(done);
      await appendHistory(sql, entries, now);
      return done;
    });
  }

  /** At most as many transactions as connections: Prisma's own wait gives up under contention. */
  async #place(): Promise<() => void> {
    if (this.#running >= this.#poolSize) {
      if (this.#waiting.length >= this.#queueLength) throw new TooBusy();
      await new Promise<void>((resolve) => this.#waiting.push(resolve));
    } else {
      this.#running += 1;
    }
    return () => {
      const next = this.#waiting.shift();
      if (next) next();
      else this.#running -= 1;
    };
  }
}

class RolledBack extends Error {
  readonly failure: Result<never, unknown>;
  constructor(failure: Result<never, unknown>) {
    super('rolled back');
    this.failure = failure;
  }
}

/** The five characters by which PostgreSQL names an error, wherever Prisma has put them. */
export function sqlState(error: unknown): string | null {
  if (!(error instanceof Prisma.PrismaClientKnownRequestError)) return null;
  const meta = error.meta as { driverAdapterError?: { cause?: { originalCode?: string } }; code?: string } | undefined;
  return meta?.driverAdapterError?.cause?.originalCode ?? meta?.code ?? null;
}

const LOST_CODES = new Set(['P1001', 'P1002', 'P1008', 'P1017', 'P2024']);
/** A connection that could not be made or did not last: PostgreSQL says FATAL, Prisma a P1 code, the driver only words. */
function isLost(error: unknown): boolean {
  if (error instanceof Prisma.PrismaClientKnownRequestError) {
    const { driverAdapterError } = (error.meta ?? {}) as { driverAdapterError?: { cause?: { severity?: string } } };
    return LOST_CODES.has(error.code) || driverAdapterError?.cause?.severity === 'FATAL';
  }
  return (
    error instanceof Error &&
    /encountered a connection error|Connection terminated|timeout exceeded when trying to connect|ECONNREFUSED|ECONNRESET/.test(
      error.message,
    )
  );
}

/** The store's own wall: a condition on the asker's organisation, or none where a test has taken this wall away. */
export function ownedBy(tx: Tx, ...columns: string[]): Prisma.Sql {
  if (!tx.walls.store) return Prisma.sql`TRUE`;
  const org = tx.scope.orgId;
  if (org === null) return Prisma.sql`FALSE`;
  return Prisma.sql`(${Prisma.join(
    columns.map((column) => Prisma.sql`${Prisma.raw(column)} = ${org}::uuid`),
    ' OR ',
  )})`;
}
