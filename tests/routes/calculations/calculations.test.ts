import { readFileSync } from 'node:fs';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { z } from 'zod';
import { CALCULATORS } from '../../../src/routes/calculations/calculations.ts';
import { startApp, type RunningApp } from '../../support/app.ts';

let running: RunningApp;
beforeAll(async () => {
  running = await startApp();
});
afterAll(() => running.close());

const ask = async (name: string, question: unknown) => {
  const { status, body } = await running.call('POST', `calculations/${name}`, question, { 'idempotency-key': '' });
  return { status, body };
};
const near = (value: number): number => expect.closeTo(value, 9) as number;
/** Worked by hand to so many decimals. */
const about = (value: number, decimals: number): number => expect.closeTo(value, decimals) as number;
const refusal = async (name: string, question: unknown) => {
  const { status, body } = await ask(name, question);
  return { ...body, status };
};
const wrong = (code: string, facts: Record<string, unknown> = {}): unknown =>
  expect.objectContaining({ status: 422, type: `/problems/${code}`, ...facts });

const hoists = (...places: number[]) => places.map((atM, index) => ({ id: `h${index + 1}`, atM, tensionOnly: true }));
const overhang = { lengthM: 12, selfKgPerM: 10, supports: hoists(2, 10), spreadLoads: [] };

describe('beam', () => {
  // Worked by hand: moments about the left hoist, then about the right one.
  test('200 kg at the tip of a 12 m truss', async () => {
    const { status, body } = await ask('beam', { ...overhang, pointLoads: [{ atM: 12, massKg: 200 }] });
    expect(status).toBe(200);
    expect(body).toMatchObject({
      reactions: [
        { id: 'h1', massKg: near(10), forceKn: near(0.0980665), slack: false },
        { id: 'h2', massKg: near(310), forceKn: near(3.0400615), slack: false },
      ],
      maxMomentKnm: { value: 0, atM: null },
      minMomentKnm: { value: near(-4.118793), atM: 10 },
      maxShearKn: { value: near(2.157463), atM: 10 },
      maxDeflectionMm: null,
    });
    const rows = (body.diagram as { atM: number; shearKn: number }[]).filter(({ atM }) => atM === 10);
    expect(rows).toHaveLength(2);
    expect(rows[1]!.shearKn - rows[0]!.shearKn).toBeCloseTo(3.0400615, 9);
  });
  test('240 kg at the tip leaves the first hoist slack at 0, and more tips it', async () => {
    const { body } = await ask('beam', { ...overhang, pointLoads: [{ atM: 12, massKg: 240 }] });
    expect(body.reactions).toEqual([
      { id: 'h1', massKg: 0, forceKn: 0, slack: true },
      expect.objectContaining({ id: 'h2', massKg: near(360) }),
    ]);
    expect(await refusal('beam', { ...overhang, pointLoads: [{ atM: 12, massKg: 241 }] })).toEqual(wrong('unstable', { slack: ['h1'] }));
  });
  test('published: simple span under an even load', async () => {
    // AISC Steel Construction Manual, 15th ed. (2017), Table 3-23, case 1 (case number from memory): w L² / 8, 5 w L⁴ / (384 EI).
    const kgPerM = 3000 / 9.80665;
    const { body } = await ask('beam', {
      lengthM: 10,
      ei: { eGpa: 200, iCm4: 4000 },
      supports: [
        { id: 'a', atM: 0 },
        { id: 'b', atM: 10 },
      ],
      pointLoads: [],
      spreadLoads: [{ fromM: 0, toM: 10, kgPerM }],
    });
    expect(body).toMatchObject({
      maxMomentKnm: { value: near(37.5), atM: near(5) },
      minMomentKnm: { value: 0, atM: null },
      maxShearKn: { value: near(15), atM: 0 },
      maxDeflectionMm: { value: about(48.828125, 6), atM: about(5, 6) },
    });
  });
  test('a raised middle support takes more, a soft one less', async () => {
    const three = (middle: object) => ({
      lengthM: 8,
      selfKgPerM: 50,
      ei: { eGpa: 210, iCm4: 2000 },
      supports: [
        { id: 'a', atM: 0 },
        { id: 'm', atM: 4, ...middle },
        { id: 'b', atM: 8 },
      ],
      pointLoads: [],
      spreadLoads: [],
    });
    const middleKg = async (middle: object) => {
      const { body } = await ask('beam', three(middle));
      return z.array(z.object({ massKg: z.number() })).parse(body.reactions)[1]!.massKg;
    };
    const level = await middleKg({});
    expect(level).toBeCloseTo((10 / 8) * 50 * 4, 6); // two equal spans: 10/8 w l
    expect(await middleKg({ levelMm: 2 })).toBeGreaterThan(level);
    expect(await middleKg({ stiffnessKnPerM: 100 })).toBeLessThan(level);
    const { ei: _ei, ...withoutEi } = three({ levelMm: 2 });
    expect(await refusal('beam', withoutEi)).toEqual(wrong('stiffness-needed', { what: 'ei' }));
  });
  test.each([
    ['unstable', { supports: hoists(2) }, {}],
    ['unstable', { supports: [] }, {}],
    ['supports-coincide', { supports: hoists(2, 2) }, { ids: ['h1', 'h2'], atM: 2 }],
    ['support-off-beam', { supports: hoists(2, 13) }, { id: 'h2', lengthM: 12 }],
    ['load-off-beam', { pointLoads: [{ atM: -1, massKg: 1 }] }, {}],
    ['load-reversed', { spreadLoads: [{ fromM: 3, toM: 2, kgPerM: 1 }] }, {}],
    ['length-not-positive', { lengthM: 0, supports: [] }, {}],
    ['stiffness-not-positive', { ei: { eGpa: 0, iCm4: 1 } }, {}],
    ['not-finite', { pointLoads: [{ atM: 3, massKg: 1e308 }] }, {}],
  ])('refused: %s', async (code, change, facts) => {
    expect(await refusal('beam', { ...overhang, pointLoads: [], ...change })).toEqual(wrong(code, facts));
  });
  test('10,000 loads are answered in bounded time, and one more is refused', async () => {
    const pointLoads = Array.from({ length: 10_000 }, (_, index) => ({ atM: (12 * (index + 0.5)) / 10_000, massKg: 0.1 }));
    const began = performance.now();
    const { status, body } = await ask('beam', { ...overhang, pointLoads });
    expect(performance.now() - began).toBeLessThan(10_000);
    expect(status).toBe(200);
    // Even about the middle, as the hoists are.
    expect(body.reactions).toMatchObject([{ massKg: about(560, 6) }, { massKg: about(560, 6) }]);
    expect((await ask('beam', { ...overhang, pointLoads: [...pointLoads, { atM: 1, massKg: 1 }] })).status).toBe(400);
  });
});

