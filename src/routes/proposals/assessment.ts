import { hash } from 'node:crypto';
import type { FastifyPluginAsync } from 'fastify';
import type { ZodTypeProvider } from 'fastify-type-provider-zod';
import { z } from 'zod';
import { scopeOf } from '../actor.ts';
import { problems } from '../errors.ts';
import { notModified } from '../headers.ts';
import { orProblem, ProblemError } from '../problem.ts';
import { Id, InstantText } from '../schemas/common.ts';
import { AssessmentView } from './assessment-view.ts';
import { seenFor } from './seen.ts';

const Params = z.strictObject({ proposalId: Id });
const KeptAssessmentView = z
  .object({
    submission: z.int(),
    sequence: z.int(),
    cause: z.string().describe('submission, or roofMoved: computed again because the roof changed or filled up'),
    revision: z.int(),
    createdAt: InstantText,
    assessment: AssessmentView,
    heldTicks: z
      .array(
        z.object({
          checkId: z.string(),
          submission: z.int().describe('in answer to which it was given'),
          tickedAt: InstantText,
        }),
      )
      .describe(
        'your own earlier ticks on checks that are the same in all they cover: an answer of yours carries them without your sending them',
      ),
  })
  .meta({ id: 'KeptAssessment' });

export const assessment: FastifyPluginAsync = async (plain) => {
  const app = plain.withTypeProvider<ZodTypeProvider>();
  const tags = ['assessments'];
  app.post(
    '/proposals/:proposalId/assessment',
    {
      schema: {
        operationId: 'dryRunAssessment',
        tags,
        summary: 'What the working plan would do to the roof now; nothing is kept',
        params: Params,
        response: { 200: AssessmentView, ...problems(401, 403, 404, 409, 415, 422) },
      },
    },
    async (request, reply) => {
      const { actor } = await seenFor(app, request, request.params.proposalId, 'dryRunAssessment');
      const { assessment: computed, timing } = orProblem(await app.store.proposals.dryRun(scopeOf(actor), request.params.proposalId));
      reply.header('server-timing', `read;dur=${timing.readMs.toFixed(1)}, assess;dur=${timing.assessMs.toFixed(1)}`);
      return computed;
    },
  );
  app.get(
    '/proposals/:proposalId/assessment',
    {
      schema: {
        operationId: 'getAssessment',
        tags,
        summary: 'The last assessment that was put to the venue, or computed again for its decision',
        params: Params,
        response: { 200: KeptAssessmentView, ...problems(401, 403, 404) },
      },
    },
    async (request, reply) => {
      const { actor } = await seenFor(app, request, request.params.proposalId, 'readProposal');
      const last = await app.store.proposals.lastAssessment(scopeOf(actor), request.params.proposalId);
      if (!last) throw new ProblemError({ code: 'not-found' });
      const heldTicks = last.heldTicks.map(({ checkId, submissionNumber, tickedAt }) => ({
        checkId,
        submission: submissionNumber,
        tickedAt: tickedAt.toISOString(),
      }));
      // The assessment never changes; what its reader has ticked does, and is another for each.
      const etag = `"${hash('sha256', JSON.stringify([last.kept.assessmentHash, heldTicks]))}"`;
      if (notModified(request, reply, etag)) return reply;
      return {
        submission: last.kept.submissionNumber,
        sequence: last.kept.sequence,
        cause: last.kept.cause,
        revision: last.kept.revisionNumber,
        createdAt: last.kept.createdAt.toISOString(),
        assessment: last.assessment,
        heldTicks,
      };
    },
  );
};
