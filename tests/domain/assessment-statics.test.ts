import { describe, expect, test } from 'vitest';
import type { ArrayBuild, Hang, PickUp, TrussBuild, TrussFrameBuild, TrussSection } from '../../src/domain/plan/plan.ts';
import { commitmentsOf } from '../../src/domain/assessment/commitments.ts';
import { checkPlan } from '../../src/domain/plan/check-plan.ts';
import { assessed, checkIn, dead, direct, documented, hoist, pickUp, planOf, roofOf, SHOW, single, steel } from './plan-samples.ts';
import { expectFail, group, point } from './roof-samples.ts';

const near = (value: number, digits = 9): unknown => expect.closeTo(value, digits);
const common = (hang: Hang) => {
  const { kind: _, ...rest } = hang as Extract<Hang, { kind: 'single' }>;
  return { ...rest, items: [] };
};
const line = (id: string, pointId: string, xM: number, change: Partial<PickUp> = {}): PickUp =>
  pickUp(id, { hoist: null, attachment: direct(pointId), position: { xM, yM: 0, zM: 6 }, ...change });
const HOIST = { equipment: 'hoist', mount: 'bodyDown', chainLengthM: 20, bag: 'none' } as const;
// Weighs nothing and lifts at factor 1.25, so that the split of the hang is all there is to see.
const weightless = { hoist: documented(hoist({ bodyKg: 0, chainKgPerM: 0, wllKg: 1000 })) };

// The worked array: frame 60 kg at (0, 0), holes (±0.4, 0.1), bottom pivot (0.5, -0.1); two of 50 kg, cg (-0.3, -0.15), bottom
// (0, -0.3), splays 0 and 10: level 103.6569 and 56.3431 kg; at -10° 91.9132 and 68.0868.
const element = (splayDeg: number, massKg: number | null = 50): ArrayBuild['elements'][number] => ({
  equipment: null,
  massKg,
  basis: 'weighed',
  cg: { uM: -0.3, vM: -0.15 },
  bottomPivot: { uM: 0, vM: -0.3 },
  corners: [],
  splayDeg,
});
const arrayBuild = (change: Partial<ArrayBuild> = {}): ArrayBuild => ({
  azimuthDeg: 0,
  framePitchDeg: -10,
  frame: {
    equipment: null,
    massKg: 60,
    basis: 'weighed',
    cg: { uM: 0, vM: 0 },
    bottomPivot: { uM: 0.5, vM: -0.1 },
    holes: [
      { id: 'front', wllKg: 110, uM: 0.4, vM: 0.1 },
      { id: 'rear', wllKg: null, uM: -0.4, vM: 0.1 },
    ],
  },
  elements: [element(0), element(10)],
  extras: [],
  holes: [
    { pickUpId: 'f', holeId: 'front' },
    { pickUpId: 'r', holeId: 'rear' },
  ],
  stackSizes: [1, 1],
  permittedConfiguration: { document: 'M-1', covers: 'two elements' },
  ...change,
});
// At -10° the holes are 0.8 cos 10° = 0.787846 m apart; the points stand as far apart, so that both chains are plumb.
const APART_M = 0.7878462024097664;
const arrayRoof = roofOf({ points: [point('p1', { xM: 2 }), point('p2', { xM: 2 - APART_M })], limits: [] });
const array = (build: ArrayBuild | null, onHoists = false): Hang => ({
  ...common(single('a')),
  kind: 'array',
  build,
  pickUps: [line('f', 'p1', 2, onHoists ? { hoist: HOIST } : {}), line('r', 'p2', 2 - APART_M, onHoists ? { hoist: HOIST } : {})],
});

test('an array on two chains: the worked split at its pitch', () => {
  const assessment = assessed(planOf([array(arrayBuild())]), { roof: arrayRoof });
  expect(checkIn(assessment, 'pointDown:p1').demand).toEqual(near(91.9132, 4));
  expect(checkIn(assessment, 'pointDown:p2').demand).toEqual(near(68.0868, 4));
  expect(checkIn(assessment, 'configuration:a:permitted').verdict).toBe('fits');
  expect(checkIn(assessment, 'configuration:a:pickUpPlaces').verdict).toBe('fits');
  // Close by the front hole alone, which sees 103.6569 of 110 kg when level.
  expect(assessment.outcome.checks.filter(({ hard, verdict }) => hard && verdict !== 'fits').map(({ id }) => id)).toEqual([
    'part:a:f:hole',
  ]);
});

test('while it moves, each chain sees the worst of every stage, level and tilted', () => {
  // Level and whole the front carries most, 103.6569; the rear most when tilted and whole, 68.0868. Times 1.25.
  const assessment = assessed(planOf([array(arrayBuild(), true)], weightless), { roof: arrayRoof });
  expect(checkIn(assessment, 'pointDown:p1')).toMatchObject({ case: 'moving', demand: near(103.6569 * 1.25, 3) });
  expect(checkIn(assessment, 'pointDown:p2').demand).toEqual(near(68.0868 * 1.25, 3));
  // The front hole is marked 110 kg.
  expect(checkIn(assessment, 'part:a:f:hole')).toMatchObject({ demand: near(103.6569, 4), capacity: 110, verdict: 'close' });
});

