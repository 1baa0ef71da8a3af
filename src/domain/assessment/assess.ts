import { degToRad } from '../foundation/elementary.ts';
import { compensatedSum } from '../foundation/sum.ts';
import type { CheckedPlan } from '../plan/check-plan.ts';
import { isOverPeople } from '../plan/closed-areas.ts';
import type { HangLoads } from '../plan/hang-loads.ts';
import { hangLoads } from '../plan/hang-loads.ts';
import type { LoadRules } from '../plan/line-loads.ts';
import type { Anchors, Pull } from '../plan/pull.ts';
import type { RoofIndex } from '../roof/roof-index.ts';
import type { Instant, Policy, PublishedRoof } from '../roof/structure.ts';
import { worseVerdict } from '../roof/verdict.ts';
import type { Assessment, Check, LoadCase, NeighbourLoad, Outcome, PointLoad, Verdict } from './assessment.ts';
import { CAUTIONS } from './cautions.ts';
import { hangChecks } from './hang-checks.ts';
import type { Sha256 } from './hashes.ts';
import { assessmentHashOf, outcomeHashOf } from './hashes.ts';
import { keepOutChecks } from './keep-out-checks.ts';
import { limitChecks } from './limit-checks.ts';
import type { Interval, LoadUnit } from './load-units.ts';
import { hangInterval, isOverdue, neighbourUnit, overlap, planUnits } from './load-units.ts';
import type { HangPart } from './memory.ts';
import { AssessmentMemory } from './memory.ts';
import type { PointScene, PullHere } from './point-scene.ts';
import { downCheck, pointChecks } from './point-checks.ts';

/** Names the rules that an assessment was made by. Any change of a number, a check or a text moves it. */
export const ENGINE = 'roofbook-29';

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
 * @param memory  kept from assessments of nearly the same, which it makes quick; it changes no result
 */
export function assess(input: AssessInput, memory = new AssessmentMemory()): Assessment {
  const { outcome, agreed, ...beside } = outcomeOf(input, memory);
  const covers = {
    revisionHash: input.revisionHash,
    planHash: input.planHash,
    policyHash: input.policyHash,
    neighbours: neighboursCovered(agreed),
  };
  const outcomeHash = outcomeHashOf(outcome, input.sha256, memory.hashOf);
  return {
    format: 1,
    engine: ENGINE,
    outcome,
    outcomeHash,
    covers,
    assessmentHash: assessmentHashOf(outcomeHash, ENGINE, covers, input.sha256),
    ...beside,
  };
}

export type Unsealed = Pick<Assessment, 'outcome' | 'withSubmitted' | 'overdueNeighbours' | 'cautions'> & {
  /** Those that were counted as hanging. */
  readonly agreed: readonly NeighbourLoad[];
};

/** The same without its hashes, which for a large show take longer than the rest of it: for a screen that follows a hang being dragged. */
export function outcomeOf(input: Omit<AssessInput, 'sha256'>, memory = new AssessmentMemory()): Unsealed {
  const { roof, plan, show, neighbours, asOf, expectedNeighbourCount } = input;
  if (expectedNeighbourCount !== undefined && neighbours.length !== expectedNeighbourCount)
    throw new Error(`${expectedNeighbourCount} loads of neighbours are to be counted, ${neighbours.length} were given`);
  const index = memory.begin(roof, show, plan);
  const parts = hangParts(input, index, memory);
  const own = parts.flatMap(({ units }) => units);
  const near = neighbours
    .map((load) => ({ load, unit: memory.neighbour(load, neighbourUnit(load, asOf, roof.exposure)) }))
    .filter(({ unit }) => overlap(unit.during, show));
  const agreed = near.filter(({ load }) => load.status === 'agreed');
  const standing = memory.standing(roof).filter(({ during }) => overlap(during, show));
  const scene = { index, show, hangs: parts.map(({ loads }) => loads), memory };
  const placed = placeChecks(scene, inOrder([...own, ...standing, ...agreed.map(({ unit }) => unit)]));
  const checks = memory.inOrder([...parts.map((part) => part.checks), ...placed]);
  return {
    outcome: {
      verdict: verdictOn(checks),
      loads: parts.flatMap(({ pointLoads }) => pointLoads),
      checks,
      totals: totalsOf(scene.hangs, checks),
    },
    agreed: agreed.map(({ load }) => load),
    withSubmitted: submittedChecks({ ...scene, memory: null }, own, standing, near),
    overdueNeighbours: [...new Set(agreed.filter(({ load }) => isOverdue(load, asOf)).map(({ load }) => load.ref))].sort(),
    cautions: [...CAUTIONS, ...[...new Set(scene.hangs.flatMap((hang) => hang.cautions))].sort()],
  };
}

/** Each hang by itself, in ascending order of ids. */
function hangParts(
  { roof, plan, show }: Pick<AssessInput, 'roof' | 'plan' | 'show'>,
  index: RoofIndex,
  memory: AssessmentMemory,
): HangPart[] {
  const overPeople = rulesOf(roof.policy.policy, true);
  const notOverPeople = rulesOf(roof.policy.policy, false);
  const anchors: Anchors = (pointId) => index.points.get(pointId) ?? null;
  return [...plan.hangs].sort(byId).map((hang) =>
    memory.hang(hang, () => {
      const during = hangInterval({ hang }, show);
      const loads = hangLoads(
        plan,
        hang,
        isOverPeople(plan, hang, during, anchors) ? overPeople : notOverPeople,
        anchors,
        memory.likeTrusses,
      );
      const checks = [...hangChecks(loads, during, plan, roof), ...keepOutChecks(hang, during, roof)];
      return { loads, units: planUnits(loads, show), checks, pointLoads: pointLoads(loads, during) };
    }),
  );
}

