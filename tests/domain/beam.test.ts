import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { BeamInput, SolvedBeam } from '../../src/domain/statics/beam.ts';
import { solveBeam } from '../../src/domain/statics/beam.ts';
import { beamDiagram, beamReport } from '../../src/domain/statics/beam-diagram.ts';
import { deflectionExtremes, forceExtremes, forcesAt } from '../../src/domain/statics/beam-extremes.ts';

const G = 9.80665;
const kg = (massKg: number) => massKg * G;

function solved(input: BeamInput): SolvedBeam {
  const found = solveBeam(input);
  if (!found.ok) throw new Error(JSON.stringify(found.error));
  return found.value;
}
const refusal = (input: BeamInput) => {
  const found = solveBeam(input);
  return found.ok ? null : found.error;
};
const hoists = (...places: number[]) => places.map((atM, index) => ({ id: `h${index + 1}`, atM, tensionOnly: true }));
const columns = (...places: number[]) => places.map((atM, index) => ({ id: `c${index + 1}`, atM }));
/** Within 1e-9 of its size. */
const closeTo = (value: number): number => expect.closeTo(value, Math.ceil(9 - Math.log10(Math.abs(value)))) as number;

// Steps, not any double: a load of 1e-310 N is refused as ill-conditioned, and is no hang.
const steps = (from: number, to: number, step: number) =>
  fc.integer({ min: Math.round(from / step), max: Math.round(to / step) }).map((count) => count * step);

