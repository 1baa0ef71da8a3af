import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { solveBeam } from '../../src/domain/statics/beam.ts';
import { layOutBeam } from '../../src/domain/statics/beam-layout.ts';
import type { ForceLine } from '../../src/domain/statics/beam-extremes.ts';
import { forceExtremes } from '../../src/domain/statics/beam-extremes.ts';
import { levelledBeam } from '../../src/domain/statics/level-beam.ts';
import { levelEnvelope } from '../../src/domain/statics/level-envelope.ts';
import { levelPatterns } from '../../src/domain/statics/level-patterns.ts';
import type { SolvedTruss, TrussCase, TrussHang } from '../../src/domain/statics/truss.ts';
import { solveTruss, trussRoll } from '../../src/domain/statics/truss.ts';
import { TrussChecker, allowableFault } from '../../src/domain/statics/truss-check.ts';
import { offNodes, spanTableCheck } from '../../src/domain/statics/truss-table.ts';

const hoistsAt = (...places: number[]) => places.map((atM, index) => ({ id: `h${index + 1}`, atM }));
const truss = (change: Partial<TrussHang> = {}): TrussHang => ({
  lengthM: 16,
  selfNPerM: 100,
  eiNm2: 4e6,
  gaN: null,
  hoists: hoistsAt(0, 8, 16),
  pointLoads: [],
  spreadLoads: [],
  ...change,
});
const solved = (hang: TrussHang, restM = 0.01, movingM = 0.025, visit?: (one: TrussCase) => void): SolvedTruss => {
  const found = solveTruss(hang, { restM, movingM }, visit);
  if (!found.ok) throw new Error(JSON.stringify(found.error));
  return found.value;
};

