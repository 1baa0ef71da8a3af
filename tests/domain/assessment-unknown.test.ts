import { expect, test } from 'vitest';
import type { AssessInput } from '../../src/domain/assessment/assess.ts';
import type { HoistData, Plan } from '../../src/domain/plan/plan.ts';
import type { CapacityTerms, KeepOut, RoofPoint } from '../../src/domain/roof/structure.ts';
import { assessed, checkIn, dead, direct, documented, hoist, pickUp, planOf, roofOf, single, SHOW } from './plan-samples.ts';
import { group, point, terms } from './roof-samples.ts';

const whole = (): Plan => planOf([single('a')]);

test('with everything stated the sample fits', () => {
  expect(assessed(whole()).outcome.verdict).toBe('fits');
});

const hoistWithout = (field: keyof HoistData) =>
  planOf([single('a')], { hoist: documented({ ...hoist({ dynamicFactor: null }), [field]: null }) });
const hangWith = (change: Parameters<typeof single>[1]) => planOf([single('a', change)]);
const lineWith = (change: Parameters<typeof pickUp>[1]) => hangWith({ pickUps: [pickUp('a-1', change)] });
const anItem = { what: 'x', count: 1, massKg: 1, basis: 'weighed' as const };
const aCable = { what: 'x', count: 1, lengthM: 1, kgPerM: 1, basis: 'weighed' as const };

// Each takes one datum away; the check named must say so, and so must the whole.
test.each<[string, Plan, string]>([
  ['mass of an item', hangWith({ items: [anItem, { ...anItem, massKg: null }] }), 'pointDown:p1'],
  ['basis of a mass', hangWith({ items: [{ ...anItem, basis: null }] }), 'pointDown:p1'],
  ['mass of a cable', hangWith({ cables: [{ ...aCable, kgPerM: null }] }), 'group:g1'],
  ['any load at all', hangWith({ items: [] }), 'pointDown:p1'],
  ['any pick-up', hangWith({ pickUps: [] }), 'mass:a'],
  ['mass on the line', lineWith({ lineItems: [{ ...anItem, massKg: null }] }), 'pointDown:p1'],
  ['cable share of the line', lineWith({ cableShare: [{ ...aCable, kgPerM: null }] }), 'hoist:a:a-1:rating'],
  ['length of chain', lineWith({ hoist: { equipment: 'hoist', mount: 'bodyUp', chainLengthM: null, bag: 'none' } }), 'pointDown:p1'],
  ['body of the hoist', hoistWithout('bodyKg'), 'group:g1'],
  ['mass of chain', hoistWithout('chainKgPerM'), 'pointDown:p1'],
  ['falls of chain', hoistWithout('falls'), 'pointDown:p1'],
  ['bag', hoistWithout('bagKg'), 'pointDown:p1'],
  ['WLL of the hoist', hoistWithout('wllKg'), 'hoist:a:a-1:rating'],
  ['what the WLL is net of', hoistWithout('wllIsNetOf'), 'hoist:a:a-1:rating'],
  ['speed', hoistWithout('speedMPerMin'), 'pointDown:p1'],
  ['whether the speed varies', hoistWithout('variableSpeed'), 'group:g1'],
  ['holding over people', hoistWithout('mayHoldOverPeople'), 'hoist:a:a-1:overPeople'],
  ['secondary', hoistWithout('needsSecondary'), 'hoist:a:a-1:overPeople'],
  ['height of an offset hook', lineWith({ position: { xM: 2.1, yM: 0, zM: null } }), 'plumb:a:a-1'],
])('unknown without: %s', (_, plan, id) => {
  const assessment = assessed(plan);
  expect(checkIn(assessment, id)).toMatchObject({ verdict: 'unknown', reason: { code: expect.any(String) as unknown } });
  expect(assessment.outcome.verdict).toBe('unknown');
});

const roofWith = (change: Partial<RoofPoint>): Partial<AssessInput> => ({
  roof: roofOf({ points: [point('p1', { xM: 2, ...change }), point('p2')], limits: [] }),
});
const termsWithout = (field: keyof CapacityTerms): CapacityTerms => ({ ...terms, [field]: null });
const days = { fromDay: '2026-03-11', untilDay: '2026-03-12' };

