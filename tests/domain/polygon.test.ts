import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  checkPolygon,
  distanceToPolygonM,
  isInsidePolygon,
  polygonAreaM2,
  polygonDistanceM,
  polygonsOverlap,
} from '../../src/domain/foundation/polygon.ts';
import type { Polygon } from '../../src/domain/foundation/polygon.ts';

const polygon = (...corners: readonly (readonly [number, number])[]): Polygon => corners.map(([xM, yM]) => ({ xM, yM }));
const box = (x: number, y: number, w: number, d: number): Polygon => polygon([x, y], [x + w, y], [x + w, y + d], [x, y + d]);
const at = (xM: number, yM: number) => ({ xM, yM });

// An L: 6 × 6 without its upper right 4 × 4. Worked by hand.
const ell = polygon([0, 0], [6, 0], [6, 2], [2, 2], [2, 6], [0, 6]);

describe('worked by hand', () => {
  test('area, either way round', () => {
    expect(polygonAreaM2(ell)).toBe(20);
    expect(polygonAreaM2(ell.toReversed())).toBe(20);
    expect(polygonAreaM2(polygon([1e6, 1e6], [1e6 + 0.1, 1e6], [1e6, 1e6 + 0.1]))).toBeCloseTo(0.005, 9);
  });
  test.each([
    { place: at(1, 5), inside: true, distanceM: 0 },
    { place: at(5, 1), inside: true, distanceM: 0 },
    { place: at(5, 5), inside: false, distanceM: 3 },
    { place: at(2, 4), inside: true, distanceM: 0 }, // on an edge
    { place: at(2, 2), inside: true, distanceM: 0 }, // on the inner corner
    { place: at(6, 0), inside: true, distanceM: 0 },
    { place: at(-1, 2), inside: false, distanceM: 1 }, // the ray runs along a corner
    { place: at(-3, 10), inside: false, distanceM: 5 },
    { place: at(7, 2), inside: false, distanceM: 1 },
  ])('$place', ({ place, inside, distanceM }) => {
    expect(isInsidePolygon(place, ell)).toBe(inside);
    expect(distanceToPolygonM(place, ell)).toBeCloseTo(distanceM, 12);
  });
  test.each([
    { name: 'touching edges', other: box(6, 0, 1, 1), apartM: 0 },
    { name: 'touching corners', other: box(6, 2, 1, 1), apartM: 0 },
    { name: 'inside', other: box(0.5, 0.5, 0.2, 0.2), apartM: 0 },
    { name: 'around', other: box(-1, -1, 9, 9), apartM: 0 },
    { name: 'crossing without a corner inside', other: box(-1, 0.5, 9, 1), apartM: 0 },
    { name: 'in the notch', other: box(3, 3, 1, 1), apartM: 1 },
    { name: 'beyond a corner', other: box(9, 6, 1, 1), apartM: 5 },
    { name: 'one millimetre off', other: box(6.001, 0, 1, 1), apartM: 0.001 },
  ])('a box $name', ({ other, apartM }) => {
    expect(polygonDistanceM(ell, other)).toBeCloseTo(apartM, 12);
    expect(polygonDistanceM(other, ell)).toBeCloseTo(apartM, 12);
    expect(polygonsOverlap(ell, other)).toBe(apartM === 0);
  });
});

describe('laws', () => {
  const coordinate = fc.integer({ min: -50, max: 50 }).map((n) => n / 4);
  const boxes = fc.tuple(coordinate, coordinate, fc.integer({ min: 1, max: 40 }), fc.integer({ min: 1, max: 40 }));
  test('boxes overlap exactly when their intervals do', () => {
    fc.assert(
      fc.property(boxes, boxes, ([x, y, w, d], [x2, y2, w2, d2]) => {
        const expected = x <= x2 + w2 && x2 <= x + w && y <= y2 + d2 && y2 <= y + d;
        expect(polygonsOverlap(box(x, y, w, d), box(x2, y2, w2, d2))).toBe(expected);
      }),
    );
  });
  test('the distance to a box is the distance to its clamped place', () => {
    fc.assert(
      fc.property(coordinate, coordinate, boxes, (px, py, [x, y, w, d]) => {
        const [dx, dy] = [Math.max(x - px, 0, px - x - w), Math.max(y - py, 0, py - y - d)];
        expect(distanceToPolygonM(at(px, py), box(x, y, w, d))).toBeCloseTo(Math.sqrt(dx * dx + dy * dy), 12);
        expect(isInsidePolygon(at(px, py), box(x, y, w, d))).toBe(dx === 0 && dy === 0);
      }),
    );
  });
  test('the way round and the first corner do not matter', () => {
    fc.assert(
      fc.property(coordinate, coordinate, fc.nat({ max: 5 }), (px, py, start) => {
        const turned = [...ell.slice(start), ...ell.slice(0, start)].toReversed();
        expect(isInsidePolygon(at(px, py), turned)).toBe(isInsidePolygon(at(px, py), ell));
        expect(checkPolygon(turned).ok).toBe(true);
      }),
    );
  });
});

describe('what is no polygon is refused', () => {
  test.each([
    { name: 'two corners', corners: polygon([0, 0], [1, 1]), error: { code: 'polygon-too-few-corners', corners: 2 } },
    { name: 'not a number', corners: polygon([0, 0], [1, NaN], [1, 1]), error: { code: 'not-finite', what: 'corner 1' } },
    {
      name: 'a corner given twice',
      corners: polygon([0, 0], [1, 0], [1, 0], [1, 1]),
      error: { code: 'polygon-corner-repeated', corner: 2 },
    },
    { name: 'closed by hand', corners: polygon([0, 0], [1, 0], [1, 1], [0, 0]), error: { code: 'polygon-corner-repeated', corner: 0 } },
    { name: 'a line', corners: polygon([0, 0], [1, 1], [3, 3]), error: { code: 'polygon-has-no-area' } },
    { name: 'a bow tie', corners: polygon([0, 0], [2, 2], [2, 0], [0, 3]), error: { code: 'polygon-crosses-itself', edges: [0, 2] } },
    {
      name: 'a corner on another edge',
      corners: polygon([0, 0], [4, 0], [4, 4], [2, 0], [0, 4]),
      error: { code: 'polygon-crosses-itself', edges: [0, 2] },
    },
    { name: 'a spike', corners: polygon([0, 0], [4, 0], [2, 0], [2, 4]), error: { code: 'polygon-crosses-itself', edges: [0, 1] } },
    {
      name: 'a spike at the seam',
      corners: polygon([0, 0], [2, 0], [3, 4], [4, 0]),
      error: { code: 'polygon-crosses-itself', edges: [0, 3] },
    },
  ])('$name', ({ corners, error }) => {
    expect(checkPolygon(corners)).toEqual({ ok: false, error });
  });
  test('an L is one', () => expect(checkPolygon(ell)).toEqual({ ok: true, value: ell }));
});
