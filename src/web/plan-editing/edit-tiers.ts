import { barLengthM, legsOf, placeOnTier, pointIdsOf, wayPieces } from '../../domain/plan/attachment-places.ts';
import type { Attachment, Hang, PickUp, Position, Tier, TierLeg } from '../../domain/plan/plan.ts';
import type { RoofPoint } from '../../domain/roof/structure.ts';
import { withPickUpChange } from './edit-hang.ts';

export type Tiers = Extract<Attachment, { kind: 'tiers' }>;
type Spreader = Extract<Tier, { kind: 'spreader' }>;
/** What a leg can be made to go to: a point, a tier that is there, or a new one in between. */
export type LegEnd = { pointId: string } | { tierId: string } | { make: Tier['kind'] };

const LEAST_DROP_M = 1;
const HALF = 0.5;
const FLAT_SLOPE = 0.95; // a little steeper than 45°, from which policies call a leg close
const MOST_DROP_OF_SPAN = 1.5;
const DEEPER = 1.2;

const plus = (a: Position, b: Position): Position => ({ xM: a.xM + b.xM, yM: a.yM + b.yM, zM: a.zM + b.zM });
const times = (a: Position, by: number): Position => ({ xM: a.xM * by, yM: a.yM * by, zM: a.zM * by });
const middle = (a: Position, b: Position): Position => times(plus(a, b), HALF);
const apartInPlanM = (a: Position, b: Position): number => Math.sqrt((a.xM - b.xM) ** 2 + (a.yM - b.yM) ** 2);

const tierOf = ({ tiers }: Tiers, id: string): Tier | undefined => tiers.find((tier) => tier.id === id);
export const withTier = (all: Tiers, tier: Tier): Tiers => ({ ...all, tiers: all.tiers.map((one) => (one.id === tier.id ? tier : one)) });
function withLegs(tier: Tier, change: (leg: TierLeg, index: number) => TierLeg): Tier {
  if (tier.kind === 'ring') return { ...tier, legs: tier.legs.map(change) };
  return { ...tier, lines: tier.lines.map((line, index) => ({ ...line, ...change(line, index) })) };
}

/** Tiers that hang from this one, however many are between; itself too. */
function below(all: Tiers, id: string, found: readonly string[] = []): readonly string[] {
  if (found.includes(id)) return found;
  const under = all.tiers.filter((tier) => legsOf(tier).some(({ to }) => 'tierId' in to && to.tierId === id));
  return under.reduce<readonly string[]>((sum, tier) => below(all, tier.id, sum), [...found, id]);
}
/** Tiers that a leg of this one may go to without going round. */
export const mayHangFrom = (all: Tiers, id: string): readonly Tier[] => all.tiers.filter((tier) => !below(all, id).includes(tier.id));

/** Only those that carry the hook or another tier are left. */
function carrying(all: Tiers): Tiers {
  const reached = (id: string, found: readonly string[]): readonly string[] => {
    const tier = tierOf(all, id);
    if (tier === undefined || found.includes(id)) return found;
    return legsOf(tier).reduce<readonly string[]>((sum, { to }) => ('tierId' in to ? reached(to.tierId, sum) : sum), [...found, id]);
  };
  const kept = reached(all.foot.tierId, []);
  return { ...all, tiers: all.tiers.filter(({ id }) => kept.includes(id)) };
}

/** The two legs of a ring go to the ends of one bar. */
function barAbove(all: Tiers, tier: Tier): Spreader | null {
  const [first, second] = legsOf(tier).map(({ to }) => ('tierId' in to ? to.tierId : null));
  const above = tier.kind === 'ring' && first && first === second ? tierOf(all, first) : undefined;
  return above?.kind === 'spreader' ? above : null;
}