test.each<[string, Partial<AssessInput>, string, string]>([
  ['rating', roofWith({ wllKg: null }), 'pointDown:p1', 'rating-not-stated'],
  ['basis', roofWith({ terms: termsWithout('basis') }), 'pointDown:p1', 'basis-not-stated'],
  ['format', roofWith({ terms: termsWithout('format') }), 'pointDown:p1', 'format-not-stated'],
  ['dynamic terms', roofWith({ terms: termsWithout('dynamic') }), 'pointDown:p1', 'dynamic-not-stated'],
  ['what it must include', roofWith({ terms: termsWithout('mustInclude') }), 'pointDown:p1', 'must-include-not-stated'],
  ['other points loaded', roofWith({ terms: termsWithout('holdsWithOthersLoaded') }), 'pointDown:p1', 'others-loaded-not-stated'],
  ['inspection', roofWith({ inspectionDueDay: null }), 'inspection:p1', 'inspection-not-stated'],
  ['inspection that lapses before the show ends', roofWith({ inspectionDueDay: '2026-03-11' }), 'inspection:p1', 'inspection-past-due'],
  ['service', roofWith({ state: 'outOfService', stateReason: 'bent' }), 'pointState:p1', 'point-out-of-service'],
  ['service for a time', roofWith({ outOfService: [{ ...days, reason: 'works' }] }), 'pointState:p1', 'point-out-of-service'],
  ['free use', roofWith({ state: 'restricted', stateReason: 'ask' }), 'pointState:p1', 'point-restricted'],
])('unknown without: %s', (_, change, id, code) => {
  const assessment = assessed(whole(), change);
  expect(checkIn(assessment, id).verdict).toBe('unknown');
  expect(checkIn(assessment, id).reason?.code).toBe(code);
  expect(checkIn(assessment, 'pointDown:p1').verdict).toBe('unknown');
  expect(assessment.outcome.verdict).toBe('unknown');
});

test('an inspection is good through its day', () => {
  // Due on the 12th, which ends at 22:00 in UTC in the samples' zone; the show ends at 04:00 of the 12th.
  expect(assessed(whole(), roofWith({ inspectionDueDay: '2026-03-12' })).outcome.verdict).toBe('fits');
});

test('a rating lowered for a time counts for what hangs then', () => {
  const change = roofWith({ reductions: [{ ...days, wllKg: 500, reason: 'snow' }] });
  expect(checkIn(assessed(whole(), change), 'pointDown:p1')).toMatchObject({ capacity: 500, verdict: 'over' });
});

test('a point that the roof does not have is unknown, and never dropped', () => {
  const assessment = assessed(hangWith({ pickUps: [pickUp('a-1', { attachment: direct('gone') })] }));
  expect(checkIn(assessment, 'pointState:gone')).toMatchObject({ verdict: 'unknown', reason: { code: 'point-missing' } });
  expect(checkIn(assessment, 'pointDown:gone').verdict).toBe('unknown');
  expect(checkIn(assessment, 'pointSideways:gone').verdict).toBe('unknown');
  expect(assessment.outcome.loads.map(({ pointId }) => pointId)).toEqual(['gone', 'gone', 'gone']);
});

test('a bridle to a missing point leaves its other point unknown too', () => {
  const legs = ['p1', 'gone'].map((pointId) => ({ pointId, parts: [] }));
  const attachment = { kind: 'bridle' as const, apex: { xM: 4, yM: 0, zM: 8 }, legs, apexParts: [] };
  const assessment = assessed(hangWith({ pickUps: [pickUp('a-1', { position: { xM: 4, yM: 0, zM: 6 }, attachment })] }));
  expect(checkIn(assessment, 'pointDown:p1').verdict).toBe('unknown');
  expect(checkIn(assessment, 'leg:a:a-1')).toMatchObject({ verdict: 'unknown', reason: { code: 'point-missing' } });
});

test('a bridle that cannot hang as drawn is over, and what it puts on its points is unknown', () => {
  const legs = ['p1', 'p2'].map((pointId) => ({ pointId, parts: [] }));
  const attachment = { kind: 'bridle' as const, apex: { xM: 9, yM: 0, zM: 8 }, legs, apexParts: [] };
  const assessment = assessed(hangWith({ pickUps: [pickUp('a-1', { position: { xM: 9, yM: 0, zM: 6 }, attachment })] }));
  expect(checkIn(assessment, 'leg:a:a-1')).toMatchObject({ verdict: 'over', reason: { code: 'leg-in-compression' } });
  expect(checkIn(assessment, 'pointDown:p1')).toMatchObject({ verdict: 'unknown', reason: { code: 'bridle-not-solved' } });
});

test('what is missing is no shelter: a lower bound over the capacity is over', () => {
  const plan = hangWith({
    items: [
      { ...anItem, massKg: 2000 },
      { ...anItem, massKg: null },
    ],
  });
  expect(checkIn(assessed(plan), 'pointDown:p1')).toMatchObject({ verdict: 'over', reason: { code: 'mass-missing' } });
});

test('a group without terms is unknown', () => {
  const bare = { ...group('g1', ['p1', 'p2'], 1500), terms: termsWithout('basis') };
  expect(checkIn(assessed(whole(), { roof: roofOf({ limits: [bare] }) }), 'group:g1')).toMatchObject({ verdict: 'unknown' });
});

