import type { Result } from '../foundation/result.ts';
import { fail, ok } from '../foundation/result.ts';
import type { Act, AgreementAction, AgreementError, Next, ReviewAct } from './acts.ts';
import { conditionsOf, countingYeses, holdsCapacity, isAuthor, isComplete, isYes, stateOfReview } from './deciders.ts';
import type { Answer, Override, ProposalFacts, StaleReason } from './facts.ts';
import { mayAskOverride, mayConfirmOverride } from './overrides.ts';
import type { Party } from './parties.ts';
import { seatsOf } from './parties.ts';
import { decisionAllowed } from './review.ts';
import { JUDGEMENTS, TRANSITIONS, WHO } from './transitions.ts';
import { endOfYes, mayAgreeAnew, mayBeHanging, validityOf } from './validity.ts';

/**
 * What a proposal becomes by an act, or why it may not happen; then nothing changes. First the seat, then authorship, so that nothing
 * about the state is told to those who never may; then the table; then what the act asks for beyond it.
 */
export function step(facts: ProposalFacts, act: Act): Result<Next, AgreementError> {
  const { state } = facts;
  const { action, actor } = act;
  const cells = seatsOf(actor).map((seat) => TRANSITIONS[state][action][seat]);
  const refusals = cells.flatMap((cell) => (cell.allowed ? [] : [cell]));
  const inWrongState = refusals.find(({ code }) => code === 'wrong-state');
  if (refusals.length === cells.length && !inWrongState) {
    return fail({ code: 'not-yours', action, seats: WHO[action].seats, why: WHO[action].why });
  }
  if (actor.side !== 'service' && JUDGEMENTS.includes(action) && isAuthor(facts, actor.personId)) {
    const why = 'Whoever submitted or edited the plan does not judge it.';
    return fail({ code: 'author-cannot-decide', action, personId: actor.personId, why });
  }
  if (refusals.length === cells.length && inWrongState) return fail({ code: 'wrong-state', state, action, why: inWrongState.why });
  if (facts.submission === null && actor.side === 'venue') return wrongState(facts, action, 'Nothing has been put to the venue yet.');
  return outcomeOf(facts, act);
}

const wrongState = (facts: ProposalFacts, action: AgreementAction, why: string) =>
  fail({ code: 'wrong-state', state: facts.state, action, why });
const NOT_ANEW =
  'It is agreed. It is agreed anew where the roof alone has moved on, once it is known what that means; else the touring side submits again.';
const NOTHING_STANDS = 'Nothing is agreed here that could end or go stale.';

function outcomeOf(facts: ProposalFacts, act: Act): Result<Next, AgreementError> {
  const same = unchanged(facts);
  switch (act.action) {
    case 'editPlan':
      return edited(facts, act);
    case 'submit':
      return submitted(facts);
    case 'ask':
    case 'decline':
    case 'agree':
    case 'agreeWithConditions':
      return reviewed(facts, act);
    case 'withdraw':
      if (mayBeHanging(facts)) return hanging(facts, act.action, 'The venue calls it down; then it is struck.');
      return ok(closedAs(facts, 'withdrawn'));
    case 'revoke':
      return revoked(facts, act.actor, act.reason);
    case 'suspend':
      return facts.suspended ? wrongState(facts, act.action, 'It is suspended already.') : ok({ ...same, suspended: true });
    case 'liftSuspension':
      return facts.suspended ? ok({ ...same, suspended: false }) : wrongState(facts, act.action, 'It is not suspended.');
    case 'strike':
      if (facts.standingYes === null) return wrongState(facts, act.action, NOTHING_STANDS);
      if (!mayBeHanging(facts)) return wrongState(facts, act.action, 'The show has not begun: nothing of it can be down yet.');
      return ok(closedAs(facts, 'struck'));
    case 'askOverride': {
      const allowed = mayAskOverride(facts, act);
      return allowed.ok ? ok(same) : allowed;
    }
    case 'confirmOverride': {
      const allowed = mayConfirmOverride(facts, act);
      if (!allowed.ok) return allowed;
      const overrides = facts.overrides.map((one): Override =>
        one.id === act.overrideId ? { ...one, confirmedBy: act.actor.personId } : one,
      );
      return ok({ ...same, state: stateOfReview({ ...facts, overrides }) });
    }
    case 'offerHandover':
      return offered(facts, act.actor, act.to);
    case 'acceptHandover':
      if (facts.handoverTo === null) return wrongState(facts, act.action, 'Nobody was asked to take the deciding over.');
      if (facts.handoverTo !== act.actor.personId) return noHandover(act.actor.personId, 'Another person was asked.');
      return ok({ ...same, deciderId: act.actor.personId, handoverTo: null });
    case 'comment':
      if (!act.blocking || speaksForItsSide(act.actor)) return ok(same);
      return fail({ code: 'not-yours', action: act.action, seats: WHO.comment.seats, why: 'The crew comments, and does not block.' });
    case 'resolveComment':
      return resolved(facts, act);
    case 'markStale':
      return facts.standingYes === null ? wrongState(facts, act.action, NOTHING_STANDS) : ok(nowStale(facts, act.changed));
    case 'keep':
      return facts.standingYes === null ? wrongState(facts, act.action, NOTHING_STANDS) : ok(checked(facts));
  }
}

