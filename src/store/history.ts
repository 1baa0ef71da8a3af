import { canonicalBytes, type Json } from '../domain/foundation/canonical.ts';
import type { Prisma } from './generated/client.ts';

/** Who did it, as history names them: the name is copied, since people change theirs. */
export type Actor = { readonly personId: string; readonly orgId: string | null; readonly name: string };

/**
 * One act, as it stands in the audit chain of every organisation that takes part in it, and as the event they are told.
 * Both are numbered by the same head row, in commit order.
 */
export type HistoryEntry = {
  readonly orgs: readonly string[];
  /** Dotted, past tense: `proposal.agreed`. */
  readonly type: string;
  readonly subjectId: string;
  readonly actor: Actor;
  readonly facts: Json;
};

/** Appends to the chains under their locks, taken in ascending order: call once, as the last statement of the transaction. */
export async function appendHistory(sql: Prisma.TransactionClient, entries: readonly HistoryEntry[], now: Date): Promise<void> {
  if (entries.length === 0) return;
  const at = now.toISOString();
  const rows = entries.map(({ orgs, type, subjectId, actor, facts }) => ({
    orgs: [...new Set(orgs)],
    at,
    type,
    subject: subjectId,
    body: canonicalBytes({ at, type, subjectId, actor, facts }),
    event: canonicalBytes({ at, type, subjectId, facts }),
  }));
  await sql.$executeRaw`SELECT append_history(${JSON.stringify(rows)}::jsonb)`;
}
