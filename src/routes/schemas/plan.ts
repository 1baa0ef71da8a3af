import { z } from 'zod';
import type { Attachment, EquipmentData, EquipmentUsed, Hang, LineOffPlumb, PickUp, Plan, Tier } from '../../domain/plan/plan.ts';
import { Id, InstantText, Name, Sha256 } from './common.ts';
import { EXAMPLE_HANG, EXAMPLE_PLAN } from './plan-example.ts';

// Bounds that no real rig passes: they keep arithmetic sane and catch slips of a unit. What fits and cannot be is the domain's to say.
const massKg = z.number().min(0).max(1e6).nullable();
const coordinateM = z.number().min(-1000).max(1000);
const heightM = z.number().min(-50).max(500);
const lengthM = z.number().min(0).max(1000);
const forceKn = z.number().min(0).max(1e5);
const notNegative = z.number().min(0).max(1e9).nullable();
const angleDeg = z.number().min(-360).max(360);
const count = z.int().min(0).max(10_000);
const text = z.string().trim().max(200);
const key = z.string().trim().min(1).max(100);
const basis = z.enum(['weighed', 'documented', 'estimated']).nullable();
const facts = z.boolean().nullable();
const SidePoint = { uM: z.number().min(-100).max(100), vM: z.number().min(-100).max(100) };

const MassItem = z.strictObject({ what: text, count, massKg, basis });
const CableItem = z.strictObject({ what: text, count, lengthM, kgPerM: notNegative, basis });

const HoistData = z.strictObject({
  kind: z.literal('hoist'),
  name: Name,
  wllKg: massKg,
  wllIsNetOf: z.enum(['hook', 'hookPlusBody']).nullable(),
  bodyKg: massKg,
  chainKgPerM: notNegative,
  falls: z.int().min(1).max(8).nullable(),
  bagKg: massKg,
  liftM: lengthM.nullable(),
  speedMPerMin: notNegative,
  variableSpeed: facts,
  dynamicFactor: z.number().min(1).max(10).nullable(),
  shortestHookToHookM: lengthM.nullable(),
  chainStiffnessKnPerM: notNegative,
  limiterFactor: z.number().min(1).max(10).nullable(),
  mayHoldOverPeople: facts,
  mayMoveOverPeople: facts,
  needsSecondary: facts,
});
const PartData = z.strictObject({
  kind: z.literal('part'),
  name: Name,
  part: z.enum(['wireRope', 'shackle', 'ring', 'adjuster', 'spreader', 'textile', 'chain', 'clamp', 'secondary', 'loadCell']),
  lengthM: lengthM.nullable(),
  massKg,
  wllKg: massKg,
  breakingKn: notNegative.describe('Of the finished part, its ends included'),
  hitches: z
    .array(z.enum(['straight', 'choke', 'basket']))
    .max(3)
    .nullish()
    .describe('Ways in which a sling may take hold'),
  leastBendRatio: z.number().min(0).max(1000).nullish().describe('Smallest diameter to bend round over that of the sling'),
  sideAngleDeg: z.number().min(0).max(90).nullish().describe('Largest marked angle of a pull aside; for a clamp off vertical'),
  pin: z.enum(['screw', 'bolt', 'round']).nullish().describe('Pin of a shackle'),
  flangeFromM: lengthM.nullish().describe('Narrowest flange that a clamp takes'),
  flangeToM: lengthM.nullish().describe('Widest flange that a clamp takes'),
  catchesKg: z.number().min(0).max(1e6).nullish().describe('Mass that a secondary is rated to catch'),
  catchFallM: lengthM.nullish().describe('Fall from which a secondary is rated to catch it'),
  catchPeakKn: forceKn.nullish().describe('Largest force of that catch'),
});
const side = z.strictObject(SidePoint);
const CabinetData = z.strictObject({
  kind: z.literal('cabinet'),
  name: Name,
  massKg,
  basis,
  heightM: lengthM.nullable(),
  depthM: lengthM.nullable(),
  widthM: lengthM.nullable(),
  cg: side.nullable(),
  bottomPivot: side.nullable(),
  corners: z.array(side).max(20),
  allowedSplaysDeg: z.array(z.number().min(-90).max(90)).max(50),
});
const ArrayFrameData = z.strictObject({
  kind: z.literal('arrayFrame'),
  name: Name,
  massKg,
  basis,
  cg: side.nullable(),
  topPivot: side.nullable(),
  bottomPivot: side.nullable(),
  holes: z.array(z.strictObject({ id: key, wllKg: massKg, ...SidePoint })).max(200),
});
const SpanTable = z
  .array(
    z.strictObject({
      spanM: lengthM,
      evenKgPerM: notNegative.describe('Even load over the whole span, beside its own weight'),
      points: z
        .strictObject({ count, eachKg: z.number().min(0).max(1e6) })
        .nullable()
        .describe('Equal loads that divide the span evenly'),
    }),
  )
  .max(200)
  .describe('What two hoists without overhang allow at each span; each entry states one pattern of loads');
