import { kgToKn, knToKg } from '../foundation/units.ts';
import type { HangLoads, PickUpLoads } from '../plan/hang-loads.ts';
import type { PointPull, Pull } from '../plan/pull.ts';
import type { Doubt, EffectiveCapacity } from '../roof/capacity.ts';
import { effectiveCapacity } from '../roof/capacity.ts';
import type { Policy, PublishedRoof, RoofPoint } from '../roof/structure.ts';
import { utilisationOf, verdictOf } from '../roof/verdict.ts';
import type { Check, Reckoning } from './assessment.ts';
import type { Why } from './check.ts';
import { basisText, checkOf, numbersText, printed, reasonOf, whyMissing, whysMissing } from './check.ts';
import type { Interval, LoadUnit } from './load-units.ts';
import { overlap } from './load-units.ts';
import type { Horizontal } from './sideways.ts';
import { largestSum, offVerticalDeg, sizeKn } from './sideways.ts';
import type { LimitFinding } from '../roof/sum-limits.ts';
import { sumFindings } from '../roof/sum-limits.ts';
import type { Scene, WorstCase } from './worst.ts';
import { asChecked, mayMove, ownWindow, scenesOf, stretchesOf, worstOfScenes } from './worst.ts';

/** A line or leg of the plan at one point. */
export type PullHere = { readonly hang: HangLoads; readonly pickUp: PickUpLoads; readonly pull: PointPull };

export type PointScene = {
  readonly roof: PublishedRoof;
  readonly policy: Policy;
  readonly show: Interval;
  readonly pointId: string;
  readonly point: RoofPoint | undefined;
  /** Every unit on this point, ours and others, in ascending order. */
  readonly units: readonly LoadUnit[];
  readonly pulls: readonly PullHere[];
};

/** Relative; what entering an angle in decimals loses. */
const ROUNDING = 1e-9;
const STATE_CODES = ['point-missing', 'point-out-of-service', 'point-restricted'];
const INSPECTION_CODES = ['inspection-past-due', 'inspection-not-stated'];

/** Stands for "no rating" where a number is needed to find the worst moment; what comes out is never compared with it. */
const NO_RATING_KG = 0;

/** Everything that the plan asks of one point. */
export function pointChecks(scene: PointScene): Check[] {
  const capacity = capacityOf(scene);
  return [
    stateCheck(scene, capacity),
    inspectionCheck(scene, capacity),
    downCheck(scene, capacity),
    ...sidewaysChecks(scene),
    ...limiterChecks(scene, capacity),
    ...slackChecks(scene, capacity),
  ];
}

const capacityOf = (scene: PointScene): EffectiveCapacity =>
  effectiveCapacity(scene.roof, scene.pointId, scene.point, ownWindow(scene.units), scene.show.to);

function stateCheck({ pointId }: PointScene, { doubts }: EffectiveCapacity): Check {
  const found = doubts.filter(({ code }) => STATE_CODES.includes(code));
  return checkOf('pointState', [pointId], { pointId, verdict: found.length === 0 ? 'fits' : 'unknown', reason: reasonOf(found) });
}

function inspectionCheck({ pointId, point }: PointScene, { doubts }: EffectiveCapacity): Check {
  const found: Doubt[] = doubts.filter(({ code }) => INSPECTION_CODES.includes(code) || code === 'point-missing');
  const reckoning: Reckoning[] =
    point === undefined || point.inspectionDueDay === null
      ? []
      : [
          {
            formula: 'good through its day, at the end of the show',
            numbers: '',
            result: point.inspectionDueDay,
            source: 'record of the roof',
          },
        ];
  return checkOf('inspection', [pointId], {
    pointId,
    verdict: found.length === 0 ? 'fits' : 'unknown',
    reason: reasonOf(found),
    reckoning,
  });
}

/** Σ loads ≤ WLL at the worst moment. */
export function downCheck(scene: PointScene, capacity = capacityOf(scene)): Check {
  const { pointId, units } = scene;
  const whys: Why[] = [...capacity.doubts, ...missingOf(units)];
  const worst = worstDown(scene, units, capacity, whys.length > 0);
  return checkOf('pointDown', [pointId], {
    pointId,
    ...asChecked(worst, units),
    capacity: capacity.wllKg,
    reason: reasonOf(whys),
    reckoning: [sumReckoning(worst.finding, capacity), ...lineReckonings(scene)],
  });
}

const NO_DYNAMIC = { dynamic: null };

