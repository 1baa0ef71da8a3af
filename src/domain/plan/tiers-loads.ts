import { cos, radToDeg } from '../foundation/elementary.ts';
import { compensatedSum } from '../foundation/sum.ts';
import { kgToKn, STANDARD_GRAVITY } from '../foundation/units.ts';
import type { LegTop, SolvedTierLeg, SolvedTiers, Tier as StaticsTier, TiersError } from '../statics/bridle-tiers.ts';
import { solveTiers } from '../statics/bridle-tiers.ts';
import type { PullOnRoof } from '../statics/bridle.ts';
import type { Contingency, TakeOffRow } from '../statics/hoist-line-take-off.ts';
import { missingMasses } from '../statics/hoist-line-take-off.ts';
import { barLengthM, legsOf, pointIdsOf } from './attachment-places.ts';
import type { BridlePulls, LegLoads, SolvedTier } from './bridle-loads.ts';
import { barDoubts, legDoubts } from './leg-doubts.ts';
import type { PickUpLine } from './line-loads.ts';
import { partItems } from './line-loads.ts';
import type { Missing } from './missing.ts';
import type { Attachment, Plan, Tier } from './plan.ts';
import type { Anchors, PointPull, Pull } from './pull.ts';
import { pullNotKnown } from './pull.ts';
import { knownKg, reckonedKg, takeOffRows } from './take-off-items.ts';

type Tiers = Extract<Attachment, { kind: 'tiers' }>;
/** What contingency, and loads beside the one at rest, may move a tier by: it then swings a little, which changes its forces by less. Our choice. */
const SWING_M = 0.05;

type RowsOfTier = { readonly own: readonly TakeOffRow[]; readonly legs: readonly (readonly TakeOffRow[])[] };

/**
 * What each point sees of a tree of two-leg bridles and spreaders. The parts of a tier hang at its ring or in the middle of its bar, those
 * of a leg at its upper end. Drawn as it hangs at rest with its masses as stated: where it would come to rest elsewhere, nothing is known of
 * its loads. Contingency may also take load off a leg, so each leg counts at its worse, with it and without.
 */
