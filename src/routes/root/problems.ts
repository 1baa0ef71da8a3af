import type { FastifyPluginAsync } from 'fastify';
import { PROBLEMS, type ProblemCode } from '../problem-table.ts';
import { ProblemError } from '../problem.ts';

/** What each problem type means: the address that every problem's `type` gives. A page for people, JSON for all else. */
export const problemsRoutes: FastifyPluginAsync = async (app) => {
  app.get<{ Params: { code: string } }>('/problems/:code', { config: { open: true }, schema: { hide: true } }, async (request, reply) => {
    const { code } = request.params;
    if (!isCode(code)) throw new ProblemError({ code: 'not-found' });
    reply.headers({ 'cache-control': 'public, max-age=3600', vary: 'accept' });
    if (!wantsPage(request.headers.accept)) return { type: `/problems/${code}`, ...PROBLEMS[code] };
    reply.type('text/html; charset=utf-8').serializer(String);
    return pageOf(code);
  });
};

const isCode = (code: string): code is ProblemCode => Object.hasOwn(PROBLEMS, code);
/** Browsers name text/html first; programs name JSON, anything, or nothing. */
const wantsPage = (accept = ''): boolean => accept.split(',').some((type) => /^\s*text\/html\s*(;|$)/.test(type));
const escaped = (text: string): string => text.replaceAll('&', '&amp;').replaceAll('<', '&lt;').replaceAll('>', '&gt;');

function pageOf(code: ProblemCode): string {
  const { status, title, detail } = PROBLEMS[code];
  return `<!doctype html>
<html lang="en">
<head><meta charset="utf-8"><meta name="viewport" content="width=device-width"><title>${escaped(title)}</title></head>
<body><main><h1>${escaped(title)}</h1><p>${escaped(detail)}</p><p>Status ${status}, <code>${escaped(code)}</code></p></main></body>
</html>
`;
}
