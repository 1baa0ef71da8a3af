import { degToRad, radToDeg } from '../foundation/elementary.ts';
import type { Result } from '../foundation/result.ts';
import { fail, ok } from '../foundation/result.ts';
import type { ArrayError, ArrayHanging, ArrayStage, HoleReaction, PitchRange } from './array.ts';
import { solveArray } from './array.ts';
import type { ArrayElement, ArrayFrame, ExtraMass, SidePoint } from './array-assembly.ts';

/** The question as it crosses a border: degrees, kilograms, metres. */
export type ArrayQuestion = {
  /** Absent with one hole: the array then finds its own pitch. */
  readonly framePitchDeg?: number | undefined;
  readonly frame: ArrayFrame;
  readonly elements: readonly (Omit<ArrayElement, 'splayRad'> & { readonly splayDeg: number })[];
  readonly extraMasses?: readonly ExtraMass[] | undefined;
  readonly hang: { readonly holes: readonly [string, string] } | { readonly hole: string };
  readonly stackSizes?: readonly number[] | undefined;
};

type RangeDeg = { readonly from: number; readonly to: number };
export type ArrayAnswerError =
  | Exclude<ArrayError, { code: 'chain-would-push' | 'angle-beyond-a-turn' }>
  | { code: 'angle-beyond-a-turn'; what: string; angleDeg: number }
  | { code: 'chain-would-push'; hole: string; massKg: number; framePitchDeg: number; holdableDeg: RangeDeg }
  | { code: 'frame-pitch-missing' }
  | { code: 'frame-pitch-not-free'; framePitchDeg: number };

type ReactionKn = { readonly hole: string; readonly forceKn: number; readonly massKg: number };
/** Everything in level axes from the front (or only) hole. */
export type ArrayAnswer = {
  readonly totalMassKg: number;
  readonly cg: SidePoint;
  readonly reactions: readonly ReactionKn[];
  readonly freeHangDeg: number | null;
  readonly holdableDeg: RangeDeg | null;
  readonly lowest: SidePoint & { readonly element: 'frame' | number };
  readonly heightM: number;
  readonly depthM: number;
  readonly elements: readonly { readonly pitchDeg: number; readonly top: SidePoint }[];
  readonly stages: readonly {
    readonly elements: number;
    readonly at: 'level' | 'final';
    readonly reactions: readonly ReactionKn[] | null;
  }[];
  readonly cautions: readonly string[];
};

/**
 * `solveArray` in the units of the border. Pitches are summed in degrees, so that 10° asked is 10° answered.
 * @returns masses [kg], forces [kN], places [m], angles [°]; or the refusal with its angles in degrees
 */
export function answerArray(question: ArrayQuestion): Result<ArrayAnswer, ArrayAnswerError> {
  const { frame, elements, hang, framePitchDeg } = question;
  const hanging = hangingOf(hang, framePitchDeg);
  if (!hanging.ok) return hanging;
  const build = {
    frame,
    elements: elements.map(({ splayDeg, ...element }) => ({ ...element, splayRad: degToRad(splayDeg) })),
    extraMasses: question.extraMasses ?? [],
  };
  const solved = solveArray(build, hanging.value, question.stackSizes);
  if (!solved.ok) return fail(inDegrees(solved.error));
  const { totalMassKg, cg, reactions, freeHangRad, holdable, lowest, heightM, depthM, stages, cautions } = solved.value;
  const pitchOfFrameDeg = freeHangRad === null ? (framePitchDeg ?? 0) : radToDeg(freeHangRad);
  let splayedDeg = 0;
  return ok({
    totalMassKg,
    cg,
    reactions: reactions.map(inKn),
    freeHangDeg: freeHangRad === null ? null : pitchOfFrameDeg,
    holdableDeg: holdable === null ? null : rangeInDegrees(holdable),
    lowest,
    heightM,
    depthM,
    elements: solved.value.elements.map(({ top }, index) => {
      splayedDeg += elements[index]?.splayDeg ?? 0;
      return { pitchDeg: pitchOfFrameDeg - splayedDeg, top };
    }),
    stages: stages.map(({ elements: pinned, at, reactions: held }: ArrayStage) => ({
      elements: pinned,
      at,
      reactions: held?.map(inKn) ?? null,
    })),
    cautions,
  });
}

function hangingOf(hang: ArrayQuestion['hang'], framePitchDeg: number | undefined): Result<ArrayHanging, ArrayAnswerError> {
  if ('hole' in hang) {
    if (framePitchDeg !== undefined) return fail({ code: 'frame-pitch-not-free', framePitchDeg });
    return ok({ on: 'one-hole', hole: hang.hole });
  }
  if (framePitchDeg === undefined) return fail({ code: 'frame-pitch-missing' });
  const [frontHole, rearHole] = hang.holes;
  return ok({ on: 'two-holes', frontHole, rearHole, framePitchRad: degToRad(framePitchDeg) });
}

const inKn = ({ hole, forceN, massKg }: HoleReaction): ReactionKn => ({ hole, forceKn: forceN / 1000, massKg });
const rangeInDegrees = ({ fromRad, toRad }: PitchRange): RangeDeg => ({ from: radToDeg(fromRad), to: radToDeg(toRad) });

function inDegrees(error: ArrayError): ArrayAnswerError {
  if (error.code === 'angle-beyond-a-turn') return { code: error.code, what: error.what, angleDeg: radToDeg(error.angleRad) };
  if (error.code !== 'chain-would-push') return error;
  const { code, hole, massKg, framePitchRad, holdable } = error;
  return { code, hole, massKg, framePitchDeg: radToDeg(framePitchRad), holdableDeg: rangeInDegrees(holdable) };
}
