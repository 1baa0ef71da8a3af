import { fail, type Result } from '../domain/foundation/result.ts';
import type { Database, Scope, Tx } from './database.ts';

/** What goes back to the caller. Kept with the idempotency key when it is a 2xx, so that a repeated request gets the same. */
export type Answer = {
  readonly status: number;
  readonly body: unknown;
  readonly etag?: string;
  readonly location?: string;
  /** What is kept instead of `body`, where that shows a secret once. */
  readonly kept?: unknown;
  readonly replayed?: boolean;
};

/** A request that may be sent again. `key` is null where the operation is repeatable by nature (PUT, PATCH, DELETE under If-Match). */
export type Once = { readonly key: string | null; readonly route: string; readonly bodyHash: string };
export type Reply<T> = { readonly once: Once; readonly present: (value: T) => Answer };

export type OnceError = { code: 'same-request-running' } | { code: 'idempotency-key-reused' };

/**
 * Makes an operation of the store out of `work`: one transaction that takes the idempotency key first (before If-Match and state),
 * does the work, and keeps the answer. An answer of 4xx, and a failure, are not kept.
 */
export function act<I, T, E>(db: Database, work: (tx: Tx, input: I) => Promise<Result<T, E>>) {
  return (scope: Scope, input: I, reply: Reply<T>): Promise<Result<Answer, E | OnceError>> =>
    db.transaction<Answer, E | OnceError>(scope, async (tx) => {
      const taken = await takeKey(tx, reply.once);
      if (!taken.ok) return taken;
      if (taken.value) return { ok: true, value: taken.value };
      const done = await work(tx, input);
      if (!done.ok) return done;
      const answer = reply.present(done.value);
      await keep(tx, reply.once, answer);
      return { ok: true, value: answer };
    });
}

async function takeKey(tx: Tx, { key, route, bodyHash }: Once): Promise<Result<Answer | null, OnceError>> {
  if (key === null) return { ok: true, value: null };
  const { personId, orgId } = tx.scope;
  const [lock] = await tx.sql.$queryRaw<{ got: boolean }[]>`
    SELECT pg_try_advisory_xact_lock(hashtextextended(${JSON.stringify([personId, orgId, route, key])}, 0)) AS got`;
  if (!lock?.got) return fail({ code: 'same-request-running' });
  // A statement of its own: its snapshot must begin after the lock is held, or it misses an answer committed just before.
  const [kept] = await tx.sql.$queryRaw<{ body_hash: string; status: number; response: string }[]>`
    SELECT body_hash, status, response FROM idempotency_key
    WHERE person_id = ${personId}::uuid AND org_id = ${orgId ?? ''} AND route = ${route} AND key = ${key}`;
  if (!kept) return { ok: true, value: null };
  if (kept.body_hash !== bodyHash) return fail({ code: 'idempotency-key-reused' });
  const answer = JSON.parse(kept.response) as Omit<Answer, 'replayed'>;
  return { ok: true, value: { ...answer, replayed: true } };
}

async function keep(tx: Tx, { key, route, bodyHash }: Once, answer: Answer): Promise<void> {
  if (key === null || answer.status >= 300) return;
  const { kept, ...rest } = answer;
  const response = JSON.stringify(kept === undefined ? rest : { ...rest, body: kept });
  await tx.sql.$executeRaw`
    INSERT INTO idempotency_key (person_id, org_id, route, key, body_hash, status, response, created_at)
    VALUES (${tx.scope.personId}::uuid, ${tx.scope.orgId ?? ''}, ${route}, ${key}, ${bodyHash}, ${answer.status}, ${response}, ${tx.now})`;
}
