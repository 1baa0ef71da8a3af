import type { Result } from '../foundation/result.ts';
import { fail, ok } from '../foundation/result.ts';
import type { LevelEnvelope, LevelError } from './level-envelope.ts';
import { levelEnvelope } from './level-envelope.ts';
import type { LevelTolerances } from './truss.ts';
import type { FrameCase, FrameReaction, FrameSolveError } from './truss-frame-case.ts';
import { frameSolver } from './truss-frame-case.ts';
import type { GrillageAssumption } from './truss-frame-grillage.ts';
import type { LaidTrussFrame, TrussFrameHang, TrussFrameInputError } from './truss-frame-layout.ts';
import { layOutTrussFrame } from './truss-frame-layout.ts';

export type { FrameCase, FrameReaction, FrameSide } from './truss-frame-case.ts';
export type { TrussFrameHang, TrussFrameHoist } from './truss-frame-layout.ts';

export type TrussFrameError = TrussFrameInputError | FrameSolveError | LevelError;
/** A case with the frame as it then hangs, for the checks of its sides. */
export type TrussFrameCase = {
  readonly case: 'resting' | 'moving' | 'diagonal' | 'slack';
  readonly lostHoist: string | null;
  readonly frame: FrameCase;
};
export type LostFrameHoist =
  | { readonly lost: string; readonly tips: false; readonly reactions: readonly FrameReaction[] }
  | { readonly lost: string; readonly tips: true; readonly reactions: null };
/** The load as far on one diagonal as equilibrium lets it go, which no level error can exceed. */
export type Diagonal = { readonly carriedBy: readonly [string, string]; readonly reactions: readonly FrameReaction[] };

export type SolvedTrussFrame = {
  /** As entered, once for each assumption about what is not known. */
  readonly resting: readonly FrameCase[];
  /** Over all assumptions. */
  readonly restEnvelope: LevelEnvelope;
  readonly movingEnvelope: LevelEnvelope;
  /** Each hoist lost in turn: the most that each other one carries over all assumptions. Empty on three hoists, which cannot lose one. */
  readonly lost: readonly LostFrameHoist[];
  /** Four hoists at the corners of a quadrilateral; empty otherwise. */
  readonly diagonals: readonly Diagonal[];
  readonly cautions: readonly string[];
};

/** Stands for a torsional stiffness without end: ten thousand times the bending stiffness, past which no reaction changes noticeably. */
const RIGID_GJ_PER_EI = 1e4;

/**
 * A truss frame on three or more hoists as a grillage, with contact. Where torsional stiffness or corners are not known it is solved
 * without them and with them rigid, and everything told is the envelope of both. The dynamic factor is not in these numbers.
 * @param visit  sees every case of every assumption, with moments, shears and torsion of each side
 * @returns reactions, or `unstable` (fewer than three hoists, hoists in one line, centre of gravity outside them, or hinged corners that
 *   leave it free), `stiffness-needed` (no EI; or it only holds if the corners or torsion that are not stated do), `corner-straight`,
 *   `ill-conditioned`, or what is wrong with the input
 * @source displacement method for grillages; contact by the dual active-set method; two diagonals from equilibrium alone
 */
