import { zeros } from './banded.ts';
import type { HangInfluence } from './influence-contact.ts';
import type { StagedHang } from './staged-hang.ts';

/**
 * Something that adds up over switches: first what it is with all of them off, then what each adds when it is on. The switches of a hang
 * are its loads, there or not, and then its hoists, high instead of low.
 */
export type SwitchedSum = number[];

/** One way in which some hoists are slack and the others taut: in it, everything adds up over the switches. */
export type ContactState = {
  readonly slack: readonly number[];
  /** Per hoist what it carries [N], or where it is slack how far it would have to rise until it carries nothing [m]: never below 0. */
  readonly ofHoist: readonly SwitchedSum[];
  /** What of each of them is rounding. */
  readonly rounding: readonly number[];
};

/** Up to so many hoists every way in which some are slack is laid out. */
const MOST_HOISTS = 8;
/** Relative. */
const ROUNDING = 1e-9;

export function switchedSum(always: number, loads: readonly number[], perMetre: readonly number[], toleranceM: number): SwitchedSum {
  const isLevelled = toleranceM > 0;
  const sum = [isLevelled ? perMetre.reduce((low, change) => low - toleranceM * change, always) : always];
  for (const load of loads) sum.push(load);
  if (isLevelled) for (const change of perMetre) sum.push(2 * toleranceM * change);
  return sum;
}

/**
 * Every state that some choice of switches could bring about.
 * @returns null where there are too many hoists, or a state that holds cannot be told from rounding
 */
export function contactStates({ always, loads, influence }: StagedHang, toleranceM: number): ContactState[] | null {
  const { perMetre, holds } = influence;
  if (perMetre.length > MOST_HOISTS) return null;
  const tautN = always.reactionsN.map((alwaysN, hoist) =>
    switchedSum(
      alwaysN,
      loads.map(({ reactionsN }) => reactionsN[hoist] ?? 0),
      perMetre[hoist] ?? [],
      toleranceM,
    ),
  );
  const states: ContactState[] = [];
  for (let bits = 0; bits < 1 << perMetre.length; bits++) {
    const slack = perMetre.flatMap((_, hoist) => ((bits >> hoist) & 1 ? [hoist] : []));
    if (!holds(perMetre.map((_, hoist) => ((bits >> hoist) & 1) === 0))) continue;
    const state = stateOf(slack, tautN, perMetre);
    if (state === null) return null;
    if (state.ofHoist.every((sum, hoist) => mostOf(sum) >= -(state.rounding[hoist] ?? 0))) states.push(state);
  }
  return states;
}

/** With every switch that adds on. */
export function mostOf(sum: SwitchedSum): number {
  let most = sum[0] ?? 0;
  for (let index = 1; index < sum.length; index++) most += Math.max(0, sum[index] ?? 0);
  return most;
}

/** @source a slack hoist does as much as one that is raised until it carries nothing */
function stateOf(slack: readonly number[], tautN: readonly SwitchedSum[], perMetre: HangInfluence['perMetre']): ContactState | null {
  const rise = inverse(slack.map((row) => slack.map((column) => perMetre[row]?.[column] ?? 0)));
  if (rise === null) return null;
  const rises = slack.map((_, row) => {
    const sum = zeros(tautN[0]?.length ?? 0);
    for (const [column, hoist] of slack.entries()) addTo(sum, tautN[hoist], -(rise[row * slack.length + column] ?? 0));
    return sum;
  });
  const ofHoist = tautN.map((taut, hoist) => {
    const own = rises[slack.indexOf(hoist)];
    if (own !== undefined) return own;
    const sum = taut.slice();
    for (const [which, other] of slack.entries()) addTo(sum, rises[which], perMetre[hoist]?.[other] ?? 0);
    return sum;
  });
  // Strain alone may be far more than what is left of it: its rounding counts.
  const rounding = tautN.map((taut, hoist) => {
    const row = slack.indexOf(hoist);
    let size = sizeOf(taut);
    if (row >= 0) {
      size = 0;
      for (const [column, other] of slack.entries()) size += Math.abs(rise[row * slack.length + column] ?? 0) * sizeOf(tautN[other] ?? []);
    }
    return ROUNDING * size;
  });
  return { slack, ofHoist, rounding };
}

const sizeOf = (sum: SwitchedSum): number => sum.reduce((size, part) => size + Math.abs(part), 0);

function addTo(sum: SwitchedSum, other: SwitchedSum | undefined, factor: number): void {
  for (let index = 0; index < sum.length; index++) sum[index] = (sum[index] ?? 0) + factor * (other?.[index] ?? 0);
}

const SMALLEST_PIVOT = 1e-9;

/** Of a small symmetric positive matrix, row by row; null where it is not sound. */
function inverse(matrix: readonly (readonly number[])[]): number[] | null {
  const count = matrix.length;
  const rows = matrix.map((row, index) => [...row, ...matrix.map((_, column) => (column === index ? 1 : 0))]);
  for (let pivot = 0; pivot < count; pivot++) {
    const own = rows[pivot] ?? [];
    const value = own[pivot] ?? 0;
    if (!(value > SMALLEST_PIVOT * (matrix[pivot]?.[pivot] ?? 0))) return null;
    for (let column = 0; column < 2 * count; column++) own[column] = (own[column] ?? 0) / value;
    for (let row = 0; row < count; row++) {
      const other = rows[row] ?? [];
      const factor = row === pivot ? 0 : (other[pivot] ?? 0);
      if (factor !== 0)
        for (let column = 0; column < 2 * count; column++) other[column] = (other[column] ?? 0) - factor * (own[column] ?? 0);
    }
  }
  return rows.flatMap((row) => row.slice(count));
}
