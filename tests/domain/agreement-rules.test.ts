import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { Act, ReviewAct } from '../../src/domain/agreement/acts.ts';
import type { Covered } from '../../src/domain/agreement/covered.ts';
import { stalenessOf, yesCovers } from '../../src/domain/agreement/covered.ts';
import type { Answer, ProposalFacts } from '../../src/domain/agreement/facts.ts';
import { requirements } from '../../src/domain/agreement/requirements.ts';
import { step } from '../../src/domain/agreement/step.ts';
import { ticksCarried } from '../../src/domain/agreement/ticks.ts';
import { isOverdue, validityOf, whatCounts } from '../../src/domain/agreement/validity.ts';
import * as people from '../support/agreement-cases.ts';
import { agreed, answer, assessed, check, condition, override, plainAct, proposal, review, standing } from '../support/agreement-cases.ts';

const { decider, engineer, headRigger, houseRigger, manager, office, secondDecider, secondEngineer, SERVICE } = people;
const refuses = (facts: ProposalFacts, act: Act, error: object) => {
  const before = structuredClone(facts);
  expect(step(facts, act)).toMatchObject({ ok: false, error });
  expect(facts).toEqual(before);
};
const leadsTo = (facts: ProposalFacts, act: Act, next: object) => expect(step(facts, act)).toMatchObject({ ok: true, value: next });
const metOf = (facts: ProposalFacts, id: string) => requirements(facts).find((requirement) => requirement.id === id)?.met;
const hash = (text: string) => `hash of ${text}`;
const recorded = (act: ReviewAct, rest: Partial<Answer> = {}): Answer =>
  answer(act.actor, act.action, { capacity: act.capacity, ticks: act.ticks, conditions: act.conditions, ...rest });

describe('G1 a yes covers exact bytes', () => {
  const covered = yesCovers(assessed(), [condition()], hash);
  test('it names plan, roof, assessment, engine, policy and conditions', () => {
    expect(covered).toEqual({
      planHash: 'plan-1',
      revisionHash: 'revision-1',
      assessmentHash: 'assessment-1',
      outcomeHash: 'outcome-1',
      engine: 'engine-1',
      policyHash: 'policy-1',
      conditionsHash: 'hash of [{"pinId":null,"pinKind":"proposal","text":"Keep 450 mm below the sprinklers."}]',
    });
  });
  test.each([
    ['planHash', 'plan'],
    ['revisionHash', 'roof'],
    ['engine', 'engine'],
    ['policyHash', 'policy'],
    ['conditionsHash', 'conditions'],
  ] as const)('another %s, with another outcome, makes it stale', (member, part) => {
    const now: Covered = { ...covered, [member]: 'another', outcomeHash: 'outcome-2' };
    expect(stalenessOf(covered, now)).toEqual({ verdict: 'stale', changed: [part] });
  });
  test('a change that moves the assessment with it, as every real one does, is stale too', () => {
    const now: Covered = { ...covered, revisionHash: 'revision-2', assessmentHash: 'assessment-2', outcomeHash: 'outcome-2' };
    expect(stalenessOf(covered, now)).toEqual({ verdict: 'stale', changed: ['roof', 'assessment'] });
  });
  test('nothing changed is unchanged', () => expect(stalenessOf(covered, { ...covered })).toEqual({ verdict: 'unchanged', changed: [] }));
});

describe('G2 what makes a yes stale', () => {
  const covered = yesCovers(assessed(), [], hash);
  test.each(['planHash', 'revisionHash', 'engine', 'policyHash'] as const)('another %s with the same outcome keeps it', (member) => {
    expect(stalenessOf(covered, { ...covered, [member]: 'another', assessmentHash: 'assessment-2' }).verdict).toBe('kept');
  });
  test('other conditions are another yes, whatever the outcome', () => {
    expect(stalenessOf(covered, { ...covered, conditionsHash: 'another' }).verdict).toBe('stale');
  });
  test("a neighbour's new yes never makes it stale, though the assessment and even the outcome move", () => {
    expect(stalenessOf(covered, { ...covered, assessmentHash: 'assessment-2', outcomeHash: 'outcome-2' })).toEqual({
      verdict: 'kept',
      changed: ['assessment'],
    });
  });
  test('the roof moving on flags it and leaves it standing', () => {
    leadsTo(agreed(), plainAct('markStale', SERVICE), { state: 'agreed', stale: true, staleReasons: ['roof'], standing: 'unchanged' });
    leadsTo(agreed(), plainAct('keep', SERVICE), { state: 'agreed', stale: false, standing: 'unchanged' });
    refuses(proposal(), plainAct('markStale', SERVICE), { code: 'wrong-state' });
  });
  test('while it is being checked it is stale and stands; then that alone is taken back', () => {
    const beingChecked = { action: 'markStale', actor: SERVICE, changed: ['beingChecked'] } as const;
    leadsTo(agreed(), beingChecked, { state: 'agreed', stale: true, staleReasons: ['beingChecked'], standing: 'unchanged' });
    const checked = (staleReasons: ProposalFacts['staleReasons'], stale: boolean, left: ProposalFacts['staleReasons']) =>
      leadsTo(agreed({ stale: true, staleReasons }), plainAct('keep', SERVICE), { stale, staleReasons: left, standing: 'unchanged' });
    checked(['beingChecked'], false, []);
    checked(['plan', 'beingChecked'], true, ['plan']);
    checked(['beingChecked', 'roof'], true, ['roof']);
    checked(['roof'], true, ['roof']);
  });
  test('editing an agreed plan has to be meant, and makes it stale', () => {
    const edit = { action: 'editPlan', actor: headRigger, outcomeKept: false } as const;
    for (const state of ['agreed', 'agreed_with_conditions'] as const) {
      refuses(agreed({ state }), { ...edit, unagree: false }, { code: 'needs-unagree', state });
      leadsTo(agreed({ state }), { ...edit, unagree: true }, { state, stale: true, staleReasons: ['plan'], standing: 'unchanged' });
    }
  });
  test('an edit that leaves the outcome as it is keeps the yes', () => {
    const edit = { action: 'editPlan', actor: headRigger, outcomeKept: true, unagree: false } as const;
    leadsTo(agreed(), edit, { state: 'agreed', stale: false, standing: 'unchanged' });
  });
  test('a yes that would break a neighbour is refused, and says which', () => {
    const broken = [{ ref: 'neighbour', checkIds: ['group-7'] }];
    refuses(proposal(), review(decider, 'agree', { neighboursBroken: broken }), { code: 'neighbours-would-break', broken });
  });
});

