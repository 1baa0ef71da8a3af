import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { Result } from '../../src/domain/foundation/result.ts';
import { solveCutLegs } from '../../src/domain/statics/bridle-apex.ts';
import { makeUpBridle } from '../../src/domain/statics/make-up-bridle.ts';
import { makeUpLegs } from '../../src/domain/statics/make-up.ts';
import type { MadeLeg } from '../../src/domain/statics/make-up.ts';
import type { Stock } from '../../src/domain/statics/make-up-stock.ts';

const at = (xM: number, yM: number, zM: number) => ({ xM, yM, zM });
const piece = (id: string, lengthM: number, available: number | null = null) => ({ id, lengthM, available });
const stockOf = (changes: Partial<Stock>): Stock => ({ pieces: [], adjusters: [], jointM: 0, endsM: 0, ...changes });
const about = (value: number, digits: number): number => expect.closeTo(value, digits) as number;

function expectOk<T>(result: Result<T, { code: string }>): T {
  if (!result.ok) throw new Error(JSON.stringify(result.error));
  return result.value;
}
function expectError<E>(result: Result<unknown, E>): E {
  if (result.ok) throw new Error('this should have been refused');
  return result.error;
}
const said = ({ pieces, adjuster }: MadeLeg): string =>
  [...pieces.map(({ id, count }) => `${count}×${id}`), ...(adjuster === null ? [] : [`${adjuster.id}@${adjuster.setting}`])].join(' ');

// Invented round lengths.
const steels = [piece('s05', 0.5), piece('s1', 1), piece('s2', 2), piece('s5', 5)];
const chain = { id: 'adj', shortestM: 0.2, stepM: 0.05, steps: 16, available: null };

describe('legs of wanted lengths', () => {
  test('fewest parts first, then nearest; all ways of the same number are told', () => {
    const { answers, complete } = expectOk(
      makeUpLegs([{ id: 'a', wantedM: 7 }], 0.5, stockOf({ pieces: steels }), { mostPartsPerLeg: 4, answers: 3 }),
    );
    expect(complete).toBe(true);
    expect(answers.map(({ legs, parts, offM }) => [said(legs[0] ?? neverLeg()), parts, offM])).toEqual([
      ['1×s5 1×s2', 2, about(0, 12)],
      ['1×s5 2×s1', 3, about(0, 12)],
      ['1×s5 1×s2 1×s05', 3, about(0.5, 12)],
    ]);
  });
  test('ends and joints are part of the length', () => {
    // 0.1 + 5 + 0.07 + 2 + 0.07 + 1 = 8.24
    const stock = stockOf({ pieces: steels, jointM: 0.07, endsM: 0.1 });
    const [best] = expectOk(makeUpLegs([{ id: 'a', wantedM: 8.24 }], 1e-6, stock)).answers;
    expect(best?.legs.map(said)).toEqual(['1×s5 1×s2 1×s1']);
    expect(best?.legs[0]?.madeM).toBeCloseTo(8.24, 12);
  });
  test('an adjuster counts as a part and is set to the nearest step', () => {
    const [best] = expectOk(makeUpLegs([{ id: 'a', wantedM: 5.57 }], 0.03, stockOf({ pieces: steels, adjusters: [chain] }))).answers;
    expect(best?.legs.map(said)).toEqual(['1×s5 adj@7']); // 0.2 + 7·0.05 = 0.55
    expect(best?.offM).toBeCloseTo(0.02, 12);
    // The next setting would be 0.03 too long.
    const { answers } = expectOk(makeUpLegs([{ id: 'a', wantedM: 5.57 }], 0.025, stockOf({ pieces: steels, adjusters: [chain] })));
    for (const { offM } of answers) expect(offM).toBeLessThanOrEqual(0.025 + 1e-9);
  });
  test('what one leg takes is not there for the other', () => {
    const pieces = [piece('s1', 1, 2), piece('s2', 2, 1)];
    const legs = [
      { id: 'a', wantedM: 2 },
      { id: 'b', wantedM: 2 },
    ];
    const { answers } = expectOk(makeUpLegs(legs, 0, stockOf({ pieces })));
    expect(answers.map((answer) => answer.legs.map(said))).toEqual([
      ['1×s2', '2×s1'],
      ['2×s1', '1×s2'],
    ]);
    expect(expectError(makeUpLegs([...legs, { id: 'c', wantedM: 2 }], 0, stockOf({ pieces })))).toEqual({
      code: 'no-make-up',
      legs: [],
      complete: true,
    });
  });
  test('a leg that the stock cannot make is named', () => {
    const legs = [
      { id: 'a', wantedM: 3 },
      { id: 'b', wantedM: 3.2 },
    ];
    expect(expectError(makeUpLegs(legs, 0.1, stockOf({ pieces: steels })))).toEqual({ code: 'no-make-up', legs: ['b'], complete: true });
    expect(expectError(makeUpLegs(legs, 0.1, stockOf({})))).toEqual({ code: 'no-make-up', legs: ['a', 'b'], complete: true });
  });
  test('the same answers as from trying everything', () => {
    const lengths = fc.uniqueArray(fc.integer({ min: 2, max: 40 }), { minLength: 1, maxLength: 5 });
    fc.assert(
      fc.property(
        lengths,
        fc.integer({ min: 2, max: 120 }),
        fc.integer({ min: 0, max: 3 }),
        fc.nat({ max: 6 }),
        (tenths, wanted, band, available) => {
          const pieces = tenths.map((tenth, index) => piece(`${tenth}`, tenth / 10, index === 0 ? available : null));
          const found = makeUpLegs([{ id: 'a', wantedM: wanted / 10 }], band / 10, stockOf({ pieces }), {
            mostPartsPerLeg: 4,
            answers: 50,
          });
          // In whole tenths, so that no rounding decides.
          const all: { counts: number[]; parts: number; off: number }[] = [];
          const walk = (counts: number[]): void => {
            if (counts.length < tenths.length) {
              for (let count = 0; count <= 4; count += 1) walk([...counts, count]);
              return;
            }
            const parts = counts.reduce((sum, count) => sum + count, 0);
            const made = counts.reduce((sum, count, index) => sum + count * (tenths[index] ?? 0), 0);
            const off = Math.abs(made - wanted);
            if (parts >= 1 && parts <= 4 && off <= band && (counts[0] ?? 0) <= available) all.push({ counts, parts, off });
          };
          walk([]);
          if (all.length === 0) {
            expect(found).toEqual({ ok: false, error: { code: 'no-make-up', legs: ['a'], complete: true } });
            return;
          }
          const { answers, complete } = expectOk(found);
          fc.pre(complete);
          const wantedOrder = all.map(({ parts, off }) => [parts, off] as const).sort((a, b) => a[0] - b[0] || a[1] - b[1]);
          expect(answers.map(({ parts, offM }) => [parts, Math.round(offM * 10)])).toEqual(wantedOrder.slice(0, 50));
        },
      ),
    );
  });
});

