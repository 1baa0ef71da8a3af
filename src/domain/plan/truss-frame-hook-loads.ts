import { planDistanceM } from '../foundation/polygon.ts';
import { STANDARD_GRAVITY } from '../foundation/units.ts';
import { missingMasses } from '../statics/hoist-line-take-off.ts';
import type { SolvedTrussFrame, TrussFrameHang as StaticsHang, TrussFrameHoist } from '../statics/truss-frame.ts';
import { solveTrussFrame } from '../statics/truss-frame.ts';
import { stagedTrussFrames } from '../statics/truss-frame-stages.ts';
import type { StageSide } from '../statics/staged-hang.ts';
import { lineStiffnessNPerM, movingFactorOf } from './hoist-stiffness.ts';
import type { HangFinding, HookLoad, HookLoads, HookPlace, HookRules } from './hook-load.ts';
import { BLANK_FINDING, notHeld } from './hook-load.ts';
import type { Missing } from './missing.ts';
import type { Hang, Plan, TrussFrameBuild } from './plan.ts';
import type { Anchors } from './pull.ts';
import { offCentre } from './truss-balance.ts';
import type { TrussBuildLoads } from './truss-build.ts';
import { buildReckoning, trussBuild } from './truss-build.ts';
import { missingOfHang, nodeFinding, notKnown, tipFindings } from './truss-findings.ts';
import { spanOfFrame } from './truss-span.ts';
import { TrussStrength } from './truss-strength.ts';
import type { TrussWeights } from './truss-weights.ts';
import { trussWeights } from './truss-weights.ts';
import { whenLost } from './when-lost.ts';

type TrussFrameHang = Extract<Hang, { kind: 'trussFrame' }>;

/**
 * A truss frame on three or more hoists. Where torsional stiffness or corners are not stated the envelope of both ends is taken. Four
 * hoists: the two diagonals carrying everything belong to the slack cases.
 */
export function trussFrameHookLoads(plan: Plan, hang: TrussFrameHang, rules: HookRules, anchors: Anchors): HookLoads {
  const { build } = hang;
  if (build === null) return notKnown(hang, [], [{ code: 'build-not-stated', of: 'truss' }]);
  const sides = sidesOf(build, rules);
  const rows = sides.flatMap((side) => side.rows);
  const missing: Missing[] = [...missingMasses(rows), ...missingOfHang(hang, build.pickUps)];
  // A load beside the centre line loads the hoists on its side more, which a frame of lines does not show.
  if (build.sides.some((side) => offCentre(side).off)) missing.push({ code: 'load-beside-centre-line', of: 'truss' });
  if (build.sides.some((side) => offCentre(side).notStated)) missing.push({ code: 'load-beside-not-stated', of: 'truss' });
  const { eiKnm2 } = build.section;
  if (eiKnm2 === null || eiKnm2 === 0) missing.push({ code: 'truss-stiffness-not-stated', of: 'truss' });
  const hoists = frameHoists(plan, hang, build, anchors);
  if (hoists.length < hang.pickUps.length || hoists.length === 0 || eiKnm2 === null || eiKnm2 === 0) return notKnown(hang, rows, missing);
  const factor = movingFactorOf(plan, hang, rules.dynamic);
  const strength = new TrussStrength(build.section, factor.factor);
  let torsionNm = 0;
  const answers: SolvedTrussFrame[] = [];
  for (const how of ['reckoned', 'known'] as const) {
    const found = solveTrussFrame(
      staticsHang(build, sides, hoists, how, eiKnm2),
      { restM: rules.levelRestM, movingM: rules.levelMovingM },
      (one) => {
        for (const side of one.frame.sides) {
          strength.see(one.case, side);
          torsionNm = Math.max(torsionNm, Math.abs(side.torsionNm));
        }
      },
    );
    if (!found.ok) {
      const findings = [notHeld('truss', 'solved', { code: found.error.code, of: 'truss' }, missing)];
      return { ...notKnown(hang, rows, [...missing, { code: 'truss-not-solved', of: 'truss' }]), findings };
    }
    answers.push(found.value);
  }
  const stages = stagesOf(hang, staticsHang(build, sides, hoists, 'reckoned', eiKnm2), sides, rules, strength, (lines) => {
    for (const line of lines) torsionNm = Math.max(torsionNm, Math.abs(line.torsionNm));
  });
  missing.push(...stages.missing);
  const hooks = hoists.map(({ id }, own): HookLoad => {
    const mostN = (which: 'restEnvelope' | 'movingEnvelope') =>
      answers.reduce((most, answer) => Math.max(most, answer[which].hoists.find((range) => range.id === id)?.mostN ?? 0), 0);
    const [restingN, movingN] = [mostN('restEnvelope'), mostN('movingEnvelope')];
    const restingKg = restingN / STANDARD_GRAVITY;
    const buildN = Math.max(restingN, stages.restingN[own] ?? 0);
    const reckoning = {
      formula: 'largest reaction over the level tolerance and over what is not stated of torsion and corners',
      numbers: { levelRestM: rules.levelRestM },
      unit: 'kg',
      source: 'grillage on tension-only supports',
      result: restingKg,
    };
    return {
      pickUpId: id,
      restingKg,
      buildKg: buildN / STANDARD_GRAVITY,
      movingKg: Math.max(buildN, movingN, stages.movingN[own] ?? 0) / STANDARD_GRAVITY,
      ...whenLost(answers.flatMap(lostOf), id),
      missing,
      reckonings: [reckoning, ...buildReckoning(restingN, buildN, stages.cautions.length > 0)],
    };
  });
  const findings = [
    ...strength.findings(spanOfFrame(build.section), [...missing, ...factor.missing]),
    ...torsionFindings(torsionNm, build.torsionBasis ?? null),
    ...nodeFindings(build, staticsHang(build, sides, hoists, 'reckoned', eiKnm2)),
    ...tipFindings(answers.flatMap(({ lost }) => lost)),
    ...stages.findings,
  ];
  return {
    hooks,
    takeOff: rows,
    missing,
    findings,
    places: hoists.flatMap((hoist) => placeOf(build, hoist)),
    cautions: [...new Set([...answers, stages].flatMap(({ cautions }) => cautions))],
  };
}

