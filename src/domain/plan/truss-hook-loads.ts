import { STANDARD_GRAVITY } from '../foundation/units.ts';
import { missingMasses } from '../statics/hoist-line-take-off.ts';
import type { SolvedTruss } from '../statics/truss.ts';
import type { HookLoad, HookLoads, HookRules, Reckoned } from './hook-load.ts';
import { notHeld } from './hook-load.ts';
import { lineStiffnessNPerM, movingFactorOf } from './hoist-stiffness.ts';
import type { Missing } from './missing.ts';
import type { Hang, Plan, TrussBuild } from './plan.ts';
import type { Anchors } from './pull.ts';
import { balanceFindings, offCentreFindings } from './truss-balance.ts';
import type { LikeTrusses, TrussQuestion } from './truss-answer.ts';
import { buildReckoning } from './truss-build.ts';
import { missingOfHang, nodeFinding, notKnown, tipFindings } from './truss-findings.ts';
import type { TrussWeights } from './truss-weights.ts';
import { trussWeights } from './truss-weights.ts';
import { whenLost } from './when-lost.ts';

type TrussHang = Extract<Hang, { kind: 'truss' }>;

/** A straight truss on its hoists: level envelope, each hoist lost in turn, and the strength of the truss itself. */
export function trussHookLoads(plan: Plan, hang: TrussHang, rules: HookRules, anchors: Anchors, like: LikeTrusses): HookLoads {
  const { build } = hang;
  if (build === null) return notKnown(hang, [], [{ code: 'build-not-stated', of: 'truss' }]);
  const weights = trussWeights('truss', build.lengthM, build.section, build, rules.contingency);
  const missing: Missing[] = [...missingMasses(weights.rows), ...missingOfHang(hang, build.pickUps)];
  const hoists = trussHoists(plan, hang, build, anchors);
  if (hoists.length < hang.pickUps.length || hoists.length === 0) return notKnown(hang, weights.rows, missing);
  const factor = movingFactorOf(plan, hang, rules.dynamic);
  const { reckoned, known, stages, span, strength, ...answered } = like.answer({
    lengthM: build.lengthM,
    section: build.section,
    known: weights.loads('known'),
    reckoned: weights.loads('reckoned'),
    hoists: hoists.map(({ atM, levelM, stiffnessNPerM }) => ({ atM, levelM, stiffnessNPerM })),
    isDead: hang.pickUps.every(({ hoist }) => hoist === null),
    movingFactor: factor.factor,
    levelRestM: rules.levelRestM,
    levelMovingM: rules.levelMovingM,
  });
  missing.push(...answered.missing);
  if (!reckoned.ok || !known.ok) {
    const error = reckoned.ok ? (known.ok ? null : known.error) : reckoned.error;
    const findings = [notHeld('truss', 'solved', { code: error?.code ?? 'not-solved', of: 'truss' }, missing)];
    return { ...notKnown(hang, weights.rows, [...missing, { code: 'truss-not-solved', of: 'truss' }]), findings };
  }
  const answers = [reckoned.value, known.value];
  const isHeldAside = (hang.linesOffPlumb ?? []).length > 0;
  missing.push(...stages.missing);
  const lost = lostOf(answers, hoists);
  const hooks = hoists.map(({ id }, own): HookLoad => {
    const more = determinateContingencyN(hoists, weights, id, 1);
    const mostN = (which: 'restEnvelope' | 'movingEnvelope') =>
      more !== null
        ? more + (known.value[which].hoists[own]?.mostN ?? 0)
        : answers.reduce((most, answer) => Math.max(most, answer[which].hoists[own]?.mostN ?? 0), 0);
    const [restingN, movingN] = [mostN('restEnvelope'), mostN('movingEnvelope')];
    const restingKg = restingN / STANDARD_GRAVITY;
    const buildN = Math.max(restingN, stages.restingN[own] ?? 0);
    return {
      pickUpId: id,
      restingKg,
      buildKg: buildN / STANDARD_GRAVITY,
      movingKg: Math.max(buildN, movingN, stages.movingN[own] ?? 0) / STANDARD_GRAVITY,
      ...whenLost(lost, id),
      ...(isHeldAside ? { atLeast: atLeast(known.value.resting.reactions[own]?.forceN ?? 0, hoists, weights, build.lengthM, id) } : {}),
      missing,
      reckonings: [...reckoningsOf(own, answers, restingKg, rules), ...buildReckoning(restingN, buildN, stages.cautions.length > 0)],
    };
  });
  const idOf = (hoist: string): string => hoists[Number(hoist)]?.id ?? hoist;
  const findings = [
    ...strength.findings(span, [...missing, ...factor.missing]),
    ...nodeFinding('nodes', build.section, { hoists, pointLoads: weights.loads('reckoned').pointLoads }),
    ...balanceFindings(build, weights),
    ...offCentreFindings(build, build.torsionBasis, 'torsion'),
    ...tipFindings(lost),
    ...stages.findings.map((finding) => ({ ...finding, pickUpId: finding.pickUpId === null ? null : idOf(finding.pickUpId) })),
  ];
  const places = hoists.map(({ id, atM }) => ({ pickUpId: id, xM: atM, yM: 0 }));
  const cautions = [...new Set([...answers, stages].flatMap((one) => one.cautions))];
  return { hooks, takeOff: weights.rows, missing, findings, places, cautions };
}