function worstDown(
  { pointId, policy }: PointScene,
  units: readonly LoadUnit[],
  { wllKg, terms, factors }: EffectiveCapacity,
  doubtful: boolean,
): WorstCase {
  // Without a rating there is nothing to compare with: the load is still told, and the verdict is `unknown`.
  const limit = { terms: [{ pointId, factor: 1 }], maxKg: wllKg ?? NO_RATING_KG, minKg: null, factors };
  const [worst] = worstOfScenes(units, [], terms ?? NO_DYNAMIC, (timeline) =>
    sumFindings(limit, timeline, policy.closeFrom, doubtful || wllKg === null),
  );
  if (worst === undefined) throw new Error('a point has a sum of its loads');
  return wllKg !== null ? worst : { ...worst, finding: { ...worst.finding, capacity: null, utilisation: null, verdict: 'unknown' } };
}

/** What is not stated of any load that may hang here while we do. */
export function missingOf(units: readonly LoadUnit[]): Why[] {
  const window = ownWindow(units);
  return whysMissing(units.filter(({ during }) => overlap(during, window)).flatMap(({ missing }) => missing));
}

function sumReckoning({ worst, counted }: LimitFinding, { wllKg, reducedBecause, factors, terms }: EffectiveCapacity): Reckoning {
  const numbers: Record<string, number> = { loads: counted.length, sumKg: worst ?? 0 };
  if (wllKg !== null) numbers[reducedBecause === null ? 'wllKg' : 'reducedWllKg'] = wllKg;
  if (factors.imposed !== 1) numbers.imposedFactor = factors.imposed;
  if (terms?.dynamic?.kind === 'included') numbers.dynamicIncluded = terms.dynamic.factor;
  const source = terms === null ? 'no such point' : basisText(terms);
  return { formula: 'Σ loads that can hang here at once ≤ WLL', numbers: numbersText(numbers), result: `${worst ?? 0} kg`, source };
}

const lineReckonings = ({ pulls }: PointScene): Reckoning[] => pulls.flatMap(({ pickUp }) => pickUp.line.reckonings.map(printed));

/**
 * Sideways: the angle of each of our own pulls, and the largest sideways sum that all here can make. A point without either figure takes
 * vertical loads only; what hangs plumb within the policy's tolerance counts as vertical.
 */
function sidewaysChecks(scene: PointScene): Check[] {
  const { point, pointId, policy } = scene;
  const whys: Why[] = whysMissing(
    scene.units.filter(({ source }) => source === 'plan').flatMap((unit) => [...unit.missingSideways, ...unit.missing]),
  );
  if (point === undefined)
    return [
      checkOf('pointSideways', [pointId], {
        pointId,
        verdict: 'unknown',
        reason: reasonOf([whyMissing({ code: 'point-missing', of: 'attachment' })]),
      }),
    ];
  const doubts =
    scene.point?.terms.basis === null ? [...whys, { code: 'basis-not-stated', text: 'where the capacity comes from is not stated' }] : whys;
  const checks: Check[] = [];
  if (point.maxAngleDeg !== null) {
    const angleDeg = scene.units.filter(({ source }) => source === 'plan').reduce((widest, unit) => Math.max(widest, widestDeg(unit)), 0);
    checks.push(
      checkOf('pointSideways', [pointId, 'angle'], {
        pointId,
        demand: angleDeg,
        capacity: point.maxAngleDeg,
        unit: 'deg',
        utilisation: utilisationOf(angleDeg, point.maxAngleDeg),
        verdict: verdictOf(angleDeg, point.maxAngleDeg, policy.closeFrom, doubts.length > 0),
        reason: reasonOf(doubts),
        reckoning: [
          { formula: 'atan(sideways / down), the widest', numbers: '', result: `${angleDeg} deg`, source: basisText(point.terms) },
        ],
      }),
    );
  }
  if (point.maxAngleDeg === null || point.maxSidewaysKn !== null) {
    const plumbDeg = point.maxSidewaysKn === null ? policy.plumbDeg : 0;
    const { sumKn, during } = worstSideways(scene, plumbDeg);
    const capacity = point.maxSidewaysKn ?? 0;
    checks.push(
      checkOf('pointSideways', [pointId, 'force'], {
        pointId,
        demand: sumKn,
        capacity,
        unit: 'kN',
        utilisation: utilisationOf(sumKn, capacity),
        verdict: verdictOf(sumKn, capacity, policy.closeFrom, doubts.length > 0),
        reason: reasonOf(
          sumKn > 0 && point.maxSidewaysKn === null
            ? [{ code: 'vertical-only', text: 'the point takes vertical loads only' }, ...doubts]
            : doubts,
        ),
        during,
        reckoning: [
          {
            formula: 'largest |Σ sideways pulls| of any that can hang here at once',
            numbers: point.maxSidewaysKn === null ? numbersText({ countsAsVerticalDeg: policy.plumbDeg }) : '',
            result: `${sumKn} kN`,
            source: basisText(point.terms),
          },
        ],
      }),
    );
  }
  return checks;
}

