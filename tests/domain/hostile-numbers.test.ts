import { describe, expect, test } from 'vitest';
import type { Result } from '../../src/domain/foundation/result.ts';
import { STANDARD_GRAVITY } from '../../src/domain/foundation/units.ts';
import { checkPlan } from '../../src/domain/plan/check-plan.ts';
import type { TrussBuild } from '../../src/domain/plan/plan.ts';
import { calculateLimits } from '../../src/domain/roof/calculate-limits.ts';
import type { LimitsInput } from '../../src/domain/roof/limits-input.ts';
import { solveArray } from '../../src/domain/statics/array.ts';
import { solveBeam } from '../../src/domain/statics/beam.ts';
import { solveCutLegs } from '../../src/domain/statics/bridle-apex.ts';
import { solveBridle } from '../../src/domain/statics/bridle.ts';
import { hoistLine } from '../../src/domain/statics/hoist-line.ts';
import { limiterLoad } from '../../src/domain/statics/limiter.ts';
import { makeUpLegs } from '../../src/domain/statics/make-up.ts';
import { solveTruss } from '../../src/domain/statics/truss.ts';
import { solveTrussFrame } from '../../src/domain/statics/truss-frame.ts';
import { assessed, checkIn, dead, direct, pickUp, planOf, roofOf, SHOW, single } from './plan-samples.ts';
import { expectFail, expectOk, point } from './roof-samples.ts';

// Everything below is invented. Each row is refused by its code, or answered with finite numbers alone; a row that never ends runs
// into the time limit of its test.
const SECONDS = 20_000;
type Answer = Result<unknown, { code: string }>;
type Row = [what: string, ask: () => Answer, code: string | null];

function expectFinite(value: unknown, where = ''): void {
  if (typeof value === 'number' && !Number.isFinite(value)) throw new Error(`${value} at ${where}`);
  if (value === null || typeof value !== 'object') return;
  for (const [name, part] of Object.entries(value)) expectFinite(part, `${where}.${name}`);
}
function expectRow(ask: () => Answer, code: string | null): void {
  const answer = ask();
  expect(answer.ok ? null : answer.error.code).toBe(code);
  expectFinite(answer);
}
const times = <T>(count: number, make: (index: number) => T): T[] => Array.from({ length: count }, (_, index) => make(index));

const beam =
  (change: object = {}) =>
  () =>
    solveBeam({
      lengthM: 10,
      selfNPerM: 100,
      eiNm2: 2e6,
      supports: [0, 5, 10].map((atM) => ({ id: `${atM}`, atM, tensionOnly: true })),
      pointLoads: [{ atM: 2, forceN: 700 }],
      spreadLoads: [],
      ...change,
    });
const onBeam = (...places: number[]) => ({ supports: places.map((atM, index) => ({ id: `${index}`, atM, tensionOnly: true })) });

const truss =
  (count: number, loads = 3, levels = { restM: 0.01, movingM: 0.025 }) =>
  () =>
    solveTruss(
      {
        lengthM: 100,
        selfNPerM: 100,
        eiNm2: 2e6,
        gaN: null,
        hoists: times(count, (index) => ({ id: `${index}`, atM: (100 * (index + 0.5)) / count })),
        pointLoads: times(loads, (index) => ({ atM: (100 * index) / loads, forceN: 50 + (index % 7) })),
        spreadLoads: [],
      },
      levels,
    );

const corners = [
  { xM: 0, yM: 0 },
  { xM: 10, yM: 0 },
  { xM: 10, yM: 10 },
  { xM: 0, yM: 10 },
];
const frame =
  (change: object = {}) =>
  () =>
    solveTrussFrame(
      {
        corners,
        closed: true,
        selfNPerM: 100,
        eiNm2: 2e6,
        gaN: null,
        gjNm2: null,
        cornerJoint: null,
        sides: corners.map(() => ({ pointLoads: [], spreadLoads: [] })),
        hoists: [0, 2].flatMap((side) => [1, 9].map((atM) => ({ id: `${side}-${atM}`, side, atM }))),
        ...change,
      },
      { restM: 0.01, movingM: 0.025 },
    );
