import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { Assessment } from '../../src/domain/assessment/assessment.ts';
import { commitmentsOf } from '../../src/domain/assessment/commitments.ts';
import { STANDARD_GRAVITY } from '../../src/domain/foundation/units.ts';
import { checkPlan } from '../../src/domain/plan/check-plan.ts';
import type { Attachment, Hang, PartData, PartUsed, PickUp, Plan, Tier, TierLeg, TrussBuild } from '../../src/domain/plan/plan.ts';
import { assessed, checkIn, documented, pickUp, planOf, roofOf, SHOW, single, steel } from './plan-samples.ts';
import { point } from './roof-samples.ts';

// Everything is invented. One load on four points: two bridles carry the rings of a third, as worked by hand for the statics of tiers:
// lower legs (±2, 0, 3), upper legs (2, ±2, 3). Each point has a quarter of the load down and a sixth of it along both axes.
type Tiers = Extract<Attachment, { kind: 'tiers' }>;
const at = (xM: number, yM: number, zM: number) => ({ xM, yM, zM });
const used = (equipment: string, count = 1): PartUsed[] => [{ equipment, count, hitch: 'straight' }];
const toPoint = (pointId: string, parts = used('upper')): TierLeg => ({ to: { pointId }, parts });
const toTier = (tierId: string, atM: number | null = null, parts = used('lower')): TierLeg => ({ to: { tierId, atM }, parts });
const ring = (id: string, apex: ReturnType<typeof at>, legs: TierLeg[], parts: PartUsed[] = []): Tier => ({
  kind: 'ring',
  id,
  apex,
  parts,
  legs,
});
const FOUR: Tiers = {
  kind: 'tiers',
  foot: { tierId: 'low', atM: null, parts: [] },
  tiers: [
    ring('low', at(0, 0, 8), [toTier('left'), toTier('right')]),
    ring('left', at(-2, 0, 11), [toPoint('a'), toPoint('b')]),
    ring('right', at(2, 0, 11), [toPoint('c'), toPoint('d')]),
  ],
};
const roof = roofOf({
  points: [
    ...[point('a', at(-4, -2, 14)), point('b', at(-4, 2, 14)), point('c', at(4, -2, 14)), point('d', at(4, 2, 14))],
    ...[point('e', at(-1.5, 0, 14)), point('f', at(1.5, 0, 14)), point('g', at(-3.5, 0, 14)), point('h', at(3.5, 0, 14))],
  ].map((one) => ({ ...one, on: [], maxAngleDeg: 50, maxSidewaysKn: 9 })),
  limits: [],
});

const LOWER = steel({ lengthM: Math.sqrt(13), massKg: 0 });
const UPPER = steel({ lengthM: Math.sqrt(17), massKg: 0 });
const BAR: PartData = { ...steel({ lengthM: 3, massKg: 40 }), part: 'spreader' };
const planWith = (
  attachment: Attachment,
  { equipment = {}, line = {} }: { equipment?: Plan['equipment']; line?: Partial<PickUp> } = {},
): Plan =>
  planOf([single('h', { pickUps: [pickUp('h-1', { position: at(0, 0, 6), hoist: null, attachment, ...line })] })], {
    lower: documented(LOWER),
    upper: documented(UPPER),
    bar: documented(BAR),
    ...equipment,
  });
const loadsOf = ({ outcome }: Assessment, loadCase = 'resting') =>
  Object.fromEntries(
    outcome.loads.filter((load) => load.case === loadCase).map(({ pointId, xKn, yKn, downKn }) => [pointId, { xKn, yKn, downKn }]),
  );
const about = (value: number): number => expect.closeTo(value, 9) as number;
const kn = (kg: number) => (kg * STANDARD_GRAVITY) / 1000;
const verdictOf = (attachment: Attachment, change: Parameters<typeof planWith>[1] = {}, id = 'leg:h:h-1') =>
  checkIn(assessed(planWith(attachment, change), { roof }), id);

