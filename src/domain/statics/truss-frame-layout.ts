import type { PlanPoint, PolygonError } from '../foundation/polygon.ts';
import { checkPolygon, planDistanceM } from '../foundation/polygon.ts';
import type { Result } from '../foundation/result.ts';
import { fail, ok } from '../foundation/result.ts';
import type { BeamLoads, BeamPointLoad, BeamSpreadLoad, LoadedLengthError } from './beam-cut.ts';
import { MIN_SPACING_M, cutBeam, isOffBeam, lengthFaultIn, loadFault, nodeAt, placeOnBeam } from './beam-cut.ts';

export type TrussFrameHoist = {
  readonly id: string;
  readonly side: number;
  readonly atM: number;
  /** Up positive. */
  readonly levelM?: number;
  /** Chain and anchor together [N/m]; null = both taken as rigid. */
  readonly stiffnessNPerM?: number | null;
};
/** Trusses in one level plane, joined at their ends in a ring (rectangle, polygon) or an open chain. Side k runs from corner k to the next. */
export type TrussFrameHang = {
  readonly corners: readonly PlanPoint[];
  readonly closed: boolean;
  readonly selfNPerM: number;
  readonly eiNm2: number | null;
  readonly gaN: number | null;
  /** Torsional stiffness G·J [N·m²]; null = not known. */
  readonly gjNm2: number | null;
  /** Whether a corner passes bending and torsion on; null = not known. */
  readonly cornerJoint: 'stiff' | 'hinged' | null;
  /** Weight of each corner piece [N]. */
  readonly cornerN?: number;
  readonly sides: readonly { readonly pointLoads: readonly BeamPointLoad[]; readonly spreadLoads: readonly BeamSpreadLoad[] }[];
  readonly hoists: readonly TrussFrameHoist[];
};

export type TrussFrameInputError =
  | LoadedLengthError
  | PolygonError
  | { code: 'side-missing'; side: number; sides: number }
  | { code: 'corner-straight'; corner: number }
  | { code: 'support-off-beam'; id: string; atM: number; lengthM: number }
  | { code: 'supports-coincide'; ids: [string, string]; atM: number }
  | { code: 'stiffness-not-positive'; what: string }
  | { code: 'stiffness-needed'; what: 'ei' | 'gj' | 'corners' }
  | { code: 'unstable'; slack: readonly string[] };

/** A place on a side where it meets a corner or a hoist: its node in the cut, and the joint there. */
export type Stop = { readonly node: number; readonly joint: number };
export type LaidSide = {
  readonly lengthM: number;
  /** Direction in plan. */
  readonly tx: number;
  readonly ty: number;
  readonly nodesM: readonly number[];
  readonly loads: BeamLoads;
  readonly stops: readonly Stop[];
};
/** Joints are the corners, in order, and then one for each hoist that does not sit on a corner. */
export type LaidTrussFrame = {
  readonly hang: TrussFrameHang;
  readonly eiNm2: number;
  readonly shearFlexibilityPerN: number;
  readonly sides: readonly LaidSide[];
  readonly joints: number;
  readonly hoists: readonly {
    readonly id: string;
    readonly joint: number;
    readonly xM: number;
    readonly yM: number;
    readonly stiffnessNPerM: number | null;
  }[];
  readonly levelsM: readonly number[];
  readonly grossN: number;
  /** Longest distance in plan, to measure moments by. */
  readonly sizeM: number;
  /** Weight, and its moments about the y and x axes through the first corner. */
  readonly weightN: number;
  readonly weightXNm: number;
  readonly weightYNm: number;
};

/** Two sides that meet straighter than this (sine of the turn) leave the frame free to twist there unless they pass torsion on. */
const STRAIGHT = 0.02;
const MOST_SIDES = 200;

