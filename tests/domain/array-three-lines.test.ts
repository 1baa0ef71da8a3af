import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { STANDARD_GRAVITY } from '../../src/domain/foundation/units.ts';
import { solveArray } from '../../src/domain/statics/array.ts';
import type { ArrayBuild, SidePoint } from '../../src/domain/statics/array-assembly.ts';
import type { ArrayOnThreeLines, ThreeLinesAsked } from '../../src/domain/statics/array-three-lines.ts';
import { arrayOnThreeLines } from '../../src/domain/statics/array-three-lines.ts';
import type { BodyLine } from '../../src/domain/statics/plumb-body.ts';
import { sharesOfWeight, solveLinesOnBody } from '../../src/domain/statics/plumb-body.ts';
import { expectFail, expectOk } from './roof-samples.ts';

const side = (uM: number, vM: number): SidePoint => ({ uM, vM });
// The worked array: 160 kg, its CG at (-0.281715, -0.333008) from the front hole when level.
const element = (splayDeg: number) => ({
  massKg: 50,
  cg: side(-0.3, -0.15),
  bottomPivot: side(0, -0.3),
  splayRad: (splayDeg * Math.PI) / 180,
});
const build: ArrayBuild = {
  frame: { massKg: 60, cg: side(0, 0), bottomPivot: side(0.5, -0.1), holes: [{ id: 'front', ...side(0.4, 0.1) }, { id: 'rear', ...side(-0.4, 0.1) }] }, // prettier-ignore
  elements: [element(0), element(10)],
  extraMasses: [],
};
const PARTS = [
  { on: 'frame', at: build.frame.cg, massKg: 60 },
  { on: 0, at: side(-0.3, -0.15), massKg: 50 },
  { on: 1, at: side(-0.3, -0.15), massKg: 50 },
] as const;
/** Both chains lean by 0.3 m on 6 m, and the line goes level to the rear, 1 m below the holes. */
const asked: ThreeLinesAsked = {
  holes: ['front', 'rear'],
  framePitchRad: 0,
  on: 'frame',
  at: side(-0.6, -0.9),
  tops: [side(0.4 + 0.3, 6), side(-0.4 + 0.3, 6)],
  to: side(-5, -1),
};
const tensionsKg = ({ sharesAt }: ArrayOnThreeLines): number[] =>
  [0, 1, 2].map((line) => PARTS.reduce((sum, { on, at, massKg }) => sum + massKg * (sharesAt(on, at)[line] ?? NaN), 0));
const metres = (min: number, max: number) => fc.double({ min, max, noNaN: true });
const lean = fc.record({
  pitch: metres(-0.2, 0.2),
  front: metres(0.05, 0.6),
  rear: metres(0.05, 0.6),
  endU: metres(-9, -2),
  endV: metres(-3, 2),
});
const leaning = ({ pitch, front, rear, endU, endV }: { pitch: number; front: number; rear: number; endU: number; endV: number }) => ({
  ...asked,
  framePitchRad: pitch,
  on: 1 as const,
  at: side(-0.2, -0.25),
  tops: [side(0.4 + front, 5), side(-0.4 + rear, 6)] as const,
  to: side(endU, endV),
});

