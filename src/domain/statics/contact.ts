import type { Result } from '../foundation/result.ts';
import { fail, ok } from '../foundation/result.ts';
import { zeros } from './banded.ts';

/** What a structure answers when a given set of its supports is taut. Per support, in the structure's own order. */
export type ContactAnswer = {
  /** Up positive; 0 where slack. */
  readonly reactionsN: readonly number[];
  /** Movement of the structure at the support, up positive. */
  readonly upM: readonly number[];
};
/** A linear structure on supports of which some can only pull. */
export type SuspendedStructure<A extends ContactAnswer, E> = {
  readonly tensionOnly: readonly boolean[];
  /** The structure with only these supports taut, at these levels (up positive), with its loads or without. */
  readonly answer: (taut: readonly boolean[], levelsM: readonly number[], loads: 'loaded' | 'unloaded') => Result<A, E>;
  /** Whether these supports alone hold it against every load. */
  readonly holds: (taut: readonly boolean[]) => boolean;
};
export type ContactError = { code: 'tips'; slack: number[] } | { code: 'ill-conditioned'; what: string; relativeResidual: number };

/**
 * Which supports are taut: none of them pushes, and no slack one would be stretched. There is one answer or, when the structure
 * tips, none.
 *
 * Starts with every support taut and releases one at a time. The one that pushes most is raised until it carries nothing; a slack
 * one that becomes taut on the way is taken back in. That is the dual active-set method for the least complementary energy: each
 * release raises the dual energy, so no set comes twice and the search ends.
 * @param forceToleranceN  a push smaller than this is rounding
 * @param known  sets found for the same structure at other levels: they are tried first, since there is but one answer and a set that
 *   meets its conditions is it; a set found by searching is added
 * @source Goldfarb and Idnani, "A numerically stable dual method for solving strictly convex quadratic programs" (1983),
 *   from memory; the complementary energy of a suspended structure is such a program
 */
export function findTautSupports<A extends ContactAnswer, E>(
  structure: SuspendedStructure<A, E>,
  levelsM: readonly number[],
  forceToleranceN: (answer: A) => number,
  known: (readonly boolean[])[] = [],
): Result<{ taut: readonly boolean[]; answer: A }, E | ContactError> {
  for (const taut of known) {
    const tried = structure.answer(taut, levelsM, 'loaded');
    if (!tried.ok) return tried;
    if (isContact(structure, taut, tried.value, levelsM, forceToleranceN(tried.value))) return ok({ taut, answer: tried.value });
  }
  const count = structure.tensionOnly.length;
  const taut = new Array<boolean>(count).fill(true);
  const all = structure.answer(taut, levelsM, 'loaded');
  if (!all.ok) return all;
  let answer = all.value;
  const toleranceN = forceToleranceN(answer);
  // Each release takes back at most `count` others. Far more rounds than any hang needs, so that rounding cannot make it endless.
  for (let left = 20 * count * count + 20; left > 0; left--) {
    const pushing = worstPush(structure, answer, toleranceN);
    if (pushing === -1) {
      known.push(taut);
      return ok({ taut, answer });
    }
    const released = release(structure, levelsM, taut, answer, pushing);
    if (!released.ok) return released;
    answer = released.value;
  }
  return fail({ code: 'ill-conditioned', what: 'which supports are slack', relativeResidual: 1 });
}

function worstPush<A extends ContactAnswer, E>(structure: SuspendedStructure<A, E>, answer: A, toleranceN: number): number {
  let worst = -1;
  let worstN = -toleranceN;
  for (let index = 0; index < answer.reactionsN.length; index++) {
    const reactionN = answer.reactionsN[index] ?? 0;
    if (structure.tensionOnly[index] && reactionN < worstN) {
      worst = index;
      worstN = reactionN;
    }
  }
  return worst;
}

/** Nothing pushes, and nothing that is slack would be stretched. */
function isContact<A extends ContactAnswer, E>(
  structure: SuspendedStructure<A, E>,
  taut: readonly boolean[],
  answer: A,
  levelsM: readonly number[],
  toleranceN: number,
): boolean {
  if (worstPush(structure, answer, toleranceN) !== -1) return false;
  // No tolerance: a doubtful gap is left to the search.
  return taut.every((isTaut, index) => isTaut || (answer.upM[index] ?? 0) > (levelsM[index] ?? 0));
}

/** Raises one support until it carries nothing and takes it out of `taut`; takes back what becomes taut before. */
function release<A extends ContactAnswer, E>(
  structure: SuspendedStructure<A, E>,
  levelsM: readonly number[],
  taut: boolean[],
  before: A,
  pushing: number,
): Result<A, E | ContactError> {
  const raisedM = [...levelsM];
  const unitM = zeros(levelsM.length);
  unitM[pushing] = 1;
  let now = before;
  for (;;) {
    const perMetre = structure.answer(taut, unitM, 'unloaded');
    if (!perMetre.ok) return perMetre;
    const isHeld = structure.holds(taut.map((isTaut, index) => isTaut && index !== pushing));
    // Where the rest would swing freely, raising takes no force: only a slack support that becomes taut can end it.
    const stiffnessNPerM = perMetre.value.reactionsN[pushing] ?? 0;
    let liftM = isHeld && stiffnessNPerM > 0 ? -(now.reactionsN[pushing] ?? 0) / stiffnessNPerM : Infinity;
    let taken = -1;
    for (const [index, isTaut] of taut.entries()) {
      const sinking = -(perMetre.value.upM[index] ?? 0);
      if (isTaut || sinking <= 1e-12) continue;
      const gapM = Math.max(0, (now.upM[index] ?? 0) - (levelsM[index] ?? 0));
      if (gapM / sinking < liftM) [taken, liftM] = [index, gapM / sinking];
    }
    if (taken === -1) {
      if (!isHeld)
        return fail({ code: 'tips', slack: [...taut.entries()].filter(([i, isTaut]) => !isTaut || i === pushing).map(([i]) => i) });
      taut[pushing] = false;
      return structure.answer(taut, levelsM, 'loaded');
    }
    taut[taken] = true;
    raisedM[pushing] = (raisedM[pushing] ?? 0) + liftM;
    const next = structure.answer(taut, raisedM, 'loaded');
    if (!next.ok) return next;
    now = next.value;
  }
}
