import fc from 'fast-check';
import { expect, test } from 'vitest';
import type { Result } from '../../src/domain/foundation/result.ts';
import type { ArrayStatics } from '../../src/domain/statics/array.ts';
import { solveArray } from '../../src/domain/statics/array.ts';
import type { ArrayBuild, SidePoint } from '../../src/domain/statics/array-assembly.ts';
import type { PermittedConfiguration } from '../../src/domain/statics/array-permission.ts';
import { permittedConfiguration } from '../../src/domain/statics/array-permission.ts';
import { cabinetAims, hookHeights } from '../../src/domain/statics/array-trim.ts';

function expectOk<T, E>(result: Result<T, E>): T {
  if (!result.ok) throw new Error(JSON.stringify(result.error));
  return result.value;
}
function expectFail<T, E>(result: Result<T, E>): E {
  if (result.ok) throw new Error('was expected to fail');
  return result.error;
}
const rad = (deg: number) => (deg * Math.PI) / 180;
const at = (uM: number, vM: number): SidePoint => ({ uM, vM });
const near = (value: number, digits = 9): unknown => expect.closeTo(value, digits);

// Invented: one cabinet whose front is at its pivots, 0.4 m high, hung 0.2 m below the holes, which are 1 m apart.
const corners = [at(0, 0), at(-0.6, 0), at(-0.6, -0.4), at(0, -0.4)];
const build: ArrayBuild = {
  frame: {
    massKg: 40,
    cg: at(0, 0),
    bottomPivot: at(0.5, -0.1),
    holes: [
      { id: 'front', ...at(0.5, 0.1) },
      { id: 'rear', ...at(-0.5, 0.1) },
    ],
  },
  elements: [{ massKg: 60, cg: at(-0.3, -0.2), bottomPivot: at(0, -0.4), splayRad: 0, corners }],
  extraMasses: [],
};
const hung = (framePitchRad: number, of: ArrayBuild = build): ArrayStatics =>
  expectOk(solveArray(of, { on: 'two-holes', frontHole: 'front', rearHole: 'rear', framePitchRad }));

test('level, both hooks are as far above the trim as the holes above the lowest corner', () => {
  expect(expectOk(hookHeights(hung(0), 7))).toEqual([
    { hole: 'front', heightM: near(7.6) },
    { hole: 'rear', heightM: near(7.6) },
  ]);
});

test('nose down, the hooks differ by the distance of the holes times the sine of the pitch', () => {
  const [front, rear] = expectOk(hookHeights(hung(rad(-5)), 7));
  expect((rear?.heightM ?? NaN) - (front?.heightM ?? NaN)).toBeCloseTo(Math.sin(rad(5)), 12);
  // The lowest corner is then the front one of the cabinet's foot: 0.6 below the front hole in the frame's axes.
  expect(front?.heightM).toBeCloseTo(7 + 0.6 * Math.cos(rad(5)), 12);
});

test('the lowest corner is at the trim, whatever the pitch', () => {
  fc.assert(
    fc.property(fc.double({ min: -0.3, max: 0.3, noNaN: true }), fc.double({ min: 0, max: 30, noNaN: true }), (pitchRad, trimM) => {
      const statics = hung(pitchRad);
      const front = expectOk(hookHeights(statics, trimM))[0];
      expect((front?.heightM ?? NaN) + statics.lowest.vM).toBeCloseTo(trimM, 9);
    }),
  );
});

test('without corners there is no trim of the lowest corner', () => {
  const bare = { ...build, elements: build.elements.map((element) => ({ ...element, corners: [] })) };
  expect(expectFail(hookHeights(hung(0, bare), 7))).toEqual({ code: 'lowest-corner-unknown', elements: [0] });
  expect(expectFail(hookHeights(hung(0), NaN))).toEqual({ code: 'not-finite', what: 'trim' });
});

const aimOf = (pitchDeg: number, hookHeightM: number, plane: Parameters<typeof cabinetAims>[4] = null) =>
  expectOk(cabinetAims(hung(rad(pitchDeg)), build.elements, [null], hookHeightM, plane))[0];

test('an axis 10° down from 5 m meets the floor 5 / tan 10° ahead of the cabinet', () => {
  const aim = aimOf(-10, 8);
  const fromM = aim?.from.heightM ?? NaN;
  expect(aim?.pitchRad).toBeCloseTo(rad(-10), 12);
  // Front middle of the cabinet: 0.4 m below the front hole along the frame's own axis.
  expect(fromM).toBeCloseTo(8 - 0.4 * Math.cos(rad(10)), 12);
  expect((aim?.floor?.uM ?? NaN) - (aim?.from.uM ?? NaN)).toBeCloseTo(fromM / Math.tan(rad(10)), 9);
  expect(aim?.floor?.distanceM).toBeCloseTo(fromM / Math.sin(rad(10)), 9);
});

