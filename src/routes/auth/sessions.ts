import { createHash, randomBytes } from 'node:crypto';
import type { FastifyPluginAsync } from 'fastify';
import type { ZodTypeProvider } from 'fastify-type-provider-zod';
import { z } from 'zod';
import { passwordFault } from '../../auth/passwords.ts';
import { ACCESS_TOKEN_S } from '../../auth/tokens.ts';
import { requireCaller } from '../actor.ts';
import { problems } from '../errors.ts';
import { orProblem, ProblemError } from '../problem.ts';
import { Id, Name } from '../schemas/common.ts';

const Email = z.email().max(254).toLowerCase();
const Password = z.string().min(1).max(1000);
export const OrgKindSchema = z.enum(['venueOperator', 'production', 'supplier']);
const SignUpBody = z
  .strictObject({ email: Email, displayName: Name, password: Password, organisation: z.strictObject({ name: Name, kind: OrgKindSchema }) })
  .meta({
    examples: [
      {
        email: 'ines.vantongeren@harbour-hall.example',
        displayName: 'Ines van Tongeren',
        password: 'long enough to be safe',
        organisation: { name: 'Harbour Hall', kind: 'venueOperator' },
      },
    ],
  });
const SignInBody = z
  .strictObject({ email: Email, password: Password })
  .meta({ examples: [{ email: 'ines.vantongeren@harbour-hall.example', password: 'long enough to be safe' }] });
const RefreshBody = z
  .strictObject({ refreshToken: z.string().min(20).max(200) })
  .meta({ examples: [{ refreshToken: 'one-time-text-from-the-last-answer' }] });
const TokensView = z
  .object({ accessToken: z.string(), expiresInS: z.int(), refreshToken: z.string(), personId: Id })
  .meta({ id: 'Tokens', description: 'The refresh token is good once; each use gives the next. One that comes twice ends the session.' });

export const secretText = (): string => randomBytes(32).toString('base64url');
export const hashOf = (secret: string): string => createHash('sha256').update(secret).digest('hex');

/** Signing up, in and out. None of these takes an idempotency key: there is no person yet to keep it for, or the tokens make it needless. */
export const sessionsRoutes: FastifyPluginAsync = async (plain) => {
  const app = plain.withTypeProvider<ZodTypeProvider>();
  const tags = ['sign-in'];
  const tokens = async (personId: string, sessionId: string, refreshToken: string) => ({
    accessToken: await app.tokens.sign({ personId, sessionId }),
    expiresInS: ACCESS_TOKEN_S,
    refreshToken,
    personId,
  });
  const clientOf = (headers: Record<string, unknown>) =>
    typeof headers['user-agent'] === 'string' ? headers['user-agent'].slice(0, 200) : '';

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
      const fault = passwordFault(password, email);
      if (fault) throw new ProblemError({ code: 'password-too-weak', errors: [{ pointer: '/password', message: fault }] });
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
      return tokens(made.personId, made.sessionId, refreshToken);
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
      const { email, password } = request.body;
      const known = await app.store.accounts.credentials(email);
      if (!(await app.passwords.matches(known?.passwordHash ?? null, password)) || !known)
        throw new ProblemError({ code: 'wrong-credentials' });
      const refreshToken = secretText();
      const sessionId = await app.store.accounts.startSession({
        personId: known.personId,
        refreshHash: hashOf(refreshToken),
        client: clientOf(request.headers),
      });
      return tokens(known.personId, sessionId, refreshToken);
    },
  );
  app.post(
    '/auth/refresh',
    {
      config: { open: true, rate: 'signIn' },
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
      return tokens(turned.personId, turned.sessionId, next);
    },
  );
  app.post(
    '/auth/sign-out',
    { schema: { operationId: 'signOut', tags, summary: 'End this session', response: { 204: z.null(), ...problems(401) } } },
    async (request, reply) => {
      const { personId, sessionId } = requireCaller(request);
      if (sessionId) await app.store.accounts.endSession(personId, sessionId, 'signed out');
      return reply.code(204).send(null);
    },
  );
};
