import type { TokenSubject } from '../auth/tokens.ts';
import { ok, type Result } from '../domain/foundation/result.ts';
import { apiKeyAt, apiKeysOf, createApiKey, revokeApiKey } from './accounts/api-keys.ts';
import { asPerson } from './accounts/as-person.ts';
import { callerByApiKey, callerBySession, membershipsOf, type Membership } from './accounts/callers.ts';
import { acceptInvitation, invitationByToken, invite, openInvitations, revokeInvitation, type Joiner } from './accounts/invitations.ts';
import { changeRoles, endMembership, memberAt, membersOf } from './accounts/members.ts';
import { organisationAt, organisationsWhere, renameOrganisation } from './accounts/organisations.ts';
import { belongsElsewhere, changePassword, createReset, credentials, personOfReset, rehash, resetPassword } from './accounts/passwords.ts';
import { endSession, liveSessions, refresh, sessionByCookie, startSession, type SessionStart } from './accounts/sessions.ts';
import { signUp } from './accounts/sign-up.ts';
import type { Database, Scope } from './database.ts';
import type { Actor } from './history.ts';
import { act } from './once.ts';
import type { Keyset } from './shows.ts';

export type { Caller } from './accounts/callers.ts';
export type Person = { id: string; email: string; displayName: string; memberships: Membership[] };

/** People, organisations, and how they sign in. Secrets arrive hashed. */
export function accountsStore(db: Database) {
  const reset = act(db, createReset);
  return {
    callerBySession: (subject: TokenSubject, wantedOrg: string | null) => callerBySession(db, subject, wantedOrg),
    callerByApiKey: (keyHash: string, wantedOrg: string | null) => callerByApiKey(db, keyHash, wantedOrg),

    signUp: (input: Parameters<typeof signUp>[1], refreshHash: string, client: string) => signUp(db, input, refreshHash, client),
    credentials: (by: Parameters<typeof credentials>[1]) => credentials(db, by),
    rehash: (personId: string, from: string, to: string) => rehash(db, personId, from, to),
    changePassword: (change: Parameters<typeof changePassword>[1]) => changePassword(db, change),
    personOfReset: (tokenHash: string) => personOfReset(db, tokenHash),
    resetPassword: (input: Parameters<typeof resetPassword>[1]) => resetPassword(db, input),
    createReset: async (
      scope: Scope,
      input: { actor: Actor; personId: string; tokenHash: string },
      reply: Parameters<typeof reset>[2],
    ): ReturnType<typeof reset> =>
      reset(scope, { ...input, belongsElsewhere: await belongsElsewhere(db, input.personId, scope.orgId!) }, reply),

    /** Nobody has an account yet. */
    isEmpty: (): Promise<boolean> =>
      db.read({ orgId: null, personId: null }, async (tx) => (await tx.sql.person.findFirst({ select: { id: true } })) === null),

    startSession: (start: SessionStart): Promise<string> =>
      db.read({ orgId: null, personId: start.personId }, (tx) => startSession(tx, start)),
    sessionByCookie: (cookieHash: string) => sessionByCookie(db, cookieHash),
    refresh: (spentHash: string, nextHash: string) => refresh(db, spentHash, nextHash),
    sessions: (personId: string, page: Keyset) => db.read({ orgId: null, personId }, (tx) => liveSessions(tx, personId, page)),
    /** False where there was none to end. */
    endSession: async (personId: string, sessionId: string, reason: string): Promise<boolean> => {
      const ended: Result<boolean, never> = await asPerson(db, personId, async (tx, note) => {
        const did = await endSession(tx, personId, sessionId, reason);
        if (did) note('session.ended', { sessionId, reason });
        return ok(did);
      });
      return ended.ok && ended.value;
    },
    person: (personId: string): Promise<Person | null> =>
      db.read({ orgId: null, personId }, async (tx) => {
        const person = await tx.sql.person.findUnique({ where: { id: personId } });
        return (
          person && { id: person.id, email: person.email, displayName: person.displayName, memberships: await membershipsOf(tx, personId) }
        );
      }),

    organisation: (scope: Scope, id: string) => db.read(scope, (tx) => organisationAt(tx, id)),
    organisations: (scope: Scope, filter: Parameters<typeof organisationsWhere>[1], page: Keyset) =>
      db.read(scope, (tx) => organisationsWhere(tx, filter, page)),
    renameOrganisation: act(db, renameOrganisation),
    member: (scope: Scope, personId: string) => db.read(scope, (tx) => memberAt(tx, personId)),
    members: (scope: Scope, page: Keyset) => db.read(scope, (tx) => membersOf(tx, page)),
    changeRoles: act(db, changeRoles),
    endMembership: act(db, endMembership),

    invite: act(db, invite),
    invitations: (scope: Scope, page: Keyset) => db.read(scope, (tx) => openInvitations(tx, page)),
    revokeInvitation: act(db, revokeInvitation),
    invitationByToken: (tokenHash: string) => invitationByToken(db, tokenHash),
    acceptInvitation: (offer: Parameters<typeof acceptInvitation>[1], tokenHash: string, joiner: Joiner) =>
      acceptInvitation(db, offer, tokenHash, joiner),

    createApiKey: act(db, createApiKey),
    apiKey: (scope: Scope, id: string) => db.read(scope, (tx) => apiKeyAt(tx, id)),
    apiKeys: (scope: Scope, personId: string, page: Keyset) => db.read(scope, (tx) => apiKeysOf(tx, personId, page)),
    revokeApiKey: act(db, revokeApiKey),
  };
}
