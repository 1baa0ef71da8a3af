import { Matrix, solve } from 'ml-matrix';
import type { TrussFrameHang } from '../../src/domain/statics/truss-frame.ts';

/** Reactions, and the moments met at the ends of each side, sagging positive. */
export type DenseFrame = { reactionsN: number[]; endMomentsNm: [number, number][]; torsionsNm: number[] };

/**
 * A second way to solve a stiff-cornered truss frame: every load and hoist is a joint with three movements, a general dense solver,
 * and contact by trying every set of taut hoists. Needs G·J and no two loads closer than its rounding allows.
 */
export function denseFrame(hang: TrussFrameHang): DenseFrame | 'unstable' {
  for (let mask = 0; mask < 2 ** hang.hoists.length; mask++) {
    const slack = hang.hoists.map((_, hoist) => ((mask >> hoist) & 1) === 1);
    if (slack.filter((isSlack) => !isSlack).length < 3) continue;
    const answer = solveWith(hang, slack);
    if (answer !== null) return answer;
  }
  return 'unstable';
}

function solveWith(hang: TrussFrameHang, slack: boolean[]): DenseFrame | null {
  const places: { xM: number; yM: number }[] = [];
  const jointAt = (xM: number, yM: number) => {
    const known = places.findIndex((place) => Math.abs(place.xM - xM) + Math.abs(place.yM - yM) < 1e-7);
    return known === -1 ? places.push({ xM, yM }) - 1 : known;
  };
  const corner = (index: number) => hang.corners[index % hang.corners.length] ?? { xM: NaN, yM: NaN };
  const pieces: { side: number; from: number; to: number; lengthM: number; tx: number; ty: number; evenN: number }[] = [];
  const pointN = new Map<number, number>();
  for (const [side, { pointLoads, spreadLoads }] of hang.sides.entries()) {
    const [a, b] = [corner(side), corner(side + 1)];
    const lengthM = Math.sqrt((b.xM - a.xM) ** 2 + (b.yM - a.yM) ** 2);
    const [tx, ty] = [(b.xM - a.xM) / lengthM, (b.yM - a.yM) / lengthM];
    const on = (atM: number) => jointAt(a.xM + tx * atM, a.yM + ty * atM);
    const stops = [
      0,
      lengthM,
      ...pointLoads.map(({ atM }) => atM),
      ...spreadLoads.flatMap(({ fromM, toM }) => [fromM, toM]),
      ...hang.hoists.filter((hoist) => hoist.side === side).map(({ atM }) => atM),
    ].sort((p, q) => p - q);
    for (const { atM, forceN } of pointLoads) pointN.set(on(atM), (pointN.get(on(atM)) ?? 0) + forceN);
    for (let index = 1; index < stops.length; index++) {
      const [fromM, toM] = [stops[index - 1] ?? NaN, stops[index] ?? NaN];
      if (toM - fromM < 1e-7) continue;
      const middleM = (fromM + toM) / 2;
      const evenN = spreadLoads.reduce((sum, s) => (s.fromM < middleM && middleM < s.toM ? sum + s.forceNPerM : sum), hang.selfNPerM);
      pieces.push({ side, from: on(fromM), to: on(toM), lengthM: toM - fromM, tx, ty, evenN });
    }
  }
  const size = 3 * places.length;
  const stiffness = Matrix.zeros(size, size);
  const loads = Matrix.zeros(size, 1);
  for (const [joint, forceN] of pointN) loads.set(3 * joint, 0, loads.get(3 * joint, 0) + forceN);
  for (let index = 0; index < hang.corners.length; index++) {
    const row = 3 * jointAt(corner(index).xM, corner(index).yM);
    loads.set(row, 0, loads.get(row, 0) + (hang.cornerN ?? 0));
  }
  const [ei, gj] = [hang.eiNm2 ?? NaN, hang.gjNm2 ?? NaN];
  const solvedPieces = pieces.map((piece) => {
    const { lengthM: l, tx, ty, evenN } = piece;
    const phi = hang.gaN === null ? 0 : (12 * ei) / (hang.gaN * l * l);
    const f = ei / ((1 + phi) * l ** 3);
    const t = gj / l;
    // Own axes: down, slope along the piece, twist about it; at each end.
    const own = new Matrix([
      [12 * f, 6 * l * f, 0, -12 * f, 6 * l * f, 0],
      [6 * l * f, (4 + phi) * l * l * f, 0, -6 * l * f, (2 - phi) * l * l * f, 0],
      [0, 0, t, 0, 0, -t],
      [-12 * f, -6 * l * f, 0, 12 * f, -6 * l * f, 0],
      [6 * l * f, (2 - phi) * l * l * f, 0, -6 * l * f, (4 + phi) * l * l * f, 0],
      [0, 0, -t, 0, 0, t],
    ]);
    const turn = Matrix.zeros(6, 6);
    for (const at of [0, 3]) {
      turn.set(at, at, 1);
      turn.set(at + 1, at + 1, -ty);
      turn.set(at + 1, at + 2, tx);
      turn.set(at + 2, at + 1, tx);
      turn.set(at + 2, at + 2, ty);
    }
    const ends = Matrix.columnVector([(evenN * l) / 2, (evenN * l * l) / 12, 0, (evenN * l) / 2, (-evenN * l * l) / 12, 0]);
    const rows = [0, 1, 2].map((k) => 3 * piece.from + k).concat([0, 1, 2].map((k) => 3 * piece.to + k));
    const inPlan = turn.transpose().mmul(own).mmul(turn);
    const endsInPlan = turn.transpose().mmul(ends);
    for (const [a, row] of rows.entries()) {
      loads.set(row, 0, loads.get(row, 0) + endsInPlan.get(a, 0));
      for (const [b, column] of rows.entries()) stiffness.set(row, column, stiffness.get(row, column) + inPlan.get(a, b));
    }
    return { piece, own, turn, ends, rows };
  });
  const hoistRows = hang.hoists.map(({ side, atM }) => {
    const [a, b] = [corner(side), corner(side + 1)];
    const lengthM = Math.sqrt((b.xM - a.xM) ** 2 + (b.yM - a.yM) ** 2);
    return 3 * jointAt(a.xM + ((b.xM - a.xM) / lengthM) * atM, a.yM + ((b.yM - a.yM) / lengthM) * atM);
  });
  const free = stiffness.clone();
  const right = loads.clone();
  const held = hang.hoists.map(({ stiffnessNPerM }, hoist) => !slack[hoist] && typeof stiffnessNPerM !== 'number');
  for (const [hoist, row] of hoistRows.entries()) {
    const downM = -(hang.hoists[hoist]?.levelM ?? 0);
    const spring = hang.hoists[hoist]?.stiffnessNPerM;
    if (slack[hoist]) continue;
    if (typeof spring === 'number') {
      free.set(row, row, free.get(row, row) + spring);
      right.set(row, 0, right.get(row, 0) + spring * downM);
    } else {
      for (let other = 0; other < size; other++) {
        right.set(other, 0, right.get(other, 0) - free.get(other, row) * downM);
        free.set(other, row, 0);
        free.set(row, other, 0);
      }
      free.set(row, row, stiffness.get(row, row));
    }
  }
  for (const [hoist, row] of hoistRows.entries())
    if (held[hoist]) right.set(row, 0, -stiffness.get(row, row) * (hang.hoists[hoist]?.levelM ?? 0));
  const moved = solve(free, right);
  const carried = stiffness.mmul(moved);
  const reactionsN = hoistRows.map((row, hoist) => (slack[hoist] ? 0 : loads.get(row, 0) - carried.get(row, 0)));
  const grossN = reactionsN.reduce((sum, r) => sum + Math.abs(r), 0);
  const largestM = moved.to1DArray().reduce((most, value, row) => (row % 3 === 0 ? Math.max(most, Math.abs(value)) : most), 0);
  for (const [hoist, row] of hoistRows.entries()) {
    const gapM = -moved.get(row, 0) - (hang.hoists[hoist]?.levelM ?? 0);
    if (slack[hoist] ? gapM < -1e-8 * largestM : (reactionsN[hoist] ?? NaN) < -1e-8 * grossN) return null;
  }
  // A frame that swings gives a meaningless answer in place of a refusal: it does not balance.
  const weightN = loads.to1DArray().reduce((sum, value, row) => (row % 3 === 0 ? sum + value : sum), 0);
  const loose = carried
    .to1DArray()
    .some((value, row) => !hoistRows.includes(row) && Math.abs(value - loads.get(row, 0)) > 1e-6 * grossN * 10);
  if (!(Math.abs(reactionsN.reduce((sum, r) => sum + r, 0) - weightN) < 1e-6 * grossN) || loose) return null;
  const endMomentsNm = hang.sides.map((): [number, number] => [NaN, NaN]);
  const torsionsNm = hang.sides.map(() => NaN);
  for (const { piece, own, turn, ends, rows } of solvedPieces) {
    const local = turn.mmul(Matrix.columnVector(rows.map((row) => moved.get(row, 0))));
    const forces = own.mmul(local).sub(ends);
    const end = endMomentsNm[piece.side] ?? [NaN, NaN];
    const [a, b] = [corner(piece.side), corner(piece.side + 1)];
    if (piece.from === jointAt(a.xM, a.yM)) end[0] = forces.get(1, 0);
    if (piece.to === jointAt(b.xM, b.yM)) end[1] = -forces.get(4, 0);
    torsionsNm[piece.side] = forces.get(5, 0);
  }
  return { reactionsN, endMomentsNm, torsionsNm };
}
