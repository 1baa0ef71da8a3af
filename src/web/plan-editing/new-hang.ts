import { atan2, cos, degToRad, radToDeg, sin } from '../../domain/foundation/elementary.ts';
import { BLANKS } from '../../domain/plan/blank-equipment.ts';
import type { ArrayBuild, EquipmentUsed, Hang, PickUp, Plan, TrussBuild, TrussFrameBuild, TrussSection } from '../../domain/plan/plan.ts';
import type { Member, RoofNode, RoofPoint } from '../../domain/roof/structure.ts';

/** How far under its point a new hang's pick-up starts [m]: room for hoist and parts, to be set right by whoever plans. */
const BELOW_POINT_M = 4;
const HOIST = 'hoist';

/** Values that the person has not stated stay `null`: what needs them reads unknown. */
const UNSTATED_HOIST: EquipmentUsed = { from: null, data: { kind: 'hoist', name: 'Chain hoist', ...BLANKS.hoist } };

/** The hoist that the plan uses already, or one of which nothing is stated yet. */
function withHoist(plan: Plan): { plan: Plan; hoist: string } {
  const known = Object.entries(plan.equipment).find(([, { data }]) => data.kind === 'hoist')?.[0];
  if (known !== undefined) return { plan, hoist: known };
  return { plan: { ...plan, equipment: { ...plan.equipment, [HOIST]: UNSTATED_HOIST } }, hoist: HOIST };
}

const shackleOf = ({ equipment }: Plan): string | null =>
  Object.entries(equipment).find(([, { data }]) => data.kind === 'part' && data.part === 'shackle')?.[0] ?? null;

export function pickUpAt(plan: Plan, point: RoofPoint, hoist: string, id: string, chalk: string): PickUp {
  const shackle = shackleOf(plan);
  return {
    id,
    chalk,
    position: { xM: point.xM, yM: point.yM, zM: Math.max(0.5, point.zM - BELOW_POINT_M) },
    hoist: { equipment: hoist, mount: 'bodyDown', chainLengthM: null, bag: 'withBody' },
    lineItems: [],
    cableShare: [],
    attachment: { kind: 'direct', pointId: point.id, parts: shackle === null ? [] : [{ equipment: shackle, count: 1, hitch: 'straight' }] },
    givenLoad: null,
  };
}

export type NewKind = 'single' | 'array' | 'truss' | 'trussFrame';

/**
 * A hang under a point, with everything that is not known left open.
 * @param alongDeg  which way a truss lies until its second hoist says so
 */
export function hangUnder(
  before: Plan,
  point: RoofPoint,
  kind: NewKind,
  label: string,
  newId: () => string,
  alongDeg = 0,
): { plan: Plan; hangId: string } {
  const { plan, hoist } = withHoist(before);
  const first = pickUpAt(plan, point, hoist, newId(), label);
  const common = {
    id: newId(),
    label,
    department: null,
    suppliedBy: 'tour' as const,
    liftOrder: null,
    cue: null,
    up: null,
    trim: null,
    box: null,
    wind: null,
    support: 'hoist' as const,
    cables: [],
  };
  const hang: Hang =
    kind === 'single'
      ? { ...common, kind, pickUps: [first], items: [{ what: label, count: 1, massKg: null, basis: null }] }
      : kind === 'array'
        ? { ...common, kind, pickUps: [first], items: [], build: bareArray(first.id) }
        : kind === 'truss'
          ? { ...common, kind, pickUps: [first], items: [], build: bareTruss(first, alongDeg) }
          : { ...common, kind, pickUps: [first], items: [], build: bareFrame(first, alongDeg) };
  return { plan: { ...plan, hangs: [...plan.hangs, hang] }, hangId: hang.id };
}

/** A frame with two holes and one cabinet, sizes to be set to those of the real ones; no mass is made up. */
function bareArray(pickUpId: string): ArrayBuild {
  return {
    azimuthDeg: 0,
    framePitchDeg: 0,
    frame: {
      equipment: null,
      massKg: null,
      basis: null,
      cg: { uM: 0, vM: 0 },
      bottomPivot: { uM: 0, vM: -0.1 },
      holes: [
        { id: 'front', wllKg: null, uM: 0.3, vM: 0.05 },
        { id: 'rear', wllKg: null, uM: -0.5, vM: 0.05 },
      ],
    },
    elements: [cabinet({ massKg: null, basis: null, heightM: 0.35, depthM: 0.7, splayDeg: 0 })],
    extras: [],
    holes: [{ pickUpId, holeId: 'front' }],
    stackSizes: [],
    permittedConfiguration: null,
  };
}

