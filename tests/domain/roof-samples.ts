import type { Result } from '../../src/domain/foundation/result.ts';
import type { Basis, CapacityTerms, Limit, Member, PublishedRoof, RoofDraft, RoofPoint } from '../../src/domain/roof/structure.ts';
import { offeredPolicies } from '../../src/domain/roof/offered-policies.ts';
import { publishRoof } from '../../src/domain/roof/publish.ts';

export function expectOk<T, E>(result: Result<T, E>): T {
  if (!result.ok) throw new Error(JSON.stringify(result.error));
  return result.value;
}
export function expectFail<T, E>(result: Result<T, E>): E {
  if (result.ok) throw new Error('was expected to fail');
  return result.error;
}

// Everything below is invented.
export const basis: Basis = { kind: 'report', day: '2024-05-02', role: 'structural engineer', document: 'R-1', standard: null };
export const terms: CapacityTerms = {
  basis,
  format: { kind: 'working' },
  dynamic: { kind: 'notIncluded' },
  mustInclude: ['load', 'hoist', 'chain', 'legParts'],
  holdsWithOthersLoaded: true,
};

export const point = (id: string, change: Partial<RoofPoint> = {}): RoofPoint => ({
  id,
  label: `P-${id}`,
  xM: 0,
  yM: 0,
  zM: 12,
  on: [],
  wllKg: 1000,
  reductions: [],
  maxAngleDeg: null,
  maxSidewaysKn: null,
  attachment: 'eye',
  access: null,
  state: 'inService',
  stateReason: null,
  outOfService: [],
  inspectionDueDay: '2027-06-30',
  stiffnessKnPerM: null,
  terms,
  ...change,
});

/** Ten metres along x between the nodes n1 and n2, on supports at both ends. */
export const member = (id: string, change: Partial<Member> = {}): Member => ({
  id,
  label: `M-${id}`,
  fromNodeId: 'n1',
  toNodeId: 'n2',
  supports: [
    { id: 's1', atM: 0 },
    { id: 's2', atM: 10 },
  ],
  selfKgPerM: 50,
  deadLoads: [],
  eGpa: 210,
  iCm4: 20_000,
  allowables: [{ fromM: 0, toM: 10, saggingKnm: 100, hoggingKnm: 80, shearKn: 60 }],
  allowableIs: 'total',
  terms,
  panelPoints: null,
  otherEffectsBasis: basis,
  ...change,
});

export const group = (id: string, pointIds: string[], maxKg: number): Limit => ({
  id,
  label: `L-${id}`,
  hard: true,
  terms,
  kind: 'group',
  pointIds,
  maxKg,
  minKg: null,
});

export const europe = (): NonNullable<RoofDraft['policy']> => {
  const offered = offeredPolicies().find(({ setId }) => setId === 'europe-over-people');
  if (offered === undefined) throw new Error('the set is not offered');
  return { policy: offered.policy, signedBy: 'person-1', signerRole: 'technical manager', signedAt: '2025-01-02T03:04:05.000Z' };
};

export const draft = (change: Partial<RoofDraft> = {}): RoofDraft => ({
  exposure: 'indoor',
  timeZone: 'Europe/Vienna',
  nodes: [
    { id: 'n1', label: 'A1', xM: 0, yM: 0, zM: 12 },
    { id: 'n2', label: 'A2', xM: 10, yM: 0, zM: 12 },
  ],
  members: [member('m1')],
  points: [
    point('p1', { on: [{ memberId: 'm1', stationM: 2, share: 1 }], xM: 2 }),
    point('p2', { on: [{ memberId: 'm1', stationM: 7, share: 1 }], xM: 7 }),
  ],
  limits: [group('g1', ['p1', 'p2'], 1500)],
  keepOuts: [],
  standingLoads: [],
  policy: europe(),
  ...change,
});

/** An invented zone that is always two hours ahead, so that days start at 22:00 the evening before in UTC. */
export const twoHoursAhead = (day: string): string => new Date(Date.parse(`${day}T00:00:00.000Z`) - 2 * 3_600_000).toISOString();

export const publish = (change: Partial<RoofDraft> = {}): PublishedRoof => expectOk(publishRoof(draft(change), twoHoursAhead));
