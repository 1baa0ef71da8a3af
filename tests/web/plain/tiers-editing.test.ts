import { describe, expect, test } from 'vitest';
import { pointIdsOf } from '../../../src/domain/plan/attachment-places.ts';
import { checkPlan } from '../../../src/domain/plan/check-plan.ts';
import type { Hang, PickUp, Tier } from '../../../src/domain/plan/plan.ts';
import type { RoofPoint } from '../../../src/domain/roof/structure.ts';
import { movedUnder, tieredTo } from '../../../src/web/plan-editing/edit-hang.ts';
import {
  laidOut,
  mayHangFrom,
  pointForLeg,
  withLegChange,
  withLegEnd,
  withTier,
  withTierKind,
  withTiers,
  type LegEnd,
  type Tiers,
} from '../../../src/web/plan-editing/edit-tiers.ts';
import { assessed, checkIn, direct, pickUp, planOf, roofOf, SHOW, single } from '../../domain/plan-samples.ts';
import { point } from '../../domain/roof-samples.ts';

// On no common grid, and at two heights.
const at = (id: string, xM: number, yM: number, zM = 14): RoofPoint =>
  point(id, { xM, yM, zM, wllKg: 2000, on: [], maxAngleDeg: 80, maxSidewaysKn: 90 });
const POINTS = [
  at('a', 0, 0),
  at('b', 3, 0.5),
  at('c', 5, 2),
  at('d', 5.5, 6, 13),
  at('e', -2, 4, 12.5),
  at('f', 1, 7),
  at('g', 8, 1),
  at('h', 9, 5),
];
const [A, B] = POINTS as [RoofPoint, RoofPoint];
const roof = roofOf({ points: POINTS, limits: [] });
const near = (value: number) => expect.closeTo(value, 9) as number;

const attachmentOf = ({ pickUps }: Hang): Tiers => {
  const { attachment } = pickUps[0]!;
  if (attachment.kind !== 'tiers') throw new Error('no tiers');
  return attachment;
};
const HOOK: Partial<PickUp> = { position: { xM: 0, yM: 0, zM: 6 }, hoist: null, attachment: direct('a') };
const plain = single('h', { pickUps: [pickUp('h-1', HOOK)] });
const START = attachmentOf(tieredTo(plain, plain.pickUps[0]!, A, B));
const grown = (...steps: ((all: Tiers) => Tiers)[]): Tiers => steps.reduce((all, step) => step(all), START);
const leg = (id: string, index: number, end: LegEnd) => (all: Tiers) => withLegEnd(all, id, index, end, POINTS);
const kind = (id: string, as: Tier['kind']) => (all: Tiers) => withTierKind(all, id, as, POINTS);
const assessedOn = (all: Tiers) => {
  const hang = withTiers(plain, plain.pickUps[0]!, all);
  expect(checkPlan(planOf([hang]), SHOW)).toMatchObject({ ok: true });
  return assessed(planOf([hang]), { roof });
};

