import fc from 'fast-check';
import { expect, test } from 'vitest';
import type { Act, AgreementAction, AgreementError, Next, ReviewAct } from '../../src/domain/agreement/acts.ts';
import { AGREEMENT_ACTIONS } from '../../src/domain/agreement/acts.ts';
import type { ProposalFacts, ProposalState } from '../../src/domain/agreement/facts.ts';
import { PROPOSAL_STATES } from '../../src/domain/agreement/facts.ts';
import type { Party } from '../../src/domain/agreement/parties.ts';
import { requirements } from '../../src/domain/agreement/requirements.ts';
import { step } from '../../src/domain/agreement/step.ts';
import { whoseTurn } from '../../src/domain/agreement/turn.ts';
import type { Result } from '../../src/domain/foundation/result.ts';
import { AFTER, DURING, SERVICE, SHOW } from '../support/agreement-cases.ts';
import type { Finding, Knobs } from '../support/agreement-world.ts';
import { AgreementWorld, FINDINGS, TOUR_PEOPLE, VENUE_PEOPLE } from '../support/agreement-world.ts';

const RUNS = Number(process.env.AGREEMENT_RUNS ?? 500);
const SEED = Number(process.env.AGREEMENT_SEED ?? 20310601);
const STEPS = 30;
const PEOPLE: readonly (Party | typeof SERVICE)[] = [...VENUE_PEOPLE, ...TOUR_PEOPLE, SERVICE];

/** What has happened, kept apart from the code under test: who said what to which plan, and who made the plan. */
class Chronicle {
  said: { id: string; person: string; as: string; yes: boolean; submission: number; hash: string }[] = [];
  /** Of what was put to the venue, and who has worked on the plan since. */
  authors = new Set<string>();
  editors = new Set(['head rigger']);
  lastEditor = 'head rigger';
  setAside = new Set<string>();
  blockers = 0;
}

const isOpen = ({ state }: ProposalFacts) => state !== 'withdrawn' && state !== 'struck';
const isAgreed = ({ state }: ProposalFacts) => state === 'agreed' || state === 'agreed_with_conditions';
const isReview = (act: Act): act is ReviewAct => ['ask', 'decline', 'agree', 'agreeWithConditions'].includes(act.action);

const isAuthor = ({ authors, lastEditor }: Chronicle, person: string) => authors.has(person) || person === lastEditor;

/** Whether the venue has said a complete yes, told from the chronicle alone. */
function saidCompletely(chronicle: Chronicle, { assessment, submission, deciderId }: ProposalFacts): boolean {
  const { said, setAside } = chronicle;
  const latest = new Map(said.map((one) => [`${one.person} as ${one.as}`, one]));
  const blocked = [...latest.values()].some(({ yes, id }) => !yes && !setAside.has(id));
  const has = (as: string) =>
    [...latest.values()].some(
      (one) =>
        one.yes &&
        one.as === as &&
        one.submission === submission?.number &&
        one.hash === assessment?.assessmentHash &&
        !isAuthor(chronicle, one.person) &&
        (as === 'engineer' || deciderId === null || one.person === deciderId),
    );
  const needsEngineer = assessment === null || assessment.totalMassKg > 5000 || assessment.checks.some(({ id }) => id === 'unknown');
  return !blocked && has('decider') && (!needsEngineer || has('engineer'));
}

function record(chronicle: Chronicle, act: Act, before: ProposalFacts, after: ProposalFacts) {
  const by = act.actor as Party;
  const id = after.answers.at(-1)?.id ?? '';
  const submission = before.submission?.number ?? 0;
  if (isReview(act)) {
    const yes = act.action === 'agree' || act.action === 'agreeWithConditions';
    chronicle.said.push({ id, person: by.personId, as: act.capacity, yes, submission, hash: act.assessmentHash });
  }
  if (act.action === 'revoke') {
    const as = by.roles.some((role) => role === 'decider' || role === 'technicalManager') ? 'decider' : 'engineer';
    chronicle.said.push({ id, person: by.personId, as, yes: false, submission: before.standingYes?.submissionNumber ?? 0, hash: '' });
  }
  if (act.action === 'editPlan' || act.action === 'submit') chronicle.editors.add(by.personId);
  if (act.action === 'editPlan') chronicle.lastEditor = by.personId;
  if (act.action === 'submit') chronicle.authors = new Set(chronicle.editors);
  if (act.action === 'confirmOverride') {
    const confirmed = before.overrides.find((one) => one.id === act.overrideId);
    if (confirmed?.subject === 'answer') for (const one of confirmed.subjectIds) chronicle.setAside.add(one);
  }
  if (act.action === 'comment' && act.blocking) chronicle.blockers += 1;
  if (act.action === 'resolveComment' && act.comment.id !== 'plain') chronicle.blockers -= 1;
}

