import { kgToKn, knToKg } from '../foundation/units.ts';
import type { Pull } from '../plan/pull.ts';
import type { Doubt, EffectiveCapacity } from '../roof/capacity.ts';
import type { Check, Reckoning } from './assessment.ts';
import type { Why } from './check.ts';
import { basisText, checkOf, numbersText, printed, reasonOf, whysMissing } from './check.ts';
import type { PointScene, PullHere } from './point-scene.ts';
import { capacityOf, missingOf } from './point-scene.ts';
import type { PointSums } from './point-sums.ts';
import { pointSums, worstSum } from './point-sums.ts';
import { sidewaysChecks } from './sideways-checks.ts';

const STATE_CODES = ['point-missing', 'point-out-of-service', 'point-restricted'];
const INSPECTION_CODES = ['inspection-past-due', 'inspection-not-stated'];

/** A point with what every sum on it needs. */
type PointLook = {
  readonly scene: PointScene;
  readonly capacity: EffectiveCapacity;
  readonly sums: PointSums;
  readonly whys: readonly Why[];
};

function lookAt(scene: PointScene): PointLook {
  const capacity = capacityOf(scene);
  return { scene, capacity, sums: pointSums(scene.units), whys: [...capacity.doubts, ...missingOf(scene.units)] };
}

/** Everything that the plan asks of one point. */
export function pointChecks(scene: PointScene): Check[] {
  const look = lookAt(scene);
  const { capacity } = look;
  const down = downCheckOf(look);
  return [
    stateCheck(scene, capacity),
    inspectionCheck(scene, capacity),
    down,
    ...sidewaysChecks(scene, capacity, down.demand ?? 0),
    ...wrapChecks(scene),
    ...limiterChecks(look),
    ...slackChecks(look),
    ...catchChecks(look),
  ];
}

/** A wrap is not a rating: a venue may not want any. */
function wrapChecks({ point, pointId, policy }: PointScene): Check[] {
  if (point?.attachment !== 'wrap' || policy.allow.wraps) return [];
  const reason = { code: 'wraps-not-allowed', text: 'the venue does not allow wraps' };
  return [checkOf('policy', [pointId, 'wraps'], { pointId, verdict: 'over', reason })];
}

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
export const downCheck = (scene: PointScene): Check => downCheckOf(lookAt(scene));

function downCheckOf(look: PointLook): Check {
  const { scene, capacity, whys } = look;
  const worst = worstSum(look.sums, capacity, scene.policy.closeFrom, whys.length > 0);
  return checkOf('pointDown', [scene.pointId], worst, {
    pointId: scene.pointId,
    reason: reasonOf(whys),
    reckoning: [sumReckoning(worst, capacity), ...lineReckonings(scene)],
  });
}

function sumReckoning(
  { demand, counted }: Pick<Check, 'demand' | 'counted'>,
  { wllKg, reducedBecause, factors, terms }: EffectiveCapacity,
): Reckoning {
  const numbers: Record<string, number> = { loads: counted.length, sumKg: demand ?? 0 };
  if (wllKg !== null) numbers[reducedBecause === null ? 'wllKg' : 'reducedWllKg'] = wllKg;
  if (factors.imposed !== 1) numbers.imposedFactor = factors.imposed;
  if (terms?.dynamic?.kind === 'included') numbers.dynamicIncluded = terms.dynamic.factor;
  const source = terms === null ? 'no such point' : basisText(terms);
  return { formula: 'Σ loads that can hang here at once ≤ WLL', numbers: numbersText(numbers), result: `${demand ?? 0} kg`, source };
}

const lineReckonings = ({ pulls }: PointScene): Reckoning[] => pulls.flatMap(({ pickUp }) => pickUp.line.reckonings.map(printed));

