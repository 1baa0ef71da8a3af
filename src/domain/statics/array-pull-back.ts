import { atan2, cos, sin } from '../foundation/elementary.ts';
import type { Result } from '../foundation/result.ts';
import { fail, ok } from '../foundation/result.ts';
import { STANDARD_GRAVITY } from '../foundation/units.ts';
import type { ArrayError } from './array.ts';
import { solveArray } from './array.ts';
import type { ArrayBuild, SidePoint } from './array-assembly.ts';
import { LARGEST_ANGLE_RAD, assembleArray, centreOfGravity, placed } from './array-assembly.ts';
import type { Reckoning } from './hoist-line-reckoning.ts';

/** An array on one hole, pulled to a pitch that it would not find by itself. */
export type PullBackAsked = {
  readonly hole: string;
  readonly framePitchRad: number;
  /** Where the line is made fast: on the frame or on an element (counted from 0), in that part's axes. */
  readonly on: 'frame' | number;
  readonly at: SidePoint;
  /** Far end of the line in level axes from the hole [m]. */
  readonly to: SidePoint;
};
export type PullBack = {
  readonly pullBackN: number;
  /** Pull on the far end of the line [N]: u towards the array, down positive (negative lifts a floor anchor). */
  readonly pullBackOnEnd: { readonly uN: number; readonly downN: number };
  /** The chain cannot stay plumb: its anchor must lie in this direction from the hole. */
  readonly chain: { readonly tensionN: number; readonly offPlumbRad: number; readonly uN: number; readonly upN: number };
  /** The line lost: the array swings to its free hang, and at rest the hole carries its weight. The swing itself is not computed. */
  readonly lost: { readonly freeHangRad: number; readonly restingN: number };
  readonly reckoning: Reckoning;
};
export type PullBackError =
  | Exclude<ArrayError, { code: 'chain-would-push' }>
  | { code: 'line-has-no-length'; line: string }
  | { code: 'line-through-hole' }
  | { code: 'line-would-push'; line: string; forceN: number }
  | { code: 'pull-back-lifts-the-array'; upN: number };

const MIN_ARM_M = 1e-3; // a line that passes nearer to the hole turns nothing

/**
 * Tension of a pull-back that holds an array at a wanted pitch on one hole, and what the chain then does.
 * @returns forces [N] and the lean of the chain [rad]; or why it cannot be: the line would have to push, or passes through the hole
 * @source equilibrium of moments about the hole, then of forces
 */
export function pullBackAtPitch(build: ArrayBuild, asked: PullBackAsked): Result<PullBack, PullBackError> {
  const assembled = assembleArray(build);
  if (!assembled.ok) return assembled;
  const array = assembled.value;
  const { framePitchRad, on, to } = asked;
  if (!Number.isFinite(framePitchRad)) return fail({ code: 'not-finite', what: 'frame pitch' });
  if (Math.abs(framePitchRad) > LARGEST_ANGLE_RAD)
    return fail({ code: 'angle-beyond-a-turn', what: 'frame pitch', angleRad: framePitchRad });
  for (const place of [asked.at, to]) {
    if (!(Math.abs(place.uM) <= 1e30 && Math.abs(place.vM) <= 1e30)) return fail({ code: 'not-finite', what: 'pull-back' });
  }
  const free = solveArray(build, { on: 'one-hole', hole: asked.hole });
  if (!free.ok) return free.error.code === 'chain-would-push' ? bug() : fail(free.error);
  const hole = array.holes.find(({ id }) => id === asked.hole);
  const whole = array.upTo[array.upTo.length - 1];
  const cg = whole === undefined ? null : centreOfGravity(whole);
  if (hole === undefined || whole === undefined || cg === null) return bug();
  const fastInFrame = on === 'frame' ? asked.at : onElement(array.tops[on], array.turnsRad[on], asked.at);
  if (fastInFrame === null) return fail({ code: 'no-such-element', on: on === 'frame' ? -1 : on, elements: build.elements.length });

  const [c, s] = [cos(framePitchRad), sin(framePitchRad)];
  const fromHole = ({ uM, vM }: SidePoint): SidePoint => placed({ uM: 0, vM: 0 }, c, s, { uM: uM - hole.uM, vM: vM - hole.vM });
  const [fast, weightAt] = [fromHole(fastInFrame), fromHole(cg)];
  const [du, dv] = [to.uM - fast.uM, to.vM - fast.vM];
  const lengthM = Math.sqrt(du * du + dv * dv);
  if (lengthM < MIN_ARM_M) return fail({ code: 'line-has-no-length', line: 'pull-back' });
  const [u, v] = [du / lengthM, dv / lengthM];
  const weightN = whole.massKg * STANDARD_GRAVITY;
  // Turning nose up positive: the weight turns by -W·u of the CG, the line by its arm.
  const armM = fast.uM * v - fast.vM * u;
  if (Math.abs(armM) < MIN_ARM_M) return fail({ code: 'line-through-hole' });
  const pullBackN = (weightN * weightAt.uM) / armM;
  if (pullBackN < -1e-9 * weightN) return fail({ code: 'line-would-push', line: 'pull-back', forceN: pullBackN });
  const tensionN = Math.max(0, pullBackN);
  const [uN, upN] = [-tensionN * u, weightN - tensionN * v];
  if (upN <= 0) return fail({ code: 'pull-back-lifts-the-array', upN });
  return ok({
    pullBackN: tensionN,
    pullBackOnEnd: { uN: -u * tensionN, downN: v * tensionN },
    chain: { tensionN: Math.sqrt(uN * uN + upN * upN), offPlumbRad: atan2(Math.abs(uN), upN), uN, upN },
    lost: { freeHangRad: free.value.framePitchRad, restingN: weightN },
    reckoning: {
      formula: 'weightN · cgM / armM',
      numbers: { weightN, cgM: weightAt.uM, armM },
      unit: 'N',
      source: 'equilibrium of moments about the hole',
    },
  });
}

const onElement = (top: SidePoint | undefined, turnRad: number | undefined, at: SidePoint): SidePoint | null =>
  top === undefined || turnRad === undefined ? null : placed(top, cos(turnRad), sin(turnRad), at);

function bug(): never {
  throw new Error('an array that was assembled and hung has its hole and its mass');
}