const apart = [
  { id: 'l', xM: -3, yM: 0, zM: 10 },
  { id: 'r', xM: 3, yM: 0, zM: 10 },
];
const apex = (xM: number, yM: number, zM: number) => ({ xM, yM, zM });
describe('bridle', () => {
  // Worked by hand: 3-4-5 triangles.
  test('1000 kg on two legs', async () => {
    const { body } = await ask('bridle', { loadKg: 1000, apex: apex(0, 0, 6), anchors: apart });
    expect(body).toMatchObject({
      legs: [
        {
          id: 'l',
          lengthM: near(5),
          tensionKn: near(6.12915625),
          slack: false,
          atAnchor: { xKn: near(3.67749375), yKn: 0, downKn: near(4.903325) },
        },
        { id: 'r', atAnchor: { xKn: near(-3.67749375) } },
      ],
      includedAngles: [{ between: ['l', 'r'], angleDeg: about(73.7398, 4) }],
    });
  });
  test('published bridles', async () => {
    const Places = z.array(z.tuple([z.number(), z.number(), z.number()]));
    const Cases = z.object({
      cases: z.array(
        z.looseObject({
          id: z.string(),
          inputs: z.looseObject({
            anchors_xyz_m: Places.optional(),
            apex_xyz_m: z.tuple([z.number(), z.number(), z.number()]).optional(),
            load_down_kN: z.number().optional(),
          }),
          expected: z.looseObject({ leg_tension_kN: z.array(z.number()).optional(), all_legs_in_tension: z.boolean().optional() }),
        }),
      ),
    });
    const { cases } = Cases.parse(JSON.parse(readFileSync(new URL('../../published/bridles.json', import.meta.url), 'utf8')));
    let compared = 0;
    for (const { id, inputs, expected } of cases) {
      const { anchors_xyz_m: anchors, apex_xyz_m: at, load_down_kN: loadKn } = inputs;
      if (!anchors || anchors.length > 3 || !at || loadKn === undefined || !expected.leg_tension_kN || !expected.all_legs_in_tension)
        continue;
      const { status, body } = await ask('bridle', {
        loadKg: (loadKn * 1000) / 9.80665,
        apex: apex(...at),
        anchors: anchors.map(([xM, yM, zM], index) => ({ id: `${index}`, xM, yM, zM })),
      });
      if (status === 422) continue; // flatter than is answered
      const legs = z.array(z.object({ tensionKn: z.number() })).parse(body.legs);
      for (const [index, wanted] of expected.leg_tension_kN.entries())
        expect(Math.abs(legs[index]!.tensionKn - wanted), id).toBeLessThan(1e-6 * Math.max(1, wanted));
      compared += 1;
    }
    expect(compared).toBeGreaterThan(5);
  });
  test('an apex straight below one anchor leaves the other leg slack', async () => {
    const { body } = await ask('bridle', { loadKg: 10, apex: apex(-3, 0, 6), anchors: apart });
    expect(body.legs).toMatchObject([{ slack: false }, { slack: true, tensionKn: 0, atAnchor: { xKn: 0, yKn: 0, downKn: 0 } }]);
  });
  test('the inverse: where 4 m and 5 m meet', async () => {
    const anchors = [
      { id: 'l', ...apex(0, 0, 8), legM: 4 },
      { id: 'r', ...apex(6, 0, 8), legM: 5 },
    ];
    const { body } = await ask('bridle-apex', { anchors });
    expect(body.apex).toEqual({ xM: near(2.25), yM: 0, zM: about(4.69281, 5) });
  });
  test.each([
    ['apex-out-of-plane', apex(0, 0.006, 6), apart, { nearestApex: { xM: 0, yM: about(0, 9), zM: 6 } }],
    ['leg-in-compression', apex(4, 0, 6), apart, { legs: ['l'] }],
    ['apex-not-below-anchors', apex(0, 0, 10), apart, {}],
    ['leg-too-flat', apex(0, 0, 9.75), apart, {}],
    ['indeterminate', apex(0, 0, 6), [...apart, { id: 'n', xM: 0, yM: 3, zM: 10 }, { id: 's', xM: 0, yM: -3, zM: 10 }], { legs: 4 }],
    ['indeterminate', apex(0, 0, 6), [...apart, { id: 'm', xM: 1, yM: 0, zM: 10 }], {}],
    ['too-few-legs', apex(0, 0, 6), apart.slice(1), {}],
    ['anchors-coincide', apex(0, 0, 6), [apart[0], { ...apart[0], id: 'x' }], {}],
    ['out-of-range', apex(1e9, 0, 6), apart, {}],
  ])('refused: %s', async (code, at, anchors, facts) => {
    expect(await refusal('bridle', { loadKg: 1000, apex: at, anchors })).toEqual(wrong(code, facts));
  });
  test.each([
    ['legs-do-not-meet', [1, 1], { reason: 'legs-too-short' }],
    ['legs-do-not-meet', [1, 9], { reason: 'leg-too-long', slackLegs: ['r'], plumbApex: { xM: -3, yM: 0, zM: 9 } }],
    ['leg-in-compression', [3, 6.8], { slackLegs: ['r'], plumbApex: { xM: -3, yM: 0, zM: 7 } }],
    ['leg-length-not-positive', [0, 5], { leg: 'l' }],
  ])('legs cut wrong: %s', async (code, lengths, facts) => {
    const anchors = apart.map((anchor, index) => ({ ...anchor, legM: lengths[index] }));
    expect(await refusal('bridle-apex', { anchors })).toEqual(wrong(code, facts));
  });
});