describe('worked by hand', () => {
  test('four points carry 400 kg by two bridles and a third below them', () => {
    const found = assessed(planWith(FOUR), { roof });
    const [quarter, sixth] = [about(kn(100)), kn(400 / 6)];
    expect(loadsOf(found)).toEqual({
      a: { xKn: about(sixth), yKn: about(sixth), downKn: quarter },
      b: { xKn: about(sixth), yKn: about(-sixth), downKn: quarter },
      c: { xKn: about(-sixth), yKn: about(sixth), downKn: quarter },
      d: { xKn: about(-sixth), yKn: about(-sixth), downKn: quarter },
    });
    expect(found.outcome.loads.every(({ isLowerBound }) => !isLowerBound)).toBe(true);
    expect(checkIn(found, 'pointDown:a')).toMatchObject({ verdict: 'fits', demand: expect.closeTo(100, 6) as number });
    // The flattest leg is one of (2, 2, 3); the widest two are the lower ones, 2 aside and 3 up on either side.
    expect(checkIn(found, 'leg:h:h-1:offVertical').demand).toBeCloseTo((Math.atan2(Math.sqrt(8), 3) * 180) / Math.PI, 9);
    expect(checkIn(found, 'leg:h:h-1:included').demand).toBeCloseTo((2 * Math.atan2(2, 3) * 180) / Math.PI, 9);
    // Lower legs pull 200·√13/3 kg, upper ones 100·√17/3.
    expect(checkIn(found, 'part:h:h-1:tier0leg0:0:rating').demand).toBeCloseTo(kn((200 * Math.sqrt(13)) / 3), 9);
    expect(checkIn(found, 'part:h:h-1:tier2leg1:0:rating').demand).toBeCloseTo(kn((100 * Math.sqrt(17)) / 3), 9);
    // What its neighbours will see of it.
    expect(commitmentsOf(found).map(({ pointId, resting, isLowerBound }) => [pointId, resting.downKn, isLowerBound])).toEqual(
      ['a', 'b', 'c', 'd'].map((pointId) => [pointId, quarter, false]),
    );
  });

  // Legs 2 aside and 3 up from the hook to the ends of a bar of 3 m would be too wide: the hook is 2 below and the ends 1.5 aside.
  const barred = (change: Partial<Extract<Tier, { kind: 'spreader' }>> = {}): Tiers => ({
    kind: 'tiers',
    foot: { tierId: 'low', atM: null, parts: [] },
    tiers: [
      ring('low', at(0, 0, 8), [toTier('bar', 0, used('steel')), toTier('bar', 3, used('steel'))]),
      {
        kind: 'spreader',
        id: 'bar',
        start: at(-1.5, 0, 10),
        end: at(1.5, 0, 10),
        parts: used('bar'),
        lines: [
          { ...toPoint('e', used('line')), atM: 0 },
          { ...toPoint('f', used('line')), atM: 3 },
        ],
        useBasis: 'sheet 4',
        ...change,
      },
    ],
  });
  const equipment = { steel: documented(steel({ lengthM: 2.5, massKg: 2 })), line: documented(steel({ lengthM: 4, massKg: 3 })) };

  test('a bar takes the sideways pull of the legs below it, and its masses come down where they hang', () => {
    // Documented masses count with 5 %: two legs of 2 kg at the ends of the bar, 40 kg in its middle, 3 kg on each point.
    const found = assessed(planWith(barred(), { equipment }), { roof });
    const eachKg = 200 + 1.05 * (2 + 20 + 3);
    const plumb = { xKn: about(0), yKn: about(0), downKn: about(kn(eachKg)) };
    expect(loadsOf(found)).toEqual({ e: plumb, f: plumb });
    expect(checkIn(found, 'part:h:h-1:tier1:0:rating').demand).toBeCloseTo(kn(400 + 1.05 * (4 + 40)), 9);
    // Each lower leg is 1.5 aside and 2 up: 200·5/4 kg, and 150 kg along the bar.
    expect(checkIn(found, 'part:h:h-1:tier0leg0:0:rating').demand).toBeCloseTo(kn(250 + 1.05 * 2), 9);
    expect(checkIn(found, 'part:h:h-1:tier1:use')).toMatchObject({ verdict: 'fits', reckoning: [{ source: 'sheet 4' }] });
    expect(Number.parseFloat(checkIn(found, 'part:h:h-1:tier1:use').reckoning[0]?.result ?? '')).toBeCloseTo(kn(150), 9);
    expect(checkIn(found, 'mass:h').verdict).toBe('fits');
    expect(found.outcome.totals.massKg).toBeCloseTo(400 + 40 + 2 * 2 + 2 * 3, 9);
  });

  test('a load a third along the bar: two thirds and one third', () => {
    const bar = barred().tiers.slice(1);
    const found = assessed(
      planWith(
        { kind: 'tiers', foot: { tierId: 'bar', atM: 1, parts: [] }, tiers: bar },
        { equipment, line: { position: at(-0.5, 0, 6) } },
      ),
      {
        roof,
      },
    );
    const [e, f] = [(400 * 2) / 3, 400 / 3].map((kg) => about(kn(kg + 1.05 * (20 + 3))));
    expect(loadsOf(found)).toMatchObject({ e: { downKn: e }, f: { downKn: f } });
    expect(checkIn(found, 'plumb:h:h-1')).toMatchObject({ verdict: 'fits', demand: 0 });
  });

  test('a bar without a document of its use, without a bar, or of another length is not known to hold', () => {
    const down = (tiers: Tiers, more: Plan['equipment'] = {}) =>
      checkIn(assessed(planWith(tiers, { equipment: { ...equipment, ...more } }), { roof }), 'pointDown:e');
    expect(verdictOf(barred({ useBasis: null }), { equipment }, 'part:h:h-1:tier1:use')).toMatchObject({
      verdict: 'unknown',
      reason: { code: 'spreader-use-not-covered' },
    });
    expect(down(barred({ parts: [] }))).toMatchObject({ verdict: 'unknown', reason: { code: 'spreader-not-stated' } });
    expect(down(barred(), { bar: documented({ ...BAR, lengthM: 3.1 }) })).toMatchObject({ reason: { code: 'spreader-length-differs' } });
    expect(down(barred(), { bar: documented({ ...BAR, lengthM: null }) })).toMatchObject({ reason: { code: 'spreader-length-not-known' } });
    expect(down(barred())).toMatchObject({ verdict: 'fits' });
  });
});