/** Nothing of it is made up. */
const NO_SECTION: TrussSection = {
  selfKgPerM: null,
  selfBasis: null,
  eiKnm2: null,
  gaKn: null,
  gjKnm2: null,
  saggingKnm: null,
  hoggingKnm: null,
  shearKn: null,
  nodeSpacingM: null,
  allowablesBasis: null,
};

const OVERHANG_M = 0.5; // what a new truss goes beyond its first hoist, to be set right by whoever plans

/** A short piece about its one hoist: its second makes it as long as they are apart. */
function bareTruss({ id, position }: PickUp, azimuthDeg: number): TrussBuild {
  const turn = degToRad(azimuthDeg);
  return {
    lengthM: 2 * OVERHANG_M,
    start: { xM: position.xM - OVERHANG_M * cos(turn), yM: position.yM - OVERHANG_M * sin(turn), zM: position.zM ?? 0 },
    azimuthDeg,
    section: NO_SECTION,
    pickUps: [{ pickUpId: id, atM: OVERHANG_M, levelMm: 0 }],
    pointLoads: [],
    spreadLoads: [],
    pickUpsAboveM: null,
  };
}

const FRAME_M = { along: 4, across: 3 }; // until its hoists say how large it is

/** A rectangle with its first corner under the point. */
function bareFrame({ id, position }: PickUp, azimuthDeg: number): TrussFrameBuild {
  return {
    corners: rectangle({ xM: position.xM, yM: position.yM, azimuthDeg, lengthM: FRAME_M.along, widthM: FRAME_M.across }),
    closed: true,
    section: NO_SECTION,
    cornersStiff: null,
    sides: Array.from({ length: 4 }, () => ({ pointLoads: [], spreadLoads: [] })),
    pickUps: [{ pickUpId: id, side: 0, atM: 0, levelMm: 0 }],
  };
}

export type Rectangle = {
  readonly xM: number;
  readonly yM: number;
  readonly azimuthDeg: number;
  readonly lengthM: number;
  readonly widthM: number;
};

/** Its corners from the first, along its length first; a negative width lies on the other side of that. */
export function rectangle({ xM, yM, azimuthDeg, lengthM, widthM }: Rectangle): TrussFrameBuild['corners'] {
  const [c, s] = [cos(degToRad(azimuthDeg)), sin(degToRad(azimuthDeg))];
  const corner = (along: number, across: number) => ({ xM: xM + along * c - across * s, yM: yM + along * s + across * c });
  return [corner(0, 0), corner(lengthM, 0), corner(lengthM, widthM), corner(0, widthM)];
}

/** Which way the member of a point runs in plan [deg from x towards y]; 0 for a point on none. */
export function memberAzimuthDeg(
  { nodes, members }: { readonly nodes: readonly RoofNode[]; readonly members: readonly Member[] },
  { on }: RoofPoint,
): number {
  const member = members.find(({ id }) => id === on[0]?.memberId);
  const [from, to] = [member?.fromNodeId, member?.toNodeId].map((end) => nodes.find(({ id }) => id === end));
  return from && to ? radToDeg(atan2(to.yM - from.yM, to.xM - from.xM)) : 0;
}

export type CabinetFacts = Pick<ArrayBuild['elements'][number], 'massKg' | 'basis' | 'splayDeg'> & { heightM: number; depthM: number };

/** A box that turns about its front edge: pivots at the front, centre of gravity in the middle of it. */
export function cabinet({ massKg, basis, heightM, depthM, splayDeg }: CabinetFacts): ArrayBuild['elements'][number] {
  return {
    equipment: null,
    massKg,
    basis,
    cg: { uM: -depthM / 2, vM: -heightM / 2 },
    bottomPivot: { uM: 0, vM: -heightM },
    corners: [
      { uM: 0, vM: 0 },
      { uM: 0, vM: -heightM },
      { uM: -depthM, vM: -heightM * 0.85 },
      { uM: -depthM, vM: -heightM * 0.15 },
    ],
    splayDeg,
  };
}

export function cabinetFacts({ massKg, basis, splayDeg, bottomPivot, corners }: ArrayBuild['elements'][number]): CabinetFacts {
  return { massKg, basis, splayDeg, heightM: -bottomPivot.vM, depthM: Math.max(0, ...corners.map(({ uM }) => -uM)) };
}
