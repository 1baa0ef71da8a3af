import type { Result } from '../foundation/result.ts';
import { ok } from '../foundation/result.ts';
import { zeros } from './banded.ts';
import type { BeamError } from './beam.ts';
import { solveLaidBeam, suspendedBeam } from './beam.ts';
import type { BeamSpreadLoad, LoadedLength } from './beam-cut.ts';
import { loadsAt } from './beam-cut.ts';
import type { BeamLayout } from './beam-layout.ts';
import { layOutBeam } from './beam-layout.ts';
import type { BeamLine } from './beam-line.ts';
import type { StagedHang, StagePart, StageSide } from './staged-hang.ts';
import { beamInfluence, raisedHoists } from './level-beam.ts';
import type { TrussHang } from './truss.ts';
import { beamOf } from './truss.ts';

/**
 * A straight truss taken apart into its own weight, which always hangs, and its loads. What is spread along it is many pieces: those
 * between two hoists may hang without the rest.
 * @param moreNPerM  what its own weight may be more [N/m]
 */
export function stagedTruss(hang: TrussHang, moreNPerM: number): Result<StagedHang, BeamError> {
  const whole = layOutBeam(beamOf({ ...hang, selfNPerM: hang.selfNPerM + moreNPerM }, hang.hoists));
  if (!whole.ok) return whole;
  const layout = whole.value;
  const raised = raisedHoists(layout);
  if (!raised.ok) return raised;
  const { place, units } = raised.value;
  const { lengthM } = hang;
  const self: LoadedLength = { lengthM, selfNPerM: hang.selfNPerM, pointLoads: [], spreadLoads: [] };
  const hoistsM = hang.hoists.map(({ atM }) => atM);
  // On two hoists each end of it counts where it loads a hoist; on more the few per cent count as one.
  const more =
    moreNPerM === 0 ? [] : spreadPieces(lengthM, { fromM: 0, toM: lengthM, forceNPerM: moreNPerM }, hoistsM.length === 2 ? hoistsM : []);
  const carried = piecesOf(hang, hoistsM, MOST_PIECES);
  const pieces = [...more, ...carried.pieces];
  const partOf = (line: BeamLine, evenNPerM: readonly number[], reactionsN: readonly number[]): StagePart => ({
    reactionsN: place.map((index) => reactionsN[index] ?? 0),
    sides: [{ ...forcesOf(line), evenNPerM, torsionNm: 0 }],
  });
  const answered = (piece: LoadedLength, levelsM: readonly number[]): Result<StagePart, BeamError> => {
    const { loads } = loadsAt(piece, layout.nodesM);
    const answer = suspendedBeam({ ...layout, loads }).answer(
      levelsM.map(() => true),
      levelsM,
      'loaded',
    );
    return answer.ok ? ok(partOf(answer.value.line, loads.evenNPerM, answer.value.reactionsN)) : answer;
  };
  const always = answered(self, layout.levelsM);
  if (!always.ok) return always;
  const loads: StagePart[] = [];
  for (const piece of pieces) {
    const load = answered(piece, zeros(layout.supports.length));
    if (!load.ok) return load;
    loads.push(load.value);
  }
  const inLayout = layout.supports.map(({ inputIndex }) => always.value.reactionsN[inputIndex] ?? 0);
  const nothing = zeros(layout.nodesM.length);
  return ok({
    influence: beamInfluence(layout, raised.value, inLayout),
    sizeM: lengthM,
    lengths: [{ nodesM: layout.nodesM, hoistNodes: layout.supports.map(({ node }) => node) }],
    always: always.value,
    loads,
    eachByItself: carried.eachByItself,
    raised: units.map(({ line, reactionsN }) => partOf(line, nothing, reactionsN)),
    solve: (present, raisedM) => {
      const hung = [self, ...pieces.filter((_, piece) => present[piece])];
      return solvedPart(layout, together(lengthM, hung), raisedM);
    },
  });
}

const forcesOf = ({ shearLeftN, shearRightN, momentLeftNm, momentRightNm }: BeamLine): Omit<StageSide, 'evenNPerM' | 'torsionNm'> => ({
  shearLeftN,
  shearRightN,
  momentLeftNm,
  momentRightNm,
});