test('contingency goes onto a hook only where it loads that hook', () => {
  // 20 kg estimated behind the rear hole, level: lever to the front (-0.6 + 0.4) / 0.8 = -0.25, to the rear 1.25. The front loses 5 kg and
  // gains none of the 3 kg contingency; the rear gains 25 and 1.25 · 3 = 3.75.
  const build = arrayBuild({ framePitchDeg: 0, extras: [{ on: 'frame', what: 'cable', massKg: 20, basis: 'estimated', uM: -0.6, vM: 0 }] });
  const flat = roofOf({ points: [point('p1', { xM: 2 }), point('p2', { xM: 1.2 })], limits: [] });
  const level = { ...array(build), pickUps: [line('f', 'p1', 2), line('r', 'p2', 1.2)] };
  const assessment = assessed(planOf([level]), { roof: flat });
  expect(checkIn(assessment, 'pointDown:p1').demand).toEqual(near(103.6569 - 5, 4));
  expect(checkIn(assessment, 'pointDown:p2').demand).toEqual(near(56.3431 + 28.75, 4));
});

test('an array on one hoist hangs all on it', () => {
  const hang = {
    ...array(arrayBuild({ framePitchDeg: null, holes: [{ pickUpId: 'f', holeId: 'front' }] })),
    pickUps: [line('f', 'p1', 2)],
  };
  expect(checkIn(assessed(planOf([hang]), { roof: arrayRoof }), 'pointDown:p1').demand).toEqual(near(160));
});

test('a pitch that two chains cannot hold is over, and what they carry is unknown', () => {
  const assessment = assessed(planOf([array(arrayBuild({ framePitchDeg: 60 }))]), { roof: arrayRoof });
  expect(checkIn(assessment, 'configuration:a:pitch')).toMatchObject({ verdict: 'over', reason: { code: 'chain-would-push' } });
  expect(checkIn(assessment, 'pointDown:p1').verdict).toBe('unknown');
});

test('an array whose holes stand further apart than its pick-ups hangs off plumb', () => {
  const hang = { ...array(arrayBuild()), pickUps: [line('f', 'p1', 2), line('r', 'p2', 1)] };
  const wide = roofOf({ points: [point('p1', { xM: 2 }), point('p2', { xM: 1 })], limits: [] });
  // 1 - 0.787846 = 0.212 m apart, under points 6 m above: 6 · tan 3° = 0.3144 m are within the tolerance; 0.5 m would not be.
  expect(checkIn(assessed(planOf([hang]), { roof: wide }), 'configuration:a:pickUpPlaces')).toMatchObject({
    demand: near(1 - APART_M),
    verdict: 'fits',
  });
  const wider = { ...hang, pickUps: [line('f', 'p1', 2), line('r', 'p2', 0.7)] };
  const wideRoof = roofOf({ points: [point('p1', { xM: 2 }), point('p2', { xM: 0.7 })], limits: [] });
  expect(checkIn(assessed(planOf([wider]), { roof: wideRoof }), 'configuration:a:pickUpPlaces').verdict).toBe('over');
});

test.each<[string, ArrayBuild | null, string]>([
  ['the build', null, 'pointDown:p1'],
  ['the mass of an element', arrayBuild({ elements: [element(0), element(10, null)] }), 'pointDown:p1'],
  [
    'every mass',
    arrayBuild({ frame: { ...arrayBuild().frame, massKg: null }, elements: [element(0, null)], stackSizes: [] }),
    'pointDown:p1',
  ],
  ['the frame pitch', arrayBuild({ framePitchDeg: null }), 'pointDown:p2'],
  ['the hole of a pick-up', arrayBuild({ holes: [{ pickUpId: 'f', holeId: 'front' }] }), 'pointDown:p2'],
  ["the maker's configuration", arrayBuild({ permittedConfiguration: null }), 'configuration:a:permitted'],
])('an array is unknown without: %s', (_, build, id) => {
  const assessment = assessed(planOf([array(build)]), { roof: arrayRoof });
  expect(checkIn(assessment, id).verdict).toBe('unknown');
  expect(assessment.outcome.verdict).toBe('unknown');
});

const section = (change: Partial<TrussSection> = {}): TrussSection => ({
  selfKgPerM: 10,
  eiKnm2: 1000,
  gaKn: null,
  gjKnm2: null,
  saggingKnm: 10,
  hoggingKnm: 10,
  shearKn: 20,
  nodeSpacingM: 0.5,
  allowablesBasis: 'maker',
  ...change,
});
const trussBuild = (change: Partial<TrussBuild> = {}): TrussBuild => ({
  lengthM: 12,
  start: { xM: 0, yM: 0, zM: 6 },
  azimuthDeg: 90,
  section: section(),
  pickUps: [
    { pickUpId: 'l', atM: 2, levelMm: 0 },
    { pickUpId: 'r', atM: 10, levelMm: 0 },
  ],
  pointLoads: [{ what: 'x', atM: 12, massKg: 200, basis: 'weighed', besideM: 0, aboveM: -0.5 }],
  spreadLoads: [],
  pickUpsAboveM: 0.3,
  ...change,
});
const trussRoof = roofOf({ points: [point('p1', { xM: 2 }), point('p2', { xM: 10 }), point('p3', { xM: 6 })], limits: [] });
const truss = (build: TrussBuild | null, pickUps = [line('l', 'p1', 2), line('r', 'p2', 10)]): Hang => ({
  ...common(single('a')),
  kind: 'truss',
  build,
  pickUps,
});

