import type { ForceLine } from './beam-extremes.ts';
import type { HangInfluence } from './influence-contact.ts';

/** Forces along one straight length, its even load on each piece between two nodes, and its torsion. */
export type StageSide = ForceLine['line'] & { readonly evenNPerM: readonly number[]; readonly torsionNm: number };
/** What one load, or one metre that one hoist is raised, does to the hang with every hoist taken as taut. */
export type StagePart = { readonly reactionsN: readonly number[]; readonly sides: readonly StageSide[] };

/** A hang taken apart: what always hangs, at the entered levels, and each load that may not be there yet or is down again. */
export type StagedHang = {
  readonly influence: HangInfluence;
  readonly sizeM: number;
  readonly lengths: readonly { readonly nodesM: readonly number[]; readonly hoistNodes: readonly number[] }[];
  readonly always: StagePart;
  readonly loads: readonly StagePart[];
  /** False where there are so many loads that neighbours come and go as one. */
  readonly eachByItself: boolean;
  /** Per hoist, for a metre. */
  readonly raised: readonly StagePart[];
  /** The structure itself with some of its loads, at these levels above the entered ones; null = it does not hang so. */
  readonly solve: (present: readonly boolean[], raisedM: readonly number[]) => StagePart | null;
};

/** How moment and shear add up for the truss [1/(N·m)], [1/N]. */
export type StageShares = { readonly perSaggingNm: number; readonly perHoggingNm: number; readonly perShearN: number };
