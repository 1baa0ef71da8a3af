import type { Result } from '../foundation/result.ts';
import { fail, ok } from '../foundation/result.ts';
import type { SymmetricBand } from './banded.ts';
import { addToBand, bandTimes, clearFromBand, factorBand, solveBand, zeros } from './banded.ts';
import type { ForceLine } from './beam-extremes.ts';
import type { ContactAnswer, SuspendedStructure } from './contact.ts';
import { findTautSupports } from './contact.ts';
import type { HangInContact, HangInfluence } from './influence-contact.ts';
import { influenceContact } from './influence-contact.ts';
import type { LevelledHang } from './level-envelope.ts';
import type { Grillage, GrillageAssumption } from './truss-frame-grillage.ts';
import { buildGrillage } from './truss-frame-grillage.ts';
import type { LaidTrussFrame } from './truss-frame-layout.ts';
import { freeModes, holdsModes } from './truss-frame-modes.ts';

export type FrameReaction = { readonly id: string; readonly forceN: number; readonly slack: boolean };
/** One side with its moments (sagging positive) and shears along it, and its torsion, even from corner to corner. */
export type FrameSide = ForceLine & { readonly torsionNm: number };
export type FrameCase = {
  readonly assumption: GrillageAssumption['name'];
  readonly reactions: readonly FrameReaction[];
  readonly sides: readonly FrameSide[];
  /** What forces and moments miss balance by, relative to the loads. */
  readonly residual: number;
};
export type FrameSolveError =
  { code: 'unstable'; slack: readonly string[] } | { code: 'ill-conditioned'; what: string; relativeResidual: number };

type FrameAnswer = ContactAnswer & { readonly moved: readonly number[] };

const SLACK_SHARE = 1e-9;
const LARGEST_RESIDUAL = 1e-9;
/** A pivot smaller than this against its diagonal leaves too few digits. */
const SMALLEST_PIVOT = 1e-11;

/** Solves one laid-out truss frame under one assumption, for any levels and any hoists lost. */
export function frameSolver(layout: LaidTrussFrame, assumption: GrillageAssumption) {
  const grillage = buildGrillage(layout, assumption);
  const structure = suspendedFrame(layout, grillage, freeModes(layout, assumption.cornerJoint));
  const known: (readonly boolean[])[] = [];
  const withLevels = (levelsM: readonly number[]): Result<FrameCase, FrameSolveError> => {
    const found = findTautSupports(structure, levelsM, (answer) => pushToleranceN(layout, answer), known);
    if (!found.ok) {
      return found.error.code === 'tips'
        ? fail({ code: 'unstable', slack: found.error.slack.map((hoist) => layout.hoists[hoist]?.id ?? '') })
        : fail(found.error);
    }
    return frameCase(layout, grillage, assumption, found.value.taut, found.value.answer);
  };
  return {
    layout,
    withLevels,
    levelled: (atRest: FrameCase) => levelledFrame(layout, grillage, structure, assumption, atRest, withLevels),
  };
}

/** Factors of the stiffness with some hoists taut, which do not depend on loads. */
export type FrameFactors = Map<string, { band: SymmetricBand; pivot: number }>;

