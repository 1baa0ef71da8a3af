import { STANDARD_GRAVITY } from '../foundation/units.ts';
import type { HookLoad, LostLoad } from './hook-load.ts';

type Lost = { readonly lost: string; readonly reactions: readonly { readonly id: string; readonly forceN: number }[] | null };

/**
 * What one hook carries when another hoist is lost: for each that can be, the most of all answers to the same question. A hook that is
 * lost itself carries nothing. Cases in which the hang tips have no reactions: that it tips is told elsewhere.
 * @param id  of the hook among the reactions
 */
export function whenLost(cases: readonly Lost[], id: string): Pick<HookLoad, 'slackKg' | 'whenLost'> {
  const most = new Map<string, number>();
  let slackN: number | null = null;
  for (const { lost, reactions } of cases) {
    if (reactions === null) continue;
    const forceN = reactions.find((reaction) => reaction.id === id)?.forceN ?? 0;
    most.set(lost, Math.max(most.get(lost) ?? 0, forceN));
    if (lost !== id) slackN = Math.max(slackN ?? 0, forceN);
  }
  const loads = [...most].map(([lost, forceN]): LostLoad => ({ lost, massKg: forceN / STANDARD_GRAVITY }));
  return { slackKg: slackN === null ? null : slackN / STANDARD_GRAVITY, whenLost: loads };
}