describe('G3 who submitted or last edited judges nothing', () => {
  const roles = ['technicalManager', 'decider', 'engineer', 'houseRigger', 'headRigger', 'systemDesigner'];
  const both = people.venuePerson('both', ...roles);
  const authorships: { as: string; facts: Partial<ProposalFacts> }[] = [
    {
      as: 'submitter or editor of the submission',
      facts: { submission: { number: 1, planHash: 'plan-1', authorIds: ['head rigger', 'both'] } },
    },
    { as: 'last editor', facts: { lastEditorId: 'both' } },
  ];
  const judgements = [
    'ask',
    'decline',
    'agree',
    'agreeWithConditions',
    'askOverride',
    'confirmOverride',
    'revoke',
    'liftSuspension',
    'acceptHandover',
  ] as const;
  test.each(authorships.flatMap((authorship) => judgements.map((action) => ({ ...authorship, action }))))(
    '$as: no $action',
    ({ facts, action }) => {
      const state = action === 'revoke' ? 'agreed' : 'submitted';
      const around = people.workable(state, action, both);
      leadsTo(around, plainAct(action, both), {}); // allowed but for authorship
      refuses({ ...around, ...facts }, plainAct(action, both), { code: 'author-cannot-decide', personId: 'both', action });
    },
  );
  test('each capacity alike, and each single role', () => {
    const facts = proposal({ lastEditorId: 'both' });
    refuses(facts, review(both, 'agree', { capacity: 'decider' }), { code: 'author-cannot-decide' });
    for (const role of ['technicalManager', 'decider', 'engineer']) {
      refuses(facts, review(people.venuePerson('both', role), 'agree'), { code: 'author-cannot-decide' });
    }
  });
  test('they may still stop a show and call it down', () => {
    leadsTo(agreed({ lastEditorId: 'both' }), plainAct('suspend', both), { suspended: true });
    leadsTo(agreed({ lastEditorId: 'both', now: people.DURING }), plainAct('strike', both), { state: 'struck' });
  });
  test('an answer does not count once its giver has worked on the plan', () => {
    const facts = proposal({ answers: [answer(decider, 'agree')], engineerAboveKg: 0 });
    leadsTo(facts, review(engineer, 'agree'), { state: 'agreed' });
    leadsTo({ ...facts, lastEditorId: decider.personId }, review(engineer, 'agree'), { state: 'submitted', standing: 'unchanged' });
  });
});

