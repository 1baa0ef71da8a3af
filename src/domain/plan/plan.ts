import type { ArrayFrameData, CabinetData, CableData, SpanTableEntry, TrussSectionData } from './equipment-data.ts';

/**
 * The plan document: everything that should hang in one show. Whole without the catalogue: every equipment value used is copied in.
 * `null` means "not stated". Positions on the space's axes [m].
 */
export type MassBasis = 'weighed' | 'documented' | 'estimated';
export type Position = { xM: number; yM: number; zM: number };

/** One line of a take-off: `count` pieces of `massKg` each. */
export type MassItem = { what: string; count: number; massKg: number | null; basis: MassBasis | null };
/** Cable that hangs with the load: `count` runs of `lengthM`. */
export type CableItem = { what: string; count: number; lengthM: number; kgPerM: number | null; basis: MassBasis | null };

export type HoistData = {
  kind: 'hoist';
  name: string;
  wllKg: number | null;
  /** What the WLL is net of: what hangs under the hook, or that and the hoist's own body when it lifts itself. */
  wllIsNetOf: 'hook' | 'hookPlusBody' | null;
  bodyKg: number | null;
  /** Mass of one metre of chain, one fall. */
  chainKgPerM: number | null;
  falls: number | null;
  bagKg: number | null;
  liftM: number | null;
  speedMPerMin: number | null;
  variableSpeed: boolean | null;
  /** Maker's dynamic factor for this class and speed. */
  dynamicFactor: number | null;
  shortestHookToHookM: number | null;
  chainStiffnessKnPerM: number | null;
  limiterFactor: number | null;
  mayHoldOverPeople: boolean | null;
  mayMoveOverPeople: boolean | null;
  needsSecondary: boolean | null;
};
export type PartData = {
  kind: 'part';
  name: string;
  part: 'wireRope' | 'shackle' | 'ring' | 'adjuster' | 'spreader' | 'textile' | 'chain' | 'clamp' | 'secondary' | 'loadCell';
  lengthM: number | null;
  massKg: number | null;
  wllKg: number | null;
  /** Of the finished part, its ends included: bare rope holds more than its ends do. */
  breakingKn: number | null;
} & PartMarking;
/** What else the marking or document of a part says, each where it has a meaning. Absent or null = not stated. */
type PartMarking = {
  /** Ways in which a sling may take hold. */
  hitches?: ('straight' | 'choke' | 'basket')[] | null | undefined;
  /** Smallest diameter to bend round over the sling's own. */
  leastBendRatio?: number | null | undefined;
  /** Largest angle of a pull aside: across a load cell or adjuster, off vertical at a clamp. */
  sideAngleDeg?: number | null | undefined;
  /** Of a shackle. */
  pin?: 'screw' | 'bolt' | 'round' | null | undefined;
  /** Flange widths that a clamp takes. */
  flangeFromM?: number | null | undefined;
  flangeToM?: number | null | undefined;
  /** What a secondary is rated to catch, from what fall, and the largest force of that catch. */
  catchesKg?: number | null | undefined;
  catchFallM?: number | null | undefined;
  catchPeakKn?: number | null | undefined;
};
export type EquipmentData = HoistData | PartData | CabinetData | ArrayFrameData | TrussSectionData | CableData;
/** Equipment as it was when the plan took it in. `hash`: of the facts (equipment-hash.ts). Own entries have no catalogue identity. */
export type EquipmentUsed = { from: { itemId: string; version: number; hash: string } | null; data: EquipmentData };

export type PartUsed = {
  equipment: string;
  count: number;
  hitch: 'straight' | 'choke' | 'basket' | null;
  /** Diameter that a sling bends round over its own; absent or null = not stated. */
  bendRatio?: number | null | undefined;
  /** Angle between the two ends of a sling in a basket. */
  basketDeg?: number | null | undefined;
  /** Width of the flange that a clamp sits on. */
  flangeM?: number | null | undefined;
};
/** A second way up that is slack until the first fails: from its own point. */
export type Secondary = { pointId: string; parts: PartUsed[]; slackMm: number | null };