describe('worked by hand', () => {
  // 12 m truss, 10 kg/m, hoists at 2 and 10. Moments about each hoist, on paper.
  const truss = (tipKg: number): BeamInput => ({
    lengthM: 12,
    selfNPerM: kg(10),
    supports: hoists(2, 10),
    pointLoads: [{ atM: 12, forceN: kg(tipKg) }],
    spreadLoads: [],
  });

  test('200 kg on the overhang: 10 and 310 kg, -4.118793 kNm over the hoist, 2.157463 kN beside it', () => {
    const beam = solved(truss(200));
    expect(beam.reactions.map((r) => r.forceN / G)).toEqual([closeTo(10), closeTo(310)]);
    const forces = forceExtremes(beam);
    expect(forces.minMomentNm).toEqual({ value: closeTo(-4118.793), atM: 10 });
    expect(forces.maxShearN).toEqual({ value: closeTo(2157.463), atM: 10 });
  });

  test('240 kg on the overhang leaves the first hoist with nothing, and more tips the truss', () => {
    const [first, second] = solved(truss(240)).reactions;
    expect(first).toMatchObject({ forceN: 0, slack: true });
    expect(second).toMatchObject({ forceN: closeTo(kg(360)), slack: false });
    expect(refusal(truss(240.001))).toEqual({ code: 'unstable', slack: ['h1'] });
  });

  test('a column holds down what tips a truss on hoists', () => {
    const [first] = solved({ ...truss(248), supports: columns(2, 10) }).reactions;
    expect(first).toMatchObject({ forceN: closeTo(kg(-2)), slack: false });
  });

  // 2 t at the middle of 10 m: 2000·g·10/4 = 49.03325 kNm; a helping 2 t on the 3 m overhang takes half of 2000·g·3 off again.
  test('a load on the overhang relieves midspan, from 49.0 to 19.6 kNm', () => {
    const member = (tipKg: number): BeamInput => ({
      lengthM: 13,
      supports: columns(0, 10),
      pointLoads: [
        { atM: 5, forceN: kg(2000) },
        { atM: 13, forceN: kg(tipKg) },
      ],
      spreadLoads: [],
    });
    expect(forceExtremes(solved(member(0))).maxMomentNm).toEqual({ value: closeTo(49033.25), atM: 5 });
    expect(forceExtremes(solved(member(2000))).maxMomentNm).toEqual({ value: closeTo(19613.3), atM: 5 });
  });

  // Propped at the middle by a spring of k = 48·EI/L³: beam and spring share the load at the middle equally.
  test('a spring as stiff as the beam takes half the load at midspan', () => {
    const [eiNm2, lengthM] = [8e6, 10];
    const beam = solved({
      lengthM,
      eiNm2,
      supports: [...columns(0, 10), { id: 'spring', atM: 5, stiffnessNPerM: (48 * eiNm2) / lengthM ** 3, tensionOnly: true }],
      pointLoads: [{ atM: 5, forceN: 12000 }],
      spreadLoads: [],
    });
    expect(beam.reactions.map((r) => r.forceN)).toEqual([closeTo(3000), closeTo(3000), closeTo(6000)]);
    expect(deflectionExtremes(beam)?.downM).toEqual({ value: closeTo((6000 * lengthM ** 3) / (48 * eiNm2)), atM: 5 });
  });

  // Simple span with a load at the middle, with shear: P·L³/48EI + P·L/4GA (Timoshenko).
  test('shear adds P·L/4GA to the deflection and nothing to the reactions of a simple span', () => {
    const input: BeamInput = {
      lengthM: 8,
      eiNm2: 5e6,
      gaN: 2e6,
      supports: hoists(0, 8),
      pointLoads: [{ atM: 4, forceN: 9000 }],
      spreadLoads: [],
    };
    expect(deflectionExtremes(solved(input))?.downM).toEqual({ value: closeTo((9000 * 8 ** 3) / 48 / 5e6 + (9000 * 8) / 4 / 2e6), atM: 4 });
    expect(solved(input).reactions.map((r) => r.forceN)).toEqual([4500, 4500]);
  });

  // Two equal spans, even load, with shear: the middle moment is -q·L²/8 / (1 + 3·EI/(GA·L²)), from the three-moment equation by hand.
  test('shear makes a continuous beam share more evenly', () => {
    const [eiNm2, gaN, q, l] = [6e6, 1.5e6, 700, 9];
    const beam = solved({ lengthM: 2 * l, selfNPerM: q, eiNm2, gaN, supports: columns(0, l, 2 * l), pointLoads: [], spreadLoads: [] });
    expect(forceExtremes(beam).minMomentNm).toEqual({ value: closeTo((-q * l * l) / 8 / (1 + (3 * eiNm2) / (gaN * l * l))), atM: 9 });
  });

  test('a middle hoist 10 mm low on a weightless truss is slack, and the others carry nothing', () => {
    const supports = hoists(0, 8, 16).map((h, index) => ({ ...h, levelM: index === 1 ? -0.01 : 0 }));
    const beam = solved({ lengthM: 16, eiNm2: 8e6, supports, pointLoads: [], spreadLoads: [] });
    expect(beam.reactions.map(({ forceN, slack }) => [forceN, slack])).toEqual([
      [0, false],
      [0, true],
      [0, false],
    ]);
  });

  test('one clamp is enough, one hoist is not', () => {
    const cantilever: BeamInput = {
      lengthM: 4,
      supports: [{ id: 'wall', atM: 0, clamped: true }],
      pointLoads: [{ atM: 4, forceN: 5000 }],
      spreadLoads: [],
    };
    expect(forceExtremes(solved(cantilever)).minMomentNm).toEqual({ value: closeTo(-20000), atM: 0 });
    expect(refusal({ ...cantilever, supports: hoists(2) })).toEqual({ code: 'unstable', slack: [] });
    expect(refusal({ ...cantilever, supports: [] })).toEqual({ code: 'unstable', slack: [] });
  });
});

