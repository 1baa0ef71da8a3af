import fc from 'fast-check';
import { expect, test } from 'vitest';
import { assess } from '../../src/domain/assessment/assess.ts';
import type { Assessment, NeighbourLoad } from '../../src/domain/assessment/assessment.ts';
import { coverHash, orderedText } from '../../src/domain/assessment/hashes.ts';
import { AssessmentMemory } from '../../src/domain/assessment/memory.ts';
import { largestSum } from '../../src/domain/assessment/sideways.ts';
import type { Json } from '../../src/domain/foundation/canonical.ts';
import { canonicalBytes } from '../../src/domain/foundation/canonical.ts';
import type { Hang, MassItem } from '../../src/domain/plan/plan.ts';
import type { Limit } from '../../src/domain/roof/structure.ts';
import { assessed, BEFORE, dead, direct, inputOf, neighbour, pickUp, planOf, roofOf, sha256, single } from './plan-samples.ts';
import { group, point, terms } from './roof-samples.ts';

const POINTS = ['p1', 'p2', 'p3'];
const weights = [1, -0.5, 2].map((factor, index) => ({ pointId: POINTS[index] ?? '', factor }));
const weighted: Limit = { id: 'w1', label: 'w1', hard: true, terms, kind: 'weighted', weights, maxKg: 1500, minKg: -200 };
const roof = roofOf({ points: POINTS.map((id) => point(id, { xM: 2 })), limits: [group('g1', POINTS, 1500), weighted] });

const hour = fc.integer({ min: 0, max: 22 }).map((h) => `2026-03-11T${String(h).padStart(2, '0')}:00:00.000Z`);
const interval = fc.tuple(hour, hour).map(([a, b]) => ({ from: a < b ? a : b, to: a < b ? b : '2026-03-11T23:00:00.000Z' }));
const massKg = fc.integer({ min: 0, max: 900 });
const onPoint = fc.constantFrom(...POINTS);
const aHang = fc.record({ pointId: onPoint, massKg, up: fc.option(interval), cue: fc.constantFrom(null, '1', '2'), isDead: fc.boolean() });
const hangs = fc.array(aHang, { minLength: 1, maxLength: 5 }).map((list) =>
  list.map(({ pointId, massKg: kg, up, cue, isDead }, index): Hang => {
    const id = `h${index}`;
    if (isDead)
      return dead(id, pointId, kg, { up, cue, pickUps: [{ ...dead(id, pointId, kg).pickUps[0]!, position: { xM: 2, yM: 0, zM: 6 } }] });
    return single(id, {
      up,
      cue,
      items: [{ what: 'x', count: 1, massKg: kg, basis: 'weighed' }],
      pickUps: [pickUp(`${id}-1`, { attachment: direct(pointId) })],
    });
  }),
);
const neighbours = fc
  .array(fc.record({ pointId: onPoint, massKg, span: interval }), { maxLength: 4 })
  .map((list) =>
    list.map(({ pointId, massKg: kg, span }, index): NeighbourLoad =>
      neighbour(pointId, kg, { ...span, ref: `n${index}`, hangId: `nh${index}` }),
    ),
  );

const RANK = { fits: 0, close: 1, unknown: 2, over: 3 };
const SLACK = 1e-9; // relative, of masses up to 10 t: rounding only

/** Every check of `before` is in `after`, and not further from its limit there. Gathered, since an assertion for each is slow. */
function expectNoRelief(before: Assessment, after: Assessment): void {
  const later = new Map(after.outcome.checks.map((check) => [check.id, check]));
  const relieved = before.outcome.checks.filter((check) => {
    const other = later.get(check.id);
    if (other === undefined || RANK[other.verdict] < RANK[check.verdict]) return true;
    const sense = check.id.endsWith(':least') ? -1 : 1;
    return sense * (other.demand ?? 0) < sense * (check.demand ?? 0) - SLACK * 10_000;
  });
  expect(relieved).toEqual([]);
}

test('a neighbour never helps', () => {
  fc.assert(
    fc.property(hangs, neighbours, neighbours, (list, some, more) => {
      const plan = planOf(list);
      const others = more.map((load) => ({ ...load, ref: `m${load.ref}` }));
      expectNoRelief(assessed(plan, { roof, neighbours: some }), assessed(plan, { roof, neighbours: [...some, ...others] }));
    }),
    { numRuns: 150 },
  );
});

