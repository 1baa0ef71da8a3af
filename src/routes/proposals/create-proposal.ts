import type { FastifyPluginAsync } from 'fastify';
import type { ZodTypeProvider } from 'fastify-type-provider-zod';
import { z } from 'zod';
import { authorize, authorOf, requireActor, scopeOf } from '../actor.ts';
import { problems } from '../errors.ts';
import { etagOf, OnceHeaders, onceWith, sendAnswer } from '../headers.ts';
import { orProblem, ProblemError } from '../problem.ts';
import { Id, Name } from '../schemas/common.ts';
import { presentSummary, ProposalSummary } from './views.ts';

export const createProposal: FastifyPluginAsync = async (plain) => {
  const app = plain.withTypeProvider<ZodTypeProvider>();
  app.post(
    '/proposals',
    {
      schema: {
        operationId: 'createProposal',
        tags: ['proposals'],
        summary: 'Begin a proposal for a show, with an empty plan',
        headers: OnceHeaders,
        body: z
          .strictObject({ showId: Id, name: Name })
          .meta({ examples: [{ showId: '5b1d7c52-6a0f-4d8f-9c3e-1a2b3c4d5e6f', name: 'Main rig' }] }),
        response: { 201: ProposalSummary, ...problems(401, 403, 404, 409, 413, 415, 422) },
      },
    },
    async (request, reply) => {
      const actor = requireActor(request);
      const show = await app.store.shows.findShow(scopeOf(actor), request.body.showId);
      if (!show) throw new ProblemError({ code: 'not-found', pointer: '/showId' });
      authorize(actor, 'createProposal', { kind: 'show', tourOrgId: show.tourOrgId, venueOrgId: show.venueOrgId, shared: show.shared });
      const input = { actor: authorOf(request), ...request.body };
      const made = await app.store.proposals.create(
        scopeOf(actor),
        input,
        onceWith(request, (proposal) => ({
          status: 201,
          body: presentSummary(proposal),
          etag: etagOf(proposal.version),
          location: `/api/v1/proposals/${proposal.id}`,
        })),
      );
      return sendAnswer(reply, orProblem(made));
    },
  );
};
