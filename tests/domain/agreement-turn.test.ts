import { describe, expect, test } from 'vitest';
import type { ProposalFacts } from '../../src/domain/agreement/facts.ts';
import { assessmentFacts } from '../../src/domain/agreement/facts.ts';
import { REQUIREMENT_IDS, requirements } from '../../src/domain/agreement/requirements.ts';
import { whoseTurn } from '../../src/domain/agreement/turn.ts';
import type { Assessment, Check } from '../../src/domain/assessment/assessment.ts';
import * as people from '../support/agreement-cases.ts';
import { agreed, answer, assessed, check, override, proposal, standing } from '../support/agreement-cases.ts';

const { decider, engineer } = people;
const DECIDERS = ['decider', 'technicalManager'];
const JUDGES = ['decider', 'technicalManager', 'engineer'];
const PLANNERS = ['headRigger', 'systemDesigner'];
const ON_THE_ROOF = ['houseRigger', 'technicalManager', 'decider'];

describe('G9 one answer to whose turn it is', () => {
  const blocking = (side: 'venue' | 'tour') => [{ id: 'comment', side, authorId: 'somebody' }];
  const heavy = { engineerAboveKg: 0 };
  const over = assessed({ checks: [check('a', 'over')] });
  const movedOn = (rest: Partial<ProposalFacts> = {}) =>
    agreed({ stale: true, staleReasons: ['roof'], assessment: assessed({ assessmentHash: 'assessment-2' }), ...rest });
  const cases: { when: string; facts: ProposalFacts; side: 'venue' | 'tour' | null; roles: string[]; personId?: string }[] = [
    { when: 'drafting', facts: proposal({ state: 'drafting', submission: null }), side: 'tour', roles: PLANNERS },
    { when: 'questions', facts: proposal({ state: 'questions' }), side: 'tour', roles: PLANNERS },
    { when: 'declined', facts: proposal({ state: 'declined' }), side: 'tour', roles: PLANNERS },
    { when: 'submitted', facts: proposal(), side: 'venue', roles: DECIDERS },
    { when: 'submitted, a decider named', facts: proposal({ deciderId: 'decider' }), side: 'venue', roles: DECIDERS, personId: 'decider' },
    {
      when: 'submitted, handed over and not yet taken',
      facts: proposal({ handoverTo: 'night' }),
      side: 'venue',
      roles: DECIDERS,
      personId: 'night',
    },
    {
      when: 'the person named has edited the plan',
      facts: proposal({ deciderId: 'x', lastEditorId: 'x' }),
      side: 'venue',
      roles: DECIDERS,
    },
    { when: 'submitted and heavy, nobody has answered', facts: proposal(heavy), side: 'venue', roles: DECIDERS },
    {
      when: 'heavy, the decider has agreed',
      facts: proposal({ ...heavy, answers: [answer(decider, 'agree')] }),
      side: 'venue',
      roles: ['engineer'],
    },
    {
      when: 'heavy, the engineer has agreed',
      facts: proposal({ ...heavy, answers: [answer(engineer, 'agree')] }),
      side: 'venue',
      roles: DECIDERS,
    },
    { when: 'over', facts: proposal({ assessment: over }), side: 'venue', roles: JUDGES },
    { when: 'over and overridden', facts: proposal({ assessment: over, overrides: [override()] }), side: 'venue', roles: DECIDERS },
    {
      when: "an earlier submission's no stands",
      facts: proposal({ answers: [answer(engineer, 'ask', { submissionNumber: 0 })] }),
      side: 'venue',
      roles: ['engineer'],
      personId: 'engineer',
    },
    {
      when: 'the giver of that no has edited the plan',
      facts: proposal({ answers: [answer(engineer, 'ask', { submissionNumber: 0 })], lastEditorId: 'engineer' }),
      side: 'venue',
      roles: JUDGES,
    },
    {
      when: 'every answer is in and a no was overridden',
      facts: proposal({ answers: [answer(decider, 'agree')] }),
      side: 'venue',
      roles: DECIDERS,
    },
    {
      when: 'the venue asked in a blocking comment',
      facts: proposal({ blockingComments: blocking('venue'), lastCommentSide: 'venue' }),
      side: 'tour',
      roles: [...PLANNERS, 'productionOffice'],
    },
    {
      when: 'the tour has replied',
      facts: proposal({ blockingComments: blocking('venue'), lastCommentSide: 'tour' }),
      side: 'venue',
      roles: JUDGES,
    },
    {
      when: 'the tour asked',
      facts: proposal({ blockingComments: blocking('tour'), lastCommentSide: 'tour' }),
      side: 'venue',
      roles: JUDGES,
    },
    { when: 'suspended under review', facts: proposal({ suspended: true }), side: 'venue', roles: JUDGES },
    { when: 'suspended while the tour drafts', facts: proposal({ state: 'drafting', suspended: true }), side: 'venue', roles: JUDGES },
    { when: 'agreed', facts: agreed(), side: null, roles: [] },
    {
      when: 'agreed with conditions, during the show',
      facts: agreed({ state: 'agreed_with_conditions', now: people.DURING }),
      side: null,
      roles: [],
    },
    { when: 'agreed and stale', facts: agreed({ stale: true }), side: 'tour', roles: PLANNERS },
    { when: 'agreed, on a roof that has moved on and still holds it', facts: movedOn(), side: 'venue', roles: DECIDERS },
    {
      when: 'agreed anew by the decider, and an engineer is asked for',
      facts: movedOn({ engineerAboveKg: 800, answers: [answer(people.decider, 'agree', { assessmentHash: 'assessment-2' })] }),
      side: 'venue',
      roles: ['engineer'],
    },
    {
      when: 'agreed, on a roof that no longer holds it',
      facts: movedOn({ assessment: assessed({ assessmentHash: 'assessment-2', checks: [check('a', 'over', { demand: 510 })] }) }),
      side: 'tour',
      roles: PLANNERS,
    },
    {
      when: 'agreed, on a roof that has moved on, and edited',
      facts: movedOn({ workingPlanHash: 'plan-2', staleReasons: ['roof', 'plan'] }),
      side: 'tour',
      roles: PLANNERS,
    },
    {
      when: 'agreed, and not assessed on the roof that has moved on',
      facts: movedOn({ latestRevisionHash: 'revision-2' }),
      side: 'tour',
      roles: PLANNERS,
    },
    { when: 'agreed and being checked', facts: agreed({ stale: true, staleReasons: ['beingChecked'] }), side: null, roles: [] },
    {
      when: 'agreed, edited and being checked',
      facts: agreed({ stale: true, staleReasons: ['plan', 'beingChecked'] }),
      side: 'tour',
      roles: PLANNERS,
    },
    { when: 'agreed and expired', facts: agreed({ standingYes: standing({ validUntil: people.BEFORE }) }), side: 'tour', roles: PLANNERS },
    { when: 'agreed and suspended', facts: agreed({ suspended: true }), side: 'venue', roles: JUDGES },
    { when: 'over and not struck', facts: agreed({ now: people.AFTER }), side: 'venue', roles: ON_THE_ROOF },
    { when: 'over and not struck, suspended', facts: agreed({ now: people.AFTER, suspended: true }), side: 'venue', roles: ON_THE_ROOF },
    {
      when: 'over and not struck, a newer plan under review',
      facts: proposal({ now: people.AFTER, standingYes: standing() }),
      side: 'venue',
      roles: ON_THE_ROOF,
    },
    { when: 'over without a yes', facts: proposal({ now: people.AFTER }), side: 'tour', roles: ['headRigger', 'productionOffice'] },
    { when: 'withdrawn', facts: proposal({ state: 'withdrawn', now: people.AFTER }), side: null, roles: [] },
    { when: 'struck', facts: proposal({ state: 'struck', suspended: true }), side: null, roles: [] },
  ];
  test.each(cases)('$when', ({ facts, side, roles, personId = null }) => {
    expect(whoseTurn(facts)).toEqual({ side, roles, personId, why: expect.stringMatching(/^[A-Z].+\.$/) as string });
  });
});

