import { z } from 'zod';
import { ok } from '../../domain/foundation/result.ts';
import { answerHoistLine } from '../../domain/statics/hoist-line-answer.ts';
import { calculator } from './calculator.ts';
import { Cautions, Figure, MassAndForce, NotNegative, PartId, named } from './figures.ts';

const OrUnknown = NotNegative.nullable().describe('null = not known');
const Basis = z.enum(['weighed', 'documented', 'estimated']).nullable();
const Share = NotNegative.describe('0.05 adds 5 %');
const Body = z.strictObject({
  items: named(
    z.strictObject({
      id: PartId,
      kind: z.enum(['equipment', 'cable']),
      place: z.enum(['below-hook', 'above-hoist', 'leg']),
      massKg: OrUnknown,
      basis: Basis,
    }),
    1000,
  ).describe('everything on the line but the hoist: the hang itself is below the hook'),
  hoist: z
    .strictObject({
      bodyKg: OrUnknown,
      bagKg: OrUnknown,
      bagAt: z.enum(['body', 'hang']),
      chainKgPerM: OrUnknown.describe('of one fall'),
      falls: z.int(),
      chainM: OrUnknown.describe('of one fall, fully paid out'),
      basis: Basis,
      wllKg: OrUnknown,
      wllNetOf: z.enum(['hook', 'hook-plus-body']).nullable(),
    })
    .nullable()
    .describe('null = a dead hang'),
  mount: z.enum(['body-down', 'body-up']).default('body-down'),
  dynamicFactor: Figure.nullable().default(null).describe('multiplies what travels; null = not known'),
  limiterFactor: Figure.nullable().default(null).describe('load at which the limiter trips over WLL'),
  contingency: z.strictObject({ weighed: Share, documented: Share, estimated: Share, cableAtLeast: Share }).optional(),
  heights: z
    .strictObject({
      topM: Figure,
      partsAboveM: Figure,
      partsBelowM: Figure,
      pickUpAboveTrimM: Figure,
      hangTopAboveTrimM: Figure,
      trimM: Figure,
      lowestStructureM: z.union([Figure, z.literal('none')]).nullable(),
      hoistMayPassStructure: z.boolean(),
      lowestPickUpM: Figure,
      shortestHookToHookM: OrUnknown,
      liftM: OrUnknown,
    })
    .optional(),
});

const Missing = z.array(z.object({ code: z.string(), of: z.string() }));
const Length = Figure.nullable();
const View = z
  .object({
    hook: MassAndForce,
    onHoist: MassAndForce.extend({ wllKg: Length, utilisation: Length }),
    apex: z.object({ resting: MassAndForce, moving: MassAndForce.nullable() }),
    point: z.object({ resting: MassAndForce, moving: MassAndForce.nullable(), limiter: MassAndForce.nullable() }),
    takeOff: z.array(
      z.object({ id: z.string(), place: z.string(), massKg: Length, basis: Basis, contingency: Figure, reckonedKg: Length }),
    ),
    estimatedKg: Figure,
    headroom: z
      .object({
        highestTrimM: Length,
        governedBy: z.enum(['hoist', 'structure']).nullable(),
        spareM: Length,
        hookAtTrimM: Figure,
        hookToHookM: z.object({ atTrimM: Figure, atLowestM: Figure }),
        paidOutM: z.object({ atTrimM: Figure, atLowestM: Figure }).nullable(),
        liftNeededM: Length,
        liftSpareM: Length,
      })
      .nullable(),
    missing: Missing.describe('what is not known: loads are then lower bounds'),
    cautions: Cautions,
  })
  .meta({ id: 'HoistLineCalculation' });

export const hoistLine = calculator({
  name: 'hoist-line',
  operationId: 'calculateHoistLine',
  summary: 'From what hangs on a line to hook, apex and roof point, with headroom, highest trim and lift',
  body: Body,
  view: View,
  example: {
    items: [
      { id: 'hang', kind: 'equipment', place: 'below-hook', massKg: 400, basis: 'weighed' },
      { id: 'cables', kind: 'cable', place: 'below-hook', massKg: 20, basis: 'estimated' },
      { id: 'steel', kind: 'equipment', place: 'leg', massKg: 6, basis: 'documented' },
    ],
    hoist: {
      bodyKg: 50,
      bagKg: 4,
      bagAt: 'body',
      chainKgPerM: 1,
      falls: 2,
      chainM: 20,
      basis: 'weighed',
      wllKg: 1000,
      wllNetOf: 'hook',
    },
    mount: 'body-down',
    dynamicFactor: 1.25,
    limiterFactor: 1.6,
    contingency: { weighed: 0, documented: 0.05, estimated: 0.15, cableAtLeast: 0.1 },
    heights: {
      topM: 14,
      partsAboveM: 2,
      partsBelowM: 0.5,
      pickUpAboveTrimM: 0.3,
      hangTopAboveTrimM: 0.6,
      trimM: 9,
      lowestStructureM: 13,
      hoistMayPassStructure: false,
      lowestPickUpM: 1.2,
      shortestHookToHookM: 0.6,
      liftM: 18,
    },
  },
  answer: (question) => {
    const answered = answerHoistLine(question);
    if (!answered.ok) return answered;
    const { takeOff, missing, cautions, ...rest } = answered.value;
    return ok({ ...rest, takeOff: [...takeOff], missing: [...missing], cautions: [...cautions] });
  },
  reckon: (question) => {
    const answered = answerHoistLine(question);
    if (!answered.ok) return [];
    const { reckonings, headroom } = answered.value;
    return headroom === null ? reckonings : [...reckonings, headroom.reckoning];
  },
});
