import type { Goal } from './stage-relaxed.ts';
import { dualOf } from './stage-relaxed.ts';
import type { ContactState, SwitchedSum } from './stage-states.ts';

/** Per switch 1 for on, and what the sum then is. */
export type Combination = { readonly on: Uint8Array; readonly value: number };

/** Looks at choices until their relaxation is asked for: it costs as much as so many, and rules nearly all out. */
const FEW_LOOKS = 1000;

/**
 * Of all choices of switches the one for which a sum is most, in the state of contact that the choice brings about. Nothing that is left out
 * can be better: each switch is set first the way that adds, and a choice is given up as soon as all that still could add would not reach
 * the best so far, or not make up for what the state lacks. On the border of two states a sum is the same in both.
 * @source branch and bound; the bound is sharpened by the dual of the relaxation (Lagrangian relaxation)
 */
export class CombinationSearch {
  /** Too many choices had to be looked at: what was found may not be the most. */
  gaveUp = false;
  private readonly switches: number;
  /** The sum, what bounds it, then the conditions of the state. */
  private readonly width: number;
  /** By depth and line: what it is by the switches set so far, and what all others could add. */
  private readonly now: Float64Array;
  private readonly rest: Float64Array;
  /** By depth and line: what the switch set there adds; which switch it is. */
  private readonly changes: Float64Array;
  private readonly order: Int32Array;
  private readonly on: Uint8Array;
  private readonly bestOn: Uint8Array;
  private bestValue = -Infinity;
  private isFound = false;
  private looks = 0;
  private until = 0;
  private readonly mostLooks: number;

  /**
   * @param states  every state that some choice brings about, all of as many hoists and switches
   * @param mostLooks  at choices, for all sums together
   */
  constructor(states: readonly ContactState[], mostLooks: number) {
    const hoists = states[0]?.ofHoist.length ?? 0;
    this.mostLooks = mostLooks;
    this.switches = Math.max(0, (states[0]?.ofHoist[0]?.length ?? 1) - 1);
    this.width = 2 + hoists;
    this.now = new Float64Array((this.switches + 1) * this.width);
    this.rest = new Float64Array((this.switches + 1) * this.width);
    this.changes = new Float64Array(this.switches * this.width);
    this.order = new Int32Array(this.switches);
    this.on = new Uint8Array(this.switches);
    this.bestOn = new Uint8Array(this.switches);
  }

  /**
   * @param above  what is not more than this does not matter
   * @returns null where no choice that brings about a state gives more
   */
  most(goals: readonly Goal[], above: number): Combination | null {
    [this.bestValue, this.isFound] = [above, false];
    for (const goal of [...goals].sort((a, b) => b.most - a.most)) {
      if (goal.most <= this.bestValue || this.gaveUp) break;
      this.look(goal, goal.sum, Math.min(this.looks + FEW_LOOKS, this.mostLooks));
      if (this.looks <= this.until) continue;
      const dual = dualOf(goal, this.bestValue);
      if (dual !== null) this.look(goal, dual, this.mostLooks);
      this.gaveUp = this.looks > this.mostLooks;
    }
    return this.isFound ? { on: this.bestOn.slice(), value: this.bestValue } : null;
  }

  private look(goal: Goal, bound: SwitchedSum, until: number): void {
    this.until = until;
    this.layOut(goal, bound);
    this.descend(0);
  }

  private layOut({ sum, state }: Goal, bound: SwitchedSum): void {
    const { switches, width, now, rest, changes, order } = this;
    putInOrder(order, bound);
    for (let line = 0; line < width; line++) {
      const values = line === 0 ? sum : line === 1 ? bound : state.ofHoist[line - 2];
      if (values === undefined) continue;
      now[line] = (values[0] ?? 0) + (line < 2 ? 0 : (state.rounding[line - 2] ?? 0));
      for (let depth = switches - 1, at = depth * width + line; depth >= 0; depth--, at -= width) {
        const change = values[1 + (order[depth] ?? 0)] ?? 0;
        changes[at] = change;
        rest[at] = (rest[at + width] ?? 0) + (change > 0 ? change : 0);
      }
    }
  }

  private descend(depth: number): void {
    const { width, now, rest, changes } = this;
    const at = depth * width;
    if (++this.looks > this.until) return;
    if ((now[at] ?? 0) + (rest[at] ?? 0) <= this.bestValue || (now[at + 1] ?? 0) + (rest[at + 1] ?? 0) <= this.bestValue) return;
    for (let line = at + 2; line < at + width; line++) if ((now[line] ?? 0) + (rest[line] ?? 0) < 0) return;
    if (depth === this.switches) {
      [this.bestValue, this.isFound] = [now[at] ?? 0, true];
      this.bestOn.set(this.on);
      return;
    }
    const adds = (changes[at + 1] ?? 0) > 0;
    for (let turn = 0; turn < 2; turn++) {
      const isOn = adds === (turn === 0);
      for (let line = at; line < at + width; line++) now[line + width] = (now[line] ?? 0) + (isOn ? (changes[line] ?? 0) : 0);
      this.on[this.order[depth] ?? 0] = isOn ? 1 : 0;
      this.descend(depth + 1);
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
