import type { FastifyPluginAsync, FastifyRequest } from 'fastify';
import type { ZodTypeProvider } from 'fastify-type-provider-zod';
import { z } from 'zod';
import { storedPlan } from '../../domain/plan/stored-equipment.ts';
import type { PlanEdit } from '../../store/proposals/plans.ts';
import type { Proposal } from '../../store/proposals/rows.ts';
import { scopeOf } from '../actor.ts';
import { problems } from '../errors.ts';
import { always, etagOf, ifMatchVersion, MatchHeaders, sendAnswer } from '../headers.ts';
import { orProblem, ProblemError } from '../problem.ts';
import { Id, InstantText, Sha256, Version } from '../schemas/common.ts';
import { EXAMPLE_HANG, EXAMPLE_PLAN } from '../schemas/plan-example.ts';
import { EquipmentUsedSchema, HangSchema, PlanSchema } from '../schemas/plan.ts';
import { seenFor } from './seen.ts';

const Params = z.strictObject({ proposalId: Id });
const HangParams = z.strictObject({ proposalId: Id, hangId: Id });
const EditQuery = z.strictObject({
  unagree: z.enum(['true', 'false']).optional().describe('true: the plan is agreed, and changing it is meant'),
});
const PlanView = z
  .object({ proposalId: Id, version: Version, sha256: Sha256, stale: z.boolean(), state: z.string(), plan: PlanSchema })
  .meta({ id: 'WorkingPlan' });
const FrozenPlanView = z
  .object({
    proposalId: Id,
    number: z.int(),
    sha256: Sha256,
    revision: z.int(),
    note: z.string(),
    submittedBy: z.string(),
    submittedAt: InstantText,
    from: InstantText,
    to: InstantText,
    plan: PlanSchema,
  })
  .meta({ id: 'FrozenPlan' });
const Edited = z
  .object({ proposalId: Id, version: Version, sha256: Sha256, state: z.string(), stale: z.boolean() })
  .meta({ id: 'EditedPlan' });
const HangBody = z
  .strictObject({ hang: HangSchema, equipment: z.record(z.string().trim().min(1).max(100), EquipmentUsedSchema).default({}) })
  .meta({ examples: [{ hang: EXAMPLE_HANG, equipment: EXAMPLE_PLAN.equipment }] });

const editedAnswer = (proposal: Proposal) => ({
  status: 200,
  body: {
    proposalId: proposal.id,
    version: proposal.version,
    sha256: proposal.workingPlanSha256,
    state: proposal.state,
    stale: proposal.stale,
  },
  etag: etagOf(proposal.version),
});

