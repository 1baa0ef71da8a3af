import type { StagedHang, StagePart, StageSide } from './staged-hang.ts';
import type { HangInContact } from './influence-contact.ts';
import { influenceContact } from './influence-contact.ts';
import type { Combination } from './stage-combinations.ts';
import { CombinationSearch } from './stage-combinations.ts';
import type { Goal } from './stage-relaxed.ts';
import { boundOf } from './stage-relaxed.ts';
import type { ContactState } from './stage-states.ts';
import { contactStates, mostOf, switchedSum } from './stage-states.ts';
import type { StageTarget } from './stage-targets.ts';

type Stage = { readonly present: readonly boolean[]; readonly high: readonly (1 | -1)[] };
/** As it hangs: by what its hoists, all taken as taut, are raised, or as the structure itself was solved. */
type Found = { readonly reactionsN: readonly number[]; readonly raisedM: readonly number[] | null; readonly part: StagePart | null };
type Start = { readonly stage: Stage; readonly value: number };
type Asked = { readonly target: StageTarget; readonly start: Start | null };
type MostOf = (target: StageTarget, above: number) => Start | null;

const MOST_STATIONS = 3;
/** Of a force: so little between two stations may be missed by the stages that are seen. */
const MISSED = 0.002;
/** Of all its loads there, in size: a force below that is small. */
const SMALL = 0.1;
/** On more the states of contact are too many to bound each. */
const MOST_HOISTS_BOUNDED = 5;
/** Relative; how much less a force may be than a state of contact tells of it. */
const AS_TOLD = 1e-8;

/**
 * Looks for the stages of a build that are worst for some forces. Where every hoist stays taut whatever hangs, those are the loads and the
 * levels that add. Where one may go slack, every set of its loads at every pattern of levels is looked at that could be the worst; where
 * these are too many, what no set can go beyond is worked out.
 */
export class StageSearch {
  readonly toleranceM: number;
  /** Every hoist stays taut, or every set of loads was looked at that could be the worst. */
  isExact: boolean;
  /** No stage is worse than what is told: it is exact, or a bound is told. */
  isBound: boolean;
  unheld = 0;
  private readonly hang: StagedHang;
  readonly staysTaut: boolean;
  private readonly contactAt: ReturnType<typeof influenceContact>;
  /** Any set of its loads is looked at where it could be the worst. */
  isCombined: boolean;
  private readonly mostLooks: number;
  private search: CombinationSearch | null = null;
  private readonly seen = new Map<string, Found | null>();
  /** What bounds it where it is not exact. */
  private states: readonly ContactState[] | null;

  constructor(hang: StagedHang, toleranceM: number, mostLooks: number) {
    this.hang = hang;
    this.mostLooks = mostLooks;
    const { influence, loads, always } = hang;
    const hoists = always.reactionsN.length;
    // Two hoists carry the same at any level.
    this.toleranceM = hoists < 3 ? 0 : toleranceM;
    this.contactAt = influenceContact(influence);
    this.staysTaut =
      hoists < 3 ||
      always.reactionsN.every((alwaysN, hoist) => {
        const strainN = this.toleranceM * (influence.perMetre[hoist] ?? []).reduce((sum, change) => sum + Math.abs(change), 0);
        return loads.reduce((sum, { reactionsN }) => sum + Math.min(0, reactionsN[hoist] ?? 0), alwaysN - strainN) > 0;
      });
    // Of loads that are taken together nothing holds for each by itself.
    this.states = this.staysTaut || !hang.eachByItself ? null : contactStates(hang, this.toleranceM);
    this.isCombined = this.states !== null;
    this.isExact = hang.eachByItself && (this.staysTaut || this.isCombined);
    this.isBound = hang.eachByItself && (this.staysTaut || this.states !== null);
  }

  /** The most of each reaction. Where sets of loads are combined, the states of contact are gone through first. */
  mostReactionsN(targets: readonly StageTarget[]): number[] {
    const found = this.combined((most) => targets.map((target) => ({ target, start: most(target, -Infinity) })));
    return targets.map((target, index) => {
      const foundN = Math.max(0, this.worseOf(target, found?.[index]?.start ?? null)?.value ?? 0);
      if (this.states === null || this.isCombined) return foundN;
      // None pushes, so that no hoist carries more than all there is.
      return Math.min(boundOf(this.goalsOf(target, this.states, foundN), foundN), Math.max(foundN, this.hang.influence.grossN));
    });
  }