test('where masses of parts pull a ring out of where it is drawn, it says by how much', () => {
  // Each lower leg pulls its ring 200 kg down and 400/3 kg aside, and its 16 kg hang there too: the ring is (2, ·, -3) from its points.
  const heavy = { lower: documented(steel({ lengthM: Math.sqrt(13), massKg: 16 })) };
  const check = verdictOf(FOUR, { equipment: heavy });
  expect(check).toMatchObject({ verdict: 'over', reason: { code: 'apex-out-of-plane' } });
  const [aside, down] = [400 / 3, 216];
  const offM = Math.abs(2 * down - 3 * aside) / Math.sqrt(aside * aside + down * down);
  expect(check.reason?.text).toContain(`${Math.ceil(offM * 1000)} mm`);
  // With something's mass missing nobody can tell where it comes to rest.
  const missing = { lower: documented(steel({ lengthM: Math.sqrt(13), massKg: null })), upper: documented({ ...UPPER, massKg: 50 }) };
  expect(
    verdictOf({ ...FOUR, tiers: FOUR.tiers.map((tier) => ({ ...tier, parts: used('upper') })) }, { equipment: missing }),
  ).toMatchObject({
    verdict: 'unknown',
    reason: { code: 'apex-out-of-plane' },
  });
});

describe('what is not stated', () => {
  const down = (change: Parameters<typeof planWith>[1], attachment = FOUR) =>
    checkIn(assessed(planWith(attachment, change), { roof }), 'pointDown:a');
  const unused = (legs: TierLeg[]): TierLeg[] => legs.map((leg) => ({ ...leg, parts: [] }));
  test.each<[string, ReturnType<typeof down>]>([
    ['leg-length-not-known', down({ equipment: { lower: documented({ ...LOWER, lengthM: null }) } })],
    ['leg-length-differs', down({ equipment: { lower: documented({ ...LOWER, lengthM: 4 }) } })],
    ['mass-missing', down({ equipment: { upper: documented({ ...UPPER, massKg: null }) } })],
    [
      'leg-parts-not-stated',
      down({}, { ...FOUR, tiers: FOUR.tiers.map((tier) => (tier.kind === 'ring' ? { ...tier, legs: unused(tier.legs) } : tier)) }),
    ],
  ])('%s, anywhere in the tree: no point of it is known', (code, check) => {
    expect(check).toMatchObject({ verdict: 'unknown', reason: { code } });
  });
  test('a point that the roof does not have', () => {
    const found = assessed(planWith(FOUR), { roof: { ...roof, points: roof.points.filter(({ id }) => id !== 'd') } });
    expect(checkIn(found, 'leg:h:h-1')).toMatchObject({ verdict: 'unknown', reason: { code: 'point-missing' } });
    expect(checkIn(found, 'pointDown:a').verdict).toBe('unknown');
  });
});

