import type { Result } from '../foundation/result.ts';
import { fail, ok } from '../foundation/result.ts';
import { zeros } from './banded.ts';
import type { BeamLoads } from './beam-cut.ts';
import type { BeamInput, BeamInputError, BeamLayout } from './beam-layout.ts';
import { layOutBeam } from './beam-layout.ts';
import type { BeamLine } from './beam-line.ts';
import { beamLine } from './beam-line.ts';
import { supportMoments } from './beam-moments.ts';
import type { ContactAnswer, SuspendedStructure } from './contact.ts';
import { findTautSupports } from './contact.ts';

export type { BeamPointLoad, BeamSpreadLoad } from './beam-cut.ts';
export type { BeamInput, BeamSupport } from './beam-layout.ts';

export type BeamError = BeamInputError | { code: 'ill-conditioned'; what: string; relativeResidual: number };

export type BeamReaction = {
  readonly id: string;
  readonly atM: number;
  /** Positive = the support carries weight. */
  readonly forceN: number;
  /** A tension-only support that carries nothing. */
  readonly slack: boolean;
  /** Moment that a clamp gives the beam, as the step in the moment across it (right minus left); 0 elsewhere. */
  readonly momentStepNm: number;
};
export type SolvedBeam = {
  readonly layout: BeamLayout;
  readonly line: BeamLine;
  /** In the order of the input's supports. */
  readonly reactions: readonly BeamReaction[];
  /** What the reactions miss the loads by in force and moment, relative to the loads. */
  readonly residual: number;
};

/** A line with less than this share of the load is slack, and a push of less is rounding. */
const SLACK_SHARE = 1e-9;
const LARGEST_RESIDUAL = 1e-9;
/** Of the shape, which is checked against its own size; forces do not depend on it. */
const LARGEST_MISFIT = 1e-7;

/**
 * A straight beam of even stiffness hung from any number of supports, with bending and, where G·A is given, shear.
 * Loads are positive down, reactions positive up, moments positive sagging. Tension-only supports that would push are slack and
 * the rest is solved with contact. EI may be left out where it changes no force; the shape is then not known.
 * @returns reactions and the line of forces and shape, or why there is none: `unstable` (too few supports, or it tips; `slack` names
 *   those that have let go), `stiffness-needed`, `ill-conditioned`, or what is wrong with the input
 * @source Euler-Bernoulli and Timoshenko beam theory; three-moment equation; contact by the dual active-set method
 */
export function solveBeam(input: BeamInput): Result<SolvedBeam, BeamError> {
  const layout = layOutBeam(input);
  return layout.ok ? solveLaidBeam(layout.value, layout.value.levelsM) : layout;
}

/** The same with other levels (of the layout's sorted supports). */
export function solveLaidBeam(layout: BeamLayout, levelsM: readonly number[]): Result<SolvedBeam, BeamError> {
  const found = findTautSupports(suspendedBeam(layout), levelsM, (answer) => pushToleranceN(layout, answer));
  if (!found.ok) {
    if (found.error.code !== 'tips') return fail(found.error);
    return fail({ code: 'unstable', slack: found.error.slack.map((index) => layout.supports[index]?.id ?? '') });
  }
  const { taut, answer } = found.value;
  return checked(layout, levelsM, taut, answer);
}

type BeamAnswer = ContactAnswer & { readonly line: BeamLine };

export function suspendedBeam(layout: BeamLayout): SuspendedStructure<BeamAnswer, BeamError> {
  const unloaded: BeamLoads = { pointN: zeros(layout.nodesM.length), evenNPerM: zeros(layout.nodesM.length) };
  return {
    tensionOnly: layout.supports.map((support) => support.tensionOnly),
    answer: (taut, levelsM, which) => {
      const loads = which === 'loaded' ? layout.loads : unloaded;
      const solved = supportMoments(layout, loads, taut, levelsM);
      if (!solved.ok) return solved;
      const line = beamLine(layout, loads, solved.value);
      const reactionsN = zeros(layout.supports.length);
      let next = 0;
      for (let index = 0; index < reactionsN.length; index++) if (taut[index]) reactionsN[index] = solved.value.reactionsN[next++] ?? 0;
      return ok({ reactionsN, upM: layout.supports.map(({ node }) => -(line.downM[node] ?? 0)), line });
    },
    holds: (taut) => layout.supports.reduce((sum, { clamped }, index) => sum + (taut[index] ? (clamped ? 2 : 1) : 0), 0) >= 2,
  };
}

