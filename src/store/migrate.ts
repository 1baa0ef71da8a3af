import { createHash, randomUUID } from 'node:crypto';
import { readFile, readdir } from 'node:fs/promises';
import { join } from 'node:path';
import pg from 'pg';
import { fail, ok } from '../domain/foundation/result.ts';
import type { Result } from '../domain/foundation/result.ts';
import { makeQueueTables } from './queue-tables.ts';

// Prisma's layout of migrations and its table of the applied ones, applied by ourselves: its command-line tool downloads a binary, and
// its PostgreSQL adapter cuts a script at every semicolon, which breaks functions and leaves half a migration behind.

/** One folder of prisma/migrations. The checksum tells whether the file was changed after it was applied. */
export type Migration = { name: string; sql: string; checksum: string };
export type MigrateError =
  | { code: 'migration-changed'; migration: string }
  | { code: 'migration-failed'; migration: string; sqlState: string | null; reason: string }
  | { code: 'migration-unfinished'; migration: string };
export type Migrated = {
  applied: string[];
  /** Applied by a newer version of this service, and not on this disk. Old code runs on a new schema while versions change over. */
  newer: string[];
};

const MIGRATION_LOCK = 730_118_205; // one migrator at a time, others wait and then find nothing to do
const LOCK_TIMEOUT = '2s'; // a migration that waits for a table makes every later query of that table wait behind it
const TRIES = 3;
const LOCK_NOT_AVAILABLE = '55P03';

export async function readMigrations(migrationsDir: string): Promise<Migration[]> {
  const folders = (await readdir(migrationsDir, { withFileTypes: true })).filter((entry) => entry.isDirectory()).map(({ name }) => name);
  return Promise.all(
    folders.sort().map(async (name) => {
      const sql = await readFile(join(migrationsDir, name, 'migration.sql'), 'utf8');
      return { name, sql, checksum: createHash('sha256').update(sql).digest('hex') };
    }),
  );
}

/**
 * Applies what the database lacks, in the order of the names: each file in one transaction together with its entry, so a migration is
 * applied whole or not at all. A statement that cannot run in a transaction is therefore not for a migration.
 * @param ownerUrl  the login that owns the tables
 */
export async function migrate(ownerUrl: string, migrations: readonly Migration[]): Promise<Result<Migrated, MigrateError>> {
  const client = new pg.Client({ connectionString: ownerUrl });
  await client.connect();
  try {
    await client.query('SELECT pg_advisory_lock($1)', [MIGRATION_LOCK]); // ends with the session
    await client.query(TABLE_OF_APPLIED);
    const known = await appliedMigrations(client);
    const applied: string[] = [];
    for (const migration of migrations) {
      const entry = known.get(migration.name);
      if (entry?.unfinished) return fail({ code: 'migration-unfinished', migration: migration.name });
      if (entry && entry.checksum !== migration.checksum) return fail({ code: 'migration-changed', migration: migration.name });
      if (entry) continue;
      if (applied.length === 0) await makeQueueTables(ownerUrl); // ours grant on them
      const done = await applyPatiently(client, migration);
      if (!done.ok) return done;
      applied.push(migration.name);
    }
    const onDisk = new Set(migrations.map(({ name }) => name));
    return ok({ applied, newer: [...known.keys()].filter((name) => !onDisk.has(name)) });
  } finally {
    await client.end();
  }
}

const TABLE_OF_APPLIED = `CREATE TABLE IF NOT EXISTS _prisma_migrations (
  id varchar(36) PRIMARY KEY, checksum varchar(64) NOT NULL, finished_at timestamptz, migration_name varchar(255) NOT NULL, logs text,
  rolled_back_at timestamptz, started_at timestamptz NOT NULL DEFAULT now(), applied_steps_count integer NOT NULL DEFAULT 0)`;

type Entry = { checksum: string; unfinished: boolean };
async function appliedMigrations(client: pg.Client): Promise<Map<string, Entry>> {
  const { rows } = await client.query<{ migration_name: string; checksum: string; unfinished: boolean }>(
    `SELECT migration_name, checksum, finished_at IS NULL AS unfinished FROM _prisma_migrations WHERE rolled_back_at IS NULL`,
  );
  return new Map(rows.map((row) => [row.migration_name, row]));
}

async function applyPatiently(client: pg.Client, migration: Migration): Promise<Result<void, MigrateError>> {
  for (let attempt = 1; ; attempt += 1) {
    const done = await apply(client, migration);
    if (done.ok || done.error.sqlState !== LOCK_NOT_AVAILABLE || attempt === TRIES) return done;
  }
}

type Failed = Extract<MigrateError, { code: 'migration-failed' }>;
async function apply(client: pg.Client, { name, sql, checksum }: Migration): Promise<Result<void, Failed>> {
  try {
    await client.query('BEGIN');
    await client.query(`SET LOCAL lock_timeout = '${LOCK_TIMEOUT}'`);
    await client.query(sql);
    await client.query(
      `INSERT INTO _prisma_migrations (id, checksum, migration_name, started_at, finished_at, applied_steps_count)
       VALUES ($1, $2, $3, transaction_timestamp(), clock_timestamp(), 1)`,
      [randomUUID(), checksum, name],
    );
    await client.query('COMMIT');
    return ok(undefined);
  } catch (error) {
    await client.query('ROLLBACK').catch(() => {}); // the connection may be what failed
    const sqlState = error instanceof pg.DatabaseError ? (error.code ?? null) : null;
    return fail({ code: 'migration-failed', migration: name, sqlState, reason: error instanceof Error ? error.message : String(error) });
  }
}
