import type { ConfigFault } from './config.ts';
import type { OpenError } from './open-database.ts';

/** What the person at the terminal reads when the service does not start: what is wrong, and what to do. */
export const explainConfig = (faults: readonly ConfigFault[]): string =>
  ['Roofbook does not start. Mend these environment variables:', ...faults.map(({ variable, mend }) => `  ${variable}: ${mend}`)].join(
    '\n',
  );

export const explainOpen = (error: OpenError): string => `Roofbook does not start. ${reason(error)}`;

export const explainListen = (reason: string, { port, host }: { port: number; host: string }): string =>
  `Roofbook does not start. It cannot listen on ${host}:${port} (${reason}). ${reason === 'EADDRINUSE' ? 'Another program does: stop it or set PORT.' : 'Set HOST and PORT.'}`;

function reason(error: OpenError): string {
  switch (error.code) {
    case 'no-binaries-for-platform':
      return `The embedded PostgreSQL is not installed for ${error.platform} (${error.packageName}). ${INSTALL_OR_SERVER}`;
    case 'libraries-not-linked':
      return `The embedded PostgreSQL's libraries cannot be linked in ${error.folder} (${error.reason}). ${INSTALL_OR_SERVER}`;
    case 'data-dir-closed':
      return `As root PostgreSQL runs as another user, who cannot reach DATA_DIR (${error.dataDir}): ${error.tried.join('; ')}. Set DATA_DIR to a folder that every user may pass through, such as /var/lib/roofbook, or start as a user who is not root.`;
    case 'data-dir-unusable':
      return `DATA_DIR (${error.dataDir}) cannot be used: ${error.reason}`;
    case 'data-dir-in-use':
      return `Another process runs the database in DATA_DIR (${error.dataDir}, port ${error.port}). Stop it, set another DATA_DIR, or give this one DATABASE_URL and MIGRATION_DATABASE_URL.`;
    case 'database-not-made':
      return `PostgreSQL could not make a database in DATA_DIR (${error.dataDir}):\n${error.output}`;
    case 'database-not-started':
      return `PostgreSQL did not start in DATA_DIR (${error.dataDir}):\n${error.output}`;
    case 'database-unreachable':
      return `${error.variable}: PostgreSQL does not answer there (${error.reason}).`;
    case 'database-login-unfit':
      return `${error.variable}: the login ${error.login} ${UNFIT[error.because]}. Use the login roofbook_app (npm run make-roles makes it).`;
    case 'migration-changed':
      return `Migration ${error.migration} was applied to this database and its file has changed since. Put the file back and write a new migration.`;
    case 'migration-unfinished':
      return `Migration ${error.migration} was begun on this database by another tool and not finished. See the table _prisma_migrations.`;
    case 'migration-failed':
      return `Migration ${error.migration} failed and was rolled back whole: ${error.reason}${error.sqlState === UNDEFINED_ROLE ? ` (npm run make-roles makes the roles)` : ''}.`;
  }
}

const INSTALL_OR_SERVER = 'Run npm ci again, or use a PostgreSQL server by DATABASE_URL and MIGRATION_DATABASE_URL.';
const UNDEFINED_ROLE = '42704';
const NOT_APART = ', so the database could not keep organisations apart';
const UNFIT = {
  'is-superuser': `is a superuser${NOT_APART}`,
  'bypasses-row-security': `bypasses row-level security${NOT_APART}`,
  'owns-tables': `owns the tables${NOT_APART}`,
  'lacks-worker-role': 'may not take the role roofbook_worker, so it could do no background work',
};
