import { expect, test } from 'vitest';
import { checkPlan } from '../../../src/domain/plan/check-plan.ts';
import { EMPTY_PLAN, type Hang, type Plan } from '../../../src/domain/plan/plan.ts';
import { arrayOutline } from '../../../src/web/elevation/array-outline.ts';
import { bridledTo, movedUnder, withApexAt, withBuild, withHang, withSecondHoist } from '../../../src/web/plan-editing/edit-hang.ts';
import { cabinet, cabinetFacts, hangUnder } from '../../../src/web/plan-editing/new-hang.ts';
import { hangChanges } from '../../../src/web/pages/review/plan-changes.ts';
import { pointAt } from '../../support/scene.ts';

const SHOW = { from: '2027-02-01T00:00:00.000Z', to: '2027-02-02T00:00:00.000Z' };
const [A, B] = [pointAt('A', 0, 0, 1000, 'a'), pointAt('B', 4, 0, 1000, 'b')];
const ids = (prefix: string) => {
  let next = 0;
  return () => `${prefix}-${(next += 1)}`;
};
const one = (kind: 'single' | 'array'): { plan: Plan; hang: Hang } => {
  const { plan, hangId } = hangUnder(EMPTY_PLAN, A, kind, 'New', ids('h'));
  return { plan, hang: plan.hangs.find(({ id }) => id === hangId)! };
};

test.each(['single', 'array'] as const)('a new %s is a possible plan, and no mass of it is made up', (kind) => {
  const { plan, hang } = one(kind);
  expect(checkPlan(plan, SHOW).ok).toBe(true);
  expect(JSON.stringify({ hang, equipment: plan.equipment })).not.toMatch(/"(massKg|bodyKg|wllKg)":\d/);
  expect(hang.pickUps[0]!.attachment).toMatchObject({ kind: 'direct', pointId: 'a' });
});

test('a second hang takes the hoist that is there', () => {
  const { plan } = one('single');
  const again = hangUnder(plan, B, 'single', 'Other', ids('o')).plan;
  expect(Object.keys(again.equipment)).toEqual(Object.keys(plan.equipment));
  expect(again.hangs[0]).toBe(plan.hangs[0]); // the very same object: live checks know it again
});

test('moving a hang takes its outline along, and touches no other', () => {
  const { plan, hang } = one('single');
  const boxed: Hang = { ...hang, box: { xM: 0.5, yM: 0, alongM: 1, acrossM: 1, azimuthDeg: 0, bottomZM: 5, topZM: 6 } };
  const moved = movedUnder(boxed, boxed.pickUps[0]!, B);
  expect(moved.box).toMatchObject({ xM: 4.5, yM: 0 });
  expect(moved.pickUps[0]).toMatchObject({ position: { xM: 4, yM: 0 }, attachment: { pointId: 'b' } });
  expect(withHang(plan, moved).hangs).toHaveLength(1);
});

test('on two legs the apex hangs half way, legs at 45 degrees, and may be lowered', () => {
  const { plan, hang } = one('single');
  const bridled = bridledTo(hang, hang.pickUps[0]!, A, B);
  expect(bridled.pickUps[0]!.attachment).toMatchObject({ kind: 'bridle', apex: { xM: 2, yM: 0, zM: 12 } }); // points at 14 m, 4 m apart
  const lower = withApexAt(bridled, bridled.pickUps[0]!, 10);
  expect(lower.pickUps[0]!.attachment).toMatchObject({ apex: { zM: 10 } });
  expect(checkPlan(withHang(plan, lower), SHOW).ok).toBe(true);
});

test('an array grows cabinet by cabinet, and its outline follows its pitch and splays', () => {
  const { plan, hang } = one('array');
  if (hang.kind !== 'array') throw new Error('not an array');
  const facts = { massKg: 40, basis: 'documented' as const, heightM: 0.35, depthM: 0.7 };
  const elements = [0, 2, 4].map((splayDeg) => cabinet({ ...facts, splayDeg }));
  const built = withBuild(withSecondHoist(plan, hang, B, ids('s')), {
    elements,
    framePitchDeg: 3,
    frame: { ...hang.build!.frame, massKg: 50, basis: 'documented' },
  });
  expect(cabinetFacts(elements[1]!)).toEqual({ ...facts, splayDeg: 2 });
  const drawn = arrayOutline(built.build!, ['front', 'rear']);
  if (!drawn.ok) throw new Error(drawn.code);
  const { outline } = drawn;
  // Pitch of cabinet k = frame pitch less the splays down to it.
  expect(outline.elements.map(({ pitchDeg }) => pitchDeg)).toEqual([3, 1, -3].map((deg) => expect.closeTo(deg, 9) as number));
  expect(outline.totalMassKg).toBe(170);
  expect(outline.reactions.reduce((sum, { massKg }) => sum + massKg, 0)).toBeCloseTo(170, 6);
  expect(outline.isIncomplete).toBe(false);
  expect(checkPlan(withHang(plan, built), SHOW).ok).toBe(true);
});

test('with a mass that is not stated the outline says so, and none at all is no drawing', () => {
  const { hang } = one('array');
  if (hang.kind !== 'array') throw new Error('not an array');
  expect(arrayOutline(hang.build!, ['front'])).toMatchObject({ ok: false });
  const half = withBuild(hang, { frame: { ...hang.build!.frame, massKg: 50 } });
  expect(arrayOutline(half.build!, ['front'])).toMatchObject({ ok: true, outline: { isIncomplete: true } });
  expect(arrayOutline(half.build!, [])).toEqual({ ok: false, code: 'hole-not-stated' });
});

test('what changed between two submissions: new, gone, heavier, moved; and nothing where nothing did', () => {
  const { plan, hang } = one('single');
  const weighed = withHang(plan, { ...hang, items: [{ what: 'x', count: 2, massKg: 50, basis: 'weighed' }] });
  const heavier = withHang(plan, { ...hang, items: [{ what: 'x', count: 2, massKg: 60, basis: 'weighed' }] });
  expect(hangChanges(weighed, structuredClone(weighed))).toEqual([]);
  expect(hangChanges(weighed, heavier)).toMatchObject([{ kind: 'changed', massBeforeKg: 100, massKg: 120, moved: false }]);
  expect(hangChanges(weighed, withHang(weighed, movedUnder(weighed.hangs[0]!, weighed.hangs[0]!.pickUps[0]!, B)))).toMatchObject([
    { moved: true },
  ]);
  expect(hangChanges(EMPTY_PLAN, weighed)).toMatchObject([{ kind: 'added', massBeforeKg: null, massKg: 100 }]);
  expect(hangChanges(weighed, EMPTY_PLAN)).toMatchObject([{ kind: 'removed', massKg: null }]);
});