export function suspendedFrame(
  layout: LaidTrussFrame,
  grillage: Pick<Grillage, 'stiffness' | 'forces' | 'hoistUnknowns'>,
  modes: readonly (readonly number[])[],
  factored: FrameFactors = new Map(),
): SuspendedStructure<FrameAnswer, FrameSolveError> {
  const { stiffness, forces, hoistUnknowns } = grillage;
  const factor = (taut: readonly boolean[]) => {
    const key = taut.map(Number).join('');
    const known = factored.get(key);
    if (known !== undefined) return known;
    const band = { ...stiffness, values: [...stiffness.values] };
    for (const [hoist, unknown] of hoistUnknowns.entries()) {
      if (!taut[hoist]) continue;
      const springNPerM = layout.hoists[hoist]?.stiffnessNPerM ?? null;
      if (springNPerM === null) clearFromBand(band, unknown);
      else addToBand(band, unknown, unknown, springNPerM);
    }
    const made = { band, pivot: factorBand(band) };
    factored.set(key, made);
    return made;
  };
  return {
    tensionOnly: layout.hoists.map(() => true),
    holds: (taut) => holdsModes(modes, taut),
    answer: (taut, levelsM, which) => {
      if (!holdsModes(modes, taut))
        return fail({ code: 'unstable', slack: layout.hoists.filter((_, hoist) => !taut[hoist]).map(({ id }) => id) });
      const { band, pivot } = factor(taut);
      if (!(pivot > SMALLEST_PIVOT)) return fail({ code: 'ill-conditioned', what: 'stiffness', relativeResidual: 1 - pivot });
      const loads = which === 'loaded' ? forces : zeros(stiffness.order);
      const held = zeros(stiffness.order);
      const isHeld = (hoist: number) => taut[hoist] === true && layout.hoists[hoist]?.stiffnessNPerM === null;
      for (const [hoist, unknown] of hoistUnknowns.entries()) if (isHeld(hoist)) held[unknown] = -(levelsM[hoist] ?? 0);
      const fromHeld = bandTimes(stiffness, held);
      const moved = loads.map((force, unknown) => force - (fromHeld[unknown] ?? 0));
      for (const [hoist, unknown] of hoistUnknowns.entries()) {
        if (isHeld(hoist)) moved[unknown] = 0;
        else if (taut[hoist]) moved[unknown] = (moved[unknown] ?? 0) - (layout.hoists[hoist]?.stiffnessNPerM ?? 0) * (levelsM[hoist] ?? 0);
      }
      solveBand(band, moved);
      for (const [unknown, downM] of held.entries()) moved[unknown] = (moved[unknown] ?? 0) + downM;
      const carried = bandTimes(stiffness, moved);
      return ok({
        moved,
        reactionsN: hoistUnknowns.map((unknown, hoist) => (taut[hoist] ? (loads[unknown] ?? 0) - (carried[unknown] ?? 0) : 0)),
        upM: hoistUnknowns.map((unknown) => -(moved[unknown] ?? 0)),
      });
    },
  };
}

function pushToleranceN(layout: LaidTrussFrame, { reactionsN }: ContactAnswer): number {
  return SLACK_SHARE * layout.grossN + 1e-12 * reactionsN.reduce((most, reactionN) => Math.max(most, Math.abs(reactionN)), 0);
}

function frameCase(
  layout: LaidTrussFrame,
  grillage: Grillage,
  { name }: GrillageAssumption,
  taut: readonly boolean[],
  { reactionsN, moved }: FrameAnswer,
): Result<FrameCase, FrameSolveError> {
  const { weightN, weightXNm, weightYNm, grossN, sizeM, hoists, hang } = layout;
  const origin = hang.corners[0] ?? { xM: 0, yM: 0 };
  let [forceN, xNm, yNm, sizeN] = [-weightN, -weightXNm, -weightYNm, grossN];
  for (const [hoist, { xM, yM }] of hoists.entries()) {
    const reactionN = reactionsN[hoist] ?? 0;
    forceN += reactionN;
    xNm += reactionN * (xM - origin.xM);
    yNm += reactionN * (yM - origin.yM);
    sizeN += Math.abs(reactionN);
  }
  // Joints without a hoist carry nothing away: what is left over there is the error of the solution, in moments too.
  const left = bandTimes(grillage.stiffness, moved).map((carried, unknown) => Math.abs(carried - (grillage.forces[unknown] ?? 0)));
  for (const [hoist, unknown] of grillage.hoistUnknowns.entries()) if (taut[hoist]) left[unknown] = 0;
  const unbalanced = left.reduce((most, one) => Math.max(most, one), 0);
  const residual = sizeN > 0 ? Math.max(Math.abs(forceN) / sizeN, Math.max(Math.abs(xNm), Math.abs(yNm), unbalanced) / (sizeN * sizeM)) : 0;
  if (!(residual <= LARGEST_RESIDUAL)) {
    return fail({
      code: 'ill-conditioned',
      what: 'equilibrium',
      relativeResidual: Number.isFinite(residual) ? residual : Number.MAX_VALUE,
    });
  }
  const reactions = hoists.map(({ id }, hoist) => {
    const carriedN = Math.max(0, reactionsN[hoist] ?? 0);
    const slack = !taut[hoist] || carriedN < SLACK_SHARE * grossN;
    return { id, forceN: slack ? 0 : carriedN, slack };
  });
  return ok({ assumption: name, reactions, sides: sidesOf(layout, grillage, moved), residual });
}