export function solveTrussFrame(
  hang: TrussFrameHang,
  tolerances: LevelTolerances,
  visit?: (one: TrussFrameCase) => void,
): Result<SolvedTrussFrame, TrussFrameError> {
  const laid = layOutTrussFrame(hang);
  if (!laid.ok) return laid;
  const layout = laid.value;
  const assumptions = assumptionsFor(hang, layout.eiNm2);
  const parts: { resting: FrameCase; rest: LevelEnvelope; moving: LevelEnvelope }[] = [];
  // From the stiffest, so that what hangs at all is known before what hangs only by what nobody has stated.
  for (const assumption of assumptions) {
    const solver = frameSolver(layout, assumption);
    const resting = solver.withLevels(layout.levelsM);
    if (!resting.ok) {
      const onlyIfStiff = assumption.name === 'soft' && resting.error.code === 'unstable';
      return onlyIfStiff ? fail({ code: 'stiffness-needed', what: hang.cornerJoint === null ? 'corners' : 'gj' }) : resting;
    }
    const levelled = solver.levelled(resting.value);
    if (!levelled.ok) return levelled;
    const rest = levelEnvelope(levelled.value, tolerances.restM, (frame) => visit?.({ case: 'resting', lostHoist: null, frame }));
    if (!rest.ok) return rest;
    const moving = levelEnvelope(levelled.value, tolerances.movingM, (frame) => visit?.({ case: 'moving', lostHoist: null, frame }));
    if (!moving.ok) return moving;
    parts.push({ resting: resting.value, rest: rest.value, moving: moving.value });
  }
  const stiffest = parts[0];
  if (stiffest === undefined) throw new RangeError('a truss frame is solved under one assumption at least');
  const lost = hang.hoists.length > 3 ? lostHoists(hang, assumptions, visit) : ok([]);
  if (!lost.ok) return lost;
  const diagonals = diagonalsOf(layout, stiffest.resting.reactions);
  if (visit !== undefined) for (const diagonal of diagonals) visitDiagonal(hang, assumptions, diagonal, visit);
  const restEnvelope = joined(parts.map(({ rest }) => rest));
  const movingEnvelope = joined(parts.map(({ moving }) => moving));
  return ok({
    resting: parts.map(({ resting }) => resting),
    restEnvelope,
    movingEnvelope,
    lost: lost.value,
    diagonals,
    cautions: cautionsOf(hang, assumptions, [...restEnvelope.cautions, ...movingEnvelope.cautions]),
  });
}

/** From the stiffest. */
export function assumptionsFor({ cornerJoint, gjNm2 }: TrussFrameHang, eiNm2: number): GrillageAssumption[] {
  if (cornerJoint === 'hinged') return [{ name: 'as-stated', cornerJoint, gjNm2: 0 }]; // nothing twists a side between hinges
  if (cornerJoint === 'stiff' && gjNm2 !== null) return [{ name: 'as-stated', cornerJoint, gjNm2 }];
  return [
    { name: 'rigid', cornerJoint: 'stiff', gjNm2: gjNm2 ?? RIGID_GJ_PER_EI * eiNm2 },
    // Without torsional stiffness a stiff corner has nothing to pass bending on to: that is a hinge.
    { name: 'soft', cornerJoint: 'hinged', gjNm2: 0 },
  ];
}

function lostHoists(
  hang: TrussFrameHang,
  assumptions: readonly GrillageAssumption[],
  visit?: (one: TrussFrameCase) => void,
): Result<LostFrameHoist[], TrussFrameError> {
  const all: LostFrameHoist[] = [];
  for (const [index, { id }] of hang.hoists.entries()) {
    const laid = layOutTrussFrame({ ...hang, hoists: hang.hoists.filter((_, other) => other !== index) });
    if (!laid.ok) return laid;
    const cases: FrameCase[] = [];
    let tips = false;
    for (const assumption of assumptions) {
      const left = frameSolver(laid.value, assumption).withLevels(laid.value.levelsM);
      if (left.ok) cases.push(left.value);
      else if (left.error.code === 'unstable') tips = true;
      else return left;
    }
    for (const frame of cases) visit?.({ case: 'slack', lostHoist: id, frame });
    const reactions = (cases[0]?.reactions ?? []).map((first, hoist) => {
      const forceN = cases.reduce((most, { reactions }) => Math.max(most, reactions[hoist]?.forceN ?? 0), 0);
      return { ...first, forceN, slack: cases.every((one) => one.reactions[hoist]?.slack) };
    });
    all.push(tips ? { lost: id, tips, reactions: null } : { lost: id, tips, reactions });
  }
  return ok(all);
}

/**
 * Four hoists are redundant by one: adding the same self-balanced set of forces in any amount keeps equilibrium. It raises one diagonal
 * and lowers the other; it ends where one of the lowered hoists carries nothing.
 * @source equilibrium of four parallel forces; each force of the set is as the area of the triangle of the other three
 */