const onSide = (pointLoads: { atM: number; forceN: number }[]) => ({
  sides: corners.map((_, side) => ({ pointLoads: side === 0 ? pointLoads : [], spreadLoads: [] })),
});
const hoistsAround = (count: number) => ({
  hoists: times(count, (index) => ({ id: `${index}`, side: index % 4, atM: 1 + (8 * Math.floor(index / 4)) / Math.ceil(count / 4) })),
});

const anchor = (id: string, xM: number, yM = 0) => ({ id, xM, yM, zM: 10 });
const bridle =
  (loadN: number, belowM: number, ...anchors: ReturnType<typeof anchor>[]) =>
  () =>
    solveBridle(loadN, { xM: 0, yM: 0, zM: 10 - belowM }, anchors);
/** Two legs 6 m apart that open to this angle. */
const opening = (includedDeg: number) => bridle(1000, 3 / Math.tan((includedDeg * Math.PI) / 360), anchor('a', -3), anchor('b', 3));

const array =
  (massKg: number, change: object = {}) =>
  () =>
    solveArray(
      {
        frame: {
          massKg,
          cg: { uM: 0, vM: 0 },
          bottomPivot: { uM: 0.5, vM: -0.1 },
          holes: [
            { id: 'front', uM: 0.4, vM: 0.1 },
            { id: 'rear', uM: -0.4, vM: 0.1 },
          ],
          ...change,
        },
        elements: [],
        extraMasses: [],
      },
      { on: 'two-holes', frontHole: 'front', rearHole: 'rear', framePitchRad: 0 },
    );

const stock = (lengthsM: number[]) => ({
  pieces: lengthsM.map((lengthM, index) => ({ id: `${index}`, lengthM, available: null })),
  adjusters: [],
  jointM: 0,
  endsM: 0,
});
const NONE = { weighed: 0, documented: 0, estimated: 0, cableAtLeast: 0 };
const line = (massesKg: number[]) =>
  hoistLine(
    {
      hoist: null,
      mount: 'body-down',
      paidOutM: null,
      items: massesKg.map((massKg, index) => ({ id: `${index}`, kind: 'equipment', place: 'below-hook', massKg, basis: 'weighed' })),
    },
    NONE,
  );
const trips = (wllKg: number, factor: number) => () => limiterLoad(expectOk(line([1])), wllKg, factor, 1.6);

const limits =
  (change: Partial<LimitsInput> = {}) =>
  () =>
    calculateLimits({
      points: [{ id: 'p', wllKg: 1000, memberId: 'm', atM: 5 }],
      members: [member()],
      limits: [{ id: 'g', kind: 'group', terms: [{ point: 'p', factor: 1 }], capacityKg: 1000 }],
      loads: [load('a', 100)],
      ...change,
    });
const member = (lengthM = 10, ...places: number[]) => ({
  id: 'm',
  lengthM,
  selfKgPerM: 0,
  allowableIs: 'imposed' as const,
  ei: { eGpa: 210, iCm4: 20_000 },
  supports: (places.length === 0 ? [0, 10] : places).map((atM, index) => ({ id: `${index}`, atM })),
  allowSaggingKnm: 50,
  allowHoggingKnm: 100,
  allowShearKn: 40,
});
const load = (id: string, massKg: number, hour = 1) => ({
  id,
  from: `2026-03-10T${String(hour).padStart(2, '0')}:00:00.000Z`,
  to: '2026-03-11T00:00:00.000Z',
  points: [{ point: 'p', massKg }],
});

