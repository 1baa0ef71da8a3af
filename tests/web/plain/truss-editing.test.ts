import { describe, expect, test } from 'vitest';
import { checkPlan } from '../../../src/domain/plan/check-plan.ts';
import { EMPTY_PLAN, type Hang, type Plan, type TrussBuild } from '../../../src/domain/plan/plan.ts';
import type { RoofPoint } from '../../../src/domain/roof/structure.ts';
import { hangShapes } from '../../../src/web/plan/hang-shapes.ts';
import { movedUnder, withHang } from '../../../src/web/plan-editing/edit-hang.ts';
import {
  followedBy,
  isBeyondItsEnds,
  isBuiltTruss,
  sectionOf,
  startOverhangM,
  withLevel,
  withoutTrussHoist,
  withPickUpsAbove,
  withPickUpsAt,
  withStartOverhang,
  withStation,
  withTruss,
  withTrussHoist,
  type TrussHang,
} from '../../../src/web/plan-editing/edit-truss.ts';
import { hangUnder, memberAzimuthDeg } from '../../../src/web/plan-editing/new-hang.ts';
import { readRows, rowsOf } from '../../../src/web/parts/typed-rows.ts';
import { assessed, roofOf } from '../../domain/plan-samples.ts';
import { point } from '../../domain/roof-samples.ts';

const SHOW = { from: '2027-02-01T00:00:00.000Z', to: '2027-02-02T00:00:00.000Z' };
// 3 by 4: the line between two of them is 5 m long, at an angle that is no round number.
const at = (id: string, xM: number, yM: number): RoofPoint => point(id, { xM, yM, zM: 14, wllKg: 2000 });
const [A, B, C, D] = [at('a', 2, 1), at('b', 5, 5), at('c', 8, 9), at('d', 2, 9)];
let next = 0;
const newId = () => `id-${(next += 1)}`;

function trussOf(plan: Plan, hangId: string): TrussHang {
  const hang = plan.hangs.find(({ id }) => id === hangId);
  if (!hang || !isBuiltTruss(hang)) throw new Error('not a truss');
  return hang;
}
function onPoints(first: RoofPoint, ...more: RoofPoint[]): { plan: Plan; hang: TrussHang } {
  const { plan, hangId } = hangUnder(EMPTY_PLAN, first, 'truss', 'T', newId, 30);
  const hang = more.reduce((before, one) => withTrussHoist(plan, before, one, newId), trussOf(plan, hangId));
  return { plan: withHang(plan, hang), hang };
}
const moved = (hang: TrussHang, index: number, to: RoofPoint): TrussHang => {
  const pickUp = hang.pickUps[index]!;
  const after = followedBy(hang, movedUnder(hang, pickUp, to), pickUp.id);
  if (!isBuiltTruss(after)) throw new Error('not a truss');
  return after;
};
const near = (value: number) => expect.closeTo(value, 9) as number;
const stations = ({ build }: TrussHang) => build.pickUps.map(({ atM }) => atM);
const places = ({ pickUps }: Hang) => pickUps.map(({ position: { xM, yM } }) => [xM, yM]);
const under = (...points: RoofPoint[]) => points.map(({ xM, yM }) => [near(xM), near(yM)]);

