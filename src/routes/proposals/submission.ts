import type { FastifyPluginAsync } from 'fastify';
import type { ZodTypeProvider } from 'fastify-type-provider-zod';
import { z } from 'zod';
import { scopeOf } from '../actor.ts';
import { problems } from '../errors.ts';
import { DecideHeaders, ifMatchVersion, onceWith, sendAnswer } from '../headers.ts';
import { orProblem } from '../problem.ts';
import { Id, Words } from '../schemas/common.ts';
import { seenFor } from './seen.ts';
import { proposalAnswer, ProposalView } from './views.ts';

export const submission: FastifyPluginAsync = async (plain) => {
  const app = plain.withTypeProvider<ZodTypeProvider>();
  app.post(
    '/proposals/:proposalId/submission',
    {
      schema: {
        operationId: 'submitProposal',
        tags: ['agreement'],
        summary: 'Put the plan to the venue: freezes it, assesses it on the latest revision, and keeps both',
        params: z.strictObject({ proposalId: Id }),
        headers: DecideHeaders,
        body: z.strictObject({ note: Words }).meta({ examples: [{ note: 'As discussed, with the delays moved upstage.' }] }),
        response: { 200: ProposalView, ...problems(401, 403, 404, 409, 412, 413, 415, 422, 428) },
      },
    },
    async (request, reply) => {
      const ifMatch = ifMatchVersion(request);
      const { actor, act } = await seenFor(app, request, request.params.proposalId, 'submit');
      const done = await app.store.proposals.submit(
        scopeOf(actor),
        { ...act, ifMatch, note: request.body.note },
        onceWith(request, (seen) => proposalAnswer(seen, actor)),
      );
      return sendAnswer(reply, orProblem(done));
    },
  );
};
