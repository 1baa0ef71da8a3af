import { randomUUID } from 'node:crypto';
import type { Actor, OrgKind } from '../auth/can.ts';
import type { TokenSubject } from '../auth/tokens.ts';
import { fail, ok, type Result } from '../domain/foundation/result.ts';
import type { Database, Scope, Tx } from './database.ts';
import { Prisma } from './generated/client.ts';

/** Who is asking: a person, by a session or an API key, and the organisation they act for (null: none named, and several to choose from). */
export type Caller = {
  readonly personId: string;
  readonly personName: string;
  readonly sessionId: string | null;
  readonly actor: Actor | null;
};
export type Membership = { orgId: string; orgName: string; orgKind: OrgKind; roles: string[] };
export type Person = { id: string; email: string; displayName: string };
export type SessionStart = { personId: string; refreshHash: string; client: string };

export const SESSION_DAYS = 30;
export const IDLE_DAYS = 7;
const DAY_MS = 86_400_000;
const FOUNDER_ROLES: Record<OrgKind, string[]> = {
  venueOperator: ['administrator', 'technicalManager', 'decider'],
  production: ['administrator', 'headRigger', 'productionOffice'],
  supplier: ['administrator'],
};

export type AccountError = { code: 'email-taken' } | { code: 'refresh-token-spent' } | { code: 'not-a-member' };

type SignUp = { email: string; displayName: string; passwordHash: string; organisation: { name: string; kind: OrgKind } };

export function accountsStore(db: Database) {
  const nobody: Scope = { orgId: null, personId: null };
  return {
    callerBySession: ({ personId, sessionId }: TokenSubject, wantedOrg: string | null): Promise<Result<Caller, AccountError> | null> =>
      db.read({ orgId: null, personId }, async (tx) => {
        const [row] = await tx.sql.$queryRaw<{ name: string; memberships: Membership[] }[]>`
          SELECT p.display_name AS name, ${membershipsJson} AS memberships FROM person p JOIN session s ON s.person_id = p.id
          WHERE p.id = ${personId}::uuid AND s.id = ${sessionId}::uuid AND p.disabled_at IS NULL AND s.ended_at IS NULL AND s.expires_at > ${tx.now}`;
        return row ? callerOf({ personId, personName: row.name, sessionId }, row.memberships, wantedOrg, null) : null;
      }),

    credentials: (email: string): Promise<{ personId: string; passwordHash: string } | null> =>
      db.read(nobody, async (tx) => {
        const [row] = await tx.sql.$queryRaw<{ personId: string; passwordHash: string }[]>`
          SELECT id AS "personId", password_hash AS "passwordHash" FROM person WHERE email = ${email.toLowerCase()} AND disabled_at IS NULL`;
        return row ?? null;
      }),

    signUp: (
      input: SignUp,
      refreshHash: string,
      client: string,
    ): Promise<Result<{ personId: string; orgId: string; sessionId: string }, AccountError>> => {
      const [personId, orgId] = [randomUUID(), randomUUID()];
      return db.transaction({ orgId, personId }, async (tx) => {
        const email = input.email.toLowerCase();
        const made = await tx.sql.$executeRaw`
          INSERT INTO person (id, email, display_name, password_hash, created_at)
          VALUES (${personId}::uuid, ${email}, ${input.displayName}, ${input.passwordHash}, ${tx.now}) ON CONFLICT (email) DO NOTHING`;
        if (made !== 1) return fail({ code: 'email-taken' });
        await foundOrganisation(tx, orgId, personId, input);
        return ok({ personId, orgId, sessionId: await startSession(tx, { personId, refreshHash, client }) });
      });
    },

    startSession: (start: SessionStart): Promise<string> =>
      db.read({ orgId: null, personId: start.personId }, (tx) => startSession(tx, start)),

    /** A refresh token is good once. One that comes twice was stolen or the thief has the other: the session ends for both. */
    refresh: async (spentHash: string, nextHash: string): Promise<Result<TokenSubject, AccountError>> => {
      const turned = await db.read(nobody, (tx) => turn(tx, spentHash, nextHash));
      return turned ? ok(turned) : fail({ code: 'refresh-token-spent' });
    },

    endSession: (personId: string, sessionId: string, reason: string): Promise<boolean> =>
      db.read({ orgId: null, personId }, async (tx) => {
        const ended = await tx.sql.$executeRaw`
          UPDATE session SET ended_at = ${tx.now}, end_reason = ${reason} WHERE id = ${sessionId}::uuid AND person_id = ${personId}::uuid AND ended_at IS NULL`;
        return ended === 1;
      }),
  };
}

