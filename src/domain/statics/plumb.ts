import { atan2 } from '../foundation/elementary.ts';
import type { Result } from '../foundation/result.ts';
import { fail, ok } from '../foundation/result.ts';
import type { PositionM } from '../foundation/vector.ts';
import { isFinitePosition } from '../foundation/vector.ts';
import type { Reckoning } from './hoist-line-reckoning.ts';

export type PlumbError =
  | { code: 'not-finite'; what: string }
  | { code: 'no-positions' }
  | { code: 'pick-up-not-below-top'; atZM: number; topZM: number }
  | { code: 'force-negative'; what: string; forceN: number }
  | { code: 'tolerance-out-of-range'; toleranceRad: number };

export type Plumb = {
  /** Largest angle of the chain off vertical over the whole lift [rad]. */
  readonly worstRad: number;
  readonly worstAt: PositionM;
  readonly offsetM: number;
  readonly toleranceRad: number;
  /** Sideways part of the chain's pull where it is worst: on the roof towards the pick-up; on hoist and hang the same the other way. */
  readonly sideways: { readonly forceN: number; readonly onRoofXN: number; readonly onRoofYN: number };
  /** `over` unless the line off plumb is entered and solved with the hang. */
  readonly verdict: 'fits' | 'close' | 'over';
  readonly reckoning: Reckoning;
};

const SLACK = 1e-9; // rounding; the same on both thresholds

/**
 * Holds a chain against the plumb tolerance at every height of the lift.
 * Between two given positions the pick-up moves straight, so offset over drop is largest at one of them: the given ones are enough.
 * With one plan position the chain is worst at trim, where it is shortest.
 * @param top           where the chain hangs from: anchor, apex or the lower end of the leg parts
 * @param path          pick-up (lower end of the chain) from lowest to trim, in order
 * @param verticalN     downward part of the chain's pull [N]
 * @param closeFrom     share of the tolerance from which it is `close`
 * @source tan(angle) = plan offset / height of top above pick-up; sideways = vertical · tan(angle)
 */
export function plumbOverLift(
  top: PositionM,
  path: readonly PositionM[],
  verticalN: number,
  toleranceRad: number,
  closeFrom: number,
): Result<Plumb, PlumbError> {
  if (!isFinitePosition(top)) return fail({ code: 'not-finite', what: 'top of the chain' });
  if (!Number.isFinite(verticalN)) return fail({ code: 'not-finite', what: 'vertical force' });
  if (verticalN < 0) return fail({ code: 'force-negative', what: 'vertical force', forceN: verticalN });
  if (!(toleranceRad > 0 && toleranceRad < 1.5)) return fail({ code: 'tolerance-out-of-range', toleranceRad });
  if (!Number.isFinite(closeFrom)) return fail({ code: 'not-finite', what: 'close threshold' });
  let worst: { offsetM: number; dropM: number; at: PositionM } | null = null;
  for (const at of path) {
    if (!isFinitePosition(at)) return fail({ code: 'not-finite', what: 'pick-up' });
    const dropM = top.zM - at.zM;
    const [dx, dy] = [at.xM - top.xM, at.yM - top.yM];
    const offsetM = Math.sqrt(dx * dx + dy * dy);
    if (!(dropM > 0)) return fail({ code: 'pick-up-not-below-top', atZM: at.zM, topZM: top.zM });
    if (!Number.isFinite(offsetM / dropM)) return fail({ code: 'not-finite', what: 'offset over drop' });
    // On equal angles the later one counts: nearer to trim.
    if (worst === null || offsetM / dropM >= worst.offsetM / worst.dropM) worst = { offsetM, dropM, at };
  }
  if (worst === null) return fail({ code: 'no-positions' });
  const { offsetM, dropM, at } = worst;
  const worstRad = atan2(offsetM, dropM);
  const [onRoofXN, onRoofYN] = [(verticalN * (at.xM - top.xM)) / dropM, (verticalN * (at.yM - top.yM)) / dropM];
  const forceN = (verticalN * offsetM) / dropM;
  if (!Number.isFinite(forceN)) return fail({ code: 'not-finite', what: 'sideways force' });
  const verdict = worstRad > toleranceRad * (1 + SLACK) ? 'over' : worstRad >= closeFrom * toleranceRad * (1 - SLACK) ? 'close' : 'fits';
  return ok({
    worstRad,
    worstAt: at,
    offsetM,
    toleranceRad,
    sideways: { forceN, onRoofXN, onRoofYN },
    verdict,
    reckoning: {
      formula: 'atan(offsetM / dropM); sideways verticalN · offsetM / dropM',
      numbers: { offsetM, dropM, verticalN, toleranceRad },
      unit: 'rad',
      source: 'geometry of a straight chain; tolerance of the policy',
    },
  });
}
