import type { Instant } from '../roof/structure.ts';
import type { ProposalFacts, StandingYes, StaleReason } from './facts.ts';

type Times = Pick<ProposalFacts, 'now' | 'standingYes'>;

/** Agreed, and its show has begun: nobody on the ground can be sure that it is not in the air. */
export const mayBeHanging = ({ now, standingYes }: Times): boolean => standingYes !== null && now >= standingYes.from;

/** Its time has passed and nobody has said that it is down: it still counts as hanging from now on. */
export const isOverdue = ({ now, standingYes }: Times): boolean => standingYes !== null && now >= standingYes.to;

/** A yes ends with its show, or before that where the venue said so. */
export const endOfYes = ({ to, validUntil }: Pick<StandingYes, 'to' | 'validUntil'>): Instant =>
  validUntil !== null && validUntil < to ? validUntil : to;

/** `valid` alone lets a document pass for a yes; with anything else it prints that it is not valid, and why. */
export type Validity =
  | { readonly status: 'none' }
  | { readonly status: 'valid' | 'notYet' | 'ended' | 'suspended' | 'stale'; readonly from: Instant; readonly until: Instant };

export function validityOf({
  now,
  standingYes,
  stale,
  suspended,
}: Pick<ProposalFacts, 'now' | 'standingYes' | 'stale' | 'suspended'>): Validity {
  if (standingYes === null) return { status: 'none' };
  const { from } = standingYes;
  const until = endOfYes(standingYes);
  const status = suspended ? 'suspended' : stale ? 'stale' : now >= until ? 'ended' : now < from ? 'notYet' : 'valid';
  return { status, from, until };
}

/** What the venue can mend alone, by looking again: the plan is the one it said yes to. */
const LOOKED_AT_AGAIN: readonly StaleReason[] = ['roof', 'policy', 'assessment', 'engine'];

/**
 * Agreed, and stale by nothing but what has changed on the venue's side: the same plan, for the same time, can be agreed anew on the roof
 * as it is now by the venue's word alone.
 */
export function mayAgreeAnew(facts: ProposalFacts): boolean {
  const { state, stale, staleReasons, submission, standingYes, workingPlanHash, show, now } = facts;
  if ((state !== 'agreed' && state !== 'agreed_with_conditions') || !stale || standingYes === null || submission === null) return false;
  return (
    staleReasons.length > 0 &&
    staleReasons.every((reason) => LOOKED_AT_AGAIN.includes(reason)) &&
    submission.number === standingYes.submissionNumber &&
    submission.planHash === workingPlanHash &&
    show.from === standingYes.from &&
    show.to === standingYes.to &&
    now < endOfYes(standingYes)
  );
}

/**
 * Which frozen plans count at the roof. The plan of the last yes counts as `agreed` whatever has happened to the proposal since;
 * a newer one counts as `submitted` while it is with the venue.
 */
export function whatCounts({ state, standingYes, submission }: Pick<ProposalFacts, 'state' | 'standingYes' | 'submission'>): {
  readonly agreedSubmission: number | null;
  readonly submittedSubmission: number | null;
} {
  const agreedSubmission = standingYes?.submissionNumber ?? null;
  const withVenue = state === 'submitted' || state === 'questions';
  const newer = withVenue && submission !== null && submission.number !== agreedSubmission;
  return { agreedSubmission, submittedSubmission: newer ? submission.number : null };
}
