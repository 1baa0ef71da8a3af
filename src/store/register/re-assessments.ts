import { ownedBy, type Scope, type Tx } from '../database.ts';
import { settleNext, type AgreementMoved, type Failing, type ReAssessed } from '../proposals/published.ts';
import { lockSpace } from '../roof-lock.ts';
import type { Roofs } from '../roofs.ts';

/** How far it is with what a revision means for the agreements that stood when it was published. */
export type ReAssessment = {
  revision: number;
  publishedAt: Date;
  total: number;
  done: number;
  kept: number;
  stillFits: number;
  doesNot: number;
  ended: number;
  /** When the last one was found out; null while any waits, and where there was none. */
  settledAt: Date | null;
};
/** Null until it is found out. */
export type Checked = Omit<AgreementMoved, 'outcome'> & { outcome: ReAssessed | null };

/** A job of background work: whose it is, and what of. */
export type ReAssessmentJob = { spaceId: string; revision: number; scope: Pick<Scope, 'orgId' | 'personId'> };

/** Put in with the publication, by one transaction: there is never the one without the other. */
export async function enqueueReAssessment(tx: Tx, { spaceId, revision, scope: { orgId, personId } }: ReAssessmentJob): Promise<void> {
  const job: ReAssessmentJob = { spaceId, revision, scope: { orgId, personId } };
  await tx.sql.$executeRaw`SELECT enqueue('re-assess', ${JSON.stringify(job)}::jsonb, ${`re-assess ${spaceId} ${revision}`})`;
}

/** Finds out about one more agreement, in a transaction of its own: repeated until it says `done`, from whichever point it was left. */
export async function reAssessNext(tx: Tx, roofs: Roofs, spaceId: string, revision: number): Promise<'more' | 'done'> {
  await lockSpace(tx, spaceId);
  const [row] = await tx.sql.$queryRaw<{ author_id: string; author_name: string; venue_org_id: string }[]>`
    SELECT author_id, author_name, venue_org_id FROM revision
    WHERE space_id = ${spaceId}::uuid AND number = ${revision} AND ${ownedBy(tx, 'venue_org_id')}`;
  const [before, after] = [revision > 1 ? await roofs.at(tx, spaceId, revision - 1) : null, await roofs.at(tx, spaceId, revision)];
  if (!row || !after) throw new Error(`revision ${revision} of space ${spaceId} is not to be seen by its venue`);
  const actor = { personId: row.author_id, orgId: row.venue_org_id, name: row.author_name };
  return (await settleNext(tx, { actor, spaceId, before, after })) ? 'more' : 'done';
}

/** Newest first. */
export const reAssessmentsOf = (tx: Tx, spaceId: string, below: number | null, limit: number): Promise<ReAssessment[]> =>
  tx.sql.$queryRaw<ReAssessment[]>`
    SELECT v.number AS revision, v.published_at AS "publishedAt", c.* FROM revision v CROSS JOIN LATERAL (
      SELECT count(*)::int AS total, count(r.outcome)::int AS done,
        (count(*) FILTER (WHERE r.outcome = 'kept'))::int AS kept, (count(*) FILTER (WHERE r.outcome = 'stillFits'))::int AS "stillFits",
        (count(*) FILTER (WHERE r.outcome = 'doesNot'))::int AS "doesNot", (count(*) FILTER (WHERE r.outcome = 'ended'))::int AS ended,
        CASE WHEN count(*) = count(r.outcome) THEN max(r.settled_at) END AS "settledAt"
      FROM re_assessment r WHERE r.space_id = v.space_id AND r.revision_number = v.number) c
    WHERE v.space_id = ${spaceId}::uuid AND v.number < ${below ?? 2_000_000_000} AND ${ownedBy(tx, 'v.venue_org_id')}
    ORDER BY v.number DESC LIMIT ${limit}`;

export async function reAssessmentAt(
  tx: Tx,
  spaceId: string,
  revision: number,
): Promise<(ReAssessment & { agreements: Checked[] }) | null> {
  const [progress] = await reAssessmentsOf(tx, spaceId, revision + 1, 1);
  if (progress?.revision !== revision) return null;
  const rows = await tx.sql.$queryRaw<(Omit<Checked, 'failing'> & { failing: string })[]>`
    SELECT proposal_id AS "proposalId", outcome, verdict, failing FROM re_assessment
    WHERE space_id = ${spaceId}::uuid AND revision_number = ${revision} AND ${ownedBy(tx, 'venue_org_id')} ORDER BY proposal_id`;
  return { ...progress, agreements: rows.map((row) => ({ ...row, failing: JSON.parse(row.failing) as Failing[] })) };
}
