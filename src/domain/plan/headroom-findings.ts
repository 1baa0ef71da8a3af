import { headroom } from '../statics/hoist-line-headroom.ts';
import { partOf } from './equipment-used.ts';
import type { HangFinding } from './hook-load.ts';
import { BLANK_FINDING } from './hook-load.ts';
import type { Missing } from './missing.ts';
import type { HoistData, PartUsed, PickUp, Plan } from './plan.ts';

/**
 * Whether the hoist is short enough to bring its hook to where it is drawn, and has lift enough to fetch it from the floor. Advice: a
 * hang that cannot reach its trim endangers nobody. What hangs low from the roof is looked at by the volumes to be kept free.
 * @param topM  height of the point, or of the apex of a bridle; null = not known
 */
export function headroomFindings(plan: Plan, pickUp: PickUp, hoist: HoistData | null, topM: number | null): HangFinding[] {
  if (hoist === null) return [];
  const about = { ...BLANK_FINDING, kind: 'headroom', pickUpId: pickUp.id, hard: false } as const;
  const { attachment } = pickUp;
  const above = partsLengthM(plan, partsAbove(attachment));
  const hookM = pickUp.position.zM;
  const missing: Missing[] = [];
  if (topM === null) missing.push({ code: 'point-missing', of: 'attachment' });
  if (hookM === null) missing.push({ code: 'hook-height-not-stated', of: 'pick-up' });
  if (above === null) missing.push({ code: 'part-length-missing', of: 'attachment' });
  if (topM === null || hookM === null || above === null) return [{ ...about, subject: pickUp.id, state: 'unknown', why: missing }];
  const { shortestHookToHookM, liftM } = hoist;
  const answer = headroom({
    topM,
    partsAboveM: above,
    hoist: { shortestHookToHookM, liftM },
    partsBelowM: 0,
    pickUpAboveTrimM: 0,
    hangTopAboveTrimM: 0,
    trimM: hookM,
    lowestStructureM: 'none',
    hoistMayPassStructure: true,
    lowestPickUpM: Math.min(0, hookM),
  });
  if (!answer.ok) return [{ ...about, subject: pickUp.id, state: 'unknown', why: [{ code: answer.error.code, of: 'pick-up' }] }];
  const { hookToHookM, liftNeededM, reckoning } = answer.value;
  const short: HangFinding = {
    ...about,
    subject: pickUp.id,
    state: 'compare',
    demand: shortestHookToHookM,
    capacity: Math.max(0, hookToHookM.atTrimM),
    unit: 'm',
    why: shortestHookToHookM === null ? [{ code: 'shortest-hook-to-hook-missing', of: 'hoist' }] : [],
    reckonings: [{ result: hookToHookM.atTrimM, ...reckoning, formula: 'shortest hook to hook ≤ hook to hook at trim' }],
  };
  const lift: HangFinding = {
    ...about,
    subject: `${pickUp.id}:lift`,
    state: 'compare',
    demand: liftNeededM,
    capacity: liftM,
    unit: 'm',
    why: liftM === null ? [{ code: 'lift-missing', of: 'hoist' }] : [],
    reckonings: liftNeededM === null ? [] : [{ result: liftNeededM, ...reckoning, formula: 'lift needed from the floor ≤ lift' }],
  };
  return [short, lift];
}

/** Between the hoist and the point, apex or tier that the line ends at. */
function partsAbove(attachment: PickUp['attachment']): readonly PartUsed[] {
  if (attachment.kind === 'bridle') return attachment.apexParts;
  return attachment.kind === 'tiers' ? attachment.foot.parts : attachment.parts;
}

/** Pieces one above the other; null when a length is not stated. */
function partsLengthM(plan: Plan, parts: readonly PartUsed[]): number | null {
  let lengthM = 0;
  for (const { equipment, count } of parts) {
    const { part } = partOf(plan, equipment);
    if (part.part === 'secondary') continue; // beside the line, not in it
    if (part.lengthM === null) return null;
    lengthM += part.lengthM * count;
  }
  return lengthM;
}
