import { randomUUID } from 'node:crypto';
import helmet from '@fastify/helmet';
import swagger from '@fastify/swagger';
import swaggerUi from '@fastify/swagger-ui';
import Fastify, { type FastifyBaseLogger, type FastifyInstance } from 'fastify';
import { jsonSchemaTransform, jsonSchemaTransformObject, serializerCompiler } from 'fastify-type-provider-zod';
import { createPasswords, type Passwords } from './auth/passwords.ts';
import { createTokens } from './auth/tokens.ts';
import type { AppConfig } from './config.ts';
import { installActor } from './routes/actor.ts';
import { answerBadAddress, installErrors, strictValidator } from './routes/errors.ts';
import { installMetrics } from './routes/root/metrics.ts';
import { installRateLimit } from './routes/rate-limit.ts';
import { API_ROUTES, ROOT_ROUTES } from './routes/routes.ts';
import { parseStrictJson } from './routes/strict-json.ts';
import { ProblemError } from './routes/problem.ts';
import type { Store } from './store/store.ts';

export type AppPorts = { store: Store; config: AppConfig; now: () => Date; log: FastifyBaseLogger | boolean; passwords?: Passwords };

const BODY_LIMIT = 4 * 1024 * 1024; // a plan of 500 hangs is about 1 MB

/** The service over its ports. Tests build the same. */
export async function buildApp({ store, config, now, log, passwords = createPasswords() }: AppPorts): Promise<FastifyInstance> {
  const app = Fastify({
    ...(typeof log === 'boolean' ? { logger: log } : { loggerInstance: log }),
    genReqId: () => randomUUID(),
    bodyLimit: BODY_LIMIT,
    trustProxy: config.trustProxy,
    return503OnClosing: true,
    forceCloseConnections: 'idle',
    frameworkErrors: answerBadAddress,
  });
  app.decorate('store', store);
  app.decorate('now', now);
  app.decorate('config', config);
  app.decorate('tokens', createTokens({ keys: store.keys, now, issuer: config.publicUrl }));
  app.decorate('passwords', passwords);
  app.setValidatorCompiler(strictValidator);
  app.setSerializerCompiler(serializerCompiler);
  app.removeContentTypeParser(['application/json', 'text/plain']);
  app.addContentTypeParser('application/json', { parseAs: 'string' }, (_request, body, done) => {
    if (body === '') return done(null, undefined);
    const parsed = parseStrictJson(body as string);
    if (parsed.ok) done(null, parsed.value);
    else done(new ProblemError(parsed.error), undefined);
  });
  app.addHook('onSend', async (request, reply, payload) => {
    reply.header('x-request-id', request.id);
    if (!reply.hasHeader('cache-control')) reply.header('cache-control', 'no-store');
    const parts = [reply.getHeader('server-timing'), `total;dur=${reply.elapsedTime.toFixed(1)}`].filter((part) => part !== undefined);
    reply.header('server-timing', parts.join(', '));
    return payload;
  });
  await app.register(helmet, { contentSecurityPolicy: { directives: { upgradeInsecureRequests: null } } });
  await app.register(swagger, {
    openapi: {
      openapi: '3.1.0',
      info: {
        title: 'Roofbook',
        version: '1',
        description:
          'What a roof holds, what a show wants to hang from it, what that does to every limit, and who agreed. ' +
          'An answer here does not replace a competent person, a structural engineer or the law of the place.',
      },
      servers: [{ url: '/' }],
      components: {
        securitySchemes: {
          bearer: { type: 'http', scheme: 'bearer', description: 'An access token from /auth/sign-in, or an API key.' },
        },
      },
    },
    transform: jsonSchemaTransform,
    transformObject: jsonSchemaTransformObject,
  });
  installErrors(app);
  installMetrics(app);
  installRateLimit(app, config.rateLimits);
  installActor(app);
  for (const route of ROOT_ROUTES) await app.register(route);
  await app.register(
    async (api) => {
      for (const route of API_ROUTES) await api.register(route);
      api.get('/openapi.json', { schema: { hide: true }, config: { open: true } }, async () => app.swagger());
    },
    { prefix: '/api/v1' },
  );
  await app.register(swaggerUi, { routePrefix: '/api/docs', staticCSP: true, uiConfig: { persistAuthorization: false } });
  await app.ready();
  return app;
}
