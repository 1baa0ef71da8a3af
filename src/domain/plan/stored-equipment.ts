import { BLANKS } from './blank-equipment.ts';
import type { EquipmentData, EquipmentUsed, Plan } from './plan.ts';

/** Equipment of plans written before each kind had facts of its own: a loose record beside the name. */
type Loose = { kind: 'cabinet' | 'arrayFrame' | 'truss' | 'cable'; name: string; values: Readonly<Record<string, unknown>> };
type Stored = EquipmentData | Loose;

/**
 * Facts as they were stored, in the shape of today. Stored bytes are never rewritten: what they do not say is filled in here as not
 * stated. Of a loose record the numbers count that are named as today's facts are; the rest is not stated.
 */
export function upgradedEquipment(stored: Stored): EquipmentData {
  if (!('values' in stored)) return { ...BLANKS[stored.kind], ...stored };
  const { kind, name, values } = stored;
  const blank = BLANKS[kind];
  const named = Object.keys(blank).filter((fact) => /(?:Kg|PerM|Knm2?|Kn|M)$/.test(fact) && Object.hasOwn(values, fact));
  const numbers = named.flatMap((fact) => (typeof values[fact] === 'number' ? [[fact, values[fact]] as const] : []));
  return { ...blank, ...Object.fromEntries(numbers), kind, name } as EquipmentData;
}

/** The facts that stored bytes hold. */
export const storedFacts = (bytes: string): EquipmentData => upgradedEquipment(JSON.parse(bytes) as Stored);

/** The plan that stored bytes hold. */
export function storedPlan(bytes: string): Plan {
  const plan = JSON.parse(bytes) as Plan;
  const equipment = Object.entries(plan.equipment).map(([key, { from, data }]): [string, EquipmentUsed] => [
    key,
    { from, data: upgradedEquipment(data) },
  ]);
  return { ...plan, equipment: Object.fromEntries(equipment) };
}
