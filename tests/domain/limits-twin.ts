import type { DemandFactors } from '../../src/domain/roof/capacity.ts';
import type { LoadUnit } from '../../src/domain/roof/load-timeline.ts';

/** Small, fast and the same everywhere (mulberry32, public domain), so that a seed tells everything about a failing case. */
export function randomOf(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = Math.imul(state ^ (state >>> 15), 1 | state);
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
}
export const upTo = (random: () => number, count: number): number => Math.floor(random() * count);
export const pick = <T>(random: () => number, list: readonly T[]): T => {
  const picked = list[upTo(random, list.length)];
  if (picked === undefined) throw new Error('nothing to pick from');
  return picked;
};

export const hour = (n: number): string => new Date(Date.UTC(2026, 0, 1, n)).toISOString();

/** Up to `most` loads on some points within twelve hours; a third of them permanent, some always there. */
export function randomLoads(random: () => number, pointIds: readonly string[], most: number): LoadUnit[] {
  return Array.from({ length: upTo(random, most + 1) }, (_, index): LoadUnit => {
    const from = upTo(random, 10);
    const always = random() < 0.1;
    return {
      id: `load-${index}`,
      from: always ? null : hour(from),
      to: always ? null : hour(from + 1 + upTo(random, 4)),
      permanent: random() < 0.35,
      points: Array.from({ length: 1 + upTo(random, 2) }, () => ({ pointId: pick(random, pointIds), massKg: upTo(random, 400) / 4 })),
    };
  });
}

/** Every way in which the loads there at one moment may weigh: any that is not permanent may be absent. One factor for each load. */
export function* waysToWeigh(loads: readonly LoadUnit[], factors: DemandFactors): Generator<ReadonlyMap<string, number>> {
  const [first, ...rest] = loads;
  if (first === undefined) {
    yield new Map<string, number>();
    return;
  }
  const own = first.permanent ? [factors.permanent, factors.permanentHelping] : [0, factors.imposed];
  for (const way of waysToWeigh(rest, factors)) for (const factor of own) yield new Map([...way, [first.id, factor]]);
}

/** One moment in every stretch of time in which nothing comes or goes, from before everything to after everything. */
export function momentsOf(loads: readonly LoadUnit[]): { from: string | null; to: string | null; there: LoadUnit[] }[] {
  const named = loads.flatMap(({ from, to }) => [from, to]).filter((instant) => instant !== null);
  const instants = [...new Set(named)].sort();
  return [null, ...instants].map((from, index) => {
    const isThere = (load: LoadUnit) =>
      (load.from === null || (from !== null && load.from <= from)) && (load.to === null || from === null || from < load.to);
    return { from, to: instants[index] ?? null, there: loads.filter(isThere) };
  });
}