/** The working plan, whole and hang by hang, and the frozen ones. */
export const plans: FastifyPluginAsync = async (plain) => {
  const app = plain.withTypeProvider<ZodTypeProvider>();
  const tags = ['plans'];
  const workingPlan = async (request: FastifyRequest, proposalId: string) => {
    const { actor } = await seenFor(app, request, proposalId, 'readWorkingPlan');
    const found = await app.store.proposals.draft(scopeOf(actor), proposalId);
    if (!found) throw new ProblemError({ code: 'not-found' });
    return { ...found, plan: storedPlan(found.draft.bytes) };
  };
  const edit = async (request: FastifyRequest, proposalId: string, unagree: boolean, planEdit: PlanEdit) => {
    const ifMatch = ifMatchVersion(request);
    const { actor, act } = await seenFor(app, request, proposalId, 'editPlan');
    return orProblem(
      await app.store.proposals.edit(scopeOf(actor), { ...act, ifMatch, unagree, edit: planEdit }, always(request, editedAnswer)),
    );
  };

  app.get(
    '/proposals/:proposalId/plan',
    {
      schema: {
        operationId: 'getPlan',
        tags,
        summary: 'The working plan',
        params: Params,
        response: { 200: PlanView, ...problems(401, 403, 404) },
      },
    },
    async (request, reply) => {
      const { proposal, draft, plan } = await workingPlan(request, request.params.proposalId);
      reply.header('etag', etagOf(proposal.version));
      return {
        proposalId: proposal.id,
        version: proposal.version,
        sha256: draft.sha256,
        stale: proposal.stale,
        state: proposal.state,
        plan,
      };
    },
  );
  app.put(
    '/proposals/:proposalId/plan',
    {
      schema: {
        operationId: 'putPlan',
        tags,
        summary: 'Replace the working plan',
        params: Params,
        querystring: EditQuery,
        headers: MatchHeaders,
        body: PlanSchema,
        response: { 200: Edited, ...problems(401, 403, 404, 409, 412, 413, 415, 422, 428) },
      },
    },
    async (request, reply) =>
      sendAnswer(
        reply,
        await edit(request, request.params.proposalId, request.query.unagree === 'true', { kind: 'whole', plan: request.body }),
      ),
  );
  app.get(
    '/proposals/:proposalId/plans/:number',
    {
      schema: {
        operationId: 'getFrozenPlan',
        tags,
        summary: 'A plan as it was put to the venue',
        params: z.strictObject({ proposalId: Id, number: z.coerce.number().int().min(1).max(100_000) }),
        response: { 200: FrozenPlanView, ...problems(401, 403, 404) },
      },
    },
    async (request) => {
      const { proposalId, number } = request.params;
      const { actor } = await seenFor(app, request, proposalId, 'readProposal');
      const frozen = await app.store.proposals.frozenPlan(scopeOf(actor), proposalId, number);
      if (!frozen) throw new ProblemError({ code: 'not-found' });
      return {
        proposalId,
        number,
        sha256: frozen.planSha256,
        revision: frozen.revisionNumber,
        note: frozen.note,
        submittedBy: frozen.submitterName,
        submittedAt: frozen.submittedAt.toISOString(),
        from: frozen.startsAt.toISOString(),
        to: frozen.endsAt.toISOString(),
        plan: storedPlan(frozen.planBytes),
      };
    },
  );
  app.get(
    '/proposals/:proposalId/hangs/:hangId',
    {
      schema: {
        operationId: 'getHang',
        tags,
        summary: 'One hang of the working plan',
        params: HangParams,
        response: { 200: HangSchema, ...problems(401, 403, 404) },
      },
    },
    async (request, reply) => {
      const { proposal, plan } = await workingPlan(request, request.params.proposalId);
      const hang = plan.hangs.find(({ id }) => id === request.params.hangId);
      if (!hang) throw new ProblemError({ code: 'not-found' });
      reply.header('etag', etagOf(proposal.version));
      return hang;
    },
  );
  app.put(
    '/proposals/:proposalId/hangs/:hangId',
    {
      schema: {
        operationId: 'putHang',
        tags,
        summary: 'Put a hang into the working plan, or replace it, with the equipment it uses',
        params: HangParams,
        querystring: EditQuery,
        headers: MatchHeaders,
        body: HangBody,
        response: { 200: Edited, ...problems(401, 403, 404, 409, 412, 413, 415, 422, 428) },
      },
    },
    async (request, reply) => {
      const { hang, equipment } = request.body;
      if (hang.id !== request.params.hangId) {
        throw new ProblemError({ code: 'invalid-request', errors: [{ pointer: '/hang/id', message: 'not the id in the address' }] });
      }
      return sendAnswer(
        reply,
        await edit(request, request.params.proposalId, request.query.unagree === 'true', { kind: 'hang', hang, equipment }),
      );
    },
  );
  app.delete(
    '/proposals/:proposalId/hangs/:hangId',
    {
      schema: {
        operationId: 'deleteHang',
        tags,
        summary: 'Take a hang out of the working plan',
        params: HangParams,
        querystring: EditQuery,
        headers: MatchHeaders,
        response: { 200: Edited, ...problems(401, 403, 404, 409, 412, 422, 428) },
      },
    },
    async (request, reply) =>
      sendAnswer(
        reply,
        await edit(request, request.params.proposalId, request.query.unagree === 'true', {
          kind: 'removeHang',
          hangId: request.params.hangId,
        }),
      ),
  );
};