// Worked by hand; the frame and both elements are invented.
const element = { massKg: 50, cg: { uM: -0.3, vM: -0.15 }, bottomPivot: { uM: 0, vM: -0.3 } };
const build = {
  framePitchDeg: 0,
  frame: {
    massKg: 60,
    cg: { uM: 0, vM: 0 },
    bottomPivot: { uM: 0.5, vM: -0.1 },
    holes: [
      { id: 'f', uM: 0.4, vM: 0.1 },
      { id: 'r', uM: -0.4, vM: 0.1 },
    ],
  },
  elements: [
    { ...element, splayDeg: 0 },
    { ...element, splayDeg: 10 },
  ],
  extraMasses: [],
  hang: { holes: ['f', 'r'] },
};
describe('array', () => {
  const { framePitchDeg: _pitch, ...free } = build;
  test('level, nose down, and free on one hole', async () => {
    const level = await ask('array', { ...build, stackSizes: [1, 1] });
    expect(level.body).toMatchObject({
      totalMassKg: 160,
      cg: { uM: about(-0.281715, 6), vM: about(-0.333008, 6) },
      reactions: [
        { hole: 'f', massKg: about(103.6569, 4) },
        { hole: 'r', massKg: about(56.3431, 4) },
      ],
      freeHangDeg: null,
      holdableDeg: { from: about(-57.2784, 4), to: about(40.2303, 4) },
      elements: [{ pitchDeg: 0 }, { pitchDeg: -10 }],
    });
    const down = await ask('array', { ...build, framePitchDeg: -10 });
    expect(down.body.reactions).toMatchObject([{ massKg: about(91.9132, 4) }, { massKg: about(68.0868, 4) }]);
    for (const [hole, deg] of [
      ['f', 40.2303],
      ['r', -57.2784],
    ] as const) {
      const { body } = await ask('array', { ...free, hang: { hole } });
      expect(body).toMatchObject({ freeHangDeg: about(deg, 4), holdableDeg: null });
    }
  });
  test.each([
    ['chain-would-push', { framePitchDeg: 45 }, { holdableDeg: { from: about(-57.2784, 4), to: about(40.2303, 4) } }],
    ['no-such-hole', { hang: { holes: ['f', 'x'] } }, { hole: 'x' }],
    ['holes-coincide', { hang: { holes: ['f', 'f'] } }, {}],
    ['frame-pitch-missing', { framePitchDeg: undefined }, {}],
    ['frame-pitch-not-free', { hang: { hole: 'f' } }, { framePitchDeg: 0 }],
    ['stacks-do-not-add-up', { stackSizes: [3] }, { stacked: 3, elements: 2 }],
    ['no-such-element', { extraMasses: [{ on: 2, uM: 0, vM: 0, massKg: 1 }] }, { on: 2 }],
    ['no-mass', { frame: { ...build.frame, massKg: 0 }, elements: [] }, {}],
  ])('refused: %s', async (code, change, facts) => {
    expect(await refusal('array', { ...build, ...change })).toEqual(wrong(code, facts));
  });
});