/** Its own weight always hangs, with what it may be more or not; a load is there, with its contingency, or it is not. */
function stagesOf(
  hang: Hang,
  whole: StaticsHang,
  sides: readonly TrussWeights[],
  rules: HookRules,
  strength: TrussStrength,
  seeTorsion: (lines: readonly StageSide[]) => void,
): TrussBuildLoads {
  // Every side has the same section, so the same self weight.
  const selfNPerM = sides[0]?.loads('known').selfNPerM ?? 0;
  const staged = stagedTrussFrames({ ...whole, selfNPerM }, whole.selfNPerM - selfNPerM);
  const built = { ids: hang.pickUps.map(({ id }) => id), isDead: hang.pickUps.every(({ hoist }) => hoist === null) };
  if (staged.ok) return trussBuild(built, staged.value, rules, strength, seeTorsion);
  return { restingN: [], movingN: [], missing: [{ code: 'stage-not-solved', of: 'truss' }], findings: [], cautions: [] };
}

const sidesOf = ({ corners, sides, section }: TrussFrameBuild, { contingency }: HookRules): TrussWeights[] =>
  sides.map((side, index) => {
    const [from, to] = [corners[index], corners[(index + 1) % corners.length]];
    const lengthM = from === undefined || to === undefined ? 0 : planDistanceM(from, to);
    return trussWeights(`side ${index}`, lengthM, section, side, contingency);
  });

function frameHoists(plan: Plan, hang: Hang, build: TrussFrameBuild, anchors: Anchors): TrussFrameHoist[] {
  return hang.pickUps.flatMap((pickUp) => {
    const place = build.pickUps.find(({ pickUpId }) => pickUpId === pickUp.id);
    if (place === undefined) return [];
    return [
      {
        id: pickUp.id,
        side: place.side,
        atM: place.atM,
        levelM: place.levelMm / 1000,
        stiffnessNPerM: lineStiffnessNPerM(plan, pickUp, anchors),
      },
    ];
  });
}

function staticsHang(
  build: TrussFrameBuild,
  sides: readonly TrussWeights[],
  hoists: readonly TrussFrameHoist[],
  how: 'known' | 'reckoned',
  eiKnm2: number,
): StaticsHang {
  const { gaKn, gjKnm2 } = build.section;
  const forces = sides.map((side) => side.loads(how));
  return {
    corners: build.corners,
    closed: build.closed,
    // Every side has the same section, so the same self weight.
    selfNPerM: forces[0]?.selfNPerM ?? 0,
    eiNm2: eiKnm2 * 1000,
    gaN: gaKn === null || gaKn === 0 ? null : gaKn * 1000,
    gjNm2: gjKnm2 === null ? null : gjKnm2 * 1000,
    cornerJoint: build.cornersStiff === null ? null : build.cornersStiff ? 'stiff' : 'hinged',
    sides: forces.map(({ pointLoads, spreadLoads }) => ({ pointLoads, spreadLoads })),
    hoists,
  };
}

function placeOf({ corners }: TrussFrameBuild, { id, side, atM }: TrussFrameHoist): HookPlace[] {
  const [from, to] = [corners[side], corners[(side + 1) % corners.length]];
  if (from === undefined || to === undefined) return [];
  const share = atM / planDistanceM(from, to);
  return [{ pickUpId: id, xM: from.xM + share * (to.xM - from.xM), yM: from.yM + share * (to.yM - from.yM) }];
}

const lostOf = ({ lost, diagonals }: SolvedTrussFrame) => [
  ...lost,
  ...diagonals.map(({ reactions }, index) => ({ lost: `diagonal ${index}`, reactions })),
];

/** Less than this is no torsion but rounding. */
const LEAST_TORSION_NM = 1e-3;

/** A truss states no allowable torsion: what there is, is told, and a document has to cover it. */
function torsionFindings(torsionNm: number, torsionBasis: string | null): HangFinding[] {
  if (torsionNm < LEAST_TORSION_NM) return [];
  const reckonings = [{ formula: 'largest torsion of any side', numbers: {}, unit: 'kNm', source: 'grillage', result: torsionNm / 1000 }];
  const about = { ...BLANK_FINDING, kind: 'truss', subject: 'torsion', reckonings } as const;
  if (torsionBasis !== null) return [{ ...about, state: 'told' }];
  return [{ ...about, state: 'unknown', why: [{ code: 'torsion-not-covered', of: 'truss' }] }];
}

/** Nodes are counted from each corner. */
function nodeFindings(build: TrussFrameBuild, { sides, hoists }: StaticsHang): HangFinding[] {
  return sides.flatMap(({ pointLoads }, side) => {
    const own = hoists.filter((hoist) => hoist.side === side);
    return nodeFinding(`nodes:${side}`, build.section, { hoists: own, pointLoads });
  });
}
