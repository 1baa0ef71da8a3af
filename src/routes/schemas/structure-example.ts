import type { KeepOut, Limit, Member, RoofNode, RoofPoint, StandingLoad } from '../../domain/roof/structure.ts';

/** An invented hang point, as the documentation shows it. */
export const EXAMPLE_POINT: RoofPoint = {
  id: 'b0000000-0000-4000-8000-000000000001',
  label: 'G2-L3',
  xM: -6,
  yM: -12,
  zM: 14.2,
  on: [],
  wllKg: 1000,
  reductions: [],
  maxAngleDeg: null,
  maxSidewaysKn: null,
  attachment: 'eye',
  access: 'catwalk',
  state: 'inService',
  stateReason: null,
  outOfService: [],
  inspectionDueDay: '2029-03-31',
  stiffnessKnPerM: null,
  terms: {
    basis: { kind: 'report', day: '2026-03-01', role: 'structural engineer', document: 'Roof report 26-014', standard: null },
    format: { kind: 'working' },
    dynamic: { kind: 'notIncluded' },
    mustInclude: ['load', 'hoist', 'chain', 'legParts'],
    holdsWithOthersLoaded: true,
  },
};

export const EXAMPLE_NODE: RoofNode = { id: 'd0000000-0000-4000-8000-000000000001', label: 'N2', xM: -12, yM: -12, zM: 15 };

/** An invented girder between two nodes; what its report does not tell is null. */
export const EXAMPLE_MEMBER: Member = {
  id: 'e0000000-0000-4000-8000-000000000002',
  label: 'G2',
  fromNodeId: EXAMPLE_NODE.id,
  toNodeId: 'd0000000-0000-4000-8000-000000000002',
  supports: [
    { id: 'west', atM: 0 },
    { id: 'east', atM: 24 },
  ],
  selfKgPerM: 180,
  deadLoads: [{ fromM: 0, toM: 24, kgPerM: 60 }],
  eGpa: 210,
  iCm4: 85_000,
  allowables: [{ fromM: 0, toM: 24, saggingKnm: 620, hoggingKnm: 300, shearKn: 240 }],
  allowableIs: 'total',
  terms: EXAMPLE_POINT.terms,
  panelPoints: { atM: [0, 3, 6, 9, 12, 15, 18, 21, 24], toleranceM: 0.15 },
  otherEffectsBasis: null,
};

export const EXAMPLE_LIMIT: Limit = {
  id: 'f0000000-0000-4000-8000-000000000003',
  label: 'Upstage bay',
  kind: 'group',
  pointIds: [EXAMPLE_POINT.id],
  maxKg: 6000,
  minKg: null,
  hard: true,
  terms: EXAMPLE_POINT.terms,
};

export const EXAMPLE_KEEP_OUT: KeepOut = {
  id: 'c0000000-0000-4000-8000-000000000004',
  label: 'Supply duct',
  fromDay: null,
  untilDay: null,
  reason: 'duct',
  area: [
    { xM: 2, yM: -4 },
    { xM: 14, yM: -4 },
    { xM: 14, yM: -3 },
    { xM: 2, yM: -3 },
  ],
  fromZM: 12.5,
  toZM: 13.4,
  hard: true,
};

export const EXAMPLE_STANDING_LOAD: StandingLoad = {
  id: 'a0000000-0000-4000-8000-000000000005',
  label: 'House curtain',
  fromDay: '2026-09-01',
  untilDay: null,
  permanent: true,
  points: [{ pointId: EXAMPLE_POINT.id, massKg: 140 }],
  memberLoads: [],
};