describe('G4 a no blocks until its giver or a documented override clears it', () => {
  const heavy = { engineerAboveKg: 100 };
  test.each(['ask', 'decline'] as const)("a required engineer's %s holds back the decider's yes", (no) => {
    const after = ({ ask: 'questions', decline: 'declined' } as const)[no];
    leadsTo(proposal(heavy), review(engineer, no), { state: after, standing: 'unchanged' });
    const facts = proposal({ ...heavy, state: after, answers: [answer(engineer, no)] });
    leadsTo(facts, review(decider, 'agree'), { state: after, standing: 'unchanged' });
    expect(metOf(facts, 'noStandingNo')).toBe('unmet');
    const both = { ...facts, answers: [...facts.answers, answer(decider, 'agree')] };
    leadsTo(both, review(secondEngineer, 'agree'), { state: after, standing: 'unchanged' });
    leadsTo(both, review(engineer, 'agree'), { state: 'agreed', standing: 'replaced' });
  });
  test("one person's yes in one capacity clears no no of theirs in the other", () => {
    const both = people.venuePerson('both capacities', 'decider', 'engineer');
    const facts = proposal({ ...heavy, state: 'questions', answers: [answer(both, 'ask', { capacity: 'engineer' })] });
    leadsTo(facts, review(both, 'agree', { capacity: 'decider' }), { state: 'questions', standing: 'unchanged' });
  });
  test('a decline outweighs a question', () => {
    leadsTo(proposal({ state: 'declined', answers: [answer(engineer, 'decline')] }), review(decider, 'ask'), { state: 'declined' });
  });
  test('a new submission does not clear it', () => {
    const asked = answer(decider, 'ask');
    const submission = { number: 2, planHash: 'plan-2', authorIds: ['head rigger'] };
    const facts = proposal({ answers: [asked], submission, workingPlanHash: 'plan-2', assessment: assessed({ planHash: 'plan-2' }) });
    leadsTo(facts, review(secondDecider, 'agree'), { state: 'submitted', standing: 'unchanged' });
    leadsTo(facts, review(decider, 'agree'), { state: 'agreed', standing: 'replaced' });
    const overruled = override({ subject: 'answer', subjectIds: [asked.id] });
    leadsTo({ ...facts, overrides: [overruled] }, review(secondDecider, 'agree'), { state: 'agreed', standing: 'replaced' });
    leadsTo({ ...facts, overrides: [{ ...overruled, confirmedBy: null }] }, review(secondDecider, 'agree'), { state: 'submitted' });
    expect(metOf({ ...facts, overrides: [overruled] }, 'noStandingNo')).toBe('overridden');
  });
  test('confirming the override lifts the state and is not itself the yes', () => {
    const asked = answer(decider, 'decline');
    const waiting = override({ subject: 'answer', subjectIds: [asked.id], askedBy: 'manager', confirmedBy: null });
    const facts = proposal({ state: 'declined', answers: [asked, answer(secondDecider, 'agree')], overrides: [waiting] });
    const confirm = { action: 'confirmOverride', actor: engineer, overrideId: 'override-1', outcomeHash: 'outcome-1' } as const;
    leadsTo(facts, confirm, { state: 'submitted', standing: 'unchanged' });
  });
  test('a no needs a reason, and that its giver has read what is on the table', () => {
    refuses(proposal(), review(decider, 'decline', { reason: ' ' }), { code: 'reason-missing' });
    refuses(proposal(), review(decider, 'ask', { assessmentHash: 'assessment-0' }), { code: 'assessment-moved-on' });
  });
  test('who hands the deciding over may still clear their own no, and only that', () => {
    const facts = proposal({ deciderId: 'second decider', answers: [answer(decider, 'ask')] });
    leadsTo(facts, review(decider, 'agree'), { state: 'submitted', standing: 'unchanged' });
    refuses({ ...facts, answers: [] }, review(decider, 'agree'), { code: 'not-yours' });
  });
});

describe('G5 a blocking comment prevents a yes', () => {
  const facts = proposal({ blockingComments: [{ id: 'comment', side: 'venue', authorId: 'manager' }] });
  test('and nothing else', () => {
    refuses(facts, review(decider, 'agree'), {
      code: 'requirements-unmet',
      unmet: [{ id: 'noBlockingComments', met: 'unmet', whoseTurn: 'venue' }],
    });
    refuses(facts, review(decider, 'agreeWithConditions'), { code: 'requirements-unmet' });
    leadsTo(facts, review(decider, 'decline'), { state: 'declined' });
    leadsTo({ ...facts, blockingComments: [] }, review(decider, 'agree'), { state: 'agreed' });
  });
  const raised = { id: 'comment', side: 'venue', authorId: 'house rigger', resolved: false } as const;
  test.each([
    { by: houseRigger, may: true },
    { by: manager, may: true },
    { by: people.venuePerson('other rigger', 'houseRigger'), may: false },
    { by: headRigger, may: false },
    { by: office, may: false },
  ])('$by.personId resolves what the venue raised: $may', ({ by, may }) => {
    const act = { action: 'resolveComment', actor: by, comment: raised } as const;
    if (may) leadsTo(facts, act, { state: 'submitted' });
    else refuses(facts, act, { code: 'not-yours' });
    refuses(facts, { ...act, comment: { ...raised, resolved: true } }, { code: 'wrong-state' });
  });
  test('the crew speaks and does not block', () => {
    const crew = people.venuePerson('crew', 'crew');
    leadsTo(agreed(), { action: 'comment', actor: crew, blocking: false }, { state: 'agreed' });
    refuses(agreed(), { action: 'comment', actor: crew, blocking: true }, { code: 'not-yours' });
    leadsTo(agreed(), { action: 'comment', actor: houseRigger, blocking: true }, { state: 'agreed' });
  });
});