function diagonalsOf({ hoists }: LaidTrussFrame, resting: readonly FrameReaction[]): Diagonal[] {
  const [a, b, c, d] = hoists;
  if (hoists.length !== 4 || a === undefined || b === undefined || c === undefined || d === undefined) return [];
  type Place = { xM: number; yM: number };
  const area = (p: Place, q: Place, r: Place) => (q.xM - p.xM) * (r.yM - p.yM) - (q.yM - p.yM) * (r.xM - p.xM);
  const balanced = [area(b, c, d), -area(a, c, d), area(a, b, d), -area(a, b, c)];
  const largest = balanced.reduce((most, one) => Math.max(most, Math.abs(one)), 0);
  const raised = balanced.filter((one) => one > 1e-9 * largest).length;
  const lowered = balanced.filter((one) => one < -1e-9 * largest).length;
  // Three in a line, or one inside the triangle of the others: no two diagonals.
  if (raised !== 2 || lowered !== 2) return [];
  return [1, -1].map((sense) => {
    const rates = balanced.map((one) => sense * one);
    const most = rates.reduce(
      (least, rate, hoist) => (rate < 0 ? Math.min(least, (resting[hoist]?.forceN ?? 0) / -rate) : least),
      Infinity,
    );
    const carriers = hoists.filter((_, hoist) => (rates[hoist] ?? 0) > 0).map(({ id }) => id);
    const reactions = resting.map(({ id, forceN }, hoist) => {
      const thenN = Math.max(0, forceN + most * (rates[hoist] ?? 0));
      const slack = thenN < 1e-9 * (forceN + most * Math.abs(rates[hoist] ?? 0));
      return { id, forceN: slack ? 0 : thenN, slack };
    });
    return { carriedBy: [carriers[0] ?? '', carriers[1] ?? ''], reactions };
  });
}

/** A diagonal carries all it can when one hoist beside it hangs slack: then the other three hold the frame. */
function visitDiagonal(
  hang: TrussFrameHang,
  assumptions: readonly GrillageAssumption[],
  { reactions }: Diagonal,
  visit: (one: TrussFrameCase) => void,
): void {
  const slack = reactions.findIndex((reaction) => reaction.slack);
  const [stiffest] = assumptions;
  const laid = layOutTrussFrame({ ...hang, hoists: hang.hoists.filter((_, hoist) => hoist !== slack) });
  if (slack === -1 || stiffest === undefined || !laid.ok) return;
  const held = frameSolver(laid.value, stiffest).withLevels(laid.value.levelsM);
  // Between hinges three may not be enough: then no diagonal can carry more than the frame's own shares.
  if (held.ok) visit({ case: 'diagonal', lostHoist: reactions[slack]?.id ?? null, frame: held.value });
}

function joined(envelopes: readonly LevelEnvelope[]): LevelEnvelope {
  const [first, ...others] = envelopes;
  if (first === undefined) throw new RangeError('no envelope to join');
  return {
    ...first,
    cases: envelopes.reduce((sum, { cases }) => sum + cases, 0),
    hoists: first.hoists.map((range, hoist) =>
      others.reduce((sofar, { hoists }) => {
        const other = hoists[hoist];
        if (other === undefined) return sofar;
        return {
          id: sofar.id,
          leastN: Math.min(sofar.leastN, other.leastN),
          mostN: Math.max(sofar.mostN, other.mostN),
          mostIn: other.mostN > sofar.mostN ? other.mostIn : sofar.mostIn,
          slackIn: sofar.slackIn + other.slackIn,
        };
      }, range),
    ),
  };
}

function cautionsOf(hang: TrussFrameHang, assumptions: readonly GrillageAssumption[], fromEnvelopes: readonly string[]): string[] {
  const cautions = [...new Set(fromEnvelopes)];
  if (assumptions.length > 1) {
    const missing = hang.cornerJoint === null ? 'Whether the corners are stiff' : 'The torsional stiffness';
    cautions.push(`${missing} is not stated: solved without and with it rigid, the worse of both is told.`);
  }
  if (hang.hoists.some(({ stiffnessNPerM }) => stiffnessNPerM === null || stiffnessNPerM === undefined)) {
    cautions.push('Three or more hoists, and some lines or anchors without a stiffness are taken as rigid: the shares depend on it.');
  }
  return cautions;
}
