import type { FastifyPluginAsync } from 'fastify';
import { PROBLEMS, type ProblemCode } from '../problem-table.ts';
import { ProblemError } from '../problem.ts';

/** What each problem type means: the address that every problem's `type` gives. */
export const problemsRoutes: FastifyPluginAsync = async (app) => {
  app.get<{ Params: { code: string } }>('/problems/:code', { config: { open: true }, schema: { hide: true } }, async (request, reply) => {
    const { code } = request.params;
    if (!Object.hasOwn(PROBLEMS, code)) throw new ProblemError({ code: 'not-found' });
    reply.header('cache-control', 'public, max-age=3600');
    return { type: `/problems/${code}`, ...PROBLEMS[code as ProblemCode] };
  });
};
