import { atan2 } from '../foundation/elementary.ts';
import { fail, ok } from '../foundation/result.ts';
import type { Result } from '../foundation/result.ts';
import { compensatedSum } from '../foundation/sum.ts';
import { between, lengthOf } from '../foundation/vector.ts';
import type { PositionM, Vec3 } from '../foundation/vector.ts';
import { anchorFault, PLANE_TOLERANCE_M, placeFault, STRAIGHT_DOWN, unitBridle } from './bridle-legs.ts';
import type { Anchor, BridleError } from './bridle-legs.ts';
import { placeOn, solveSpreader } from './bridle-spreader.ts';
import type { BarForce, SpreaderError } from './bridle-spreader.ts';
import { loadFault, underLoad } from './bridle.ts';
import type { BridleCaution, IncludedAngle, LoadError, PullOnRoof } from './bridle.ts';

/** Where the upper end of a leg is made fast. */
export type LegTop =
  { readonly kind: 'anchor' | 'ring'; readonly id: string } | { readonly kind: 'spreader'; readonly id: string; readonly atM: number };
export type TierLeg = { readonly id: string; readonly to: LegTop };
/** An apex with its legs; as a ring it may carry legs from below besides its own load. */
export type RingTier = {
  readonly kind: 'ring';
  readonly id: string;
  readonly apex: PositionM;
  readonly loadN: number;
  readonly legs: readonly TierLeg[];
};
/** A bar on two lines. `atM` counts from the first end; its own weight acts in the middle. */
export type SpreaderTier = {
  readonly kind: 'spreader';
  readonly id: string;
  readonly ends: readonly [PositionM, PositionM];
  readonly weightN: number;
  readonly loads: readonly { readonly atM: number; readonly loadN: number }[];
  readonly lines: readonly [TierLeg & { readonly atM: number }, TierLeg & { readonly atM: number }];
};
export type Tier = RingTier | SpreaderTier;

export type SolvedTierLeg = {
  readonly id: string;
  readonly tier: string;
  readonly lengthM: number;
  readonly tensionN: number;
  readonly angleOffVerticalRad: number;
  readonly slack: boolean;
};
export type SolvedTiers = {
  readonly legs: readonly SolvedTierLeg[];
  readonly anchors: readonly ({ readonly id: string } & PullOnRoof)[];
  readonly rings: readonly {
    readonly id: string;
    /** Of all that hangs on it, by its own load too. */
    readonly pullN: number;
    readonly pullOffVerticalRad: number;
    readonly includedAngles: readonly IncludedAngle[];
    readonly cautions: readonly BridleCaution[];
  }[];
  readonly spreaders: readonly { readonly id: string; readonly compressionN: number }[];
};
export type TiersError =
  | ((BridleError | SpreaderError | LoadError) & { readonly tier: string })
  | { readonly code: 'id-repeated'; readonly id: string }
  | { readonly code: 'unknown-support'; readonly leg: string; readonly support: string }
  | { readonly code: 'off-the-spreader'; readonly spreader: string; readonly atM: number }
  | { readonly code: 'tiers-go-round'; readonly tiers: readonly string[] };

type Pull = { readonly by: string; readonly atM: number; readonly forceN: Vec3 };

/**
 * A tree of bridles and spreaders between loads and roof, solved tier by tier upwards: each ring and each bar is in equilibrium with
 * its loads, what the tiers below pull on it, and its own legs. Determinate or refused; a refusal names its tier.
 * Legs are weightless. Each tier may come to rest up to `swingM` from where it is drawn; the others are solved with the drawn place.
 * A ring under a leg that pulls aside must lie in the plane of that pull and its own two legs, as near as that.
 * @source equilibrium of points and rigid bodies
 */