const load = (change: Partial<TrussBuild['pointLoads'][number]>): TrussBuild['pointLoads'][number] => ({
  ...trussBuild().pointLoads[0]!,
  ...change,
});

test('a truss with its centre of gravity above its pick-ups turns over', () => {
  // Pick-ups 0.3 m above the axis: 120 kg of truss rights it with 36 kg·m. 200 kg at 0.48 m above the axis upset it with 200 · 0.18 = 36.
  const at = (aboveM: number) =>
    checkIn(assessed(planOf([truss(trussBuild({ pointLoads: [load({ aboveM })] }))]), { roof: trussRoof }), 'truss:a:balance');
  expect(at(0.481)).toMatchObject({ hard: true, verdict: 'over', reason: { code: 'centre-of-gravity-above-pick-ups' } });
  expect(at(0.479).verdict).toBe('fits');
});

test('a load beside the centre line rolls the truss, and a document has to cover its torsion', () => {
  // 200 kg 0.2 m aside against 120 · 0.3 + 200 · 0.8 = 196 kg·m: atan(40 / 196) = 11.535°. On the truss itself 5 % contingency rights.
  const build = trussBuild({ pointLoads: [load({ besideM: -0.2 })], torsionBasis: 'M-2' });
  const assessment = assessed(planOf([truss(build)]), { roof: trussRoof });
  const [reckoning] = checkIn(assessment, 'truss:a:balance').reckoning;
  expect(Number(reckoning?.result.replace(' deg', ''))).toBeCloseTo((Math.atan2(40, 196) * 180) / Math.PI, 9);
  expect(checkIn(assessment, 'truss:a:torsion').verdict).toBe('fits');
  expect(assessment.outcome.verdict).toBe('fits');
});

// The worked beam: 12 m, 10 kg/m, hoists at 2 and 10, 200 kg at 12 → 10 and 310 kg, M -4.118793 kNm at 10, V 2.157463 kN. The self weight
// is documented: 5 % of 120 kg more, of which a hoist sees what loads it: 6 · 1.25² / (2 · 1.5) = 3.125 kg, and the moment
// 200 · 2 · g + 10.5 · 2 · g = 4.128600 kNm.
test('a truss on two hoists with an overhang: the worked beam, with contingency where it loads', () => {
  const assessment = assessed(planOf([truss(trussBuild())]), { roof: trussRoof });
  const [left, right] = ['p1', 'p2'].map((id) => assessment.outcome.loads.find((one) => one.case === 'resting' && one.pointId === id));
  expect(left?.downKn).toEqual(near(13.125 * 0.00980665));
  expect(right?.downKn).toEqual(near(313.125 * 0.00980665));
  expect(checkIn(assessment, 'pointDown:p2').demand).toEqual(near(313.125));
  expect(checkIn(assessment, 'truss:a:hogging')).toMatchObject({
    unit: 'kNm',
    verdict: 'fits',
    demand: near((200 * 2 + 10.5 * 2) * 0.00980665),
  });
  // Right of the hoist at 10: 200 kg and 2 m of truss: (200 + 21) · g = 2.167270 kN.
  expect(checkIn(assessment, 'truss:a:shear').demand).toEqual(near(221 * 0.00980665));
  expect(assessment.outcome.verdict).toBe('fits');
});

// The 200 kg at 12 take 50 kg off the hoist at 2: as long as they are not there it carries its half of the truss, 60 kg and 3.125 more.
test('a counter-load relieves no hoist before it hangs, dead-hung or moving, for neighbours too', () => {
  const dead = assessed(planOf([truss(trussBuild())]), { roof: trussRoof });
  expect(checkIn(dead, 'pointDown:p1').demand).toEqual(near(63.125));
  const lines = [line('l', 'p1', 2, { hoist: HOIST }), line('r', 'p2', 10, { hoist: HOIST })];
  const moved = assessed(planOf([truss(trussBuild(), lines)], weightless), { roof: trussRoof });
  expect(checkIn(moved, 'pointDown:p1')).toMatchObject({ case: 'moving', demand: near(63.125 * 1.25) });
  expect(checkIn(moved, 'hoist:a:l:rating').demand).toEqual(near(63.125));
  const rows = commitmentsOf(moved).filter(({ pointId }) => pointId === 'p1');
  expect(rows).toMatchObject([
    { resting: { downKn: near(63.125 * 0.00980665) }, moving: { downKn: near(63.125 * 1.25 * 0.00980665) }, isLowerBound: false },
  ]);
});

test('a group counts a hang that stands still in the worst stage of its build, while another cue moves', () => {
  const limits = [group('g', ['p1', 'p3'], 1000)];
  const roof = roofOf({ points: trussRoof.points.map((each) => ({ ...each })), limits });
  const still = { ...truss(trussBuild(), [line('l', 'p1', 2, { hoist: HOIST }), line('r', 'p2', 10, { hoist: HOIST })]), cue: 'one' };
  const other = { ...single('b', { pickUps: [line('b-1', 'p3', 6, { hoist: HOIST })] }), cue: 'two' };
  // 63.125 kg at rest and 400 · 1.25 moving are more than 63.125 · 1.25 and 400.
  expect(checkIn(assessed(planOf([still, other], weightless), { roof }), 'group:g').demand).toEqual(near(63.125 + 500));
});