/** More loads than these on one hang are few kilograms each, and neighbours are taken as one. */
export const MOST_PIECES = 64;

/**
 * The loads on one length that may each be there or not; spread ones cut at its hoists.
 * @param most  of more than these, neighbours between the same two hoists are taken as one
 */
export function piecesOf(
  { lengthM, pointLoads, spreadLoads }: Pick<LoadedLength, 'lengthM' | 'pointLoads' | 'spreadLoads'>,
  hoistsM: readonly number[],
  most: number,
): { readonly pieces: LoadedLength[]; readonly eachByItself: boolean } {
  const points = pointLoads.filter(({ forceN }) => forceN !== 0);
  const spreads = spreadLoads.filter(({ forceNPerM }) => forceNPerM !== 0);
  const pieces = [
    ...points.map((load) => ({ lengthM, pointLoads: [load], spreadLoads: [] })),
    ...spreads.flatMap((load) => spreadPieces(lengthM, load, hoistsM)),
  ];
  if (pieces.length <= most) return { pieces, eachByItself: true };
  const bayOf = (piece: LoadedLength) => hoistsM.filter((atM) => atM <= placeOf(piece)).length;
  const sorted = pieces.map((piece) => ({ piece, bay: bayOf(piece) }));
  sorted.sort((a, b) => a.bay - b.bay || placeOf(a.piece) - placeOf(b.piece));
  const size = Math.ceil(pieces.length / most);
  const clusters: { bay: number; pieces: LoadedLength[] }[] = [];
  for (const { piece, bay } of sorted) {
    const last = clusters.at(-1);
    if (last !== undefined && last.bay === bay && last.pieces.length < size) last.pieces.push(piece);
    else clusters.push({ bay, pieces: [piece] });
  }
  return { pieces: clusters.map((cluster) => together(lengthM, cluster.pieces)), eachByItself: false };
}

function placeOf({ pointLoads, spreadLoads }: LoadedLength): number {
  const [spread] = spreadLoads;
  return spread === undefined ? (pointLoads[0]?.atM ?? 0) : (spread.fromM + spread.toM) / 2;
}

const spreadPieces = (lengthM: number, load: BeamSpreadLoad, hoistsM: readonly number[]): LoadedLength[] =>
  cutAt(load, hoistsM).map((cut) => ({ lengthM, pointLoads: [], spreadLoads: [cut] }));

function cutAt({ fromM, toM, forceNPerM }: BeamSpreadLoad, placesM: readonly number[]): BeamSpreadLoad[] {
  const bounds = [fromM, ...placesM.filter((atM) => atM > fromM && atM < toM).sort((a, b) => a - b), toM];
  return bounds.slice(1).map((endM, index) => ({ fromM: bounds[index] ?? fromM, toM: endM, forceNPerM }));
}

/** Several pieces on one length. */
export const together = (lengthM: number, pieces: readonly LoadedLength[]): LoadedLength => ({
  lengthM,
  selfNPerM: pieces.reduce((sum, { selfNPerM }) => sum + (selfNPerM ?? 0), 0),
  pointLoads: pieces.flatMap(({ pointLoads }) => pointLoads),
  spreadLoads: pieces.flatMap(({ spreadLoads }) => spreadLoads),
});

function solvedPart(layout: BeamLayout, hung: LoadedLength, raisedM: readonly number[]): StagePart | null {
  const { loads, grossN } = loadsAt(hung, layout.nodesM);
  const solved = solveLaidBeam(
    { ...layout, input: { ...layout.input, ...hung }, loads, grossN },
    layout.levelsM.map((levelM, index) => levelM + (raisedM[layout.supports[index]?.inputIndex ?? 0] ?? 0)),
  );
  if (!solved.ok) return null;
  const { reactions, line } = solved.value;
  return {
    reactionsN: reactions.map(({ forceN }) => forceN),
    sides: [{ ...forcesOf(line), evenNPerM: loads.evenNPerM, torsionNm: 0 }],
  };
}
