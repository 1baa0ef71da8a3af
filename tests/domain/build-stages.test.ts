import { describe, expect, test } from 'vitest';
import { solveBeam } from '../../src/domain/statics/beam.ts';
import { forceExtremes } from '../../src/domain/statics/beam-extremes.ts';
import type { BuildStages } from '../../src/domain/statics/build-stages.ts';
import type { StagedHang } from '../../src/domain/statics/staged-hang.ts';
import { buildStages } from '../../src/domain/statics/build-stages.ts';
import type { TrussHang } from '../../src/domain/statics/truss.ts';
import { beamOf } from '../../src/domain/statics/truss.ts';
import type { TrussFrameHang } from '../../src/domain/statics/truss-frame.ts';
import { solveTrussFrame } from '../../src/domain/statics/truss-frame.ts';
import { stagedTrussFrames } from '../../src/domain/statics/truss-frame-stages.ts';
import { stagedTruss } from '../../src/domain/statics/truss-stages.ts';
import { expectOk } from './roof-samples.ts';
import { seeded } from './seeded.ts';

type Held = Extract<BuildStages, { tips: false }>;
type Most = { sagging: number; hogging: number; shear: number };

const hoistsAt = (...places: number[]) => places.map((atM, index) => ({ id: `h${index}`, atM }));
const truss = (change: Partial<TrussHang>): TrussHang => ({
  lengthM: 10,
  selfNPerM: 10,
  eiNm2: 4e6,
  gaN: null,
  hoists: hoistsAt(2, 8),
  pointLoads: [],
  spreadLoads: [],
  ...change,
});

function staged(hang: StagedHang, toleranceM = 0): { stages: Held; most: Most } {
  const most: Most = { sagging: 0, hogging: 0, shear: 0 };
  const stages = buildStages(hang, toleranceM, null, (sides) => {
    for (const [index, line] of sides.entries()) {
      const nodesM = hang.lengths[index]?.nodesM ?? [];
      const layout = { nodesM, loads: { pointN: [], evenNPerM: line.evenNPerM }, grossN: hang.influence.grossN };
      take(most, forceExtremes({ layout: { ...layout, input: { lengthM: nodesM.at(-1) ?? 0 } }, line }));
    }
  });
  if (stages.tips) throw new Error('it tips');
  return { stages, most };
}
function take(most: Most, { maxMomentNm, minMomentNm, maxShearN }: ReturnType<typeof forceExtremes>): void {
  most.sagging = Math.max(most.sagging, maxMomentNm.value);
  most.hogging = Math.max(most.hogging, -minMomentNm.value);
  most.shear = Math.max(most.shear, maxShearN.value);
}
const stagedOf = (change: Partial<TrussHang>, moreNPerM = 0) => expectOk(stagedTruss(truss(change), moreNPerM));

describe('a truss on two hoists, by hand', () => {
  // 10 m of 10 N/m on hoists at 2 and 8, 100 N at the end as a counter-load and 200 N in the middle. Of the end load the far hoist gets
  // -100 · 2 / 6 = -33.3 N and the near one 133.3 N. With all: 116.7 and 283.3 N.
  const counter = stagedOf({
    pointLoads: [
      { atM: 10, forceN: 100 },
      { atM: 5, forceN: 200 },
    ],
  });

  test('a counter-load that is not there yet relieves nobody', () => {
    const { stages, most } = staged(counter);
    expect(stages.mostN).toEqual([expect.closeTo(50 + 100, 9), expect.closeTo(50 + 100 + 400 / 3, 9)]);
    expect(stages.isBound).toBe(true);
    // In the middle without it: 150 · 3 - 10 · 5 · 2.5 = 325 N·m, with it 225. At the hoist with it: 100 · 2 + 10 · 2 · 1 = 220.
    expect(most.sagging).toBeCloseTo(325, 9);
    expect(most.hogging).toBeCloseTo(220, 9);
    // Left of the hoist at 8, all there: 283.3 - 100 - 20 = 163.3 N.
    expect(most.shear).toBeCloseTo(490 / 3, 9);
  });

  test('two that balance each other: it tips as long as one hangs alone', () => {
    // About the hoist at 8 its own 100 N right it with 3 m; 200 N at 10 upset it with 2 m: 300 - 400.
    const both = stagedOf({ pointLoads: [0, 10].map((atM) => ({ atM, forceN: 200 })) });
    expect(buildStages(both, 0, null, null)).toMatchObject({ tips: true, rightingNm: expect.closeTo(-100, 9) as number });
    expect(buildStages(stagedOf({ pointLoads: [0, 10].map((atM) => ({ atM, forceN: 150 })) }), 0, null, null).tips).toBe(false);
    const one = buildStages(stagedOf({ pointLoads: [{ atM: 10, forceN: 150.001 }] }), 0, null, null);
    expect(one).toMatchObject({ tips: true, about: [1] });
  });

  test('what is spread over a hoist may hang on one side of it alone', () => {
    // 30 N/m from 5 to 10: up to 8 they are 90 N at 6.5, 22.5 and 67.5 N; beyond, 60 N at 9, -10 and 70 N.
    const { stages } = staged(stagedOf({ spreadLoads: [{ fromM: 5, toM: 10, forceNPerM: 30 }] }));
    expect(stages.mostN).toEqual([expect.closeTo(72.5, 9), expect.closeTo(50 + 67.5 + 70, 9)]);
  });

  test('its own weight may be more, and counts where it loads', () => {
    // 1 N/m more: the 8 m up to the hoist at 8 are 4 m from it, 8 · 4 / 6; the 2 m beyond would relieve.
    const { stages } = staged(stagedOf({}, 1));
    expect(stages.mostN[0]).toBeCloseTo(50 + 16 / 3, 9);
  });
});

