import fc from 'fast-check';
import { expect, test } from 'vitest';
import { EMPTY_PLAN, type Plan } from '../../../src/domain/plan/plan.ts';
import { hangUnder } from '../../../src/web/plan-editing/new-hang.ts';
import { differences, mergePlans } from '../../../src/web/plan-editing/merge-plans.ts';
import { pointAt } from '../../support/scene.ts';

const POINT = pointAt('A', 0, 0, 1000, 'a');
/** A plan of single picks with these labels by id; the first letter of an id is its place. */
const planOf = (labels: Record<string, string>): Plan =>
  Object.entries(labels).reduce((plan, [id, label]) => {
    const made = hangUnder(plan, POINT, 'single', label, () => `${id}-${label}`);
    return { ...made.plan, hangs: made.plan.hangs.map((hang) => (hang.id === made.hangId ? { ...hang, id } : hang)) };
  }, EMPTY_PLAN);
const labelsOf = ({ hangs }: Plan) => Object.fromEntries(hangs.map(({ id, label }) => [id, label]));

test('what one side alone changed, added or took out is taken from it', () => {
  const merge = mergePlans(
    planOf({ a: 'A', b: 'B', c: 'C' }),
    planOf({ a: 'A mine', b: 'B', d: 'D' }),
    planOf({ a: 'A', b: 'B theirs', c: 'C', e: 'E' }),
  );
  expect(merge.hangs).toEqual([]);
  expect(merge.theirsAlone).toEqual(['B theirs', 'E']);
  expect(labelsOf(merge.together(() => 'theirs'))).toEqual({ a: 'A mine', b: 'B theirs', d: 'D', e: 'E' });
});

test('what both changed differently clashes, with what it was before; a removal against a change too', () => {
  const merge = mergePlans(planOf({ a: 'A', b: 'B' }), planOf({ a: 'mine' }), planOf({ a: 'theirs', b: 'B theirs' }));
  expect(merge.hangs.map(({ key, base, mine, theirs }) => [key, base?.label, mine?.label, theirs?.label])).toEqual([
    ['a', 'A', 'mine', 'theirs'],
    ['b', 'B', undefined, 'B theirs'],
  ]);
  expect(labelsOf(merge.together((key) => (key === 'a' ? 'mine' : 'theirs')))).toEqual({ a: 'mine', b: 'B theirs' });
  expect(labelsOf(merge.together(() => 'mine'))).toEqual({ a: 'mine' });
});

test('whatever two people did, the same change by both is no clash, and no choice loses what one alone did', () => {
  const label = fc.constantFrom('same', 'mine', 'theirs', undefined);
  const plan = fc
    .record({ a: label, b: label, c: label })
    .map((labels) => planOf(JSON.parse(JSON.stringify(labels)) as Record<string, string>));
  fc.assert(
    fc.property(plan, plan, plan, fc.constantFrom('mine' as const, 'theirs' as const), (base, mine, theirs, side) => {
      const merge = mergePlans(base, mine, theirs);
      const [was, own, other, now] = [base, mine, theirs, merge.together(() => side)].map(labelsOf);
      for (const id of ['a', 'b', 'c']) {
        const wanted = own![id] === other![id] || other![id] === was![id] ? own![id] : own![id] === was![id] ? other![id] : null;
        if (wanted === null) {
          expect(merge.hangs.map(({ key }) => key)).toContain(id);
          expect(now![id]).toBe((side === 'mine' ? own! : other!)[id]);
        } else expect(now![id]).toBe(wanted);
      }
      // Every piece of equipment that a hang names is there.
      const there = merge.together(() => side);
      for (const { pickUps } of there.hangs)
        for (const { hoist } of pickUps) if (hoist) expect(there.equipment).toHaveProperty([hoist.equipment]);
    }),
    { numRuns: 200 },
  );
});

test('differences name each fact by its place, counted from one', () => {
  const of = (massKg: number | null, label = 'A') => ({ label, items: [{ what: 'Speaker', massKg }] });
  const box = (bottomZM: number) => ({ box: { bottomZM } });
  expect(differences(box(1), box(2), box(1))).toEqual([{ path: 'box / bottom z [m]', values: ['1', '2', '1'] }]);
  expect(differences(of(null), of(60), of(60, 'B'))).toEqual([
    { path: 'label', values: ['A', 'A', 'B'] },
    { path: 'items / 1 / mass [kg]', values: ['', '60', '60'] },
  ]);
});
