import type { HangFinding } from './hook-load.ts';
import { BLANK_FINDING } from './hook-load.ts';
import type { Missing } from './missing.ts';
import type { EquipmentData, Hang, Plan } from './plan.ts';

/**
 * Parts of an array say by a key which entry they come from; their values stand in the build itself. A key that names nothing, or something
 * else, leaves open what hangs there. A check and no fault of the plan, since plans may be stored with such a key.
 */
export function buildEquipmentFindings(plan: Plan, hang: Hang): HangFinding[] {
  if (hang.kind !== 'array' || hang.build === null) return [];
  const { frame, elements } = hang.build;
  const why = [
    ...doubtsOf(plan, frame.equipment, 'arrayFrame', 'array frame'),
    ...elements.flatMap(({ equipment }, index) => doubtsOf(plan, equipment, 'cabinet', `element ${index}`)),
  ];
  return why.length === 0 ? [] : [{ ...BLANK_FINDING, kind: 'configuration', subject: 'equipment', state: 'unknown', why }];
}

function doubtsOf({ equipment }: Plan, key: string | null, kind: EquipmentData['kind'], of: string): Missing[] {
  if (key === null) return [];
  const used = Object.hasOwn(equipment, key) ? equipment[key] : undefined;
  if (used === undefined) return [{ code: 'build-equipment-missing', of }];
  return used.data.kind === kind ? [] : [{ code: 'build-equipment-wrong', of }];
}
