import type { Party } from '../../domain/agreement/parties.ts';
import { step } from '../../domain/agreement/step.ts';
import { commitmentsOf } from '../../domain/assessment/commitments.ts';
import { fail, ok, type Result } from '../../domain/foundation/result.ts';
import type { Tx } from '../database.ts';
import type { Actor } from '../history.ts';
import { lockSpace, replaceCommitments } from '../roof-lock.ts';
import type { Roofs } from '../roofs.ts';
import { mayReadRoof } from '../shows.ts';
import { assessAmong, keepAssessment } from './assessing.ts';
import { factsOf } from './facts.ts';
import { draftOf, type ProposalError } from './plans.ts';
import { lockProposal, proposalAt, type Proposal } from './rows.ts';
import { writeNext } from './write-next.ts';

export type SubmitInput = { actor: Actor; party: Party; proposalId: string; ifMatch: number; note: string };

/** Freezes the working plan and the latest revision into an assessment, and puts them to the venue. */
export async function submit(tx: Tx, roofs: Roofs, input: SubmitInput): Promise<Result<Proposal, ProposalError>> {
  const seen = await proposalAt(tx, input.proposalId);
  if (!seen || (tx.walls.store && seen.tourOrgId !== tx.scope.orgId)) return fail({ code: 'not-found' });
  const lock = await lockSpace(tx, seen.spaceId);
  const proposal = await lockProposal(tx, seen.id);
  if (!proposal || proposal.version !== input.ifMatch) return fail({ code: 'version-moved-on', version: proposal?.version ?? 0 });
  const next = step(await factsOf(tx, proposal), { action: 'submit', actor: input.party });
  if (!next.ok) return next;
  const roof =
    lock.latestRevision > 0 && (await mayReadRoof(tx, proposal.spaceId)) ? await roofs.at(tx, proposal.spaceId, lock.latestRevision) : null;
  const draft = await draftOf(tx, proposal.id);
  if (!roof || !draft) return fail({ code: 'roof-not-published', spaceId: proposal.spaceId });
  const assessment = await assessAmong(tx, roof, proposal, draft.bytes);
  if (!assessment.ok) return assessment;
  const number = proposal.submissionCount + 1;
  await tx.sql.$executeRaw`
    INSERT INTO plan_submission (proposal_id, number, space_id, plan_bytes, plan_sha256, revision_number, starts_at, ends_at, note, submitted_by,
      submitter_name, editor_ids, submitted_at)
    VALUES (${proposal.id}::uuid, ${number}, ${proposal.spaceId}::uuid, ${draft.bytes}, ${draft.sha256}, ${roof.number}, ${proposal.startsAt}, ${proposal.endsAt},
      ${input.note}, ${input.actor.personId}::uuid, ${input.actor.name}, (SELECT editor_ids FROM plan_draft WHERE proposal_id = ${proposal.id}::uuid), ${tx.now})`;
  await tx.sql.$executeRaw`UPDATE show SET shared_at = coalesce(shared_at, ${tx.now}) WHERE id = ${proposal.showId}::uuid`;
  const { facts } = await keepAssessment(tx, proposal.id, number, 'submission', roof, assessment.value);
  await replaceCommitments(tx, proposal.spaceId, proposal.commitmentRef, 'submitted', commitmentsOf(assessment.value));
  await writeNext(tx, proposal, next.value, { submissionCount: number, lastSubmitterId: input.actor.personId });
  tx.note({
    orgs: [proposal.tourOrgId, proposal.venueOrgId],
    type: 'proposal.submitted',
    subjectId: proposal.id,
    actor: input.actor,
    facts: {
      number,
      planSha256: draft.sha256,
      revision: roof.number,
      revisionSha256: roof.sha256,
      assessmentHash: facts.assessmentHash,
      outcomeHash: facts.outcomeHash,
    },
  });
  return ok((await proposalAt(tx, proposal.id))!);
}
