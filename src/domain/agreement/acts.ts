import type { Instant } from '../roof/structure.ts';
import type { AnswerKind, Capacity, Condition, ProposalState, StaleReason, Tick } from './facts.ts';
import type { Party, Seat, Service, Side } from './parties.ts';
import type { Requirement } from './requirement.ts';

export const AGREEMENT_ACTIONS = [
  'editPlan',
  'submit',
  'ask',
  'decline',
  'agree',
  'agreeWithConditions',
  'withdraw',
  'revoke',
  'suspend',
  'liftSuspension',
  'strike',
  'askOverride',
  'confirmOverride',
  'offerHandover',
  'acceptHandover',
  'comment',
  'resolveComment',
  'markStale',
  'keep',
] as const;
export type AgreementAction = (typeof AGREEMENT_ACTIONS)[number];

/** One answer of the venue to the latest submission. */
export type ReviewAct = {
  readonly action: AnswerKind;
  readonly actor: Party;
  readonly capacity: Capacity;
  /** The assessment that was read. */
  readonly assessmentHash: string;
  readonly ticks: readonly Tick[];
  /** Earlier ticks of this same person that still cover the same thing (`ticksCarried`). */
  readonly carriedTicks: readonly Tick[];
  readonly conditions: readonly Condition[];
  readonly reason: string;
  /** Null: to the end of the show. */
  readonly validUntil: Instant | null;
  /** Standing agreements beside this one that a yes would turn `over` or `unknown`, recomputed on locked data. */
  readonly neighboursBroken: readonly { readonly ref: string; readonly checkIds: readonly string[] }[];
};

/** Everything that can happen to a proposal. */
export type Act =
  | ReviewAct
  | {
      readonly action: 'editPlan';
      readonly actor: Party;
      /** The editor knows that an agreed plan is being changed. */
      readonly unagree: boolean;
      /** Recomputing the edited plan gives the outcome that the standing yes covers. False when not recomputed. */
      readonly outcomeKept: boolean;
    }
  | { readonly action: 'submit' | 'withdraw' | 'liftSuspension' | 'strike' | 'acceptHandover'; readonly actor: Party }
  | { readonly action: 'revoke' | 'suspend'; readonly actor: Party; readonly reason: string }
  | {
      readonly action: 'askOverride';
      readonly actor: Party;
      readonly subject: 'check' | 'answer';
      readonly subjectIds: readonly string[];
      readonly outcomeHash: string;
      readonly reason: string;
    }
  | { readonly action: 'confirmOverride'; readonly actor: Party; readonly overrideId: string; readonly outcomeHash: string }
  /** `to`: the person with the roles they hold on the venue's side now. */
  | { readonly action: 'offerHandover'; readonly actor: Party; readonly to: Party }
  | { readonly action: 'comment'; readonly actor: Party; readonly blocking: boolean }
  | {
      readonly action: 'resolveComment';
      readonly actor: Party;
      readonly comment: { readonly id: string; readonly side: Side; readonly authorId: string; readonly resolved: boolean };
    }
  | { readonly action: 'markStale'; readonly actor: Service; readonly changed: readonly StaleReason[] }
  /** Nothing is being checked any more: what has been found stale stays so. */
  | { readonly action: 'keep'; readonly actor: Service };

/** What the proposal is after an act. The act itself (answer, comment, override, history, event) is written beside it. */
export type Next = {
  readonly state: ProposalState;
  readonly stale: boolean;
  readonly staleReasons: readonly StaleReason[];
  readonly suspended: boolean;
  /** `replaced`: the latest submission is now what counts as hanging, on the terms of `yes`. `ended`: nothing counts any more. */
  readonly standing: 'unchanged' | 'ended' | 'replaced';
  /** The complete yes, put together from every capacity's answer. Null unless `replaced`. */
  readonly yes: { readonly conditions: readonly Condition[]; readonly validUntil: Instant } | null;
  readonly deciderId: string | null;
  readonly handoverTo: string | null;
  /** An answer that the act leaves on record by itself: taking a yes back is a decline of what it covered. */
  readonly records: { readonly answer: 'decline'; readonly capacity: Capacity; readonly submissionNumber: number } | null;
};

export type AgreementError =
  /** 403 in spirit: this seat never may, whatever the state. */
  | { readonly code: 'not-yours'; readonly action: AgreementAction; readonly seats: readonly Seat[]; readonly why: string }
  /** Who submitted or edited the plan judges nothing about it. */
  | { readonly code: 'author-cannot-decide'; readonly action: AgreementAction; readonly personId: string; readonly why: string }
  | { readonly code: 'wrong-state'; readonly state: ProposalState; readonly action: AgreementAction; readonly why: string }
  | { readonly code: 'needs-unagree'; readonly state: ProposalState; readonly why: string }
  /** It may be in the air: it leaves the roof's books by being called down, not by paper. */
  | { readonly code: 'may-be-hanging'; readonly action: AgreementAction; readonly since: Instant; readonly why: string }
  | { readonly code: 'assessment-moved-on'; readonly sent: string; readonly current: string | null }
  | { readonly code: 'requirements-unmet'; readonly unmet: readonly Requirement[] }
  /** `missing`: the checks still to be ticked, as they are. `differing`: ticks that name no such check, or other numbers. */
  | { readonly code: 'ticks-missing'; readonly missing: readonly Tick[]; readonly differing: readonly Tick[] }
  | { readonly code: 'neighbours-would-break'; readonly broken: readonly { readonly ref: string; readonly checkIds: readonly string[] }[] }
  | { readonly code: 'reason-missing'; readonly action: AgreementAction }
  | { readonly code: 'conditions-do-not-match'; readonly answer: AnswerKind; readonly count: number }
  | { readonly code: 'validity-in-the-past'; readonly validUntil: Instant; readonly now: Instant }
  | { readonly code: 'override-not-possible'; readonly subjectIds: readonly string[]; readonly why: string }
  | { readonly code: 'handover-not-possible'; readonly personId: string; readonly why: string };
