import { cos, degToRad, sin } from '../foundation/elementary.ts';
import type { Polygon } from '../foundation/polygon.ts';
import type { Hang } from './plan.ts';

/**
 * Corners in plan [m]. `alongM` runs along the hang's forward axis u = (-sin a, -cos a), `acrossM` across it: at azimuth 0 the box is
 * `alongM` deep in y and `acrossM` wide in x.
 */
export function boxCorners({ xM, yM, alongM, acrossM, azimuthDeg }: NonNullable<Hang['box']>): Polygon {
  const azimuthRad = degToRad(azimuthDeg);
  const [forwardX, forwardY] = [-sin(azimuthRad), -cos(azimuthRad)];
  const corner = (along: number, across: number) => ({
    xM: xM + forwardX * along * (alongM / 2) - forwardY * across * (acrossM / 2),
    yM: yM + forwardY * along * (alongM / 2) + forwardX * across * (acrossM / 2),
  });
  return [corner(-1, -1), corner(1, -1), corner(1, 1), corner(-1, 1)];
}
