import type { FastifyInstance, FastifyPluginAsync, FastifyRequest } from 'fastify';
import type { ZodTypeProvider } from 'fastify-type-provider-zod';
import { z } from 'zod';
import type { Applied } from '../../store/register/imports.ts';
import { dryRunVersion } from '../../domain/roof/dry-run-version.ts';
import { authorOf, requireActor, scopeOf } from '../actor.ts';
import { problems } from '../errors.ts';
import { always, DecideHeaders, etagOf, ifMatchVersion, MatchHeaders, notModified, onceWith, sendAnswer } from '../headers.ts';
import { orProblem, ProblemError } from '../problem.ts';
import { Id } from '../schemas/common.ts';
import { spaceFor } from '../spaces-seen.ts';
import { dryRunOf, type Choices, type ImportDryRun } from './import-dry-run.ts';
import { AppliedView, ChoicesBody, importAnswer, ImportView } from './import-views.ts';
import { readInTurn } from './table-reading.ts';
import { uploadImport } from './upload-import.ts';

const Params = z.strictObject({ spaceId: Id, importId: Id });
const TAKEN = ['add', 'change', 'same'];

/** Tables of points and members: read, asked about, shown as a dry run, and entered at once. */
export const importsRoutes: FastifyPluginAsync = async (plain) => {
  await plain.register(uploadImport);
  const app = plain.withTypeProvider<ZodTypeProvider>();
  const tags = ['imports'];

  app.get(
    '/spaces/:spaceId/imports/:importId',
    {
      schema: {
        operationId: 'getImport',
        tags,
        summary: 'The dry run on the working copy as it is now',
        params: Params,
        response: { 200: ImportView, ...problems(401, 403, 404, 422) },
      },
    },
    async (request, reply) => {
      const { actor } = await spaceFor(app, request, request.params.spaceId, 'readImport');
      const { file, bytes } = await fileFor(app, request, request.params);
      const choices = ChoicesBody.parse(file.choices);
      const planOn = dryRunOf(await readInTurn(bytes, file.fileName, choices), file.kind, choices);
      const structure = await app.store.register.structure(scopeOf(actor), file.spaceId);
      if (!structure) throw new ProblemError({ code: 'not-found' });
      if (notModified(request, reply, etagOf(dryRunVersion(file, structure)))) return reply;
      return sendAnswer(reply, importAnswer({ file, structure, dryRun: orProblem(planOn(structure)) }, 200));
    },
  );
  app.put(
    '/spaces/:spaceId/imports/:importId/answers',
    {
      schema: {
        operationId: 'answerImport',
        tags,
        summary: 'Say what the table means: replaces what was said before, and gives the new dry run',
        params: Params,
        headers: MatchHeaders,
        body: ChoicesBody,
        response: { 200: ImportView, ...problems(401, 403, 404, 409, 412, 413, 415, 422, 428) },
      },
    },
    async (request, reply) => {
      const ifMatch = ifMatchVersion(request);
      const { spaceId, importId } = request.params;
      const { actor } = await spaceFor(app, request, spaceId, 'importStructure');
      const { file, bytes } = await fileFor(app, request, request.params);
      const choices: Choices = request.body;
      const planOn = dryRunOf(await readInTurn(bytes, file.fileName, choices), file.kind, choices);
      const input = { actor: authorOf(request), spaceId, id: importId, ifMatch, choices, planOn };
      const reads = always(request, (planned: Parameters<typeof importAnswer>[0]) => importAnswer(planned, 200));
      return sendAnswer(reply, orProblem(await app.store.register.answerImport(scopeOf(actor), input, reads)));
    },
  );
  app.post(
    '/spaces/:spaceId/imports/:importId/application',
    {
      schema: {
        operationId: 'applyImport',
        tags,
        summary: 'Enter all rows that are taken, or none; the others are named with why',
        description: 'If-Match takes the ETag of the dry run: what is entered is what it showed. Nothing is deleted.',
        params: Params,
        headers: DecideHeaders,
        response: { 200: AppliedView, ...problems(401, 403, 404, 409, 412, 422, 428) },
      },
    },
    async (request, reply) => {
      const ifMatch = ifMatchVersion(request);
      const { spaceId, importId } = request.params;
      const { actor } = await spaceFor(app, request, spaceId, 'importStructure');
      const once = onceWith(request, appliedAnswer);
      const { file, bytes } = await fileFor(app, request, request.params);
      const choices = ChoicesBody.parse(file.choices);
      const planOn = dryRunOf(await readInTurn(bytes, file.fileName, choices), file.kind, choices);
      const input = { actor: authorOf(request), spaceId, id: importId, ifMatch, planOn };
      return sendAnswer(reply, orProblem(await app.store.register.applyImport(scopeOf(actor), input, once)));
    },
  );
};

async function fileFor(app: FastifyInstance, request: FastifyRequest, { spaceId, importId }: z.infer<typeof Params>) {
  const found = await app.store.register.importWithBytes(scopeOf(requireActor(request)), spaceId, importId);
  if (!found) throw new ProblemError({ code: 'not-found' });
  return found;
}

const appliedAnswer = ({ file, dryRun, structureVersion, items }: Applied<ImportDryRun>) => ({
  status: 200,
  body: {
    importId: file.id,
    structureVersion,
    items: items.map(({ kind, id, version, body }) => ({ kind, id, label: body.label, version })),
    leftOut: dryRun.read?.rows.filter(({ outcome }) => !TAKEN.includes(outcome)) ?? [],
  },
  etag: etagOf(structureVersion),
});
