import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { z } from 'zod';
import type { Result } from '../../src/domain/foundation/result.ts';
import { STANDARD_GRAVITY } from '../../src/domain/foundation/units.ts';
import { arrayLoadCurve, solveArray } from '../../src/domain/statics/array.ts';
import type { ArrayQuestion } from '../../src/domain/statics/array-answer.ts';
import { answerArray } from '../../src/domain/statics/array-answer.ts';
import type { ArrayBuild, ArrayElement, SidePoint } from '../../src/domain/statics/array-assembly.ts';

function expectOk<T, E>(result: Result<T, E>): T {
  if (!result.ok) throw new Error(JSON.stringify(result.error));
  return result.value;
}
function expectFail<T, E>(result: Result<T, E>): E {
  if (result.ok) throw new Error('was expected to fail');
  return result.error;
}
const rad = (deg: number) => (deg * Math.PI) / 180;
const near = (value: number, digits: number): unknown => expect.closeTo(value, digits);
const at = (uM: number, vM: number): SidePoint => ({ uM, vM });

// --- Published: centres of gravity and shares (computed by make.py, invented inputs, no published case) ---

const Tolerance = z.object({ relative: z.number(), absolute: z.number() });
const Case = z.object({ id: z.string(), tolerance: Tolerance, inputs: z.unknown(), expected: z.unknown() });
const text = readFileSync(new URL('../published/centroids.json', import.meta.url), 'utf8');
const cases = z.object({ cases: z.array(Case) }).parse(JSON.parse(text)).cases;
const among = (ids: readonly string[]) => cases.filter(({ id }) => ids.includes(id));

/** Passes if the relative or the absolute tolerance holds. */
function expectWithin(found: number, expected: number, { relative, absolute }: z.infer<typeof Tolerance>) {
  expect(Math.abs(found - expected)).toBeLessThan(Math.max(absolute, relative * Math.abs(expected)));
}
/** Holes wide apart and high up, so that any CG lies between and below them; places come back from the front one. */
const FAR = at(50, 50);
const wideFrame = (massKg: number, cg: SidePoint) => ({
  massKg,
  cg,
  bottomPivot: at(0, 0),
  holes: [
    { id: 'front', ...FAR },
    { id: 'rear', ...at(-50, 50) },
  ],
});
const level = { on: 'two-holes', frontHole: 'front', rearHole: 'rear', framePitchRad: 0 } as const;

const Masses = z.object({
  inputs: z.object({ masses: z.array(z.object({ kg: z.number(), at_m: z.array(z.number()) })) }),
  expected: z.object({ mass_kg: z.number(), centre_m: z.array(z.number()) }),
});
test.each(among(['centroid-01', 'centroid-02', 'centroid-03']))('$id: masses have one centre', ({ tolerance, ...entry }) => {
  const { inputs, expected } = Masses.parse(entry);
  // The side plane has two axes: each axis of the case is brought to v in turn, along u for the first.
  for (const [axis, centreM] of expected.centre_m.entries()) {
    const extraMasses = inputs.masses.map(({ kg, at_m }) => ({ on: 'frame' as const, massKg: kg, ...at(at_m[0] ?? 0, at_m[axis] ?? 0) }));
    const found = expectOk(solveArray({ frame: wideFrame(0, at(0, 0)), elements: [], extraMasses }, level));
    expectWithin(found.totalMassKg, expected.mass_kg, tolerance);
    expectWithin(found.cg.uM + FAR.uM, expected.centre_m[0] ?? NaN, tolerance);
    expectWithin(found.cg.vM + FAR.vM, centreM, tolerance);
  }
});

