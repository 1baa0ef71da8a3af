import type { Result } from '../foundation/result.ts';
import { fail, ok } from '../foundation/result.ts';
import type { Act, AgreementError } from './acts.ts';
import { isAuthor, standingNoes } from './deciders.ts';
import type { CheckFacts, ProposalFacts } from './facts.ts';

type OverrideFacts = Pick<ProposalFacts, 'assessment' | 'overrides' | 'lastEditorId' | 'submission'>;
type Asking = Extract<Act, { action: 'askOverride' }>;
type Confirming = Extract<Act, { action: 'confirmOverride' }>;

/**
 * Whether two people have set this check aside, for the outcome as it is now; then it reads `overridden`, never `fits`.
 * It lapses when one of the two takes to working on the plan.
 */
function isOverridden(facts: OverrideFacts, checkId: string): boolean {
  return facts.overrides.some(
    ({ subject, subjectIds, outcomeHash, askedBy, confirmedBy }) =>
      subject === 'check' &&
      subjectIds.includes(checkId) &&
      outcomeHash === facts.assessment?.outcomeHash &&
      confirmedBy !== null &&
      !isAuthor(facts, confirmedBy) &&
      !isAuthor(facts, askedBy),
  );
}

const hardOvers = ({ assessment }: Pick<ProposalFacts, 'assessment'>): CheckFacts[] =>
  (assessment?.checks ?? []).filter(({ hard, verdict }) => hard && verdict === 'over');

/** The hard checks that are over, split by whether they have been set aside. */
export function oversOf(facts: OverrideFacts): { readonly open: readonly CheckFacts[]; readonly overridden: readonly CheckFacts[] } {
  const overs = hardOvers(facts);
  return { open: overs.filter(({ id }) => !isOverridden(facts, id)), overridden: overs.filter(({ id }) => isOverridden(facts, id)) };
}

const notPossible = (subjectIds: readonly string[], why: string) => fail({ code: 'override-not-possible', subjectIds, why });
const sameOutcome = ({ assessment }: ProposalFacts, sent: string): Result<void, AgreementError> =>
  assessment?.outcomeHash === sent ? ok(undefined) : fail({ code: 'assessment-moved-on', sent, current: assessment?.outcomeHash ?? null });

/** The first of the two people: names each subject, the outcome they read, and a reason. */
export function mayAskOverride(facts: ProposalFacts, { subject, subjectIds, outcomeHash, reason }: Asking): Result<void, AgreementError> {
  if (reason.trim() === '') return fail({ code: 'reason-missing', action: 'askOverride' });
  const moved = sameOutcome(facts, outcomeHash);
  if (!moved.ok) return moved;
  if (subjectIds.length === 0) return notPossible([], 'Name what is to be set aside.');
  const possible = new Set((subject === 'check' ? hardOvers(facts) : standingNoes(facts)).map(({ id }) => id));
  const wrong = subjectIds.filter((id) => !possible.has(id));
  if (wrong.length === 0) return ok(undefined);
  return notPossible(
    wrong,
    subject === 'check' ? 'Only a hard check that is over is set aside.' : 'Only an answer that still blocks is set aside.',
  );
}

/** The second: somebody else, one of the two an engineer, neither of them an author, on the outcome it was asked for. */
export function mayConfirmOverride(facts: ProposalFacts, { actor, overrideId, outcomeHash }: Confirming): Result<void, AgreementError> {
  const asked = facts.overrides.find(({ id }) => id === overrideId);
  if (!asked) return notPossible([], 'No such override was asked for.');
  const { subjectIds, askedBy, askerIsEngineer, confirmedBy } = asked;
  if (confirmedBy !== null) return notPossible(subjectIds, 'It is confirmed already.');
  const moved = sameOutcome(facts, outcomeHash);
  if (!moved.ok) return moved;
  if (asked.outcomeHash !== outcomeHash) return notPossible(subjectIds, 'It was asked for another outcome: ask again.');
  if (askedBy === actor.personId) return notPossible(subjectIds, 'Another person confirms than the one who asked.');
  if (isAuthor(facts, askedBy)) return notPossible(subjectIds, 'Whoever asked for it has since worked on the plan.');
  if (!askerIsEngineer && !actor.roles.includes('engineer')) return notPossible(subjectIds, 'One of the two has to be an engineer.');
  return ok(undefined);
}
