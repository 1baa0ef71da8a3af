import { createHash } from 'node:crypto';
import { afterEach, beforeEach, expect, test } from 'vitest';
import pg from 'pg';
import { migrate, readMigrations } from '../../src/store/migrate.ts';
import type { Migration } from '../../src/store/migrate.ts';
import { MIGRATIONS_DIR } from '../support/cluster.ts';
import { emptyDatabase } from '../support/database.ts';
import type { TestDatabase } from '../support/database.ts';

let database: TestDatabase;
let client: pg.Client;
beforeEach(async () => {
  database = await emptyDatabase();
  client = new pg.Client({ connectionString: database.ownerUrl });
  await client.connect();
});
afterEach(async () => {
  await client.end();
  await database.drop();
});

const migrationOf = (name: string, sql: string): Migration => ({ name, sql, checksum: createHash('sha256').update(sql).digest('hex') });
const tables = async () =>
  (await client.query<{ tablename: string }>(`SELECT tablename FROM pg_tables WHERE schemaname = 'public' ORDER BY 1`)).rows.map(
    (row) => row.tablename,
  );

test('a database gets what it lacks, once and in order', async () => {
  const first = migrationOf('0001_a', 'CREATE TABLE a (id int PRIMARY KEY)');
  const second = migrationOf('0002_b', 'CREATE TABLE b (a_id int REFERENCES a)');
  expect(await migrate(database.ownerUrl, [first])).toEqual({ ok: true, value: { applied: ['0001_a'], newer: [] } });
  expect(await migrate(database.ownerUrl, [first, second])).toEqual({ ok: true, value: { applied: ['0002_b'], newer: [] } });
  expect(await migrate(database.ownerUrl, [first, second])).toEqual({ ok: true, value: { applied: [], newer: [] } });
  expect(await tables()).toEqual(['_prisma_migrations', 'a', 'b']);
});

test('semicolons in functions, texts and comments do not cut a migration', async () => {
  const sql = `-- one; two
    CREATE FUNCTION twice(n int) RETURNS int LANGUAGE plpgsql AS $$ BEGIN n := n * 2; RETURN n; END $$;
    CREATE TABLE a (t text DEFAULT 'x;y');`;
  expect((await migrate(database.ownerUrl, [migrationOf('0001_a', sql)])).ok).toBe(true);
  expect((await client.query('SELECT twice(21)')).rows).toEqual([{ twice: 42 }]);
});

test('a migration that fails leaves nothing behind, and the next start tries it again', async () => {
  const broken = migrationOf('0001_a', 'CREATE TABLE a (id int); INSERT INTO a VALUES (1); SELECT 1 / 0;');
  expect(await migrate(database.ownerUrl, [broken])).toMatchObject({
    ok: false,
    error: { code: 'migration-failed', migration: '0001_a', sqlState: '22012' },
  });
  expect(await tables()).toEqual(['_prisma_migrations']);
  expect((await migrate(database.ownerUrl, [migrationOf('0001_a', 'CREATE TABLE a (id int)')])).ok).toBe(true);
});

test('a migration that was changed after it was applied is refused', async () => {
  await migrate(database.ownerUrl, [migrationOf('0001_a', 'CREATE TABLE a (id int)')]);
  const changed = await migrate(database.ownerUrl, [migrationOf('0001_a', 'CREATE TABLE a (id bigint)')]);
  expect(changed).toEqual({ ok: false, error: { code: 'migration-changed', migration: '0001_a' } });
});

test('one that another tool left unfinished is refused', async () => {
  await migrate(database.ownerUrl, [migrationOf('0001_a', 'SELECT 1')]);
  await client.query('UPDATE _prisma_migrations SET finished_at = NULL');
  const refused = await migrate(database.ownerUrl, [migrationOf('0001_a', 'SELECT 1')]);
  expect(refused).toEqual({ ok: false, error: { code: 'migration-unfinished', migration: '0001_a' } });
});

test('old code on a newer schema is told of it and goes on', async () => {
  await migrate(database.ownerUrl, [migrationOf('0001_a', 'SELECT 1'), migrationOf('0002_b', 'SELECT 1')]);
  expect(await migrate(database.ownerUrl, [migrationOf('0001_a', 'SELECT 1')])).toEqual({
    ok: true,
    value: { applied: [], newer: ['0002_b'] },
  });
});

test('eight starts at once migrate once', async () => {
  const migrations = [
    migrationOf('0001_a', 'CREATE TABLE a (id int); SELECT pg_sleep(0.1);'),
    migrationOf('0002_b', 'CREATE TABLE b (id int)'),
  ];
  const all = await Promise.all(Array.from({ length: 8 }, () => migrate(database.ownerUrl, migrations)));
  expect(all.flatMap((one) => (one.ok ? one.value.applied : ['failed']))).toEqual(['0001_a', '0002_b']);
});

test(
  'a table in long use delays a migration and then refuses it, instead of holding up everybody behind it',
  { timeout: 60_000 },
  async () => {
    await migrate(database.ownerUrl, [migrationOf('0001_a', 'CREATE TABLE a (id int)')]);
    await client.query('BEGIN');
    await client.query('LOCK TABLE a IN ACCESS SHARE MODE');
    const waiting = await migrate(database.ownerUrl, [
      migrationOf('0001_a', 'CREATE TABLE a (id int)'),
      migrationOf('0002_b', 'ALTER TABLE a ADD COLUMN b int'),
    ]);
    await client.query('ROLLBACK');
    expect(waiting).toMatchObject({ ok: false, error: { code: 'migration-failed', migration: '0002_b', sqlState: '55P03' } });
  },
);

test("the project's migrations apply to an empty database as the owner, who is no superuser", async () => {
  const migrations = await readMigrations(MIGRATIONS_DIR);
  expect(migrations.length).toBeGreaterThan(0);
  const migrated = await migrate(database.ownerUrl, migrations);
  expect(migrated).toEqual({ ok: true, value: { applied: migrations.map(({ name }) => name), newer: [] } });
});
