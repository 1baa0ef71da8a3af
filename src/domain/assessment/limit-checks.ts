import type { Limit, Member, Policy, PublishedRoof } from '../roof/structure.ts';
import { demandFactors, termsDoubts } from '../roof/capacity.ts';
import { isInsidePolygon } from '../foundation/polygon.ts';
import type { Check, CheckKind, Reckoning } from './assessment.ts';
import type { Why } from './check.ts';
import { basisText, checkOf, numbersText, reasonOf } from './check.ts';
import type { LoadUnit } from './load-units.ts';
import { missingOf } from './point-checks.ts';
import { asChecked, worstSums } from './worst.ts';

export type LimitScene = {
  readonly roof: PublishedRoof;
  readonly policy: Policy;
  /** Every unit, ours and others, in ascending order. */
  readonly units: readonly LoadUnit[];
  /** Points that the plan loads. */
  readonly usedPoints: ReadonlySet<string>;
};

/** Every limit over more than one point whose set holds a point of the plan. */
export function limitChecks(scene: LimitScene): Check[] {
  const touched = scene.roof.limits.filter((limit) => touches(limit, scene));
  return [...touched.flatMap((limit) => checksOf(limit, scene)), ...memberChecks(scene)];
}

/** The limits that some units count in: of these the plan may change the answer. */
function touches(limit: Limit, { roof, usedPoints }: LimitScene): boolean {
  switch (limit.kind) {
    case 'group':
    case 'count':
      return limit.pointIds.some((id) => usedPoints.has(id));
    case 'weighted':
      return limit.weights.some(({ pointId }) => usedPoints.has(pointId));
    case 'spacing':
    case 'sideways':
    case 'density':
      return usedMembers({ roof, usedPoints }).has(limit.memberId);
    case 'areaDensity':
      return roof.points.some((point) => usedPoints.has(point.id) && isInsidePolygon(point, limit.area));
  }
}

function usedMembers({ roof, usedPoints }: Pick<LimitScene, 'roof' | 'usedPoints'>): Set<string> {
  return new Set(roof.points.filter(({ id }) => usedPoints.has(id)).flatMap(({ on }) => on.map(({ memberId }) => memberId)));
}

function checksOf(limit: Limit, scene: LimitScene): Check[] {
  switch (limit.kind) {
    case 'group':
      return sumChecks(
        limit,
        [...new Set(limit.pointIds)].map((pointId) => ({ pointId, factor: 1 })),
        scene,
      );
    case 'weighted':
      return sumChecks(limit, limit.weights, scene);
    case 'spacing':
    case 'count':
    case 'sideways':
      return [notEvaluated(limit.kind, limit)];
    case 'density':
    case 'areaDensity':
      return [notEvaluated('density', limit)];
  }
}

const notEvaluated = (kind: CheckKind, limit: Limit): Check =>
  checkOf(kind, [limit.id], {
    limitId: limit.id,
    hard: limit.hard,
    verdict: 'unknown',
    reason: { code: 'limit-not-evaluated', text: 'limits of this kind are not evaluated: a person must' },
  });

type SumLimit = Extract<Limit, { kind: 'group' | 'weighted' }>;

/** Σ factor · load of a set against its upper bound, and its lower bound where it has one. */
function sumChecks(limit: SumLimit, terms: readonly { pointId: string; factor: number }[], scene: LimitScene): Check[] {
  const points = new Set(terms.map(({ pointId }) => pointId));
  const units = scene.units.filter(({ pointId }) => points.has(pointId));
  const whys: Why[] = [...termsDoubts(limit.terms), ...missingOf(units)];
  const bound = { terms, maxKg: limit.maxKg, minKg: limit.minKg };
  const worst = worstSums(units, bound, limit.terms, demandFactors(limit.terms), scene.policy.closeFrom, whys.length > 0);
  return worst.map((found) => {
    const { sense, counted, capacity, worst: sumKg } = found.finding;
    const upper = sense === 'most';
    const reckoning: Reckoning = {
      formula: upper ? 'Σ factor · load, each where it adds, ≤ limit' : 'Σ factor · load, each where it takes off, ≥ limit',
      numbers: numbersText({ loads: counted.length, limitKg: capacity ?? 0 }),
      result: `${sumKg ?? 0} kg`,
      source: basisText(limit.terms),
    };
    return checkOf(limit.kind, upper ? [limit.id] : [limit.id, 'lower'], {
      limitId: limit.id,
      hard: limit.hard,
      ...asChecked(found, units),
      reason: reasonOf(whys),
      reckoning: [reckoning],
    });
  });
}

/** Strength of the members that carry a point of the plan, where the roof states allowables. */
function memberChecks(scene: LimitScene): Check[] {
  const used = usedMembers(scene);
  return scene.roof.members.filter((member) => used.has(member.id) && member.allowables.length > 0).map(memberNotEvaluated);
}

const memberNotEvaluated = ({ id }: Member): Check =>
  checkOf('memberMoment', [id], {
    memberId: id,
    verdict: 'unknown',
    reason: { code: 'limit-not-evaluated', text: 'the strength of members is not evaluated: a person must' },
  });
