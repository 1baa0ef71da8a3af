import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { Result } from '../../src/domain/foundation/result.ts';
import { STANDARD_GRAVITY } from '../../src/domain/foundation/units.ts';
import { solveArray } from '../../src/domain/statics/array.ts';
import type { ArrayBuild, SidePoint } from '../../src/domain/statics/array-assembly.ts';
import { pullBackAtPitch } from '../../src/domain/statics/array-pull-back.ts';
import type { BodyLine } from '../../src/domain/statics/plumb-body.ts';
import { solveLinesOnBody } from '../../src/domain/statics/plumb-body.ts';
import type { LineOffPlumb } from '../../src/domain/statics/plumb-lines.ts';
import { solveLinesAtPoint } from '../../src/domain/statics/plumb-lines.ts';
import { seeded } from './seeded.ts';

function expectOk<T, E>(result: Result<T, E>): T {
  if (!result.ok) throw new Error(JSON.stringify(result.error));
  return result.value;
}
function expectFail<T, E>(result: Result<T, E>): E {
  if (result.ok) throw new Error('was expected to fail');
  return result.error;
}
const g = STANDARD_GRAVITY;
const rad = (deg: number) => (deg * Math.PI) / 180;
const near = (value: number, digits = 9): unknown => expect.closeTo(value, digits);
const at = (xM: number, yM: number, zM: number) => ({ xM, yM, zM });
const line = (id: string, kind: LineOffPlumb['kind'], to: LineOffPlumb['to'], pretensionN: number | null = null): LineOffPlumb => ({
  id,
  kind,
  to,
  pretensionN,
});
function known<T extends { known: boolean }, E>(result: Result<T, E>): Extract<T, { known: true }> {
  const outcome = expectOk(result);
  const isKnown = (one: T): one is Extract<T, { known: true }> => one.known;
  if (!isKnown(outcome)) throw new Error('was expected to be known');
  return outcome;
}

