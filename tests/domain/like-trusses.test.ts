import { expect, test } from 'vitest';
import type { Assessment } from '../../src/domain/assessment/assessment.ts';
import type { Hang, PickUp, TrussBuild } from '../../src/domain/plan/plan.ts';
import { assessed, direct, documented, hoist, pickUp, planOf, roofOf, single } from './plan-samples.ts';
import { point } from './roof-samples.ts';

const HOIST = { equipment: 'hoist', mount: 'bodyDown', chainLengthM: 20, bag: 'none' } as const;
const PLACES_M = [1, 5, 9, 13];
// One row of points for each of two trusses, the second otherwise named and from right to left.
const roof = roofOf({
  points: ['a', 'b'].flatMap((row, y) => PLACES_M.map((xM, k) => point(`${row}p${k}`, { xM, yM: 6 * y }))),
  limits: [],
});
const equipment = { hoist: documented(hoist({})) };

const build = (id: string, change: Partial<TrussBuild>): TrussBuild => ({
  lengthM: 14,
  start: { xM: 0, yM: id === 'a' ? 0 : 6, zM: 6 },
  azimuthDeg: 90,
  section: {
    selfKgPerM: 10,
    eiKnm2: 900,
    gaKn: null,
    gjKnm2: null,
    saggingKnm: 12,
    hoggingKnm: 10,
    shearKn: 20,
    nodeSpacingM: 0.5,
    allowablesBasis: 'maker',
  },
  pickUps: PLACES_M.map((atM, k) => ({ pickUpId: `${id}${k}`, atM, levelMm: 0 })),
  pointLoads: [{ what: 'x', atM: 6, massKg: 300, basis: 'documented', besideM: 0, aboveM: -0.5 }],
  spreadLoads: [{ what: 'y', fromM: 1, toM: 9, kgPerM: 20, basis: 'weighed', besideM: 0, aboveM: -0.5 }],
  pickUpsAboveM: 0.3,
  ...change,
});
function truss(id: 'a' | 'b', change: Partial<TrussBuild> = {}, line: Partial<PickUp> = {}): Hang {
  const { kind: _, ...common } = single(id) as Extract<Hang, { kind: 'single' }>;
  const pickUps = PLACES_M.map((xM, k) =>
    pickUp(`${id}${k}`, { hoist: HOIST, attachment: direct(`${id}p${k}`), position: { xM, yM: id === 'a' ? 0 : 6, zM: 6 }, ...line }),
  );
  return { ...common, items: [], kind: 'truss', pickUps, build: build(id, change) };
}
const ofB = ({ outcome }: Assessment) => ({
  checks: outcome.checks.filter(({ hangId }) => hangId === 'b'),
  loads: outcome.loads.filter(({ hangId }) => hangId === 'b'),
});

const { section, pointLoads, spreadLoads, pickUps } = build('b', {});
test.each<[string, Hang]>([
  ['nothing', truss('b')],
  ['its order of pick-ups', { ...truss('b'), pickUps: truss('b').pickUps.toReversed() }],
  ['its stiffness', truss('b', { section: { ...section, eiKnm2: 901 } })],
  ['what it bears', truss('b', { section: { ...section, saggingKnm: 12.5 } })],
  ['a level', truss('b', { pickUps: pickUps.map((place, k) => ({ ...place, levelMm: k === 2 ? 5 : 0 })) })],
  ['a place', truss('b', { pickUps: pickUps.map((place, k) => ({ ...place, atM: place.atM + (k === 2 ? 0.5 : 0) })) })],
  ['a mass', truss('b', { pointLoads: pointLoads.map((load) => ({ ...load, massKg: 300.0000001 })) })],
  ['how a mass is known', truss('b', { spreadLoads: spreadLoads.map((load) => ({ ...load, basis: 'estimated' })) })],
  ['its hoists', truss('b', {}, { hoist: null })],
])('beside a truss that is like it but for %s, a truss is what it is alone', (_, other) => {
  const alone = ofB(assessed(planOf([other], equipment), { roof }));
  expect(alone.loads.length).toBeGreaterThan(3);
  expect(ofB(assessed(planOf([truss('a'), other], equipment), { roof }))).toEqual(alone);
});
