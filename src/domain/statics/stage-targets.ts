import type { StagedHang, StagePart, StageShares } from './staged-hang.ts';

/** A force that the worst stage is sought for: what always hangs puts there, and what each load and each metre of a hoist changes. */
export type StageTarget = {
  /** A reaction; null = a force inside the truss. */
  readonly hoist: number | null;
  /** Which of sagging, hogging, shear of either sign, and both together: the truss bears each as much everywhere. */
  readonly sense: number;
  /** The worst by influence alone, with the bulge. */
  readonly value: number;
  /** What it may be more between this place and the next ones that are looked at. */
  readonly bulge: number;
  readonly always: number;
  readonly loads: readonly number[];
  readonly raised: readonly number[];
  readonly read: (part: StagePart) => number;
};

const linear = (hang: StagedHang, read: (part: StagePart) => number) => ({
  always: read(hang.always),
  loads: hang.loads.map(read),
  raised: hang.raised.map(read),
  read,
});

export const reactionTarget = (hang: StagedHang, hoist: number): StageTarget => ({
  hoist,
  sense: -1,
  value: 0,
  bulge: 0,
  ...linear(hang, ({ reactionsN }) => reactionsN[hoist] ?? 0),
});

/** Which force a sense is of; those from the fifth on are moment and shear together. */
export const KIND_OF_SENSE = ['sagging', 'hogging', 'shear', 'shear'] as const;

/** Just left or right of a node, or so far beyond it. */
type Station = { readonly side: number; readonly node: number; readonly where: 'left' | 'right' | 'beyond'; readonly beyondM: number };
/** A weighted sum of moment and shear, whose largest value is sought. */
type Sense = { readonly perNm: number; readonly perN: number };

/**
 * Every sense at every node, and between nodes where a moment may bulge. Between two stations shear runs straight, and the moment is no more
 * than at the worse of them and what all even loads there make it bulge.
 * @param parts  that each piece between two nodes is cut into
 * @source a parabola over its chord: q·l²/8
 */
export function everyStation(hang: StagedHang, toleranceM: number, shares: StageShares | null, parts: number): StageTarget[] {
  const senses = sensesOf(shares);
  const targets: StageTarget[] = [];
  for (const [side, { nodesM }] of hang.lengths.entries()) {
    const last = nodesM.length - 1;
    const bulges = { down: bulgesNm(hang, side, nodesM, parts, 1), up: bulgesNm(hang, side, nodesM, parts, -1) };
    for (const station of stationsOf(side, nodesM, parts)) {
      const { node, where } = station;
      for (const [index, sense] of senses.entries()) {
        // The moment has no step at a node but the last of a side, where the frame goes round a corner.
        if (sense.perN === 0 && where === 'left' && node < last) continue;
        const nm = sense.perNm > 0 ? bulges.down : bulges.up;
        const bulgeNm = where === 'beyond' ? (nm[node] ?? 0) : Math.max(nm[node - 1] ?? 0, nm[node] ?? 0);
        if (where === 'beyond' && (sense.perNm === 0 || bulgeNm === 0)) continue;
        targets.push(targetAt(hang, toleranceM, sense, index, station, Math.abs(sense.perNm) * bulgeNm));
      }
    }
  }
  return targets;
}

/** The torsion of each side of a frame, either way. A straight truss has none. */
export function torsions(hang: StagedHang, toleranceM: number): StageTarget[] {
  if (hang.lengths.length === 1) return [];
  return hang.lengths.flatMap((_, side) =>
    [1, -1].map((sign) => {
      const parts = linear(hang, ({ sides }) => sign * (sides[side]?.torsionNm ?? 0));
      return { hoist: null, sense: -2, value: mostByInfluence(parts, toleranceM), bulge: 0, ...parts };
    }),
  );
}

function mostByInfluence({ always, loads, raised }: Pick<StageTarget, 'always' | 'loads' | 'raised'>, toleranceM: number): number {
  let value = always;
  for (const load of loads) value += Math.max(0, load);
  for (const metre of raised) value += toleranceM * Math.abs(metre);
  return value;
}

/** Of each piece between two nodes: loads downwards bulge what sags, loads upwards what hogs. */
function bulgesNm(hang: StagedHang, side: number, nodesM: readonly number[], parts: number, sign: 1 | -1): number[] {
  return nodesM.slice(1).map((endM, node) => {
    const chordM = (endM - (nodesM[node] ?? 0)) / parts;
    let evenNPerM = 0;
    for (const part of [hang.always, ...hang.loads]) evenNPerM += Math.max(0, sign * (part.sides[side]?.evenNPerM[node] ?? 0));
    return (evenNPerM * chordM * chordM) / 8;
  });
}

function sensesOf(shares: StageShares | null): Sense[] {
  const apart = [
    { perNm: 1, perN: 0 },
    { perNm: -1, perN: 0 },
    { perNm: 0, perN: 1 },
    { perNm: 0, perN: -1 },
  ];
  if (shares === null) return apart;
  const { perSaggingNm, perHoggingNm, perShearN } = shares;
  const together = [1, -1].flatMap((sign) => [
    { perNm: perSaggingNm, perN: sign * perShearN },
    { perNm: -perHoggingNm, perN: sign * perShearN },
  ]);
  return [...apart, ...together];
}

function stationsOf(side: number, nodesM: readonly number[], parts: number): Station[] {
  const stations: Station[] = [];
  for (let node = 0; node < nodesM.length; node++) {
    if (node > 0) stations.push({ side, node, where: 'left', beyondM: 0 });
    if (node === nodesM.length - 1) break;
    stations.push({ side, node, where: 'right', beyondM: 0 });
    const lengthM = (nodesM[node + 1] ?? 0) - (nodesM[node] ?? 0);
    for (let part = 1; part < parts; part++) stations.push({ side, node, where: 'beyond', beyondM: (lengthM * part) / parts });
  }
  return stations;
}

function targetAt(
  hang: StagedHang,
  toleranceM: number,
  { perNm, perN }: Sense,
  sense: number,
  station: Station,
  bulge: number,
): StageTarget {
  const read = (part: StagePart) => {
    const { momentNm, shearN } = forcesAt(part, station);
    return perNm * momentNm + perN * shearN;
  };
  const parts = linear(hang, read);
  return { hoist: null, sense, value: mostByInfluence(parts, toleranceM) + bulge, bulge, ...parts };
}

function forcesAt({ sides }: StagePart, { side, node, where, beyondM }: Station): { momentNm: number; shearN: number } {
  const line = sides[side];
  if (line === undefined) return { momentNm: 0, shearN: 0 };
  if (where === 'left') return { momentNm: line.momentLeftNm[node] ?? 0, shearN: line.shearLeftN[node] ?? 0 };
  const [momentNm, shearN] = [line.momentRightNm[node] ?? 0, line.shearRightN[node] ?? 0];
  const evenN = (line.evenNPerM[node] ?? 0) * beyondM;
  return { momentNm: momentNm + beyondM * (shearN - evenN / 2), shearN: shearN - evenN };
}
