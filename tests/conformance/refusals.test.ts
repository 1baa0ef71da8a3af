import { randomUUID } from 'node:crypto';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { startApp, type RunningApp } from '../support/app.ts';
import { operationsOf, readDocument, type Operation } from './operations.ts';
import { conventionFaults, gotOf, Schemas, STALE, Watch, type Got, type Sent } from './watch.ts';
import { makeWorld, type World } from './world.ts';

let running: RunningApp;
let operations: Operation[];
let watch: Watch;
let world: World;
beforeAll(async () => {
  running = await startApp();
  const document = await readDocument(running.app);
  operations = operationsOf(document);
  watch = new Watch(running.app, new Schemas(document));
  world = await makeWorld(running);
});
afterAll(() => running.close());

type Wanted = { readonly status: number; readonly code?: string; readonly pointers?: readonly string[] };

/** Sends each operation what `of` makes of it; tells of every answer that is not the wanted one. */
async function refusalsOf(chosen: readonly Operation[], of: (operation: Operation) => Sent, wanted: Wanted): Promise<string[]> {
  const faults: string[] = [];
  for (const operation of chosen) {
    const got = await watch.send(operation, { token: world.venue.token, params: world.paramsOf(operation), ...of(operation) });
    if (!isWanted(got, wanted)) faults.push(`${operation.name}: ${got.status} ${got.code} ${got.pointers.join(' ')}`);
  }
  expect(watch.faults).toEqual([]);
  return faults;
}
const isWanted = (got: Got, { status, code, pointers = [] }: Wanted): boolean =>
  got.status === status && (code === undefined || got.code === code) && pointers.every((pointer) => got.pointers.includes(pointer));

const withBody = () => operations.filter(({ body }) => body !== null);
const exampleOf = (operation: Operation) => operation.body!.examples[0] as Record<string, unknown>;

test('nobody gets past a closed operation without a sign-in, or with one that is not ours', async () => {
  const closed = operations.filter(({ open }) => !open);
  const body = (operation: Operation) => (operation.body ? { body: exampleOf(operation) } : {});
  expect(await refusalsOf(closed, (one) => ({ ...body(one), token: null }), { status: 401, code: 'not-signed-in' })).toEqual([]);
  const [head, claims] = world.venue.token.split('.');
  const unsigned = `${Buffer.from('{"alg":"none"}').toString('base64url')}.${claims}.`;
  for (const token of ['nonsense', unsigned, `${head}.${claims}.${'A'.repeat(86)}`]) {
    expect(await refusalsOf(closed, () => ({ token }), { status: 401, code: 'not-signed-in' })).toEqual([]);
  }
});

const DIRTY = {
  'cut off': '{"a":',
  'not JSON': 'NaN',
  'a number that JSON has not': '{"a":Infinity}',
  'too large a number': '{"a":1e400}',
  'a member twice': '{"a":1,"a":1}',
  NUL: String.raw`{"a":"\u0000"}`,
  'half a surrogate pair': String.raw`{"a":"\ud800"}`,
  'a prototype': '{"__proto__":{"admin":true}}',
  'nested too deep': `${'['.repeat(200)}${']'.repeat(200)}`,
};
test.each(Object.entries(DIRTY))('a body with %s is no clean JSON', async (_, raw) => {
  expect(await refusalsOf(withBody(), () => ({ raw }), { status: 400, code: 'malformed-json' })).toEqual([]);
});

test('unknown fields are refused, each by its name and all at once', async () => {
  const send = (operation: Operation) => ({ body: { ...exampleOf(operation), zz: 1, 'z/~z': 2 } });
  expect(await refusalsOf(withBody(), send, { status: 400, code: 'invalid-request', pointers: ['/zz', '/z~1~0z'] })).toEqual([]);
});

