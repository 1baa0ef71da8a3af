import { whoseTurn, type Turn } from '../domain/agreement/turn.ts';
import type { ProposalFacts } from '../domain/agreement/facts.ts';
import { fail, ok, type Result } from '../domain/foundation/result.ts';
import type { Assessment, NeighbourLoad } from '../domain/assessment/assessment.ts';
import type { PlanQuestion } from '../domain/alternatives/whole-plan.ts';
import { whatCanHang, type CapacityAnswer } from '../domain/capacity/what-can-hang.ts';
import { roofLoads, type RoofLoads } from '../domain/assessment/roof-loads.ts';
import { ownedBy, type Database, type Scope, type Tx } from './database.ts';
import { act } from './once.ts';
import { perform } from './proposals/acts.ts';
import { assessWith, latestRoof, readPlan, type AssessError } from './proposals/assessing.ts';
import { addComment, commentAt, commentsOf, resolveComment } from './proposals/comments.ts';
import { factsOf } from './proposals/facts.ts';
import { createProposal, draftOf, editPlan, type EditInput } from './proposals/plans.ts';
import { lastAssessment, review } from './proposals/reviewing.ts';
import { proposalAt, proposalsWhere, type Proposal, type ProposalFilter } from './proposals/rows.ts';
import { submit } from './proposals/submitting.ts';
import { hangingDuring } from './roof-lock.ts';
import type { KeptRoof, Roofs } from './roofs.ts';
import { afterKey, mayReadRoof, type Keyset } from './shows.ts';

export type ProposalWithFacts = { proposal: Proposal; facts: ProposalFacts; turn: Turn };
export type FrozenPlan = {
  number: number;
  planBytes: string;
  planSha256: string;
  revisionNumber: number;
  note: string;
  submitterName: string;
  submittedAt: Date;
  startsAt: Date;
  endsAt: Date;
};
export type DecisionRecord = {
  id: string;
  submissionNumber: number;
  sequence: number;
  answer: string;
  capacity: string;
  assessmentHash: string;
  covered: string;
  conditions: string;
  ticks: string;
  reason: string;
  decidedBy: string;
  deciderName: string;
  decidedAt: Date;
  validUntil: Date | null;
};

export function proposalsStore(db: Database, roofs: Roofs) {
  return {
    create: act(db, createProposal),
    find: (scope: Scope, id: string) => db.read(scope, (tx) => proposalAt(tx, id)),
    findWithFacts: (scope: Scope, id: string) =>
      db.read(scope, async (tx): Promise<ProposalWithFacts | null> => {
        const proposal = await proposalAt(tx, id);
        return proposal && withFacts(tx, proposal);
      }),
    list: (scope: Scope, filter: ProposalFilter, page: Keyset) =>
      db.read(scope, (tx) => proposalsWhere(tx, filter, afterKey('p.starts_at', page.after, 'p.id'), page.limit)),

    draft: (scope: Scope, id: string) =>
      db.read(scope, async (tx) => {
        const proposal = await proposalAt(tx, id);
        const draft = proposal && (await draftOf(tx, id));
        return proposal && draft && { proposal, draft };
      }),
    edit: act(db, (tx, input: EditInput) => editPlan(tx, roofs, input)),
    frozenPlan: (scope: Scope, id: string, number: number) => db.read(scope, (tx) => frozenPlan(tx, id, number)),
    decisions: (scope: Scope, id: string) =>
      db.read(
        scope,
        (tx) => tx.sql.$queryRaw<DecisionRecord[]>`
      SELECT id, submission_number AS "submissionNumber", sequence, answer, capacity, assessment_hash AS "assessmentHash", covered, conditions, ticks, reason,
        decided_by AS "decidedBy", decider_name AS "deciderName", decided_at AS "decidedAt", valid_until AS "validUntil"
      FROM decision WHERE proposal_id = ${id}::uuid AND ${ownedBy(tx, 'tour_org_id', 'venue_org_id')} ORDER BY sequence`,
      ),

    dryRun: (scope: Scope, id: string) => db.transaction(scope, (tx) => dryRun(tx, roofs, id)),
    alternativesFor: (scope: Scope, id: string, hangId: string | null) =>
      db.transaction(scope, (tx) => alternativesQuestion(tx, roofs, id, hangId)),
    roofLoads: (scope: Scope, spaceId: string, during: { from: Date; to: Date }) =>
      db.transaction(scope, (tx) => loadedRoof(tx, roofs, spaceId, during)),
    capacity: async (scope: Scope, spaceId: string, during: { from: Date; to: Date }, pointIds: readonly string[]) => {
      const found = await db.transaction(scope, (tx) => roofDuring(tx, roofs, spaceId, during));
      return found.ok ? ok({ roof: found.value.roof, ...capacityOf(found.value, pointIds) }) : found;
    },
    lastAssessment: (scope: Scope, id: string) =>
      db.read(scope, async (tx) => ((await proposalAt(tx, id)) ? lastAssessment(tx, id) : null)),
    submit: act(db, async (tx, input: Parameters<typeof submit>[2]) => seenWithFacts(tx, await submit(tx, roofs, input))),
    review: act(db, async (tx, input: Parameters<typeof review>[2]) => {
      const reviewed = await review(tx, roofs, input);
      if (!reviewed.ok) return reviewed;
      return ok({ ...reviewed.value, ...(await withFacts(tx, reviewed.value.proposal)) });
    }),
    perform: act(db, async (tx, input: Parameters<typeof perform>[1]) => seenWithFacts(tx, await perform(tx, input))),

    comments: (scope: Scope, id: string, page: Keyset) => db.read(scope, (tx) => commentsOf(tx, id, page)),
    comment: (scope: Scope, id: string, commentId: string) => db.read(scope, (tx) => commentAt(tx, id, commentId)),
    addComment: act(db, addComment),
    resolveComment: act(db, resolveComment),
  };
}