describe('one list of requirements', () => {
  const metOf = (facts: ProposalFacts) => Object.fromEntries(requirements(facts).map(({ id, met }) => [id, met]));
  const ALL = [
    'planSubmitted',
    'roofCurrent',
    'withinHardLimits',
    'unknownsDecided',
    'ticksComplete',
    'noBlockingComments',
    'noStandingNo',
    'authorSeparation',
    'deciders',
    'validity',
    'notSuspended',
    'credentials',
  ];
  const good = {
    ...Object.fromEntries(ALL.map((id) => [id, 'met'])),
    unknownsDecided: 'not_applicable',
    ticksComplete: 'not_applicable',
    credentials: 'not_applicable',
  };
  test('every gate, always, in one order and in words', () => {
    expect(REQUIREMENT_IDS).toEqual(ALL);
    for (const facts of [proposal(), agreed(), proposal({ state: 'drafting', submission: null, assessment: null })]) {
      expect(requirements(facts).map(({ id }) => id)).toEqual(ALL);
      for (const { met, words, whoseTurn: turn } of requirements(facts)) {
        expect(words).toMatch(/^[A-Z0-9].+\.$/);
        expect(turn === null).toBe(met !== 'unmet');
      }
    }
  });
  const close = assessed({ checks: [check('a', 'close')] });
  const ticks = [{ checkId: 'a', demand: 480, capacity: 500 }];
  const otherSubmission = { number: 2, planHash: 'plan-2', authorIds: [] };
  test.each([
    { when: 'just submitted', facts: proposal(), differs: { deciders: 'unmet' } },
    { when: 'agreed', facts: agreed(), differs: {} },
    { when: 'agreed, with checks that were ticked', facts: agreed({ assessment: close }), differs: { ticksComplete: 'met' } },
    { when: 'a label of an agreed plan changed', facts: agreed({ workingPlanHash: 'plan-2' }), differs: {} },
    {
      when: 'agreed, the decider then changed a label',
      facts: agreed({ workingPlanHash: 'plan-2', lastEditorId: 'decider' }),
      differs: {},
    },
    { when: 'agreed and stale', facts: agreed({ stale: true, workingPlanHash: 'plan-2' }), differs: { planSubmitted: 'unmet' } },
    {
      when: 'agreed, the roof moved on',
      facts: agreed({
        stale: true,
        assessment: assessed({ assessmentHash: 'assessment-2', revisionHash: 'revision-2' }),
        latestRevisionHash: 'revision-2',
      }),
      differs: { deciders: 'unmet' },
    },
    { when: 'close, not ticked', facts: proposal({ assessment: close }), differs: { ticksComplete: 'unmet', deciders: 'unmet' } },
    {
      when: 'close and ticked',
      facts: proposal({ assessment: close, answers: [answer(decider, 'agree', { ticks })] }),
      differs: { ticksComplete: 'met' },
    },
    {
      when: 'unknown',
      facts: proposal({ assessment: assessed({ checks: [check('a', 'unknown')] }) }),
      differs: { unknownsDecided: 'unmet', ticksComplete: 'unmet', deciders: 'unmet' },
    },
    {
      when: 'unknown, decided by an engineer',
      facts: proposal({
        assessment: assessed({ checks: [check('a', 'unknown')] }),
        answers: [answer(engineer, 'agree', { ticks: [{ checkId: 'a', demand: null, capacity: null }] })],
      }),
      differs: { unknownsDecided: 'met', ticksComplete: 'unmet', deciders: 'unmet' },
    },
    {
      when: 'the roof moved on',
      facts: proposal({ latestRevisionHash: 'revision-2' }),
      differs: { roofCurrent: 'unmet', deciders: 'unmet' },
    },
    { when: 'no roof is published', facts: proposal({ latestRevisionHash: null }), differs: { roofCurrent: 'unmet', deciders: 'unmet' } },
    {
      when: 'an author has answered',
      facts: proposal({ answers: [answer(decider, 'agree')], lastEditorId: 'decider' }),
      differs: { authorSeparation: 'unmet', deciders: 'unmet' },
    },
    {
      when: 'declined',
      facts: proposal({ state: 'declined', answers: [answer(decider, 'decline')] }),
      differs: { noStandingNo: 'unmet', deciders: 'unmet' },
    },
    {
      when: 'taken back',
      facts: proposal({ state: 'drafting', submission: otherSubmission, assessment: assessed({ planHash: 'plan-2' }) }),
      differs: { planSubmitted: 'unmet', deciders: 'unmet' },
    },
    { when: 'over', facts: proposal({ now: people.AFTER }), differs: { validity: 'unmet', deciders: 'unmet' } },
    { when: 'suspended', facts: agreed({ suspended: true }), differs: { notSuspended: 'unmet' } },
  ])('$when', ({ facts, differs }) => expect(metOf(facts)).toEqual({ ...good, ...differs }));
  test('nothing is met where nothing is known', () => {
    const facts = proposal({ state: 'drafting', submission: null, assessment: null, latestRevisionHash: null });
    const unknown = ['planSubmitted', 'roofCurrent', 'withinHardLimits', 'unknownsDecided', 'ticksComplete', 'deciders'];
    expect(metOf(facts)).toMatchObject(Object.fromEntries(unknown.map((id) => [id, 'unmet'])));
  });
});

