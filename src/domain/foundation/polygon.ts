import { fail, ok } from './result.ts';
import type { Result } from './result.ts';

/** A place in plan [m], in space axes. */
export type PlanPoint = { readonly xM: number; readonly yM: number };
/** Corners in order, either way round; the last is joined to the first. Check with `checkPolygon` before use. */
export type Polygon = readonly PlanPoint[];

export type PolygonError =
  | { readonly code: 'not-finite'; readonly what: string }
  | { readonly code: 'polygon-too-few-corners'; readonly corners: number }
  | { readonly code: 'polygon-corner-repeated'; readonly corner: number }
  | { readonly code: 'polygon-crosses-itself'; readonly edges: readonly [number, number] }
  | { readonly code: 'polygon-has-no-area' };

/**
 * Nearer than this counts as touching. A boundary belongs to its polygon, and rounding must not let a point on the line slip out;
 * far below anything that can be measured in a venue.
 */
const TOUCH_M = 1e-9;

/**
 * A polygon that encloses one area: at least three corners, none repeated in a row, no edge meets another except at their shared corner.
 * @returns the polygon itself, or the first fault; edges and corners count from 0, edge k runs from corner k to the next
 */
export function checkPolygon(corners: Polygon): Result<Polygon, PolygonError> {
  if (corners.length < 3) return fail({ code: 'polygon-too-few-corners', corners: corners.length });
  for (const [index, { xM, yM }] of corners.entries()) {
    if (!Number.isFinite(xM) || !Number.isFinite(yM)) return fail({ code: 'not-finite', what: `corner ${index}` });
  }
  const edges = edgesOf(corners);
  for (const [index, [from, to]] of edges.entries()) {
    if (planDistanceM(from, to) <= TOUCH_M) return fail({ code: 'polygon-corner-repeated', corner: (index + 1) % corners.length });
  }
  if (widthM(corners) <= TOUCH_M) return fail({ code: 'polygon-has-no-area' });
  for (const [i, first] of edges.entries()) {
    for (const [j, second] of edges.entries()) {
      if (j <= i) continue;
      const follows = j === i + 1;
      const closes = i === 0 && j === edges.length - 1;
      if (follows || closes) {
        // Neighbours share one corner; folding back over each other encloses nothing there.
        const [outer, shared, inner] = follows ? [first[0], first[1], second[1]] : [second[0], second[1], first[1]];
        const folded = distanceToSegmentM(outer, [shared, inner]) <= TOUCH_M || distanceToSegmentM(inner, [outer, shared]) <= TOUCH_M;
        if (folded) return fail({ code: 'polygon-crosses-itself', edges: [i, j] });
      } else if (segmentDistanceM(first, second) <= TOUCH_M) {
        return fail({ code: 'polygon-crosses-itself', edges: [i, j] });
      }
    }
  }
  return ok(corners);
}

/** Area [m²], positive whichever way round the corners run. */
export function polygonAreaM2(polygon: Polygon): number {
  const origin = polygon[0];
  if (origin === undefined) return 0;
  let doubled = 0;
  for (const [from, to] of edgesOf(polygon)) {
    // Measured from one corner: far from the datum the products would lose the area in rounding.
    doubled += (from.xM - origin.xM) * (to.yM - origin.yM) - (to.xM - origin.xM) * (from.yM - origin.yM);
  }
  return Math.abs(doubled) / 2;
}

/** Is the place in the polygon or on its boundary? */
export function isInsidePolygon(point: PlanPoint, polygon: Polygon): boolean {
  const edges = edgesOf(polygon);
  if (edges.some((edge) => distanceToSegmentM(point, edge) <= TOUCH_M)) return true;
  let inside = false;
  for (const [from, to] of edges) {
    // Half-open in y, so that a ray through a corner meets exactly one of its two edges, or both or none at a peak.
    if (from.yM > point.yM === to.yM > point.yM) continue;
    const crossingXM = from.xM + ((point.yM - from.yM) * (to.xM - from.xM)) / (to.yM - from.yM);
    if (point.xM < crossingXM) inside = !inside;
  }
  return inside;
}