describe.each<[string, Row[]]>([
  [
    'beam',
    [
      ['no length', beam({ lengthM: 0 }), 'length-not-positive'],
      ['supports on one place', beam(onBeam(0, 5, 5)), 'supports-coincide'],
      ['a support off the beam', beam(onBeam(0, 11)), 'support-off-beam'],
      ['no supports', beam({ supports: [] }), 'unstable'],
      ['one support', beam(onBeam(5)), 'unstable'],
      ['no loads', beam({ selfNPerM: 0, pointLoads: [] }), null],
      ['a load of no length', beam({ spreadLoads: [{ fromM: 3, toM: 3, forceNPerM: 1e9 }] }), null],
      ['1e-9 and 1e9 newtons together', beam({ pointLoads: [1e-9, 1e9].map((forceN) => ({ atM: 2, forceN })) }), null],
      ['supports a millimetre apart', beam(onBeam(0, 5, 5.001)), null],
      ['10,000 loads', beam({ pointLoads: times(10_000, (index) => ({ atM: index / 1000, forceN: 1 })) }), null],
    ],
  ],
  [
    'truss',
    [
      ['one hoist', truss(1), 'unstable'],
      ['64 hoists, some 8,000 patterns', truss(64), null],
      ['65 hoists', truss(65), 'too-many-hoists'],
      ['10,000 loads on 8 hoists, all patterns', truss(8, 10_000), null],
      ['a metre out of level', truss(4, 3, { restM: 1, movingM: 1 }), null],
      ['a tolerance of no number', truss(4, 3, { restM: Number.NaN, movingM: 0 }), 'not-finite'],
    ],
  ],
  [
    'truss frame',
    [
      ['no corners', frame({ corners: [], sides: [] }), 'polygon-too-few-corners'],
      ['a side of no length', frame({ corners: [corners[0], corners[0], corners[2], corners[3]] }), 'polygon-corner-repeated'],
      ['hoists on one place', frame({ hoists: times(3, (index) => ({ id: `${index}`, side: 0, atM: 4 })) }), 'supports-coincide'],
      [
        'a hoist off its side',
        frame({ hoists: times(3, (index) => ({ id: `${index}`, side: 0, atM: 4 * index + 3 })) }),
        'support-off-beam',
      ],
      ['hoists in one line', frame({ hoists: times(3, (index) => ({ id: `${index}`, side: 0, atM: 4 * index })) }), 'unstable'],
      ['no hoists', frame({ hoists: [] }), 'unstable'],
      ['1e-9 and 1e9 newtons together', frame(onSide([1e-9, 1e9].map((forceN) => ({ atM: 5, forceN })))), null],
      ['16 hoists, most patterns', frame(hoistsAround(16)), null],
      ['10,000 loads', frame(onSide(times(10_000, (index) => ({ atM: index / 1000, forceN: 1 })))), null],
    ],
  ],
  [
    'bridle',
    [
      ['no anchors', bridle(1000, 4), 'too-few-legs'],
      ['anchors on one place', bridle(1000, 4, anchor('a', 3), anchor('b', 3)), 'anchors-coincide'],
      ['three anchors in line', bridle(1000, 4, anchor('a', -3), anchor('b', 1), anchor('c', 3)), 'indeterminate'],
      ['legs at 120°', opening(120), null],
      ['legs at 179.9°', opening(179.9), 'leg-too-flat'],
      ['legs at 180°', bridle(1000, 0, anchor('a', -3), anchor('b', 3)), 'apex-not-below-anchors'],
      ['1e-9 kg', bridle(1e-9 * STANDARD_GRAVITY, 4, anchor('a', -3), anchor('b', 3)), null],
      ['1e9 kg', bridle(1e9 * STANDARD_GRAVITY, 4, anchor('a', -3), anchor('b', 3)), null],
      [
        'legs of no length',
        () =>
          solveCutLegs(1000, [
            { ...anchor('a', -3), legM: 0 },
            { ...anchor('b', 3), legM: 5 },
          ]),
        'leg-length-not-positive',
      ],
      [
        'legs that just do not meet',
        () =>
          solveCutLegs(
            1000,
            [-3, 3].map((xM) => ({ ...anchor(`${xM}`, xM), legM: 2.999 })),
          ),
        'legs-do-not-meet',
      ],
    ],
  ],
  [
    'make-up',
    [
      ['no legs', () => makeUpLegs([], 0.1, stock([1])), 'too-few-legs'],
      ['an empty stock', () => makeUpLegs([{ id: 'a', wantedM: 3 }], 0.1, stock([])), 'no-make-up'],
      ['a leg of no length', () => makeUpLegs([{ id: 'a', wantedM: 0 }], 0.1, stock([1])), 'leg-length-not-positive'],
      ['a leg of 1e9 m', () => makeUpLegs([{ id: 'a', wantedM: 1e9 }], 0.1, stock([1])), 'leg-length-not-positive'],
      ['a piece of no length', () => makeUpLegs([{ id: 'a', wantedM: 3 }], 0.1, stock([0])), 'stock-value-impossible'],
      [
        '10,000 kinds of piece',
        () => makeUpLegs([{ id: 'a', wantedM: 9 }], 0.1, stock(times(10_000, (index) => 0.5 + index / 10_000))),
        null,
      ],
    ],
  ],
  [
    'array',
    [
      ['1e-9 kg', array(1e-9), null],
      ['1e9 kg', array(1e9), null],
      ['no mass', array(0), 'no-mass'],
      ['no holes', array(50, { holes: [] }), 'no-such-hole'],
      ['holes on one place', array(50, { holes: [{ id: 'front', uM: 0, vM: 0.1 }, { id: 'rear', uM: 0, vM: 0.1 }] }), 'holes-coincide'], // prettier-ignore
    ],
  ],
  [
    'hoist line',
    [
      ['nothing on it', () => line([]), null],
      ['1e-9 and 1e9 kg together', () => line([1e-9, 1e9]), null],
      ['10,000 items', () => line(times(10_000, () => 1)), null],
      ['a mass below nothing', () => line([-1]), 'mass-negative'],
    ],
  ],
  [
    'limiter',
    [
      ['1e-9 kg', trips(1e-9, 1.6), null],
      ['1e9 kg', trips(1e9, 1.6), null],
      ['a WLL of 1e308 kg', trips(1e308, 10), 'not-finite'],
      ['a factor of 0', trips(1000, 0), 'factor-below-one'],
    ],
  ],
  [
    'limits',
    [
      ['nothing at all', limits({ points: [], members: [], limits: [], loads: [] }), null],
      ['a member of no length', limits({ members: [member(0, 0, 0)] }), 'limits-input-impossible'],
      ['supports on one place', limits({ members: [member(10, 4, 4)] }), 'limits-input-impossible'],
      ['a support off the member', limits({ members: [member(10, 0, 11)] }), 'limits-input-impossible'],
      ['1e-9 kg', limits({ loads: [load('a', 1e-9)] }), null],
      ['1e9 kg', limits({ loads: [load('a', 1e9)] }), 'limits-input-impossible'],
      ['10,000 loads', limits({ loads: times(10_000, (index) => load(`${index}`, 0.1, index % 23)) }), null],
    ],
  ],
])('%s', (_, rows) => {
  test.each(rows)('%s', (_what, ask, code) => expectRow(ask, code), SECONDS);
});