  /**
   * The stages that are worst for the forces inside, each once, and by sense what no stage goes beyond where these stages may miss a part of
   * it between the stations. A truss bears as much everywhere: of each sense the stations where it is worst.
   */
  worstInside(targets: readonly StageTarget[]): { readonly stages: (readonly StageSide[])[]; readonly beyond: readonly number[] } {
    const stages = new Map<string, readonly StageSide[]>();
    const beyond: number[] = [];
    const asked = this.combined((most) => worstOfSenses(targets, most)) ?? worstOfSenses(targets, null);
    for (const { target, start } of asked) {
      const worst = this.worseOf(target, start);
      if (worst !== null && !stages.has(keyOf(worst.stage))) stages.set(keyOf(worst.stage), this.sidesOf(worst.stage, worst.found));
      const covered = start === null ? target.value : start.value + target.bulge;
      const matters = MISSED * Math.max(covered, SMALL * sizeOf(target));
      if (this.isExact && target.bulge > matters) beyond[target.sense] = Math.max(beyond[target.sense] ?? 0, covered);
    }
    return { stages: [...stages.values()], beyond: Array.from(beyond, (value: number | undefined) => value ?? 0) };
  }

  /** For each sense what no stage goes beyond, anywhere; empty where the worst stages themselves are known. */
  boundsOf(targets: readonly StageTarget[]): number[] {
    const bounds: number[] = [];
    for (const target of this.states === null ? [] : targets) {
      const known = (bounds[target.sense] ?? 0) - target.bulge;
      bounds[target.sense] = target.bulge + boundOf(this.goalsOf(target, this.states ?? [], known), known);
    }
    return bounds;
  }

  /** In every state of contact the loads and levels add up, with what the slack hoists let go. Without those that give nothing more. */
  private goalsOf(target: StageTarget, states: readonly ContactState[], above: number): Goal[] {
    const { hoist } = target;
    const goals: Goal[] = [];
    const taut = switchedSum(target.always, target.loads, target.raised, this.toleranceM);
    for (const state of states) {
      if (hoist !== null && state.slack.includes(hoist)) continue;
      const own = hoist === null ? null : state.ofHoist[hoist];
      const sum = own ?? taut.slice();
      for (let which = 0; own === null && which < state.slack.length; which++) {
        const slack = state.slack[which] ?? 0;
        addTo(sum, state.ofHoist[slack] ?? [], target.raised[slack] ?? 0);
      }
      const most = mostOf(sum);
      if (most > above) goals.push({ state, sum, most });
    }
    return goals;
  }

  /**
   * What is the worst of all combinations.
   * @returns null where they are not combined, or where what a state of contact tells of one is not what hangs, by its rounding
   */
  private combined<T extends Asked>(ask: (most: MostOf) => readonly T[]): readonly T[] | null {
    const { states } = this;
    if (!this.isCombined || states === null) return null;
    this.search ??= new CombinationSearch(states, this.mostLooks);
    const { search } = this;
    const found = ask((target, above) => {
      const most = search.most(this.goalsOf(target, states, above), above);
      return most === null ? null : { stage: this.stageOf(most), value: most.value };
    });
    if (!search.gaveUp && found.every((asked) => this.hangsSo(asked))) return found;
    [this.isCombined, this.isExact] = [false, false];
    if (states[0] !== undefined && states[0].ofHoist.length > MOST_HOISTS_BOUNDED) [this.states, this.isBound] = [null, false];
    return null;
  }

  private hangsSo({ target, start }: Asked): boolean {
    const found = start === null ? null : this.hung(start.stage);
    if (start === null || found === null) return true; // what does not hang is told as such
    return start.value - valueOf(target, start.stage, found) <= AS_TOLD * sizeOf(target);
  }

  /** All hoists high strain nothing, as all low. */
  private stageOf({ on }: Combination): Stage {
    const { loads, always } = this.hang;
    const high = always.reactionsN.map((_, hoist): 1 | -1 => (this.toleranceM > 0 && on[loads.length + hoist] === 1 ? 1 : -1));
    return { present: loads.map((_, load) => on[load] === 1), high: high.every((sign) => sign === 1) ? high.map(() => -1) : high };
  }

  private worseOf(target: StageTarget, combined: Start | null): { stage: Stage; found: Found; value: number } | null {
    const byInfluence: Stage = {
      present: target.loads.map((change) => change > 0),
      high: target.raised.map((change) => (change >= 0 ? 1 : -1)),
    };
    const stage = combined?.stage ?? byInfluence;
    const found = this.hung(stage);
    return found === null ? null : { stage, found, value: valueOf(target, stage, found) };
  }

  private hung(stage: Stage): Found | null {
    const key = keyOf(stage);
    const before = this.seen.get(key);
    if (before !== undefined) return before;
    const found = this.solved(stage);
    this.seen.set(key, found);
    return found;
  }

