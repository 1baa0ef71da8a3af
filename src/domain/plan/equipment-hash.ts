import { canonicalBytes, type Json } from '../foundation/canonical.ts';
import type { EquipmentData } from './plan.ts';

/**
 * The canonical bytes of equipment facts: only what is stated, so without those that are null or an empty list. A fact that the
 * catalogue learns to hold later is not stated in what was written before, so hashes taken then stay true.
 */
export function equipmentBytes(data: EquipmentData): string {
  const facts: readonly [string, Json | undefined][] = Object.entries(data);
  const stated = facts.flatMap(([fact, said]): [string, Json][] =>
    said === undefined || said === null || (Array.isArray(said) && said.length === 0) ? [] : [[fact, said]],
  );
  return canonicalBytes(Object.fromEntries(stated));
}
