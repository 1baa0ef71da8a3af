import type { FastifyPluginAsync } from 'fastify';
import type { ZodTypeProvider } from 'fastify-type-provider-zod';
import { z } from 'zod';
import { MAX_FILE_BYTES } from '../../files/file-limits.ts';
import { authorize, authorOf, requireActor, scopeOf } from '../actor.ts';
import { problems } from '../errors.ts';
import { OnceHeaders, onceWith, sendAnswer } from '../headers.ts';
import { readInTurn } from '../imports/table-reading.ts';
import { FILE_TYPES, FileName, takeFiles } from '../imports/upload-import.ts';
import { orProblem, ProblemError } from '../problem.ts';
import { equipmentDryRun } from './equipment-dry-run.ts';
import { EquipmentImportView, importAnswer, IMPORTED_KINDS } from './equipment-imports.ts';

export const uploadEquipment: FastifyPluginAsync = async (plain) => {
  const app = plain.withTypeProvider<ZodTypeProvider>();
  takeFiles(app);
  app.post(
    '/equipment-imports',
    {
      bodyLimit: MAX_FILE_BYTES,
      schema: {
        operationId: 'uploadEquipmentImport',
        tags: ['equipment'],
        summary: 'Bring a table of one kind of equipment: a dry run, row by row, with what must be answered first',
        description:
          'The body is the file itself, CSV or XLSX, as it is kept. Nothing is entered before it is applied. A table of spans does not fit into a row: what a known truss states of it stays as it is.',
        consumes: FILE_TYPES,
        querystring: z.strictObject({ kind: z.enum(IMPORTED_KINDS), fileName: FileName }),
        headers: OnceHeaders,
        body: z
          .unknown()
          .refine((body) => Buffer.isBuffer(body), 'a file is needed')
          .meta({ type: 'string', format: 'binary', examples: ['Name;WLL kg;Body weight kg\r\nChain hoist 1 t;1000;60\r\n'] }),
        response: { 201: EquipmentImportView, ...problems(401, 403, 409, 413, 415, 422) },
      },
    },
    async (request, reply) => {
      const { kind, fileName } = request.query;
      const actor = requireActor(request);
      authorize(actor, 'editEquipment', { kind: 'organisation', orgId: actor.orgId });
      const once = onceWith(request, importAnswer(201));
      if (!Buffer.isBuffer(request.body)) throw new ProblemError({ code: 'unsupported-media-type' });
      const bytes = request.body;
      const planOn = equipmentDryRun(await readInTurn(bytes, fileName, {}), kind, {});
      const input = { actor: authorOf(request), kind, fileName, bytes, planOn };
      return sendAnswer(reply, orProblem(await app.store.equipment.createImport(scopeOf(actor), input, once)));
    },
  );
};
