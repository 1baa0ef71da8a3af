import type { Missing } from './missing.ts';
import type { Position } from './plan.ts';

/** The pull of the rigging on the roof [kN]: x, y in space axes, towards the hang; down positive. */
export type Pull = { readonly xKn: number; readonly yKn: number; readonly downKn: number };

/** What one line, or one leg of its bridle, puts on one point. A dead hang pulls the same at rest and in the moving case. */
export type PointPull = {
  readonly role: 'line' | 'secondary';
  readonly pointId: string;
  readonly resting: Pull;
  /** The most at rest while some of the hang is not there yet, or is down again. */
  readonly build: Pull;
  readonly moving: Pull;
  /** When the hoist pulls on a stuck hang until its limiter trips; null without a hoist or without its WLL. */
  readonly limiter: Pull | null;
  /** When another line of the hang has gone slack; null where none can. */
  readonly slack: Pull | null;
  /** The same for each that can be lost; empty where none can. */
  readonly whenLost: readonly LostPull[];
  /** When a secondary catches what the line beside it has let go; null for a line, and for a secondary whose catch is not rated. */
  readonly accidental: Pull | null;
  /** Not in the load: it is a lower bound. */
  readonly missing: readonly Missing[];
  /** Not known about the sideways part alone. */
  readonly missingSideways: readonly Missing[];
};

export type LostPull = { readonly lost: string; readonly pull: Pull };

/** Where the roof has a point, and how it gives; null when it has none of that id. */
export type Anchors = (pointId: string) => (Position & { readonly stiffnessKnPerM: number | null }) | null;

const NO_PULL: Pull = { xKn: 0, yKn: 0, downKn: 0 };

/** Of legs that could not be solved: a lower bound of nothing, and said to be one. */
export const pullNotKnown = (pointId: string, lineMissing: readonly Missing[], why: Missing): PointPull => ({
  role: 'line',
  pointId,
  resting: NO_PULL,
  build: NO_PULL,
  moving: NO_PULL,
  limiter: null,
  slack: null,
  whenLost: [],
  accidental: null,
  missing: [...lineMissing, why],
  missingSideways: [why],
});
