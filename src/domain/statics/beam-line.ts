import { zeros } from './banded.ts';
import type { BeamLoads } from './beam-cut.ts';
import type { BeamLayout } from './beam-layout.ts';
import type { SolvedMoments } from './beam-moments.ts';
import type { Span } from './beam-span.ts';

/** Forces and shape of the beam at every node, just left and just right of it. Moments sagging positive, movement down positive. */
export type BeamLine = {
  readonly shearLeftN: number[];
  readonly shearRightN: number[];
  readonly momentLeftNm: number[];
  readonly momentRightNm: number[];
  /** Turn of the section [rad]; the slope of the beam is this plus shear / GA. */
  readonly turnRad: number[];
  readonly downM: number[];
  /** How far the line misses the support moments and heights that it should run into, relative to its own size. */
  readonly misfit: number;
};

/**
 * Runs along the beam from node to node by closed formulas, starting anew at each taut support, so that errors do not add up over
 * the spans; what it misses the next support by is the check of the solution.
 * Shear = sum of the upward forces left of the cut, so dM/dx = shear.
 */
export function beamLine(layout: BeamLayout, loads: BeamLoads, solved: SolvedMoments): BeamLine {
  const count = layout.nodesM.length;
  const line = {
    shearLeftN: zeros(count),
    shearRightN: zeros(count),
    momentLeftNm: zeros(count),
    momentRightNm: zeros(count),
    turnRad: zeros(count),
    downM: zeros(count),
    misfit: 0,
  };
  const { taut, spans, heightsM } = solved;
  const [first, last] = [taut[0], taut.at(-1)];
  if (first === undefined || last === undefined) throw new RangeError('a beam on no support has no line');

  const turnAtFirst = spans[0] === undefined || first.clamped ? 0 : turnAtLeft(layout, spans[0], -(heightsM[0] ?? 0), -(heightsM[1] ?? 0));
  // The left overhang runs from its free end with no turn, and is then turned and moved into place.
  if (first.node > 0) line.shearRightN[0] = -(loads.pointN[0] ?? 0);
  run(layout, loads, line, 0, first.node);
  const turnRad = turnAtFirst - (line.turnRad[first.node] ?? 0);
  const shiftM = -(heightsM[0] ?? 0) - (line.downM[first.node] ?? 0);
  for (let node = 0; node <= first.node; node++) {
    line.downM[node] = (line.downM[node] ?? 0) + shiftM - turnRad * ((layout.nodesM[first.node] ?? 0) - (layout.nodesM[node] ?? 0));
    line.turnRad[node] = (line.turnRad[node] ?? 0) + turnRad;
  }
  let turnAtLast = turnAtFirst;
  for (const [index, span] of spans.entries()) {
    const [fromM, toM] = [-(heightsM[index] ?? 0), -(heightsM[index + 1] ?? 0)];
    line.momentRightNm[span.fromNode] = span.leftNm;
    line.shearRightN[span.fromNode] = (span.rightNm - span.leftNm) / span.lengthM + span.leftShareN;
    line.turnRad[span.fromNode] = turnAtLeft(layout, span, fromM, toM);
    line.downM[span.fromNode] = fromM;
    run(layout, loads, line, span.fromNode, span.toNode);
    line.misfit = Math.max(line.misfit, misfitAt(layout, line, span, toM));
    line.momentLeftNm[span.toNode] = span.rightNm;
    line.shearLeftN[span.toNode] = (span.rightNm - span.leftNm) / span.lengthM - span.rightShareN;
    line.downM[span.toNode] = toM;
    turnAtLast = line.turnRad[span.toNode] ?? 0;
  }
  line.momentRightNm[last.node] = solved.rightOverhang.momentNm;
  line.shearRightN[last.node] = solved.rightOverhang.forceN;
  line.turnRad[last.node] = last.clamped ? 0 : turnAtLast;
  line.downM[last.node] = -(heightsM.at(-1) ?? 0);
  run(layout, loads, line, last.node, count - 1);
  // Free ends carry nothing: exactly, so that no rounding shows there.
  const end = count - 1;
  line.shearRightN[end] = 0;
  line.momentRightNm[end] = 0;
  if (last.node !== end) {
    line.shearLeftN[end] = loads.pointN[end] ?? 0;
    line.momentLeftNm[end] = 0;
  }
  return line;
}

