import { countingYeses, currentAnswers, isAuthor, isYes, missingCapacities, requiredCapacities, standingNoes } from './deciders.ts';
import type { ProposalFacts } from './facts.ts';
import { oversOf } from './overrides.ts';
import type { Side } from './parties.ts';
import type { Requirement, RequirementId } from './requirement.ts';
import { ticksComplete, ticksWanted } from './ticks.ts';
import { validityOf } from './validity.ts';

type Gate = Omit<Requirement, 'id'>;
const met = (words: string): Gate => ({ met: 'met', words, whoseTurn: null });
const unmet = (whoseTurn: Side, words: string): Gate => ({ met: 'unmet', words, whoseTurn });
const notApplicable = (words: string): Gate => ({ met: 'not_applicable', words, whoseTurn: null });
const counted = (count: number, one: string, many = `${one}s`): string => `${count} ${count === 1 ? one : many}`;

const GATES: Record<RequirementId, (facts: ProposalFacts) => Gate> = {
  planSubmitted,
  roofCurrent,
  withinHardLimits,
  unknownsDecided,
  ticksComplete: ticks,
  noBlockingComments,
  noStandingNo,
  authorSeparation,
  deciders,
  validity,
  notSuspended: ({ suspended }) => (suspended ? unmet('venue', 'The venue has suspended it.') : met('It is not suspended.')),
  credentials: () => notApplicable('Credentials of people are not asked for yet.'),
};

/** Every gate, met or not, always in the same order. */
export const requirements = (facts: ProposalFacts): Requirement[] => REQUIREMENT_IDS.map((id) => ({ id, ...GATES[id](facts) }));
export const REQUIREMENT_IDS = Object.keys(GATES) as readonly RequirementId[];

/** In force: its answers were complete when it became a yes, and nothing that it covers has moved in a way that counts. */
const isFreshlyAgreed = ({ state, stale }: ProposalFacts): boolean => (state === 'agreed' || state === 'agreed_with_conditions') && !stale;

function planSubmitted(facts: ProposalFacts): Gate {
  const { state, submission, workingPlanHash } = facts;
  if (submission === null) return unmet('tour', 'The plan has not been submitted.');
  if (state === 'drafting') return unmet('tour', 'The touring side has taken the plan back to change it.');
  if (workingPlanHash !== submission.planHash && !isFreshlyAgreed(facts)) {
    return unmet('tour', `The touring side has changed the plan since submission ${submission.number}.`);
  }
  return met(`Submission ${submission.number} is what is on the table.`);
}

function roofCurrent({ submission, assessment, latestRevisionHash }: ProposalFacts): Gate {
  if (submission === null) return unmet('tour', 'Nothing submitted has been assessed.');
  if (assessment === null || latestRevisionHash === null) return unmet('venue', 'There is no assessment on a published roof.');
  if (assessment.planHash !== submission.planHash) return unmet('tour', 'The assessment is of another plan than the one submitted.');
  return assessment.revisionHash === latestRevisionHash
    ? met("Assessed on the roof's latest revision.")
    : unmet('venue', 'The roof has a newer revision than the one assessed.');
}

function withinHardLimits(facts: ProposalFacts): Gate {
  if (facts.assessment === null) return unmet('tour', 'Nothing has been computed.');
  const { open, overridden } = oversOf(facts);
  const overs = open.length + overridden.length;
  if (overs === 0) return met('No hard check is over.');
  if (open.length > 0 && !isFreshlyAgreed(facts)) return unmet('tour', `${counted(open.length, 'hard check is', 'hard checks are')} over.`);
  const words = `${counted(overs, 'hard check is', 'hard checks are')} over, and set aside by two people with a reason.`;
  return { met: 'overridden', words, whoseTurn: null };
}

function unknownsDecided(facts: ProposalFacts): Gate {
  if (facts.assessment === null) return unmet('tour', 'Nothing has been computed.');
  const unknowns = facts.assessment.checks.filter(({ hard, verdict }) => hard && verdict === 'unknown').length;
  if (unknowns === 0) return notApplicable('No hard check is unknown.');
  const words = `${counted(unknowns, 'hard check is', 'hard checks are')} unknown: an engineer decides.`;
  const decided = isFreshlyAgreed(facts) || countingYeses(facts).some(({ capacity }) => capacity === 'engineer');
  return decided ? met(words) : unmet('venue', words);
}

function ticks(facts: ProposalFacts): Gate {
  if (facts.assessment === null) return unmet('tour', 'Nothing has been computed.');
  const { checks } = facts.assessment;
  const wanted = ticksWanted(checks).length;
  if (wanted === 0) return notApplicable('Every check fits: none has to be ticked.');
  const words = `${counted(wanted, 'check')} to be ticked with the number beside the limit.`;
  const yeses = countingYeses(facts);
  const ticked = requiredCapacities(facts).every((capacity) =>
    yeses.some((yes) => yes.capacity === capacity && ticksComplete(checks, yes.ticks).ok),
  );
  return ticked || isFreshlyAgreed(facts) ? met(words) : unmet('venue', words);
}

function noBlockingComments({ blockingComments }: ProposalFacts): Gate {
  const [first] = blockingComments;
  if (!first) return met('No comment blocks.');
  return unmet(first.side, `${counted(blockingComments.length, 'blocking comment is', 'blocking comments are')} open.`);
}

function noStandingNo(facts: ProposalFacts): Gate {
  const noes = standingNoes(facts).length;
  if (noes > 0) return unmet('venue', `${counted(noes, 'answer blocks', 'answers block')}, until those who gave them answer anew.`);
  const overruled = facts.overrides.some(({ subject, confirmedBy }) => subject === 'answer' && confirmedBy !== null);
  return overruled
    ? { met: 'overridden', words: 'A no was set aside by two people with a reason.', whoseTurn: null }
    : met('No no stands.');
}

function authorSeparation(facts: ProposalFacts): Gate {
  const { submission, answers } = facts;
  if (submission === null) return notApplicable('Nothing has been submitted.');
  const ownYes = currentAnswers(answers).some(
    (answer) => isYes(answer) && answer.submissionNumber === submission.number && isAuthor(facts, answer.decidedBy),
  );
  if (ownYes && !isFreshlyAgreed(facts)) return unmet('venue', 'A yes came from somebody who has worked on the plan: it does not count.');
  return met('Nobody who worked on the plan is among those who said yes.');
}

function deciders(facts: ProposalFacts): Gate {
  const required = requiredCapacities(facts).join(' and ');
  if (facts.submission === null) return unmet('tour', `Needs the yes of ${required}; nothing has been submitted.`);
  if (isFreshlyAgreed(facts)) return met('Everybody asked for has said yes.');
  const missing = missingCapacities(facts);
  return missing.length === 0
    ? met(`Everybody asked for has said yes: ${required}.`)
    : unmet('venue', `Needs the yes of ${required}; missing: ${missing.join(' and ')}.`);
}

function validity(facts: ProposalFacts): Gate {
  const { now, show, state, standingYes } = facts;
  if ((state === 'agreed' || state === 'agreed_with_conditions') && standingYes !== null) {
    const { status } = validityOf({ now, standingYes, stale: false, suspended: false });
    return status === 'ended' ? unmet('tour', 'The time that the yes covers is over.') : met('The yes covers the time of the show.');
  }
  return now < show.to ? met('The show is not over.') : unmet('tour', 'The show is over.');
}
