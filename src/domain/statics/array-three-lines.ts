import { cos, sin } from '../foundation/elementary.ts';
import type { Result } from '../foundation/result.ts';
import { fail, ok } from '../foundation/result.ts';
import type { ArrayBuild, AssemblyError, SidePoint } from './array-assembly.ts';
import { LARGEST_ANGLE_RAD, assembleArray, placed } from './array-assembly.ts';
import type { BodyError, BodyLine, OfThree } from './plumb-body.ts';
import { sharesOfWeight } from './plumb-body.ts';

/** An array on two holes that a pull-back holds aside, in the pose in which it is drawn. */
export type ThreeLinesAsked = {
  readonly holes: readonly [string, string];
  readonly framePitchRad: number;
  /** Where the pull-back is made fast: on the frame or on an element (counted from 0), in that part's axes. */
  readonly on: 'frame' | number;
  readonly at: SidePoint;
  /** Far ends of the chain of each hole and of the pull-back, in level axes from the middle between the holes [m]. */
  readonly tops: readonly [SidePoint, SidePoint];
  readonly to: SidePoint;
};
export type ArrayOnThreeLines = {
  /** The chain of each hole in their order, then the pull-back; in level axes from the middle between the holes [m]. */
  readonly lines: readonly [BodyLine, BodyLine, BodyLine];
  /** What each line takes of one newton of weight at a place of the frame or of an element, in that part's axes. */
  readonly sharesAt: (on: 'frame' | number, at: SidePoint) => OfThree;
};
export type ThreeLinesError =
  | AssemblyError
  | { code: 'no-such-hole'; hole: string }
  | { code: 'holes-coincide'; holes: [string, string] }
  | Extract<BodyError, { code: 'not-finite' | 'line-has-no-length' | 'lines-meet-in-one-point' }>;

const MIN_HOLE_SPACING_M = 0.001; // closer than this, two holes are one on any drawing we can receive

/**
 * The pitch alone says nothing of the pull: on two chains that are alike an array swings without turning. What the chains' lean says is
 * how far the pull-back has taken it, so the pose as drawn is the datum, and the three lengths are those of the drawing.
 * @returns the three lines and what each takes of a weight [N/N]; or why they hold no body
 * @source rigid-body geometry in the side plane; equilibrium as in `sharesOfWeight`
 */
export function arrayOnThreeLines(build: ArrayBuild, asked: ThreeLinesAsked): Result<ArrayOnThreeLines, ThreeLinesError> {
  const assembled = assembleArray(build);
  if (!assembled.ok) return assembled;
  const { holes, tops, turnsRad } = assembled.value;
  const { framePitchRad } = asked;
  if (!Number.isFinite(framePitchRad)) return fail({ code: 'not-finite', what: 'frame pitch' });
  if (Math.abs(framePitchRad) > LARGEST_ANGLE_RAD)
    return fail({ code: 'angle-beyond-a-turn', what: 'frame pitch', angleRad: framePitchRad });
  const [oneId, otherId] = asked.holes;
  const one = holes.find(({ id }) => id === oneId);
  if (one === undefined) return fail({ code: 'no-such-hole', hole: oneId });
  const other = holes.find(({ id }) => id === otherId);
  if (other === undefined) return fail({ code: 'no-such-hole', hole: otherId });
  const [aheadM, aboveM] = [one.uM - other.uM, one.vM - other.vM];
  if (Math.sqrt(aheadM * aheadM + aboveM * aboveM) < MIN_HOLE_SPACING_M) return fail({ code: 'holes-coincide', holes: [oneId, otherId] });
  const middle = { uM: (one.uM + other.uM) / 2, vM: (one.vM + other.vM) / 2 };
  const [c, s] = [cos(framePitchRad), sin(framePitchRad)];
  const level = ({ uM, vM }: SidePoint) => placed({ uM: 0, vM: 0 }, c, s, { uM: uM - middle.uM, vM: vM - middle.vM });
  const placeOf = (on: 'frame' | number, at: SidePoint): SidePoint | null => {
    if (on === 'frame') return level(at);
    const [top, turnRad] = [tops[on], turnsRad[on]];
    return top === undefined || turnRad === undefined ? null : level(placed(top, cos(turnRad), sin(turnRad), at));
  };
  const fast = placeOf(asked.on, asked.at);
  if (fast === null) return fail({ code: 'no-such-element', on: asked.on === 'frame' ? -1 : asked.on, elements: tops.length });
  const [oneTop, otherTop] = asked.tops;
  const lines = [
    { id: `hole ${oneId}`, kind: 'hoist', at: level(one), to: oneTop, pretensionN: null },
    { id: `hole ${otherId}`, kind: 'hoist', at: level(other), to: otherTop, pretensionN: null },
    { id: 'pull-back', kind: 'pull-back', at: fast, to: asked.to, pretensionN: null },
  ] as const satisfies ArrayOnThreeLines['lines'];
  const shares = sharesOfWeight(lines);
  if (!shares.ok) {
    const { code } = shares.error;
    if (code === 'not-finite' || code === 'line-has-no-length' || code === 'lines-meet-in-one-point') return fail(shares.error);
    throw new Error(`three lines of an array cannot be ${code}`);
  }
  return ok({
    lines,
    sharesAt: (on, at) => {
      const place = placeOf(on, at);
      if (place === null) throw new Error('a part of the array has a place');
      return shares.value(place);
    },
  });
}