describe('G6 an override is an act of two people, and reads overridden', () => {
  const over = check('a', 'over', { demand: 510 });
  const facts = proposal({ assessment: assessed({ checks: [over] }) });
  const tick = { checkId: 'a', demand: 510, capacity: 500 };
  const ask = {
    action: 'askOverride',
    actor: decider,
    subject: 'check',
    subjectIds: ['a'],
    outcomeHash: 'outcome-1',
    reason: 'Tested.',
  } as const;
  test('a hard check that is over stops a yes until it is overridden, and is ticked then', () => {
    refuses(facts, review(decider, 'agree', { ticks: [tick] }), { code: 'requirements-unmet', unmet: [{ id: 'withinHardLimits' }] });
    const overridden = { ...facts, overrides: [override()] };
    expect(metOf(overridden, 'withinHardLimits')).toBe('overridden');
    refuses(overridden, review(decider, 'agree'), { code: 'ticks-missing', missing: [tick] });
    leadsTo(overridden, review(decider, 'agree', { ticks: [tick] }), { state: 'agreed' });
  });
  test.each([
    { why: 'only one person', overrides: [override({ confirmedBy: null })] },
    { why: 'another outcome', overrides: [override({ outcomeHash: 'outcome-0' })] },
    { why: 'another check', overrides: [override({ subjectIds: ['b'] })] },
    { why: 'an answer, not a check', overrides: [override({ subject: 'answer' })] },
  ])('it does not count: $why', ({ overrides }) => {
    expect(metOf({ ...facts, overrides }, 'withinHardLimits')).toBe('unmet');
  });
  test('it lapses when either of the two takes to working on the plan, until a yes rests on it', () => {
    for (const lastEditorId of ['decider', 'engineer']) {
      expect(metOf({ ...facts, lastEditorId, overrides: [override()] }, 'withinHardLimits')).toBe('unmet');
      const rests = { ...facts, state: 'agreed', standingYes: standing(), lastEditorId, overrides: [override()] } as const;
      expect(metOf(rests, 'withinHardLimits')).toBe('overridden');
    }
  });
  test('asking', () => {
    leadsTo(facts, ask, { state: 'submitted', standing: 'unchanged' });
    refuses(facts, { ...ask, reason: '' }, { code: 'reason-missing' });
    refuses(facts, { ...ask, outcomeHash: 'outcome-0' }, { code: 'assessment-moved-on', current: 'outcome-1' });
    refuses(facts, { ...ask, subjectIds: ['a', 'b'] }, { code: 'override-not-possible', subjectIds: ['b'] });
    refuses(facts, { ...ask, subjectIds: [] }, { code: 'override-not-possible' });
    for (const soft of [check('a', 'close'), check('a', 'unknown'), check('a', 'over', { hard: false })]) {
      refuses({ ...facts, assessment: assessed({ checks: [soft] }) }, ask, { code: 'override-not-possible', subjectIds: ['a'] });
    }
    refuses(facts, { ...ask, subject: 'answer' }, { code: 'override-not-possible' });
  });
  const confirm = { action: 'confirmOverride', actor: engineer, overrideId: 'override-1', outcomeHash: 'outcome-1' } as const;
  test.each([
    { who: 'decider then engineer', asked: {}, by: engineer, may: true },
    { who: 'engineer then decider', asked: { askedBy: 'engineer', askerIsEngineer: true }, by: decider, may: true },
    { who: 'two engineers', asked: { askedBy: 'engineer', askerIsEngineer: true }, by: secondEngineer, may: true },
    { who: 'two deciders, no engineer', asked: {}, by: secondDecider, may: false },
    { who: 'the same engineer twice', asked: { askedBy: 'engineer', askerIsEngineer: true }, by: engineer, may: false },
    { who: 'an asker who has since edited', asked: { askedBy: 'head rigger' }, by: engineer, may: false },
    { who: 'confirmed already', asked: { confirmedBy: 'second engineer' }, by: engineer, may: false },
  ])('confirming: $who', ({ asked, by, may }) => {
    const waiting = { ...facts, overrides: [override({ confirmedBy: null, ...asked })] };
    if (may) leadsTo(waiting, { ...confirm, actor: by }, { state: 'submitted', standing: 'unchanged' });
    else refuses(waiting, { ...confirm, actor: by }, { code: 'override-not-possible' });
  });
  test('confirming what was asked for another outcome', () => {
    refuses({ ...facts, overrides: [override({ confirmedBy: null, outcomeHash: 'outcome-0' })] }, confirm, {
      code: 'override-not-possible',
    });
    refuses(
      { ...facts, overrides: [override({ confirmedBy: null })] },
      { ...confirm, outcomeHash: 'outcome-0' },
      { code: 'assessment-moved-on' },
    );
    refuses(facts, confirm, { code: 'override-not-possible' });
  });
});

