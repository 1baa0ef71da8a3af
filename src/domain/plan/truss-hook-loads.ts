import { STANDARD_GRAVITY } from '../foundation/units.ts';
import { missingMasses } from '../statics/hoist-line-take-off.ts';
import type { SolvedTruss, TrussCase, TrussError, TrussHang as StaticsHang, TrussHoist } from '../statics/truss.ts';
import { solveTruss } from '../statics/truss.ts';
import { stagedTruss } from '../statics/truss-stages.ts';
import type { Result } from '../foundation/result.ts';
import type { HookLoad, HookLoads, HookRules, Reckoned } from './hook-load.ts';
import { notHeld } from './hook-load.ts';
import { lineStiffnessNPerM, movingFactorOf } from './hoist-stiffness.ts';
import type { Missing } from './missing.ts';
import type { Hang, Plan, TrussBuild } from './plan.ts';
import type { Anchors } from './pull.ts';
import { balanceFindings, offCentreFindings } from './truss-balance.ts';
import type { TrussBuildLoads } from './truss-build.ts';
import { buildReckoning, trussBuild } from './truss-build.ts';
import { missingOfHang, nodeFinding, notKnown, tipFindings } from './truss-findings.ts';
import { TrussStrength } from './truss-strength.ts';
import type { TrussWeights } from './truss-weights.ts';
import { trussWeights } from './truss-weights.ts';

type TrussHang = Extract<Hang, { kind: 'truss' }>;

/** A straight truss on its hoists: level envelope, each hoist lost in turn, and the strength of the truss itself. */
export function trussHookLoads(plan: Plan, hang: TrussHang, rules: HookRules, anchors: Anchors): HookLoads {
  const { build } = hang;
  if (build === null) return notKnown(hang, [], [{ code: 'build-not-stated', of: 'truss' }]);
  const weights = trussWeights('truss', build.lengthM, build.section.selfKgPerM, build, rules.contingency);
  const missing: Missing[] = [...missingMasses(weights.rows), ...missingOfHang(hang, build.pickUps)];
  const hoists = trussHoists(plan, hang, build, anchors);
  if (hoists.length < hang.pickUps.length || hoists.length === 0) return notKnown(hang, weights.rows, missing);
  const factor = movingFactorOf(plan, hang, rules.dynamic);
  const strength = new TrussStrength(build.section, factor.factor);
  const see = (one: TrussCase) => strength.see(one.case, one.beam);
  const found = solved(build, weights, hoists, 'reckoned', rules, see);
  // What weighs less may load another hoist more: the known masses alone are the other end of what can hang.
  const lighter = solved(build, weights, hoists, 'known', rules, see);
  missing.push(...found.missing);
  if (!found.answer.ok || !lighter.answer.ok) {
    const error = found.answer.ok ? (lighter.answer.ok ? null : lighter.answer.error) : found.answer.error;
    const findings = [notHeld('truss', 'solved', { code: error?.code ?? 'not-solved', of: 'truss' }, missing)];
    return { ...notKnown(hang, weights.rows, [...missing, { code: 'truss-not-solved', of: 'truss' }]), findings };
  }
  const answers = [found.answer.value, lighter.answer.value];
  const stages = stagesOf(hang, build, weights, hoists, rules, strength);
  missing.push(...stages.missing);
  const hooks = hoists.map(({ id }): HookLoad => {
    const more = determinateContingencyN(hoists, weights, id);
    const mostN = (which: 'restEnvelope' | 'movingEnvelope') =>
      more !== null
        ? more + answerOf(lighter.answer, id, which)
        : answers.reduce((most, answer) => Math.max(most, answer[which].hoists.find((range) => range.id === id)?.mostN ?? 0), 0);
    const [restingN, movingN] = [mostN('restEnvelope'), mostN('movingEnvelope')];
    const [restingKg, own] = [restingN / STANDARD_GRAVITY, hoists.findIndex((hoist) => hoist.id === id)];
    const buildN = Math.max(restingN, stages.restingN[own] ?? 0);
    return {
      pickUpId: id,
      restingKg,
      buildKg: buildN / STANDARD_GRAVITY,
      movingKg: Math.max(buildN, movingN, stages.movingN[own] ?? 0) / STANDARD_GRAVITY,
      slackKg: slackKg(answers, id),
      missing,
      reckonings: [...reckoningsOf(id, answers, restingKg, rules), ...buildReckoning(restingN, buildN)],
    };
  });
  const findings = [
    ...strength.findings([...missing, ...factor.missing]),
    ...nodeFinding('nodes', build.section, staticsHang(build, weights, hoists, 'reckoned', 1)),
    ...balanceFindings(build, weights),
    ...offCentreFindings(build, build.torsionBasis, 'torsion'),
    ...tipFindings(answers.flatMap(({ lost }) => lost)),
    ...stages.findings,
  ];
  const places = hoists.map(({ id, atM }) => ({ pickUpId: id, xM: atM, yM: 0 }));
  const cautions = [...new Set([...answers, stages].flatMap((one) => one.cautions))];
  return { hooks, takeOff: weights.rows, missing, findings, places, cautions };
}

