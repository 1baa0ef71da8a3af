import type { Answer, Capacity, Condition, ProposalFacts } from './facts.ts';
import type { Party } from './parties.ts';

/** Everybody whose plan this is. They judge nothing about it, whatever roles they hold and for whichever side. */
export function isAuthor({ lastEditorId, submission }: Pick<ProposalFacts, 'lastEditorId' | 'submission'>, personId: string): boolean {
  return lastEditorId === personId || submission?.authorIds.includes(personId) === true;
}

/** A decider always; an engineer too where mass or missing knowledge asks for one, or where nothing has been computed. */
export function requiredCapacities({ assessment, engineerAboveKg }: Pick<ProposalFacts, 'assessment' | 'engineerAboveKg'>): Capacity[] {
  const engineer =
    assessment === null ||
    (engineerAboveKg !== null && assessment.totalMassKg > engineerAboveKg) ||
    assessment.checks.some(({ hard, verdict }) => hard && verdict === 'unknown');
  return engineer ? ['decider', 'engineer'] : ['decider'];
}

/** The role alone: whether somebody may speak in a capacity as long as nobody else was named. */
export const holdsCapacity = ({ roles }: Party, capacity: Capacity): boolean =>
  capacity === 'engineer' ? roles.includes('engineer') : roles.includes('decider') || roles.includes('technicalManager');

/** The latest answer of each person in each capacity: a new one replaces one's own, and nobody else's. */
export function currentAnswers(answers: readonly Answer[]): Answer[] {
  return answers.filter(
    (answer) =>
      !answers.some(
        (later) => later.sequence > answer.sequence && later.decidedBy === answer.decidedBy && later.capacity === answer.capacity,
      ),
  );
}

export const isYes = ({ answer }: Pick<Answer, 'answer'>): boolean => answer === 'agree' || answer === 'agreeWithConditions';

/**
 * The noes that nobody has cleared, to whichever submission they were given. Each is cleared by the same person's new answer in the
 * same capacity, or by a confirmed override of it, and by nothing else: neither by a new submission nor by a colleague.
 */
export function standingNoes({ answers, overrides }: Pick<ProposalFacts, 'answers' | 'overrides'>): Answer[] {
  const overruled = new Set(
    overrides.filter(({ subject, confirmedBy }) => subject === 'answer' && confirmedBy !== null).flatMap(({ subjectIds }) => subjectIds),
  );
  return currentAnswers(answers).filter((answer) => !isYes(answer) && !overruled.has(answer.id));
}

type YesFacts = Pick<
  ProposalFacts,
  'answers' | 'overrides' | 'assessment' | 'engineerAboveKg' | 'submission' | 'deciderId' | 'lastEditorId'
>;

/** The yeses to exactly what is on the table: this submission, this assessment. Of a decider named by handover, that person's alone. */
export function countingYeses(facts: YesFacts): Answer[] {
  const { answers, assessment, submission, deciderId } = facts;
  return currentAnswers(answers).filter(
    (answer) =>
      isYes(answer) &&
      answer.submissionNumber === submission?.number &&
      answer.assessmentHash === assessment?.assessmentHash &&
      (answer.capacity === 'engineer' || deciderId === null || answer.decidedBy === deciderId) &&
      !isAuthor(facts, answer.decidedBy),
  );
}

export function missingCapacities(facts: YesFacts): Capacity[] {
  const yeses = countingYeses(facts);
  return requiredCapacities(facts).filter((capacity) => !yeses.some((yes) => yes.capacity === capacity));
}

/** A yes is complete when every capacity asked for has given it on the same assessment, and nobody's no stands. */
export const isComplete = (facts: YesFacts): boolean => missingCapacities(facts).length === 0 && standingNoes(facts).length === 0;

/** Where the answers to the latest submission leave a proposal that the venue is looking at, short of a complete yes. */
export function stateOfReview(facts: Pick<ProposalFacts, 'answers' | 'overrides' | 'submission'>): 'submitted' | 'questions' | 'declined' {
  const noes = standingNoes(facts).filter(({ submissionNumber }) => submissionNumber === facts.submission?.number);
  if (noes.some(({ answer }) => answer === 'decline')) return 'declined';
  return noes.length > 0 ? 'questions' : 'submitted';
}

/** Every condition of every yes that counts, once each: what one capacity asks for, the other has not waived. */
export function conditionsOf(yeses: readonly Answer[]): Condition[] {
  const all = yeses.flatMap(({ conditions }) => conditions);
  const same = (a: Condition, b: Condition) => a.pinKind === b.pinKind && a.pinId === b.pinId && a.text === b.text;
  return all.filter((condition, index) => all.findIndex((other) => same(condition, other)) === index);
}