test('the truss itself is held to the worst stage of its build', () => {
  // Without the 200 kg beyond the hoist it sags: 60 · 4 - 10 · 6² / 2 = 60 kg·m in the middle; and the contingency of its own weight
  // between the hoists, 2 · 4 - 0.5 · 4² / 2 = 4 kg·m. With the 200 kg it does not sag at all.
  const assessment = assessed(planOf([truss(trussBuild())]), { roof: trussRoof });
  expect(checkIn(assessment, 'truss:a:sagging')).toMatchObject({ case: 'build', hard: true, demand: near(64 * 0.00980665) });
});

test('of more loads over hoists that may go slack than every set can be looked at, a bound is judged, or it is unknown, never fits', () => {
  const placesM = [0, 2.4, 4.8, 7.2, 9.6, 12];
  const roof = roofOf({ points: placesM.map((xM, n) => point(`q${n}`, { xM })), limits: [] });
  const of = (loads: number, hoists: number) => {
    const own = hoists === 6 ? placesM : [0, 4.8, 9.6, 12];
    const pickUps = own.map((atM, n) => ({ pickUpId: `l${n}`, atM, levelMm: 0 }));
    const pointLoads = Array.from({ length: loads }, (_, n) => load({ atM: (12 * n) / loads, massKg: 180 / loads }));
    const lines = own.map((atM, n) => line(`l${n}`, `q${placesM.indexOf(atM)}`, atM, { hoist: HOIST }));
    const assessment = assessed(planOf([truss(trussBuild({ pointLoads, pickUps }), lines)]), { roof });
    const isBounded = assessment.cautions.some((caution) => caution.includes('more than any set of the loads'));
    return { check: checkIn(assessment, 'pointDown:q2'), isBounded };
  };
  expect(of(8, 4)).toMatchObject({ check: { verdict: 'fits', reason: null }, isBounded: false });
  expect(of(8, 6)).toMatchObject({ check: { verdict: 'fits', reason: null }, isBounded: false });
  expect(of(50, 4)).toMatchObject({ check: { verdict: 'fits', reason: null }, isBounded: true });
  // Neighbours come and go as one, and of more hoists the ways to go slack are not bounded.
  for (const many of [of(80, 4), of(50, 6)])
    expect(many.check).toMatchObject({ verdict: 'unknown', reason: { code: 'stages-not-all-solved' } });
});

test('two loads that balance a truss on its hoists: over, since one of them hangs first', () => {
  const ends = [0, 12].map((atM) => load({ atM, massKg: 250 }));
  const assessment = assessed(planOf([truss(trussBuild({ pointLoads: ends }))]), { roof: trussRoof });
  // About a hoist: 120 kg right it with 4 m; 250 kg upset it with 2 m, and the contingency of its own weight beyond, 1 kg with 1 m.
  expect(checkIn(assessment, 'truss:a:build')).toMatchObject({
    hard: true,
    case: 'build',
    verdict: 'over',
    reason: { code: 'tips-while-built' },
  });
  expect(Number(checkIn(assessment, 'truss:a:build').reckoning[0]?.result.replace(' kg·m', ''))).toBeCloseTo(480 - 500 - 1, 9);
  expect(checkIn(assessment, 'pointDown:p1').verdict).toBe('unknown');
  const lighter = trussBuild({ pointLoads: ends.map((end) => ({ ...end, massKg: 235 })) });
  expect(assessed(planOf([truss(lighter)]), { roof: trussRoof }).outcome.checks.some(({ id }) => id === 'truss:a:build')).toBe(false);
});

