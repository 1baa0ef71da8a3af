import { fail, ok } from '../foundation/result.ts';
import type { Result } from '../foundation/result.ts';
import { checkStock, freshBudget, waysToMake } from './make-up-stock.ts';
import type { LegMakeUp, SearchBudget, Stock, StockError } from './make-up-stock.ts';

export type WantedLeg = { readonly id: string; /** bearing to bearing [m] */ readonly wantedM: number };
export type MadeLeg = LegMakeUp & WantedLeg;
export type MakeUpLimits = {
  /** More parts than this in one leg are not tried. */
  readonly mostPartsPerLeg: number;
  /** How many answers are wanted, best first. */
  readonly answers: number;
};
export const USUAL_LIMITS: MakeUpLimits = { mostPartsPerLeg: 6, answers: 5 };

export type MakeUpError =
  | StockError
  | { readonly code: 'leg-length-not-positive'; readonly leg: string; readonly legM: number }
  | { readonly code: 'tolerance-impossible'; readonly toleranceM: number }
  | { readonly code: 'limits-impossible' }
  | { readonly code: 'too-few-legs'; readonly legs: number }
  /** `legs`: those that no choice of the stock brings near enough by itself; none named: they do not do together. Not `complete`: the search stopped before it had tried all. */
  | { readonly code: 'no-make-up'; readonly legs: readonly string[]; readonly complete: boolean };

export type MakeUp = {
  readonly legs: readonly MadeLeg[];
  readonly parts: number;
  /** largest difference of a leg [m] */ readonly offM: number;
};
/** Not `complete`: the search was cut short, so fewer parts or nearer lengths may exist. */
export type MakeUps<T> = { readonly answers: readonly T[]; readonly complete: boolean };

/** Choices of a way for a leg, and of legs against each other, in one search; well below a second. */
const TRIAL_BUDGET = 50_000;

/**
 * Legs of wanted lengths from one stock: fewest parts first, then nearest. What one leg takes is not there for another.
 * @param toleranceM  how far each leg may be from its wanted length
 */
export function makeUpLegs(
  wanted: readonly WantedLeg[],
  toleranceM: number,
  stock: Stock,
  limits: MakeUpLimits = USUAL_LIMITS,
): Result<MakeUps<MakeUp>, MakeUpError> {
  return searchMakeUps(wanted, toleranceM, stock, limits, (legs) => {
    const offM = legs.reduce((mostM, leg) => Math.max(mostM, Math.abs(leg.offM)), 0);
    return { legs, offM, parts: partsOf(legs) };
  });
}

const partsOf = (legs: readonly MadeLeg[]): number => legs.reduce((sum, leg) => sum + leg.parts, 0);

/**
 * Goes through the numbers of parts upwards and through the ways to make each leg, and keeps what `judge` accepts, until there are
 * enough answers. Bounded by counted steps, so the same everywhere.
 * @param bandM  a leg farther from its wanted length than this can be in no answer
 * @param judge  the answer that these legs make, or null
 */
export function searchMakeUps<T extends { readonly parts: number; readonly offM: number }>(
  wanted: readonly WantedLeg[],
  bandM: number,
  stock: Stock,
  limits: MakeUpLimits,
  judge: (legs: readonly MadeLeg[]) => T | null,
): Result<MakeUps<T>, MakeUpError> {
  const fault = wantedFault(wanted, bandM, limits);
  if (fault !== null) return fail(fault);
  const checked = checkStock(stock);
  if (!checked.ok) return checked;

  const budget = freshBudget();
  const legs = wanted.map((leg) => choicesOf(leg, bandM, stock, limits.mostPartsPerLeg, budget));
  const unreached = legs.filter(({ fewestParts }) => fewestParts === null).map(({ id }) => id);
  if (unreached.length > 0) return fail({ code: 'no-make-up', legs: unreached, complete: budget.complete });

  // Fewest parts that the legs from this one on need together.
  const needed = legs.map((_, index) => legs.slice(index).reduce((sum, { fewestParts }) => sum + (fewestParts ?? 0), 0));
  let trialsLeft = TRIAL_BUDGET;
  const answers: T[] = [];
  const tryAll = (chosen: readonly MadeLeg[], partsLeft: number): void => {
    if (trialsLeft <= 0) return;
    trialsLeft -= 1;
    const leg = legs[chosen.length];
    if (leg === undefined) {
      const answer = inStock(chosen, stock) ? judge(chosen) : null;
      if (answer !== null) answers.push(answer);
      return;
    }
    const legsAfter = legs.length - chosen.length - 1;
    const most = Math.min(limits.mostPartsPerLeg, partsLeft - (needed[chosen.length + 1] ?? 0));
    const least = Math.max(1, partsLeft - legsAfter * limits.mostPartsPerLeg);
    for (let parts = least; parts <= most; parts += 1) {
      for (const way of leg.ways(parts)) tryAll([...chosen, way], partsLeft - parts);
    }
  };
  const mostParts = limits.mostPartsPerLeg * legs.length;
  for (let parts = needed[0] ?? 0; parts <= mostParts && answers.length < limits.answers; parts += 1) tryAll([], parts);

  const complete = budget.complete && trialsLeft > 0;
  if (answers.length === 0) return fail({ code: 'no-make-up', legs: [], complete });
  answers.sort((a, b) => a.parts - b.parts || a.offM - b.offM);
  return ok({ answers: answers.slice(0, limits.answers), complete });
}

type LegChoices = { readonly id: string; readonly fewestParts: number | null; readonly ways: (parts: number) => readonly MadeLeg[] };

/** The ways to make a leg, looked for when a number of parts is asked for the first time. */
function choicesOf(leg: WantedLeg, bandM: number, stock: Stock, mostParts: number, budget: SearchBudget): LegChoices {
  const known = new Map<number, readonly MadeLeg[]>();
  const ways = (parts: number): readonly MadeLeg[] => {
    const before = known.get(parts);
    if (before !== undefined) return before;
    const found = waysToMake(leg.wantedM, parts, bandM, stock, budget).map((way) => ({ ...way, ...leg }));
    known.set(parts, found);
    return found;
  };
  for (let parts = 1; parts <= mostParts; parts += 1) if (ways(parts).length > 0) return { id: leg.id, fewestParts: parts, ways };
  return { id: leg.id, fewestParts: null, ways };
}

function inStock(legs: readonly MadeLeg[], stock: Stock): boolean {
  const used = new Map<string, number>();
  const take = (id: string, count: number) => used.set(id, (used.get(id) ?? 0) + count);
  for (const leg of legs) {
    for (const { id, count } of leg.pieces) take(id, count);
    if (leg.adjuster !== null) take(leg.adjuster.id, 1);
  }
  return [...stock.pieces, ...stock.adjusters].every(({ id, available }) => available === null || (used.get(id) ?? 0) <= available);
}

function wantedFault(wanted: readonly WantedLeg[], bandM: number, limits: MakeUpLimits): MakeUpError | null {
  if (!(bandM >= 0 && bandM <= 1e4)) return { code: 'tolerance-impossible', toleranceM: bandM };
  const counts = [limits.mostPartsPerLeg, limits.answers];
  if (!counts.every((count) => Number.isInteger(count) && count >= 1 && count <= 50)) return { code: 'limits-impossible' };
  if (wanted.length === 0) return { code: 'too-few-legs', legs: 0 };
  for (const { id, wantedM } of wanted) {
    if (!(wantedM > 0 && wantedM <= 1e4)) return { code: 'leg-length-not-positive', leg: id, legM: wantedM };
  }
  return null;
}