describe('a single pick', () => {
  // By hand: 1000 N at (1, 0, 4), hoist to (0, 0, 8), breastline level to (6, 0, 4).
  // Vertical: T·4/√17 = 1000 → T = 250 √17; sideways: 250 N each way.
  const hoist = line('hoist', 'hoist', at(0, 0, 8));
  const breastline = line('breast', 'breastline', at(6, 0, 4));
  test('with a level breastline', () => {
    const found = known(solveLinesAtPoint(at(1, 0, 4), 1000, [hoist, breastline]));
    expect(found.lines).toEqual([
      {
        id: 'hoist',
        tensionN: near(250 * Math.sqrt(17)),
        offVerticalRad: near(Math.atan(1 / 4)),
        pull: { xN: near(250), yN: near(0), downN: near(1000) },
      },
      { id: 'breast', tensionN: near(250), offVerticalRad: near(Math.PI / 2), pull: { xN: near(-250), yN: near(0), downN: near(0) } },
    ]);
    // Released from atan(1/4): W·(3 - 2·4/√17).
    expect(found.lost).toMatchObject([
      { lost: 'breast', state: 'plumb', hoist: 'hoist', restingN: 1000, peakN: near(1000 * (3 - 8 / Math.sqrt(17))) },
    ]);
  });
  test('with a breastline to the floor, which lifts its anchor and loads the hoist', () => {
    // To (5, 0, 0): direction (1, 0, -1)/√2. Sideways T1/√17 = T2/√2, vertical 4 T1/√17 - T2/√2 = 1000 → T1 = 1000 √17/3.
    const found = known(solveLinesAtPoint(at(1, 0, 4), 1000, [hoist, line('breast', 'breastline', at(5, 0, 0))]));
    expect(found.lines[0]?.tensionN).toBeCloseTo((1000 * Math.sqrt(17)) / 3, 9);
    expect(found.lines[1]?.pull.downN).toBeCloseTo(-1000 / 3, 9);
  });
  test('with a guy pulls with its pretension, and is unknown without', () => {
    const guy = (pretensionN: number | null) => [hoist, line('guy', 'guy', at(6, 0, 4), pretensionN)];
    expect(known(solveLinesAtPoint(at(1, 0, 4), 1000, guy(250))).lines[0]?.tensionN).toBeCloseTo(250 * Math.sqrt(17), 9);
    expect(expectOk(solveLinesAtPoint(at(1, 0, 4), 1000, guy(null)))).toEqual({
      known: false,
      reason: 'guy-without-pretension',
      lines: ['guy'],
    });
    // With another pretension the drawn place is not where it hangs.
    expect(expectFail(solveLinesAtPoint(at(1, 0, 4), 1000, guy(500)))).toMatchObject({ code: 'hang-not-below-hoist', line: 'hoist' });
  });
  test('a guy across draws the plane of the other two lines with it', () => {
    // Hoist (-1, -1, 4) and breastline (5, -1, 0) from the hang, a guy of 300 N to the other side: 250 and 50 times these.
    const lines = [hoist, breastline, line('guy', 'guy', at(1, 9, 4), 300)];
    const found = known(solveLinesAtPoint(at(1, 1, 4), 1000, lines));
    expect(found.lines.map(({ tensionN }) => tensionN)).toEqual([near(250 * Math.sqrt(18)), near(50 * Math.sqrt(26)), 300]);
  });
  test('plumb on one hoist, refused beside it', () => {
    expect(known(solveLinesAtPoint(at(0, 0.004, 4), 1000, [hoist])).lines[0]?.tensionN).toBeCloseTo(1000, 9);
    expect(expectFail(solveLinesAtPoint(at(0.3, 0, 4), 1000, [hoist]))).toEqual({
      code: 'hang-not-below-hoist',
      line: 'hoist',
      offM: near(0.3),
      nearest: at(0, 0, 4),
    });
  });
  test('with two breastlines in space', () => {
    const lines = [hoist, line('a', 'breastline', at(4, 3, 4)), line('b', 'breastline', at(4, -3, 4))];
    const found = known(solveLinesAtPoint(at(1, 0, 4), 1000, lines));
    // Each takes half of the 250 N: 125 / cos 45°.
    expect(found.lines[1]?.tensionN).toBeCloseTo(125 * Math.SQRT2, 9);
    expect(found.lines[2]?.tensionN).toBeCloseTo(125 * Math.SQRT2, 9);
    // One of two lost: the hang goes to a place that is not computed.
    expect(found.lost).toEqual([
      { lost: 'a', state: 'unknown', reason: 'place-after-loss-not-computed' },
      { lost: 'b', state: 'unknown', reason: 'place-after-loss-not-computed' },
    ]);
  });
  test('drawn 5 mm elsewhere, a line that is solved pulls otherwise by a few hundredths of the load at most', () => {
    const random = seeded(28);
    let [solved, most] = [0, 0];
    for (let n = 0; n < 4000; n++) {
      const place = at(0.5 * random(), 0.2 * random() - 0.1, 2 + 6 * random());
      const [bearing, off] = [2 * Math.PI * random(), Math.PI + (random() - 0.5)]; // two lines that are as good as against each other
      const end = (angle: number) => at(place.xM + 5 * Math.cos(angle), place.yM + 5 * Math.sin(angle), place.zM);
      const lines = [
        line('hoist', 'hoist', at(0, 0, place.zM + 2 + 8 * random())),
        line('a', 'breastline', end(bearing)),
        line('b', 'breastline', end(bearing + off)),
      ];
      const here = solveLinesAtPoint(place, 1000, lines);
      if (!here.ok) continue;
      solved += 1;
      for (const [x, y, z] of [
        [1, 1, 1],
        [1, -1, 1],
        [-1, 1, 1],
        [-1, -1, 1],
        [1, 1, -1],
        [1, -1, -1],
        [-1, 1, -1],
        [-1, -1, -1],
      ] as const) {
        const there = solveLinesAtPoint(at(place.xM + 0.005 * x, place.yM + 0.005 * y, place.zM + 0.005 * z), 1000, lines);
        if (!there.ok) continue;
        for (const [k, { tensionN }] of known(there).lines.entries())
          most = Math.max(most, Math.abs(tensionN - (known(here).lines[k]?.tensionN ?? NaN)) / 1000);
      }
    }
    expect(solved).toBeGreaterThan(100);
    expect(most).toBeLessThan(0.04);
  });

  test('forces balance in every place that can be held', () => {
    const m = (min: number, max: number) => fc.double({ min, max, noNaN: true });
    let held = 0;
    fc.assert(
      fc.property(m(0.01, 3), m(-1, 1), m(0, 6), m(1, 1e6), m(1, 5), m(0, 8), (xM, yM, zM, loadN, farM, breastZM) => {
        const place = at(xM, yM, zM);
        const lines = [hoist, line('a', 'breastline', at(8 * farM, 6, breastZM)), line('b', 'breastline', at(8 * farM, -6, breastZM))];
        const found = solveLinesAtPoint(place, loadN, lines);
        if (!found.ok) {
          expect(['line-would-push', 'lines-nearly-parallel']).toContain(found.error.code);
          return;
        }
        held += 1;
        const solved = known(found).lines;
        const sum = (of: (one: (typeof solved)[number]) => number) => solved.reduce((total, one) => total + of(one), 0);
        const scale = 1e-9 * (loadN + sum(({ tensionN }) => tensionN));
        expect(Math.abs(sum(({ pull }) => pull.xN))).toBeLessThan(scale);
        expect(Math.abs(sum(({ pull }) => pull.yN))).toBeLessThan(scale);
        expect(Math.abs(sum(({ pull }) => pull.downN) - loadN)).toBeLessThan(scale);
      }),
    );
    expect(held).toBeGreaterThan(20);
  });
  const HELD: [ReturnType<typeof at>, LineOffPlumb[]][] = [
    [at(1, 0, 4), [hoist, breastline]],
    [at(1, 0.2, 4), [hoist, breastline]],
    [at(0, 0, 4), [hoist, breastline]],
    [at(0, 0.004, 4), [hoist]],
    [at(0.3, 0.1, 4), [hoist]],
    [at(1, 0, 4), [hoist, line('guy', 'guy', at(6, 0, 4), 500)]],
    [at(1, 0, 4), [hoist, line('a', 'breastline', at(4, 3, 4)), line('b', 'breastline', at(4, -3, 4))]],
    [at(1, 0, 4), [line('a', 'hoist', at(0.5, 0, 8)), line('b', 'hoist', at(0.5, 0, 9))]],
    [at(1, 0, 4), [line('a', 'hoist', at(1, 0, 8)), line('b', 'breastline', at(1, 0, 2))]],
  ];
  const outcomeOf = (place: ReturnType<typeof at>, loadN: number, lines: LineOffPlumb[]) => {
    const found = solveLinesAtPoint(place, loadN, lines);
    return { code: found.ok ? 'held' : found.error.code, lines: found.ok ? known(found).lines : [], error: found.ok ? null : found.error };
  };
  test('turned about the vertical, every answer and every refusal is turned with it', () => {
    fc.assert(
      fc.property(fc.constantFrom(...HELD), fc.double({ min: -3, max: 3, noNaN: true }), ([place, lines], angle) => {
        const [c, s] = [Math.cos(angle), Math.sin(angle)];
        const turned = ({ xM, yM, zM }: ReturnType<typeof at>) => at(c * xM - s * yM, s * xM + c * yM, zM);
        const [before, after] = [
          outcomeOf(place, 1000, lines),
          outcomeOf(
            turned(place),
            1000,
            lines.map((one) => ({ ...one, to: turned(one.to) })),
          ),
        ];
        expect(after.code).toBe(before.code);
        if (before.error !== null && 'nearest' in before.error) {
          const { xM, yM, zM } = turned(before.error.nearest);
          expect(after.error).toMatchObject({ offM: near(before.error.offM), nearest: { xM: near(xM), yM: near(yM), zM: near(zM) } });
        }
        for (const [index, { tensionN, pull }] of before.lines.entries())
          expect(after.lines[index]).toMatchObject({
            tensionN: near(tensionN),
            pull: { xN: near(c * pull.xN - s * pull.yN), yN: near(s * pull.xN + c * pull.yN), downN: near(pull.downN) },
          });
      }),
      { seed: 2, numRuns: 200 },
    );
  });
  test('with more load or less, the lines pull in proportion', () => {
    for (const [place, lines] of HELD) {
      if (lines.some(({ kind }) => kind === 'guy')) continue; // whose pull is not in proportion
      const one = outcomeOf(place, 1, lines);
      for (const times of [1e-9, 1e-3, 1e6, 1e12]) {
        const all = outcomeOf(place, times, lines);
        expect(all.code).toBe(one.code);
        expect(all.lines.map(({ tensionN }) => tensionN / times)).toEqual(one.lines.map(({ tensionN }) => near(tensionN)));
      }
    }
  });
  test('refusals', () => {
    const refuse = (lines: LineOffPlumb[], place = at(1, 0, 4), loadN = 1000) => expectFail(solveLinesAtPoint(place, loadN, lines));
    expect(refuse([])).toEqual({ code: 'no-lines' });
    expect(refuse([hoist, line('breast', 'breastline', at(-6, 0, 4))])).toMatchObject({ code: 'line-would-push', line: 'breast' });
    expect(refuse([hoist, breastline], at(1, 0.2, 4))).toMatchObject({
      code: 'hang-off-the-lines-plane',
      offM: near(0.2),
      nearest: at(1, 0, 4),
    });
    expect(refuse([hoist, breastline, line('c', 'breastline', at(0, 4, 4)), line('d', 'breastline', at(0, -4, 4))])).toEqual({
      code: 'indeterminate',
      lines: 4,
    });
    expect(refuse([line('a', 'hoist', at(1, 0, 8)), line('b', 'hoist', at(1, 0, 9))])).toEqual({ code: 'lines-nearly-parallel' });
    expect(refuse([hoist, line('b', 'breastline', at(6, 0, 4)), line('c', 'breastline', at(7, 0, 4))])).toEqual({
      code: 'lines-nearly-parallel',
    });
    expect(refuse([hoist, hoist])).toEqual({ code: 'line-twice', line: 'hoist' });
    expect(refuse([line('a', 'hoist', at(1, 0, 4))])).toEqual({ code: 'line-has-no-length', line: 'a' });
    // Beside the plane of its lines by 3 mm, which counts as in it: there it is at the end of the breastline.
    expect(refuse([hoist, breastline], at(6, 0.003, 4))).toEqual({ code: 'line-has-no-length', line: 'breast' });
    expect(refuse([breastline, hoist], at(6, 0.003, 4))).toEqual({ code: 'line-has-no-length', line: 'breast' });
    expect(refuse([line('a', 'hoist', at(NaN, 0, 4))])).toEqual({ code: 'not-finite', what: 'end of a' });
    expect(refuse([hoist], at(0, 0, 4), -1)).toEqual({ code: 'force-negative', what: 'load', forceN: -1 });
    expect(refuse([hoist, line('guy', 'guy', at(6, 0, 4), -1)])).toEqual({ code: 'force-negative', what: 'pretension of guy', forceN: -1 });
  });
});