const JUDGEMENTS: readonly AgreementAction[] = [
  'ask',
  'decline',
  'agree',
  'agreeWithConditions',
  'askOverride',
  'confirmOverride',
  'revoke',
  'liftSuspension',
];

/** What has to be true of an act that was let through. */
function holdAccepted(chronicle: Chronicle, act: Act, before: ProposalFacts, after: ProposalFacts, next: Next) {
  const by = act.actor as Party;
  expect(isOpen(before), 'nothing happens to what is closed').toBe(true);
  if (JUDGEMENTS.includes(act.action)) expect(isAuthor(chronicle, by.personId), 'no author judges').toBe(false);
  if (act.action === 'agree' || act.action === 'agreeWithConditions') {
    const { assessment } = before;
    expect(before.suspended).toBe(false);
    expect(chronicle.blockers).toBe(0);
    expect(act.assessmentHash).toBe(assessment?.assessmentHash);
    expect(before.workingPlanHash).toBe(before.submission?.planHash);
    expect(act.ticks.map(({ checkId }) => checkId)).toEqual(assessment?.checks.map(({ id }) => id));
    expect(before.now < SHOW.to).toBe(true);
    if (isAgreed(before)) {
      seen.anew += 1;
      expect(before.stale && !before.staleReasons.some((reason) => reason === 'plan' || reason === 'beingChecked')).toBe(true);
      expect(before.standingYes?.submissionNumber, 'only what was agreed is agreed anew').toBe(before.submission?.number);
      expect(isAgreed(after), 'a first of two yeses takes nothing down').toBe(true);
    }
    const twoPeople = before.overrides.some(
      ({ subject, subjectIds, outcomeHash, askedBy, confirmedBy }) =>
        subject === 'check' &&
        subjectIds.includes('over') &&
        outcomeHash === assessment?.outcomeHash &&
        confirmedBy !== null &&
        confirmedBy !== askedBy &&
        ![askedBy, confirmedBy].some((person) => isAuthor(chronicle, person)),
    );
    expect(twoPeople || !assessment?.checks.some(({ id }) => id === 'over'), 'over, and not set aside by two').toBe(true);
    expect(next.standing === 'replaced', 'a yes stands exactly when it is complete').toBe(saidCompletely(chronicle, after));
  } else {
    expect(next.standing, 'only a yes makes a yes').not.toBe('replaced');
  }
  if (before.standingYes !== null && after.standingYes === null) {
    const mayHang = before.now >= before.standingYes.from;
    expect(mayHang ? ['strike'] : ['withdraw', 'revoke'], 'what stands ends only so').toContain(act.action);
  }
}

/** What has to be true at any moment. */
function holdAlways(world: AgreementWorld) {
  const { facts } = world;
  const turn = whoseTurn(facts);
  expect(whoseTurn(facts)).toEqual(turn);
  expect(turn.roles.length > 0).toBe(turn.side !== null);
  const atRest = isAgreed(facts) && !facts.stale && !facts.suspended && facts.now < (facts.standingYes?.validUntil ?? SHOW.to);
  expect(turn.side === null, 'nobody, exactly when nothing is to be done').toBe(!isOpen(facts) || atRest);
  if (turn.side !== null) {
    const able = (turn.side === 'venue' ? VENUE_PEOPLE : TOUR_PEOPLE).filter(
      ({ personId, roles }) =>
        roles.some((role) => turn.roles.some((one) => one === role)) && (turn.personId === null || turn.personId === personId),
    );
    const moves: readonly AgreementAction[] = facts.blockingComments.length > 0 ? [...MOVES, 'comment'] : MOVES;
    const canMove = moves.some((action) => able.some((person) => step(facts, world.actOf(action, person, GOOD_KNOBS)).ok));
    expect(canMove, `${turn.why} And they can.`).toBe(true);
  }
  if (!isOpen(facts)) expect(facts).toMatchObject({ standingYes: null, stale: false, suspended: false });
  if (isAgreed(facts)) expect(facts.standingYes).not.toBeNull();
  if (facts.standingYes === null) expect(facts.stale).toBe(false);
  if (isAgreed(facts) && !facts.stale) {
    const unmet = requirements(facts).filter(
      ({ met, id }) => met === 'unmet' && !['notSuspended', 'validity', 'noBlockingComments'].includes(id),
    );
    expect(unmet).toEqual([]);
  }
}
const GOOD_KNOBS: Knobs = {
  pick: 0,
  upToDate: true,
  thorough: true,
  asEngineer: true,
  aboutAnswer: false,
  blocking: false,
  finding: 'clean',
};
/** What moves a proposal on; a remark or a suspension alone does not. */
const MOVES: readonly AgreementAction[] = [
  'editPlan',
  'submit',
  'withdraw',
  'ask',
  'decline',
  'agree',
  'strike',
  'liftSuspension',
  'acceptHandover',
  'offerHandover',
];