export function solveTiers(
  tiers: readonly Tier[],
  anchors: readonly Anchor[],
  swingM = PLANE_TOLERANCE_M,
): Result<SolvedTiers, TiersError> {
  const byId = new Map(tiers.map((tier) => [tier.id, tier]));
  const anchorById = new Map(anchors.map((anchor) => [anchor.id, anchor]));
  const fault = tiersFault(tiers, anchors, byId, anchorById);
  if (fault !== null) return fail(fault);
  const order = upwards(tiers);
  if (!order.ok) return order;

  const pulls = new Map<string, Pull[]>();
  const passOn = (leg: TierLeg, forceN: Vec3): void => {
    const key = `${leg.to.kind} ${leg.to.id}`;
    pulls.set(key, [...(pulls.get(key) ?? []), { by: leg.id, atM: leg.to.kind === 'spreader' ? leg.to.atM : 0, forceN }]);
  };
  const pullsOn = (kind: LegTop['kind'], id: string): Pull[] => (pulls.get(`${kind} ${id}`) ?? []).sort((a, b) => (a.by < b.by ? -1 : 1));
  const topOf = ({ to }: TierLeg): PositionM => {
    const support = to.kind === 'anchor' ? anchorById.get(to.id) : byId.get(to.id);
    if (support === undefined) throw new Error(`support ${to.id} was checked to exist`);
    if (!('kind' in support)) return support;
    if (support.kind === 'ring') return support.apex;
    return to.kind === 'spreader' ? placeOn(support.ends, to.atM / barLengthM(support)) : support.ends[0];
  };

  const legs: SolvedTierLeg[] = [];
  const rings: SolvedTiers['rings'][number][] = [];
  const spreaders: SolvedTiers['spreaders'][number][] = [];
  for (const tier of order.value) {
    if (tier.kind === 'ring') {
      const pull = sumOf([...pullsOn('ring', tier.id).map(({ forceN }) => forceN), { x: 0, y: 0, z: -tier.loadN }]);
      const pullN = lengthOf(pull);
      const direction = pullN > 0 ? { x: pull.x / pullN, y: pull.y / pullN, z: pull.z / pullN } : STRAIGHT_DOWN;
      const unit = unitBridle(
        tier.apex,
        tier.legs.map((leg) => ({ ...topOf(leg), id: leg.id })),
        direction,
        swingM,
      );
      if (!unit.ok) return fail({ ...unit.error, tier: tier.id });
      const bridle = underLoad(unit.value, pullN);
      for (const [index, solved] of bridle.legs.entries()) {
        const leg = tier.legs[index];
        // What the leg does to the roof is what it does to whatever holds it.
        if (leg !== undefined) passOn(leg, { x: solved.atAnchor.xN, y: solved.atAnchor.yN, z: 0 - solved.atAnchor.downN });
        const { id, lengthM, tensionN, angleOffVerticalRad, slack } = solved;
        legs.push({ id, tier: tier.id, lengthM, tensionN, angleOffVerticalRad, slack });
      }
      const pullOffVerticalRad = atan2(Math.sqrt(direction.x * direction.x + direction.y * direction.y), 0 - direction.z);
      rings.push({ id: tier.id, pullN, pullOffVerticalRad, includedAngles: bridle.includedAngles, cautions: bridle.cautions });
    } else {
      const weights = [{ atM: barLengthM(tier) / 2, loadN: tier.weightN }, ...tier.loads];
      const forces: BarForce[] = [
        ...pullsOn('spreader', tier.id),
        ...weights.map(({ atM, loadN }) => ({ atM, forceN: { x: 0, y: 0, z: -loadN } })),
      ];
      const [first, second] = tier.lines;
      const solved = solveSpreader(
        tier.ends,
        forces,
        [
          { ...first, top: topOf(first) },
          { ...second, top: topOf(second) },
        ],
        swingM,
      );
      if (!solved.ok) return fail({ ...solved.error, tier: tier.id });
      for (const [index, { pullN, ...line }] of solved.value.lines.entries()) {
        passOn(index === 0 ? first : second, pullN);
        legs.push({ ...line, tier: tier.id });
      }
      spreaders.push({ id: tier.id, compressionN: solved.value.compressionN });
    }
  }
  const onRoof = anchors.map(({ id }) => {
    const { x, y, z } = sumOf(pullsOn('anchor', id).map(({ forceN }) => forceN));
    return { id, xN: x, yN: y, downN: 0 - z };
  });
  return ok({ legs, anchors: onRoof, rings, spreaders });
}

