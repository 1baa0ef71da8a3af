import { canonicalBytes, type Json } from '../../domain/foundation/canonical.ts';
import type { EquipmentUsed, Hang, Plan } from '../../domain/plan/plan.ts';

export type Side = 'mine' | 'theirs';
/** Changed here and there since `base`, and not to the same. Null: not in that plan. */
export type Clash<T> = { readonly key: string; readonly base: T | null; readonly mine: T | null; readonly theirs: T | null };
export type PlanMerge = {
  readonly hangs: readonly Clash<Hang>[];
  readonly equipment: readonly Clash<EquipmentUsed>[];
  readonly areas: readonly Clash<NonNullable<Plan['closedAreas']>>[];
  /** What only they changed: taken in. Labels of hangs. */
  readonly theirsAlone: readonly string[];
  /** Both put together, with a side chosen for each clash. */
  readonly together: (choose: (key: string) => Side) => Plan;
};

/** Two plans that grew out of one, hang by hang: what one side alone changed is taken from it, what both changed is for a person to choose. */
export function mergePlans(base: Plan, mine: Plan, theirs: Plan): PlanMerge {
  const [hangsBase, hangsMine, hangsTheirs] = [base, mine, theirs].map(({ hangs }) => new Map(hangs.map((hang) => [hang.id, hang])));
  const hangs = compare(hangsBase!, hangsMine!, hangsTheirs!);
  const [usedBase, usedMine, usedTheirs] = [base, mine, theirs].map(({ equipment }) => new Map(Object.entries(equipment)));
  const used = compare(usedBase!, usedMine!, usedTheirs!);
  const [areasBase, areasMine, areasTheirs] = [base, mine, theirs].map(({ closedAreas }) => new Map([['areas', closedAreas ?? []]]));
  const areas = compare(areasBase!, areasMine!, areasTheirs!);
  const labelOf = (id: string) => (hangsTheirs!.get(id) ?? hangsBase!.get(id))?.label ?? id;
  return {
    hangs: hangs.clashes,
    equipment: used.clashes,
    areas: areas.clashes,
    theirsAlone: hangs.theirsAlone.map(labelOf),
    together: (choose) => {
      const chosenHangs = hangs.chosen(choose);
      const chosenUsed = used.chosen(choose);
      // A hang of either side may use it, whatever the other did: what neither needs does no harm.
      for (const [key, entry] of [...usedTheirs!, ...usedMine!]) if (!chosenUsed.has(key)) chosenUsed.set(key, entry);
      const closedAreas = areas.chosen(choose).get('areas') ?? [];
      const together: Plan = {
        format: 1,
        hangs: [...chosenHangs.values()],
        equipment: Object.fromEntries(chosenUsed),
        ...(closedAreas.length > 0 ? { closedAreas } : {}),
      };
      return isSame(together, theirs) ? theirs : together; // nothing of one's own is left: the very plan that is saved
    },
  };
}

type Of<T> = ReadonlyMap<string, T>;

function compare<T>(base: Of<T>, mine: Of<T>, theirs: Of<T>) {
  const clashes: Clash<T>[] = [];
  const theirsAlone: string[] = [];
  const kept = new Map<string, Side>();
  for (const key of new Set([...theirs.keys(), ...mine.keys(), ...base.keys()])) {
    const [was, own, other] = [base.get(key) ?? null, mine.get(key) ?? null, theirs.get(key) ?? null];
    if (isSame(own, other) || isSame(other, was)) kept.set(key, 'mine');
    else if (isSame(own, was)) {
      kept.set(key, 'theirs');
      theirsAlone.push(key);
    } else clashes.push({ key, base: was, mine: own, theirs: other });
  }
  return {
    clashes,
    theirsAlone,
    chosen: (choose: (key: string) => Side): Map<string, T> => {
      const all = new Map<string, T>();
      for (const key of new Set([...theirs.keys(), ...mine.keys()])) {
        const entry = ((kept.get(key) ?? choose(key)) === 'mine' ? mine : theirs).get(key);
        if (entry !== undefined) all.set(key, entry);
      }
      return all;
    },
  };
}

const isSame = (one: unknown, other: unknown): boolean => one === other || canonicalBytes(one as Json) === canonicalBytes(other as Json);

export type Difference = { readonly path: string; readonly values: readonly [base: string, mine: string, theirs: string] };

/** Every fact in which the three differ, by its place; '' where it is not there. */
export function differences(base: unknown, mine: unknown, theirs: unknown): Difference[] {
  const [was, own, other] = [base, mine, theirs].map((whole) => new Map(leavesOf(whole, '')));
  const paths = new Set([...was!.keys(), ...own!.keys(), ...other!.keys()]);
  return [...paths].flatMap((path) => {
    const values = [was!, own!, other!].map((leaves) => leaves.get(path) ?? '') as [string, string, string];
    return values[0] === values[1] && values[1] === values[2] ? [] : [{ path, values }];
  });
}

function leavesOf(value: unknown, path: string): [string, string][] {
  if (value === null || value === undefined) return [];
  if (typeof value !== 'object') return [[path, typeof value === 'string' ? value : JSON.stringify(value)]];
  return Object.entries(value).flatMap(([name, inner]) => leavesOf(inner, path === '' ? nameOf(name) : `${path} / ${nameOf(name)}`));
}
const UNITS: Readonly<Record<string, string>> = {
  KgPerM: 'kg/m',
  KnPerM: 'kN/m',
  MPerS: 'm/s',
  MPerMin: 'm/min',
  Knm: 'kNm',
  Kg: 'kg',
  Kn: 'kN',
  Deg: '°',
  Mm: 'mm',
  M: 'm',
};
const UNIT = new RegExp(`(${Object.keys(UNITS).join('|')})$`);

/** A fact as it is read: `bottomZM` is `bottom z [m]`. Positions in a list are counted from 1, as people do. */
function nameOf(name: string): string {
  if (/^\d+$/.test(name)) return String(Number(name) + 1);
  const unit = UNITS[UNIT.exec(name)?.[1] ?? ''];
  const spaced = (unit === undefined ? name : name.replace(UNIT, '')).replace(/[A-Z]/g, (letter) => ` ${letter.toLowerCase()}`);
  return unit === undefined ? spaced : `${spaced} [${unit}]`;
}