export function layOutTrussFrame(hang: TrussFrameHang): Result<LaidTrussFrame, TrussFrameInputError> {
  const { corners, hoists } = hang;
  const shape = shapeFault(hang);
  if (shape !== null) return fail(shape);
  if (hang.eiNm2 === null) return fail({ code: 'stiffness-needed', what: 'ei' });
  const stiffness = stiffnessFault(hang);
  if (stiffness !== null) return fail(stiffness);

  const laid: (TrussFrameHoist & { joint: number; xM: number; yM: number })[] = [];
  const sides: LaidSide[] = [];
  let joints = corners.length;
  const cornerN = hang.cornerN ?? 0;
  if (!Number.isFinite(cornerN)) return fail({ code: 'not-finite', what: 'corner weight' });
  let [grossN, weightN, weightXNm, weightYNm] = [Math.abs(cornerN) * corners.length, 0, 0, 0];
  const origin = corners[0] ?? { xM: 0, yM: 0 };
  const weigh = (forceN: number, xM: number, yM: number) => {
    weightN += forceN;
    weightXNm += forceN * (xM - origin.xM);
    weightYNm += forceN * (yM - origin.yM);
  };
  for (const { xM, yM } of corners) weigh(cornerN, xM, yM);

  for (const [index, carried] of hang.sides.entries()) {
    const toCorner = (index + 1) % corners.length;
    const [from, to] = [corners[index] ?? origin, corners[toCorner] ?? origin];
    const lengthM = planDistanceM(from, to);
    const length = { lengthM, selfNPerM: hang.selfNPerM, ...carried };
    const fault = lengthFaultIn(length) ?? loadFault(length);
    if (fault !== null) return fail('what' in fault ? { ...fault, what: `${fault.what} of side ${index}` } : fault);
    const own = hoists.filter(({ side }) => side === index);
    for (const { id, atM } of own) {
      if (!Number.isFinite(atM)) return fail({ code: 'not-finite', what: `hoist ${id}` });
      if (isOffBeam(atM, lengthM)) return fail({ code: 'support-off-beam', id, atM, lengthM });
    }
    // A hoist within a millimetre of a corner is on it.
    const places = own.map(({ atM }) => (atM < MIN_SPACING_M ? 0 : atM > lengthM - MIN_SPACING_M ? lengthM : placeOnBeam(atM, lengthM)));
    const { nodesM, loads, grossN: sideGrossN } = cutBeam(length, places);
    const [tx, ty] = [(to.xM - from.xM) / lengthM, (to.yM - from.yM) / lengthM];
    const between: Stop[] = [];
    for (const [which, hoist] of own.entries()) {
      const atM = places[which] ?? 0;
      const joint = atM === 0 ? index : atM === lengthM ? toCorner : joints++;
      laid.push({ ...hoist, joint, xM: from.xM + tx * atM, yM: from.yM + ty * atM });
      if (joint >= corners.length) between.push({ node: nodeAt(nodesM, atM), joint });
    }
    between.sort((a, b) => a.node - b.node);
    sides.push({
      lengthM,
      tx,
      ty,
      nodesM,
      loads,
      stops: [{ node: 0, joint: index }, ...between, { node: nodesM.length - 1, joint: toCorner }],
    });
    grossN += sideGrossN;
    for (const [node, atM] of nodesM.entries()) {
      const nextM = nodesM[node + 1] ?? atM;
      weigh(loads.pointN[node] ?? 0, from.xM + tx * atM, from.yM + ty * atM);
      weigh((loads.evenNPerM[node] ?? 0) * (nextM - atM), from.xM + (tx * (atM + nextM)) / 2, from.yM + (ty * (atM + nextM)) / 2);
    }
  }
  const sizeM = corners.reduce((most, corner) => Math.max(most, planDistanceM(origin, corner)), 0);
  if (!Number.isFinite(grossN * sizeM)) return fail({ code: 'not-finite', what: 'sum of loads' });
  if (laid.length < hoists.length)
    return fail({
      code: 'side-missing',
      side: hoists.find(({ side }) => hang.sides[side] === undefined)?.side ?? -1,
      sides: hang.sides.length,
    });
  for (const [index, one] of laid.entries()) {
    const other = laid.slice(0, index).find((before) => planDistanceM(before, one) < MIN_SPACING_M);
    if (other !== undefined) return fail({ code: 'supports-coincide', ids: [other.id, one.id], atM: one.atM });
  }
  if (laid.length < 3) return fail({ code: 'unstable', slack: [] });
  const inOrder = hoists.flatMap(
    (hoist) => laid.find(({ side, id, atM }) => side === hoist.side && id === hoist.id && atM === hoist.atM) ?? [],
  );
  return ok({
    hang,
    eiNm2: hang.eiNm2,
    shearFlexibilityPerN: hang.gaN === null ? 0 : 1 / hang.gaN,
    sides,
    joints,
    hoists: inOrder.map(({ id, joint, xM, yM, stiffnessNPerM }) => ({ id, joint, xM, yM, stiffnessNPerM: stiffnessNPerM ?? null })),
    levelsM: inOrder.map(({ levelM }) => levelM ?? 0),
    grossN,
    sizeM,
    weightN,
    weightXNm,
    weightYNm,
  });
}

function shapeFault({ corners, closed, sides }: TrussFrameHang): TrussFrameInputError | null {
  if (corners.length > MOST_SIDES) return { code: 'side-missing', side: corners.length, sides: MOST_SIDES };
  if (closed) {
    const polygon = checkPolygon(corners);
    if (!polygon.ok) return polygon.error;
  } else if (corners.length < 3) return { code: 'polygon-too-few-corners', corners: corners.length };
  const expected = closed ? corners.length : corners.length - 1;
  if (sides.length !== expected) return { code: 'side-missing', side: Math.min(sides.length, expected), sides: expected };
  for (const [index, { xM, yM }] of corners.entries()) {
    if (!Number.isFinite(xM) || !Number.isFinite(yM)) return { code: 'not-finite', what: `corner ${index}` };
    const before = corners[index - 1] ?? (closed ? corners.at(-1) : undefined);
    const after = corners[index + 1] ?? (closed ? corners[0] : undefined);
    if (before === undefined || after === undefined) continue;
    const [ax, ay, bx, by] = [xM - before.xM, yM - before.yM, after.xM - xM, after.yM - yM];
    const turn = ax * by - ay * bx;
    const lengths = Math.sqrt(ax * ax + ay * ay) * Math.sqrt(bx * bx + by * by);
    if (lengths < MIN_SPACING_M * MIN_SPACING_M) return { code: 'polygon-corner-repeated', corner: index };
    if (!(Math.abs(turn) > STRAIGHT * lengths)) return { code: 'corner-straight', corner: index };
  }
  return null;
}

function stiffnessFault(hang: TrussFrameHang): TrussFrameInputError | null {
  const stated = [
    ['ei', hang.eiNm2],
    ['ga', hang.gaN],
    ['gj', hang.gjNm2],
    ...hang.hoists.map(({ id, stiffnessNPerM }) => [`hoist ${id}`, stiffnessNPerM ?? null] as const),
  ] as const;
  for (const [what, value] of stated) {
    if (value === null) continue;
    if (!Number.isFinite(value)) return { code: 'not-finite', what };
    if (!(value > 0 && Number.isFinite(1 / value))) return { code: 'stiffness-not-positive', what };
  }
  const unlevel = hang.hoists.find(({ levelM }) => !Number.isFinite(levelM ?? 0));
  return unlevel === undefined ? null : { code: 'not-finite', what: `hoist ${unlevel.id}` };
}