/** The venue's values as the statics of plans take them. */
function rulesOf(policy: Policy, overPeople: boolean): LoadRules {
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
    overPeople,
    parts: {
      factors: overPeople ? policy.partsOverPeople : policy.partsNotOverPeople,
      verticalWithinRad: degToRad(policy.plumbDeg),
      chokeFactor: policy.chokeFactor,
    },
  };
}

const byId = (a: { id: string }, b: { id: string }): number => (a.id < b.id ? -1 : a.id > b.id ? 1 : 0);
const inOrder = (units: readonly LoadUnit[]): LoadUnit[] =>
  [...units].sort((a, b) => (a.sortKey < b.sortKey ? -1 : a.sortKey > b.sortKey ? 1 : 0));

type Scene = {
  readonly index: RoofIndex;
  readonly show: Interval;
  readonly hangs: readonly HangLoads[];
  readonly memory: AssessmentMemory | null;
};

/** Points and limits that the plan touches. A limit that is over without us and untouched by us is not ours to answer for. */
function placeChecks(scene: Scene, units: readonly LoadUnit[]): (readonly Check[])[] {
  const { index, memory } = scene;
  const points = pointScenes(scene, units);
  const usedPoints = new Set(points.map(({ pointId }) => pointId));
  return [
    ...points.map((point) => memory?.place(`point ${point.pointId}`, point.units, () => pointChecks(point)) ?? pointChecks(point)),
    ...limitChecks({ index, policy: index.roof.policy.policy, units, usedPoints, memory }),
  ];
}

function pointScenes({ index, show, hangs }: Scene, units: readonly LoadUnit[]): PointScene[] {
  const { roof } = index;
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
function submittedChecks(scene: Scene, own: readonly LoadUnit[], standing: readonly LoadUnit[], near: readonly Near[]): Check[] {
  const wishes = new Set(near.filter(({ load }) => load.status === 'submitted').map(({ load }) => load.ref));
  if (wishes.size === 0) return [];
  const counted = near.filter(({ load }) => load.status === 'submitted' || !wishes.has(load.ref));
  const units = inOrder([...own, ...standing, ...counted.map(({ unit }) => unit)]);
  const points = pointScenes(scene, units);
  const { index } = scene;
  const usedPoints = new Set(points.map(({ pointId }) => pointId));
  const checks = [
    ...points.map((point) => downCheck(point)),
    ...limitChecks({ index, policy: index.roof.policy.policy, units, usedPoints, memory: null }).flat(),
  ];
  return checks
    .filter((check) => check.counted.some(({ from, id }) => from === 'neighbour' && wishes.has(id)))
    .map((check) => ({ ...check, id: `${check.id}:withSubmitted`, hard: false }))
    .sort(byId);
}

/** Members in the order of their names, as those of checks. */
function pointLoads({ hang, pickUps }: HangLoads, { from, to }: Interval): PointLoad[] {
  const loads: PointLoad[] = [];
  for (const { pickUp, pulls } of pickUps) {
    for (const pull of [...pulls].sort((a, b) => (a.pointId < b.pointId ? -1 : 1))) {
      const [during, pickUpId, pointId] = [{ from, to }, pickUp.id, pull.pointId];
      const isLowerBound = pull.missing.length > 0 || pull.missingSideways.length > 0;
      const add = (loadCase: LoadCase, { xKn, yKn, downKn }: Pull) =>
        loads.push({ case: loadCase, downKn, during, hangId: hang.id, isLowerBound, pickUpId, pointId, xKn, yKn });
      add('resting', pull.resting);
      if (pull.build.downKn > pull.resting.downKn) add('build', pull.build);
      if (pickUp.hoist !== null) add('moving', pull.moving); // a dead hang does not move
      if (pull.limiter !== null) add('limiter', pull.limiter);
      if (pull.slack !== null) add('slack', pull.slack);
      if (pull.accidental !== null) add('accidental', pull.accidental);
    }
  }
  return loads;
}

function verdictOn(checks: readonly Check[]): Verdict {
  let worst: Verdict = 'fits';
  for (const { hard, verdict } of checks) if (hard) worst = worseVerdict(worst, verdict);
  return worst;
}

function totalsOf(hangs: readonly HangLoads[], checks: readonly Check[]): Outcome['totals'] {
  const [masses, reckoned, estimated]: [number[], number[], number[]] = [[], [], []];
  for (const { takeOff } of hangs) {
    for (const row of takeOff) {
      masses.push(row.massKg ?? 0);
      reckoned.push(row.reckonedKg ?? 0);
      if (row.basis === 'estimated' || row.basis === null) estimated.push(row.reckonedKg ?? 0);
    }
  }
  const [massKg, reckonedKg] = [compensatedSum(masses), compensatedSum(reckoned)];
  let worstUtilisation: number | null = null;
  for (const { hard, utilisation } of checks)
    if (hard && utilisation !== null) worstUtilisation = Math.max(worstUtilisation ?? 0, utilisation);
  return {
    massKg,
    contingencyKg: reckonedKg - massKg,
    estimatedShare: reckonedKg === 0 ? 0 : compensatedSum(estimated) / reckonedKg,
    worstUtilisation,
  };
}

function neighboursCovered(loads: readonly NeighbourLoad[]): Assessment['covers']['neighbours'] {
  const covered = new Map(loads.map(({ planHash, from, to }) => [`${planHash} ${from} ${to}`, { planHash, from, to }]));
  return [...covered.keys()].sort().flatMap((key) => covered.get(key) ?? []);
}