const Cabinets = z.object({
  inputs: z.object({
    cabinets: z.number(),
    cabinet_kg: z.number(),
    pitch_m: z.number(),
    tilt_down_deg: z.array(z.number()),
    cg_ahead_of_back_edge_m: z.number(),
    frame_kg: z.number(),
    frame_at_m: z.tuple([z.number(), z.number()]),
  }),
  expected: z.object({
    mass_kg: z.number(),
    centre_m: z.tuple([z.number(), z.number()]),
    bottom_of_lowest_back_edge_m: z.tuple([z.number(), z.number()]),
  }),
});
test.each(among(['centroid-04', 'centroid-05', 'centroid-06']))('$id: a curved string of cabinets', ({ tolerance, ...entry }) => {
  const { inputs, expected } = Cabinets.parse(entry);
  const tilts = inputs.tilt_down_deg;
  const elements = tilts.map((tiltDeg, index) => ({
    massKg: inputs.cabinet_kg,
    cg: at(inputs.cg_ahead_of_back_edge_m, -inputs.pitch_m / 2),
    bottomPivot: at(0, -inputs.pitch_m),
    splayRad: rad(tiltDeg - (tilts[index - 1] ?? 0)),
  }));
  expect(elements).toHaveLength(inputs.cabinets);
  const frame = wideFrame(inputs.frame_kg, at(...inputs.frame_at_m));
  const found = expectOk(solveArray({ frame, elements, extraMasses: [] }, level));
  expectWithin(found.totalMassKg, expected.mass_kg, tolerance);
  expectWithin(found.cg.uM + FAR.uM, expected.centre_m[0], tolerance);
  expectWithin(found.cg.vM + FAR.vM, expected.centre_m[1], tolerance);
  // Without corners the lowest known place is the bottom pivot of the last cabinet, here its back edge.
  expectWithin(found.lowest.uM + FAR.uM, expected.bottom_of_lowest_back_edge_m[0], tolerance);
  expectWithin(found.lowest.vM + FAR.vM, expected.bottom_of_lowest_back_edge_m[1], tolerance);
});

const TwoHoists = z.object({
  inputs: z.object({ mass_kg: z.number(), front_pick_x_m: z.number(), rear_pick_x_m: z.number(), cg_x_m: z.number() }),
  expected: z.object({ front_kg: z.number(), rear_kg: z.number(), both_in_tension: z.boolean() }),
});
test.each(among(['centroid-07', 'centroid-08', 'centroid-09']))('$id: front and rear hoist', ({ tolerance, ...entry }) => {
  const { inputs, expected } = TwoHoists.parse(entry);
  const holes = [
    { id: 'front', ...at(inputs.front_pick_x_m, 0) },
    { id: 'rear', ...at(inputs.rear_pick_x_m, 0) },
  ];
  const frame = { massKg: inputs.mass_kg, cg: at(inputs.cg_x_m, -1), bottomPivot: at(0, -0.1), holes };
  const found = solveArray({ frame, elements: [], extraMasses: [] }, level);
  expect(found.ok).toBe(expected.both_in_tension);
  if (found.ok) {
    expectWithin(found.value.reactions[0]?.massKg ?? NaN, expected.front_kg, tolerance);
    expectWithin(found.value.reactions[1]?.massKg ?? NaN, expected.rear_kg, tolerance);
  } else {
    expect(found.error).toMatchObject({ code: 'chain-would-push', hole: 'rear' });
    if (found.error.code === 'chain-would-push') expectWithin(found.error.massKg, expected.rear_kg, tolerance);
  }
});

// --- Worked by hand (six and four decimals are all there is) ---

const cabinet = (splayDeg: number) => ({ massKg: 50, cg: at(-0.3, -0.15), bottomPivot: at(0, -0.3), splayDeg });
const worked: ArrayQuestion = {
  framePitchDeg: 0,
  frame: {
    massKg: 60,
    cg: at(0, 0),
    bottomPivot: at(0.5, -0.1),
    holes: [
      { id: 'front', ...at(0.4, 0.1) },
      { id: 'rear', ...at(-0.4, 0.1) },
    ],
  },
  elements: [cabinet(0), cabinet(10)],
  hang: { holes: ['front', 'rear'] },
};
const oneHole = (hole: string): ArrayQuestion => ({ ...worked, framePitchDeg: undefined, hang: { hole } });