const side = (uM: number, vM: number): SidePoint => ({ uM, vM });
const bodyLine = (id: string, kind: BodyLine['kind'], from: SidePoint, to: SidePoint, pretensionN: number | null = null): BodyLine => ({
  id,
  kind,
  at: from,
  to,
  pretensionN,
});

describe('a body in its side plane', () => {
  // By hand: CG midway below two holes 1 m apart, chains lean alike by 1 in 4 to the rear (u 1 back over 4 up); pull-back level at the
  // CG's height to the front. Weight 800: pull-back 200, both chains 400 up each when it pulls at the holes' height.
  const chains = [bodyLine('front', 'hoist', side(0.5, 0), side(-0.5, 4)), bodyLine('rear', 'hoist', side(-0.5, 0), side(-1.5, 4))];
  test('two leaning chains and a pull-back at the height of the holes', () => {
    const lines = [...chains, bodyLine('pull', 'pull-back', side(0, 0), side(5, 0))];
    const found = known(solveLinesOnBody({ weightN: 800, cg: side(0, -2) }, lines));
    expect(found.lines.map(({ id, tensionN }) => [id, tensionN])).toEqual([
      ['front', near(100 * Math.sqrt(17))],
      ['rear', near(100 * Math.sqrt(17))],
      ['pull', near(200)],
    ]);
    expect(found.lines[0]?.pull).toEqual({ uN: near(100), downN: near(400) });
    expect(found.lost).toEqual([
      {
        lost: 'pull',
        state: 'plumb',
        hoists: [
          { id: 'front', restingN: near(400) },
          { id: 'rear', restingN: near(400) },
        ],
      },
    ]);
  });
  test('a pull-back at the foot turns load from one chain to the other', () => {
    // 1 m below the holes it turns 200 N·m nose up about their middle: over holes 1 m apart a difference of 400 N.
    const lines = [...chains, bodyLine('pull', 'pull-back', side(0, -1), side(5, -1))];
    const found = known(solveLinesOnBody({ weightN: 800, cg: side(0, -2) }, lines));
    expect((found.lines[0]?.pull.downN ?? NaN) + (found.lines[1]?.pull.downN ?? NaN)).toBeCloseTo(800, 9);
    expect((found.lines[0]?.pull.downN ?? NaN) - (found.lines[1]?.pull.downN ?? NaN)).toBeCloseTo(-400, 9);
    expect(
      expectFail(
        solveLinesOnBody({ weightN: 800, cg: side(0, -2) }, [...chains, bodyLine('pull', 'pull-back', side(0, -2.5), side(5, -2.5))]),
      ),
    ).toMatchObject({
      code: 'line-would-push',
      line: 'front',
    });
  });
  test('plumb chains leave a pull-back slack', () => {
    const plumb = [bodyLine('front', 'hoist', side(0.5, 0), side(0.5, 4)), bodyLine('rear', 'hoist', side(-0.5, 0), side(-0.5, 4))];
    const found = known(
      solveLinesOnBody({ weightN: 800, cg: side(0.1, -2) }, [...plumb, bodyLine('pull', 'pull-back', side(0, -3), side(5, -3))]),
    );
    expect(found.lines.map(({ tensionN }) => tensionN)).toEqual([near(480), near(320), near(0)]);
  });
  test('chains that lean differently turn the body when the line is lost: not computed', () => {
    const lines = [
      bodyLine('front', 'hoist', side(0.5, 0), side(-0.4, 4)),
      bodyLine('rear', 'hoist', side(-0.5, 0), side(-1.5, 4)),
      bodyLine('pull', 'pull-back', side(0, 0), side(5, 0)),
    ];
    expect(known(solveLinesOnBody({ weightN: 800, cg: side(0, -2) }, lines)).lost).toEqual([
      { lost: 'pull', state: 'unknown', reason: 'place-after-loss-not-computed' },
    ]);
  });
  test('with guys to anywhere, the pulls of all lines balance the weight, and so they do of any weight', () => {
    const metres = (min: number, max: number) => fc.double({ min, max, noNaN: true });
    let held = 0;
    fc.assert(
      fc.property(metres(1, 6), metres(-6, 4), metres(0, 300), fc.constantFrom(1e-6, 1, 1e9), (outM, upM, guyN, times) => {
        const guy = bodyLine('guy', 'guy', side(0.2, -1), side(outM, upM), guyN * times);
        const lines = [...chains, bodyLine('pull', 'pull-back', side(0, -0.5), side(5, -1)), guy];
        const found = solveLinesOnBody({ weightN: 800 * times, cg: side(0, -2) }, lines);
        if (!found.ok) {
          expect(found.error.code).toBe('line-would-push');
          return;
        }
        held++;
        const solved = known(found);
        const sum = (of: (one: (typeof solved.lines)[number]) => number) => solved.lines.reduce((total, one) => total + of(one), 0) / times;
        const slack = 1e-9 * (800 + sum(({ tensionN }) => tensionN));
        expect(Math.abs(sum(({ pull }) => pull.uN))).toBeLessThan(slack);
        expect(Math.abs(sum(({ pull }) => pull.downN) - 800)).toBeLessThan(slack);
        // With a line lost beside the guy, where it comes to rest is not computed.
        expect(solved.lost.map(({ state }) => state)).toEqual(['unknown', 'unknown']);
      }),
      { seed: 9, numRuns: 200 },
    );
    expect(held).toBeGreaterThan(40);
  });
  test('plumb chains leave a pull-back slack, whatever hangs on them', () => {
    const plumb = [bodyLine('front', 'hoist', side(0.5, 0), side(0.5, 4)), bodyLine('rear', 'hoist', side(-0.5, 0), side(-0.5, 4))];
    for (const times of [1e-9, 1, 1e9]) {
      const lines = [...plumb, bodyLine('pull', 'pull-back', side(0.1, -3), side(5.3, -3.7))];
      const found = known(solveLinesOnBody({ weightN: 800 * times, cg: side(0.07, -2) }, lines));
      expect(found.lines.map(({ tensionN }) => tensionN / times)).toEqual([near(800 * 0.57), near(800 * 0.43), near(0)]);
    }
  });
  test('refusals and a guy', () => {
    const body = { weightN: 800, cg: side(0, -2) };
    const pull = bodyLine('pull', 'pull-back', side(0, 0), side(5, 0));
    const guy = bodyLine('guy', 'guy', side(0, -2), side(5, -2));
    expect(expectFail(solveLinesOnBody(body, chains))).toEqual({ code: 'body-would-move', lines: 2 });
    expect(expectFail(solveLinesOnBody(body, [...chains, pull, { ...pull, id: 'more' }]))).toEqual({ code: 'indeterminate', lines: 4 });
    expect(expectOk(solveLinesOnBody(body, [...chains, pull, guy]))).toEqual({
      known: false,
      reason: 'guy-without-pretension',
      lines: ['guy'],
    });
    // A guy of 50 N at the CG takes 50 N off the pull-back.
    const guyed = known(solveLinesOnBody(body, [...chains, pull, { ...guy, pretensionN: 50 }]));
    expect(guyed.lines.reduce((sum, one) => sum + one.pull.uN, 0)).toBeCloseTo(0, 9);
    expect(guyed.lines[2]?.tensionN).toBeCloseTo(150, 9);
    // A level guy 1 m below the holes turns the body 40 N·m nose up: over holes 1 m apart a difference of 80 N.
    const low = known(solveLinesOnBody(body, [...chains, pull, { ...guy, at: side(0, -1), to: side(5, -1), pretensionN: 40 }]));
    expect((low.lines[0]?.pull.downN ?? NaN) - (low.lines[1]?.pull.downN ?? NaN)).toBeCloseTo(-80, 9);
    expect(low.lines[2]?.tensionN).toBeCloseTo(160, 9);
    const star = ['a', 'b', 'c'].map((id, index) => bodyLine(id, 'hoist', side(0, -2), side(index - 1, 4)));
    expect(expectFail(solveLinesOnBody(body, star))).toEqual({ code: 'lines-meet-in-one-point' });
    expect(expectFail(solveLinesOnBody({ ...body, weightN: NaN }, chains))).toEqual({ code: 'not-finite', what: 'weight' });
    expect(expectFail(solveLinesOnBody(body, [...chains, pull, { ...guy, pretensionN: -5 }]))).toEqual({
      code: 'force-negative',
      what: 'pretension of guy',
      forceN: -5,
    });
    expect(expectFail(solveLinesOnBody(body, [{ ...pull, to: pull.at }]))).toEqual({ code: 'line-has-no-length', line: 'pull' });
  });
});

