import type { Assessment, Check } from '../assessment/assessment.ts';
import type { Instant } from '../roof/structure.ts';
import type { Side } from './parties.ts';

export const PROPOSAL_STATES = [
  'drafting',
  'submitted',
  'questions',
  'agreed',
  'agreed_with_conditions',
  'declined',
  'withdrawn',
  'struck',
] as const;
export type ProposalState = (typeof PROPOSAL_STATES)[number];

/** In which capacity somebody answers for the venue. */
export type Capacity = 'decider' | 'engineer';
export type AnswerKind = 'agree' | 'agreeWithConditions' | 'ask' | 'decline';

export type Condition = {
  readonly pinKind: 'proposal' | 'hang' | 'pickUp' | 'point' | 'check';
  readonly pinId: string | null;
  readonly text: string;
};

/** "I have seen this number beside this limit": an echo of the check, null where the check has no number. */
export type Tick = { readonly checkId: string; readonly demand: number | null; readonly capacity: number | null };

/** What the venue said once, in one capacity. Never changed afterwards; the same person's next one in that capacity replaces it. */
export type Answer = {
  readonly id: string;
  readonly submissionNumber: number;
  /** Rises with time within the proposal. */
  readonly sequence: number;
  readonly answer: AnswerKind;
  readonly capacity: Capacity;
  readonly assessmentHash: string;
  readonly conditions: readonly Condition[];
  readonly ticks: readonly Tick[];
  readonly decidedBy: string;
  readonly validUntil: Instant | null;
};

/** A check that is over, or an answer that blocks, set aside by two people: asked for by one, confirmed by another. */
export type Override = {
  readonly id: string;
  readonly subject: 'check' | 'answer';
  /** Check ids, or answer ids. */
  readonly subjectIds: readonly string[];
  /** The outcome it was asked for: with another outcome it sets no check aside. */
  readonly outcomeHash: string;
  readonly askedBy: string;
  /** Whether the asker held the engineer's role when asking. */
  readonly askerIsEngineer: boolean;
  /** Null while it waits for the second person, and sets nothing aside. */
  readonly confirmedBy: string | null;
};

/** A check as far as agreeing needs it. */
export type CheckFacts = Pick<Check, 'id' | 'kind' | 'hard' | 'verdict' | 'demand' | 'capacity' | 'unit'>;

/** An assessment as far as agreeing needs it; small enough to keep beside a proposal and list by the hundred. */
export type AssessmentFacts = {
  readonly assessmentHash: string;
  readonly outcomeHash: string;
  readonly engine: string;
  readonly planHash: string;
  readonly revisionHash: string;
  readonly policyHash: string;
  /** Everything that hangs, with contingency. */
  readonly totalMassKg: number;
  /** Every check that does not simply fit. */
  readonly checks: readonly CheckFacts[];
};

export function assessmentFacts({ assessmentHash, engine, outcomeHash, covers, outcome }: Assessment): AssessmentFacts {
  return {
    assessmentHash,
    outcomeHash,
    engine,
    planHash: covers.planHash,
    revisionHash: covers.revisionHash,
    policyHash: covers.policyHash,
    totalMassKg: outcome.totals.massKg + outcome.totals.contingencyKg,
    checks: outcome.checks
      .filter(({ verdict }) => verdict !== 'fits')
      .map(({ id, kind, hard, verdict, demand, capacity, unit }) => ({ id, kind, hard, verdict, demand, capacity, unit })),
  };
}

/** The latest frozen plan that was put to the venue. */
export type Submission = {
  readonly number: number;
  readonly planHash: string;
  /** Everybody who has edited or submitted the plan up to then, this time or before: an earlier submission's work is in the later one. */
  readonly authorIds: readonly string[];
};

/** The last yes, while what it covers counts as hanging. Its interval is the frozen one: moving the show's dates does not take a rig down. */
export type StandingYes = {
  readonly submissionNumber: number;
  readonly from: Instant;
  readonly to: Instant;
  readonly validUntil: Instant | null;
};

/** The parts of what a yes covers. */
export type CoveredPart = 'plan' | 'roof' | 'assessment' | 'engine' | 'policy' | 'conditions';

/** Why a yes is not to be built on. `beingChecked`: the roof has moved on, and what that means for it is not known yet. */
export type StaleReason = CoveredPart | 'beingChecked';

export type OpenComment = { readonly id: string; readonly side: Side; readonly authorId: string };

/** Everything that decides what may happen next. Read under the lock when it is about to be changed. */
export type ProposalFacts = {
  readonly now: Instant;
  readonly state: ProposalState;
  readonly stale: boolean;
  readonly staleReasons: readonly StaleReason[];
  readonly suspended: boolean;
  /** The show's interval as it is now, half-open. */
  readonly show: { readonly from: Instant; readonly to: Instant };
  /** Null: nothing was ever put to the venue, which cannot see the proposal yet. */
  readonly submission: Submission | null;
  /** Of the touring side's working plan. */
  readonly workingPlanHash: string;
  readonly lastEditorId: string;
  readonly standingYes: StandingYes | null;
  /** Of the latest submission, computed on the roof and neighbours as they are; inside a decision, on locked data. */
  readonly assessment: AssessmentFacts | null;
  /** Of the space's latest published revision. */
  readonly latestRevisionHash: string | null;
  /** The policy's mass above which an engineer must decide; null: not asked for by mass. */
  readonly engineerAboveKg: number | null;
  /** Every answer to every submission. */
  readonly answers: readonly Answer[];
  readonly overrides: readonly Override[];
  /** Unresolved comments that are marked blocking. */
  readonly blockingComments: readonly OpenComment[];
  /** Which side wrote the latest comment. */
  readonly lastCommentSide: Side | null;
  /** Named by handover; null when nobody was, or when that person no longer holds a role that decides. */
  readonly deciderId: string | null;
  /** Who has been asked to take the deciding over, and has not yet. */
  readonly handoverTo: string | null;
};
