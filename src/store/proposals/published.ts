import type { ProposalFacts } from '../../domain/agreement/facts.ts';
import type { Act, Next } from '../../domain/agreement/acts.ts';
import { step } from '../../domain/agreement/step.ts';
import type { Assessment, Check } from '../../domain/assessment/assessment.ts';
import type { Tx } from '../database.ts';
import type { Actor } from '../history.ts';
import { hangingDuring } from '../roof-lock.ts';
import type { KeptRoof } from '../roofs.ts';
import { assessWith, keepAssessment } from './assessing.ts';
import { factsOf } from './facts.ts';
import { agreementStanding } from './neighbours.ts';
import { lockProposal, type Proposal } from './rows.ts';
import { writeNext } from './write-next.ts';

/** A publication: who published, what, and what was there before. */
export type Published = { actor: Actor; spaceId: string; before: KeptRoof | null; after: KeptRoof };
/** A hard check that the new roof makes over or unknown and the one before did not. */
export type Failing = Pick<Check, 'id' | 'verdict' | 'demand' | 'capacity' | 'unit'>;
/**
 * `kept`: its plan gives the same outcome. `stillFits`: another one, that fits. `doesNot`: one that does not, or none can be computed.
 * `ended`: it was taken back, called down or agreed anew before it came to that.
 */
export type ReAssessed = 'kept' | 'stillFits' | 'doesNot' | 'ended';
export type AgreementMoved = {
  proposalId: string;
  outcome: ReAssessed;
  /** Of its plan on the new roof; null where it cannot be computed there. */
  verdict: Check['verdict'] | null;
  failing: Failing[];
};

/**
 * In the publishing transaction, under the space's lock: whatever stands in the space is stale from this moment on, until it has been
 * found out what the new roof means for it. All of it in one statement, since it may be thousands: the rule is that of `markStale`.
 */
export async function markForChecking(tx: Tx, { actor, spaceId, after }: Published): Promise<number> {
  const waiting = await tx.sql.$queryRaw<{ id: string; venueOrgId: string; tourOrgId: string }[]>`
    WITH marked AS (
      UPDATE proposal SET stale = true, version = version + 1, turn_since = CASE WHEN stale THEN turn_since ELSE ${tx.now} END,
        stale_reasons = CASE WHEN 'beingChecked' = ANY(stale_reasons) THEN stale_reasons ELSE stale_reasons || 'beingChecked'::text END
      WHERE space_id = ${spaceId}::uuid AND standing_yes_id IS NOT NULL
      RETURNING id, standing_yes_id, venue_org_id, tour_org_id),
    asked AS (
      INSERT INTO re_assessment (space_id, revision_number, proposal_id, yes_id)
      SELECT ${spaceId}::uuid, ${after.number}, id, standing_yes_id FROM marked)
    SELECT id, venue_org_id AS "venueOrgId", tour_org_id AS "tourOrgId" FROM marked ORDER BY id`;
  for (const { id, venueOrgId, tourOrgId } of waiting) {
    const facts = { because: 'revision', revision: after.number, revisionSha256: after.sha256 };
    tx.note({ orgs: [venueOrgId, tourOrgId], type: 'proposal.beingChecked', subjectId: id, actor, facts });
  }
  return waiting.length;
}

/**
 * Finds out, under the space's lock, what a publication means for the next agreement that waits for it: kept where its plan gives the
 * same outcome on the new roof as on the one before, among the same neighbours; stale where not. Null when none waits any more.
 */
export async function settleNext(tx: Tx, published: Published): Promise<AgreementMoved | null> {
  const { spaceId, after } = published;
  const [waiting] = await tx.sql.$queryRaw<{ proposal_id: string; yes_id: string }[]>`
    SELECT proposal_id, yes_id FROM re_assessment
    WHERE space_id = ${spaceId}::uuid AND revision_number = ${after.number} AND settled_at IS NULL ORDER BY proposal_id LIMIT 1`;
  if (!waiting) return null;
  const proposal = await lockProposal(tx, waiting.proposal_id);
  if (!proposal) throw new Error(`standing proposal ${waiting.proposal_id} is not to be seen by its venue`);
  const stands = proposal.standingYesId === waiting.yes_id;
  const found = stands ? await movedBy(tx, published, proposal) : null;
  const moved: AgreementMoved = found?.moved ?? { proposalId: proposal.id, outcome: 'ended', verdict: null, failing: [] };
  const settled = await tx.sql.$executeRaw`
    UPDATE re_assessment SET outcome = ${moved.outcome}, verdict = ${moved.verdict}, failing = ${JSON.stringify(moved.failing)}, settled_at = ${tx.now}
    WHERE space_id = ${spaceId}::uuid AND revision_number = ${after.number} AND proposal_id = ${proposal.id}::uuid AND settled_at IS NULL`;
  if (settled !== 1) throw new Error(`what revision ${after.number} means for proposal ${proposal.id} was settled by another`);
  if (found) await writeSettled(tx, published, proposal, found);
  return moved;
}

