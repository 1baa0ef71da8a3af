import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { z } from 'zod';
import { offeredPolicies } from '../../src/domain/roof/offered-policies.ts';
import { checkPolicy } from '../../src/domain/roof/policy.ts';
import type { Policy } from '../../src/domain/roof/structure.ts';
import { europe } from './roof-samples.ts';

const offered = (setId: string): Policy => {
  const found = offeredPolicies().find((set) => set.setId === setId);
  if (found === undefined) throw new Error(`${setId} is not offered`);
  return found.policy;
};

// DGUV Information 215-313 §1.4, Table 1: half the WLL, or breaking force ÷ 10 (wire rope, shackle), ÷ 14 textile, ÷ 8 chain.
test('parts over people are halved in every set', () => {
  for (const { policy } of offeredPolicies()) {
    expect(policy.partsOverPeople).toEqual({ wllShare: 0.5, wireRope: 10, shackle: 10, textile: 14, chain: 8 });
  }
});

// 2006/42/EC Annex I 4.1.2.5 and EN 13889; ASME B30.9 and B30.26.
test('parts not over people follow the law of the place', () => {
  expect(offered('europe-over-people').partsNotOverPeople).toEqual({ wllShare: 1, wireRope: 5, shackle: 5, textile: 7, chain: 4 });
  expect(offered('us-practice').partsNotOverPeople).toEqual({ wllShare: 1, wireRope: 5, shackle: 5, textile: 5, chain: 4 });
});

const Entries = z.object({ design_factors: z.array(z.object({ id: z.string(), expected: z.unknown() }).loose()) });
const published = Entries.parse(JSON.parse(readFileSync(new URL('../published/design-factors.json', import.meta.url), 'utf8')));
test.each([
  ['df-wire-us', 'wireRope'],
  ['df-web-us', 'textile'],
  ['df-round-us', 'textile'],
  ['df-chain-us', 'chain'],
  ['df-shackle-us', 'shackle'],
] as const)('published value %s is the divisor offered for %s', (id, part) => {
  const entry = published.design_factors.find((candidate) => candidate.id === id);
  expect(entry?.expected).toEqual({ value: offered('us-practice').partsNotOverPeople[part] });
});

// Choke: EN 13414-1; ASME B30.9 (from memory). The rest is common practice, no source, except the limiter (EN 14492-2, from memory).
test('the other values are those that the trade uses', () => {
  expect(offered('europe-over-people').chokeFactor).toBe(0.8);
  expect(offered('us-practice').chokeFactor).toBe(0.75);
  for (const { policy } of offeredPolicies()) {
    expect(policy).toMatchObject({ closeFrom: 0.9, limiterFactor: 1.6, levelRestMm: 10, levelMovingMm: 25, plumbDeg: 3 });
    expect(policy).toMatchObject({ dynamicFactor: { atLeast: 1.25, speedKnownUpToMPerMin: 8 }, legCloseDeg: 45, legOverDeg: 60 });
    expect(policy.contingency).toEqual({ weighed: 0, documented: 0.05, estimated: 0.15, cablesAtLeast: 0.1 });
  }
});

test('every offered value is possible and names where it comes from', () => {
  for (const { setId, policy, sources } of offeredPolicies()) {
    expect(checkPolicy(policy)).toEqual([]);
    expect(policy.setId).toBe(setId);
    const covered = sources.flatMap(({ values }) => values);
    for (const pointer of leaves(policy)) {
      if (pointer !== '/setId')
        expect(
          covered.some((from) => pointer === from || pointer.startsWith(`${from}/`)),
          pointer,
        ).toBe(true);
    }
  }
});

test('changing what was offered does not change the next offer', () => {
  offered('us-practice').contingency.estimated = 0;
  expect(offered('us-practice').contingency.estimated).toBe(0.15);
});

test.each<[string, Partial<Policy>, string]>([
  ['no set named', { setId: '' }, '/setId id-missing'],
  ['close from nothing', { closeFrom: 0 }, '/closeFrom number-out-of-range'],
  [
    'a dynamic factor that lightens',
    { dynamicFactor: { atLeast: 0.9, speedKnownUpToMPerMin: 8 } },
    '/dynamicFactor/atLeast number-out-of-range',
  ],
  ['a limiter below its rating', { limiterFactor: 0.5 }, '/limiterFactor number-out-of-range'],
  ['less tolerance moving than at rest', { levelMovingMm: 5 }, '/levelMovingMm thresholds-reversed'],
  ['legs over before they are close', { legOverDeg: 40 }, '/legOverDeg thresholds-reversed'],
  ['flat legs', { legOverDeg: 89 }, '/legOverDeg number-out-of-range'],
  ['a choke that strengthens', { chokeFactor: 1.1 }, '/chokeFactor number-out-of-range'],
  [
    'negative contingency',
    { contingency: { weighed: -0.1, documented: 0, estimated: 0, cablesAtLeast: 0 } },
    '/contingency/weighed number-out-of-range',
  ],
  [
    'more than the WLL',
    { partsOverPeople: { wllShare: 1.5, wireRope: 10, shackle: 10, textile: 14, chain: 8 } },
    '/partsOverPeople/wllShare number-out-of-range',
  ],
  ['no number', { plumbDeg: Number.NaN }, '/plumbDeg number-out-of-range'],
])('%s is refused', (_what, change, fault) => {
  expect(checkPolicy({ ...europe().policy, ...change }).map(({ pointer, code }) => `${pointer} ${code}`)).toEqual([fault]);
});

function leaves(value: object, under = ''): string[] {
  return Object.entries(value).flatMap(([name, inner]: [string, unknown]) =>
    typeof inner === 'object' && inner !== null ? leaves(inner, `${under}/${name}`) : [`${under}/${name}`],
  );
}
