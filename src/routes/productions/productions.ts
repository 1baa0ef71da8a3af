import type { FastifyPluginAsync } from 'fastify';
import type { ZodTypeProvider } from 'fastify-type-provider-zod';
import { z } from 'zod';
import type { Production } from '../../store/shows.ts';
import { authorize, authorOf, requireActor, scopeOf } from '../actor.ts';
import { problems } from '../errors.ts';
import { always, etagOf, ifMatchVersion, MatchHeaders, notModified, OnceHeaders, onceWith, sendAnswer } from '../headers.ts';
import { nextByInstant, nextLink, PageQuery, readCursor } from '../paging.ts';
import { orProblem, ProblemError } from '../problem.ts';
import { Id, InstantText, listOf, Name, Version } from '../schemas/common.ts';

const Body = z.strictObject({ name: Name }).meta({ examples: [{ name: 'Paper Lanterns, winter run' }] });
const Params = z.strictObject({ productionId: Id });
const View = z.object({ id: Id, organisationId: Id, name: Name, version: Version, createdAt: InstantText }).meta({ id: 'Production' });

const present = ({ tourOrgId, createdAt, ...production }: Production) => ({
  ...production,
  organisationId: tourOrgId,
  createdAt: createdAt.toISOString(),
});
const answerOf = (production: Production, status: number) => ({
  status,
  body: present(production),
  etag: etagOf(production.version),
  ...(status === 201 ? { location: `/api/v1/productions/${production.id}` } : {}),
});

/** Productions: the touring party's own. */
export const productionsRoutes: FastifyPluginAsync = async (plain) => {
  const app = plain.withTypeProvider<ZodTypeProvider>();
  const tags = ['productions'];
  app.post(
    '/productions',
    {
      schema: {
        operationId: 'createProduction',
        tags,
        summary: 'Begin a production',
        headers: OnceHeaders,
        body: Body,
        response: { 201: View, ...problems(401, 403, 409, 413, 415, 422) },
      },
    },
    async (request, reply) => {
      const actor = requireActor(request);
      authorize(actor, 'createProduction', { kind: 'organisation', orgId: actor.orgId });
      const input = { actor: authorOf(request), name: request.body.name };
      return sendAnswer(
        reply,
        orProblem(
          await app.store.shows.createProduction(
            scopeOf(actor),
            input,
            onceWith(request, (made) => answerOf(made, 201)),
          ),
        ),
      );
    },
  );
  app.get(
    '/productions',
    {
      schema: {
        operationId: 'listProductions',
        tags,
        summary: 'Own productions',
        querystring: PageQuery,
        response: { 200: listOf(View), ...problems(401, 403) },
      },
    },
    async (request, reply) => {
      const actor = requireActor(request);
      authorize(actor, 'listProductions', { kind: 'organisation', orgId: actor.orgId });
      const { limit, cursor } = request.query;
      const rows = await app.store.shows.listProductions(scopeOf(actor), { limit, after: readCursor(cursor) });
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
    '/productions/:productionId',
    {
      schema: {
        operationId: 'getProduction',
        tags,
        summary: 'One production',
        params: Params,
        response: { 200: View, ...problems(401, 403, 404) },
      },
    },
    async (request, reply) => {
      const actor = requireActor(request);
      const found = await app.store.shows.findProduction(scopeOf(actor), request.params.productionId);
      if (!found) throw new ProblemError({ code: 'not-found' });
      authorize(actor, 'readProduction', { kind: 'production', tourOrgId: found.tourOrgId });
      if (notModified(request, reply, etagOf(found.version))) return reply;
      return present(found);
    },
  );
  app.patch(
    '/productions/:productionId',
    {
      schema: {
        operationId: 'renameProduction',
        tags,
        summary: 'Rename a production',
        params: Params,
        headers: MatchHeaders,
        body: Body,
        response: { 200: View, ...problems(401, 403, 404, 412, 413, 415, 428) },
      },
    },
    async (request, reply) => {
      const ifMatch = ifMatchVersion(request);
      const actor = requireActor(request);
      const found = await app.store.shows.findProduction(scopeOf(actor), request.params.productionId);
      if (!found) throw new ProblemError({ code: 'not-found' });
      authorize(actor, 'changeProduction', { kind: 'production', tourOrgId: found.tourOrgId });
      const input = { actor: authorOf(request), id: found.id, ifMatch, name: request.body.name };
      return sendAnswer(
        reply,
        orProblem(
          await app.store.shows.renameProduction(
            scopeOf(actor),
            input,
            always(request, (renamed) => answerOf(renamed, 200)),
          ),
        ),
      );
    },
  );
};
