import { ownedBy, type Tx } from '../database.ts';
import { Prisma } from '../generated/client.ts';

export type Stay = { streamId: string; subject: { kind: 'proposal' | 'space'; id: string }; name: string };
export type PersonPresent = { personId: string; name: string; orgId: string };

const STAYS_S = 150; // said again every minute while the stream is open

/**
 * Somebody has it open, or still has. Those who have a proposal open are shown to both sides once it was put to the venue; those who
 * have a space open, to their own organisation alone: who else looks at a roof is not for others.
 */
export async function stay(tx: Tx, { streamId, subject, name }: Stay): Promise<void> {
  await tx.sql.$executeRaw`DELETE FROM presence WHERE until < ${tx.now} AND ${ownedBy(tx, 'org_id')}`;
  const otherSide =
    subject.kind === 'space'
      ? Prisma.sql`NULL::uuid`
      : Prisma.sql`(SELECT CASE WHEN p.venue_org_id <> ${tx.scope.orgId}::uuid THEN p.venue_org_id ELSE p.tour_org_id END FROM proposal p
          WHERE p.id = ${subject.id}::uuid AND p.submission_count > 0 AND ${ownedBy(tx, 'p.venue_org_id', 'p.tour_org_id')})`;
  await tx.sql.$executeRaw`
    INSERT INTO presence (stream_id, subject_id, org_id, other_org_id, person_id, name, until)
    VALUES (${streamId}::uuid, ${subject.id}::uuid, ${tx.scope.orgId}::uuid, ${otherSide}, ${tx.scope.personId}::uuid, ${name},
      ${new Date(tx.now.getTime() + STAYS_S * 1000)})
    ON CONFLICT (stream_id) DO UPDATE SET until = excluded.until, other_org_id = excluded.other_org_id`;
}

export async function leave(tx: Tx, streamId: string): Promise<void> {
  await tx.sql.$executeRaw`DELETE FROM presence WHERE stream_id = ${streamId}::uuid AND ${ownedBy(tx, 'org_id')}`;
}

export const present = (tx: Tx, subjectId: string, streamId: string): Promise<PersonPresent[]> =>
  tx.sql.$queryRaw<PersonPresent[]>`
    SELECT DISTINCT person_id AS "personId", name, org_id AS "orgId" FROM presence
    WHERE subject_id = ${subjectId}::uuid AND stream_id <> ${streamId}::uuid AND until > ${tx.now} AND ${ownedBy(tx, 'org_id', 'other_org_id')}
    ORDER BY name, "personId"`;