describe('a table of spans', () => {
  // Hoists at both ends of 8 m. 200 kg in the middle, weighed; the truss weighs 10 kg/m and is documented. Dead-hung: no factor.
  const table = [8, 10].map((spanM) => ({ spanM, evenKgPerM: null, points: { count: 1, eachKg: spanM === 8 ? 300 : 250 } }));
  const none = { saggingKnm: null, hoggingKnm: null, shearKn: null };
  const tabled = (change: Partial<TrussSection>, build: Partial<TrussBuild> = {}) =>
    truss(
      trussBuild({
        lengthM: 8,
        start: { xM: 2, yM: 0, zM: 6 },
        section: section({ spanTable: table, ...change }),
        pickUps: [
          { pickUpId: 'l', atM: 0, levelMm: 0 },
          { pickUpId: 'r', atM: 8, levelMm: 0 },
        ],
        pointLoads: [load({ atM: 4 })],
        ...build,
      }),
    );
  const trussChecks = (hang: Hang) =>
    assessed(planOf([hang]), { roof: trussRoof }).outcome.checks.filter(
      ({ kind, id }) => kind === 'truss' && /(ging|shear|tion|span)$/.test(id),
    );
  const told = (hang: Hang) =>
    trussChecks(hang).map(({ id, verdict, reason }) => [id.slice('truss:a:'.length), verdict, reason?.code ?? null]);

  test('stands for allowable forces that are not stated', () => {
    expect(trussChecks(tabled(none))).toMatchObject([
      {
        id: 'truss:a:span',
        verdict: 'fits',
        hard: true,
        case: 'resting',
        demand: near(200),
        capacity: near(300),
        unit: 'kg',
        reason: null,
      },
    ]);
    expect(told(tabled({ ...none, saggingKnm: 10 }))).toEqual([
      ['sagging', 'fits', null],
      ['span', 'fits', null],
    ]);
    const short = tabled({ ...none, spanTable: table.map((row) => ({ ...row, points: { count: 1, eachKg: 150 } })) });
    expect(told(short)).toEqual([['span', 'over', null]]);
  });
  test('and for the rule by which moment and shear go together', () => {
    const tight = { saggingKnm: 5.2, hoggingKnm: 5, shearKn: 1.5 };
    expect(told(tabled({ ...tight, spanTable: null }))).toContainEqual(['interaction', 'unknown', 'interaction-not-stated']);
    expect(told(tabled(tight))).toEqual([
      ['hogging', 'fits', null],
      ['sagging', 'close', null],
      ['shear', 'close', null],
      ['span', 'fits', null],
    ]);
  });
  test('moving: 1.25 times 200 kg, and a quarter of its 84 kg', () => {
    const lines = [line('l', 'p1', 2, { hoist: HOIST }), line('r', 'p2', 10, { hoist: HOIST })];
    const [check] = trussChecks({ ...tabled(none), pickUps: lines });
    expect(check).toMatchObject({ id: 'truss:a:span', case: 'moving', demand: near(250 + 21), capacity: near(300), verdict: 'close' });
  });
  test('contingency counts as load', () => {
    const guessed = tabled(none, { pointLoads: [load({ atM: 4, basis: 'estimated' })] });
    expect(trussChecks(guessed)[0]).toMatchObject({ demand: near(230) });
  });
  const off = tabled({}, { pointLoads: [load({ atM: 3 })] });
  const middle = { pickUpId: 'm', atM: 4, levelMm: 0 };
  test.each<[string, string, Hang]>([
    ['loads that hang otherwise', 'span-table-pattern', off],
    ['a span that it does not reach', 'span-table-span', tabled({ spanTable: table.slice(1) })],
    ['an overhang', 'span-table-overhang', truss(trussBuild({ section: section({ spanTable: table }), pointLoads: [load({ atM: 6 })] }))],
    [
      'three hoists',
      'span-table-not-two-hoists',
      {
        ...tabled({}, { pickUps: [{ pickUpId: 'l', atM: 0, levelMm: 0 }, middle, { pickUpId: 'r', atM: 8, levelMm: 0 }] }),
        pickUps: [line('l', 'p1', 2), line('m', 'p3', 6), line('r', 'p2', 10)],
      },
    ],
  ])('does not say: %s', (_, code, hang) => {
    // Beside all allowable forces a note; alone, nothing is known.
    expect(told(hang)).toContainEqual(['span', 'fits', code]);
    expect(told(hang).filter(([, verdict]) => verdict === 'unknown')).toEqual([]);
    if (hang.kind !== 'truss' || hang.build === null) throw new Error('is a truss');
    const alone = { ...hang, build: { ...hang.build, section: { ...hang.build.section, shearKn: null } } };
    expect(told(alone)).toContainEqual(['span', 'unknown', code]);
    expect(told(alone)).toContainEqual(['shear', 'unknown', 'allowables-not-stated']);
  });
  test('of no known source, or with a mass missing, it never passes', () => {
    expect(told(tabled({ ...none, allowablesBasis: null }))).toEqual([['span', 'unknown', 'allowables-basis-not-stated']]);
    expect(told(tabled(none, { pointLoads: [load({ atM: 4 }), load({ atM: 2, massKg: null })] }))).toEqual([
      ['span', 'unknown', 'mass-missing'],
    ]);
  });
  test('faults are named where they stand, and an empty table is none', () => {
    const faulty = tabled({ spanTable: [{ spanM: 0, evenKgPerM: 1, points: { count: 1, eachKg: 1 } }] });
    const checked = checkPlan(planOf([faulty]), SHOW);
    expect(checked.ok ? [] : checked.error.faults.map(({ pointer, code }) => `${pointer} ${code}`)).toEqual([
      '/hangs/0/build/section/spanTable/0/spanM not-positive',
      '/hangs/0/build/section/spanTable/0 two-patterns',
    ]);
    expect(told(tabled({ spanTable: [] }))).toEqual(told(tabled({ spanTable: undefined })));
  });
});

test('a truss that tips is over, and what its hoists carry is unknown', () => {
  const tip = trussBuild({ pointLoads: [{ what: 'x', atM: 12, massKg: 260, basis: 'weighed' }] });
  const assessment = assessed(planOf([truss(tip)]), { roof: trussRoof });
  expect(checkIn(assessment, 'truss:a:solved')).toMatchObject({ verdict: 'over', reason: { code: 'unstable' } });
  expect(checkIn(assessment, 'pointDown:p2').verdict).toBe('unknown');
});

test('three hoists: the level envelope counts, and a lost hoist advises', () => {
  const three = trussBuild({ pickUps: [...trussBuild().pickUps, { pickUpId: 'm', atM: 6, levelMm: 0 }], pointLoads: [] });
  const hang = truss(three, [line('l', 'p1', 2), line('m', 'p3', 6), line('r', 'p2', 10)]);
  const assessment = assessed(planOf([hang]), { roof: trussRoof });
  const at = (loadCase: string, pointId: string) =>
    assessment.outcome.loads.find((load) => load.case === loadCase && load.pointId === pointId)?.downKn ?? 0;
  // Level, rigid, with overhangs of 2 m: more than nothing above what a level truss would give each.
  expect(at('resting', 'p3')).toBeGreaterThan(0.42);
  // Without the middle one each end carries half of 126 kg.
  expect(at('slack', 'p1')).toEqual(near((126 / 2) * 0.00980665));
  const slack = checkIn(assessment, 'pointDown:a:l:p1:slack');
  expect(slack).toMatchObject({ hard: false, case: 'slack' });
  expect(assessment.cautions.some((caution) => caution.includes('rigid'))).toBe(true);
});

