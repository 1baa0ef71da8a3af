import type { Result } from '../foundation/result.ts';
import { fail, ok } from '../foundation/result.ts';
import { zeros } from './banded.ts';

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
/** Loads are positive downwards. */
export type BeamPointLoad = { readonly atM: number; readonly forceN: number };
export type BeamSpreadLoad = { readonly fromM: number; readonly toM: number; readonly forceNPerM: number };

export type BeamInput = {
  readonly lengthM: number;
  readonly selfNPerM?: number;
  /** Bending stiffness E·I [N·m²]; null or absent = not known. */
  readonly eiNm2?: number | null;
  /** Shear stiffness G·A [N]; null or absent = shear does not bend the beam noticeably. */
  readonly gaN?: number | null;
  readonly supports: readonly BeamSupport[];
  readonly pointLoads: readonly BeamPointLoad[];
  readonly spreadLoads: readonly BeamSpreadLoad[];
};

export type BeamInputError =
  | { code: 'not-finite'; what: string }
  | { code: 'length-not-positive'; lengthM: number }
  | { code: 'stiffness-not-positive'; what: string }
  | { code: 'support-off-beam'; id: string; atM: number; lengthM: number }
  | { code: 'supports-coincide'; ids: [string, string]; atM: number }
  | { code: 'clamp-not-rigid'; id: string }
  | { code: 'load-off-beam'; what: string; atM: number; lengthM: number }
  | { code: 'load-reversed'; what: string; fromM: number; toM: number }
  | { code: 'unstable'; slack: readonly string[] }
  | { code: 'stiffness-needed'; what: 'ei' };

