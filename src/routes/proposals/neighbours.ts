import type { FastifyPluginAsync } from 'fastify';
import type { ZodTypeProvider } from 'fastify-type-provider-zod';
import { z } from 'zod';
import type { NeighbourLoad } from '../../domain/assessment/assessment.ts';
import { scopeOf } from '../actor.ts';
import { problems } from '../errors.ts';
import { orProblem } from '../problem.ts';
import { Id, InstantText, Sha256 } from '../schemas/common.ts';
import { seenFor } from './seen.ts';

const Force = z.object({ xKn: z.number(), yKn: z.number(), downKn: z.number() });
const NeighbourView = z.object({
  ref: z.string().describe('opaque: tells neither production nor show'),
  status: z.enum(['agreed', 'submitted']),
  planHash: Sha256,
  hangId: Id,
  pointId: Id,
  from: InstantText,
  to: InstantText,
  resting: Force,
  moving: Force,
  isLowerBound: z.boolean().optional(),
}) satisfies z.ZodType<NeighbourLoad>;
const View = z
  .object({ revision: z.int(), asOf: InstantText, from: InstantText, to: InstantText, neighbours: z.array(NeighbourView) })
  .meta({ id: 'Neighbours' });

/** What the service's own assessment counts beside the plan: with it and the roof, a client computes the same while a plan is drawn. */
export const neighboursRoutes: FastifyPluginAsync = async (plain) => {
  const app = plain.withTypeProvider<ZodTypeProvider>();
  app.get(
    '/proposals/:proposalId/neighbours',
    {
      schema: {
        operationId: 'readNeighbours',
        tags: ['assessments'],
        summary: "What else hangs, or is asked to hang, at the same time: loads per point, without anybody's name",
        params: z.strictObject({ proposalId: Id }),
        response: { 200: View, ...problems(401, 403, 404) },
      },
    },
    async (request) => {
      const { actor, proposal } = await seenFor(app, request, request.params.proposalId, 'dryRunAssessment');
      const { latestRevision, neighbours, asOf } = orProblem(await app.store.overview.neighbours(scopeOf(actor), proposal.id));
      const [from, to] = [proposal.startsAt.toISOString(), proposal.endsAt.toISOString()];
      return { revision: latestRevision, asOf: asOf.toISOString(), from, to, neighbours };
    },
  );
};