function pushToleranceN(layout: BeamLayout, { reactionsN }: ContactAnswer): number {
  return SLACK_SHARE * layout.grossN + 1e-12 * reactionsN.reduce((most, reactionN) => Math.max(most, Math.abs(reactionN)), 0);
}

/** Equilibrium, contact and shape of the answer, worked out again from the loads as they came in. */
function checked(
  layout: BeamLayout,
  levelsM: readonly number[],
  taut: readonly boolean[],
  answer: BeamAnswer,
): Result<SolvedBeam, BeamError> {
  const { input, supports, grossN } = layout;
  const { line } = answer;
  const toleranceN = pushToleranceN(layout, answer);
  const middleM = input.lengthM / 2;
  let forceN = 0;
  let momentNm = 0;
  let sizeN = grossN;
  let sizeNm = grossN * input.lengthM;
  let overlapM = 0;
  const reactions = new Array<BeamReaction>(supports.length);
  for (const [index, support] of supports.entries()) {
    const atM = layout.nodesM[support.node] ?? 0;
    const rawN = answer.reactionsN[index] ?? 0;
    const isReleased = !taut[index];
    const carriedN = support.tensionOnly ? Math.max(0, rawN) : rawN;
    const slack = support.tensionOnly && (isReleased || carriedN < SLACK_SHARE * grossN);
    const stepNm = support.clamped ? (line.momentRightNm[support.node] ?? 0) - (line.momentLeftNm[support.node] ?? 0) : 0;
    reactions[support.inputIndex] = { id: support.id, atM, forceN: slack ? 0 : carriedN + 0, slack, momentStepNm: stepNm };
    forceN += rawN;
    momentNm += rawN * (atM - middleM) - stepNm;
    sizeN += Math.abs(rawN);
    sizeNm += Math.abs(rawN) * input.lengthM + Math.abs(stepNm);
    if (isReleased) {
      const gapM = (answer.upM[index] ?? 0) - (levelsM[index] ?? 0);
      overlapM = Math.max(overlapM, -gapM);
    }
    if (support.tensionOnly && rawN < -toleranceN)
      return fail({ code: 'ill-conditioned', what: 'contact', relativeResidual: -rawN / sizeN });
  }
  forceN -= (input.selfNPerM ?? 0) * input.lengthM;
  for (const load of input.pointLoads) {
    forceN -= load.forceN;
    momentNm -= load.forceN * (load.atM - middleM);
  }
  for (const load of input.spreadLoads) {
    const spreadN = load.forceNPerM * (load.toM - load.fromM);
    forceN -= spreadN;
    momentNm -= spreadN * ((load.fromM + load.toM) / 2 - middleM);
  }
  const residual = sizeN > 0 ? Math.max(Math.abs(forceN) / sizeN, Math.abs(momentNm) / sizeNm) : 0;
  if (!(residual <= LARGEST_RESIDUAL)) return fail({ code: 'ill-conditioned', what: 'equilibrium', relativeResidual: finite(residual) });
  if (!(line.misfit <= LARGEST_MISFIT)) return fail({ code: 'ill-conditioned', what: 'shape', relativeResidual: finite(line.misfit) });
  const largestM = line.downM.reduce((most, downM) => Math.max(most, Math.abs(downM)), 0);
  if (!Number.isFinite(largestM)) return fail({ code: 'not-finite', what: 'deflection' });
  if (overlapM > LARGEST_MISFIT * largestM)
    return fail({ code: 'ill-conditioned', what: 'contact', relativeResidual: overlapM / largestM });
  return ok({ layout, line, reactions, residual });
}

const finite = (value: number) => (Number.isFinite(value) ? value : Number.MAX_VALUE);
