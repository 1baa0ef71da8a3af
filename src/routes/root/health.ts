import type { FastifyPluginAsync } from 'fastify';
import { ProblemError } from '../problem.ts';

export const healthRoutes: FastifyPluginAsync = async (app) => {
  app.get('/health/live', { config: { open: true }, schema: { hide: true } }, async () => ({ status: 'live' }));
  app.get('/health/ready', { config: { open: true }, schema: { hide: true } }, async () => {
    if (!(await app.store.isReady())) throw new ProblemError({ code: 'not-ready' }, { 'retry-after': '1' });
    return { status: 'ready' };
  });
  app.get('/.well-known/jwks.json', { config: { open: true }, schema: { hide: true } }, async (_request, reply) => {
    reply.header('cache-control', 'public, max-age=600');
    return app.tokens.jwks();
  });
};
