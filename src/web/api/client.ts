import createClient from 'openapi-fetch';
import type { components, paths } from './generated/schema.ts';

type Schemas = components['schemas'];
export type Me = Schemas['Me'];
export type Space = Schemas['Space'];
export type Structure = Schemas['Structure'];
export type Proposal = Schemas['Proposal'];
export type ProposalSummary = Schemas['ProposalSummary'];
export type Decision = Schemas['Decision'];
export type Comment = Schemas['Comment'];
export type Requirement = Schemas['Requirement'];

/** What every refusal looks like. @source RFC 9457 */
export type Problem = {
  type: string;
  title: string;
  status: number;
  detail: string;
  errors?: { pointer: string; message: string }[];
  [fact: string]: unknown;
};

export class Refused extends Error {
  readonly problem: Problem;
  constructor(problem: Problem) {
    super(problem.title);
    this.problem = problem;
  }
  is(code: string): boolean {
    return this.problem.type === `/problems/${code}`;
  }
}
/** What the service says of one field, or null. */
export const faultAt = (error: unknown, pointer: string): string | null =>
  (error instanceof Refused ? error.problem.errors : undefined)?.find((fault) => fault.pointer === pointer)?.message ?? null;

/** No answer came: no network, or the service is down. */
export class Unreachable extends Error {}

const ACTING_KEY = 'roofbook.acting-organisation';
/** Which organisation the person acts for; an id, and no secret. */
export const acting = {
  read: (): string | null => sessionStorage.getItem(ACTING_KEY) ?? localStorage.getItem(ACTING_KEY),
  choose: (organisationId: string | null): void => {
    for (const kept of [sessionStorage, localStorage]) {
      if (organisationId === null) kept.removeItem(ACTING_KEY);
      else kept.setItem(ACTING_KEY, organisationId);
    }
  },
};

export const api = createClient<paths>({ baseUrl: location.origin, fetch: (request) => ask(request) });
api.use({
  onRequest: ({ request }) => {
    request.headers.set('roofbook-page', '1');
    const organisation = acting.read();
    if (organisation !== null) request.headers.set('acting-organisation', organisation);
    if (request.method === 'POST' && !request.headers.has('idempotency-key')) request.headers.set('idempotency-key', crypto.randomUUID());
    return request;
  },
});

async function ask(request: Request): Promise<Response> {
  try {
    return await fetch(request);
  } catch {
    throw new Unreachable('no answer');
  }
}

/** The value of an answer, or the refusal thrown: queries and mutations take it from there. */
export async function valueOf<T>(asked: Promise<{ data?: T; error?: unknown; response: Response }>): Promise<T> {
  const { data, error, response } = await asked;
  if (response.ok) return data as T;
  throw new Refused(isProblem(error) ? error : bareProblem(response));
}

const PAGE = 200;
type Listed<T> = { data?: { items: T[] }; error?: unknown; response: Response };
/** A whole list, page after page as each answer links the next: what is late, or whom something touches, is never cut off. */
export async function everyPage<T>(ask: (page: { limit: number; cursor?: string }) => Promise<Listed<T>>): Promise<{ items: T[] }> {
  const items: T[] = [];
  for (let cursor: string | null = null; ;) {
    const page: Page<T> = await pageOf(ask({ limit: PAGE, ...(cursor === null ? {} : { cursor }) }));
    items.push(...page.items);
    cursor = page.next;
    if (cursor === null) return { items };
  }
}

export type Page<T> = {
  readonly items: readonly T[];
  /** The cursor of the page after it; null at the end. */ readonly next: string | null;
};
/** One page of a list, and where the next begins, as the answer links it. */
export async function pageOf<T>(asking: Promise<Listed<T>>): Promise<Page<T>> {
  const asked = await asking;
  const { items } = await valueOf(Promise.resolve(asked));
  const next = /<([^>]*)>; rel="next"/.exec(asked.response.headers.get('link') ?? '')?.[1];
  return { items, next: next === undefined ? null : new URL(next, location.origin).searchParams.get('cursor') };
}

/** The events of a stream that ends by itself. What is read with `api` and parseAs 'stream'. @source WHATWG HTML §9.2, as far as ours go */
export async function* eventsOf(stream: ReadableStream<Uint8Array>): AsyncGenerator<{ event: string; data: unknown }> {
  const reader = stream.pipeThrough(new TextDecoderStream() as TransformStream<Uint8Array, string>).getReader();
  let unread = '';
  for (;;) {
    const { done, value } = await reader.read().catch(() => Promise.reject(new Unreachable('no answer')));
    if (done) return;
    const parts = (unread + value).split('\n\n');
    unread = parts.pop() ?? '';
    for (const part of parts) {
      const event = /^event: (.*)$/m.exec(part)?.[1];
      const data = /^data: (.*)$/m.exec(part)?.[1];
      if (event !== undefined && data !== undefined) yield { event, data: JSON.parse(data) };
    }
  }
}

export const isProblem = (error: unknown): error is Problem =>
  typeof error === 'object' && error !== null && 'type' in error && 'title' in error && 'status' in error;
const bareProblem = ({ status, statusText }: Response): Problem => ({ type: 'about:blank', title: statusText, status, detail: '' });

export const versionTag = (version: number): string => `"v${version}"`;

/** Signing in and out, which is the browser's own and no part of the API's document. */
export async function session(method: 'POST' | 'DELETE', path: string, body?: unknown): Promise<void> {
  const response = await ask(
    new Request(`${location.origin}${path}`, {
      method,
      headers: { 'roofbook-page': '1', ...(body === undefined ? {} : { 'content-type': 'application/json' }) },
      ...(body === undefined ? {} : { body: JSON.stringify(body) }),
    }),
  );
  if (response.ok) return;
  const problem: unknown = await response.json().catch(() => null);
  throw new Refused(isProblem(problem) ? problem : bareProblem(response));
}
