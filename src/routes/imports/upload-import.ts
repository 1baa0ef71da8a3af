import type { FastifyInstance, FastifyPluginAsync } from 'fastify';
import type { ZodTypeProvider } from 'fastify-type-provider-zod';
import { z } from 'zod';
import { MAX_FILE_BYTES } from '../../files/file-limits.ts';
import { authorOf, scopeOf } from '../actor.ts';
import { problems } from '../errors.ts';
import { OnceHeaders, onceWith, sendAnswer } from '../headers.ts';
import { orProblem, ProblemError } from '../problem.ts';
import { Id } from '../schemas/common.ts';
import { spaceFor } from '../spaces-seen.ts';
import { dryRunOf } from './import-dry-run.ts';
import { importAnswer, ImportView } from './import-views.ts';
import { readInTurn } from './table-reading.ts';

export const FILE_TYPES = ['text/csv', 'application/vnd.openxmlformats-officedocument.spreadsheetml.sheet', 'application/octet-stream'];
export const FileName = z
  .string()
  .trim()
  .min(1)
  .max(200)
  .regex(/^[^\p{Cc}\p{Cs}]*$/u, 'a name without control characters');

/** From here on files are taken as they are, and nothing else: the readers of other bodies are gone. */
export function takeFiles(app: FastifyInstance): void {
  app.removeAllContentTypeParsers();
  app.addContentTypeParser(FILE_TYPES, { parseAs: 'buffer' }, (_request, body, done) => done(null, body));
}

export const uploadImport: FastifyPluginAsync = async (plain) => {
  const app = plain.withTypeProvider<ZodTypeProvider>();
  takeFiles(app);
  app.post(
    '/spaces/:spaceId/imports',
    {
      bodyLimit: MAX_FILE_BYTES,
      schema: {
        operationId: 'uploadImport',
        tags: ['imports'],
        summary: 'Bring a table of points or members: a dry run, row by row, with what must be answered first',
        description: 'The body is the file itself, CSV or XLSX, as the venue has it. Nothing is entered before it is applied.',
        consumes: FILE_TYPES,
        params: z.strictObject({ spaceId: Id }),
        querystring: z.strictObject({ kind: z.enum(['point', 'member']), fileName: FileName }),
        headers: OnceHeaders,
        body: z
          .unknown()
          .refine((body) => Buffer.isBuffer(body), 'a file is needed')
          .meta({ type: 'string', format: 'binary', examples: ['Label;x m;y m;z m;WLL kg\r\nP1;0;0;12;1000\r\n'] }),
        response: { 201: ImportView, ...problems(401, 403, 404, 409, 413, 415, 422) },
      },
    },
    async (request, reply) => {
      const { spaceId } = request.params;
      const { kind, fileName } = request.query;
      const { actor } = await spaceFor(app, request, spaceId, 'importStructure');
      const once = onceWith(request, (planned: Parameters<typeof importAnswer>[0]) => importAnswer(planned, 201));
      if (!Buffer.isBuffer(request.body)) throw new ProblemError({ code: 'unsupported-media-type' });
      const bytes = request.body;
      const planOn = dryRunOf(await readInTurn(bytes, fileName, {}), kind, {});
      const input = { actor: authorOf(request), spaceId, kind, fileName, bytes, planOn };
      return sendAnswer(reply, orProblem(await app.store.register.createImport(scopeOf(actor), input, once)));
    },
  );
};
