import type { AgreementAction } from './acts.ts';
import { AGREEMENT_ACTIONS } from './acts.ts';
import type { ProposalState } from './facts.ts';
import { PROPOSAL_STATES } from './facts.ts';
import type { Seat } from './parties.ts';
import { SEATS } from './parties.ts';

/** One cell: what an actor's act does in a state. With several next states, the answers given so far choose (see step). */
export type Cell =
  | { readonly allowed: true; readonly next: readonly ProposalState[] }
  | { readonly allowed: false; readonly code: 'wrong-state' | 'not-yours'; readonly why: string };

const JUDGES: readonly Seat[] = ['venue:technicalManager', 'venue:decider', 'venue:engineer'];
const SPEAKERS: readonly Seat[] = [...JUDGES, 'venue:houseRigger', 'tour:headRigger', 'tour:systemDesigner', 'tour:productionOffice'];

/** Who may, in the states where it can be done at all. The administrators look after people and keys, not after roofs. */
export const WHO: Record<AgreementAction, { readonly seats: readonly Seat[]; readonly why: string }> = {
  editPlan: {
    seats: ['tour:headRigger', 'tour:systemDesigner'],
    why: "Only the touring side's head rigger and system designers change its plan.",
  },
  submit: { seats: ['tour:headRigger'], why: 'Only the head rigger puts a plan to the venue.' },
  ask: { seats: JUDGES, why: 'Only those who decide for the venue ask for changes.' },
  decline: { seats: JUDGES, why: 'Only those who decide for the venue decline.' },
  agree: { seats: JUDGES, why: 'Only those who decide for the venue agree.' },
  agreeWithConditions: { seats: JUDGES, why: 'Only those who decide for the venue agree.' },
  withdraw: {
    seats: ['tour:headRigger', 'tour:productionOffice'],
    why: "Only the touring side's head rigger or production office withdraws.",
  },
  revoke: { seats: JUDGES, why: 'Only those who decide for the venue take its yes back.' },
  suspend: { seats: [...JUDGES, 'venue:houseRigger'], why: "Only the venue's technical people suspend." },
  liftSuspension: { seats: JUDGES, why: 'Only those who decide for the venue lift a suspension.' },
  strike: {
    seats: ['venue:technicalManager', 'venue:decider', 'venue:houseRigger'],
    why: "Only the venue's people who see the roof empty say that a show is down.",
  },
  askOverride: { seats: JUDGES, why: 'Only those who decide for the venue ask for an override.' },
  confirmOverride: { seats: JUDGES, why: 'Only those who decide for the venue confirm an override.' },
  offerHandover: { seats: ['venue:technicalManager', 'venue:decider'], why: 'Only a decider of the venue hands the deciding over.' },
  acceptHandover: { seats: ['venue:technicalManager', 'venue:decider'], why: 'Only a decider of the venue takes the deciding over.' },
  comment: { seats: SPEAKERS, why: 'Only those who work on the proposal comment on it.' },
  resolveComment: { seats: SPEAKERS, why: 'Only those who work on the proposal resolve its comments.' },
  markStale: { seats: ['service'], why: 'Whether an agreement still holds is computed, not said.' },
  keep: { seats: ['service'], why: 'Whether an agreement still holds is computed, not said.' },
};

/** Judgements, which nobody passes on their own work. Stopping a show, calling it down and passing the judging on are none. */
export const JUDGEMENTS: readonly AgreementAction[] = [
  'ask',
  'decline',
  'agree',
  'agreeWithConditions',
  'revoke',
  'liftSuspension',
  'askOverride',
  'confirmOverride',
  'acceptHandover',
];

/** The crew sees agreed sheets, and may speak on them. */
const ALSO_THE_CREW: Partial<Record<AgreementAction, readonly ProposalState[]>> = {
  comment: ['agreed', 'agreed_with_conditions'],
  resolveComment: ['agreed', 'agreed_with_conditions'],
};

/** The next states, or why it cannot be done there. */
type Rule = readonly ProposalState[] | string;

