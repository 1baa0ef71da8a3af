import type { ArrayBuild, Hang, Plan, PickUp, Tier } from '../../domain/plan/plan.ts';
import type { RoofPoint } from '../../domain/roof/structure.ts';
import { pickUpAt } from './new-hang.ts';

/** Puts a new hang in the place of the old one and leaves every other the very same object, which is what keeps live checks quick. */
export const withHang = (plan: Plan, hang: Hang): Plan => ({ ...plan, hangs: plan.hangs.map((one) => (one.id === hang.id ? hang : one)) });

const withPickUp = <H extends Hang>(hang: H, pickUp: PickUp): H => ({
  ...hang,
  pickUps: hang.pickUps.map((one) => (one.id === pickUp.id ? pickUp : one)),
});

/** Straight under another point: the whole hang moves along, with its outline. */
export function movedUnder(hang: Hang, pickUp: PickUp, point: RoofPoint): Hang {
  const [dx, dy] = [point.xM - pickUp.position.xM, point.yM - pickUp.position.yM];
  const parts = pickUp.attachment.kind === 'direct' ? pickUp.attachment.parts : [];
  const moved = withPickUp(hang, {
    ...pickUp,
    position: { ...pickUp.position, xM: point.xM, yM: point.yM },
    attachment: { kind: 'direct', pointId: point.id, parts },
  });
  const isOnly = hang.pickUps.length === 1;
  return { ...moved, box: isOnly && hang.box !== null ? { ...hang.box, xM: hang.box.xM + dx, yM: hang.box.yM + dy } : hang.box };
}

const APEX_DROP = 0.5; // of the distance of the two points: 45° legs, to be set right by whoever plans

/** On two legs instead of straight up, or on two others: the apex starts half way between the points, and the pick-up under it. */
export function bridledTo(hang: Hang, pickUp: PickUp, a: RoofPoint, b: RoofPoint): Hang {
  const apart = Math.sqrt((a.xM - b.xM) ** 2 + (a.yM - b.yM) ** 2);
  const apex = { xM: (a.xM + b.xM) / 2, yM: (a.yM + b.yM) / 2, zM: Math.min(a.zM, b.zM) - Math.max(0.3, apart * APEX_DROP) };
  const before = pickUp.attachment;
  const partsOf = (leg: number) =>
    before.kind === 'direct' ? before.parts : before.kind === 'bridle' ? (before.legs[leg]?.parts ?? []) : [];
  return withPickUp(hang, {
    ...pickUp,
    position: { xM: apex.xM, yM: apex.yM, zM: Math.min(pickUp.position.zM ?? apex.zM, apex.zM) },
    attachment: {
      kind: 'bridle',
      apex,
      legs: [
        { pointId: a.id, parts: partsOf(0) },
        { pointId: b.id, parts: partsOf(1) },
      ],
      apexParts: before.kind === 'bridle' ? before.apexParts : [],
    },
  });
}

/** The same two legs as the first of tiers, at a ring: others can then be put above it. */
export function tieredTo(hang: Hang, pickUp: PickUp, a: RoofPoint, b: RoofPoint): Hang {
  const { attachment: before } = pickUp;
  const isOnTwo = before.kind === 'bridle' && before.legs.length === 2;
  const bridled = isOnTwo ? pickUp : bridledTo(hang, pickUp, a, b).pickUps.find(({ id }) => id === pickUp.id);
  if (bridled?.attachment.kind !== 'bridle') return hang;
  const { apex, apexParts, legs } = bridled.attachment;
  const ring: Tier = {
    kind: 'ring',
    id: '1',
    apex,
    parts: apexParts,
    legs: legs.map(({ pointId, parts }) => ({ to: { pointId }, parts })),
  };
  return withPickUp(hang, { ...bridled, attachment: { kind: 'tiers', foot: { tierId: ring.id, atM: null, parts: [] }, tiers: [ring] } });
}

/** Further down or up: legs get longer or flatter. */
export function withApexAt(hang: Hang, pickUp: PickUp, zM: number): Hang {
  if (pickUp.attachment.kind !== 'bridle') return hang;
  return withPickUp(hang, { ...pickUp, attachment: { ...pickUp.attachment, apex: { ...pickUp.attachment.apex, zM } } });
}

/** Another point for one leg of three or more: the apex stays as high, in the middle of the points. */
export function withLegAt(hang: Hang, pickUp: PickUp, index: number, point: RoofPoint, points: readonly RoofPoint[]): Hang {
  if (pickUp.attachment.kind !== 'bridle') return hang;
  const legs = pickUp.attachment.legs.map((leg, at) => (at === index ? { ...leg, pointId: point.id } : leg));
  const places = legs.flatMap(({ pointId }) => points.find(({ id }) => id === pointId) ?? []);
  const middle = (of: 'xM' | 'yM') => places.reduce((sum, place) => sum + place[of], 0) / places.length;
  const apex = { ...pickUp.attachment.apex, xM: middle('xM'), yM: middle('yM') };
  return withPickUpChange(hang, pickUp, {
    attachment: { ...pickUp.attachment, legs, apex },
    position: { ...pickUp.position, xM: apex.xM, yM: apex.yM },
  });
}

export const withPickUpChange = (hang: Hang, pickUp: PickUp, change: Partial<PickUp>): Hang => withPickUp(hang, { ...pickUp, ...change });

type ArrayHang = Extract<Hang, { kind: 'array' }>;

/** A second hoist on the rear hole, under a point of its own. */
export function withSecondHoist(plan: Plan, hang: ArrayHang, point: RoofPoint, newId: () => string): ArrayHang {
  const [first] = hang.pickUps;
  if (!first || hang.build === null || hang.pickUps.length > 1) return hang;
  const made = pickUpAt(plan, point, first.hoist?.equipment ?? '', newId(), `${first.chalk} rear`);
  const second = { ...made, hoist: first.hoist, position: { ...made.position, zM: first.position.zM } };
  return {
    ...hang,
    pickUps: [first, second],
    build: { ...hang.build, holes: [...hang.build.holes, { pickUpId: second.id, holeId: 'rear' }] },
  };
}

export const withBuild = (hang: ArrayHang, change: Partial<ArrayBuild>): ArrayHang =>
  hang.build === null ? hang : { ...hang, build: { ...hang.build, ...change } };