test.each<[string, TrussBuild | null, string]>([
  ['the build', null, 'pointDown:p1'],
  ['the self weight', trussBuild({ section: section({ selfKgPerM: null }) }), 'pointDown:p1'],
  ['the mass of a load', trussBuild({ pointLoads: [{ what: 'x', atM: 6, massKg: null, basis: 'weighed' }] }), 'truss:a:sagging'],
  ['an allowable', trussBuild({ section: section({ hoggingKnm: null }) }), 'truss:a:hogging'],
  ['the basis of allowables', trussBuild({ section: section({ allowablesBasis: null }) }), 'truss:a:shear'],
  ['the node spacing', trussBuild({ section: section({ nodeSpacingM: null }) }), 'truss:a:nodes'],
  ['a node at a load', trussBuild({ section: section({ nodeSpacingM: 0.7 }) }), 'truss:a:nodes'],
  ['the place of a pick-up', trussBuild({ pickUps: [{ pickUpId: 'l', atM: 2, levelMm: 0 }] }), 'pointDown:p1'],
  ['the height of its pick-ups', trussBuild({ pickUpsAboveM: null }), 'truss:a:balance'],
  ['the height of a load', trussBuild({ pointLoads: [load({ aboveM: null })] }), 'truss:a:balance'],
  ['whether a load is on its centre line', trussBuild({ pointLoads: [load({ besideM: null })] }), 'truss:a:torsion'],
  ['a document for the torsion of a load beside it', trussBuild({ pointLoads: [load({ besideM: -0.2 })] }), 'truss:a:torsion'],
])('a truss is unknown without: %s', (_, build, id) => {
  const assessment = assessed(planOf([truss(build)]), { roof: trussRoof });
  expect(checkIn(assessment, id).verdict).toBe('unknown');
  expect(assessment.outcome.verdict).toBe('unknown');
});

test('three hoists without a bending stiffness are unknown', () => {
  const three = trussBuild({
    section: section({ eiKnm2: null }),
    pickUps: [...trussBuild().pickUps, { pickUpId: 'm', atM: 6, levelMm: 0 }],
    pointLoads: [],
  });
  const hang = truss(three, [line('l', 'p1', 2), line('m', 'p3', 6), line('r', 'p2', 10)]);
  expect(checkIn(assessed(planOf([hang]), { roof: trussRoof }), 'pointDown:p3')).toMatchObject({
    verdict: 'unknown',
    reason: { code: 'truss-stiffness-not-stated' },
  });
});

test('moment and shear together beyond the strictest rule are unknown, not a pass', () => {
  // Hogging 4.1286 of 5 kNm and shear 2.1673 of 10 kN add up to 1.042; each by itself is below its allowable.
  const build = trussBuild({ section: section({ hoggingKnm: 5, shearKn: 10 }) });
  const assessment = assessed(planOf([truss(build)]), { roof: trussRoof });
  expect(checkIn(assessment, 'truss:a:hogging').verdict).toBe('fits');
  expect(checkIn(assessment, 'truss:a:interaction')).toMatchObject({ verdict: 'unknown', reason: { code: 'interaction-not-stated' } });
});

test('a moving truss feels the dynamic factor of its hoists', () => {
  const onHoists = truss(trussBuild(), [line('l', 'p1', 2, { hoist: HOIST }), line('r', 'p2', 10, { hoist: HOIST })]);
  const assessment = assessed(planOf([onHoists], weightless), { roof: trussRoof });
  expect(checkIn(assessment, 'truss:a:hogging')).toMatchObject({ case: 'moving', demand: near(421 * 0.00980665 * 1.25) });
});

const frameBuild = (change: Partial<TrussFrameBuild> = {}): TrussFrameBuild => ({
  corners: [
    { xM: 0, yM: 0 },
    { xM: 4, yM: 0 },
    { xM: 4, yM: 4 },
    { xM: 0, yM: 4 },
  ],
  closed: true,
  section: section({ gjKnm2: 100, eiKnm2: 10 }),
  cornersStiff: true,
  sides: [0, 1, 2, 3].map(() => ({ pointLoads: [], spreadLoads: [] })),
  pickUps: [0, 1, 2, 3].map((side) => ({ pickUpId: `h${side}`, side, atM: 0, levelMm: 0 })),
  ...change,
});
const frameRoof = roofOf({
  points: [point('q0'), point('q1', { xM: 4 }), point('q2', { xM: 4, yM: 4 }), point('q3', { yM: 4 })],
  limits: [],
});
const frame = (build: TrussFrameBuild | null): Hang => ({
  ...common(single('a')),
  kind: 'trussFrame',
  build,
  pickUps: frameBuild().corners.map(({ xM, yM }, index) => line(`h${index}`, `q${index}`, xM, { position: { xM, yM, zM: 6 } })),
});

