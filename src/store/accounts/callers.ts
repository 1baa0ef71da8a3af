import type { Actor, OrgKind } from '../../auth/can.ts';
import type { TokenSubject } from '../../auth/tokens.ts';
import { fail, ok, type Result } from '../../domain/foundation/result.ts';
import type { Database, Tx } from '../database.ts';

/** Who is asking: a person, by a session or an API key, and the organisation they act for (null: none named, and several to choose from). */
export type Caller = {
  readonly personId: string;
  readonly personName: string;
  readonly sessionId: string | null;
  readonly actor: Actor | null;
};
export type Membership = { orgId: string; orgName: string; orgKind: OrgKind; roles: string[] };

type CallerResult = Result<Caller, { code: 'not-a-member' }>;

export const callerBySession = (
  db: Database,
  { personId, sessionId }: TokenSubject,
  wantedOrg: string | null,
): Promise<CallerResult | null> =>
  db.read({ orgId: null, personId }, async (tx) => {
    const [row] = await tx.sql.$queryRaw<{ name: string }[]>`
      SELECT p.display_name AS name FROM person p JOIN session s ON s.person_id = p.id
      WHERE p.id = ${personId}::uuid AND s.id = ${sessionId}::uuid AND p.disabled_at IS NULL AND s.ended_at IS NULL AND s.expires_at > ${tx.now}`;
    return row ? callerOf({ personId, personName: row.name, sessionId }, await membershipsOf(tx, personId), wantedOrg, null) : null;
  });

const USE_NOTED_EVERY_MS = 60_000; // a write at each request would cost more than the minute is worth

/** A key acts as its person within its one organisation, with the roles held there now; once they have left, it opens nothing. */
export async function callerByApiKey(db: Database, keyHash: string, wantedOrg: string | null): Promise<CallerResult | null> {
  const key = await db.read({ orgId: null, personId: null, secretHash: keyHash }, (tx) => liveKey(tx, keyHash));
  if (!key) return null;
  return db.read({ orgId: null, personId: key.personId }, async (tx) => {
    const memberships = (await membershipsOf(tx, key.personId)).filter(({ orgId }) => orgId === key.orgId);
    if (memberships.length === 0) return null;
    const who = { personId: key.personId, personName: key.name, sessionId: null };
    return callerOf(who, memberships, wantedOrg, key.scopes);
  });
}

type LiveKey = { personId: string; orgId: string; name: string; scopes: ('read' | 'write')[]; lastUsedAt: Date | null };

async function liveKey(tx: Tx, keyHash: string): Promise<LiveKey | null> {
  const [key] = await tx.sql.$queryRaw<LiveKey[]>`
    SELECT k.person_id AS "personId", k.org_id AS "orgId", p.display_name AS name, k.scopes, k.last_used_at AS "lastUsedAt"
    FROM api_key k JOIN person p ON p.id = k.person_id
    WHERE k.key_hash = ${keyHash} AND k.revoked_at IS NULL AND k.expires_at > ${tx.now} AND p.disabled_at IS NULL`;
  if (!key) return null;
  if (key.lastUsedAt === null || tx.now.getTime() - key.lastUsedAt.getTime() >= USE_NOTED_EVERY_MS)
    await tx.sql.$executeRaw`UPDATE api_key SET last_used_at = ${tx.now} WHERE key_hash = ${keyHash}`;
  return key;
}

/** Every organisation that a person belongs to; row-level security shows them because the person asks. */
export const membershipsOf = (tx: Tx, personId: string): Promise<Membership[]> =>
  tx.sql.$queryRaw<Membership[]>`
    SELECT o.id AS "orgId", o.name AS "orgName", o.kind AS "orgKind", m.roles FROM membership m JOIN organisation o ON o.id = m.org_id
    WHERE m.person_id = ${personId}::uuid AND m.ended_at IS NULL ORDER BY o.name, o.id`;

/** The one membership, or the one that is named. */
function callerOf(
  who: Omit<Caller, 'actor'>,
  memberships: readonly Membership[],
  wantedOrg: string | null,
  scopes: Actor['scopes'],
): CallerResult {
  const wanted =
    wantedOrg === null ? (memberships.length === 1 ? memberships[0] : undefined) : memberships.find(({ orgId }) => orgId === wantedOrg);
  if (!wanted) return wantedOrg === null ? ok({ ...who, actor: null }) : fail({ code: 'not-a-member' });
  return ok({ ...who, actor: { personId: who.personId, orgId: wanted.orgId, orgKind: wanted.orgKind, roles: wanted.roles, scopes } });
}
