import { expect, test } from 'vitest';
import { kgToKn } from '../../src/domain/foundation/units.ts';
import type { Pull } from '../../src/domain/plan/pull.ts';
import { assessed, checkIn, dead, direct, documented, hoist, pickUp, planOf, roofOf, single, steel } from './plan-samples.ts';
import { point } from './roof-samples.ts';

// The policy: weighed 0 %, documented 5 %, estimated 15 %, cables at least 10 %; dynamic factor at least 1.25 (common practice, no source).
const demandOf = (plan: Parameters<typeof assessed>[0], id: string) => checkIn(assessed(plan), id).demand;

test('a climbing hoist: the factor takes everything that moves with the hang', () => {
  // 400 weighed; body 40, bag 5, chain 20 · 1 · 1 = 20: 65 documented · 1.05 = 68.25. (400 + 68.25) · 1.25 = 585.3125.
  const assessment = assessed(planOf([single('a')]));
  expect(checkIn(assessment, 'pointDown:p1')).toMatchObject({ case: 'moving', capacity: 1000, unit: 'kg', verdict: 'fits' });
  expect(checkIn(assessment, 'pointDown:p1').demand).toBeCloseTo(585.3125, 9);
  expect(assessment.outcome.loads.find((load) => load.case === 'resting')?.downKn).toBeCloseTo(kgToKn(468.25), 12);
  expect(checkIn(assessment, 'hoist:a:a-1:rating').demand).toBeCloseTo(468.25, 9);
});

test('a hoist with its body up: body and bag stand still and are not its own load', () => {
  // Travels: 400 + chain 21 (20 · 1.05). Stands: (40 + 5) · 1.05 = 47.25. 421 · 1.25 + 47.25 = 573.5.
  const up = pickUp('a-1', { hoist: { equipment: 'hoist', mount: 'bodyUp', chainLengthM: 20, bag: 'withBody' } });
  const assessment = assessed(planOf([single('a', { pickUps: [up] })]));
  expect(checkIn(assessment, 'pointDown:p1').demand).toBeCloseTo(573.5, 9);
  expect(checkIn(assessment, 'hoist:a:a-1:rating').demand).toBeCloseTo(400, 9);
});

test('leg parts stand still, and two falls carry twice the chain', () => {
  // Chain 20 · 2 = 40; (40 + 5 + 40) · 1.05 = 89.25; steels 3 · 2 · 1.05 = 6.3. (400 + 89.25) · 1.25 + 6.3 = 617.8625.
  const attachment = { kind: 'direct', pointId: 'p1', parts: [{ equipment: 'steel', count: 3, hitch: 'straight' as const }] } as const;
  const plan = planOf([single('a', { pickUps: [pickUp('a-1', { attachment: { ...attachment, parts: [...attachment.parts] } })] })], {
    hoist: documented(hoist({ falls: 2 })),
  });
  expect(demandOf(plan, 'pointDown:p1')).toBeCloseTo(617.8625, 9);
});

test('contingency follows the basis of each mass, and cables never get less than a tenth unless weighed in', () => {
  // 100 + 100 · 1.05 + 100 · 1.15 + cables 2 · 10 · 1 · (1.10 documented) + 10 weighed = 100 + 105 + 115 + 22 + 10 = 352, dead-hung.
  const plan = planOf([
    dead('a', 'p1', 0, {
      items: [
        { what: 'w', count: 1, massKg: 100, basis: 'weighed' },
        { what: 'd', count: 2, massKg: 50, basis: 'documented' },
        { what: 'e', count: 1, massKg: 100, basis: 'estimated' },
      ],
      cables: [
        { what: 'c', count: 2, lengthM: 10, kgPerM: 1, basis: 'documented' },
        { what: 'c', count: 1, lengthM: 10, kgPerM: 1, basis: 'weighed' },
      ],
    }),
  ]);
  const { outcome } = assessed(plan);
  expect(outcome.checks.find(({ id }) => id === 'pointDown:p1')?.demand).toBeCloseTo(352, 9);
  expect(outcome.totals.massKg).toBeCloseTo(330, 9);
  expect(outcome.totals.contingencyKg).toBeCloseTo(22, 9);
  expect(outcome.totals.estimatedShare).toBeCloseTo(115 / 352, 12);
});

test('equipment without a catalogue entry is reckoned as an estimate', () => {
  // 65 · 1.15 = 74.75 in place of 68.25.
  const plan = planOf([single('a')], { hoist: { from: null, data: hoist() } });
  expect(demandOf(plan, 'hoist:a:a-1:rating')).toBeCloseTo(474.75, 9);
});

