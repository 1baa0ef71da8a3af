import { hoistingFactor } from '../statics/hoist-line-dynamic.ts';
import type { Reckoning } from '../statics/hoist-line-reckoning.ts';
import type { Missing } from './missing.ts';
import type { HoistData } from './plan.ts';

/** What the venue's policy says of lifting. */
export type DynamicRule = { readonly atLeast: number; readonly speedKnownUpToMPerMin: number };
export type DynamicFactor = { readonly factor: number; readonly missing: readonly Missing[]; readonly reckoning: Reckoning };

const SECONDS_PER_MINUTE = 60;

/**
 * Factor on what a hoist moves. The maker's figure counts where it is given; else it follows from the speed of a hoist that has one speed.
 * A fast or variable-speed hoist without the maker's figure, or one whose speed is not stated, has no known factor: the figure returned
 * is then the least it can be, and `missing` says so.
 * @source φ2 = φ2,min + β2·v (EN 13001-2, values from memory), never below the policy's figure (practice)
 */
export function dynamicFactorOf(hoist: HoistData, rule: DynamicRule): DynamicFactor {
  if (hoist.dynamicFactor !== null) {
    const numbers = { maker: hoist.dynamicFactor, policyAtLeast: rule.atLeast };
    const reckoning = { formula: 'max(maker, policyAtLeast)', numbers, unit: '1', source: "maker's figure; policy" };
    return { factor: Math.max(1, hoist.dynamicFactor, rule.atLeast), missing: [], reckoning };
  }
  const missing = missingOf(hoist, rule);
  const speedMPerMin = Math.min(hoist.speedMPerMin ?? 0, rule.speedKnownUpToMPerMin);
  // A rigging hoist's class is seldom stated: it is taken as the hardest.
  const phi2 = hoistingFactor('HC4', speedMPerMin / SECONDS_PER_MINUTE);
  return {
    factor: Math.max(1, phi2, rule.atLeast),
    missing,
    reckoning: {
      formula: 'max(1.2 + 0.68 · speedMPerMin / 60, policyAtLeast)',
      numbers: { speedMPerMin, policyAtLeast: rule.atLeast },
      unit: '1',
      source: 'EN 13001-2, class HC4 (from memory); policy',
    },
  };
}

function missingOf(hoist: HoistData, { speedKnownUpToMPerMin }: DynamicRule): Missing[] {
  if (hoist.speedMPerMin === null) return [{ code: 'hoist-speed-not-stated', of: 'hoist' }];
  if (hoist.variableSpeed === null) return [{ code: 'hoist-variable-speed-not-stated', of: 'hoist' }];
  if (hoist.variableSpeed || hoist.speedMPerMin > speedKnownUpToMPerMin) return [{ code: 'dynamic-factor-not-stated', of: 'hoist' }];
  return [];
}
