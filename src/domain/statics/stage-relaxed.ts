import { zeros } from './banded.ts';
import type { ContactState, SwitchedSum } from './stage-states.ts';
import { mostOf } from './stage-states.ts';

/** A sum to be bounded in one state of contact, and what it is with every switch on that adds. */
export type Goal = { readonly state: ContactState; readonly sum: SwitchedSum; readonly most: number };

/** Far more than any programme of so few conditions takes; what is known after them is a bound all the same. */
const MOST_PIVOTS = 60;
/** Relative to the largest of a condition, each of which is scaled to 1. */
const SMALLEST_PIVOT = 1e-9;
const BROKEN = 1e-12;
/** What columns too small to pivot on could still mend of a condition, all of them together and far out. */
const MENDED_BY_TOO_SMALL = 1e-6;

/**
 * No choice of switches gives more than this, in any of the states. Switches may be anywhere between off and on, as a load half carried
 * is, so that the largest value in a state that breaks no condition is a linear programme; its dual bounds it whatever the rounding.
 * @param known  what less than does not matter
 * @returns `known`, where none of the states can give more
 * @source linear programming: dual simplex method for bounded variables; weak duality
 */
export function boundOf(goals: readonly Goal[], known: number): number {
  let bound = known;
  for (const goal of [...goals].sort((a, b) => b.most - a.most)) {
    if (goal.most <= bound) break;
    const dual = dualOf(goal, bound);
    if (dual !== null) bound = Math.max(bound, Math.min(goal.most, mostOf(dual)));
  }
  return bound;
}

/**
 * The sum and a weight, never below 0, times each condition of its state: where all of them are met it is no less than the sum, and with
 * these weights what it could be at most is least. Beside the switches each condition is a variable: what it is met by, never below 0.
 * @returns null where nothing that is more than what is known brings the state about
 */
export function dualOf({ sum, state }: Goal, known: number): SwitchedSum | null {
  const switches = sum.length - 1;
  const rows = state.ofHoist.map((row, hoist) => scaled(row, state.rounding[hoist] ?? 0));
  const count = rows.length;
  // Which variable each column stands for, and whether it is at its upper end; conditions are numbered after the switches.
  const column = Array.from({ length: switches }, (_, index) => index);
  const isUpper = column.map((index) => (sum[1 + index] ?? 0) > 0);
  const basic = rows.map((_, row) => switches + row);
  const table = rows.map((row) => row.slice());
  const gain = sum.slice();
  for (let pivot = 0; pivot < MOST_PIVOTS; pivot++) {
    if (valueAt(gain, isUpper) <= known) return null;
    const leaving = mostBroken(table, basic, isUpper, switches);
    if (leaving === null) break;
    const entering = leastLoss(table[leaving.row], gain, isUpper, leaving.isLow);
    if (entering === null) {
      if (leaving.by > MENDED_BY_TOO_SMALL) return null; // nothing can mend it: the state does not come about
      break; // too little to tell from rounding: what is known by now is a bound
    }
    exchange(table, gain, leaving.row, entering);
    [column[entering], basic[leaving.row]] = [basic[leaving.row] ?? 0, column[entering] ?? 0];
    isUpper[entering] = !leaving.isLow;
  }
  const weights = rows.map(() => 0);
  for (const [index, variable] of column.entries())
    if (variable >= switches) weights[variable - switches] = Math.max(0, -(gain[1 + index] ?? 0));
  const dual = sum.slice();
  for (let row = 0; row < count; row++) {
    const weight = weights[row] ?? 0;
    for (let index = 0; index < dual.length && weight > 0; index++) dual[index] = (dual[index] ?? 0) + weight * (rows[row]?.[index] ?? 0);
  }
  return dual;
}

/** A condition as a share of its own size, met where it is missed by no more than rounding. */
function scaled(row: SwitchedSum, rounding: number): SwitchedSum {
  const size = row.reduce((most, part) => Math.max(most, Math.abs(part)), 0);
  if (!(size > 0)) return zeros(row.length);
  const own = row.map((part) => part / size);
  own[0] = (own[0] ?? 0) + rounding / size;
  return own;
}

function valueAt(row: SwitchedSum | undefined, isUpper: readonly boolean[]): number {
  let value = row?.[0] ?? 0;
  for (let index = 0; index < isUpper.length; index++) if (isUpper[index]) value += row?.[1 + index] ?? 0;
  return value;
}

function mostBroken(table: readonly SwitchedSum[], basic: readonly number[], isUpper: readonly boolean[], switches: number) {
  let broken: { row: number; isLow: boolean; by: number } | null = null;
  for (const [row, variable] of basic.entries()) {
    const value = valueAt(table[row], isUpper);
    const by = variable < switches ? Math.max(-value, value - 1) : -value;
    if (by > (broken?.by ?? BROKEN)) broken = { row, isLow: value < 0, by };
  }
  return broken;
}

/** The column that mends a row at the least loss for what it mends; null = none does. */
function leastLoss(row: SwitchedSum | undefined, gain: SwitchedSum, isUpper: readonly boolean[], isLow: boolean): number | null {
  let [least, best, bestSize] = [Infinity, null as number | null, 0];
  for (let index = 0; index < isUpper.length; index++) {
    const way = row?.[1 + index] ?? 0;
    const size = Math.abs(way);
    if (size <= SMALLEST_PIVOT || way > 0 === (isUpper[index] === isLow)) continue;
    const loss = Math.abs(gain[1 + index] ?? 0) / size;
    if (loss < least || (loss === least && size > bestSize)) [least, best, bestSize] = [loss, index, size];
  }
  return best;
}

/** What a row stands for takes the place of a column. */
function exchange(table: readonly SwitchedSum[], gain: SwitchedSum, leaving: number, entering: number): void {
  const own = table[leaving];
  const pivot = own?.[1 + entering] ?? 1;
  if (own === undefined) return;
  for (let index = 0; index < own.length; index++) own[index] = -(own[index] ?? 0) / pivot;
  own[1 + entering] = 1 / pivot;
  for (const row of [...table, gain]) {
    const factor = row[1 + entering] ?? 0;
    if (row === own || factor === 0) continue;
    row[1 + entering] = 0;
    for (let index = 0; index < row.length; index++) row[index] = (row[index] ?? 0) + factor * (own[index] ?? 0);
  }
}
