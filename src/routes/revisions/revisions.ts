import type { FastifyPluginAsync } from 'fastify';
import type { ZodTypeProvider } from 'fastify-type-provider-zod';
import { z } from 'zod';
import { ROOF_KINDS } from '../../domain/roof/changes.ts';
import type { RevisionHead } from '../../store/register/revisions.ts';
import { authorOf, scopeOf, requireReader } from '../actor.ts';
import { problems } from '../errors.ts';
import { DecideHeaders, ifMatchVersion, notModified, onceWith, sendAnswer } from '../headers.ts';
import { startOfLocalDay } from '../local-day.ts';
import { nextLink, PageQuery, readCursor } from '../paging.ts';
import { orProblem, ProblemError } from '../problem.ts';
import { Id, InstantText, listOf, Sha256, Words } from '../schemas/common.ts';
import { spaceFor } from '../spaces-seen.ts';
import { AgreementMovedView } from './re-assessments.ts';

const number = z.coerce.number().int().min(1).max(1_000_000);
const SpaceParams = z.strictObject({ spaceId: Id });
const RevisionView = z
  .object({
    spaceId: Id,
    number: z.int(),
    sha256: Sha256,
    policySha256: Sha256,
    note: z.string(),
    authorName: z.string(),
    publishedAt: InstantText,
  })
  .meta({ id: 'Revision' });
const PublishedView = z
  .object({
    revision: RevisionView,
    toCheck: z.int().describe('agreements that stand: stale until they have been checked against it, see /spaces/{spaceId}/re-assessments'),
  })
  .meta({ id: 'Published' });
const AnyJson = z.unknown();
const KindChanges = z.object({
  added: z.array(z.object({ id: Id, label: z.string() })),
  removed: z.array(z.object({ id: Id, label: z.string() })),
  changed: z.array(z.object({ id: Id, label: z.string(), fields: z.array(z.object({ path: z.string(), old: AnyJson, new: AnyJson })) })),
});
const ChangesView = z
  .object({
    space: z.array(z.object({ path: z.string(), old: AnyJson, new: AnyJson })),
    ...(Object.fromEntries(ROOF_KINDS.map((kind) => [kind, KindChanges])) as Record<(typeof ROOF_KINDS)[number], typeof KindChanges>),
  })
  .meta({ id: 'RevisionChanges' });

const present = ({ publishedAt, ...head }: RevisionHead) => ({ ...head, publishedAt: publishedAt.toISOString() });

/** Numbered, immutable publications of a roof. */
export const revisionsRoutes: FastifyPluginAsync = async (plain) => {
  const app = plain.withTypeProvider<ZodTypeProvider>();
  const tags = ['revisions'];
  app.post(
    '/spaces/:spaceId/revisions',
    {
      schema: {
        operationId: 'publishRevision',
        tags,
        summary:
          'Publish the working copy as the next revision; what stands is stale until it has been checked against it, in the background',
        description: 'If-Match takes the ETag of the structure.',
        params: SpaceParams,
        headers: DecideHeaders,
        body: z.strictObject({ note: Words }).meta({ examples: [{ note: 'Girder 2 rated anew after the load test.' }] }),
        response: { 201: PublishedView, ...problems(401, 403, 404, 409, 412, 413, 415, 422, 428) },
      },
    },
    async (request, reply) => {
      const ifMatch = ifMatchVersion(request);
      const { actor } = await spaceFor(app, request, request.params.spaceId, 'publishRevision');
      const input = {
        actor: authorOf(request),
        spaceId: request.params.spaceId,
        ifMatch,
        note: request.body.note,
        dayStartOf: startOfLocalDay,
      };
      const published = await app.store.register.publish(
        scopeOf(actor),
        input,
        onceWith(request, ({ revision, toCheck }) => ({
          status: 201,
          body: { revision: present(revision), toCheck },
          etag: `"${revision.sha256}"`,
          location: `/api/v1/spaces/${revision.spaceId}/revisions/${revision.number}`,
        })),
      );
      return sendAnswer(reply, orProblem(published));
    },
  );
  app.post(
    '/spaces/:spaceId/revision-preview',
    {
      schema: {
        operationId: 'previewPublishing',
        tags,
        summary: 'Whom publishing the working copy as it is would touch, and why; nothing is published',
        params: SpaceParams,
        response: {
          200: z.object({ agreements: z.array(AgreementMovedView) }).meta({ id: 'PublishingPreview' }),
          ...problems(401, 403, 404, 415, 422),
        },
      },
    },
    async (request) => {
      const { spaceId } = request.params;
      const { actor } = await spaceFor(app, request, spaceId, 'publishRevision');
      const input = { actor: authorOf(request), spaceId, dayStartOf: startOfLocalDay };
      return { agreements: orProblem(await app.store.register.previewPublishing(scopeOf(actor), input)) };
    },
  );
  app.get(
    '/spaces/:spaceId/revisions',
    {
      schema: {
        operationId: 'listRevisions',
        tags,
        summary: 'Revisions, newest first',
        params: SpaceParams,
        querystring: PageQuery,
        response: { 200: listOf(RevisionView), ...problems(401, 403, 404) },
      },
    },
    async (request, reply) => {
      const { actor } = await spaceFor(app, request, request.params.spaceId, 'readRevision');
      const { limit, cursor } = request.query;
      const below = readCursor(cursor, z.tuple([z.string().regex(/^\d{1,7}$/)]));
      const rows = await app.store.register.revisions(scopeOf(actor), request.params.spaceId, below ? Number(below[0]) : null, limit);
      const last = rows.at(-1);
      reply.headers(nextLink(request.url, last && rows.length === limit ? [String(last.number)] : null));
      return { items: rows.map(present) };
    },
  );
  app.get(
    '/spaces/:spaceId/revisions/:number',
    {
      schema: {
        operationId: 'getRevision',
        tags,
        summary: 'A revision: the canonical bytes that were hashed, as they are',
        description: 'Also readable after a grant has ended, where an own submission was assessed on it.',
        params: z.strictObject({ spaceId: Id, number }),
        response: { 200: z.looseObject({ format: z.literal(1) }).meta({ id: 'PublishedRoof' }), ...problems(401, 403, 404) },
      },
    },
    async (request, reply) => {
      const actor = requireReader(request);
      const found = await app.store.register.revisionText(scopeOf(actor), request.params.spaceId, request.params.number);
      if (!found) throw new ProblemError({ code: 'not-found' });
      reply.header('cache-control', 'private, max-age=31536000, immutable');
      if (notModified(request, reply, `"${found.sha256}"`)) return reply;
      return reply.header('content-type', 'application/json; charset=utf-8').send(found.bytes as never);
    },
  );
  app.get(
    '/spaces/:spaceId/revisions/:from/changes/:to',
    {
      schema: {
        operationId: 'compareRevisions',
        tags,
        summary: 'What was added, removed and changed from one revision to another',
        params: z.strictObject({ spaceId: Id, from: number, to: number }),
        response: { 200: ChangesView, ...problems(401, 403, 404) },
      },
    },
    async (request) => {
      const actor = requireReader(request);
      const { spaceId, from, to } = request.params;
      const changes = await app.store.register.changes(scopeOf(actor), spaceId, from, to);
      if (!changes) throw new ProblemError({ code: 'not-found' });
      return changes;
    },
  );
};