/** A hoist that pulls on a stuck hang until its limiter trips, beside everything else on the point. */
function limiterChecks(look: PointLook): Check[] {
  const { scene } = look;
  return scene.pulls.flatMap((here) => {
    const { line } = here.pickUp;
    if (line.hoist === null || here.pull.role === 'secondary') return [];
    if (here.pull.limiter === null) {
      const noWll = { code: 'hoist-wll-not-stated', text: 'the hoist has no WLL, so what its limiter lets through is not known' };
      const whys: Why[] = line.hoist.wllKg === null ? [noWll] : whysMissing(here.pull.missing);
      return [
        checkOf('limiter', subjectsOf(scene, here), { ...secondary(scene, here, 'limiter'), verdict: 'unknown', reason: reasonOf(whys) }),
      ];
    }
    const formula = '(limiterFactor · wllKg + moved and standing parts) · g, and the rest of the point';
    const source = "maker's limiter factor, else the policy's";
    return [secondaryCheck('limiter', look, here, here.pull.limiter, { formula, source })];
  });
}

/** Another line of the hang has gone slack, beside everything else on the point. */
function slackChecks(look: PointLook): Check[] {
  const formula = 'largest pull with any other line of the hang lost, and the rest of the point';
  return look.scene.pulls.flatMap((here) =>
    here.pull.slack === null ? [] : [secondaryCheck('slack', look, here, here.pull.slack, { formula, source: 'statics of the hang' })],
  );
}

/** A secondary catches what its line has let go, beside everything else on its own point. */
function catchChecks(look: PointLook): Check[] {
  const { scene } = look;
  const formula = 'rated force of the catch and the parts of the secondary, and the rest of the point';
  return scene.pulls.flatMap((here) => {
    if (here.pull.role !== 'secondary') return [];
    if (here.pull.accidental !== null)
      return [secondaryCheck('accidental', look, here, here.pull.accidental, { formula, source: 'document of the secondary' })];
    const reason = reasonOf(whysMissing([{ code: 'no-rated-catch', of: 'secondary' }]));
    const subjects = [...subjectsOf(scene, here), 'accidental'];
    return [checkOf('pointDown', subjects, { ...secondary(scene, here, 'accidental'), verdict: 'unknown', reason })];
  });
}

const subjectsOf = ({ pointId }: PointScene, { hang, pickUp }: PullHere): string[] => [hang.hang.id, pickUp.pickUp.id, pointId];

const secondary = ({ pointId, policy }: PointScene, { hang, pickUp }: PullHere, loadCase: 'limiter' | 'slack' | 'accidental') => ({
  pointId,
  hangId: hang.hang.id,
  pickUpId: pickUp.pickUp.id,
  hard: policy.secondaryCasesHard,
  case: loadCase,
});

/** One line pulls otherwise than planned; the hang's other lines and everybody else are at their envelope. */
function secondaryCheck(
  loadCase: 'limiter' | 'slack' | 'accidental',
  look: PointLook,
  here: PullHere,
  instead: Pull,
  { formula, source }: Pick<Reckoning, 'formula' | 'source'>,
): Check {
  const { scene, capacity, whys } = look;
  const own = scene.units.find(({ source: from, id }) => from === 'plan' && id === here.hang.hang.id);
  if (own === undefined) throw new Error('a pull of the plan is in one of its units');
  const { build, moving } = here.pull;
  const othersKg = Math.max(own.restingKg - knToKg(build.downKn), own.movingKg - knToKg(moving.downKn));
  const thenKg = Math.max(own.restingKg, othersKg + knToKg(instead.downKn));
  // Such a case is no lift: what the capacity allows for lifting is not given to it.
  const noLift = { wllKg: capacity.wllKg, factors: capacity.factors, terms: null };
  const worst = worstSum(look.sums, noLift, scene.policy.closeFrom, whys.length > 0, { unit: own, massKg: thenKg });
  return checkOf(
    loadCase === 'limiter' ? 'limiter' : 'pointDown',
    loadCase === 'limiter' ? subjectsOf(scene, here) : [...subjectsOf(scene, here), loadCase],
    worst,
    {
      pointId: scene.pointId,
      hangId: here.hang.hang.id,
      pickUpId: here.pickUp.pickUp.id,
      hard: scene.policy.secondaryCasesHard,
      case: loadCase,
      reason: reasonOf(whys),
      reckoning: [{ formula, numbers: numbersText({ lineKn: instead.downKn }), result: `${kgToKn(worst.demand ?? 0)} kN`, source }],
    },
  );
}
