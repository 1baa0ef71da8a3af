import type { Assessment, Check } from '../../domain/assessment/assessment.ts';
import { step } from '../../domain/agreement/step.ts';
import type { Tx } from '../database.ts';
import type { Actor } from '../history.ts';
import { hangingDuring } from '../roof-lock.ts';
import type { KeptRoof } from '../roofs.ts';
import { assessWith } from './assessing.ts';
import { factsOf } from './facts.ts';
import { standingAgreements } from './neighbours.ts';
import { lockProposal } from './rows.ts';
import { writeNext } from './write-next.ts';

export type Published = { actor: Actor; spaceId: string; before: KeptRoof | null; after: KeptRoof };
/** A hard check that the new roof makes over or unknown and the one before did not. */
export type Failing = Pick<Check, 'id' | 'verdict' | 'demand' | 'capacity' | 'unit'>;
export type AgreementMoved = {
  proposalId: string;
  outcome: 'kept' | 'stale';
  /** Of its plan on the new roof; null where it cannot be computed there. */
  verdict: Check['verdict'] | null;
  failing: Failing[];
};

/**
 * A new revision moves every standing agreement of the space: kept where its plan gives the same outcome on the new roof as on the
 * one before, among the same neighbours; stale where not. In the publishing transaction, under the space's lock.
 */
export async function agreementsAfterPublishing(tx: Tx, { actor, spaceId, before, after }: Published): Promise<AgreementMoved[]> {
  const moved: AgreementMoved[] = [];
  for (const standing of await standingAgreements(tx, spaceId)) {
    const proposal = await lockProposal(tx, standing.proposalId);
    if (!proposal) throw new Error(`standing proposal ${standing.proposalId} is not to be seen by its venue`);
    const { neighbours } = await hangingDuring(tx, spaceId, standing.startsAt, standing.endsAt, standing.commitmentRef);
    const [was, is] = [before, after].map((roof) => (roof ? assessWith(roof, standing, standing.planBytes, neighbours, tx.now) : null));
    const kept = was?.ok === true && is?.ok === true && was.value.outcomeHash === is.value.outcomeHash;
    const policyMoved = before?.policySha256 !== after.policySha256;
    const facts = await factsOf(tx, proposal);
    const next = step(
      facts,
      kept
        ? { action: 'keep', actor: { side: 'service' } }
        : { action: 'markStale', actor: { side: 'service' }, changed: policyMoved ? ['roof', 'policy'] : ['roof'] },
    );
    if (!next.ok) throw new Error(`a standing agreement could not be moved: ${next.error.code}`);
    await writeNext(tx, proposal, next.value);
    const outcome = kept ? 'kept' : 'stale';
    const verdict = is?.ok === true ? is.value.outcome.verdict : null;
    moved.push({ proposalId: proposal.id, outcome, verdict, failing: failingSince(was?.ok ? was.value : null, is?.ok ? is.value : null) });
    tx.note({
      orgs: [proposal.venueOrgId, proposal.tourOrgId],
      type: kept ? 'proposal.kept' : 'proposal.stale',
      subjectId: proposal.id,
      actor,
      facts: { because: 'revision', revision: after.number, revisionSha256: after.sha256 },
    });
  }
  return moved;
}

function failingSince(was: Assessment | null, is: Assessment | null): Failing[] {
  const before = new Map(was?.outcome.checks.map(({ id, verdict }) => [id, verdict]));
  const fails = ({ id, hard, verdict }: Check) => hard && (verdict === 'over' || verdict === 'unknown') && before.get(id) !== verdict;
  return (is?.outcome.checks ?? [])
    .filter(fails)
    .map(({ id, verdict, demand, capacity, unit }) => ({ id, verdict, demand, capacity, unit }));
}
