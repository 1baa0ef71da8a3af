import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { radToDeg } from '../../src/domain/foundation/elementary.ts';
import type { Result } from '../../src/domain/foundation/result.ts';
import { solveCutLegs } from '../../src/domain/statics/bridle-apex.ts';
import type { Anchor } from '../../src/domain/statics/bridle-legs.ts';
import { solveBridle } from '../../src/domain/statics/bridle.ts';
import type { Bridle } from '../../src/domain/statics/bridle.ts';

const at = (xM: number, yM: number, zM: number) => ({ xM, yM, zM });
const anchor = (id: string, xM: number, yM: number, zM: number): Anchor => ({ id, xM, yM, zM });
const about = (value: number, digits: number): number => expect.closeTo(value, digits) as number;
const cut = (id: string, xM: number, yM: number, zM: number, legM: number) => ({ id, xM, yM, zM, legM });

function expectOk<T>(result: Result<T, { code: string }>): T {
  if (!result.ok) throw new Error(JSON.stringify(result.error));
  return result.value;
}
function expectError<E>(result: Result<unknown, E>): E {
  if (result.ok) throw new Error('this should have been refused');
  return result.error;
}

describe('worked by hand', () => {
  test('1000 kg, anchors (±3, 0, 10), apex (0, 0, 6)', () => {
    const { legs, includedAngles } = expectOk(solveBridle(1000 * 9.80665, at(0, 0, 6), [anchor('l', -3, 0, 10), anchor('r', 3, 0, 10)]));
    for (const leg of legs) {
      expect(leg.lengthM).toBe(5);
      expect(leg.tensionN / 1000).toBeCloseTo(6.12915625, 12);
      expect(leg.atAnchor.downN / 1000).toBeCloseTo(9.80665 / 2, 12);
      expect(leg.slack).toBe(false);
    }
    // The left anchor is pulled to the right, towards the apex.
    expect(legs.map(({ atAnchor }) => atAnchor.xN / 1000)).toEqual([about(3.67749375, 12), about(-3.67749375, 12)]);
    expect(radToDeg(includedAngles[0]?.angleRad ?? 0)).toBeCloseTo(73.7398, 4);
  });
  test('legs of 4 and 5 m from (0, 0, 8) and (6, 0, 8) meet at x 2.25, z 8 - sqrt(16 - 2.25²)', () => {
    const { apex } = expectOk(solveCutLegs(0, [cut('a', 0, 0, 8, 4), cut('b', 6, 0, 8, 5)]));
    expect(apex).toEqual({ xM: about(2.25, 12), yM: about(0, 12), zM: about(8 - Math.sqrt(10.9375), 12) });
    expect(apex.zM).toBeCloseTo(4.69281, 5);
  });
  test('three legs to a right angle: the shares are those of the triangle in plan', () => {
    // Anchors (0,0), (4,0), (0,4) at 5 m, apex plumb under (1, 1) at 2 m: shares 1/2, 1/4, 1/4; leg lengths sqrt(11), sqrt(19).
    const { legs } = expectOk(solveBridle(1200, at(1, 1, 2), [anchor('a', 0, 0, 5), anchor('b', 4, 0, 5), anchor('c', 0, 4, 5)]));
    expect(legs.map(({ atAnchor }) => atAnchor.downN)).toEqual([about(600, 9), about(300, 9), about(300, 9)]);
    expect(legs.map(({ tensionN }) => tensionN)).toEqual([
      about((600 * Math.sqrt(11)) / 3, 9),
      about((300 * Math.sqrt(19)) / 3, 9),
      about((300 * Math.sqrt(19)) / 3, 9),
    ]);
    expect(legs[1]?.atAnchor).toEqual({ xN: about(-300, 9), yN: about(100, 9), downN: about(300, 9) });
  });
  test('three spheres: legs of 3 m from a right-angled triangle of 2 m', () => {
    // Equal legs: the apex is plumb under the middle (1, 1) of the long side, so the leg to the right-angled corner is just as far.
    const legs = [cut('a', 0, 0, 9, 3), cut('b', 2, 0, 9, 3), cut('c', 0, 2, 9, 3)];
    const { apex } = expectOk(solveCutLegs(10, legs));
    expect(apex).toEqual({ xM: about(1, 12), yM: about(1, 12), zM: about(9 - Math.sqrt(7), 12) });
  });
});