describe('G7 a tick carries only while it covers the same', () => {
  const verdict = fc.constantFrom('close', 'unknown', 'over', 'fits' as const);
  const number = fc.option(fc.double({ min: 0, max: 1e4, noNaN: true }));
  const aCheck = fc
    .record({ id: fc.constantFrom('a', 'b', 'c', 'd'), verdict, demand: number, capacity: number, covers: fc.constantFrom('x', 'y') })
    .map(({ covers, ...rest }) => ({ ...check('', 'close'), ...rest, covers }));
  const someChecks = fc.uniqueArray(aCheck, { selector: ({ id }) => id });
  const coverHash = ({ covers }: { covers: string }) => covers;
  test('exactly those with equal numbers and an equal covered hash', () => {
    fc.assert(
      fc.property(someChecks, someChecks, (before, now) => {
        const ticks = before.map((one) => ({ checkId: one.id, demand: one.demand, capacity: one.capacity, coverHash: coverHash(one) }));
        const carried = ticksCarried(ticks, now, coverHash).map(({ checkId }) => checkId);
        for (const one of now) {
          const was = before.find(({ id }) => id === one.id);
          const same = was !== undefined && was.covers === one.covers && was.demand === one.demand && was.capacity === one.capacity;
          expect(carried.includes(one.id), one.id).toBe(same && one.verdict !== 'fits');
        }
        expect(new Set(carried).size).toBe(carried.length);
      }),
      { numRuns: 1000 },
    );
  });
});

describe('G8 a yes has a validity', () => {
  const validUntil = '2031-06-02T06:00:00.000Z';
  test.each([
    { now: people.BEFORE, until: null, status: 'notYet' },
    { now: people.SHOW.from, until: null, status: 'valid' },
    { now: '2031-06-04T05:59:59.999Z', until: null, status: 'valid' },
    { now: people.SHOW.to, until: null, status: 'ended' },
    { now: '2031-06-02T05:59:59.999Z', until: validUntil, status: 'valid' },
    { now: validUntil, until: validUntil, status: 'ended' },
    { now: people.SHOW.to, until: '2032-01-01T00:00:00.000Z', status: 'ended' },
  ])('at $now, until $until: $status', ({ now, until, status }) => {
    const facts = agreed({ now, standingYes: standing({ validUntil: until }) });
    expect(validityOf(facts)).toMatchObject({ status, from: people.SHOW.from });
    expect(metOf(facts, 'validity')).toBe(status === 'ended' ? 'unmet' : 'met');
  });
  test('nothing agreed, stale or suspended is not valid', () => {
    expect(validityOf(proposal({ now: people.DURING }))).toEqual({ status: 'none' });
    expect(validityOf(agreed({ now: people.DURING, stale: true })).status).toBe('stale');
    expect(validityOf(agreed({ now: people.DURING, stale: true, suspended: true })).status).toBe('suspended');
  });
  test('a yes does not outlast the show, nor begin after its own end', () => {
    leadsTo(proposal(), review(decider, 'agree'), { yes: { validUntil: people.SHOW.to } });
    leadsTo(proposal(), review(decider, 'agree', { validUntil }), { yes: { validUntil } });
    leadsTo(proposal(), review(decider, 'agree', { validUntil: '2032-01-01T00:00:00.000Z' }), { yes: { validUntil: people.SHOW.to } });
    refuses(proposal(), review(decider, 'agree', { validUntil: people.BEFORE }), { code: 'validity-in-the-past' });
    refuses(proposal({ now: people.AFTER }), review(decider, 'agree'), { code: 'requirements-unmet', unmet: [{ id: 'validity' }] });
  });
  test('of two yeses the earlier end counts', () => {
    const facts = proposal({ engineerAboveKg: 0, answers: [answer(decider, 'agree', { validUntil })] });
    leadsTo(facts, review(engineer, 'agree'), { state: 'agreed', yes: { validUntil } });
  });
});

describe('G10 the venue suspends at once', () => {
  test.each([manager, decider, engineer, houseRigger])('$personId alone', (actor) => {
    leadsTo(
      agreed({ now: people.DURING }),
      { action: 'suspend', actor, reason: '' },
      { state: 'agreed', suspended: true, standing: 'unchanged' },
    );
  });
  test('in every open state, and no yes passes until it is lifted', () => {
    for (const state of ['submitted', 'questions', 'declined'] as const) {
      leadsTo(proposal({ state }), plainAct('suspend', houseRigger), { state, suspended: true });
      refuses(proposal({ state, suspended: true }), review(decider, 'agree'), {
        code: 'requirements-unmet',
        unmet: [{ id: 'notSuspended' }],
      });
    }
  });
  test('the house rigger does not lift it', () => {
    refuses(agreed({ suspended: true }), plainAct('liftSuspension', houseRigger), { code: 'not-yours' });
    leadsTo(agreed({ suspended: true }), plainAct('liftSuspension', engineer), { suspended: false });
  });
  test('twice, or lifting what is not suspended, is refused', () => {
    refuses(agreed({ suspended: true }), plainAct('suspend', manager), { code: 'wrong-state', action: 'suspend' });
    refuses(agreed(), plainAct('liftSuspension', manager), { code: 'wrong-state', action: 'liftSuspension' });
  });
});

