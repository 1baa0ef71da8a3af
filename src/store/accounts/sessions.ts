import { randomUUID } from 'node:crypto';
import type { TokenSubject } from '../../auth/tokens.ts';
import { fail, ok, type Result } from '../../domain/foundation/result.ts';
import type { Database, Tx } from '../database.ts';
import { afterKey, type Keyset } from '../shows.ts';
import { asPerson, type NoteSelf } from './as-person.ts';

export type SessionStart = { personId: string; refreshHash: string; client: string };
export type Session = { id: string; createdAt: Date; lastUsedAt: Date; expiresAt: Date; client: string };

export const SESSION_DAYS = 30;
export const IDLE_DAYS = 7;
const DAY_MS = 86_400_000;
const later = (from: Date, days: number): Date => new Date(from.getTime() + days * DAY_MS);

export async function startSession(tx: Tx, { personId, refreshHash, client }: SessionStart): Promise<string> {
  const id = randomUUID();
  await tx.sql.$executeRaw`
    INSERT INTO session (id, person_id, created_at, last_used_at, expires_at, client)
    VALUES (${id}::uuid, ${personId}::uuid, ${tx.now}, ${tx.now}, ${later(tx.now, SESSION_DAYS)}, ${client})`;
  await addRefreshToken(tx, id, refreshHash);
  return id;
}

const addRefreshToken = (tx: Tx, sessionId: string, hash: string) =>
  tx.sql.$executeRaw`
    INSERT INTO refresh_token (token_hash, session_id, issued_at, expires_at)
    VALUES (${hash}, ${sessionId}::uuid, ${tx.now}, ${later(tx.now, IDLE_DAYS)})`;

/**
 * A refresh token is good once. One that comes twice was stolen, or the thief has the other: the session ends for both.
 * @source RFC 9700 §4.14.2
 */
export async function refresh(
  db: Database,
  spentHash: string,
  nextHash: string,
): Promise<Result<TokenSubject, { code: 'refresh-token-spent' }>> {
  const personId = await db.read({ orgId: null, personId: null }, async (tx) => {
    const [row] = await tx.sql.$queryRaw<{ person_id: string }[]>`
      SELECT s.person_id FROM refresh_token t JOIN session s ON s.id = t.session_id WHERE t.token_hash = ${spentHash}`;
    return row?.person_id;
  });
  if (personId === undefined) return fail({ code: 'refresh-token-spent' });
  // The failure is made after the transaction: a returned one would roll the end of the session back.
  const turned = await asPerson<TokenSubject | null, never>(db, personId, async (tx, note) =>
    ok(await turn(tx, spentHash, nextHash, note)),
  );
  return turned.ok && turned.value ? ok(turned.value) : fail({ code: 'refresh-token-spent' });
}

type TokenRow = { sessionId: string; personId: string; spent: boolean; live: boolean };

async function turn(tx: Tx, spentHash: string, nextHash: string, note: NoteSelf): Promise<TokenSubject | null> {
  const [token] = await tx.sql.$queryRaw<TokenRow[]>`
    SELECT t.session_id AS "sessionId", s.person_id AS "personId", t.spent_at IS NOT NULL AS spent,
      t.expires_at > ${tx.now} AND s.ended_at IS NULL AND s.expires_at > ${tx.now} AND p.disabled_at IS NULL AS live
    FROM refresh_token t JOIN session s ON s.id = t.session_id JOIN person p ON p.id = s.person_id
    WHERE t.token_hash = ${spentHash} FOR UPDATE OF t`;
  if (!token) return null;
  const { sessionId, personId } = token;
  if (token.spent) {
    if (await endSession(tx, personId, sessionId, 'refresh token used twice')) note('session.refreshTokenReused', { sessionId });
    return null;
  }
  if (!token.live) return null;
  await tx.sql.$executeRaw`UPDATE refresh_token SET spent_at = ${tx.now} WHERE token_hash = ${spentHash}`;
  await addRefreshToken(tx, sessionId, nextHash);
  await tx.sql.$executeRaw`UPDATE session SET last_used_at = ${tx.now} WHERE id = ${sessionId}::uuid`;
  return { personId, sessionId };
}

const USE_NOTED_EVERY_MS = 60_000; // a write at each request would cost more than the minute is worth

/**
 * The session that a browser's cookie opens: a secret that lives as long as its session does, since it never reaches a script that could
 * lose it. Ends after IDLE_DAYS without use.
 */
export const sessionByCookie = (db: Database, cookieHash: string): Promise<TokenSubject | null> =>
  db.read({ orgId: null, personId: null }, async (tx) => {
    const [row] = await tx.sql.$queryRaw<{ sessionId: string; personId: string; lastUsedAt: Date }[]>`
      SELECT s.id AS "sessionId", s.person_id AS "personId", s.last_used_at AS "lastUsedAt"
      FROM refresh_token t JOIN session s ON s.id = t.session_id
      WHERE t.token_hash = ${cookieHash} AND t.spent_at IS NULL AND s.ended_at IS NULL AND s.expires_at > ${tx.now}
        AND s.last_used_at > ${later(tx.now, -IDLE_DAYS)}`;
    if (!row) return null;
    const { sessionId, personId, lastUsedAt } = row;
    if (tx.now.getTime() - lastUsedAt.getTime() >= USE_NOTED_EVERY_MS)
      await tx.sql.$executeRaw`UPDATE session SET last_used_at = ${tx.now} WHERE id = ${sessionId}::uuid`;
    return { sessionId, personId };
  });

export async function endSession(tx: Tx, personId: string, sessionId: string, reason: string): Promise<boolean> {
  const ended = await tx.sql.$executeRaw`
    UPDATE session SET ended_at = ${tx.now}, end_reason = ${reason}
    WHERE id = ${sessionId}::uuid AND person_id = ${personId}::uuid AND ended_at IS NULL`;
  return ended === 1;
}

/** Ends every session of a person but one (null: every one). */
export const endSessionsExcept = (tx: Tx, personId: string, keptId: string | null, reason: string) =>
  tx.sql.$executeRaw`
    UPDATE session SET ended_at = ${tx.now}, end_reason = ${reason}
    WHERE person_id = ${personId}::uuid AND ended_at IS NULL AND id IS DISTINCT FROM ${keptId}::uuid`;

export const liveSessions = (tx: Tx, personId: string, { limit, after }: Keyset): Promise<Session[]> =>
  tx.sql.$queryRaw<Session[]>`
    SELECT id, created_at AS "createdAt", last_used_at AS "lastUsedAt", expires_at AS "expiresAt", client FROM session
    WHERE person_id = ${personId}::uuid AND ended_at IS NULL AND expires_at > ${tx.now} AND last_used_at > ${later(tx.now, -IDLE_DAYS)}
      AND ${afterKey('created_at', after)} ORDER BY created_at, id LIMIT ${limit}`;