describe('the worked array', () => {
  test.each([
    { framePitchDeg: 0, frontKg: 103.6569, rearKg: 56.3431 },
    { framePitchDeg: -10, frontKg: 91.9132, rearKg: 68.0868 },
  ])('at $framePitchDeg° carries $frontKg and $rearKg kg', ({ framePitchDeg, frontKg, rearKg }) => {
    const answer = expectOk(answerArray({ ...worked, framePitchDeg }));
    expect(answer.reactions).toEqual([
      { hole: 'front', massKg: near(frontKg, 4), forceKn: near((frontKg * STANDARD_GRAVITY) / 1000, 6) },
      { hole: 'rear', massKg: near(rearKg, 4), forceKn: near((rearKg * STANDARD_GRAVITY) / 1000, 6) },
    ]);
    expect(answer.elements.map(({ pitchDeg }) => pitchDeg)).toEqual([framePitchDeg, framePitchDeg - 10]);
    expect(answer.freeHangDeg).toBeNull();
    expect(answer.holdableDeg).toEqual({ from: near(-57.2784, 4), to: near(40.2303, 4) });
  });
  test('has its centre of gravity behind and below the front hole', () => {
    const { cg, totalMassKg } = expectOk(answerArray(worked));
    expect(totalMassKg).toBe(160);
    expect(cg).toEqual({ uM: near(-0.281715, 6), vM: near(-0.333008, 6) });
  });
  test.each([
    { hole: 'front', freeDeg: 40.2303 },
    { hole: 'rear', freeDeg: -57.2784 },
  ])('hangs at $freeDeg° on its $hole hole alone', ({ hole, freeDeg }) => {
    const answer = expectOk(answerArray(oneHole(hole)));
    expect(answer.freeHangDeg).toBeCloseTo(freeDeg, 4);
    expect(answer.cg.uM).toBeCloseTo(0, 12);
    expect(answer.holdableDeg).toBeNull();
    expect(answer.reactions).toEqual([{ hole, massKg: 160, forceKn: near(1.569064, 9) }]);
    expect(answer.elements[1]?.pitchDeg).toBeCloseTo(freeDeg - 10, 4);
  });
  test.each([41, -58, 120, -120, 200])('cannot be held at %i°', (framePitchDeg) => {
    expect(expectFail(answerArray({ ...worked, framePitchDeg }))).toMatchObject({
      code: 'chain-would-push',
      holdableDeg: { from: near(-57.2784, 4), to: near(40.2303, 4) },
    });
  });
});

// By hand: frame alone 60 kg, CG midway → 30 and 30. One cabinet: CG of it at (0.2, -0.25) → moment about the rear hole
// 60·0.4 + 50·0.6 = 54, front 54 / 0.8 = 67.5. At -10° front and rear of the frame alone: 0.8·cos 10° apart, CG 0.1 below.
test('build stages hold the frame alone, then after each stack, level and at the final pitch', () => {
  const answer = expectOk(answerArray({ ...worked, framePitchDeg: -10, stackSizes: [1, 1] }));
  expect(answer.stages.map(({ elements, at: when }) => [elements, when])).toEqual([
    [0, 'level'],
    [0, 'final'],
    [1, 'level'],
    [1, 'final'],
    [2, 'level'],
    [2, 'final'],
  ]);
  const frontKg = answer.stages.map(({ reactions }) => reactions?.[0]?.massKg);
  expect(frontKg[0]).toBeCloseTo(30, 9);
  expect(frontKg[1]).toBeCloseTo(30 - (60 * 0.1 * Math.tan(rad(10))) / 0.8, 9);
  expect(frontKg[2]).toBeCloseTo(67.5, 9);
  expect(frontKg[4]).toBeCloseTo(103.6569, 4);
  expect(frontKg[5]).toBeCloseTo(91.9132, 4);
});

test('a stage that cannot be held has no reactions and a caution', () => {
  // Nose heavy until the counterweight of the last cabinet is pinned: at first the CG is ahead of the front hole.
  const nose = { massKg: 100, cg: at(0.5, -0.1), bottomPivot: at(0, -0.3), splayDeg: 0 };
  const tail = { massKg: 100, cg: at(-0.5, -0.1), bottomPivot: at(0, -0.3), splayDeg: 0 };
  const frame = { ...worked.frame, massKg: 1 };
  const answer = expectOk(answerArray({ ...worked, frame, elements: [nose, tail, tail], stackSizes: [1, 2] }));
  expect(answer.stages[2]).toEqual({ elements: 1, at: 'level', reactions: null });
  expect(answer.stages[4]?.reactions).not.toBeNull();
  expect(answer.cautions).toContain('The stage with 1 elements cannot be held level: one chain would have to push.');
});

