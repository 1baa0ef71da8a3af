import type { Result } from '../foundation/result.ts';
import { ok } from '../foundation/result.ts';
import { zeros } from './banded.ts';
import type { BeamLoads, LoadedLength } from './beam-cut.ts';
import { loadsAt } from './beam-cut.ts';
import type { StagedHang, StagePart } from './staged-hang.ts';
import type { FrameCase, FrameFactors, FrameSolveError } from './truss-frame-case.ts';
import { frameSolver, sidesOf, suspendedFrame } from './truss-frame-case.ts';
import type { GrillageAssumption, GrillageLoad } from './truss-frame-grillage.ts';
import { buildGrillage } from './truss-frame-grillage.ts';
import type { TrussFrameError, TrussFrameHang } from './truss-frame.ts';
import { assumptionsFor } from './truss-frame.ts';
import type { LaidTrussFrame } from './truss-frame-layout.ts';
import { layOutTrussFrame } from './truss-frame-layout.ts';
import { freeModes } from './truss-frame-modes.ts';
import { MOST_PIECES, piecesOf, together } from './truss-stages.ts';

/**
 * A truss frame once for each assumption about what is not stated of it, the stiffest first.
 * @param moreNPerM  what its own weight may be more [N/m]
 */
export function stagedTrussFrames(hang: TrussFrameHang, moreNPerM: number): Result<StagedHang[], TrussFrameError> {
  const laid = layOutTrussFrame({ ...hang, selfNPerM: hang.selfNPerM + moreNPerM });
  if (!laid.ok) return laid;
  const all: StagedHang[] = [];
  for (const assumption of assumptionsFor(hang, laid.value.eiNm2)) {
    const staged = stagedTrussFrame(laid.value, hang.selfNPerM, moreNPerM, assumption);
    if (!staged.ok) return staged;
    all.push(staged.value);
  }
  return ok(all);
}

type Piece = { readonly side: number; readonly load: LoadedLength };

/**
 * Under one assumption, taken apart into its own weight, which always hangs, and its loads. What is spread along a side is many pieces:
 * those between two hoists may hang without the rest.
 * @param layout  of the frame with every load and all of its own weight
 */
function stagedTrussFrame(
  layout: LaidTrussFrame,
  selfNPerM: number,
  moreNPerM: number,
  assumption: GrillageAssumption,
): Result<StagedHang, FrameSolveError> {
  const grillage = buildGrillage(layout, assumption);
  const modes = freeModes(layout, assumption.cornerJoint);
  const factored: FrameFactors = new Map();
  const allTaut = layout.hoists.map(() => true);
  const blank = (side: number): LoadedLength => ({ lengthM: layout.sides[side]?.lengthM ?? 0, pointLoads: [], spreadLoads: [] });
  const loadsOf = (pieces: readonly Piece[]): BeamLoads[] =>
    layout.sides.map(({ nodesM, lengthM }, index) => {
      const own = pieces.filter(({ side }) => side === index).map(({ load }) => load);
      return loadsAt(together(lengthM, own), nodesM).loads;
    });
  const answered = (
    loads: readonly BeamLoads[],
    load: GrillageLoad,
    levelsM: readonly number[],
    which: 'loaded' | 'unloaded' = 'loaded',
  ): Result<StagePart, FrameSolveError> => {
    const answer = suspendedFrame(layout, { ...grillage, ...load }, modes, factored).answer(allTaut, levelsM, which);
    if (!answer.ok) return answer;
    const sides = layout.sides.map((laid, side) => ({ ...laid, loads: loads[side] ?? laid.loads }));
    const lines = sidesOf({ ...layout, sides }, { twists: grillage.twists, elements: load.elements }, answer.value.moved);
    return ok(partOf(answer.value.reactionsN, lines));
  };
  const self: Piece[] = layout.sides.map((_, side) => ({ side, load: { ...blank(side), selfNPerM } }));
  const selfLoads = loadsOf(self);
  const always = answered(selfLoads, grillage.loadedWith(selfLoads, layout.hang.cornerN ?? 0), layout.levelsM);
  if (!always.ok) return always;
  const { groups, eachByItself } = groupsOf(layout, moreNPerM, blank);
  const loads: StagePart[] = [];
  const level = zeros(allTaut.length);
  for (const group of groups) {
    const own = loadsOf(group);
    const part = answered(own, grillage.loadedWith(own, 0), level);
    if (!part.ok) return part;
    loads.push(part.value);
  }
  const unloaded = loadsOf([]);
  const bare = grillage.loadedWith(unloaded, 0);
  const raised: StagePart[] = [];
  for (const hoist of allTaut.keys()) {
    const part = answered(
      unloaded,
      bare,
      allTaut.map((_, index) => (index === hoist ? 1 : 0)),
      'unloaded',
    );
    if (!part.ok) return part;
    raised.push(part.value);
  }
  const origin = layout.hang.corners[0] ?? { xM: 0, yM: 0 };
  return ok({
    influence: {
      tautReactionsN: always.value.reactionsN,
      perMetre: allTaut.map((_, row) => raised.map(({ reactionsN }) => reactionsN[row] ?? 0)),
      levers: layout.hoists.map(({ xM, yM }) => [1, (xM - origin.xM) / layout.sizeM, (yM - origin.yM) / layout.sizeM]),
      grossN: layout.grossN,
      holds: suspendedFrame(layout, grillage, modes, factored).holds,
    },
    sizeM: layout.sizeM,
    lengths: layout.sides.map(({ nodesM, stops }) => ({ nodesM, hoistNodes: hoistNodes(layout, stops) })),
    always: always.value,
    loads,
    eachByItself,
    raised,
    solve: (present, raisedM) => {
      const hung = loadsOf([...self, ...groups.filter((_, group) => present[group]).flat()]);
      const found = frameSolver(loadedFrame(layout, hung), assumption).withLevels(
        layout.levelsM.map((levelM, hoist) => levelM + (raisedM[hoist] ?? 0)),
      );
      if (!found.ok) return null;
      return partOf(
        found.value.reactions.map(({ forceN }) => forceN),
        found.value.sides,
      );
    },
  });
}

