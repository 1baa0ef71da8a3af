import { atan2, radToDeg } from '../../domain/foundation/elementary.ts';
import type { Hang, PickUp, Plan, TrussFrameBuild, TrussLoads } from '../../domain/plan/plan.ts';
import type { RoofPoint } from '../../domain/roof/structure.ts';
import { pickUpAt, rectangle, type Rectangle } from './new-hang.ts';

export type FrameHang = Extract<Hang, { kind: 'trussFrame' }> & { build: TrussFrameBuild };
export const isBuiltFrame = (hang: Hang): hang is FrameHang => hang.kind === 'trussFrame' && hang.build !== null;

type Across = { readonly xM: number; readonly yM: number };
type OnSide = { readonly side: number; readonly atM: number };
const SAME_PLACE_M = 0.001; // closer than this, two places are one point on any drawing that we can receive
const NO_LOADS: TrussLoads = { pointLoads: [], spreadLoads: [] };

const apartM = (a: Across, b: Across): number => Math.sqrt((a.xM - b.xM) ** 2 + (a.yM - b.yM) ** 2);

/** From corner to corner, in their order; of a closed one back to the first. */
export function sidesOf({
  corners,
  closed,
}: TrussFrameBuild): readonly { readonly from: Across; readonly to: Across; readonly lengthM: number }[] {
  return corners.flatMap((from, index) => {
    const to = corners[index + 1] ?? (closed && corners.length > 2 ? corners[0] : undefined);
    return to ? [{ from, to, lengthM: apartM(from, to) }] : [];
  });
}

export function placeOnSide(build: TrussFrameBuild, { side, atM }: OnSide): Across | null {
  const found = sidesOf(build)[side];
  if (found === undefined) return null;
  const share = found.lengthM === 0 ? 0 : atM / found.lengthM;
  return { xM: found.from.xM + share * (found.to.xM - found.from.xM), yM: found.from.yM + share * (found.to.yM - found.from.yM) };
}

/** Where on the frame is nearest to a place in plan. */
export function nearestOn(build: TrussFrameBuild, place: Across): OnSide {
  const spots = sidesOf(build).map(({ from, to, lengthM }, side) => {
    const alongM = lengthM === 0 ? 0 : ((place.xM - from.xM) * (to.xM - from.xM) + (place.yM - from.yM) * (to.yM - from.yM)) / lengthM;
    const atM = Math.max(0, Math.min(lengthM, alongM));
    return { side, atM, farM: apartM(placeOnSide(build, { side, atM }) ?? from, place) };
  });
  const first = { side: 0, atM: 0, farM: Infinity };
  const { side, atM } = spots.reduce((best, spot) => (spot.farM < best.farM - SAME_PLACE_M ? spot : best), first);
  return { side, atM };
}

/** Every hoist where the frame has it, out of level as it says; as high as they are. */
function placed(hang: FrameHang, heightM = heightOf(hang)): FrameHang {
  const pickUps = hang.pickUps.map((pickUp): PickUp => {
    const on = hang.build.pickUps.find(({ pickUpId }) => pickUpId === pickUp.id);
    const place = on && placeOnSide(hang.build, on);
    return on && place ? { ...pickUp, position: { ...place, zM: heightM === null ? null : heightM + on.levelMm / 1000 } } : pickUp;
  });
  return { ...hang, pickUps };
}

/** Of its pick-ups when level; null where it is not stated. */
export function heightOf({ pickUps, build }: FrameHang): number | null {
  const [first] = pickUps;
  const levelMm = build.pickUps.find(({ pickUpId }) => pickUpId === first?.id)?.levelMm ?? 0;
  return first?.position.zM === null || first === undefined ? null : first.position.zM - levelMm / 1000;
}
export const withHeight = (hang: FrameHang, heightM: number | null): FrameHang => placed(hang, heightM);

export const withFrame = (hang: FrameHang, change: Partial<TrussFrameBuild>): FrameHang => {
  const heightM = heightOf(hang);
  return placed({ ...hang, build: { ...hang.build, ...change } }, heightM);
};

/** Another shape: what hangs on a side stays on it, hoists on a side that is gone go to the nearest, none beyond its end. */
export function withShape(hang: FrameHang, shape: Pick<TrussFrameBuild, 'corners' | 'closed'>): FrameHang {
  const build: TrussFrameBuild = { ...hang.build, ...shape };
  const sides = sidesOf(build);
  const pickUps = build.pickUps.map((on) => {
    const side = sides[on.side];
    const place = hang.pickUps.find(({ id }) => id === on.pickUpId)?.position;
    if (side === undefined) return place ? { ...on, ...nearestOn(build, place) } : on;
    return { ...on, atM: Math.max(0, Math.min(side.lengthM, on.atM)) };
  });
  return withFrame(hang, { ...shape, pickUps, sides: sides.map((_, index) => build.sides[index] ?? NO_LOADS) });
}