test('a level axis never meets the floor, but a plane that rises through its height', () => {
  // From (20 m, 1 m) to (40 m, 11 m): slope 1/2. Axis level at 8 - 0.4 = 7.6 m → u = 20 + 2·6.6 = 33.2 m.
  const plane = { fromUM: 20, fromHeightM: 1, toUM: 40, toHeightM: 11 };
  const aim = aimOf(0, 8, plane);
  expect(aim?.floor).toBeNull();
  expect(aim?.plane).toEqual({ uM: near(33.2), heightM: near(7.6), distanceM: near(33.2) });
});

test.each([
  { why: 'above its back edge', plane: { fromUM: 20, fromHeightM: 1, toUM: 30, toHeightM: 6 } },
  { why: 'behind the array', plane: { fromUM: -40, fromHeightM: 1, toUM: -20, toHeightM: 11 } },
  { why: 'parallel to it', plane: { fromUM: 20, fromHeightM: 1, toUM: 40, toHeightM: 1 } },
])('an axis that passes a plane $why does not meet it', ({ plane }) => {
  expect(aimOf(0, 8, plane)?.plane).toBeNull();
});

test('a tilted axis, and one that is not known', () => {
  const tilted = expectOk(cabinetAims(hung(0), build.elements, [{ ...at(0, -0.1), tiltRad: rad(-45) }], 8, null))[0];
  expect(tilted?.floor?.uM).toBeCloseTo(7.7, 9);
  const bare = build.elements.map((element) => ({ ...element, corners: [] }));
  expect(expectOk(cabinetAims(hung(0), bare, [null], 8, null))).toEqual([null]);
});

test('aims that make no sense are refused', () => {
  const statics = hung(0);
  const flat = { fromUM: 1, fromHeightM: 1, toUM: 1, toHeightM: 1 };
  expect(expectFail(cabinetAims(statics, build.elements, [null], Infinity, null))).toEqual({ code: 'not-finite', what: 'hook height' });
  expect(expectFail(cabinetAims(statics, build.elements, [], 8, null))).toEqual({ code: 'axes-do-not-match', axes: 0, elements: 1 });
  expect(expectFail(cabinetAims(statics, build.elements, [null], 8, flat))).toEqual({ code: 'plane-has-no-length' });
  expect(expectFail(cabinetAims(statics, build.elements, [{ ...at(0, 0), tiltRad: NaN }], 8, null))).toEqual({
    code: 'not-finite',
    what: 'axis of element 0',
  });
});

// --- The maker's document (invented) ---

const permitted: PermittedConfiguration = {
  document: 'rigging manual, edition 2',
  largestElementCount: 2,
  framePitch: { fromRad: rad(-10), toRad: rad(5) },
  splaysRad: { main: [0, rad(2.5), rad(5)] },
  holes: ['front', 'rear'],
  largestWindMPerS: 0,
};
const used = {
  framePitchRad: rad(-10),
  holes: ['front', 'rear'],
  elements: [
    { kind: 'main', splayRad: rad(0) },
    { kind: 'main', splayRad: rad(5) },
  ],
  windMPerS: 0,
};
const states = (change: object, document: PermittedConfiguration | null = permitted) =>
  permittedConfiguration({ ...used, ...change }, document)
    .filter(({ state }) => state !== 'permitted')
    .map(({ rule, state }) => [rule, state]);

test('what the document permits is permitted, nothing is without it', () => {
  expect(states({})).toEqual([]);
  expect(states({}, null)).toEqual([['document', 'unknown']]);
});

test.each([
  { change: { elements: [...used.elements, ...used.elements] }, rule: 'element-count' },
  { change: { framePitchRad: rad(-10.01) }, rule: 'frame-pitch' },
  { change: { framePitchRad: rad(5.01) }, rule: 'frame-pitch' },
  { change: { holes: ['front', 'middle'] }, rule: 'hole' },
  { change: { windMPerS: 1 }, rule: 'wind' },
  { change: { elements: [{ kind: 'main', splayRad: rad(3) }] }, rule: 'splay' },
])('$rule outside the document is not permitted', ({ change, rule }) => {
  expect(states(change)).toEqual([[rule, 'not-permitted']]);
});

test.each([
  { silent: { largestElementCount: null }, rule: 'element-count' },
  { silent: { framePitch: null }, rule: 'frame-pitch' },
  { silent: { holes: null }, rule: 'hole' },
  { silent: { largestWindMPerS: null }, rule: 'wind' },
])('a document that is silent on $rule leaves it unknown', ({ silent, rule }) => {
  expect(states({}, { ...permitted, ...silent })).toEqual([[rule, 'unknown']]);
});

test('wind not stated and an element that the document does not know are unknown', () => {
  expect(states({ windMPerS: null })).toEqual([['wind', 'unknown']]);
  expect(states({ elements: [{ kind: 'constructor', splayRad: 0 }] })).toEqual([['splay', 'unknown']]);
});
