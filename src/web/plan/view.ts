import type { PlanScene } from './scene.ts';

/** What part of the plan is on the screen: the place at its middle [m] and the scale. x to the right, y upstage is up. */
export type View = { readonly xM: number; readonly yM: number; readonly pxPerM: number };
export type Size = { readonly width: number; readonly height: number };

const CLOSEST_PX_PER_M = 400;
const FARTHEST_PX_PER_M = 0.5;
const MARGIN = 0.88; // of the screen that a whole roof fills

export function wholeRoof({ points, members, keepOuts }: PlanScene, { width, height }: Size): View {
  const places = [...points, ...members.flatMap(({ from, to }) => [from, to]), ...keepOuts.flatMap(({ corners }) => corners)];
  if (places.length === 0) return { xM: 0, yM: 0, pxPerM: 20 };
  let [x0, x1, y0, y1] = [Infinity, -Infinity, Infinity, -Infinity];
  for (const { xM, yM } of places) {
    [x0, x1] = [Math.min(x0, xM), Math.max(x1, xM)];
    [y0, y1] = [Math.min(y0, yM), Math.max(y1, yM)];
  }
  const pxPerM = MARGIN * Math.min(width / Math.max(1, x1 - x0), height / Math.max(1, y1 - y0));
  return { xM: (x0 + x1) / 2, yM: (y0 + y1) / 2, pxPerM: within(pxPerM) };
}

const within = (pxPerM: number): number => Math.min(CLOSEST_PX_PER_M, Math.max(FARTHEST_PX_PER_M, pxPerM));

/** The place under the pointer stays under it. */
export function zoomedAt(view: View, size: Size, x: number, y: number, factor: number): View {
  const pxPerM = within(view.pxPerM * factor);
  const at = placeAt(view, size, x, y);
  return { xM: at.xM - (x - size.width / 2) / pxPerM, yM: at.yM + (y - size.height / 2) / pxPerM, pxPerM };
}

export const panned = (view: View, dx: number, dy: number): View => ({
  ...view,
  xM: view.xM - dx / view.pxPerM,
  yM: view.yM + dy / view.pxPerM,
});

export const placeAt = ({ xM, yM, pxPerM }: View, { width, height }: Size, x: number, y: number) => ({
  xM: xM + (x - width / 2) / pxPerM,
  yM: yM - (y - height / 2) / pxPerM,
});
export const screenAt = ({ xM, yM, pxPerM }: View, { width, height }: Size, place: { xM: number; yM: number }) => ({
  x: width / 2 + (place.xM - xM) * pxPerM,
  y: height / 2 - (place.yM - yM) * pxPerM,
});

type Place = { readonly id: string; readonly xM: number; readonly yM: number };
export type Direction = 'left' | 'right' | 'up' | 'down';
const ASIDE = 2.5; // how much a metre aside counts against one ahead

/** The next point in a direction: near, and not far aside. */
export function neighbourOf(points: readonly Place[], from: Place, direction: Direction): Place | null {
  let best: { point: Place; cost: number } | null = null;
  for (const point of points) {
    const [dx, dy] = [point.xM - from.xM, point.yM - from.yM];
    const [ahead, aside] = {
      left: [-dx, Math.abs(dy)],
      right: [dx, Math.abs(dy)],
      up: [dy, Math.abs(dx)],
      down: [-dy, Math.abs(dx)],
    }[direction] as [number, number];
    if (ahead <= 1e-6) continue;
    const cost = ahead + ASIDE * aside;
    if (best === null || cost < best.cost) best = { point, cost };
  }
  return best?.point ?? null;
}

export function nearestWithin<P extends { xM: number; yM: number }>(
  points: readonly P[],
  at: { xM: number; yM: number },
  reachM: number,
): P | null {
  let best: P | null = null;
  let bestSquare = reachM * reachM;
  for (const point of points) {
    const square = (point.xM - at.xM) ** 2 + (point.yM - at.yM) ** 2;
    if (square <= bestSquare) [best, bestSquare] = [point, square];
  }
  return best;
}