const widestDeg = ({ pulls, windKn }: LoadUnit): number =>
  pulls.reduce((widest, { resting, moving }) => Math.max(widest, offVerticalDeg(resting, windKn), offVerticalDeg(moving, windKn)), 0);

/** @param plumbDeg  pulls no farther off vertical than this count as vertical */
function worstSideways(scene: PointScene, plumbDeg: number): { sumKn: number; during: Interval | null } {
  let worst: { sumKn: number; during: Interval | null } = { sumKn: 0, during: null };
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

function horizontalsOf(unit: LoadUnit, scene: Scene, plumbDeg: number): Horizontal[] {
  return unit.pulls.flatMap(({ resting, moving }) => {
    const pull = mayMove(unit, scene) && sizeKn(moving) > sizeKn(resting) ? moving : resting;
    return isPlumb(offVerticalDeg(pull, unit.windKn), plumbDeg) ? [] : [pull];
  });
}

const isPlumb = (angleDeg: number, plumbDeg: number): boolean => angleDeg <= plumbDeg * (1 + ROUNDING);

/** A hoist that pulls on a stuck hang until its limiter trips, beside everything else on the point. */
function limiterChecks(scene: PointScene, capacity: EffectiveCapacity): Check[] {
  return scene.pulls.flatMap((here) => {
    const { line } = here.pickUp;
    if (line.hoist === null) return [];
    if (here.pull.limiter === null) {
      const noWll = { code: 'hoist-wll-not-stated', text: 'the hoist has no WLL, so what its limiter lets through is not known' };
      const whys: Why[] = line.hoist.wllKg === null ? [noWll] : whysMissing(here.pull.missing);
      return [
        checkOf('limiter', subjectsOf(scene, here), { ...secondary(scene, here, 'limiter'), verdict: 'unknown', reason: reasonOf(whys) }),
      ];
    }
    const formula = '(limiterFactor · wllKg + moved and standing parts) · g, and the rest of the point';
    const source = "maker's limiter factor, else the policy's";
    return [secondaryCheck('limiter', scene, here, here.pull.limiter, capacity, { formula, source })];
  });
}

/** Another line of the hang has gone slack, beside everything else on the point. */
function slackChecks(scene: PointScene, capacity: EffectiveCapacity): Check[] {
  const formula = 'largest pull with any other line of the hang lost, and the rest of the point';
  return scene.pulls.flatMap((here) =>
    here.pull.slack === null
      ? []
      : [secondaryCheck('slack', scene, here, here.pull.slack, capacity, { formula, source: 'statics of the hang' })],
  );
}

const subjectsOf = ({ pointId }: PointScene, { hang, pickUp }: PullHere): string[] => [hang.hang.id, pickUp.pickUp.id, pointId];

const secondary = ({ pointId, policy }: PointScene, { hang, pickUp }: PullHere, loadCase: 'limiter' | 'slack') => ({
  pointId,
  hangId: hang.hang.id,
  pickUpId: pickUp.pickUp.id,
  hard: policy.secondaryCasesHard,
  case: loadCase,
});

/** One line pulls otherwise than planned; the hang's other lines and everybody else are at their envelope. */
function secondaryCheck(
  loadCase: 'limiter' | 'slack',
  scene: PointScene,
  here: PullHere,
  instead: Pull,
  capacity: EffectiveCapacity,
  { formula, source }: Pick<Reckoning, 'formula' | 'source'>,
): Check {
  const { units } = scene;
  const own = units.find(({ source: from, id }) => from === 'plan' && id === here.hang.hang.id);
  if (own === undefined) throw new Error('a pull of the plan is in one of its units');
  const { resting, moving } = here.pull;
  const othersKg = Math.max(own.restingKg - knToKg(resting.downKn), own.movingKg - knToKg(moving.downKn));
  const thenKg = Math.max(own.restingKg, othersKg + knToKg(instead.downKn));
  const then = units.map((unit): LoadUnit => (unit === own ? { ...unit, restingKg: thenKg, movingKg: thenKg } : unit));
  const whys: Why[] = [...capacity.doubts, ...missingOf(units)];
  // Such a case is no lift: what the capacity allows for lifting is not given to it.
  const worst = worstDown(scene, then, { ...capacity, terms: null }, whys.length > 0);
  return checkOf(
    loadCase === 'limiter' ? 'limiter' : 'pointDown',
    loadCase === 'limiter' ? subjectsOf(scene, here) : [...subjectsOf(scene, here), 'slack'],
    {
      ...asChecked(worst, then),
      ...secondary(scene, here, loadCase),
      capacity: capacity.wllKg,
      reason: reasonOf(whys),
      reckoning: [{ formula, numbers: numbersText({ lineKn: instead.downKn }), result: `${kgToKn(worst.finding.worst ?? 0)} kN`, source }],
    },
  );
}
