import type { Result } from '../foundation/result.ts';
import { fail, ok } from '../foundation/result.ts';
import type { SymmetricBand } from './banded.ts';
import { addToBand, factorBand, solveBand, zeroBand, zeros } from './banded.ts';
import type { BeamLoads } from './beam-cut.ts';
import type { BeamLayout, LaidSupport } from './beam-layout.ts';
import { spanBetween } from './beam-span.ts';
import type { Span } from './beam-span.ts';

export type SolvedMoments = {
  readonly taut: readonly LaidSupport[];
  readonly spans: readonly Span[];
  /** Moments just outside the outermost taut supports: what the overhangs put there. */
  readonly leftOverhang: { readonly forceN: number; readonly momentNm: number };
  readonly rightOverhang: { readonly forceN: number; readonly momentNm: number };
  /** Per taut support, up positive. */
  readonly reactionsN: readonly number[];
  /** Per taut support, height of the beam there, up positive. */
  readonly heightsM: readonly number[];
};
export type MomentsError = { code: 'ill-conditioned'; what: string; relativeResidual: number };

/** Below this the moments would keep fewer than six digits. */
const SMALLEST_PIVOT = 1e-10;
const NONE = -1;

/**
 * Moments at the taut supports of a straight beam of even stiffness, from which everything else follows by statics alone.
 * The unknowns are the support moments, not movements: supports a millimetre apart then stay well conditioned, and the
 * reactions balance the loads by construction. Rigid supports give three moments in each equation, elastic ones five.
 * @param levelsM  of all supports of the layout, up positive [m]
 * @source three-moment equation (Clapeyron) with settlements and elastic supports, here as the least complementary energy;
 *   a clamp is an end moment of its own
 */
export function supportMoments(
  layout: BeamLayout,
  loads: BeamLoads,
  isTaut: readonly boolean[],
  levelsM: readonly number[],
): Result<SolvedMoments, MomentsError> {
  const { nodesM, eiNm2 } = layout;
  const taut = layout.supports.filter((_, index) => isTaut[index]);
  const tautLevelsM = levelsM.filter((_, index) => isTaut[index]);
  const [first, last] = [taut[0], taut.at(-1)];
  if (first === undefined || last === undefined) throw new RangeError('a beam on no support has no moments');
  const leftOverhang = overhang(nodesM, loads, 0, first.node);
  const rightOverhang = overhang(nodesM, loads, nodesM.length - 1, last.node);

  const spans = taut.slice(1).map((to, index) => spanBetween(nodesM, loads, taut[index]?.node ?? 0, to.node));
  const ends = numberEnds(taut);
  const known = { first: leftOverhang.momentNm, last: rightOverhang.momentNm };
  let found = zeros(ends.unknowns);
  const momentAt = (unknown: number, outer: number) => (unknown === NONE ? outer : (found[unknown] ?? 0));
  const leftNm = (span: number) => momentAt(ends.left[span] ?? NONE, known.first);
  const rightNm = (span: number) => momentAt(ends.right[span] ?? NONE, known.last);
  const reactionN = (support: number) => {
    const [before, after] = [spans[support - 1], spans[support]];
    const shearBeforeN =
      before === undefined ? -leftOverhang.forceN : (rightNm(support - 1) - leftNm(support - 1)) / before.lengthM - before.rightShareN;
    const shearAfterN =
      after === undefined ? rightOverhang.forceN : (rightNm(support) - leftNm(support)) / after.lengthM + after.leftShareN;
    return shearAfterN - shearBeforeN + (loads.pointN[taut[support]?.node ?? 0] ?? 0);
  };

  if (ends.unknowns > 0) {
    const isElastic = taut.some((support) => support.flexibilityMPerN > 0);
    const band = zeroBand(ends.unknowns, Math.min(ends.unknowns - 1, isElastic ? 2 : 1));
    const shear = eiNm2 * layout.shearFlexibilityPerN;
    const rightSide = zeros(ends.unknowns);
    for (const [index, span] of spans.entries()) {
      const left = ends.left[index] ?? NONE;
      const right = ends.right[index] ?? NONE;
      const near = span.lengthM / 3 + shear / span.lengthM;
      const far = span.lengthM / 6 - shear / span.lengthM;
      // Known end moments are still in `found`'s place here, as `leftNm` and `rightNm` give 0 for unknown ones.
      const tiltNm = (eiNm2 * ((tautLevelsM[index + 1] ?? 0) - (tautLevelsM[index] ?? 0))) / span.lengthM;
      if (left !== NONE) {
        addToBand(band, left, left, near);
        rightSide[left] = (rightSide[left] ?? 0) - span.leftSlopeNm2 - (right === NONE ? far * rightNm(index) : 0) + tiltNm;
      }
      if (right !== NONE) {
        addToBand(band, right, right, near);
        rightSide[right] = (rightSide[right] ?? 0) - span.rightSlopeNm2 - (left === NONE ? far * leftNm(index) : 0) - tiltNm;
      }
      if (left !== NONE && right !== NONE) addToBand(band, left, right, far);
    }
    if (isElastic) addElasticSupports(band, rightSide, taut, spans, ends, eiNm2, reactionN);
    const pivot = factorBand(band);
    if (!(pivot > SMALLEST_PIVOT)) return fail({ code: 'ill-conditioned', what: 'support moments', relativeResidual: 1 - pivot });
    solveBand(band, rightSide);
    found = rightSide;
  }
  for (const [index, span] of spans.entries()) {
    span.leftNm = leftNm(index);
    span.rightNm = rightNm(index);
  }
  const reactionsN = taut.map((_, index) => reactionN(index));
  return ok({
    taut,
    spans,
    leftOverhang,
    rightOverhang,
    reactionsN,
    heightsM: taut.map((support, index) => (tautLevelsM[index] ?? 0) - support.flexibilityMPerN * (reactionsN[index] ?? 0)),
  });
}

