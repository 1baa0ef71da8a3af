import { z } from 'zod';
import { fail, ok } from '../../domain/foundation/result.ts';
import { calculateLimits } from '../../domain/roof/calculate-limits.ts';
import type { Reckoning } from '../../domain/statics/hoist-line-reckoning.ts';
import { InstantText } from '../schemas/common.ts';
import { calculator } from './calculator.ts';
import { Cautions, Ei, Figure, NotNegative, PartId } from './figures.ts';

const MOST_LOADS = 2000;
const Body = z.strictObject({
  points: z.array(z.strictObject({ id: PartId, wllKg: NotNegative, memberId: PartId.optional(), atM: Figure.optional() })).max(5000),
  members: z
    .array(
      z.strictObject({
        id: PartId,
        lengthM: Figure,
        selfKgPerM: NotNegative,
        allowableIs: z.enum(['total', 'imposed']),
        ei: Ei,
        supports: z.array(z.strictObject({ id: PartId, atM: Figure })).max(50),
        allowSaggingKnm: NotNegative,
        allowHoggingKnm: NotNegative,
        allowShearKn: NotNegative,
      }),
    )
    .max(100)
    .optional(),
  limits: z
    .array(
      z.strictObject({
        id: PartId,
        kind: z.enum(['group', 'weighted']),
        terms: z.array(z.strictObject({ point: PartId, factor: Figure })).max(5000),
        capacityKg: NotNegative,
      }),
    )
    .max(1000),
  loads: z
    .array(
      z.strictObject({
        id: PartId,
        from: InstantText,
        to: InstantText.describe('the first instant without it'),
        permanent: z.boolean().default(false),
        points: z.array(z.strictObject({ point: PartId, massKg: NotNegative })).max(1000),
      }),
    )
    .max(MOST_LOADS),
  closeFrom: Figure.optional(),
});
const View = z
  .object({
    limits: z.array(
      z.object({
        id: z.string(),
        kind: z.enum(['point', 'group', 'weighted', 'member-moment', 'member-shear']),
        worst: Figure,
        unit: z.enum(['kg', 'kNm', 'kN']),
        capacity: Figure,
        utilisation: Figure.nullable(),
        verdict: z.enum(['fits', 'close', 'over', 'unknown']),
        from: z.string().nullable(),
        to: z.string().nullable(),
        loads: z.array(z.string()),
        atM: Figure.nullable().optional(),
      }),
    ),
    cautions: Cautions,
  })
  .meta({ id: 'LimitsCalculation' });

/** Any offset in, UTC with milliseconds inside, so that instants compare as text. */
const inUtc = (instant: string): string => new Date(instant).toISOString();

export const limits = calculator({
  name: 'limits',
  operationId: 'calculateLimits',
  summary: 'Every limit at its worst moment over all of time, as an assessment finds it',
  body: Body,
  view: View,
  example: {
    points: [
      { id: 'p1', wllKg: 500, memberId: 'beam', atM: 2 },
      { id: 'p2', wllKg: 500, memberId: 'beam', atM: 6 },
    ],
    members: [
      {
        id: 'beam',
        lengthM: 8,
        selfKgPerM: 30,
        allowableIs: 'total',
        ei: { eGpa: 210, iCm4: 8000 },
        supports: [
          { id: 'west', atM: 0 },
          { id: 'east', atM: 8 },
        ],
        allowSaggingKnm: 40,
        allowHoggingKnm: 40,
        allowShearKn: 50,
      },
    ],
    limits: [
      {
        id: 'bay',
        kind: 'group',
        terms: [
          { point: 'p1', factor: 1 },
          { point: 'p2', factor: 1 },
        ],
        capacityKg: 800,
      },
    ],
    loads: [
      { id: 'lights', from: '2026-05-01T08:00:00+02:00', to: '2026-05-02T02:00:00+02:00', points: [{ point: 'p1', massKg: 300 }] },
      { id: 'screen', from: '2026-05-01T12:00:00+02:00', to: '2026-05-01T20:00:00+02:00', points: [{ point: 'p2', massKg: 450 }] },
    ],
  },
  answer: (question) => {
    const loads = question.loads.map((load) => ({ ...load, from: inUtc(load.from), to: inUtc(load.to) }));
    const found = calculateLimits({ ...question, loads });
    return found.ok ? ok(found.value) : fail({ code: found.error.code, errors: found.error.faults });
  },
  reckon: (_question, { limits: found }) =>
    found.map(({ id, kind, worst, capacity, unit, utilisation, loads }): Reckoning => ({
      formula: `${kind} ${id}: utilisation = worst / capacity`,
      numbers: utilisation === null ? { worst, capacity } : { worst, capacity, utilisation },
      unit,
      source: loads.length === 0 ? 'nothing of the loads counts' : `at its worst with ${loads.join(', ')}`,
    })),
});
