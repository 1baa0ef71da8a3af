import type { FastifyPluginAsync } from 'fastify';
import type { ZodTypeProvider } from 'fastify-type-provider-zod';
import { z } from 'zod';
import { scopeOf } from '../actor.ts';
import { problems } from '../errors.ts';
import { orProblem } from '../problem.ts';
import { CheckView } from '../proposals/assessment-view.ts';
import { Id, InstantText, Sha256 } from '../schemas/common.ts';
import { spaceFor } from '../spaces-seen.ts';
import { checkedStay, STAY } from './stay-query.ts';

const Query = checkedStay(z.strictObject(STAY));

const PlaceLoadView = CheckView.omit({ hangId: true, pickUpId: true, case: true, reckoning: true })
  .extend({
    remaining: z
      .number()
      .nullable()
      .describe(
        'what a next show could hang here at rest, unfactored, in kg, by this limit alone; a lift counts with its dynamic factor; null where not known, and for limits that are no plain sum',
      ),
  })
  .meta({ id: 'PlaceLoad' });
const RoofLoadsView = z
  .object({
    spaceId: Id,
    revision: z.int(),
    revisionSha256: Sha256,
    from: InstantText,
    to: InstantText,
    agreed: z.array(PlaceLoadView).describe('every point and limit with all that is agreed, at its worst moment'),
    withSubmitted: z.array(PlaceLoadView).describe('those that differ once what is asked for is counted too'),
    cautions: z.array(z.string()),
  })
  .meta({ id: 'RoofLoads' });

/** The roof over time: what hangs, and what could still be added. */
export const loadsRoutes: FastifyPluginAsync = async (plain) => {
  const app = plain.withTypeProvider<ZodTypeProvider>();
  app.get(
    '/spaces/:spaceId/loads',
    {
      schema: {
        operationId: 'readLoads',
        tags: ['loads'],
        summary: 'The roof as loaded during a time: per point and limit the worst moment, and what remains for a next show',
        description: 'On the latest revision. Others are named by a reference that tells neither production nor show.',
        params: z.strictObject({ spaceId: Id }),
        querystring: Query,
        response: { 200: RoofLoadsView, ...problems(401, 403, 404, 409) },
      },
    },
    async (request) => {
      const { spaceId } = request.params;
      const { actor } = await spaceFor(app, request, spaceId, 'readLoads');
      const during = { from: new Date(request.query.from), to: new Date(request.query.to) };
      const { roof, loads } = orProblem(await app.store.proposals.roofLoads(scopeOf(actor), spaceId, during));
      const times = { from: during.from.toISOString(), to: during.to.toISOString() };
      return {
        ...times,
        spaceId,
        revision: roof.number,
        revisionSha256: roof.sha256,
        agreed: [...loads.agreed],
        withSubmitted: [...loads.withSubmitted],
        cautions: [...loads.cautions],
      };
    },
  );
};
