import { atan2, radToDeg } from '../foundation/elementary.ts';
import type { Pull } from '../plan/pull.ts';

export type Horizontal = { readonly xKn: number; readonly yKn: number };

export const sizeKn = ({ xKn, yKn }: Horizontal): number => Math.sqrt(xKn * xKn + yKn * yKn);

/** Off vertical [deg]; `extraKn` from any side. A pull of nothing has no angle. */
export function offVerticalDeg(pull: Pull, extraKn = 0): number {
  const sidewaysKn = sizeKn(pull) + extraKn;
  return sidewaysKn === 0 ? 0 : radToDeg(atan2(sidewaysKn, pull.downKn));
}

/**
 * The largest sum [kN] that any choice of these pulls can make, each present or absent. The best choice is always all that lean to one
 * side of some line, and such a choice changes only where the line passes along a pull: so one look beside each pull finds it.
 */
export function largestSum(pulls: readonly Horizontal[]): number {
  const leaning = pulls.filter((pull) => sizeKn(pull) > 0);
  let largestKn = 0;
  for (const edge of leaning) {
    for (const sign of [1, -1]) {
      // Across the edge, to one side; pulls along the edge itself are taken in by their own sense, once with and once without.
      const normal = { xKn: -edge.yKn * sign, yKn: edge.xKn * sign };
      const beyond = leaning.filter((pull) => cross(edge, pull) !== 0 && dot(pull, normal) > 0);
      const along = leaning.filter((pull) => cross(edge, pull) === 0 && dot(pull, edge) > 0);
      const against = leaning.filter((pull) => cross(edge, pull) === 0 && dot(pull, edge) < 0);
      largestKn = Math.max(
        largestKn,
        sizeKn(totalOf(beyond)),
        sizeKn(totalOf([...beyond, ...along])),
        sizeKn(totalOf([...beyond, ...against])),
      );
    }
  }
  return largestKn;
}

const dot = (a: Horizontal, b: Horizontal): number => a.xKn * b.xKn + a.yKn * b.yKn;
const cross = (a: Horizontal, b: Horizontal): number => a.xKn * b.yKn - a.yKn * b.xKn;
export const totalOf = (pulls: readonly Horizontal[]): Horizontal =>
  pulls.reduce((total, { xKn, yKn }) => ({ xKn: total.xKn + xKn, yKn: total.yKn + yKn }), { xKn: 0, yKn: 0 });
