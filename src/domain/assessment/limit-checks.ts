import type { RoofIndex } from '../roof/roof-index.ts';
import { standingSpreads } from '../roof/roof-index.ts';
import type { LimitAnswer } from '../roof/roof-limits.ts';
import { limitAnswer, memberAnswer } from '../roof/roof-limits.ts';
import type { LimitFinding } from '../roof/sum-limits.ts';
import type { CapacityTerms, Limit, Member, Policy } from '../roof/structure.ts';
import type { Check, CheckKind, Reckoning } from './assessment.ts';
import type { Why } from './check.ts';
import { basisText, checkOf, numbersText, reasonOf, whysMissing } from './check.ts';
import type { LoadUnit } from './load-units.ts';
import { overlap } from './load-units.ts';
import type { AssessmentMemory } from './memory.ts';
import type { Spread, WorstCase, WorstLoss } from './worst.ts';
import { asChecked, isWorse, ownWindow, worstOfLosses, worstOfScenes } from './worst.ts';

export type LimitScene = {
  readonly index: RoofIndex;
  readonly policy: Policy;
  /** Every unit, ours and others, in ascending order. */
  readonly units: readonly LoadUnit[];
  /** Points that the plan loads. */
  readonly usedPoints: ReadonlySet<string>;
  readonly memory: AssessmentMemory | null;
};

/** Every limit over more than one point whose set holds a point of the plan, and the strength of every member that carries one. */
export function limitChecks(scene: LimitScene): (readonly Check[])[] {
  const { roof } = scene.index;
  const spreads = spreadsOf(scene.index);
  const unitsOf = unitsByLimit(scene);
  return [
    ...roof.limits.map((limit) => checksOf(limit, unitsOf.get(limit), scene, spreads)),
    // A roof that states no allowables of a member at all puts its trust in the ratings of points and groups.
    ...roof.members
      .filter(({ allowables }) => allowables.length > 0)
      .map((member) => memberChecks(member, unitsOf.get(member), scene, spreads)),
  ];
}

/** What hangs on each limit and member that a point of the plan is part of, in the order of the units. */
function unitsByLimit({ index, units, usedPoints }: LimitScene): Map<Limit | Member, LoadUnit[]> {
  const found = new Map<Limit | Member, LoadUnit[]>();
  const partsOf = (pointId: string): (Limit | Member)[] => {
    const on = new Set(index.points.get(pointId)?.on.map(({ memberId }) => memberId));
    return [...(index.limitsAt.get(pointId) ?? []), ...[...on].flatMap((memberId) => index.members.get(memberId) ?? [])];
  };
  for (const pointId of usedPoints) for (const part of partsOf(pointId)) found.set(part, []);
  for (const unit of units) for (const part of partsOf(unit.pointId)) found.get(part)?.push(unit);
  return found;
}

function spreadsOf({ roof }: RoofIndex): Spread[] {
  const ids = roof.standingLoads.flatMap(({ id, memberLoads }) => memberLoads.map(() => id));
  return standingSpreads(roof).map((load, position) => ({ load, standingId: ids[position] ?? load.id }));
}

const KINDS: Readonly<Record<Limit['kind'], CheckKind>> = {
  group: 'group',
  weighted: 'weighted',
  spacing: 'spacing',
  count: 'count',
  sideways: 'sideways',
  density: 'density',
  areaDensity: 'density',
};

const FORMULAS: Readonly<Record<LimitFinding['sense'], string>> = {
  most: 'Σ of all that can hang at once, each where it adds, ≤ limit',
  least: 'Σ of all that can hang at once, each where it takes off, ≥ limit',
  sagging: 'largest sagging moment of any choice of the loads ≤ allowable',
  hogging: 'largest hogging moment of any choice of the loads ≤ allowable',
  shear: 'largest shear of any choice of the loads ≤ allowable',
  alongForward: 'Σ sideways along, forward ≤ limit',
  alongBackward: 'Σ sideways along, backward ≤ limit',
  acrossLeft: 'Σ sideways across, left ≤ limit',
  acrossRight: 'Σ sideways across, right ≤ limit',
  tooClose: 'spacing asked for ≤ least spacing of two points loaded at once',
  reduced: 'load of a point with a loaded one nearer than the spacing ≤ reduced rating',
};

function checksOf(limit: Limit, units: readonly LoadUnit[] | undefined, scene: LimitScene, spreads: readonly Spread[]): readonly Check[] {
  if (units === undefined) return [];
  const make = () => limitChecksOf(limit, units, scene, spreads);
  return scene.memory?.place(`limit ${limit.id}`, units, make) ?? make();
}

function limitChecksOf(limit: Limit, units: readonly LoadUnit[], { index, policy }: LimitScene, spreads: readonly Spread[]): Check[] {
  const whys = missingOf(units, limit.kind === 'sideways');
  const answer = (timeline: Parameters<typeof limitAnswer>[2]) => limitAnswer(index, limit, timeline, policy.closeFrom, whys.length > 0);
  const { worst, doubts } = answered(units, spreads, limit.terms, answer);
  const subjects = ({ sense }: LimitFinding) => (sense === 'most' ? [limit.id] : [limit.id, sense]);
  const reason = reasonOf([...doubts, ...whys]);
  const losses = worstOfLosses(units, spreads, limit.kind !== 'sideways', (timeline) => answer(timeline).findings);
  return [
    ...worst.map((found) =>
      checkOf(KINDS[limit.kind], subjects(found.finding), {
        limitId: limit.id,
        hard: limit.hard,
        ...asChecked(found, units, spreads),
        reason,
        reckoning: [reckoningOf(found.finding, limit.terms)],
      }),
    ),
    ...worseThan(worst, losses).map((found) =>
      checkOf(KINDS[limit.kind], [...subjects(found.finding), found.lost.case], {
        limitId: limit.id,
        hard: limit.hard && policy.secondaryCasesHard,
        ...lossFacts(found, units, spreads, limit.terms),
        reason,
      }),
    ),
  ];
}