describe('what the diagram shows', () => {
  const beam = solved({
    lengthM: 12,
    selfNPerM: 100,
    eiNm2: 5e6,
    supports: hoists(2, 10),
    pointLoads: [{ atM: 6, forceN: 3000 }],
    spreadLoads: [{ fromM: 2, toM: 5, forceNPerM: 200 }],
  });
  const rows = beamDiagram(beam);

  test('two rows at each jump and nowhere else, in order', () => {
    expect(rows.map(({ atM }) => atM)).toEqual(rows.map(({ atM }) => atM).sort((a, b) => a - b));
    const twice = rows.filter(({ atM }, index) => rows[index + 1]?.atM === atM).map(({ atM }) => atM);
    expect(twice).toEqual([2, 6, 10]);
    expect(rows[0]).toEqual({ atM: 0, shearN: 0, momentNm: 0, deflectionM: expect.any(Number) as number });
    expect(rows.at(-1)).toMatchObject({ atM: 12, shearN: 0, momentNm: 0 });
  });
  test('shear is the sum of the upward forces left of the cut', () => {
    const [left, right] = rows.filter(({ atM }) => atM === 2);
    expect(left?.shearN).toBeCloseTo(-200, 9);
    expect((right?.shearN ?? NaN) - (left?.shearN ?? NaN)).toBeCloseTo(beam.reactions[0]?.forceN ?? NaN, 9);
  });
  test('no row lies beyond the extremes, and each extreme has its row', () => {
    const { maxMomentNm, minMomentNm, maxShearN, maxDeflectionM } = beamReport(beam);
    expect(Math.max(...rows.map((r) => r.momentNm))).toBeCloseTo(maxMomentNm.value, 6);
    expect(Math.min(...rows.map((r) => r.momentNm))).toBeCloseTo(minMomentNm.value, 6);
    expect(Math.max(...rows.map((r) => Math.abs(r.shearN)))).toBeCloseTo(maxShearN.value, 6);
    expect(Math.max(...rows.map((r) => Math.abs(r.deflectionM ?? NaN)))).toBeCloseTo(Math.abs(maxDeflectionM?.value ?? NaN), 12);
  });
  test('a value of nothing is reached nowhere, and the leftmost of equal places is told', () => {
    const simple = solved({
      lengthM: 10,
      supports: hoists(0, 10),
      pointLoads: [3, 7].map((atM) => ({ atM, forceN: 100 })),
      spreadLoads: [],
    });
    expect(forceExtremes(simple)).toEqual({
      maxMomentNm: { value: closeTo(300), atM: 3 },
      minMomentNm: { value: 0, atM: null },
      maxShearN: { value: closeTo(100), atM: 0 },
    });
    const report = beamReport(simple);
    expect(report.maxDeflectionM).toBeNull();
    expect(report.diagram.every((row) => row.deflectionM === null)).toBe(true);
  });
  test('extremes between two stations count their ends', () => {
    const within = forceExtremes(beam, 7, 9);
    expect(within.maxMomentNm).toEqual({ value: closeTo(forcesAt(beam, 7)?.momentRightNm ?? NaN), atM: 7 });
    expect(forcesAt(beam, 12.1)).toBeNull();
  });
});

