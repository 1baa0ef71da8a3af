import type { Goal } from './stage-relaxed.ts';
import type { ContactState, SwitchedSum } from './stage-states.ts';
import { mostOf } from './stage-states.ts';

/** Which switches are on, as bits, and what the sum then is. */
export type Combination = { readonly on: number; readonly value: number };

/**
 * Of all choices of at most 30 switches the one for which a sum is most, in the state of contact that the choice brings about. Nothing
 * that is left out can be better: each switch is set first the way that adds, and a choice is given up as soon as all that still could add
 * would not reach the best so far, or not make up for what the state lacks. On the border of two states a sum is the same in both.
 * @source branch and bound
 */
export class CombinationSearch {
  private readonly switches: number;
  /** The sum, then the conditions of the state. */
  private readonly width: number;
  /** By depth and line: what it is by the switches set so far, and what all others could add. */
  private readonly now: Float64Array;
  private readonly rest: Float64Array;
  /** By depth and line: what the switch set there adds; which switch it is. */
  private readonly changes: Float64Array;
  private readonly order: Int32Array;
  private bestValue = -Infinity;
  private bestOn = 0;
  private isFound = false;

  /** @param states  every state that some choice brings about, all of as many hoists and switches */
  constructor(states: readonly ContactState[]) {
    const [sum] = states[0]?.ofHoist ?? [];
    this.switches = Math.max(0, (sum?.length ?? 1) - 1);
    this.width = 1 + (states[0]?.ofHoist.length ?? 0);
    this.now = new Float64Array((this.switches + 1) * this.width);
    this.rest = new Float64Array((this.switches + 1) * this.width);
    this.changes = new Float64Array(this.switches * this.width);
    this.order = new Int32Array(this.switches);
  }

  /**
   * @param above  what is not more than this does not matter
   * @returns null where no choice that brings about a state gives more
   */
  most(goals: readonly Goal[], above: number): Combination | null {
    [this.bestValue, this.bestOn, this.isFound] = [above, 0, false];
    const open = goals.map((goal) => ({ goal, most: mostOf(goal.sum) })).sort((a, b) => b.most - a.most);
    for (const { goal, most } of open) {
      if (most <= this.bestValue) break;
      this.layOut(goal);
      this.descend(0, 0);
    }
    return !this.isFound ? null : { on: this.bestOn, value: this.bestValue };
  }

  private layOut({ sum, state }: Goal): void {
    const { switches, width, now, rest, changes, order } = this;
    putInOrder(order, sum);
    for (let line = 0; line < width; line++) {
      const values = line === 0 ? sum : state.ofHoist[line - 1];
      if (values === undefined) continue;
      now[line] = (values[0] ?? 0) + (line === 0 ? 0 : (state.rounding[line - 1] ?? 0));
      for (let depth = switches - 1, at = depth * width + line; depth >= 0; depth--, at -= width) {
        const change = values[1 + (order[depth] ?? 0)] ?? 0;
        changes[at] = change;
        rest[at] = (rest[at + width] ?? 0) + (change > 0 ? change : 0);
      }
    }
  }

  private descend(depth: number, on: number): void {
    const { width, now, rest, changes } = this;
    const at = depth * width;
    if ((now[at] ?? 0) + (rest[at] ?? 0) <= this.bestValue) return;
    for (let line = at + 1; line < at + width; line++) if ((now[line] ?? 0) + (rest[line] ?? 0) < 0) return;
    if (depth === this.switches) {
      [this.bestValue, this.bestOn, this.isFound] = [now[at] ?? 0, on, true];
      return;
    }
    const adds = (changes[at] ?? 0) > 0;
    for (let turn = 0; turn < 2; turn++) {
      const isOn = adds === (turn === 0);
      for (let line = at; line < at + width; line++) now[line + width] = (now[line] ?? 0) + (isOn ? (changes[line] ?? 0) : 0);
      this.descend(depth + 1, isOn ? on | (1 << (this.order[depth] ?? 0)) : on);
    }
  }
}

/** The switches that change most first; of equals the first. */
function putInOrder(order: Int32Array, sum: SwitchedSum): void {
  for (let index = 0; index < order.length; index++) {
    const size = Math.abs(sum[1 + index] ?? 0);
    let place = index;
    for (; place > 0 && Math.abs(sum[1 + (order[place - 1] ?? 0)] ?? 0) < size; place--) order[place] = order[place - 1] ?? 0;
    order[place] = index;
  }
}