const partOf = (reactionsN: readonly number[], sides: FrameCase['sides']): StagePart => ({
  reactionsN,
  sides: sides.map(({ line, layout, torsionNm }) => ({ ...line, evenNPerM: layout.loads.evenNPerM, torsionNm })),
});

function groupsOf({ hang, sides }: LaidTrussFrame, moreNPerM: number, blank: (side: number) => LoadedLength) {
  const groups: Piece[][] = moreNPerM === 0 ? [] : [sides.map((_, side) => ({ side, load: { ...blank(side), selfNPerM: moreNPerM } }))];
  let eachByItself = true;
  for (const [side, { lengthM }] of sides.entries()) {
    const carried = hang.sides[side] ?? { pointLoads: [], spreadLoads: [] };
    const own = hang.hoists.flatMap((hoist) => (hoist.side === side ? [hoist.atM] : []));
    const found = piecesOf({ lengthM, ...carried }, own, Math.ceil(MOST_PIECES / sides.length));
    for (const load of found.pieces) groups.push([{ side, load }]);
    eachByItself &&= found.eachByItself;
  }
  return { groups, eachByItself };
}

function hoistNodes({ hoists }: LaidTrussFrame, stops: LaidTrussFrame['sides'][number]['stops']): number[] {
  return stops.flatMap(({ node, joint }) => (hoists.some((hoist) => hoist.joint === joint) ? [node] : []));
}

/** The laid-out frame with other loads on its sides, and their sums. */
function loadedFrame(layout: LaidTrussFrame, loads: readonly BeamLoads[]): LaidTrussFrame {
  const { hang, sides } = layout;
  const origin = hang.corners[0] ?? { xM: 0, yM: 0 };
  const cornerN = hang.cornerN ?? 0;
  let [grossN, weightN, weightXNm, weightYNm] = [0, 0, 0, 0];
  const weigh = (forceN: number, xM: number, yM: number) => {
    grossN += Math.abs(forceN);
    weightN += forceN;
    weightXNm += forceN * (xM - origin.xM);
    weightYNm += forceN * (yM - origin.yM);
  };
  for (const { xM, yM } of hang.corners) weigh(cornerN, xM, yM);
  const loaded = sides.map((laid, side) => {
    const { nodesM, tx, ty } = laid;
    const { xM, yM } = hang.corners[side] ?? origin;
    const own = loads[side] ?? laid.loads;
    for (const [node, atM] of nodesM.entries()) {
      const nextM = nodesM[node + 1] ?? atM;
      const middleM = (atM + nextM) / 2;
      weigh(own.pointN[node] ?? 0, xM + tx * atM, yM + ty * atM);
      weigh((own.evenNPerM[node] ?? 0) * (nextM - atM), xM + tx * middleM, yM + ty * middleM);
    }
    return { ...laid, loads: own };
  });
  return { ...layout, sides: loaded, grossN, weightN, weightXNm, weightYNm };
}
