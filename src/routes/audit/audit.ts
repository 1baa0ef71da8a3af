import type { FastifyPluginAsync } from 'fastify';
import type { ZodTypeProvider } from 'fastify-type-provider-zod';
import { z } from 'zod';
import { authorize, requireActor, scopeOf } from '../actor.ts';
import { problems } from '../errors.ts';
import { nextLink, PageQuery, readCursor } from '../paging.ts';
import { InstantText, listOf } from '../schemas/common.ts';

const EntryView = z
  .object({
    number: z.int(),
    at: InstantText,
    prevHash: z.string(),
    hash: z.string().describe('SHA-256 of prevHash, a line feed, the number, a line feed and body, as UTF-8'),
    body: z.string().describe('the canonical bytes that were hashed'),
  })
  .meta({ id: 'AuditEntry' });
const EventView = z
  .object({ number: z.int(), at: InstantText, type: z.string(), subjectId: z.string(), facts: z.unknown() })
  .meta({ id: 'Event' });
const NumberCursor = z.tuple([z.string().regex(/^\d{1,15}$/)]);

/** The organisation's own history: append-only, each entry chained to the one before. Tamper-evident, not tamper-proof. */
export const auditRoutes: FastifyPluginAsync = async (plain) => {
  const app = plain.withTypeProvider<ZodTypeProvider>();
  const tags = ['history'];
  app.get(
    '/audit',
    {
      schema: {
        operationId: 'listAudit',
        tags,
        summary: 'The audit chain, from its first entry',
        querystring: PageQuery,
        response: { 200: listOf(EntryView), ...problems(401, 403) },
      },
    },
    async (request, reply) => {
      const actor = requireActor(request);
      authorize(actor, 'readAudit', { kind: 'organisation', orgId: actor.orgId });
      const { limit, cursor } = request.query;
      const rows = await app.store.audit.entries(scopeOf(actor), BigInt(readCursor(cursor, NumberCursor)?.[0] ?? '0'), limit);
      const last = rows.at(-1);
      reply.headers(nextLink(request.url, last && rows.length === limit ? [String(last.seq)] : null));
      return { items: rows.map(({ seq, at, ...entry }) => ({ ...entry, number: Number(seq), at: at.toISOString() })) };
    },
  );
  app.post(
    '/audit/verification',
    {
      schema: {
        operationId: 'verifyAudit',
        tags,
        summary: 'Walk the chain: is it whole, or which entry does not follow from the one before',
        response: {
          200: z
            .object({ entries: z.int(), whole: z.boolean(), head: z.string(), firstBad: z.int().nullable() })
            .meta({ id: 'ChainReport' }),
          ...problems(401, 403, 415),
        },
      },
    },
    async (request) => {
      const actor = requireActor(request);
      authorize(actor, 'readAudit', { kind: 'organisation', orgId: actor.orgId });
      return app.store.audit.verify(scopeOf(actor));
    },
  );
  app.get(
    '/events/log',
    {
      schema: {
        operationId: 'listEvents',
        tags,
        summary: 'What happened, in the order in which it was written, after a number',
        querystring: PageQuery,
        response: { 200: listOf(EventView), ...problems(401, 403) },
      },
    },
    async (request, reply) => {
      const actor = requireActor(request);
      authorize(actor, 'readEvents', { kind: 'organisation', orgId: actor.orgId });
      const { limit, cursor } = request.query;
      const rows = await app.store.audit.events(scopeOf(actor), BigInt(readCursor(cursor, NumberCursor)?.[0] ?? '0'), limit);
      const last = rows.at(-1);
      reply.headers(nextLink(request.url, last && rows.length === limit ? [String(last.seq)] : null));
      return {
        items: rows.map(({ seq, at, type, subjectId, body }) => ({
          number: Number(seq),
          at: at.toISOString(),
          type,
          subjectId,
          facts: (JSON.parse(body) as { facts: unknown }).facts,
        })),
      };
    },
  );
};
