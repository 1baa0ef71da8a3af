import { createHash, timingSafeEqual } from 'node:crypto';
import type { FastifyInstance, FastifyRequest } from 'fastify';
import { collectDefaultMetrics, Histogram, Registry } from 'prom-client';
import { ProblemError } from '../problem.ts';

const LOOPBACK = new Set(['127.0.0.1', '::1', '::ffff:127.0.0.1']);
const SECONDS = [0.005, 0.01, 0.025, 0.05, 0.1, 0.25, 0.5, 1, 2.5, 10];

/** Counts every answer of the whole service, and shows the counts to this machine or to whoever presents the token. */
export function installMetrics(app: FastifyInstance): void {
  const registry = new Registry();
  collectDefaultMetrics({ register: registry });
  const answers = new Histogram({
    name: 'http_request_duration_seconds',
    help: 'Time from request to answer',
    labelNames: ['method', 'route', 'status'],
    buckets: SECONDS,
    registers: [registry],
  });
  app.addHook('onResponse', async (request, reply) => {
    // The pattern, never the address: ids would make a series each.
    const route = request.is404 ? 'none' : (request.routeOptions.url ?? 'none');
    answers.observe({ method: request.method, route, status: reply.statusCode }, reply.elapsedTime / 1000);
  });
  app.addHook('onClose', async () => registry.clear());
  app.get('/metrics', { config: { open: true }, schema: { hide: true } }, async (request, reply) => {
    if (!isFromHere(request) && !showsToken(request, app.config.metricsToken)) throw new ProblemError({ code: 'not-found' });
    reply.type(registry.contentType).serializer(String);
    return registry.metrics();
  });
}

/** Behind a proxy on the same machine everybody comes from loopback, so a forwarded request never counts as from here. */
function isFromHere({ headers, socket }: FastifyRequest): boolean {
  const forwarded = ['forwarded', 'x-forwarded-for', 'x-forwarded-host', 'x-real-ip', 'via'].some((name) => headers[name] !== undefined);
  return !forwarded && LOOPBACK.has(socket.remoteAddress ?? '');
}

function showsToken({ headers }: FastifyRequest, token: string | null): boolean {
  if (token === null) return false;
  const hash = (text: string) => createHash('sha256').update(text).digest(); // of one length, as the comparison wants
  return timingSafeEqual(hash(headers.authorization ?? ''), hash(`Bearer ${token}`));
}
