import { createHash } from 'node:crypto';
import type { AssessInput } from '../../src/domain/assessment/assess.ts';
import { assess } from '../../src/domain/assessment/assess.ts';
import type { Assessment, Check, NeighbourLoad } from '../../src/domain/assessment/assessment.ts';
import { kgToKn } from '../../src/domain/foundation/units.ts';
import { checkPlan } from '../../src/domain/plan/check-plan.ts';
import type { Hang, HoistData, PartData, PickUp, Plan } from '../../src/domain/plan/plan.ts';
import type { PublishedRoof } from '../../src/domain/roof/structure.ts';
import { expectOk, publish } from './roof-samples.ts';

// Everything below is invented; the numbers are round, so that sums can be followed by hand.
export const SHOW = { from: '2026-03-10T10:00:00.000Z', to: '2026-03-12T04:00:00.000Z' };
export const BEFORE = '2026-01-01T00:00:00.000Z';

/** A dynamic factor of exactly 1.25: the maker's, equal to the policy's least. */
export const hoist = (change: Partial<HoistData> = {}): HoistData => ({
  kind: 'hoist',
  name: 'hoist',
  wllKg: 1000,
  wllIsNetOf: 'hook',
  bodyKg: 40,
  chainKgPerM: 1,
  falls: 1,
  bagKg: 5,
  liftM: 20,
  speedMPerMin: 4,
  variableSpeed: false,
  dynamicFactor: 1.25,
  shortestHookToHookM: 0.6,
  chainStiffnessKnPerM: null,
  limiterFactor: 1.6,
  mayHoldOverPeople: true,
  mayMoveOverPeople: true,
  needsSecondary: false,
  ...change,
});

export const steel = (change: Partial<PartData> = {}): PartData => ({
  kind: 'part',
  name: 'steel',
  part: 'wireRope',
  lengthM: 1,
  massKg: 2,
  wllKg: 4000,
  breakingKn: null,
  ...change,
});

const CATALOGUE = { itemId: 'item', version: 1, hash: 'h' };
export const documented = <D extends HoistData | PartData>(data: D) => ({ from: CATALOGUE, data });

export const direct = (pointId: string): PickUp['attachment'] => ({ kind: 'direct', pointId, parts: [] });

export const pickUp = (id: string, change: Partial<PickUp> = {}): PickUp => ({
  id,
  chalk: id,
  position: { xM: 2, yM: 0, zM: 6 },
  hoist: { equipment: 'hoist', mount: 'bodyDown', chainLengthM: 20, bag: 'withBody' },
  lineItems: [],
  cableShare: [],
  attachment: direct('p1'),
  givenLoad: null,
  ...change,
});

type Common = Omit<Extract<Hang, { kind: 'single' }>, 'kind'>;
const common = (id: string): Common => ({
  id,
  label: id,
  department: null,
  suppliedBy: 'tour',
  liftOrder: null,
  cue: null,
  up: null,
  trim: null,
  box: null,
  wind: null,
  support: 'hoist',
  pickUps: [pickUp(`${id}-1`)],
  items: [{ what: 'load', count: 1, massKg: 400, basis: 'weighed' }],
  cables: [],
});
export const single = (id: string, change: Partial<Common> = {}): Hang => ({ kind: 'single', ...common(id), ...change });

export const planOf = (hangs: Hang[], equipment: Plan['equipment'] = {}): Plan => ({
  format: 1,
  hangs,
  equipment: { hoist: documented(hoist()), steel: documented(steel()), ...equipment },
});

/** A dead hang has no hoist to weigh: what is listed is what the point sees. */
export const dead = (id: string, pointId: string, massKg: number, change: Partial<Common> = {}): Hang =>
  single(id, {
    pickUps: [pickUp(`${id}-1`, { hoist: null, attachment: direct(pointId), position: { xM: pointId === 'p2' ? 7 : 2, yM: 0, zM: 6 } })],
    items: [{ what: 'load', count: 1, massKg, basis: 'weighed' }],
    ...change,
  });

export const neighbour = (pointId: string, massKg: number, change: Partial<NeighbourLoad> = {}): NeighbourLoad => {
  const pull = { xKn: 0, yKn: 0, downKn: kgToKn(massKg) };
  return {
    ref: 'n',
    status: 'agreed',
    planHash: 'np',
    hangId: 'nh',
    pointId,
    ...SHOW,
    resting: pull,
    moving: pull,
    isLowerBound: false,
    ...change,
  };
};

export const sha256 = (text: string): string => createHash('sha256').update(text).digest('hex');

/** No member of this roof states allowables: the strength of members has its own tests. */
export const roofOf = (change: Parameters<typeof publish>[0] = {}): PublishedRoof => publish({ members: [], points: bare(), ...change });
const bare = () => publish().points.map((point) => ({ ...point, on: [] }));

const PLAIN_ROOF = roofOf();

export const inputOf = (plan: Plan, change: Partial<AssessInput> = {}): AssessInput => ({
  roof: PLAIN_ROOF,
  revisionHash: 'revision',
  plan: expectOk(checkPlan(plan, change.show ?? SHOW)),
  planHash: 'plan',
  policyHash: 'policy',
  show: SHOW,
  neighbours: [],
  asOf: BEFORE,
  sha256,
  ...change,
});
export const assessed = (plan: Plan, change: Partial<AssessInput> = {}): Assessment => assess(inputOf(plan, change));

export function checkIn(assessment: Assessment, id: string): Check {
  const check = assessment.outcome.checks.find((candidate) => candidate.id === id);
  if (check === undefined) throw new Error(`no check ${id} among ${assessment.outcome.checks.map((each) => each.id).join(' ')}`);
  return check;
}