const legsOf = (tier: Tier): readonly TierLeg[] => (tier.kind === 'ring' ? tier.legs : tier.lines);
const barLengthM = ({ ends }: SpreaderTier): number => lengthOf(between(ends[0], ends[1]));
const sumOf = (forces: readonly Vec3[]): Vec3 => ({
  x: compensatedSum(forces.map(({ x }) => x)),
  y: compensatedSum(forces.map(({ y }) => y)),
  z: compensatedSum(forces.map(({ z }) => z)),
});

/** Tiers in an order in which everything that pulls on a tier comes before it. */
function upwards(tiers: readonly Tier[]): Result<readonly Tier[], TiersError> {
  const waitsFor = new Map(tiers.map(({ id }) => [id, 0]));
  const tiersAbove = (tier: Tier): string[] => legsOf(tier).flatMap(({ to }) => (to.kind === 'anchor' ? [] : [to.id]));
  for (const above of tiers.flatMap(tiersAbove)) waitsFor.set(above, (waitsFor.get(above) ?? 0) + 1);
  const byId = new Map(tiers.map((tier) => [tier.id, tier]));
  const ready = tiers.filter(({ id }) => waitsFor.get(id) === 0);
  // The list grows while it is walked: a tier joins it when the last one below it has been passed.
  for (const tier of ready) {
    for (const above of tiersAbove(tier)) {
      const left = (waitsFor.get(above) ?? 0) - 1;
      waitsFor.set(above, left);
      const next = byId.get(above);
      if (left === 0 && next !== undefined) ready.push(next);
    }
  }
  if (ready.length === tiers.length) return ok(ready);
  const passed = new Set(ready);
  return fail({ code: 'tiers-go-round', tiers: tiers.filter((tier) => !passed.has(tier)).map(({ id }) => id) });
}

function tiersFault(
  tiers: readonly Tier[],
  anchors: readonly Anchor[],
  byId: ReadonlyMap<string, Tier>,
  anchorById: ReadonlyMap<string, Anchor>,
): TiersError | null {
  const seen = new Set<string>();
  for (const id of [...anchors.map((anchor) => anchor.id), ...tiers.flatMap((tier) => [tier.id, ...legsOf(tier).map((leg) => leg.id)])]) {
    if (seen.has(id)) return { code: 'id-repeated', id };
    seen.add(id);
  }
  const misplaced = anchorFault(anchors);
  if (misplaced !== null) return { ...misplaced, tier: misplaced.what };
  for (const tier of tiers) {
    const fault = tierFault(tier);
    if (fault !== null) return fault;
    for (const { id, to } of legsOf(tier)) {
      const support = to.kind === 'anchor' ? anchorById.get(to.id) : byId.get(to.id);
      if (support === undefined || ('kind' in support && support.kind !== to.kind))
        return { code: 'unknown-support', leg: id, support: to.id };
      if (to.kind !== 'spreader' || !('kind' in support) || support.kind !== 'spreader') continue;
      if (!isOnBar(to.atM, support)) return { code: 'off-the-spreader', spreader: to.id, atM: to.atM };
    }
  }
  return null;
}

function tierFault(tier: Tier): TiersError | null {
  const places = tier.kind === 'ring' ? [tier.apex] : tier.ends;
  const loads = tier.kind === 'ring' ? [tier.loadN] : [tier.weightN, ...tier.loads.map(({ loadN }) => loadN)];
  for (const place of places) {
    const fault = placeFault(place, tier.id);
    if (fault !== null) return { ...fault, tier: tier.id };
  }
  for (const load of loads) {
    const fault = loadFault(load);
    if (fault !== null) return { ...fault, tier: tier.id };
  }
  if (tier.kind === 'ring') return null;
  for (const { atM } of [...tier.loads, ...tier.lines]) {
    if (!isOnBar(atM, tier)) return { code: 'off-the-spreader', spreader: tier.id, atM };
  }
  return null;
}

const isOnBar = (atM: number, spreader: SpreaderTier): boolean => atM >= 0 && atM <= barLengthM(spreader) + 1e-9;
