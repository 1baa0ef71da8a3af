import type { FastifyPluginAsync } from 'fastify';
import type { ZodTypeProvider } from 'fastify-type-provider-zod';
import { z } from 'zod';
import type { Show } from '../../store/shows.ts';
import { authorize, authorOf, requireActor, scopeOf } from '../actor.ts';
import { problems } from '../errors.ts';
import { always, etagOf, ifMatchVersion, MatchHeaders, notModified, OnceHeaders, onceWith, sendAnswer } from '../headers.ts';
import { nextByInstant, nextLink, PageQuery, readCursor } from '../paging.ts';
import { orProblem, ProblemError } from '../problem.ts';
import { Id, InstantText, listOf, Name, Version } from '../schemas/common.ts';

const calls = z.array(z.strictObject({ what: Name, at: InstantText })).max(50);
const LONGEST_MS = 400 * 86_400_000;
const inOrder = ({ from, to }: { from?: string; to?: string }) =>
  from === undefined || to === undefined || Date.parse(from) < Date.parse(to);
const notTooLong = ({ from, to }: { from?: string; to?: string }) =>
  from === undefined || to === undefined || Date.parse(to) - Date.parse(from) <= LONGEST_MS;
const SHOW_EXAMPLE = {
  spaceId: 'c0ffee00-1234-4abc-8def-0123456789ab',
  name: 'Night one',
  from: '2027-02-01T07:00:00+01:00',
  to: '2027-02-02T05:00:00+01:00',
  calls: [{ what: 'load-in', at: '2027-02-01T08:00:00+01:00' }],
};
const NewShow = z
  .strictObject({ spaceId: Id, name: Name, from: InstantText, to: InstantText, calls })
  .refine(inOrder, { path: ['to'], message: 'after from' })
  .refine(notTooLong, { path: ['to'], message: 'within 400 days of from' })
  .meta({ examples: [SHOW_EXAMPLE] });
const ShowChange = z
  .strictObject({ name: Name, from: InstantText, to: InstantText, calls })
  .partial()
  .refine(inOrder, { path: ['to'], message: 'after from' })
  .refine(notTooLong, { path: ['to'], message: 'within 400 days of from' })
  .meta({ examples: [{ name: 'Night one, late' }] });
const View = z
  .object({
    id: Id,
    productionId: Id,
    productionName: z.string(),
    tourOrganisationId: Id,
    venueOrganisationId: Id,
    venueName: z.string(),
    spaceId: Id,
    spaceName: z.string(),
    timeZone: z.string(),
    name: Name,
    from: InstantText,
    to: InstantText,
    calls: z.array(z.object({ what: Name, at: InstantText })),
    version: Version,
    createdAt: InstantText,
  })
  .meta({ id: 'Show' });
const Params = z.strictObject({ showId: Id });
const ProductionParams = z.strictObject({ productionId: Id });

const present = ({ tourOrgId, venueOrgId, startsAt, endsAt, createdAt, shared: _shared, ...show }: Show) => ({
  ...show,
  tourOrganisationId: tourOrgId,
  venueOrganisationId: venueOrgId,
  from: startsAt.toISOString(),
  to: endsAt.toISOString(),
  createdAt: createdAt.toISOString(),
});
const answerOf = (show: Show, status: number) => ({
  status,
  body: present(show),
  etag: etagOf(show.version),
  ...(status === 201 ? { location: `/api/v1/shows/${show.id}` } : {}),
});

