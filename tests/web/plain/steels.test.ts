import { describe, expect, test } from 'vitest';
import { legDoubts } from '../../../src/domain/plan/leg-doubts.ts';
import type { Hang, PartUsed, Plan } from '../../../src/domain/plan/plan.ts';
import { bridledTo, withLegAt } from '../../../src/web/plan-editing/edit-hang.ts';
import {
  apexOfSteels,
  drawnLegsM,
  offeredSteels,
  steelsOf,
  withLineParts,
  withPart,
  withSteels,
  type Bridle,
  type CataloguePart,
} from '../../../src/web/plan-editing/steels.ts';
import { deadHang, planOf, pointAt } from '../../support/scene.ts';

const points = [pointAt('A', 0, 0, 1000, 'p-a'), pointAt('B', 4, 0, 1000, 'p-b'), pointAt('C', 2, 3, 1000, 'p-c')];
const [a, b, c] = points as [(typeof points)[0], (typeof points)[0], (typeof points)[0]];
const part = (id: string, kind: CataloguePart['data']['part'], lengthM: number | null, wllKg = 1000): CataloguePart => ({
  id,
  latest: 1,
  hash: `hash of ${id}`,
  data: { kind: 'part', name: `${kind} ${lengthM ?? ''}`, part: kind, lengthM, massKg: 1, wllKg, breakingKn: null },
});
const STOCK = [part('s-1', 'wireRope', 1), part('s-2', 'wireRope', 1.5), part('s-3', 'wireRope', 0.5, 500), part('x', 'textile', 2)];
const SHACKLE = part('sh', 'shackle', 0.06);
const hung = deadHang(a, 300);
const bridled = bridledTo(hung, hung.pickUps[0]!, a, b);
const plan = planOf(bridled);
const bridleOf = (hang: Hang): Bridle => {
  const { attachment } = hang.pickUps[0]!;
  if (attachment.kind !== 'bridle') throw new Error('no bridle');
  return attachment;
};
const bridle = bridleOf(bridled);
/** By Pythagoras, apart from how the statics find it. */
const reach = (hang: Hang, index: number): number => {
  const { apex, legs } = bridleOf(hang);
  const point = points.find(({ id }) => id === legs[index]!.pointId)!;
  return Math.hypot(apex.xM - point.xM, apex.yM - point.yM, apex.zM - point.zM);
};
const madeOf = (of: Plan, parts: readonly PartUsed[]): number =>
  parts.reduce((sum, { equipment, count }) => {
    const used = of.equipment[equipment]!.data;
    return sum + count * (used.kind === 'part' ? used.lengthM! : NaN);
  }, 0);

describe('choosing steels', () => {
  test('the legs of an offer that is taken are as long as they are drawn, and nothing about them is in doubt', () => {
    const steels = steelsOf(STOCK, null);
    expect(steels.map(({ id }) => id)).toEqual(['s-1', 's-2', 's-3']);
    const found = offeredSteels(bridle, points, steels, SHACKLE, 0.3);
    if (!found.ok) throw new Error(found.error.code);
    expect(found.value.length).toBeGreaterThan(0);
    for (const offer of found.value) {
      expect(offer.offM).toBeLessThanOrEqual(0.3);
      const taken = withSteels(plan, bridled, bridled.pickUps[0]!, bridle, offer, SHACKLE);
      const hang = taken.hangs[0]!;
      const { legs, apex } = bridleOf(hang);
      for (const [index, leg] of legs.entries()) {
        const steelCount = leg.parts.filter(({ equipment }) => equipment.startsWith('wireRope')).reduce((sum, { count }) => sum + count, 0);
        expect(leg.parts.find(({ equipment }) => equipment.startsWith('shackle'))?.count).toBe(steelCount);
        expect(reach(hang, index)).toBeCloseTo(madeOf(taken, leg.parts), 9);
        expect(legDoubts(taken, leg.parts, reach(hang, index))).toEqual([]);
      }
      expect(hang.pickUps[0]!.position).toMatchObject({ xM: apex.xM, yM: apex.yM }); // on one pick-up it goes where its apex goes
    }
  });

  test('only steels of the rating that is asked for are offered, and where none do, that is said', () => {
    expect(steelsOf(STOCK, 1000).map(({ id }) => id)).toEqual(['s-1', 's-2']);
    expect(offeredSteels(bridle, points, [part('l', 'wireRope', 9)], null, 0.05)).toMatchObject({
      ok: false,
      error: { code: 'no-make-up' },
    });
    expect(offeredSteels(bridle, [a], STOCK, null, 0.05)).toMatchObject({ ok: false, error: { code: 'point-missing' } });
  });

  test('a part is taken in once, and another of the same name beside it', () => {
    const once = withPart(plan, STOCK[0]!);
    expect(withPart(once.plan, STOCK[0]!)).toEqual(once);
    expect(once.plan.equipment[once.name]).toEqual({ from: { itemId: 's-1', version: 1, hash: 'hash of s-1' }, data: STOCK[0]!.data });
    const other = withPart(once.plan, { ...STOCK[0]!, id: 's-9' });
    expect(other.name).not.toBe(once.name);
    expect(Object.keys(other.plan.equipment)).toContain(once.name);
  });
});

