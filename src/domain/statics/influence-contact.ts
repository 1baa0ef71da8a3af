import { ok } from '../foundation/result.ts';
import { zeros } from './banded.ts';
import type { ContactAnswer, SuspendedStructure } from './contact.ts';
import { findTautSupports } from './contact.ts';

/**
 * What a hang on its hoists does when their levels change, all of them taken as taut. That is enough to know it with some of them slack
 * too: a slack hoist does as much as one that is raised until it carries nothing.
 */
export type HangInfluence = {
  /** At the entered levels; one may push. */
  readonly tautReactionsN: readonly number[];
  /** Change of reaction i for a metre of level j, symmetric and never negative as a whole [N/m]. */
  readonly perMetre: readonly (readonly number[])[];
  /** Per hoist its lever about each axis of equilibrium: 1 for the sum of forces, then its place as a share of the size of the hang. */
  readonly levers: readonly (readonly number[])[];
  /** Sum of the sizes of all loads [N]. */
  readonly grossN: number;
  readonly holds: (taut: readonly boolean[]) => boolean;
};

export type HangInContact = {
  readonly taut: readonly boolean[];
  /** 0 where slack. */
  readonly reactionsN: readonly number[];
  /** Every hoist at these levels and taken as taut, the hang is as it is with the slack ones slack. */
  readonly raisedM: readonly number[];
};

/** Relative; far above the rounding of a solution, far below what anybody can set a hoist to. */
const CLEAR = 1e-8;
/** Forces that strain alone makes may be so many times the load before their rounding shows in what is left. */
const MOST_STRAIN = 1e4;
/** What the changes may miss equilibrium by, as a share of the load. */
const LARGEST_RESIDUAL = 1e-9;
const SMALLEST_PIVOT = 1e-9;

type NoAnswer = { code: 'not-sound' };

export type ContactAt = (raisedM: readonly number[], tautReactionsN?: readonly number[]) => HangInContact | null;

/**
 * Solves one hang at any number of levels, and with other loads where their reactions are given. Finds nothing where rounding could
 * decide: the structure itself has to be solved then.
 */
export function influenceContact(influence: HangInfluence): ContactAt {
  const asEntered = suspendedBy(influence);
  const known: (readonly boolean[])[] = [];
  return (raisedM, tautReactionsN) => {
    const loaded = tautReactionsN === undefined ? influence : { ...influence, tautReactionsN };
    const structure = tautReactionsN === undefined ? asEntered : suspendedBy(loaded);
    const found = findTautSupports(structure, raisedM, () => 1e-9 * influence.grossN, known);
    if (!found.ok) return null;
    const { taut, answer } = found.value;
    return isSound(loaded, raisedM, taut, answer) ? { taut, reactionsN: answer.reactionsN, raisedM: answer.upM } : null;
  };
}

/**
 * The same hang without one of its hoists, whose reaction is 0 at any level.
 * @source elimination of one unknown (Schur complement)
 */
export function withoutHoist(influence: HangInfluence, lost: number): HangInfluence | null {
  const { tautReactionsN, perMetre, levers, grossN, holds } = influence;
  if (!holds(perMetre.map((_, hoist) => hoist !== lost))) return null;
  const row = perMetre[lost] ?? [];
  const own = row[lost] ?? 0;
  if (!(own > 0)) return null;
  const others = perMetre.flatMap((_, hoist) => (hoist === lost ? [] : [hoist]));
  return {
    tautReactionsN: others.map((hoist) => (tautReactionsN[hoist] ?? 0) - ((row[hoist] ?? 0) * (tautReactionsN[lost] ?? 0)) / own),
    perMetre: others.map((hoist) => others.map((other) => (perMetre[hoist]?.[other] ?? 0) - ((row[hoist] ?? 0) * (row[other] ?? 0)) / own)),
    levers: others.map((hoist) => levers[hoist] ?? []),
    grossN,
    holds: (taut) => {
      const all = perMetre.map(() => false);
      for (const [index, hoist] of others.entries()) all[hoist] = taut[index] ?? false;
      return holds(all);
    },
  };
}

