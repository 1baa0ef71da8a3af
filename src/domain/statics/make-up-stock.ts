import { fail, ok } from '../foundation/result.ts';
import type { Result } from '../foundation/result.ts';

/** A part of one length: a steel, a ring, a shackle that is counted. Bearing to bearing [m]. */
export type StockPiece = {
  readonly id: string;
  readonly lengthM: number;
  /** null: as many as wanted */ readonly available: number | null;
};
/** A part with settings: `shortestM`, and `steps` more, each `stepM` longer. */
export type StockAdjuster = {
  readonly id: string;
  readonly shortestM: number;
  readonly stepM: number;
  readonly steps: number;
  readonly available: number | null;
};
export type Stock = {
  readonly pieces: readonly StockPiece[];
  readonly adjusters: readonly StockAdjuster[];
  /** What joins two parts of a leg (a shackle's inside length); 0 when the parts' lengths have it in [m]. */
  readonly jointM: number;
  /** What every leg has at its two ends together [m]. */
  readonly endsM: number;
};

/** One way to make one leg. `offM` is made less wanted. */
export type LegMakeUp = {
  readonly pieces: readonly { readonly id: string; readonly count: number }[];
  /** `setting` counts steps from the shortest. */
  readonly adjuster: { readonly id: string; readonly setting: number; readonly stepM: number } | null;
  /** How many parts, the adjuster among them; what joins them is not counted. */
  readonly parts: number;
  readonly madeM: number;
  readonly offM: number;
};

export type StockError =
  | { readonly code: 'stock-id-repeated'; readonly id: string }
  | { readonly code: 'stock-value-impossible'; readonly id: string; readonly what: string; readonly value: number };

/** More ways than this for one leg and one number of parts are not tried against the other legs: the nearest are. */
const KEPT_WAYS = 24;
/** Steps of the search over all legs together; some tens of milliseconds. */
const STEP_BUDGET = 400_000;
const ROUNDING_M = 1e-9; // decimal lengths that add up to the limit must count as within it
const LONGEST_M = 1e4;

/** Steps that are left, shared by all legs of one search, and whether anything was left out. Counted, not timed: the same everywhere. */
export type SearchBudget = { stepsLeft: number; complete: boolean };
export const freshBudget = (): SearchBudget => ({ stepsLeft: STEP_BUDGET, complete: true });

export function checkStock(stock: Stock): Result<Stock, StockError> {
  const seen = new Set<string>();
  for (const { id, available } of [...stock.pieces, ...stock.adjusters]) {
    if (seen.has(id)) return fail({ code: 'stock-id-repeated', id });
    seen.add(id);
    if (available !== null && !(Number.isInteger(available) && available >= 0)) return impossible(id, 'available', available);
  }
  for (const { id, lengthM } of stock.pieces) if (!isLength(lengthM)) return impossible(id, 'lengthM', lengthM);
  for (const { id, shortestM, stepM, steps } of stock.adjusters) {
    if (!isLength(shortestM)) return impossible(id, 'shortestM', shortestM);
    if (!isLength(stepM)) return impossible(id, 'stepM', stepM);
    if (!(Number.isInteger(steps) && steps >= 0 && steps <= 10_000)) return impossible(id, 'steps', steps);
  }
  if (!isAllowance(stock.jointM)) return impossible('', 'jointM', stock.jointM);
  if (!isAllowance(stock.endsM)) return impossible('', 'endsM', stock.endsM);
  return ok(stock);
}

const impossible = (id: string, what: string, value: number) => fail({ code: 'stock-value-impossible' as const, id, what, value });
const isLength = (lengthM: number): boolean => lengthM > 0 && lengthM <= LONGEST_M;
const isAllowance = (lengthM: number): boolean => lengthM >= 0 && lengthM <= LONGEST_M;

/**
 * The ways to make one leg of exactly `parts` parts, at most one of them an adjuster, no farther than `bandM` from the wanted length;
 * nearest first, then the longer pieces first. Only what is available for this leg alone is looked at.
 */
export function waysToMake(wantedM: number, parts: number, bandM: number, stock: Stock, budget: SearchBudget): readonly LegMakeUp[] {
  const pieces = stock.pieces.toSorted((a, b) => b.lengthM - a.lengthM || (a.id < b.id ? -1 : 1));
  const joinedM = stock.endsM + stock.jointM * (parts - 1);
  const toFillM = wantedM - joinedM;
  const ways: LegMakeUp[] = [];
  const keep = (counts: readonly number[], filledM: number, adjuster: LegMakeUp['adjuster']): void => {
    const madeM = joinedM + filledM;
    const offM = madeM - wantedM;
    // Behind its equals, so that what was found first stays first.
    let place = ways.length;
    while (place > 0 && Math.abs(ways[place - 1]?.offM ?? 0) > Math.abs(offM)) place -= 1;
    if (place < KEPT_WAYS) {
      const chosen = pieces.flatMap(({ id }, index) => ((counts[index] ?? 0) > 0 ? [{ id, count: counts[index] ?? 0 }] : []));
      ways.splice(place, 0, { pieces: chosen, adjuster, parts, madeM, offM });
    }
    if (ways.length > KEPT_WAYS || place >= KEPT_WAYS) {
      ways.length = KEPT_WAYS;
      budget.complete = false;
    }
  };

  picks(pieces, parts, toFillM - bandM, toFillM + bandM, budget, (counts, pickedM) => keep(counts, pickedM, null));
  for (const { id, shortestM, stepM, steps, available } of stock.adjusters) {
    if (available === 0) continue;
    const longestM = shortestM + steps * stepM;
    picks(pieces, parts - 1, toFillM - bandM - longestM, toFillM + bandM - shortestM, budget, (counts, pickedM) => {
      const first = Math.max(0, Math.ceil((toFillM - bandM - pickedM - shortestM - ROUNDING_M) / stepM));
      const last = Math.min(steps, Math.floor((toFillM + bandM - pickedM - shortestM + ROUNDING_M) / stepM));
      for (let setting = first; setting <= last && budget.stepsLeft > 0; setting += 1) {
        budget.stepsLeft -= 1;
        keep(counts, pickedM + shortestM + setting * stepM, { id, setting, stepM });
      }
    });
  }
  if (budget.stepsLeft <= 0) budget.complete = false;
  return ways;
}

/** Calls back with every choice of `parts` pieces (counts in their order, longest first) whose lengths sum up within the limits. */
function picks(
  pieces: readonly StockPiece[],
  parts: number,
  fromM: number,
  toM: number,
  budget: SearchBudget,
  found: (counts: readonly number[], pickedM: number) => void,
): void {
  const shortestM = pieces[pieces.length - 1]?.lengthM ?? 0;
  const counts = pieces.map(() => 0);
  const pick = (index: number, left: number, pickedM: number): void => {
    if (left === 0) {
      if (pickedM >= fromM - ROUNDING_M && pickedM <= toM + ROUNDING_M) found(counts, pickedM);
      return;
    }
    const piece = pieces[index];
    if (piece === undefined || budget.stepsLeft <= 0) return;
    budget.stepsLeft -= 1;
    if (pickedM + left * piece.lengthM < fromM - ROUNDING_M || pickedM + left * shortestM > toM + ROUNDING_M) return;
    for (let take = Math.min(left, piece.available ?? left); take >= 0; take -= 1) {
      counts[index] = take;
      pick(index + 1, left - take, pickedM + take * piece.lengthM);
    }
    counts[index] = 0;
  };
  pick(0, parts, 0);
}
