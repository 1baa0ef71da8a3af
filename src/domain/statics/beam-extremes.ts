import type { SolvedBeam } from './beam.ts';
import type { BeamLayout } from './beam-layout.ts';
import type { BeamLine } from './beam-line.ts';

/** Forces along one straight length: a whole beam, or one side of a truss frame. */
export type ForceLine = {
  readonly layout: Pick<BeamLayout, 'nodesM' | 'loads' | 'grossN'> & { readonly input: { readonly lengthM: number } };
  readonly line: Pick<BeamLine, 'shearLeftN' | 'shearRightN' | 'momentLeftNm' | 'momentRightNm'>;
};

/** The value furthest out and the leftmost place where it is reached; 0 is reached nowhere. */
export type Extreme = { readonly value: number; readonly atM: number | null };
export type ForceExtremes = {
  /** Sagging [N·m], >= 0. */
  readonly maxMomentNm: Extreme;
  /** Hogging [N·m], <= 0. */
  readonly minMomentNm: Extreme;
  /** Largest size of the shear [N], >= 0. */
  readonly maxShearN: Extreme;
};
export type DeflectionExtremes = { readonly downM: Extreme; readonly upM: Extreme; readonly largestM: Extreme };
export type BeamForces = {
  readonly shearLeftN: number;
  readonly shearRightN: number;
  readonly momentLeftNm: number;
  readonly momentRightNm: number;
};

/** Places whose values differ by less than this share count as one value: the leftmost is told. */
const SAME = 1e-9;
/** Rounding of sums over a whole beam, as a share of the size of the terms. */
const ZERO = 1e-12;
const NONE: Extreme = { value: 0, atM: null };

class Furthest {
  value = 0;
  private placedValue = 0;
  private atM: number | null = null;
  private readonly zero: number;
  constructor(zero: number) {
    this.zero = zero;
  }
  /** Sizes must come in the order of their places. */
  meet(size: number, atM: number): void {
    if (size > this.zero && size > this.placedValue * (1 + SAME)) {
      this.placedValue = size;
      this.atM = atM;
    }
    if (size > this.value) this.value = size;
  }
  told(sign: 1 | -1): Extreme {
    return this.atM === null ? NONE : { value: sign * this.value, atM: this.atM };
  }
}

/**
 * True extremes of moment and shear between two stations, ends included (at a jump both sides count, also at the ends).
 * Between nodes the shear is linear and the moment a parabola with its top where the shear is 0.
 */
export function forceExtremes({ layout, line }: ForceLine, fromM = 0, toM = layout.input.lengthM): ForceExtremes {
  const { nodesM, loads, grossN } = layout;
  let largestN = grossN;
  for (let node = 0; node < nodesM.length; node++) largestN = Math.max(largestN, Math.abs(line.shearRightN[node] ?? 0));
  const sagging = new Furthest(ZERO * largestN * layout.input.lengthM);
  const hogging = new Furthest(ZERO * largestN * layout.input.lengthM);
  const shear = new Furthest(ZERO * largestN);
  const meet = (momentNm: number, shearN: number, atM: number) => {
    sagging.meet(momentNm, atM);
    hogging.meet(-momentNm, atM);
    shear.meet(Math.abs(shearN), atM);
  };
  for (let node = 0; node < nodesM.length - 1; node++) {
    const leftM = nodesM[node] ?? 0;
    const rightM = nodesM[node + 1] ?? 0;
    const start = Math.max(0, fromM - leftM);
    const end = Math.min(rightM, toM) - leftM;
    if (start > end) continue;
    const q = loads.evenNPerM[node] ?? 0;
    const v = line.shearRightN[node] ?? 0;
    const m = line.momentRightNm[node] ?? 0;
    const meetAt = (x: number) => meet(m + x * (v - (q * x) / 2), v - q * x, leftM + x);
    meetAt(start);
    const top = q === 0 ? 0 : v / q;
    if (top > start && top < end) meetAt(top);
    // The end as the line itself has it: exact at supports and free ends.
    if (end === rightM - leftM) meet(line.momentLeftNm[node + 1] ?? 0, line.shearLeftN[node + 1] ?? 0, rightM);
    else meetAt(end);
  }
  return { maxMomentNm: sagging.told(1), minMomentNm: hogging.told(-1), maxShearN: shear.told(1) };
}

/** Forces just left and just right of a station; null off the beam. */
export function forcesAt({ layout, line }: ForceLine, atM: number): BeamForces | null {
  const { nodesM, loads } = layout;
  if (!(atM >= 0 && atM <= layout.input.lengthM)) return null;
  let node = 0;
  while (node < nodesM.length - 2 && (nodesM[node + 1] ?? 0) <= atM) node++;
  const x = atM - (nodesM[node] ?? 0);
  const at = (k: number): BeamForces => ({
    shearLeftN: line.shearLeftN[k] ?? 0,
    shearRightN: line.shearRightN[k] ?? 0,
    momentLeftNm: line.momentLeftNm[k] ?? 0,
    momentRightNm: line.momentRightNm[k] ?? 0,
  });
  if (x === 0) return at(node);
  if (atM === nodesM[node + 1]) return at(node + 1);
  const q = loads.evenNPerM[node] ?? 0;
  const v = line.shearRightN[node] ?? 0;
  const shearN = v - q * x;
  const momentNm = (line.momentRightNm[node] ?? 0) + x * (v - (q * x) / 2);
  return { shearLeftN: shearN, shearRightN: shearN, momentLeftNm: momentNm, momentRightNm: momentNm };
}

