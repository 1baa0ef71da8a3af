import type { FastifyPluginAsync } from 'fastify';
import type { ZodTypeProvider } from 'fastify-type-provider-zod';
import { z } from 'zod';
import { PROPOSAL_STATES } from '../../domain/agreement/facts.ts';
import { requirements } from '../../domain/agreement/requirements.ts';
import { authorize, requireActor, scopeOf } from '../actor.ts';
import { problems } from '../errors.ts';
import { etagOf } from '../headers.ts';
import { nextByInstant, nextLink, PageQuery, readCursor } from '../paging.ts';
import { ProblemError } from '../problem.ts';
import { Id, listOf } from '../schemas/common.ts';
import { seenFor } from './seen.ts';
import { presentProposal, presentSummary, ProposalSummary, ProposalView, RequirementView } from './views.ts';

const Params = z.strictObject({ proposalId: Id });

export const readProposals: FastifyPluginAsync = async (plain) => {
  const app = plain.withTypeProvider<ZodTypeProvider>();
  app.get(
    '/proposals',
    {
      schema: {
        operationId: 'listProposals',
        tags: ['proposals'],
        summary: 'Proposals of the own side, by show date',
        querystring: PageQuery.extend({
          showId: Id.optional(),
          productionId: Id.optional(),
          spaceId: Id.optional(),
          state: z.enum(PROPOSAL_STATES).optional(),
        }),
        response: { 200: listOf(ProposalSummary), ...problems(401, 403) },
      },
    },
    async (request, reply) => {
      const actor = requireActor(request);
      authorize(actor, 'listProposals', { kind: 'organisation', orgId: actor.orgId });
      const { limit, cursor, ...filter } = request.query;
      const rows = await app.store.proposals.list(scopeOf(actor), filter, { limit, after: readCursor(cursor) });
      reply.headers(
        nextLink(
          request.url,
          nextByInstant(rows, limit, ({ startsAt }) => startsAt),
        ),
      );
      return { items: rows.map(presentSummary) };
    },
  );
  app.get(
    '/proposals/:proposalId',
    {
      schema: {
        operationId: 'getProposal',
        tags: ['proposals'],
        summary: 'A proposal: state, whose turn it is, every requirement, and what the caller may do',
        params: Params,
        response: { 200: ProposalView, ...problems(401, 403, 404) },
      },
    },
    async (request, reply) => {
      const { actor } = await seenFor(app, request, request.params.proposalId, 'readProposal');
      const seen = await app.store.proposals.findWithFacts(scopeOf(actor), request.params.proposalId);
      if (!seen) throw new ProblemError({ code: 'not-found' });
      // Comments, the roof and the clock move the requirements without moving the version: the tag names the version alone, for If-Match.
      reply.header('etag', etagOf(seen.proposal.version));
      return presentProposal(seen, actor);
    },
  );
  app.get(
    '/proposals/:proposalId/requirements',
    {
      schema: {
        operationId: 'getRequirements',
        tags: ['proposals'],
        summary: 'Every gate of a yes, met or not',
        params: Params,
        response: { 200: listOf(RequirementView), ...problems(401, 403, 404) },
      },
    },
    async (request) => {
      const { actor } = await seenFor(app, request, request.params.proposalId, 'readProposal');
      const seen = await app.store.proposals.findWithFacts(scopeOf(actor), request.params.proposalId);
      if (!seen) throw new ProblemError({ code: 'not-found' });
      return { items: requirements(seen.facts) };
    },
  );
};