function neverLeg(): never {
  throw new Error('no leg');
}

describe('a bridle from stock', () => {
  const anchors = [
    { id: 'a', ...at(0, 0, 10) },
    { id: 'b', ...at(6, 0, 10) },
  ];
  const pieces = [piece('s1', 1), piece('s2', 2), piece('s4', 4)];

  test('a 3-4-5 bridle is made of whole steels', () => {
    const { answers } = expectOk(makeUpBridle(1000, at(3, 0, 6), anchors, 0.01, stockOf({ pieces })));
    const [best] = answers;
    expect(best?.legs.map(said)).toEqual(['1×s4 1×s1', '1×s4 1×s1']);
    expect(best?.offM).toBeCloseTo(0, 12);
    expect(best?.made.legs.map(({ tensionN }) => tensionN)).toEqual([about(625, 9), about(625, 9)]); // 1000/2 · 5/4
    expect(best?.oneStepOff).toEqual({
      settings: 1,
      legs: best?.made.legs.map(({ id, tensionN, angleOffVerticalRad }) => ({ id, tensionN, angleOffVerticalRad })),
      apexOffM: best?.offM,
      withinTolerance: true,
      refused: [],
    });
  });

  test('each adjuster one step off: the worst of all settings counts, and leaving the tolerance is said', () => {
    const stock = stockOf({ pieces, adjusters: [chain] });
    const { answers } = expectOk(makeUpBridle(1000, at(2.3, 0, 6.4), anchors, 0.06, stock));
    const best = answers[0] ?? neverLeg();
    expect(best.legs.every(({ adjuster }) => adjuster !== null)).toBe(true);
    expect(best.oneStepOff.settings).toBe(9);
    // By hand: all nine settings, solved one by one.
    const tensions = [-0.05, 0, 0.05].flatMap((first) =>
      [-0.05, 0, 0.05].map((second) => {
        const cut = anchors.map((anchor, index) => ({ ...anchor, legM: (best.legs[index]?.madeM ?? 0) + (index === 0 ? first : second) }));
        return expectOk(solveCutLegs(1000, cut)).legs.map(({ tensionN }) => tensionN);
      }),
    );
    for (const [index, leg] of best.oneStepOff.legs.entries()) {
      expect(leg.tensionN).toBeCloseTo(Math.max(...tensions.map((row) => row[index] ?? NaN)), 9);
      expect(leg.tensionN).toBeGreaterThan(best.made.legs[index]?.tensionN ?? NaN);
    }
    expect(best.offM).toBeLessThanOrEqual(0.06);
    expect(best.oneStepOff.apexOffM).toBeGreaterThan(0.06);
    expect(best.oneStepOff.withinTolerance).toBe(false);
  });

  test('a step that makes a leg slack is told, and a make-up that holds goes first', () => {
    // The apex hangs nearly plumb under the first anchor: one step long on the second leg and it is slack.
    const near = [
      { id: 'a', ...at(0, 0, 10) },
      { id: 'b', ...at(2, 0, 10) },
    ];
    const stock = stockOf({ pieces, adjusters: [chain] });
    const { answers } = expectOk(makeUpBridle(1000, at(0.02, 0, 6), near, 0.25, stock, { mostPartsPerLeg: 4, answers: 40 }));
    const loose = answers.find(({ oneStepOff }) => oneStepOff.refused.length > 0) ?? neverLeg();
    expect(loose.oneStepOff.apexOffM).toBeLessThanOrEqual(0.25); // of the settings that can be: not what decides
    expect(loose.oneStepOff.withinTolerance).toBe(false);
    expect(loose.oneStepOff.refused.map(({ error }) => error.code)).toContain('leg-in-compression');
    for (const [index, answer] of answers.entries()) {
      const next = answers[index + 1];
      if (next !== undefined) expect(next.parts).toBeGreaterThanOrEqual(answer.parts);
      if (next?.parts === answer.parts && answer.oneStepOff.refused.length > 0) expect(next.oneStepOff.refused.length).toBeGreaterThan(0);
    }
  });

  test('the wanted bridle itself is refused first', () => {
    const stock = stockOf({ pieces });
    expect(expectError(makeUpBridle(1000, at(7, 0, 6), anchors, 0.01, stock))).toMatchObject({ code: 'leg-in-compression' });
    expect(expectError(makeUpBridle(-1, at(3, 0, 6), anchors, 0.01, stock))).toMatchObject({ code: 'load-negative' });
  });

  test('never out of tolerance silently, and the lengths told are the lengths that give the apex told', () => {
    const place = fc.record({
      x: fc.double({ min: 0.5, max: 5.5, noNaN: true }),
      y: fc.double({ min: 0.3, max: 3.5, noNaN: true }),
      z: fc.double({ min: 2, max: 7, noNaN: true }),
    });
    const three = [...anchors, { id: 'c', ...at(3, 5, 11) }];
    const stock = stockOf({ pieces: steels, adjusters: [chain], jointM: 0.06, endsM: 0.12 });
    let solved = 0;
    fc.assert(
      fc.property(place, fc.boolean(), fc.double({ min: 0.03, max: 0.2, noNaN: true }), ({ x, y, z }, third, toleranceM) => {
        const used = third ? three : anchors;
        const apex = at(x, third ? y : 0, z);
        const found = makeUpBridle(5000, apex, used, toleranceM, stock);
        if (!found.ok) return;
        solved += 1;
        let fewest = 0;
        for (const { legs, offM, parts, oneStepOff, ...answer } of found.value.answers) {
          const away = Math.hypot(answer.apex.xM - apex.xM, answer.apex.yM - apex.yM, answer.apex.zM - apex.zM);
          expect(away).toBeLessThanOrEqual(toleranceM + 1e-8);
          expect(away).toBeCloseTo(offM, 8);
          expect(parts).toBeGreaterThanOrEqual(fewest);
          fewest = parts;
          for (const [index, leg] of legs.entries()) {
            const made = leg.pieces.reduce((sum, { id, count }) => sum + count * (steels.find((s) => s.id === id)?.lengthM ?? NaN), 0);
            const adjusted = leg.adjuster === null ? 0 : chain.shortestM + leg.adjuster.setting * chain.stepM;
            expect(leg.madeM).toBeCloseTo(made + adjusted + 0.12 + 0.06 * (leg.parts - 1), 9);
            const anchor = used[index] ?? neverLeg();
            expect(Math.hypot(answer.apex.xM - anchor.xM, answer.apex.yM - anchor.yM, answer.apex.zM - anchor.zM)).toBeCloseTo(
              leg.madeM,
              8,
            );
            if (oneStepOff.refused.length === 0)
              expect(oneStepOff.legs[index]?.tensionN).toBeGreaterThanOrEqual(answer.made.legs[index]?.tensionN ?? NaN);
          }
        }
      }),
      { numRuns: 60, seed: 3 },
    );
    expect(solved).toBeGreaterThan(30);
  });

  test('the same question gives the same bytes, and a huge stock ends in bounded time and says so', () => {
    const many = Array.from({ length: 60 }, (_, index) => piece(`p${index}`, 0.31 + index * 0.0173));
    const ask = () => makeUpBridle(1000, at(2.6, 0, 4), anchors, 0.05, stockOf({ pieces: many }), { mostPartsPerLeg: 12, answers: 5 });
    const begun = performance.now();
    const first = expectOk(ask());
    expect(performance.now() - begun).toBeLessThan(3000);
    expect(first.complete).toBe(false);
    expect(JSON.stringify(expectOk(ask()))).toBe(JSON.stringify(first));
  });
  test('many legs that cannot be made together end in bounded time', () => {
    const legs = Array.from({ length: 30 }, (_, index) => ({ id: `${index}`, wantedM: 5.3 }));
    const begun = performance.now();
    const found = makeUpLegs(
      legs,
      0.4,
      stockOf({ pieces: steels.map((s) => ({ ...s, available: 20 })), adjusters: [{ ...chain, available: 3 }] }),
    );
    expect(performance.now() - begun).toBeLessThan(3000);
    if (!found.ok) expect(found.error).toMatchObject({ code: 'no-make-up', complete: false });
  });
});

