import type { FastifyPluginAsync } from 'fastify';
import type { ZodTypeProvider } from 'fastify-type-provider-zod';
import { z } from 'zod';
import type { Action } from '../../auth/can.ts';
import type { SimpleAct } from '../../store/proposals/acts.ts';
import { scopeOf } from '../actor.ts';
import { problems } from '../errors.ts';
import { DecideHeaders, ifMatchVersion, onceWith, sendAnswer } from '../headers.ts';
import { orProblem } from '../problem.ts';
import { Id, Sha256, Words } from '../schemas/common.ts';
import { seenFor } from './seen.ts';
import { proposalAnswer, ProposalView } from './views.ts';

const Reason = z.string().trim().min(1).max(4000);
const reasonOf = (example: string) => z.strictObject({ reason: Reason }).meta({ examples: [{ reason: example }] });
const Nothing = z.strictObject({}).meta({ examples: [{}] });

type ActRoute<B extends z.ZodType> = {
  path: string;
  operationId: string;
  summary: string;
  body: B;
  /** What the caller must be allowed, and the act that the body says. */
  act: (body: z.infer<B>, params: { overrideId?: string }) => { action: Action; act: SimpleAct };
};

/** The acts that change a proposal and carry no more than a reason: all under If-Match and an idempotency key, all answered by the proposal. */
export const acts: FastifyPluginAsync = async (plain) => {
  const app = plain.withTypeProvider<ZodTypeProvider>();

  const actRoute = <B extends z.ZodType>({ path, operationId, summary, body, act: actOf }: ActRoute<B>) =>
    app.post(
      `/proposals/:proposalId/${path}`,
      {
        schema: {
          operationId,
          tags: ['agreement'],
          summary,
          params: path.includes(':overrideId') ? z.strictObject({ proposalId: Id, overrideId: Id }) : z.strictObject({ proposalId: Id }),
          headers: DecideHeaders,
          body,
          response: { 200: ProposalView, ...problems(401, 403, 404, 409, 412, 413, 415, 422, 428) },
        },
      },
      async (request, reply) => {
        const ifMatch = ifMatchVersion(request);
        const params = request.params as { proposalId: string; overrideId?: string };
        const what = actOf(request.body as z.infer<B>, params);
        const { actor, act } = await seenFor(app, request, params.proposalId, what.action);
        const done = await app.store.proposals.perform(
          scopeOf(actor),
          { ...act, ifMatch, ...what.act },
          onceWith(request, (seen) => proposalAnswer(seen, actor)),
        );
        return sendAnswer(reply, orProblem(done));
      },
    );

  actRoute({
    path: 'withdrawal',
    operationId: 'withdrawProposal',
    summary: 'The touring side takes its proposal back',
    body: Nothing,
    act: () => ({ action: 'withdraw', act: { action: 'withdraw' } }),
  });
  actRoute({
    path: 'revocation',
    operationId: 'revokeAgreement',
    summary: 'The venue takes its yes back, on record',
    body: reasonOf('The girder report was withdrawn.'),
    act: ({ reason }) => ({ action: 'revoke', act: { action: 'revoke', reason } }),
  });
  actRoute({
    path: 'suspension',
    operationId: 'suspendProposal',
    summary: 'Stop it at once: one act, no quorum; or lift the suspension',
    body: z
      .discriminatedUnion('act', [
        z.strictObject({ act: z.literal('suspend'), reason: Reason }),
        z.strictObject({ act: z.literal('lift') }),
      ])
      .meta({ examples: [{ act: 'suspend', reason: 'Gusts above what the roof was checked for.' }] }),
    act: (body) =>
      body.act === 'suspend'
        ? { action: 'suspend', act: { action: 'suspend', reason: body.reason } }
        : { action: 'liftSuspension', act: { action: 'liftSuspension' } },
  });
  actRoute({
    path: 'strike',
    operationId: 'strikeProposal',
    summary: 'It is down: the roof is handed back',
    body: Nothing,
    act: () => ({ action: 'strike', act: { action: 'strike' } }),
  });
  actRoute({
    path: 'override',
    operationId: 'askOverride',
    summary: 'Ask to set aside hard checks that are over, or answers that block: a second person confirms',
    body: z
      .strictObject({
        subject: z.enum(['check', 'answer']),
        subjectIds: z.array(z.string().min(1).max(300)).min(1).max(200),
        outcomeHash: Sha256,
        reason: Words,
      })
      .meta({
        examples: [
          {
            subject: 'check',
            subjectIds: ['pointDown:b0000000-0000-4000-8000-000000000001'],
            outcomeHash: '0f1e2d3c4b5a69788796a5b4c3d2e1f00f1e2d3c4b5a69788796a5b4c3d2e1f0',
            reason: 'Load test of last week allows 5 % more here; report 27-114.',
          },
        ],
      }),
    act: (body) => ({ action: 'askOverride', act: { action: 'askOverride', ...body } }),
  });
  actRoute({
    path: 'override/:overrideId/confirmation',
    operationId: 'confirmOverride',
    summary: 'The second person sets it aside; it then reads overridden, never fits',
    body: z
      .strictObject({ outcomeHash: Sha256 })
      .meta({ examples: [{ outcomeHash: '0f1e2d3c4b5a69788796a5b4c3d2e1f00f1e2d3c4b5a69788796a5b4c3d2e1f0' }] }),
    act: ({ outcomeHash }, { overrideId }) => ({
      action: 'confirmOverride',
      act: { action: 'confirmOverride', overrideId: overrideId!, outcomeHash },
    }),
  });
  actRoute({
    path: 'handover',
    operationId: 'handOver',
    summary: 'Hand the deciding to another person, or accept it: recorded by both',
    body: z
      .discriminatedUnion('act', [
        z.strictObject({ act: z.literal('offer'), toPersonId: Id }),
        z.strictObject({ act: z.literal('accept') }),
      ])
      .meta({ examples: [{ act: 'offer', toPersonId: '4d3c2b1a-0000-4000-8000-00000000000b' }] }),
    act: (body) =>
      body.act === 'offer'
        ? { action: 'offerHandover', act: { action: 'offerHandover', toPersonId: body.toPersonId } }
        : { action: 'acceptHandover', act: { action: 'acceptHandover' } },
  });
};