describe('the apex where the chosen lengths bring it', () => {
  const chosen = (...ids: [string, string]): { plan: Plan; hang: Hang } => {
    let [next, hang]: [Plan, Hang] = [plan, bridled];
    for (const [index, id] of ids.entries()) {
      const taken = withPart(
        next,
        STOCK.find((one) => one.id === id)!,
      );
      next = taken.plan;
      hang = withLineParts(hang, hang.pickUps[0]!, index, [{ equipment: taken.name, count: 2, hitch: 'straight' }]);
    }
    return { plan: { ...next, hangs: [hang] }, hang };
  };

  test('legs of different lengths hang where their circles meet', () => {
    const { plan: before, hang } = chosen('s-2', 's-1');
    const found = apexOfSteels(before, hang, hang.pickUps[0]!, bridleOf(hang), points);
    if (!found.ok) throw new Error(found.error.code);
    const after = found.value.hangs[0]!;
    expect(reach(after, 0)).toBeCloseTo(3, 9);
    expect(reach(after, 1)).toBeCloseTo(2, 9);
    expect(drawnLegsM(bridleOf(after), points)).toEqual([expect.closeTo(3, 9), expect.closeTo(2, 9)]);
  });

  test('lengths that cannot meet, or are not known, are refused and change nothing', () => {
    const short = chosen('s-3', 's-3');
    const refused = apexOfSteels(short.plan, short.hang, short.hang.pickUps[0]!, bridleOf(short.hang), points);
    expect(refused).toMatchObject({ ok: false, error: { code: 'legs-do-not-meet' } });
    const bare = apexOfSteels(
      plan,
      bridled,
      bridled.pickUps[0]!,
      { ...bridle, legs: bridle.legs.map((leg) => ({ ...leg, parts: [] })) },
      points,
    );
    expect(bare).toMatchObject({ ok: false, error: { code: 'leg-length-not-known' } });
  });
});

test('another point for one leg of three keeps the other two, and another for one of two keeps the steels of each', () => {
  const three = {
    ...bridled,
    pickUps: [{ ...bridled.pickUps[0]!, attachment: { ...bridle, legs: [...bridle.legs, { pointId: c.id, parts: [] }] } }],
  };
  const d = pointAt('D', 2, 6, 1000, 'p-d');
  const moved = withLegAt(three, three.pickUps[0]!, 2, d, [...points, d]);
  expect(bridleOf(moved).legs.map(({ pointId }) => pointId)).toEqual(['p-a', 'p-b', 'p-d']);
  expect(bridleOf(moved).apex).toMatchObject({ xM: 2, yM: 2, zM: bridle.apex.zM });
  const one: PartUsed = { equipment: 'one', count: 1, hitch: 'straight' };
  const withOne = withLineParts(bridled, bridled.pickUps[0]!, 1, [one]);
  expect(bridleOf(bridledTo(withOne, withOne.pickUps[0]!, c, b)).legs).toEqual([
    { pointId: 'p-c', parts: bridle.legs[0]!.parts },
    { pointId: 'p-b', parts: [one] },
  ]);
});
