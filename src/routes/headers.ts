import { createHash } from 'node:crypto';
import type { FastifyReply, FastifyRequest } from 'fastify';
import { z } from 'zod';
import type { Answer, Once, Reply } from '../store/once.ts';
import { ProblemError } from './problem.ts';

/** The strong ETag of a version number. */
export const etagOf = (version: number | bigint): string => `"v${version}"`;

/** Creating and deciding: the key that makes a repeat harmless. Headers are never strict: browsers and proxies add their own. */
export const OnceHeaders = z.object({
  'idempotency-key': z
    .string()
    .min(1)
    .max(255)
    .optional()
    .describe('a fresh random key for each act; the same key when the act is sent again'),
});
export const MatchHeaders = z.object({ 'if-match': z.string().max(500).optional().describe('the ETag that was read') });
export const DecideHeaders = z.object({ ...OnceHeaders.shape, ...MatchHeaders.shape });

/** The version that If-Match names. 428 without the header, 412 for what cannot be a version of ours (a list, `*`, a weak tag). */
export function ifMatchVersion(request: FastifyRequest): number {
  const header = request.headers['if-match'];
  if (header === undefined) throw new ProblemError({ code: 'if-match-needed' });
  const version = /^"v(\d{1,15})"$/.exec(header.trim())?.[1];
  if (version === undefined) throw new ProblemError({ code: 'version-moved-on', sent: header.slice(0, 100) });
  return Number(version);
}

/** For an operation that creates or decides: needs the key. */
export function onceWith<T>(request: FastifyRequest, present: (value: T) => Answer): Reply<T> {
  const key = request.headers['idempotency-key'];
  if (typeof key !== 'string' || key.length === 0 || key.length > 255) throw new ProblemError({ code: 'idempotency-key-needed' });
  return { once: onceOf(request, key), present };
}

/** For an operation that is repeatable under If-Match: no key. */
export const always = <T>(request: FastifyRequest, present: (value: T) => Answer): Reply<T> => ({ once: onceOf(request, null), present });

function onceOf(request: FastifyRequest, key: string | null): Once {
  const route = `${request.method} ${request.url.split('?')[0]}`;
  const bodyHash = createHash('sha256')
    .update(`${request.url}\n`)
    .update(key === null ? '' : Buffer.isBuffer(request.body) ? request.body : (JSON.stringify(request.body) ?? ''))
    .digest('hex');
  return { key, route, bodyHash };
}

/** Sends what the store kept or made; a replayed answer says so. */
export function sendAnswer(reply: FastifyReply, answer: Answer) {
  if (answer.etag !== undefined) reply.header('etag', answer.etag);
  if (answer.location !== undefined) reply.header('location', answer.location);
  if (answer.replayed) reply.header('idempotent-replayed', 'true');
  if (answer.status >= 400) reply.header('content-type', 'application/problem+json; charset=utf-8').serializer(JSON.stringify);
  return reply.code(answer.status as 200).send(answer.body);
}

/** Sets the ETag, and answers 304 where the caller has this version already. @source RFC 9110 §13.1.2 */
export function notModified(request: FastifyRequest, reply: FastifyReply, etag: string): boolean {
  reply.header('etag', etag);
  const known = (request.headers['if-none-match'] ?? '').split(',').map((tag) => tag.trim().replace(/^W\//, ''));
  if (!known.includes(etag) && !known.includes('*')) return false;
  reply.code(304).send();
  return true;
}
