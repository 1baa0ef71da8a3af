import type { HangInfluence } from './influence-contact.ts';

/** Up to so many hoists every way in which some are slack is laid out beforehand. */
export const MOST_HOISTS_LAID_OUT = 5;
/** Relative; what is nearer to a change of contact is left to the structure itself. */
const CLEAR = 1e-9;

type SlackSet = {
  readonly slack: readonly number[];
  readonly isSlack: readonly boolean[];
  /** Rise of each slack hoist for a reaction of each, row by row [m/N]. */
  readonly rise: Float64Array;
  /** What a reaction of each slack hoist, let go, adds to every hoist, row by row. */
  readonly passes: Float64Array;
};

/**
 * A hang in contact for many thousands of loads: for each set of slack hoists, what they would carry goes to the others by factors known
 * beforehand. The one set that leaves no hoist pushing and no slack one stretched is the answer.
 */
export class StageContact {
  /** Of the last answer [N]: 0 where slack. */
  readonly reactionsN: Float64Array;
  /** Of the last answer: which are slack, and by how much each is raised until it carries nothing [m]. */
  slack: readonly number[] = [];
  readonly riseM: Float64Array;
  private readonly sets: readonly SlackSet[];
  private readonly clearN: number;
  private last = 0;

  constructor({ perMetre, holds, grossN }: HangInfluence) {
    this.reactionsN = new Float64Array(perMetre.length);
    this.riseM = new Float64Array(perMetre.length);
    this.clearN = CLEAR * grossN;
    const sets: SlackSet[] = [];
    for (let bits = 0; bits < 1 << perMetre.length; bits++) {
      const isSlack = perMetre.map((_, hoist) => ((bits >> hoist) & 1) === 1);
      if (!holds(isSlack.map((one) => !one))) continue;
      const slack = perMetre.flatMap((_, hoist) => (isSlack[hoist] ? [hoist] : []));
      const rise = inverse(slack.map((row) => slack.map((column) => perMetre[row]?.[column] ?? 0)));
      if (rise === null) continue;
      const passes = perMetre.flatMap((row) =>
        slack.map((_, column) => slack.reduce((sum, hoist, k) => sum + (row[hoist] ?? 0) * (rise[k * slack.length + column] ?? 0), 0)),
      );
      sets.push({ slack, isSlack, rise: Float64Array.from(rise), passes: Float64Array.from(passes) });
    }
    this.sets = sets;
  }

  /**
   * @param tautN  reactions with all hoists taken as taut, at their levels
   * @returns whether there is an answer clear of every change of contact
   */
  solve(tautN: Float64Array): boolean {
    if (this.isAnswer(this.last, tautN)) return true;
    for (let set = 0; set < this.sets.length; set++) {
      if (set === this.last || !this.isAnswer(set, tautN)) continue;
      this.last = set;
      return true;
    }
    return false;
  }

  private isAnswer(index: number, tautN: Float64Array): boolean {
    const set = this.sets[index];
    if (set === undefined) return false;
    const { slack, isSlack, rise, passes } = set;
    const count = slack.length;
    for (let row = 0; row < count; row++) {
      let byM = 0;
      let sizeM = 0;
      for (let column = 0; column < count; column++) {
        const part = (rise[row * count + column] ?? 0) * (tautN[slack[column] ?? 0] ?? 0);
        byM -= part;
        sizeM += Math.abs(part);
      }
      if (!(byM > CLEAR * sizeM)) return false;
      this.riseM[slack[row] ?? 0] = byM;
    }
    for (let hoist = 0; hoist < tautN.length; hoist++) {
      if (isSlack[hoist]) {
        this.reactionsN[hoist] = 0;
        continue;
      }
      let reactionN = tautN[hoist] ?? 0;
      for (let column = 0; column < count; column++) reactionN -= (passes[hoist * count + column] ?? 0) * (tautN[slack[column] ?? 0] ?? 0);
      if (!(reactionN > this.clearN)) return false;
      this.reactionsN[hoist] = reactionN;
    }
    this.slack = slack;
    return true;
  }
}

const SMALLEST_PIVOT = 1e-9;

/** Of a small symmetric positive matrix, row by row; null where it is not sound. */
export function inverse(matrix: readonly (readonly number[])[]): number[] | null {
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
