import { describe, expect, test } from 'vitest';
import { checkPlan } from '../../../src/domain/plan/check-plan.ts';
import { EMPTY_PLAN, type Hang, type LineOffPlumb, type Plan } from '../../../src/domain/plan/plan.ts';
import type { RoofPoint } from '../../../src/domain/roof/structure.ts';
import { movedUnder, withHang } from '../../../src/web/plan-editing/edit-hang.ts';
import {
  asideOf,
  hooksHeld,
  linesOf,
  mayHaveLines,
  placeBeside,
  pointBeside,
  stillAside,
  withAside,
  withLine,
  withLineChange,
  withLineEnd,
  withOffPlumb,
  withoutLine,
} from '../../../src/web/plan-editing/edit-lines.ts';
import { isBuiltTruss, withTrussHoist } from '../../../src/web/plan-editing/edit-truss.ts';
import { faultAt, toldOf } from '../../../src/web/plan-editing/hang-told.ts';
import { hangUnder, type NewKind } from '../../../src/web/plan-editing/new-hang.ts';
import { assessed, checkIn, roofOf, SHOW } from '../../domain/plan-samples.ts';
import { point } from '../../domain/roof-samples.ts';

const at = (id: string, xM: number, yM: number): RoofPoint => point(id, { xM, yM, zM: 14, wllKg: 2000, on: [], maxAngleDeg: 60 });
// From A to C: 3 by 4, so 5 m in plan, at an angle that is no round number.
const POINTS = [at('a', 2, 1), at('b', 9, 1), at('c', 5, 5), at('d', 2, 9)];
const [A, , C] = POINTS as [RoofPoint, RoofPoint, RoofPoint];
let next = 0;
const newId = () => `id-${(next += 1)}`;

function under(first: RoofPoint, kind: NewKind = 'single'): { plan: Plan; hang: Hang } {
  const { plan, hangId } = hangUnder(EMPTY_PLAN, first, kind, 'P', newId);
  const hang = plan.hangs.find(({ id }) => id === hangId)!;
  const weighed: Hang = hang.kind === 'single' ? { ...hang, items: [{ what: 'P', count: 1, massKg: 400, basis: 'weighed' }] } : hang;
  return { plan: withHang(plan, weighed), hang: weighed };
}
const hookOf = ({ pickUps }: Hang) => pickUps[0]!.position;
const lineOf = (hang: Hang): LineOffPlumb => linesOf(hang)[0]!;
const solved = (plan: Plan, hang: Hang) => {
  const found = assessed(withHang(plan, hang), { roof: roofOf({ points: POINTS, limits: [] }) });
  return { found, check: checkIn(found, `configuration:${hang.id}:linesOffPlumb`) };
};
const near = (value: number) => expect.closeTo(value, 9) as number;