const unchanged = ({ state, stale, staleReasons, suspended, deciderId, handoverTo }: ProposalFacts): Next => ({
  state,
  stale,
  staleReasons,
  suspended,
  standing: 'unchanged',
  yes: null,
  deciderId,
  handoverTo,
  records: null,
});
const nowStale = (facts: ProposalFacts, changed: readonly StaleReason[]): Next => ({
  ...unchanged(facts),
  stale: true,
  staleReasons: [...new Set([...facts.staleReasons, ...changed])],
});
function checked(facts: ProposalFacts): Next {
  const staleReasons = facts.staleReasons.filter((reason) => reason !== 'beingChecked');
  return { ...unchanged(facts), stale: staleReasons.length > 0, staleReasons };
}
/** Nothing counts as hanging any more, so nothing is left that could be stale. */
const withoutYes = (facts: ProposalFacts): Next => ({ ...unchanged(facts), stale: false, staleReasons: [], standing: 'ended' });
const closedAs = (facts: ProposalFacts, state: 'withdrawn' | 'struck'): Next => ({
  ...withoutYes(facts),
  state,
  suspended: false,
  standing: facts.standingYes === null ? 'unchanged' : 'ended',
  handoverTo: null,
});

function hanging(facts: ProposalFacts, action: AgreementAction, why: string): Result<Next, AgreementError> {
  const since = facts.standingYes?.from ?? facts.show.from;
  return fail({ code: 'may-be-hanging', action, since, why: `It is agreed and its show has begun. ${why}` });
}

/** A plan under review goes back to drafting. An agreed one stays agreed and goes stale: what was agreed is what may be in the air. */
function edited(facts: ProposalFacts, { unagree, outcomeKept }: Extract<Act, { action: 'editPlan' }>): Result<Next, AgreementError> {
  const { state } = facts;
  const agreed = state === 'agreed' || state === 'agreed_with_conditions';
  if (agreed && !outcomeKept && !unagree) {
    return fail({
      code: 'needs-unagree',
      state,
      why: 'The plan is agreed: changing it makes the agreement stale. Say that this is meant.',
    });
  }
  const next = facts.standingYes !== null && !outcomeKept ? nowStale(facts, ['plan']) : unchanged(facts);
  return ok({ ...next, state: state === 'submitted' ? 'drafting' : state });
}

function submitted(facts: ProposalFacts): Result<Next, AgreementError> {
  const { state, now, show, submission, workingPlanHash } = facts;
  if (now >= show.to) return wrongState(facts, 'submit', 'The show is over.');
  const agreed = state === 'agreed' || state === 'agreed_with_conditions';
  const asAgreed =
    workingPlanHash === submission?.planHash && ['valid', 'notYet'].includes(validityOf({ ...facts, suspended: false }).status);
  if (agreed && asAgreed) return wrongState(facts, 'submit', 'It is agreed as it is: nothing has changed since.');
  return ok({ ...unchanged(facts), state: 'submitted' });
}