describe('G11 handing the deciding over takes both', () => {
  const offer = { action: 'offerHandover', actor: decider, to: secondDecider } as const;
  test('offered by one, taken by the other, and from then on theirs alone', () => {
    leadsTo(proposal(), offer, { handoverTo: 'second decider', deciderId: null });
    const asked = proposal({ handoverTo: 'second decider' });
    leadsTo(asked, review(decider, 'agree'), { state: 'agreed' }); // until it is taken
    refuses(asked, { action: 'acceptHandover', actor: manager }, { code: 'handover-not-possible' });
    leadsTo(asked, { action: 'acceptHandover', actor: secondDecider }, { handoverTo: null, deciderId: 'second decider' });
    const handed = proposal({ deciderId: 'second decider' });
    refuses(handed, review(decider, 'agree'), { code: 'not-yours' });
    refuses(handed, review(manager, 'agree'), { code: 'not-yours' });
    leadsTo(handed, review(secondDecider, 'agree'), { state: 'agreed' });
    leadsTo(handed, review(engineer, 'decline'), { state: 'declined' });
  });
  test('a yes of whoever decided before does not count any more', () => {
    const facts = proposal({ engineerAboveKg: 0, deciderId: 'second decider', answers: [answer(decider, 'agree')] });
    leadsTo(facts, review(engineer, 'agree'), { state: 'submitted', standing: 'unchanged' });
  });
  test.each([
    { who: 'oneself', to: decider },
    { who: 'somebody without the role', to: engineer },
    { who: 'the touring side', to: people.tourPerson('x', 'decider') },
    { who: 'an author', to: people.venuePerson('head rigger', 'decider') },
  ])('not to $who', ({ to }) => refuses(proposal(), { ...offer, to }, { code: 'handover-not-possible', personId: to.personId }));
  test('by the person named or the technical manager', () => {
    const named = proposal({ deciderId: 'second decider' });
    refuses(named, { ...offer, to: people.venuePerson('third', 'decider') }, { code: 'handover-not-possible' });
    leadsTo(named, { ...offer, actor: manager, to: decider }, { handoverTo: 'decider', deciderId: 'second decider' });
    leadsTo(named, { ...offer, actor: secondDecider, to: decider }, { handoverTo: 'decider' });
  });
  test('nothing to take', () => refuses(proposal(), { action: 'acceptHandover', actor: decider }, { code: 'wrong-state' }));
});

describe('G12 the roof is handed back when the show is struck', () => {
  const facts = agreed({ now: people.DURING });
  test('once begun it is struck, not withdrawn or taken back', () => {
    refuses(agreed(), plainAct('strike', houseRigger), { code: 'wrong-state', action: 'strike' });
    for (const state of ['agreed', 'agreed_with_conditions', 'submitted', 'questions', 'declined', 'drafting'] as const) {
      refuses({ ...facts, state }, plainAct('withdraw', headRigger), { code: 'may-be-hanging', since: people.SHOW.from });
      refuses({ ...facts, state }, plainAct('revoke', manager), { code: 'may-be-hanging', since: people.SHOW.from });
      leadsTo({ ...facts, state, suspended: true, stale: true }, plainAct('strike', houseRigger), {
        state: 'struck',
        standing: 'ended',
        suspended: false,
        stale: false,
      });
    }
    leadsTo({ ...facts, now: people.SHOW.from }, plainAct('strike', manager), { state: 'struck' });
    refuses({ ...facts, now: people.SHOW.from }, plainAct('withdraw', office), { code: 'may-be-hanging' });
    leadsTo({ ...facts, now: '2031-06-01T05:59:59.999Z' }, plainAct('withdraw', office), { state: 'withdrawn', standing: 'ended' });
  });
  test('the interval is that of the yes: moving the dates of the show takes nothing down', () => {
    const moved = { from: '2031-09-01T06:00:00.000Z', to: '2031-09-04T06:00:00.000Z' };
    refuses({ ...facts, show: moved }, plainAct('withdraw', headRigger), { code: 'may-be-hanging', since: people.SHOW.from });
    leadsTo({ ...facts, show: moved }, plainAct('strike', houseRigger), { state: 'struck' });
  });
  test('past its end and not struck it still counts, and is overdue', () => {
    const late = agreed({ now: people.AFTER });
    expect(isOverdue(late)).toBe(true);
    expect(isOverdue(facts)).toBe(false);
    expect(whatCounts(late)).toEqual({ agreedSubmission: 1, submittedSubmission: null });
    leadsTo(late, plainAct('strike', decider), { state: 'struck', standing: 'ended' });
  });
  test('what was never agreed is not struck', () =>
    refuses(proposal({ now: people.DURING }), plainAct('strike', manager), { code: 'wrong-state' }));
});

