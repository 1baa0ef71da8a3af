import { degToRad } from '../foundation/elementary.ts';
import { compensatedSum } from '../foundation/sum.ts';
import type { CheckedPlan } from '../plan/check-plan.ts';
import type { HangLoads } from '../plan/hang-loads.ts';
import { planLoads } from '../plan/hang-loads.ts';
import type { LoadRules } from '../plan/line-loads.ts';
import type { Pull } from '../plan/pull.ts';
import type { RoofIndex } from '../roof/roof-index.ts';
import { indexRoof } from '../roof/roof-index.ts';
import type { Instant, Policy, PublishedRoof } from '../roof/structure.ts';
import { worstVerdict } from '../roof/verdict.ts';
import type { Assessment, Check, LoadCase, NeighbourLoad, Outcome, PointLoad } from './assessment.ts';
import { CAUTIONS } from './cautions.ts';
import { hangChecks } from './hang-checks.ts';
import type { Sha256 } from './hashes.ts';
import { assessmentHashOf, outcomeHashOf } from './hashes.ts';
import { keepOutChecks } from './keep-out-checks.ts';
import { limitChecks } from './limit-checks.ts';
import type { Interval, LoadUnit } from './load-units.ts';
import { hangInterval, isOverdue, neighbourUnit, overlap, planUnits, standingUnits } from './load-units.ts';
import type { PointScene, PullHere } from './point-scene.ts';
import { downCheck, pointChecks } from './point-checks.ts';

/** Names the rules that an assessment was made by. Any change of a number, a check or a text moves it. */
export const ENGINE = 'roofbook-1';

export type AssessInput = {
  readonly roof: PublishedRoof;
  readonly revisionHash: string;
  readonly plan: CheckedPlan;
  readonly planHash: string;
  readonly policyHash: string;
  /** [from, to), the one that the plan was checked with. */
  readonly show: Interval;
  /** Everything else in the space that may hang in the show's time; without the plan's own. */
  readonly neighbours: readonly NeighbourLoad[];
  /** How many neighbours' loads there are: one that is hidden must not make a full roof look free. */
  readonly expectedNeighbourCount?: number;
  /** The moment of asking. Decides one thing only: which neighbours are overdue. */
  readonly asOf: Instant;
  readonly sha256: Sha256;
};

/**
 * What a plan does to a published roof among everything else that hangs there: loads, checks, verdict. Same input, same bytes, whatever
 * the order of hangs and neighbours. Nothing is refused: what cannot be known is a check `unknown`.
 * Throws on a bug alone: a hidden neighbour, a number that is not finite, a plan checked for another show.
 */
export function assess(input: AssessInput): Assessment {
  const { roof, plan, show, neighbours, asOf, sha256, expectedNeighbourCount } = input;
  if (expectedNeighbourCount !== undefined && neighbours.length !== expectedNeighbourCount)
    throw new Error(`${expectedNeighbourCount} loads of neighbours are to be counted, ${neighbours.length} were given`);
  const { policy } = roof.policy;
  const index = indexRoof(roof);
  const hangs = planLoads(plan, rulesOf(policy), (pointId) => index.points.get(pointId) ?? null);
  const own = planUnits(hangs, show);
  const near = neighbours.map((load) => ({ load, unit: neighbourUnit(load, asOf) })).filter(({ unit }) => overlap(unit.during, show));
  const agreed = near.filter(({ load }) => load.status === 'agreed');
  const standing = standingUnits(roof).filter(({ during }) => overlap(during, show));
  const units = inOrder([...own, ...standing, ...agreed.map(({ unit }) => unit)]);
  const checks = [
    ...hangs.flatMap((hang) => {
      const during = hangInterval(hang, show);
      return [...hangChecks(hang, during, plan, roof), ...keepOutChecks(hang.hang, during, roof)];
    }),
    ...placeChecks(input, index, hangs, units),
  ].sort(byId);
  const outcome: Outcome = {
    verdict: worstVerdict(checks.filter(({ hard }) => hard).map(({ verdict }) => verdict)),
    loads: pointLoads(hangs, show),
    checks,
    totals: totalsOf(hangs, checks),
  };
  const covers = {
    revisionHash: input.revisionHash,
    planHash: input.planHash,
    policyHash: input.policyHash,
    neighbours: neighboursCovered(agreed.map(({ load }) => load)),
  };
  const outcomeHash = outcomeHashOf(outcome, sha256);
  return {
    format: 1,
    engine: ENGINE,
    outcome,
    outcomeHash,
    covers,
    assessmentHash: assessmentHashOf(outcomeHash, ENGINE, covers, sha256),
    withSubmitted: submittedChecks(input, index, hangs, own, standing, near),
    overdueNeighbours: [...new Set(agreed.filter(({ load }) => isOverdue(load, asOf)).map(({ load }) => load.ref))].sort(),
    cautions: [...CAUTIONS, ...[...new Set(hangs.flatMap((hang) => hang.cautions))].sort()],
  };
}

/** The venue's values as the statics of plans take them. Everything is taken as over people. */
function rulesOf(policy: Policy): LoadRules {
  const { contingency } = policy;
  return {
    contingency: {
      weighed: contingency.weighed,
      documented: contingency.documented,
      estimated: contingency.estimated,
      cableAtLeast: contingency.cablesAtLeast,
    },
    dynamic: policy.dynamicFactor,
    limiterFactor: policy.limiterFactor,
    levelRestM: policy.levelRestMm / 1000,
    levelMovingM: policy.levelMovingMm / 1000,
    plumbDeg: policy.plumbDeg,
    parts: { factors: policy.partsOverPeople, verticalWithinRad: degToRad(policy.plumbDeg), chokeFactor: policy.chokeFactor },
  };
}

