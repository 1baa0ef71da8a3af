import type { BeamLoads } from './beam-cut.ts';

/** A part of the beam between neighbouring taut supports: what its loads do to it as if it were simply supported there. */
export type Span = {
  readonly fromNode: number;
  readonly toNode: number;
  readonly lengthM: number;
  /** Down on each support. */
  readonly leftShareN: number;
  readonly rightShareN: number;
  /** EI times the slope at each end, both positive for a load that pulls down. */
  readonly leftSlopeNm2: number;
  readonly rightSlopeNm2: number;
  /** Moments at its ends, sagging positive: 0 until they are found. */
  leftNm: number;
  rightNm: number;
};

/**
 * @source simple span, load at any point: EI·θ_left = P·b·(h² - b²)/(6h); an even load is its integral, factored so that a short
 *   load far from the support does not cancel
 */
export function spanBetween(nodesM: readonly number[], { pointN, evenNPerM }: BeamLoads, fromNode: number, toNode: number): Span {
  const leftM = nodesM[fromNode] ?? 0;
  const rightM = nodesM[toNode] ?? 0;
  const h = rightM - leftM;
  let [leftShareN, rightShareN, leftSlopeNm2, rightSlopeNm2] = [0, 0, 0, 0];
  for (let node = fromNode; node < toNode; node++) {
    const here = nodesM[node] ?? 0;
    const a = here - leftM;
    const b = rightM - here;
    const forceN = node === fromNode ? 0 : (pointN[node] ?? 0);
    if (forceN !== 0) {
      leftShareN += (forceN * b) / h;
      rightShareN += (forceN * a) / h;
      leftSlopeNm2 += (forceN * a * b * (h + b)) / (6 * h);
      rightSlopeNm2 += (forceN * a * b * (h + a)) / (6 * h);
    }
    const even = evenNPerM[node] ?? 0;
    if (even !== 0) {
      const next = nodesM[node + 1] ?? 0;
      const [a2, b2] = [next - leftM, rightM - next];
      const evenN = even * (next - here);
      leftShareN += (evenN * (b + b2)) / (2 * h);
      rightShareN += (evenN * (a + a2)) / (2 * h);
      leftSlopeNm2 += ((evenN * (b + b2)) / (6 * h)) * ((h * h) / 2 - (b * b + b2 * b2) / 4);
      rightSlopeNm2 += ((evenN * (a + a2)) / (6 * h)) * ((h * h) / 2 - (a * a + a2 * a2) / 4);
    }
  }
  return { fromNode, toNode, lengthM: h, leftShareN, rightShareN, leftSlopeNm2, rightSlopeNm2, leftNm: 0, rightNm: 0 };
}