export type Attachment =
  | { kind: 'direct'; pointId: string; parts: PartUsed[] }
  | { kind: 'bridle'; apex: Position; legs: { pointId: string; parts: PartUsed[] }[]; apexParts: PartUsed[] }
  | { kind: 'tiers'; foot: TiersFoot; tiers: Tier[] }
  | { kind: 'hang'; hangId: string; parts: PartUsed[] };

/** Where a line meets a tier: `atM` along a spreader from its start, null at a ring. */
export type OnTier = { tierId: string; atM: number | null };
/** What the line from the hook ends at, and the parts in between. */
export type TiersFoot = OnTier & { parts: PartUsed[] };
export type TierLeg = { to: { pointId: string } | OnTier; parts: PartUsed[] };
/** One tier of two-leg bridles and spreaders: each hangs from points, or from tiers above it. Ids are unique within the attachment. */
export type Tier =
  | { kind: 'ring'; id: string; apex: Position; parts: PartUsed[]; legs: TierLeg[] }
  | {
      kind: 'spreader';
      id: string;
      start: Position;
      end: Position;
      parts: PartUsed[];
      lines: (TierLeg & { atM: number })[];
      /** The document that permits its lines and loads at these places and angles; null = none. */
      useBasis: string | null;
    };

/** A force at a pick-up that somebody else worked out, in place of our statics. */
export type GivenLoad = {
  massKg: number;
  basis: MassBasis;
  source: string;
  /** The load is the most for hoists out of level by as much as this; absent or null = for level ones. */
  levelWithinMm?: number | null | undefined;
  /** Whether the load is the most also while some of what hangs is not there yet or is down again; absent or null = not stated. */
  coversBuild?: boolean | null | undefined;
};

export type PickUp = {
  id: string;
  chalk: string;
  position: { xM: number; yM: number; zM: number | null };
  /** null = dead hang. */
  hoist: { equipment: string; mount: 'bodyDown' | 'bodyUp'; chainLengthM: number | null; bag: 'withBody' | 'onHang' | 'none' } | null;
  /** Load cells, spreaders and what else hangs on this line. */
  lineItems: MassItem[];
  /** What this line carries of multicables on their way up. */
  cableShare: CableItem[];
  attachment: Attachment;
  givenLoad: GivenLoad | null;
  /** Absent or null = none. */
  secondary?: Secondary | null | undefined;
};

/**
 * A line that holds a hang aside. A breastline or pull-back takes what equilibrium asks of it; a guy is set to a pretension.
 * It ends at a point of the roof, or at some other place, which its own document has to say holds it.
 */
export type LineOffPlumb = {
  id: string;
  kind: 'breastline' | 'pullBack' | 'guy';
  /** On an array: where it is made fast, in the axes of that part. Null on others: at the hook. */
  at: ({ on: 'frame' | number } & SidePoint) | null;
  /** On a truss: the pick-up whose hook it is made fast at, where chain and truss meet. Absent or null = the only one. */
  pickUpId?: string | null | undefined;
  to: { pointId: string } | { place: Position; holdsKn: number | null; basis: string | null };
  parts: PartUsed[];
  /** Of a guy; null = not stated. */
  pretensionKn: number | null;
};

type HangCommon = {
  id: string;
  label: string;
  department: string | null;
  suppliedBy: 'tour' | 'house' | 'supplier' | null;
  liftOrder: number | null;
  cue: string | null;
  /** Its own [up, down) inside the show; null = the whole show. */
  up: { from: string; to: string } | null;
  trim: { heightM: number; of: 'lowestCorner' | 'trussBottom' | 'pipeCentre' } | null;
  /** The box it fills at trim, for clearances; a rotated rectangle in plan between two heights. */
  box: { xM: number; yM: number; alongM: number; acrossM: number; azimuthDeg: number; bottomZM: number; topZM: number } | null;
  wind: { inServiceKn: number; outOfServiceKn: number; comesDownAtMPerS: number } | null;
  support: 'hoist' | 'ground';
  pickUps: PickUp[];
  /** What is lifted, where it is not worked out from the kind's own parts. */
  items: MassItem[];
  cables: CableItem[];
  /** Absent or null = none. */
  linesOffPlumb?: LineOffPlumb[] | null | undefined;
};

