import { Ajv2020, type ValidateFunction } from 'ajv/dist/2020.js';
import formats from 'ajv-formats';
import type { FastifyInstance, InjectOptions } from 'fastify';
import { randomUUID } from 'node:crypto';
import { PROBLEMS } from '../../src/routes/problem-table.ts';
import type { Document, JsonSchema, Operation } from './operations.ts';

export type Sent = {
  readonly token?: string | null;
  readonly org?: string;
  readonly params?: Readonly<Record<string, string>>;
  /** Without the question mark. */
  readonly query?: string;
  readonly body?: unknown;
  /** The body as it goes over the wire, in place of `body`. */
  readonly raw?: string | Buffer;
  readonly headers?: Readonly<Record<string, string | undefined>>;
};
export type Got = {
  readonly status: number;
  readonly headers: Readonly<Record<string, string | undefined>>;
  readonly text: string;
  readonly body: unknown;
  /** Of a refusal: its code; '' otherwise. */
  readonly code: string;
  readonly pointers: readonly string[];
};

/** Holds values against the schemas of the document; what is the same schema is compiled once. */
export class Schemas {
  readonly #ajv = new Ajv2020({ strict: false, inlineRefs: false });
  readonly #bySchema = new WeakMap<object, ValidateFunction>();
  readonly #byText = new Map<string, ValidateFunction>();

  constructor(document: Document) {
    formats(this.#ajv);
    this.#ajv.addSchema({ $id: 'document', components: document.components });
  }

  /** Null where `value` fits; what does not otherwise. */
  misfit(schema: JsonSchema, value: unknown): string | null {
    const validate = this.#bySchema.get(schema) ?? this.#compiled(JSON.stringify(schema));
    this.#bySchema.set(schema, validate);
    return validate(value) ? null : this.#ajv.errorsText(validate.errors, { separator: '; ' }).slice(0, 300);
  }

  #compiled(text: string): ValidateFunction {
    const known = this.#byText.get(text);
    if (known) return known;
    const validate = this.#ajv.compile(JSON.parse(text.replaceAll('"#/components/', '"document#/components/')) as JsonSchema);
    this.#byText.set(text, validate);
    return validate;
  }
}

/** Sends requests, and holds every answer that comes back against the document and the conventions. */
export class Watch {
  readonly #app: FastifyInstance;
  readonly #schemas: Schemas;
  /** What was wrong with any answer so far. */
  readonly faults: string[] = [];
  /** Statuses seen by operation. */
  readonly seen = new Map<string, Set<number>>();
  requests = 0;

  constructor(app: FastifyInstance, schemas: Schemas) {
    this.#app = app;
    this.#schemas = schemas;
  }

  async send(operation: Operation, sent: Sent): Promise<Got> {
    const path = operation.path.replace(/\{(\w+)\}/g, (_, name: string) => sent.params?.[name] ?? randomUUID());
    const hasBody = sent.raw !== undefined || sent.body !== undefined;
    const file = hasBody ? null : operation.file;
    const query = [
      ...(sent.query === undefined ? [] : [sent.query]),
      ...operation.requiredQuery
        .filter(([name]) => !`&${sent.query ?? ''}`.includes(`&${name}=`))
        .map(([name, value]) => `${name}=${value}`),
    ].join('&');
    const headers = {
      ...(sent.token ? { authorization: `Bearer ${sent.token}` } : {}),
      ...(sent.org ? { 'acting-organisation': sent.org } : {}),
      ...(operation.takesKey ? { 'idempotency-key': randomUUID() } : {}),
      ...(operation.takesMatch ? { 'if-match': STALE } : {}),
      ...(hasBody ? { 'content-type': 'application/json' } : {}),
      ...(file ? { 'content-type': file.type } : {}),
      ...sent.headers,
    };
    const request = {
      method: operation.method as InjectOptions['method'] & string,
      url: query === '' ? path : `${path}?${query}`,
      headers: Object.fromEntries(Object.entries(headers).filter(([, value]) => value !== undefined)),
      ...(hasBody ? { payload: sent.raw ?? JSON.stringify(sent.body) } : {}),
      ...(file ? { payload: file.text } : {}),
    };
    const got = await this.#inject(request, operation.isOpenEnded);
    this.seen.set(operation.id, (this.seen.get(operation.id) ?? new Set()).add(got.status));
    for (const fault of this.#faultsOf(operation, got)) this.faults.push(`${operation.name}: ${got.status} ${got.code}: ${fault}`);
    return got;
  }

  async #inject(options: InjectOptions, isOpenEnded: boolean): Promise<Got> {
    this.requests += 1;
    const answered = await this.#app.inject({ ...options, payloadAsStream: isOpenEnded });
    if (!isOpenEnded) return gotOf(answered.statusCode, answered.headers, answered.body);
    let text = '';
    for await (const chunk of answered.stream()) {
      text += String(chunk);
      if (answered.statusCode === 200) break; // its beginning is enough; leaving closes it
    }
    return gotOf(answered.statusCode, answered.headers, text);
  }