/** Where what hangs on a leg is aimed at in the end: its point, or half way between what the tier there is aimed at. */
function aimOf(all: Tiers, { to }: TierLeg, points: readonly RoofPoint[]): Position | null {
  if ('pointId' in to) {
    const point = points.find(({ id }) => id === to.pointId);
    return point ? { xM: point.xM, yM: point.yM, zM: point.zM } : null;
  }
  const aims = tierAims(all, to.tierId, points);
  return aims && middle(...aims);
}
function tierAims(all: Tiers, id: string, points: readonly RoofPoint[]): readonly [Position, Position] | null {
  const tier = tierOf(all, id);
  if (tier === undefined) return null;
  const bar = barAbove(all, tier);
  if (bar !== null) return tierAims(all, bar.id, points);
  const [first, second] = legsOf(tier).map((leg) => aimOf(all, leg, points));
  return first && second ? [first, second] : null;
}

/** Each carries one leg from below, or both of one ring: only then does it follow where each tier can hang. */
function isTree(all: Tiers): boolean {
  return all.tiers.every(({ id }) => {
    const from = all.tiers.flatMap((tier) =>
      legsOf(tier)
        .filter(({ to }) => 'tierId' in to && to.tierId === id)
        .map(() => tier),
    );
    const [first, second, ...more] = from;
    if (id === all.foot.tierId) return first === undefined;
    return more.length === 0 && (second === undefined || (first === second && barAbove(all, first)?.id === id));
  });
}

/**
 * Every tier where it can hang, with what it weighs itself left out: each straight between what is below it and the middle of what it is
 * aimed at, so that forces on it meet; and so far down that no leg is flat, where that does not take it too far. As they are where that does
 * not follow: a point that is not there, a tier that several share.
 */
export function laidOut(all: Tiers, points: readonly RoofPoint[]): Tiers {
  const aims = tierAims(all, all.foot.tierId, points);
  if (!isTree(all) || aims === null) return all;
  const spansM = all.tiers.flatMap(({ id }) => {
    const of = tierAims(all, id, points);
    return of ? [apartInPlanM(...of)] : [];
  });
  const mostM = Math.max(LEAST_DROP_M, ...spansM.map((spanM) => spanM * MOST_DROP_OF_SPAN));
  let dropM = Math.max(LEAST_DROP_M, ...spansM.map((spanM) => spanM * HALF));
  let next = laidDown(all, points, aims, dropM);
  while (flattest(next, points) > FLAT_SLOPE && dropM < mostM) {
    dropM *= DEEPER;
    next = laidDown(all, points, aims, dropM);
  }
  return next;
}

/** Of all legs and lines, the most that one goes aside on its height. */
function flattest({ foot, tiers }: Tiers, points: readonly RoofPoint[]): number {
  const position = { xM: 0, yM: 0, zM: null };
  const slopes = wayPieces({ attachment: { kind: 'tiers', foot, tiers }, position }).map(({ from, to }) => {
    const end = 'pointId' in to ? points.find(({ id }) => id === to.pointId) : to;
    const upM = end ? end.zM - (from.zM ?? 0) : 0;
    return end && upM > 0 ? Math.sqrt((end.xM - from.xM) ** 2 + (end.yM - from.yM) ** 2) / upM : 0; // a level bar is none
  });
  return Math.max(0, ...slopes);
}