test('with a hoist below, its points together see in every case what one point would on a line straight up', () => {
  const line = { hoist: { equipment: 'hoist', mount: 'bodyDown', chainLengthM: 20, bag: 'none' } } as const;
  const found = assessed(planWith(FOUR, { line }), { roof });
  const straight = assessed(planWith({ kind: 'direct', pointId: 'e', parts: [] }, { line: { ...line, position: at(-1.5, 0, 6) } }), {
    roof,
  });
  for (const loadCase of ['resting', 'moving', 'limiter']) {
    const loads = loadsOf(found, loadCase);
    const sumKn = ['a', 'b', 'c', 'd'].reduce((total, id) => total + (loads[id]?.downKn ?? NaN), 0);
    expect(sumKn).toBeCloseTo(loadsOf(straight, loadCase).e?.downKn ?? NaN, 9);
  }
  expect(loadsOf(found).a?.downKn).toBeCloseTo(kn((400 + 1.05 * (40 + 20)) / 4), 9);
  expect(checkIn(found, 'headroom:h:h-1').capacity).toBeCloseTo(2, 9); // ring at 8 m, hook at 6 m
});

describe('loads beside the one at rest', () => {
  // A ring that weighs something turns its legs towards the other one as the load grows. Drawn as it hangs at rest, with the line of a hoist:
  // the lower legs pull each ring half of the load down and a third aside, and so many kilograms hang on it.
  const HOIST = { hoist: { equipment: 'hoist', mount: 'bodyDown', chainLengthM: 20, bag: 'none' } } as const;
  const restingKg = 400 + 1.05 * (40 + 20);
  const heavyRings = (ringKg: number) => {
    const slope = restingKg / 3 / (restingKg / 2 + ringKg);
    const xM = 2 + 3 * slope;
    const legM = Math.sqrt(4 + 9 + 9 * slope * slope);
    const tiers = FOUR.tiers.map((tier, index): Tier => (index === 0 ? tier : { ...tier, parts: used('weight') }));
    const points = roof.points.map((one) => ('abcd'.includes(one.id) ? { ...one, xM: Math.sign(one.xM) * xM } : one));
    const plan = planWith(
      { ...FOUR, tiers },
      {
        line: HOIST,
        equipment: {
          upper: documented(steel({ lengthM: legM, massKg: 0 })),
          weight: documented({ ...steel({ lengthM: 0, massKg: ringKg, wllKg: 9000 }), part: 'ring' }),
        },
      },
    );
    return assessed(plan, { roof: { ...roof, points } });
  };
  const straight = assessed(planWith({ kind: 'direct', pointId: 'e', parts: [] }, { line: { ...HOIST, position: at(-1.5, 0, 6) } }), {
    roof,
  });
  const onOne = (loadCase: string) => loadsOf(straight, loadCase).e?.downKn ?? NaN;
  const onAll = (found: Assessment, loadCase: string) =>
    Object.values(loadsOf(found, loadCase)).reduce((sum, { downKn }) => sum + downKn, 0);

  test('a little more swings the rings a little: what hangs on them does not grow with the load', () => {
    const found = heavyRings(10);
    expect(onAll(found, 'resting')).toBeCloseTo(onOne('resting') + kn(1.05 * 2 * 10), 6);
    expect(onAll(found, 'moving')).toBeCloseTo(onOne('moving') + kn(1.05 * 2 * 10), 6);
  });
  test('much more would swing them far: everything is reckoned to grow with it, which is never too little', () => {
    const found = heavyRings(100);
    const times = onOne('limiter') / onOne('resting');
    const [rest, stuck] = [loadsOf(found), loadsOf(found, 'limiter')];
    for (const id of ['a', 'b', 'c', 'd'])
      for (const part of ['xKn', 'yKn', 'downKn'] as const)
        expect((stuck[id]?.[part] ?? NaN) / (rest[id]?.[part] ?? NaN)).toBeCloseTo(times, 9);
    expect(onAll(found, 'limiter')).toBeGreaterThan(onOne('limiter') + kn(1.05 * 2 * 100));
    // Its parts too: moving is 1.25 · 400 and more, and so is the pull of every leg and of what hangs on the ring.
    const more = onOne('moving') / onOne('resting');
    const legKn = (restingKg / 2) * Math.sqrt(1 + 4 / 9);
    expect(checkIn(found, 'part:h:h-1:tier0leg0:0:rating').demand).toBeCloseTo(more * kn(legKn), 6);
    const ringKn = Math.hypot(restingKg / 3, restingKg / 2 + 105);
    expect(checkIn(found, 'part:h:h-1:tier1:0:rating').demand).toBeCloseTo(more * kn(ringKn), 6);
  });
  test('a bar that hangs from a ring by slings carries what hangs on it, not what the slings pull', () => {
    const beam: Tiers = {
      kind: 'tiers',
      foot: { tierId: 'bar', atM: 1.5, parts: [] },
      tiers: [
        {
          ...{ kind: 'spreader', id: 'bar', start: at(-1.5, 0, 9), end: at(1.5, 0, 9), parts: used('bar'), useBasis: 'sheet 4' },
          lines: [
            { ...toTier('top'), atM: 0 },
            { ...toTier('top'), atM: 3 },
          ],
        },
        ring('top', at(0, 0, 11), [toPoint('g'), toPoint('h')]),
      ],
    };
    const lengths = {
      lower: documented(steel({ lengthM: 2.5, massKg: 0 })),
      upper: documented(steel({ lengthM: Math.sqrt(3.5 ** 2 + 9), massKg: 0 })),
    };
    const found = assessed(planWith(beam, { equipment: lengths }), { roof });
    expect(checkIn(found, 'part:h:h-1:tier0:0:rating').demand).toBeCloseTo(kn(400 + 1.05 * 40), 9);
    expect(checkIn(found, 'part:h:h-1:tier0leg0:0:rating').demand).toBeCloseTo(kn(((400 + 42) / 2) * (2.5 / 2)), 9);
  });
  test('another hoist of the hang lost: its points together see what one point would', () => {
    const truss = (middle: Attachment): Plan => {
      const { kind: _, ...common } = single('h') as Extract<Hang, { kind: 'single' }>;
      const pickUps = [
        pickUp('h-0', { position: at(-4, 0, 6), hoist: null, attachment: { kind: 'direct', pointId: 'x', parts: [] } }),
        pickUp('h-1', { position: at(0, 0, 6), hoist: null, attachment: middle }),
        pickUp('h-2', { position: at(4, 0, 6), hoist: null, attachment: { kind: 'direct', pointId: 'y', parts: [] } }),
      ];
      const build: TrussBuild = {
        ...{ lengthM: 8, start: at(-4, 0, 6), azimuthDeg: 90, pointLoads: [], spreadLoads: [], pickUpsAboveM: 0.3 },
        section: {
          ...{ selfKgPerM: 20, eiKnm2: 10, gaKn: null, gjKnm2: null, saggingKnm: 10, hoggingKnm: 10, shearKn: 20, nodeSpacingM: 0.5 },
          allowablesBasis: 'maker',
        },
        pickUps: [0, 4, 8].map((atM, n) => ({ pickUpId: `h-${n}`, atM, levelMm: 0 })),
      };
      const plan = planWith(FOUR);
      return { ...plan, hangs: [{ ...common, items: [], kind: 'truss', pickUps, build }] };
    };
    const points = [...roof.points, ...[-4, 4].map((xM) => ({ ...point(xM < 0 ? 'x' : 'y', at(xM, 0, 14)), on: [], maxAngleDeg: 50 }))];
    const wide = { ...roof, points: [...points, { ...point('m', at(0, 0, 14)), on: [] }] };
    const [onTiers, onPoint] = [FOUR, { kind: 'direct' as const, pointId: 'm', parts: [] }].map((way) =>
      assessed(truss(way), { roof: wide }),
    );
    if (onTiers === undefined || onPoint === undefined) throw new Error('both are assessed');
    const lostKn = ['a', 'b', 'c', 'd'].reduce((sum, id) => sum + (loadsOf(onTiers, 'slack')[id]?.downKn ?? NaN), 0);
    expect(lostKn).toBeGreaterThan(kn(100));
    expect(lostKn).toBeCloseTo(loadsOf(onPoint, 'slack').m?.downKn ?? NaN, 9);
  });
});