export function tiersPulls(plan: Plan, attachment: Tiers, line: PickUpLine, contingency: Contingency, anchors: Anchors): BridlePulls {
  const { tiers } = attachment;
  const rows = tiers.map((tier, index): RowsOfTier => ({
    own: takeOffRows(partItems(plan, tier.parts, 'above-hoist', tierId(index)), contingency),
    legs: legsOf(tier).map(({ parts }, leg) => takeOffRows(partItems(plan, parts, 'leg', legId(index, leg)), contingency)),
  }));
  const takeOff = rows.flatMap(({ own, legs }) => [...own, ...legs.flat()]);
  const lineMissing = [...line.missing, ...line.missingForMoving];
  const notKnown = (why: Missing, refusal: TiersError | null): BridlePulls => {
    const pulls = pointIdsOf(attachment).map((pointId) => pullNotKnown(pointId, lineMissing, why));
    return { pulls, takeOff, legs: null, widestIncludedDeg: null, refusal, tiers: null };
  };
  const roof = pointIdsOf(attachment).flatMap((id) => {
    const place = anchors(id);
    return place === null ? [] : [{ id, xM: place.xM, yM: place.yM, zM: place.zM }];
  });
  if (roof.length !== pointIdsOf(attachment).length) return notKnown({ code: 'point-missing', of: 'bridle' }, null);
  const { restingN, buildN, movingN, limiterN, slackN, whenLost } = line.top;
  const baseN = restingN > 0 ? restingN : Math.max(buildN, movingN);
  const drawn = solveTiers(staticsTiers(attachment, rows, baseN, knownKg), roof);
  if (!drawn.ok) return notKnown({ code: 'bridle-not-solved', of: 'bridle' }, drawn.error);
  const heaviest = solveTiers(staticsTiers(attachment, rows, baseN, reckonedKg), roof, SWING_M);
  if (!heaviest.ok) return notKnown({ code: 'bridle-not-solved', of: 'bridle' }, heaviest.error);
  const resting = new AtWorst([drawn.value, heaviest.value], 1);
  const under = (loadN: number): AtWorst => {
    const both = [knownKg, reckonedKg].flatMap((kgOf) => {
      const solved = solveTiers(staticsTiers(attachment, rows, loadN, kgOf), roof, SWING_M);
      return solved.ok ? [solved.value] : [];
    });
    // Where it would swing farther, its own parts are reckoned to grow with the load: in proportion it hangs as at rest.
    return both.length === 2
      ? new AtWorst(both, 1)
      : new AtWorst([drawn.value, heaviest.value], baseN > 0 ? Math.max(1, loadN / baseN) : 1);
  };
  const [build, moving] = [under(buildN), under(movingN)];
  const limiter = limiterN === null ? null : under(limiterN);
  const slack = slackN === null ? null : under(slackN);
  const lostCases = whenLost.map(({ lost, loadN }) => ({ lost, solved: under(loadN) }));

  const doubts = tiers.flatMap((tier, index) => tierDoubts(plan, tier, index, resting));
  const missing = [...lineMissing, ...missingMasses(takeOff), ...doubts];
  const pulls = tiers.flatMap((tier, index) =>
    legsOf(tier).flatMap(({ to }, leg): PointPull[] => {
      if (!('pointId' in to)) return [];
      const ownKn = kgToKn(reckonedKg(rows[index]?.legs[leg] ?? []));
      const at = (solved: AtWorst): Pull => {
        const { xN, yN, downN } = solved.onRoof(to.pointId, legId(index, leg));
        return { xKn: xN / 1000, yKn: yN / 1000, downKn: downN / 1000 + ownKn };
      };
      return [
        {
          role: 'line',
          pointId: to.pointId,
          resting: at(resting),
          build: at(build),
          moving: at(moving),
          limiter: limiter === null ? null : at(limiter),
          slack: slack === null ? null : at(slack),
          whenLost: lostCases.map(({ lost, solved }) => ({ lost, pull: at(solved) })),
          accidental: null,
          missing,
          missingSideways: [],
        },
      ];
    }),
  );
  const legs = tiers.flatMap((tier, index) =>
    legsOf(tier).map((_, leg): LegLoads => {
      const { lengthM, angleOffVerticalRad, slack: isSlack } = resting.leg(legId(index, leg));
      return {
        lengthM,
        angleOffVerticalDeg: radToDeg(angleOffVerticalRad),
        slack: isSlack,
      };
    }),
  );
  const solved = tiers.map((tier, index) => solvedTier(tier, index, moving, rows[index]));
  const widestIncludedDeg = solved.reduce((widest, { includedDeg }) => Math.max(widest, includedDeg ?? 0), 0);
  return { pulls, takeOff, legs, widestIncludedDeg, refusal: null, tiers: solved };
}

/** Named by their places in the plan, so that what somebody calls a tier moves no hash. */
const tierId = (index: number): string => `tier ${index + 1}`;
const legId = (index: number, leg: number): string => `tier ${index + 1} leg ${leg + 1}`;

function staticsTiers({ foot, tiers }: Tiers, rows: readonly RowsOfTier[], loadN: number, kgOf: (rows: readonly TakeOffRow[]) => number) {
  const loads = tiers.map((): { atM: number; loadN: number }[] => []);
  const indexOf = (id: string) => tiers.findIndex((tier) => tier.id === id);
  loads[indexOf(foot.tierId)]?.push({ atM: foot.atM ?? 0, loadN });
  for (const [index, tier] of tiers.entries()) {
    for (const [leg, { to }] of legsOf(tier).entries()) {
      if ('pointId' in to) continue;
      loads[indexOf(to.tierId)]?.push({ atM: to.atM ?? 0, loadN: kgOf(rows[index]?.legs[leg] ?? []) * STANDARD_GRAVITY });
    }
  }
  const topOf = ({ to }: ReturnType<typeof legsOf>[number]): LegTop => {
    if ('pointId' in to) return { kind: 'anchor', id: to.pointId };
    const above = indexOf(to.tierId);
    return tiers[above]?.kind === 'spreader'
      ? { kind: 'spreader', id: tierId(above), atM: to.atM ?? 0 }
      : { kind: 'ring', id: tierId(above) };
  };
  return tiers.map((tier, index): StaticsTier => {
    const ownN = kgOf(rows[index]?.own ?? []) * STANDARD_GRAVITY;
    const here = loads[index] ?? [];
    if (tier.kind === 'ring') {
      const all = compensatedSum([ownN, ...here.map((one) => one.loadN)]);
      const legs = tier.legs.map((leg, at) => ({ id: legId(index, at), to: topOf(leg) }));
      return { kind: 'ring', id: tierId(index), apex: tier.apex, loadN: all, legs };
    }
    const [first, second] = tier.lines.map((line, at) => ({ id: legId(index, at), atM: line.atM, to: topOf(line) }));
    if (first === undefined || second === undefined) throw new Error('a checked spreader hangs on two lines');
    return { kind: 'spreader', id: tierId(index), ends: [tier.start, tier.end], weightN: ownN, loads: here, lines: [first, second] };
  });
}

