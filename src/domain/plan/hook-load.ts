import type { Contingency, TakeOffRow } from '../statics/hoist-line-take-off.ts';
import type { Reckoning } from '../statics/hoist-line-reckoning.ts';
import type { DynamicRule } from './dynamic-factor.ts';
import type { Missing } from './missing.ts';

/** A reckoning with the number that it gives. */
export type Reckoned = Reckoning & { readonly result: number };

/** What the hang puts on one hook [kg], contingency included, before the dynamic factor. */
export type HookLoad = {
  readonly pickUpId: string;
  readonly restingKg: number;
  /** At rest while some of what hangs is not there yet or is down again: the worst of its stages, never less than at rest with all. */
  readonly buildKg: number;
  /** While the hang is built, tilted and moved: the worst of its stages and of the level envelope. */
  readonly movingKg: number;
  /** The most when any other line of the hang has gone slack; null where none can. */
  readonly slackKg: number | null;
  /** The same for each that can, by itself; its own is there too, with what hangs on it then. Empty where none can. */
  readonly whenLost: readonly LostLoad[];
  /**
   * At rest with the hang whole: with its masses as stated, and the least that any contingency leaves; and the least while any load may be
   * missing or down. Where nothing asks, not told.
   */
  readonly atLeast?: { readonly statedKg: number; readonly leastKg: number; readonly barestKg: number };
  readonly missing: readonly Missing[];
  readonly reckonings: readonly Reckoned[];
};

/** `lost` names what has gone: a pick-up, or whatever else carries nothing then. */
export type LostLoad = { readonly lost: string; readonly massKg: number };

/** Something that the statics of a hang tell about the hang itself. */
export type HangFinding = {
  readonly kind: 'truss' | 'configuration' | 'part' | 'headroom';
  /** What it is about, within the hang: makes the check's id. */
  readonly subject: string;
  readonly pickUpId: string | null;
  readonly hard: boolean;
  readonly case: 'resting' | 'moving' | 'build' | 'slack' | 'accidental' | null;
  /**
   * `compare`: demand against capacity. `forbidden`, `unknown`: as said by `why`. `told`: nothing wrong.
   */
  readonly state: 'compare' | 'forbidden' | 'unknown' | 'told';
  readonly demand: number | null;
  readonly capacity: number | null;
  readonly unit: 'kg' | 'kN' | 'kNm' | 'deg' | 'm' | 'count' | null;
  readonly why: readonly Missing[];
  readonly reckonings: readonly Reckoned[];
};

export type HookLoads = {
  readonly hooks: readonly HookLoad[];
  readonly takeOff: readonly TakeOffRow[];
  readonly missing: readonly Missing[];
  readonly findings: readonly HangFinding[];
  /** Where the build puts the hooks in plan, in any axes; empty where it puts none. */
  readonly places: readonly HookPlace[];
  /** For the reader; nothing is decided by them. */
  readonly cautions: readonly string[];
};

export type HookPlace = { readonly pickUpId: string; readonly xM: number; readonly yM: number };

/** What the loads of a hang are worked out by: the venue's values. */
export type HookRules = {
  readonly contingency: Contingency;
  readonly dynamic: DynamicRule;
  readonly levelRestM: number;
  readonly levelMovingM: number;
};

/** With a place for every member: one that is added to a copy costs as much as ten that are there. */
const EVERY_MEMBER: HangFinding = {
  kind: 'configuration',
  subject: '',
  pickUpId: null,
  hard: true,
  case: null,
  state: 'unknown',
  demand: null,
  capacity: null,
  unit: null,
  why: [],
  reckonings: [],
};
/** What a finding need not state. */
export const BLANK_FINDING: Omit<HangFinding, 'kind' | 'subject' | 'state'> = EVERY_MEMBER;

/** A hang that cannot hang so. With a mass missing nobody can tell: with it, it might. */
export const notHeld = (kind: HangFinding['kind'], subject: string, error: Missing, missing: readonly Missing[]): HangFinding => ({
  ...BLANK_FINDING,
  kind,
  subject,
  state: missing.length > 0 ? 'unknown' : 'forbidden',
  why: [error, ...missing],
});
