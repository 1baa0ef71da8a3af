import { radToDeg } from '../foundation/elementary.ts';
import { kgToKn } from '../foundation/units.ts';
import type { PositionM, Vec3 } from '../foundation/vector.ts';
import { between, lengthOf } from '../foundation/vector.ts';
import type { Anchor, BridleError } from '../statics/bridle-legs.ts';
import { STRAIGHT_DOWN, unitBridle } from '../statics/bridle-legs.ts';
import type { Bridle, PullOnRoof } from '../statics/bridle.ts';
import { underLoad } from '../statics/bridle.ts';
import type { Contingency } from '../statics/hoist-line-take-off.ts';
import { missingMasses } from '../statics/hoist-line-take-off.ts';
import type { BridlePulls, LegLoads } from './bridle-loads.ts';
import { legAt, withParts } from './bridle-loads.ts';
import { legDoubts } from './leg-doubts.ts';
import { partItems } from './line-loads.ts';
import type { Missing } from './missing.ts';
import type { Attachment, Plan } from './plan.ts';
import type { Anchors, PointPull, Pull } from './pull.ts';
import { pullNotKnown } from './pull.ts';
import { reckonedKg, takeOffRows } from './take-off-items.ts';

type BridleAttachment = Extract<Attachment, { kind: 'bridle' }>;

/** What pulls on the apex in each case: every leg counts at the worst of them. */
export type ApexPulls = {
  readonly resting: readonly Pull[];
  readonly build: readonly Pull[];
  readonly moving: readonly Pull[];
  readonly limiter: readonly Pull[] | null;
  readonly slack: readonly Pull[] | null;
  readonly whenLost: readonly { readonly lost: string; readonly pulls: readonly Pull[] }[];
};

/** Loads beside those as drawn lean a little otherwise: by so much an apex of two legs may then swing out of where it is drawn. Our choice. */
const SWING_M = 0.05;

/**
 * Why the legs of a bridle do not hold its apex where it is drawn, both under the load alone and with its line leaning as drawn; null
 * where they do. What the line pulls between the two is a mixture of both, so a leg that pulls under both pulls under all.
 * @param hook  below the apex, as drawn
 */
export function apexNotHeld(apex: PositionM, hook: PositionM, points: readonly Anchor[]): BridleError | null {
  const plumb = unitBridle(apex, points, STRAIGHT_DOWN);
  if (!plumb.ok) return plumb.error;
  const way = between(apex, hook);
  const lengthM = lengthOf(way);
  if (lengthM === 0) return { code: 'not-finite', what: 'line of the hook' };
  const leaning = unitBridle(apex, points, { x: way.x / lengthM, y: way.y / lengthM, z: way.z / lengthM });
  return leaning.ok ? null : leaning.error;
}

/** The points of its legs; null where the roof lacks one. */
export function legPoints({ legs }: BridleAttachment, anchors: Anchors): Anchor[] | null {
  const points = legs.flatMap(({ pointId }) => {
    const place = anchors(pointId);
    return place === null ? [] : [{ id: pointId, xM: place.xM, yM: place.yM, zM: place.zM }];
  });
  return points.length === legs.length ? points : null;
}

/**
 * A two- or three-leg bridle under a line that lines off plumb hold aside: the pull on its apex leans, and its legs share it by equilibrium
 * in space. Two legs hold their apex in one plane, and so only against a pull that lies in it.
 * @param pulls  null = not known
 * @param lineMissing  not in these pulls
 */
