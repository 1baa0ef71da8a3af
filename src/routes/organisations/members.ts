import type { FastifyPluginAsync, FastifyRequest } from 'fastify';
import type { ZodTypeProvider } from 'fastify-type-provider-zod';
import { z } from 'zod';
import type { Action } from '../../auth/can.ts';
import type { Member } from '../../store/accounts/members.ts';
import { authorize, authorOf, requireActor, scopeOf } from '../actor.ts';
import { Roles } from '../auth/schemas.ts';
import { hashOf, secretText } from '../auth/secrets.ts';
import { problems } from '../errors.ts';
import { always, etagOf, ifMatchVersion, MatchHeaders, notModified, OnceHeaders, onceWith, sendAnswer } from '../headers.ts';
import { nextByInstant, nextLink, PageQuery, readCursor } from '../paging.ts';
import { orProblem, ProblemError } from '../problem.ts';
import { Id, InstantText, listOf, Version } from '../schemas/common.ts';
import { requireOrganisation } from './organisation-seen.ts';
import { refuseForeignRoles } from './roles-fit.ts';

const Body = z.strictObject({ roles: Roles }).meta({ examples: [{ roles: ['houseRigger', 'crew'] }] });
const OrgParams = z.strictObject({ organisationId: Id });
const Params = z.strictObject({ organisationId: Id, personId: Id });
const View = z
  .object({
    personId: Id,
    displayName: z.string(),
    email: z.string(),
    roles: z.array(z.string()),
    version: Version,
    createdAt: InstantText,
  })
  .meta({ id: 'Member' });
const ResetView = z
  .object({ personId: Id, expiresAt: InstantText, token: z.string().nullable() })
  .meta({ id: 'PasswordReset', description: 'token: shown in this answer alone; null when the same request comes again.' });

const present = ({ id, createdAt, ...member }: Member) => ({ ...member, personId: id, createdAt: createdAt.toISOString() });

export const membersRoutes: FastifyPluginAsync = async (plain) => {
  const app = plain.withTypeProvider<ZodTypeProvider>();
  const tags = ['organisations'];
  /** The member that the address names, once the caller may know who belongs there, and then may do `action`. */
  const memberFor = async (request: FastifyRequest, params: z.infer<typeof Params>, action?: Action) => {
    const actor = requireActor(request);
    const { id: orgId } = await requireOrganisation(app, actor, params.organisationId);
    authorize(actor, 'listMembers', { kind: 'organisation', orgId });
    const member = await app.store.accounts.member(scopeOf(actor), params.personId);
    if (!member) throw new ProblemError({ code: 'not-found' });
    if (action) authorize(actor, action, { kind: 'member', orgId, personId: member.id });
    return { actor, member };
  };

  app.get(
    '/organisations/:organisationId/members',
    {
      schema: {
        operationId: 'listMembers',
        tags,
        summary: 'The people of the own organisation',
        params: OrgParams,
        querystring: PageQuery,
        response: { 200: listOf(View), ...problems(401, 403, 404) },
      },
    },
    async (request, reply) => {
      const actor = requireActor(request);
      const { id: orgId } = await requireOrganisation(app, actor, request.params.organisationId);
      authorize(actor, 'listMembers', { kind: 'organisation', orgId });
      const { limit, cursor } = request.query;
      const rows = await app.store.accounts.members(scopeOf(actor), { limit, after: readCursor(cursor) });
      reply.headers(
        nextLink(
          request.url,
          nextByInstant(rows, limit, ({ createdAt }) => createdAt),
        ),
      );
      return { items: rows.map(present) };
    },
  );
  app.get(
    '/organisations/:organisationId/members/:personId',
    {
      schema: {
        operationId: 'getMember',
        tags,
        summary: 'One member',
        params: Params,
        response: { 200: View, ...problems(401, 403, 404) },
      },
    },
    async (request, reply) => {
      const { member } = await memberFor(request, request.params);
      if (notModified(request, reply, etagOf(member.version))) return reply;
      return present(member);
    },
  );
  app.patch(
    '/organisations/:organisationId/members/:personId',
    {
      schema: {
        operationId: 'changeMemberRoles',
        tags,
        summary: 'Change the roles of a member',
        params: Params,
        headers: MatchHeaders,
        body: Body,
        response: { 200: View, ...problems(401, 403, 404, 409, 412, 413, 415, 422, 428) },
      },
    },
    async (request, reply) => {
      const ifMatch = ifMatchVersion(request);
      const { actor, member } = await memberFor(request, request.params, 'changeMemberRoles');
      const { roles } = request.body;
      refuseForeignRoles(actor, roles);
      const changed = await app.store.accounts.changeRoles(
        scopeOf(actor),
        { actor: authorOf(request), personId: member.id, ifMatch, roles },
        always(request, (next) => ({ status: 200, body: present(next), etag: etagOf(next.version) })),
      );
      return sendAnswer(reply, orProblem(changed));
    },
  );
  app.delete(
    '/organisations/:organisationId/members/:personId',
    {
      schema: {
        operationId: 'endMembership',
        tags,
        summary: 'End a membership: access ends at once',
        params: Params,
        headers: MatchHeaders,
        response: { 204: z.null(), ...problems(401, 403, 404, 409, 412, 428) },
      },
    },
    async (request, reply) => {
      const ifMatch = ifMatchVersion(request);
      const { actor, member } = await memberFor(request, request.params, 'endMembership');
      const ended = await app.store.accounts.endMembership(
        scopeOf(actor),
        { actor: authorOf(request), personId: member.id, ifMatch },
        always(request, () => ({ status: 204, body: null })),
      );
      return sendAnswer(reply, orProblem(ended));
    },
  );
  app.post(
    '/organisations/:organisationId/members/:personId/password-reset',
    {
      schema: {
        operationId: 'makePasswordReset',
        tags,
        summary: 'Make a link by which a member sets a new password',
        params: Params,
        headers: OnceHeaders,
        response: { 201: ResetView, ...problems(401, 403, 404, 409, 422) },
      },
    },
    async (request, reply) => {
      const { actor, member } = await memberFor(request, request.params, 'resetMemberPassword');
      const token = secretText();
      const made = await app.store.accounts.createReset(
        scopeOf(actor),
        { actor: authorOf(request), personId: member.id, tokenHash: hashOf(token) },
        onceWith(request, ({ personId, expiresAt }) => {
          const shown = { personId, expiresAt: expiresAt.toISOString() };
          return { status: 201, body: { ...shown, token }, kept: { ...shown, token: null } };
        }),
      );
      return sendAnswer(reply, orProblem(made));
    },
  );
};
