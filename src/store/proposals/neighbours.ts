import type { NeighbourLoad } from '../../domain/assessment/assessment.ts';
import { neighboursStillHold } from '../../domain/assessment/neighbours.ts';
import type { Tx } from '../database.ts';
import { Prisma } from '../generated/client.ts';
import { agreedRefsDuring, hangingDuring, type RoofLock } from '../roof-lock.ts';
import type { Roofs } from '../roofs.ts';
import { readPlan, sha256, type Stay } from './assessing.ts';
import type { Proposal } from './rows.ts';

/** A standing agreement as the venue sees it when it decides on another. */
export type StandingAgreement = Stay & {
  proposalId: string;
  tourOrgId: string;
  version: number;
  planBytes: string;
  submissionNumber: number;
};

export type NeighbourEffects = {
  broken: { ref: string; checkIds: string[] }[];
  close: { ref: string; proposalId: string; tourOrgId: string; checkIds: string[] }[];
};

/**
 * What a yes to `proposal` would do to every standing agreement that overlaps it: each is computed with the roof as it is, and once
 * more with the new loads in place of what the proposal has hanging there now.
 */
export async function neighboursAfter(
  tx: Tx,
  roofs: Roofs,
  lock: RoofLock,
  proposal: Proposal,
  loads: readonly Omit<NeighbourLoad, 'ref' | 'status'>[],
): Promise<NeighbourEffects> {
  const effects: NeighbourEffects = { broken: [], close: [] };
  const roof = await roofs.at(tx, lock.spaceId, lock.latestRevision);
  if (!roof) throw new Error(`the latest revision of space ${lock.spaceId} is not to be seen`);
  const newLoads: NeighbourLoad[] = loads.map((load) => ({ ...load, ref: proposal.commitmentRef, status: 'agreed' }));
  for (const standing of await standingDuring(tx, lock.spaceId, proposal.startsAt, proposal.endsAt, proposal.id)) {
    const plan = readPlan(standing.planBytes, standing);
    if (!plan.ok) {
      effects.broken.push({ ref: standing.commitmentRef, checkIds: ['plan'] }); // cannot be computed any more: nothing may be added beside it
      continue;
    }
    const { neighbours } = await hangingDuring(tx, lock.spaceId, standing.startsAt, standing.endsAt, standing.commitmentRef);
    const held = neighboursStillHold({
      roof: roof.roof,
      revisionHash: roof.sha256,
      policyHash: roof.policySha256,
      plan: plan.value,
      planHash: sha256(standing.planBytes),
      show: { from: standing.startsAt.toISOString(), to: standing.endsAt.toISOString() },
      neighbours: neighbours.filter(({ ref, status }) => ref !== proposal.commitmentRef || status !== 'submitted'),
      newLoads,
      asOf: tx.now.toISOString(),
      sha256,
    });
    if (held.broken.length > 0) effects.broken.push({ ref: standing.commitmentRef, checkIds: held.broken });
    if (held.close.length > 0) {
      effects.close.push({
        ref: standing.commitmentRef,
        proposalId: standing.proposalId,
        tourOrgId: standing.tourOrgId,
        checkIds: held.close,
      });
    }
  }
  return effects;
}

/** The frozen plans of the last yeses in a space that something hangs by during [from, to), or has passed and was not called down. */
const standingDuring = (tx: Tx, spaceId: string, from: Date, to: Date, exceptId: string): Promise<StandingAgreement[]> =>
  standingWhere(tx, Prisma.sql`p.commitment_ref IN ${agreedRefsDuring(spaceId, from, to, tx.now)} AND p.id <> ${exceptId}::uuid`);

/** The frozen plan of the yes that stands of a proposal. */
export async function agreementStanding(tx: Tx, proposalId: string): Promise<StandingAgreement> {
  const [standing] = await standingWhere(tx, Prisma.sql`p.id = ${proposalId}::uuid`);
  if (!standing) throw new Error(`nothing stands of proposal ${proposalId}`);
  return standing;
}

const standingWhere = (tx: Tx, condition: Prisma.Sql): Promise<StandingAgreement[]> => tx.sql.$queryRaw<StandingAgreement[]>`
  SELECT p.id AS "proposalId", p.tour_org_id AS "tourOrgId", p.version, p.space_id AS "spaceId", p.commitment_ref AS "commitmentRef",
    s.starts_at AS "startsAt", s.ends_at AS "endsAt", s.plan_bytes AS "planBytes", s.number AS "submissionNumber"
  FROM proposal p JOIN decision d ON d.id = p.standing_yes_id JOIN plan_submission s ON s.proposal_id = p.id AND s.number = d.submission_number
  WHERE ${condition} ORDER BY p.id`;