const TrussSectionData = z.strictObject({
  kind: z.literal('truss'),
  name: Name,
  selfKgPerM: notNegative,
  basis,
  nodeSpacingM: lengthM.nullable(),
  eiKnm2: notNegative,
  eiSidewaysKnm2: notNegative,
  gjKnm2: notNegative,
  gaKn: notNegative,
  cornersStiff: facts,
  saggingKnm: notNegative,
  hoggingKnm: notNegative,
  shearKn: notNegative,
  interaction: z.enum(['linear', 'squares', 'independent']).nullable(),
  allowablesBasis: text.nullable(),
  spanTable: SpanTable,
});
const CableData = z.strictObject({ kind: z.literal('cable'), name: Name, kgPerM: notNegative, basis });
/** The facts of one piece of equipment: in the catalogue, and copied into plans. */
export const EquipmentDataSchema = z
  .discriminatedUnion('kind', [HoistData, PartData, CabinetData, ArrayFrameData, TrussSectionData, CableData])
  .meta({ id: 'EquipmentData' }) satisfies z.ZodType<EquipmentData>;
export const EquipmentUsedSchema = z.strictObject({
  from: z.strictObject({ itemId: Id, version: z.int().min(1), hash: Sha256 }).nullable(),
  data: EquipmentDataSchema,
}) satisfies z.ZodType<EquipmentUsed>;

const PartUsed = z
  .strictObject({
    equipment: key,
    count,
    hitch: z.enum(['straight', 'choke', 'basket']).nullable(),
    bendRatio: z.number().min(0).max(10_000).nullish().describe('Diameter that the sling bends round over its own'),
    basketDeg: z.number().min(0).max(180).nullish().describe('Angle between the two ends of a basket'),
    flangeM: lengthM.nullish().describe('Width of the flange that a clamp sits on'),
  })
  .meta({ id: 'PartUsed' });
const parts = z.array(PartUsed).max(50);
const PositionSchema = z.strictObject({ xM: coordinateM, yM: coordinateM, zM: heightM });
const barM = lengthM.describe('Along the bar of a spreader, from its start');
const tierLeg = {
  to: z.union([z.strictObject({ pointId: Id }), z.strictObject({ tierId: key, atM: barM.nullable().describe('Null at a ring') })]),
  parts,
};
const TierSchema = z
  .discriminatedUnion('kind', [
    z.strictObject({
      kind: z.literal('ring'),
      id: key,
      apex: PositionSchema,
      parts,
      legs: z.array(z.strictObject(tierLeg)).min(1).max(8),
    }),
    z.strictObject({
      kind: z.literal('spreader'),
      id: key,
      start: PositionSchema,
      end: PositionSchema,
      parts,
      lines: z
        .array(z.strictObject({ ...tierLeg, atM: barM }))
        .min(1)
        .max(8),
      useBasis: text.nullable().describe('Document that permits lines and loads at these places and angles; null = none'),
    }),
  ])
  .meta({ id: 'Tier' }) satisfies z.ZodType<Tier>;
const AttachmentSchema = z
  .discriminatedUnion('kind', [
    z.strictObject({ kind: z.literal('direct'), pointId: Id, parts }),
    z.strictObject({
      kind: z.literal('bridle'),
      apex: PositionSchema,
      legs: z
        .array(z.strictObject({ pointId: Id, parts }))
        .min(1)
        .max(8),
      apexParts: parts,
    }),
    z
      .strictObject({
        kind: z.literal('tiers'),
        foot: z.strictObject({ tierId: key, atM: barM.nullable(), parts }).describe('Where the line from the hook ends'),
        tiers: z.array(TierSchema).min(1).max(20),
      })
      .describe('Two-leg bridles and spreaders one above the other, between the line and several points'),
    z.strictObject({ kind: z.literal('hang'), hangId: Id, parts }),
  ])
  .meta({ id: 'Attachment' }) satisfies z.ZodType<Attachment>;

