import type { FastifyPluginAsync, FastifyRequest } from 'fastify';
import type { ZodTypeProvider } from 'fastify-type-provider-zod';
import { z } from 'zod';
import { authorize, callerOf } from '../actor.ts';
import { cookieSecret } from '../web/session-cookie.ts';
import { problems } from '../errors.ts';
import { orProblem, ProblemError } from '../problem.ts';
import { Id, Name } from '../schemas/common.ts';
import { clientOf, OneTimeToken, Password, refuseWeak, tokensOf, TokensView } from './schemas.ts';
import { hashOf, secretText } from './secrets.ts';

const Body = z
  .strictObject({ token: OneTimeToken, displayName: Name.optional(), password: Password.optional() })
  .describe('A new person gives a name and a password; somebody with an account signs in and sends the token alone.')
  .meta({ examples: [{ token: 'one-time-text-from-the-link', displayName: 'Wout Ferrier', password: 'long enough to be safe' }] });
const View = z
  .object({ personId: Id, organisationId: Id, roles: z.array(z.string()), tokens: TokensView.nullable() })
  .meta({ id: 'Joined', description: 'tokens: the first sign-in of a new person.' });

/** Takes no idempotency key: the token is good once, and a new person has nobody yet to keep a key for. */
export const acceptInvitationRoutes: FastifyPluginAsync = async (plain) => {
  const app = plain.withTypeProvider<ZodTypeProvider>();
  app.post(
    '/auth/invitations/accept',
    {
      config: { open: true, rate: 'signIn' },
      schema: {
        operationId: 'acceptInvitation',
        tags: ['sign-in'],
        summary: 'Join an organisation by an invitation',
        body: Body,
        response: { 201: View, ...problems(401, 403, 404, 409, 413, 415, 422) },
      },
    },
    async (request, reply) => {
      const signedIn = await signedInPerson(request);
      const { token, displayName, password } = request.body;
      const tokenHash = hashOf(token);
      const offer = await app.store.accounts.invitationByToken(tokenHash);
      if (!offer) throw new ProblemError({ code: 'link-not-valid' });
      const refreshToken = secretText();
      if (signedIn === null) refuseIncomplete(displayName, password);
      if (signedIn === null) refuseWeak(password ?? '', offer.email);
      const joiner =
        signedIn === null
          ? {
              kind: 'new' as const,
              displayName: displayName ?? '',
              passwordHash: await app.passwords.hash(password ?? ''),
              refreshHash: hashOf(refreshToken),
              client: clientOf(request.headers),
            }
          : { kind: 'known' as const, personId: signedIn };
      const { personId, orgId, roles, sessionId } = orProblem(await app.store.accounts.acceptInvitation(offer, tokenHash, joiner));
      reply.code(201);
      const tokens = sessionId === null ? null : await tokensOf(app, personId, sessionId, refreshToken);
      return { personId, organisationId: orgId, roles, tokens };
    },
  );

  /** Whoever sends credentials means to join as that person: bad ones are refused, never taken for a newcomer's. */
  async function signedInPerson(request: FastifyRequest): Promise<string | null> {
    if (request.headers.authorization === undefined && cookieSecret(request) === null) return null;
    const caller = await callerOf(app, request);
    if (caller === null) throw new ProblemError({ code: 'not-signed-in' });
    if (caller.actor) authorize(caller.actor, 'changeAccount', { kind: 'person', personId: caller.personId });
    return caller.personId;
  }
};

function refuseIncomplete(displayName: string | undefined, password: string | undefined): void {
  const errors = Object.entries({ displayName, password })
    .filter(([, value]) => value === undefined)
    .map(([name]) => ({ pointer: `/${name}`, message: 'needed for a new account; with an account, sign in first' }));
  if (errors.length > 0) throw new ProblemError({ code: 'invalid-request', errors });
}
