import type { FastifyPluginAsync } from 'fastify';
import type { ZodTypeProvider } from 'fastify-type-provider-zod';
import { z } from 'zod';
import { requireOneself } from '../actor.ts';
import { problems } from '../errors.ts';
import { ifMatchVersion, MatchHeaders } from '../headers.ts';
import { nextByInstant, nextLink, PageQuery, readCursor } from '../paging.ts';
import { orProblem, ProblemError } from '../problem.ts';
import { Id, InstantText, listOf, Version } from '../schemas/common.ts';
import { clientOf, OneTimeToken, refuseWeak, SignInBody, SignUpBody, tokensOf, TokensView } from './schemas.ts';
import { hashOf, secretText } from './secrets.ts';
import { personSigningIn } from './signing-in.ts';

const RefreshBody = z
  .strictObject({ refreshToken: OneTimeToken })
  .meta({ examples: [{ refreshToken: 'one-time-text-from-the-last-answer' }] });
const SessionView = z
  .object({
    id: Id,
    client: z.string(),
    current: z.boolean(),
    createdAt: InstantText,
    lastUsedAt: InstantText,
    expiresAt: InstantText,
    version: Version,
  })
  .meta({ id: 'Session', description: 'A sign-in. It ends after 30 days, or 7 without use.' });

/** Signing up, in and out. None of these takes an idempotency key: there is no person yet to keep it for, or the tokens make it needless. */
export const sessionsRoutes: FastifyPluginAsync = async (plain) => {
  const app = plain.withTypeProvider<ZodTypeProvider>();
  const tags = ['sign-in'];
  app.post(
    '/auth/sign-up',
    {
      config: { open: true, rate: 'signIn' },
      schema: {
        operationId: 'signUp',
        tags,
        summary: 'Make an account and found an organisation',
        body: SignUpBody,
        response: { 201: TokensView, ...problems(409, 413, 415, 422) },
      },
    },
    async (request, reply) => {
      const { email, displayName, password, organisation } = request.body;
      refuseWeak(password, email);
      const refreshToken = secretText();
      const passwordHash = await app.passwords.hash(password);
      const made = orProblem(
        await app.store.accounts.signUp(
          { email, displayName, passwordHash, organisation },
          hashOf(refreshToken),
          clientOf(request.headers),
        ),
      );
      reply.code(201);
      return tokensOf(app, made.personId, made.sessionId, refreshToken);
    },
  );
  app.post(
    '/auth/sign-in',
    {
      config: { open: true, rate: 'signIn' },
      schema: {
        operationId: 'signIn',
        tags,
        summary: 'Sign in',
        body: SignInBody,
        response: { 200: TokensView, ...problems(401, 413, 415) },
      },
    },
    async (request) => {
      const { personId } = await personSigningIn(app, request.body);
      const refreshToken = secretText();
      const sessionId = await app.store.accounts.startSession({
        personId,
        refreshHash: hashOf(refreshToken),
        client: clientOf(request.headers),
      });
      return tokensOf(app, personId, sessionId, refreshToken);
    },
  );
  app.post(
    '/auth/refresh',
    {
      config: { open: true }, // 256 random bits are not to be guessed, and an office behind one address refreshes often
      schema: {
        operationId: 'refresh',
        tags,
        summary: 'Exchange a refresh token for the next pair',
        body: RefreshBody,
        response: { 200: TokensView, ...problems(401, 413, 415) },
      },
    },
    async (request) => {
      const next = secretText();
      const turned = orProblem(await app.store.accounts.refresh(hashOf(request.body.refreshToken), hashOf(next)));
      return tokensOf(app, turned.personId, turned.sessionId, next);
    },
  );
  app.post(
    '/auth/sign-out',
    { schema: { operationId: 'signOut', tags, summary: 'End this session', response: { 204: z.null(), ...problems(401, 403) } } },
    async (request, reply) => {
      const { personId, sessionId } = requireOneself(request, 'changeAccount');
      if (sessionId) await app.store.accounts.endSession(personId, sessionId, 'signed out');
      return reply.code(204).send(null);
    },
  );
  app.get(
    '/auth/sessions',
    {
      schema: {
        operationId: 'listSessions',
        tags,
        summary: 'Where one is signed in',
        querystring: PageQuery,
        response: { 200: listOf(SessionView), ...problems(401, 403) },
      },
    },
    async (request, reply) => {
      const { personId, sessionId } = requireOneself(request, 'readAccount');
      const { limit, cursor } = request.query;
      const rows = await app.store.accounts.sessions(personId, { limit, after: readCursor(cursor) });
      reply.headers(
        nextLink(
          request.url,
          nextByInstant(rows, limit, ({ createdAt }) => createdAt),
        ),
      );
      return {
        items: rows.map(({ id, client, ...times }) => ({
          id,
          client,
          current: id === sessionId,
          createdAt: times.createdAt.toISOString(),
          lastUsedAt: times.lastUsedAt.toISOString(),
          expiresAt: times.expiresAt.toISOString(),
          version: SESSION_VERSION,
        })),
      };
    },
  );
  app.delete(
    '/auth/sessions/:sessionId',
    {
      schema: {
        operationId: 'endSession',
        tags,
        summary: "End a session of one's own",
        params: z.strictObject({ sessionId: Id }),
        headers: MatchHeaders,
        response: { 204: z.null(), ...problems(401, 403, 404, 412, 428) },
      },
    },
    async (request, reply) => {
      const ifMatch = ifMatchVersion(request);
      const { personId } = requireOneself(request, 'changeAccount');
      if (ifMatch !== SESSION_VERSION) throw new ProblemError({ code: 'version-moved-on', version: SESSION_VERSION });
      if (!(await app.store.accounts.endSession(personId, request.params.sessionId, 'ended by its person')))
        throw new ProblemError({ code: 'not-found' });
      return reply.code(204).send(null);
    },
  );
};
const SESSION_VERSION = 1; // a live session never changes but for its last use
