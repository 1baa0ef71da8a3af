import { z } from 'zod';
import type { Assessment } from '../../domain/assessment/assessment.ts';
import { Id, InstantText, Sha256 } from '../schemas/common.ts';

const Verdict = z.enum(['fits', 'close', 'over', 'unknown']);
const CheckKind = z.enum([
  'pointDown',
  'pointSideways',
  'pointState',
  'inspection',
  'group',
  'weighted',
  'memberMoment',
  'memberShear',
  'spacing',
  'count',
  'sideways',
  'density',
  'keepOut',
  'headroom',
  'plumb',
  'hoist',
  'limiter',
  'part',
  'leg',
  'truss',
  'configuration',
  'wind',
  'mass',
  'policy',
]);
const LoadCase = z.enum(['resting', 'moving', 'build', 'tilt', 'slack', 'limiter', 'accidental']);
const During = z.object({ from: InstantText, to: InstantText });
const Instant = z.string(); // an overdue neighbour has no end, and says so

export const CheckView = z
  .object({
    id: z.string(),
    kind: CheckKind,
    pointId: Id.nullable(),
    limitId: Id.nullable(),
    memberId: Id.nullable(),
    hangId: Id.nullable(),
    pickUpId: Id.nullable(),
    hard: z.boolean(),
    case: LoadCase.nullable(),
    demand: z.number().nullable(),
    capacity: z.number().nullable(),
    unit: z.enum(['kg', 'kN', 'kNm', 'deg', 'm', 'count']).nullable(),
    utilisation: z.number().nullable(),
    verdict: Verdict,
    reason: z.object({ code: z.string(), text: z.string() }).nullable(),
    during: z.object({ from: Instant, to: Instant }).nullable(),
    counted: z.array(
      z.object({ from: z.enum(['plan', 'standing', 'neighbour']), id: z.string(), pointId: Id.nullable(), amount: z.number() }),
    ),
    reckoning: z.array(z.object({ formula: z.string(), numbers: z.string(), result: z.string(), source: z.string() })),
    diagram: z.array(z.object({ atM: z.number(), demand: z.number(), capacity: z.number().nullable() })).nullable(),
  })
  .meta({ id: 'Check' });

export const AssessmentView = z
  .object({
    format: z.literal(1),
    engine: z.string(),
    outcome: z.object({
      verdict: Verdict,
      loads: z.array(
        z.object({
          hangId: Id,
          pickUpId: Id,
          pointId: Id,
          case: LoadCase,
          during: During,
          xKn: z.number(),
          yKn: z.number(),
          downKn: z.number(),
          isLowerBound: z.boolean(),
        }),
      ),
      checks: z.array(CheckView),
      totals: z.object({
        massKg: z.number(),
        contingencyKg: z.number(),
        estimatedShare: z.number(),
        worstUtilisation: z.number().nullable(),
      }),
    }),
    outcomeHash: Sha256,
    covers: z.object({
      revisionHash: Sha256,
      planHash: Sha256,
      policyHash: Sha256,
      neighbours: z.array(z.object({ planHash: Sha256, from: Instant, to: Instant })),
    }),
    assessmentHash: Sha256,
    withSubmitted: z.array(CheckView),
    overdueNeighbours: z.array(z.string()),
    cautions: z.array(z.string()),
  })
  .meta({ id: 'Assessment' }) satisfies z.ZodType<Assessment>;