describe('level envelope', () => {
  // Two equal spans under an even load carry 3/8, 10/8, 3/8 of q·l (Brockenbrough, Civil Engineering Formulas, Table 2.1, as copied in
  // the published cases). A middle support d higher adds 6·EI·d/l³ there, from the deflection P·(2l)³/48EI of the long span, and takes
  // half of it from each end; an end d higher is a middle d/2 lower.
  test('two equal spans: the middle one high carries the most, by hand', () => {
    const { restEnvelope } = solved(truss({ eiNm2: 4e5 }));
    const [ql, perM] = [100 * 8, (6 * 4e5) / 8 ** 3];
    // Worst is the middle 10 mm high and both ends 10 mm low: 20 mm between them.
    expect(restEnvelope.hoists[1]).toMatchObject({ mostIn: [-1, 1, -1], leastN: expect.closeTo(1.25 * ql - perM * 0.02, 6) as number });
    expect(restEnvelope.hoists[1]?.mostN).toBeCloseTo(1.25 * ql + perM * 0.02, 6);
    expect(restEnvelope.hoists[0]?.mostN).toBeCloseTo(0.375 * ql + (perM * 0.02) / 2, 6);
    expect(restEnvelope.cases).toBe(7);
    expect(restEnvelope.cautions).toEqual([]);
  });

  test('where a hoist goes slack, the rest carries everything and no line pushes', () => {
    const { movingEnvelope } = solved(truss({ eiNm2: 4e7 }));
    const [end, middle] = movingEnvelope.hoists;
    // The middle 50 mm high would take more than everything: it carries the truss alone at most, balanced.
    expect(middle?.mostN).toBeCloseTo(1600, 6);
    expect(middle).toMatchObject({ leastN: 0 });
    expect(end?.leastN).toBe(0);
    expect(end?.mostN).toBeCloseTo(800, 6);
    expect(end?.slackIn).toBeGreaterThan(0);
  });

  test('every pattern and every lost hoist agree with solving that beam from the start', () => {
    let lostFromInfluence = 0;
    const support = fc.record({
      gap: fc.integer({ min: 5, max: 60 }),
      levelMm: fc.integer({ min: -10, max: 10 }),
      stiff: fc.option(fc.integer({ min: 1, max: 900 })),
    });
    fc.assert(
      fc.property(
        fc.array(support, { minLength: 3, maxLength: 5 }),
        fc.integer({ min: 0, max: 40 }),
        fc.integer({ min: 1, max: 500 }),
        (list, tenthsMm, ei) => {
          let atM = 1;
          const along = list.map(({ gap, levelMm, stiff }, index) => ({
            id: `h${index}`,
            atM: (atM += gap / 10),
            levelM: levelMm / 1000,
            stiffnessNPerM: stiff === null ? null : stiff * 1e4,
            tensionOnly: true,
          }));
          // Given in a turned order, so that the order along the truss is not the order of the input, nor its mirror.
          const supports = [...along.slice(1), ...along.slice(0, 1)];
          const input = {
            lengthM: atM + 1,
            selfNPerM: 120,
            eiNm2: ei * 1e5,
            supports,
            pointLoads: [{ atM: 2, forceN: 700 }],
            spreadLoads: [],
          };
          const layout = layOutBeam(input);
          const ready = layout.ok ? levelledBeam(layout.value) : layout;
          if (!ready.ok) {
            expect(ready.error.code).toBe('unstable'); // the last metre hangs over
            return;
          }
          const envelope = levelEnvelope(ready.value, tenthsMm / 10_000, ({ reactions, line }, pattern) => {
            const again = solveBeam({
              ...input,
              supports: supports.map((s, k) => ({ ...s, levelM: s.levelM + ((pattern?.[k] ?? 0) * tenthsMm) / 10_000 })),
            });
            if (!again.ok) throw new Error(again.error.code);
            const sizeN = again.value.layout.grossN;
            for (const [k, { forceN }] of reactions.entries())
              expect(Math.abs(forceN - (again.value.reactions[k]?.forceN ?? NaN))).toBeLessThan(1e-7 * sizeN);
            for (const [k, momentNm] of line.momentLeftNm.entries())
              expect(Math.abs(momentNm - (again.value.line.momentLeftNm[k] ?? NaN))).toBeLessThan(1e-7 * sizeN * input.lengthM);
          });
          expect(envelope.ok && envelope.value.cases).toBe(tenthsMm === 0 ? 1 : 2 ** list.length - 1);
          for (const [k] of supports.entries()) {
            const without = ready.value.without(k);
            if (without === null) continue; // solved from the start there
            const again = solveBeam({ ...input, supports: supports.toSpliced(k, 1) });
            if (!again.ok) throw new Error(again.error.code);
            const { grossN } = again.value.layout;
            for (const [at, { id, forceN, slack }] of again.value.reactions.entries()) {
              expect(without.reactions[at]).toMatchObject({ id, slack });
              expect(Math.abs(forceN - (without.reactions[at]?.forceN ?? NaN))).toBeLessThan(1e-7 * grossN);
            }
            const most = (line: ForceLine) => forceExtremes(line).minMomentNm.value;
            expect(Math.abs(most(without) - most(again.value))).toBeLessThan(1e-7 * grossN * input.lengthM);
            lostFromInfluence += 1;
          }
        },
      ),
      { numRuns: 150, seed: 11 },
    );
    expect(lostFromInfluence).toBeGreaterThan(100);
  });

  test('nine hoists and more: the worst of each influence row and its neighbours, and it says so', () => {
    const perMetre = Array.from({ length: 9 }, (_, i) => Array.from({ length: 9 }, (_, j) => (i === j ? 5 : (i + j) % 2 === 0 ? 1 : -2)));
    const { patterns, areAll } = levelPatterns(perMetre);
    expect(areAll).toBe(false);
    const worst = perMetre[4]?.map((change) => (change >= 0 ? 1 : -1)) ?? [];
    expect(patterns).toContainEqual(worst);
    expect(patterns).toContainEqual(worst.map((sign, k) => (k === 7 ? -sign : sign)));
    const long = truss({ lengthM: 40, hoists: hoistsAt(...Array.from({ length: 9 }, (_, k) => 1 + 4.5 * k)) });
    expect(solved(long).cautions).toEqual([expect.stringContaining('9 hoists'), expect.stringContaining('rigid')]);
  });

  test('two hoists carry the same at any level, and need no EI', () => {
    const { restEnvelope, lost, cautions } = solved(truss({ hoists: hoistsAt(2, 14), eiNm2: null }));
    expect(restEnvelope.hoists.map(({ leastN, mostN }) => [leastN, mostN])).toEqual([
      [800, 800],
      [800, 800],
    ]);
    expect([lost, cautions]).toEqual([[], []]);
  });

  test('refusals', () => {
    const error = (hang: TrussHang, restM = 0.01) => {
      const found = solveTruss(hang, { restM, movingM: 0.025 });
      return found.ok ? null : found.error;
    };
    expect(error(truss({ eiNm2: null }))).toEqual({ code: 'stiffness-needed', what: 'ei' });
    expect(error(truss(), -0.01)).toEqual({ code: 'tolerance-negative', toleranceM: -0.01 });
    expect(error(truss(), NaN)).toEqual({ code: 'not-finite', what: 'level tolerance' });
    expect(error(truss({ hoists: hoistsAt(9, 10, 11) }))).toEqual({ code: 'unstable', slack: ['h2', 'h3'] });
    const many = truss({ lengthM: 200, hoists: hoistsAt(...Array.from({ length: 65 }, (_, k) => 3 * k)) });
    expect(error(many)).toEqual({ code: 'too-many-hoists', hoists: 65 });
  });
});