  #faultsOf(operation: Operation, got: Got): string[] {
    const faults = conventionFaults(got);
    const declared = operation.object.responses[String(got.status)];
    if (!declared) return [...faults, `status is not declared: ${got.text.slice(0, 200)}`];
    if (got.status === 304) return faults;
    if (got.status === 204) return got.text === '' ? faults : [...faults, 'a 204 with a body'];
    const isStream = operation.isOpenEnded && got.status === 200;
    const type = isStream ? 'text/event-stream' : got.status < 300 ? 'application/json' : 'application/problem+json';
    const schema = declared.content?.[type]?.schema;
    const misfit = schema
      ? this.#schemas.misfit(schema, isStream ? got.text : got.body)
      : `no schema for ${String(got.headers['content-type'])}`;
    return misfit === null ? faults : [...faults, `body: ${misfit}`];
  }
}

/** A version that nothing has reached: an act that gets as far as looking at it changes nothing. */
export const STALE = '"v999999"';

export function gotOf(status: number, sent: Readonly<Record<string, unknown>>, text: string): Got {
  const headers = Object.fromEntries(Object.entries(sent).map(([name, value]) => [name, [value].flat().join(', ')]));
  const isJson = /json/.test(headers['content-type'] ?? '');
  const body: unknown = isJson && text !== '' ? JSON.parse(text) : null;
  const problem = status >= 400 && typeof body === 'object' && body !== null ? (body as { type?: unknown; errors?: unknown }) : {};
  const errors = Array.isArray(problem.errors) ? (problem.errors as { pointer?: unknown }[]) : [];
  return {
    status,
    headers,
    text,
    body,
    code: typeof problem.type === 'string' ? problem.type.replace('/problems/', '') : '',
    pointers: errors.map(({ pointer }) => String(pointer)),
  };
}

/** What holds for every answer, whatever was asked. */
export function conventionFaults({ status, headers, text, body, code }: Got): string[] {
  const faults: string[] = [];
  const check = (holds: boolean, fault: string) => {
    if (!holds) faults.push(fault);
  };
  check(status < 500, `a fault of ours: ${text.slice(0, 200)}`);
  check(/^[0-9a-f-]{36}$/.test(String(headers['x-request-id'])), 'no x-request-id');
  check(headers['cache-control'] !== undefined, 'no cache-control');
  check(headers['x-content-type-options'] === 'nosniff', 'no x-content-type-options');
  check(/^"\w+";q=\d+;w=\d+$/.test(String(headers['ratelimit-policy'])), 'no ratelimit-policy');
  check(/^"\w+";r=\d+;t=\d+$/.test(String(headers.ratelimit)), 'no ratelimit');
  check(!/node_modules|\.ts:\d|\bat \w+ \(/.test(text), 'tells of the code');
  if (status >= 400) {
    const row = Object.hasOwn(PROBLEMS, code) ? PROBLEMS[code as keyof typeof PROBLEMS] : null;
    check(String(headers['content-type']).startsWith('application/problem+json'), `refusal as ${String(headers['content-type'])}`);
    check(row !== null, `${code} is in no table`);
    const wanted = { type: `/problems/${code}`, status, title: row?.title, instance: `urn:uuid:${String(headers['x-request-id'])}` };
    for (const [member, value] of Object.entries(wanted))
      check((body as Record<string, unknown> | null)?.[member] === value, `${member} is off`);
    check(status !== 401 || headers['www-authenticate'] !== undefined, 'no www-authenticate');
  }
  if (headers.etag !== undefined) check(/^"[^"]+"$/.test(headers.etag), 'an etag that is not strong');
  return faults;
}