describe('limits', () => {
  const day = (hour: number) => `2026-05-01T${String(hour).padStart(2, '0')}:00:00+02:00`;
  const sweep = {
    points: [
      { id: 'a', wllKg: 1000 },
      { id: 'b', wllKg: 1000 },
    ],
    limits: [
      {
        id: 'w',
        kind: 'weighted',
        terms: [
          { point: 'a', factor: 1 },
          { point: 'b', factor: -0.5 },
        ],
        capacityKg: 100,
      },
    ],
    loads: [
      { id: 'A', from: day(10), to: day(14), points: [{ point: 'a', massKg: 120 }] },
      { id: 'B', from: day(9), to: day(12), points: [{ point: 'b', massKg: 100 }] },
    ],
  };
  test('what helps is not counted, and the worst hours are told in UTC', async () => {
    const { body } = await ask('limits', sweep);
    expect(body.limits).toMatchObject([
      { id: 'a', kind: 'point', worst: 120, verdict: 'fits' },
      { id: 'b', kind: 'point' },
      {
        id: 'w',
        kind: 'weighted',
        worst: 120,
        verdict: 'over',
        utilisation: near(1.2),
        from: '2026-05-01T08:00:00.000Z',
        to: '2026-05-01T12:00:00.000Z',
        loads: ['A'],
      },
    ]);
  });
  test('the building also holds down: 2 t midspan and 2 t at the tip make 49.0 kNm, not 19.6', async () => {
    const at = (id: string, atM: number) => ({ id, wllKg: 5000, memberId: 'm', atM });
    const load = (point: string) => ({ id: `on ${point}`, from: day(8), to: day(20), points: [{ point, massKg: 2000 }] });
    const supports = [
      { id: 'a', atM: 0 },
      { id: 'b', atM: 10 },
    ];
    const strength = { allowSaggingKnm: 100, allowHoggingKnm: 1000, allowShearKn: 1000 };
    const { body } = await ask('limits', {
      points: [at('mid', 5), at('tip', 13)],
      members: [{ id: 'm', lengthM: 13, selfKgPerM: 0, allowableIs: 'imposed', ei: { eGpa: 210, iCm4: 8000 }, supports, ...strength }],
      limits: [],
      loads: [load('mid'), load('tip')],
    });
    expect(body.limits).toContainEqual(
      expect.objectContaining({ id: 'm', kind: 'member-moment', worst: near(49.03325), loads: ['on mid'], atM: 5 }),
    );
  });
  test('every impossible thing at once, each with its place', async () => {
    const faulty = {
      ...sweep,
      points: [...sweep.points, { id: 'c', wllKg: 1, memberId: 'none', atM: 0 }],
      loads: [{ id: 'A', from: day(10), to: day(10), points: [{ point: 'x', massKg: 1 }] }],
    };
    const pointers = ['/points/2/memberId', '/limits', '/loads/0/to', '/loads/0/points/0/point'];
    const refused = await refusal('limits', faulty);
    expect(refused).toEqual(wrong('limits-input-impossible'));
    const told = z.array(z.object({ pointer: z.string() })).parse('errors' in refused ? refused.errors : []);
    expect(told.map(({ pointer }) => pointer)).toEqual(pointers.filter((pointer) => pointer !== '/limits'));
  });
  test('more loads than are answered in bounded time are refused', async () => {
    const loads = Array.from({ length: 2001 }, (_, index) => ({ ...sweep.loads[0], id: `l${index}` }));
    expect((await ask('limits', { ...sweep, loads })).status).toBe(400);
  });
});