describe('tiers grown from one ring', () => {
  test('begin with the two legs that the hook hangs on, at the same places, and go back to one point', () => {
    expect(START).toMatchObject({ foot: { tierId: '1', atM: null }, tiers: [{ kind: 'ring', apex: { xM: 1.5, yM: 0.25 } }] });
    expect(pointIdsOf(START)).toEqual(['a', 'b']);
    const hang = withTiers(plain, plain.pickUps[0]!, START);
    expect(pointIdsOf(movedUnder(hang, hang.pickUps[0]!, A).pickUps[0]!.attachment)).toEqual(['a']);
  });

  // Each solved by the statics of the domain, which knows nothing of how they were laid out.
  const SHAPES: readonly (readonly [string, Tiers, points: number])[] = [
    ['one ring', grown(leg('1', 1, { pointId: 'd' })), 2],
    ['a ring above one leg', grown(leg('1', 0, { make: 'ring' })), 3],
    ['a ring above each leg', grown(leg('1', 0, { make: 'ring' }), leg('1', 1, { make: 'ring' })), 4],
    ['three rings one above the other', grown(leg('1', 0, { make: 'ring' }), leg('2', 1, { make: 'ring' })), 4],
    ['a bar', grown(kind('1', 'spreader')), 2],
    ['a bar between points of two heights', grown(kind('1', 'spreader'), leg('1', 0, { pointId: 'e' })), 2],
    ['a bar on two bridles', grown(kind('1', 'spreader'), leg('1', 0, { make: 'ring' }), leg('1', 1, { make: 'ring' })), 4],
    ['a bar above one leg of a ring', grown(leg('1', 0, { make: 'spreader' })), 3],
    ['a ring below the two ends of a bar', grown(leg('1', 0, { make: 'spreader' }), leg('1', 1, { tierId: '2' })), 2],
    [
      'a ring below a bar on two bridles',
      grown(leg('1', 0, { make: 'spreader' }), leg('1', 1, { tierId: '2' }), leg('2', 0, { make: 'ring' }), leg('2', 1, { make: 'ring' })),
      4,
    ],
    ['a bar below a bar', grown(kind('1', 'spreader'), leg('1', 0, { make: 'spreader' })), 3],
  ];
  test.each(SHAPES)('%s hangs where it is put, and its points carry all of it', (_name, all, count) => {
    const found = assessedOn(all);
    expect(checkIn(found, 'leg:h:h-1:offVertical').demand).toBeLessThan(80);
    const resting = found.outcome.loads.filter((load) => load.case === 'resting');
    expect(resting.map(({ pointId }) => pointId).sort()).toEqual(pointIdsOf(all).sort());
    expect(resting).toHaveLength(count);
    const sum = (of: 'xKn' | 'yKn' | 'downKn') => resting.reduce((total, load) => total + load[of], 0);
    expect([sum('xKn'), sum('yKn'), sum('downKn')]).toEqual([near(0), near(0), near((400 * 9.80665) / 1000)]);
  });

  test('what nothing hangs from any more goes, and no leg may go round', () => {
    const all = grown(leg('1', 0, { make: 'ring' }), leg('2', 1, { make: 'ring' }));
    expect(all.tiers.map(({ id }) => id)).toEqual(['1', '2', '3']);
    expect(mayHangFrom(all, '2').map(({ id }) => id)).toEqual(['3']);
    expect(mayHangFrom(all, '1').map(({ id }) => id)).toEqual(['2', '3']);
    const cut = leg('1', 0, { pointId: 'h' })(all);
    expect(cut.tiers.map(({ id }) => id)).toEqual(['1']);
    expect(pointForLeg(cut, { to: { pointId: 'a' }, parts: [] }, POINTS)?.id).toBe('a');
    expect(pointForLeg(START, { to: { pointId: 'a' }, parts: [] }, POINTS)?.id).toBe('e');
  });

  test('numbers that are typed stay until legs change, and the hook goes where its line ends', () => {
    const [ring] = START.tiers;
    if (ring?.kind !== 'ring') throw new Error('a ring');
    const lower = withTier(START, { ...ring, apex: { ...ring.apex, xM: 1, zM: 9 } });
    const hang = withTiers(plain, plain.pickUps[0]!, lower);
    expect(hang.pickUps[0]!.position).toEqual({ xM: 1, yM: 0.25, zM: 6 });
    const parts = [{ equipment: 'steel', count: 2, hitch: 'straight' as const }];
    expect(withLegChange(lower, '1', 1, { parts }).tiers[0]).toMatchObject({ apex: { zM: 9 }, legs: [{ parts: [] }, { parts }] });
    expect(laidOut(lower, POINTS)).toMatchObject({ tiers: [{ apex: { xM: near(1.5), yM: near(0.25) } }] });
    // A tier that two legs share, from two rings: where it can hang does not follow, and it stays.
    const shared = grown(leg('1', 0, { make: 'ring' }), leg('1', 1, { make: 'ring' }), leg('2', 0, { tierId: '3' }));
    expect(laidOut(shared, POINTS)).toBe(shared);
  });
});
