import type { StagedHang, StagePart, StageShares } from './staged-hang.ts';

/** A force that the worst stage is sought for: what always hangs puts there, and what each load and each metre of a hoist changes. */
export type StageTarget = {
  /** A reaction; null = a force inside the truss. */
  readonly hoist: number | null;
  /** Which of sagging, hogging, shear of either sign, and both together: the truss bears each as much everywhere. */
  readonly sense: number;
  /** The worst by influence alone. */
  readonly value: number;
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
  ...linear(hang, ({ reactionsN }) => reactionsN[hoist] ?? 0),
});

/** Which force a sense is of; those from the fifth on are moment and shear together. */
export const KIND_OF_SENSE = ['sagging', 'hogging', 'shear', 'shear'] as const;

/** Just left or right of a node, or midway to the next. */
type Station = { readonly side: number; readonly node: number; readonly where: 'left' | 'right' | 'mid'; readonly halfM: number };
/** A weighted sum of moment and shear, whose largest value is sought. */
type Sense = { readonly perNm: number; readonly perN: number };

/**
 * For each stretch between neighbouring hoists and beyond the last, the station where sagging, hogging, shear of either sign, or moment
 * and shear together can be worst by influence. The stage found there is looked at along the whole length.
 */
export function stageTargets(hang: StagedHang, toleranceM: number, shares: StageShares | null): StageTarget[] {
  const senses = sensesOf(shares);
  const targets: StageTarget[] = [];
  for (const [side, { nodesM, hoistNodes }] of hang.lengths.entries()) {
    const last = nodesM.length - 1;
    const bounds = [...new Set([0, ...[...hoistNodes].sort((a, b) => a - b), last])];
    for (let bay = 1; bay < bounds.length; bay++) {
      const stations = stationsOf(side, nodesM, bounds[bay - 1] ?? 0, bounds[bay] ?? 0);
      targets.push(...worstInBay(hang, toleranceM, senses, stations));
    }
  }
  return targets;
}

/** Of the size of the hang: in shorter pieces the middle is covered by what the moment can bulge there at most. */
const LONG_PIECE = 0.1;

/**
 * Every sense at every node, and midway where that is far off: where a hoist lets go, a truss is bent and sheared otherwise than influence
 * alone would tell. Between two stations shear runs straight, and the moment may bulge by no more than all even loads there make of it.
 * @param isCover  with what the moment may bulge: a bound that holds along the whole length
 * @source a parabola over its chord: q·l²/8
 */
export function everyStation(hang: StagedHang, toleranceM: number, shares: StageShares | null, isCover: boolean): StageTarget[] {
  const senses = sensesOf(shares);
  const targets: StageTarget[] = [];
  for (const [side, { nodesM }] of hang.lengths.entries()) {
    const last = nodesM.length - 1;
    for (const station of stationsOf(side, nodesM, 0, last)) {
      const { node, where } = station;
      const lengthM = (nodesM[node + 1] ?? 0) - (nodesM[node] ?? 0);
      const isLong = lengthM > LONG_PIECE * hang.sizeM;
      if (where === 'mid' && !isLong) continue;
      const chordM = where === 'left' ? 0 : isLong ? lengthM / 2 : lengthM;
      const bulgeNm = isCover ? (mostEvenNPerM(hang, side, node) * chordM * chordM) / 8 : 0;
      for (const [index, sense] of senses.entries()) {
        const isMoment = sense.perN === 0;
        // The moment has no step at a node but the last of a side, where the frame goes round a corner.
        if (isMoment ? where === 'left' && node < last : where === 'mid' && sense.perNm === 0) continue;
        const target = targetAt(hang, toleranceM, sense, index, station);
        targets.push(bulgeNm === 0 ? target : { ...target, always: target.always + Math.abs(sense.perNm) * bulgeNm });
      }
    }
  }
  return targets;
}

const mostEvenNPerM = ({ always, loads }: StagedHang, side: number, node: number): number =>
  [always, ...loads].reduce((sum, { sides }) => sum + Math.abs(sides[side]?.evenNPerM[node] ?? 0), 0);

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

function stationsOf(side: number, nodesM: readonly number[], from: number, to: number): Station[] {
  const stations: Station[] = [];
  for (let node = from; node <= to; node++) {
    if (node > from) stations.push({ side, node, where: 'left', halfM: 0 });
    if (node === to) break;
    stations.push({ side, node, where: 'right', halfM: 0 });
    stations.push({ side, node, where: 'mid', halfM: ((nodesM[node + 1] ?? 0) - (nodesM[node] ?? 0)) / 2 });
  }
  return stations;
}

function worstInBay(hang: StagedHang, toleranceM: number, senses: readonly Sense[], stations: readonly Station[]): StageTarget[] {
  const worst = senses.map((): { value: number; station: Station | null } => ({ value: 0, station: null }));
  const parts = [hang.always, ...hang.loads, ...(toleranceM > 0 ? hang.raised : [])];
  const always = 1 + hang.loads.length;
  const forces = parts.map(() => ({ momentNm: 0, shearN: 0 }));
  for (const station of stations) {
    for (let index = 0; index < parts.length; index++) {
      const part = parts[index];
      if (part !== undefined) forces[index] = forcesAt(part, station);
    }
    for (let index = 0; index < senses.length; index++) {
      const { perNm, perN } = senses[index] ?? { perNm: 0, perN: 0 };
      let value = 0;
      for (let part = 0; part < forces.length; part++) {
        const { momentNm, shearN } = forces[part] ?? { momentNm: 0, shearN: 0 };
        const share = perNm * momentNm + perN * shearN;
        value += part === 0 ? share : part < always ? Math.max(0, share) : toleranceM * Math.abs(share);
      }
      const before = worst[index];
      if (before !== undefined && value > before.value * (1 + 1e-9)) worst[index] = { value, station };
    }
  }
  return worst.flatMap(({ station }, index): StageTarget[] => {
    const sense = senses[index];
    return station === null || sense === undefined ? [] : [targetAt(hang, toleranceM, sense, index, station)];
  });
}

function targetAt(hang: StagedHang, toleranceM: number, { perNm, perN }: Sense, sense: number, station: Station): StageTarget {
  const read = (part: StagePart) => {
    const { momentNm, shearN } = forcesAt(part, station);
    return perNm * momentNm + perN * shearN;
  };
  const parts = linear(hang, read);
  let value = parts.always;
  for (const load of parts.loads) value += Math.max(0, load);
  for (const metre of parts.raised) value += toleranceM * Math.abs(metre);
  return { hoist: null, sense, value, ...parts };
}

function forcesAt({ sides }: StagePart, { side, node, where, halfM }: Station): { momentNm: number; shearN: number } {
  const line = sides[side];
  if (line === undefined) return { momentNm: 0, shearN: 0 };
  if (where === 'left') return { momentNm: line.momentLeftNm[node] ?? 0, shearN: line.shearLeftN[node] ?? 0 };
  const [momentNm, shearN] = [line.momentRightNm[node] ?? 0, line.shearRightN[node] ?? 0];
  const evenN = (line.evenNPerM[node] ?? 0) * halfM;
  return { momentNm: momentNm + halfM * (shearN - evenN / 2), shearN: shearN - evenN };
}
