import type { Act, AgreementAction, ReviewAct } from '../../src/domain/agreement/acts.ts';
import type {
  Answer,
  AssessmentFacts,
  CheckFacts,
  Override,
  ProposalFacts,
  ProposalState,
  StandingYes,
} from '../../src/domain/agreement/facts.ts';
import type { Party, Seat } from '../../src/domain/agreement/parties.ts';

/** Invented people and times. The show runs over three days; `now` is months before it unless a case says otherwise. */
export const BEFORE = '2031-03-01T12:00:00.000Z';
export const SHOW = { from: '2031-06-01T06:00:00.000Z', to: '2031-06-04T06:00:00.000Z' };
export const DURING = '2031-06-02T20:00:00.000Z';
export const AFTER = SHOW.to;

export const venuePerson = (personId: string, ...roles: string[]): Party => ({ side: 'venue', personId, roles });
export const tourPerson = (personId: string, ...roles: string[]): Party => ({ side: 'tour', personId, roles });
/** With a person's fields, so that it can be tried in acts that only persons do. */
export const SERVICE = { side: 'service', personId: 'service', roles: [] as string[] } as const;

export const manager = venuePerson('manager', 'technicalManager');
export const decider = venuePerson('decider', 'decider');
export const secondDecider = venuePerson('second decider', 'decider');
export const engineer = venuePerson('engineer', 'engineer');
export const secondEngineer = venuePerson('second engineer', 'engineer');
export const houseRigger = venuePerson('house rigger', 'houseRigger');
export const headRigger = tourPerson('head rigger', 'headRigger');
export const designer = tourPerson('designer', 'systemDesigner');
export const office = tourPerson('office', 'productionOffice');

/** Somebody who holds exactly one role. */
export function sitting(seat: Seat): Party | typeof SERVICE {
  if (seat === 'service') return SERVICE;
  const [side, role] = seat.split(':');
  return { side: side === 'venue' ? 'venue' : 'tour', personId: seat, roles: [role!] };
}

export const check = (id: string, verdict: CheckFacts['verdict'], rest: Partial<CheckFacts> = {}): CheckFacts => ({
  id,
  kind: 'pointDown',
  hard: true,
  verdict,
  demand: verdict === 'unknown' ? null : 480,
  capacity: verdict === 'unknown' ? null : 500,
  unit: 'kg',
  ...rest,
});

export const assessed = (rest: Partial<AssessmentFacts> = {}): AssessmentFacts => ({
  assessmentHash: 'assessment-1',
  outcomeHash: 'outcome-1',
  engine: 'engine-1',
  planHash: 'plan-1',
  revisionHash: 'revision-1',
  policyHash: 'policy-1',
  totalMassKg: 900,
  checks: [],
  ...rest,
});

/** A proposal as it is just after its first submission; `rest` says what is different. */
export const proposal = (rest: Partial<ProposalFacts> = {}): ProposalFacts => ({
  now: BEFORE,
  state: 'submitted',
  stale: false,
  staleReasons: [],
  suspended: false,
  show: SHOW,
  submission: { number: 1, planHash: 'plan-1', authorIds: ['head rigger'] },
  workingPlanHash: 'plan-1',
  lastEditorId: 'head rigger',
  standingYes: null,
  assessment: assessed(),
  latestRevisionHash: 'revision-1',
  engineerAboveKg: 5000,
  answers: [],
  overrides: [],
  blockingComments: [],
  lastCommentSide: null,
  deciderId: null,
  handoverTo: null,
  ...rest,
});

export const standing = (rest: Partial<StandingYes> = {}): StandingYes => ({ submissionNumber: 1, ...SHOW, validUntil: null, ...rest });

let answerCount = 0;
export const answer = (by: Party, kind: Answer['answer'], rest: Partial<Answer> = {}): Answer => {
  answerCount += 1;
  return {
    id: `answer-${answerCount}`,
    submissionNumber: 1,
    sequence: answerCount,
    answer: kind,
    capacity: by.roles.includes('engineer') ? 'engineer' : 'decider',
    assessmentHash: 'assessment-1',
    conditions: [],
    ticks: [],
    decidedBy: by.personId,
    validUntil: null,
    ...rest,
  };
};

