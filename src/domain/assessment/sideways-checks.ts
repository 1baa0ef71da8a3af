import { knToKg } from '../foundation/units.ts';
import type { Missing } from '../plan/missing.ts';
import type { EffectiveCapacity } from '../roof/capacity.ts';
import { utilisationOf, verdictOf } from '../roof/verdict.ts';
import type { Check } from './assessment.ts';
import type { Why } from './check.ts';
import { basisText, checkOf, numbersText, reasonOf, whysMissing } from './check.ts';
import type { Interval, LoadUnit } from './load-units.ts';
import { overlap } from './load-units.ts';
import type { PointScene } from './point-scene.ts';
import { missingOf } from './point-scene.ts';
import type { Horizontal } from './sideways.ts';
import { largestSum, offVerticalDeg, sizeKn } from './sideways.ts';
import type { Scene } from './worst.ts';
import { mayMove, ownWindow, scenesOf, stretchesOf } from './worst.ts';

/** Relative; what entering an angle in decimals loses. */
const ROUNDING = 1e-9;

/**
 * Sideways: the angle of each of our own pulls, the largest sideways sum that all here can make, and the resultant of down and sideways
 * against the rating, which a steep angle alone would let by. A point without angle and sideways figure takes vertical loads only; what
 * hangs plumb within the policy's tolerance counts as vertical there.
 * @param downKg  the worst sum of the downward loads, as compared with the rating
 */
export function sidewaysChecks(scene: PointScene, capacity: EffectiveCapacity, downKg: number): Check[] {
  const { point, pointId, policy } = scene;
  if (point === undefined) return [checkOf('pointSideways', [pointId], { pointId, verdict: 'unknown', reason: reasonOf(capacity.doubts) })];
  const missing = missingSidewaysOf(scene);
  const verticalOnly = point.maxAngleDeg === null && point.maxSidewaysKn === null;
  const { sumKn, during } = worstSideways(scene, verticalOnly ? policy.plumbDeg : 0);
  const factoredKn = sumKn * capacity.factors.imposed;
  // Where nothing pulls sideways on a point for vertical loads, its terms play no part.
  const plain = verticalOnly && sumKn === 0;
  const doubts: Why[] = [...(plain ? [] : capacity.doubts.filter(({ code }) => code !== 'rating-not-stated')), ...missing];
  const compared = (demand: number, limit: number | null, why: readonly Why[], told = why) => ({
    pointId,
    demand,
    capacity: limit,
    utilisation: utilisationOf(demand, limit),
    verdict: verdictOf(demand, limit, policy.closeFrom, why.length > 0),
    reason: reasonOf(told),
  });
  const source = basisText(point.terms);
  const checks: Check[] = [];
  if (point.maxAngleDeg !== null) {
    const angleDeg = ownUnits(scene).reduce((widest, unit) => Math.max(widest, widestDeg(unit)), 0);
    const reckoning = [{ formula: 'atan(sideways / down), the widest', numbers: '', result: `${angleDeg} deg`, source }];
    checks.push(checkOf('pointSideways', [pointId, 'angle'], compared(angleDeg, point.maxAngleDeg, doubts), { unit: 'deg', reckoning }));
  }
  if (verticalOnly || point.maxSidewaysKn !== null) {
    const forbidden: Why[] = verticalOnly && sumKn > 0 ? [{ code: 'vertical-only', text: 'the point takes vertical loads only' }] : [];
    const numbers = verticalOnly ? numbersText({ countsAsVerticalDeg: policy.plumbDeg }) : '';
    const reckoning = [
      { formula: 'largest |Σ sideways pulls| of any that can hang here at once', numbers, result: `${factoredKn} kN`, source },
    ];
    const force = compared(factoredKn, point.maxSidewaysKn ?? 0, doubts, [...forbidden, ...doubts]);
    checks.push(checkOf('pointSideways', [pointId, 'force'], force, { unit: 'kN', during, reckoning }));
  }
  if (sumKn > 0) checks.push(resultantCheck(scene, capacity, downKg, factoredKn, missing, during));
  return checks;
}