describe('what cannot be', () => {
  const faultsOf = (change: Partial<Tiers>) => {
    const found = checkPlan(planWith({ ...FOUR, ...change }), SHOW);
    return found.ok || found.error.code !== 'plan-not-valid'
      ? []
      : found.error.faults.map(({ pointer, code }) => `${code} ${pointer.slice(29)}`);
  };
  const [low, left, right] = FOUR.tiers as [Tier, Tier, Tier];
  const bar = (lines: (TierLeg & { atM: number })[]): Tier => ({
    ...{ kind: 'spreader', id: 'bar', start: at(0, 0, 9), end: at(3, 0, 9), parts: [], useBasis: null },
    lines,
  });
  test.each<[string, Partial<Tiers>]>([
    ['no-such-tier /foot/tierId', { foot: { tierId: 'other', atM: null, parts: [] } }],
    ['no-place-on-a-ring /foot/atM', { foot: { tierId: 'low', atM: 1, parts: [] } }],
    ['id-twice /tiers/3/id', { tiers: [low, left, right, ring('right', at(0, 0, 9), [toPoint('e'), toPoint('f')])] }],
    ['too-few-legs /tiers/1/legs', { tiers: [low, ring('left', at(0, 0, 9), [toPoint('a')]), right] }],
    [
      'indeterminate /tiers/1/legs',
      {
        tiers: [
          low,
          ring(
            'left',
            at(0, 0, 9),
            ['a', 'b', 'e'].map((id) => toPoint(id)),
          ),
          right,
        ],
      },
    ],
    ['point-twice /tiers/2/legs/0/to/pointId', { tiers: [low, left, ring('right', at(0, 0, 9), [toPoint('a'), toPoint('c')])] }],
    ['tier-carries-nothing /tiers/3', { tiers: [low, left, right, ring('more', at(0, 0, 9), [toPoint('e'), toPoint('f')])] }],
    ['tiers-go-round /tiers', { tiers: [low, left, ring('right', at(0, 0, 9), [toTier('low'), toPoint('c')])] }],
    [
      'no-such-equipment /tiers/0/legs/0/parts/0/equipment',
      { tiers: [ring('low', at(0, 0, 8), [toTier('left', null, used('no')), toTier('right')]), left, right] },
    ],
    [
      'place-on-spreader-missing /tiers/0/legs/0/to/atM',
      {
        tiers: [
          ring('low', at(0, 0, 8), [toTier('bar'), toPoint('e')]),
          bar([
            { ...toPoint('a'), atM: 0 },
            { ...toPoint('b'), atM: 3 },
          ]),
        ],
      },
    ],
    [
      'off-the-spreader /tiers/0/legs/0/to/atM',
      {
        tiers: [
          ring('low', at(0, 0, 8), [toTier('bar', 3.1), toPoint('e')]),
          bar([
            { ...toPoint('a'), atM: 0 },
            { ...toPoint('b'), atM: 3 },
          ]),
        ],
      },
    ],
    [
      'off-the-spreader /tiers/1/lines/1/atM',
      {
        tiers: [
          ring('low', at(0, 0, 8), [toTier('bar', 3), toPoint('e')]),
          bar([
            { ...toPoint('a'), atM: 0 },
            { ...toPoint('b'), atM: 4 },
          ]),
        ],
      },
    ],
  ])('%s', (fault, change) => {
    expect(faultsOf(change)).toContain(fault);
  });
  test('four legs at one apex are refused, and told of tiers', () => {
    const legs = ['a', 'b', 'c', 'd'].map((pointId) => ({ pointId, parts: [] }));
    const found = checkPlan(planWith({ kind: 'bridle', apex: at(0, 0, 8), legs, apexParts: [] }), SHOW);
    expect(found).toMatchObject({ error: { faults: [{ code: 'indeterminate', message: expect.stringContaining('tiers') as string }] } });
  });
  test('what the venue does not allow', () => {
    const { policy } = roof.policy;
    const strict = { ...roof, policy: { ...roof.policy, policy: { ...policy, allow: { ...policy.allow, bridles: false } } } };
    expect(checkIn(assessed(planWith(FOUR), { roof: strict }), 'policy:h:h-1:bridles').verdict).toBe('over');
  });
});