const seen = {
  states: new Map<string, number>(),
  accepted: new Map<string, number>(),
  refused: new Map<string, number>(),
  yeses: 0,
  anew: 0,
  steps: 0,
};
const count = (into: Map<string, number>, key: string) => into.set(key, (into.get(key) ?? 0) + 1);

type Command = fc.Command<Chronicle, AgreementWorld>;
const commandOf = (name: string, run: (chronicle: Chronicle, world: AgreementWorld) => void): Command => ({
  check: () => true,
  run: (chronicle, world) => {
    run(chronicle, world);
    holdAlways(world);
    seen.steps += 1;
    count(seen.states, world.facts.state);
  },
  toString: () => name,
});

function holdOutcome(chronicle: Chronicle, world: AgreementWorld, act: Act, before: ProposalFacts, done: Result<Next, AgreementError>) {
  if (done.ok) {
    record(chronicle, act, before, world.facts);
    holdAccepted(chronicle, act, before, world.facts, done.value);
    count(seen.accepted, act.action);
    if (done.value.standing === 'replaced') seen.yeses += 1;
    return;
  }
  count(seen.refused, done.error.code);
  expect(world.facts, 'a refusal changes nothing').toBe(before);
  if ('why' in done.error) expect(done.error.why).toMatch(/^[A-Z].+\.$/);
}

/** Freezes what step is given, so that a change in place throws. */
function frozen<T>(value: T): T {
  if (typeof value === 'object' && value !== null && !Object.isFrozen(value)) Object.values(Object.freeze(value)).forEach(frozen);
  return value;
}

/** Places in PEOPLE of those who usually do it. */
const USUALLY_ELSE: Partial<Record<AgreementAction, readonly number[]>> = {
  editPlan: [9, 10, 13],
  submit: [9, 9, 9, 13],
  withdraw: [9, 11],
  suspend: [0, 5],
  strike: [0, 5],
  comment: [0, 1, 5, 9, 10, 11],
  resolveComment: [0, 1, 5, 9, 10, 11],
  markStale: [14],
  keep: [14],
};
const usualPlace = (action: AgreementAction, who: number): number => {
  const places = USUALLY_ELSE[action] ?? [0, 1, 2, 3, 4, 8];
  return places[who % places.length]!;
};
const mostly = (often: number) => fc.nat(99).map((roll) => roll < often);
const knobs: fc.Arbitrary<Knobs> = fc.record({
  pick: fc.nat(20),
  upToDate: mostly(92),
  thorough: mostly(90),
  asEngineer: mostly(50),
  aboutAnswer: mostly(50),
  blocking: mostly(30),
  finding: fc.constantFrom<Finding>('clean', 'clean', 'clean', ...FINDINGS),
});
/** What mostly happens next, so that the walk gets somewhere; anything may happen at any time all the same. */
const UNDER_REVIEW: readonly AgreementAction[] = [
  ...(['agree', 'agree', 'agree', 'agree', 'agree', 'agree', 'agreeWithConditions', 'agreeWithConditions', 'ask', 'decline'] as const),
  ...(['askOverride', 'askOverride', 'confirmOverride', 'confirmOverride', 'resolveComment', 'resolveComment'] as const),
  ...(['liftSuspension', 'liftSuspension', 'offerHandover', 'acceptHandover'] as const),
];
const SETTLED: readonly AgreementAction[] = [
  'editPlan',
  'submit',
  'submit',
  'suspend',
  'liftSuspension',
  'revoke',
  'strike',
  'markStale',
  'keep',
  'comment',
  'agree',
  'agree',
  'agreeWithConditions',
];
const LIKELY: Record<ProposalState, readonly AgreementAction[]> = {
  drafting: ['editPlan', 'submit', 'submit', 'submit', 'liftSuspension'],
  submitted: UNDER_REVIEW,
  questions: ['submit', 'submit', 'editPlan', ...UNDER_REVIEW],
  declined: ['submit', 'submit', 'editPlan', ...UNDER_REVIEW],
  agreed: SETTLED,
  agreed_with_conditions: SETTLED,
  withdrawn: AGREEMENT_ACTIONS,
  struck: AGREEMENT_ACTIONS,
};

