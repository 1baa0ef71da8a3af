import { randomUUID } from 'node:crypto';
import type { ReviewAct } from '../../domain/agreement/acts.ts';
import { yesCovers } from '../../domain/agreement/covered.ts';
import { assessmentFacts, type AnswerKind, type Capacity, type Condition, type Tick } from '../../domain/agreement/facts.ts';
import type { Party } from '../../domain/agreement/parties.ts';
import { step } from '../../domain/agreement/step.ts';
import { mayAgreeAnew, whatCounts } from '../../domain/agreement/validity.ts';
import { ticksCarried, type CoveringTick } from '../../domain/agreement/ticks.ts';
import type { Assessment } from '../../domain/assessment/assessment.ts';
import { commitmentsOf } from '../../domain/assessment/commitments.ts';
import { coverHash } from '../../domain/assessment/hashes.ts';
import { canonicalBytes, type Json } from '../../domain/foundation/canonical.ts';
import { fail, ok, type Result } from '../../domain/foundation/result.ts';
import type { Tx } from '../database.ts';
import type { Actor } from '../history.ts';
import { lockSpace, replaceCommitments, type RoofLock } from '../roof-lock.ts';
import type { KeptRoof, Roofs } from '../roofs.ts';
import { assessAmong, keepAssessment, latestAssessment, readAssessment, sha256, type KeptAssessment } from './assessing.ts';
import { factsOf } from './facts.ts';
import { neighboursAfter } from './neighbours.ts';
import type { ProposalError } from './plans.ts';
import { lockProposal, proposalAt, type Proposal } from './rows.ts';
import { writeNext } from './write-next.ts';

export type ReviewInput = {
  actor: Actor;
  party: Party;
  proposalId: string;
  spaceId: string;
  ifMatch: number;
  answer: AnswerKind;
  capacity: Capacity;
  assessmentHash: string;
  conditions: Condition[];
  ticks: Tick[];
  reason: string;
  validUntil: Date | null;
};

/** Decided, or: the roof has filled up or moved since it was assessed, here is what holds now, decide on that. */
export type Reviewed = { kind: 'decided'; proposal: Proposal } | { kind: 'roofMoved'; proposal: Proposal; assessment: Assessment };

/** States in which there is something to decide. */
const WITH_THE_VENUE: ReadonlySet<string> = new Set(['submitted', 'questions', 'declined']);

type OnTheTable = { kept: KeptAssessment; roof: KeptRoof; now: Assessment };

/**
 * One answer of the venue. What is agreed is what was checked: the assessment is computed again on locked data, and a yes to anything
 * else than that never happens.
 */
export async function review(tx: Tx, roofs: Roofs, input: ReviewInput): Promise<Result<Reviewed, ProposalError>> {
  const lock = await lockSpace(tx, input.spaceId);
  const proposal = await lockProposal(tx, input.proposalId);
  if (!proposal || proposal.spaceId !== input.spaceId) return fail({ code: 'not-found' });
  if (proposal.version !== input.ifMatch) return fail({ code: 'version-moved-on', version: proposal.version });
  const facts = await factsOf(tx, proposal);
  const isYes = input.answer === 'agree' || input.answer === 'agreeWithConditions';
  const table = await onTheTable(tx, roofs, lock, proposal);
  if (!table.ok) return table;
  const { kept, now, roof } = table.value;
  const moved = kept.outcomeHash !== now.outcomeHash || kept.revisionNumber !== roof.number;
  if (isYes && moved && input.assessmentHash === kept.assessmentHash && (WITH_THE_VENUE.has(proposal.state) || mayAgreeAnew(facts))) {
    await keepAssessment(tx, proposal.id, proposal.submissionCount, 'roofMoved', roof, now);
    return ok({ kind: 'roofMoved', proposal, assessment: now });
  }
  const neighbours = isYes ? await neighboursAfter(tx, roofs, lock, proposal, commitmentsOf(now)) : { broken: [], close: [] };
  const act: ReviewAct = {
    action: input.answer,
    actor: input.party,
    capacity: input.capacity,
    assessmentHash: input.assessmentHash,
    ticks: input.ticks,
    carriedTicks: (await ticksThatHold(tx, proposal.id, input.party.personId, now)).map(({ checkId, demand, capacity }) => ({
      checkId,
      demand,
      capacity,
    })),
    conditions: input.conditions,
    reason: input.reason,
    validUntil: input.validUntil?.toISOString() ?? null,
    neighboursBroken: neighbours.broken,
  };
  const next = step(facts, act);
  if (!next.ok) return next;

  const decisionId = randomUUID();
  const read = facts.assessment ?? assessmentFacts(now);
  const covered = yesCovers(read, next.value.yes?.conditions ?? input.conditions, sha256);
  const validUntil = next.value.yes?.validUntil ?? act.validUntil;
  const ticked = [...input.ticks, ...act.carriedTicks].map((tick) => coveringTick(tick, now));
  await tx.sql.$executeRaw`
    INSERT INTO decision (id, proposal_id, submission_number, sequence, answer, capacity, assessment_id, assessment_hash, covered, conditions, ticks, reason,
      decided_by, decider_name, decided_at, valid_until)
    SELECT ${decisionId}::uuid, ${proposal.id}::uuid, ${proposal.submissionCount}, coalesce(max(sequence), 0) + 1, ${input.answer}, ${input.capacity},
      ${kept.id}::uuid, ${kept.assessmentHash}, ${canonicalBytes(covered)}, ${canonicalBytes(input.conditions)},
      ${canonicalBytes(ticked)}, ${input.reason}, ${input.actor.personId}::uuid, ${input.actor.name}, ${tx.now},
      ${validUntil === null ? null : new Date(validUntil)}::timestamptz FROM decision WHERE proposal_id = ${proposal.id}::uuid`;
  const replaced = next.value.standing === 'replaced';
  if (replaced) {
    await replaceCommitments(tx, proposal.spaceId, proposal.commitmentRef, 'agreed', commitmentsOf(now));
    await replaceCommitments(tx, proposal.spaceId, proposal.commitmentRef, 'submitted', []);
  } else {
    const { submittedSubmission } = whatCounts({ ...facts, state: next.value.state });
    await replaceCommitments(
      tx,
      proposal.spaceId,
      proposal.commitmentRef,
      'submitted',
      submittedSubmission === null ? [] : commitmentsOf(now),
    );
  }
  await writeNext(tx, proposal, next.value, replaced ? { standingYesId: decisionId } : {});
  tx.note({
    orgs: [proposal.venueOrgId, proposal.tourOrgId],
    type: replaced ? 'proposal.agreed' : `proposal.answered.${input.answer}`,
    subjectId: proposal.id,
    actor: input.actor,
    facts: {
      decisionId,
      answer: input.answer,
      capacity: input.capacity,
      state: next.value.state,
      submission: proposal.submissionCount,
      covered,
      conditions: input.conditions.length,
      ticks: ticked.length,
      reason: input.reason,
    },
  });
  for (const near of replaced ? neighbours.close : []) {
    tx.note({
      orgs: [proposal.venueOrgId, near.tourOrgId],
      type: 'proposal.neighbourCameClose',
      subjectId: near.proposalId,
      actor: input.actor,
      facts: { checkIds: near.checkIds },
    });
  }
  return ok({ kind: 'decided', proposal: (await proposalAt(tx, proposal.id))! });
}