test('two equal spans loaded one by one: the published shares of one loaded span, each where it adds', () => {
  // Own weight g on both: 3/8, 10/8, 3/8 g·l (Brockenbrough, Civil Engineering Formulas, Table 2.1). Load w on one span: 7/16, 5/8, -1/16
  // w·l and -1/16 w·l² over the middle (coefficients from memory, as in the published cases).
  const [g, w, l] = [100, 60, 8];
  const spread = { fromM: 0, toM: 2 * l, forceNPerM: w };
  const hang = stagedOf({ lengthM: 2 * l, selfNPerM: g, hoists: hoistsAt(0, l, 2 * l), spreadLoads: [spread] });
  const { stages, most } = staged(hang);
  const endN = (3 / 8) * g * l + (7 / 16) * w * l;
  expect(stages.mostN).toEqual([endN, (10 / 8) * (g + w) * l, endN].map((force): unknown => expect.closeTo(force, 8)));
  expect(stages.isBound).toBe(true);
  expect(most.hogging).toBeCloseTo(((g + w) * l * l) / 8, 7);
  // Up to where the shear is 0, the end reaction against what it carries: R² / 2q.
  expect(most.sagging).toBeCloseTo((endN * endN) / (2 * (g + w)), 7);
});

/** Every set of loads at every pattern of levels, each solved from the start. */
function everyStage(hang: TrussHang, toleranceM: number): { reactionsN: number[]; most: Most; goesSlack: boolean } {
  const { hoists, pointLoads } = hang;
  const reactionsN = hoists.map(() => 0);
  const most: Most = { sagging: 0, hogging: 0, shear: 0 };
  let goesSlack = false;
  for (let bits = 0; bits < 1 << (hoists.length + pointLoads.length); bits++) {
    const isSet = (bit: number) => ((bits >> bit) & 1) === 1;
    const levelled = hoists.map((hoist, k) => ({ ...hoist, levelM: (hoist.levelM ?? 0) + (isSet(k) ? toleranceM : -toleranceM) }));
    const there = pointLoads.filter((_, load) => isSet(hoists.length + load));
    const solved = expectOk(solveBeam(beamOf({ ...hang, pointLoads: there }, levelled)));
    for (const [k, { forceN }] of solved.reactions.entries()) reactionsN[k] = Math.max(reactionsN[k] ?? 0, forceN);
    goesSlack ||= solved.reactions.some(({ slack }) => slack);
    take(most, forceExtremes(solved));
  }
  return { reactionsN, most, goesSlack };
}