const PickUpSchema = z
  .strictObject({
    id: Id,
    chalk: text,
    position: z.strictObject({ xM: coordinateM, yM: coordinateM, zM: heightM.nullable() }),
    hoist: z
      .strictObject({
        equipment: key,
        mount: z.enum(['bodyDown', 'bodyUp']),
        chainLengthM: lengthM.nullable(),
        bag: z.enum(['withBody', 'onHang', 'none']),
      })
      .nullable(),
    lineItems: z.array(MassItem).max(50),
    cableShare: z.array(CableItem).max(50),
    attachment: AttachmentSchema,
    givenLoad: z
      .strictObject({
        massKg: z.number().min(0).max(1e6),
        basis: z.enum(['weighed', 'documented', 'estimated']),
        source: Name,
        levelWithinMm: z
          .number()
          .min(0)
          .max(5000)
          .nullish()
          .describe('The load is the most for hoists out of level by up to this; absent = for level ones, which three or more never are'),
        coversBuild: z
          .boolean()
          .nullish()
          .describe('The load is the most also while some of what hangs is not there yet or is down again; absent = not stated'),
      })
      .nullable(),
    secondary: z
      .strictObject({ pointId: Id, parts, slackMm: z.number().min(0).max(100_000).nullable() })
      .nullish()
      .describe('A second way up from its own point, slack until the first fails: an accidental case'),
  })
  .meta({ id: 'PickUp' }) satisfies z.ZodType<PickUp>;

const build = { equipment: key.nullable(), massKg, basis, cg: side, bottomPivot: side };
const ArrayBuild = z.strictObject({
  azimuthDeg: angleDeg,
  framePitchDeg: z.number().min(-90).max(90).nullable(),
  frame: z.strictObject({ ...build, holes: z.array(z.strictObject({ id: key, wllKg: massKg, ...SidePoint })).max(200) }),
  elements: z.array(z.strictObject({ ...build, corners: z.array(side).max(20), splayDeg: z.number().min(-90).max(90) })).max(100),
  extras: z
    .array(z.strictObject({ on: z.union([z.literal('frame'), z.int().min(0).max(99)]), what: text, massKg, basis, ...SidePoint }))
    .max(100),
  holes: z.array(z.strictObject({ pickUpId: Id, holeId: key })).max(4),
  stackSizes: z.array(z.int().min(1).max(50)).max(50),
  permittedConfiguration: z.strictObject({ document: Name, covers: text }).nullable(),
});
const TrussSection = z.strictObject({
  selfKgPerM: notNegative,
  selfBasis: basis.optional().describe('What the self weight rests on; absent = documented'),
  eiKnm2: notNegative,
  gaKn: notNegative,
  gjKnm2: notNegative,
  saggingKnm: notNegative,
  hoggingKnm: notNegative,
  shearKn: notNegative,
  nodeSpacingM: lengthM.nullable(),
  allowablesBasis: text.nullable(),
  spanTable: SpanTable.nullish(),
});
const stationM = z.number().min(-1000).max(1000);
const offAxis = {
  besideM: stationM.nullish().describe('Centre of gravity of the load beside the centre line, to one side; absent = not stated'),
  aboveM: stationM.nullish().describe('Centre of gravity of the load above the axis of the truss, below it negative; absent = not stated'),
};
const torsionBasis = text
  .nullish()
  .describe('Document that covers torsion, from loads beside the centre line or in a frame; absent = none');
const trussLoads = {
  pointLoads: z.array(z.strictObject({ what: text, atM: stationM, massKg, basis, ...offAxis })).max(500),
  spreadLoads: z.array(z.strictObject({ what: text, fromM: stationM, toM: stationM, kgPerM: notNegative, basis, ...offAxis })).max(500),
};
const TrussBuild = z.strictObject({
  ...trussLoads,
  lengthM,
  start: PositionSchema,
  azimuthDeg: angleDeg,
  section: TrussSection,
  pickUps: z.array(z.strictObject({ pickUpId: Id, atM: stationM, levelMm: z.number().min(-5000).max(5000) })).max(100),
  pickUpsAboveM: stationM.nullish().describe('Pick-ups above the axis of the truss, below it negative; absent = not stated'),
  torsionBasis,
});
const TrussFrameBuild = z.strictObject({
  corners: z.array(z.strictObject({ xM: coordinateM, yM: coordinateM })).max(50),
  closed: z.boolean(),
  section: TrussSection,
  cornersStiff: facts,
  sides: z.array(z.strictObject(trussLoads)).max(50),
  pickUps: z
    .array(z.strictObject({ pickUpId: Id, side: z.int().min(0).max(49), atM: stationM, levelMm: z.number().min(-5000).max(5000) }))
    .max(100),
  torsionBasis,
});