test('each hoist lost in turn: the middle one leaves halves, an end one tips a truss loaded beyond the middle', () => {
  const { lost } = solved(truss({ pointLoads: [{ atM: 16, forceN: 500 }] }));
  expect(lost[1]?.reactions?.map(({ forceN }) => forceN)).toEqual([expect.closeTo(800, 9), expect.closeTo(1300, 9)]);
  expect(lost[0]?.tips).toBe(false);
  expect(lost[2]).toEqual({ lost: 'h3', tips: true, reactions: null });
});

describe('roll about the line of the pick-ups', () => {
  test('as far across as below: 45 degrees', () => {
    expect(trussRoll([{ forceN: 100, acrossM: 0.2, belowM: 0.2 }])).toEqual({
      ok: true,
      value: expect.closeTo(0.7853981633974483, 12) as number,
    });
  });
  test('loads on both sides balance', () => {
    const both = [-0.3, 0.3].map((acrossM) => ({ forceN: 100, acrossM, belowM: 0.5 }));
    expect(trussRoll(both)).toEqual({ ok: true, value: 0 });
  });
  test('a centre of gravity above the line is unstable', () => {
    expect(trussRoll([{ forceN: 100, acrossM: 0, belowM: -0.1 }])).toMatchObject({ ok: false, error: { code: 'unstable' } });
    expect(trussRoll([{ forceN: NaN, acrossM: 0, belowM: -0.1 }])).toMatchObject({ ok: false, error: { code: 'not-finite' } });
  });
});

