import type { Result } from '../foundation/result.ts';
import { fail, ok } from '../foundation/result.ts';
import type { AgreementError, ReviewAct } from './acts.ts';
import { holdsCapacity, standingNoes } from './deciders.ts';
import type { ProposalFacts } from './facts.ts';
import type { Requirement, RequirementId } from './requirement.ts';
import { requirements } from './requirements.ts';
import { ticksComplete } from './ticks.ts';

/** The gates that stand before each yes. The others are what the yeses themselves fulfil, together. */
const BEFORE_A_YES: readonly RequirementId[] = [
  'planSubmitted',
  'roofCurrent',
  'withinHardLimits',
  'noBlockingComments',
  'validity',
  'notSuspended',
  'credentials',
];

/**
 * Whether this answer may be given now. Who sits in a seat that answers, and in which state, is the table's affair (`step` asks both).
 * A no needs only that its giver has read what is on the table, and a reason.
 */
export function decisionAllowed(facts: ProposalFacts, act: ReviewAct): Result<void, AgreementError> {
  const mine = mayAnswer(facts, act);
  if (!mine.ok) return mine;
  const current = facts.assessment?.assessmentHash ?? null;
  if (act.assessmentHash !== current) return fail({ code: 'assessment-moved-on', sent: act.assessmentHash, current });
  if (act.action === 'ask' || act.action === 'decline') {
    return act.reason.trim() === '' ? fail({ code: 'reason-missing', action: act.action }) : ok(undefined);
  }
  return yesAllowed(facts, act);
}

/** Whether nothing stands before a yes but the word of those who decide. */
export const isReadyForYes = (facts: ProposalFacts): boolean => unmetBeforeYes(facts).length === 0;
const unmetBeforeYes = (facts: ProposalFacts): Requirement[] =>
  requirements(facts).filter(({ id, met }) => met === 'unmet' && BEFORE_A_YES.includes(id));

function mayAnswer(facts: ProposalFacts, { action, actor, capacity }: ReviewAct): Result<void, AgreementError> {
  if (!holdsCapacity(actor, capacity)) {
    const seats = capacity === 'engineer' ? (['venue:engineer'] as const) : (['venue:technicalManager', 'venue:decider'] as const);
    return fail({ code: 'not-yours', action, seats, why: `You do not hold a role that answers as ${capacity}.` });
  }
  if (capacity === 'engineer' || facts.deciderId === null || facts.deciderId === actor.personId) return ok(undefined);
  // Whoever said no before handing over may still clear it. As a yes it does not count: that is for the person named.
  const ownNo = standingNoes(facts).some((no) => no.decidedBy === actor.personId && no.capacity === capacity);
  return ownNo ? ok(undefined) : fail({ code: 'not-yours', action, seats: [], why: 'The deciding was handed to another person.' });
}

function yesAllowed(facts: ProposalFacts, act: ReviewAct): Result<void, AgreementError> {
  const { action, conditions, validUntil, ticks, carriedTicks, neighboursBroken } = act;
  const unmet = unmetBeforeYes(facts);
  if (unmet.length > 0) return fail({ code: 'requirements-unmet', unmet });
  if ((action === 'agreeWithConditions') !== conditions.length > 0) {
    return fail({ code: 'conditions-do-not-match', answer: action, count: conditions.length });
  }
  if (validUntil !== null && validUntil <= facts.now) return fail({ code: 'validity-in-the-past', validUntil, now: facts.now });
  const ticked = ticksComplete(facts.assessment?.checks ?? [], [...ticks, ...carriedTicks]);
  if (!ticked.ok) return ticked;
  if (neighboursBroken.length > 0) return fail({ code: 'neighbours-would-break', broken: neighboursBroken });
  return ok(undefined);
}