/** Array, truss and truss frame carry their own build; statics for them read it. */
export type Hang = HangCommon &
  (
    | { kind: 'single' }
    | { kind: 'cablePick' }
    | { kind: 'array'; build: ArrayBuild | null }
    | { kind: 'truss'; build: TrussBuild | null }
    | { kind: 'trussFrame'; build: TrussFrameBuild | null }
  );

export type SidePoint = { uM: number; vM: number };
export type ArrayBuild = {
  azimuthDeg: number;
  framePitchDeg: number | null;
  frame: {
    equipment: string | null;
    massKg: number | null;
    basis: MassBasis | null;
    cg: SidePoint;
    bottomPivot: SidePoint;
    holes: ({ id: string; wllKg: number | null } & SidePoint)[];
  };
  elements: {
    equipment: string | null;
    massKg: number | null;
    basis: MassBasis | null;
    cg: SidePoint;
    bottomPivot: SidePoint;
    corners: SidePoint[];
    splayDeg: number;
  }[];
  extras: ({ on: 'frame' | number; what: string; massKg: number | null; basis: MassBasis | null } & SidePoint)[];
  /** Hole of each pick-up. */
  holes: { pickUpId: string; holeId: string }[];
  stackSizes: number[];
  permittedConfiguration: { document: string; covers: string } | null;
};
export type TrussSection = {
  selfKgPerM: number | null;
  /** Of the self weight; null = not stated. Absent = documented, as in plans from before it could be told. */
  selfBasis?: MassBasis | null | undefined;
  eiKnm2: number | null;
  gaKn: number | null;
  gjKnm2: number | null;
  saggingKnm: number | null;
  hoggingKnm: number | null;
  shearKn: number | null;
  nodeSpacingM: number | null;
  /** Of the allowable forces and of the table of spans. */
  allowablesBasis: string | null;
  /** Absent, null or empty = none. */
  spanTable?: SpanTableEntry[] | null | undefined;
};
/** Where the centre of gravity of a load is, from the axis of the truss: to one side, and up. Absent or null = not stated. */
export type OffAxis = { besideM?: number | null | undefined; aboveM?: number | null | undefined };
export type TrussLoads = {
  pointLoads: ({ what: string; atM: number; massKg: number | null; basis: MassBasis | null } & OffAxis)[];
  spreadLoads: ({ what: string; fromM: number; toM: number; kgPerM: number | null; basis: MassBasis | null } & OffAxis)[];
};
export type TrussBuild = TrussLoads & {
  lengthM: number;
  start: Position;
  azimuthDeg: number;
  section: TrussSection;
  pickUps: { pickUpId: string; atM: number; levelMm: number }[];
  /** Height of the pick-ups above the axis of the truss; absent or null = not stated. */
  pickUpsAboveM?: number | null | undefined;
  /** The document that covers torsion from loads beside the centre line; absent or null = none. */
  torsionBasis?: string | null | undefined;
};
export type TrussFrameBuild = {
  corners: { xM: number; yM: number }[];
  closed: boolean;
  section: TrussSection;
  cornersStiff: boolean | null;
  sides: TrussLoads[];
  pickUps: { pickUpId: string; side: number; atM: number; levelMm: number }[];
  /** The document that covers the torsion of its sides; absent or null = none. */
  torsionBasis?: string | null | undefined;
};

/** Floor that is closed to people in [from, to): nobody is below what hangs over it. Convex, corners in order. */
export type ClosedArea = { what: string; corners: { xM: number; yM: number }[]; from: string; to: string };

export type Plan = {
  format: 1;
  hangs: Hang[];
  equipment: Record<string, EquipmentUsed>;
  /** Absent = none: everything is over people. */
  closedAreas?: ClosedArea[] | undefined;
};

export const EMPTY_PLAN: Plan = { format: 1, hangs: [], equipment: {} };
