import { expect, test } from 'vitest';
import type { AgreementAction } from '../../src/domain/agreement/acts.ts';
import { AGREEMENT_ACTIONS } from '../../src/domain/agreement/acts.ts';
import type { ProposalState } from '../../src/domain/agreement/facts.ts';
import { PROPOSAL_STATES } from '../../src/domain/agreement/facts.ts';
import type { Seat } from '../../src/domain/agreement/parties.ts';
import { SEATS } from '../../src/domain/agreement/parties.ts';
import { step } from '../../src/domain/agreement/step.ts';
import { TRANSITIONS } from '../../src/domain/agreement/transitions.ts';
import { plainAct, sitting, workable } from '../support/agreement-cases.ts';

// Written by hand from the rules. Letters are the states that may follow; a dot is "not in this state".
const LETTERS: Record<string, ProposalState> = {
  d: 'drafting',
  s: 'submitted',
  q: 'questions',
  a: 'agreed',
  c: 'agreed_with_conditions',
  n: 'declined',
  w: 'withdrawn',
  x: 'struck',
};
const NEXT = `
                     drafting submitted questions agreed agreed_with_conditions declined withdrawn struck
editPlan             d        d         q         a      c                      n        .         .
submit               s        .         s         s      s                      s        .         .
ask                  .        qn        qn        .      .                      qn       .         .
decline              .        n         n         .      .                      n        .         .
agree                .        acsqn     acsqn     ac     ac                     acsqn    .         .
agreeWithConditions  .        csqn      csqn      ac     c                      csqn     .         .
withdraw             w        w         w         w      w                      w        .         .
revoke               d        s         q         n      n                      n        .         .
suspend              d        s         q         a      c                      n        .         .
liftSuspension       d        s         q         a      c                      n        .         .
strike               x        x         x         x      x                      x        .         .
askOverride          .        s         q         .      .                      n        .         .
confirmOverride      .        s         qs        .      .                      nqs      .         .
offerHandover        d        s         q         a      c                      n        .         .
acceptHandover       d        s         q         a      c                      n        .         .
comment              d        s         q         a      c                      n        .         .
resolveComment       d        s         q         a      c                      n        .         .
markStale            d        s         q         a      c                      n        .         .
keep                 d        s         q         a      c                      n        .         .
`;
// y: yes; a: where it is agreed; a dot: never.
const WHO = `
                     technicalManager decider engineer houseRigger crew administrator headRigger systemDesigner productionOffice administrator service
editPlan             .                .       .        .           .    .             y          y              .                .             .
submit               .                .       .        .           .    .             y          .              .                .             .
ask                  y                y       y        .           .    .             .          .              .                .             .
decline              y                y       y        .           .    .             .          .              .                .             .
agree                y                y       y        .           .    .             .          .              .                .             .
agreeWithConditions  y                y       y        .           .    .             .          .              .                .             .
withdraw             .                .       .        .           .    .             y          .              y                .             .
revoke               y                y       y        .           .    .             .          .              .                .             .
suspend              y                y       y        y           .    .             .          .              .                .             .
liftSuspension       y                y       y        .           .    .             .          .              .                .             .
strike               y                y       .        y           .    .             .          .              .                .             .
askOverride          y                y       y        .           .    .             .          .              .                .             .
confirmOverride      y                y       y        .           .    .             .          .              .                .             .
offerHandover        y                y       .        .           .    .             .          .              .                .             .
acceptHandover       y                y       .        .           .    .             .          .              .                .             .
comment              y                y       y        y           a    .             y          y              y                .             .
resolveComment       y                y       y        y           a    .             y          y              y                .             .
markStale            .                .       .        .           .    .             .          .              .                .             y
keep                 .                .       .        .           .    .             .          .              .                .             y
`;

const rowsOf = (table: string): Map<string, string[]> =>
  new Map(
    table
      .trim()
      .split('\n')
      .slice(1)
      .map((line) => line.split(/ +/))
      .map(([action, ...cells]) => [action!, cells]),
  );
