import type { FastifyError, FastifyInstance, FastifyReply, FastifyRequest } from 'fastify';
import type { FastifySchemaCompiler } from 'fastify';
import { z } from 'zod';
import { PROBLEMS } from './problem-table.ts';
import { ProblemError, toProblem, type CodedError } from './problem.ts';

/** What every refusal looks like. @source RFC 9457 */
export const Problem = z
  .looseObject({
    type: z.string(),
    title: z.string(),
    status: z.int(),
    detail: z.string(),
    instance: z.string(),
    errors: z.array(z.looseObject({ pointer: z.string(), message: z.string() })).optional(),
  })
  .meta({ id: 'Problem' });

/** The refusals an operation declares, beside those that any may give (400, 406, 429, 503). */
export const problems = (...statuses: number[]) =>
  Object.fromEntries(
    [...new Set([400, 406, 429, 503, ...statuses])].map((status) => [
      status,
      { description: STATUS_WORDS[status] ?? 'refused', content: { 'application/problem+json': { schema: Problem } } },
    ]),
  );
const STATUS_WORDS: Record<number, string> = {
  400: 'The request does not fit its schema',
  401: 'Not signed in',
  403: 'Seen, but not allowed',
  404: 'No such thing, or not for the caller to know',
  406: 'Only JSON is served',
  409: 'The state does not allow it',
  412: 'Changed since it was read',
  413: 'Too large',
  415: 'Not a type that is taken',
  422: 'Fits the schema, and cannot be',
  428: 'If-Match is needed',
  429: 'Too many requests',
  503: 'Busy or not ready',
};

/** For an operation that names no query parameters: any is one too many. */
const NoQuery = z.strictObject({});

type Shown = { error: CodedError & Record<string, unknown>; headers: Readonly<Record<string, string>> };

export function installErrors(app: FastifyInstance): void {
  const known: { method: string; pattern: RegExp }[] = [];
  app.addHook('onRoute', (route) => {
    if (route.schema?.operationId !== undefined && !route.schema.querystring) route.schema = { ...route.schema, querystring: NoQuery };
  });
  app.addHook('preValidation', async (request) => {
    if (request.body === undefined || request.is404 || request.routeOptions.schema?.body) return;
    // JSON where none is taken; a route that reads another type of body brings its own reader for it.
    if (!/^application\/json/i.test(request.headers['content-type'] ?? '')) return;
    throw new ProblemError({ code: 'invalid-request', errors: [{ pointer: '', message: 'no body is taken here' }] });
  });
  app.addHook('onRoute', ({ method, url }) => {
    const pattern = new RegExp(
      `^${url
        .replace(/[.+?^${}()|[\]\\]/g, '\\$&')
        .replace(/:\w+/g, '[^/]+')
        .replace(/\*/g, '.*')}/?$`,
    );
    for (const one of [method].flat()) known.push({ method: one, pattern });
  });
  app.setNotFoundHandler((request, reply) => {
    const path = request.url.split('?')[0]!;
    const allowed = [...new Set(known.filter(({ pattern }) => pattern.test(path)).map(({ method }) => method))];
    // A route that takes the method and found no file behind the address says so by coming here too.
    if (allowed.length === 0 || allowed.includes(request.method))
      return send(request, reply, { error: { code: 'not-found' }, headers: {} });
    if (request.method === 'OPTIONS')
      return reply
        .header('allow', [...allowed, 'OPTIONS'].join(', '))
        .code(204)
        .send();
    return send(request, reply, { error: { code: 'method-not-allowed' }, headers: { allow: [...allowed, 'OPTIONS'].join(', ') } });
  });
  app.setErrorHandler((error: FastifyError, request, reply) => {
    const shown = shownFor(error);
    if (PROBLEMS[shown.error.code].status >= 500) request.log.error({ err: error }, 'request failed');
    return send(request, reply, shown);
  });
}

/** An address that cannot be decoded reaches no hook: what they would have set is set here. */
export function answerBadAddress(_error: FastifyError, request: FastifyRequest, reply: FastifyReply): void {
  reply.headers({ 'x-request-id': request.id, 'cache-control': 'no-store', 'x-content-type-options': 'nosniff' });
  send(request, reply, { error: { code: 'not-found' }, headers: {} });
}

function send(request: FastifyRequest, reply: FastifyReply, { error, headers }: Shown) {
  const problem = toProblem(error, `urn:uuid:${request.id}`);
  if (problem.status === 401) reply.header('www-authenticate', 'Bearer');
  return reply
    .headers(headers)
    .code(problem.status)
    .header('content-type', 'application/problem+json; charset=utf-8')
    .serializer(JSON.stringify)
    .send(problem);
}

function shownFor(error: FastifyError): Shown {
  const plain = (code: CodedError['code'], facts: Record<string, unknown> = {}, headers: Record<string, string> = {}): Shown => ({
    error: { code, ...facts },
    headers,
  });
  if (error instanceof ProblemError) return { error: { ...error.error }, headers: error.headers };
  if (error.name === 'TooBusy') return plain('too-busy', {}, { 'retry-after': '1' });
  if (error.name === 'DatabaseLost') return plain('not-ready', {}, { 'retry-after': '1' });
  switch (error.code) {
    case 'FST_ERR_CTP_BODY_TOO_LARGE':
      return plain('too-large');
    case 'FST_ERR_CTP_INVALID_MEDIA_TYPE':
    case 'FST_ERR_CTP_INVALID_CONTENT_LENGTH':
      return plain('unsupported-media-type');
    case 'FST_ERR_CTP_EMPTY_JSON_BODY':
      return plain('invalid-request', { errors: [{ pointer: '', message: 'a body is needed' }] });
    case 'FST_ERR_BAD_URL':
    case 'FST_ERR_ASYNC_CONSTRAINT':
      return plain('not-found');
    default:
      if (error.statusCode !== undefined && error.statusCode >= 400 && error.statusCode < 500) {
        return plain('invalid-request', { errors: [{ pointer: '', message: error.message }] });
      }
      return plain('internal-error');
  }
}

/** Parses with the zod schema of the route; all faults at once, each with a JSON Pointer. @source RFC 6901 */
export const strictValidator: FastifySchemaCompiler<z.ZodType> = ({ schema, httpPart }) => {
  const root = httpPart === 'body' || httpPart === undefined ? '' : `/${httpPart === 'querystring' ? 'query' : httpPart}`;
  return (data: unknown) => {
    const parsed = schema.safeParse(data);
    if (parsed.success) return { value: parsed.data };
    return { error: new ProblemError({ code: 'invalid-request', errors: parsed.error.issues.flatMap((issue) => faultsOf(root, issue)) }) };
  };
};

const pointerOf = (root: string, path: readonly PropertyKey[]) =>
  [root, ...path.map((part) => String(part).replaceAll('~', '~0').replaceAll('/', '~1'))].join('/');

/** An unknown member is named itself, not its parent. */
export function faultsOf(root: string, issue: z.core.$ZodIssue): { pointer: string; message: string }[] {
  if (issue.code === 'unrecognized_keys') {
    return issue.keys.map((key) => ({ pointer: pointerOf(root, [...issue.path, key]), message: 'not a known field' }));
  }
  return [{ pointer: pointerOf(root, issue.path), message: issue.message }];
}
