import type { FastifyPluginAsync } from 'fastify';
import type { ZodTypeProvider } from 'fastify-type-provider-zod';
import { z } from 'zod';
import type { Invitation } from '../../store/accounts/invitations.ts';
import { authorize, authorOf, requireActor, scopeOf } from '../actor.ts';
import { Email, Roles } from '../auth/schemas.ts';
import { hashOf, secretText } from '../auth/secrets.ts';
import { problems } from '../errors.ts';
import { always, ifMatchVersion, MatchHeaders, OnceHeaders, onceWith, sendAnswer } from '../headers.ts';
import { nextByInstant, nextLink, PageQuery, readCursor } from '../paging.ts';
import { orProblem } from '../problem.ts';
import { Id, InstantText, listOf, Version } from '../schemas/common.ts';
import { requireOrganisation } from './organisation-seen.ts';
import { refuseForeignRoles } from './roles-fit.ts';

const Body = z
  .strictObject({ email: Email, roles: Roles })
  .meta({ examples: [{ email: 'wout.ferrier@harbour-hall.example', roles: ['houseRigger'] }] });
const OrgParams = z.strictObject({ organisationId: Id });
const View = z
  .object({ id: Id, email: z.string(), roles: z.array(z.string()), createdAt: InstantText, expiresAt: InstantText, version: Version })
  .meta({ id: 'Invitation' });
const MadeView = z.object({ ...View.shape, token: z.string().nullable() }).meta({
  id: 'InvitationMade',
  description: 'token: shown in this answer alone, to be handed over; null when the same request comes again.',
});

const present = ({ createdAt, expiresAt, ...invitation }: Invitation) => ({
  ...invitation,
  createdAt: createdAt.toISOString(),
  expiresAt: expiresAt.toISOString(),
  version: 1,
});

export const invitationsRoutes: FastifyPluginAsync = async (plain) => {
  const app = plain.withTypeProvider<ZodTypeProvider>();
  const tags = ['organisations'];
  app.post(
    '/organisations/:organisationId/invitations',
    {
      schema: {
        operationId: 'inviteMember',
        tags,
        summary: 'Invite somebody to the own organisation',
        params: OrgParams,
        headers: OnceHeaders,
        body: Body,
        response: { 201: MadeView, ...problems(401, 403, 404, 409, 413, 415, 422) },
      },
    },
    async (request, reply) => {
      const actor = requireActor(request);
      const { id: orgId } = await requireOrganisation(app, actor, request.params.organisationId);
      authorize(actor, 'inviteMember', { kind: 'organisation', orgId });
      const { email, roles } = request.body;
      refuseForeignRoles(actor, roles);
      const token = secretText();
      const made = await app.store.accounts.invite(
        scopeOf(actor),
        { actor: authorOf(request), email, roles, tokenHash: hashOf(token) },
        onceWith(request, (invitation) => ({
          status: 201,
          body: { ...present(invitation), token },
          kept: { ...present(invitation), token: null },
        })),
      );
      return sendAnswer(reply, orProblem(made));
    },
  );
  app.get(
    '/organisations/:organisationId/invitations',
    {
      schema: {
        operationId: 'listInvitations',
        tags,
        summary: 'Invitations that can still be accepted',
        params: OrgParams,
        querystring: PageQuery,
        response: { 200: listOf(View), ...problems(401, 403, 404) },
      },
    },
    async (request, reply) => {
      const actor = requireActor(request);
      const { id: orgId } = await requireOrganisation(app, actor, request.params.organisationId);
      authorize(actor, 'listInvitations', { kind: 'organisation', orgId });
      const { limit, cursor } = request.query;
      const rows = await app.store.accounts.invitations(scopeOf(actor), { limit, after: readCursor(cursor) });
      reply.headers(
        nextLink(
          request.url,
          nextByInstant(rows, limit, ({ createdAt }) => createdAt),
        ),
      );
      return { items: rows.map(present) };
    },
  );
  app.delete(
    '/organisations/:organisationId/invitations/:invitationId',
    {
      schema: {
        operationId: 'revokeInvitation',
        tags,
        summary: 'Take an invitation back',
        params: z.strictObject({ organisationId: Id, invitationId: Id }),
        headers: MatchHeaders,
        response: { 204: z.null(), ...problems(401, 403, 404, 412, 428) },
      },
    },
    async (request, reply) => {
      const ifMatch = ifMatchVersion(request);
      const actor = requireActor(request);
      const { id: orgId } = await requireOrganisation(app, actor, request.params.organisationId);
      authorize(actor, 'revokeInvitation', { kind: 'organisation', orgId });
      const revoked = await app.store.accounts.revokeInvitation(
        scopeOf(actor),
        { actor: authorOf(request), id: request.params.invitationId, ifMatch },
        always(request, () => ({ status: 204, body: null })),
      );
      return sendAnswer(reply, orProblem(revoked));
    },
  );
};