describe('an array on two holes that a pull-back holds aside', () => {
  test('worked by hand: the pull is the lean times the weight, and its arm turns load from one chain to the other', () => {
    const found = expectOk(arrayOnThreeLines(build, asked));
    const [front, rear, pull] = tensionsKg(found);
    const along = Math.sqrt(1 + (0.3 / 6) ** 2);
    expect(pull).toBeCloseTo(160 * (0.3 / 6), 9);
    // Level 103.6569 and 56.3431 kg; 8 kg at an arm of 1 m over holes 0.8 m apart are 10 kg from the rear to the front.
    expect((front ?? NaN) / along).toBeCloseTo(103.6569 + 10, 4);
    expect((rear ?? NaN) / along).toBeCloseTo(56.3431 - 10, 4);
  });
  test('plumb chains carry what they carry without the line', () => {
    const pitch = -0.1;
    const at = (u: number) => side(u * Math.cos(pitch), u * Math.sin(pitch));
    const plumb = { ...asked, framePitchRad: pitch, tops: [side(at(0.4).uM, 5), side(at(-0.4).uM, 6)] as const };
    const plain = expectOk(solveArray(build, { on: 'two-holes', frontHole: 'front', rearHole: 'rear', framePitchRad: pitch }));
    const [front, rear, pull] = tensionsKg(expectOk(arrayOnThreeLines(build, plumb)));
    expect(front).toBeCloseTo(plain.reactions[0]?.massKg ?? NaN, 9);
    expect(rear).toBeCloseTo(plain.reactions[1]?.massKg ?? NaN, 9);
    expect(pull).toBeCloseTo(0, 9);
  });
  test('whatever the pose, the lines balance every weight to 1e-9, and the mirror image pulls the same', () => {
    const flip = ({ uM, vM }: SidePoint) => side(-uM, vM);
    fc.assert(
      fc.property(lean, metres(-1, 1), metres(-2, 0), (pose, uM, vM) => {
        const { lines, sharesAt } = expectOk(arrayOnThreeLines(build, leaning(pose)));
        const shares = sharesAt('frame', side(uM, vM));
        const [c, s] = [Math.cos(pose.pitch), Math.sin(pose.pitch)];
        const at = side(uM * c - (vM - 0.1) * s, uM * s + (vM - 0.1) * c);
        let [u, v, m] = [0, -1, -at.uM];
        let scale = 1;
        for (const [index, { at: from, to }] of lines.entries()) {
          const lengthM = Math.sqrt((to.uM - from.uM) ** 2 + (to.vM - from.vM) ** 2);
          const pull = (shares[index] ?? NaN) / lengthM;
          u += pull * (to.uM - from.uM);
          v += pull * (to.vM - from.vM);
          m += pull * (from.uM * (to.vM - from.vM) - from.vM * (to.uM - from.uM));
          scale = Math.max(scale, Math.abs(shares[index] ?? NaN));
        }
        expect(Math.max(Math.abs(u), Math.abs(v), Math.abs(m)) / scale).toBeLessThan(1e-9);
        const mirrored = expectOk(
          sharesOfWeight(lines.map((one) => ({ ...one, at: flip(one.at), to: flip(one.to) })) as unknown as typeof lines),
        );
        for (const [index, share] of mirrored(flip(at)).entries())
          expect(Math.abs(share - (shares[index] ?? NaN)) / scale).toBeLessThan(1e-9);
      }),
      { seed: 3, numRuns: 200 },
    );
  });
  test('a second way: by virtual work, from the poses that slightly other lengths of the lines give', () => {
    let tried = 0;
    fc.assert(
      fc.property(lean, (pose) => {
        const found = expectOk(arrayOnThreeLines(build, leaning(pose)));
        const pulls = tensionsKg(found);
        const most = Math.max(...pulls.map(Math.abs));
        if (most > 1000) return; // lines that all but meet in one point: a slight change of length moves the array far
        tried++;
        const cg = cgFrom(pose.pitch);
        const lengths = found.lines.map(({ at, to }) => Math.sqrt((to.uM - at.uM) ** 2 + (to.vM - at.vM) ** 2));
        const stepM = 1e-5;
        for (const line of [0, 1, 2]) {
          const [longer, shorter] = [1, -1].map((sign) =>
            heightOf(cg, settled(found.lines, lengths.map((lengthM, index) => lengthM + (index === line ? sign * stepM : 0)))),
          ); // prettier-ignore
          // A line that is let out by a step lowers the weight by the work that its pull does.
          const pullKg = (160 * ((shorter ?? NaN) - (longer ?? NaN))) / (2 * stepM);
          expect(Math.abs(pullKg - (pulls[line] ?? NaN))).toBeLessThan(1e-5 * (160 + most));
        }
      }),
      { seed: 4, numRuns: 100 },
    );
    expect(tried).toBeGreaterThan(80);
  });
  test('where all three pull the pose is stable: no pose near it that stretches no line has its weight lower', () => {
    const found = expectOk(arrayOnThreeLines(build, asked));
    const cg = cgFrom(0);
    const lengths = found.lines.map(({ at, to }) => Math.sqrt((to.uM - at.uM) ** 2 + (to.vM - at.vM) ** 2));
    const small = fc.double({ min: -0.02, max: 0.02, noNaN: true });
    let feasible = 0;
    fc.assert(
      fc.property(small, small, small, (u, v, turn) => {
        const pose = [u, v, turn] as const;
        if (!found.lines.every(({ at, to }, index) => distance(moved(at, pose), to) <= (lengths[index] ?? NaN))) return;
        feasible++;
        expect(heightOf(cg, pose)).toBeGreaterThanOrEqual(cg.vM - 1e-12);
      }),
      { seed: 6, numRuns: 3000 },
    );
    expect(feasible).toBeGreaterThan(20);
  });
  test('one weight at the CG is what three lines on a body are solved for', () => {
    const found = expectOk(arrayOnThreeLines(build, asked));
    const body = solveLinesOnBody({ weightN: 160 * STANDARD_GRAVITY, cg: cgFrom(0) }, found.lines);
    if (!body.ok || !body.value.known) throw new Error(JSON.stringify(body));
    for (const [index, kg] of tensionsKg(found).entries()) expect(body.value.lines[index]?.tensionN).toBeCloseTo(kg * STANDARD_GRAVITY, 6);
  });
  test('refusals', () => {
    const refuse = (change: Partial<ThreeLinesAsked>) => expectFail(arrayOnThreeLines(build, { ...asked, ...change }));
    expect(refuse({ holes: ['front', 'middle'] })).toEqual({ code: 'no-such-hole', hole: 'middle' });
    expect(refuse({ holes: ['none', 'rear'] })).toEqual({ code: 'no-such-hole', hole: 'none' });
    expect(refuse({ holes: ['front', 'front'] })).toEqual({ code: 'holes-coincide', holes: ['front', 'front'] });
    expect(refuse({ on: 2 })).toEqual({ code: 'no-such-element', on: 2, elements: 2 });
    expect(refuse({ framePitchRad: NaN })).toEqual({ code: 'not-finite', what: 'frame pitch' });
    expect(refuse({ framePitchRad: 10 })).toMatchObject({ code: 'angle-beyond-a-turn' });
    expect(refuse({ to: side(Infinity, 0) })).toEqual({ code: 'not-finite', what: 'ends of pull-back' });
    expect(refuse({ to: side(-0.6, -1) })).toEqual({ code: 'line-has-no-length', line: 'pull-back' });
    // A third plumb line, and three lines through one point above: nothing holds the array against a push.
    expect(refuse({ tops: [side(0.4, 6), side(-0.4, 6)], to: side(-0.6, 6) })).toEqual({ code: 'lines-meet-in-one-point' });
    expect(refuse({ tops: [side(0, 6), side(0, 6)], to: side(0, 6) })).toEqual({ code: 'lines-meet-in-one-point' });
    expect(arrayOnThreeLines({ ...build, frame: { ...build.frame, massKg: -1 } }, asked).ok).toBe(false);
  });
});