const byId = (a: { id: string }, b: { id: string }): number => (a.id < b.id ? -1 : a.id > b.id ? 1 : 0);
const inOrder = (units: readonly LoadUnit[]): LoadUnit[] =>
  [...units].sort((a, b) => (a.sortKey < b.sortKey ? -1 : a.sortKey > b.sortKey ? 1 : 0));

/** Points and limits that the plan touches. A limit that is over without us and untouched by us is not ours to answer for. */
function placeChecks(input: AssessInput, index: RoofIndex, hangs: readonly HangLoads[], units: readonly LoadUnit[]): Check[] {
  const scenes = pointScenes(input, index, hangs, units);
  const usedPoints = new Set(scenes.map(({ pointId }) => pointId));
  return [...scenes.flatMap(pointChecks), ...limitChecks({ index, policy: index.roof.policy.policy, units, usedPoints })];
}

function pointScenes({ roof, show }: AssessInput, index: RoofIndex, hangs: readonly HangLoads[], units: readonly LoadUnit[]): PointScene[] {
  const pulls = new Map<string, PullHere[]>();
  for (const hang of hangs) {
    for (const pickUp of hang.pickUps) for (const pull of pickUp.pulls) into(pulls, pull.pointId, { hang, pickUp, pull });
  }
  const unitsAt = new Map<string, LoadUnit[]>();
  for (const unit of units) if (pulls.has(unit.pointId)) into(unitsAt, unit.pointId, unit);
  return [...pulls.keys()].sort().map((pointId) => ({
    roof,
    policy: roof.policy.policy,
    show,
    pointId,
    point: index.points.get(pointId),
    units: unitsAt.get(pointId) ?? [],
    pulls: pulls.get(pointId) ?? [],
  }));
}

function into<T>(lists: Map<string, T[]>, key: string, item: T): void {
  const list = lists.get(key);
  if (list === undefined) lists.set(key, [item]);
  else list.push(item);
}

type Near = { readonly load: NeighbourLoad; readonly unit: LoadUnit };

/**
 * The same points and limits with what is only submitted too. Who has both a standing yes and a newer submission is counted by the
 * newer one, which would take the place of the other.
 */
function submittedChecks(
  input: AssessInput,
  index: RoofIndex,
  hangs: readonly HangLoads[],
  own: readonly LoadUnit[],
  standing: readonly LoadUnit[],
  near: readonly Near[],
): Check[] {
  const wishes = new Set(near.filter(({ load }) => load.status === 'submitted').map(({ load }) => load.ref));
  if (wishes.size === 0) return [];
  const counted = near.filter(({ load }) => load.status === 'submitted' || !wishes.has(load.ref));
  const units = inOrder([...own, ...standing, ...counted.map(({ unit }) => unit)]);
  const scenes = pointScenes(input, index, hangs, units);
  const usedPoints = new Set(scenes.map(({ pointId }) => pointId));
  const checks = [
    ...scenes.map((scene) => downCheck(scene)),
    ...limitChecks({ index, policy: index.roof.policy.policy, units, usedPoints }),
  ];
  return checks
    .filter((check) => check.counted.some(({ from, id }) => from === 'neighbour' && wishes.has(id)))
    .map((check) => ({ ...check, id: `${check.id}:withSubmitted`, hard: false }))
    .sort(byId);
}

function pointLoads(hangs: readonly HangLoads[], show: Interval): PointLoad[] {
  return hangs.flatMap((hang) => {
    const during = hangInterval(hang, show);
    return hang.pickUps.flatMap(({ pickUp, pulls }) =>
      [...pulls]
        .sort((a, b) => (a.pointId < b.pointId ? -1 : 1))
        .flatMap((pull) => {
          const isLowerBound = pull.missing.length > 0 || pull.missingSideways.length > 0;
          const at = (loadCase: LoadCase, { xKn, yKn, downKn }: Pull): PointLoad => ({
            hangId: hang.hang.id,
            pickUpId: pickUp.id,
            pointId: pull.pointId,
            case: loadCase,
            during,
            xKn,
            yKn,
            downKn,
            isLowerBound,
          });
          const loads = [at('resting', pull.resting)];
          if (pickUp.hoist !== null) loads.push(at('moving', pull.moving)); // a dead hang does not move
          if (pull.limiter !== null) loads.push(at('limiter', pull.limiter));
          if (pull.slack !== null) loads.push(at('slack', pull.slack));
          return loads;
        }),
    );
  });
}

function totalsOf(hangs: readonly HangLoads[], checks: readonly Check[]): Outcome['totals'] {
  const rows = hangs.flatMap(({ takeOff }) => takeOff);
  const massKg = compensatedSum(rows.map((row) => row.massKg ?? 0));
  const reckonedKg = compensatedSum(rows.map((row) => row.reckonedKg ?? 0));
  const estimatedKg = compensatedSum(rows.map((row) => (row.basis === 'estimated' || row.basis === null ? (row.reckonedKg ?? 0) : 0)));
  const utilisations = checks.flatMap(({ hard, utilisation }) => (hard && utilisation !== null ? [utilisation] : []));
  return {
    massKg,
    contingencyKg: reckonedKg - massKg,
    estimatedShare: reckonedKg === 0 ? 0 : estimatedKg / reckonedKg,
    worstUtilisation: utilisations.length === 0 ? null : utilisations.reduce((worst, utilisation) => Math.max(worst, utilisation), 0),
  };
}

function neighboursCovered(loads: readonly NeighbourLoad[]): Assessment['covers']['neighbours'] {
  const covered = new Map(loads.map(({ planHash, from, to }) => [`${planHash} ${from} ${to}`, { planHash, from, to }]));
  return [...covered.keys()].sort().flatMap((key) => covered.get(key) ?? []);
}