/** Losses that make it worse than it is with nothing lost. */
const worseThan = (worst: readonly WorstCase[], losses: readonly WorstLoss[]): WorstLoss[] =>
  losses.filter(({ finding }) => {
    const before = worst.find((other) => other.finding.sense === finding.sense)?.finding;
    return before === undefined || isWorse(finding, before);
  });

const IF_LOST: Readonly<Record<WorstLoss['lost']['case'], string>> = {
  slack: ', with one hoist of the hang lost and all others at their most',
  accidental: ', with one line of the hang gone and its secondary catching, all others at their most',
};

function lossFacts({ finding, lost }: WorstLoss, units: readonly LoadUnit[], spreads: readonly Spread[], terms: CapacityTerms) {
  const reckoning = reckoningOf(finding, terms);
  return {
    ...asChecked({ finding, case: lost.case }, units, spreads),
    hangId: lost.hangId,
    reckoning: [{ ...reckoning, formula: `${reckoning.formula}${IF_LOST[lost.case]}` }],
  };
}

function memberChecks(
  member: Member,
  units: readonly LoadUnit[] | undefined,
  scene: LimitScene,
  spreads: readonly Spread[],
): readonly Check[] {
  if (units === undefined) return [];
  const make = () => memberChecksOf(member, units, scene, spreads);
  return scene.memory?.place(`member ${member.id}`, units, make) ?? make();
}

function memberChecksOf(member: Member, units: readonly LoadUnit[], { index, policy }: LimitScene, spreads: readonly Spread[]): Check[] {
  const onIt = spreads.filter(({ load }) => load.spreads?.some(({ memberId }) => memberId === member.id));
  const whys = missingOf(units, false);
  let refusal: string | null = null;
  const look = (timeline: Parameters<typeof memberAnswer>[2]): LimitAnswer => {
    const answer = memberAnswer(index, member.id, timeline, policy.closeFrom, whys.length > 0);
    if (answer.ok) return answer.value;
    refusal = answer.error.code;
    return { findings: [], doubts: [] };
  };
  const { worst, doubts } = answered(units, onIt, member.terms, look);
  if (refusal !== null) {
    const reason = { code: refusal, text: 'the member cannot be solved as it is entered' };
    return [checkOf('memberMoment', [member.id], { memberId: member.id, verdict: 'unknown', reason })];
  }
  const reason = reasonOf([...doubts, ...whys]);
  const kindOf = ({ sense }: LimitFinding): CheckKind => (sense === 'shear' ? 'memberShear' : 'memberMoment');
  const subjects = ({ sense }: LimitFinding) => (sense === 'shear' ? [member.id] : [member.id, sense]);
  const diagramOf = ({ diagram }: LimitFinding) => diagram?.map(({ atM, capacity, demand }) => ({ atM, capacity, demand })) ?? null;
  const losses = worstOfLosses(units, onIt, true, (timeline) => look(timeline).findings);
  return [
    ...worst.map((found) =>
      checkOf(kindOf(found.finding), subjects(found.finding), {
        memberId: member.id,
        ...asChecked(found, units, onIt),
        reason,
        reckoning: [reckoningOf(found.finding, member.terms)],
        diagram: diagramOf(found.finding),
      }),
    ),
    ...worseThan(worst, losses).map((found) =>
      checkOf(kindOf(found.finding), [...subjects(found.finding), found.lost.case], {
        memberId: member.id,
        hard: policy.secondaryCasesHard,
        ...lossFacts(found, units, onIt, member.terms),
        reason,
        diagram: diagramOf(found.finding),
      }),
    ),
  ];
}

function answered(
  units: readonly LoadUnit[],
  spreads: readonly Spread[],
  terms: CapacityTerms,
  answer: (timeline: Parameters<typeof limitAnswer>[2]) => LimitAnswer,
): { worst: WorstCase[]; doubts: readonly Why[] } {
  const doubts = new Map<string, Why>();
  const worst = worstOfScenes(units, spreads, terms, (timeline) => {
    const found = answer(timeline);
    for (const doubt of found.doubts) doubts.set(doubt.code, doubt);
    return found.findings;
  });
  return { worst, doubts: [...doubts.values()] };
}

/** Wind is entered for a hang as a whole: how much of it each member gets, and from where, is not computed. */
const WIND_NOT_IN_LIMIT = { code: 'wind-not-in-limit', of: 'hang' };

/** What is not stated of any load that may hang there while something of the plan does. */
function missingOf(units: readonly LoadUnit[], sidewaysToo: boolean): Why[] {
  const window = ownWindow(units);
  return whysMissing(
    units
      .filter(({ during }) => overlap(during, window))
      .flatMap(({ missing, missingSideways, windKn }) => {
        if (!sidewaysToo) return missing;
        return [...missing, ...missingSideways, ...(windKn > 0 ? [WIND_NOT_IN_LIMIT] : [])];
      }),
  );
}

function reckoningOf({ sense, worst, capacity, unit, counted, atM }: LimitFinding, terms: CapacityTerms): Reckoning {
  const numbers: Record<string, number> = { loads: counted.length };
  if (capacity !== null) numbers.limit = capacity;
  if (atM !== null) numbers.atM = atM;
  return {
    formula: FORMULAS[sense],
    numbers: numbersText(numbers),
    result: worst === null ? '' : `${worst} ${unit}`,
    source: basisText(terms),
  };
}
