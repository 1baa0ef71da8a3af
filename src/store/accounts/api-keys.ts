import { randomUUID } from 'node:crypto';
import { fail, ok, type Result } from '../../domain/foundation/result.ts';
import { ownedBy, type Tx } from '../database.ts';
import { Prisma } from '../generated/client.ts';
import type { Actor } from '../history.ts';
import { afterKey, type Keyset } from '../shows.ts';

export type KeyScope = 'read' | 'write';
export type ApiKey = {
  id: string;
  personId: string;
  name: string;
  scopes: KeyScope[];
  createdAt: Date;
  expiresAt: Date;
  lastUsedAt: Date | null;
};
export type ApiKeyError = { code: 'not-found' } | { code: 'version-moved-on'; version: number };

const COLUMNS = Prisma.sql`id, person_id AS "personId", name, scopes, created_at AS "createdAt", expires_at AS "expiresAt", last_used_at AS "lastUsedAt"`;
const live = (tx: Tx) =>
  Prisma.sql`${ownedBy(tx, 'org_id')} AND org_id = ${tx.scope.orgId}::uuid AND revoked_at IS NULL AND expires_at > ${tx.now}`;

type NewKey = { actor: Actor; name: string; scopes: KeyScope[]; expiresInDays: number; keyHash: string };

export async function createApiKey(tx: Tx, { actor, name, scopes, expiresInDays, keyHash }: NewKey): Promise<Result<ApiKey, never>> {
  const expiresAt = new Date(tx.now.getTime() + expiresInDays * 86_400_000);
  const made = { id: randomUUID(), personId: actor.personId, name, scopes, createdAt: tx.now, expiresAt, lastUsedAt: null };
  await tx.sql.$executeRaw`
    INSERT INTO api_key (id, org_id, person_id, name, key_hash, scopes, created_at, expires_at)
    VALUES (${made.id}::uuid, ${actor.orgId}::uuid, ${actor.personId}::uuid, ${name}, ${keyHash}, ${scopes}::text[], ${tx.now}, ${expiresAt})`;
  tx.note({
    orgs: [actor.orgId!],
    type: 'apiKey.created',
    subjectId: made.id,
    actor,
    facts: { name, scopes, until: expiresAt.toISOString() },
  });
  return ok(made);
}

export async function apiKeyAt(tx: Tx, id: string): Promise<ApiKey | null> {
  const [row] = await tx.sql.$queryRaw<ApiKey[]>`SELECT ${COLUMNS} FROM api_key WHERE ${live(tx)} AND id = ${id}::uuid`;
  return row ?? null;
}

export const apiKeysOf = (tx: Tx, personId: string, { limit, after }: Keyset): Promise<ApiKey[]> =>
  tx.sql.$queryRaw<ApiKey[]>`
    SELECT ${COLUMNS} FROM api_key WHERE ${live(tx)} AND person_id = ${personId}::uuid AND ${afterKey('created_at', after)}
    ORDER BY created_at, id LIMIT ${limit}`;

/** A live key never changes but for the note of its last use, so its version is 1 for as long as it can be revoked. */
export async function revokeApiKey(
  tx: Tx,
  { actor, id, ifMatch }: { actor: Actor; id: string; ifMatch: number },
): Promise<Result<null, ApiKeyError>> {
  if (ifMatch !== 1) return fail({ code: 'version-moved-on', version: 1 });
  const revoked = await tx.sql.$executeRaw`UPDATE api_key SET revoked_at = ${tx.now} WHERE ${live(tx)} AND id = ${id}::uuid`;
  if (revoked !== 1) return fail({ code: 'not-found' });
  tx.note({ orgs: [actor.orgId!], type: 'apiKey.revoked', subjectId: id, actor, facts: {} });
  return ok(null);
}
