import type { FastifyPluginAsync } from 'fastify';
import type { ZodTypeProvider } from 'fastify-type-provider-zod';
import { z } from 'zod';
import type { Organisation } from '../../store/accounts/organisations.ts';
import { authorize, authorOf, requireActor, scopeOf } from '../actor.ts';
import { OrgKindSchema } from '../auth/schemas.ts';
import { problems } from '../errors.ts';
import { always, etagOf, ifMatchVersion, MatchHeaders, notModified, sendAnswer } from '../headers.ts';
import { nextLink, PageQuery, readCursor } from '../paging.ts';
import { orProblem } from '../problem.ts';
import { Id, InstantText, listOf, Name, Version } from '../schemas/common.ts';
import { requireOrganisation } from './organisation-seen.ts';

const Body = z.strictObject({ name: Name }).meta({ examples: [{ name: 'Harbour Hall and Annexe' }] });
const Params = z.strictObject({ organisationId: Id });
const View = z.object({ id: Id, name: Name, kind: OrgKindSchema, version: Version, createdAt: InstantText }).meta({ id: 'Organisation' });
const Filter = z.strictObject({
  ...PageQuery.shape,
  name: z.string().trim().min(2).max(200).optional().describe('how the name begins; case does not matter'),
  kind: OrgKindSchema.optional(),
});
const NameCursor = z.tuple([z.string(), z.uuid()]);

const present = ({ createdAt, ...organisation }: Organisation) => ({ ...organisation, createdAt: createdAt.toISOString() });

/** Names and kinds of organisations are for everybody who is signed in; all else is for their own people. */
export const organisationsRoutes: FastifyPluginAsync = async (plain) => {
  const app = plain.withTypeProvider<ZodTypeProvider>();
  const tags = ['organisations'];
  app.get(
    '/organisations',
    {
      schema: {
        operationId: 'listOrganisations',
        tags,
        summary: 'Organisations in order of their names',
        querystring: Filter,
        response: { 200: listOf(View), ...problems(401, 403) },
      },
    },
    async (request, reply) => {
      const actor = requireActor(request);
      authorize(actor, 'readOrganisation', { kind: 'organisation', orgId: actor.orgId });
      const { limit, cursor, name, kind } = request.query;
      const page = { limit, after: readCursor(cursor, NameCursor) };
      const rows = await app.store.accounts.organisations(scopeOf(actor), { namePrefix: name, kind }, page);
      const last = rows.at(-1);
      reply.headers(nextLink(request.url, last && rows.length === limit ? [last.name, last.id] : null));
      return { items: rows.map(present) };
    },
  );
  app.get(
    '/organisations/:organisationId',
    {
      schema: {
        operationId: 'getOrganisation',
        tags,
        summary: 'One organisation',
        params: Params,
        response: { 200: View, ...problems(401, 403, 404) },
      },
    },
    async (request, reply) => {
      const actor = requireActor(request);
      const found = await requireOrganisation(app, actor, request.params.organisationId);
      authorize(actor, 'readOrganisation', { kind: 'organisation', orgId: found.id });
      if (notModified(request, reply, etagOf(found.version))) return reply;
      return present(found);
    },
  );
  app.patch(
    '/organisations/:organisationId',
    {
      schema: {
        operationId: 'renameOrganisation',
        tags,
        summary: 'Rename the own organisation',
        params: Params,
        headers: MatchHeaders,
        body: Body,
        response: { 200: View, ...problems(401, 403, 404, 412, 413, 415, 428) },
      },
    },
    async (request, reply) => {
      const ifMatch = ifMatchVersion(request);
      const actor = requireActor(request);
      const found = await requireOrganisation(app, actor, request.params.organisationId);
      authorize(actor, 'changeOrganisation', { kind: 'organisation', orgId: found.id });
      const renamed = await app.store.accounts.renameOrganisation(
        scopeOf(actor),
        { actor: authorOf(request), id: found.id, ifMatch, name: request.body.name },
        always(request, (changed) => ({ status: 200, body: present(changed), etag: etagOf(changed.version) })),
      );
      return sendAnswer(reply, orProblem(renamed));
    },
  );
};
