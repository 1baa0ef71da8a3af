import { radToDeg } from '../foundation/elementary.ts';
import { kgToKn } from '../foundation/units.ts';
import type { Anchor, BridleError } from '../statics/bridle-legs.ts';
import { STRAIGHT_DOWN, unitBridle } from '../statics/bridle-legs.ts';
import type { TiersError } from '../statics/bridle-tiers.ts';
import type { BridleLeg, PullOnRoof } from '../statics/bridle.ts';
import { underLoad } from '../statics/bridle.ts';
import type { Contingency, TakeOffRow } from '../statics/hoist-line-take-off.ts';
import { missingMasses } from '../statics/hoist-line-take-off.ts';
import { reckonedKg, takeOffRows } from './take-off-items.ts';
import type { PickUpLine } from './line-loads.ts';
import { partItems } from './line-loads.ts';
import type { Missing } from './missing.ts';
import { legDoubts } from './leg-doubts.ts';
import type { Attachment, Plan } from './plan.ts';
import type { Anchors, PointPull, Pull } from './pull.ts';
import { pullNotKnown } from './pull.ts';

type BridleAttachment = Extract<Attachment, { kind: 'bridle' }>;

export type LegLoads = {
  readonly lengthM: number;
  readonly angleOffVerticalDeg: number;
  readonly slack: boolean;
};
export type BridlePulls = {
  readonly pulls: readonly PointPull[];
  readonly takeOff: readonly TakeOffRow[];
  /** Null when it cannot be solved: `refusal` says why, or points are missing from the roof. */
  readonly legs: readonly LegLoads[] | null;
  readonly widestIncludedDeg: number | null;
  readonly refusal: BridleError | TiersError | null;
  /** Of each tier in the order of the plan, where there are tiers and they were solved. */
  readonly tiers: readonly SolvedTier[] | null;
};
/** One tier at its most, moving, with its own parts. */
export type SolvedTier = {
  readonly pullKn: number;
  readonly offVerticalDeg: number;
  /** Widest angle between its legs; null at a spreader, whose lines do not meet. */
  readonly includedDeg: number | null;
  readonly legs: readonly { readonly pullKn: number; readonly offVerticalDeg: number }[];
  readonly compressionKn: number;
};

/**
 * What each point sees of a bridle: the pull of its leg, and the leg's own parts straight down. A bridle that cannot be solved loads its
 * points by an amount that nobody knows, which is a lower bound of nothing, marked as missing.
 */
export function bridlePulls(
  plan: Plan,
  bridle: BridleAttachment,
  line: PickUpLine,
  contingency: Contingency,
  anchors: Anchors,
): BridlePulls {
  const parts = bridle.legs.map((leg, index) => takeOffRows(partItems(plan, leg.parts, 'leg', `leg ${index}`), contingency));
  const takeOff = parts.flat();
  const places: Anchor[] = [];
  for (const { pointId } of bridle.legs) {
    const place = anchors(pointId);
    if (place !== null) places.push({ id: pointId, xM: place.xM, yM: place.yM, zM: place.zM });
  }
  const solved = places.length === bridle.legs.length ? unitBridle(bridle.apex, places, STRAIGHT_DOWN) : null;
  const lineMissing = [...line.missing, ...line.missingForMoving];
  if (solved === null || !solved.ok) {
    const why: Missing = solved === null ? { code: 'point-missing', of: 'bridle' } : { code: 'bridle-not-solved', of: 'bridle' };
    const pulls = bridle.legs.map(({ pointId }) => pullNotKnown(pointId, lineMissing, why));
    return { pulls, takeOff, legs: null, widestIncludedDeg: null, refusal: solved === null ? null : solved.error, tiers: null };
  }
  const [resting, moving] = [underLoad(solved.value, line.top.restingN), underLoad(solved.value, line.top.movingN)];
  const build = underLoad(solved.value, line.top.buildN);
  const limiter = line.top.limiterN === null ? null : underLoad(solved.value, line.top.limiterN);
  const slack = line.top.slackN === null ? null : underLoad(solved.value, line.top.slackN);
  const whenLost = line.top.whenLost.map(({ lost, loadN }) => ({ lost, legs: underLoad(solved.value, loadN).legs }));
  const pulls = resting.legs.map((leg, index): PointPull => {
    const rows = parts[index] ?? [];
    const ownKn = kgToKn(reckonedKg(rows));
    const missing = [...lineMissing, ...missingMasses(rows), ...legDoubts(plan, bridle.legs[index]?.parts ?? [], leg.lengthM)];
    return {
      role: 'line',
      accidental: null,
      pointId: leg.id,
      resting: withParts(leg.atAnchor, ownKn),
      build: withParts(legAt(build.legs, index).atAnchor, ownKn),
      moving: withParts(legAt(moving.legs, index).atAnchor, ownKn),
      slack: slack === null ? null : withParts(legAt(slack.legs, index).atAnchor, ownKn),
      whenLost: whenLost.map(({ lost, legs }) => ({ lost, pull: withParts(legAt(legs, index).atAnchor, ownKn) })),
      limiter: limiter === null ? null : withParts(legAt(limiter.legs, index).atAnchor, ownKn),
      missing,
      missingSideways: [],
    };
  });
  const legs = resting.legs.map((leg): LegLoads => ({
    lengthM: leg.lengthM,
    angleOffVerticalDeg: radToDeg(leg.angleOffVerticalRad),
    slack: leg.slack,
  }));
  const widestIncludedDeg = resting.includedAngles.reduce((widest, { angleRad }) => Math.max(widest, radToDeg(angleRad)), 0);
  return { pulls, takeOff, legs, widestIncludedDeg, refusal: null, tiers: null };
}

export const withParts = ({ xN, yN, downN }: PullOnRoof, partsKn: number): Pull => ({
  xKn: xN / 1000,
  yKn: yN / 1000,
  downKn: downN / 1000 + partsKn,
});

export function legAt(legs: readonly BridleLeg[], index: number): BridleLeg {
  const leg = legs[index];
  if (leg === undefined) throw new Error('a bridle has the same legs in every case');
  return leg;
}
