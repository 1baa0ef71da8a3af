import pg from 'pg';
import { fail, ok } from '../domain/foundation/result.ts';
import type { Result } from '../domain/foundation/result.ts';

/** Logins belong to the whole server, not to a database, so migrations only grant to them and they are made here. */
export const ROLES = { owner: 'roofbook_owner', app: 'roofbook_app', worker: 'roofbook_worker' } as const;
/** Without a password the worker's role exists, because migrations grant to it, and cannot sign in. */
export type RolePasswords = { owner: string; app: string; worker?: string };
export type UnfitLogin = {
  code: 'database-login-unfit';
  variable: string;
  login: string;
  because: 'is-superuser' | 'bypasses-row-security' | 'owns-tables' | 'lacks-worker-role';
};

const CONNECT_TIMEOUT_MS = 5000;
const ROLES_LOCK = 730_118_206;

/**
 * Makes the three roles where missing, sets their passwords, and makes the database, which belongs to the owner.
 * @param adminUrl  a superuser's login, to any database of the server
 */
export async function makeRoles(adminUrl: string, passwords: RolePasswords, database: string): Promise<void> {
  const client = new pg.Client({ connectionString: adminUrl });
  await client.connect();
  try {
    await client.query('SELECT pg_advisory_lock($1)', [ROLES_LOCK]); // two services may start at once on one server
    for (const part of ['owner', 'app', 'worker'] as const) {
      const login = ROLES[part];
      const { rowCount } = await client.query('SELECT FROM pg_roles WHERE rolname = $1', [login]);
      const verb = rowCount === 0 ? 'CREATE' : 'ALTER';
      const password = passwords[part];
      // A new role is neither superuser nor BYPASSRLS nor the owner of anything.
      await client.query(
        `${verb} ROLE ${login} ${password === undefined ? 'NOLOGIN' : `LOGIN PASSWORD ${client.escapeLiteral(password)}`}`,
      );
    }
    // The application does background work as the worker's role, by SET ROLE on connections of their own: its others gain nothing.
    await client.query(`GRANT ${ROLES.worker} TO ${ROLES.app} WITH INHERIT FALSE, SET TRUE`);
    const { rowCount } = await client.query('SELECT FROM pg_database WHERE datname = $1', [database]);
    if (rowCount === 0) await makeDatabase(client, database, 'template1');
  } finally {
    await client.end();
  }
}

/** A database that belongs to the owner and that no other login of the server can enter. */
export async function makeDatabase(admin: pg.Client, database: string, template: string): Promise<void> {
  const name = admin.escapeIdentifier(database);
  await admin.query(`CREATE DATABASE ${name} OWNER ${ROLES.owner} TEMPLATE ${admin.escapeIdentifier(template)}`);
  await admin.query(`REVOKE ALL ON DATABASE ${name} FROM PUBLIC`);
  await admin.query(`GRANT CONNECT ON DATABASE ${name} TO ${ROLES.app}, ${ROLES.worker}`);
}

export type Unreachable = { code: 'database-unreachable'; variable: string; reason: string };

/**
 * Twice where its patience runs out: at start this process loads its modules meanwhile, and on a busy machine that alone may take longer,
 * so that the time is up before an answer that has come is looked at.
 * @param variable  the environment variable that names the login
 */
export async function checkReachable(
  url: string,
  variable: string,
  patienceMs: number = CONNECT_TIMEOUT_MS,
): Promise<Result<void, Unreachable>> {
  const reached = await reach(url, variable, patienceMs);
  return !reached.ok && reached.error.reason === OUT_OF_PATIENCE ? reach(url, variable, patienceMs) : reached;
}

const OUT_OF_PATIENCE = 'timeout expired'; // the driver's words: it has no code for it
async function reach(url: string, variable: string, patienceMs: number): Promise<Result<void, Unreachable>> {
  const client = new pg.Client({ connectionString: url, connectionTimeoutMillis: patienceMs });
  try {
    await client.connect();
    return ok(undefined);
  } catch (error) {
    return fail({ code: 'database-unreachable', variable, reason: error instanceof Error ? error.message || error.name : String(error) });
  } finally {
    await client.end().catch(() => {});
  }
}

/**
 * Row-level security is the second wall between organisations, and PostgreSQL does not hold it against a superuser, a role with
 * BYPASSRLS, or the tables' owner, who can take it down. A login that is a member of such a role can become it.
 * @param variable  the environment variable that names the login
 */
export async function checkLogin(url: string, variable: string): Promise<Result<void, UnfitLogin>> {
  const client = new pg.Client({ connectionString: url });
  await client.connect();
  try {
    const { rows } = await client.query<Held>(WHAT_IT_MAY);
    const found = rows[0];
    if (!found) throw new Error('PostgreSQL did not tell who is signed in');
    const because = unfitBecause(found);
    return because === null ? ok(undefined) : fail({ code: 'database-login-unfit', variable, login: found.login, because });
  } finally {
    await client.end();
  }
}

type Held = { login: string; superuser: boolean; bypass: boolean; owner: boolean; works: boolean };
function unfitBecause({ superuser, bypass, owner, works }: Omit<Held, 'login'>): UnfitLogin['because'] | null {
  if (superuser) return 'is-superuser';
  if (bypass) return 'bypasses-row-security';
  if (owner) return 'owns-tables';
  return works ? null : 'lacks-worker-role';
}

const WHAT_IT_MAY = `
  SELECT current_user AS login, pg_has_role(current_user, '${ROLES.worker}', 'SET') AS works,
    coalesce(bool_or(r.rolsuper), false) AS superuser,
    coalesce(bool_or(r.rolbypassrls), false) AS bypass,
    coalesce(bool_or(
      r.oid = (SELECT datdba FROM pg_database WHERE datname = current_database())
      OR EXISTS (SELECT FROM pg_class c JOIN pg_namespace n ON n.oid = c.relnamespace WHERE n.nspname = 'public' AND c.relowner = r.oid)
    ), false) AS owner
  FROM pg_roles r WHERE pg_has_role(current_user, r.oid, 'MEMBER')`;
