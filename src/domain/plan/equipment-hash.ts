import { canonicalBytes, type Json } from '../foundation/canonical.ts';
import type { EquipmentData } from './plan.ts';

/**
 * The canonical bytes of equipment facts: only what is stated. A fact that the catalogue learns to hold later is not stated in what
 * was written before, so hashes taken then stay true.
 */
export const equipmentBytes = (data: EquipmentData): string => canonicalBytes(stated(data) ?? {});

/** Without `null` members and empty lists, at any depth. */
function stated(value: Json): Json | undefined {
  if (value === null || (Array.isArray(value) && value.length === 0)) return undefined;
  if (typeof value !== 'object') return value;
  if (Array.isArray(value)) return value.map((item: Json) => stated(item) ?? null);
  return Object.fromEntries(
    Object.entries(value).flatMap(([name, member]) => {
      const said = member === undefined ? undefined : stated(member);
      return said === undefined ? [] : [[name, said]];
    }),
  );
}