describe('refusals', () => {
  const leg = [{ id: 'a', wantedM: 3 }];
  test.each([
    {
      name: 'an id given twice',
      stock: stockOf({ pieces: [piece('x', 1), piece('x', 2)] }),
      error: { code: 'stock-id-repeated', id: 'x' },
    },
    {
      name: 'a piece without length',
      stock: stockOf({ pieces: [piece('x', 0)] }),
      error: { code: 'stock-value-impossible', id: 'x', what: 'lengthM' },
    },
    {
      name: 'a length that is no number',
      stock: stockOf({ pieces: [piece('x', NaN)] }),
      error: { code: 'stock-value-impossible', what: 'lengthM' },
    },
    {
      name: 'half a piece',
      stock: stockOf({ pieces: [piece('x', 1, 0.5)] }),
      error: { code: 'stock-value-impossible', what: 'available', value: 0.5 },
    },
    {
      name: 'steps of nothing',
      stock: stockOf({ adjusters: [{ ...chain, stepM: 0 }] }),
      error: { code: 'stock-value-impossible', what: 'stepM' },
    },
    {
      name: 'a billion steps',
      stock: stockOf({ adjusters: [{ ...chain, steps: 1e9 }] }),
      error: { code: 'stock-value-impossible', what: 'steps' },
    },
    { name: 'a joint that shortens', stock: stockOf({ jointM: -0.1 }), error: { code: 'stock-value-impossible', what: 'jointM' } },
  ])('$name', ({ stock, error }) => expect(expectError(makeUpLegs(leg, 0.1, stock))).toMatchObject(error));
  test('of what is asked for', () => {
    const stock = stockOf({ pieces: steels });
    expect(expectError(makeUpLegs([], 0.1, stock))).toEqual({ code: 'too-few-legs', legs: 0 });
    expect(expectError(makeUpLegs(leg, -1, stock))).toMatchObject({ code: 'tolerance-impossible' });
    expect(expectError(makeUpLegs(leg, NaN, stock))).toMatchObject({ code: 'tolerance-impossible' });
    expect(expectError(makeUpLegs([{ id: 'a', wantedM: 0 }], 0.1, stock))).toMatchObject({ code: 'leg-length-not-positive', leg: 'a' });
    expect(expectError(makeUpLegs(leg, 0.1, stock, { mostPartsPerLeg: 0, answers: 1 }))).toEqual({ code: 'limits-impossible' });
    expect(expectError(makeUpLegs(leg, 0.1, stock, { mostPartsPerLeg: 1e9, answers: 1 }))).toEqual({ code: 'limits-impossible' });
  });
});