test('a second way: the roof as one body. Any tree of one ring under two others weighs on its points what hangs in it, without a moment', () => {
  const metres = (min: number, max: number) => fc.double({ min, max, noNaN: true });
  fc.assert(
    fc.property(metres(0.5, 3), metres(1, 4), metres(0.4, 3), fc.integer({ min: 1, max: 900 }), (outM, upM, wideM, massKg) => {
      // The rings' anchors lie in the plane of the pull of the lower leg, as they must: beyond the ring, in the direction of that leg.
      const rise = upM / outM;
      const sides = [-1, 1].map((side) => ({ x: side * outM, ax: side * (outM + 1.5), az: 8 + upM + 1.5 * rise }));
      const anchors = sides.flatMap(({ ax, az }, n) =>
        [-wideM, wideM].map((yM, m) => point(`q${n}${m}`, { xM: ax, yM, zM: az, on: [], maxAngleDeg: 89 })),
      );
      const tiers = sides.map(({ x }, n) => ring(`r${n}`, at(x, 0, 8 + upM), [toPoint(`q${n}0`), toPoint(`q${n}1`)]));
      const attachment: Tiers = {
        kind: 'tiers',
        foot: FOUR.foot,
        tiers: [ring('low', at(0, 0, 8), [toTier('r0'), toTier('r1')]), ...tiers],
      };
      const plan = planWith(attachment);
      const hang = { ...plan.hangs[0]!, items: [{ what: 'load', count: 1, massKg, basis: 'weighed' as const }] };
      const found = assessed({ ...plan, hangs: [hang] }, { roof: roofOf({ points: anchors, limits: [] }) });
      const loads = loadsOf(found);
      fc.pre(Object.values(loads).some(({ downKn }) => downKn > 0)); // not refused as too flat
      const total = (of: (one: { xKn: number; yKn: number; downKn: number }, place: (typeof anchors)[number]) => number) =>
        anchors.reduce((sum, place) => sum + of(loads[place.id] ?? { xKn: NaN, yKn: NaN, downKn: NaN }, place), 0);
      const slack = 1e-9 * kn(massKg) * 50;
      expect(Math.abs(total(({ downKn }) => downKn) - kn(massKg))).toBeLessThan(slack);
      expect(Math.abs(total(({ xKn }) => xKn))).toBeLessThan(slack);
      // About the hook (0, 0, 8): the pulls on the roof turn nothing.
      expect(Math.abs(total(({ xKn, downKn }, { xM, zM }) => xKn * (zM - 8) + downKn * xM))).toBeLessThan(slack);
      expect(Math.abs(total(({ yKn, downKn }, { yM, zM }) => yKn * (zM - 8) + downKn * yM))).toBeLessThan(slack);
    }),
    { numRuns: 50 },
  );
});