const nextRows = rowsOf(NEXT);
const whoRows = rowsOf(WHO);

type Expected = { allowed: true; next: ProposalState[] } | { allowed: false; code: 'not-yours' | 'wrong-state' };
function expectedCell(state: ProposalState, action: AgreementAction, seat: Seat): Expected {
  const who = whoRows.get(action)![SEATS.indexOf(seat)]!;
  const letters = nextRows.get(action)![NEXT_COLUMNS.indexOf(state)]!;
  const agreed = state === 'agreed' || state === 'agreed_with_conditions';
  if (who === '.' || (who === 'a' && !agreed)) return { allowed: false, code: 'not-yours' };
  if (letters === '.') return { allowed: false, code: 'wrong-state' };
  return { allowed: true, next: [...letters].map((letter) => LETTERS[letter]!) };
}
const NEXT_COLUMNS = NEXT.trim().split('\n')[0]!.trim().split(/ +/) as ProposalState[];

test('the table names every state, act and actor', () => {
  expect(NEXT_COLUMNS).toEqual([...PROPOSAL_STATES]);
  expect([...nextRows.keys()]).toEqual([...AGREEMENT_ACTIONS]);
  expect([...whoRows.keys()]).toEqual([...AGREEMENT_ACTIONS]);
  expect([PROPOSAL_STATES.length, AGREEMENT_ACTIONS.length, SEATS.length]).toEqual([8, 19, 11]);
  for (const row of [...nextRows.values()]) expect(row).toHaveLength(8);
  for (const row of [...whoRows.values()]) expect(row).toHaveLength(11);
});

const rows = PROPOSAL_STATES.flatMap((state) => AGREEMENT_ACTIONS.map((action) => ({ state, action })));

test.each(rows)('$action when $state: each actor alone', ({ state, action }) => {
  for (const seat of SEATS) {
    const expected = expectedCell(state, action, seat);
    const cell = TRANSITIONS[state][action][seat];
    const facts = workable(state, action, sitting(seat));
    const before = structuredClone(facts);
    const done = step(facts, plainAct(action, sitting(seat)));
    expect(facts, seat).toEqual(before);
    if (expected.allowed) {
      expect({ ...cell, next: [...(cell.allowed ? cell.next : [])].sort() }, seat).toEqual({
        allowed: true,
        next: [...expected.next].sort(),
      });
      expect(done, seat).toMatchObject({ ok: true });
      expect(expected.next, seat).toContain(done.ok && done.value.state);
    } else {
      expect(cell, seat).toMatchObject({ allowed: false, code: expected.code });
      expect(cell.allowed ? '' : cell.why, seat).toMatch(/^[A-Z].+\.$/);
      expect(done, seat).toMatchObject({ ok: false, error: { code: expected.code, action, why: cell.allowed ? '' : cell.why } });
    }
  }
});

test('an actor may what any of their seats may, and only on the side they act for', () => {
  const both = { side: 'venue', personId: 'both', roles: ['crew', 'houseRigger'] } as const;
  expect(step(workable('agreed', 'suspend', both), plainAct('suspend', both))).toMatchObject({ ok: true });
  const wrongSide = { side: 'venue', personId: 'wrong side', roles: ['headRigger', 'systemDesigner'] } as const;
  const refused = { ok: false, error: { code: 'not-yours' } };
  expect(step(workable('drafting', 'submit', wrongSide), plainAct('submit', wrongSide))).toMatchObject(refused);
  const nobody = { side: 'tour', personId: 'nobody', roles: [] } as const;
  expect(step(workable('drafting', 'editPlan', nobody), plainAct('editPlan', nobody))).toMatchObject(refused);
});

test('the venue does nothing to a draft that was never put to it', () => {
  for (const action of ['suspend', 'comment', 'offerHandover'] as const) {
    const manager = sitting('venue:technicalManager');
    const facts = { ...workable('drafting', action, manager), submission: null, standingYes: null };
    expect(step(facts, plainAct(action, manager))).toMatchObject({ ok: false, error: { code: 'wrong-state', state: 'drafting', action } });
  }
});
