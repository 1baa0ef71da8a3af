import { isAuthor, missingCapacities, standingNoes } from './deciders.ts';
import type { ProposalFacts } from './facts.ts';
import { oversOf } from './overrides.ts';
import type { Side, TourRole, VenueRole } from './parties.ts';
import { isReadyForYes } from './review.ts';
import { endOfYes, isOverdue, mayAgreeAnew } from './validity.ts';

/** Who is to act next. `side` null: nobody, since nothing is to be done. `personId`: that person alone, of those with the roles. */
export type Turn =
  | { readonly side: 'venue'; readonly roles: readonly VenueRole[]; readonly personId: string | null; readonly why: string }
  | { readonly side: 'tour'; readonly roles: readonly TourRole[]; readonly personId: null; readonly why: string }
  | { readonly side: null; readonly roles: readonly []; readonly personId: null; readonly why: string };

const nobody = (why: string): Turn => ({ side: null, roles: [], personId: null, why });
const tour = (roles: readonly TourRole[], why: string): Turn => ({ side: 'tour', roles, personId: null, why });
const venue = (roles: readonly VenueRole[], why: string, personId: string | null = null): Turn => ({ side: 'venue', roles, personId, why });

const PLANNERS: readonly TourRole[] = ['headRigger', 'systemDesigner'];
const DECIDERS: readonly VenueRole[] = ['decider', 'technicalManager'];
const JUDGES: readonly VenueRole[] = [...DECIDERS, 'engineer'];
const ON_THE_ROOF: readonly VenueRole[] = ['houseRigger', 'technicalManager', 'decider'];

/** Exactly one answer at any moment. What is urgent at the roof comes before what waits on paper. */
export function whoseTurn(facts: ProposalFacts): Turn {
  const { state, now, show, suspended, standingYes } = facts;
  if (state === 'withdrawn') return nobody('It was withdrawn.');
  if (state === 'struck') return nobody('It is down and the roof is handed back.');
  if (isOverdue(facts)) return venue(ON_THE_ROOF, 'The show is over, and nobody has said that it is down: it still counts as hanging.');
  if (suspended) return venue(JUDGES, 'It is suspended: lift that, or take the yes back.');
  if (standingYes === null && now >= show.to)
    return tour(['headRigger', 'productionOffice'], 'The show is over without a yes: withdraw it.');
  switch (state) {
    case 'drafting':
      return tour(PLANNERS, 'The plan is being drafted: finish and submit it.');
    case 'questions':
      return tour(PLANNERS, 'The venue wants changes: make them and submit again.');
    case 'declined':
      return tour(PLANNERS, 'The venue declined: change the plan and submit again, or withdraw it.');
    case 'submitted':
      return turnUnderReview(facts);
    case 'agreed':
    case 'agreed_with_conditions':
      return turnWhenAgreed(facts);
  }
}

function turnWhenAgreed(facts: ProposalFacts): Turn {
  const { stale, staleReasons, standingYes, now } = facts;
  if (staleReasons.length === 1 && staleReasons[0] === 'beingChecked')
    return nobody('The roof has moved on since the yes: whether it still holds is being worked out.');
  if (mayAgreeAnew(facts) && isReadyForYes(facts)) return turnToAgreeAnew(facts);
  if (stale) return tour(PLANNERS, 'The plan or the roof has moved on since the yes: submit again.');
  if (standingYes !== null && now >= endOfYes(standingYes)) return tour(PLANNERS, 'The yes has expired: submit again.');
  return nobody('It is agreed: nothing is to be done until the show is over.');
}

function turnToAgreeAnew(facts: ProposalFacts): Turn {
  const why = 'The roof has moved on since the yes, and the plan still fits: say yes again.';
  if (missingCapacities(facts)[0] === 'engineer') return venue(['engineer'], why);
  const { deciderId } = facts;
  return deciderId !== null && isAuthor(facts, deciderId) ? turnToDecide(facts, true) : venue(DECIDERS, why, deciderId);
}

function turnUnderReview(facts: ProposalFacts): Turn {
  if (facts.blockingComments.length > 0) return turnToSpeak(facts);
  const [no] = standingNoes(facts);
  if (no) {
    const roles: readonly VenueRole[] = no.capacity === 'engineer' ? ['engineer'] : DECIDERS;
    if (isAuthor(facts, no.decidedBy))
      return venue(JUDGES, 'A no stands whose giver has since worked on the plan: two others override it.');
    return venue(roles, 'An earlier no stands until the person who gave it answers anew, or two people override it.', no.decidedBy);
  }
  const { open } = oversOf(facts);
  if (open.length > 0) return venue(JUDGES, `Hard checks are over (${open.length}): ask for changes, decline, or override each.`);
  const [missing] = missingCapacities(facts);
  return missing === 'engineer' ? venue(['engineer'], 'An engineer has to decide.') : turnToDecide(facts, missing !== undefined);
}

/** While a comment blocks, it waits for an answer from the side that did not speak last. */
function turnToSpeak({ blockingComments, lastCommentSide }: ProposalFacts): Turn {
  const raisedBy = blockingComments[0]?.side ?? 'venue';
  const spokeLast: Side = lastCommentSide ?? raisedBy;
  return spokeLast === 'venue'
    ? tour(['headRigger', 'systemDesigner', 'productionOffice'], 'A blocking comment waits for an answer.')
    : venue(JUDGES, 'A blocking comment waits for an answer.');
}

function turnToDecide(facts: ProposalFacts, missing: boolean): Turn {
  const { deciderId, handoverTo } = facts;
  if (handoverTo !== null) return venue(DECIDERS, 'Asked to take the deciding over.', handoverTo);
  if (deciderId !== null && isAuthor(facts, deciderId)) {
    return venue(DECIDERS, 'The person named to decide has worked on the plan: hand the deciding over.');
  }
  return venue(
    DECIDERS,
    missing ? 'A decider has to decide.' : 'Every answer is in and nothing blocks any more: say yes again to close it.',
    deciderId,
  );
}
