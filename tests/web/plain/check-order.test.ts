import { expect, test } from 'vitest';
import type { Check } from '../../../src/domain/assessment/assessment.ts';
import { ratingShares, toTick, worstByHang, worstFirst } from '../../../src/web/checks/order.ts';
import { deadHang, pointAt } from '../../support/scene.ts';

const check = (id: string, verdict: Check['verdict'], hard: boolean, utilisation: number | null = null): Check => ({
  id,
  kind: 'group',
  pointId: null,
  limitId: 'l',
  memberId: null,
  hangId: null,
  pickUpId: null,
  hard,
  case: null,
  demand: null,
  capacity: null,
  unit: 'kg',
  utilisation,
  verdict,
  reason: null,
  during: null,
  counted: [],
  diagram: null,
  reckoning: [],
});

test('what stops a yes is a hard check that is over or unknown; whatever else does not simply fit is to be known, hard before advisory', () => {
  const { stopping, toKnow } = toTick([
    check('advised over', 'over', false, 6),
    check('hard fits', 'fits', true, 0.5),
    check('hard close', 'close', true, 0.95),
    check('advised fits', 'fits', false),
    check('hard unknown', 'unknown', true),
    check('hard over', 'over', true, 1.2),
    check('advised unknown', 'unknown', false),
  ]);
  expect(stopping.map(({ id }) => id)).toEqual(['hard over', 'hard unknown']);
  expect(toKnow.map(({ id }) => id)).toEqual(['hard close', 'advised over', 'advised unknown']);
});

test('a hang shows the worst that stops a yes among its own checks and those of the points that it uses', () => {
  const points = [0, 1, 2].map((n) => pointAt(`P${n}`, n, 0, 1000));
  const hangs = points.slice(0, 2).map((point) => deadHang(point, 100));
  const verdicts = ['over', 'unknown', 'close', 'fits'] as const;
  const checks = Array.from({ length: 60 }, (_, n): Check => {
    const about = n % 3 === 0 ? { hangId: hangs[n % 2]!.id } : { pointId: points[(n * 7) % 3]!.id };
    return { ...check(`c${(n * 37) % 60}`, verdicts[n % 4]!, n % 5 > 0, ((n * 13) % 10) / 10), ...about };
  });
  for (let from = 0; from < checks.length; from += 1) {
    const some = checks.slice(from);
    const worstOf = worstByHang(some);
    for (const [n, hang] of hangs.entries()) {
      const its = some.filter(({ hard, hangId, pointId }) => hard && (hangId === hang.id || pointId === points[n]!.id));
      expect(worstOf(hang)).toBe(its.sort(worstFirst)[0]);
    }
  }
});

test('the share at a point is the most that hard checks of its rating tell, in whatever order', () => {
  const rating = (id: string, hard: boolean, utilisation: number | null): Check => ({
    ...check(id, 'over', hard, utilisation),
    kind: 'pointDown',
    pointId: 'p',
  });
  const checks = [rating('resting', true, 1.5), rating('moving', true, 3.07), rating('limiter', false, 3.46), rating('other', true, null)];
  for (const some of [checks, [...checks].reverse()]) expect(ratingShares(some)).toEqual(new Map([['p', 3.07]]));
  expect(ratingShares([rating('limiter', false, 3.46)])).toEqual(new Map());
});