describe('the truss itself', () => {
  const allowables = { saggingNm: 10_000, hoggingNm: 4000, shearN: 8000, interaction: 'linear' } as const;
  const checksOf = (hang: TrussHang, given: Parameters<typeof allowableFault>[0] = allowables, factor = 1) => {
    const checker = new TrussChecker(given);
    solved(hang, 0, 0, ({ case: name, beam }) => {
      if (name === 'resting') checker.see(name, beam, factor);
    });
    return Object.fromEntries(checker.checks().map((check) => [check.kind, check]));
  };
  // 12 m, 10 kg/m, hoists at 2 and 10, 200 kg at the end: M -4118.793 Nm and V 2157.463 N at the second hoist, by hand.
  const overhung = truss({ lengthM: 12, selfNPerM: 98.0665, hoists: hoistsAt(2, 10), pointLoads: [{ atM: 12, forceN: 1961.33 }] });

  test('hogging has its own allowable, and moment and shear meet at the hoist', () => {
    const checks = checksOf(overhung);
    expect(checks.hogging).toMatchObject({ atM: 10, allowable: 4000 });
    expect(checks.hogging?.utilisation).toBeCloseTo(4118.793 / 4000, 9);
    expect(checks.shear?.utilisation).toBeCloseTo(2157.463 / 8000, 9);
    expect(checks.interaction).toMatchObject({ atM: 10, allowable: 1 });
    expect(checks.interaction?.utilisation).toBeCloseTo(4118.793 / 4000 + 2157.463 / 8000, 9);
    const squares = checksOf(overhung, { ...allowables, interaction: 'squares' });
    expect(squares.interaction?.utilisation).toBeCloseTo((4118.793 / 4000) ** 2 + (2157.463 / 8000) ** 2, 9);
  });
  test('the dynamic factor multiplies what it should: once in a linear sum, twice in one of squares', () => {
    expect(checksOf(overhung, allowables, 1.25).interaction?.demand).toBeCloseTo(1.25 * (4118.793 / 4000 + 2157.463 / 8000), 9);
    const squares = checksOf(overhung, { ...allowables, interaction: 'squares' }, 2);
    expect(squares.interaction?.demand).toBeCloseTo(4 * ((4118.793 / 4000) ** 2 + (2157.463 / 8000) ** 2), 9);
  });
  // 1000 N/m on half of a simple span of 10 m: 3750 N and a top of 7031.25 Nm. With those as allowables the sum is largest where
  // V = q·Ma/Va = 1875 N: 1.875 m from the loaded end, 0.75 + 0.5, by hand; 1.22 at the most elsewhere.
  test.each([
    { fromM: 0, toM: 5, atM: 1.875 },
    { fromM: 5, toM: 10, atM: 8.125 },
  ])('between loads the linear sum has its top off the place of the largest moment: at $atM', ({ fromM, toM, atM }) => {
    const hang = truss({ lengthM: 10, selfNPerM: 0, hoists: hoistsAt(0, 10), spreadLoads: [{ fromM, toM, forceNPerM: 1000 }] });
    const { interaction } = checksOf(hang, { saggingNm: 7031.25, hoggingNm: 1, shearN: 3750, interaction: 'linear' });
    expect(interaction).toMatchObject({ atM: expect.closeTo(atM, 9) as number, demand: expect.closeTo(1.25, 9) as number });
  });
  test.each(['linear', 'squares'] as const)('no station has a larger %s interaction than the one told', (interaction) => {
    const load = fc.record({ atM: fc.integer({ min: 0, max: 120 }).map((n) => n / 10), forceN: fc.integer({ min: 0, max: 5000 }) });
    fc.assert(
      fc.property(
        fc.array(load, { maxLength: 5 }),
        fc.integer({ min: 1, max: 3000 }),
        fc.integer({ min: 1, max: 40 }),
        (pointLoads, selfNPerM, shear) => {
          const given = { saggingNm: 9000, hoggingNm: 5000, shearN: shear * 500, interaction };
          const found = solveBeam({
            lengthM: 12,
            selfNPerM,
            supports: [
              { id: 'a', atM: 2 },
              { id: 'b', atM: 9 },
            ],
            pointLoads,
            spreadLoads: [],
          });
          if (!found.ok) throw new Error(found.error.code);
          const checker = new TrussChecker(given);
          checker.see('resting', found.value);
          const told = checker.checks().find(({ kind }) => kind === 'interaction')?.demand ?? NaN;
          // The slow way: walk the truss in steps of 10 mm, moments straight from the definition.
          let most = 0;
          for (let x = 0.005; x < 12; x += 0.01) {
            const forces = [
              ...pointLoads.map((l) => ({ atM: l.atM, upN: -l.forceN })),
              ...found.value.reactions.map((r) => ({ atM: r.atM, upN: r.forceN })),
            ].filter(({ atM }) => atM < x);
            const v = forces.reduce((sum, f) => sum + f.upN, 0) - selfNPerM * x;
            const m = forces.reduce((sum, f) => sum + f.upN * (x - f.atM), 0) - (selfNPerM * x * x) / 2;
            const [a, b] = [m > 0 ? m / 9000 : -m / 5000, Math.abs(v) / given.shearN];
            most = Math.max(most, interaction === 'linear' ? a + b : a * a + b * b);
          }
          expect(told).toBeGreaterThanOrEqual(most * (1 - 1e-9));
          expect(told).toBeLessThan(most * 1.05 + 1e-6);
        },
      ),
      { numRuns: 60, seed: 12 },
    );
  });
  test('what is not stated is unknown, and an allowable of nothing is refused', () => {
    const checks = checksOf(overhung, { saggingNm: null, hoggingNm: 4000, shearN: 8000, interaction: null });
    expect(checks.sagging?.utilisation).toBeNull();
    expect(checks.interaction?.utilisation).toBeNull();
    expect(checks.hogging?.utilisation).toBeGreaterThan(1);
    expect(checksOf(overhung, { ...allowables, interaction: 'independent' }).interaction).toBeUndefined();
    expect(allowableFault({ ...allowables, hoggingNm: 0 })).toEqual({ code: 'allowable-not-positive', what: 'hoggingNm', value: 0 });
    expect(allowableFault(allowables)).toBeNull();
  });
});

