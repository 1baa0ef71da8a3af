import type { FastifyPluginAsync } from 'fastify';
import type { ZodTypeProvider } from 'fastify-type-provider-zod';
import { z } from 'zod';
import { scopeOf } from '../actor.ts';
import { problems } from '../errors.ts';
import { orProblem } from '../problem.ts';
import { Id, InstantText, Sha256 } from '../schemas/common.ts';
import { spaceFor } from '../spaces-seen.ts';
import { checkedStay, STAY } from './stay-query.ts';

const MOST_POINTS = 20;
const PointIds = z
  .string()
  .max(MOST_POINTS * 37)
  .meta({ examples: ['6f9f6fbe-0000-4000-8000-00000000000a'], description: `ids of 1 to ${MOST_POINTS} points with commas between` })
  .transform((text) => text.split(','))
  .pipe(z.array(Id).min(1).max(MOST_POINTS))
  .refine((ids) => new Set(ids).size === ids.length, 'each point once')
  .describe(`ids of 1 to ${MOST_POINTS} points with commas between`);
const Query = checkedStay(z.strictObject({ ...STAY, pointIds: PointIds }));

const AnswerView = z
  .object({
    pointIds: z.array(Id),
    maxKg: z
      .number()
      .nullable()
      .describe('the most that each of the points may carry at once, with all that hangs there in it; null where it cannot be known'),
    heldBy: z.array(z.string()).describe('checks that any more would put over, or that cannot be answered'),
    reasons: z.array(z.object({ checkId: z.string(), code: z.string(), text: z.string() })),
  })
  .meta({ id: 'CapacityAnswer' });
const CapacityView = z
  .object({
    spaceId: Id,
    revision: z.int(),
    revisionSha256: Sha256,
    from: InstantText,
    to: InstantText,
    each: z.array(AnswerView).describe('each point by itself, in the order asked'),
    together: AnswerView.describe('all of them at once, each with the same'),
    cautions: z.array(z.string()),
  })
  .meta({
    id: 'Capacity',
    examples: [
      {
        spaceId: '6f9f6fbe-0000-4000-8000-000000000001',
        revision: 3,
        revisionSha256: 'b'.repeat(64),
        from: '2026-07-01T06:00:00.000Z',
        to: '2026-07-02T02:00:00.000Z',
        each: [
          {
            pointIds: ['6f9f6fbe-0000-4000-8000-00000000000a'],
            maxKg: 1000,
            heldBy: ['pointDown:6f9f6fbe-0000-4000-8000-00000000000a'],
            reasons: [],
          },
        ],
        together: {
          pointIds: ['6f9f6fbe-0000-4000-8000-00000000000a'],
          maxKg: 1000,
          heldBy: ['pointDown:6f9f6fbe-0000-4000-8000-00000000000a'],
          reasons: [],
        },
        cautions: ['Loads straight down at rest: …'],
      },
    ],
  });

const CAUTIONS = [
  'Loads straight down at rest: count the hoist, its chain and the dynamic factor in. A bridle pulls sideways, which is not asked here.',
  'How a hang is made, its height and what is kept free are not asked here: a plan is assessed for that.',
  'Only what is agreed counts; what others have asked for may be agreed first.',
];

export const capacityRoutes: FastifyPluginAsync = async (plain) => {
  const app = plain.withTypeProvider<ZodTypeProvider>();
  app.get(
    '/spaces/:spaceId/capacity',
    {
      schema: {
        operationId: 'readCapacity',
        tags: ['loads'],
        summary: 'What can still hang from these points then: from each alone, and from all at once with the same load',
        description:
          'The largest load that keeps every hard check of points, limits and members on the latest revision, among all that is agreed. ' +
          'Not rounded. Nothing that is not stated is taken as good: then there is no number, and the reasons are told.',
        params: z.strictObject({ spaceId: Id }),
        querystring: Query,
        response: { 200: CapacityView, ...problems(401, 403, 404, 409) },
      },
    },
    async (request) => {
      const { spaceId } = request.params;
      const { actor } = await spaceFor(app, request, spaceId, 'readLoads');
      const { from, to, pointIds } = request.query;
      const during = { from: new Date(from), to: new Date(to) };
      const { roof, each, together } = orProblem(await app.store.proposals.capacity(scopeOf(actor), spaceId, during, pointIds));
      return {
        spaceId,
        revision: roof.number,
        revisionSha256: roof.sha256,
        from: during.from.toISOString(),
        to: during.to.toISOString(),
        each,
        together,
        cautions: CAUTIONS,
      };
    },
  );
};
