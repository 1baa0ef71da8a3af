import { canonicalBytes, type Json } from '../foundation/canonical.ts';
import type { EquipmentData } from '../plan/plan.ts';

export type FactChange = { fact: string; before: Json; after: Json };

/** What two versions of one item say differently, by the names of the facts; `null` is not stated. */
export function versionChanges(before: EquipmentData, after: EquipmentData): FactChange[] {
  const [old, next] = [before, after].map((data) => new Map(Object.entries(data) as [string, Json][]));
  const facts = [...new Set([...old!.keys(), ...next!.keys()])].sort();
  return facts.flatMap((fact) => {
    const change = { fact, before: old!.get(fact) ?? null, after: next!.get(fact) ?? null };
    return canonicalBytes(change.before) === canonicalBytes(change.after) ? [] : [change];
  });
}
