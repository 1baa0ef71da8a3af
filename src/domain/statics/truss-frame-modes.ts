import type { LaidTrussFrame } from './truss-frame-layout.ts';

/**
 * Ways in which a frame without hoists moves and strains nothing, as the movement of each hoist's place: with stiff corners as one
 * body (down, and tilting two ways); with hinged ones every corner by itself, the sides staying straight between them.
 */
export function freeModes({ hang, sides, hoists, sizeM }: LaidTrussFrame, cornerJoint: 'stiff' | 'hinged'): number[][] {
  const origin = hang.corners[0] ?? { xM: 0, yM: 0 };
  if (cornerJoint === 'stiff') return hoists.map(({ xM, yM }) => [1, (xM - origin.xM) / sizeM, (yM - origin.yM) / sizeM]);
  const shares = new Map<number, { from: number; to: number; share: number }>();
  for (const { stops, nodesM, lengthM } of sides) {
    const [from, to] = [stops[0]?.joint ?? 0, stops.at(-1)?.joint ?? 0];
    for (const { node, joint } of stops) shares.set(joint, { from, to, share: (nodesM[node] ?? 0) / lengthM });
  }
  return hoists.map(({ joint }) => {
    const modes = hang.corners.map(() => 0);
    const place = shares.get(joint);
    if (place === undefined) return modes;
    modes[place.from] = 1 - place.share;
    modes[place.to] = (modes[place.to] ?? 0) + place.share;
    return modes;
  });
}

/** Below this, against entries of about one, a way to move is not held but balanced on a line. */
const HELD = 1e-9;

/** Whether the hoists that are taut hold every free mode: the rank of their rows. */
export function holdsModes(modes: readonly (readonly number[])[], taut: readonly boolean[]): boolean {
  const rows = modes.filter((_, hoist) => taut[hoist]).map((row) => [...row]);
  const count = modes[0]?.length ?? 0;
  if (rows.length < count) return false;
  for (let column = 0; column < count; column++) {
    let best = column;
    for (let row = column + 1; row < rows.length; row++) {
      if (Math.abs(rows[row]?.[column] ?? 0) > Math.abs(rows[best]?.[column] ?? 0)) best = row;
    }
    const pivotRow = rows[best];
    const pivot = pivotRow?.[column] ?? 0;
    if (pivotRow === undefined || Math.abs(pivot) < HELD) return false;
    rows[best] = rows[column] ?? pivotRow;
    rows[column] = pivotRow;
    for (let row = column + 1; row < rows.length; row++) {
      const factor = (rows[row]?.[column] ?? 0) / pivot;
      if (factor !== 0) rows[row] = (rows[row] ?? []).map((value, index) => value - factor * (pivotRow[index] ?? 0));
    }
  }
  return true;
}