function suspendedBy({ tautReactionsN, perMetre, holds }: HangInfluence): SuspendedStructure<ContactAnswer, NoAnswer> {
  const count = perMetre.length;
  return {
    tensionOnly: perMetre.map(() => true),
    holds,
    answer: (taut, levelsM, which) => {
      const reactionsN = which === 'loaded' ? tautReactionsN.slice() : zeros(count);
      for (let hoist = 0; hoist < count; hoist++) {
        const row = perMetre[hoist] ?? [];
        let sum = reactionsN[hoist] ?? 0;
        for (let other = 0; other < count; other++) sum += (row[other] ?? 0) * (levelsM[other] ?? 0);
        reactionsN[hoist] = sum;
      }
      const upM = levelsM.slice();
      const slack: number[] = [];
      for (let hoist = 0; hoist < count; hoist++) if (!taut[hoist]) slack.push(hoist);
      if (slack.length === 0) return ok({ reactionsN, upM });
      const gapsM = gapsOf(perMetre, slack, reactionsN);
      if (gapsM === null) return { ok: false, error: { code: 'not-sound' } };
      for (const [index, hoist] of slack.entries()) {
        const gapM = gapsM[index] ?? 0;
        upM[hoist] = (upM[hoist] ?? 0) + gapM;
        for (let other = 0; other < count; other++) reactionsN[other] = (reactionsN[other] ?? 0) + (perMetre[other]?.[hoist] ?? 0) * gapM;
      }
      for (const hoist of slack) reactionsN[hoist] = 0;
      return ok({ reactionsN, upM });
    },
  };
}

/** How far each slack hoist has to rise until it carries nothing. Null where that cannot be told from rounding. */
function gapsOf(perMetre: HangInfluence['perMetre'], slack: readonly number[], reactionsN: readonly number[]): number[] | null {
  const count = slack.length;
  const lower = zeros(count * count); // Cholesky's L·D·Lᵀ, D on the diagonal
  const gapsM = zeros(count);
  for (let row = 0; row < count; row++) {
    const own = perMetre[slack[row] ?? 0] ?? [];
    const diagonal = own[slack[row] ?? 0] ?? 0;
    let pivot = diagonal;
    let sum = -(reactionsN[slack[row] ?? 0] ?? 0);
    for (let column = 0; column < row; column++) {
      let value = own[slack[column] ?? 0] ?? 0;
      for (let k = 0; k < column; k++)
        value -= (lower[row * count + k] ?? 0) * (lower[column * count + k] ?? 0) * (lower[k * count + k] ?? 0);
      const factor = value / (lower[column * count + column] ?? 1);
      lower[row * count + column] = factor;
      pivot -= factor * value;
      sum -= factor * (gapsM[column] ?? 0);
    }
    if (!(pivot > SMALLEST_PIVOT * diagonal)) return null;
    lower[row * count + row] = pivot;
    gapsM[row] = sum;
  }
  for (let row = count - 1; row >= 0; row--) {
    let sum = (gapsM[row] ?? 0) / (lower[row * count + row] ?? 1);
    for (let k = row + 1; k < count; k++) sum -= (lower[k * count + row] ?? 0) * (gapsM[k] ?? 0);
    gapsM[row] = sum;
  }
  return gapsM;
}

/** In equilibrium, and clear of every change of contact by more than rounding. */
function isSound(
  { tautReactionsN, perMetre, levers, grossN }: HangInfluence,
  raisedM: readonly number[],
  taut: readonly boolean[],
  { reactionsN, upM }: ContactAnswer,
): boolean {
  const count = perMetre.length;
  let [sizeN, leastN, sizeM, leastM] = [0, Infinity, 0, Infinity];
  for (let hoist = 0; hoist < count; hoist++) {
    const row = perMetre[hoist] ?? [];
    sizeN = Math.max(sizeN, Math.abs(tautReactionsN[hoist] ?? 0));
    for (let other = 0; other < count; other++) sizeN = Math.max(sizeN, Math.abs((row[other] ?? 0) * (upM[other] ?? 0)));
    sizeM = Math.max(sizeM, Math.abs(upM[hoist] ?? 0), Math.abs(raisedM[hoist] ?? 0));
    if (taut[hoist]) leastN = Math.min(leastN, reactionsN[hoist] ?? 0);
    else leastM = Math.min(leastM, (upM[hoist] ?? 0) - (raisedM[hoist] ?? 0));
  }
  if (!(sizeN <= MOST_STRAIN * grossN && leastN > CLEAR * sizeN && leastM > CLEAR * sizeM)) return false;
  for (let axis = 0; axis < (levers[0]?.length ?? 0); axis++) {
    let change = 0;
    for (let hoist = 0; hoist < count; hoist++)
      change += ((reactionsN[hoist] ?? 0) - (tautReactionsN[hoist] ?? 0)) * (levers[hoist]?.[axis] ?? 0);
    if (!(Math.abs(change) <= LARGEST_RESIDUAL * grossN)) return false;
  }
  return true;
}
