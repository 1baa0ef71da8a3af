import { readFile } from 'node:fs/promises';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, test } from 'vitest';
import pg from 'pg';
import { openEngine, statementsFromEmpty } from '../../scripts/schema-engine.ts';
import { MIGRATIONS_DIR } from '../support/cluster.ts';
import { emptyDatabase, freshDatabase } from '../support/database.ts';
import type { TestDatabase } from '../support/database.ts';

let migrated: TestDatabase;
let drawn: TestDatabase;
beforeAll(async () => {
  migrated = await freshDatabase();
  drawn = await emptyDatabase();
});
afterAll(async () => {
  await migrated.drop();
  await drawn.drop();
});

async function rowsOf(url: string, sql: string): Promise<string[]> {
  const client = new pg.Client({ connectionString: url });
  await client.connect();
  try {
    const { rows } = await client.query<{ line: string }>(sql);
    return rows.map(({ line }) => line);
  } finally {
    await client.end();
  }
}

const COLUMNS = `
  SELECT format('%s.%s %s%s', table_name, column_name, coalesce(nullif(udt_name, ''), data_type),
    CASE is_nullable WHEN 'NO' THEN ' not null' ELSE '' END) AS line
  FROM information_schema.columns WHERE table_schema = 'public' AND table_name <> '_prisma_migrations' ORDER BY 1`;
const KEYS = `
  SELECT format('%s: %s', conrelid::regclass, pg_get_constraintdef(oid)) AS line
  FROM pg_constraint WHERE connamespace = 'public'::regnamespace AND contype IN ('p', 'f') AND conrelid::regclass::text <> '_prisma_migrations' ORDER BY 1`;

test('the migrations lead to what schema.prisma says: tables, columns, types, keys', async () => {
  const engine = await openEngine(drawn.ownerUrl);
  const schema = await readFile(join(MIGRATIONS_DIR, '../schema.prisma'), 'utf8');
  const client = new pg.Client({ connectionString: drawn.ownerUrl });
  await client.connect();
  await client.query(await statementsFromEmpty(engine, schema));
  await client.end();

  const columns = await rowsOf(drawn.superUrl, COLUMNS);
  expect(columns.length).toBeGreaterThan(0);
  expect(await rowsOf(migrated.superUrl, COLUMNS)).toEqual(columns);
  expect(await rowsOf(migrated.superUrl, KEYS)).toEqual(await rowsOf(drawn.superUrl, KEYS));
});
