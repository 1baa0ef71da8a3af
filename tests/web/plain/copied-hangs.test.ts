import { expect, test } from 'vitest';
import { checkPlan } from '../../../src/domain/plan/check-plan.ts';
import { EMPTY_PLAN, type Hang, type Plan } from '../../../src/domain/plan/plan.ts';
import { copiedHangs } from '../../../src/web/plan-editing/copied-hangs.ts';
import { bridledTo, movedUnder, withHang, withPickUpChange, withSecondHoist } from '../../../src/web/plan-editing/edit-hang.ts';
import { hangUnder } from '../../../src/web/plan-editing/new-hang.ts';
import { pointAt } from '../../support/scene.ts';

const SHOW = { from: '2027-02-01T00:00:00.000Z', to: '2027-02-02T00:00:00.000Z' };
const [A, B] = [pointAt('A', 0, 0, 1000, 'a'), pointAt('B', 4, 0, 1000, 'b')];
const [NEAR, FAR] = [pointAt('X1', 0.5, 0.2, 500, 'near'), pointAt('X2', 5, 0, 500, 'far')];
const ids = (prefix: string) => {
  let next = 0;
  return () => `${prefix}-${(next += 1)}`;
};

/** An array on two hoists, and a pick on a bridle, with a time of its own within its show. */
function touring(): { plan: Plan; array: Hang; bridled: Hang } {
  const first = hangUnder(EMPTY_PLAN, A, 'array', 'Array', ids('h'));
  const bare = first.plan.hangs[0]!;
  if (bare.kind !== 'array') throw new Error('not an array');
  const second = hangUnder(withHang(first.plan, withSecondHoist(first.plan, bare, B, ids('p'))), A, 'single', 'Pick', ids('s'));
  const pick = second.plan.hangs[1]!;
  const bridled = { ...bridledTo(pick, pick.pickUps[0]!, A, B), up: { from: SHOW.from, to: SHOW.to } };
  const plan = withHang(second.plan, bridled);
  return { plan, array: plan.hangs[0]!, bridled };
}

test('on the same roof a copied hang goes to the points that it had, under ids of its own', () => {
  const { plan, array, bridled } = touring();
  const roof = { points: [A, B] };
  const copied = copiedHangs(plan, roof, { plan, roof }, new Set([array.id, bridled.id]), ids('n'));
  expect(copied).toMatchObject({ rebound: 0, hangIds: [expect.any(String), expect.any(String)] });
  expect(checkPlan(copied.plan, SHOW).ok).toBe(true); // no id twice, and every hole has its pick-up
  expect(copied.plan.hangs.slice(0, 2)).toEqual(plan.hangs);
  expect(copied.plan.equipment).toEqual(plan.equipment);
  const [again, pick] = copied.plan.hangs.slice(2);
  if (again?.kind !== 'array') throw new Error('not an array');
  expect(again.pickUps.map(({ attachment }) => attachment)).toEqual(array.pickUps.map(({ attachment }) => attachment));
  expect(again.build?.holes.map(({ pickUpId }) => pickUpId)).toEqual(again.pickUps.map(({ id }) => id));
  expect(pick!.up).toBeNull();
});

test('on another roof each way up goes to the nearest point, and how many did is told', () => {
  const { plan, bridled } = touring();
  const copied = copiedHangs(EMPTY_PLAN, { points: [FAR, NEAR] }, { plan, roof: { points: [A, B] } }, new Set([bridled.id]), ids('n'));
  expect(copied.rebound).toBe(2);
  expect(copied.plan.hangs).toHaveLength(1);
  expect(copied.plan.hangs[0]!.pickUps[0]!.attachment).toMatchObject({ legs: [{ pointId: 'near' }, { pointId: 'far' }] });
});

test('a name that stands for other equipment here gets a new one, and what hangs here keeps its own', () => {
  const { plan, bridled } = touring();
  const [name, used] = Object.entries(plan.equipment)[0]!;
  const here: Plan = { ...EMPTY_PLAN, equipment: { [name]: { ...used, data: { ...used.data, name: 'Another' } } } };
  const roof = { points: [A, B] };
  const copied = copiedHangs(here, roof, { plan, roof }, new Set([bridled.id]), ids('n'));
  expect(copied.plan.equipment).toEqual({ ...here.equipment, [`${name} 2`]: used });
  expect(copied.plan.hangs[0]!.pickUps[0]!.hoist?.equipment).toBe(`${name} 2`);
});

test('tiers and lines off plumb come along whole, to points of this roof and under ids of their own', () => {
  const { plan, bridled } = touring();
  const [pickUp] = bridled.pickUps;
  const legs = ['a', 'b'].map((pointId) => ({ to: { pointId }, parts: [] }));
  const tiers = [{ kind: 'ring' as const, id: 'low', apex: { xM: 2, yM: 0, zM: 8 }, parts: [], legs }];
  const line = { kind: 'guy' as const, at: null, parts: [], pretensionKn: 1 };
  const tiered: Hang = {
    ...bridled,
    pickUps: [{ ...pickUp!, attachment: { kind: 'tiers', foot: { tierId: 'low', atM: null, parts: [] }, tiers } }],
  };
  const held: Hang = {
    ...bridled,
    ...{ id: 'held', linesOffPlumb: [{ ...line, id: 'guy-1', to: { pointId: 'b' } }] },
    pickUps: [{ ...pickUp!, id: 'held-1', attachment: { kind: 'direct', pointId: 'a', parts: [] } }],
  };
  const from = { plan: { ...plan, hangs: [tiered, held] }, roof: { points: [A, B] } };
  const copied = copiedHangs(EMPTY_PLAN, { points: [FAR, NEAR] }, from, new Set([tiered.id, held.id]), ids('n'));
  expect(copied.rebound).toBe(2);
  const moved = legs.map((leg, n) => ({ ...leg, to: { pointId: n === 0 ? 'near' : 'far' } }));
  expect(copied.plan.hangs[0]!.pickUps[0]!.attachment).toEqual({
    kind: 'tiers',
    foot: { tierId: 'low', atM: null, parts: [] },
    tiers: [{ ...tiers[0]!, legs: moved }],
  });
  const [guy] = copied.plan.hangs[1]!.linesOffPlumb ?? [];
  expect(guy).toEqual({ ...line, id: expect.stringMatching(/^n-/) as string, to: { pointId: 'far' } });
  // Put beside itself, nothing is there twice.
  const twice = copiedHangs(from.plan, from.roof, from, new Set([tiered.id, held.id]), ids('m'));
  expect(checkPlan(twice.plan, SHOW)).toMatchObject({ ok: true });
});

test('what the editor changes of a hang leaves its lines off plumb, and the tiers of other pick-ups, as they are', () => {
  const { plan, array } = touring();
  const lines = [{ id: 'l', kind: 'guy' as const, at: null, to: { pointId: 'b' }, parts: [], pretensionKn: 1 }];
  const held = { ...array, linesOffPlumb: lines };
  for (const changed of [
    movedUnder(held, held.pickUps[0]!, B),
    bridledTo(held, held.pickUps[0]!, A, B),
    withPickUpChange(held, held.pickUps[0]!, { chalk: 'x' }),
  ])
    expect(changed.linesOffPlumb).toBe(lines);
  expect(withHang(plan, held).hangs.find(({ id }) => id === held.id)).toBe(held);
});
