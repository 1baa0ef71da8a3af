import { expect, test } from 'vitest';
import type { Check } from '../../../src/domain/assessment/assessment.ts';
import { toTick } from '../../../src/web/checks/order.ts';

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
