import type { FastifyPluginAsync } from 'fastify';
import type { ZodTypeProvider } from 'fastify-type-provider-zod';
import { z } from 'zod';
import type { Space, Venue } from '../../store/register/venues.ts';
import { authorize, authorOf, requireActor, requireReader, scopeOf } from '../actor.ts';
import { problems } from '../errors.ts';
import { always, etagOf, ifMatchVersion, MatchHeaders, notModified, OnceHeaders, onceWith, sendAnswer } from '../headers.ts';
import { isTimeZone } from '../local-day.ts';
import { nextByInstant, nextLink, PageQuery, readCursor } from '../paging.ts';
import { orProblem, ProblemError } from '../problem.ts';
import { Id, InstantText, listOf, Name, Version } from '../schemas/common.ts';

const VENUE = {
  name: Name,
  place: Name,
  timeZone: z.string().max(100).refine(isTimeZone, 'an IANA time zone such as Europe/Amsterdam'),
  contactRole: Name.describe('whom to ask for: a role, not a person'),
};
const VENUE_EXAMPLE = { name: 'Harbour Hall', place: 'Tidewater', timeZone: 'Europe/Amsterdam', contactRole: 'technical manager' };
const VenueView = z.object({ id: Id, organisationId: Id, ...VENUE, version: Version, createdAt: InstantText }).meta({
  id: 'Venue',
  examples: [
    {
      id: '91a4c3de-77aa-4f0c-8e5b-3d2c1b0a9f88',
      organisationId: '0d6b1c8e-3b0f-4a54-8a2c-9d0d8d3e5a11',
      ...VENUE_EXAMPLE,
      version: 1,
      createdAt: '2026-11-02T09:00:00.000Z',
    },
  ],
});
const SPACE = { name: Name, exposure: z.enum(['indoor', 'covered', 'open']) };
const SpaceView = z
  .object({
    id: Id,
    venueId: Id,
    venueName: z.string(),
    organisationId: Id,
    timeZone: z.string(),
    ...SPACE,
    opened: z.boolean().describe('the roof may be read by every signed-in organisation'),
    mayReadRoof: z.boolean(),
    latestRevision: z.int().nullable().describe('null: none, or not for you to know'),
    version: Version,
    createdAt: InstantText,
  })
  .meta({ id: 'Space' });
const VenueParams = z.strictObject({ venueId: Id });
const SpaceParams = z.strictObject({ spaceId: Id });

const presentVenue = ({ venueOrgId, createdAt, ...venue }: Venue) => ({
  ...venue,
  organisationId: venueOrgId,
  createdAt: createdAt.toISOString(),
});
export const presentSpace = (space: Space) => ({
  id: space.id,
  venueId: space.venueId,
  venueName: space.venueName,
  organisationId: space.venueOrgId,
  timeZone: space.timeZone,
  name: space.name,
  exposure: space.exposure,
  opened: space.opened,
  mayReadRoof: space.granted,
  latestRevision: space.granted ? space.latestRevision : null,
  version: space.version,
  createdAt: space.createdAt.toISOString(),
});
const venueAnswer = (venue: Venue, status: number) => ({
  status,
  body: presentVenue(venue),
  etag: etagOf(venue.version),
  ...(status === 201 ? { location: `/api/v1/venues/${venue.id}` } : {}),
});
const spaceAnswer = (space: Space, status: number) => ({
  status,
  body: presentSpace(space),
  etag: etagOf(space.version),
  ...(status === 201 ? { location: `/api/v1/spaces/${space.id}` } : {}),
});