/** @source moment-area over the span, with the shear's part, for known heights at both ends (down positive) */
function turnAtLeft({ eiNm2, shearFlexibilityPerN }: BeamLayout, span: Span, fromDownM: number, toDownM: number): number {
  const { lengthM: h, leftNm, rightNm } = span;
  const bentRad = (span.leftSlopeNm2 + (h * leftNm) / 3 + (h * rightNm) / 6) / eiNm2;
  return (toDownM - fromDownM) / h + bentRad - ((rightNm - leftNm) * shearFlexibilityPerN) / h;
}

type Lines = Omit<BeamLine, 'misfit'>;
type Writable<T> = { -readonly [K in keyof T]: T[K] };

/** From the right side of one node to the left side of another, and across the nodes between. */
function run({ nodesM, eiNm2, shearFlexibilityPerN }: BeamLayout, loads: BeamLoads, line: Writable<Lines>, from: number, to: number): void {
  let moment = line.momentRightNm[from] ?? 0;
  let turn = line.turnRad[from] ?? 0;
  let down = line.downM[from] ?? 0;
  let shear = line.shearRightN[from] ?? 0;
  for (let node = from; node < to; node++) {
    const l = (nodesM[node + 1] ?? 0) - (nodesM[node] ?? 0);
    const q = loads.evenNPerM[node] ?? 0;
    down +=
      turn * l - (l * l * (moment / 2 + (l * shear) / 6 - (l * l * q) / 24)) / eiNm2 + l * (shear - (l * q) / 2) * shearFlexibilityPerN;
    turn -= (l * (moment + (l * shear) / 2 - (l * l * q) / 6)) / eiNm2;
    moment += l * (shear - (l * q) / 2);
    shear -= l * q;
    line.shearLeftN[node + 1] = shear;
    line.momentLeftNm[node + 1] = moment;
    line.turnRad[node + 1] = turn;
    line.downM[node + 1] = down;
    if (node + 1 < to) {
      shear -= loads.pointN[node + 1] ?? 0;
      line.shearRightN[node + 1] = shear;
      line.momentRightNm[node + 1] = moment;
    }
  }
}

function misfitAt({ nodesM, eiNm2, shearFlexibilityPerN }: BeamLayout, line: Lines, span: Span, toDownM: number): number {
  let largestNm = Math.abs(span.rightNm);
  let largestM = Math.abs(toDownM);
  for (let node = span.fromNode; node < span.toNode; node++) {
    const l = (nodesM[node + 1] ?? 0) - (nodesM[node] ?? 0);
    const shearN = Math.abs(line.shearRightN[node] ?? 0);
    largestNm = Math.max(largestNm, Math.abs(line.momentRightNm[node] ?? 0), shearN * span.lengthM);
    largestM = Math.max(
      largestM,
      Math.abs(line.downM[node] ?? 0),
      Math.abs(line.turnRad[node] ?? 0) * span.lengthM,
      l * shearN * shearFlexibilityPerN,
    );
  }
  largestM = Math.max(largestM, (largestNm * span.lengthM * span.lengthM) / eiNm2);
  const missNm = Math.abs((line.momentLeftNm[span.toNode] ?? 0) - span.rightNm);
  const missM = Math.abs((line.downM[span.toNode] ?? 0) - toDownM);
  return Math.max(largestNm > 0 ? missNm / largestNm : 0, largestM > 0 ? missM / largestM : 0);
}