test('a heavier load never takes a check further from its limit', () => {
  fc.assert(
    fc.property(hangs, neighbours, fc.nat({ max: 4 }), fc.integer({ min: 1, max: 500 }), (list, others, which, extraKg) => {
      const index = which % list.length;
      const extra: MassItem = { what: 'more', count: 1, massKg: extraKg, basis: 'weighed' };
      const heavier = list.map((hang, at) => (at === index ? { ...hang, items: [...hang.items, extra] } : hang));
      expectNoRelief(assessed(planOf(list), { roof, neighbours: others }), assessed(planOf(heavier), { roof, neighbours: others }));
    }),
    { numRuns: 150 },
  );
});

test('one more hang never takes a check further from its limit', () => {
  fc.assert(
    fc.property(hangs, neighbours, (list, others) => {
      const fewer = list.slice(1);
      expectNoRelief(assessed(planOf(fewer), { roof, neighbours: others }), assessed(planOf(list), { roof, neighbours: others }));
    }),
    { numRuns: 100 },
  );
});

test('taking a datum away never turns a check into a pass', () => {
  fc.assert(
    fc.property(hangs, neighbours, fc.nat({ max: 4 }), (list, others, which) => {
      const index = which % list.length;
      const poorer = list.map((hang, at) =>
        at === index ? { ...hang, items: hang.items.map((item) => ({ ...item, massKg: null })) } : hang,
      );
      const before = assessed(planOf(list), { roof, neighbours: others });
      const after = assessed(planOf(poorer), { roof, neighbours: others });
      const { attachment } = list[index]!.pickUps[0]!;
      const pointId = attachment.kind === 'direct' ? attachment.pointId : '';
      expect(['unknown', 'over']).toContain(after.outcome.verdict);
      const touched = after.outcome.checks.filter(
        (check) => check.limitId !== null || (check.pointId === pointId && check.kind === 'pointDown'),
      );
      expect(touched.filter(({ verdict }) => verdict === 'fits' || verdict === 'close')).toEqual([]);
      expect(before.outcome.checks.length).toBe(after.outcome.checks.length);
    }),
    { numRuns: 100 },
  );
});

test('the same input gives the same bytes, whatever the order of hangs and neighbours', () => {
  const shuffled = <T>(items: readonly T[], seed: number): T[] =>
    items
      .map((item, index) => ({ item, key: ((index + 1) * 7919 * (seed + 1)) % 101 }))
      .sort((a, b) => a.key - b.key)
      .map(({ item }) => item);
  fc.assert(
    fc.property(hangs, neighbours, fc.nat({ max: 50 }), (list, others, seed) => {
      const one = assessed(planOf(list), { roof, neighbours: others });
      const other = assessed(planOf(shuffled(list, seed)), { roof, neighbours: shuffled(others, seed) });
      expect(canonicalBytes(other)).toBe(canonicalBytes(one));
    }),
    { numRuns: 100 },
  );
});

test('the outcome hash is that of the canonical bytes of its parts', () => {
  fc.assert(
    fc.property(hangs, neighbours, (list, others) => {
      const { outcome, outcomeHash } = assessed(planOf(list), { roof, neighbours: others });
      const { checks, loads: pointLoads, totals, verdict } = outcome;
      const hashes = (parts: readonly Json[]) => parts.map((part) => sha256(canonicalBytes(part)));
      expect(outcomeHash).toBe(sha256(canonicalBytes({ checks: hashes(checks), loads: hashes(pointLoads), totals, verdict })));
    }),
    { numRuns: 50 },
  );
});

test('in which order the show that is given names its ends is in no hash', () => {
  const plan = planOf([dead('a', 'p1', 400)]);
  const { show } = inputOf(plan);
  const turned = { to: show.to, from: show.from };
  expect(assessed(plan, { roof, show: turned }).outcomeHash).toBe(assessed(plan, { roof, show }).outcomeHash);
});

test('a number that is not finite never leaves, and half a surrogate pair is in no hash', () => {
  const check = assessed(planOf([dead('a', 'p1', 400)]), { roof }).outcome.checks[0]!;
  expect(() => orderedText({ ...check, demand: Number.NaN })).toThrow();
  expect(() => orderedText({ ...check, counted: [{ amount: Infinity, from: 'plan', id: 'a', pointId: null }] })).toThrow();
  expect(() => orderedText({ ...check, hangId: '\ud800' })).toThrow();
  expect(orderedText({ ...check, hangId: '\\ud800' })).toBe(canonicalBytes({ ...check, hangId: '\\ud800' }));
});