test('a square frame on four hoists: never less than a quarter each, and each diagonal may carry everything', () => {
  // 16 m · 10 kg/m · 1.05 = 168 kg: 42 each when level; a diagonal with everything: 84 each.
  const assessment = assessed(planOf([frame(frameBuild())]), { roof: frameRoof });
  expect(checkIn(assessment, 'pointDown:q0').demand).toBeGreaterThanOrEqual(42 - 1e-9);
  expect(checkIn(assessment, 'pointDown:q0').demand).toBeLessThanOrEqual(84 + 1e-9);
  expect(checkIn(assessment, 'pointDown:a:h0:q0:slack')).toMatchObject({ hard: false, demand: near(84, 6) });
  expect(checkIn(assessment, 'configuration:a:pickUpPlaces').verdict).toBe('fits');
});

test('a table of spans says nothing of a frame: a note beside all allowable forces, else nothing is known', () => {
  const table = { spanTable: [{ spanM: 4, evenKgPerM: 100, points: null }], gjKnm2: 100, eiKnm2: 10 };
  const spanOf = (change: Partial<TrussSection>) =>
    checkIn(assessed(planOf([frame(frameBuild({ section: section({ ...table, ...change }) }))]), { roof: frameRoof }), 'truss:a:span');
  const reason = { code: 'span-table-not-two-hoists' };
  expect(spanOf({})).toMatchObject({ verdict: 'fits', reason });
  expect(spanOf({ hoggingKnm: null })).toMatchObject({ verdict: 'unknown', reason });
});

test.each<[string, TrussFrameBuild | null]>([
  ['the build', null],
  ['the bending stiffness', frameBuild({ section: section({ eiKnm2: null }) })],
  ['the self weight', frameBuild({ section: section({ selfKgPerM: null }) })],
  ['the place of a pick-up', frameBuild({ pickUps: frameBuild().pickUps.slice(1) })],
])('a truss frame is unknown without: %s', (_, build) => {
  const assessment = assessed(planOf([frame(build)]), { roof: frameRoof });
  expect(checkIn(assessment, 'pointDown:q0').verdict).toBe('unknown');
  expect(assessment.outcome.verdict).toBe('unknown');
});

test('the torsion of a truss frame is unknown without a document, and a load beside a centre line without its shares', () => {
  const withLoad = (besideM: number | null, torsionBasis: string | null) => {
    const pointLoads = [{ what: 'x', atM: 2, massKg: 100, basis: 'weighed' as const, besideM, aboveM: 0 }];
    const sides = frameBuild().sides.map((side, index) => (index === 0 ? { ...side, pointLoads } : side));
    return assessed(planOf([frame(frameBuild({ sides, torsionBasis }))]), { roof: frameRoof });
  };
  expect(checkIn(withLoad(0, null), 'truss:a:torsion')).toMatchObject({ hard: true, verdict: 'unknown' });
  expect(checkIn(withLoad(0, 'M-2'), 'truss:a:torsion').verdict).toBe('fits');
  expect(checkIn(withLoad(0, 'M-2'), 'pointDown:q0').verdict).toBe('fits');
  expect(checkIn(withLoad(0.2, 'M-2'), 'pointDown:q0')).toMatchObject({ verdict: 'unknown', reason: { code: 'load-beside-centre-line' } });
  expect(checkIn(withLoad(null, 'M-2'), 'pointDown:q0').verdict).toBe('unknown');
});

const faults = (hang: Hang) => expectFail(checkPlan(planOf([hang]), SHOW)).faults.map(({ pointer, code }) => `${pointer} ${code}`);

test('what cannot be in a build is refused with its place', () => {
  expect(
    faults(
      array(
        arrayBuild({
          holes: [
            { pickUpId: 'f', holeId: 'none' },
            { pickUpId: 'z', holeId: 'rear' },
          ],
          stackSizes: [3],
        }),
      ),
    ),
  ).toEqual([
    '/hangs/0/build/holes/1/pickUpId no-such-pick-up',
    '/hangs/0/build/holes/0/holeId no-such-hole',
    '/hangs/0/build/stackSizes stacks-do-not-add-up',
  ]);
  const spread = { what: 'x', fromM: 5, toM: 4, kgPerM: 1, basis: 'weighed' as const };
  expect(faults(truss(trussBuild({ pointLoads: [{ what: 'x', atM: 12.1, massKg: 1, basis: 'weighed' }], spreadLoads: [spread] })))).toEqual(
    ['/hangs/0/build/pointLoads/0/atM off-the-truss', '/hangs/0/build/spreadLoads/0/toM load-reversed'],
  );
  expect(faults(frame(frameBuild({ sides: [], pickUps: [{ pickUpId: 'h0', side: 7, atM: 0, levelMm: 0 }] })))).toEqual([
    '/hangs/0/build/sides side-missing',
    '/hangs/0/build/pickUps/0/side no-such-side',
  ]);
});

test('an array on three chains is named as not computed, unless its loads are given', () => {
  const three = { ...array(arrayBuild()), pickUps: [line('f', 'p1', 2), line('r', 'p2', 1), line('x', 'p1', 2)] };
  expect(expectFail(checkPlan(planOf([three]), SHOW)).code).toBe('hang-not-computed');
  const given = { massKg: 10, basis: 'weighed', source: 'maker' } as const;
  const withLoads = { ...three, pickUps: three.pickUps.map((each) => ({ ...each, givenLoad: given })) } as Hang;
  expect(checkPlan(planOf([withLoads]), SHOW).ok).toBe(true);
});