test('a dead hang has no moving case, no hoist and no limiter', () => {
  const { outcome } = assessed(planOf([dead('a', 'p1', 400)]));
  expect(outcome.loads.map((load) => load.case)).toEqual(['resting']);
  expect(outcome.checks.filter(({ kind }) => kind === 'hoist' || kind === 'limiter')).toEqual([]);
  expect(outcome.checks.find(({ id }) => id === 'pointDown:p1')).toMatchObject({ demand: 400, case: 'resting' });
});

test('the dynamic factor of a hoist without the maker figure follows its speed', () => {
  // HC4 at 4 m/min: 1.2 + 0.68 · 4 / 60 = 1.2453333, below the policy's 1.25. At 8: 1.2906667 (EN 13001-2, from memory).
  const at = (speedMPerMin: number) => planOf([single('a')], { hoist: documented(hoist({ dynamicFactor: null, speedMPerMin })) });
  expect(demandOf(at(4), 'pointDown:p1')).toBeCloseTo(468.25 * 1.25, 9);
  expect(demandOf(at(8), 'pointDown:p1')).toBeCloseTo(468.25 * (1.2 + (0.68 * 8) / 60), 9);
  expect(checkIn(assessed(at(8.1)), 'pointDown:p1')).toMatchObject({ verdict: 'unknown', reason: { code: 'dynamic-factor-not-stated' } });
});

test('a limiter that lets a stuck hoist pull its factor times the WLL, beside the other loads of the point', () => {
  // 1.6 · 1000 + 68.25 of its own = 1668.25, beside a dead 100: 1768.25 against 1000. Advises unless the policy says hard.
  const assessment = assessed(planOf([single('a'), dead('b', 'p1', 100)]));
  const check = checkIn(assessment, 'limiter:a:a-1:p1');
  expect(check).toMatchObject({ hard: false, case: 'limiter', verdict: 'over' });
  expect(check.demand).toBeCloseTo(1768.25, 9);
  expect(assessment.outcome.verdict).toBe('fits');
  const roof = roofOf();
  const strict = { ...roof, policy: { ...roof.policy, policy: { ...roof.policy.policy, secondaryCasesHard: true } } };
  expect(assessed(planOf([single('a')]), { roof: strict }).outcome.verdict).toBe('over');
});

test('given loads take the place of the statics, with the contingency of their basis', () => {
  // 200 documented · 1.05 = 210 and 300 estimated · 1.15 = 345, dead-hung.
  const on = (id: string, massKg: number, basis: 'documented' | 'estimated') =>
    pickUp(id, {
      hoist: null,
      attachment: direct(id),
      position: { xM: id === 'p2' ? 7 : 2, yM: 0, zM: 6 },
      givenLoad: { massKg, basis, source: 'maker' },
    });
  const plan = planOf([single('a', { items: [], pickUps: [on('p1', 200, 'documented'), on('p2', 300, 'estimated')] })]);
  const assessment = assessed(plan);
  expect(checkIn(assessment, 'pointDown:p1').demand).toBeCloseTo(210, 9);
  expect(checkIn(assessment, 'pointDown:p2').demand).toBeCloseTo(345, 9);
  expect(checkIn(assessment, 'group:g1').demand).toBeCloseTo(555, 9);
  const heavier = planOf([{ ...plan.hangs[0]!, items: [{ what: 'x', count: 1, massKg: 600, basis: 'weighed' }] }]);
  expect(checkIn(assessed(heavier), 'pointDown:p1')).toMatchObject({ verdict: 'unknown', reason: { code: 'given-loads-short-of-list' } });
});

