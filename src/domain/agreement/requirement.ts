import type { Side } from './parties.ts';

export type RequirementId =
  | 'planSubmitted'
  | 'roofCurrent'
  | 'withinHardLimits'
  | 'unknownsDecided'
  | 'ticksComplete'
  | 'noBlockingComments'
  | 'noStandingNo'
  | 'authorSeparation'
  | 'deciders'
  | 'validity'
  | 'notSuspended'
  | 'credentials';

/** One gate that a yes passes, in words. One list for the API, the screens and the documents. */
export type Requirement = {
  readonly id: RequirementId;
  readonly met: 'met' | 'unmet' | 'overridden' | 'not_applicable';
  readonly words: string;
  /** Who can meet it, where it is unmet. */
  readonly whoseTurn: Side | null;
};