test('every field that does not fit is pointed at, and every pointer leads to its place', async () => {
  const faults: string[] = [];
  for (const operation of withBody()) {
    const example = exampleOf(operation);
    // A word may be the one that tells which of several shapes the body has: that one being wrong hides the rest.
    const spoilt = Object.entries(example).map(([name, value]): [string, unknown] => [
      name,
      typeof value === 'string' && value.length < 20 ? value : { no: 1 },
    ]);
    const body = { ...Object.fromEntries(spoilt), zz: 1 } as Record<string, unknown>;
    const got = await watch.send(operation, { token: world.venue.token, params: world.paramsOf(operation), body });
    const spoiltNames = spoilt.filter(([, value]) => typeof value !== 'string').map(([name]) => name);
    const unnamed = [...spoiltNames, 'zz'].filter((name: string) => !got.pointers.some((pointer) => pointer.split('/')[1] === name));
    const dangling = got.pointers.filter((pointer) => !leadsSomewhere(body, pointer));
    if (got.status !== 400 || unnamed.length + dangling.length > 0)
      faults.push(`${operation.name}: ${got.status}, not named: ${JSON.stringify(unnamed)}, dangling: ${JSON.stringify(dangling)}`);
  }
  expect(faults).toEqual([]);
});

/** To a member, or to where one is missing. */
function leadsSomewhere(body: unknown, pointer: string): boolean {
  const parts = pointer.split('/').slice(1);
  let at = body;
  for (const [index, part] of parts.entries()) {
    if (typeof at !== 'object' || at === null) return false;
    const name = part.replaceAll('~1', '/').replaceAll('~0', '~');
    if (!Object.hasOwn(at, name)) return index === parts.length - 1;
    at = (at as Record<string, unknown>)[name];
  }
  return true;
}

test('an operation that needs a body says so, and one that takes none refuses one', async () => {
  const empty = () => ({ raw: '', headers: { 'content-type': 'application/json' } });
  expect(await refusalsOf(withBody(), empty, { status: 400, code: 'invalid-request' })).toEqual([]);
  const without = operations.filter(({ method, object }) => method !== 'GET' && !object.requestBody);
  expect(await refusalsOf(without, () => ({ body: { zz: 1 } }), { status: 400, code: 'invalid-request' })).toEqual([]);
});

test('unknown and repeated query parameters are refused', async () => {
  const body = (operation: Operation) => (operation.body ? { body: exampleOf(operation) } : {});
  const unknown = { status: 400, code: 'invalid-request', pointers: ['/query/zz'] };
  expect(await refusalsOf(operations, (one) => ({ query: 'zz=1', ...body(one) }), unknown)).toEqual([]);
  for (const operation of operations) {
    for (const { name } of operation.query) {
      const twice = { query: `${name}=1&${name}=1`, ...body(operation) };
      expect(await refusalsOf([operation], () => twice, { status: 400, pointers: [`/query/${name}`] }), name).toEqual([]);
    }
  }
});

test('an address with something else where an id belongs is refused, with its place', async () => {
  const faults: string[] = [];
  for (const operation of operations.filter(({ params }) => params.length > 0)) {
    const body = operation.body ? { body: exampleOf(operation) } : {};
    for (const name of operation.params) {
      for (const wrong of ['not-an-id', '%00', '-1']) {
        const params = { ...world.paramsOf(operation), [name]: wrong };
        const got = await watch.send(operation, { token: world.venue.token, params, ...body });
        if (!isWanted(got, { status: 400, code: 'invalid-request', pointers: [`/params/${name}`] }))
          faults.push(`${operation.name} ${name}=${wrong}: ${got.status} ${got.code} ${got.pointers.join(' ')}`);
      }
    }
  }
  expect(watch.faults).toEqual([]);
  expect(faults).toEqual([]);
});

test('a body of another type, and one too large, are refused', async () => {
  for (const type of ['text/plain', 'application/xml', 'application/x-www-form-urlencoded', 'multipart/form-data; boundary=x']) {
    const send = () => ({ raw: 'zz=1', headers: { 'content-type': type } });
    expect(await refusalsOf(withBody(), send, { status: 415, code: 'unsupported-media-type' }), type).toEqual([]);
  }
  const raw = Buffer.alloc(17 * 1024 * 1024, ' ');
  expect(await refusalsOf(withBody(), () => ({ raw }), { status: 413, code: 'too-large' })).toEqual([]);
});

/** The answers of everybody who may do something here: whoever may do this gets past the policy. */
async function answersTo(
  operation: Operation,
  headers: Record<string, string | undefined>,
  voices: World['insiders'] = world.insiders,
): Promise<string[]> {
  const answers: string[] = [];
  for (const voice of voices) {
    const body = operation.body ? { body: world.bodyOf(operation) } : {};
    const side = voice.token === world.tour.token ? 'tour' : 'venue';
    const got = await watch.send(operation, { ...voice, params: world.paramsOf(operation, side), ...body, headers });
    answers.push(`${got.status} ${got.code}`);
  }
  return answers;
}