const sampleOf = (name: string) => z.record(z.string(), z.unknown()).parse(CALCULATORS.find((one) => one.name === name)?.example);
describe('frame, hoist-line, leg-parts', () => {
  test('an even rectangle on its corners shares evenly', async () => {
    const { body } = await ask('frame', { ...sampleOf('frame'), sides: [{}, {}, {}, {}] });
    // 28 m of 10 kg/m over four corners.
    expect(body.resting).toMatchObject([{ reactions: Array.from({ length: 4 }, () => ({ massKg: about(70, 6) })) }]);
  });
  test.each([
    ['unstable', { hoists: [] }],
    ['stiffness-needed', { ei: undefined }],
    ['side-missing', { sides: [{}] }],
    [
      'polygon-too-few-corners',
      {
        corners: [
          { xM: 0, yM: 0 },
          { xM: 1, yM: 0 },
        ],
        sides: [{}, {}],
      },
    ],
  ])('a frame refused: %s', async (code, change) => {
    expect(await refusal('frame', { ...sampleOf('frame'), ...change })).toEqual(wrong(code));
  });
  test('the sample line: every share by hand', async () => {
    const { body } = await ask('hoist-line', sampleOf('hoist-line'));
    // Hook: 400 + 20 · 1.15. Top hook at 12, hook at trim 9.8: 2.2 m less 0.6 m paid out, on two falls 3.2 kg standing, 36.8 kg travelling.
    // Moving: 1.25 · (423 + 54 + 36.8) + 3.2 + 6 · 1.05. Limiter: 1.6 · 1000 + 54 + 36.8 + 3.2 + 6.3.
    expect(body).toMatchObject({
      hook: { massKg: near(423) },
      onHoist: { massKg: near(513.8), utilisation: near(0.5138) },
      apex: { resting: { massKg: near(517) }, moving: { massKg: near(645.45) } },
      point: { resting: { massKg: near(523.3) }, moving: { massKg: near(651.75) }, limiter: { massKg: near(1700.3) } },
      headroom: { hookAtTrimM: near(9.8), liftNeededM: near(9.7), liftSpareM: near(8.3) },
      missing: [],
    });
  });
  test('what is not known is named, and a factor that would make it lighter is refused', async () => {
    const sample = sampleOf('hoist-line');
    const { body } = await ask('hoist-line', { ...sample, dynamicFactor: null });
    expect(body).toMatchObject({ point: { moving: null }, missing: [{ code: 'dynamic-factor-unknown' }] });
    expect(await refusal('hoist-line', { ...sample, dynamicFactor: 0.9 })).toEqual(wrong('factor-below-one'));
  });
  test('legs from stock: fewest parts first', async () => {
    const stock = {
      pieces: [
        { id: '2 m', lengthM: 2, available: 3 },
        { id: '1 m', lengthM: 1 },
      ],
    };
    const { body } = await ask('leg-parts', { wanted: { legs: [{ id: 'a', lengthM: 5 }] }, toleranceMm: 0, stock });
    const [best] = z.array(z.unknown()).parse(body.makeUps);
    const pieces = [
      { id: '2 m', count: 2 },
      { id: '1 m', count: 1 },
    ];
    expect(best).toMatchObject({ parts: 3, offMm: 0, legs: [{ id: 'a', madeM: 5, pieces }], bridle: null });
    const short = { wanted: { legs: [{ id: 'a', lengthM: 5.5 }] }, toleranceMm: 10, stock };
    expect(await refusal('leg-parts', short)).toEqual(wrong('no-make-up', { legs: ['a'] }));
    const bridle = await ask('leg-parts', sampleOf('leg-parts'));
    const [asMade] = z.array(z.unknown()).parse(bridle.body.makeUps);
    // 3 m, 1.5 m and an adjuster at 0.5 m for each leg of 5 m.
    expect(asMade).toMatchObject({ parts: 6, bridle: { apex: { xM: about(0, 6), zM: about(6, 6) } } });
  });
});