test(
  '10,000 equal loads weigh on a beam, a line and a limit what one of their sum does',
  () => {
    const atM = 2;
    const many = expectOk(beam({ pointLoads: times(10_000, () => ({ atM, forceN: 0.5 })) })());
    const one = expectOk(beam({ pointLoads: [{ atM, forceN: 5000 }] })());
    for (const [index, { forceN }] of many.reactions.entries()) expect(forceN).toBeCloseTo(one.reactions[index]?.forceN ?? Number.NaN, 6);
    expect(expectOk(line(times(10_000, () => 0.5))).travellingKg).toBeCloseTo(5000, 6);
    const answer = expectOk(limits({ loads: times(10_000, (index) => load(`${index}`, 0.05)) })());
    expect(answer.limits.find(({ id }) => id === 'g')?.worst).toBeCloseTo(500, 6);
  },
  SECONDS,
);

describe('whole assessment', () => {
  const roof = roofOf({ points: [0, 5, 10].map((xM, index) => point(`p${index + 1}`, { xM, wllKg: 1000 })), limits: [] });
  const places = [0, 5, 10];
  const hung = (change: Partial<TrussBuild>) => {
    const { kind: _, ...common } = single('t') as Extract<ReturnType<typeof single>, { kind: 'single' }>;
    const build: TrussBuild = {
      lengthM: 10,
      start: { xM: 0, yM: 0, zM: 6 },
      azimuthDeg: 90,
      section: {
        selfKgPerM: 10,
        eiKnm2: 2000,
        gaKn: null,
        gjKnm2: null,
        saggingKnm: 30,
        hoggingKnm: 30,
        shearKn: 20,
        nodeSpacingM: 0.5,
        allowablesBasis: 'maker',
      },
      pickUps: places.map((atM, index) => ({ pickUpId: `t${index}`, atM, levelMm: 0 })),
      pointLoads: [],
      spreadLoads: [],
      ...change,
    };
    const pickUps = places.map((xM, index) =>
      pickUp(`t${index}`, { hoist: null, attachment: direct(`p${index + 1}`), position: { xM, yM: 0, zM: 6 } }),
    );
    return assessed(planOf([{ ...common, kind: 'truss', items: [], pickUps, build }]), { roof });
  };

  test.each<[string, number, string]>([
    ['1e-9 kg', 1e-9, 'fits'],
    ['1e6 kg', 1e6, 'over'],
  ])('a dead hang of %s', (_, massKg, verdict) => {
    const assessment = assessed(planOf([dead('a', 'p1', massKg)]), { roof });
    expect(checkIn(assessment, 'pointDown:p1').verdict).toBe(verdict);
    expectFinite(assessment);
  });
  test.each([1e9, -1, Number.NaN])('a mass of %d kg is no mass: the plan is refused', (massKg) => {
    expect(expectFail(checkPlan(planOf([dead('a', 'p1', massKg)]), SHOW))).toMatchObject({
      code: 'plan-not-valid',
      faults: [{ pointer: '/hangs/0/items/0/massKg' }],
    });
  });
  test('a bridle whose three points stand in line is over, and what they carry is unknown', () => {
    const legs = ['p1', 'p2', 'p3'].map((pointId) => ({ pointId, parts: [] }));
    const attachment = { kind: 'bridle' as const, apex: { xM: 4, yM: 0, zM: 8 }, legs, apexParts: [] };
    const hang = single('b', { pickUps: [pickUp('b1', { hoist: null, attachment, position: { xM: 4, yM: 0, zM: 6 } })] });
    const assessment = assessed(planOf([hang]), { roof });
    expect(checkIn(assessment, 'leg:b:b1')).toMatchObject({ verdict: 'over', reason: { code: 'indeterminate' } });
    expect(checkIn(assessment, 'pointDown:p1').verdict).toBe('unknown');
    expectFinite(assessment);
  });
  test('an empty plan has no check and fits', () => {
    const { outcome } = assessed(planOf([]), { roof });
    expect(outcome).toMatchObject({ checks: [], loads: [], verdict: 'fits' });
  });
  test('pick-ups on one place of a truss: what they carry is unknown, and it does not hang so', () => {
    const assessment = hung({ pickUps: [0, 5, 5].map((atM, index) => ({ pickUpId: `t${index}`, atM, levelMm: 0 })) });
    expect(checkIn(assessment, 'pointDown:p1').verdict).toBe('unknown');
    expect(assessment.outcome.verdict).toBe('over');
    expectFinite(assessment);
  });
  test(
    '10,000 loads on a truss: its points carry them all',
    () => {
      const pointLoads = times(10_000, (index) => ({ what: 'x', atM: index / 1000, massKg: 0.1, basis: 'weighed' as const }));
      const assessment = hung({ pointLoads });
      const { loads } = assessment.outcome;
      const restingKn = loads.filter((one) => one.case === 'resting').reduce((sum, { downKn }) => sum + downKn, 0);
      // Self weight and loads at least; each point at its own worst level.
      expect(restingKn).toBeGreaterThan(((100 + 1000) * STANDARD_GRAVITY) / 1000);
      expectFinite(assessment);
    },
    SECONDS,
  );
});