function randomTruss(random: () => number, hoistCount: number, loads: number): { hang: TrussHang; toleranceM: number } {
  const whole = (least: number, most: number) => least + Math.floor(random() * (most - least + 1));
  let atM = whole(0, 20) / 10;
  const along = Array.from({ length: hoistCount }, (_, k) => ({
    id: `h${k}`,
    atM: (atM += k === 0 ? 0 : whole(15, 60) / 10),
    levelM: whole(-3, 3) / 1000,
    stiffnessNPerM: random() < 0.5 ? null : whole(20, 100) * 1e4,
  }));
  const lengthM = atM + whole(0, 20) / 10;
  const pointLoads = Array.from({ length: loads }, () => ({ atM: whole(0, Math.floor(lengthM * 10)) / 10, forceN: whole(1, 40) * 50 }));
  // Given in a turned order, so that the order along the truss is not that of the input.
  const hoists = [...along.slice(1), ...along.slice(0, 1)];
  const [selfNPerM, eiNm2, gaN] = [whole(50, 150), whole(2, 60) * 1e5, random() < 0.5 ? null : 5e6];
  return { hang: truss({ lengthM, selfNPerM, eiNm2, gaN, hoists, pointLoads }), toleranceM: random() < 0.3 ? 0.01 : 0.025 };
}

test('30 seeded trusses agree with every set of loads at every pattern of levels, each solved from the start', () => {
  const random = seeded(20);
  let [compared, inContact, farthest] = [0, 0, 0];
  for (let run = 0; compared < 30; run++) {
    const { hang, toleranceM } = randomTruss(
      random,
      run % 5 === 0 ? 4 : run % 5 === 1 ? 2 : run === 3 ? 6 : 3,
      run % 5 === 0 || run === 3 ? 3 : 4,
    );
    const apart = expectOk(stagedTruss(hang, 0));
    if (buildStages(apart, toleranceM, null, null).tips) continue;
    const { stages, most } = staged(apart, toleranceM);
    const every = everyStage(hang, toleranceM);
    expect(stages).toMatchObject({ isBound: true, insideBounds: [], unheld: 0 });
    const pairs = [...every.reactionsN.map((forceN, k) => [stages.mostN[k] ?? NaN, forceN] as const)];
    for (const kind of ['sagging', 'hogging', 'shear'] as const) pairs.push([most[kind], every.most[kind]]);
    const sizeN = apart.influence.grossN;
    for (const [found, wanted] of pairs)
      farthest = Math.max(farthest, Math.abs(found - wanted) / (sizeN * (wanted > sizeN ? hang.lengthM : 1)));
    if (every.goesSlack) inContact += 1;
    compared += 1;
  }
  expect(farthest).toBeLessThan(1e-8);
  expect(inContact).toBeGreaterThan(15);
});

test('hoists within millimetres of each other, where rounding may tell a wrong state: never less is told than any set gives', () => {
  const random = seeded(501);
  let [compared, farthest] = [0, -Infinity];
  while (compared < 40) {
    const { hang, toleranceM } = randomTruss(random, 5, 3);
    let atM = 1;
    const hoists = hang.hoists.map((hoist, k) => ({
      ...hoist,
      atM: (atM += k === 0 ? 0 : random() < 0.4 ? 3 : random() < 0.5 ? 0.002 : 0.1),
    }));
    const apart = stagedTruss({ ...hang, hoists, lengthM: Math.max(hang.lengthM, atM) }, 0);
    const stages = apart.ok ? buildStages(apart.value, toleranceM, null, null) : null;
    if (stages === null || stages.tips || !stages.isBound || stages.unheld > 0) continue;
    const every = everyStage({ ...hang, hoists, lengthM: Math.max(hang.lengthM, atM) }, toleranceM);
    for (const [k, forceN] of every.reactionsN.entries()) farthest = Math.max(farthest, (forceN - (stages.mostN[k] ?? 0)) / forceN);
    compared += 1;
  }
  expect(farthest).toBeLessThan(1e-8);
});

/** By sense of a target. */
const boundsOf = ({ insideBounds: [sagging = 0, hogging = 0, right = 0, left = 0] }: Held): Most => ({
  sagging,
  hogging,
  shear: Math.max(right, left),
});

/** Where it may look at no set of loads at all, it tells what none can go beyond. */
const bounded = (apart: StagedHang, toleranceM: number) => buildStages(apart, toleranceM, null, () => undefined, 0);

