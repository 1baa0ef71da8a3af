import { partOf } from './equipment-used.ts';
import type { Missing } from './missing.ts';
import type { PartUsed, Plan } from './plan.ts';

/** Of its drawn length: at 60° off vertical a leg that is out by so much pulls about 8 % otherwise. Our cautious choice, no source. */
const LENGTH_WITHIN = 0.02;

/**
 * Why the loads of a leg as drawn are not those of the leg as made. A leg of nothing holds nothing: its steels are still to be chosen, and
 * their masses with them. Steels of another length put the apex elsewhere.
 */
export function legDoubts(plan: Plan, parts: readonly PartUsed[], drawnM: number): Missing[] {
  const doubt = (code: string): Missing[] => [{ code, of: 'bridle' }];
  if (parts.length === 0) return doubt('leg-parts-not-stated');
  const madeM = madeLengthM(plan, parts);
  if (madeM === null) return doubt('leg-length-not-known');
  return isOut(madeM, drawnM) ? doubt('leg-length-differs') : [];
}

/** How long parts one after another are, bearing to bearing [m]; null where one's length, or how it takes hold, leaves it open. */
export function madeLengthM(plan: Plan, parts: readonly PartUsed[]): number | null {
  let madeM = 0;
  for (const { equipment, count, hitch } of parts) {
    const { lengthM } = partOf(plan, equipment).part;
    if (lengthM === null || (hitch !== null && hitch !== 'straight')) return null;
    madeM += count * lengthM;
  }
  return madeM;
}

/** The same of the bar of a spreader. */
export function barDoubts(plan: Plan, parts: readonly PartUsed[], drawnM: number): Missing[] {
  const doubt = (code: string): Missing[] => [{ code, of: 'spreader' }];
  const [bar, ...more] = parts.flatMap(({ equipment, count }) => {
    const { part } = partOf(plan, equipment);
    return part.part === 'spreader' && count > 0 ? [{ lengthM: part.lengthM, count }] : [];
  });
  if (bar === undefined || more.length > 0 || bar.count > 1) return doubt('spreader-not-stated');
  if (bar.lengthM === null) return doubt('spreader-length-not-known');
  return isOut(bar.lengthM, drawnM) ? doubt('spreader-length-differs') : [];
}

const isOut = (madeM: number, drawnM: number): boolean => Math.abs(madeM - drawnM) > LENGTH_WITHIN * drawnM;