describe('laws', () => {
  const place = fc.integer({ min: 0, max: 240 }).map((step) => step / 10);
  const pointLoad = fc.record({ atM: place, forceN: steps(0, 2e4, 0.1) });
  const spreadLoad = fc
    .record({ a: place, b: place, forceNPerM: steps(0, 900, 0.1) })
    .map(({ a, b, forceNPerM }) => ({ fromM: Math.min(a, b), toM: Math.max(a, b), forceNPerM }));
  const support = fc.record({
    levelM: fc.oneof(fc.constant(0), steps(-0.02, 0.02, 1e-4)),
    stiffnessNPerM: fc.oneof(fc.constant(null), fc.double({ min: 1e5, max: 1e8, noNaN: true })),
    tensionOnly: fc.boolean(),
  });
  const beamInput: fc.Arbitrary<BeamInput> = fc.record({
    lengthM: fc.constant(24),
    selfNPerM: steps(0, 300, 0.1),
    eiNm2: fc.double({ min: 1e5, max: 5e7, noNaN: true }),
    gaN: fc.oneof(fc.constant(null), fc.double({ min: 1e6, max: 1e8, noNaN: true })),
    supports: fc
      .uniqueArray(place, { minLength: 2, maxLength: 9 })
      .chain((places) => fc.tuple(...places.map((atM, k) => support.map((s) => ({ ...s, atM, id: `s${k}` }))))),
    pointLoads: fc.array(pointLoad, { maxLength: 12 }),
    spreadLoads: fc.array(spreadLoad, { maxLength: 5 }),
  });
  const twoWay = beamInput.map((input) => ({ ...input, supports: input.supports.map((s) => ({ ...s, tensionOnly: false })) }));
  const forces = (beam: SolvedBeam) => beam.reactions.map((r) => r.forceN);
  /** Sizes to measure differences against: the loads, and what levels press into a stiff beam. */
  const sizeOf = (...beams: SolvedBeam[]) =>
    1 + beams.reduce((sum, beam) => sum + beam.layout.grossN + forces(beam).reduce((s, r) => s + Math.abs(r), 0), 0);

  test('reactions balance forces and moments, or the beam tips', () => {
    fc.assert(
      fc.property(beamInput, (input) => {
        const found = solveBeam(input);
        if (!found.ok) {
          expect(found.error.code).toBe('unstable');
          return;
        }
        const loads = [
          ...input.pointLoads,
          ...input.spreadLoads.map((s) => ({ atM: (s.fromM + s.toM) / 2, forceN: s.forceNPerM * (s.toM - s.fromM) })),
          { atM: 12, forceN: (input.selfNPerM ?? 0) * 24 },
        ];
        const sum = (list: readonly { atM: number; forceN: number }[], arm: (atM: number) => number) =>
          list.reduce((s, l) => s + l.forceN * arm(l.atM), 0);
        const slack = 1e-9 * sizeOf(found.value);
        expect(Math.abs(sum(found.value.reactions, () => 1) - sum(loads, () => 1))).toBeLessThan(slack);
        expect(Math.abs(sum(found.value.reactions, (x) => x) - sum(loads, (x) => x))).toBeLessThan(24 * slack);
      }),
      { numRuns: 500, seed: 1 },
    );
  });

  test('contact: nothing that can only pull pushes, and no slack line would be stretched', () => {
    fc.assert(
      fc.property(beamInput, (input) => {
        const found = solveBeam(input);
        if (!found.ok) return;
        const { layout, line, reactions } = found.value;
        const largestM = line.downM.reduce((most, w) => Math.max(most, Math.abs(w)), 1e-12);
        for (const { node, inputIndex } of layout.supports) {
          const [given, reaction] = [input.supports[inputIndex], reactions[inputIndex]];
          if (!given?.tensionOnly || reaction === undefined) continue;
          expect(reaction.forceN).toBeGreaterThanOrEqual(0);
          if (reaction.slack) expect(-(line.downM[node] ?? NaN) - (given.levelM ?? 0)).toBeGreaterThan(-1e-7 * largestM);
        }
      }),
      { numRuns: 500, seed: 2 },
    );
  });

  test('mirrored, the beam gives mirrored answers', () => {
    fc.assert(
      fc.property(beamInput, (input) => {
        const mirrored: BeamInput = {
          ...input,
          supports: input.supports.map((s) => ({ ...s, atM: 24 - s.atM })),
          pointLoads: input.pointLoads.map((l) => ({ ...l, atM: 24 - l.atM })),
          spreadLoads: input.spreadLoads.map((l) => ({ ...l, fromM: 24 - l.toM, toM: 24 - l.fromM })),
        };
        const [one, other] = [solveBeam(input), solveBeam(mirrored)];
        expect(other.ok).toBe(one.ok);
        if (!one.ok || !other.ok) return;
        const slack = 1e-8 * sizeOf(one.value);
        for (const [k, forceN] of forces(one.value).entries())
          expect(Math.abs(forceN - (forces(other.value)[k] ?? NaN))).toBeLessThan(slack);
        const [a, b] = [forceExtremes(one.value), forceExtremes(other.value)];
        expect(Math.abs(a.maxMomentNm.value - b.maxMomentNm.value)).toBeLessThan(24 * slack);
        expect(Math.abs(a.maxShearN.value - b.maxShearN.value)).toBeLessThan(slack);
      }),
      { numRuns: 300, seed: 3 },
    );
  });

  test('loads add up where nothing can go slack', () => {
    fc.assert(
      fc.property(twoWay, fc.array(pointLoad, { maxLength: 5 }), (input, more) => {
        const level = { ...input, supports: input.supports.map((s) => ({ ...s, levelM: 0 })) };
        const [base, extra, both] = [
          solved(level),
          solved({ ...level, selfNPerM: 0, pointLoads: more, spreadLoads: [] }),
          solved({ ...level, pointLoads: [...level.pointLoads, ...more] }),
        ];
        for (const [k, forceN] of forces(both).entries()) {
          expect(Math.abs(forceN - (forces(base)[k] ?? NaN) - (forces(extra)[k] ?? NaN))).toBeLessThan(1e-8 * sizeOf(base, extra));
        }
      }),
      { numRuns: 300, seed: 4 },
    );
  });

  test('loads, levels and stiffness scale; a load of nothing and the order of loads change nothing', () => {
    fc.assert(
      fc.property(beamInput, steps(0.1, 50, 0.1), (input, factor) => {
        const one = solveBeam(input);
        const scaled = solveBeam({
          ...input,
          selfNPerM: (input.selfNPerM ?? 0) * factor,
          supports: input.supports.map((s) => ({ ...s, levelM: (s.levelM ?? 0) * factor })),
          pointLoads: input.pointLoads.map((l) => ({ ...l, forceN: l.forceN * factor })).reverse(),
          spreadLoads: [
            ...input.spreadLoads.map((l) => ({ ...l, forceNPerM: l.forceNPerM * factor })).reverse(),
            { fromM: 3, toM: 3, forceNPerM: 5 },
            { fromM: 2, toM: 4, forceNPerM: 0 },
          ],
        });
        expect(scaled.ok).toBe(one.ok);
        if (!one.ok || !scaled.ok) return;
        for (const [k, forceN] of forces(one.value).entries())
          expect(Math.abs(forceN * factor - (forces(scaled.value)[k] ?? NaN))).toBeLessThan(1e-8 * sizeOf(scaled.value));
      }),
      { numRuns: 300, seed: 5 },
    );
  });

  test('EI changes no force on rigid level supports, so it may be left out', () => {
    fc.assert(
      fc.property(beamInput, (input) => {
        const rigid = { ...input, gaN: null, supports: input.supports.map((s) => ({ ...s, levelM: 0, stiffnessNPerM: null })) };
        const [known, open] = [solveBeam(rigid), solveBeam({ ...rigid, eiNm2: null })];
        expect(open.ok).toBe(known.ok);
        if (!known.ok || !open.ok) return;
        for (const [k, forceN] of forces(known.value).entries())
          expect(Math.abs(forceN - (forces(open.value)[k] ?? NaN))).toBeLessThan(1e-8 * sizeOf(known.value));
      }),
      { numRuns: 200, seed: 6 },
    );
  });

  test('lines on one slope carry what level lines carry', () => {
    fc.assert(
      fc.property(twoWay, steps(-0.01, 0.01, 1e-4), (input, slope) => {
        const at = (perM: number) => solved({ ...input, supports: input.supports.map((s) => ({ ...s, levelM: 0.2 + perM * s.atM })) });
        const [flat, sloping] = [at(0), at(slope)];
        // Levels of 0.2 m on a stiff beam cancel to about a millionth of what they could press into it.
        const stiff = (input.eiNm2 ?? 0) * 1e-9;
        for (const [k, forceN] of forces(flat).entries())
          expect(Math.abs(forceN - (forces(sloping)[k] ?? NaN))).toBeLessThan(1e-8 * sizeOf(flat) + stiff);
      }),
      { numRuns: 200, seed: 7 },
    );
  });
});