test('of many loads every set is looked at that could be the worst; what no set goes beyond is never less, and little more', () => {
  const random = seeded(9);
  let [compared, least, most, farthest] = [0, Infinity, 0, 0];
  while (compared < 2) {
    const { hang, toleranceM } = randomTruss(random, compared === 0 ? 3 : 4, compared === 0 ? 10 : 9);
    const apart = expectOk(stagedTruss(hang, 0));
    const stages = bounded(apart, toleranceM);
    if (stages.tips || stages.insideBounds.length === 0) continue;
    const every = everyStage(hang, toleranceM);
    const told = boundsOf(stages);
    const exact = staged(apart, toleranceM);
    expect(exact.stages).toMatchObject({ isBound: true, insideBounds: [], unheld: 0 });
    for (const [k, forceN] of every.reactionsN.entries())
      farthest = Math.max(farthest, Math.abs(forceN - (exact.stages.mostN[k] ?? NaN)) / forceN);
    for (const kind of ['sagging', 'hogging', 'shear'] as const)
      farthest = Math.max(farthest, Math.abs(every.most[kind] - exact.most[kind]) / every.most[kind]);
    const pairs = every.reactionsN.map((forceN, k) => [stages.mostN[k] ?? NaN, forceN] as const);
    for (const kind of ['sagging', 'hogging', 'shear'] as const) pairs.push([told[kind], every.most[kind]]);
    for (const [found, wanted] of pairs) {
      least = Math.min(least, found / wanted);
      most = Math.max(most, found / wanted);
    }
    compared += 1;
  }
  expect(least).toBeGreaterThan(1 - 1e-9);
  expect(most).toBeLessThan(1.1); // a load may be half carried in the bound
  expect(farthest).toBeLessThan(1e-8);
});

test('of more loads than can be looked at, no set drawn at random and then made worse one by one is beyond what is told', () => {
  const random = seeded(7);
  let [compared, farthest] = [0, -Infinity];
  while (compared < 6) {
    const hoists = 3 + (compared % 3);
    const { hang, toleranceM } = randomTruss(random, hoists, 16 + 4 * compared);
    const apart = expectOk(stagedTruss(hang, 0));
    const stages = bounded(apart, toleranceM);
    if (stages.tips || stages.insideBounds.length === 0) continue;
    const told = boundsOf(stages);
    const on = [...apart.loads, ...apart.raised].map(() => random() < 0.5);
    const hung = () => {
      const part = apart.solve(
        on.slice(0, apart.loads.length),
        on.slice(apart.loads.length).map((isHigh) => (isHigh ? toleranceM : -toleranceM)),
      );
      if (part === null) throw new Error('it does not hang');
      for (const [k, forceN] of part.reactionsN.entries())
        farthest = Math.max(farthest, (forceN - (stages.mostN[k] ?? 0)) / apart.influence.grossN);
      const most: Most = { sagging: 0, hogging: 0, shear: 0 };
      for (const [index, line] of part.sides.entries()) {
        const nodesM = apart.lengths[index]?.nodesM ?? [];
        const layout = { nodesM, loads: { pointN: [], evenNPerM: line.evenNPerM }, grossN: 0, input: { lengthM: hang.lengthM } };
        take(most, forceExtremes({ layout, line }));
      }
      for (const kind of ['sagging', 'hogging', 'shear'] as const)
        farthest = Math.max(farthest, (most[kind] - told[kind]) / (apart.influence.grossN * (kind === 'shear' ? 1 : hang.lengthM)));
      return [...part.reactionsN, most.sagging, most.hogging, most.shear];
    };
    for (let goal = 0; goal < hoists + 3; goal++) {
      let before = hung()[goal] ?? 0;
      for (let turn = 0; turn < on.length; turn++) {
        on[turn] = !on[turn];
        const now = hung()[goal] ?? 0;
        if (now > before) before = now;
        else on[turn] = !on[turn];
      }
    }
    expect(stages.isBound).toBe(true);
    expect(stages.mostN.every((forceN) => forceN <= apart.influence.grossN * (1 + 1e-9))).toBe(true);
    compared += 1;
  }
  expect(farthest).toBeLessThan(1e-9);
});

