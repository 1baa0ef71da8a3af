import type { StagedHang, StagePart, StageSide } from './staged-hang.ts';
import type { HangInContact } from './influence-contact.ts';
import { influenceContact } from './influence-contact.ts';
import type { Combination } from './stage-combinations.ts';
import { highOf, worstCombinations } from './stage-combinations.ts';
import { MOST_HOISTS_LAID_OUT } from './stage-contact.ts';
import type { StageTarget } from './stage-targets.ts';

type Stage = { readonly present: boolean[]; readonly high: (1 | -1)[] };
/** As it hangs: by what its hoists, all taken as taut, are raised, or as the structure itself was solved. */
type Found = { readonly reactionsN: readonly number[]; readonly raisedM: readonly number[] | null; readonly part: StagePart | null };
type Start = { readonly stage: Stage; readonly value: number };

/** So many loads and hoists, each one way or the other, are combined in every way: some 4,000 stages. */
const ALL_UP_TO = 12;
/** The same of a truss frame, which has several times as many places to look at. */
const ALL_OF_FRAME_UP_TO = 10;
/** Of more loads than this only the heaviest are tried the other way by themselves. */
const MOST_TRIED = 24;
const MOST_SWEEPS = 8;
const MOST_STATIONS = 3;
/** Relative; less is rounding. */
const BETTER = 1e-9;

/**
 * Looks for the stages of a build that are worst for some forces. Every set of its loads is solved, at every pattern of levels; of many
 * loads, those that load and relieve the same hoists go together. From the worst of those and from the set that influence alone makes
 * worst, one load or hoist, then two, go the other way for as long as that makes it worse.
 */
export class StageSearch {
  readonly toleranceM: number;
  /** Every hoist stays taut, or every set of loads is solved (what its own weight may be more being tried afterwards). */
  readonly exact: boolean;
  unheld = 0;
  private readonly hang: StagedHang;
  readonly staysTaut: boolean;
  private readonly contactAt: ReturnType<typeof influenceContact>;
  private readonly isCombined: boolean;
  private readonly groups: readonly (readonly number[])[];
  private readonly tried: readonly number[];

  constructor(hang: StagedHang, toleranceM: number) {
    this.hang = hang;
    const { influence, loads, always, ownMore } = hang;
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
    this.isCombined = !this.staysTaut && hoists <= MOST_HOISTS_LAID_OUT;
    const heaviest = loads
      .map(({ reactionsN }, load) => ({ load, sizeN: reactionsN.reduce((most, one) => Math.max(most, Math.abs(one)), 0) }))
      .filter(({ sizeN }) => sizeN > 0)
      .sort((a, b) => b.sizeN - a.sizeN || a.load - b.load);
    this.tried = heaviest.slice(0, MOST_TRIED).map(({ load }) => load);
    const levels = this.toleranceM > 0 ? hoists : 0;
    this.groups = !this.isCombined ? [] : groupsOf(loads, ownMore, (hang.lengths.length === 1 ? ALL_UP_TO : ALL_OF_FRAME_UP_TO) - levels);
    this.exact = hang.eachByItself && (this.staysTaut || (this.isCombined && this.groups.every(({ length }) => length === 1)));
  }

  /** @returns the most of each reaction, and the stages that are worst for the forces inside, each once */
  worstOf(reactions: readonly StageTarget[], inside: readonly StageTarget[]) {
    const targets = [...reactions, ...inside];
    const starts = this.isCombined ? this.worstCombined(targets) : targets.map(() => null);
    const stages = new Map<string, readonly StageSide[]>();
    const reactionsN = reactions.map((target, index) => Math.max(0, this.climbed(target, starts[index] ?? null)?.value ?? 0));
    for (const { target, start } of this.worstOfSenses(inside, starts.slice(reactions.length))) {
      const worst = this.climbed(target, start);
      if (worst !== null && !stages.has(keyOf(worst.stage))) stages.set(keyOf(worst.stage), this.sidesOf(worst.stage, worst.found));
    }
    return { reactionsN, inside: [...stages.values()] };
  }

  /** A truss bears as much everywhere: of each sense the stations where it is worst so far. With many hoists nothing is known so far. */
  private worstOfSenses(inside: readonly StageTarget[], starts: readonly (Start | null)[]) {
    const asked = inside.map((target, index) => ({ target, start: starts[index] ?? null }));
    if (!this.isCombined && !this.staysTaut) return asked;
    const valueSoFar = ({ target, start }: (typeof asked)[number]) => start?.value ?? target.value;
    const senses = [...new Set(inside.map(({ sense }) => sense))];
    return senses.flatMap((sense) =>
      asked
        .filter(({ target }) => target.sense === sense)
        .sort((a, b) => valueSoFar(b) - valueSoFar(a))
        .slice(0, MOST_STATIONS),
    );
  }

  private worstCombined(targets: readonly StageTarget[]): (Start | null)[] {
    const combinations = worstCombinations(this.hang, this.toleranceM, this.groups, targets, (combination) => {
      const stage = this.stageOf(combination);
      const found = this.hung(stage);
      return found === null ? null : (target) => valueOf(target, stage, found);
    });
    return combinations.map((combination) =>
      combination === null ? null : { stage: this.stageOf(combination), value: combination.value },
    );
  }

