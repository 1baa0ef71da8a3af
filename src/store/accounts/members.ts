import { fail, ok, type Result } from '../../domain/foundation/result.ts';
import { ownedBy, type Tx } from '../database.ts';
import { Prisma } from '../generated/client.ts';
import type { Actor } from '../history.ts';
import { afterKey, type Keyset } from '../shows.ts';

export type Member = { id: string; email: string; displayName: string; roles: string[]; version: number; createdAt: Date };
export type MemberError = { code: 'not-found' } | { code: 'version-moved-on'; version: number } | { code: 'last-administrator' };

const SELECT = Prisma.sql`SELECT m.person_id AS id, p.email, p.display_name AS "displayName", m.roles, m.version, m.created_at AS "createdAt"
  FROM membership m JOIN person p ON p.id = m.person_id`;
/** Row-level security also shows a person their own other memberships, so the organisation is always named. */
const current = (tx: Tx) => Prisma.sql`${ownedBy(tx, 'm.org_id')} AND m.org_id = ${tx.scope.orgId}::uuid AND m.ended_at IS NULL`;

export async function memberAt(tx: Tx, personId: string): Promise<Member | null> {
  const [row] = await tx.sql.$queryRaw<Member[]>`${SELECT} WHERE ${current(tx)} AND m.person_id = ${personId}::uuid`;
  return row ?? null;
}

export const membersOf = (tx: Tx, { limit, after }: Keyset): Promise<Member[]> =>
  tx.sql.$queryRaw<Member[]>`
    ${SELECT} WHERE ${current(tx)} AND ${afterKey('m.created_at', after, 'm.person_id')} ORDER BY m.created_at, m.person_id LIMIT ${limit}`;

type OfMember = { actor: Actor; personId: string; ifMatch: number };

export async function changeRoles(tx: Tx, input: OfMember & { roles: string[] }): Promise<Result<Member, MemberError>> {
  const found = await lockedMember(tx, input);
  if (!found.ok) return found;
  const { actor, personId, roles } = input;
  if (!roles.includes('administrator') && !(await hasAnotherAdministrator(tx, personId))) return fail({ code: 'last-administrator' });
  await tx.sql.$executeRaw`
    UPDATE membership m SET roles = ${roles}::text[], version = m.version + 1 WHERE ${current(tx)} AND m.person_id = ${personId}::uuid`;
  tx.note({
    orgs: [tx.scope.orgId!],
    type: 'member.rolesChanged',
    subjectId: personId,
    actor,
    facts: { from: found.value.roles, to: roles },
  });
  return ok({ ...found.value, roles, version: found.value.version + 1 });
}

/** Roles are read at each request, so access ends at once; the keys that acted here do not come back with the person. */
export async function endMembership(tx: Tx, input: OfMember): Promise<Result<null, MemberError>> {
  const found = await lockedMember(tx, input);
  if (!found.ok) return found;
  const { actor, personId } = input;
  if (!(await hasAnotherAdministrator(tx, personId))) return fail({ code: 'last-administrator' });
  await tx.sql.$executeRaw`
    UPDATE membership m SET ended_at = ${tx.now}, version = m.version + 1 WHERE ${current(tx)} AND m.person_id = ${personId}::uuid`;
  await tx.sql.$executeRaw`
    UPDATE api_key SET revoked_at = ${tx.now} WHERE ${ownedBy(tx, 'org_id')} AND person_id = ${personId}::uuid AND revoked_at IS NULL`;
  const type = actor.personId === personId ? 'member.left' : 'member.removed';
  tx.note({ orgs: [tx.scope.orgId!], type, subjectId: personId, actor, facts: { roles: found.value.roles } });
  return ok(null);
}

/** The organisation's row is locked first: two administrators who take the role from each other wait for one another. */
async function lockedMember(tx: Tx, { personId, ifMatch }: OfMember): Promise<Result<Member, MemberError>> {
  await tx.sql.$queryRaw`SELECT 1 FROM organisation WHERE id = ${tx.scope.orgId}::uuid FOR UPDATE`;
  const found = await memberAt(tx, personId);
  if (!found) return fail({ code: 'not-found' });
  return found.version === ifMatch ? ok(found) : fail({ code: 'version-moved-on', version: found.version });
}

async function hasAnotherAdministrator(tx: Tx, personId: string): Promise<boolean> {
  const [row] = await tx.sql.$queryRaw<{ another: boolean }[]>`
    SELECT EXISTS (SELECT 1 FROM membership m JOIN person p ON p.id = m.person_id
      WHERE ${current(tx)} AND m.person_id <> ${personId}::uuid AND 'administrator' = ANY (m.roles) AND p.disabled_at IS NULL) AS another`;
  return row?.another ?? false;
}