describe('two legs hold their apex in one plane', () => {
  const anchors = [anchor('a', 0, 0, 8), anchor('b', 3, 4, 9)];
  test('5 mm beside it is solved in the plane and said', () => {
    const off = at(1.5 + 0.005 * 0.8, 2 - 0.005 * 0.6, 5);
    const beside = expectOk(solveBridle(100, off, anchors));
    const inPlane = expectOk(solveBridle(100, at(1.5, 2, 5), anchors));
    expect(beside.legs.map(({ tensionN }) => tensionN)).toEqual(inPlane.legs.map(({ tensionN }) => about(tensionN, 9)));
    expect(beside.cautions).toMatchObject([{ code: 'apex-moved-into-plane', movedM: about(0.005, 9) }]);
    expect(inPlane.cautions).toEqual([]);
  });
  test('more is refused with the nearest place, which is accepted', () => {
    const error = expectError(solveBridle(100, at(1.5 + 0.008, 2 - 0.006, 5), anchors));
    expect(error).toMatchObject({ code: 'apex-out-of-plane', offM: about(0.01, 9) });
    if (error.code !== 'apex-out-of-plane') return;
    expect(error.nearestApex).toEqual({ xM: about(1.5, 9), yM: about(2, 9), zM: 5 });
    expect(expectOk(solveBridle(100, error.nearestApex, anchors)).cautions).toEqual([]);
  });
});

describe('refusals', () => {
  const [a, b, c] = [anchor('a', 0, 0, 8), anchor('b', 6, 0, 8), anchor('c', 0, 6, 8)];
  test.each([
    { name: 'one leg', apex: at(0, 0, 5), anchors: [a], error: { code: 'too-few-legs', legs: 1 } },
    { name: 'no leg', apex: at(0, 0, 5), anchors: [], error: { code: 'too-few-legs', legs: 0 } },
    {
      name: 'four legs',
      apex: at(3, 3, 5),
      anchors: [a, b, c, anchor('d', 6, 6, 8)],
      error: { code: 'indeterminate', reason: 'four-legs-or-more', legs: 4 },
    },
    {
      name: 'three anchors in line',
      apex: at(3, 0, 5),
      anchors: [a, b, anchor('d', 3, 0, 9)],
      error: { code: 'indeterminate', reason: 'anchors-in-line', legs: 3 },
    },
    {
      name: 'three anchors in line, not along an axis',
      apex: at(1, 1.1, 5),
      anchors: [a, anchor('d', 1, 1.1, 8), anchor('e', 3, 3.3, 8)],
      error: { code: 'indeterminate', reason: 'anchors-in-line', legs: 3 },
    },
    {
      name: 'two anchors at one place',
      apex: at(0, 0, 5),
      anchors: [a, anchor('d', 0, 0.0005, 9)],
      error: { code: 'anchors-coincide', anchors: ['a', 'd'] },
    },
    {
      name: 'an apex above',
      apex: at(3, 0, 8.5),
      anchors: [a, anchor('d', 6, 0, 9)],
      error: { code: 'apex-not-below-anchors', lowestAnchor: 'a', belowM: -0.5 },
    },
    { name: 'an apex half a millimetre below', apex: at(3, 0, 7.9995), anchors: [a, b], error: { code: 'apex-not-below-anchors' } },
    { name: 'an apex outside two anchors', apex: at(6.01, 0, 5), anchors: [a, b], error: { code: 'leg-in-compression', legs: ['a'] } },
    { name: 'an apex outside three anchors', apex: at(3.01, 3, 5), anchors: [a, b, c], error: { code: 'leg-in-compression', legs: ['a'] } },
    {
      name: 'an apex in the plane of three anchors',
      apex: at(6, 6, 7),
      anchors: [anchor('a', 0, 0, 9), anchor('b', 3, 0, 8.5), anchor('c', 0, 3, 8.5)],
      error: { code: 'leg-in-compression', legs: ['a'] },
    },
    { name: '179.9° between the legs', apex: at(3, 0, 8 - 3 * 0.000872664847), anchors: [a, b], error: { code: 'leg-too-flat' } },
    {
      name: 'one leg flat',
      apex: at(0.5, 0, 7.6),
      anchors: [a, b],
      error: { code: 'leg-too-flat', legs: [{ id: 'b', angleOffVerticalDeg: about((Math.atan2(5.5, 0.4) * 180) / Math.PI, 9) }] },
    },
    { name: 'an apex that is no number', apex: at(NaN, 0, 5), anchors: [a, b], error: { code: 'not-finite', what: 'apex' } },
    {
      name: 'an anchor that is no number',
      apex: at(3, 0, 5),
      anchors: [a, anchor('b', 6, 0, Infinity)],
      error: { code: 'not-finite', what: 'b' },
    },
    {
      name: 'an anchor beyond the earth',
      apex: at(3, 0, 5),
      anchors: [a, anchor('b', 1e200, 0, 8)],
      error: { code: 'out-of-range', what: 'b' },
    },
  ])('$name', ({ apex, anchors, error }) => {
    expect(expectError(solveBridle(1000, apex, anchors))).toMatchObject(error);
  });
  test.each([
    [NaN, { code: 'not-finite', what: 'load' }],
    [-1, { code: 'load-negative', loadN: -1 }],
    [1e300, { code: 'out-of-range', what: 'load' }],
  ])('a load of %d N', (loadN, error) => {
    expect(expectError(solveBridle(loadN, at(3, 0, 5), [a, b]))).toMatchObject(error);
  });
  test('just inside each limit is solved', () => {
    expectOk(solveBridle(1, at(0.0175, 0, 7.999), [anchor('a', 0.015, 0, 8), anchor('b', 0.02, 0, 8)]));
    expectOk(solveBridle(1, at(3, 0, 8 - 3 / Math.tan((84.999 * Math.PI) / 180)), [a, b]));
    expectOk(solveBridle(1, at(6, 0, 5), [a, b]));
  });
});