test('outline: lowest corner, height and depth', () => {
  const corners = [at(0, 0), at(-0.6, 0), at(-0.6, -0.3), at(0, -0.3)];
  const elements = [0, 0].map((splayDeg) => ({ ...cabinet(splayDeg), corners }));
  const { lowest, heightM, depthM } = expectOk(answerArray({ ...worked, elements }));
  // Pivots at u 0.5, so corners reach from -0.1 to 0.5; the frame's rear hole is at -0.4. Lowest: -0.1 - 0.3 - 0.3, and holes at 0.1.
  expect(lowest).toEqual({ uM: near(-0.5, 12), vM: near(-0.8, 12), element: 1 });
  expect(heightM).toBeCloseTo(0.8, 12);
  expect(depthM).toBeCloseTo(0.9, 12);
});

// --- Laws ---

const metres = (min: number, max: number) => fc.double({ min, max, noNaN: true });
const kg = fc.double({ min: 0.1, max: 500, noNaN: true });
const element: fc.Arbitrary<ArrayElement> = fc.record({
  massKg: kg,
  cg: fc.record({ uM: metres(-0.8, 0.2), vM: metres(-0.4, 0) }),
  bottomPivot: fc.record({ uM: metres(-0.1, 0.1), vM: metres(-0.5, -0.1) }),
  splayRad: metres(-0.1, 0.3),
});
const build: fc.Arbitrary<ArrayBuild> = fc.record({
  frame: fc.record({
    massKg: kg,
    cg: fc.record({ uM: metres(-0.3, 0.3), vM: metres(-0.1, 0) }),
    bottomPivot: fc.record({ uM: metres(-0.5, 0.5), vM: metres(-0.3, 0) }),
    holes: fc.tuple(metres(0.2, 1), metres(-1, -0.2), metres(0.05, 0.2)).map(([frontM, rearM, upM]) => [
      { id: 'front', ...at(frontM, upM) },
      { id: 'rear', ...at(rearM, upM) },
    ]),
  }),
  elements: fc.array(element, { maxLength: 24 }),
  extraMasses: fc.array(fc.record({ on: fc.constant('frame' as const), massKg: kg, uM: metres(-1, 1), vM: metres(-1, 0) }), {
    maxLength: 4,
  }),
});
const pitch = metres(-0.6, 0.6);
const holesOf = ({ frame }: ArrayBuild) => ({
  front: frame.holes[0] ?? { id: '', ...at(0, 0) },
  rear: frame.holes[1] ?? { id: '', ...at(0, 0) },
});

const turned = ({ uM, vM }: SidePoint, angle: number) =>
  at(uM * Math.cos(angle) - vM * Math.sin(angle), uM * Math.sin(angle) + vM * Math.cos(angle));

/** The obvious way: every mass turned to its place by itself. Forward of the frame's origin, where all of it balances. */
function slowCg({ frame, elements, extraMasses }: ArrayBuild, pitchRad: number): { uM: number; totalKg: number } {
  const weights: { massKg: number; uM: number }[] = [frame, ...extraMasses.filter(({ on }) => on === 'frame')].map((part) => {
    const place = 'cg' in part ? part.cg : part;
    return { massKg: part.massKg, uM: turned(place, pitchRad).uM };
  });
  for (const [index, one] of elements.entries()) {
    let pivot = turned(frame.bottomPivot, pitchRad);
    let angle = pitchRad;
    for (const above of elements.slice(0, index)) {
      angle -= above.splayRad;
      const step = turned(above.bottomPivot, angle);
      pivot = at(pivot.uM + step.uM, pivot.vM + step.vM);
    }
    weights.push({ massKg: one.massKg, uM: pivot.uM + turned(one.cg, angle - one.splayRad).uM });
  }
  const totalKg = weights.reduce((sum, { massKg }) => sum + massKg, 0);
  return { uM: weights.reduce((sum, { massKg, uM }) => sum + (massKg * uM) / totalKg, 0), totalKg };
}
/** Then the lever rule. */
function slowFrontKg(one: ArrayBuild, pitchRad: number): { frontKg: number; totalKg: number } {
  const { front, rear } = holesOf(one);
  const [frontU, rearU] = [turned(front, pitchRad).uM, turned(rear, pitchRad).uM];
  const { uM, totalKg } = slowCg(one, pitchRad);
  return { frontKg: (totalKg * (uM - rearU)) / (frontU - rearU), totalKg };
}

