import { Matrix, solve } from 'ml-matrix';
import type { BeamInput } from '../../src/domain/statics/beam.ts';

export type DenseAnswer = { reactionsN: number[]; slack: boolean[]; nodesM: number[]; downM: number[]; momentLeftNm: number[] };

/**
 * A second way to solve a beam, slow and plain: displacement method with a general dense solver, an element between any two places
 * where something happens, and contact by trying every set of taut supports until one neither pushes nor overlaps.
 * Shares no code and no method with the solver under test (that one takes moments as unknowns).
 */
export function denseBeam(input: BeamInput): DenseAnswer | 'unstable' {
  const { supports } = input;
  const canLetGo = supports.flatMap((support, index) => (support.tensionOnly ? [index] : []));
  for (let mask = 0; mask < 2 ** canLetGo.length; mask++) {
    const slack = supports.map((_, index) => canLetGo.includes(index) && ((mask >> canLetGo.indexOf(index)) & 1) === 1);
    if (slack.filter((isSlack) => !isSlack).length < 2) continue;
    const answer = solveWith(input, slack);
    if (answer !== null) return answer;
  }
  return 'unstable';
}

function solveWith(input: BeamInput, slack: boolean[]): DenseAnswer | null {
  const nodesM = [
    ...new Set([
      0,
      input.lengthM,
      ...input.supports.map(({ atM }) => atM),
      ...input.pointLoads.map(({ atM }) => atM),
      ...input.spreadLoads.flatMap(({ fromM, toM }) => [fromM, toM]),
    ]),
  ].sort((a, b) => a - b);
  const size = 2 * nodesM.length;
  const stiffness = Matrix.zeros(size, size);
  const loads = Matrix.zeros(size, 1);
  const ei = input.eiNm2 ?? NaN;
  const elements = nodesM.slice(1).map((toM, index) => {
    const fromM = nodesM[index] ?? NaN;
    const l = toM - fromM;
    const phi = typeof input.gaN === 'number' ? (12 * ei) / (input.gaN * l * l) : 0;
    const f = ei / ((1 + phi) * l ** 3);
    const k = [
      [12 * f, 6 * l * f, -12 * f, 6 * l * f],
      [6 * l * f, (4 + phi) * l * l * f, -6 * l * f, (2 - phi) * l * l * f],
      [-12 * f, -6 * l * f, 12 * f, -6 * l * f],
      [6 * l * f, (2 - phi) * l * l * f, -6 * l * f, (4 + phi) * l * l * f],
    ];
    const middleM = (fromM + toM) / 2;
    const even = input.spreadLoads.reduce(
      (sum, s) => (s.fromM < middleM && middleM < s.toM ? sum + s.forceNPerM : sum),
      input.selfNPerM ?? 0,
    );
    const ends = [(even * l) / 2, (even * l * l) / 12, (even * l) / 2, (-even * l * l) / 12];
    for (let a = 0; a < 4; a++) {
      loads.set(2 * index + a, 0, loads.get(2 * index + a, 0) + (ends[a] ?? NaN));
      for (let b = 0; b < 4; b++)
        stiffness.set(2 * index + a, 2 * index + b, stiffness.get(2 * index + a, 2 * index + b) + (k[a]?.[b] ?? NaN));
    }
    return { k, ends };
  });
  for (const { atM, forceN } of input.pointLoads) {
    const row = 2 * nodesM.indexOf(atM);
    loads.set(row, 0, loads.get(row, 0) + forceN);
  }
  const free = stiffness.clone();
  const right = loads.clone();
  // Movement is down positive and levels are up positive.
  for (const [index, support] of input.supports.entries()) {
    if (slack[index]) continue;
    const row = 2 * nodesM.indexOf(support.atM);
    const downM = -(support.levelM ?? 0);
    if (typeof support.stiffnessNPerM === 'number') {
      free.set(row, row, free.get(row, row) + support.stiffnessNPerM);
      right.set(row, 0, right.get(row, 0) + support.stiffnessNPerM * downM);
    } else {
      for (let other = 0; other < size; other++) {
        right.set(other, 0, right.get(other, 0) - free.get(other, row) * downM);
        free.set(other, row, 0);
        free.set(row, other, 0);
      }
      free.set(row, row, 1);
    }
  }
  for (const [index, support] of input.supports.entries()) {
    if (slack[index] || typeof support.stiffnessNPerM === 'number') continue;
    right.set(2 * nodesM.indexOf(support.atM), 0, -(support.levelM ?? 0));
  }
  const moved = solve(free, right).getColumn(0);
  const reactionsN = input.supports.map((support, index) => {
    if (slack[index]) return 0;
    const row = 2 * nodesM.indexOf(support.atM);
    if (typeof support.stiffnessNPerM === 'number') return support.stiffnessNPerM * ((moved[row] ?? NaN) + (support.levelM ?? 0));
    return loads.get(row, 0) - moved.reduce((sum, value, other) => sum + stiffness.get(row, other) * value, 0);
  });
  const grossN = reactionsN.reduce((sum, r) => sum + Math.abs(r), 0);
  const largestM = moved.reduce((most, value, row) => (row % 2 === 0 ? Math.max(most, Math.abs(value)) : most), 0);
  for (const [index, support] of input.supports.entries()) {
    if (!support.tensionOnly) continue;
    const gapM = -(moved[2 * nodesM.indexOf(support.atM)] ?? NaN) - (support.levelM ?? 0);
    if (slack[index] ? gapM < -1e-9 * largestM : (reactionsN[index] ?? NaN) < -1e-9 * grossN) return null;
  }
  const momentLeftNm = elements.map(({ k, ends }, index) => {
    const row = k[3] ?? [];
    const held = row.reduce((sum, value, a) => sum + value * (moved[2 * index + a] ?? NaN), 0) - (ends[3] ?? NaN);
    return -held; // the node turns the element's right end; down positive movement makes a sagging moment negative there
  });
  return { reactionsN, slack, nodesM, downM: nodesM.map((_, node) => moved[2 * node] ?? NaN), momentLeftNm: [0, ...momentLeftNm] };
}
