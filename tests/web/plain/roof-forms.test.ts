import { expect, test } from 'vitest';
import { offeredPolicies } from '../../../src/domain/roof/offered-policies.ts';
import { isSamePolicy, policyValues, sourceOf, withPolicyValue } from '../../../src/web/pages/space/policy-values.ts';
import { EMPTY_TERMS, termsOf } from '../../../src/web/pages/space/terms-typed.ts';
import { words } from '../../../src/web/words.ts';

const [offered] = offeredPolicies();
const { policy, sources } = offered!;

test('every value of a policy has a name and a source in the table, and changing one changes that one alone', () => {
  const values = policyValues(policy);
  for (const { pointer, value } of values) {
    expect(words.policy.values, pointer).toHaveProperty([pointer]);
    expect(sourceOf(sources, pointer), pointer).not.toBeNull();
    const changed = withPolicyValue(policy, pointer, typeof value === 'boolean' ? !value : 7.25);
    expect(isSamePolicy(policy, changed)).toBe(false);
    expect(policyValues(changed).filter((one, index) => one.value !== values[index]!.value)).toHaveLength(1);
  }
  expect(isSamePolicy(policy, structuredClone(policy))).toBe(true);
});

const BASIS = { ...EMPTY_TERMS, day: '2026-03-02', role: ' structural engineer ', document: 'R-12' };

test('what is left open of a basis stays not stated, and never becomes a good value', () => {
  expect(termsOf(BASIS).terms).toEqual({
    basis: { kind: 'report', day: '2026-03-02', role: 'structural engineer', document: 'R-12', standard: null },
    format: null,
    dynamic: null,
    mustInclude: null,
    holdsWithOthersLoaded: null,
  });
  const whole = { ...BASIS, format: 'design', permanent: '1,35', imposed: '1.5', dynamic: 'notIncluded', others: 'no' } as const;
  expect(termsOf({ ...whole, isIncludeStated: true }).terms).toMatchObject({
    format: { kind: 'design', permanentFactor: 1.35, imposedFactor: 1.5 },
    dynamic: { kind: 'notIncluded' },
    mustInclude: [],
    holdsWithOthersLoaded: false,
  });
});

test.each([
  ['day', { day: '' }],
  ['role', { role: ' ' }],
  ['document', { document: '' }],
  ['permanent', { format: 'design', permanent: '', imposed: '1.5' }],
  ['dynamicFactor', { dynamic: 'included', dynamicFactor: '0.9' }],
] as const)('a basis with a wrong %s is refused at that field', (field, change) => {
  const { terms, faults } = termsOf({ ...BASIS, ...change });
  expect(terms).toBeNull();
  expect(Object.keys(faults ?? {})).toEqual([field]);
});