/** The rectangle that it is; null for any other shape. Its width is negative where it lies to the right of its length. */
export function rectangleOf({ corners, closed }: TrussFrameBuild): Rectangle | null {
  const [a, b, c, d] = corners;
  if (!closed || corners.length !== 4 || !a || !b || !c || !d) return null;
  const [lengthM, acrossM] = [apartM(a, b), apartM(b, c)];
  if (lengthM < SAME_PLACE_M || acrossM < SAME_PLACE_M) return null;
  const azimuthDeg = radToDeg(atan2(b.yM - a.yM, b.xM - a.xM));
  const isLeft = (b.xM - a.xM) * (c.yM - b.yM) - (b.yM - a.yM) * (c.xM - b.xM) > 0;
  const found = { xM: a.xM, yM: a.yM, azimuthDeg, lengthM, widthM: isLeft ? acrossM : -acrossM };
  const isSo = rectangle(found).every((corner, index) => apartM(corner, corners[index] ?? a) < SAME_PLACE_M);
  return isSo ? found : null;
}
export const withRectangle = (hang: FrameHang, change: Partial<Rectangle>): FrameHang => {
  const now = rectangleOf(hang.build);
  return now === null ? hang : withShape(hang, { closed: true, corners: rectangle({ ...now, ...change }) });
};

/**
 * One more hoist under a point, where the frame is nearest to it. Of a rectangle the second makes the length reach from the first to it, and
 * the third the width.
 */
export function withFrameHoist(plan: Plan, hang: FrameHang, point: RoofPoint, newId: () => string): FrameHang {
  const [first] = hang.pickUps;
  const heightM = heightOf(hang);
  const shaped = reaching(hang, point);
  const chalk = `${hang.label}-${hang.pickUps.length + 1}`;
  const made = { ...pickUpAt(plan, point, first?.hoist?.equipment ?? '', newId(), chalk), hoist: first?.hoist ?? null };
  const on = { pickUpId: made.id, ...nearestOn(shaped.build, point), levelMm: 0 };
  return placed(
    { ...shaped, pickUps: [...shaped.pickUps, made], build: { ...shaped.build, pickUps: [...shaped.build.pickUps, on] } },
    heightM,
  );
}

function reaching(hang: FrameHang, point: RoofPoint): FrameHang {
  const [now, [first]] = [rectangleOf(hang.build), hang.pickUps];
  if (now === null || first === undefined || hang.pickUps.length > 2) return hang;
  const [dx, dy] = [point.xM - now.xM, point.yM - now.yM];
  if (hang.pickUps.length === 1) {
    const lengthM = Math.sqrt(dx * dx + dy * dy);
    const isAtCorner = apartM(first.position, now) < SAME_PLACE_M;
    return !isAtCorner || lengthM < SAME_PLACE_M ? hang : withRectangle(hang, { lengthM, azimuthDeg: radToDeg(atan2(dy, dx)) });
  }
  const [corner, next] = hang.build.corners;
  if (!corner || !next) return hang;
  const widthM = ((next.xM - corner.xM) * dy - (next.yM - corner.yM) * dx) / now.lengthM;
  return Math.abs(widthM) < SAME_PLACE_M ? hang : withRectangle(hang, { widthM });
}

export const withoutFrameHoist = (hang: FrameHang, pickUpId: string): FrameHang => ({
  ...hang,
  pickUps: hang.pickUps.filter(({ id }) => id !== pickUpId),
  build: { ...hang.build, pickUps: hang.build.pickUps.filter((one) => one.pickUpId !== pickUpId) },
});

export const withFrameStation = (hang: FrameHang, pickUpId: string, change: Partial<OnSide & { levelMm: number }>): FrameHang =>
  withFrame(hang, { pickUps: hang.build.pickUps.map((one) => (one.pickUpId === pickUpId ? { ...one, ...change } : one)) });

/** A hoist under another point: where the frame is nearest to it. The frame stays where it is; one on a single hoist goes along. */
export function frameFollowedBy(before: FrameHang, after: Hang, pickUpId: string): Hang {
  if (!isBuiltFrame(after)) return after;
  const [was, now] = [before, after].map(({ pickUps }) => pickUps.find(({ id }) => id === pickUpId)?.position);
  if (!was || !now || apartM(was, now) === 0) return after;
  if (after.pickUps.length === 1) {
    const corners = after.build.corners.map(({ xM, yM }) => ({ xM: xM + now.xM - was.xM, yM: yM + now.yM - was.yM }));
    return { ...after, build: { ...after.build, corners } };
  }
  const moved = {
    ...after,
    build: {
      ...after.build,
      pickUps: after.build.pickUps.map((one) => (one.pickUpId === pickUpId ? { ...one, ...nearestOn(after.build, now) } : one)),
    },
  };
  return placed(moved, heightOf(before));
}

/** Every hoist that goes straight up where the frame is nearest to its point. */
export function withHoistsUnderPoints(hang: FrameHang, points: readonly RoofPoint[]): FrameHang {
  const pickUps = hang.build.pickUps.map((on) => {
    const attachment = hang.pickUps.find(({ id }) => id === on.pickUpId)?.attachment;
    const point = attachment?.kind === 'direct' ? points.find(({ id }) => id === attachment.pointId) : undefined;
    return point ? { ...on, ...nearestOn(hang.build, point) } : on;
  });
  return withFrame(hang, { pickUps });
}
