import { afterAll, beforeAll, expect, test } from 'vitest';
import pg from 'pg';
import { freshDatabase } from '../support/database.ts';
import type { TestDatabase } from '../support/database.ts';

let database: TestDatabase;
let client: pg.Client;
beforeAll(async () => {
  database = await freshDatabase();
  client = new pg.Client({ connectionString: database.superUrl });
  await client.connect();
});
afterAll(async () => {
  await client.end();
  await database.drop();
});

const linesOf = async (sql: string): Promise<string[]> => (await client.query<{ line: string }>(sql)).rows.map(({ line }) => line);

// A column of one of these names says whose a row is.
const OF_ORGANISATIONS = `
  SELECT DISTINCT c.oid, c.relname, c.relrowsecurity, c.relforcerowsecurity FROM pg_class c JOIN pg_attribute a ON a.attrelid = c.oid
  WHERE c.relnamespace = 'public'::regnamespace AND c.relkind IN ('r', 'p') AND a.attname IN ('org_id', 'venue_org_id', 'tour_org_id') AND NOT a.attisdropped`;

test('every table with an organisation in it has row-level security, forced, and a policy', async () => {
  expect((await linesOf(`SELECT relname AS line FROM (${OF_ORGANISATIONS}) t`)).length).toBeGreaterThan(0);
  expect(await linesOf(`SELECT relname AS line FROM (${OF_ORGANISATIONS}) t WHERE NOT (relrowsecurity AND relforcerowsecurity)`)).toEqual(
    [],
  );
  expect(
    await linesOf(`SELECT relname AS line FROM (${OF_ORGANISATIONS}) t WHERE NOT EXISTS (SELECT FROM pg_policy WHERE polrelid = t.oid)`),
  ).toEqual([]);
});

const MAY = `
  SELECT c.relname, p.privilege FROM pg_class c CROSS JOIN unnest(ARRAY['SELECT', 'INSERT', 'UPDATE', 'DELETE', 'TRUNCATE', 'TRIGGER', 'REFERENCES']) p(privilege)
  WHERE c.relnamespace = 'public'::regnamespace AND c.relkind IN ('r', 'p', 'v', 'm')
    AND (has_table_privilege('roofbook_app', c.oid, p.privilege) OR (p.privilege IN ('SELECT', 'INSERT', 'UPDATE', 'REFERENCES') AND has_any_column_privilege('roofbook_app', c.oid, p.privilege)))`;

test('what is written once can be neither changed nor deleted by the application', async () => {
  // The trigger written_once marks the tables.
  const marked = `SELECT tgrelid::regclass::text AS line FROM pg_trigger WHERE tgname = 'written_once' ORDER BY 1`;
  const tables = await linesOf(marked);
  expect(tables).toEqual(expect.arrayContaining(['audit_entry', 'decision', 'event', 'revision']));
  const may = `SELECT format('%s %s', privilege, relname) AS line FROM (${MAY}) m WHERE privilege IN ('UPDATE', 'DELETE') AND relname IN (SELECT tgrelid::regclass::text FROM pg_trigger WHERE tgname = 'written_once')`;
  expect(await linesOf(may)).toEqual([]);
});

test('the application may nowhere empty a table, hang a trigger on it or refer to it', async () => {
  expect(
    await linesOf(
      `SELECT format('%s %s', privilege, relname) AS line FROM (${MAY}) m WHERE privilege IN ('TRUNCATE', 'TRIGGER', 'REFERENCES')`,
    ),
  ).toEqual([]);
});

test('nobody but the owner and the granted roles may read anything', async () => {
  const open = `SELECT relname::text AS line FROM pg_class WHERE relnamespace = 'public'::regnamespace AND relacl::text ~ '[{,]=[a-zA-Z]'`;
  expect(await linesOf(open)).toEqual([]);
  expect(await linesOf(`SELECT 'creates' AS line WHERE has_schema_privilege('roofbook_app', 'public', 'CREATE')`)).toEqual([]);
});

test('background work goes in by one function, and out to the worker alone, who may read nothing else', async () => {
  const mayUse = (role: string, schema: string) =>
    linesOf(`SELECT relname AS line FROM pg_class WHERE relnamespace = '${schema}'::regnamespace AND relkind IN ('r', 'v')
      AND has_schema_privilege('${role}', '${schema}', 'USAGE') AND has_table_privilege('${role}', oid, 'SELECT, INSERT, UPDATE, DELETE')`);
  expect(await mayUse('roofbook_app', 'graphile_worker')).toEqual([]);
  expect(await mayUse('roofbook_worker', 'public')).toEqual([]);
  expect(await mayUse('roofbook_worker', 'graphile_worker')).toContain('_private_jobs');
  expect(
    await linesOf(`SELECT 'enqueues' AS line WHERE has_function_privilege('roofbook_worker', 'enqueue(text, jsonb, text)', 'EXECUTE')`),
  ).toEqual([]);
});

test("a function that runs with its owner's rights fixes its search path, or a caller could slip another table under it", async () => {
  const loose = `
    SELECT oid::regprocedure::text AS line FROM pg_proc
    WHERE pronamespace = 'public'::regnamespace AND prosecdef AND NOT coalesce(proconfig::text, '') LIKE '%search_path=%'`;
  expect(await linesOf(loose)).toEqual([]);
});
