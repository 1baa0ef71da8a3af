import type { FastifyInstance, FastifyRequest } from 'fastify';
import { refusalOf, type Action, type Actor, type Subject } from '../auth/can.ts';
import type { Passwords } from '../auth/passwords.ts';
import { API_KEY_PREFIX, type Tokens } from '../auth/tokens.ts';
import type { AppConfig } from '../config.ts';
import type { Caller } from '../store/accounts.ts';
import type { Scope } from '../store/database.ts';
import type { Store } from '../store/store.ts';
import { hashOf } from './auth/secrets.ts';
import { orProblem, ProblemError } from './problem.ts';
import type { RateLimits } from './rate-limit.ts';
import { cookieHash, cookieSecret, refuseFromElsewhere } from './web/session-cookie.ts';

declare module 'fastify' {
  interface FastifyContextConfig {
    /** Needs no sign-in. Everything else does. */
    open?: boolean;
    rate?: keyof RateLimits;
  }
  interface FastifyRequest {
    caller: Caller | null;
  }
  interface FastifyInstance {
    store: Store;
    now: () => Date;
    config: AppConfig;
    tokens: Tokens;
    passwords: Passwords;
  }
}

const UUID = /^[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12}$/i;

/** Resolves the caller before anything of the request is looked at; closes every route that is not declared open. */
export function installActor(app: FastifyInstance): void {
  app.decorateRequest('caller', null);
  app.addHook('onRoute', (route) => {
    if (route.url.startsWith('/api/docs')) route.config = { ...route.config, open: true }; // the pages to read and try it
    if (!route.config?.open && route.schema) route.schema = { ...route.schema, security: [{ bearer: [] }] };
  });
  app.addHook('onRequest', async (request) => {
    if (request.is404 || request.routeOptions.config.open) return;
    request.caller = await callerOf(app, request);
    if (request.caller === null) throw new ProblemError({ code: 'not-signed-in' });
  });
}

/** Also for an open route that a signed-in person may use as themselves. */
export async function callerOf(app: FastifyInstance, request: FastifyRequest): Promise<Caller | null> {
  if (request.headers.authorization === undefined) return callerByCookie(app, request);
  const [scheme, secret] = request.headers.authorization.split(' ');
  if (scheme?.toLowerCase() !== 'bearer' || !secret) return null;
  const wanted = actingOrganisation(request);
  const found = await foundBy(app, secret, wanted);
  return found && orProblem(found);
}

async function callerByCookie(app: FastifyInstance, request: FastifyRequest): Promise<Caller | null> {
  const secret = cookieSecret(request);
  const subject = secret === null ? null : await app.store.accounts.sessionByCookie(cookieHash(secret));
  if (subject === null) return null;
  refuseFromElsewhere(request, app.config.publicUrl);
  const found = await app.store.accounts.callerBySession(subject, actingOrganisation(request));
  return found && orProblem(found);
}

async function foundBy({ store, tokens }: FastifyInstance, secret: string, wanted: string | null) {
  if (secret.startsWith(API_KEY_PREFIX)) return store.accounts.callerByApiKey(hashOf(secret), wanted);
  const subject = await tokens.verify(secret);
  return subject && store.accounts.callerBySession(subject, wanted);
}

function actingOrganisation(request: FastifyRequest): string | null {
  const header = request.headers['acting-organisation'];
  if (header === undefined) return null;
  if (typeof header === 'string' && UUID.test(header)) return header.toLowerCase();
  throw new ProblemError({
    code: 'invalid-request',
    errors: [{ pointer: '/headers/acting-organisation', message: 'the id of an organisation' }],
  });
}

/** The signed-in person, for what needs no organisation. */
export function requireCaller(request: FastifyRequest): Caller {
  if (request.caller === null) throw new ProblemError({ code: 'not-signed-in' });
  return request.caller;
}

/** The signed-in person about themselves, whether or not it is clear for which organisation. An API key always acts for one. */
export function requireOneself(request: FastifyRequest, action: 'readAccount' | 'changeAccount'): Caller {
  const caller = requireCaller(request);
  if (caller.actor) authorize(caller.actor, action, { kind: 'person', personId: caller.personId });
  return caller;
}

/** The person acting for an organisation. */
export function requireActor(request: FastifyRequest): Actor {
  const { actor } = requireCaller(request);
  if (actor === null) throw new ProblemError({ code: 'acting-organisation-needed' });
  return actor;
}

/** For a read whose reach the store decides alone: a key needs the scope for it all the same. */
export function requireReader(request: FastifyRequest): Actor {
  const actor = requireActor(request);
  if (actor.scopes !== null && !actor.scopes.includes('read')) throw new ProblemError({ code: 'key-not-allowed' });
  return actor;
}

/** Asks the one policy. What the caller may not even see was answered 404 before this. */
export function authorize(actor: Actor, action: Action, subject: Subject): void {
  const refusal = refusalOf(actor, action, subject);
  if (refusal) throw new ProblemError(refusal);
}

/** Who did it, for history. */
export const authorOf = (request: FastifyRequest) => {
  const { personId, orgId } = requireActor(request);
  return { personId, orgId, name: requireCaller(request).personName };
};

export const scopeOf = ({ personId, orgId }: Actor): Scope => ({ personId, orgId });
