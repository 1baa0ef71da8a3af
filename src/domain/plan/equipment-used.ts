import type { MassBasis } from '../statics/hoist-line-take-off.ts';
import { isGeneric } from './generic-ids.ts';
import type { EquipmentUsed, HoistData, PartData, Plan } from './plan.ts';

export function hoistOf(plan: Plan, key: string): { hoist: HoistData; basis: MassBasis } {
  const used = entryOf(plan, key);
  if (used.data.kind !== 'hoist') throw new Error('a checked plan names a hoist where one is used');
  return { hoist: isSketch(used) ? { ...used.data, wllKg: null, limiterFactor: null } : used.data, basis: basisOf(used) };
}

export function partOf(plan: Plan, key: string): { part: PartData; basis: MassBasis } {
  const used = entryOf(plan, key);
  if (used.data.kind !== 'part') throw new Error('a checked plan names a part where one is used');
  return { part: isSketch(used) ? { ...used.data, wllKg: null, breakingKn: null } : used.data, basis: basisOf(used) };
}

function entryOf(plan: Plan, key: string): EquipmentUsed {
  const used = Object.hasOwn(plan.equipment, key) ? plan.equipment[key] : undefined;
  if (used === undefined) throw new Error('a checked plan uses only equipment that it lists');
  return used;
}

/** From the generic library: its masses and lengths serve a first sketch. A rating is a marking's or a document's, and it has neither. */
const isSketch = ({ from }: EquipmentUsed): boolean => from !== null && isGeneric(from.itemId);

/** An organisation's catalogue stands for the maker's document; what is generic, or typed in for this plan alone, is an estimate. */
const basisOf = (used: EquipmentUsed): MassBasis => (used.from === null || isSketch(used) ? 'estimated' : 'documented');