  private solved({ present, high }: Stage): Found | null {
    const { always, loads, influence, solve } = this.hang;
    const reactionsN = always.reactionsN.slice();
    for (let load = 0; load < loads.length; load++) if (present[load]) addTo(reactionsN, loads[load]?.reactionsN ?? [], 1);
    const raisedM = high.map((sign) => sign * this.toleranceM);
    if (this.staysTaut) {
      for (let hoist = 0; hoist < raisedM.length; hoist++) {
        const byM = raisedM[hoist] ?? 0;
        for (let other = 0; other < reactionsN.length && byM !== 0; other++)
          reactionsN[other] = (reactionsN[other] ?? 0) + byM * (influence.perMetre[other]?.[hoist] ?? 0);
      }
      return { reactionsN, raisedM, part: null };
    }
    const inContact: HangInContact | null = this.contactAt(raisedM, reactionsN);
    if (inContact !== null) return { reactionsN: inContact.reactionsN, raisedM: inContact.raisedM, part: null };
    const part = solve(present, raisedM);
    if (part === null) this.unheld += 1;
    return part === null ? null : { reactionsN: part.reactionsN, raisedM: null, part };
  }

  private sidesOf({ present }: Stage, { raisedM, part }: Found): readonly StageSide[] {
    if (raisedM === null) return part?.sides ?? [];
    const { always, loads, raised } = this.hang;
    return always.sides.map((alone, side) => {
      const sum = {
        shearLeftN: alone.shearLeftN.slice(),
        shearRightN: alone.shearRightN.slice(),
        momentLeftNm: alone.momentLeftNm.slice(),
        momentRightNm: alone.momentRightNm.slice(),
        evenNPerM: alone.evenNPerM.slice(),
        torsionNm: alone.torsionNm,
      };
      const add = (more: StagePart | undefined, factor: number) => {
        const other = more?.sides[side];
        if (other === undefined || factor === 0) return;
        addTo(sum.shearLeftN, other.shearLeftN, factor);
        addTo(sum.shearRightN, other.shearRightN, factor);
        addTo(sum.momentLeftNm, other.momentLeftNm, factor);
        addTo(sum.momentRightNm, other.momentRightNm, factor);
        addTo(sum.evenNPerM, other.evenNPerM, factor);
        sum.torsionNm += factor * other.torsionNm;
      };
      for (const [load, isPresent] of present.entries()) if (isPresent) add(loads[load], 1);
      for (const [hoist, byM] of raisedM.entries()) add(raised[hoist], byM);
      return sum;
    });
  }
}

const sizeOf = ({ always, loads }: StageTarget): number => loads.reduce((sum, load) => sum + Math.abs(load), Math.abs(always));

/** Of each sense the few stations where it is most; @param most  null = by influence */
function worstOfSenses(targets: readonly StageTarget[], most: MostOf | null): Asked[] {
  const bySense = new Map<number, { asked: Asked; covered: number }[]>();
  // The most promising first: those that are left then seldom need a look.
  for (const target of [...targets].sort((a, b) => b.value - a.value)) {
    const worst = bySense.get(target.sense) ?? [];
    const above = worst[MOST_STATIONS - 1]?.covered ?? -Infinity;
    const start = most === null ? null : most(target, above - target.bulge);
    if (most === null ? target.value <= above : start === null) continue;
    worst.push({ asked: { target, start }, covered: start === null ? target.value : start.value + target.bulge });
    worst.sort((one, other) => other.covered - one.covered);
    bySense.set(target.sense, worst.slice(0, MOST_STATIONS));
  }
  return [...bySense.values()].flat().map(({ asked }) => asked);
}

function valueOf(target: StageTarget, { present }: Stage, { reactionsN, raisedM, part }: Found): number {
  if (target.hoist !== null) return reactionsN[target.hoist] ?? 0;
  if (raisedM === null) return part === null ? 0 : target.read(part);
  let value = target.always;
  for (let load = 0; load < present.length; load++) if (present[load]) value += target.loads[load] ?? 0;
  for (let hoist = 0; hoist < raisedM.length; hoist++) value += (raisedM[hoist] ?? 0) * (target.raised[hoist] ?? 0);
  return value;
}

function addTo(values: number[], others: readonly number[], factor: number): void {
  for (let index = 0; index < values.length; index++) values[index] = (values[index] ?? 0) + factor * (others[index] ?? 0);
}

const keyOf = ({ present, high }: Stage): string => `${present.map(Number).join('')} ${high.join('')}`;