type Ends = { unknowns: number; left: number[]; right: number[] };
/** Which end moments of the spans are unknown: shared across a support unless it clamps; given by the overhang at a free end. */
function numberEnds(taut: readonly LaidSupport[]): Ends {
  const left: number[] = [];
  const right: number[] = [];
  let unknowns = 0;
  for (let span = 0; span < taut.length - 1; span++) {
    const shared = span > 0 && !taut[span]?.clamped;
    left.push(shared ? (right[span - 1] ?? NONE) : taut[span]?.clamped ? unknowns++ : NONE);
    const isLast = span === taut.length - 2;
    right.push(!isLast || taut[span + 1]?.clamped ? unknowns++ : NONE);
  }
  return { unknowns, left, right };
}

/** Energy of the stretched lines: EI·c·R²/2 each, with R linear in the moments at the ends of the two spans beside. */
function addElasticSupports(
  band: SymmetricBand,
  rightSide: number[],
  taut: readonly LaidSupport[],
  spans: readonly { lengthM: number }[],
  ends: Ends,
  eiNm2: number,
  knownReactionN: (support: number) => number,
): void {
  const parts: { unknown: number; perM: number }[] = [];
  for (const [index, support] of taut.entries()) {
    if (support.flexibilityMPerN === 0) continue;
    parts.length = 0;
    const [before, after] = [spans[index - 1], spans[index]];
    if (before !== undefined) {
      parts.push({ unknown: ends.left[index - 1] ?? NONE, perM: 1 / before.lengthM });
      parts.push({ unknown: ends.right[index - 1] ?? NONE, perM: -1 / before.lengthM });
    }
    if (after !== undefined) {
      parts.push({ unknown: ends.left[index] ?? NONE, perM: -1 / after.lengthM });
      parts.push({ unknown: ends.right[index] ?? NONE, perM: 1 / after.lengthM });
    }
    const weight = eiNm2 * support.flexibilityMPerN;
    const loadedN = knownReactionN(index);
    for (const a of parts) {
      if (a.unknown === NONE) continue;
      rightSide[a.unknown] = (rightSide[a.unknown] ?? 0) - weight * loadedN * a.perM;
      // Each pair once and the diagonal once: a moment shared by two spans meets itself twice, which is its cross term.
      for (const b of parts)
        if (b.unknown !== NONE && b.unknown <= a.unknown) addToBand(band, a.unknown, b.unknown, weight * a.perM * b.perM);
    }
  }
}

/** Load beyond a support and its moment there (hogging, so negative for loads that pull down). */
function overhang(nodesM: readonly number[], { pointN, evenNPerM }: BeamLoads, freeEnd: number, support: number) {
  const step = freeEnd < support ? 1 : -1;
  const atM = nodesM[support] ?? 0;
  let forceN = 0;
  let momentNm = 0;
  for (let node = freeEnd; node !== support; node += step) {
    const [here, next] = [nodesM[node] ?? 0, nodesM[node + step] ?? 0];
    const evenN = (evenNPerM[Math.min(node, node + step)] ?? 0) * Math.abs(next - here);
    forceN += (pointN[node] ?? 0) + evenN;
    momentNm -= (pointN[node] ?? 0) * Math.abs(atM - here) + evenN * Math.abs(atM - (here + next) / 2);
  }
  return { forceN, momentNm };
}
