import type { Result } from '../foundation/result.ts';
import { fail, ok } from '../foundation/result.ts';
import { compensatedSum } from '../foundation/sum.ts';
import type { MissingFact, Reckoning } from './hoist-line-reckoning.ts';

/** How a mass is known. */
export type MassBasis = 'weighed' | 'documented' | 'estimated';

/** Share added to a mass by its basis (0.05 adds 5 %). The venue's policy holds the values; nothing is assumed here. */
export type Contingency = {
  readonly weighed: number;
  readonly documented: number;
  readonly estimated: number;
  /** Cables get at least this share unless they are weighed in: their lengths change on the day. */
  readonly cableAtLeast: number;
};

/**
 * Where on the line an item hangs, from the bottom up:
 * `below-hook` between hang and hoist, travels; `hoist` body and bag; `chain-travelling` and `chain-standing`;
 * `above-hoist` between hoist and apex or leg parts (a load cell, say), stands; `leg` from there to the roof, stands.
 */
export type LinePlace = 'below-hook' | 'hoist' | 'chain-travelling' | 'chain-standing' | 'above-hoist' | 'leg';

export type TakeOffItem = {
  readonly id: string;
  readonly kind: 'equipment' | 'cable';
  readonly place: LinePlace;
  /** Null = not known: the line's load is then a lower bound and says so. */
  readonly massKg: number | null;
  /** Null = not stated: reckoned with the largest contingency, and named as missing. */
  readonly basis: MassBasis | null;
};

export type TakeOffRow = {
  readonly id: string;
  readonly place: LinePlace;
  readonly massKg: number | null;
  readonly basis: MassBasis | null;
  readonly contingency: number;
  /** Mass with its contingency, what the line is reckoned with; null when the mass is not known. */
  readonly reckonedKg: number | null;
  readonly reckoning: Reckoning;
};

export type TakeOffError =
  | { code: 'not-finite'; what: string }
  | { code: 'mass-negative'; what: string; massKg: number }
  | { code: 'contingency-negative'; what: string; share: number }
  | { code: 'item-twice'; id: string };

const SHARES = ['weighed', 'documented', 'estimated', 'cableAtLeast'] as const satisfies readonly (keyof Contingency)[];

/** Far beyond anything that hangs, and small enough that weights and moments of it are still finite numbers. */
const LARGEST_SUM_KG = 1e100;

/** Share added to one mass. A weighed cable is as certain as anything else that was weighed. */
export function contingencyOf(kind: TakeOffItem['kind'], basis: MassBasis | null, policy: Contingency): number {
  const byBasis = basis === null ? Math.max(policy.weighed, policy.documented, policy.estimated) : policy[basis];
  return kind === 'cable' && basis !== 'weighed' ? Math.max(byBasis, policy.cableAtLeast) : byBasis;
}

/**
 * Every item with its contingency.
 * @returns one row per item in the order given, or `not-finite`, `mass-negative`, `contingency-negative`, `item-twice`
 * @source reckoned mass = mass · (1 + contingency of its basis); the shares are the policy's (common practice, no source)
 */
export function takeOff(items: readonly TakeOffItem[], policy: Contingency): Result<TakeOffRow[], TakeOffError> {
  for (const what of SHARES) {
    const share = policy[what];
    if (!Number.isFinite(share)) return fail({ code: 'not-finite', what: `contingency ${what}` });
    if (share < 0) return fail({ code: 'contingency-negative', what, share });
  }
  const seen = new Set<string>();
  const rows: TakeOffRow[] = [];
  let totalKg = 0;
  for (const { id, kind, place, massKg, basis } of items) {
    if (seen.has(id)) return fail({ code: 'item-twice', id });
    seen.add(id);
    if (massKg !== null && !Number.isFinite(massKg)) return fail({ code: 'not-finite', what: `mass of ${id}` });
    if (massKg !== null && massKg < 0) return fail({ code: 'mass-negative', what: id, massKg });
    const contingency = contingencyOf(kind, basis, policy);
    const reckonedKg = massKg === null ? null : massKg * (1 + contingency);
    totalKg += reckonedKg ?? 0;
    if (totalKg > LARGEST_SUM_KG) return fail({ code: 'not-finite', what: `sum of masses at ${id}` });
    const numbers: Record<string, number> = massKg === null ? { contingency } : { massKg, contingency };
    const reckoning = {
      formula: 'massKg · (1 + contingency)',
      numbers,
      unit: 'kg',
      source: `mass ${basis ?? 'of unstated basis'}; contingency of the policy`,
    };
    rows.push({ id, place, massKg, basis, contingency, reckonedKg, reckoning });
  }
  return ok(rows);
}

/** Reckoned mass [kg] at some places: known masses only, summed in ascending id order so that every engine and every order agree. */
export function reckonedMassKg(rows: readonly TakeOffRow[], places: readonly LinePlace[]): number {
  const counted = rows.filter((row) => places.includes(row.place) && row.reckonedKg !== null);
  counted.sort((a, b) => (a.id < b.id ? -1 : 1));
  return compensatedSum(counted.map((row) => row.reckonedKg ?? 0));
}

/** Part of a take-off that rests on estimates or on nothing stated [kg], contingency included. */
export const estimatedMassKg = (rows: readonly TakeOffRow[]): number =>
  compensatedSum(rows.filter((row) => row.basis === 'estimated' || row.basis === null).map((row) => row.reckonedKg ?? 0));

export function missingMasses(rows: readonly TakeOffRow[]): MissingFact[] {
  const missing: MissingFact[] = [];
  for (const { id, massKg, basis } of rows) {
    if (massKg === null) missing.push({ code: 'mass-missing', of: id });
    else if (basis === null) missing.push({ code: 'mass-basis-missing', of: id });
  }
  return missing;
}
