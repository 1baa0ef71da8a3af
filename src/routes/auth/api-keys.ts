import type { FastifyPluginAsync } from 'fastify';
import type { ZodTypeProvider } from 'fastify-type-provider-zod';
import { z } from 'zod';
import { API_KEY_PREFIX } from '../../auth/tokens.ts';
import type { ApiKey } from '../../store/accounts/api-keys.ts';
import { authorize, authorOf, requireActor, scopeOf } from '../actor.ts';
import { problems } from '../errors.ts';
import { always, ifMatchVersion, MatchHeaders, OnceHeaders, onceWith, sendAnswer } from '../headers.ts';
import { nextByInstant, nextLink, PageQuery, readCursor } from '../paging.ts';
import { orProblem, ProblemError } from '../problem.ts';
import { Id, InstantText, listOf, Name, Version } from '../schemas/common.ts';
import { hashOf, secretText } from './secrets.ts';

const Scopes = z
  .array(z.enum(['read', 'write']))
  .min(1)
  .refine((scopes) => new Set(scopes).size === scopes.length, 'each scope once');
const Body = z
  .strictObject({ name: Name, scopes: Scopes, expiresInDays: z.int().min(1).max(365) })
  .meta({ examples: [{ name: 'Nightly export', scopes: ['read'], expiresInDays: 90 }] });
const View = z
  .object({
    id: Id,
    personId: Id,
    name: Name,
    scopes: Scopes,
    createdAt: InstantText,
    expiresAt: InstantText,
    lastUsedAt: InstantText.nullable(),
    version: Version,
  })
  .meta({ id: 'ApiKey' });
const MadeView = z
  .object({ ...View.shape, secret: z.string().nullable() })
  .meta({ id: 'ApiKeyMade', description: 'secret: shown in this answer alone; null when the same request comes again.' });

const present = ({ createdAt, expiresAt, lastUsedAt, ...key }: ApiKey) => ({
  ...key,
  createdAt: createdAt.toISOString(),
  expiresAt: expiresAt.toISOString(),
  lastUsedAt: lastUsedAt?.toISOString() ?? null,
  version: 1,
});

/** Keys stand in for their person within one organisation, with the roles held there at each request. */
export const apiKeysRoutes: FastifyPluginAsync = async (plain) => {
  const app = plain.withTypeProvider<ZodTypeProvider>();
  const tags = ['api keys'];
  app.post(
    '/auth/api-keys',
    {
      schema: {
        operationId: 'createApiKey',
        tags,
        summary: 'Make an API key for the acting organisation',
        headers: OnceHeaders,
        body: Body,
        response: { 201: MadeView, ...problems(401, 403, 409, 413, 415, 422) },
      },
    },
    async (request, reply) => {
      const actor = requireActor(request);
      authorize(actor, 'createApiKey', { kind: 'member', orgId: actor.orgId, personId: actor.personId });
      const secret = `${API_KEY_PREFIX}${secretText()}`;
      const input = { ...request.body, actor: authorOf(request), keyHash: hashOf(secret) };
      const made = await app.store.accounts.createApiKey(
        scopeOf(actor),
        input,
        onceWith(request, (key) => ({ status: 201, body: { ...present(key), secret }, kept: { ...present(key), secret: null } })),
      );
      return sendAnswer(reply, orProblem(made));
    },
  );
  app.get(
    '/auth/api-keys',
    {
      schema: {
        operationId: 'listApiKeys',
        tags,
        summary: 'Live API keys in the acting organisation: own ones, or for administrators those of the member named',
        querystring: z.strictObject({ ...PageQuery.shape, personId: Id.optional() }),
        response: { 200: listOf(View), ...problems(401, 403) },
      },
    },
    async (request, reply) => {
      const actor = requireActor(request);
      const { limit, cursor, personId = actor.personId } = request.query;
      authorize(actor, 'listApiKeys', { kind: 'member', orgId: actor.orgId, personId });
      const rows = await app.store.accounts.apiKeys(scopeOf(actor), personId, { limit, after: readCursor(cursor) });
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
    '/auth/api-keys/:apiKeyId',
    {
      schema: {
        operationId: 'revokeApiKey',
        tags,
        summary: 'Revoke an API key',
        params: z.strictObject({ apiKeyId: Id }),
        headers: MatchHeaders,
        response: { 204: z.null(), ...problems(401, 403, 404, 412, 428) },
      },
    },
    async (request, reply) => {
      const ifMatch = ifMatchVersion(request);
      const actor = requireActor(request);
      const key = await app.store.accounts.apiKey(scopeOf(actor), request.params.apiKeyId);
      if (!key) throw new ProblemError({ code: 'not-found' });
      authorize(actor, 'revokeApiKey', { kind: 'member', orgId: actor.orgId, personId: key.personId });
      const revoked = await app.store.accounts.revokeApiKey(
        scopeOf(actor),
        { actor: authorOf(request), id: key.id, ifMatch },
        always(request, () => ({ status: 204, body: null })),
      );
      return sendAnswer(reply, orProblem(revoked));
    },
  );
};