function laidDown(all: Tiers, points: readonly RoofPoint[], aims: readonly [Position, Position], dropM: number): Tiers {
  const lowestM = Math.min(...aims.map(({ zM }) => zM));
  let next = all;
  /** @param isStraight  `from` is straight below; `share`: how far towards it from what the tier is aimed at */
  const put = (id: string, from: Position, isStraight: boolean, share: number): void => {
    const tier = tierOf(next, id);
    const of = tierAims(next, id, points);
    if (tier === undefined || of === null) return;
    const centre = middle(...of);
    const shift = times(plus(from, times(centre, -1)), share);
    const lowM = Math.min(of[0].zM, of[1].zM);
    // Straight below, two lines carry a bar level, however high what they are aimed at.
    const end = (aim: Position): Position =>
      isStraight ? { xM: aim.xM, yM: aim.yM, zM: lowM + (from.zM - lowM) * share } : plus(aim, shift);
    const bar = barAbove(next, tier);
    if (tier.kind === 'ring') next = withTier(next, { ...tier, apex: plus(centre, shift) });
    else {
      const [start, far] = [end(of[0]), end(of[1])];
      const lengthM = barLengthM({ ...tier, start, end: far });
      next = withTier(next, {
        ...tier,
        start,
        end: far,
        lines: tier.lines.map((line, index) => ({ ...line, atM: index === 0 ? 0 : lengthM })),
      });
    }
    const placed = tierOf(next, id);
    if (placed === undefined) return;
    if (bar !== null) {
      const at = placed.kind === 'ring' ? placed.apex : placed.start;
      put(bar.id, at, isStraight, HALF);
      const above = tierOf(next, bar.id);
      const lengthM = above?.kind === 'spreader' ? barLengthM(above) : 0;
      next = withTier(
        next,
        withLegs(placed, (leg, index) => ({ ...leg, to: { tierId: bar.id, atM: index === 0 ? 0 : lengthM } })),
      );
      return;
    }
    for (const [index, { to }] of legsOf(placed).entries()) {
      if ('pointId' in to) continue;
      const at = placed.kind === 'ring' ? placed.apex : index === 0 ? placed.start : placed.end;
      put(to.tierId, at, isStraight && placed.kind === 'spreader', HALF);
      const above = tierOf(next, to.tierId);
      const atM = above?.kind === 'spreader' ? barLengthM(above) * HALF : null;
      const now = tierOf(next, id);
      if (now)
        next = withTier(
          next,
          withLegs(now, (leg, leg2) => (leg2 === index ? { ...leg, to: { tierId: to.tierId, atM } } : leg)),
        );
    }
  };
  put(all.foot.tierId, { ...middle(...aims), zM: lowestM - dropM }, true, 1);
  const foot = tierOf(next, all.foot.tierId);
  return { ...next, foot: { ...next.foot, atM: foot?.kind === 'spreader' ? barLengthM(foot) * HALF : null } };
}

/** The pick-up under where its line now ends, and no higher; the outline of a hang on one goes along. */
export function withTiers(hang: Hang, pickUp: PickUp, attachment: Tiers): Hang {
  const end = placeOnTier(attachment.tiers, attachment.foot);
  if (end === null) return withPickUpChange(hang, pickUp, { attachment });
  const { xM, yM, zM } = pickUp.position;
  const position = { xM: end.xM, yM: end.yM, zM: zM === null ? null : Math.min(zM, end.zM) };
  const moved = withPickUpChange(hang, pickUp, { attachment, position });
  const isOnly = hang.pickUps.length === 1;
  const box = isOnly && moved.box ? { ...moved.box, xM: moved.box.xM + end.xM - xM, yM: moved.box.yM + end.yM - yM } : moved.box;
  return { ...moved, box };
}

function nearestFree(place: Position, taken: readonly string[], points: readonly RoofPoint[]): RoofPoint | null {
  const free = points.filter(({ id }) => !taken.includes(id));
  return free.reduce<RoofPoint | null>(
    (best, one) => (best === null || apartInPlanM(one, place) < apartInPlanM(best, place) ? one : best),
    null,
  );
}

