import { zeros } from './banded.ts';

/** Loads are positive downwards. */
export type BeamPointLoad = { readonly atM: number; readonly forceN: number };
export type BeamSpreadLoad = { readonly fromM: number; readonly toM: number; readonly forceNPerM: number };
/** A straight length with all that weighs on it: a beam, or one side of a truss frame. */
export type LoadedLength = {
  readonly lengthM: number;
  readonly selfNPerM?: number;
  readonly pointLoads: readonly BeamPointLoad[];
  readonly spreadLoads: readonly BeamSpreadLoad[];
};
export type LoadedLengthError =
  | { code: 'not-finite'; what: string }
  | { code: 'length-not-positive'; lengthM: number }
  | { code: 'load-off-beam'; what: string; atM: number; lengthM: number }
  | { code: 'load-reversed'; what: string; fromM: number; toM: number };

/** Per node the force on it, per segment (from node k to k + 1) the even load; down positive. */
export type BeamLoads = { readonly pointN: readonly number[]; readonly evenNPerM: readonly number[] };

/** Closer than this, two lines are one point on any drawing that we can receive. */
export const MIN_SPACING_M = 0.001;
/** What a sum of panel lengths may miss the end of the beam by, in doubles; never a length that somebody measured. */
const ROUNDING_M = 1e-9;

export const isOffBeam = (atM: number, lengthM: number): boolean => atM < -ROUNDING_M || atM > lengthM + ROUNDING_M;
export const placeOnBeam = (atM: number, lengthM: number): number => Math.min(Math.max(atM, 0), lengthM);

export function lengthFaultIn({ lengthM, selfNPerM }: LoadedLength): LoadedLengthError | null {
  if (!Number.isFinite(lengthM)) return { code: 'not-finite', what: 'length' };
  if (lengthM < MIN_SPACING_M) return { code: 'length-not-positive', lengthM };
  if (!Number.isFinite(selfNPerM ?? 0)) return { code: 'not-finite', what: 'self weight' };
  return null;
}

export function loadFault(input: LoadedLength): LoadedLengthError | null {
  const { lengthM } = input;
  const isOff = (atM: number) => isOffBeam(atM, lengthM);
  for (const [index, { atM, forceN }] of input.pointLoads.entries()) {
    if (!Number.isFinite(atM) || !Number.isFinite(forceN)) return { code: 'not-finite', what: `point load ${index}` };
    if (isOff(atM)) return { code: 'load-off-beam', what: `point load ${index}`, atM, lengthM };
  }
  for (const [index, { fromM, toM, forceNPerM }] of input.spreadLoads.entries()) {
    const isFinite = Number.isFinite(fromM) && Number.isFinite(toM) && Number.isFinite(forceNPerM);
    if (isFinite && fromM <= toM && !isOff(fromM) && !isOff(toM)) continue;
    const what = `spread load ${index}`;
    if (!isFinite) return { code: 'not-finite', what };
    if (fromM > toM) return { code: 'load-reversed', what, fromM, toM };
    return { code: 'load-off-beam', what, atM: isOff(fromM) ? fromM : toM, lengthM };
  }
  return null;
}

/**
 * Cuts the length at every load and at the given places, so that between two nodes the load is even and every formula is closed.
 * @returns nodes from left to right, the loads on them, and the sum of the sizes of all loads
 */
export function cutBeam(input: LoadedLength, otherPlacesM: readonly number[]): { nodesM: number[]; loads: BeamLoads; grossN: number } {
  const nodesM = nodesOf(input, otherPlacesM);
  return { nodesM, ...loadsAt(input, nodesM) };
}

function nodesOf({ lengthM, pointLoads, spreadLoads }: LoadedLength, otherPlacesM: readonly number[]): number[] {
  const places = new Float64Array(2 + otherPlacesM.length + pointLoads.length + 2 * spreadLoads.length);
  let count = 0;
  places[count++] = 0;
  places[count++] = lengthM;
  for (const atM of otherPlacesM) places[count++] = atM;
  for (const { atM } of pointLoads) places[count++] = placeOnBeam(atM, lengthM);
  for (const { fromM, toM } of spreadLoads) {
    places[count++] = placeOnBeam(fromM, lengthM);
    places[count++] = placeOnBeam(toM, lengthM);
  }
  places.sort();
  const nodesM: number[] = [];
  for (let index = 0; index < count; index++) {
    const place = places[index] ?? 0;
    if (index === 0 || place > (nodesM.at(-1) ?? 0)) nodesM.push(place);
  }
  return nodesM;
}

/** The loads on a length that is already cut: at all of their places, at least. */
export function loadsAt(input: LoadedLength, nodesM: readonly number[]): { loads: BeamLoads; grossN: number } {
  const pointN = zeros(nodesM.length);
  const evenNPerM = zeros(nodesM.length);
  let grossN = Math.abs(input.selfNPerM ?? 0) * input.lengthM;
  for (const { atM, forceN } of input.pointLoads) {
    const node = nodeAt(nodesM, placeOnBeam(atM, input.lengthM));
    pointN[node] = (pointN[node] ?? 0) + forceN;
    grossN += Math.abs(forceN);
  }
  // What starts and ends at each node; a segment that no load covers is exactly unloaded, whatever the sums round to.
  const changeNPerM = zeros(nodesM.length);
  const changeCount = zeros(nodesM.length);
  for (const { fromM, toM, forceNPerM } of input.spreadLoads) {
    const from = nodeAt(nodesM, placeOnBeam(fromM, input.lengthM));
    const to = nodeAt(nodesM, placeOnBeam(toM, input.lengthM));
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
export function nodeAt(nodesM: readonly number[], atM: number): number {
  let [low, high] = [0, nodesM.length - 1];
  while (low < high) {
    const middle = (low + high) >> 1;
    if ((nodesM[middle] ?? 0) < atM) low = middle + 1;
    else high = middle;
  }
  return low;
}
