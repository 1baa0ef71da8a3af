import { randomUUID } from 'node:crypto';
import { fail, ok, type Result } from '../../domain/foundation/result.ts';
import { ownedBy, type Database, type Tx } from '../database.ts';
import { Prisma } from '../generated/client.ts';
import type { Actor } from '../history.ts';
import { afterKey, type Keyset } from '../shows.ts';
import { lockPerson, voidResets } from './passwords.ts';
import { startSession } from './sessions.ts';
import { addPerson } from './sign-up.ts';

export type Invitation = { id: string; email: string; roles: string[]; createdAt: Date; expiresAt: Date };
export type InvitationError = { code: 'not-found' } | { code: 'version-moved-on'; version: number } | { code: 'already-a-member' };
export type AcceptError =
  { code: 'link-not-valid' } | { code: 'email-taken' } | { code: 'already-a-member' } | { code: 'invitation-for-another' };

const VALID_DAYS = 14;
const COLUMNS = Prisma.sql`id, email, roles, created_at AS "createdAt", expires_at AS "expiresAt"`;
const open = (tx: Tx) => Prisma.sql`accepted_at IS NULL AND revoked_at IS NULL AND expires_at > ${tx.now}`;
const ownOpen = (tx: Tx) => Prisma.sql`${ownedBy(tx, 'org_id')} AND org_id = ${tx.scope.orgId}::uuid AND ${open(tx)}`;

type Invite = { actor: Actor; email: string; roles: string[]; tokenHash: string };

export async function invite(tx: Tx, { actor, email, roles, tokenHash }: Invite): Promise<Result<Invitation, InvitationError>> {
  const [member] = await tx.sql.$queryRaw<{ found: boolean }[]>`
    SELECT TRUE AS found FROM membership m JOIN person p ON p.id = m.person_id
    WHERE ${ownedBy(tx, 'm.org_id')} AND m.org_id = ${tx.scope.orgId}::uuid AND p.email = ${email} AND m.ended_at IS NULL`;
  if (member) return fail({ code: 'already-a-member' });
  const made = { id: randomUUID(), email, roles, createdAt: tx.now, expiresAt: new Date(tx.now.getTime() + VALID_DAYS * 86_400_000) };
  await tx.sql.$executeRaw`
    INSERT INTO invitation (id, org_id, email, roles, token_hash, invited_by, created_at, expires_at)
    VALUES (${made.id}::uuid, ${actor.orgId}::uuid, ${email}, ${roles}::text[], ${tokenHash}, ${actor.personId}::uuid, ${tx.now}, ${made.expiresAt})`;
  tx.note({ orgs: [actor.orgId!], type: 'invitation.made', subjectId: made.id, actor, facts: { email, roles } });
  return ok(made);
}

export const openInvitations = (tx: Tx, { limit, after }: Keyset): Promise<Invitation[]> =>
  tx.sql.$queryRaw<Invitation[]>`
    SELECT ${COLUMNS} FROM invitation WHERE ${ownOpen(tx)} AND ${afterKey('created_at', after)} ORDER BY created_at, id LIMIT ${limit}`;

/** An open invitation never changes, so its version is 1 for as long as it can be revoked. */
export async function revokeInvitation(
  tx: Tx,
  { actor, id, ifMatch }: { actor: Actor; id: string; ifMatch: number },
): Promise<Result<null, InvitationError>> {
  const [found] = await tx.sql.$queryRaw<{ email: string }[]>`
    SELECT email FROM invitation WHERE ${ownOpen(tx)} AND id = ${id}::uuid FOR UPDATE`;
  if (!found) return fail({ code: 'not-found' });
  if (ifMatch !== 1) return fail({ code: 'version-moved-on', version: 1 });
  await tx.sql.$executeRaw`UPDATE invitation SET revoked_at = ${tx.now} WHERE id = ${id}::uuid`;
  tx.note({ orgs: [actor.orgId!], type: 'invitation.revoked', subjectId: id, actor, facts: { email: found.email } });
  return ok(null);
}

type Offer = { id: string; orgId: string; email: string; roles: string[] };

/** What a link offers; whoever holds it may find its row. */
export const invitationByToken = (db: Database, tokenHash: string): Promise<Offer | null> =>
  db.read({ orgId: null, personId: null, secretHash: tokenHash }, async (tx) => {
    const [row] = await tx.sql.$queryRaw<Offer[]>`
      SELECT id, org_id AS "orgId", email, roles FROM invitation WHERE token_hash = ${tokenHash} AND ${open(tx)}`;
    return row ?? null;
  });

export type Joiner =
  { kind: 'known'; personId: string } | { kind: 'new'; displayName: string; passwordHash: string; refreshHash: string; client: string };
export type Joined = { personId: string; orgId: string; roles: string[]; sessionId: string | null };

/** Joins the organisation: as a new person of the invited address, or as the signed-in person whose address it is. */
export function acceptInvitation(db: Database, offer: Offer, tokenHash: string, joiner: Joiner): Promise<Result<Joined, AcceptError>> {
  const personId = joiner.kind === 'known' ? joiner.personId : randomUUID();
  return db.transaction<Joined, AcceptError>({ orgId: offer.orgId, personId, secretHash: tokenHash }, async (tx) => {
    const taken = await tx.sql.$executeRaw`
      UPDATE invitation SET accepted_at = ${tx.now} WHERE id = ${offer.id}::uuid AND token_hash = ${tokenHash} AND ${open(tx)}`;
    if (taken !== 1) return fail({ code: 'link-not-valid' });
    if (joiner.kind === 'new' && !(await addPerson(tx, personId, { ...joiner, email: offer.email }))) return fail({ code: 'email-taken' });
    await lockPerson(tx, personId);
    const person = await tx.sql.person.findUniqueOrThrow({ where: { id: personId } });
    if (person.email !== offer.email) return fail({ code: 'invitation-for-another' });
    const joined = await tx.sql.$executeRaw`
      INSERT INTO membership AS m (org_id, person_id, roles, created_at) VALUES (${offer.orgId}::uuid, ${personId}::uuid, ${offer.roles}::text[], ${tx.now})
      ON CONFLICT (org_id, person_id) DO UPDATE SET roles = excluded.roles, created_at = excluded.created_at, ended_at = NULL, version = m.version + 1
        WHERE m.ended_at IS NOT NULL`;
    if (joined !== 1) return fail({ code: 'already-a-member' });
    await voidResets(tx, personId); // an administrator elsewhere must not come in here by a link made before
    const sessionId = joiner.kind === 'new' ? await startSession(tx, { ...joiner, personId }) : null;
    tx.note({
      orgs: [offer.orgId],
      type: 'member.joined',
      subjectId: personId,
      actor: { personId, orgId: offer.orgId, name: person.displayName },
      facts: { invitationId: offer.id, roles: offer.roles },
    });
    return ok({ personId, orgId: offer.orgId, roles: offer.roles, sessionId });
  });
}