/** A ring becomes a bar, or the other way round; its parts and legs stay. */
export function withTierKind(all: Tiers, id: string, kind: Tier['kind'], points: readonly RoofPoint[]): Tiers {
  const tier = tierOf(all, id);
  if (tier === undefined || tier.kind === kind) return all;
  const changed: Tier =
    tier.kind === 'ring'
      ? {
          kind: 'spreader',
          id,
          start: plus(tier.apex, { xM: -LEAST_DROP_M, yM: 0, zM: 0 }),
          end: plus(tier.apex, { xM: LEAST_DROP_M, yM: 0, zM: 0 }),
          parts: tier.parts,
          lines: tier.legs.map((leg, index) => ({ ...leg, atM: index === 0 ? 0 : 2 * LEAST_DROP_M })),
          useBasis: null,
        }
      : {
          kind: 'ring',
          id,
          apex: middle(tier.start, tier.end),
          parts: tier.parts,
          legs: tier.lines.map(({ to, parts }) => ({ to, parts })),
        };
  const atM = changed.kind === 'ring' ? null : LEAST_DROP_M;
  const others = all.tiers.map((one) =>
    one.id === id
      ? changed
      : withLegs(one, (leg) => ('tierId' in leg.to && leg.to.tierId === id ? { ...leg, to: { tierId: id, atM } } : leg)),
  );
  const foot = all.foot.tierId === id ? { ...all.foot, atM } : all.foot;
  return laidOut({ ...all, foot, tiers: others }, points);
}

/** A leg to somewhere else. A new tier takes over the point that the leg went to, and the nearest that is free; what then carries nothing goes. */
export function withLegEnd(all: Tiers, id: string, index: number, end: LegEnd, points: readonly RoofPoint[]): Tiers {
  const tier = tierOf(all, id);
  const leg = tier && legsOf(tier)[index];
  if (tier === undefined || leg === undefined) return all;
  const toEnd = (to: TierLeg['to'], more: readonly Tier[] = []): Tiers => {
    const changed = withLegs(tier, (one, at) => (at === index ? { ...one, to } : one));
    return laidOut(carrying({ ...withTier(all, changed), tiers: [...withTier(all, changed).tiers, ...more] }), points);
  };
  if ('pointId' in end) return toEnd({ pointId: end.pointId });
  if ('tierId' in end) {
    const there = tierOf(all, end.tierId);
    return there === undefined ? all : toEnd({ tierId: there.id, atM: there.kind === 'spreader' ? barLengthM(there) * HALF : null });
  }
  const aim = aimOf(all, leg, points);
  const taken = pointIdsOf(all);
  const first =
    'pointId' in leg.to
      ? (points.find((point) => 'pointId' in leg.to && point.id === leg.to.pointId) ?? null)
      : aim && nearestFree(aim, taken, points);
  const second = first && nearestFree(first, [...taken, first.id], points);
  if (!first || !second) return all;
  const made = newTier(all, end.make, [first, second]);
  return toEnd({ tierId: made.id, atM: made.kind === 'spreader' ? 0 : null }, [made]);
}

function newTier({ tiers }: Tiers, kind: Tier['kind'], ends: readonly [RoofPoint, RoofPoint]): Tier {
  const id = String(tiers.reduce((most, one) => Math.max(most, Number(one.id) || 0), tiers.length) + 1);
  const legs = ends.map((point): TierLeg => ({ to: { pointId: point.id }, parts: [] }));
  const [start, end] = ends.map(({ xM, yM, zM }) => ({ xM, yM, zM: zM - LEAST_DROP_M })) as [Position, Position];
  if (kind === 'ring') return { kind, id, apex: middle(start, end), parts: [], legs };
  const lengthM = apartInPlanM(start, end);
  return { kind, id, start, end, parts: [], lines: legs.map((leg, index) => ({ ...leg, atM: index === 0 ? 0 : lengthM })), useBasis: null };
}

/** A point that no leg of it goes to yet, near where this leg goes now. */
export function pointForLeg(all: Tiers, leg: TierLeg, points: readonly RoofPoint[]): RoofPoint | null {
  const aim = aimOf(all, leg, points);
  return aim && nearestFree(aim, pointIdsOf(all), points);
}

export const withLegChange = (all: Tiers, id: string, index: number, change: Partial<TierLeg> & { atM?: number }): Tiers => {
  const tier = tierOf(all, id);
  return tier === undefined
    ? all
    : withTier(
        all,
        withLegs(tier, (leg, at) => (at === index ? { ...leg, ...change } : leg)),
      );
};