/** The same tree solved with masses in more than one way, each leg at its worst. */
class AtWorst {
  readonly #ways: readonly SolvedTiers[];
  readonly #factor: number;
  constructor(ways: readonly SolvedTiers[], factor: number) {
    this.#ways = ways;
    this.#factor = factor;
  }
  leg(id: string): SolvedTierLeg {
    const leg = legIn(this.#worstFor(id), id);
    return { ...leg, tensionN: leg.tensionN * this.#factor };
  }
  /** No point carries more than one leg. */
  onRoof(pointId: string, leg: string): PullOnRoof {
    const pull = this.#worstFor(leg).anchors.find(({ id }) => id === pointId);
    if (pull === undefined) throw new Error('every point of solved tiers has a pull');
    return { xN: pull.xN * this.#factor, yN: pull.yN * this.#factor, downN: pull.downN * this.#factor };
  }
  mostN(of: (solved: SolvedTiers) => number): number {
    return this.most(of) * this.#factor;
  }
  /** Of an angle, which no factor changes. */
  most(of: (solved: SolvedTiers) => number): number {
    return this.#ways.reduce((most, solved) => Math.max(most, of(solved)), 0);
  }
  #worstFor(id: string): SolvedTiers {
    return this.#ways.reduce((worst, solved) => (legIn(solved, id).tensionN > legIn(worst, id).tensionN ? solved : worst));
  }
}

function legIn({ legs }: SolvedTiers, id: string): SolvedTierLeg {
  const leg = legs.find((one) => one.id === id);
  if (leg === undefined) throw new Error('solved tiers have all their legs');
  return leg;
}

/** Any of them puts the whole tree elsewhere. */
function tierDoubts(plan: Plan, tier: Tier, index: number, solved: AtWorst): Missing[] {
  const ofLegs = legsOf(tier).flatMap(({ parts }, leg) => legDoubts(plan, parts, solved.leg(legId(index, leg)).lengthM));
  return tier.kind === 'ring' ? ofLegs : [...ofLegs, ...barDoubts(plan, tier.parts, barLengthM(tier))];
}

function solvedTier(tier: Tier, index: number, moving: AtWorst, rows: RowsOfTier | undefined): SolvedTier {
  const legs = legsOf(tier).map((_, at) => {
    const { tensionN, angleOffVerticalRad } = moving.leg(legId(index, at));
    // Its own parts hang in it too: at its top it carries them.
    const ownKn = kgToKn(reckonedKg(rows?.legs[at] ?? []));
    return { pullKn: tensionN / 1000 + ownKn, offVerticalDeg: radToDeg(angleOffVerticalRad) };
  });
  if (tier.kind === 'spreader') {
    const upN = moving.mostN((solved) =>
      compensatedSum(
        solved.legs
          .filter(({ tier: of }) => of === tierId(index))
          .map(({ tensionN, angleOffVerticalRad }) => tensionN * cos(angleOffVerticalRad)),
      ),
    );
    const compressionN = moving.mostN(({ spreaders }) => spreaders.find(({ id }) => id === tierId(index))?.compressionN ?? 0);
    return { pullKn: upN / 1000, offVerticalDeg: 0, includedDeg: null, legs, compressionKn: compressionN / 1000 };
  }
  const ringIn = (solved: SolvedTiers) => {
    const ring = solved.rings.find(({ id }) => id === tierId(index));
    if (ring === undefined) throw new Error('solved tiers have all their rings');
    return ring;
  };
  return {
    pullKn: moving.mostN((solved) => ringIn(solved).pullN) / 1000,
    offVerticalDeg: radToDeg(moving.most((solved) => ringIn(solved).pullOffVerticalRad)),
    includedDeg: radToDeg(
      moving.most((solved) => ringIn(solved).includedAngles.reduce((widest, { angleRad }) => Math.max(widest, angleRad), 0)),
    ),
    legs,
    compressionKn: 0,
  };
}