const steels = (change: Parameters<typeof steel>[0], hitch: 'straight' | 'choke' | 'basket' | null = 'straight') => {
  const hang = dead('a', 'p1', 400);
  const attachment = { kind: 'direct' as const, pointId: 'p1', parts: [{ equipment: 'steel', count: 2, hitch }] };
  return assessed(planOf([{ ...hang, pickUps: [{ ...hang.pickUps[0]!, attachment }] }], { steel: documented(steel(change)) }));
};

test('a part over people bears half of its WLL, or a tenth of its breaking force', () => {
  // 400 kg and 2 · 2 kg · 1.05 of steels: 404.2 kg = 3.963848 kN. Half of 1 t: 4.903325 kN. 39 kN / 10 = 3.9 kN.
  expect(checkIn(steels({ wllKg: 1000 }), 'part:a:a-1:attachment:0:rating')).toMatchObject({
    demand: near(3.96384793),
    capacity: near(4.903325),
    unit: 'kN',
    verdict: 'fits',
  });
  expect(checkIn(steels({ wllKg: 800 }), 'part:a:a-1:attachment:0:rating').verdict).toBe('over');
  expect(checkIn(steels({ wllKg: null, breakingKn: 39 }), 'part:a:a-1:attachment:0:rating')).toMatchObject({
    capacity: near(3.9),
    verdict: 'over',
  });
});

test('a part without a rating, a hitch or a bend is unknown', () => {
  expect(checkIn(steels({ wllKg: null }), 'part:a:a-1:attachment:0:rating')).toMatchObject({
    verdict: 'unknown',
    reason: { code: 'rating-missing' },
  });
  expect(checkIn(steels({}, null), 'part:a:a-1:attachment:0')).toMatchObject({ verdict: 'unknown', reason: { code: 'hitch-not-stated' } });
  expect(checkIn(steels({}, 'basket'), 'part:a:a-1:attachment:0').verdict).toBe('unknown');
  // Choked it needs 3.963848 / 0.8 = 4.954810 kN.
  expect(checkIn(steels({ wllKg: 2000 }, 'choke'), 'part:a:a-1:attachment:0:rating').demand).toEqual(near(4.9548099125));
  expect(checkIn(steels({ wllKg: 2000 }, 'choke'), 'part:a:a-1:attachment:0:bend').verdict).toBe('unknown');
});

test('two legs on one shackle bow are held to their angle, three need a ring', () => {
  const shackle = {
    shackle: documented(steel({ part: 'shackle', massKg: 1, wllKg: 8000 })),
    ring: documented(steel({ part: 'ring', massKg: 1, wllKg: 8000 })),
  };
  const roof = roofOf({
    points: [
      point('p1', { xM: -3, zM: 10, maxAngleDeg: 60 }),
      point('p2', { xM: 3, zM: 10, maxAngleDeg: 60 }),
      point('p3', { yM: 3, zM: 10, maxAngleDeg: 60 }),
    ],
    limits: [],
  });
  const bridled = (pointIds: string[], parts: string[], apexYM: number) => {
    const hang = dead('a', 'p1', 500);
    const attachment = {
      kind: 'bridle' as const,
      apex: { xM: 0, yM: apexYM, zM: 6 },
      legs: pointIds.map((pointId) => ({ pointId, parts: [] })),
      apexParts: parts.map((equipment) => ({ equipment, count: 1, hitch: null })),
    };
    return assessed(
      planOf([{ ...hang, pickUps: [{ ...hang.pickUps[0]!, position: { xM: 0, yM: apexYM, zM: 5 }, attachment }] }], shackle),
      { roof },
    );
  };
  expect(checkIn(bridled(['p1', 'p2'], ['shackle'], 0), 'part:a:a-1:apex:0:bow-angle')).toMatchObject({
    unit: 'deg',
    demand: near(73.73979529168804),
    capacity: near(120),
    verdict: 'fits',
  });
  expect(checkIn(bridled(['p1', 'p2', 'p3'], ['shackle'], 1), 'part:a:a-1:apex:0:legs-on-bow')).toMatchObject({
    verdict: 'over',
    reason: { code: 'three-legs-need-a-ring' },
  });
  expect(checkIn(bridled(['p1', 'p2', 'p3'], ['ring', 'shackle'], 1), 'part:a:a-1:apex:1:rating').verdict).toBe('fits');
});

test('headroom advises: a hoist too long for the room, or with too little lift', () => {
  // Point at 12, hook at 6: 6 m hook to hook; from the floor 12 - 0.6 = 11.4 m of lift.
  const assessment = assessed(planOf([single('a')], { hoist: documented(hoist({ shortestHookToHookM: 6.5, liftM: 11 })) }));
  expect(checkIn(assessment, 'headroom:a:a-1')).toMatchObject({ hard: false, demand: 6.5, capacity: 6, verdict: 'over' });
  const short = assessed(planOf([single('a')], { hoist: documented(hoist({ liftM: 11 })) }));
  expect(checkIn(short, 'headroom:a:a-1:lift')).toMatchObject({ hard: false, demand: near(11.4), capacity: 11, verdict: 'over' });
  expect(short.outcome.verdict).toBe('fits');
});