test('reactions agree with every mass turned to its place by itself, and are refused exactly when one is negative', () => {
  let [held, refused, worst] = [0, 0, 0];
  fc.assert(
    fc.property(build, pitch, (one, framePitchRad) => {
      const found = solveArray(one, { ...level, framePitchRad });
      const { frontKg, totalKg } = slowFrontKg(one, framePitchRad);
      const rearKg = totalKg - frontKg;
      if (found.ok) {
        held += 1;
        worst = Math.max(worst, Math.abs((found.value.reactions[0]?.massKg ?? NaN) - frontKg) / totalKg);
        expect(Math.abs((found.value.reactions[0]?.massKg ?? NaN) - frontKg)).toBeLessThan(1e-9 * totalKg);
        expect(Math.abs((found.value.reactions[1]?.massKg ?? NaN) - rearKg)).toBeLessThan(1e-9 * totalKg);
      } else {
        refused += 1;
        expect(found.error.code).toBe('chain-would-push');
        expect(Math.min(frontKg, rearKg)).toBeLessThan(0);
      }
    }),
    { numRuns: 1000, seed: 20260101 },
  );
  console.info(
    `array against the obvious way: ${held} held, ${refused} refused, largest difference ${worst.toExponential(2)} of the weight`,
  );
  expect(Math.min(held, refused)).toBeGreaterThan(50);
});

test('at the ends of what can be held one chain carries everything', () => {
  fc.assert(
    fc.property(build, (one) => {
      const curve = arrayLoadCurve(one, { frontHole: 'front', rearHole: 'rear' }, 10);
      // Splays enough curl an array up. Hung by a weight above its holes it falls over; by one in line with them it is held up to where one
      // hole comes to be right above the other, nearer than a millimetre in plan. Nose down by 90° what is above is ahead.
      const { front, rear } = holesOf(one);
      const belowM = front.vM - slowCg(one, -Math.PI / 2).uM;
      const alongM = slowCg(one, 0).uM;
      const reachM = Math.max(Math.abs(alongM - front.uM), Math.abs(alongM - rear.uM)) + Math.abs(belowM);
      const inLineM = (0.0011 * reachM) / (front.uM - rear.uM);
      if (belowM < -inLineM) {
        expect(curve).toMatchObject({ ok: false, error: { code: 'cg-above-holes' } });
        return;
      }
      if (belowM < inLineM && !curve.ok) {
        expect(['cg-above-holes', 'holes-coincide']).toContain(curve.error.code);
        return;
      }
      const rows = expectOk(curve);
      const totalKg = (rows[0]?.reactions ?? []).reduce((sum, { massKg }) => sum + massKg, 0);
      expect(rows).toHaveLength(11);
      expect(rows[0]?.reactions[0]?.massKg).toBeLessThan(1e-9 * totalKg);
      expect(rows[10]?.reactions[1]?.massKg).toBeLessThan(1e-9 * totalKg);
      // Nose up moves weight to the front: every point of the array below the holes swings forward.
      for (const [index, row] of rows.entries()) {
        expect(row.reactions[0]?.massKg ?? NaN).toBeGreaterThanOrEqual((rows[index - 1]?.reactions[0]?.massKg ?? 0) - 1e-9 * totalKg);
      }
      const free = expectOk(solveArray(one, { on: 'one-hole', hole: 'front' }));
      expect(free.freeHangRad).toBeCloseTo(rows[10]?.pitchRad ?? NaN, 9);
      expect(Math.abs(free.cg.uM)).toBeLessThan(1e-9 * (1 + Math.abs(free.cg.vM)));
      expect(free.cg.vM).toBeLessThan(0);
    }),
  );
});

test('a mirrored array mirrors its loads', () => {
  const flip = ({ uM, vM }: SidePoint) => at(-uM, vM);
  fc.assert(
    fc.property(build, pitch, (one, framePitchRad) => {
      const { front, rear } = holesOf(one);
      const mirrored: ArrayBuild = {
        frame: {
          massKg: one.frame.massKg,
          cg: flip(one.frame.cg),
          bottomPivot: flip(one.frame.bottomPivot),
          holes: [
            { id: 'front', ...flip(rear) },
            { id: 'rear', ...flip(front) },
          ],
        },
        elements: one.elements.map((e) => ({ ...e, cg: flip(e.cg), bottomPivot: flip(e.bottomPivot), splayRad: -e.splayRad })),
        extraMasses: one.extraMasses.map((e) => ({ ...e, ...flip(e) })),
      };
      const found = solveArray(one, { ...level, framePitchRad });
      const other = solveArray(mirrored, { ...level, framePitchRad: -framePitchRad });
      expect(other.ok).toBe(found.ok);
      if (!found.ok || !other.ok) return;
      const slack = 1e-9 * found.value.totalMassKg;
      expect(Math.abs((other.value.reactions[1]?.massKg ?? NaN) - (found.value.reactions[0]?.massKg ?? NaN))).toBeLessThan(slack);
      // Places count from the front hole, and the mirror makes that the other one.
      const rearUpM = found.value.holes.find(({ id }) => id === 'rear')?.vM ?? NaN;
      expect(other.value.lowest.vM).toBeCloseTo(found.value.lowest.vM - rearUpM, 9);
    }),
  );
});

