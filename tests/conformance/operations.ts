import type { FastifyInstance } from 'fastify';
import { z } from 'zod';

const Schema = z.record(z.string(), z.unknown());
const Media = z.looseObject({
  schema: Schema.optional(),
  example: z.unknown().optional(),
  examples: z.record(z.string(), z.unknown()).optional(),
});
const Content = z.record(z.string(), Media);
const OperationObject = z.looseObject({
  operationId: z.string().optional(),
  tags: z.array(z.string()).optional(),
  summary: z.string().optional(),
  security: z.array(z.record(z.string(), z.array(z.string()))).optional(),
  parameters: z
    .array(z.looseObject({ name: z.string(), in: z.string(), schema: Schema.optional(), required: z.boolean().optional() }))
    .optional(),
  requestBody: z.looseObject({ content: Content, required: z.boolean().optional() }).optional(),
  responses: z.record(z.string(), z.looseObject({ content: Content.optional() })),
});
const Document = z.looseObject({
  openapi: z.string(),
  paths: z.record(z.string(), z.record(z.string(), OperationObject)),
  components: z.looseObject({ schemas: z.record(z.string(), Schema), securitySchemes: z.record(z.string(), z.unknown()) }),
});
export type Document = z.infer<typeof Document>;
export type JsonSchema = z.infer<typeof Schema>;

/** An operation as the served document describes it: all that the walker knows of it. */
export type Operation = {
  readonly id: string;
  readonly method: string;
  readonly path: string;
  /** `METHOD /path`, for messages. */
  readonly name: string;
  readonly open: boolean;
  readonly object: z.infer<typeof OperationObject>;
  readonly params: readonly string[];
  readonly query: readonly { name: string; schema: JsonSchema }[];
  readonly takesKey: boolean;
  readonly takesMatch: boolean;
  /** Of a JSON body; null where there is none, or another type. */
  readonly body: { readonly schema: JsonSchema; readonly examples: readonly unknown[] } | null;
  /** Where the body is a file: a type that it may be of, and what such a file may hold. */
  readonly file: { readonly type: string; readonly text: string } | null;
  /** Its good answer does not end. */
  readonly isOpenEnded: boolean;
  /** The query parameters that it cannot do without, with values that fit. */
  readonly requiredQuery: readonly (readonly [name: string, value: string])[];
};

export async function readDocument(app: FastifyInstance): Promise<Document> {
  return Document.parse((await app.inject({ url: '/api/v1/openapi.json' })).json());
}

export const operationsOf = (document: Document): Operation[] =>
  Object.entries(document.paths).flatMap(([path, methods]) =>
    Object.entries(methods).map(([method, object]) => {
      const parameters = object.parameters ?? [];
      const named = (place: string) => parameters.filter((one) => one.in === place);
      const takes = (header: string) => named('header').some(({ name }) => name.toLowerCase() === header);
      const media = object.requestBody?.content['application/json'];
      return {
        id: object.operationId ?? '',
        method: method.toUpperCase(),
        path,
        name: `${method.toUpperCase()} ${path}`,
        open: object.security === undefined || object.security.length === 0,
        object,
        params: named('path').map(({ name }) => name),
        query: named('query').map(({ name, schema }) => ({ name, schema: schema ?? {} })),
        takesKey: takes('idempotency-key'),
        takesMatch: takes('if-match'),
        file: media ? null : fileOf(document, object.requestBody?.content ?? {}),
        isOpenEnded: Object.keys(object.responses['200']?.content ?? {}).join() === 'text/event-stream',
        requiredQuery: named('query').flatMap(({ name, schema, required }) =>
          required ? [[name, valueFor(name, schema ?? {})] as const] : [],
        ),
        body: media ? { schema: media.schema ?? {}, examples: examplesOf(document, media) } : null,
      };
    }),
  );

function fileOf(document: Document, content: z.infer<typeof Content>): Operation['file'] {
  const [first] = Object.entries(content);
  if (!first) return null;
  const [example] = examplesOf(document, first[1]);
  return { type: first[0], text: typeof example === 'string' ? example : '' };
}

/** Its example, or the first of a list of words, an instant (that of an end a day later), or a word. */
function valueFor(name: string, { enum: words, format, examples }: JsonSchema): string {
  if (Array.isArray(examples)) return String(examples[0]);
  if (Array.isArray(words)) return String(words[0]);
  if (name.endsWith('Ids')) return '6f9f6fbe-0000-4000-8000-00000000000a';
  return format === 'date-time' ? `2026-07-0${name === 'to' ? 2 : 1}T00:00:00Z` : 'word';
}

/** Of the media type itself, or of the schema it names. */
export function examplesOf(document: Document, media: z.infer<typeof Media>): unknown[] {
  if (media.example !== undefined) return [media.example];
  if (media.examples) return Object.values(media.examples).map((one) => Schema.parse(one).value);
  const schema = deref(document, media.schema ?? {});
  if (schema.example !== undefined) return [schema.example];
  return Array.isArray(schema.examples) ? schema.examples : [];
}

export function deref(document: Document, schema: JsonSchema): JsonSchema {
  const name = typeof schema.$ref === 'string' ? schema.$ref.replace('#/components/schemas/', '') : null;
  return name === null ? schema : (document.components.schemas[name] ?? {});
}