export function bridleHeldAside(
  plan: Plan,
  bridle: BridleAttachment,
  pulls: ApexPulls | null,
  lineMissing: readonly Missing[],
  contingency: Contingency,
  anchors: Anchors,
): BridlePulls {
  const parts = bridle.legs.map((leg, index) => takeOffRows(partItems(plan, leg.parts, 'leg', `leg ${index}`), contingency));
  const takeOff = parts.flat();
  const notKnown = (why: Missing, refusal: BridleError | null): BridlePulls => ({
    pulls: bridle.legs.map(({ pointId }) => pullNotKnown(pointId, lineMissing, why)),
    takeOff,
    legs: null,
    widestIncludedDeg: null,
    refusal,
    tiers: null,
  });
  const points = legPoints(bridle, anchors);
  if (points === null) return notKnown({ code: 'point-missing', of: 'bridle' }, null);
  if (pulls === null) return notKnown({ code: 'bridle-not-solved', of: 'bridle' }, null);
  const plumb = unitBridle(bridle.apex, points, STRAIGHT_DOWN);
  if (!plumb.ok) return notKnown({ code: 'bridle-not-solved', of: 'bridle' }, plumb.error);
  const solved: Solved[] = [];
  const under = (some: readonly Pull[]): Solved => {
    const found = legsAtWorst(bridle.apex, points, some);
    solved.push(found);
    return found;
  };
  const [resting, build, moving] = [under(pulls.resting), under(pulls.build), under(pulls.moving)];
  const limiter = pulls.limiter === null ? null : under(pulls.limiter);
  const slack = pulls.slack === null ? null : under(pulls.slack);
  const whenLost = pulls.whenLost.map(({ lost, pulls: some }) => ({ lost, solved: under(some) }));
  const refused = solved.find(({ refusal }) => refusal !== null)?.refusal ?? null;
  if (refused !== null) return notKnown({ code: 'bridle-not-solved', of: 'bridle' }, refused);

  const drawn = underLoad(plumb.value, 1);
  const ofLegs = bridle.legs.map(({ pointId, parts: used }, index): PointPull => {
    const rows = parts[index] ?? [];
    const ownKn = kgToKn(reckonedKg(rows));
    const at = (one: Solved): Pull => withParts(one.legs[index] ?? NO_PULL, ownKn);
    return {
      role: 'line',
      accidental: null,
      pointId,
      resting: at(resting),
      build: at(build),
      moving: at(moving),
      limiter: limiter === null ? null : at(limiter),
      slack: slack === null ? null : at(slack),
      whenLost: whenLost.map(({ lost, solved: one }) => ({ lost, pull: at(one) })),
      missing: [...lineMissing, ...missingMasses(rows), ...legDoubts(plan, used, legAt(drawn.legs, index).lengthM)],
      missingSideways: [],
    };
  });
  const legs = drawn.legs.map((leg, index): LegLoads => ({
    lengthM: leg.lengthM,
    angleOffVerticalDeg: radToDeg(leg.angleOffVerticalRad),
    slack: (resting.legs[index]?.downN ?? 0) === 0,
  }));
  const widestIncludedDeg = drawn.includedAngles.reduce((widest, { angleRad }) => Math.max(widest, radToDeg(angleRad)), 0);
  return { pulls: ofLegs, takeOff, legs, widestIncludedDeg, refusal: null, tiers: null };
}

type Solved = { readonly legs: readonly PullOnRoof[]; readonly refusal: BridleError | null };
const NO_PULL: PullOnRoof = { xN: 0, yN: 0, downN: 0 };

/** Each leg at the most that any of these pulls on the apex makes it pull; a leg has one direction, so that is the worst of all its parts. */
function legsAtWorst(apex: PositionM, points: readonly Anchor[], pulls: readonly Pull[]): Solved {
  let legs: readonly PullOnRoof[] = points.map(() => NO_PULL);
  for (const pull of pulls) {
    // Down positive there, up positive here.
    const way: Vec3 = { x: pull.xKn, y: pull.yKn, z: -pull.downKn };
    const sizeKn = lengthOf(way);
    if (sizeKn === 0) continue;
    const unit = unitBridle(apex, points, { x: way.x / sizeKn, y: way.y / sizeKn, z: way.z / sizeKn }, SWING_M);
    if (!unit.ok) return { legs, refusal: unit.error };
    const found: Bridle = underLoad(unit.value, sizeKn * 1000);
    legs = legs.map((most, index) => {
      const now = legAt(found.legs, index).atAnchor;
      return sizeOf(now) > sizeOf(most) ? now : most;
    });
  }
  return { legs, refusal: null };
}

const sizeOf = ({ xN, yN, downN }: PullOnRoof): number => Math.sqrt(xN * xN + yN * yN + downN * downN);