describe('a line off plumb', () => {
  test('draws the hook half a metre towards its end, so that it hangs and carries from the start', () => {
    const { plan, hang } = under(A);
    const held = withLine(hang, { pointId: 'c' }, POINTS, newId);
    expect(hookOf(held)).toMatchObject({ xM: near(2 + 0.3), yM: near(1 + 0.4) });
    expect(asideOf(held, held.pickUps[0]!.id, POINTS)).toMatchObject({ towardsM: near(0.5) });
    expect(lineOf(held)).toMatchObject({ kind: 'breastline', at: null, pretensionKn: null, parts: [] });
    const { check, found } = solved(plan, held);
    expect(check.verdict).toBe('fits');
    // Hook 4 m under its point and 0.5 m aside, end 4 m above and 4.5 m on: moments about the point A, T·h = W·0.5.
    const pull = found.outcome.loads.find((load) => load.pointId === 'c' && load.case === 'resting')!;
    expect(Math.sqrt(pull.xKn ** 2 + pull.yKn ** 2)).toBeCloseTo(((400 * 9.80665) / 1000) * (0.5 / (4 + (4 * 0.5) / 4.5)), 6);
  });

  test('keeps the hook as far aside where its end, or the point above, is another', () => {
    const held = withLine(under(A).hang, { pointId: 'c' }, POINTS, newId);
    const other = withLineEnd(held, lineOf(held).id, { pointId: 'd' }, POINTS);
    expect(hookOf(other)).toMatchObject({ xM: near(2), yM: near(1.5) });
    const under2 = stillAside(other, movedUnder(other, other.pickUps[0]!, POINTS[1]!), POINTS);
    expect(asideOf(under2, under2.pickUps[0]!.id, POINTS)).toMatchObject({ towardsM: near(0.5) });
    // What changes no point moves nothing.
    expect(stillAside(held, held, POINTS)).toBe(held);
  });

  test('two that hold leave both numbers to the person, and the outline goes along', () => {
    const { plan, hang } = under(A);
    const box = { xM: 2, yM: 1, alongM: 1, acrossM: 1, azimuthDeg: 0, bottomZM: 9, topZM: 10 };
    const one = withLine({ ...hang, box }, { pointId: 'c' }, POINTS, newId);
    expect(one.box).toMatchObject({ xM: near(2.3), yM: near(1.4) });
    const two = withLine(one, { pointId: 'b' }, POINTS, newId);
    expect(hookOf(two)).toEqual(hookOf(one));
    expect(asideOf(two, two.pickUps[0]!.id, POINTS)).toEqual({ xM: near(0.3), yM: near(0.4) });
    const moved = withOffPlumb(two, two.pickUps[0]!.id, { xM: 0.6, yM: 0.2 }, POINTS);
    expect(hookOf(moved)).toMatchObject({ xM: near(2.6), yM: near(1.2) });
    expect(moved.box).toMatchObject({ xM: near(2.6), yM: near(1.2) });
    expect(solved(plan, moved).check.verdict).toBe('fits');
    expect(linesOf(withoutLine(two, lineOf(two).id))).toHaveLength(1);
  });

  test('to another place: as high as the hook, and nothing is made up of what holds there', () => {
    const { plan, hang } = under(A);
    const held = withAside(withLine(hang, placeBeside(hang), POINTS, newId), hang.pickUps[0]!.id, 1, POINTS);
    expect(lineOf(held).to).toEqual({ place: { xM: 7, yM: 1, zM: 10 }, holdsKn: null, basis: null });
    const { found, check } = solved(plan, held);
    expect(check.verdict).toBe('fits');
    // 1 m aside on 4 m of height: a quarter of the load, and moving by the factor of a hoist of which nothing is stated.
    const anchor = checkIn(found, `configuration:${held.id}:linesOffPlumb:0:anchor`);
    expect(anchor).toMatchObject({ verdict: 'unknown', capacity: null });
    expect(anchor.demand! / ((100 * 9.80665) / 1000)).toBeGreaterThanOrEqual(1);
    expect(pointBeside(held, lineOf(held), POINTS)).toEqual({ pointId: 'b' });
  });

  test('a guy alone keeps a pretension', () => {
    const { hang } = under(A);
    const held = withLine(hang, { pointId: 'c' }, POINTS, newId);
    const guy = withLineChange(held, lineOf(held).id, { kind: 'guy', pretensionKn: 0.5 });
    expect(lineOf(guy).pretensionKn).toBe(0.5);
    expect(lineOf(withLineChange(guy, lineOf(guy).id, { kind: 'breastline' })).pretensionKn).toBeNull();
  });

  test('of an array goes back from its lowest rear corner, in its side plane, and the array stays plumb', () => {
    const { plan, hang } = under(A, 'array');
    const held = withLine(hang, placeBeside(hang), POINTS, newId);
    expect(lineOf(held)).toMatchObject({ kind: 'pullBack', at: { on: 0, uM: -0.7, vM: near(-0.35 * 0.85) } });
    expect(lineOf(held).to).toMatchObject({ place: { xM: 2, yM: 6 } }); // azimuth 0 faces down the y axis
    expect(hookOf(held)).toEqual(hookOf(hang));
    expect(checkPlan(withHang(plan, held), SHOW).ok).toBe(true);
  });

  test('at a hook of a truss: the nearest one, across it, and the truss turns about its other hoist', () => {
    const { plan, hang: one } = under(A, 'truss');
    if (!isBuiltTruss(one)) throw new Error('not a truss');
    const truss = withTrussHoist(plan, one, POINTS[1]!, newId); // 7 m along x
    const section = { ...truss.build.section, selfKgPerM: 20, selfBasis: 'weighed' as const, eiKnm2: 1000 };
    const hang: Hang = { ...truss, build: { ...truss.build, section } };
    const [left, right] = hang.pickUps.map(({ id }) => id) as [string, string];
    const held = withLine(hang, { pointId: 'd' }, POINTS, newId); // straight across from the left one
    expect(lineOf(held)).toMatchObject({ kind: 'breastline', at: null, pickUpId: left });
    expect(placeBeside(hang, right)).toMatchObject({ place: { xM: 9, yM: 6 } });
    const both = withLine(held, placeBeside(hang, right), POINTS, newId);
    expect(linesOf(both)[1]!.pickUpId).toBe(right);
    expect(hooksHeld(both).map(({ id }) => id)).toEqual([left, right]);
    const aside = withAside(withAside(both, left, 0.25, POINTS), right, 0.25, POINTS);
    expect(aside.pickUps.map(({ position }) => [position.xM, position.yM])).toEqual([
      [near(2), near(1.25)],
      [near(9), near(1.25)],
    ]);
    expect(solved(plan, aside).check).toMatchObject({ verdict: 'fits' });
  });

  test('is offered where statics are, and what is refused is told of the hang and the field that it is about', () => {
    expect((['single', 'array', 'truss'] as const).map((kind) => mayHaveLines(under(A, kind).hang))).toEqual([true, true, true]);
    expect(mayHaveLines({ ...under(A).hang, kind: 'trussFrame', build: null })).toBe(false);
    const { plan, hang } = under(A);
    const held = withLine(hang, { pointId: 'a' }, POINTS, newId); // the very point of the hoist
    const faulty = withHang({ ...plan, hangs: [under(C).hang, ...plan.hangs] }, held);
    const answer = checkPlan(faulty, SHOW);
    if (answer.ok) throw new Error('a point twice is a fault');
    const told = toldOf({ kind: 'faulty', faults: answer.error.faults }, faulty, held.id);
    expect(faultAt(told, '/linesOffPlumb/0/to')).toContain('a point of its own');
    expect(faultAt(told, '/linesOffPlumb/0/at')).toBeNull();
    expect(toldOf({ kind: 'faulty', faults: answer.error.faults }, faulty, faulty.hangs[0]!.id).faults).toEqual([]);
  });
});