describe('every calculator', () => {
  test.each(CALCULATORS.map(({ name, example }) => ({ name, example })))(
    '$name answers its own example without an account',
    async ({ name, example }) => {
      const { status, body, headers } = await running.call('POST', `calculations/${name}`, example, { 'idempotency-key': '' });
      expect(status).toBe(200);
      expect(body.cautions).toEqual(expect.any(Array));
      expect(headers['ratelimit-policy']).toContain('"calculations"');
    },
  );
  test.each(CALCULATORS.map(({ name }) => name))('%s names every fault of a question that does not fit', async (name) => {
    const { status, body } = await ask(name, { nonsense: 1 });
    expect(status).toBe(400);
    expect(body).toMatchObject({ type: '/problems/invalid-request' });
    const pointers = z.array(z.object({ pointer: z.string() })).parse(body.errors);
    expect(pointers.map(({ pointer }) => pointer)).toContain('/nonsense');
    expect(pointers.length).toBeGreaterThan(1);
  });
  test('negative masses, numbers too large for JSON and repeated names are refused by place', async () => {
    const two = { ...overhang, selfKgPerM: -1, pointLoads: [{ atM: 1, massKg: -5 }] };
    expect((await ask('beam', two)).body.errors).toMatchObject([{ pointer: '/selfKgPerM' }, { pointer: '/pointLoads/0/massKg' }]);
    expect(await ask('bridle', '{"loadKg":1e999}')).toMatchObject({ status: 400, body: { type: '/problems/malformed-json' } });
    const repeated = { loadKg: 1, apex: apex(0, 0, 6), anchors: [apart[0], { ...apart[1], id: 'l' }] };
    expect((await ask('bridle', repeated)).body.errors).toMatchObject([{ pointer: '/anchors/1/id' }]);
  });
});