type Found = { moved: AgreementMoved; submissionNumber: number; is: Assessment | null };

async function movedBy(tx: Tx, { before, after }: Published, proposal: Proposal): Promise<Found> {
  const standing = await agreementStanding(tx, proposal.id);
  const { neighbours } = await hangingDuring(tx, standing.spaceId, standing.startsAt, standing.endsAt, standing.commitmentRef);
  const [was, is] = [before, after].map((roof) => {
    const assessed = roof && assessWith(roof, standing, standing.planBytes, neighbours, tx.now);
    return assessed?.ok === true ? assessed.value : null;
  });
  const verdict = is?.outcome.verdict ?? null;
  const kept = was && is && was.outcomeHash === is.outcomeHash;
  const outcome = kept ? 'kept' : verdict === 'fits' || verdict === 'close' ? 'stillFits' : 'doesNot';
  const moved: AgreementMoved = { proposalId: proposal.id, outcome, verdict, failing: failingSince(was ?? null, is ?? null) };
  return { moved, submissionNumber: standing.submissionNumber, is: is ?? null };
}

async function writeSettled(tx: Tx, { actor, before, after }: Published, proposal: Proposal, found: Found): Promise<void> {
  const { outcome } = found.moved;
  const acts: Act[] = [];
  const kept = outcome === 'kept';
  if (!kept) {
    const policyMoved = before?.policySha256 !== after.policySha256;
    acts.push({ action: 'markStale', actor: { side: 'service' }, changed: policyMoved ? ['roof', 'policy'] : ['roof'] });
  }
  const [others] = await tx.sql.$queryRaw<{ waiting: boolean }[]>`
    SELECT EXISTS (SELECT 1 FROM re_assessment WHERE proposal_id = ${proposal.id}::uuid AND yes_id = ${proposal.standingYesId}::uuid AND settled_at IS NULL) AS waiting`;
  if (others?.waiting === false) acts.push({ action: 'keep', actor: { side: 'service' } });
  const next = afterAll(await factsOf(tx, proposal), acts);
  if (next) await writeNext(tx, proposal, next);
  // What the venue says yes to again, by one act: its plan on the roof as it is now. A newer plan has an assessment of its own.
  const isStale = next?.stale ?? proposal.stale;
  if (isStale && found.is && found.submissionNumber === proposal.submissionCount)
    await keepAssessment(tx, proposal.id, found.submissionNumber, 'roofMoved', after, found.is);
  tx.note({
    orgs: [proposal.venueOrgId, proposal.tourOrgId],
    type: kept ? 'proposal.kept' : 'proposal.stale',
    subjectId: proposal.id,
    actor,
    facts: { because: 'revision', revision: after.number, revisionSha256: after.sha256, outcome, stale: isStale },
  });
}

function afterAll(facts: ProposalFacts, acts: readonly Act[]): Next | null {
  let next: Next | null = null;
  for (const act of acts) {
    const done = step({ ...facts, ...(next && { stale: next.stale, staleReasons: next.staleReasons }) }, act);
    if (!done.ok) throw new Error(`a standing agreement could not be moved: ${done.error.code}`);
    next = done.value;
  }
  return next;
}

function failingSince(was: Assessment | null, is: Assessment | null): Failing[] {
  const before = new Map(was?.outcome.checks.map(({ id, verdict }) => [id, verdict]));
  const fails = ({ id, hard, verdict }: Check) => hard && (verdict === 'over' || verdict === 'unknown') && before.get(id) !== verdict;
  return (is?.outcome.checks ?? [])
    .filter(fails)
    .map(({ id, verdict, demand, capacity, unit }) => ({ id, verdict, demand, capacity, unit }));
}
