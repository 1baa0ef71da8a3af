import { afterAll, beforeAll, expect, test } from 'vitest';
import pg from 'pg';
import { makeRolesFromEnvironment } from '../../src/store/roles-command.ts';
import { checkLogin, checkReachable } from '../../src/store/roles.ts';
import { freshDatabase } from '../support/database.ts';
import type { TestDatabase } from '../support/database.ts';

let database: TestDatabase;
let admin: pg.Client;
beforeAll(async () => {
  database = await freshDatabase();
  admin = new pg.Client({ connectionString: database.superUrl });
  await admin.connect();
});
afterAll(async () => {
  await admin.end();
  await database.drop();
});

/** Logins belong to the whole server: one of a name of its own, gone after the check. */
async function withLogin<T>(attributes: string, then: (url: string) => Promise<T>): Promise<T> {
  const name = `${database.name}_login`;
  await admin.query(`CREATE ROLE ${name} LOGIN PASSWORD 'x' ${attributes}`);
  await admin.query(`GRANT CONNECT ON DATABASE ${database.name} TO ${name}`);
  try {
    const url = new URL(database.superUrl);
    [url.username, url.password] = [name, 'x'];
    return await then(url.href);
  } finally {
    await admin.query(`DROP OWNED BY ${name}`);
    await admin.query(`DROP ROLE ${name}`);
  }
}
const checked = (attributes: string) => withLogin(attributes, (url) => checkLogin(url, 'DATABASE_URL'));
const unfit = (because: string) => ({ ok: false, error: { code: 'database-login-unfit', variable: 'DATABASE_URL', because } });

test("the application's login is safe, the owner's and a superuser's are not", async () => {
  expect(await checkLogin(database.appUrl, 'DATABASE_URL')).toEqual({ ok: true, value: undefined });
  expect(await checkLogin(database.workerUrl, 'DATABASE_URL')).toEqual({ ok: true, value: undefined });
  expect(await checkLogin(database.ownerUrl, 'DATABASE_URL')).toMatchObject(unfit('owns-tables'));
  expect(await checkLogin(database.superUrl, 'DATABASE_URL')).toMatchObject(unfit('is-superuser'));
});

test('a login that bypasses policies, or can become one that does, is refused', async () => {
  expect(await checked('IN ROLE roofbook_worker')).toEqual({ ok: true, value: undefined });
  expect(await checked('BYPASSRLS')).toMatchObject(unfit('bypasses-row-security'));
  expect(await checked('NOINHERIT IN ROLE roofbook_owner')).toMatchObject(unfit('owns-tables'));
});

test('a login that cannot do background work is refused', async () => {
  expect(await checked('')).toMatchObject(unfit('lacks-worker-role'));
});

test('a login that owns a single table is refused', async () => {
  const found = await withLogin('IN ROLE roofbook_worker', async (url) => {
    await admin.query(`CREATE TABLE stray (id int); ALTER TABLE stray OWNER TO ${new URL(url).username}`);
    return checkLogin(url, 'DATABASE_URL');
  });
  expect(found).toMatchObject(unfit('owns-tables'));
});

test('a server that does not answer is named by its variable', async () => {
  expect(await checkReachable(database.appUrl, 'DATABASE_URL')).toEqual({ ok: true, value: undefined });
  const wrong = new URL(database.appUrl);
  wrong.password = 'wrong';
  expect(await checkReachable(wrong.href, 'DATABASE_URL')).toMatchObject({
    ok: false,
    error: { code: 'database-unreachable', variable: 'DATABASE_URL' },
  });
  wrong.port = '1'; // reserved: nothing of ours listens there
  expect(await checkReachable(wrong.href, 'DATABASE_URL')).toMatchObject({ ok: false, error: { code: 'database-unreachable' } });
});

test('a start that is too busy to look at the answer in time looks again', async () => {
  const checking = checkReachable(database.appUrl, 'DATABASE_URL', 200);
  setImmediate(() => {
    const until = performance.now() + 300;
    while (performance.now() < until); // as loading modules does
  });
  expect(await checking).toEqual({ ok: true, value: undefined });
});

test('no login but the owner and the application enters a database', async () => {
  await expect(
    withLogin('', async (url) => {
      await admin.query(`REVOKE CONNECT ON DATABASE ${database.name} FROM ${new URL(url).username}`);
      const client = new pg.Client({ connectionString: url });
      await client.connect().finally(() => client.end().catch(() => {}));
    }),
  ).rejects.toMatchObject({ code: '42501' });
});

test('make-roles makes the database of the two logins, and says what is wrong with them', async () => {
  const named = (url: string) => Object.assign(new URL(url), { pathname: `/${database.name}_new` }).href;
  const environment = {
    ADMIN_DATABASE_URL: database.superUrl,
    DATABASE_URL: named(database.appUrl),
    MIGRATION_DATABASE_URL: named(database.ownerUrl),
  };
  expect(await makeRolesFromEnvironment(environment)).toBeNull();
  expect(await makeRolesFromEnvironment(environment)).toBeNull(); // again changes nothing
  expect(await checkReachable(environment.DATABASE_URL, 'DATABASE_URL')).toEqual({ ok: true, value: undefined });
  await admin.query(`DROP DATABASE ${database.name}_new WITH (FORCE)`);

  expect(await makeRolesFromEnvironment({ ...environment, DATABASE_URL: named(database.ownerUrl) })).toContain('roofbook_app');
  expect(await makeRolesFromEnvironment({ ...environment, DATABASE_URL: database.appUrl })).toContain('one database');
  expect(await makeRolesFromEnvironment({ ...environment, ADMIN_DATABASE_URL: '' })).toContain('ADMIN_DATABASE_URL');
});