describe('G13 the ticks, and the assessment that was read', () => {
  const checks = [check('close', 'close'), check('unknown', 'unknown'), check('advice', 'over', { hard: false, demand: 700 })];
  const facts = proposal({ assessment: assessed({ checks }) });
  const ticks = [
    { checkId: 'close', demand: 480, capacity: 500 },
    { checkId: 'unknown', demand: null, capacity: null },
    { checkId: 'advice', demand: 700, capacity: 500 },
  ];
  test('every check that does not simply fit, each with its numbers', () => {
    refuses(facts, review(engineer, 'agree'), { code: 'ticks-missing', missing: ticks, differing: [] });
    leadsTo(facts, review(engineer, 'agree', { ticks }), { state: 'submitted' });
    leadsTo(facts, review(engineer, 'agree', { ticks: ticks.slice(1), carriedTicks: ticks.slice(0, 1) }), { state: 'submitted' });
    for (const [index, tick] of ticks.entries()) {
      const others = ticks.filter((_, other) => other !== index);
      refuses(facts, review(engineer, 'agree', { ticks: others }), { code: 'ticks-missing', missing: [tick], differing: [] });
    }
  });
  test('another number is no tick, nor is one for what is not there', () => {
    const wrong = { checkId: 'close', demand: 479, capacity: 500 };
    refuses(facts, review(engineer, 'agree', { ticks: [wrong, ...ticks.slice(1)] }), {
      code: 'ticks-missing',
      missing: [ticks[0]],
      differing: [wrong],
    });
    refuses(facts, review(engineer, 'agree', { ticks: [...ticks, wrong] }), { code: 'ticks-missing', missing: [], differing: [wrong] });
    const stray = { checkId: 'gone', demand: null, capacity: null };
    refuses(facts, review(engineer, 'agree', { ticks: [...ticks, stray] }), { code: 'ticks-missing', differing: [stray] });
  });
  test('each of those who say yes ticks for themselves', () => {
    const decided = { ...facts, answers: [recorded(review(decider, 'agree', { ticks }))] };
    refuses(decided, review(engineer, 'agree'), { code: 'ticks-missing' });
    leadsTo(decided, review(engineer, 'agree', { ticks }), { state: 'agreed' });
  });
  test('an unknown hard check asks for an engineer', () => {
    expect(metOf(facts, 'unknownsDecided')).toBe('unmet');
    leadsTo(facts, review(decider, 'agree', { ticks }), { state: 'submitted', standing: 'unchanged' });
    refuses(facts, review(decider, 'agree', { ticks, capacity: 'engineer' }), { code: 'not-yours' });
    const advisory = proposal({ assessment: assessed({ checks: [check('unknown', 'unknown', { hard: false })] }) });
    leadsTo(advisory, review(decider, 'agree', { ticks: ticks.slice(1, 2) }), { state: 'agreed' });
  });
  test.each([
    { totalMassKg: 5000, engineerAboveKg: 5000, next: 'agreed' },
    { totalMassKg: 5000.001, engineerAboveKg: 5000, next: 'submitted' },
    { totalMassKg: 9e9, engineerAboveKg: null, next: 'agreed' },
  ])('$totalMassKg kg against $engineerAboveKg: $next', ({ totalMassKg, engineerAboveKg, next }) => {
    leadsTo(proposal({ engineerAboveKg, assessment: assessed({ totalMassKg }) }), review(decider, 'agree'), { state: next });
  });
});

describe('G14 only what was computed on the data as they are is agreed to', () => {
  test('an older assessment cannot be agreed to', () => {
    const facts = proposal({ assessment: assessed({ assessmentHash: 'assessment-2' }) });
    refuses(facts, review(decider, 'agree'), { code: 'assessment-moved-on', sent: 'assessment-1', current: 'assessment-2' });
  });
  test('a yes to an older assessment is no part of a complete one', () => {
    const facts = proposal({ engineerAboveKg: 0, answers: [answer(decider, 'agree', { assessmentHash: 'assessment-0' })] });
    leadsTo(facts, review(engineer, 'agree'), { state: 'submitted', standing: 'unchanged' });
    leadsTo({ ...facts, answers: [answer(decider, 'agree')] }, review(engineer, 'agree'), { state: 'agreed', standing: 'replaced' });
  });
  test('nor is a yes to an earlier submission, though the very same was submitted again', () => {
    const again = { submission: { number: 2, planHash: 'plan-1', authorIds: ['head rigger'] }, engineerAboveKg: 0 };
    leadsTo(proposal({ ...again, answers: [answer(decider, 'agree')] }), review(engineer, 'agree'), {
      state: 'submitted',
      standing: 'unchanged',
    });
  });
  test.each([
    { what: 'an older revision', rest: { latestRevisionHash: 'revision-2' }, id: 'roofCurrent' },
    { what: 'another plan', rest: { assessment: assessed({ planHash: 'plan-0' }) }, id: 'roofCurrent' },
    { what: 'a plan that has been changed since', rest: { state: 'questions', workingPlanHash: 'plan-2' }, id: 'planSubmitted' },
  ] as const)('$what is not agreed to', ({ rest, id }) => {
    refuses(proposal(rest), review(decider, 'agree'), { code: 'requirements-unmet', unmet: [{ id }] });
  });
  test('nothing computed is not agreed to', () => {
    refuses(proposal({ assessment: null }), review(decider, 'agree'), { code: 'assessment-moved-on', current: null });
  });
});

