import type { AssessInput } from '../assessment/assess.ts';
import type { Verdict } from '../assessment/assessment.ts';
import type { Hang } from '../plan/plan.ts';

/** Where to look. */
export type Bounds = {
  /** Points farther from a pick-up in plan are not tried. */
  readonly withinM: number;
  /** Half the sides of the box that the hang may be moved in; 0 and 0 = it stays where it is. */
  readonly shift: { readonly xM: number; readonly yM: number };
  /** Of a bridle: 1 = direct picks alone. */
  readonly mostLegs: 1 | 2 | 3;
  /** An apex is put as high as its flattest leg stays within this, off vertical. */
  readonly legAngleDeg: number;
  /** Results for each number of legs. */
  readonly most: number;
};

/** How far a search has come: ways assessed, and which hang of how many it is at. Of a plan they are counted anew in each round. */
export type SoFar = { readonly assessed: number; readonly hang: number; readonly ofHangs: number };
/** How much may be done. `isOver` is asked often: it may tell the time, which the search itself does not know, and pass on how far it is. */
export type Budget = { readonly mostAssessed: number; readonly isOver: (soFar: SoFar) => boolean };

export type HangQuestion = Omit<AssessInput, 'sha256' | 'expectedNeighbourCount'> & { readonly hangId: string; readonly bounds: Bounds };

/** A way to hang it that is not over; the hang is ready to take the place of the one in the plan. */
export type Alternative = {
  readonly hang: Hang;
  /** Of every hard check that this hang has a part in. */
  readonly verdict: Verdict;
  /** Of the whole plan with it. */
  readonly planVerdict: Verdict;
  readonly utilisation: number | null;
  readonly displacementM: number;
  readonly moved: { readonly xM: number; readonly yM: number };
  /** Lines and legs that go up. */
  readonly pieces: number;
  readonly mostLegs: number;
  readonly holesSwapped: boolean;
  readonly pointIds: string[];
};

export type Found = {
  readonly alternatives: Alternative[];
  /** How many ways there were, how many of them a necessary condition ruled out, and how many were assessed. */
  readonly considered: number;
  readonly ruledOut: number;
  readonly assessed: number;
  /** What was not looked at to the end; empty = nothing better exists within the bounds. */
  readonly stoppedEarly: ('assessments' | 'time' | 'combinations')[];
};

const RANK: Readonly<Record<Verdict, number>> = { fits: 0, close: 1, unknown: 2, over: 3 };

/** Verdict, then the shorter way, then fewer pieces, then the less used; at last by points, so that the order is always the same. */
export function better(a: Alternative, b: Alternative): number {
  return (
    RANK[a.verdict] - RANK[b.verdict] ||
    a.displacementM - b.displacementM ||
    a.pieces - b.pieces ||
    (a.utilisation ?? 0) - (b.utilisation ?? 0) ||
    (a.pointIds.join() < b.pointIds.join() ? -1 : a.pointIds.join() > b.pointIds.join() ? 1 : 0)
  );
}