describe('a slack leg', () => {
  test('plumb under one anchor the others carry nothing', () => {
    const { legs } = expectOk(solveBridle(1000, at(1, 2, 5), [anchor('a', 1, 2, 8), anchor('b', 4, 2, 8), anchor('c', 1, 6, 8)]));
    expect(legs.map(({ tensionN, slack }) => ({ tensionN, slack }))).toEqual([
      { tensionN: about(1000, 9), slack: false },
      { tensionN: 0, slack: true },
      { tensionN: 0, slack: true },
    ]);
    expect(legs[1]?.atAnchor).toEqual({ xN: 0, yN: 0, downN: 0 });
  });
  test('no load does not make a leg slack', () => {
    const { legs } = expectOk(solveBridle(0, at(3, 0, 5), [anchor('a', 0, 0, 8), anchor('b', 6, 0, 8)]));
    expect(legs.map(({ tensionN, slack }) => [tensionN, slack])).toEqual([
      [0, false],
      [0, false],
    ]);
  });
});

// --- Laws ---------------------------------------------------------------------------------------

const number = (min: number, max: number) => fc.double({ min, max, noNaN: true });
const loadN = fc.oneof(number(1e-8, 1e10), number(1, 1e5));
/** A bridle that can be: anchors round an apex, 10 cm to 20 m above it, the apex well inside. */
const threeLegs = fc
  .record({
    apex: fc.record({ xM: number(-50, 50), yM: number(-50, 50), zM: number(0, 20) }),
    turn: number(0, 6.28),
    rays: fc.tuple(...[0, 1, 2].map(() => fc.record({ outM: number(0.3, 10), upM: number(1, 20), swing: number(-0.9, 0.9) }))),
  })
  .map(({ apex, turn, rays }) => ({
    apex,
    anchors: rays.map(({ outM, upM, swing }, index) => {
      const angle = turn + (index * 2 * Math.PI) / 3 + swing / 2;
      return anchor(`${index}`, apex.xM + outM * Math.cos(angle), apex.yM + outM * Math.sin(angle), apex.zM + upM);
    }),
  }));
const twoLegs = fc
  .record({
    apex: fc.record({ xM: number(-50, 50), yM: number(-50, 50), zM: number(0, 20) }),
    turn: number(0, 6.28),
    rays: fc.tuple(...[0, 1].map(() => fc.record({ outM: number(0.05, 10), upM: number(1, 20) }))),
  })
  .map(({ apex, turn, rays }) => ({
    apex,
    anchors: rays.map(({ outM, upM }, index) => {
      const angle = turn + index * Math.PI;
      return anchor(`${index}`, apex.xM + outM * Math.cos(angle), apex.yM + outM * Math.sin(angle), apex.zM + upM);
    }),
  }));