/** From the middle between the holes, level. */
function cgFrom(pitch: number): SidePoint {
  const { cg, framePitchRad } = expectOk(
    solveArray(build, { on: 'two-holes', frontHole: 'front', rearHole: 'rear', framePitchRad: pitch }),
  );
  expect(framePitchRad).toBe(pitch);
  return side(cg.uM + 0.4 * Math.cos(pitch), cg.vM + 0.4 * Math.sin(pitch));
}
type Pose = readonly [number, number, number];
const moved = ({ uM, vM }: SidePoint, [u, v, turn]: Pose): SidePoint =>
  side(u + uM * Math.cos(turn) - vM * Math.sin(turn), v + uM * Math.sin(turn) + vM * Math.cos(turn));
const heightOf = (cg: SidePoint, pose: Pose): number => moved(cg, pose).vM;
const distance = (a: SidePoint, b: SidePoint): number => Math.hypot(a.uM - b.uM, a.vM - b.vM);

/** By Newton's method, with slopes from differences: where lines of these lengths hold the body. */
function settled(lines: readonly BodyLine[], lengths: readonly number[]): Pose {
  const offs = (pose: Pose) => lines.map(({ at, to }, index) => distance(moved(at, pose), to) - (lengths[index] ?? NaN));
  let pose: Pose = [0, 0, 0];
  for (let round = 0; round < 20; round++) {
    const off = offs(pose);
    if (Math.max(...off.map(Math.abs)) < 1e-14) break;
    const step = 1e-6;
    const columns = [0, 1, 2].map((axis) => {
      const there = (sign: number) => offs(pose.map((value, k) => value + (k === axis ? sign * step : 0)) as unknown as Pose);
      const [ahead, behind] = [there(1), there(-1)];
      return ahead.map((value, k) => (value - (behind[k] ?? NaN)) / (2 * step));
    });
    const det = (a: number[], b: number[], c: number[]) =>
      (a[0] ?? NaN) * ((b[1] ?? NaN) * (c[2] ?? NaN) - (b[2] ?? NaN) * (c[1] ?? NaN)) -
      (a[1] ?? NaN) * ((b[0] ?? NaN) * (c[2] ?? NaN) - (b[2] ?? NaN) * (c[0] ?? NaN)) +
      (a[2] ?? NaN) * ((b[0] ?? NaN) * (c[1] ?? NaN) - (b[1] ?? NaN) * (c[0] ?? NaN));
    const [x, y, z] = [columns[0] ?? [], columns[1] ?? [], columns[2] ?? []];
    const whole = det(x, y, z);
    pose = [pose[0] - det(off, y, z) / whole, pose[1] - det(x, off, z) / whole, pose[2] - det(x, y, off) / whole];
  }
  return pose;
}