test('twice the mass is twice the load; a massless extra changes nothing', () => {
  fc.assert(
    fc.property(build, pitch, (one, framePitchRad) => {
      const double: ArrayBuild = {
        frame: { ...one.frame, massKg: 2 * one.frame.massKg },
        elements: one.elements.map((e) => ({ ...e, massKg: 2 * e.massKg })),
        extraMasses: one.extraMasses.map((e) => ({ ...e, massKg: 2 * e.massKg })),
      };
      const hanging = { ...level, framePitchRad };
      const found = solveArray(one, hanging);
      if (!found.ok) return;
      const doubled = expectOk(solveArray(double, hanging));
      expect(doubled.reactions.map(({ massKg }) => massKg / 2)).toEqual(found.value.reactions.map(({ massKg }) => massKg));
      const idle = { on: 'frame', massKg: 0, uM: 3, vM: -7 } as const;
      expect(solveArray({ ...one, extraMasses: [...one.extraMasses, idle] }, hanging)).toEqual(found);
    }),
  );
});

test('an extra mass counts where it is, also on an element that is turned', () => {
  // On element 1 (turned 10° down) at its bottom pivot: the same as a mass on the frame at that place of the level frame.
  const turned = expectOk(answerArray({ ...worked, extraMasses: [{ on: 1, massKg: 20, ...at(0, -0.3) }] }));
  const place = at(0.5 + 0.3 * Math.sin(rad(-10)), -0.4 - 0.3 * Math.cos(rad(10)));
  const onFrame = expectOk(answerArray({ ...worked, extraMasses: [{ on: 'frame', massKg: 20, ...place }] }));
  expect(turned.reactions[0]?.massKg).toBeCloseTo(onFrame.reactions[0]?.massKg ?? NaN, 9);
  expect(turned.cg.vM).toBeCloseTo(onFrame.cg.vM, 12);
});

// --- Refusals ---