describe('refusals', () => {
  const good: BeamInput = {
    lengthM: 10,
    selfNPerM: 50,
    eiNm2: 1e6,
    supports: hoists(1, 5, 9),
    pointLoads: [{ atM: 3, forceN: 100 }],
    spreadLoads: [{ fromM: 2, toM: 4, forceNPerM: 20 }],
  };
  const withSupport = (change: object): BeamInput => ({
    ...good,
    supports: good.supports.map((s, index) => (index === 1 ? { ...s, ...change } : s)),
  });

  test.each<[string, BeamInput, object]>([
    ['no length', { ...good, lengthM: 0 }, { code: 'length-not-positive', lengthM: 0 }],
    ['a length that is no number', { ...good, lengthM: NaN }, { code: 'not-finite', what: 'length' }],
    ['self weight without end', { ...good, selfNPerM: Infinity }, { code: 'not-finite', what: 'self weight' }],
    ['no EI where levels matter', { ...withSupport({ levelM: 0.01 }), eiNm2: null }, { code: 'stiffness-needed', what: 'ei' }],
    ['no EI where springs matter', { ...withSupport({ stiffnessNPerM: 1e6 }), eiNm2: null }, { code: 'stiffness-needed', what: 'ei' }],
    ['no EI where shear matters', { ...good, eiNm2: null, gaN: 1e6 }, { code: 'stiffness-needed', what: 'ei' }],
    [
      'no EI where clamps out of level matter',
      { ...good, eiNm2: null, supports: [0, 10].map((atM) => ({ id: `w${atM}`, atM, clamped: true, levelM: atM / 1000 })) },
      { code: 'stiffness-needed', what: 'ei' },
    ],
    ['EI of nothing', { ...good, eiNm2: 0 }, { code: 'stiffness-not-positive', what: 'ei' }],
    ['negative GA', { ...good, gaN: -1 }, { code: 'stiffness-not-positive', what: 'ga' }],
    ['a spring of nothing', withSupport({ stiffnessNPerM: 0 }), { code: 'stiffness-not-positive', what: 'support h2' }],
    ['a support beyond the end', withSupport({ atM: 10.5 }), { code: 'support-off-beam', id: 'h2', atM: 10.5, lengthM: 10 }],
    ['a support nowhere', withSupport({ atM: NaN }), { code: 'not-finite', what: 'support h2' }],
    ['a level that is no number', withSupport({ levelM: NaN }), { code: 'not-finite', what: 'support h2' }],
    ['two supports in one place', withSupport({ atM: 9.0004 }), { code: 'supports-coincide', ids: ['h3', 'h2'], atM: 9.0004 }],
    ['a clamp that only pulls', withSupport({ clamped: true }), { code: 'clamp-not-rigid', id: 'h2' }],
    [
      'a load beyond the end',
      { ...good, pointLoads: [{ atM: -0.1, forceN: 1 }] },
      { code: 'load-off-beam', what: 'point load 0', atM: -0.1, lengthM: 10 },
    ],
    ['a load without end', { ...good, pointLoads: [{ atM: 1, forceN: Infinity }] }, { code: 'not-finite', what: 'point load 0' }],
    [
      'a spread load backwards',
      { ...good, spreadLoads: [{ fromM: 4, toM: 2, forceNPerM: 1 }] },
      { code: 'load-reversed', what: 'spread load 0', fromM: 4, toM: 2 },
    ],
    [
      'a spread load beyond the end',
      { ...good, spreadLoads: [{ fromM: 4, toM: 11, forceNPerM: 1 }] },
      { code: 'load-off-beam', what: 'spread load 0', atM: 11, lengthM: 10 },
    ],
    [
      'loads whose sum overflows',
      { ...good, pointLoads: [1, 2].map((atM) => ({ atM, forceN: 1.7e308 })) },
      { code: 'not-finite', what: 'sum of loads' },
    ],
  ])('%s', (_, input, error) => expect(refusal(input)).toEqual(error));

  test('masses of 1e-9 and 1e9 together are answered within rounding', () => {
    const beam = solved({
      ...good,
      pointLoads: [
        { atM: 3, forceN: 1e9 * G },
        { atM: 7, forceN: 1e-9 * G },
      ],
      supports: hoists(1, 9),
    });
    expect(beam.reactions[0]?.forceN).toBeCloseTo((1e9 * G * 6 + 50 * 10 * 4 + 40 * 6) / 8, 3);
  });

  test('where no load lies there is exactly none, whatever the sums of the loads before round to', () => {
    const spreadLoads = [0.1, 0.2].map((forceNPerM, index) => ({ fromM: 0, toM: 2 + index, forceNPerM }));
    const { layout } = solved({ lengthM: 10, supports: columns(0, 10), pointLoads: [], spreadLoads });
    expect(layout.loads.evenNPerM.slice(-2)).toEqual([0, 0]);
  });

  test('supports a millimetre apart act as a clamp and stay exact', () => {
    const beam = solved({ lengthM: 30, eiNm2: 1e6, supports: columns(0, 0.001), pointLoads: [{ atM: 30, forceN: 10 }], spreadLoads: [] });
    expect(beam.reactions.map((r) => r.forceN)).toEqual([closeTo((-10 * 29.999) / 0.001), closeTo((10 * 30) / 0.001)]);
    const propped = solved({ lengthM: 30, eiNm2: 1e6, supports: columns(0, 0.001, 30), selfNPerM: 8, pointLoads: [], spreadLoads: [] });
    // A propped cantilever carries 3qL/8 at the prop; the millimetre changes it by about its own share of the length.
    expect((propped.reactions[2]?.forceN ?? NaN) / ((3 * 8 * 30) / 8)).toBeCloseTo(1, 3);
  });

  test('10,000 loads and 200 hoists are answered in bounded time', () => {
    const beam = solved({
      lengthM: 1000,
      selfNPerM: 10,
      eiNm2: 1e7,
      supports: hoists(...Array.from({ length: 200 }, (_, k) => 2 + 5 * k)),
      pointLoads: Array.from({ length: 10_000 }, (_, k) => ({ atM: k / 10, forceN: k % 7 })),
      spreadLoads: [],
    });
    expect(beam.reactions.reduce((sum, r) => sum + r.forceN, 0)).toBeCloseTo(beam.layout.grossN, 4);
  });

  test('whatever numbers come in, an answer is finite or typed', () => {
    let answered = 0;
    const plain = steps(0, 10, 0.1);
    const wild = fc.oneof(
      { weight: 30, arbitrary: plain },
      { weight: 1, arbitrary: fc.oneof(fc.double(), fc.constantFrom(NaN, Infinity, -1e300, 0, -0, 1e-9, 1e9, 1e150, 5e-324)) },
    );
    const input = fc.record({
      lengthM: fc.constantFrom(10, 10, 10, 0, 1e9),
      selfNPerM: wild,
      eiNm2: fc.oneof(wild, fc.constantFrom(null, 1e6, 1e-9, 1e15)),
      gaN: fc.oneof(wild, fc.constant(null)),
      supports: fc.array(
        fc.record({
          id: fc.constant('s'),
          atM: wild,
          levelM: fc.oneof(wild, fc.constant(0)),
          stiffnessNPerM: fc.oneof(wild, fc.constant(null), fc.constantFrom(1e-9, 1e15)),
          tensionOnly: fc.boolean(),
          clamped: fc.integer({ min: 0, max: 19 }).map((n) => n === 0),
        }),
        { minLength: 1, maxLength: 6 },
      ),
      pointLoads: fc.array(fc.record({ atM: plain, forceN: wild }), { maxLength: 4 }),
      spreadLoads: fc.array(fc.record({ fromM: fc.constant(0), toM: plain, forceNPerM: wild }), { maxLength: 1 }),
    });
    fc.assert(
      fc.property(input, (one) => {
        const found = solveBeam(one);
        if (!found.ok) {
          expect(found.error.code).toMatch(/^[a-z-]+$/);
          return;
        }
        answered++;
        const report = beamReport(found.value);
        const numbers = JSON.stringify(report, (_, value: unknown) =>
          typeof value === 'number' && !Number.isFinite(value) ? 'not finite' : value,
        );
        expect(numbers).not.toContain('not finite');
      }),
      { numRuns: 5000, seed: 8 },
    );
    expect(answered).toBeGreaterThan(500);
  });
});
