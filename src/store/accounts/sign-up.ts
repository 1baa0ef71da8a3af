import { randomUUID } from 'node:crypto';
import type { OrgKind } from '../../auth/can.ts';
import { fail, ok, type Result } from '../../domain/foundation/result.ts';
import type { Database, Tx } from '../database.ts';
import { startSession } from './sessions.ts';

const FOUNDER_ROLES: Record<OrgKind, string[]> = {
  venueOperator: ['administrator', 'technicalManager', 'decider'],
  production: ['administrator', 'headRigger', 'productionOffice'],
  supplier: ['administrator'],
};

type NewPerson = { email: string; displayName: string; passwordHash: string };
type SignUp = NewPerson & { organisation: { name: string; kind: OrgKind } };

export function signUp(
  db: Database,
  input: SignUp,
  refreshHash: string,
  client: string,
): Promise<Result<{ personId: string; orgId: string; sessionId: string }, { code: 'email-taken' }>> {
  const [personId, orgId] = [randomUUID(), randomUUID()];
  return db.transaction({ orgId, personId }, async (tx) => {
    if (!(await addPerson(tx, personId, input))) return fail({ code: 'email-taken' });
    await foundOrganisation(tx, orgId, personId, input);
    return ok({ personId, orgId, sessionId: await startSession(tx, { personId, refreshHash, client }) });
  });
}

/** False where the address has an account. */
export async function addPerson(tx: Tx, id: string, { email, displayName, passwordHash }: NewPerson): Promise<boolean> {
  const made = await tx.sql.$executeRaw`
    INSERT INTO person (id, email, display_name, password_hash, created_at)
    VALUES (${id}::uuid, ${email.toLowerCase()}, ${displayName}, ${passwordHash}, ${tx.now}) ON CONFLICT (email) DO NOTHING`;
  return made === 1;
}

async function foundOrganisation(tx: Tx, orgId: string, personId: string, { organisation, displayName }: SignUp): Promise<void> {
  const { name, kind } = organisation;
  await tx.sql.$executeRaw`INSERT INTO organisation (id, name, kind, created_at) VALUES (${orgId}::uuid, ${name}, ${kind}, ${tx.now})`;
  await tx.sql.$executeRaw`
    INSERT INTO membership (org_id, person_id, roles, created_at) VALUES (${orgId}::uuid, ${personId}::uuid, ${FOUNDER_ROLES[kind]}::text[], ${tx.now})`;
  tx.note({
    orgs: [orgId],
    type: 'organisation.founded',
    subjectId: orgId,
    actor: { personId, orgId, name: displayName },
    facts: { name, kind },
  });
}