/** Worst down and worst sideways need not come together: their resultant is never less than the true one. */
function resultantCheck(
  { pointId, policy }: PointScene,
  capacity: EffectiveCapacity,
  downKg: number,
  sidewaysKn: number,
  missing: readonly Why[],
  during: Interval | null,
): Check {
  const sidewaysKg = knToKg(sidewaysKn);
  const demand = Math.sqrt(downKg * downKg + sidewaysKg * sidewaysKg);
  const whys: Why[] = [...capacity.doubts, ...missing];
  return checkOf('pointSideways', [pointId, 'resultant'], {
    pointId,
    demand,
    capacity: capacity.wllKg,
    unit: 'kg',
    utilisation: utilisationOf(demand, capacity.wllKg),
    verdict: verdictOf(demand, capacity.wllKg, policy.closeFrom, whys.length > 0),
    reason: reasonOf(whys),
    during,
    reckoning: [
      {
        formula: '√(down² + sideways²) ≤ WLL',
        numbers: numbersText({ downKg, sidewaysKg }),
        result: `${demand} kg`,
        source: capacity.terms === null ? 'no such point' : basisText(capacity.terms),
      },
    ],
  });
}

const ownUnits = ({ units }: PointScene): LoadUnit[] => units.filter(({ source }) => source === 'plan');

function missingSidewaysOf({ units }: PointScene): Why[] {
  const window = ownWindow(units);
  const sideways: Missing[] = [];
  for (const { during, missingSideways } of units) if (overlap(during, window)) sideways.push(...missingSideways);
  return [...whysMissing(sideways), ...missingOf(units)];
}

const widestDeg = ({ pulls, windKn }: LoadUnit): number =>
  pulls.reduce((widest, { resting, moving }) => Math.max(widest, offVerticalDeg(resting, windKn), offVerticalDeg(moving, windKn)), 0);

/** @param plumbDeg  pulls no farther off vertical than this count as vertical */
function worstSideways(scene: PointScene, plumbDeg: number): { sumKn: number; during: Interval | null } {
  let worst: { sumKn: number; during: Interval | null } = { sumKn: 0, during: null };
  // Most hangs are plumb and indoors.
  if (scene.units.every(({ pulls, windKn }) => windKn === 0 && pulls.every(isStraightDown))) return worst;
  for (const stretch of stretchesOf(scene.units, ownWindow(scene.units))) {
    const present = scene.units.filter(({ during }) => during.from <= stretch.from && stretch.from < during.to);
    for (const moment of scenesOf(present)) {
      const horizontals = present.flatMap((unit) => horizontalsOf(unit, moment, plumbDeg));
      const windKn = present.reduce((total, unit) => total + (isPlumb(widestDeg(unit), plumbDeg) ? 0 : unit.windKn), 0);
      const sumKn = largestSum(horizontals) + windKn;
      if (sumKn > worst.sumKn) worst = { sumKn, during: stretch };
    }
  }
  return worst;
}

const isStraightDown = ({ resting, moving }: LoadUnit['pulls'][number]): boolean =>
  resting.xKn === 0 && resting.yKn === 0 && moving.xKn === 0 && moving.yKn === 0;

function horizontalsOf(unit: LoadUnit, scene: Scene, plumbDeg: number): Horizontal[] {
  return unit.pulls.flatMap(({ resting, moving }) => {
    const pull = mayMove(unit, scene) && sizeKn(moving) > sizeKn(resting) ? moving : resting;
    return isPlumb(offVerticalDeg(pull, unit.windKn), plumbDeg) ? [] : [pull];
  });
}

const isPlumb = (angleDeg: number, plumbDeg: number): boolean => angleDeg <= plumbDeg * (1 + ROUNDING);