const anyBridle = fc.oneof(twoLegs, threeLegs);

const tensions = ({ legs }: Bridle): number[] => legs.map(({ tensionN }) => tensionN);
const near = (found: readonly number[], wanted: readonly number[], slack: number): void => {
  for (const [index, value] of found.entries()) expect(Math.abs(value - (wanted[index] ?? NaN))).toBeLessThanOrEqual(slack);
};

describe('laws', () => {
  test('what the roof feels is the load, straight down, and every leg pulls along itself', () => {
    fc.assert(
      fc.property(anyBridle, loadN, ({ apex, anchors }, load) => {
        const { legs } = expectOk(solveBridle(load, apex, anchors));
        const total = (of: (leg: Bridle['legs'][number]) => number): number => legs.reduce((sum, leg) => sum + of(leg), 0);
        expect(Math.abs(total(({ atAnchor }) => atAnchor.downN) - load)).toBeLessThanOrEqual(1e-9 * load);
        expect(Math.abs(total(({ atAnchor }) => atAnchor.xN))).toBeLessThanOrEqual(1e-9 * load);
        expect(Math.abs(total(({ atAnchor }) => atAnchor.yN))).toBeLessThanOrEqual(1e-9 * load);
        for (const [index, { atAnchor, tensionN, lengthM }] of legs.entries()) {
          const from = anchors[index] ?? anchor('', NaN, NaN, NaN);
          const unit = [(apex.xM - from.xM) / lengthM, (apex.yM - from.yM) / lengthM, (from.zM - apex.zM) / lengthM];
          near(
            [atAnchor.xN, atAnchor.yN, atAnchor.downN],
            unit.map((part) => part * tensionN),
            1e-9 * load,
          );
        }
      }),
    );
  });
  test('a mirrored bridle has the same tensions', () => {
    fc.assert(
      fc.property(anyBridle, ({ apex, anchors }) => {
        const mirrored = expectOk(
          solveBridle(
            1000,
            { ...apex, xM: -apex.xM },
            anchors.map((p) => ({ ...p, xM: -p.xM })),
          ),
        );
        near(tensions(mirrored), tensions(expectOk(solveBridle(1000, apex, anchors))), 1e-6);
        const swapped = expectOk(solveBridle(1000, apex, anchors.toReversed()));
        near(tensions(swapped).toReversed(), tensions(expectOk(solveBridle(1000, apex, anchors))), 1e-6);
      }),
    );
  });
  test('twice the load is twice the tension, twice the size is the same', () => {
    fc.assert(
      fc.property(anyBridle, number(0.1, 10), ({ apex, anchors }, k) => {
        const once = tensions(expectOk(solveBridle(1000, apex, anchors)));
        near(
          tensions(expectOk(solveBridle(1000 * k, apex, anchors))),
          once.map((t) => t * k),
          1e-8 * k,
        );
        const grow = <P extends { xM: number; yM: number; zM: number }>(p: P): P => ({ ...p, xM: 2 * p.xM, yM: 2 * p.yM, zM: 2 * p.zM });
        near(tensions(expectOk(solveBridle(1000, grow(apex), anchors.map(grow)))), once, 1e-8);
      }),
    );
  });
  test('legs cut to the lengths of a bridle meet where it was drawn', () => {
    fc.assert(
      fc.property(anyBridle, loadN, ({ apex, anchors }, load) => {
        const drawn = expectOk(solveBridle(load, apex, anchors));
        const cutLegs = anchors.map((p, index) => ({ ...p, legM: drawn.legs[index]?.lengthM ?? NaN }));
        const made = expectOk(solveCutLegs(load, cutLegs));
        near([made.apex.xM, made.apex.yM, made.apex.zM], [apex.xM, apex.yM, apex.zM], 1e-7);
        near(
          made.legs.map(({ lengthM }) => lengthM),
          cutLegs.map(({ legM }) => legM),
          1e-9,
        );
        near(tensions(made), tensions(drawn), 1e-6 * load);
      }),
    );
  });
  test('a slow, obvious solver finds the same: elimination of the three equations of equilibrium', () => {
    let worst = 0;
    fc.assert(
      fc.property(threeLegs, ({ apex, anchors }) => {
        const ways = anchors.map((p) => [p.xM - apex.xM, p.yM - apex.yM, p.zM - apex.zM]);
        const units = ways.map((way) => way.map((part) => part / Math.hypot(...way)));
        const rows = [0, 1, 2].map((axis) => [...units.map((unit) => unit[axis] ?? NaN), axis === 2 ? 1000 : 0]);
        const found = tensions(expectOk(solveBridle(1000, apex, anchors)));
        near(found, eliminated(rows), 1e-6);
        for (const [index, tension] of eliminated(rows).entries())
          worst = Math.max(worst, Math.abs(tension - (found[index] ?? NaN)) / 1000);
      }),
      { numRuns: 1000, seed: 7 },
    );
    console.info(`bridle against elimination, 1000 cases: largest difference ${worst} of the load`);
  });
  test('any input is answered or refused, never with a number that is none', () => {
    const wild = fc.oneof(number(-20, 20), fc.constantFrom(0, 1e-9, 1e9, -1e6, 1e6, NaN, Infinity, 1e-300, 8, 8.001));
    const place = fc.record({ xM: wild, yM: wild, zM: wild });
    fc.assert(
      fc.property(place, fc.array(place, { maxLength: 4 }), wild, wild, (apex, places, load, legM) => {
        const anchors = places.map((p, index) => ({ ...p, id: `${index}` }));
        for (const found of [
          solveBridle(load, apex, anchors),
          solveCutLegs(
            load,
            anchors.map((p) => ({ ...p, legM })),
          ),
        ]) {
          if (found.ok)
            expect(JSON.stringify(found.value)).not.toContain('null'); // JSON's spelling of NaN and infinity
          else expect(found.error.code).toMatch(/^[a-z-]+$/);
        }
      }),
      { numRuns: 5000 },
    );
  });
});