const LineOffPlumbSchema = z
  .strictObject({
    id: Id,
    kind: z.enum(['breastline', 'pullBack', 'guy']),
    at: z
      .strictObject({ on: z.union([z.literal('frame'), z.int().min(0).max(99)]), ...SidePoint })
      .nullable()
      .describe('On an array: where it is made fast; null on others, at the hook'),
    pickUpId: Id.nullish().describe('On a truss: the pick-up at whose hook it is made fast, where chain and truss meet'),
    to: z.union([
      z.strictObject({ pointId: Id }),
      z.strictObject({
        place: PositionSchema,
        holdsKn: forceKn.nullable(),
        basis: text.nullable().describe('Document that says what the place holds'),
      }),
    ]),
    parts,
    pretensionKn: forceKn.nullable().describe('Of a guy'),
  })
  .meta({ id: 'LineOffPlumb' }) satisfies z.ZodType<LineOffPlumb>;
const hangCommon = {
  id: Id,
  label: Name,
  department: text.nullable(),
  suppliedBy: z.enum(['tour', 'house', 'supplier']).nullable(),
  liftOrder: z.int().min(0).max(10_000).nullable(),
  cue: text.nullable(),
  up: z.strictObject({ from: InstantText, to: InstantText }).nullable(),
  trim: z.strictObject({ heightM, of: z.enum(['lowestCorner', 'trussBottom', 'pipeCentre']) }).nullable(),
  box: z
    .strictObject({
      xM: coordinateM,
      yM: coordinateM,
      alongM: lengthM,
      acrossM: lengthM,
      azimuthDeg: angleDeg,
      bottomZM: heightM,
      topZM: heightM,
    })
    .nullable(),
  wind: z.strictObject({ inServiceKn: forceKn, outOfServiceKn: forceKn, comesDownAtMPerS: z.number().min(0).max(100) }).nullable(),
  support: z.enum(['hoist', 'ground']),
  pickUps: z.array(PickUpSchema).max(100),
  items: z.array(MassItem).max(500),
  cables: z.array(CableItem).max(100),
  linesOffPlumb: z
    .array(LineOffPlumbSchema)
    .max(12)
    .nullish()
    .describe(
      'Breastlines and guys at the hook of a single pick or of a straight truss on two hoists, and the pull-back of an array: computed where equilibrium alone says what they take, others are refused with why; absent = none',
    ),
};
export const HangSchema = z
  .discriminatedUnion('kind', [
    z.strictObject({ ...hangCommon, kind: z.literal('single') }),
    z.strictObject({ ...hangCommon, kind: z.literal('cablePick') }),
    z.strictObject({ ...hangCommon, kind: z.literal('array'), build: ArrayBuild.nullable() }),
    z.strictObject({ ...hangCommon, kind: z.literal('truss'), build: TrussBuild.nullable() }),
    z.strictObject({ ...hangCommon, kind: z.literal('trussFrame'), build: TrussFrameBuild.nullable() }),
  ])
  .meta({ id: 'Hang', examples: [EXAMPLE_HANG] }) satisfies z.ZodType<Hang>;

export const PlanSchema = z
  .strictObject({
    format: z.literal(1),
    hangs: z.array(HangSchema).max(2000),
    equipment: z.record(key, EquipmentUsedSchema),
    closedAreas: z
      .array(
        z.strictObject({
          what: text,
          corners: z.array(z.strictObject({ xM: coordinateM, yM: coordinateM })).max(50),
          from: InstantText,
          to: InstantText,
        }),
      )
      .max(50)
      .optional()
      .describe('Floor closed to people for a time, convex: a hang whose box lies in one while it is up is not over people; absent = none'),
  })
  .meta({ id: 'Plan', examples: [EXAMPLE_PLAN] }) satisfies z.ZodType<Plan>;