async function withFacts(tx: Tx, proposal: Proposal): Promise<ProposalWithFacts> {
  const facts = await factsOf(tx, proposal);
  return { proposal, facts, turn: whoseTurn(facts) };
}

const seenWithFacts = async <E>(tx: Tx, result: Result<Proposal, E>): Promise<Result<ProposalWithFacts, E>> =>
  result.ok ? ok(await withFacts(tx, result.value)) : result;

export type DryRun = { assessment: Assessment; timing: { readMs: number; assessMs: number } };

/** The working plan on the latest roof, among all that hangs there: computed and told, never kept. */
async function dryRun(tx: Tx, roofs: Roofs, id: string): Promise<Result<DryRun, AssessError | { code: 'not-found' }>> {
  const began = performance.now();
  const proposal = await proposalAt(tx, id);
  const draft = proposal && (await draftOf(tx, id));
  if (!proposal || !draft || !(await mayReadRoof(tx, proposal.spaceId))) return fail({ code: 'not-found' });
  const roof = await latestRoof(tx, roofs, proposal.spaceId);
  if (!roof.ok) return roof;
  const { neighbours } = await hangingDuring(tx, proposal.spaceId, proposal.startsAt, proposal.endsAt, proposal.commitmentRef);
  const read = performance.now();
  const assessment = assessWith(roof.value, proposal, draft.bytes, neighbours, tx.now);
  if (!assessment.ok) return assessment;
  return ok({ assessment: assessment.value, timing: { readMs: read - began, assessMs: performance.now() - read } });
}

export type AlternativesStart = Omit<PlanQuestion, 'bounds'> & { revision: number };

/** All that a search for other ways to hang a working plan starts from. */
async function alternativesQuestion(
  tx: Tx,
  roofs: Roofs,
  id: string,
  hangId: string | null,
): Promise<Result<AlternativesStart, AssessError | { code: 'not-found' } | { code: 'hang-not-in-plan'; hangId: string }>> {
  const proposal = await proposalAt(tx, id);
  const draft = proposal && (await draftOf(tx, id));
  if (!proposal || !draft || !(await mayReadRoof(tx, proposal.spaceId))) return fail({ code: 'not-found' });
  const roof = await latestRoof(tx, roofs, proposal.spaceId);
  if (!roof.ok) return roof;
  const plan = readPlan(draft.bytes, proposal);
  if (!plan.ok) return plan;
  if (hangId !== null && !plan.value.hangs.some((hang) => hang.id === hangId)) return fail({ code: 'hang-not-in-plan', hangId });
  const { neighbours } = await hangingDuring(tx, proposal.spaceId, proposal.startsAt, proposal.endsAt, proposal.commitmentRef);
  return ok({
    revision: roof.value.number,
    roof: roof.value.roof,
    revisionHash: roof.value.sha256,
    policyHash: roof.value.policySha256,
    plan: plan.value,
    planHash: draft.sha256,
    show: { from: proposal.startsAt.toISOString(), to: proposal.endsAt.toISOString() },
    neighbours,
    asOf: tx.now.toISOString(),
  });
}

export type LoadedRoof = { roof: KeptRoof; loads: RoofLoads };

/** The latest roof as loaded during a time, with everything that is agreed or asked for. */
async function loadedRoof(
  tx: Tx,
  roofs: Roofs,
  spaceId: string,
  { from, to }: { from: Date; to: Date },
): Promise<Result<LoadedRoof, AssessError>> {
  const found = await roofDuring(tx, roofs, spaceId, { from, to });
  if (!found.ok) return found;
  const { roof, ...then } = found.value;
  return ok({ roof, loads: roofLoads({ roof: roof.roof, ...then }) });
}

type RoofDuring = { roof: KeptRoof; during: { from: string; to: string }; loads: readonly NeighbourLoad[]; asOf: string };

async function roofDuring(
  tx: Tx,
  roofs: Roofs,
  spaceId: string,
  { from, to }: { from: Date; to: Date },
): Promise<Result<RoofDuring, AssessError>> {
  const roof = await latestRoof(tx, roofs, spaceId);
  if (!roof.ok) return roof;
  const { neighbours } = await hangingDuring(tx, spaceId, from, to, null);
  const during = { from: from.toISOString(), to: to.toISOString() };
  return ok({ roof: roof.value, during, loads: neighbours, asOf: tx.now.toISOString() });
}

/** Each point by itself, and all of them at once. */
function capacityOf({ roof, ...then }: RoofDuring, pointIds: readonly string[]): { each: CapacityAnswer[]; together: CapacityAnswer } {
  const ask = (ids: readonly string[]) => whatCanHang({ roof: roof.roof, ...then, pointIds: ids });
  return { each: pointIds.map((id) => ask([id])), together: ask(pointIds) };
}

async function frozenPlan(tx: Tx, id: string, number: number): Promise<FrozenPlan | null> {
  const [row] = await tx.sql.$queryRaw<FrozenPlan[]>`
    SELECT number, plan_bytes AS "planBytes", plan_sha256 AS "planSha256", revision_number AS "revisionNumber", note, submitter_name AS "submitterName",
      submitted_at AS "submittedAt", starts_at AS "startsAt", ends_at AS "endsAt"
    FROM plan_submission WHERE proposal_id = ${id}::uuid AND number = ${number} AND ${ownedBy(tx, 'tour_org_id', 'venue_org_id')}`;
  return row ?? null;
}