test('with even loads the truss bends most between two nodes: no peak there is missed, and no bound is less', () => {
  const random = seeded(613);
  const whole = (least: number, most: number) => least + Math.floor(random() * (most - least + 1));
  let [compared, missed, bulged] = [0, 0, -Infinity];
  while (compared < 150) {
    const hoists = hoistsAt(0, whole(20, 60) / 10, whole(80, 110) / 10, 13.8).map((hoist) => ({ ...hoist, levelM: whole(-2, 2) / 1000 }));
    const [fromM, lengthM] = [whole(0, 60) / 10, 13.8];
    const spread = { fromM, toM: fromM + whole(5, 60) / 10, forceNPerM: whole(400, 3000) };
    const cuts = [spread.fromM, ...hoists.map(({ atM }) => atM).filter((atM) => atM > spread.fromM && atM < spread.toM), spread.toM];
    const pieces = cuts.slice(1).map((toM, k) => ({ ...spread, fromM: cuts[k] ?? 0, toM }));
    const load = { atM: whole(0, 138) / 10, forceN: whole(50, 400) };
    const hang = truss({
      lengthM,
      selfNPerM: whole(80, 400),
      eiNm2: whole(5, 30) * 1e4,
      hoists,
      pointLoads: [load],
      spreadLoads: [spread],
    });
    const apart = expectOk(stagedTruss(hang, 0));
    if (buildStages(apart, 0.005, null, null).tips) continue;
    let sagging = 0;
    for (let bits = 0; bits < 1 << (5 + pieces.length); bits++) {
      const isSet = (bit: number) => ((bits >> bit) & 1) === 1;
      const levelled = hoists.map((hoist, k) => ({ ...hoist, levelM: hoist.levelM + (isSet(k) ? 0.005 : -0.005) }));
      const there = { pointLoads: isSet(4) ? [load] : [], spreadLoads: pieces.filter((_, k) => isSet(5 + k)) };
      sagging = Math.max(sagging, forceExtremes(expectOk(solveBeam(beamOf({ ...hang, ...there }, levelled)))).maxMomentNm.value);
    }
    const { stages, most } = staged(apart, 0.005);
    missed = Math.max(missed, 1 - Math.max(most.sagging, stages.insideBounds[0] ?? 0) / sagging);
    const bound = bounded(apart, 0.005);
    if (!bound.tips && bound.insideBounds.length > 0) bulged = Math.max(bulged, 1 - (bound.insideBounds[0] ?? 0) / sagging);
    compared += 1;
  }
  expect(missed).toBeLessThan(0.002);
  expect(bulged).toBeLessThan(1e-9);
  expect(bulged).toBeGreaterThan(-Infinity); // some hoist may go slack
});

test('what its own weight may be more counts as a load of its own: heavier, a hoist may carry less', () => {
  // Light or heavy all along, as it is one number of the section; every set of loads on each, solved from the start.
  const random = seeded(31);
  let farthest = 0;
  for (let run = 0; run < 10; run++) {
    const { hang, toleranceM } = randomTruss(random, 3, 3);
    const apart = expectOk(stagedTruss(hang, 0.3 * hang.selfNPerM));
    const stages = buildStages(apart, toleranceM, null, null);
    if (stages.tips) continue;
    const [light, heavy] = [1, 1.3].map((times) => everyStage({ ...hang, selfNPerM: times * hang.selfNPerM }, toleranceM).reactionsN);
    for (const [k, forceN] of stages.mostN.entries())
      farthest = Math.max(farthest, Math.abs(forceN - Math.max(light?.[k] ?? 0, heavy?.[k] ?? 0)) / apart.influence.grossN);
  }
  expect(farthest).toBeLessThan(1e-8);
});