const withFrame = (change: Partial<ArrayQuestion['frame']>): ArrayQuestion => ({ ...worked, frame: { ...worked.frame, ...change } });
const withElement = (change: Partial<ArrayQuestion['elements'][number]>): ArrayQuestion => ({
  ...worked,
  elements: [{ ...cabinet(0), ...change }],
});
test.each<{ why: string; question: ArrayQuestion; error: object }>([
  { why: 'no such front hole', question: { ...worked, hang: { holes: ['x', 'rear'] } }, error: { code: 'no-such-hole', hole: 'x' } },
  { why: 'no such rear hole', question: { ...worked, hang: { holes: ['front', 'y'] } }, error: { code: 'no-such-hole', hole: 'y' } },
  { why: 'no such single hole', question: oneHole('z'), error: { code: 'no-such-hole', hole: 'z' } },
  {
    why: 'one hole named twice',
    question: { ...worked, hang: { holes: ['front', 'front'] } },
    error: { code: 'holes-coincide', holes: ['front', 'front'] },
  },
  {
    why: 'two holes of one name',
    question: withFrame({
      holes: [
        { id: 'a', ...at(0, 0) },
        { id: 'a', ...at(1, 0) },
      ],
    }),
    error: { code: 'hole-twice', hole: 'a' },
  },
  { why: 'no pitch on two holes', question: { ...worked, framePitchDeg: undefined }, error: { code: 'frame-pitch-missing' } },
  {
    why: 'a pitch on one hole',
    question: { ...oneHole('front'), framePitchDeg: 3 },
    error: { code: 'frame-pitch-not-free', framePitchDeg: 3 },
  },
  { why: 'NaN pitch', question: { ...worked, framePitchDeg: NaN }, error: { code: 'not-finite', what: 'frame pitch' } },
  {
    why: 'a pitch of many turns',
    question: { ...worked, framePitchDeg: 1e9 },
    error: { code: 'angle-beyond-a-turn', what: 'frame pitch', angleDeg: near(1e9, 3) },
  },
  {
    why: 'a splay of many turns',
    question: withElement({ splayDeg: -721 }),
    error: { code: 'angle-beyond-a-turn', what: 'splay of element 0' },
  },
  { why: 'infinite splay', question: withElement({ splayDeg: Infinity }), error: { code: 'not-finite', what: 'splay of element 0' } },
  { why: 'negative mass', question: withElement({ massKg: -1 }), error: { code: 'mass-negative', what: 'element 0', massKg: -1 } },
  { why: 'NaN mass', question: withFrame({ massKg: NaN }), error: { code: 'not-finite', what: 'frame' } },
  { why: 'absurd mass', question: withFrame({ massKg: 1e308 }), error: { code: 'not-finite', what: 'frame' } },
  { why: 'NaN corner', question: withElement({ corners: [at(NaN, 0)] }), error: { code: 'not-finite', what: 'corners of element 0' } },
  { why: 'nothing has mass', question: { ...withFrame({ massKg: 0 }), elements: [] }, error: { code: 'no-mass' } },
  {
    why: 'extra mass on no element',
    question: { ...worked, extraMasses: [{ on: 2, massKg: 1, ...at(0, 0) }] },
    error: { code: 'no-such-element', on: 2, elements: 2 },
  },
  { why: 'stacks too few', question: { ...worked, stackSizes: [1] }, error: { code: 'stacks-do-not-add-up', stacked: 1, elements: 2 } },
  { why: 'half a cabinet', question: { ...worked, stackSizes: [0.5, 1.5] }, error: { code: 'stacks-do-not-add-up' } },
  {
    why: 'CG above the holes',
    question: { ...withFrame({ cg: at(0, 0.3) }), elements: [] },
    error: { code: 'cg-above-holes', aboveM: near(0.2, 12) },
  },
])('refuses: $why', ({ question, error }) => {
  expect(expectFail(answerArray(question))).toMatchObject(error);
});

test('refuses a hole at the centre of gravity, where any pitch may come', () => {
  const frame = { ...worked.frame, cg: at(0.4, 0.1) };
  expect(expectFail(answerArray({ ...oneHole('front'), frame, elements: [] }))).toEqual({ code: 'cg-at-hole', hole: 'front' });
});

test('cautions: holes called the wrong way round, a chain that carries nothing, no corners, a CG on the line', () => {
  const reversed = expectOk(answerArray({ ...worked, hang: { holes: ['rear', 'front'] } }));
  expect(reversed.cautions.join()).toContain('Hole rear is called the front one but lies behind hole front.');
  expect(reversed.reactions[1]?.massKg).toBeCloseTo(103.6569, 4);
  expect(reversed.holdableDeg).toEqual({ from: near(-57.2784, 4), to: near(40.2303, 4) });
  const under = expectOk(answerArray({ ...worked, frame: { ...worked.frame, cg: at(0.4, 0) }, elements: [] }));
  expect(under.cautions.join()).toContain('The chain at hole rear carries nothing');
  const online = expectOk(answerArray({ ...worked, frame: { ...worked.frame, cg: at(0, 0.1) }, elements: [] }));
  expect(online.cautions.join()).toContain('nothing keeps the array from rolling sideways');
});

test.each([1e-9, 1e9])('masses of %f kg are answered', (massKg) => {
  const answer = expectOk(
    answerArray({ ...worked, frame: { ...worked.frame, massKg }, elements: worked.elements.map((e) => ({ ...e, massKg })) }),
  );
  expect(answer.reactions.reduce((sum, { massKg: part }) => sum + part, 0) / massKg).toBeCloseTo(3, 9);
});

test('10,000 elements with 10,000 extra masses are answered in bounded time', () => {
  const elements = Array.from({ length: 10_000 }, () => ({ ...cabinet(0), bottomPivot: at(0, -0.001) }));
  const extraMasses = elements.map((_, on) => ({ on, massKg: 1, ...at(-0.3, 0) }));
  const answer = expectOk(answerArray({ ...worked, elements, extraMasses }));
  expect(answer.totalMassKg).toBe(60 + 10_000 * 51);
});
