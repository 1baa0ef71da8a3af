import type { FastifyInstance } from 'fastify';
import { ProblemError } from './problem.ts';

/** `requests` in `windowS` seconds: a bucket that refills evenly, per process. */
export type RateLimit = { readonly requests: number; readonly windowS: number };
export type RateLimits = { readonly default: RateLimit; readonly signIn: RateLimit; readonly calculations: RateLimit };

type Bucket = { left: number; atMs: number };
const MOST_BUCKETS = 100_000;

/**
 * RateLimit headers and 429, counted per caller (address) and policy. A route picks its policy by `config.rate`.
 * @source IETF draft-ietf-httpapi-ratelimit-headers-10
 */
export function installRateLimit(app: FastifyInstance, limits: RateLimits): void {
  const buckets = new Map<string, Bucket>();
  app.addHook('onRequest', async (request, reply) => {
    const policy = request.routeOptions.config.rate ?? 'default';
    const { requests, windowS } = limits[policy];
    const key = `${policy} ${request.ip}`;
    const nowMs = performance.now();
    const bucket = buckets.get(key) ?? { left: requests, atMs: nowMs };
    const perMs = requests / (windowS * 1000);
    bucket.left = Math.min(requests, bucket.left + (nowMs - bucket.atMs) * perMs);
    bucket.atMs = nowMs;
    if (buckets.size >= MOST_BUCKETS) buckets.clear(); // forgets everybody at once rather than grow: an address may then ask a little more
    buckets.set(key, bucket);
    const refused = bucket.left < 1;
    if (!refused) bucket.left -= 1;
    const untilFullS = Math.ceil((requests - bucket.left) / perMs / 1000);
    reply.header('ratelimit-policy', `"${policy}";q=${requests};w=${windowS}`);
    reply.header('ratelimit', `"${policy}";r=${Math.floor(bucket.left)};t=${untilFullS}`);
    if (refused) {
      const waitS = Math.max(1, Math.ceil((1 - bucket.left) / perMs / 1000));
      throw new ProblemError({ code: 'too-many-requests', policy }, { 'retry-after': String(waitS) });
    }
  });
}