describe('a truss frame', () => {
  const corners = [
    { xM: 0, yM: 0 },
    { xM: 6, yM: 0 },
    { xM: 6, yM: 4 },
    { xM: 0, yM: 4 },
  ];
  const frame = (change: Partial<TrussFrameHang> = {}): TrussFrameHang => ({
    corners,
    closed: true,
    selfNPerM: 100,
    eiNm2: 1e6,
    gaN: null,
    gjNm2: 3e5,
    cornerJoint: 'stiff',
    sides: corners.map(() => ({ pointLoads: [], spreadLoads: [] })),
    hoists: [0, 1, 2, 3].map((side) => ({ id: `h${side}`, side, atM: side % 2 === 0 ? 1 : 1.5 })),
    ...change,
  });
  const loaded = (...loads: [side: number, atM: number, forceN: number][]) =>
    corners.map((_, side) => ({
      pointLoads: loads.filter(([own]) => own === side).map(([, atM, forceN]) => ({ atM, forceN })),
      spreadLoads: [],
    }));

  test('every set of loads at every pattern of levels, each solved from the start', () => {
    const hang = frame({ sides: loaded([0, 5, 900], [1, 3.5, 400], [3, 3.5, 1500]) });
    const [apart] = expectOk(stagedTrussFrames(hang, 0));
    if (apart === undefined) throw new Error('one assumption');
    const { stages, most } = staged(apart, 0.01);
    const reactionsN = hang.hoists.map(() => 0);
    const every: Most = { sagging: 0, hogging: 0, shear: 0 };
    let torsionNm = 0;
    for (let bits = 0; bits < 1 << 7; bits++) {
      const isSet = (bit: number) => ((bits >> bit) & 1) === 1;
      const there = (
        [
          [0, 5, 900],
          [1, 3.5, 400],
          [3, 3.5, 1500],
        ] as [number, number, number][]
      ).filter((_, load) => isSet(load));
      const hoists = hang.hoists.map((hoist, k) => ({ ...hoist, levelM: isSet(3 + k) ? 0.01 : -0.01 }));
      const [resting] = expectOk(solveTrussFrame({ ...hang, hoists, sides: loaded(...there) }, { restM: 0, movingM: 0 })).resting;
      for (const [k, { forceN }] of (resting?.reactions ?? []).entries()) reactionsN[k] = Math.max(reactionsN[k] ?? 0, forceN);
      for (const side of resting?.sides ?? []) {
        take(every, forceExtremes(side));
        torsionNm = Math.max(torsionNm, Math.abs(side.torsionNm));
      }
    }
    let seenNm = 0;
    buildStages(apart, 0.01, null, (sides) => (seenNm = sides.reduce((most, side) => Math.max(most, Math.abs(side.torsionNm)), seenNm)));
    expect(seenNm).toBeCloseTo(torsionNm, 3);
    expect(stages.mostN).toEqual(reactionsN.map((forceN): unknown => expect.closeTo(forceN, 4)));
    for (const kind of ['sagging', 'hogging', 'shear'] as const) expect(most[kind]).toBeCloseTo(every[kind], 3);
    expect(stages.isBound).toBe(true);
  });

  test('the largest torsion of a side in any stage', () => {
    const random = seeded(3);
    const whole = (least: number, most: number) => least + Math.floor(random() * (most - least + 1));
    for (let run = 0; run < 12; run++) {
      const sides = loaded(...[0, 1, 2].map((k): [number, number, number] => [(run + k) % 4, whole(0, 40) / 10, whole(1, 20) * 100]));
      const hang = frame({ sides, hoists: [0, 1, 2, 3].map((side) => ({ id: `h${side}`, side, atM: whole(2, 30) / 10 })) });
      const [apart] = expectOk(stagedTrussFrames(hang, 0));
      if (apart === undefined) throw new Error('one assumption');
      let [mostNm, seenNm] = [0, 0];
      const stages = buildStages(
        apart,
        0.01,
        null,
        (seen) => (seenNm = seen.reduce((most, { torsionNm }) => Math.max(most, Math.abs(torsionNm)), seenNm)),
      );
      if (stages.tips) continue;
      for (let bits = 0; bits < 1 << (apart.loads.length + 4); bits++) {
        const isSet = (bit: number) => ((bits >> bit) & 1) === 1;
        const part = apart.solve(
          apart.loads.map((_, load) => isSet(4 + load)),
          [0, 1, 2, 3].map((hoist) => (isSet(hoist) ? 0.01 : -0.01)),
        );
        for (const { torsionNm } of part?.sides ?? []) mostNm = Math.max(mostNm, Math.abs(torsionNm));
      }
      expect(seenNm / mostNm).toBeCloseTo(1, 6);
    }
  });

  test('it tips about the line of two hoists', () => {
    // Hoists at the corners (0, 0), (6, 0) and (0, 4): its own 2000 N at (3, 2) are on the slanted edge of the three, and balance there.
    const hoists = [0, 1, 3].map((side) => ({ id: `h${side}`, side, atM: 0 }));
    const [held] = expectOk(stagedTrussFrames(frame({ hoists, sides: loaded([0, 1, 300]) }), 0));
    const [tips] = expectOk(stagedTrussFrames(frame({ hoists, sides: loaded([0, 1, 900], [2, 3, 100]) }), 0));
    if (held === undefined || tips === undefined) throw new Error('one assumption');
    expect(buildStages(held, 0, null, null).tips).toBe(false);
    // (3, 4) lies beyond the edge x / 6 + y / 4 = 1 by (3 / 6 + 4 / 4 - 1) / √(1 / 36 + 1 / 16) = 12 / √52 m.
    expect(buildStages(tips, 0, null, null)).toMatchObject({
      tips: true,
      rightingNm: expect.closeTo(-100 * (12 / Math.sqrt(52)), 6) as number,
    });
  });
});
