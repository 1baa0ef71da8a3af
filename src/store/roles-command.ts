import { ROLES, makeRoles } from './roles.ts';

/**
 * `npm run make-roles`, once on a PostgreSQL server of one's own: makes the owner's and the application's logins, with the passwords that
 * the two URLs give, and the database they name.
 */
export async function makeRolesFromEnvironment(environment: Readonly<Record<string, string | undefined>>): Promise<string | null> {
  const { ADMIN_DATABASE_URL: admin, DATABASE_URL: app, MIGRATION_DATABASE_URL: owner } = environment;
  if (!admin || !app || !owner) return 'Set ADMIN_DATABASE_URL (a superuser), DATABASE_URL and MIGRATION_DATABASE_URL.';
  const [appAt, ownerAt] = [new URL(app), new URL(owner)];
  for (const [variable, url, login] of [
    ['DATABASE_URL', appAt, ROLES.app],
    ['MIGRATION_DATABASE_URL', ownerAt, ROLES.owner],
  ] as const) {
    if (url.username !== login) return `${variable} must sign in as ${login}: the migrations grant to logins of these names.`;
    if (url.password === '') return `${variable} needs a password.`;
  }
  if (appAt.pathname !== ownerAt.pathname) return 'DATABASE_URL and MIGRATION_DATABASE_URL must name one database.';
  const passwords = { app: decodeURIComponent(appAt.password), owner: decodeURIComponent(ownerAt.password) };
  await makeRoles(admin, passwords, decodeURIComponent(appAt.pathname.slice(1)));
  return null;
}