/** Movement, down positive; null where EI is not known. */
export function deflectionExtremes(beam: SolvedBeam): DeflectionExtremes | null {
  const { layout, line } = beam;
  if (!layout.eiIsKnown) return null;
  const { nodesM } = layout;
  const places: { atM: number; downM: number }[] = [];
  for (let node = 0; node < nodesM.length; node++) {
    places.push({ atM: nodesM[node] ?? 0, downM: line.downM[node] ?? 0 });
    if (node < nodesM.length - 1)
      for (const x of levelPlaces(beam, node)) places.push({ atM: (nodesM[node] ?? 0) + x, downM: downWithin(beam, node, x) });
  }
  // The shape is a sum of larger parts, so its zero is coarser than that of the forces.
  const zero = 1e-10 * places.reduce((most, { downM }) => Math.max(most, Math.abs(downM)), 0);
  const [down, up, both] = [new Furthest(zero), new Furthest(zero), new Furthest(zero)];
  for (const { atM, downM } of places) {
    down.meet(downM, atM);
    up.meet(-downM, atM);
    both.meet(Math.abs(downM), atM);
  }
  const largest = both.told(1);
  const isUp = largest.atM !== null && places.some(({ atM, downM }) => atM === largest.atM && downM < 0);
  return { downM: down.told(1), upM: up.told(-1), largestM: both.told(isUp ? -1 : 1) };
}

/** Movement at a place inside the segment that starts at `node`. */
export function downWithin({ layout, line }: SolvedBeam, node: number, x: number): number {
  const q = layout.loads.evenNPerM[node] ?? 0;
  const v = line.shearRightN[node] ?? 0;
  const bent = (x * x * ((line.momentRightNm[node] ?? 0) / 2 + (x * v) / 6 - (x * x * q) / 24)) / layout.eiNm2;
  return (line.downM[node] ?? 0) + (line.turnRad[node] ?? 0) * x - bent + x * (v - (q * x) / 2) * layout.shearFlexibilityPerN;
}

/** Places strictly inside a segment where the beam runs level: roots of its slope, a cubic, found between the turns of the slope. */
function levelPlaces({ layout, line }: SolvedBeam, node: number): number[] {
  const lengthM = (layout.nodesM[node + 1] ?? 0) - (layout.nodesM[node] ?? 0);
  const q = layout.loads.evenNPerM[node] ?? 0;
  const v = line.shearRightN[node] ?? 0;
  const m = line.momentRightNm[node] ?? 0;
  const turn = line.turnRad[node] ?? 0;
  const { eiNm2, shearFlexibilityPerN } = layout;
  const slope = (x: number) => turn - (x * (m + (x * v) / 2 - (x * x * q) / 6)) / eiNm2 + (v - q * x) * shearFlexibilityPerN;
  // The slope turns where m + v·x - q·x²/2 + EI·q/GA = 0.
  const bounds = [0, ...rootsBetween(-q / 2, v, m + eiNm2 * q * shearFlexibilityPerN, lengthM), lengthM];
  const found: number[] = [];
  for (let index = 1; index < bounds.length; index++) {
    let [low, high] = [bounds[index - 1] ?? 0, bounds[index] ?? 0];
    const lowSlope = slope(low);
    if (lowSlope * slope(high) >= 0) continue;
    // Halving reaches neighbouring doubles in at most about sixty steps; the value there is flat, so half of that serves.
    for (let step = 0; step < 60 && high - low > 1e-12 * lengthM; step++) {
      const middle = (low + high) / 2;
      if (slope(middle) * lowSlope > 0) low = middle;
      else high = middle;
    }
    found.push((low + high) / 2);
  }
  return found;
}

/** Roots of a·x² + b·x + c strictly between 0 and `end`, ascending. */
function rootsBetween(a: number, b: number, c: number, end: number): number[] {
  const isInside = (x: number) => x > 0 && x < end;
  if (a === 0) return b !== 0 && isInside(-c / b) ? [-c / b] : [];
  const under = b * b - 4 * a * c;
  if (!(under >= 0)) return [];
  // Adding numbers of one sign only, so that neither root loses digits.
  const sum = -(b + (b < 0 ? -1 : 1) * Math.sqrt(under)) / 2;
  const roots = sum === 0 ? [0] : [sum / a, c / sum];
  return roots.filter(isInside).sort((x, y) => x - y);
}
