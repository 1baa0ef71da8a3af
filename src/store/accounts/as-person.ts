import type { Json } from '../../domain/foundation/canonical.ts';
import type { Result } from '../../domain/foundation/result.ts';
import type { Database, Tx } from '../database.ts';
import { membershipsOf } from './callers.ts';

/** Notes an act of a person about themselves in the history of every organisation that they belong to. */
export type NoteSelf = (type: string, facts: Json) => void;

/**
 * A transaction of a person for themselves. Whoever belongs to no organisation leaves no history: there is no chain to write it in.
 * Organisations are read before, because a history is appended by one that takes part.
 */
export async function asPerson<T, E>(
  db: Database,
  personId: string,
  work: (tx: Tx, note: NoteSelf) => Promise<Result<T, E>>,
): Promise<Result<T, E>> {
  const known = await db.read({ orgId: null, personId }, async (tx) => ({
    orgs: (await membershipsOf(tx, personId)).map(({ orgId }) => orgId),
    name: (await tx.sql.person.findUnique({ where: { id: personId } }))?.displayName ?? '',
  }));
  const [orgId] = known.orgs;
  return db.transaction({ orgId: orgId ?? null, personId }, (tx) =>
    work(tx, (type, facts) => {
      if (orgId === undefined) return;
      tx.note({ orgs: known.orgs, type, subjectId: personId, actor: { personId, orgId: null, name: known.name }, facts });
    }),
  );
}