describe('G17 what counts as hanging', () => {
  const two = { number: 2, planHash: 'plan-2', authorIds: ['head rigger'] };
  test('a stale yes still fills the roof, whatever flags it carries', () => {
    expect(whatCounts(agreed({ stale: true, suspended: true }))).toEqual({ agreedSubmission: 1, submittedSubmission: null });
  });
  test('a resubmitted plan counts as submitted beside the standing yes, until its own yes replaces it', () => {
    const stale = agreed({ stale: true, staleReasons: ['plan'], workingPlanHash: 'plan-2' });
    leadsTo(stale, plainAct('submit', headRigger), { state: 'submitted', standing: 'unchanged', stale: true });
    const again = proposal({
      submission: two,
      workingPlanHash: 'plan-2',
      assessment: assessed({ planHash: 'plan-2', assessmentHash: 'assessment-2' }),
      standingYes: standing(),
      stale: true,
      staleReasons: ['plan'],
      answers: [answer(decider, 'agree')],
    });
    expect(whatCounts(again)).toEqual({ agreedSubmission: 1, submittedSubmission: 2 });
    leadsTo(again, review(decider, 'ask', { assessmentHash: 'assessment-2' }), { state: 'questions', standing: 'unchanged', stale: true });
    leadsTo(again, review(decider, 'decline', { assessmentHash: 'assessment-2' }), { state: 'declined', standing: 'unchanged' });
    leadsTo(again, plainAct('editPlan', headRigger), { state: 'drafting', standing: 'unchanged' });
    leadsTo(again, review(decider, 'agree', { assessmentHash: 'assessment-2' }), {
      state: 'agreed',
      standing: 'replaced',
      stale: false,
      staleReasons: [],
    });
  });
  test.each([
    { state: 'drafting', submittedSubmission: null },
    { state: 'submitted', submittedSubmission: 2 },
    { state: 'questions', submittedSubmission: 2 },
    { state: 'declined', submittedSubmission: null },
  ] as const)('a newer plan when $state', ({ state, submittedSubmission }) => {
    expect(whatCounts(proposal({ state, submission: two, standingYes: standing() }))).toEqual({ agreedSubmission: 1, submittedSubmission });
  });
  test('withdrawn, struck or taken back on record, it counts no more', () => {
    leadsTo(agreed(), plainAct('withdraw', headRigger), { state: 'withdrawn', standing: 'ended' });
    leadsTo(agreed(), plainAct('revoke', manager), {
      state: 'declined',
      standing: 'ended',
      records: { answer: 'decline', capacity: 'decider', submissionNumber: 1 },
    });
    leadsTo(proposal({ submission: two, standingYes: standing() }), plainAct('revoke', engineer), {
      state: 'submitted',
      standing: 'ended',
      records: { capacity: 'engineer', submissionNumber: 1 },
    });
    refuses(agreed(), { action: 'revoke', actor: manager, reason: '' }, { code: 'reason-missing' });
    refuses(proposal(), plainAct('revoke', manager), { code: 'wrong-state' });
    expect(whatCounts(proposal({ state: 'withdrawn' }))).toEqual({ agreedSubmission: null, submittedSubmission: null });
  });
  test('taking a yes back blocks the same yes until the taker answers anew', () => {
    const revoked = proposal({ state: 'declined', answers: [answer(decider, 'agree'), answer(manager, 'decline')] });
    leadsTo(revoked, review(decider, 'agree'), { state: 'declined', standing: 'unchanged' });
    leadsTo(revoked, review(manager, 'agree'), { state: 'agreed', standing: 'replaced' });
  });
});

describe('submitting and conditions', () => {
  test('what is agreed and unchanged is not submitted again; what has expired is', () => {
    refuses(agreed(), plainAct('submit', headRigger), { code: 'wrong-state', action: 'submit' });
    leadsTo(agreed({ standingYes: standing({ validUntil: '2031-02-01T00:00:00.000Z' }) }), plainAct('submit', headRigger), {
      state: 'submitted',
    });
    leadsTo(agreed({ stale: true }), plainAct('submit', headRigger), { state: 'submitted' });
    refuses(agreed({ suspended: true }), plainAct('submit', headRigger), { code: 'wrong-state' });
  });
  test('nothing is submitted for a show that is over', () => {
    refuses(proposal({ state: 'drafting', now: people.AFTER }), plainAct('submit', headRigger), { code: 'wrong-state' });
  });
  test('a plan edited under review goes back to drafting', () => {
    leadsTo(proposal(), plainAct('editPlan', people.designer), { state: 'drafting', stale: false });
  });
  test('conditions belong to a yes with conditions, of whichever capacity', () => {
    refuses(proposal(), review(decider, 'agreeWithConditions', { conditions: [] }), { code: 'conditions-do-not-match', count: 0 });
    refuses(proposal(), review(decider, 'agree', { conditions: [condition()] }), { code: 'conditions-do-not-match', count: 1 });
    leadsTo(proposal(), review(decider, 'agreeWithConditions'), { state: 'agreed_with_conditions', yes: { conditions: [condition()] } });
    const byEngineer = answer(engineer, 'agreeWithConditions', { conditions: [condition('No loads on bay 4.'), condition()] });
    const facts = proposal({ engineerAboveKg: 0, answers: [byEngineer] });
    leadsTo(facts, review(decider, 'agree'), {
      state: 'agreed_with_conditions',
      yes: { conditions: [condition('No loads on bay 4.'), condition()] },
    });
    const twice = step(facts, review(decider, 'agreeWithConditions'));
    expect(twice.ok && twice.value.yes?.conditions).toHaveLength(2);
  });
});