/** Moments at the ends of every piece from how its ends have turned, and from there by statics along the side. */
export function sidesOf(
  layout: LaidTrussFrame,
  { elements, twists }: Pick<Grillage, 'elements' | 'twists'>,
  moved: readonly number[],
): FrameSide[] {
  const sum = (terms: readonly { unknown: number; factor: number }[]) =>
    terms.reduce((total, { unknown, factor }) => total + factor * (moved[unknown] ?? 0), 0);
  const sides = layout.sides.map(({ nodesM, loads, lengthM }) => ({
    layout: { nodesM, loads, grossN: layout.grossN, input: { lengthM } },
    line: {
      shearLeftN: zeros(nodesM.length),
      shearRightN: zeros(nodesM.length),
      momentLeftNm: zeros(nodesM.length),
      momentRightNm: zeros(nodesM.length),
    },
    torsionNm: 0,
  }));
  for (const { side, span, leftTurn, rightTurn, near, far } of elements) {
    const one = sides[side];
    if (one === undefined) continue;
    const left = sum(leftTurn) - span.leftSlopeNm2 / layout.eiNm2;
    const right = sum(rightTurn) - span.rightSlopeNm2 / layout.eiNm2;
    const [leftNm, rightNm] = [near * left + far * right, far * left + near * right];
    const { line } = one;
    const { nodesM, loads } = one.layout;
    let momentNm = leftNm;
    let shearN = (rightNm - leftNm) / span.lengthM + span.leftShareN;
    for (let node = span.fromNode; node < span.toNode; node++) {
      line.momentRightNm[node] = momentNm;
      line.shearRightN[node] = shearN;
      const pieceM = (nodesM[node + 1] ?? 0) - (nodesM[node] ?? 0);
      const even = loads.evenNPerM[node] ?? 0;
      momentNm += pieceM * (shearN - (even * pieceM) / 2);
      shearN -= even * pieceM;
      line.momentLeftNm[node + 1] = momentNm;
      line.shearLeftN[node + 1] = shearN;
      shearN -= loads.pointN[node + 1] ?? 0;
    }
    line.momentLeftNm[span.toNode] = rightNm;
  }
  for (const { side, twist, stiffnessNmPerRad } of twists) {
    const one = sides[side];
    if (one !== undefined) one.torsionNm = stiffnessNmPerRad * sum(twist);
  }
  return sides;
}

function levelledFrame(
  layout: LaidTrussFrame,
  grillage: Grillage,
  structure: SuspendedStructure<FrameAnswer, FrameSolveError>,
  assumption: GrillageAssumption,
  atRest: FrameCase,
  withLevels: (levelsM: readonly number[]) => Result<FrameCase, FrameSolveError>,
): Result<LevelledHang<FrameCase, FrameSolveError>, FrameSolveError> {
  const origin = layout.hang.corners[0] ?? { xM: 0, yM: 0 };
  const all = layout.hoists.map(() => true);
  const taut = structure.answer(all, layout.levelsM, 'loaded');
  if (!taut.ok) return taut;
  const units: FrameAnswer[] = [];
  for (const hoist of all.keys()) {
    const unit = structure.answer(
      all,
      all.map((_, index) => (index === hoist ? 1 : 0)),
      'unloaded',
    );
    if (!unit.ok) return unit;
    units.push(unit.value);
  }
  const influence: HangInfluence = {
    tautReactionsN: taut.value.reactionsN,
    perMetre: all.map((_, row) => units.map(({ reactionsN }) => reactionsN[row] ?? 0)),
    levers: layout.hoists.map(({ xM, yM }) => [1, (xM - origin.xM) / layout.sizeM, (yM - origin.yM) / layout.sizeM]),
    grossN: layout.grossN,
    holds: structure.holds,
  };
  return ok({
    atRest,
    influence,
    contactAt: influenceContact(influence),
    caseOf: ({ taut: some, reactionsN, raisedM }: HangInContact) => {
      const moved = taut.value.moved.slice();
      for (const [hoist, unit] of units.entries()) {
        const factor = raisedM[hoist] ?? 0;
        for (let unknown = 0; unknown < moved.length; unknown++)
          moved[unknown] = (moved[unknown] ?? 0) + factor * (unit.moved[unknown] ?? 0);
      }
      return {
        assumption: assumption.name,
        reactions: layout.hoists.map(({ id }, hoist) => ({ id, forceN: reactionsN[hoist] ?? 0, slack: !some[hoist] })),
        sides: sidesOf(layout, grillage, moved),
        residual: atRest.residual,
      };
    },
    withContact: (raisedM) => withLevels(layout.levelsM.map((levelM, hoist) => levelM + (raisedM[hoist] ?? 0))),
  });
}
