import { createHash } from 'node:crypto';
import { ownedBy, type Database, type Scope, type Tx } from './database.ts';
import type { LoggedEvent } from './events/feed.ts';

export type AuditEntry = { seq: bigint; at: Date; body: string; prevHash: string; hash: string };
export type EventRow = { seq: bigint; at: Date; type: string; subjectId: string; body: string };

/** What checking an organisation's chain finds: whole, or the first entry that does not follow from the one before. */
export type ChainReport = { entries: number; whole: boolean; head: string; firstBad: number | null };

const STEP = 1_000;

/** The log as it is streamed: without facts, with the name of who did it from the chain's entry of the same number. */
export const loggedAfter = (db: Database, orgId: string, afterNumber: number, limit: number): Promise<LoggedEvent[]> =>
  db.read({ orgId, personId: null }, async (tx) => {
    const rows = await tx.sql.$queryRaw<(Omit<LoggedEvent, 'number'> & { seq: bigint })[]>`
      SELECT e.seq, e.at, e.type, e.subject_id AS "subjectId", coalesce(a.body::jsonb #>> '{actor,name}', '') AS "actorName"
      FROM event e JOIN audit_entry a ON a.org_id = e.org_id AND a.seq = e.seq
      WHERE ${ownedBy(tx, 'e.org_id')} AND e.org_id = ${orgId}::uuid AND e.seq > ${afterNumber} ORDER BY e.seq LIMIT ${limit}`;
    return rows.map(({ seq, ...event }) => ({ ...event, number: Number(seq) }));
  });

export const logHead = (db: Database, orgId: string): Promise<number> =>
  db.read({ orgId, personId: null }, async (tx) => {
    const [head] = await tx.sql.$queryRaw<{ seq: bigint }[]>`
      SELECT seq FROM audit_head WHERE ${ownedBy(tx, 'org_id')} AND org_id = ${orgId}::uuid`;
    return Number(head?.seq ?? 0);
  });

export function auditStore(db: Database) {
  return {
    entries: (scope: Scope, afterSeq: bigint, limit: number) => db.read(scope, (tx) => entriesAfter(tx, afterSeq, limit)),
    events: (scope: Scope, afterSeq: bigint, limit: number) =>
      db.read(
        scope,
        (tx) => tx.sql.$queryRaw<EventRow[]>`
          SELECT seq, at, type, subject_id AS "subjectId", body FROM event
          WHERE ${ownedBy(tx, 'org_id')} AND org_id = ${tx.scope.orgId}::uuid AND seq > ${afterSeq} ORDER BY seq LIMIT ${limit}`,
      ),
    verify: (scope: Scope) => db.read(scope, verify),
  };
}

const entriesAfter = (tx: Tx, afterSeq: bigint, limit: number) =>
  tx.sql.$queryRaw<AuditEntry[]>`
    SELECT seq, at, body, prev_hash AS "prevHash", hash FROM audit_entry
    WHERE ${ownedBy(tx, 'org_id')} AND org_id = ${tx.scope.orgId}::uuid AND seq > ${afterSeq} ORDER BY seq LIMIT ${limit}`;

/** Walks the chain of the asker's organisation from its first entry, and compares its end with the head. */
async function verify(tx: Tx): Promise<ChainReport> {
  let previous = '';
  let seq = 0n;
  for (;;) {
    const entries = await entriesAfter(tx, seq, STEP);
    for (const entry of entries) {
      const follows = entry.seq === seq + 1n && entry.prevHash === previous && entry.hash === chainHash(previous, entry.seq, entry.body);
      if (!follows) return { entries: Number(seq), whole: false, head: previous, firstBad: Number(seq) + 1 };
      previous = entry.hash;
      seq = entry.seq;
    }
    if (entries.length < STEP) break;
  }
  const [head] = await tx.sql.$queryRaw<{ seq: bigint; hash: string }[]>`
    SELECT seq, hash FROM audit_head WHERE ${ownedBy(tx, 'org_id')} AND org_id = ${tx.scope.orgId}::uuid`;
  const ends = (head?.seq ?? 0n) === seq && (head?.hash ?? '') === previous;
  return { entries: Number(seq), whole: ends, head: previous, firstBad: ends ? null : Number(seq) + 1 };
}

/** SHA-256 of the hash before, a line feed, the number, a line feed and the entry's canonical bytes. */
export const chainHash = (previous: string, seq: bigint, body: string): string =>
  createHash('sha256').update(`${previous}\n${seq}\n${body}`).digest('hex');
