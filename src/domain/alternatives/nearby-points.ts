import type { RoofPoint } from '../roof/structure.ts';

export type NearPoint = { readonly point: RoofPoint; readonly distanceM: number };

const CELL_M = 4;

/** Points of a roof by squares in plan, so that asking for those around a place does not look at all of them. */
export class NearbyPoints {
  readonly #cells = new Map<string, RoofPoint[]>();

  constructor(points: readonly RoofPoint[]) {
    for (const point of points) {
      const key = `${Math.floor(point.xM / CELL_M)} ${Math.floor(point.yM / CELL_M)}`;
      const cell = this.#cells.get(key);
      if (cell === undefined) this.#cells.set(key, [point]);
      else cell.push(point);
    }
  }

  /** Nearest in plan first; those as near as each other in the order of their ids. */
  within({ xM, yM }: { xM: number; yM: number }, radiusM: number): NearPoint[] {
    const found: NearPoint[] = [];
    for (let i = Math.floor((xM - radiusM) / CELL_M); i <= Math.floor((xM + radiusM) / CELL_M); i += 1) {
      for (let j = Math.floor((yM - radiusM) / CELL_M); j <= Math.floor((yM + radiusM) / CELL_M); j += 1) {
        for (const point of this.#cells.get(`${i} ${j}`) ?? []) {
          const [dx, dy] = [point.xM - xM, point.yM - yM];
          const distanceM = Math.sqrt(dx * dx + dy * dy);
          if (distanceM <= radiusM) found.push({ point, distanceM });
        }
      }
    }
    return found.sort((a, b) => a.distanceM - b.distanceM || (a.point.id < b.point.id ? -1 : 1));
  }
}