describe('a span table', () => {
  // Invented round numbers.
  const table = [
    { spanM: 10, pattern: { kind: 'even', allowableNPerM: 800 } },
    { spanM: 10, pattern: { kind: 'points', count: 2, eachN: 2500 } },
  ] as const;
  const simple = truss({ lengthM: 10, hoists: hoistsAt(10, 0) });
  const shareOf = (hang: TrussHang, rows: Parameters<typeof spanTableCheck>[1] = table, factor = 1) => {
    const check = spanTableCheck(hang, rows, factor);
    return check.row === null ? check.unknown : check.demandN / check.allowableN;
  };
  const evenOn = (spanM: number, forceNPerM: number) => ({
    ...truss({ lengthM: spanM, hoists: hoistsAt(0, spanM) }),
    spreadLoads: [{ fromM: 0, toM: spanM, forceNPerM }],
  });
  test('is used at its span with its pattern', () => {
    expect(shareOf(evenOn(10, 400))).toBe(0.5);
    expect(shareOf({ ...simple, pointLoads: [10 / 3, 20 / 3].map((atM) => ({ atM, forceN: 2000 })) })).toBe(0.8);
    expect(shareOf(simple)).toBe(0);
  });
  test('two loads at one place are one, and the heaviest stands for all', () => {
    const [one, other] = [10 / 3, 20 / 3];
    const loads = [one, other, one].map((atM, n) => ({ atM, forceN: 500 * (n + 1) })); // 2000 N at the first place, 1000 at the other
    expect(shareOf({ ...simple, pointLoads: loads })).toBe(0.8);
  });
  test('moving, the factor is on its own weight too: 1.25 · (100 + 400) N/m are 525 beside a weight at rest', () => {
    expect(shareOf(evenOn(10, 400), table, 1.25)).toBeCloseTo(525 / 800, 12);
    const two = { ...simple, pointLoads: [10 / 3, 20 / 3].map((atM) => ({ atM, forceN: 1000 })) };
    expect(shareOf(two, table, 1.25)).toBeCloseTo((1250 + (25 * 10) / 2) / 2500, 12);
  });
  test('between two tabled spans the one that allows less holds, and none beyond', () => {
    const rows = [8, 10, 12].map((spanM, n) => ({ spanM, pattern: { kind: 'even', allowableNPerM: [1200, 800, 850][n] ?? 0 } as const }));
    expect([7.9, 8, 8.1, 9.9, 10, 11, 12, 12.1].map((spanM) => shareOf(evenOn(spanM, 400), rows))).toEqual(
      ['span-not-tabled', 1 / 3, 0.5, 0.5, 0.5, 0.5, 400 / 850, 'span-not-tabled'].map((share) =>
        typeof share === 'string' ? share : (expect.closeTo(share, 12) as number),
      ),
    );
    expect(shareOf(evenOn(9, 1), [...rows, { spanM: 9, pattern: { kind: 'even', allowableNPerM: 0 } }])).toBe(Infinity);
  });
  test('a table made of allowable forces never passes what they refuse', () => {
    // The second way: moment and shear of the beam itself.
    const [saggingNm, shearN, selfN] = [10_000, 6000, 100];
    const metres = fc.double({ min: 3, max: 20, noNaN: true });
    let passed = 0;
    fc.assert(
      fc.property(
        fc.uniqueArray(metres, { minLength: 2, maxLength: 5 }),
        fc.integer({ min: 0, max: 4 }),
        fc.double({ min: 0, max: 1, noNaN: true }),
        fc.double({ min: 0.02, max: 1.2, noNaN: true }),
        fc.double({ min: 1, max: 1.6, noNaN: true }),
        (spans, count, place, share, factor) => {
          const step = (spanM: number) => Array.from({ length: count }, (_, k) => ((k + 1) * spanM) / (count + 1));
          const forcesOf = (spanM: number, load: number) => {
            const loads =
              count === 0
                ? { pointLoads: [], spreadLoads: [{ fromM: 0, toM: spanM, forceNPerM: load }] }
                : { pointLoads: step(spanM).map((atM) => ({ atM, forceN: load })), spreadLoads: [] };
            const hang = { ...truss({ lengthM: spanM, hoists: hoistsAt(0, spanM), selfNPerM: selfN }), ...loads };
            const beam = solveBeam({ ...hang, supports: hang.hoists });
            if (!beam.ok) throw new Error(JSON.stringify(beam.error));
            const { maxMomentNm, maxShearN } = forceExtremes(beam.value);
            return { hang, shares: [maxMomentNm.value / saggingNm, maxShearN.value / shearN] };
          };
          // Each force is straight in the load: the largest that the beam bears, by two solves.
          const rows = spans.map((spanM) => {
            const [bare, loaded] = [forcesOf(spanM, 0).shares, forcesOf(spanM, 1000).shares];
            const most = Math.max(0, Math.min(...bare.map((from, k) => (1000 * (1 - from)) / ((loaded[k] ?? NaN) - from))));
            const pattern =
              count === 0 ? ({ kind: 'even', allowableNPerM: most } as const) : ({ kind: 'points', count, eachN: most } as const);
            return { spanM, pattern };
          });
          const [shortest, longest] = [Math.min(...spans), Math.max(...spans)];
          const spanM = shortest + place * (longest - shortest);
          const allowed = Math.max(...rows.map(({ pattern }) => (pattern.kind === 'even' ? pattern.allowableNPerM : pattern.eachN)));
          const { hang, shares } = forcesOf(spanM, share * allowed);
          const check = spanTableCheck(hang, rows, factor);
          if (check.row === null) throw new Error(check.unknown);
          if (check.demandN > check.allowableN || check.allowableN === 0) return;
          passed++;
          expect(factor * Math.max(...shares)).toBeLessThan(1 + 1e-9);
        },
      ),
      { numRuns: 300, seed: 5 },
    );
    expect(passed).toBeGreaterThan(60);
  });
  test.each<[string, TrussHang]>([
    ['not-two-hoists', truss()],
    ['overhang', truss({ lengthM: 12, hoists: hoistsAt(1, 11) })],
    ['overhang', truss({ lengthM: 11, hoists: hoistsAt(1, 11) })],
    ['overhang', truss({ lengthM: 11, hoists: hoistsAt(0, 10) })],
    ['span-not-tabled', truss({ lengthM: 9, hoists: hoistsAt(0, 9) })],
    ['pattern-not-tabled', { ...simple, pointLoads: [{ atM: 5, forceN: 10 }] }],
    ['pattern-not-tabled', { ...simple, pointLoads: [{ atM: 10 / 3, forceN: 10 }] }],
    ['pattern-not-tabled', { ...simple, pointLoads: [10 / 3, 6].map((atM) => ({ atM, forceN: 10 })) }],
    ['pattern-not-tabled', { ...simple, pointLoads: [3, 6].map((atM) => ({ atM, forceN: 10 })) }],
    ['pattern-not-tabled', { ...simple, spreadLoads: [{ fromM: 0, toM: 6, forceNPerM: 10 }] }],
    ['pattern-not-tabled', { ...simple, spreadLoads: [{ fromM: 0, toM: 10, forceNPerM: -10 }] }],
  ])('is not stretched: %s', (unknown, hang) => expect(shareOf(hang)).toBe(unknown));
});

test('hoists and loads between the nodes are told, and without node data nothing is known', () => {
  const hang = truss({
    lengthM: 12,
    hoists: hoistsAt(1, 11.2),
    pointLoads: [
      { atM: 6.04, forceN: 1 },
      { atM: 6.3, forceN: 1 },
    ],
  });
  expect(offNodes(hang, { firstM: 0, spacingM: 0.5, toleranceM: 0.05 })).toEqual([
    { what: 'hoist h2', atM: 11.2, toNodeM: expect.closeTo(0.2, 9) as number },
    { what: 'point load 1', atM: 6.3, toNodeM: expect.closeTo(0.2, 9) as number },
  ]);
  expect(offNodes(hang, null)).toBeNull();
  expect(offNodes(hang, { firstM: 0, spacingM: 0, toleranceM: 0.05 })).toBeNull();
});
