import type { Result } from '../foundation/result.ts';
import { fail, ok } from '../foundation/result.ts';
import type { BeamLoads, LoadedLength, LoadedLengthError } from './beam-cut.ts';
import { MIN_SPACING_M, cutBeam, isOffBeam, lengthFaultIn, loadFault, nodeAt, placeOnBeam } from './beam-cut.ts';

/** A line that carries the beam. Two-way (it can also hold down) unless `tensionOnly`, as a hoist is. */
export type BeamSupport = {
  readonly id: string;
  readonly atM: number;
  /** How far above the common level its upper end is [m], up positive. */
  readonly levelM?: number;
  /** Stiffness of the line and what it hangs from [N/m]; null or absent = rigid. */
  readonly stiffnessNPerM?: number | null;
  readonly tensionOnly?: boolean;
  /** Holds the slope of the beam at zero as well. Only for rigid two-way supports. */
  readonly clamped?: boolean;
};
export type BeamInput = LoadedLength & {
  /** Bending stiffness E·I [N·m²]; null or absent = not known. */
  readonly eiNm2?: number | null;
  /** Shear stiffness G·A [N]; null or absent = shear does not bend the beam noticeably. */
  readonly gaN?: number | null;
  readonly supports: readonly BeamSupport[];
};

export type BeamInputError =
  | LoadedLengthError
  | { code: 'stiffness-not-positive'; what: string }
  | { code: 'support-off-beam'; id: string; atM: number; lengthM: number }
  | { code: 'supports-coincide'; ids: [string, string]; atM: number }
  | { code: 'clamp-not-rigid'; id: string }
  | { code: 'unstable'; slack: readonly string[] }
  | { code: 'stiffness-needed'; what: 'ei' };

/**
 * The beam cut at every support and load, so that between two nodes the load is even and every formula is closed.
 * Supports are sorted along the beam.
 */
export type BeamLayout = {
  readonly input: BeamInput;
  readonly nodesM: readonly number[];
  readonly loads: BeamLoads;
  readonly supports: readonly LaidSupport[];
  readonly levelsM: readonly number[];
  /** Known, or a stand-in that leaves forces as they are where stiffness does not matter. */
  readonly eiNm2: number;
  readonly eiIsKnown: boolean;
  /** 1 / (G·A) [1/N], 0 where shear is left out. */
  readonly shearFlexibilityPerN: number;
  /** Sum of the sizes of all loads [N]: what rounding errors are measured against. */
  readonly grossN: number;
};
export type LaidSupport = {
  readonly id: string;
  readonly inputIndex: number;
  readonly node: number;
  readonly flexibilityMPerN: number;
  readonly tensionOnly: boolean;
  readonly clamped: boolean;
};

/** Checks a beam and lays it out for solving. Every fault that would make the answer meaningless is refused here. */
export function layOutBeam(input: BeamInput): Result<BeamLayout, BeamInputError> {
  const fault = faultIn(input);
  if (fault !== null) return fail(fault);
  const { lengthM } = input;
  const placed = input.supports.map((support, inputIndex) => ({ support, inputIndex, placeM: placeOnBeam(support.atM, lengthM) }));
  placed.sort((a, b) => a.placeM - b.placeM || a.inputIndex - b.inputIndex);
  const sorted = placed.map(({ support }) => support);
  for (let index = 1; index < sorted.length; index++) {
    const [before, support] = [sorted[index - 1], sorted[index]];
    if (before !== undefined && support !== undefined && support.atM - before.atM < MIN_SPACING_M) {
      return fail({ code: 'supports-coincide', ids: [before.id, support.id], atM: support.atM });
    }
  }
  const clamps = sorted.filter((support) => support.clamped).length;
  if (sorted.length + clamps < 2) return fail({ code: 'unstable', slack: [] });

  const { nodesM, loads, grossN } = cutBeam(
    input,
    placed.map(({ placeM }) => placeM),
  );
  if (!Number.isFinite(grossN * lengthM)) return fail({ code: 'not-finite', what: 'sum of loads' });
  const levelsM = sorted.map((support) => support.levelM ?? 0);
  const eiIsKnown = input.eiNm2 !== undefined && input.eiNm2 !== null;
  if (!eiIsKnown && sorted.length + clamps > 2 && stiffnessMatters(input, sorted, clamps)) {
    return fail({ code: 'stiffness-needed', what: 'ei' });
  }
  return ok({
    input,
    nodesM,
    loads,
    supports: placed.map(({ support, inputIndex, placeM }) => ({
      id: support.id,
      inputIndex,
      node: nodeAt(nodesM, placeM),
      flexibilityMPerN: typeof support.stiffnessNPerM === 'number' ? 1 / support.stiffnessNPerM : 0,
      tensionOnly: support.tensionOnly ?? false,
      clamped: support.clamped ?? false,
    })),
    levelsM,
    eiNm2: input.eiNm2 ?? (grossN > 0 ? grossN * lengthM * lengthM : 1),
    eiIsKnown,
    shearFlexibilityPerN: typeof input.gaN === 'number' ? 1 / input.gaN : 0,
    grossN,
  });
}

/** Forces of a redundant beam depend on EI only against other flexibilities, or where levels strain the beam. */
function stiffnessMatters(input: BeamInput, sorted: readonly BeamSupport[], clamps: number): boolean {
  if (typeof input.gaN === 'number') return true;
  if (sorted.some((support) => typeof support.stiffnessNPerM === 'number')) return true;
  const [first, last] = [sorted[0], sorted.at(-1)];
  if (first === undefined || last === undefined || first === last) return false;
  const firstM = first.levelM ?? 0;
  const slope = ((last.levelM ?? 0) - firstM) / (last.atM - first.atM);
  if (clamps > 0 && slope !== 0) return true;
  return sorted.some((support) => {
    const levelM = support.levelM ?? 0;
    return Math.abs(levelM - firstM - slope * (support.atM - first.atM)) > 1e-12 * (Math.abs(levelM) + Math.abs(firstM));
  });
}

function faultIn(input: BeamInput): BeamInputError | null {
  const { lengthM } = input;
  const lengthFault = lengthFaultIn(input);
  if (lengthFault !== null) return lengthFault;
  for (const [what, value] of [
    ['ei', input.eiNm2],
    ['ga', input.gaN],
  ] as const) {
    const code = stiffnessFault(value);
    if (code !== null) return { code, what };
  }
  for (const support of input.supports) {
    const isFinite = Number.isFinite(support.atM) && Number.isFinite(support.levelM ?? 0);
    const code = isFinite ? stiffnessFault(support.stiffnessNPerM) : 'not-finite';
    if (code !== null) return { code, what: `support ${support.id}` };
    if (isOffBeam(support.atM, lengthM)) return { code: 'support-off-beam', id: support.id, atM: support.atM, lengthM };
    const isRigidTwoWay = !support.tensionOnly && typeof support.stiffnessNPerM !== 'number';
    if (support.clamped && !isRigidTwoWay) return { code: 'clamp-not-rigid', id: support.id };
  }
  return loadFault(input);
}

function stiffnessFault(value: number | null | undefined): 'not-finite' | 'stiffness-not-positive' | null {
  if (value === null || value === undefined) return null;
  if (!Number.isFinite(value)) return 'not-finite';
  // Also refuses what is positive but so small that its reciprocal overflows.
  return value > 0 && Number.isFinite(1 / value) ? null : 'stiffness-not-positive';
}