type PlacedHoist = TrussQuestion['hoists'][number] & { readonly id: string };

function trussHoists(plan: Plan, hang: Hang, build: TrussBuild, anchors: Anchors): PlacedHoist[] {
  const hoists: PlacedHoist[] = [];
  for (const pickUp of hang.pickUps) {
    const place = build.pickUps.find(({ pickUpId }) => pickUpId === pickUp.id);
    if (place === undefined) continue;
    const stiffnessNPerM = lineStiffnessNPerM(plan, pickUp, anchors);
    hoists.push({ id: pickUp.id, atM: place.atM, levelM: place.levelMm / 1000, stiffnessNPerM });
  }
  return hoists;
}

/** Each contingency counts just where it relieves this one: beyond the other hoist. */
function atLeast(statedN: number, hoists: readonly PlacedHoist[], weights: TrussWeights, lengthM: number, id: string): HookLoad['atLeast'] {
  const lessN = determinateContingencyN(hoists, weights, id, -1) ?? statedN;
  const barestN = determinateBarestN(hoists, weights, lengthM, id) ?? 0;
  return {
    statedKg: statedN / STANDARD_GRAVITY,
    leastKg: Math.max(0, statedN - lessN) / STANDARD_GRAVITY,
    barestKg: Math.max(0, barestN) / STANDARD_GRAVITY,
  };
}

/** The truss itself, and of what hangs on it whatever relieves this hoist: beyond the other one [N]; null on another number of hoists. */
function determinateBarestN(hoists: readonly PlacedHoist[], weights: TrussWeights, lengthM: number, id: string): number | null {
  const shareAt = shareOf(hoists, id);
  if (shareAt === null) return null;
  const relieves = (fromM: number, toM: number) => meanPositive(0 - shareAt(fromM), 0 - shareAt(toM));
  const [known, reckoned] = [weights.loads('known'), weights.loads('reckoned')];
  const selfN = known.selfNPerM * lengthM * ((shareAt(0) + shareAt(lengthM)) / 2);
  const moreSelfN = (reckoned.selfNPerM - known.selfNPerM) * lengthM * relieves(0, lengthM);
  const points = reckoned.pointLoads.reduce((sum, { atM, forceN }) => sum + forceN * relieves(atM, atM), 0);
  const spread = reckoned.spreadLoads.reduce(
    (sum, { fromM, toM, forceNPerM }) => sum + forceNPerM * (toM - fromM) * relieves(fromM, toM),
    0,
  );
  return selfN - moreSelfN - points - spread;
}

/** On two hoists: how much of a load at a place this one carries, as levers have it. */
function shareOf(hoists: readonly PlacedHoist[], id: string): ((atM: number) => number) | null {
  const own = hoists.find((hoist) => hoist.id === id);
  const other = hoists.find((hoist) => hoist.id !== id);
  if (own === undefined || other === undefined || hoists.length !== 2) return null;
  return (atM) => (atM - other.atM) / (own.atM - other.atM);
}

/**
 * On two hoists the split is a matter of levers alone, and each contingency counts just where it loads this one.
 * @param sign  -1 for what they take off it
 * @returns force [N], not negative; null on another number of hoists
 */
function determinateContingencyN(hoists: readonly PlacedHoist[], { contingencies }: TrussWeights, id: string, sign: 1 | -1): number | null {
  const shareAt = shareOf(hoists, id);
  if (shareAt === null) return null;
  return contingencies.reduce((sum, { forceN, fromM, toM }) => sum + forceN * meanPositive(sign * shareAt(fromM), sign * shareAt(toM)), 0);
}

/** Mean of the positive part of a straight line from one value to another. */
function meanPositive(from: number, to: number): number {
  if (from >= 0 && to >= 0) return (from + to) / 2;
  if (from <= 0 && to <= 0) return 0;
  const [high, low] = from > to ? [from, to] : [to, from];
  return (high * high) / (2 * (high - low));
}

/** By the ids of the pick-ups: the answers call a hoist by its number. */
function lostOf(answers: readonly SolvedTruss[], hoists: readonly { readonly id: string }[]): LostInTruss[] {
  const idOf = (hoist: string): string => hoists[Number(hoist)]?.id ?? hoist;
  const cases: LostInTruss[] = [];
  for (const { lost } of answers) {
    for (const { lost: hoist, tips, reactions } of lost)
      cases.push({ lost: idOf(hoist), tips, reactions: reactions?.map(({ id, forceN }) => ({ id: idOf(id), forceN })) ?? null });
  }
  return cases;
}

type LostInTruss = {
  readonly lost: string;
  readonly tips: boolean;
  readonly reactions: readonly { readonly id: string; readonly forceN: number }[] | null;
};

function reckoningsOf(own: number, answers: readonly SolvedTruss[], restingKg: number, { levelRestM }: HookRules): Reckoned[] {
  const levelN = answers.reduce((most, { resting }) => Math.max(most, resting.reactions[own]?.forceN ?? 0), 0);
  return [
    {
      formula: 'largest reaction over the level tolerance, contingency where it loads this hoist',
      numbers: { levelKg: levelN / STANDARD_GRAVITY, levelRestM },
      unit: 'kg',
      source: 'beam on tension-only supports',
      result: restingKg,
    },
  ];
}