test('the order of the tiers changes names alone, never loads', () => {
  const turned = { ...FOUR, tiers: [...FOUR.tiers].reverse() };
  expect(loadsOf(assessed(planWith(turned), { roof }))).toEqual(loadsOf(assessed(planWith(FOUR), { roof })));
});

test('numbers from anywhere: every answer is finite, or says why there is none', () => {
  const number = fc.oneof(fc.constantFrom(0, 1e-9, 3, -3, 500), fc.double({ min: -10, max: 16, noNaN: true }));
  const spot = fc.record({ xM: number, yM: number, zM: number });
  const onBar = fc.constantFrom(0, 1e-9, 0.5);
  fc.assert(
    fc.property(spot, spot, spot, spot, onBar, onBar, (low, left, start, end, near, far) => {
      const bar: Tier = {
        ...{ kind: 'spreader', id: 'bar', start, end, parts: used('bar'), useBasis: 'sheet 4' },
        lines: [
          { ...toPoint('c'), atM: near },
          { ...toPoint('d'), atM: far },
        ],
      };
      const tiers = [ring('low', low, [toTier('left'), toTier('bar', near)]), ring('left', left, [toPoint('a'), toPoint('b')]), bar];
      const plan = planWith({ kind: 'tiers', foot: FOUR.foot, tiers });
      if (!checkPlan(plan, SHOW).ok) return; // a bar too short for its lines
      const { outcome } = assessed(plan, { roof });
      expect(outcome.loads.flatMap(({ xKn, yKn, downKn }) => [xKn, yKn, downKn]).every(Number.isFinite)).toBe(true);
      const refused = outcome.checks.some(({ id }) => id === 'leg:h:h-1');
      expect(outcome.loads.every(({ isLowerBound }) => isLowerBound)).toBe(true); // no leg is made as long as it happens to be drawn
      if (refused) expect(outcome.verdict).toBe('over');
    }),
    { numRuns: 100 },
  );
});