/** The assessment that was put to the venue, and the same computed now: on the latest roof, among all that hangs at this moment. */
async function onTheTable(tx: Tx, roofs: Roofs, lock: RoofLock, proposal: Proposal): Promise<Result<OnTheTable, ProposalError>> {
  const kept = await latestAssessment(tx, proposal.id);
  const [submission] = await tx.sql.$queryRaw<{ plan_bytes: string; starts_at: Date; ends_at: Date }[]>`
    SELECT plan_bytes, starts_at, ends_at FROM plan_submission WHERE proposal_id = ${proposal.id}::uuid AND number = ${proposal.submissionCount}`;
  const roof = await roofs.at(tx, proposal.spaceId, lock.latestRevision);
  if (!kept || !submission || !roof) return fail({ code: 'not-found' });
  const stay = { ...proposal, startsAt: submission.starts_at, endsAt: submission.ends_at };
  const now = await assessAmong(tx, roof, stay, submission.plan_bytes);
  return now.ok ? ok({ kept, roof, now: now.value }) : now;
}

/** A tick of one reviewer, and with which answer to which submission it was given. */
export type GivenTick = CoveringTick & { readonly submissionNumber: number; readonly tickedAt: Date };

/** What this person has ticked before, and what is said there is still the same in this assessment. */
async function ticksThatHold(tx: Tx, proposalId: string, personId: string, { outcome }: Assessment): Promise<GivenTick[]> {
  const rows = await tx.sql.$queryRaw<{ ticks: string; submissionNumber: number; tickedAt: Date }[]>`
    SELECT ticks, submission_number AS "submissionNumber", decided_at AS "tickedAt" FROM decision
    WHERE proposal_id = ${proposalId}::uuid AND decided_by = ${personId}::uuid AND ticks <> '[]' ORDER BY sequence`;
  const given = rows.flatMap(({ ticks, ...rest }) => (JSON.parse(ticks) as CoveringTick[]).map((tick) => ({ ...tick, ...rest })));
  return ticksCarried(given, outcome.checks, (check) => coverHash(check, sha256));
}

function coveringTick(tick: Tick, { outcome }: Assessment): CoveringTick & Json {
  const check = outcome.checks.find(({ id }) => id === tick.checkId);
  return { ...tick, coverHash: check ? coverHash(check, sha256) : '' };
}

export type LastAssessment = { kept: KeptAssessment; assessment: Assessment; heldTicks: GivenTick[] };

/** What the venue or the touring side reads as the last assessment; `heldTicks`: which checks the reader need not tick again. */
export async function lastAssessment(tx: Tx, proposalId: string): Promise<LastAssessment | null> {
  const kept = await latestAssessment(tx, proposalId);
  if (!kept) return null;
  const assessment = readAssessment(kept);
  const { personId } = tx.scope;
  return { kept, assessment, heldTicks: personId === null ? [] : await ticksThatHold(tx, proposalId, personId, assessment) };
}
