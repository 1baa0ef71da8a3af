import type { FastifyReply, FastifyRequest } from 'fastify';
import { hashOf } from '../auth/secrets.ts';
import { ProblemError } from '../problem.ts';

/** Browsers take a cookie of this prefix only with Secure, Path=/ and no Domain, so no neighbouring site can set or shadow it. */
const COOKIE = '__Host-roofbook';
const ATTRIBUTES = 'Path=/; Secure; HttpOnly; SameSite=Strict';
const MAX_AGE_S = 30 * 86_400; // as long as a session may last; whether it still does, the server says
const SECRET = new RegExp(`(?:^|;\\s*)${COOKIE}=([\\w-]{20,200})(?:;|$)`);
const SAFE = new Set(['GET', 'HEAD', 'OPTIONS']);

export const cookieSecret = ({ headers }: FastifyRequest): string | null => SECRET.exec(headers.cookie ?? '')?.[1] ?? null;
/** Another hash than a refresh token's: neither opens what the other does. */
export const cookieHash = (secret: string): string => hashOf(`browser ${secret}`);

export const setCookie = (reply: FastifyReply, secret: string) =>
  reply.header('set-cookie', `${COOKIE}=${secret}; ${ATTRIBUTES}; Max-Age=${MAX_AGE_S}`);
export const clearCookie = (reply: FastifyReply) => reply.header('set-cookie', `${COOKIE}=; ${ATTRIBUTES}; Max-Age=0`);

/**
 * Against requests that another site makes a browser send. SameSite=Strict keeps the cookie from them already; this holds in browsers that
 * do not know it, and against sites on a sibling domain. The header cannot be set across origins without a preflight, which nothing here
 * answers.
 */
export function refuseFromElsewhere(request: FastifyRequest, publicUrl: string): void {
  const { origin, host } = request.headers;
  const fetchSite = request.headers['sec-fetch-site'];
  const isElsewhere =
    (fetchSite !== undefined && fetchSite !== 'same-origin' && fetchSite !== 'none') ||
    (origin !== undefined && origin !== publicUrl && hostOf(origin) !== host) ||
    (!SAFE.has(request.method) && request.headers['roofbook-page'] === undefined);
  if (isElsewhere) throw new ProblemError({ code: 'not-from-here' });
}

const hostOf = (origin: string): string | null => (URL.canParse(origin) ? new URL(origin).host : null);
