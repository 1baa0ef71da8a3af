import type { Instant } from '../roof/structure.ts';

/** `unknown` is never a pass: something that the check needs was not stated, or is not computed. */
export type Verdict = 'fits' | 'close' | 'over' | 'unknown';
export type LoadCase = 'resting' | 'moving' | 'build' | 'tilt' | 'slack' | 'limiter' | 'accidental';

export type CheckKind =
  | 'pointDown'
  | 'pointSideways'
  | 'pointState'
  | 'inspection'
  | 'group'
  | 'weighted'
  | 'memberMoment'
  | 'memberShear'
  | 'spacing'
  | 'count'
  | 'sideways'
  | 'density'
  | 'keepOut'
  | 'headroom'
  | 'plumb'
  | 'hoist'
  | 'limiter'
  | 'part'
  | 'leg'
  | 'truss'
  | 'configuration'
  | 'wind'
  | 'mass'
  | 'policy';

/** How a number came about, short enough to print. */
export type Reckoning = { formula: string; numbers: string; result: string; source: string };

/** A load that a check counted. Neighbours are named by the opaque reference of their commitment alone. */
export type CountedLoad = { from: 'plan' | 'standing' | 'neighbour'; id: string; pointId: string | null; amount: number };

export type Check = {
  /** Made of kind and subject ids, so that the same check has the same id in every assessment of the proposal. */
  id: string;
  kind: CheckKind;
  pointId: string | null;
  limitId: string | null;
  memberId: string | null;
  hangId: string | null;
  pickUpId: string | null;
  hard: boolean;
  case: LoadCase | null;
  demand: number | null;
  capacity: number | null;
  unit: 'kg' | 'kN' | 'kNm' | 'deg' | 'm' | 'count' | null;
  utilisation: number | null;
  verdict: Verdict;
  /** Why it is `unknown`, or what is wrong, in a code and in words. */
  reason: { code: string; text: string } | null;
  /** Earliest unbroken interval at the worst. */
  during: { from: Instant; to: Instant } | null;
  counted: CountedLoad[];
  reckoning: Reckoning[];
  /** Of a member's strength: the most that the loads can come to along it, at its ends, supports, loads and peaks. */
  diagram: { atM: number; demand: number; capacity: number | null }[] | null;
};

/** What one pick-up puts on one point: the pull of the rigging on the roof, down positive. */
export type PointLoad = {
  hangId: string;
  pickUpId: string;
  pointId: string;
  case: LoadCase;
  during: { from: Instant; to: Instant };
  xKn: number;
  yKn: number;
  downKn: number;
  /** Something of it is not stated: what hangs there is at least this. */
  isLowerBound: boolean;
};

/** What stands in for another show: per point, the envelope of its stored commitment. */
export type NeighbourLoad = {
  ref: string;
  status: 'agreed' | 'submitted';
  planHash: string;
  hangId: string;
  pointId: string;
  from: Instant;
  to: Instant;
  resting: { xKn: number; yKn: number; downKn: number };
  moving: { xKn: number; yKn: number; downKn: number };
  /** Something of it was not stated when it was agreed: then every check that it counts in is a lower bound too. */
  isLowerBound?: boolean;
};

/** Loads, checks and verdict: what G2 compares. Holds ids, never labels, and no identity of revision, plan or engine. */
export type Outcome = {
  verdict: Verdict;
  loads: PointLoad[];
  checks: Check[];
  totals: { massKg: number; contingencyKg: number; estimatedShare: number; worstUtilisation: number | null };
};

export type Assessment = {
  format: 1;
  engine: string;
  outcome: Outcome;
  outcomeHash: string;
  covers: {
    revisionHash: string;
    planHash: string;
    policyHash: string;
    neighbours: { planHash: string; from: Instant; to: Instant }[];
  };
  assessmentHash: string;
  /**
   * The same limits with everything that is only submitted counted as hanging too: advisory, and covered by no hash, so that somebody
   * else's wish cannot move what a decider is reading.
   */
  withSubmitted: Check[];
  /** Neighbours that count as hanging although their time has passed: nobody has said that they are down. */
  overdueNeighbours: string[];
  cautions: string[];
};
