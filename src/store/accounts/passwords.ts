import { randomUUID } from 'node:crypto';
import { fail, ok, type Result } from '../../domain/foundation/result.ts';
import type { Actor } from '../history.ts';
import { ownedBy, type Database, type Tx } from '../database.ts';
import { asPerson } from './as-person.ts';
import { endSessionsExcept } from './sessions.ts';

export type Credentials = { personId: string; email: string; passwordHash: string };
const NOBODY = { orgId: null, personId: null };
const RESET_HOURS = 24;

export const credentials = (db: Database, by: { email: string } | { personId: string }): Promise<Credentials | null> =>
  db.read(NOBODY, async (tx) => {
    const where = 'email' in by ? { email: by.email.toLowerCase() } : { id: by.personId };
    const person = await tx.sql.person.findFirst({ where: { ...where, disabledAt: null } });
    return person && { personId: person.id, email: person.email, passwordHash: person.passwordHash };
  });

/** The same password under dearer parameters; only while nobody has changed it meanwhile. */
export const rehash = (db: Database, personId: string, from: string, to: string): Promise<void> =>
  db.read({ orgId: null, personId }, async (tx) => {
    await tx.sql.$executeRaw`UPDATE person SET password_hash = ${to} WHERE id = ${personId}::uuid AND password_hash = ${from}`;
  });

type Change = { personId: string; keptSessionId: string; from: string; to: string };

/** A new password, and an end to every other session. `from` is the hash that the current password was held against. */
export const changePassword = (
  db: Database,
  { personId, keptSessionId, from, to }: Change,
): Promise<Result<null, { code: 'wrong-password' }>> =>
  asPerson(db, personId, async (tx, note) => {
    const changed = await tx.sql
      .$executeRaw`UPDATE person SET password_hash = ${to} WHERE id = ${personId}::uuid AND password_hash = ${from}`;
    if (changed !== 1) return fail({ code: 'wrong-password' });
    const ended = await endSessionsExcept(tx, personId, keptSessionId, 'password changed');
    note('person.passwordChanged', { sessionsEnded: ended });
    return ok(null);
  });

export type PasswordReset = { id: string; personId: string; expiresAt: Date };
export type ResetError = { code: 'not-found' } | { code: 'member-of-others' };

/**
 * An administrator lets a member set a new password. Not for somebody who belongs to another organisation too: whoever holds the link
 * becomes that person there as well. `belongsElsewhere` is read as the person, since an organisation does not see the others.
 */
export async function createReset(
  tx: Tx,
  input: { actor: Actor; personId: string; tokenHash: string; belongsElsewhere: boolean },
): Promise<Result<PasswordReset, ResetError>> {
  const { actor, personId, tokenHash } = input;
  const [member] = await tx.sql.$queryRaw<{ found: boolean }[]>`
    SELECT TRUE AS found FROM membership m WHERE ${ownedBy(tx, 'm.org_id')} AND m.org_id = ${actor.orgId}::uuid
      AND m.person_id = ${personId}::uuid AND m.ended_at IS NULL`;
  if (!member) return fail({ code: 'not-found' });
  if (input.belongsElsewhere) return fail({ code: 'member-of-others' });
  const [id, expiresAt] = [randomUUID(), new Date(tx.now.getTime() + RESET_HOURS * 3_600_000)];
  await voidResets(tx, personId); // the newest link alone is good
  await tx.sql.$executeRaw`
    INSERT INTO password_reset (id, org_id, person_id, token_hash, created_by, created_at, expires_at)
    VALUES (${id}::uuid, ${actor.orgId}::uuid, ${personId}::uuid, ${tokenHash}, ${actor.personId}::uuid, ${tx.now}, ${expiresAt})`;
  tx.note({
    orgs: [actor.orgId!],
    type: 'member.passwordResetMade',
    subjectId: personId,
    actor,
    facts: { until: expiresAt.toISOString() },
  });
  return ok({ id, personId, expiresAt });
}

export const voidResets = (tx: Tx, personId: string) =>
  tx.sql.$executeRaw`UPDATE password_reset SET used_at = ${tx.now} WHERE person_id = ${personId}::uuid AND used_at IS NULL`;

export const belongsElsewhere = (db: Database, personId: string, orgId: string): Promise<boolean> =>
  db.read({ orgId: null, personId }, async (tx) => {
    const [row] = await tx.sql.$queryRaw<{ elsewhere: boolean }[]>`
      SELECT EXISTS (SELECT 1 FROM membership WHERE person_id = ${personId}::uuid AND org_id <> ${orgId}::uuid AND ended_at IS NULL) AS elsewhere`;
    return row?.elsewhere ?? false;
  });

/** Whose password a link resets, to hold the new one against their address. */
export const personOfReset = (db: Database, tokenHash: string): Promise<{ personId: string; email: string } | null> =>
  db.read({ orgId: null, personId: null, secretHash: tokenHash }, async (tx) => {
    const [row] = await tx.sql.$queryRaw<{ personId: string; email: string }[]>`
      SELECT p.id AS "personId", p.email FROM password_reset r JOIN person p ON p.id = r.person_id
      WHERE r.token_hash = ${tokenHash} AND r.used_at IS NULL AND r.expires_at > ${tx.now} AND p.disabled_at IS NULL`;
    return row ?? null;
  });

/** Good once, while the person still belongs to the organisation that made it and to no other. Ends every session. */
export const resetPassword = (
  db: Database,
  { personId, tokenHash, passwordHash }: { personId: string; tokenHash: string; passwordHash: string },
): Promise<Result<null, { code: 'link-not-valid' }>> =>
  asPerson(db, personId, async (tx, note) => {
    await lockPerson(tx, personId);
    const used = await tx.sql.$executeRaw`
      UPDATE password_reset r SET used_at = ${tx.now}
      WHERE r.token_hash = ${tokenHash} AND r.person_id = ${personId}::uuid AND r.used_at IS NULL AND r.expires_at > ${tx.now}
        AND EXISTS (SELECT 1 FROM membership m WHERE m.person_id = r.person_id AND m.org_id = r.org_id AND m.ended_at IS NULL)
        AND NOT EXISTS (SELECT 1 FROM membership m WHERE m.person_id = r.person_id AND m.org_id <> r.org_id AND m.ended_at IS NULL)`;
    if (used !== 1) return fail({ code: 'link-not-valid' });
    await tx.sql.$executeRaw`UPDATE person SET password_hash = ${passwordHash} WHERE id = ${personId}::uuid`;
    const ended = await endSessionsExcept(tx, personId, null, 'password reset');
    note('person.passwordReset', { sessionsEnded: ended });
    return ok(null);
  });

/** Joining an organisation and resetting a password wait for each other. */
export const lockPerson = (tx: Tx, personId: string) => tx.sql.$queryRaw`SELECT 1 FROM person WHERE id = ${personId}::uuid FOR UPDATE`;
