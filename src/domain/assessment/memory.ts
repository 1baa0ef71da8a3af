import type { HangLoads } from '../plan/hang-loads.ts';
import type { Hang, Plan } from '../plan/plan.ts';
import { LikeTrusses } from '../plan/truss-answer.ts';
import type { RoofIndex } from '../roof/roof-index.ts';
import { indexRoof } from '../roof/roof-index.ts';
import type { PublishedRoof } from '../roof/structure.ts';
import type { Check, CheckKind, PointLoad } from './assessment.ts';
import type { Sha256 } from './hashes.ts';
import { partHash } from './hashes.ts';
import type { Interval, LoadUnit } from './load-units.ts';
import { standingUnits } from './load-units.ts';

/** What an assessment works out of one hang alone. */
export type HangPart = {
  readonly loads: HangLoads;
  readonly units: readonly LoadUnit[];
  readonly checks: readonly Check[];
  readonly pointLoads: readonly PointLoad[];
};

/**
 * What was worked out before, for the next assessment of nearly the same: one hang dragged, or the same plan among other neighbours.
 * A part is taken over only when everything that it came from is the very same object. So whoever keeps one must never change a hang, an
 * equipment list or a roof in place, but put a new one there.
 */
export class AssessmentMemory {
  readonly likeTrusses = new LikeTrusses();
  private roof: PublishedRoof | null = null;
  private show: Interval | null = null;
  private equipment: Plan['equipment'] | null = null;
  private closedAreas: Plan['closedAreas'] = undefined;
  private index: RoofIndex | null = null;
  private hangs = new Map<string, { hang: Hang; part: HangPart }>();
  private places = new Map<string, { units: readonly LoadUnit[]; checks: readonly Check[] }>();
  private readonly neighbours = new WeakMap<object, LoadUnit>();
  private before: { readonly lists: ReadonlySet<readonly Check[]>; readonly sorted: readonly Check[] } = { lists: new Set(), sorted: [] };
  private standingUnits: readonly LoadUnit[] | null = null;
  private readonly hashes = new WeakMap<Check | PointLoad, string>();

  /** Forgets all that another roof, show or equipment list would give otherwise. */
  begin(roof: PublishedRoof, show: Interval, plan: Plan): RoofIndex {
    const same =
      this.roof === roof &&
      this.show?.from === show.from &&
      this.show.to === show.to &&
      this.equipment === plan.equipment &&
      this.closedAreas === plan.closedAreas;
    if (!same) {
      this.hangs = new Map();
      this.places = new Map();
    }
    if (this.roof !== roof) this.standingUnits = null;
    const index = this.index !== null && this.roof === roof ? this.index : indexRoof(roof);
    this.closedAreas = plan.closedAreas;
    [this.roof, this.show, this.equipment, this.index] = [roof, { from: show.from, to: show.to }, plan.equipment, index];
    return index;
  }

  hang(hang: Hang, make: () => HangPart): HangPart {
    const before = this.hangs.get(hang.id);
    if (before !== undefined && before.hang === hang) return before.part;
    const part = make();
    this.hangs.set(hang.id, { hang, part });
    return part;
  }

  standing(roof: PublishedRoof): readonly LoadUnit[] {
    this.standingUnits ??= standingUnits(roof);
    return this.standingUnits;
  }

  /** Checks of a point or limit, which come from the units there and from the roof alone. */
  place(key: string, units: readonly LoadUnit[], make: () => readonly Check[]): readonly Check[] {
    const before = this.places.get(key);
    if (before !== undefined && sameParts(before.units, units)) return before.checks;
    const checks = make();
    this.places.set(key, { units, checks });
    return checks;
  }

  /** All checks of some lists in ascending order of their ids. Most lists are those of last time: then only the others are put in. */
  inOrder(given: readonly (readonly Check[])[]): Check[] {
    const lists = new Set(given);
    const [goes, comes] = [new Set<Check>(), new Array<Check>()];
    for (const list of this.before.lists) if (!lists.has(list)) for (const check of list) goes.add(check);
    for (const list of lists) if (!this.before.lists.has(list)) comes.push(...list);
    const isNearlySame = comes.length + goes.size < this.before.sorted.length / 2;
    const stays = isNearlySame ? this.before.sorted.filter((check) => !goes.has(check)) : [];
    const sorted = (isNearlySame ? merged(stays, comes.sort(byId)) : null) ?? sortedById(given);
    this.before = { lists, sorted };
    return sorted.slice(); // what is kept is nobody else's to change
  }

  /** A neighbour's unit stays the same object as long as the neighbour does. */
  neighbour(load: object, unit: LoadUnit): LoadUnit {
    const before = this.neighbours.get(load);
    if (before !== undefined && before.during.to === unit.during.to && sameMissing(before, unit)) return before;
    this.neighbours.set(load, unit);
    return unit;
  }

  readonly hashOf = (part: Check | PointLoad, sha256: Sha256): string => {
    const before = this.hashes.get(part);
    if (before !== undefined) return before;
    const hash = partHash(part, sha256);
    this.hashes.set(part, hash);
    return hash;
  };
}

const sameMissing = (a: LoadUnit, b: LoadUnit): boolean => a.missingSideways.length === b.missingSideways.length;
const sameParts = <T>(a: readonly T[], b: readonly T[]): boolean => a.length === b.length && a.every((part, index) => part === b[index]);

const byId = (a: Check, b: Check): number => (a.id < b.id ? -1 : a.id > b.id ? 1 : 0);

/** An id begins with its kind; those of one kind are far fewer to put in order, and mostly are already. */
function sortedById(lists: readonly (readonly Check[])[]): Check[] {
  const kinds = new Map<CheckKind, Check[]>();
  for (const list of lists) {
    for (const check of list) {
      const alike = kinds.get(check.kind);
      if (alike === undefined) kinds.set(check.kind, [check]);
      else alike.push(check);
    }
  }
  return [...kinds.keys()].sort().flatMap((kind) => kinds.get(kind)?.sort(byId) ?? []);
}

/** Of two lists in order; null where an id is in both, since only their own order can tell which comes first. */
function merged(many: readonly Check[], few: readonly Check[]): Check[] | null {
  const all: Check[] = [];
  let next = 0;
  for (const check of many) {
    for (let other = few[next]; other !== undefined && other.id <= check.id; other = few[++next]) {
      if (other.id === check.id) return null;
      all.push(other);
    }
    all.push(check);
  }
  for (const check of few.slice(next)) all.push(check);
  return all;
}