describe('a truss on its points', () => {
  test('is a possible plan from its first hoist on, and nothing of its section is made up', () => {
    const { plan, hang } = onPoints(A);
    expect(checkPlan(plan, SHOW).ok).toBe(true);
    expect(hang.build).toMatchObject({ azimuthDeg: 30, pointLoads: [], spreadLoads: [], pickUpsAboveM: null });
    expect(Object.values(hang.build.section).every((fact) => fact === null)).toBe(true);
    expect(places(hang)).toEqual(under(A));
  });

  test('lies from its first hoist to its second, and overhangs alike at both', () => {
    const { plan, hang } = onPoints(A, B);
    expect(checkPlan(plan, SHOW).ok).toBe(true);
    expect(hang.build.azimuthDeg).toBeCloseTo((Math.atan2(4, 3) / Math.PI) * 180, 9);
    expect(stations(hang)).toEqual([near(0.5), near(5.5)]);
    expect(hang.build.lengthM).toBeCloseTo(6, 9);
    expect(hang.build.start).toMatchObject({ xM: near(2 - 0.3), yM: near(1 - 0.4) });
    expect(places(hang)).toEqual(under(A, B));
  });

  test('a third hoist stands at its own station, one off the line is drawn on it and keeps its point', () => {
    const { hang } = onPoints(A, B, C);
    expect(stations(hang)).toEqual([near(0.5), near(5.5), near(10.5)]);
    expect(hang.build.lengthM).toBeCloseTo(10.5, 9);
    const beside = onPoints(A, B, D).hang;
    // (0, 8) on the direction (3, 4)/5: 6.4 m along.
    expect(stations(beside)[2]).toBeCloseTo(6.9, 9);
    expect(places(beside)[2]).toEqual([near(2 + 6.4 * 0.6), near(1 + 6.4 * 0.8)]);
    expect(beside.pickUps[2]!.attachment).toMatchObject({ pointId: 'd' });
  });

  test('turns with an outermost hoist that goes to another point', () => {
    const { hang } = onPoints(A, B);
    const turned = moved(hang, 1, D);
    expect(turned.build).toMatchObject({ azimuthDeg: near(90), lengthM: near(8.5) });
    expect(stations(turned)).toEqual([near(0.5), near(8.5)]);
    expect(places(turned)).toEqual(under(A, D));
    // The other end: the second hoist stays at its station, and the truss grows at its start.
    const longer = moved({ ...withTruss(moved(hang, 1, C), { pointLoads: [load({ atM: 3 })] }) }, 0, at('e', -4, -7));
    expect(places(longer)).toEqual(under(at('e', -4, -7), C));
    expect(stations(longer)).toEqual([near(0), near(20)]);
    expect(longer.build.pointLoads[0]!.atM).toBeCloseTo(12.5, 9); // 3 m from the old start, which is 9.5 m from the new one
  });

  test('a hoist between two others goes along the truss, which stays', () => {
    const { hang } = onPoints(A, C, B);
    const to = moved(hang, 2, at('f', 3.2, 2.6)); // 2 m from A
    expect(stations(to)).toEqual([near(0.5), near(10.5), near(2.5)]);
    expect(to.build.start).toEqual(hang.build.start);
  });

  test('two hoists under one point leave it lying as it lay', () => {
    const { hang } = onPoints(A, B);
    expect(moved(hang, 1, A).build).toMatchObject({ azimuthDeg: hang.build.azimuthDeg, lengthM: hang.build.lengthM });
  });

  test('is pushed through under its hoists, which stay', () => {
    const { hang } = onPoints(A, B);
    const pushed = withStartOverhang(hang, 2);
    expect(startOverhangM(pushed)).toBeCloseTo(2, 9);
    expect(stations(pushed)).toEqual([near(2), near(7)]);
    expect(places(pushed)).toEqual(under(A, B));
    expect(isBeyondItsEnds(pushed.build)).toBe(true); // 6 m long, a hoist at 7: told, not mended
    expect(isBeyondItsEnds(withTruss(pushed, { lengthM: 8 }).build)).toBe(false);
  });

  test('a station moves the hoist along and not its point; heights follow truss, level and pick-ups', () => {
    const { hang } = onPoints(A, B);
    const shifted = withStation(hang, hang.pickUps[1]!.id, 3.5);
    expect(places(shifted)[1]).toEqual([near(2 + 3 * 0.6), near(1 + 3 * 0.8)]);
    expect(shifted.pickUps[1]!.attachment).toMatchObject({ pointId: 'b' });
    const high = withLevel(withPickUpsAbove(withPickUpsAt(hang, 8), 0.3), hang.pickUps[1]!.id, 20);
    expect(high.build.start.zM).toBeCloseTo(7.7, 9);
    expect(high.pickUps.map(({ position }) => position.zM)).toEqual([near(8), near(8.02)]);
    const higher = withPickUpsAt(high, 9); // the axis stays 0.3 m below
    expect([higher.build.start.zM, higher.pickUps[0]!.position.zM]).toEqual([near(8.7), near(9)]);
    expect(withoutTrussHoist(hang, hang.pickUps[0]!.id).build.pickUps).toEqual([hang.build.pickUps[1]]);
  });

  test('is drawn in plan as long as it is and where it lies', () => {
    const { plan, hang } = onPoints(A, B);
    const [shape] = hangShapes(plan.hangs, [A, B]).hangs;
    const [p, q] = shape!.corners;
    expect(Math.hypot(q!.xM - p!.xM, q!.yM - p!.yM)).toBeCloseTo(hang.build.lengthM, 9);
  });

  test('lies along the member of its point', () => {
    const node = (id: string, xM: number, yM: number) => ({ id, label: id, xM, yM, zM: 14 });
    const members = [{ id: 'm', fromNodeId: 'n1', toNodeId: 'n2' }] as unknown as Parameters<typeof memberAzimuthDeg>[0]['members'];
    const roof = { nodes: [node('n1', 0, 0), node('n2', 0, 20)], members };
    expect(memberAzimuthDeg(roof, { ...A, on: [{ memberId: 'm', stationM: 1, share: 1 }] })).toBeCloseTo(90, 9);
    expect(memberAzimuthDeg(roof, A)).toBe(0);
  });
});

const load = (change: Partial<TrussBuild['pointLoads'][number]>): TrussBuild['pointLoads'][number] => ({
  what: 'x',
  atM: 1,
  massKg: 100,
  basis: 'weighed',
  besideM: 0,
  aboveM: -0.3,
  ...change,
});

