import type { Act, AgreementAction, AgreementError, Next } from '../../src/domain/agreement/acts.ts';
import type { AssessmentFacts, CheckFacts, Override, ProposalFacts } from '../../src/domain/agreement/facts.ts';
import type { Party } from '../../src/domain/agreement/parties.ts';
import { step } from '../../src/domain/agreement/step.ts';
import type { Result } from '../../src/domain/foundation/result.ts';
import * as people from './agreement-cases.ts';
import { answer, assessed, check, plainAct, proposal, review, SERVICE, SHOW, tourPerson, venuePerson } from './agreement-cases.ts';

export const VENUE_PEOPLE: readonly Party[] = [
  people.manager,
  people.decider,
  people.secondDecider,
  people.engineer,
  people.secondEngineer,
  people.houseRigger,
  venuePerson('crew', 'crew'),
  venuePerson('venue administrator', 'administrator'),
  venuePerson('both', 'decider', 'engineer'),
];
export const TOUR_PEOPLE: readonly Party[] = [
  people.headRigger,
  people.designer,
  people.office,
  tourPerson('tour administrator', 'administrator'),
  tourPerson('both', 'headRigger', 'systemDesigner'),
];

/** What may come out of computing a plan. */
export const FINDINGS = ['clean', 'close', 'unknown', 'over', 'heavy', 'overAndHeavy'] as const;
export type Finding = (typeof FINDINGS)[number];
const CHECKS: Record<Finding, readonly CheckFacts[]> = {
  clean: [],
  close: [check('close', 'close')],
  unknown: [check('unknown', 'unknown')],
  over: [check('over', 'over', { demand: 510 }), check('close', 'close')],
  heavy: [],
  overAndHeavy: [check('over', 'over', { demand: 510 }), check('advice', 'unknown', { hard: false })],
};

/** Everything random about one act; small numbers are picks from a list, as far as it goes. */
export type Knobs = {
  readonly pick: number;
  readonly upToDate: boolean;
  readonly thorough: boolean;
  readonly asEngineer: boolean;
  readonly aboutAnswer: boolean;
  readonly blocking: boolean;
  readonly finding: Finding;
};

/** Plays the store: keeps one proposal, asks `step`, and writes down what it says. */
export class AgreementWorld {
  facts: ProposalFacts = proposal({ state: 'drafting', submission: null, assessment: null });
  #count = 0;
  #editors: ReadonlySet<string> = new Set(['head rigger']);

  do(act: Act, finding: Finding): Result<Next, AgreementError> {
    const done = step(this.facts, act);
    if (done.ok) this.facts = this.#written(done.value, act, finding);
    return done;
  }

  moveTime(now: string) {
    if (now > this.facts.now) this.facts = { ...this.facts, now };
  }