test('an advisory limit that is over does not make the whole over', () => {
  const roof = roofOf({ limits: [{ ...group('g1', ['p1'], 100), hard: false }] });
  const assessment = assessed(whole(), { roof });
  expect(checkIn(assessment, 'group:g1')).toMatchObject({ verdict: 'over', hard: false });
  expect(assessment.outcome.verdict).toBe('fits');
});

test.each(['covered', 'open'] as const)('a hang without wind actions in a %s space is unknown', (exposure) => {
  const roof = roofOf({ exposure });
  expect(checkIn(assessed(whole(), { roof }), 'wind:a')).toMatchObject({ verdict: 'unknown', reason: { code: 'wind-not-stated' } });
});

test('entered wind pulls the point sideways, by the larger of the two actions', () => {
  const wind = { inServiceKn: 0.5, outOfServiceKn: 2, comesDownAtMPerS: 15 };
  const roof = roofOf({ exposure: 'open', points: [point('p1', { xM: 2, maxSidewaysKn: 1.9 }), point('p2')], limits: [] });
  const assessment = assessed(hangWith({ wind }), { roof });
  expect(checkIn(assessment, 'wind:a').verdict).toBe('fits');
  expect(checkIn(assessment, 'pointSideways:p1:force')).toMatchObject({ demand: 2, capacity: 1.9, verdict: 'over' });
});

test('what wind does to the split between several pick-ups is unknown', () => {
  const wind = { inServiceKn: 0.5, outOfServiceKn: 2, comesDownAtMPerS: 15 };
  const givenLoad = { massKg: 100, basis: 'weighed', source: 'maker' } as const;
  const pickUps = [pickUp('a-1', { givenLoad }), pickUp('a-2', { givenLoad })];
  const assessment = assessed(hangWith({ wind, pickUps, items: [] }), { roof: roofOf({ exposure: 'open' }) });
  expect(checkIn(assessment, 'wind:a')).toMatchObject({ verdict: 'unknown', reason: { code: 'wind-on-several-pick-ups' } });
});

test('a hoist of variable speed without the maker figure is unknown', () => {
  const plan = planOf([single('a')], { hoist: documented(hoist({ dynamicFactor: null, variableSpeed: true })) });
  expect(checkIn(assessed(plan), 'pointDown:p1')).toMatchObject({ verdict: 'unknown', reason: { code: 'dynamic-factor-not-stated' } });
});

const square = [
  { xM: 0, yM: -1 },
  { xM: 2, yM: -1 },
  { xM: 2, yM: 1 },
  { xM: 0, yM: 1 },
];
const keepOut = (change: Partial<KeepOut> = {}): KeepOut => ({
  id: 'k',
  label: 'k',
  reason: 'duct',
  area: square,
  fromZM: 8,
  toZM: 9,
  hard: true,
  fromDay: null,
  untilDay: null,
  ...change,
});
const box = { xM: 2.5, yM: 0, alongM: 3, acrossM: 1, azimuthDeg: 0, bottomZM: 5, topZM: 8 };
const keepOutCheck = (aBox: typeof box | null, kept: KeepOut, id: string) =>
  checkIn(assessed(hangWith({ box: aBox }), { roof: roofOf({ keepOuts: [kept] }) }), id);

test('without a box nobody can tell whether a hang keeps clear', () => {
  expect(keepOutCheck(null, keepOut(), 'keepOut:a')).toMatchObject({ verdict: 'unknown', hard: true });
  expect(keepOutCheck(null, keepOut({ hard: false }), 'keepOut:a')).toMatchObject({ verdict: 'unknown', hard: false });
});

test('touching a keep-out counts as meeting it, in plan and in height', () => {
  // The box is 1 m wide in x and 3 m deep in y: its left side lies at x = 2, its top at z = 8.
  expect(keepOutCheck(box, keepOut(), 'keepOut:a:k')).toMatchObject({ verdict: 'over', reason: { code: 'meets-duct' } });
  expect(keepOutCheck({ ...box, xM: 2.51 }, keepOut(), 'keepOut:a').verdict).toBe('fits');
  expect(keepOutCheck({ ...box, topZM: 7.99 }, keepOut(), 'keepOut:a').verdict).toBe('fits');
  expect(keepOutCheck({ ...box, bottomZM: 9, topZM: 11 }, keepOut(), 'keepOut:a:k').verdict).toBe('over');
  expect(keepOutCheck({ ...box, bottomZM: 9.01, topZM: 11 }, keepOut(), 'keepOut:a').verdict).toBe('fits');
});