const WITHDRAWN = 'It was withdrawn: nothing more happens to it.';
const STRUCK = 'It is down and the roof is handed back: nothing more happens to it.';
const NOT_WITH_VENUE = 'The plan is not with the venue: it is submitted first.';
const AGREED = 'It is agreed: the venue takes its yes back, or the touring side submits a changed plan.';

const inOpenStates = (ruleFor: (state: ProposalState) => Rule): Record<ProposalState, Rule> =>
  tableOf(PROPOSAL_STATES, (state) => (state === 'withdrawn' ? WITHDRAWN : state === 'struck' ? STRUCK : ruleFor(state)));
const staying = inOpenStates((state) => [state]);
const underReview = (ruleFor: (state: ProposalState) => Rule): Record<ProposalState, Rule> => ({
  ...inOpenStates(ruleFor),
  drafting: NOT_WITH_VENUE,
  agreed: AGREED,
  agreed_with_conditions: AGREED,
});

/**
 * What each act does in each state. Editing what is under review takes it back from the venue. What is agreed is agreed anew where the
 * venue's own side alone has moved on (step asks), and a first of two yeses to that leaves it as it is.
 */
const RULES: Record<AgreementAction, Record<ProposalState, Rule>> = {
  editPlan: { ...staying, submitted: ['drafting'] },
  submit: { ...inOpenStates(() => ['submitted']), submitted: 'It is with the venue already, unchanged since.' },
  // Another person's no to the same submission outweighs an answer, and a yes may still lack the other capacity.
  ask: underReview(() => ['questions', 'declined']),
  decline: underReview(() => ['declined']),
  agree: {
    ...underReview(() => ['agreed', 'agreed_with_conditions', 'submitted', 'questions', 'declined']),
    agreed: ['agreed', 'agreed_with_conditions'],
    agreed_with_conditions: ['agreed', 'agreed_with_conditions'],
  },
  agreeWithConditions: {
    ...underReview(() => ['agreed_with_conditions', 'submitted', 'questions', 'declined']),
    agreed: ['agreed', 'agreed_with_conditions'],
    agreed_with_conditions: ['agreed_with_conditions'],
  },
  withdraw: inOpenStates(() => ['withdrawn']),
  revoke: { ...staying, agreed: ['declined'], agreed_with_conditions: ['declined'] },
  suspend: staying,
  liftSuspension: staying,
  strike: inOpenStates(() => ['struck']),
  askOverride: underReview((state) => [state]),
  // An override clears a no or a check; it never is the yes itself.
  confirmOverride: {
    ...underReview((state) => [state, 'submitted']),
    submitted: ['submitted'],
    declined: ['declined', 'questions', 'submitted'],
  },
  offerHandover: staying,
  acceptHandover: staying,
  comment: staying,
  resolveComment: staying,
  markStale: staying,
  keep: staying,
};

function cellOf(state: ProposalState, action: AgreementAction, seat: Seat): Cell {
  const { seats, why } = WHO[action];
  const crewHere = seat === 'venue:crew' && ALSO_THE_CREW[action]?.includes(state) === true;
  if (!seats.includes(seat) && !crewHere) return { allowed: false, code: 'not-yours', why };
  const rule = RULES[action][state];
  return typeof rule === 'string' ? { allowed: false, code: 'wrong-state', why: rule } : { allowed: true, next: rule };
}

/** States × actions × actors. `step` lets nothing through that is not allowed here, and asks more of some of it. */
export const TRANSITIONS: Record<ProposalState, Record<AgreementAction, Record<Seat, Cell>>> = tableOf(PROPOSAL_STATES, (state) =>
  tableOf(AGREEMENT_ACTIONS, (action) => tableOf(SEATS, (seat) => cellOf(state, action, seat))),
);

function tableOf<K extends string, V>(keys: readonly K[], valueOf: (key: K) => V): Record<K, V> {
  return Object.fromEntries(keys.map((key) => [key, valueOf(key)])) as Record<K, V>;
}
