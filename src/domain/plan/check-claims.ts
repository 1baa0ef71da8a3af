import { equipmentBytes } from './equipment-hash.ts';
import { escaped } from './number-ranges.ts';
import type { PlanFault } from './plan-fault.ts';
import type { EquipmentUsed, Plan } from './plan.ts';

type Claim = NonNullable<EquipmentUsed['from']>;
/** What the catalogues that the asker may read hold of an item, by its id in small letters: the hash of each version. */
export type KnownVersions = ReadonlyMap<string, ReadonlyMap<number, string>>;

/**
 * Equipment that says it comes from a catalogue counts as documented, so the claim must be true: its hash is that of the facts copied
 * into the plan, and where the asker may read the item it is that version of it. Of another's item nothing more can be known.
 * @param sha256  of UTF-8 text, in lower-case hex
 */
export function claimFaults(equipment: Plan['equipment'], known: KnownVersions, sha256: (text: string) => string): PlanFault[] {
  return Object.entries(equipment).flatMap(([key, { from, data }]) => {
    if (from === null) return [];
    const fault = claimFault(from, sha256(equipmentBytes(data)), known);
    return fault === null ? [] : [{ ...fault, pointer: `/equipment/${escaped(key)}/from/${fault.pointer}` }];
  });
}

function claimFault(claim: Claim, hash: string, known: KnownVersions): PlanFault | null {
  if (claim.hash !== hash) return { pointer: 'hash', code: 'claim-not-of-these-facts', message: 'is not the hash of the facts beside it' };
  const versions = known.get(claim.itemId.toLowerCase());
  if (versions === undefined) return null;
  const kept = versions.get(claim.version);
  if (kept === undefined) return { pointer: 'version', code: 'no-such-version', message: 'is no version of this item of the catalogue' };
  if (kept !== hash) return { pointer: 'hash', code: 'claim-not-of-this-version', message: 'is another version of this item' };
  return null;
}
