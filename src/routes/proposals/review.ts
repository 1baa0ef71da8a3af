import type { FastifyPluginAsync } from 'fastify';
import type { ZodTypeProvider } from 'fastify-type-provider-zod';
import { z } from 'zod';
import { scopeOf } from '../actor.ts';
import { problems } from '../errors.ts';
import { DecideHeaders, ifMatchVersion, onceWith, sendAnswer } from '../headers.ts';
import { orProblem, toProblem } from '../problem.ts';
import { Id, InstantText, listOf, Sha256, Words } from '../schemas/common.ts';
import { seenFor } from './seen.ts';
import { proposalAnswer, ProposalView } from './views.ts';

const Params = z.strictObject({ proposalId: Id });
const Condition = z.object({
  pinKind: z.enum(['proposal', 'hang', 'pickUp', 'point', 'check']),
  pinId: z.string().max(200).nullable(),
  text: z.string().trim().min(1).max(1000),
});
const Tick = z.object({ checkId: z.string().min(1).max(300), demand: z.number().nullable(), capacity: z.number().nullable() });
const ReviewBody = z
  .strictObject({
    answer: z.enum(['agree', 'agreeWithConditions', 'ask', 'decline']),
    capacity: z.enum(['decider', 'engineer']).describe('in which capacity you answer for the venue'),
    assessmentHash: Sha256.describe('of the assessment that you have read'),
    ticks: z.array(Tick.strict()).max(5000).describe('each check that does not simply fit, with its number beside its limit'),
    conditions: z.array(Condition.strict()).max(200),
    reason: Words,
    validUntil: InstantText.nullable().describe('null: to the end of the show'),
  })
  .meta({
    examples: [
      {
        answer: 'agree',
        capacity: 'decider',
        assessmentHash: '0f1e2d3c4b5a69788796a5b4c3d2e1f00f1e2d3c4b5a69788796a5b4c3d2e1f0',
        ticks: [],
        conditions: [],
        reason: '',
        validUntil: null,
      },
    ],
  });
const DecisionView = z
  .object({
    id: Id,
    submission: z.int(),
    sequence: z.int(),
    answer: z.string(),
    capacity: z.string(),
    assessmentHash: Sha256,
    covers: z.object({
      planHash: Sha256,
      revisionHash: Sha256,
      assessmentHash: Sha256,
      outcomeHash: Sha256,
      engine: z.string(),
      policyHash: Sha256,
      conditionsHash: Sha256,
    }),
    conditions: z.array(Condition),
    ticks: z.array(Tick),
    reason: z.string(),
    decidedBy: Id,
    deciderName: z.string(),
    decidedAt: InstantText,
    validUntil: InstantText.nullable(),
  })
  .meta({ id: 'Decision' });

export const review: FastifyPluginAsync = async (plain) => {
  const app = plain.withTypeProvider<ZodTypeProvider>();
  const tags = ['agreement'];
  app.post(
    '/proposals/:proposalId/review',
    {
      schema: {
        operationId: 'reviewProposal',
        tags,
        summary: 'Decide on the assessment that the reviewer has read',
        description:
          'Computed again on locked data. When the roof has filled up or moved since, the answer is 409 with the new assessment, and nothing is decided.',
        params: Params,
        headers: DecideHeaders,
        body: ReviewBody,
        response: { 200: ProposalView, ...problems(401, 403, 404, 409, 412, 413, 415, 422, 428) },
      },
    },
    async (request, reply) => {
      const ifMatch = ifMatchVersion(request);
      const { actor, act } = await seenFor(app, request, request.params.proposalId, 'review');
      const { validUntil, ...said } = request.body;
      const input = { ...act, ...said, ifMatch, validUntil: validUntil === null ? null : new Date(validUntil) };
      const decided = await app.store.proposals.review(
        scopeOf(actor),
        input,
        onceWith(request, (reviewed) =>
          reviewed.kind === 'decided'
            ? proposalAnswer(reviewed, actor)
            : { status: 409, body: toProblem({ code: 'roof-moved', assessment: reviewed.assessment }, `urn:uuid:${request.id}`) },
        ),
      );
      return sendAnswer(reply, orProblem(decided));
    },
  );
  app.get(
    '/proposals/:proposalId/review',
    {
      schema: {
        operationId: 'listDecisions',
        tags,
        summary: 'Every answer that the venue gave, with what it covers',
        params: Params,
        response: { 200: listOf(DecisionView), ...problems(401, 403, 404) },
      },
    },
    async (request) => {
      const { actor, proposal } = await seenFor(app, request, request.params.proposalId, 'readProposal');
      const decisions = await app.store.proposals.decisions(scopeOf(actor), proposal.id);
      return {
        items: decisions.map(({ submissionNumber, covered, conditions, ticks, decidedAt, validUntil, ...rest }) => ({
          ...rest,
          submission: submissionNumber,
          covers: JSON.parse(covered) as z.infer<typeof DecisionView>['covers'],
          conditions: JSON.parse(conditions) as z.infer<typeof Condition>[],
          ticks: JSON.parse(ticks) as z.infer<typeof Tick>[],
          decidedAt: decidedAt.toISOString(),
          validUntil: validUntil?.toISOString() ?? null,
        })),
      };
    },
  );
};
