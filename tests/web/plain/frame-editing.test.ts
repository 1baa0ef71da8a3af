import { describe, expect, test } from 'vitest';
import { checkPlan } from '../../../src/domain/plan/check-plan.ts';
import { EMPTY_PLAN, type Hang, type Plan } from '../../../src/domain/plan/plan.ts';
import type { RoofPoint } from '../../../src/domain/roof/structure.ts';
import { hangShapes } from '../../../src/web/plan/hang-shapes.ts';
import { movedUnder, withHang } from '../../../src/web/plan-editing/edit-hang.ts';
import {
  frameFollowedBy,
  heightOf,
  isBuiltFrame,
  nearestOn,
  rectangleOf,
  sidesOf,
  withFrame,
  withFrameHoist,
  withFrameStation,
  withHeight,
  withHoistsUnderPoints,
  withoutFrameHoist,
  withRectangle,
  withShape,
  type FrameHang,
} from '../../../src/web/plan-editing/edit-frame.ts';
import { hangUnder } from '../../../src/web/plan-editing/new-hang.ts';
import { assessed, checkIn, roofOf, SHOW } from '../../domain/plan-samples.ts';
import { point } from '../../domain/roof-samples.ts';

const at = (id: string, xM: number, yM: number): RoofPoint => point(id, { xM, yM, zM: 14, wllKg: 2000, on: [] });
// A rectangle of 5 by 10 that stands askew: along (3, 4)/5, then across (-4, 3)/5 twice as far.
const [A, B, C, D] = [at('a', 1, 1), at('b', 4, 5), at('c', -4, 11), at('d', -7, 7)];
const POINTS = [A, B, C, D];
let next = 0;
const newId = () => `id-${(next += 1)}`;

function frameOf(hang: Hang | undefined): FrameHang {
  if (!hang || !isBuiltFrame(hang)) throw new Error('not a truss frame');
  return hang;
}
function onPoints(first: RoofPoint, ...more: RoofPoint[]): { plan: Plan; hang: FrameHang } {
  const { plan, hangId } = hangUnder(EMPTY_PLAN, first, 'trussFrame', 'F', newId, 30);
  const start = frameOf(plan.hangs.find(({ id }) => id === hangId));
  const hang = more.reduce((before, one) => withFrameHoist(plan, before, one, newId), start);
  return { plan: withHang(plan, hang), hang };
}
const near = (value: number) => expect.closeTo(value, 9) as number;
const places = ({ pickUps }: Hang) => pickUps.map(({ position: { xM, yM } }) => [xM, yM]);
const under = (...points: RoofPoint[]) => points.map(({ xM, yM }) => [near(xM), near(yM)]);