const acting = fc
  .record({
    some: fc.nat(1000),
    any: fc.constantFrom(...AGREEMENT_ACTIONS),
    likely: mostly(85),
    who: fc.nat(PEOPLE.length - 1),
    usual: mostly(85),
    knobs,
  })
  .map(({ some, any, likely, who, usual, knobs: turned }) =>
    commandOf(`${likely ? `likely ${some}` : any}, ${usual ? 'usual' : 'person'} ${who}, ${JSON.stringify(turned)}`, (chronicle, world) => {
      const before = frozen(world.facts);
      const choice = LIKELY[before.state];
      const action = likely ? choice[some % choice.length]! : any;
      const asked = action === 'acceptHandover' && usual ? VENUE_PEOPLE.find(({ personId }) => personId === before.handoverTo) : undefined;
      const act = world.actOf(action, asked ?? PEOPLE[usual ? usualPlace(action, who) : who]!, turned);
      holdOutcome(chronicle, world, act, before, world.do(act, turned.finding));
    }),
  );
const publishing = fc.constantFrom<Finding>('clean', 'clean', 'clean', ...FINDINGS).map((finding) =>
  commandOf(`the roof is published: ${finding}`, (_, world) => {
    const standingBefore = world.facts.standingYes;
    const done = world.publishRoof(finding);
    expect(done === null || done.ok).toBe(true);
    expect(world.facts.standingYes, 'a newer roof takes nothing down').toBe(standingBefore);
  }),
);
const neighbour = fc.constant(commandOf('a neighbour is agreed', (_, world) => world.moveNeighbour()));
const time = fc.constantFrom(DURING, DURING, AFTER).map((now) => commandOf(`it is ${now}`, (_, world) => world.moveTime(now)));
const anything = fc.oneof(
  { weight: 90, arbitrary: acting },
  { weight: 4, arbitrary: publishing },
  { weight: 3, arbitrary: neighbour },
  { weight: 2, arbitrary: time },
);

test(`${RUNS} sequences of ${STEPS} acts, seed ${SEED}`, () => {
  fc.assert(
    fc.property(fc.array(anything, { minLength: STEPS, maxLength: STEPS }), (commands) => {
      fc.modelRun(() => ({ model: new Chronicle(), real: new AgreementWorld() }), commands);
    }),
    { numRuns: RUNS, seed: SEED },
  );
  // The walk is worth something only if it went everywhere.
  if (process.env.AGREEMENT_RUNS) console.info(seen);
  expect([...seen.states.keys()].sort()).toEqual([...PROPOSAL_STATES].sort());
  expect([...seen.accepted.keys()].sort()).toEqual([...AGREEMENT_ACTIONS].sort());
  expect(seen.steps).toBeGreaterThanOrEqual(RUNS * STEPS);
  expect(seen.yeses).toBeGreaterThan(RUNS / 2);
  expect(seen.anew).toBeGreaterThan(0);
  const refusals = ['not-yours', 'wrong-state', 'author-cannot-decide', 'needs-unagree', 'may-be-hanging', 'assessment-moved-on'];
  expect([...seen.refused.keys()]).toEqual(
    expect.arrayContaining([...refusals, 'requirements-unmet', 'ticks-missing', 'override-not-possible', 'handover-not-possible']),
  );
});