test('creating and deciding take an idempotency key of at most 255 characters', async () => {
  for (const operation of operations.filter(({ takesKey }) => takesKey)) {
    expect(await answersTo(operation, { 'idempotency-key': undefined }), operation.name).toContain('400 idempotency-key-needed');
    const long = await answersTo(operation, { 'idempotency-key': 'k'.repeat(256) });
    expect(new Set(long), operation.name).toEqual(new Set(['400 invalid-request']));
  }
  expect(watch.faults).toEqual([]);
});

test('changing takes the version that was read: not none, a list, a weak one, anything or an older one', async () => {
  for (const operation of operations.filter(({ takesMatch }) => takesMatch)) {
    expect(await answersTo(operation, { 'if-match': undefined }), operation.name).toContain('428 if-match-needed');
    const stale = await answersTo(operation, { 'if-match': STALE });
    const allowed = world.insiders.filter((_, at) => stale[at] === '412 version-moved-on').slice(0, 1);
    for (const match of ['"v1", "v2"', 'W/"v1"', '*', 'v1', '"nonsense"', '"v999999"', `"v${'9'.repeat(40)}"`]) {
      const answers = await answersTo(operation, { 'if-match': match }, allowed);
      expect(answers, `${operation.name} with ${match}`).toContain('412 version-moved-on');
      expect(
        answers.filter((answer) => answer.startsWith('2')),
        operation.name,
      ).toEqual([]);
    }
  }
  expect(watch.faults).toEqual([]);
});

test('another method at an address is refused with those it takes; HEAD and OPTIONS are answered', async () => {
  for (const path of new Set(operations.map((operation) => operation.path))) {
    const here = operations.filter((operation) => operation.path === path);
    const url = path.replace(/\{(\w+)\}/g, (_, name: string) => world.paramsOf(here[0]!)[name] ?? randomUUID());
    const taken = here.map(({ method }) => method);
    const allowed = [...taken, ...(taken.includes('GET') ? ['HEAD'] : []), 'OPTIONS'].toSorted();
    const listed = (got: Got) =>
      String(got.headers.allow)
        .split(', ')
        .filter((method, at, all) => all.indexOf(method) === at)
        .toSorted();
    for (const method of ['GET', 'POST', 'PUT', 'PATCH', 'DELETE'] as const) {
      if (taken.includes(method)) continue;
      const answered = await running.app.inject({ method, url, headers: { authorization: `Bearer ${world.venue.token}` } });
      const got = gotOf(answered.statusCode, answered.headers, answered.body);
      expect([got.status, got.code, conventionFaults(got)], `${method} ${path}`).toEqual([405, 'method-not-allowed', []]);
      expect(listed(got), `${method} ${path}`).toEqual(allowed);
    }
    const options = await running.app.inject({ method: 'OPTIONS', url });
    expect(options.statusCode, path).toBe(204);
    expect(listed(gotOf(204, options.headers, '')), path).toEqual(allowed);
    if (!taken.includes('GET') || here.some(({ isOpenEnded }) => isOpenEnded)) continue;
    const headers = { authorization: `Bearer ${world.venue.token}` };
    const [whole, head] = [await running.app.inject({ url, headers }), await running.app.inject({ method: 'HEAD', url, headers })];
    expect([head.statusCode, head.body, head.headers.etag], path).toEqual([whole.statusCode, '', whole.headers.etag]);
  }
});

test('what is nowhere is a problem too', async () => {
  for (const url of ['/nowhere', '/api/v1/nowhere', '/api/v1/venues/%', '/api/v2/venues']) {
    const answered = await running.app.inject({ url, headers: { authorization: `Bearer ${world.venue.token}` } });
    const got = gotOf(answered.statusCode, answered.headers, answered.body);
    const uncounted = url.endsWith('%') ? ['no ratelimit-policy', 'no ratelimit'] : []; // cannot be decoded: it reaches no counter
    expect([got.status, conventionFaults(got)], url).toEqual([404, uncounted]);
  }
});
