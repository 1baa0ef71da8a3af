/**
 * What a space holds, as published: the content of a revision. Lengths in metres on the space's axes (origin at the datum,
 * x to house right, y upstage, z up from the finished floor). `null` always means "not stated", and is never read as a good value.
 */

/** RFC 3339 in UTC with milliseconds, as `Date.toISOString` writes it: compares as text. */
export type Instant = string;
/** A calendar day in the venue's zone, YYYY-MM-DD. */
export type CalendarDay = string;

export type Exposure = 'indoor' | 'covered' | 'open';

/** Where a capacity comes from. */
export type Basis = {
  kind: 'report' | 'calculation' | 'loadTest';
  day: CalendarDay;
  role: string;
  document: string;
  standard: string | null;
};

/** What a capacity means; any null makes every check against it `unknown`. */
export type CapacityTerms = {
  basis: Basis | null;
  /** `working`: compare with the unfactored load; `design`: compare with the load times the factors. */
  format: { kind: 'working' } | { kind: 'design'; permanentFactor: number; imposedFactor: number } | null;
  /** Whether the capacity already allows for lifting: then the dynamic factor is not applied twice. */
  dynamic: { kind: 'included'; factor: number } | { kind: 'notIncluded' } | null;
  mustInclude: ('load' | 'hoist' | 'chain' | 'legParts')[] | null;
  /** Whether it holds with every other point loaded too. */
  holdsWithOthersLoaded: boolean | null;
};

export type RoofNode = { id: string; label: string; xM: number; yM: number; zM: number };

/** Allowable forces of a member between two stations, sizes (all >= 0). */
type MemberAllowable = { fromM: number; toM: number; saggingKnm: number | null; hoggingKnm: number | null; shearKn: number | null };

export type Member = {
  id: string;
  label: string;
  fromNodeId: string;
  toNodeId: string;
  supports: { id: string; atM: number }[];
  selfKgPerM: number | null;
  deadLoads: { fromM: number; toM: number; kgPerM: number }[];
  eGpa: number | null;
  iCm4: number | null;
  allowables: MemberAllowable[];
  allowableIs: 'total' | 'imposed' | null;
  terms: CapacityTerms;
  /** Stations where loads may sit, where only panel points may be loaded. */
  panelPoints: { atM: number[]; toleranceM: number } | null;
  /** The strong-axis check leaves out sideways force, torsion, flange bending and lateral buckling: what covers them. */
  otherEffectsBasis: Basis | null;
};

/** From [fromDay, untilDay) on, or open-ended where null. */
export type Days = { fromDay: CalendarDay | null; untilDay: CalendarDay | null };

export type RoofPoint = {
  id: string;
  label: string;
  xM: number;
  yM: number;
  zM: number;
  on: { memberId: string; stationM: number; share: number }[];
  wllKg: number | null;
  /** Lower ratings for a time: seasonal reserve, works in progress. */
  reductions: (Days & { wllKg: number; reason: string })[];
  /** Largest angle off vertical; null with `maxSidewaysKn` null = vertical loads only. */
  maxAngleDeg: number | null;
  maxSidewaysKn: number | null;
  attachment: 'eye' | 'clamp' | 'wrap' | 'node' | null;
  access: string | null;
  state: 'inService' | 'restricted' | 'outOfService';
  stateReason: string | null;
  outOfService: (Days & { reason: string })[];
  inspectionDueDay: CalendarDay | null;
  stiffnessKnPerM: number | null;
  terms: CapacityTerms;
};

type LimitCommon = { id: string; label: string; hard: boolean; terms: CapacityTerms };
export type Limit = LimitCommon &
  (
    | { kind: 'group'; pointIds: string[]; maxKg: number; minKg: number | null }
    | { kind: 'weighted'; weights: { pointId: string; factor: number }[]; maxKg: number; minKg: number | null }
    | { kind: 'spacing'; memberId: string; minSpacingM: number; reducedKg: number | null }
    | { kind: 'count'; pointIds: string[]; maxLoaded: number }
    | { kind: 'sideways'; memberId: string; acrossKn: number | null; alongKn: number | null }
    | { kind: 'density'; memberId: string; windowM: number; maxKg: number }
    | { kind: 'areaDensity'; area: { xM: number; yM: number }[]; maxKgPerM2: number }
  );

export type KeepOut = Days & {
  id: string;
  label: string;
  reason: 'lowSteel' | 'catwalk' | 'duct' | 'scoreboard' | 'safetyCurtain' | 'smokeVent' | 'sprinkler' | 'sightline' | 'exit' | 'other';
  area: { xM: number; yM: number }[];
  fromZM: number;
  toZM: number;
  hard: boolean;
};

export type StandingLoad = Days & {
  id: string;
  label: string;
  /** Only a permanent load may relieve a limit. */
  permanent: boolean;
  points: { pointId: string; massKg: number }[];
  memberLoads: { memberId: string; fromM: number; toM: number; kgPerM: number }[];
};

/** Factors and thresholds that the venue chose as a named set and signed. */
export type Policy = {
  setId: string;
  allow: { bridles: boolean; wraps: boolean; spreaders: boolean };
  closeFrom: number;
  dynamicFactor: { atLeast: number; speedKnownUpToMPerMin: number };
  limiterFactor: number;
  levelRestMm: number;
  levelMovingMm: number;
  plumbDeg: number;
  legCloseDeg: number;
  legOverDeg: number;
  chokeFactor: number;
  /** Added to a mass by its basis, as a share: 0.05 = 5 %. */
  contingency: { weighed: number; documented: number; estimated: number; cablesAtLeast: number };
  partsOverPeople: PartFactors;
  partsNotOverPeople: PartFactors;
  /** An engineer must decide above this total; null = not asked for by mass. */
  engineerAboveKg: number | null;
  /** Whether `slack`, `limiter` and `accidental` cases stop a yes, or only advise. */
  secondaryCasesHard: boolean;
};
/** Share of a stated WLL that may be used, and divisors of a breaking force. */
export type PartFactors = { wllShare: number; wireRope: number; shackle: number; textile: number; chain: number };

export type SignedPolicy = { policy: Policy; signedBy: string; signerRole: string; signedAt: Instant };

/** The working copy as a whole, with calendar days as the venue entered them. */
export type RoofDraft = {
  exposure: Exposure;
  timeZone: string;
  nodes: RoofNode[];
  members: Member[];
  points: RoofPoint[];
  limits: Limit[];
  keepOuts: KeepOut[];
  standingLoads: StandingLoad[];
  policy: SignedPolicy | null;
};

/**
 * A published roof. `dayStarts` gives the instant at which each calendar day that occurs begins in the venue's zone:
 * worked out once, at publishing, so that a later change of the zone's rules changes nothing that was agreed.
 */
export type PublishedRoof = Omit<RoofDraft, 'policy'> & { format: 1; policy: SignedPolicy; dayStarts: Record<CalendarDay, Instant> };