test('a box turned by a quarter reaches as far in x as it did in y', () => {
  expect(keepOutCheck({ ...box, xM: 3.4, azimuthDeg: 90 }, keepOut(), 'keepOut:a:k').verdict).toBe('over');
  expect(keepOutCheck({ ...box, xM: 3.4 }, keepOut(), 'keepOut:a').verdict).toBe('fits');
});

test('a keep-out of other days does not count', () => {
  const later = { fromDay: '2026-03-13', untilDay: null };
  const checks = assessed(hangWith({ box }), { roof: roofOf({ keepOuts: [keepOut(later)] }) }).outcome.checks;
  expect(checks.some(({ kind }) => kind === 'keepOut')).toBe(false);
  // The samples' 12 March begins at 22:00 of the 11th in UTC, within the show.
  expect(SHOW.to > '2026-03-11T22:00:00.000Z').toBe(true);
  expect(keepOutCheck(box, keepOut({ fromDay: '2026-03-12', untilDay: null }), 'keepOut:a:k').verdict).toBe('over');
});

test('what the policy does not allow is over', () => {
  const roof = roofOf();
  const strict = {
    ...roof,
    policy: { ...roof.policy, policy: { ...roof.policy.policy, allow: { bridles: false, wraps: true, spreaders: true } } },
  };
  const legs = ['p1', 'p2'].map((pointId) => ({ pointId, parts: [] }));
  const attachment = { kind: 'bridle' as const, apex: { xM: 4, yM: 0, zM: 8 }, legs, apexParts: [] };
  const plan = hangWith({ pickUps: [pickUp('a-1', { position: { xM: 4, yM: 0, zM: 6 }, attachment })] });
  expect(checkIn(assessed(plan, { roof: strict }), 'policy:a:a-1:bridles')).toMatchObject({ verdict: 'over', hard: true });
});

test('a point made by a wrap is over where the venue allows none', () => {
  const roof = roofOf({ points: [point('p1', { xM: 2, attachment: 'wrap' }), point('p2')], limits: [] });
  const policy = { ...roof.policy.policy, allow: { bridles: true, wraps: false, spreaders: true } };
  expect(checkIn(assessed(whole(), { roof: { ...roof, policy: { ...roof.policy, policy } } }), 'policy:p1:wraps').verdict).toBe('over');
});

test('a sideways rating without terms is unknown where something pulls sideways', () => {
  const wind = { inServiceKn: 0.5, outOfServiceKn: 1, comesDownAtMPerS: 15 };
  const bare = termsWithout('format');
  const roof = roofOf({ exposure: 'open', points: [point('p1', { xM: 2, maxSidewaysKn: 5, terms: bare }), point('p2')], limits: [] });
  const assessment = assessed(hangWith({ wind }), { roof });
  expect(checkIn(assessment, 'pointSideways:p1:force')).toMatchObject({ verdict: 'unknown', reason: { code: 'format-not-stated' } });
  expect(checkIn(assessment, 'pointSideways:p1:resultant').verdict).toBe('unknown');
});

test.each<[Partial<HoistData>, string, string]>([
  [{ mayHoldOverPeople: false }, 'over', 'may-not-hold-over-people'],
  [{ needsSecondary: true }, 'over', 'secondary-missing'],
])('a hoist that must not hang over people so: %j', (change, verdict, code) => {
  const assessment = assessed(planOf([single('a')], { hoist: documented(hoist(change)) }));
  expect(checkIn(assessment, 'hoist:a:a-1:overPeople')).toMatchObject({ verdict, reason: { code } });
});

test('a hoist is over when what it lifts is beyond its WLL', () => {
  const plan = hangWith({ items: [{ ...anItem, massKg: 932 }] });
  expect(checkIn(assessed(plan), 'hoist:a:a-1:rating')).toMatchObject({ verdict: 'over', capacity: 1000 });
  const net = planOf([single('a', { items: [{ ...anItem, massKg: 932 }] })], { hoist: documented(hoist({ wllIsNetOf: 'hookPlusBody' })) });
  // 932 + chain 21 = 953: close from 900.
  expect(checkIn(assessed(net), 'hoist:a:a-1:rating')).toMatchObject({ verdict: 'close', demand: expect.closeTo(953, 9) as unknown });
});

test('nothing on a point is counted twice: a dead hang beside a standing load', () => {
  const roof = roofOf({
    standingLoads: [
      { id: 's', label: 's', permanent: true, points: [{ pointId: 'p1', massKg: 300 }], memberLoads: [], fromDay: null, untilDay: null },
    ],
  });
  expect(checkIn(assessed(planOf([dead('a', 'p1', 400)]), { roof }), 'pointDown:p1').demand).toBeCloseTo(700, 9);
});
