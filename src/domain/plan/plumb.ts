import { atan2, radToDeg } from '../foundation/elementary.ts';
import { placeOnTier } from './attachment-places.ts';
import type { Missing } from './missing.ts';
import type { PickUp, Position } from './plan.ts';
import type { Anchors } from './pull.ts';

/** How far the line from the hook to its upper end is off plumb, with the hang at trim, where the line is shortest. */
export type Plumb = {
  /** From the upper end to the hook, in plan. */
  readonly offset: { readonly xM: number; readonly yM: number } | null;
  readonly heightM: number | null;
  readonly angleDeg: number | null;
  readonly missing: readonly Missing[];
  /**
   * Lines off plumb hold the hang aside, and say where its line comes to rest: the angle is then the one between that and the line as
   * drawn, and this is how far off plumb the line is.
   */
  readonly heldAtDeg?: number;
};

/** Nearer than this in plan, a hook is straight below: drawings are not more exact. */
const STRAIGHT_BELOW_M = 1e-6;

export function plumbOf(hook: PickUp['position'], top: Position | null): Plumb {
  if (top === null) return { offset: null, heightM: null, angleDeg: null, missing: [{ code: 'point-missing', of: 'attachment' }] };
  const offset = { xM: hook.xM - top.xM, yM: hook.yM - top.yM };
  const offsetM = Math.sqrt(offset.xM * offset.xM + offset.yM * offset.yM);
  const heightM = hook.zM === null ? null : top.zM - hook.zM;
  if (offsetM <= STRAIGHT_BELOW_M && heightM === null) return { offset, heightM, angleDeg: 0, missing: [] };
  if (heightM === null) return { offset, heightM, angleDeg: null, missing: [{ code: 'hook-height-not-stated', of: 'pick-up' }] };
  return { offset, heightM, angleDeg: radToDeg(atan2(offsetM, heightM)), missing: [] };
}

/** Where the line from the hook ends: at its point, apex or tier; null where there is none. */
export function lineTopOf(attachment: PickUp['attachment'], anchors: Anchors): Position | null {
  if (attachment.kind === 'bridle') return attachment.apex;
  if (attachment.kind === 'tiers') return placeOnTier(attachment.tiers, attachment.foot);
  return attachment.kind === 'direct' ? anchors(attachment.pointId) : null;
}
