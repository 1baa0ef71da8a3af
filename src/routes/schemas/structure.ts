import { z } from 'zod';
import type {
  Basis,
  CapacityTerms,
  KeepOut,
  Limit,
  Member,
  Policy,
  RoofNode,
  RoofPoint,
  StandingLoad,
} from '../../domain/roof/structure.ts';
import { Id, Name } from './common.ts';
import {
  EXAMPLE_KEEP_OUT,
  EXAMPLE_LIMIT,
  EXAMPLE_MEMBER,
  EXAMPLE_NODE,
  EXAMPLE_POINT,
  EXAMPLE_STANDING_LOAD,
} from './structure-example.ts';

// Bounds that no roof passes: they catch slips of a unit. What fits the schema and cannot be is the domain's to say.
const coordinateM = z.number().min(-1000).max(1000);
const heightM = z.number().min(-50).max(500);
const stationM = z.number().min(0).max(1000);
const massKg = z.number().min(0).max(1e6);
const forceKn = z.number().min(0).max(1e5);
const text = z.string().trim().max(500);
const day = z.iso.date();
const days = { fromDay: day.nullable(), untilDay: day.nullable() };
const place = { xM: coordinateM, yM: coordinateM };
const area = z.array(z.strictObject(place)).min(3).max(100);

const BasisSchema = z.strictObject({
  kind: z.enum(['report', 'calculation', 'loadTest']),
  day,
  role: Name,
  document: Name,
  standard: text.nullable(),
}) satisfies z.ZodType<Basis>;
const Terms = z
  .strictObject({
    basis: BasisSchema.nullable(),
    format: z
      .discriminatedUnion('kind', [
        z.strictObject({ kind: z.literal('working') }),
        z.strictObject({ kind: z.literal('design'), permanentFactor: z.number().min(1).max(5), imposedFactor: z.number().min(1).max(5) }),
      ])
      .nullable(),
    dynamic: z
      .discriminatedUnion('kind', [
        z.strictObject({ kind: z.literal('included'), factor: z.number().min(1).max(10) }),
        z.strictObject({ kind: z.literal('notIncluded') }),
      ])
      .nullable(),
    mustInclude: z
      .array(z.enum(['load', 'hoist', 'chain', 'legParts']))
      .max(4)
      .nullable(),
    holdsWithOthersLoaded: z.boolean().nullable(),
  })
  .meta({ id: 'CapacityTerms' }) satisfies z.ZodType<CapacityTerms>;

export const NodeSchema = z
  .strictObject({ id: Id, label: Name, ...place, zM: heightM })
  .meta({ id: 'RoofNode', examples: [EXAMPLE_NODE] }) satisfies z.ZodType<RoofNode>;
export const MemberSchema = z
  .strictObject({
    id: Id,
    label: Name,
    fromNodeId: Id,
    toNodeId: Id,
    supports: z.array(z.strictObject({ id: z.string().trim().min(1).max(100), atM: stationM })).max(50),
    selfKgPerM: massKg.nullable(),
    deadLoads: z.array(z.strictObject({ fromM: stationM, toM: stationM, kgPerM: massKg })).max(200),
    eGpa: z.number().min(0).max(1000).nullable(),
    iCm4: z.number().min(0).max(1e9).nullable(),
    allowables: z
      .array(
        z.strictObject({
          fromM: stationM,
          toM: stationM,
          saggingKnm: forceKn.nullable(),
          hoggingKnm: forceKn.nullable(),
          shearKn: forceKn.nullable(),
        }),
      )
      .max(200),
    allowableIs: z.enum(['total', 'imposed']).nullable(),
    terms: Terms,
    panelPoints: z.strictObject({ atM: z.array(stationM).max(500), toleranceM: z.number().min(0).max(5) }).nullable(),
    otherEffectsBasis: BasisSchema.nullable(),
  })
  .meta({ id: 'RoofMember', examples: [EXAMPLE_MEMBER] }) satisfies z.ZodType<Member>;
export const PointSchema = z
  .strictObject({
    id: Id,
    label: Name,
    ...place,
    zM: heightM,
    on: z.array(z.strictObject({ memberId: Id, stationM, share: z.number().min(0).max(1) })).max(8),
    wllKg: massKg.nullable(),
    reductions: z.array(z.strictObject({ ...days, wllKg: massKg, reason: text })).max(100),
    maxAngleDeg: z.number().min(0).max(90).nullable(),
    maxSidewaysKn: forceKn.nullable(),
    attachment: z.enum(['eye', 'clamp', 'wrap', 'node']).nullable(),
    access: text.nullable(),
    state: z.enum(['inService', 'restricted', 'outOfService']),
    stateReason: text.nullable(),
    outOfService: z.array(z.strictObject({ ...days, reason: text })).max(100),
    inspectionDueDay: day.nullable(),
    stiffnessKnPerM: z.number().min(0).max(1e9).nullable(),
    terms: Terms,
  })
  .meta({ id: 'RoofPoint', examples: [EXAMPLE_POINT] }) satisfies z.ZodType<RoofPoint>;