  /** The venue publishes: what was submitted is computed anew, and what stands is kept or goes stale. */
  publishRoof(finding: Finding): Result<Next, AgreementError> | null {
    const before = this.facts.assessment;
    this.facts = { ...this.facts, latestRevisionHash: this.#fresh('revision') };
    if (before === null) return null;
    this.facts = { ...this.facts, assessment: this.#computed(before.planHash, finding, before) };
    if (this.facts.standingYes === null) return null;
    const kept = this.facts.assessment?.outcomeHash === before.outcomeHash;
    const marked = this.do({ action: 'markStale', actor: SERVICE, changed: ['beingChecked'] }, finding);
    if (!marked.ok) return marked;
    if (!kept) this.do({ action: 'markStale', actor: SERVICE, changed: ['roof'] }, finding);
    return this.do({ action: 'keep', actor: SERVICE }, finding);
  }

  /** A neighbour is agreed: another assessment of the same outcome. */
  moveNeighbour() {
    const { assessment } = this.facts;
    if (assessment !== null) this.facts = { ...this.facts, assessment: { ...assessment, assessmentHash: this.#fresh('assessment') } };
  }

  /** An act that fits the facts as far as the knobs want it to. */
  actOf(action: AgreementAction, actor: Party | typeof SERVICE, knobs: Knobs): Act {
    const { facts } = this;
    const person = actor as Party;
    const outcomeHash = knobs.upToDate ? (facts.assessment?.outcomeHash ?? '') : 'outcome-0';
    switch (action) {
      case 'ask':
      case 'decline':
      case 'agree':
      case 'agreeWithConditions':
        return review(person, action, {
          capacity: person.roles.includes('engineer') && (knobs.asEngineer || person.roles.length === 1) ? 'engineer' : 'decider',
          assessmentHash: knobs.upToDate ? (facts.assessment?.assessmentHash ?? '') : 'assessment-0',
          ticks: knobs.thorough
            ? (facts.assessment?.checks ?? []).map(({ id, demand, capacity }) => ({ checkId: id, demand, capacity }))
            : [],
        });
      case 'editPlan':
        return { action, actor: person, unagree: knobs.upToDate, outcomeKept: !knobs.thorough };
      case 'askOverride': {
        const ids = knobs.aboutAnswer ? facts.answers.map(({ id }) => id) : (facts.assessment?.checks ?? []).map(({ id }) => id);
        const subjectIds = ids.length === 0 ? [] : [ids[knobs.pick % ids.length]!];
        return { action, actor: person, subject: knobs.aboutAnswer ? 'answer' : 'check', subjectIds, outcomeHash, reason: 'Tested.' };
      }
      case 'confirmOverride': {
        const waiting = facts.overrides.filter(({ confirmedBy }) => confirmedBy === null);
        return { action, actor: person, overrideId: waiting[knobs.pick % Math.max(1, waiting.length)]?.id ?? 'none', outcomeHash };
      }
      case 'offerHandover':
        return { action, actor: person, to: VENUE_PEOPLE[knobs.pick % VENUE_PEOPLE.length]! };
      case 'comment':
        return { action, actor: person, blocking: knobs.blocking };
      case 'resolveComment': {
        const { blockingComments: open } = facts;
        const comment = open[knobs.pick % Math.max(1, open.length)] ?? { id: 'plain', side: person.side, authorId: person.personId };
        return { action, actor: person, comment: { ...comment, resolved: false } };
      }
      default:
        return plainAct(action, actor);
    }
  }

  #fresh(of: string): string {
    this.#count += 1;
    return `${of}-${this.#count}`;
  }

  #computed(planHash: string, finding: Finding, before: AssessmentFacts | null): AssessmentFacts {
    const heavy = finding === 'heavy' || finding === 'overAndHeavy';
    const checks = CHECKS[finding];
    const sameOutcome = before !== null && before.planHash === planHash && before.checks === checks;
    return assessed({
      planHash,
      revisionHash: this.facts.latestRevisionHash ?? '',
      assessmentHash: this.#fresh('assessment'),
      outcomeHash: sameOutcome ? before.outcomeHash : this.#fresh('outcome'),
      totalMassKg: heavy ? 6000 : 900,
      checks,
    });
  }

  #written(next: Next, act: Act, finding: Finding): ProposalFacts {
    const { state, stale, staleReasons, suspended, standing, yes, deciderId, handoverTo, records } = next;
    const facts: ProposalFacts = { ...this.facts, state, stale, staleReasons, suspended, deciderId, handoverTo };
    const number = facts.submission?.number ?? 0;
    const standingYes = standing === 'replaced' ? { submissionNumber: number, ...SHOW, validUntil: yes?.validUntil ?? null } : null;
    const after: ProposalFacts = standing === 'unchanged' ? facts : { ...facts, standingYes };
    const by = act.actor as Party;
    switch (act.action) {
      case 'editPlan':
        this.#editors = new Set([...this.#editors, by.personId]);
        return { ...after, workingPlanHash: this.#fresh('plan'), lastEditorId: by.personId };
      case 'submit': {
        this.#editors = new Set([...this.#editors, by.personId]);
        const submission = { number: number + 1, planHash: after.workingPlanHash, authorIds: [...this.#editors] };
        return { ...after, submission, assessment: this.#computed(submission.planHash, finding, after.assessment) };
      }
      case 'ask':
      case 'decline':
      case 'agree':
      case 'agreeWithConditions': {
        const { capacity, assessmentHash, conditions, ticks } = act;
        return {
          ...after,
          answers: [...after.answers, answer(by, act.action, { submissionNumber: number, capacity, assessmentHash, conditions, ticks })],
        };
      }
      case 'revoke':
        if (records === null) throw new Error('a yes was taken back and nothing is on record');
        return { ...after, answers: [...after.answers, answer(by, records.answer, records)] };
      case 'askOverride': {
        const { subject, subjectIds, outcomeHash } = act;
        const asked: Override = {
          id: this.#fresh('override'),
          subject,
          subjectIds,
          outcomeHash,
          askedBy: by.personId,
          askerIsEngineer: by.roles.includes('engineer'),
          confirmedBy: null,
        };
        return { ...after, overrides: [...after.overrides, asked] };
      }
      case 'confirmOverride':
        return {
          ...after,
          overrides: after.overrides.map((one) => (one.id === act.overrideId ? { ...one, confirmedBy: by.personId } : one)),
        };
      case 'comment': {
        const raised = act.blocking ? [{ id: this.#fresh('comment'), side: by.side, authorId: by.personId }] : [];
        return { ...after, blockingComments: [...after.blockingComments, ...raised], lastCommentSide: by.side };
      }
      case 'resolveComment':
        return { ...after, blockingComments: after.blockingComments.filter(({ id }) => id !== act.comment.id) };
      default:
        return after;
    }
  }
}
