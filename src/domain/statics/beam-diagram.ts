import type { SolvedBeam } from './beam.ts';
import type { DeflectionExtremes, ForceExtremes } from './beam-extremes.ts';
import { deflectionExtremes, downWithin, forceExtremes } from './beam-extremes.ts';

export type DiagramRow = { readonly atM: number; readonly shearN: number; readonly momentNm: number; readonly deflectionM: number | null };

/**
 * Shear, moment and deflection along the beam at its ends, supports, loads and extremes, two rows where shear or moment jumps, and
 * between them no further apart than `stepM`, for drawing. Shear = sum of upward forces left of the cut; sagging and down positive.
 */
export function beamDiagram(beam: SolvedBeam, stepM = beam.layout.input.lengthM / 40): DiagramRow[] {
  const { layout, line } = beam;
  const { nodesM, loads, eiIsKnown } = layout;
  const extremes = [...placesOf(forceExtremes(beam)), ...placesOf(deflectionExtremes(beam))].sort((a, b) => a - b);
  const smallestN = 1e-12 * Math.max(layout.grossN, Number.MIN_VALUE);
  const rows: DiagramRow[] = [];
  let nextExtreme = 0;
  for (let node = 0; node < nodesM.length; node++) {
    const atM = nodesM[node] ?? 0;
    const deflectionM = eiIsKnown ? (line.downM[node] ?? 0) + 0 : null;
    const [leftN, rightN] = [line.shearLeftN[node] ?? 0, line.shearRightN[node] ?? 0];
    const [leftNm, rightNm] = [line.momentLeftNm[node] ?? 0, line.momentRightNm[node] ?? 0];
    rows.push({ atM, shearN: leftN + 0, momentNm: leftNm + 0, deflectionM });
    const jumps = Math.abs(rightN - leftN) > smallestN || Math.abs(rightNm - leftNm) > smallestN * layout.input.lengthM;
    if (jumps) rows.push({ atM, shearN: rightN + 0, momentNm: rightNm + 0, deflectionM });
    if (node === nodesM.length - 1) break;

    const lengthM = (nodesM[node + 1] ?? 0) - atM;
    const pieces = Math.max(1, Math.ceil(lengthM / stepM));
    const places: number[] = [];
    for (let piece = 1; piece < pieces; piece++) places.push((lengthM * piece) / pieces);
    for (; nextExtreme < extremes.length && (extremes[nextExtreme] ?? 0) < atM + lengthM; nextExtreme++) {
      const x = (extremes[nextExtreme] ?? 0) - atM;
      if (x > 0 && !places.includes(x)) places.push(x);
    }
    const q = loads.evenNPerM[node] ?? 0;
    for (const x of places.sort((a, b) => a - b)) {
      const shearN = rightN - q * x;
      rows.push({
        atM: atM + x,
        shearN,
        momentNm: rightNm + x * (rightN - (q * x) / 2),
        deflectionM: eiIsKnown ? downWithin(beam, node, x) : null,
      });
    }
  }
  return rows;
}

function placesOf(extremes: ForceExtremes | DeflectionExtremes | null): number[] {
  return extremes === null ? [] : Object.values(extremes).flatMap(({ atM }) => (atM === null ? [] : [atM]));
}

/** Everything that the beam calculator tells, in SI. Cautions in words. */
export type BeamReport = ForceExtremes & {
  readonly reactions: SolvedBeam['reactions'];
  readonly maxDeflectionM: DeflectionExtremes['largestM'] | null;
  readonly diagram: readonly DiagramRow[];
  readonly cautions: readonly string[];
};

export function beamReport(beam: SolvedBeam): BeamReport {
  const deflection = deflectionExtremes(beam);
  return {
    reactions: beam.reactions,
    ...forceExtremes(beam),
    maxDeflectionM: deflection === null ? null : deflection.largestM,
    diagram: beamDiagram(beam),
    cautions: cautionsOf(beam, deflection),
  };
}

function cautionsOf({ layout, reactions }: SolvedBeam, deflection: DeflectionExtremes | null): string[] {
  const cautions: string[] = [];
  const slack = reactions.filter((reaction) => reaction.slack).map(({ id }) => id);
  if (slack.length > 0) cautions.push(`Slack, carrying nothing: ${slack.join(', ')}.`);
  const { supports } = layout;
  if (supports.length > 2 && supports.some(({ flexibilityMPerN }) => flexibilityMPerN === 0)) {
    cautions.push('Supports without a stiffness are taken as rigid; on three or more, a few millimetres of level change the reactions.');
  }
  const largestM = Math.abs(deflection?.largestM.value ?? 0);
  if (largestM > layout.input.lengthM / 20)
    cautions.push('The beam moves by more than a twentieth of its length: small-movement theory does not hold.');
  return cautions;
}
