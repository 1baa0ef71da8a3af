import type { FastifyPluginAsync } from 'fastify';
import type { ZodTypeProvider } from 'fastify-type-provider-zod';
import { callerOf } from '../actor.ts';
import { clientOf, refuseWeak, SignInBody, SignUpBody } from '../auth/schemas.ts';
import { secretText } from '../auth/secrets.ts';
import { personSigningIn } from '../auth/signing-in.ts';
import { orProblem } from '../problem.ts';
import { clearCookie, cookieHash, refuseFromElsewhere, setCookie } from './session-cookie.ts';

/** How a browser signs in: by a cookie that no script can read. Programs take bearer tokens from /api/v1/auth instead. */
export const browserSessionRoutes: FastifyPluginAsync = async (plain) => {
  const app = plain.withTypeProvider<ZodTypeProvider>();
  app.addHook('onRequest', async (request) => refuseFromElsewhere(request, app.config.publicUrl));
  const open = { open: true, rate: 'signIn' } as const;

  app.post('/session', { config: open, schema: { hide: true, body: SignInBody } }, async (request, reply) => {
    const { personId } = await personSigningIn(app, request.body);
    const secret = secretText();
    await app.store.accounts.startSession({ personId, refreshHash: cookieHash(secret), client: clientOf(request.headers) });
    return setCookie(reply, secret).code(204).send();
  });
  app.post('/session/new-account', { config: open, schema: { hide: true, body: SignUpBody } }, async (request, reply) => {
    const { email, displayName, password, organisation } = request.body;
    refuseWeak(password, email);
    const secret = secretText();
    const passwordHash = await app.passwords.hash(password);
    const founder = { email, displayName, passwordHash, organisation };
    orProblem(await app.store.accounts.signUp(founder, cookieHash(secret), clientOf(request.headers)));
    return setCookie(reply, secret).code(204).send();
  });
  // Open, so that a cookie of a session that has ended is cleared too.
  app.delete('/session', { config: { open: true }, schema: { hide: true } }, async (request, reply) => {
    const caller = await callerOf(app, request);
    if (caller?.sessionId) await app.store.accounts.endSession(caller.personId, caller.sessionId, 'signed out');
    return clearCookie(reply).code(204).send();
  });
};