/** Every organisation that the person p belongs to; seen by row-level security because the person asks. */
const membershipsJson = Prisma.sql`(SELECT coalesce(json_agg(json_build_object('orgId', o.id, 'orgName', o.name, 'orgKind', o.kind, 'roles', m.roles) ORDER BY o.name, o.id), '[]')
  FROM membership m JOIN organisation o ON o.id = m.org_id WHERE m.person_id = p.id AND m.ended_at IS NULL)`;

/** The one membership, or the one that is named. */
export function callerOf(
  who: Omit<Caller, 'actor'>,
  memberships: readonly Membership[],
  wantedOrg: string | null,
  scopes: Actor['scopes'],
): Result<Caller, AccountError> {
  const wanted =
    wantedOrg === null ? (memberships.length === 1 ? memberships[0] : undefined) : memberships.find(({ orgId }) => orgId === wantedOrg);
  if (!wanted) return wantedOrg === null ? ok({ ...who, actor: null }) : fail({ code: 'not-a-member' });
  return ok({ ...who, actor: { personId: who.personId, orgId: wanted.orgId, orgKind: wanted.orgKind, roles: wanted.roles, scopes } });
}

async function foundOrganisation(tx: Tx, orgId: string, personId: string, { organisation, displayName }: SignUp): Promise<void> {
  await tx.sql
    .$executeRaw`INSERT INTO organisation (id, name, kind, created_at) VALUES (${orgId}::uuid, ${organisation.name}, ${organisation.kind}, ${tx.now})`;
  await tx.sql.$executeRaw`
    INSERT INTO membership (org_id, person_id, roles, created_at) VALUES (${orgId}::uuid, ${personId}::uuid, ${FOUNDER_ROLES[organisation.kind]}::text[], ${tx.now})`;
  tx.note({
    orgs: [orgId],
    type: 'organisation.founded',
    subjectId: orgId,
    actor: { personId, orgId, name: displayName },
    facts: { name: organisation.name, kind: organisation.kind },
  });
}

async function startSession(tx: Tx, { personId, refreshHash, client }: SessionStart): Promise<string> {
  const id = randomUUID();
  const [expires, idle] = [SESSION_DAYS, IDLE_DAYS].map((days) => new Date(tx.now.getTime() + days * DAY_MS));
  await tx.sql.$executeRaw`
    INSERT INTO session (id, person_id, created_at, last_used_at, expires_at, client) VALUES (${id}::uuid, ${personId}::uuid, ${tx.now}, ${tx.now}, ${expires}, ${client})`;
  await tx.sql
    .$executeRaw`INSERT INTO refresh_token (token_hash, session_id, issued_at, expires_at) VALUES (${refreshHash}, ${id}::uuid, ${tx.now}, ${idle})`;
  return id;
}

async function turn(tx: Tx, spentHash: string, nextHash: string): Promise<TokenSubject | null> {
  const [token] = await tx.sql.$queryRaw<{ session_id: string; person_id: string; spent: boolean; live: boolean }[]>`
    SELECT t.session_id, s.person_id, t.spent_at IS NOT NULL AS spent, t.expires_at > ${tx.now} AND s.ended_at IS NULL AND s.expires_at > ${tx.now} AS live
    FROM refresh_token t JOIN session s ON s.id = t.session_id WHERE t.token_hash = ${spentHash} FOR UPDATE OF t`;
  if (!token) return null;
  if (token.spent) {
    await tx.sql
      .$executeRaw`UPDATE session SET ended_at = coalesce(ended_at, ${tx.now}), end_reason = coalesce(end_reason, 'refresh token used twice') WHERE id = ${token.session_id}::uuid`;
    return null;
  }
  if (!token.live) return null;
  const idle = new Date(tx.now.getTime() + IDLE_DAYS * DAY_MS);
  await tx.sql.$executeRaw`UPDATE refresh_token SET spent_at = ${tx.now} WHERE token_hash = ${spentHash}`;
  await tx.sql
    .$executeRaw`INSERT INTO refresh_token (token_hash, session_id, issued_at, expires_at) VALUES (${nextHash}, ${token.session_id}::uuid, ${tx.now}, ${idle})`;
  await tx.sql.$executeRaw`UPDATE session SET last_used_at = ${tx.now} WHERE id = ${token.session_id}::uuid`;
  return { personId: token.person_id, sessionId: token.session_id };
}