export const override = (rest: Partial<Override> = {}): Override => ({
  id: 'override-1',
  subject: 'check',
  subjectIds: ['a'],
  outcomeHash: 'outcome-1',
  askedBy: 'decider',
  askerIsEngineer: false,
  confirmedBy: 'engineer',
  ...rest,
});

export const agreed = (rest: Partial<ProposalFacts> = {}): ProposalFacts =>
  proposal({ state: 'agreed', standingYes: standing(), answers: [answer(decider, 'agree')], ...rest });

export const condition = (text = 'Keep 450 mm below the sprinklers.') => ({ pinKind: 'proposal', pinId: null, text }) as const;

export const review = (by: Party, action: ReviewAct['action'], rest: Partial<ReviewAct> = {}): ReviewAct => ({
  action,
  actor: by,
  capacity: by.roles.includes('engineer') ? 'engineer' : 'decider',
  assessmentHash: 'assessment-1',
  ticks: [],
  carriedTicks: [],
  conditions: action === 'agreeWithConditions' ? [condition()] : [],
  reason: action === 'ask' || action === 'decline' ? 'The fly bar is in the way.' : '',
  validUntil: null,
  neighboursBroken: [],
  ...rest,
});

/** The act of an action with nothing wrong about it, for the facts of `workable`. */
export function plainAct(action: AgreementAction, actor: Party | typeof SERVICE): Act {
  if (action === 'markStale') return { action, actor: actor as typeof SERVICE, changed: ['roof'] };
  if (action === 'keep') return { action, actor: actor as typeof SERVICE };
  const person = actor as Party; // or the service, which the table has to refuse
  switch (action) {
    case 'ask':
    case 'decline':
    case 'agree':
    case 'agreeWithConditions':
      return review(person, action);
    case 'editPlan':
      return { action, actor: person, unagree: true, outcomeKept: false };
    case 'revoke':
    case 'suspend':
      return { action, actor: person, reason: 'A crack was found in the girder.' };
    case 'askOverride':
      return { action, actor: person, subject: 'check', subjectIds: ['a'], outcomeHash: 'outcome-1', reason: 'Proof-loaded last week.' };
    case 'confirmOverride':
      return { action, actor: person, overrideId: 'waiting', outcomeHash: 'outcome-1' };
    case 'offerHandover':
      return { action, actor: person, to: venuePerson('night decider', 'decider') };
    case 'comment':
      return { action, actor: person, blocking: false };
    case 'resolveComment':
      return { action, actor: person, comment: { id: 'comment', side: person.side, authorId: person.personId, resolved: false } };
    default:
      return { action, actor: person };
  }
}

const CLOSED: readonly ProposalState[] = ['withdrawn', 'struck'];

/** Facts in which nothing but the table can refuse `plainAct(action, …)`. */
export function workable(state: ProposalState, action: AgreementAction, actor: Party | typeof SERVICE): ProposalFacts {
  const aboutOverrides = action === 'askOverride' || action === 'confirmOverride';
  const isYes = action === 'agree' || action === 'agreeWithConditions';
  const anew = isYes && (state === 'agreed' || state === 'agreed_with_conditions');
  return proposal({
    state,
    now: action === 'strike' ? DURING : BEFORE,
    standingYes: CLOSED.includes(state) ? null : standing(),
    stale: anew,
    staleReasons: anew ? ['roof'] : [],
    suspended: action === 'liftSuspension',
    workingPlanHash: action === 'submit' ? 'plan-2' : 'plan-1',
    assessment: assessed({ checks: aboutOverrides ? [check('a', 'over', { demand: 510 })] : [] }),
    overrides: [override({ id: 'waiting', askedBy: 'night engineer', askerIsEngineer: true, confirmedBy: null })],
    handoverTo: action === 'acceptHandover' && actor.side !== 'service' ? actor.personId : null,
  });
}
