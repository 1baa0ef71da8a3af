import type { FastifyPluginAsync } from 'fastify';
import type { ZodTypeProvider } from 'fastify-type-provider-zod';
import { z } from 'zod';
import { PROPOSAL_STATES } from '../../domain/agreement/facts.ts';
import type { BoardRow } from '../../store/overview.ts';
import { authorize, requireActor, scopeOf } from '../actor.ts';
import { problems } from '../errors.ts';
import { nextByInstant, nextLink, PageQuery, readCursor } from '../paging.ts';
import { ProblemError } from '../problem.ts';
import { CAUTION } from '../proposals/views.ts';
import { Id, InstantText } from '../schemas/common.ts';

const RowView = z
  .object({
    showId: Id,
    showName: z.string(),
    venueName: z.string(),
    spaceName: z.string(),
    spaceId: Id,
    from: InstantText,
    to: InstantText,
    proposal: z
      .object({
        id: Id,
        name: z.string(),
        state: z.enum(PROPOSAL_STATES),
        stale: z.boolean(),
        suspended: z.boolean(),
        whoseTurn: z.enum(['venue', 'tour']).nullable(),
        why: z.string(),
        since: InstantText,
        worst: z.object({ verdict: z.enum(['fits', 'close', 'over', 'unknown']), utilisation: z.number().nullable() }).nullable(),
      })
      .nullable(),
  })
  .meta({ id: 'BoardRow' });
const BoardView = z.object({ items: z.array(RowView), cautions: z.array(z.string()) }).meta({ id: 'Board' });

const present = ({ show, proposal, turn, worst }: BoardRow) => ({
  showId: show.id,
  showName: show.name,
  venueName: show.venueName,
  spaceName: show.spaceName,
  spaceId: show.spaceId,
  from: show.startsAt.toISOString(),
  to: show.endsAt.toISOString(),
  proposal: proposal &&
    turn && {
      id: proposal.id,
      name: proposal.name,
      state: proposal.state,
      stale: proposal.stale,
      suspended: proposal.suspended,
      whoseTurn: turn.side,
      why: turn.why,
      since: proposal.turnSince.toISOString(),
      worst: worst && { verdict: Verdict.parse(worst.verdict), utilisation: worst.utilisation },
    },
});
const Verdict = z.enum(['fits', 'close', 'over', 'unknown']);

/** The tour at one look. */
export const boardRoutes: FastifyPluginAsync = async (plain) => {
  const app = plain.withTypeProvider<ZodTypeProvider>();
  app.get(
    '/productions/:productionId/board',
    {
      schema: {
        operationId: 'readBoard',
        tags: ['productions'],
        summary: 'Every show by date: state, whose turn since when, worst check of the last assessment',
        params: z.strictObject({ productionId: Id }),
        querystring: PageQuery,
        response: { 200: BoardView, ...problems(401, 403, 404) },
      },
    },
    async (request, reply) => {
      const actor = requireActor(request);
      const production = await app.store.shows.findProduction(scopeOf(actor), request.params.productionId);
      if (!production) throw new ProblemError({ code: 'not-found' });
      authorize(actor, 'readProduction', { kind: 'production', tourOrgId: production.tourOrgId });
      const { limit, cursor } = request.query;
      const { rows, shows } = await app.store.overview.board(scopeOf(actor), production.id, { limit, after: readCursor(cursor) });
      reply.headers(
        nextLink(
          request.url,
          nextByInstant(shows, limit, ({ startsAt }) => startsAt),
        ),
      );
      return { items: rows.map(present), cautions: [CAUTION] };
    },
  );
};