/** Shortest way from a place to the polygon [m]; 0 inside and on the boundary. */
export function distanceToPolygonM(point: PlanPoint, polygon: Polygon): number {
  if (isInsidePolygon(point, polygon)) return 0;
  return edgesOf(polygon).reduce((nearestM, edge) => Math.min(nearestM, distanceToSegmentM(point, edge)), Number.MAX_VALUE);
}

/** Shortest way between two polygons [m]; 0 when they overlap, also when one lies inside the other. */
export function polygonDistanceM(a: Polygon, b: Polygon): number {
  const [cornerOfA, cornerOfB] = [a[0], b[0]];
  if (cornerOfA === undefined || cornerOfB === undefined) throw new RangeError('a polygon without corners');
  if (isInsidePolygon(cornerOfA, b) || isInsidePolygon(cornerOfB, a)) return 0;
  let nearestM = Number.MAX_VALUE;
  const edgesOfB = edgesOf(b);
  for (const first of edgesOf(a)) {
    for (const second of edgesOfB) nearestM = Math.min(nearestM, segmentDistanceM(first, second));
  }
  return nearestM;
}

/** Do two polygons share a place? Touching counts. */
export const polygonsOverlap = (a: Polygon, b: Polygon): boolean => polygonDistanceM(a, b) <= TOUCH_M;

/** Of a checked polygon: does it turn the same way at every corner? */
export function isConvex(polygon: Polygon): boolean {
  const turns = edgesOf(polygon).map(([from, to], index, edges) => {
    const [, next] = edges[(index + 1) % edges.length] ?? [from, to];
    return (to.xM - from.xM) * (next.yM - to.yM) - (to.yM - from.yM) * (next.xM - to.xM);
  });
  return turns.every((turn) => turn >= 0) || turns.every((turn) => turn <= 0);
}

export function planDistanceM(a: PlanPoint, b: PlanPoint): number {
  const [xM, yM] = [b.xM - a.xM, b.yM - a.yM];
  return Math.sqrt(xM * xM + yM * yM);
}

type Segment = readonly [PlanPoint, PlanPoint];

function edgesOf(polygon: Polygon): Segment[] {
  return polygon.map((corner, index): Segment => [corner, polygon[(index + 1) % polygon.length] ?? corner]);
}

function distanceToSegmentM(point: PlanPoint, [from, to]: Segment): number {
  const [alongX, alongY] = [to.xM - from.xM, to.yM - from.yM];
  const lengthSquared = alongX * alongX + alongY * alongY;
  if (lengthSquared === 0) return planDistanceM(point, from);
  const share = ((point.xM - from.xM) * alongX + (point.yM - from.yM) * alongY) / lengthSquared;
  const clamped = Math.min(1, Math.max(0, share));
  return planDistanceM(point, { xM: from.xM + clamped * alongX, yM: from.yM + clamped * alongY });
}

function segmentDistanceM(first: Segment, second: Segment): number {
  if (crosses(first, second)) return 0;
  return Math.min(
    distanceToSegmentM(first[0], second),
    distanceToSegmentM(first[1], second),
    distanceToSegmentM(second[0], first),
    distanceToSegmentM(second[1], first),
  );
}

/** Do two segments cross at an inner place of both? Those that only touch are found by the distances of their ends. */
function crosses([a, b]: Segment, [c, d]: Segment): boolean {
  return side(a, b, c) * side(a, b, d) < 0 && side(c, d, a) * side(c, d, b) < 0;
}

/** Twice the signed area of the triangle: which side of the line from → to the place lies on. */
function side(from: PlanPoint, to: PlanPoint, place: PlanPoint): number {
  return (to.xM - from.xM) * (place.yM - from.yM) - (to.yM - from.yM) * (place.xM - from.xM);
}

/** How far the corners spread to either side of the line through the two that lie farthest apart from the first. */
function widthM(corners: Polygon): number {
  const [first] = corners;
  if (first === undefined) return 0;
  const far = corners.reduce((best, corner) => (planDistanceM(first, corner) > planDistanceM(first, best) ? corner : best), first);
  const lengthM = planDistanceM(first, far);
  return corners.reduce((widest, corner) => Math.max(widest, Math.abs(side(first, far, corner)) / lengthM), 0);
}
