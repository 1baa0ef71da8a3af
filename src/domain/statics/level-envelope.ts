import type { Result } from '../foundation/result.ts';
import { fail, ok } from '../foundation/result.ts';
import type { HangInContact, HangInfluence } from './influence-contact.ts';
import type { LevelPattern } from './level-patterns.ts';
import { levelPatterns } from './level-patterns.ts';

type CaseReaction = { readonly id: string; readonly forceN: number; readonly slack: boolean };
/** One solved state of a hang: a beam, a truss frame. Reactions in the order of its hoists. */
export type HungCase = { readonly reactions: readonly CaseReaction[] };

/** A hang on three or more hoists, ready to be solved many times at other levels. */
export type LevelledHang<C extends HungCase, E> = {
  readonly atRest: C;
  readonly influence: HangInfluence;
  /** In contact at some levels by its influence alone; null where rounding could decide. */
  readonly contactAt: (raisedM: readonly number[]) => HangInContact | null;
  readonly caseOf: (found: HangInContact) => C;
  /** Solves the structure itself. */
  readonly withContact: (raisedM: readonly number[]) => Result<C, E>;
};

export type HoistRange = {
  readonly id: string;
  readonly leastN: number;
  readonly mostN: number;
  /** Which hoists are high (+1) and low (-1) where it carries most; null = level. */
  readonly mostIn: LevelPattern | null;
  /** Number of patterns in which it hangs slack. */
  readonly slackIn: number;
};
export type LevelEnvelope = {
  readonly toleranceM: number;
  readonly hoists: readonly HoistRange[];
  /** Patterns solved, with the level hang itself. */
  readonly cases: number;
  readonly cautions: readonly string[];
};
export type LevelError =
  { code: 'not-finite'; what: string } | { code: 'tolerance-negative'; toleranceM: number } | { code: 'too-many-hoists'; hoists: number };

const MOST_HOISTS = 64; // some 8,000 patterns: seconds, not minutes

/**
 * What each hoist may carry when any of them is up to a tolerance high or low. Each pattern is solved with contact: which
 * hoists hang slack is searched anew, and each slack one then carries nothing.
 * @param toleranceM  each hoist may be this far above or below its entered level [m]
 * @param visit       sees every case, for the checks of the truss itself
 */
export function levelEnvelope<C extends HungCase, E>(
  hang: LevelledHang<C, E>,
  toleranceM: number,
  visit?: (one: C, pattern: LevelPattern | null) => void,
): Result<LevelEnvelope, E | LevelError> {
  if (!Number.isFinite(toleranceM)) return fail({ code: 'not-finite', what: 'level tolerance' });
  if (toleranceM < 0) return fail({ code: 'tolerance-negative', toleranceM });
  const { perMetre } = hang.influence;
  const count = perMetre.length;
  if (count > MOST_HOISTS) return fail({ code: 'too-many-hoists', hoists: count });
  const ranges = hang.atRest.reactions.map(({ id, forceN }) => ({
    id,
    leastN: forceN,
    mostN: forceN,
    mostIn: null as LevelPattern | null,
    slackIn: 0,
  }));
  const take = (one: C, pattern: LevelPattern | null) => {
    for (const [index, { forceN, slack }] of one.reactions.entries()) {
      const range = ranges[index];
      if (range === undefined) continue;
      range.leastN = Math.min(range.leastN, forceN);
      if (forceN > range.mostN) [range.mostN, range.mostIn] = [forceN, pattern];
      if (slack) range.slackIn += 1;
    }
    visit?.(one, pattern);
  };
  take(hang.atRest, null);
  // Two hoists carry the same at any level.
  const { patterns, areAll } = count < 3 || toleranceM === 0 ? { patterns: [], areAll: true } : levelPatterns(perMetre);
  for (const pattern of patterns) {
    const raisedM = pattern.map((sign) => sign * toleranceM);
    const found = hang.contactAt(raisedM);
    const solved = found !== null ? ok(hang.caseOf(found)) : hang.withContact(raisedM);
    if (!solved.ok) return solved;
    take(solved.value, pattern);
  }
  const cautions = areAll
    ? []
    : [
        `With ${count} hoists not every pattern of levels was solved: for each hoist the worst by its influence, and those with one hoist the other way.`,
      ];
  return ok({ toleranceM, hoists: ranges, cases: patterns.length + 1, cautions });
}