/** Closer than this, two lines are one point on any drawing that we can receive. */
export const MIN_SPACING_M = 0.001;
/** What a sum of panel lengths may miss the end of the beam by, in doubles; never a length that somebody measured. */
const ROUNDING_M = 1e-9;

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
/** Per node the force on it, per segment (from node k to k + 1) the even load; down positive. */
export type BeamLoads = { readonly pointN: readonly number[]; readonly evenNPerM: readonly number[] };
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
  const order = input.supports.map((_, index) => index);
  const atM = (index: number) => within(input.supports[index]?.atM ?? 0, lengthM);
  order.sort((a, b) => atM(a) - atM(b) || a - b);
  const sorted = order.flatMap((index) => input.supports[index] ?? []);
  for (let index = 1; index < sorted.length; index++) {
    const [before, support] = [sorted[index - 1], sorted[index]];
    if (before !== undefined && support !== undefined && support.atM - before.atM < MIN_SPACING_M) {
      return fail({ code: 'supports-coincide', ids: [before.id, support.id], atM: support.atM });
    }
  }
  const clamps = sorted.filter((support) => support.clamped).length;
  if (sorted.length + clamps < 2) return fail({ code: 'unstable', slack: [] });

  const nodesM = nodesOf(input, sorted);
  const { loads, grossN } = loadsOf(input, nodesM);
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
    supports: sorted.map((support, index) => ({
      id: support.id,
      inputIndex: order[index] ?? 0,
      node: nodeAt(nodesM, within(support.atM, lengthM)),
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
  if (!Number.isFinite(lengthM)) return { code: 'not-finite', what: 'length' };
  if (lengthM < MIN_SPACING_M) return { code: 'length-not-positive', lengthM };
  if (!Number.isFinite(input.selfNPerM ?? 0)) return { code: 'not-finite', what: 'self weight' };
  for (const [what, value] of [
    ['ei', input.eiNm2],
    ['ga', input.gaN],
  ] as const) {
    const faulty = stiffnessFault(what, value);
    if (faulty !== null) return faulty;
  }
  const isOff = (atM: number) => atM < -ROUNDING_M || atM > lengthM + ROUNDING_M;
  for (const support of input.supports) {
    const what = `support ${support.id}`;
    if (!Number.isFinite(support.atM) || !Number.isFinite(support.levelM ?? 0)) return { code: 'not-finite', what };
    const faulty = stiffnessFault(what, support.stiffnessNPerM);
    if (faulty !== null) return faulty;
    if (isOff(support.atM)) return { code: 'support-off-beam', id: support.id, atM: support.atM, lengthM };
    const isRigidTwoWay = !support.tensionOnly && typeof support.stiffnessNPerM !== 'number';
    if (support.clamped && !isRigidTwoWay) return { code: 'clamp-not-rigid', id: support.id };
  }
  for (const [index, { atM, forceN }] of input.pointLoads.entries()) {
    if (!Number.isFinite(atM) || !Number.isFinite(forceN)) return { code: 'not-finite', what: `point load ${index}` };
    if (isOff(atM)) return { code: 'load-off-beam', what: `point load ${index}`, atM, lengthM };
  }
  for (const [index, { fromM, toM, forceNPerM }] of input.spreadLoads.entries()) {
    const what = `spread load ${index}`;
    if (!Number.isFinite(fromM) || !Number.isFinite(toM) || !Number.isFinite(forceNPerM)) return { code: 'not-finite', what };
    if (fromM > toM) return { code: 'load-reversed', what, fromM, toM };
    if (isOff(fromM) || isOff(toM)) return { code: 'load-off-beam', what, atM: isOff(fromM) ? fromM : toM, lengthM };
  }
  return null;
}

function stiffnessFault(what: string, value: number | null | undefined): BeamInputError | null {
  if (value === null || value === undefined) return null;
  if (!Number.isFinite(value)) return { code: 'not-finite', what };
  // Also refuses what is positive but so small that its reciprocal overflows.
  return value > 0 && Number.isFinite(1 / value) ? null : { code: 'stiffness-not-positive', what };
}

const within = (atM: number, lengthM: number) => Math.min(Math.max(atM, 0), lengthM);

function nodesOf({ lengthM, pointLoads, spreadLoads }: BeamInput, supports: readonly BeamSupport[]): number[] {
  const places = new Float64Array(2 + supports.length + pointLoads.length + 2 * spreadLoads.length);
  let count = 0;
  places[count++] = 0;
  places[count++] = lengthM;
  for (const { atM } of supports) places[count++] = within(atM, lengthM);
  for (const { atM } of pointLoads) places[count++] = within(atM, lengthM);
  for (const { fromM, toM } of spreadLoads) {
    places[count++] = within(fromM, lengthM);
    places[count++] = within(toM, lengthM);
  }
  places.sort();
  const nodesM: number[] = [];
  for (let index = 0; index < count; index++) {
    const place = places[index] ?? 0;
    if (index === 0 || place > (nodesM.at(-1) ?? 0)) nodesM.push(place);
  }
  return nodesM;
}

function loadsOf(input: BeamInput, nodesM: readonly number[]): { loads: BeamLoads; grossN: number } {
  const pointN = zeros(nodesM.length);
  const evenNPerM = zeros(nodesM.length);
  let grossN = Math.abs(input.selfNPerM ?? 0) * input.lengthM;
  for (const { atM, forceN } of input.pointLoads) {
    const node = nodeAt(nodesM, within(atM, input.lengthM));
    pointN[node] = (pointN[node] ?? 0) + forceN;
    grossN += Math.abs(forceN);
  }
  // What starts and ends at each node; a segment that no load covers is exactly unloaded, whatever the sums round to.
  const changeNPerM = zeros(nodesM.length);
  const changeCount = zeros(nodesM.length);
  for (const { fromM, toM, forceNPerM } of input.spreadLoads) {
    const from = nodeAt(nodesM, within(fromM, input.lengthM));
    const to = nodeAt(nodesM, within(toM, input.lengthM));
    changeNPerM[from] = (changeNPerM[from] ?? 0) + forceNPerM;
    changeNPerM[to] = (changeNPerM[to] ?? 0) - forceNPerM;
    changeCount[from] = (changeCount[from] ?? 0) + 1;
    changeCount[to] = (changeCount[to] ?? 0) - 1;
    grossN += Math.abs(forceNPerM) * (toM - fromM);
  }
  let runningNPerM = 0;
  let covering = 0;
  for (let node = 0; node < nodesM.length - 1; node++) {
    covering += changeCount[node] ?? 0;
    runningNPerM = covering === 0 ? 0 : runningNPerM + (changeNPerM[node] ?? 0);
    evenNPerM[node] = runningNPerM + (input.selfNPerM ?? 0);
  }
  return { loads: { pointN, evenNPerM }, grossN };
}

/** Index of a place that is known to be a node. */
function nodeAt(nodesM: readonly number[], atM: number): number {
  let [low, high] = [0, nodesM.length - 1];
  while (low < high) {
    const middle = (low + high) >> 1;
    if ((nodesM[middle] ?? 0) < atM) low = middle + 1;
    else high = middle;
  }
  return low;
}