const limitCommon = { id: Id, label: Name, hard: z.boolean(), terms: Terms };
const lowerKg = z.number().min(-1e6).max(1e6).nullable();
const pointIds = z.array(Id).min(1).max(5000);
export const LimitSchema = z
  .discriminatedUnion('kind', [
    z.strictObject({ ...limitCommon, kind: z.literal('group'), pointIds, maxKg: massKg, minKg: lowerKg }),
    z.strictObject({
      ...limitCommon,
      kind: z.literal('weighted'),
      weights: z
        .array(z.strictObject({ pointId: Id, factor: z.number().min(-1000).max(1000) }))
        .min(1)
        .max(5000),
      maxKg: massKg,
      minKg: lowerKg,
    }),
    z.strictObject({ ...limitCommon, kind: z.literal('spacing'), memberId: Id, minSpacingM: stationM, reducedKg: massKg.nullable() }),
    z.strictObject({ ...limitCommon, kind: z.literal('count'), pointIds, maxLoaded: z.int().min(0).max(5000) }),
    z.strictObject({
      ...limitCommon,
      kind: z.literal('sideways'),
      memberId: Id,
      acrossKn: forceKn.nullable(),
      alongKn: forceKn.nullable(),
    }),
    z.strictObject({ ...limitCommon, kind: z.literal('density'), memberId: Id, windowM: stationM, maxKg: massKg }),
    z.strictObject({ ...limitCommon, kind: z.literal('areaDensity'), area, maxKgPerM2: massKg }),
  ])
  .meta({ id: 'RoofLimit', examples: [EXAMPLE_LIMIT] }) satisfies z.ZodType<Limit>;
export const KeepOutSchema = z
  .strictObject({
    id: Id,
    label: Name,
    ...days,
    reason: z.enum(['lowSteel', 'catwalk', 'duct', 'scoreboard', 'safetyCurtain', 'smokeVent', 'sprinkler', 'sightline', 'exit', 'other']),
    area,
    fromZM: heightM,
    toZM: heightM,
    hard: z.boolean(),
  })
  .meta({ id: 'KeepOut', examples: [EXAMPLE_KEEP_OUT] }) satisfies z.ZodType<KeepOut>;
export const StandingLoadSchema = z
  .strictObject({
    id: Id,
    label: Name,
    ...days,
    permanent: z.boolean(),
    points: z.array(z.strictObject({ pointId: Id, massKg })).max(1000),
    memberLoads: z.array(z.strictObject({ memberId: Id, fromM: stationM, toM: stationM, kgPerM: massKg })).max(1000),
  })
  .meta({ id: 'StandingLoad', examples: [EXAMPLE_STANDING_LOAD] }) satisfies z.ZodType<StandingLoad>;

const share = z.number().min(0).max(2);
const divisor = z.number().min(1).max(50);
const PartFactorsSchema = z.strictObject({
  wllShare: z.number().min(0).max(1),
  wireRope: divisor,
  shackle: divisor,
  textile: divisor,
  chain: divisor,
});
export const PolicySchema = z
  .strictObject({
    setId: z.string().trim().min(1).max(100),
    allow: z.strictObject({ bridles: z.boolean(), wraps: z.boolean(), spreaders: z.boolean() }),
    closeFrom: z.number().min(0).max(1),
    dynamicFactor: z.strictObject({ atLeast: z.number().min(1).max(10), speedKnownUpToMPerMin: z.number().min(0).max(100) }),
    limiterFactor: z.number().min(1).max(10),
    levelRestMm: z.number().min(0).max(1000),
    levelMovingMm: z.number().min(0).max(1000),
    plumbDeg: z.number().min(0).max(45),
    legCloseDeg: z.number().min(0).max(90),
    legOverDeg: z.number().min(0).max(90),
    chokeFactor: z.number().min(0).max(1),
    contingency: z.strictObject({ weighed: share, documented: share, estimated: share, cablesAtLeast: share }),
    partsOverPeople: PartFactorsSchema,
    partsNotOverPeople: PartFactorsSchema,
    engineerAboveKg: massKg.nullable(),
    secondaryCasesHard: z.boolean(),
  })
  .meta({ id: 'Policy' }) satisfies z.ZodType<Policy>;
export const SignedPolicySchema = z
  .object({ policy: PolicySchema, signedBy: z.string(), signerRole: z.string(), signedAt: z.string() })
  .meta({ id: 'SignedPolicy' });

/** The kinds of the working copy: their place in an address, their place in the whole, and their schema. */
export const ITEM_KINDS = {
  nodes: { kind: 'node', schema: NodeSchema },
  members: { kind: 'member', schema: MemberSchema },
  points: { kind: 'point', schema: PointSchema },
  limits: { kind: 'limit', schema: LimitSchema },
  'keep-outs': { kind: 'keepOut', schema: KeepOutSchema },
  'standing-loads': { kind: 'standingLoad', schema: StandingLoadSchema },
} as const;
export type ItemPath = keyof typeof ITEM_KINDS;