describe('a truss frame on its points', () => {
  test('is a possible plan from its first hoist on, and nothing of its section is made up', () => {
    const { plan, hang } = onPoints(A);
    expect(checkPlan(plan, SHOW).ok).toBe(true);
    expect(Object.values(hang.build.section).every((fact) => fact === null)).toBe(true);
    expect(rectangleOf(hang.build)).toMatchObject({ xM: 1, yM: 1, azimuthDeg: near(30), lengthM: near(4), widthM: near(3) });
  });

  test('is as long as its second hoist is away, as wide as its third, and the others hang where it passes under their points', () => {
    const { plan, hang } = onPoints(A, B, C, D);
    expect(rectangleOf(hang.build)).toMatchObject({
      lengthM: near(5),
      widthM: near(10),
      azimuthDeg: near((Math.atan2(4, 3) / Math.PI) * 180),
    });
    expect(places(hang)).toEqual(under(A, B, C, D));
    expect(checkPlan(plan, SHOW).ok).toBe(true);
    // Solved once its section is known: four hoists share what it weighs, 30 m of 10 kg/m.
    const known = { ...hang.build.section, selfKgPerM: 10, selfBasis: 'weighed' as const, eiKnm2: 1000 };
    const solved = assessed(withHang(plan, withFrame(hang, { section: known })), { roof: roofOf({ points: POINTS, limits: [] }) });
    expect(solved.outcome.totals.massKg).toBeGreaterThanOrEqual(300);
    expect(POINTS.map(({ id }) => checkIn(solved, `pointDown:${id}`).demand! > 60)).toEqual([true, true, true, true]);
    // On the other side of its length it lies to the right.
    const right = onPoints(A, B, at('e', 9, -5));
    expect(rectangleOf(right.hang.build)).toMatchObject({ lengthM: near(5), widthM: near(-10) });
    expect(checkPlan(right.plan, SHOW).ok).toBe(true);
  });

  test('turned and stretched by its numbers, with its hoists on it; none falls off a side that gets shorter', () => {
    const { hang } = onPoints(A, B, C, D);
    const short = withRectangle(hang, { lengthM: 2, azimuthDeg: 0 });
    expect(rectangleOf(short.build)).toMatchObject({ xM: near(1), yM: near(1), lengthM: near(2), widthM: near(10), azimuthDeg: near(0) });
    const lengths = sidesOf(short.build).map(({ lengthM }) => lengthM);
    expect(short.build.pickUps.every(({ side, atM }) => atM <= lengths[side]! + 1e-9)).toBe(true);
    expect(places(short)[1]).toEqual([near(3), near(1)]);
    // Back under their points as near as it comes.
    expect(
      places(withHoistsUnderPoints(withRectangle(short, { lengthM: 5, azimuthDeg: (Math.atan2(4, 3) / Math.PI) * 180 }), POINTS)),
    ).toEqual(under(A, B, C, D));
  });

  test('of any corners: loads stay on their sides, and a hoist of a side that is gone goes to the nearest', () => {
    const { hang } = onPoints(A, B, C, D);
    const load = { what: 'lamp', atM: 1, massKg: 20, basis: null };
    const loaded = withFrame(hang, {
      sides: hang.build.sides.map((side, index) => (index === 1 ? { ...side, pointLoads: [load] } : side)),
    });
    const corners = [...hang.build.corners.slice(0, 3)];
    const ring = withShape(loaded, { corners, closed: true });
    expect(ring.build.sides.map(({ pointLoads }) => pointLoads.length)).toEqual([0, 1, 0]);
    expect(rectangleOf(ring.build)).toBeNull();
    expect(ring.build.pickUps.every(({ side }) => side < 3)).toBe(true);
    const chain = withShape(ring, { corners, closed: false });
    expect(sidesOf(chain.build)).toHaveLength(2);
    expect(chain.build.sides).toHaveLength(2);
    const grown = withShape(chain, { corners: [...corners, { xM: -20, yM: 11 }], closed: true });
    expect(grown.build.sides).toHaveLength(4);
    expect(nearestOn(grown.build, { xM: -20, yM: 11 })).toEqual({ side: 2, atM: near(16) });
  });

  test('hoists: under another point, elsewhere on it, out of level, taken off', () => {
    const { hang } = onPoints(A, B, C, D);
    const [first] = hang.pickUps;
    const moved = frameOf(frameFollowedBy(hang, movedUnder(hang, first!, at('m', 2.5, 3)), first!.id)); // the middle of side 1
    expect(moved.build.pickUps[0]).toMatchObject({ side: 0, atM: near(2.5) });
    expect(moved.build.corners).toBe(hang.build.corners);
    const alone = onPoints(A).hang;
    const gone = frameOf(frameFollowedBy(alone, movedUnder(alone, alone.pickUps[0]!, B), alone.pickUps[0]!.id));
    expect(rectangleOf(gone.build)).toMatchObject({ xM: near(4), yM: near(5), lengthM: near(4), widthM: near(3) });
    expect(places(gone)).toEqual(under(B));
    const station = withFrameStation(hang, first!.id, { side: 1, atM: 10 });
    expect(places(station)[0]).toEqual([near(-4), near(11)]);
    const level = withFrameStation(withHeight(hang, 9), hang.pickUps[1]!.id, { levelMm: 20 });
    expect(level.pickUps.map(({ position }) => position.zM)).toEqual([9, near(9.02), 9, 9]);
    expect(heightOf(level)).toBe(9);
    expect(heightOf(withFrameStation(level, first!.id, { levelMm: -50 }))).toBeCloseTo(9, 9);
    expect(withoutFrameHoist(hang, first!.id).build.pickUps).toHaveLength(3);
  });

  test('is drawn on the plan as its corners, a chain as a line', () => {
    const { hang } = onPoints(A, B, C, D);
    expect(hangShapes([hang], POINTS).hangs[0]!.corners).toEqual(hang.build.corners);
    const chain = withShape(hang, { corners: [...hang.build.corners], closed: false });
    expect(hangShapes([chain], POINTS).hangs[0]!.corners).toHaveLength(8);
  });
});
