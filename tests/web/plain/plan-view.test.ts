import fc from 'fast-check';
import { expect, test } from 'vitest';
import { nearestWithin, neighbourOf, panned, placeAt, screenAt, wholeRoof, zoomedAt } from '../../../src/web/plan/view.ts';

const SIZE = { width: 800, height: 600 };
const view = fc.record({
  xM: fc.double({ min: -100, max: 100, noNaN: true }),
  yM: fc.double({ min: -100, max: 100, noNaN: true }),
  pxPerM: fc.double({ min: 1, max: 200, noNaN: true }),
});
const spot = fc.record({ x: fc.double({ min: 0, max: 800, noNaN: true }), y: fc.double({ min: 0, max: 600, noNaN: true }) });

test('zooming keeps the place under the pointer under it, however far', () => {
  fc.assert(
    fc.property(view, spot, fc.double({ min: 0.01, max: 100, noNaN: true }), (before, { x, y }, factor) => {
      const was = placeAt(before, SIZE, x, y);
      const is = placeAt(zoomedAt(before, SIZE, x, y, factor), SIZE, x, y);
      expect(is.xM).toBeCloseTo(was.xM, 6);
      expect(is.yM).toBeCloseTo(was.yM, 6);
    }),
  );
});

test('panning moves every place by as much as the pointer; upstage is up', () => {
  const before = { xM: 0, yM: 0, pxPerM: 10 };
  const at = screenAt(panned(before, 30, -20), SIZE, { xM: 1, yM: 2 });
  const was = screenAt(before, SIZE, { xM: 1, yM: 2 });
  expect([at.x - was.x, at.y - was.y]).toEqual([30, -20]);
  expect(screenAt(before, SIZE, { xM: 0, yM: 1 }).y).toBeLessThan(screenAt(before, SIZE, { xM: 0, yM: 0 }).y);
});

test('a whole roof is all on the screen', () => {
  const corners = [-30, 30].flatMap((xM) =>
    [-27, 27].map((yM) => ({ id: `${xM} ${yM}`, label: '', xM, yM, mark: null, utilisation: null, outOfService: false, spoken: () => '' })),
  );
  const whole = wholeRoof({ points: corners, members: [], keepOuts: [], hangs: [], ghosts: [], legs: [] }, SIZE);
  for (const corner of corners) {
    const { x, y } = screenAt(whole, SIZE, corner);
    expect([x >= 0, x <= SIZE.width, y >= 0, y <= SIZE.height]).toEqual([true, true, true, true]);
  }
});

test('arrow keys reach every point of a grid', () => {
  const points = [0, 1, 2].flatMap((row) => [0, 1, 2, 3].map((column) => ({ id: `${row}-${column}`, xM: column * 3, yM: row * 6 })));
  const seen = new Set<string>();
  let [point] = points;
  for (let row = 0; point && row < 3; row += 1) {
    for (
      let next: typeof point | null | undefined = point;
      next;
      next = points.find(({ id }) => id === neighbourOf(points, next, 'right')?.id)
    )
      seen.add(next.id);
    point = points.find(({ id }) => id === neighbourOf(points, point!, 'up')?.id);
  }
  expect(seen.size).toBe(12);
  expect(neighbourOf(points, points[0]!, 'down')).toBeNull();
  expect(neighbourOf(points, points[0]!, 'left')).toBeNull();
});

test('a press takes the nearest point within reach, and none beyond', () => {
  const points = [
    { xM: 0, yM: 0 },
    { xM: 1, yM: 0 },
  ];
  expect(nearestWithin(points, { xM: 0.7, yM: 0 }, 0.5)).toBe(points[1]);
  expect(nearestWithin(points, { xM: 5, yM: 0 }, 0.5)).toBeNull();
});
