import type { StagedHang, StageShares, StageSide } from './staged-hang.ts';
import { everyStation, reactionTarget, torsions } from './stage-targets.ts';
import { StageSearch } from './stage-search.ts';
import { tippingOf } from './stage-tipping.ts';

export type BuildStages =
  /** It tips while some of its loads are not there, about one hoist or the line of two. */
  | { readonly tips: true; readonly about: readonly number[]; readonly rightingNm: number }
  | {
      readonly tips: false;
      /** Most that each hoist carries in any stage [N]. */
      readonly mostN: readonly number[];
      /** No stage is worse than what is told. */
      readonly isBound: boolean;
      /** By sense of a target: what no stage goes beyond, anywhere along it. Empty where the worst stages themselves were seen. */
      readonly insideBounds: readonly number[];
      /** Number of stages in which it did not hang, of those that were solved. */
      readonly unheld: number;
    };

/** At sets of loads and levels of hoists; beyond, what no set can go beyond is told. */
const MOST_LOOKS = 1_000_000;
/** Of the load; less is rounding. */
const ROUNDING = 1e-9;

/**
 * A hang while it is built: any of its loads may not be there yet, or be down again, and any hoist may be high or low by a tolerance.
 * As long as every hoist stays taut whatever hangs, the worst set for a force is that of the loads that add to it. Where a hoist may go
 * slack, loads do not simply add up: every set of them is solved with contact, or what no set can go beyond is told.
 * @param shares  for the worst of moment and shear together; null = how they go together is not asked
 * @param visit  sees the stages that are worst for a moment, a shear, or both together somewhere; null = only reactions are wanted
 */
export function buildStages(
  hang: StagedHang,
  toleranceM: number,
  shares: StageShares | null,
  visit: ((sides: readonly StageSide[]) => void) | null,
  mostLooks = MOST_LOOKS,
): BuildStages {
  const tipping = tippingOf(hang);
  if (tipping.rightingNm < -ROUNDING * hang.influence.grossN * hang.sizeM) return { tips: true, ...tipping };
  const search = new StageSearch(hang, toleranceM, mostLooks);
  const reactions = hang.always.reactionsN.map((_, hoist) => reactionTarget(hang, hoist));
  const mostN = search.mostReactionsN(reactions);
  const insideBounds = visit === null ? [] : seeInside(hang, search, shares, visit);
  return { tips: false, mostN, isBound: search.isBound, insideBounds, unheld: search.unheld };
}

/** That each piece is cut into, until nothing that matters can hide between two stations. */
const PARTS = [4, 16, 64];

/** @returns by sense what no stage goes beyond, where the stages that were seen may not be all of it */
function seeInside(
  hang: StagedHang,
  search: StageSearch,
  shares: StageShares | null,
  visit: (sides: readonly StageSide[]) => void,
): readonly number[] {
  let beyond: readonly number[] = [];
  for (const parts of PARTS) {
    const targets = everyStation(hang, search.toleranceM, shares, parts);
    const worst = search.worstInside([...targets, ...torsions(hang, search.toleranceM)]);
    for (const sides of worst.stages) visit(sides);
    if (!search.isExact) return search.boundsOf(targets);
    beyond = worst.beyond;
    if (beyond.length === 0) break;
  }
  return beyond;
}
