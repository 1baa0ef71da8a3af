import { randomUUID } from 'node:crypto';
import type { Act, Next } from '../../domain/agreement/acts.ts';
import type { ProposalFacts } from '../../domain/agreement/facts.ts';
import { yesCovers } from '../../domain/agreement/covered.ts';
import { whatCounts } from '../../domain/agreement/validity.ts';
import type { Party } from '../../domain/agreement/parties.ts';
import { step } from '../../domain/agreement/step.ts';
import { canonicalBytes, type Json } from '../../domain/foundation/canonical.ts';
import { fail, ok, type Result } from '../../domain/foundation/result.ts';
import type { Tx } from '../database.ts';
import type { Actor } from '../history.ts';
import { lockSpace, replaceCommitments } from '../roof-lock.ts';
import { latestAssessment, sha256 } from './assessing.ts';
import { factsOf } from './facts.ts';
import type { ProposalError } from './plans.ts';
import { lockProposal, proposalAt, type Proposal } from './rows.ts';
import { writeNext } from './write-next.ts';

type Common = { actor: Actor; party: Party; proposalId: string; spaceId: string; ifMatch: number };

/** Acts that change a proposal and nothing else of their own: withdrawal, revocation, suspension, strike, override, handover. */
export type SimpleAct =
  | { action: 'withdraw' | 'liftSuspension' | 'strike' | 'acceptHandover' }
  | { action: 'revoke' | 'suspend'; reason: string }
  | { action: 'askOverride'; subject: 'check' | 'answer'; subjectIds: string[]; outcomeHash: string; reason: string }
  | { action: 'confirmOverride'; overrideId: string; outcomeHash: string }
  | { action: 'offerHandover'; toPersonId: string };

const TOLD_AS: Record<SimpleAct['action'], string> = {
  withdraw: 'proposal.withdrawn',
  revoke: 'proposal.revoked',
  suspend: 'proposal.suspended',
  liftSuspension: 'proposal.suspensionLifted',
  strike: 'proposal.struck',
  askOverride: 'proposal.overrideAsked',
  confirmOverride: 'proposal.overridden',
  offerHandover: 'proposal.handoverOffered',
  acceptHandover: 'proposal.handedOver',
};

/** One act under the locks: the table of states says what follows, and what hangs is kept in step with it. */
export async function perform(
  tx: Tx,
  { actor, party, proposalId, spaceId, ifMatch, ...what }: Common & SimpleAct,
): Promise<Result<Proposal, ProposalError>> {
  await lockSpace(tx, spaceId);
  const proposal = await lockProposal(tx, proposalId);
  if (!proposal || proposal.spaceId !== spaceId) return fail({ code: 'not-found' });
  if (proposal.version !== ifMatch) return fail({ code: 'version-moved-on', version: proposal.version });
  const facts = await factsOf(tx, proposal);
  const act = await actOf(tx, proposal, party, what);
  if (!act.ok) return act;
  const next = step(facts, act.value);
  if (!next.ok) return next;
  const recorded = await record(tx, proposal, facts, actor, party, what, next.value);
  await writeNext(tx, proposal, next.value, what.action === 'suspend' ? { suspensionReason: what.reason } : {});
  await keepRoofInStep(tx, proposal, facts, next.value);
  tx.note({
    orgs: [proposal.tourOrgId, proposal.venueOrgId],
    type: TOLD_AS[what.action],
    subjectId: proposal.id,
    actor,
    facts: { ...(what as unknown as Record<string, Json>), ...recorded, state: next.value.state },
  });
  return ok((await proposalAt(tx, proposal.id)) ?? proposal);
}

async function actOf(tx: Tx, proposal: Proposal, party: Party, what: SimpleAct): Promise<Result<Act, ProposalError>> {
  if (what.action !== 'offerHandover') return ok({ ...what, actor: party });
  const [member] = await tx.sql.$queryRaw<{ roles: string[] }[]>`
    SELECT roles FROM membership WHERE org_id = ${proposal.venueOrgId}::uuid AND person_id = ${what.toPersonId}::uuid AND ended_at IS NULL`;
  return ok({ action: 'offerHandover', actor: party, to: { side: 'venue', personId: what.toPersonId, roles: member?.roles ?? [] } });
}

/** Writes the act itself, where it leaves more than a changed state. */
async function record(
  tx: Tx,
  proposal: Proposal,
  facts: ProposalFacts,
  actor: Actor,
  party: Party,
  what: SimpleAct,
  next: Next,
): Promise<Record<string, string>> {
  if (what.action === 'askOverride') {
    const overrideId = randomUUID();
    await tx.sql.$executeRaw`
      INSERT INTO check_override (id, proposal_id, submission_number, subject, subject_ids, outcome_hash, reason, asked_by, asker_name, asker_is_engineer, asked_at)
      VALUES (${overrideId}::uuid, ${proposal.id}::uuid, ${proposal.submissionCount}, ${what.subject}, ${what.subjectIds}::text[], ${what.outcomeHash},
        ${what.reason}, ${actor.personId}::uuid, ${actor.name}, ${party.roles.includes('engineer')}, ${tx.now})`;
    return { overrideId };
  }
  if (what.action === 'confirmOverride') {
    await tx.sql.$executeRaw`
      UPDATE check_override SET confirmed_by = ${actor.personId}::uuid, confirmer_name = ${actor.name}, confirmed_at = ${tx.now}
      WHERE id = ${what.overrideId}::uuid AND proposal_id = ${proposal.id}::uuid AND confirmed_by IS NULL`;
  }
  if (next.records && what.action === 'revoke') {
    const kept = await latestAssessment(tx, proposal.id);
    if (!kept || !facts.assessment) throw new Error(`proposal ${proposal.id} was agreed without an assessment`);
    await tx.sql.$executeRaw`
      INSERT INTO decision (id, proposal_id, submission_number, sequence, answer, capacity, assessment_id, assessment_hash, covered, conditions, ticks, reason,
        decided_by, decider_name, decided_at)
      SELECT gen_random_uuid(), ${proposal.id}::uuid, ${next.records.submissionNumber}, coalesce(max(sequence), 0) + 1, ${next.records.answer},
        ${next.records.capacity}, ${kept.id}::uuid, ${kept.assessmentHash}, ${canonicalBytes(yesCovers(facts.assessment, [], sha256))}, '[]', '[]', ${what.reason},
        ${actor.personId}::uuid, ${actor.name}, ${tx.now} FROM decision WHERE proposal_id = ${proposal.id}::uuid`;
  }
  return {};
}

/** What counts as hanging follows from state and standing yes alone. */
async function keepRoofInStep(tx: Tx, proposal: Proposal, facts: ProposalFacts, next: Next): Promise<void> {
  const standingYes = next.standing === 'ended' ? null : facts.standingYes;
  const counts = whatCounts({ ...facts, state: next.state, standingYes });
  if (counts.agreedSubmission === null) await replaceCommitments(tx, proposal.spaceId, proposal.commitmentRef, 'agreed', []);
  if (counts.submittedSubmission === null) await replaceCommitments(tx, proposal.spaceId, proposal.commitmentRef, 'submitted', []);
}