describe('what its points see', () => {
  const [P, Q] = [at('p', 1, 2), at('q', 1 + 4.8, 2 + 6.4)]; // 8 m apart
  /** Dead, and all of it weighed: what is entered is what hangs. */
  const answerTo = (make: (hang: TrussHang) => TrussHang) => {
    const { plan, hang } = onPoints(P, Q);
    const dead = make(hang);
    const made = withHang(plan, { ...dead, pickUps: dead.pickUps.map((pickUp) => ({ ...pickUp, hoist: null })) });
    return assessed(made, { roof: roofOf({ points: [P, Q], limits: [] }) }).outcome;
  };
  const seen = (make: (hang: TrussHang) => TrussHang): number[] => {
    const { loads } = answerTo(make);
    const kg = (pointId: string) => loads.find((one) => one.pointId === pointId && one.case === 'resting')!.downKn / 0.00980665;
    return [kg('p'), kg('q')];
  };
  const weighing = (selfKgPerM: number, { build }: TrussHang) => ({ ...build.section, selfKgPerM, selfBasis: 'weighed' as const });
  const exactly = (...kg: number[]) => kg.map((one) => expect.closeTo(one, 6) as number);

  test('a load in the middle of a simple span: half at each', () => {
    const middle = (hang: TrussHang) =>
      withTruss(hang, { section: weighing(0, hang), pointLoads: [load({ atM: hang.build.lengthM / 2, massKg: 300 })] });
    expect(seen(middle)).toEqual(exactly(150, 150));
  });

  test('12 m of 10 kg/m on hoists at 2 and 10, 200 kg at its end: 10 and 310 kg', () => {
    // By hand: 120 kg halves to 60 each; the 200 kg, 2 m beyond, lift 200 · 2 / 8 = 50 kg off the first.
    const overhanging = (hang: TrussHang) => {
      const long = withTruss(withStartOverhang(hang, 2), { lengthM: 12, section: weighing(10, hang) });
      return withTruss(long, { pointLoads: [load({ atM: 12, massKg: 200 })] });
    };
    expect(seen(overhanging)).toEqual(exactly(10, 310));
  });

  test('the same truss put the other way round: 310 and 10 kg', () => {
    const turned = (hang: TrussHang) =>
      withTruss(withStartOverhang(hang, 2), { lengthM: 12, section: weighing(10, hang), pointLoads: [load({ atM: 0, massKg: 200 })] });
    expect(seen(turned)).toEqual(exactly(310, 10));
  });

  test('a self weight that is estimated counts as one, and one without a basis is not known', () => {
    const self = (selfBasis: 'weighed' | 'estimated' | null) =>
      answerTo((hang) => withTruss(hang, { section: { ...weighing(10, hang), selfBasis } }));
    const most = ({ loads }: ReturnType<typeof self>) => Math.max(...loads.map(({ downKn }) => downKn));
    expect(most(self('estimated'))).toBeGreaterThan(most(self('weighed')));
    const missing = (outcome: ReturnType<typeof self>) => JSON.stringify(outcome.checks).includes('mass-basis-missing');
    expect([missing(self('weighed')), missing(self(null))]).toEqual([false, true]);
  });

  test('on one hoist nothing of it passes', () => {
    const { plan, hang } = onPoints(P);
    const full = withTruss(hang, { section: weighing(10, hang), pointLoads: [load({ atM: 1, massKg: 100 })] });
    const { verdict } = assessed(withHang(plan, full), { roof: roofOf({ points: [P, Q], limits: [] }) }).outcome;
    expect(['unknown', 'over']).toContain(verdict);
  });
});

test('a section of the catalogue is taken over with the basis of its self weight and its table of spans', () => {
  const spanTable = [{ spanM: 6, evenKgPerM: 50, points: null }];
  const facts = { selfKgPerM: 8, eiKnm2: 900, gaKn: null, gjKnm2: null, saggingKnm: 12, hoggingKnm: 10, shearKn: 20, nodeSpacingM: 0.5 };
  const data = { ...facts, kind: 'truss' as const, name: 'S', basis: 'estimated' as const, eiSidewaysKnm2: null, cornersStiff: null };
  expect(sectionOf({ ...data, interaction: null, allowablesBasis: 'R-1', spanTable })).toEqual({
    ...facts,
    selfBasis: 'estimated',
    allowablesBasis: 'R-1',
    spanTable,
  });
});

test('a basis that is left empty in a row is not stated; one that is no basis is refused', () => {
  const columns = [
    { name: 'basis', label: 'basis', of: 'named', among: [{ id: 'weighed', label: 'weighed' }], optional: true },
    { name: 'atM', label: 'at', of: 'length' },
  ] as const;
  const units = { mass: 'kg', length: 'm' } as const;
  const read = (basis: string | null) =>
    readRows<{ basis: string | null; atM: number }>(columns, rowsOf(columns, [{ basis, atM: 1 }], units), units).rows;
  expect(read(null)).toEqual([{ basis: null, atM: 1 }]);
  expect(readRows(columns, [{ key: 0, cells: { basis: { text: 'guess' }, atM: { text: '1' } } }], units).rows).toBeNull();
});