/** In every stage the truss hangs, with what its own weight may be more or not; a load is there, with its contingency, or it is not. */
function stagesOf(
  hang: Hang,
  build: TrussBuild,
  weights: TrussWeights,
  hoists: readonly TrussHoist[],
  rules: HookRules,
  strength: TrussStrength,
): TrussBuildLoads {
  const isStiff = hoists.length < 3 || (build.section.eiKnm2 ?? 0) > 0;
  const whole = staticsHang(build, weights, hoists, 'reckoned', isStiff ? null : 1);
  const { selfNPerM } = weights.loads('known');
  const staged = stagedTruss({ ...whole, selfNPerM }, whole.selfNPerM - selfNPerM);
  if (!staged.ok) {
    const why = { code: 'stage-not-solved', of: 'truss' };
    return { restingN: [], movingN: [], missing: [why], findings: [], cautions: [] };
  }
  return trussBuild(hang, [staged.value], isStiff ? rules : { ...rules, levelRestM: 0, levelMovingM: 0 }, strength);
}

function trussHoists(plan: Plan, hang: Hang, build: TrussBuild, anchors: Anchors): TrussHoist[] {
  return hang.pickUps.flatMap((pickUp) => {
    const place = build.pickUps.find(({ pickUpId }) => pickUpId === pickUp.id);
    if (place === undefined) return [];
    return [{ id: pickUp.id, atM: place.atM, levelM: place.levelMm / 1000, stiffnessNPerM: lineStiffnessNPerM(plan, pickUp, anchors) }];
  });
}

type Solved = { readonly answer: Result<SolvedTruss, TrussError>; readonly missing: readonly Missing[] };

/** Three or more hoists share by stiffness. Where none is stated any does for a level hang, and the shares are told as not known. */
function solved(
  build: TrussBuild,
  weights: TrussWeights,
  hoists: readonly TrussHoist[],
  how: 'known' | 'reckoned',
  rules: HookRules,
  see: (one: TrussCase) => void,
): Solved {
  const tolerances = { restM: rules.levelRestM, movingM: rules.levelMovingM };
  const answer = solveTruss(staticsHang(build, weights, hoists, how, null), tolerances, see);
  if (answer.ok || answer.error.code !== 'stiffness-needed') return { answer, missing: [] };
  return {
    answer: solveTruss(staticsHang(build, weights, hoists, how, 1), { restM: 0, movingM: 0 }, see),
    missing: [{ code: 'truss-stiffness-not-stated', of: 'truss' }],
  };
}

/** @param otherwiseNm2  stands for a bending stiffness that is not stated; levels and stretch are then left out */
function staticsHang(
  build: TrussBuild,
  weights: TrussWeights,
  hoists: readonly TrussHoist[],
  how: 'known' | 'reckoned',
  otherwiseNm2: number | null,
): StaticsHang {
  const { eiKnm2, gaKn } = build.section;
  const known = eiKnm2 !== null && eiKnm2 > 0;
  return {
    lengthM: build.lengthM,
    ...weights.loads(how),
    eiNm2: known ? eiKnm2 * 1000 : otherwiseNm2,
    gaN: gaKn === null || gaKn === 0 ? null : gaKn * 1000,
    hoists: known || otherwiseNm2 === null ? hoists : hoists.map(({ id, atM }) => ({ id, atM, levelM: 0, stiffnessNPerM: null })),
  };
}

/**
 * On two hoists the split is a matter of levers alone, and each contingency counts just where it loads this one.
 * @returns force [N]; null on another number of hoists
 */
function determinateContingencyN(hoists: readonly TrussHoist[], { contingencies }: TrussWeights, id: string): number | null {
  const own = hoists.find((hoist) => hoist.id === id);
  const other = hoists.find((hoist) => hoist.id !== id);
  if (own === undefined || other === undefined || hoists.length !== 2) return null;
  const shareAt = (atM: number) => (atM - other.atM) / (own.atM - other.atM);
  return contingencies.reduce((sum, { forceN, fromM, toM }) => sum + forceN * meanPositive(shareAt(fromM), shareAt(toM)), 0);
}

/** Mean of the positive part of a straight line from one value to another. */
function meanPositive(from: number, to: number): number {
  if (from >= 0 && to >= 0) return (from + to) / 2;
  if (from <= 0 && to <= 0) return 0;
  const [high, low] = from > to ? [from, to] : [to, from];
  return (high * high) / (2 * (high - low));
}

function answerOf(answer: Result<SolvedTruss, TrussError>, id: string, which: 'restEnvelope' | 'movingEnvelope'): number {
  return answer.ok ? (answer.value[which].hoists.find((range) => range.id === id)?.mostN ?? 0) : 0;
}

function slackKg(answers: readonly SolvedTruss[], id: string): number | null {
  const loads = answers.flatMap(({ lost }) => lost.flatMap(({ reactions }) => (reactions ?? []).filter((reaction) => reaction.id === id)));
  return loads.length === 0 ? null : loads.reduce((most, { forceN }) => Math.max(most, forceN), 0) / STANDARD_GRAVITY;
}

function reckoningsOf(id: string, answers: readonly SolvedTruss[], restingKg: number, { levelRestM }: HookRules): Reckoned[] {
  const levelN = answers.reduce(
    (most, { resting }) => Math.max(most, resting.reactions.find((reaction) => reaction.id === id)?.forceN ?? 0),
    0,
  );
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