/** Shows: one stay of a production in one space. */
export const showsRoutes: FastifyPluginAsync = async (plain) => {
  const app = plain.withTypeProvider<ZodTypeProvider>();
  const tags = ['shows'];
  app.post(
    '/productions/:productionId/shows',
    {
      schema: {
        operationId: 'openShow',
        tags,
        summary: 'Open a show: a space and [from, to)',
        params: ProductionParams,
        headers: OnceHeaders,
        body: NewShow,
        response: { 201: View, ...problems(401, 403, 404, 409, 413, 415, 422) },
      },
    },
    async (request, reply) => {
      const actor = requireActor(request);
      const production = await app.store.shows.findProduction(scopeOf(actor), request.params.productionId);
      if (!production) throw new ProblemError({ code: 'not-found' });
      authorize(actor, 'createShow', { kind: 'production', tourOrgId: production.tourOrgId });
      const { spaceId, name, from, to, calls: asked } = request.body;
      const input = {
        actor: authorOf(request),
        productionId: production.id,
        spaceId,
        name,
        startsAt: new Date(from),
        endsAt: new Date(to),
        calls: asked,
      };
      return sendAnswer(
        reply,
        orProblem(
          await app.store.shows.createShow(
            scopeOf(actor),
            input,
            onceWith(request, (made) => answerOf(made, 201)),
          ),
        ),
      );
    },
  );
  app.get(
    '/shows',
    {
      schema: {
        operationId: 'listShows',
        tags,
        summary: 'Shows by date: own ones, and for a venue those that were put to it',
        querystring: PageQuery.extend({
          productionId: Id.optional(),
          spaceId: Id.optional(),
          from: InstantText.optional(),
          to: InstantText.optional(),
        }),
        response: { 200: listOf(View), ...problems(401, 403) },
      },
    },
    async (request, reply) => {
      const actor = requireActor(request);
      authorize(actor, 'listShows', { kind: 'organisation', orgId: actor.orgId });
      const { limit, cursor, from, to, ...filter } = request.query;
      const times = { ...(from ? { from: new Date(from) } : {}), ...(to ? { to: new Date(to) } : {}) };
      const rows = await app.store.shows.listShows(scopeOf(actor), { ...filter, ...times }, { limit, after: readCursor(cursor) });
      reply.headers(
        nextLink(
          request.url,
          nextByInstant(rows, limit, ({ startsAt }) => startsAt),
        ),
      );
      return { items: rows.map(present) };
    },
  );
  app.get(
    '/shows/:showId',
    { schema: { operationId: 'getShow', tags, summary: 'One show', params: Params, response: { 200: View, ...problems(401, 403, 404) } } },
    async (request, reply) => {
      const actor = requireActor(request);
      const show = await app.store.shows.findShow(scopeOf(actor), request.params.showId);
      if (!show) throw new ProblemError({ code: 'not-found' });
      authorize(actor, 'readShow', { kind: 'show', tourOrgId: show.tourOrgId, venueOrgId: show.venueOrgId, shared: show.shared });
      if (notModified(request, reply, etagOf(show.version))) return reply;
      return present(show);
    },
  );
  app.patch(
    '/shows/:showId',
    {
      schema: {
        operationId: 'changeShow',
        tags,
        summary: 'Change a show; its dates only while nothing of it was put to the venue',
        params: Params,
        headers: MatchHeaders,
        body: ShowChange,
        response: { 200: View, ...problems(401, 403, 404, 409, 412, 413, 415, 422, 428) },
      },
    },
    async (request, reply) => {
      const ifMatch = ifMatchVersion(request);
      const actor = requireActor(request);
      const show = await app.store.shows.findShow(scopeOf(actor), request.params.showId);
      if (!show) throw new ProblemError({ code: 'not-found' });
      authorize(actor, 'changeShow', { kind: 'show', tourOrgId: show.tourOrgId, venueOrgId: show.venueOrgId, shared: show.shared });
      const { from, to, ...rest } = request.body;
      const input = {
        actor: authorOf(request),
        id: show.id,
        ifMatch,
        ...rest,
        ...(from ? { startsAt: new Date(from) } : {}),
        ...(to ? { endsAt: new Date(to) } : {}),
      };
      return sendAnswer(
        reply,
        orProblem(
          await app.store.shows.changeShow(
            scopeOf(actor),
            input,
            always(request, (changed) => answerOf(changed, 200)),
          ),
        ),
      );
    },
  );
};