/** Venues and their spaces: names are for everyone who is signed in, changes are the venue's. */
export const venuesRoutes: FastifyPluginAsync = async (plain) => {
  const app = plain.withTypeProvider<ZodTypeProvider>();
  const tags = ['venues'];

  app.post(
    '/venues',
    {
      schema: {
        operationId: 'createVenue',
        tags,
        summary: 'Enter a venue',
        headers: OnceHeaders,
        body: z.strictObject(VENUE).meta({ examples: [VENUE_EXAMPLE] }),
        response: { 201: VenueView, ...problems(401, 403, 409, 413, 415, 422) },
      },
    },
    async (request, reply) => {
      const actor = requireActor(request);
      authorize(actor, 'createVenue', { kind: 'organisation', orgId: actor.orgId });
      const input = { actor: authorOf(request), ...request.body };
      return sendAnswer(
        reply,
        orProblem(
          await app.store.register.createVenue(
            scopeOf(actor),
            input,
            onceWith(request, (made) => venueAnswer(made, 201)),
          ),
        ),
      );
    },
  );
  app.get(
    '/venues',
    {
      schema: {
        operationId: 'listVenues',
        tags,
        summary: 'Venues, oldest entry first',
        querystring: PageQuery.extend({
          name: z.string().min(1).max(200).optional().describe('begins with'),
          place: z.string().min(1).max(200).optional().describe('begins with'),
          own: z.enum(['true']).optional(),
        }),
        response: { 200: listOf(VenueView), ...problems(401, 403) },
      },
    },
    async (request, reply) => {
      const { limit, cursor, own, ...filter } = request.query;
      const rows = await app.store.register.venues(
        scopeOf(requireReader(request)),
        { ...filter, own: own === 'true' },
        { limit, after: readCursor(cursor) },
      );
      reply.headers(
        nextLink(
          request.url,
          nextByInstant(rows, limit, ({ createdAt }) => createdAt),
        ),
      );
      return { items: rows.map(presentVenue) };
    },
  );
  app.get(
    '/venues/:venueId',
    {
      schema: {
        operationId: 'getVenue',
        tags,
        summary: 'One venue',
        params: VenueParams,
        response: { 200: VenueView, ...problems(401, 403, 404) },
      },
    },
    async (request, reply) => {
      const actor = requireActor(request);
      const venue = await app.store.register.venue(scopeOf(actor), request.params.venueId);
      if (!venue) throw new ProblemError({ code: 'not-found' });
      authorize(actor, 'readVenue', { kind: 'venue', venueOrgId: venue.venueOrgId });
      if (notModified(request, reply, etagOf(venue.version))) return reply;
      return presentVenue(venue);
    },
  );
  app.patch(
    '/venues/:venueId',
    {
      schema: {
        operationId: 'changeVenue',
        tags,
        summary: 'Change what is said about a venue',
        params: VenueParams,
        headers: MatchHeaders,
        body: z
          .strictObject(VENUE)
          .partial()
          .meta({ examples: [{ contactRole: 'head of stage' }] }),
        response: { 200: VenueView, ...problems(401, 403, 404, 412, 413, 415, 422, 428) },
      },
    },
    async (request, reply) => {
      const actor = requireActor(request);
      const ifMatch = ifMatchVersion(request);
      const venue = await app.store.register.venue(scopeOf(actor), request.params.venueId);
      if (!venue) throw new ProblemError({ code: 'not-found' });
      authorize(actor, 'changeVenue', { kind: 'venue', venueOrgId: venue.venueOrgId });
      const input = { actor: authorOf(request), id: venue.id, ifMatch, change: request.body };
      return sendAnswer(
        reply,
        orProblem(
          await app.store.register.changeVenue(
            scopeOf(actor),
            input,
            always(request, (changed) => venueAnswer(changed, 200)),
          ),
        ),
      );
    },
  );

  app.post(
    '/venues/:venueId/spaces',
    {
      schema: {
        operationId: 'createSpace',
        tags,
        summary: 'Enter a space: one roof',
        params: VenueParams,
        headers: OnceHeaders,
        body: z.strictObject(SPACE).meta({ examples: [{ name: 'Bowl', exposure: 'indoor' }] }),
        response: { 201: SpaceView, ...problems(401, 403, 404, 409, 413, 415, 422) },
      },
    },
    async (request, reply) => {
      const actor = requireActor(request);
      const venue = await app.store.register.venue(scopeOf(actor), request.params.venueId);
      if (!venue) throw new ProblemError({ code: 'not-found' });
      authorize(actor, 'createSpace', { kind: 'venue', venueOrgId: venue.venueOrgId });
      const input = { actor: authorOf(request), venueId: venue.id, ...request.body };
      return sendAnswer(
        reply,
        orProblem(
          await app.store.register.createSpace(
            scopeOf(actor),
            input,
            onceWith(request, (made) => spaceAnswer(made, 201)),
          ),
        ),
      );
    },
  );
  app.get(
    '/venues/:venueId/spaces',
    {
      schema: {
        operationId: 'listSpaces',
        tags,
        summary: 'Spaces of a venue',
        params: VenueParams,
        querystring: PageQuery,
        response: { 200: listOf(SpaceView), ...problems(401, 403, 404) },
      },
    },
    async (request, reply) => {
      const actor = requireActor(request);
      const venue = await app.store.register.venue(scopeOf(actor), request.params.venueId);
      if (!venue) throw new ProblemError({ code: 'not-found' });
      authorize(actor, 'readVenue', { kind: 'venue', venueOrgId: venue.venueOrgId });
      const { limit, cursor } = request.query;
      const rows = await app.store.register.spaces(scopeOf(actor), venue.id, { limit, after: readCursor(cursor) });
      reply.headers(
        nextLink(
          request.url,
          nextByInstant(rows, limit, ({ createdAt }) => createdAt),
        ),
      );
      return { items: rows.map(presentSpace) };
    },
  );
  app.get(
    '/spaces/:spaceId',
    {
      schema: {
        operationId: 'getSpace',
        tags,
        summary: 'One space',
        params: SpaceParams,
        response: { 200: SpaceView, ...problems(401, 403, 404) },
      },
    },
    async (request, reply) => {
      const actor = requireActor(request);
      const space = await app.store.register.space(scopeOf(actor), request.params.spaceId);
      if (!space) throw new ProblemError({ code: 'not-found' });
      authorize(actor, 'readSpace', { kind: 'space', venueOrgId: space.venueOrgId, opened: space.opened, granted: space.granted });
      reply.header('etag', etagOf(space.version));
      return presentSpace(space);
    },
  );
  app.patch(
    '/spaces/:spaceId',
    {
      schema: {
        operationId: 'changeSpace',
        tags,
        summary: 'Rename a space, say how exposed it is, or open its roof to every signed-in organisation',
        params: SpaceParams,
        headers: MatchHeaders,
        body: z
          .strictObject({ ...SPACE, opened: z.boolean() })
          .partial()
          .meta({ examples: [{ opened: true }] }),
        response: { 200: SpaceView, ...problems(401, 403, 404, 412, 413, 415, 422, 428) },
      },
    },
    async (request, reply) => {
      const actor = requireActor(request);
      const ifMatch = ifMatchVersion(request);
      const space = await app.store.register.space(scopeOf(actor), request.params.spaceId);
      if (!space) throw new ProblemError({ code: 'not-found' });
      const subject = { kind: 'space' as const, venueOrgId: space.venueOrgId, opened: space.opened, granted: space.granted };
      authorize(actor, 'changeSpace', subject);
      if (request.body.opened !== undefined) authorize(actor, 'openSpace', subject);
      const input = { actor: authorOf(request), id: space.id, ifMatch, change: request.body };
      return sendAnswer(
        reply,
        orProblem(
          await app.store.register.changeSpace(
            scopeOf(actor),
            input,
            always(request, (changed) => spaceAnswer(changed, 200)),
          ),
        ),
      );
    },
  );
};