test('an assessment is narrowed to what agreeing needs, and no finding is lost', () => {
  const full = (id: string, verdict: Check['verdict']): Check => ({
    ...check(id, verdict),
    pointId: null,
    limitId: null,
    memberId: null,
    hangId: null,
    pickUpId: null,
    case: null,
    utilisation: null,
    reason: null,
    during: null,
    counted: [],
    diagram: null,
    reckoning: [],
  });
  const assessment: Assessment = {
    format: 1,
    engine: 'engine-1',
    outcome: {
      verdict: 'over',
      loads: [],
      checks: [full('a', 'fits'), full('b', 'close'), full('c', 'over'), full('d', 'unknown')],
      totals: { massKg: 850, contingencyKg: 50, estimatedShare: 0, worstUtilisation: null },
    },
    outcomeHash: 'outcome-1',
    covers: { revisionHash: 'revision-1', planHash: 'plan-1', policyHash: 'policy-1', neighbours: [] },
    assessmentHash: 'assessment-1',
    withSubmitted: [full('e', 'over')],
    overdueNeighbours: [],
    cautions: [],
  };
  expect(assessmentFacts(assessment)).toEqual(
    assessed({ totalMassKg: 900, checks: [check('b', 'close'), check('c', 'over'), check('d', 'unknown')] }),
  );
});