/** The answer takes its place among the others, and all of them together say what follows. */
function reviewed(facts: ProposalFacts, act: ReviewAct): Result<Next, AgreementError> {
  const anew = facts.state === 'agreed' || facts.state === 'agreed_with_conditions';
  if (anew && !mayAgreeAnew(facts)) return wrongState(facts, act.action, NOT_ANEW);
  const allowed = decisionAllowed(facts, act);
  if (!allowed.ok) return allowed;
  const after = { ...facts, answers: [...facts.answers, answerOf(facts, act)] };
  if (!isYes({ answer: act.action }) || !isComplete(after)) {
    return ok({ ...unchanged(facts), state: anew ? facts.state : stateOfReview(after) });
  }
  const yeses = countingYeses(after);
  const conditions = conditionsOf(yeses);
  const ends = yeses.map(({ validUntil }) => endOfYes({ to: facts.show.to, validUntil }));
  return ok({
    ...unchanged(facts),
    state: conditions.length > 0 ? 'agreed_with_conditions' : 'agreed',
    stale: false,
    staleReasons: [],
    standing: 'replaced',
    yes: { conditions, validUntil: ends.reduce((earliest, end) => (end < earliest ? end : earliest)) },
  });
}

function answerOf({ answers, submission }: ProposalFacts, act: ReviewAct): Answer {
  if (submission === null) throw new Error('an answer was let through to a plan that was never submitted');
  const { action, actor, capacity, assessmentHash, conditions, ticks, carriedTicks, validUntil } = act;
  return {
    id: 'this answer',
    submissionNumber: submission.number,
    sequence: 1 + answers.reduce((latest, { sequence }) => Math.max(latest, sequence), 0),
    answer: action,
    capacity,
    assessmentHash,
    conditions,
    ticks: [...ticks, ...carriedTicks],
    decidedBy: actor.personId,
    validUntil,
  };
}

/** The venue takes its yes back, on record: its taker's no stands against what was agreed until they answer anew. */
function revoked(facts: ProposalFacts, actor: Party, reason: string): Result<Next, AgreementError> {
  const { state, standingYes } = facts;
  if (standingYes === null) return wrongState(facts, 'revoke', NOTHING_STANDS);
  if (mayBeHanging(facts)) return hanging(facts, 'revoke', 'Suspend it at once, and strike it when it is down.');
  if (reason.trim() === '') return fail({ code: 'reason-missing', action: 'revoke' });
  return ok({
    ...withoutYes(facts),
    state: state === 'agreed' || state === 'agreed_with_conditions' ? 'declined' : state,
    records: {
      answer: 'decline',
      capacity: holdsCapacity(actor, 'decider') ? 'decider' : 'engineer',
      submissionNumber: standingYes.submissionNumber,
    },
  });
}

const noHandover = (personId: string, why: string) => fail({ code: 'handover-not-possible', personId, why });

/** The one who decides names another, who takes it over by an act of their own: it is on record from both. */
function offered(facts: ProposalFacts, actor: Party, to: Party): Result<Next, AgreementError> {
  const { deciderId } = facts;
  // The technical manager answers for the venue, and can move the deciding on when the person named cannot be reached.
  if (deciderId !== null && deciderId !== actor.personId && !actor.roles.includes('technicalManager')) {
    return noHandover(to.personId, 'The deciding is with another person.');
  }
  if (to.personId === actor.personId) return noHandover(to.personId, 'It is handed to somebody else.');
  if (to.side !== 'venue' || !holdsCapacity(to, 'decider')) return noHandover(to.personId, 'They hold no role that decides for the venue.');
  if (isAuthor(facts, to.personId)) return noHandover(to.personId, 'They have worked on the plan.');
  return ok({ ...unchanged(facts), handoverTo: to.personId });
}

/** Everybody but the crew, who would otherwise stop a yes without answering for it. */
const speaksForItsSide = (actor: Party): boolean => seatsOf(actor).some((seat) => WHO.comment.seats.includes(seat));
const CLOSES_FOR_ITS_SIDE = ['venue:technicalManager', 'venue:decider', 'venue:engineer', 'tour:headRigger'];

/** By its author, or by those who answer for the side that raised it: the other side does not close what was asked of it. */
function resolved(facts: ProposalFacts, { actor, comment }: Extract<Act, { action: 'resolveComment' }>): Result<Next, AgreementError> {
  if (comment.resolved) return wrongState(facts, 'resolveComment', 'The comment is resolved already.');
  const own = comment.authorId === actor.personId && comment.side === actor.side;
  const forItsSide = comment.side === actor.side && seatsOf(actor).some((seat) => CLOSES_FOR_ITS_SIDE.includes(seat));
  if (own || forItsSide) return ok(unchanged(facts));
  return fail({
    code: 'not-yours',
    action: 'resolveComment',
    seats: WHO.resolveComment.seats,
    why: 'The side that raised it resolves it.',
  });
}