/** Gauss-Jordan with row exchange. */
function eliminated(rows: number[][]): number[] {
  const system = rows.map((row) => [...row]);
  for (let column = 0; column < 3; column += 1) {
    const rest = system.slice(column).sort((a, b) => Math.abs(b[column] ?? 0) - Math.abs(a[column] ?? 0));
    system.splice(column, system.length, ...rest);
    const pivotRow = system[column] ?? [];
    const pivot = pivotRow[column] ?? NaN;
    for (const [index, row] of system.entries()) {
      const factor = index === column ? 0 : (row[column] ?? NaN) / pivot;
      for (let k = 0; k < 4; k += 1) row[k] = (row[k] ?? NaN) - factor * (pivotRow[k] ?? NaN);
    }
  }
  return system.map((row, index) => (row[3] ?? NaN) / (row[index] ?? NaN));
}

// --- Legs of known lengths ----------------------------------------------------------------------

describe('legs that do not meet, or not under tension', () => {
  test('too short', () => {
    expect(expectError(solveCutLegs(0, [cut('a', 0, 0, 8, 2), cut('b', 6, 0, 8, 3)]))).toEqual({
      code: 'legs-do-not-meet',
      reason: 'legs-too-short',
    });
    const three = [cut('a', 0, 0, 8, 3), cut('b', 5, 0, 8, 3), cut('c', 2.5, 9, 8, 5)];
    expect(expectError(solveCutLegs(0, three))).toEqual({ code: 'legs-do-not-meet', reason: 'legs-too-short' });
  });
  test('one too long: the other carries all', () => {
    expect(expectError(solveCutLegs(0, [cut('a', 0, 0, 8, 2), cut('b', 3, 0, 8, 6)]))).toEqual({
      code: 'legs-do-not-meet',
      reason: 'leg-too-long',
      slackLegs: ['b'],
      plumbApex: at(0, 0, 6),
    });
  });
  test('they meet beside the anchors, so one hangs slack', () => {
    // Circles of 3 and 5 m about (0, 8) and (3, 8) meet at x = (9 - 25 + 9)/6 < 0.
    expect(expectError(solveCutLegs(0, [cut('a', 0, 0, 8, 3), cut('b', 3, 0, 8, 5)]))).toEqual({
      code: 'leg-in-compression',
      slackLegs: ['b'],
      plumbApex: at(0, 0, 5),
    });
  });
  test('the third of three hangs slack: the load rests on two', () => {
    const error = expectError(solveCutLegs(0, [cut('a', 0, 0, 8, 5), cut('b', 6, 0, 8, 5), cut('c', 3, 4, 8, 6)]));
    expect(error).toMatchObject({ code: 'leg-in-compression', slackLegs: ['c'] });
    if (error.code !== 'leg-in-compression') return;
    expect(error.plumbApex).toEqual({ xM: about(3, 12), yM: about(0, 12), zM: about(4, 12) });
  });
  test('two legs that would meet beside their anchors are no place of rest: another pair is', () => {
    // Legs a and b meet at x = -1, where b would push. Plumb under a is out of reach of c, so the load rests on a and c.
    const legs = [cut('a', 0, 0, 10, 5), cut('b', 2, 0, 10, Math.sqrt(33)), cut('c', -4, 0.5, 10, 6)];
    expect(expectError(solveCutLegs(0, legs))).toMatchObject({ code: 'leg-in-compression', slackLegs: ['b'] });
  });
  test('two of three hang slack: the load rests plumb under one', () => {
    const error = expectError(solveCutLegs(0, [cut('a', 0, 0, 8, 3), cut('b', 2, 0, 8, 6), cut('c', 0, 2, 8, 6)]));
    expect(error).toEqual({ code: 'legs-do-not-meet', reason: 'leg-too-long', slackLegs: ['b', 'c'], plumbApex: at(0, 0, 5) });
  });
  test.each([
    {
      name: 'no length',
      legs: [cut('a', 0, 0, 8, 0), cut('b', 6, 0, 8, 5)],
      error: { code: 'leg-length-not-positive', leg: 'a', legM: 0 },
    },
    { name: 'a length that is no number', legs: [cut('a', 0, 0, 8, NaN), cut('b', 6, 0, 8, 5)], error: { code: 'not-finite', what: 'a' } },
    {
      name: 'one anchor twice',
      legs: [cut('a', 0, 0, 8, 4), cut('b', 0, 0, 8, 4)],
      error: { code: 'anchors-coincide', anchors: ['a', 'b'] },
    },
    {
      name: 'anchors in line',
      legs: [cut('a', 0, 0, 8, 4), cut('b', 3, 0, 8, 4), cut('c', 6, 0, 9, 4)],
      error: { code: 'indeterminate', reason: 'anchors-in-line', legs: 3 },
    },
    {
      name: 'four legs',
      legs: [cut('a', 0, 0, 8, 4), cut('b', 3, 0, 8, 4), cut('c', 3, 3, 8, 4), cut('d', 0, 3, 8, 4)],
      error: { code: 'indeterminate', reason: 'four-legs-or-more', legs: 4 },
    },
    { name: 'a flat bridle', legs: [cut('a', 0, 0, 8, 3.001), cut('b', 6, 0, 8, 3.001)], error: { code: 'leg-too-flat' } },
    {
      name: 'a pull-back from below',
      legs: [cut('a', 0, 0, 10, Math.sqrt(20)), cut('b', 5, 0, 5, Math.sqrt(10))],
      error: { code: 'apex-not-below-anchors', lowestAnchor: 'b' },
    },
  ])('$name', ({ legs, error }) => {
    expect(expectError(solveCutLegs(0, legs))).toMatchObject(error);
  });
  test('the place of rest is the lowest within reach of every leg', () => {
    const reach = fc.tuple(
      ...['a', 'b', 'c'].map((id) => fc.tuple(number(-5, 5), number(-5, 5), number(8, 12), number(1, 12)).map((v) => cut(id, ...v))),
    );
    fc.assert(
      fc.property(reach, number(-1, 1), number(-1, 1), number(-1, 1), (legs, dx, dy, dz) => {
        const found = solveCutLegs(1, legs);
        const rest = found.ok ? found.value.apex : 'plumbApex' in found.error ? found.error.plumbApex : null;
        fc.pre(rest !== null);
        const reaches = (p: { xM: number; yM: number; zM: number }, slackM: number): boolean =>
          legs.every((leg) => Math.hypot(p.xM - leg.xM, p.yM - leg.yM, p.zM - leg.zM) <= leg.legM + slackM);
        expect(reaches(rest, 1e-6)).toBe(true);
        for (const size of [1e-3, 0.1, 1]) {
          const beside = at(rest.xM + dx * size, rest.yM + dy * size, rest.zM + dz * size);
          if (reaches(beside, 0)) expect(beside.zM).toBeGreaterThanOrEqual(rest.zM - 1e-6);
        }
      }),
      { numRuns: 2000 },
    );
  });
});
