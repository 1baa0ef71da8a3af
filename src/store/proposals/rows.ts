import { ownedBy, type Tx } from '../database.ts';
import { Prisma } from '../generated/client.ts';
import type { ProposalState } from '../../domain/agreement/facts.ts';

/** A proposal as its row says; what may happen next with it is worked out from its facts. */
export type Proposal = {
  id: string;
  showId: string;
  showName: string;
  productionId: string;
  productionName: string;
  tourOrgId: string;
  venueOrgId: string;
  venueName: string;
  spaceId: string;
  spaceName: string;
  name: string;
  commitmentRef: string;
  state: ProposalState;
  stale: boolean;
  staleReasons: string[];
  suspended: boolean;
  suspensionReason: string | null;
  version: number;
  submissionCount: number;
  startsAt: Date;
  endsAt: Date;
  standingYesId: string | null;
  deciderId: string | null;
  handoverTo: string | null;
  workingPlanSha256: string;
  lastEditorId: string;
  turnSince: Date;
  createdAt: Date;
};

const COLUMNS = Prisma.sql`p.id, p.show_id AS "showId", s.name AS "showName", p.production_id AS "productionId", d.name AS "productionName",
  p.tour_org_id AS "tourOrgId", p.venue_org_id AS "venueOrgId", v.name AS "venueName", p.space_id AS "spaceId", sp.name AS "spaceName",
  p.name, p.commitment_ref AS "commitmentRef", p.state, p.stale, p.stale_reasons AS "staleReasons", p.suspended,
  p.suspension_reason AS "suspensionReason", p.version, p.submission_count AS "submissionCount", p.starts_at AS "startsAt", p.ends_at AS "endsAt",
  p.standing_yes_id AS "standingYesId", p.decider_id AS "deciderId", p.handover_to AS "handoverTo",
  p.working_plan_sha256 AS "workingPlanSha256", p.last_editor_id AS "lastEditorId", p.turn_since AS "turnSince", p.created_at AS "createdAt"`;
const FROM = Prisma.sql`proposal p JOIN show s ON s.id = p.show_id JOIN production d ON d.id = p.production_id
  JOIN space sp ON sp.id = p.space_id JOIN venue v ON v.id = sp.venue_id`;

/** The touring side's own; for the venue, from the first submission on. */
export const proposalVisible = (tx: Tx): Prisma.Sql =>
  tx.walls.store
    ? Prisma.sql`(${ownedBy(tx, 'p.tour_org_id')} OR (${ownedBy(tx, 'p.venue_org_id')} AND p.submission_count > 0))`
    : Prisma.sql`TRUE`;

export async function proposalAt(tx: Tx, id: string): Promise<Proposal | null> {
  const [row] = await tx.sql.$queryRaw<Proposal[]>`SELECT ${COLUMNS} FROM ${FROM} WHERE p.id = ${id}::uuid AND ${proposalVisible(tx)}`;
  return row ?? null;
}

/** Locks the proposal, the third in the order of all locks. */
export async function lockProposal(tx: Tx, id: string): Promise<Proposal | null> {
  const [row] = await tx.sql.$queryRaw<Proposal[]>`
    SELECT ${COLUMNS} FROM ${FROM} WHERE p.id = ${id}::uuid AND ${proposalVisible(tx)} FOR UPDATE OF p`;
  return row ?? null;
}

export type ProposalFilter = { showId?: string; productionId?: string; spaceId?: string; state?: string };

export async function proposalsWhere(tx: Tx, filter: ProposalFilter, after: Prisma.Sql, limit: number): Promise<Proposal[]> {
  const conditions = [proposalVisible(tx), after];
  if (filter.showId) conditions.push(Prisma.sql`p.show_id = ${filter.showId}::uuid`);
  if (filter.productionId) conditions.push(Prisma.sql`p.production_id = ${filter.productionId}::uuid`);
  if (filter.spaceId) conditions.push(Prisma.sql`p.space_id = ${filter.spaceId}::uuid`);
  if (filter.state) conditions.push(Prisma.sql`p.state = ${filter.state}`);
  return tx.sql.$queryRaw<Proposal[]>`
    SELECT ${COLUMNS} FROM ${FROM} WHERE ${Prisma.join(conditions, ' AND ')} ORDER BY p.starts_at, p.id LIMIT ${limit}`;
}