test('a two-leg bridle puts half of the load and its sideways pull on each of two level anchors', () => {
  // The worked case of bridles: 1000 kg, anchors (±3, 0, 10), apex (0, 0, 6): 4.903325 kN down, 3.67749375 kN sideways, 5 m legs.
  const roof = roofOf({
    points: [point('p1', { xM: -3, zM: 10, maxAngleDeg: 60 }), point('p2', { xM: 3, zM: 10, maxAngleDeg: 60 })],
    limits: [],
  });
  const attachment = {
    kind: 'bridle',
    apex: { xM: 0, yM: 0, zM: 6 },
    legs: [
      { pointId: 'p1', parts: [] },
      { pointId: 'p2', parts: [] },
    ],
    apexParts: [],
  } as const;
  const hang = dead('a', 'p1', 1000);
  const legs = [
    {
      ...hang.pickUps[0]!,
      position: { xM: 0, yM: 0, zM: 5 },
      attachment: { ...attachment, legs: attachment.legs.map((leg) => ({ ...leg, parts: [] })), apexParts: [] },
    },
  ];
  const assessment = assessed(planOf([{ ...hang, pickUps: legs }]), { roof });
  const [left, right] = assessment.outcome.loads;
  const near = ({ xKn, yKn, downKn }: Pull) => [xKn, yKn, downKn].map((value) => Math.round(value * 1e8) / 1e8);
  expect(near(left!)).toEqual([3.67749375, 0, 4.903325]);
  expect(near(right!)).toEqual([-3.67749375, 0, 4.903325]);
  // tan of the leg = 3 / 4: 36.869898° off vertical.
  expect(checkIn(assessment, 'leg:a:a-1:offVertical').demand).toBeCloseTo(36.86989764584402, 9);
  expect(checkIn(assessment, 'leg:a:a-1:included')).toMatchObject({ capacity: 120, verdict: 'fits' });
  expect(checkIn(assessment, 'leg:a:a-1:included').demand).toBeCloseTo(73.73979529168804, 9);
  expect(checkIn(assessment, 'pointSideways:p1:angle').demand).toBeCloseTo(36.86989764584402, 9);
  // A leg of 625 kg pulls along itself, 500 kg of it down: the rating has to bear all of it.
  expect(checkIn(assessment, 'pointSideways:p1:resultant').demand).toBeCloseTo(625, 9);
  const vertical = roofOf({ points: [point('p1', { xM: -3, zM: 10 }), point('p2', { xM: 3, zM: 10 })], limits: [] });
  expect(checkIn(assessed(planOf([{ ...hang, pickUps: legs }]), { roof: vertical }), 'pointSideways:p1:force').verdict).toBe('over');
});

test('a leg carries its own parts straight down on its own point', () => {
  // 3 steels of 2 kg documented on the left leg alone: 6.3 kg more there and nothing on the right.
  const roof = roofOf({
    points: [point('p1', { xM: -3, zM: 10, maxAngleDeg: 60 }), point('p2', { xM: 3, zM: 10, maxAngleDeg: 60 })],
    limits: [],
  });
  const hang = dead('a', 'p1', 1000);
  const legsWith = (count: number) => ({
    ...hang,
    pickUps: [
      {
        ...hang.pickUps[0]!,
        position: { xM: 0, yM: 0, zM: 5 },
        attachment: {
          kind: 'bridle' as const,
          apex: { xM: 0, yM: 0, zM: 6 },
          legs: [
            { pointId: 'p1', parts: [{ equipment: 'steel', count, hitch: null }] },
            { pointId: 'p2', parts: [] },
          ],
          apexParts: [],
        },
      },
    ],
  });
  const assessment = assessed(planOf([legsWith(3)], { steel: documented(steel()) }), { roof });
  expect(checkIn(assessment, 'pointDown:p1').demand).toBeCloseTo(506.3, 9);
  expect(checkIn(assessment, 'pointDown:p2').demand).toBeCloseTo(500, 9);
});

test('a line off plumb pulls sideways, and beyond the tolerance it is over', () => {
  // Point (2, 0, 12), hook at z 6: 0.3 m off over 6 m is atan 0.05 = 2.8624°; 0.4 m is 3.8141°. 400 kg dead: 3.92266 kN · 0.05.
  const at = (offM: number) =>
    dead('a', 'p1', 400, { pickUps: [{ ...dead('a', 'p1', 400).pickUps[0]!, position: { xM: 2 + offM, yM: 0, zM: 6 } }] });
  const near = assessed(planOf([at(0.3)]));
  expect(checkIn(near, 'plumb:a:a-1')).toMatchObject({ verdict: 'close', capacity: 3 });
  expect(checkIn(near, 'plumb:a:a-1').demand).toBeCloseTo(2.862405226111748, 9);
  expect(near.outcome.loads[0]!.xKn).toBeCloseTo(0.196133, 12);
  expect(checkIn(near, 'pointSideways:p1:force').verdict).toBe('fits');
  const far = assessed(planOf([at(0.4)]));
  expect(checkIn(far, 'plumb:a:a-1').verdict).toBe('over');
  expect(checkIn(far, 'pointSideways:p1:force')).toMatchObject({ verdict: 'over', reason: { code: 'vertical-only' } });
});