  private stageOf({ set, levels }: Combination): Stage {
    const { loads, always, ownMore } = this.hang;
    const present = loads.map((_, load) => load < ownMore);
    for (const [index, group] of this.groups.entries()) for (const load of group) present[load] = ((set >> index) & 1) === 1;
    return { present, high: highOf(levels, always.reactionsN.length) };
  }

  private climbed(target: StageTarget, combined: Start | null): { stage: Stage; found: Found; value: number } | null {
    const byInfluence: Stage = {
      present: target.loads.map((change) => change > 0),
      high: target.raised.map((change) => (change >= 0 ? 1 : -1)),
    };
    let best: { stage: Stage; found: Found; value: number } | null = null;
    for (const stage of combined === null ? [byInfluence] : [combined.stage, byInfluence]) {
      const found = this.hung(stage);
      const value = found === null ? -Infinity : valueOf(target, stage, found);
      if (found !== null && (best === null || value > best.value)) best = { stage, found, value };
    }
    return best === null || this.staysTaut ? best : this.turned(target, best);
  }

  /** One load or hoist the other way for as long as that makes it worse; for a reaction then two, unless every set is known already. */
  private turned(target: StageTarget, from: { stage: Stage; found: Found; value: number }) {
    const { stage } = from;
    let { found, value } = from;
    const { tried, exact } = this;
    const ownOnly = exact ? tried.filter((load) => load < this.hang.ownMore) : tried;
    const free = ownOnly.length + (this.toleranceM > 0 && !exact ? stage.high.length : 0);
    const turn = (which: number) => {
      const load = ownOnly[which];
      if (load !== undefined) stage.present[load] = !stage.present[load];
      else stage.high[which - ownOnly.length] = stage.high[which - ownOnly.length] === 1 ? -1 : 1;
    };
    const turnIfWorse = (...some: number[]): boolean => {
      some.forEach(turn);
      const now = this.hung(stage);
      const then = now === null ? -Infinity : valueOf(target, stage, now);
      if (now !== null && then > value + BETTER * Math.abs(value)) {
        [found, value] = [now, then];
        return true;
      }
      some.forEach(turn);
      return false;
    };
    for (let sweep = 0; sweep < MOST_SWEEPS; sweep++) {
      let worse = false;
      for (let one = 0; one < free; one++) if (turnIfWorse(one)) worse = true;
      if (worse) continue;
      for (let one = 0; one < free && target.hoist !== null; one++)
        for (let other = one + 1; other < free; other++) if (turnIfWorse(one, other)) worse = true;
      if (!worse) break;
    }
    return { stage, found, value };
  }

  private hung({ present, high }: Stage): Found | null {
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

function valueOf(target: StageTarget, { present }: Stage, { reactionsN, raisedM, part }: Found): number {
  if (target.hoist !== null) return reactionsN[target.hoist] ?? 0;
  if (raisedM === null) return part === null ? 0 : target.read(part);
  let value = target.always;
  for (let load = 0; load < present.length; load++) if (present[load]) value += target.loads[load] ?? 0;
  for (let hoist = 0; hoist < raisedM.length; hoist++) value += (raisedM[hoist] ?? 0) * (target.raised[hoist] ?? 0);
  return value;
}

/** Each load by itself, or as many groups as may be of those that load and relieve the same hoists, the largest halved. */
function groupsOf(loads: readonly StagePart[], ownMore: number, most: number): number[][] {
  const numbers = loads.flatMap((_, load) => (load < ownMore ? [] : [load]));
  if (numbers.length <= most) return numbers.map((load) => [load]);
  const alike = new Map<string, number[]>();
  for (const load of numbers) {
    const key = (loads[load]?.reactionsN ?? []).map((one) => Math.sign(one)).join();
    alike.set(key, [...(alike.get(key) ?? []), load]);
  }
  const groups = [...alike.values()];
  const byShare = (a: number, b: number) => shareOf(loads[a]) - shareOf(loads[b]) || a - b;
  for (const group of groups) group.sort(byShare);
  while (groups.length > most) groups.push([...(groups.pop() ?? []), ...(groups.pop() ?? [])]);
  while (groups.length < most) {
    const largest = groups.reduce((far, group, index) => (group.length > (groups[far]?.length ?? 0) ? index : far), 0);
    const group = groups[largest] ?? [];
    if (group.length < 2) break;
    groups.splice(largest, 1, group.slice(0, group.length >> 1), group.slice(group.length >> 1));
  }
  return groups;
}

/** Where a load is among the hoists: like loads have like shares. */
function shareOf(part: StagePart | undefined): number {
  const reactionsN = part?.reactionsN ?? [];
  const sumN = reactionsN.reduce((sum, one) => sum + one, 0);
  return sumN === 0 ? 0 : reactionsN.reduce((sum, one, hoist) => sum + hoist * one, 0) / sumN;
}

function addTo(values: number[], others: readonly number[], factor: number): void {
  for (let index = 0; index < values.length; index++) values[index] = (values[index] ?? 0) + factor * (others[index] ?? 0);
}

const keyOf = ({ present, high }: Stage): string => `${present.map(Number).join('')} ${high.join('')}`;
