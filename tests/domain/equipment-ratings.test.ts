import { expect, test } from 'vitest';
import { GENERIC_LIBRARY } from '../../src/domain/equipment/generic-library.ts';
import type { EquipmentData, Plan } from '../../src/domain/plan/plan.ts';
import { assessed, documented, hoist, pickUp, planOf, single, steel } from './plan-samples.ts';

const generic = (kind: EquipmentData['kind']): Plan['equipment'][string] => {
  const item = GENERIC_LIBRARY.find(({ versions }) => versions.some(({ data }) => data.kind === kind));
  const data = item?.versions[0]?.data;
  if (!item || !data) throw new Error(`nothing generic of kind ${kind}`);
  return { from: { itemId: item.id, version: 1, hash: 'h' }, data };
};
const parts = [{ equipment: 'steel', count: 1, hitch: 'straight' as const }];
const hang = single('a', { pickUps: [pickUp('a-1', { attachment: { kind: 'direct', pointId: 'p1', parts } })] });
const checksWith = (equipment: Plan['equipment'], kind: string) =>
  assessed(planOf([hang], equipment)).outcome.checks.filter((check) => check.kind === kind);

// Its numbers are invented: what would fit with them says nothing of what is really hung.
test('a hoist of the generic library has no rating that a check could pass on', () => {
  const own = checksWith({ hoist: documented(hoist()) }, 'hoist');
  expect(own.map(({ verdict }) => verdict)).toContain('fits');
  for (const kind of ['hoist', 'limiter']) {
    const found = checksWith({ hoist: generic('hoist') }, kind);
    expect(found.length).toBeGreaterThan(0);
    expect(found.map(({ verdict }) => verdict)).not.toContain('fits');
    expect(found.map(({ verdict }) => verdict)).toContain('unknown');
  }
});

test('a part of the generic library has none either', () => {
  const own = checksWith({ steel: documented(steel()) }, 'part');
  expect(own.map(({ verdict }) => verdict)).toContain('fits');
  const found = checksWith({ steel: generic('part') }, 'part');
  expect(found.length).toBeGreaterThan(0);
  expect(found.every(({ verdict }) => verdict === 'unknown')).toBe(true);
});