describe('a pull-back at the foot of an array on one hole', () => {
  // Invented: one 100 kg box whose CG is 2 m straight below the hole; foot 4 m below.
  const build: ArrayBuild = {
    frame: { massKg: 0, cg: side(0, 0), bottomPivot: side(0, 0), holes: [{ id: 'hole', ...side(0, 0) }] },
    elements: [{ massKg: 100, cg: side(0, -2), bottomPivot: side(0, -4), splayRad: 0 }],
    extraMasses: [],
  };
  test('holds the pitch; the chain leans the other way', () => {
    // Nose down 10°: CG 2 sin 10° behind the hole, foot 4 m along. A level line to the rear at the foot's height: arm 4 cos 10°.
    const foot = side(-4 * Math.sin(rad(10)), -4 * Math.cos(rad(10)));
    const found = expectOk(
      pullBackAtPitch(build, { hole: 'hole', framePitchRad: rad(-10), on: 0, at: side(0, -4), to: side(foot.uM - 5, foot.vM) }),
    );
    const pullN = (100 * g * 2 * Math.sin(rad(10))) / (4 * Math.cos(rad(10)));
    expect(found.pullBackN).toBeCloseTo(pullN, 9);
    expect(found.chain.uN).toBeCloseTo(pullN, 9);
    expect(found.chain.upN).toBeCloseTo(100 * g, 9);
    expect(found.chain.offPlumbRad).toBeCloseTo(Math.atan(pullN / (100 * g)), 12);
    expect(found.pullBackOnEnd).toEqual({ uN: near(pullN), downN: near(0) });
    expect(found.lost).toEqual({ freeHangRad: near(0), restingN: near(100 * g) });
  });
  test('agrees with three lines on the same body', () => {
    const pitchRad = rad(-12);
    const to = side(-6, 3);
    const found = expectOk(pullBackAtPitch(build, { hole: 'hole', framePitchRad: pitchRad, on: 0, at: side(0, -4), to }));
    // The chain as drawn at its lean, and a third line that should stay slack: any line that does not meet the other two.
    const foot = side(4 * Math.sin(pitchRad), -4 * Math.cos(pitchRad));
    const cg = side(2 * Math.sin(pitchRad), -2 * Math.cos(pitchRad));
    const lines = [
      bodyLine('chain', 'hoist', side(0, 0), side(found.chain.uN, found.chain.upN)),
      bodyLine('pull', 'pull-back', foot, to),
      bodyLine('idle', 'breastline', foot, side(foot.uM, 9)),
    ];
    const checked = known(solveLinesOnBody({ weightN: 100 * g, cg }, lines));
    expect(checked.lines[0]?.tensionN).toBeCloseTo(found.chain.tensionN, 6);
    expect(checked.lines[1]?.tensionN).toBeCloseTo(found.pullBackN, 6);
    expect(checked.lines[2]?.tensionN).toBeCloseTo(0, 6);
    expect(found.pullBackOnEnd.uN).toBeCloseTo(checked.lines[1]?.pull.uN ?? NaN, 6);
    expect(found.pullBackOnEnd.downN).toBeCloseTo(checked.lines[1]?.pull.downN ?? NaN, 6);
    expect(found.pullBackOnEnd.downN).toBeGreaterThan(10);
    // Any one origin serves for the places of the frame.
    const { frame } = build;
    const off = ({ uM, vM }: SidePoint) => side(uM + 0.3, vM - 0.7);
    const moved = {
      ...frame,
      cg: off(frame.cg),
      bottomPivot: off(frame.bottomPivot),
      holes: frame.holes.map((hole) => ({ ...hole, ...off(hole) })),
    };
    const shifted = expectOk(
      pullBackAtPitch({ ...build, frame: moved }, { hole: 'hole', framePitchRad: pitchRad, on: 0, at: side(0, -4), to }),
    );
    expect(shifted.pullBackN).toBeCloseTo(found.pullBackN, 6);
  });
  test('at the free hang it carries nothing', () => {
    const free = expectOk(solveArray(build, { on: 'one-hole', hole: 'hole' })).framePitchRad;
    expect(
      expectOk(pullBackAtPitch(build, { hole: 'hole', framePitchRad: free, on: 'frame', at: side(0, -1), to: side(-5, -1) })).pullBackN,
    ).toBeCloseTo(0, 9);
  });
  test('refusals', () => {
    const asked = { hole: 'hole', framePitchRad: rad(-10), on: 0, at: side(0, -4), to: side(-5, -4) } as const;
    const refuse = (change: object) => expectFail(pullBackAtPitch(build, { ...asked, ...change }));
    expect(refuse({ to: side(5, -4) })).toMatchObject({ code: 'line-would-push', line: 'pull-back' });
    expect(refuse({ on: 'frame', at: side(0, 0) })).toEqual({ code: 'line-through-hole' });
    expect(refuse({ on: 3 })).toEqual({ code: 'no-such-element', on: 3, elements: 1 });
    expect(refuse({ hole: 'other' })).toEqual({ code: 'no-such-hole', hole: 'other' });
    expect(refuse({ to: side(NaN, 0) })).toEqual({ code: 'not-finite', what: 'pull-back' });
    expect(refuse({ framePitchRad: NaN })).toEqual({ code: 'not-finite', what: 'frame pitch' });
    const weightless = { ...build, elements: [{ ...build.elements[0]!, massKg: -1 }] };
    expect(expectFail(pullBackAtPitch(weightless, asked))).toMatchObject({ code: 'mass-negative', massKg: -1 });
    // Nearly straight up at the foot, the line carries more than the array weighs.
    expect(refuse({ framePitchRad: rad(-80), on: 'frame', at: side(0, -1), to: side(-0.99, 50) })).toMatchObject({
      code: 'pull-back-lifts-the-array',
    });
  });
});