test('what is kept from earlier assessments changes no byte of a later one', () => {
  const edit = fc.record({ which: fc.nat({ max: 4 }), with: hangs, keep: fc.nat({ max: 4 }) });
  fc.assert(
    fc.property(hangs, fc.array(edit, { minLength: 1, maxLength: 4 }), neighbours, neighbours, (first, edits, some, others) => {
      const memory = new AssessmentMemory();
      let list = first;
      const [equipment, near] = [
        planOf([]).equipment,
        [some, others, [...some, ...others.map((load) => ({ ...load, ref: `m${load.ref}` }))]],
      ];
      for (const [index, change] of [null, ...edits].entries()) {
        const replaced = change?.with[0];
        if (change !== null && replaced !== undefined) {
          list = list.map((hang, at) =>
            at === change.which % list.length
              ? { ...replaced, id: hang.id, pickUps: hang.pickUps.map((pick) => ({ ...replaced.pickUps[0]!, id: pick.id })) }
              : hang,
          );
        }
        const plan = { format: 1 as const, hangs: list, equipment };
        const input = inputOf(plan, {
          roof,
          neighbours: near[index % 3] ?? [],
          asOf: index % 2 === 0 ? BEFORE : '2026-03-11T12:00:00.000Z',
        });
        expect(canonicalBytes(assess(input, memory))).toBe(canonicalBytes(assess(input)));
      }
    }),
    { numRuns: 60 },
  );
});

test('labels are in no hash; a kilogram on a point is', () => {
  const plan = planOf([dead('a', 'p1', 400)]);
  const renamed = {
    ...plan,
    hangs: plan.hangs.map((hang) => ({
      ...hang,
      label: 'other',
      department: 'sound',
      items: hang.items.map((item) => ({ ...item, what: 'other' })),
    })),
  };
  const lighter = planOf([dead('a', 'p1', 399)]);
  const relabelled = { ...roof, points: roof.points.map((each) => ({ ...each, label: `new ${each.label}` })) };
  const { outcomeHash } = assessed(plan, { roof });
  expect(assessed(renamed, { roof }).outcomeHash).toBe(outcomeHash);
  expect(assessed(plan, { roof: relabelled }).outcomeHash).toBe(outcomeHash);
  expect(assessed(lighter, { roof }).outcomeHash).not.toBe(outcomeHash);
});

test('the assessment hash covers roof, plan, policy and neighbours, and the outcome hash none of them by name', () => {
  const input = inputOf(planOf([dead('a', 'p1', 400)]), { roof, neighbours: [neighbour('p1', 100)] });
  const base = assess(input);
  const elsewhere = { ...neighbour('p1', 100), planHash: 'another' };
  for (const change of [{ revisionHash: 'x' }, { planHash: 'x' }, { policyHash: 'x' }, { neighbours: [elsewhere] }]) {
    const changed = assess({ ...input, ...change });
    expect(changed.outcomeHash).toBe(base.outcomeHash);
    expect(changed.assessmentHash).not.toBe(base.assessmentHash);
  }
  expect(base.outcomeHash).toMatch(/^[0-9a-f]{64}$/);
});

test("a tick's cover changes with what its check counted, and not with other checks", () => {
  const of = (neighbourKg: number, pointId: string) => {
    const { outcome } = assessed(planOf([dead('a', 'p1', 400)]), { roof, neighbours: [neighbour(pointId, neighbourKg)] });
    return coverHash(
      outcome.checks.find(({ id }) => id === 'pointDown:p1')!,
      sha256,
    );
  };
  expect(of(100, 'p2')).toBe(of(200, 'p2'));
  expect(of(100, 'p1')).not.toBe(of(200, 'p1'));
});

test('the largest sideways sum is the best of every choice', () => {
  const pull = fc.record({ xKn: fc.integer({ min: -5, max: 5 }), yKn: fc.integer({ min: -5, max: 5 }) });
  fc.assert(
    fc.property(fc.array(pull, { maxLength: 7 }), (pulls) => {
      let best = 0;
      for (let choice = 0; choice < 1 << pulls.length; choice++) {
        const [x, y] = pulls.reduce(
          ([sumX, sumY], { xKn, yKn }, bit) => ((choice >> bit) & 1 ? [sumX + xKn, sumY + yKn] : [sumX, sumY]),
          [0, 0],
        );
        best = Math.max(best, Math.sqrt(x * x + y * y));
      }
      expect(largestSum(pulls)).toBeCloseTo(best, 12);
    }),
    { numRuns: 500 },
  );
});
