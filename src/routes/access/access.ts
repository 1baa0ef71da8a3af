import type { FastifyPluginAsync } from 'fastify';
import type { ZodTypeProvider } from 'fastify-type-provider-zod';
import { z } from 'zod';
import type { SpaceAccess } from '../../store/access.ts';
import { authorize, authorOf, requireActor, scopeOf } from '../actor.ts';
import { problems } from '../errors.ts';
import { always, etagOf, ifMatchVersion, MatchHeaders, notModified, OnceHeaders, onceWith, sendAnswer } from '../headers.ts';
import { nextByInstant, nextLink, PageQuery, readCursor } from '../paging.ts';
import { orProblem, ProblemError } from '../problem.ts';
import { Id, InstantText, listOf, Version, Words } from '../schemas/common.ts';
import { spaceFor } from '../spaces-seen.ts';

const STATES = ['requested', 'granted', 'refused', 'ended'] as const;
const AccessView = z
  .object({
    id: Id,
    spaceId: Id,
    spaceName: z.string(),
    venueName: z.string(),
    venueOrganisationId: Id,
    tourOrganisationId: Id,
    tourOrganisationName: z.string(),
    state: z.enum(STATES),
    note: z.string(),
    reply: z.string(),
    requestedAt: InstantText,
    decidedAt: InstantText.nullable(),
    endsAt: InstantText.nullable(),
    version: Version,
  })
  .meta({ id: 'SpaceAccess' });
const present = ({ venueOrgId, tourOrgId, tourOrgName, requestedAt, decidedAt, endsAt, ...access }: SpaceAccess) => ({
  ...access,
  venueOrganisationId: venueOrgId,
  tourOrganisationId: tourOrgId,
  tourOrganisationName: tourOrgName,
  requestedAt: requestedAt.toISOString(),
  decidedAt: decidedAt?.toISOString() ?? null,
  endsAt: endsAt?.toISOString() ?? null,
});
const answerOf = (access: SpaceAccess, status: number) => ({
  status,
  body: present(access),
  etag: etagOf(access.version),
  ...(status === 201 ? { location: `/api/v1/access/${access.id}` } : {}),
});
const subjectOf = ({ venueOrgId, tourOrgId }: SpaceAccess) => ({ kind: 'access' as const, venueOrgId, tourOrgId });

/** Who may read a roof: asked for by a production, given with an end or refused by the venue. */
export const accessRoutes: FastifyPluginAsync = async (plain) => {
  const app = plain.withTypeProvider<ZodTypeProvider>();
  const tags = ['access'];
  app.post(
    '/spaces/:spaceId/access',
    {
      schema: {
        operationId: 'requestAccess',
        tags,
        summary: 'Ask to read a roof. Where the venue has opened it to all, asking is being let in',
        params: z.strictObject({ spaceId: Id }),
        headers: OnceHeaders,
        body: z
          .strictObject({ note: Words, until: InstantText.describe('how long it is needed') })
          .meta({ examples: [{ note: 'One night in February, about 9 t in all.', until: '2027-03-01T00:00:00Z' }] }),
        response: { 201: AccessView, ...problems(401, 403, 404, 409, 413, 415, 422) },
      },
    },
    async (request, reply) => {
      const { actor, space } = await spaceFor(app, request, request.params.spaceId, 'requestAccess');
      const input = { actor: authorOf(request), spaceId: space.id, note: request.body.note, until: new Date(request.body.until) };
      return sendAnswer(
        reply,
        orProblem(
          await app.store.access.ask(
            scopeOf(actor),
            input,
            onceWith(request, (asked) => answerOf(asked, 201)),
          ),
        ),
      );
    },
  );
  app.get(
    '/access',
    {
      schema: {
        operationId: 'listAccess',
        tags,
        summary: 'Requests and grants of the own side',
        querystring: PageQuery.extend({ spaceId: Id.optional(), state: z.enum(STATES).optional() }),
        response: { 200: listOf(AccessView), ...problems(401, 403) },
      },
    },
    async (request, reply) => {
      const actor = requireActor(request);
      authorize(actor, 'listAccess', { kind: 'organisation', orgId: actor.orgId });
      const { limit, cursor, ...filter } = request.query;
      const rows = await app.store.access.list(scopeOf(actor), filter, { limit, after: readCursor(cursor) });
      reply.headers(
        nextLink(
          request.url,
          nextByInstant(rows, limit, ({ requestedAt }) => requestedAt),
        ),
      );
      return { items: rows.map(present) };
    },
  );
  app.get(
    '/access/:accessId',
    {
      schema: {
        operationId: 'getAccess',
        tags,
        summary: 'One request or grant',
        params: z.strictObject({ accessId: Id }),
        response: { 200: AccessView, ...problems(401, 403, 404) },
      },
    },
    async (request, reply) => {
      const actor = requireActor(request);
      const found = await app.store.access.find(scopeOf(actor), request.params.accessId);
      if (!found) throw new ProblemError({ code: 'not-found' });
      authorize(actor, 'readAccess', subjectOf(found));
      if (notModified(request, reply, etagOf(found.version))) return reply;
      return present(found);
    },
  );
  app.patch(
    '/access/:accessId',
    {
      schema: {
        operationId: 'decideAccess',
        tags,
        summary: 'The venue lets in until a day, refuses, or ends it',
        params: z.strictObject({ accessId: Id }),
        headers: MatchHeaders,
        body: z
          .discriminatedUnion('answer', [
            z.strictObject({ answer: z.literal('grant'), until: InstantText, reply: Words }),
            z.strictObject({ answer: z.literal('refuse'), reply: Words }),
            z.strictObject({ answer: z.literal('end'), reply: Words }),
          ])
          .meta({ examples: [{ answer: 'grant', until: '2027-03-01T00:00:00Z', reply: '' }] }),
        response: { 200: AccessView, ...problems(401, 403, 404, 409, 412, 413, 415, 422, 428) },
      },
    },
    async (request, reply) => {
      const ifMatch = ifMatchVersion(request);
      const actor = requireActor(request);
      const found = await app.store.access.find(scopeOf(actor), request.params.accessId);
      if (!found) throw new ProblemError({ code: 'not-found' });
      const { body } = request;
      authorize(actor, ({ grant: 'grantAccess', refuse: 'refuseAccess', end: 'endAccess' } as const)[body.answer], subjectOf(found));
      const said = body.answer === 'grant' ? { answer: body.answer, until: new Date(body.until) } : { answer: body.answer };
      const input = { actor: authorOf(request), id: found.id, ifMatch, reply: body.reply, ...said };
      return sendAnswer(
        reply,
        orProblem(
          await app.store.access.decide(
            scopeOf(actor),
            input,
            always(request, (decided) => answerOf(decided, 200)),
          ),
        ),
      );
    },
  );
};
