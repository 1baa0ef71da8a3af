import type { FastifyInstance, FastifyPluginAsync, FastifyRequest } from 'fastify';
import type { ZodTypeProvider } from 'fastify-type-provider-zod';
import { z } from 'zod';
import { dryRunVersion } from '../../domain/roof/dry-run-version.ts';
import type { AppliedImport, PlannedImport } from '../../store/equipment/imports.ts';
import { authorize, authorOf, requireActor, scopeOf } from '../actor.ts';
import { problems } from '../errors.ts';
import { always, DecideHeaders, etagOf, ifMatchVersion, MatchHeaders, notModified, onceWith, sendAnswer } from '../headers.ts';
import { presentDryRun, type Choices } from '../imports/import-dry-run.ts';
import { ChoicesBody, DRY_RUN, RowView } from '../imports/import-views.ts';
import { readInTurn } from '../imports/table-reading.ts';
import { orProblem, ProblemError } from '../problem.ts';
import { Id, Version } from '../schemas/common.ts';
import { equipmentDryRun, type EquipmentDryRun } from './equipment-dry-run.ts';

export const IMPORTED_KINDS = ['hoist', 'part', 'cabinet', 'truss', 'cable'] as const;
export const EquipmentImportView = z.object({ id: Id, kind: z.enum(IMPORTED_KINDS), ...DRY_RUN }).meta({ id: 'EquipmentImport' });
const AppliedView = z
  .object({
    importId: Id,
    items: z.array(z.object({ id: Id, name: z.string(), number: Version.describe('of the version that was written') })),
    leftOut: z.array(RowView).describe('rows that were not taken, each with why'),
  })
  .meta({ id: 'AppliedEquipmentImport' });
const Params = z.strictObject({ equipmentImportId: Id });
const TAKEN = ['add', 'change', 'same'];

/** The import as it is shown, and sent. */
export const importAnswer = (status: 200 | 201) => (planned: PlannedImport<EquipmentDryRun>) => {
  const { file, catalogue, dryRun } = planned;
  const version = dryRunVersion(file, catalogue);
  return {
    status,
    body: {
      id: file.id,
      kind: file.kind,
      fileName: file.fileName,
      createdAt: file.createdAt.toISOString(),
      appliedAt: file.appliedAt?.toISOString() ?? null,
      version,
      choices: file.choices,
      ...presentDryRun(dryRun),
    },
    etag: etagOf(version),
    ...(status === 201 ? { location: `/api/v1/equipment-imports/${file.id}` } : {}),
  };
};
const appliedAnswer = ({ file, dryRun, items }: AppliedImport<EquipmentDryRun>) => ({
  status: 200,
  body: { importId: file.id, items, leftOut: dryRun.read?.rows.filter(({ outcome }) => !TAKEN.includes(outcome)) ?? [] },
});

/** An import of the caller's organisation, with its table read under the choices given, or else those made before. */
async function importFor(
  app: FastifyInstance,
  request: FastifyRequest,
  id: string,
  action: 'readEquipment' | 'editEquipment',
  given?: Choices,
) {
  const actor = requireActor(request);
  const found = await app.store.equipment.importWithBytes(scopeOf(actor), id);
  if (!found) throw new ProblemError({ code: 'not-found' });
  const { file, bytes } = found;
  authorize(actor, action, { kind: 'organisation', orgId: file.orgId });
  const choices: Choices = given ?? ChoicesBody.parse(file.choices);
  return { actor, file, choices, planOn: equipmentDryRun(await readInTurn(bytes, file.fileName, choices), file.kind, choices) };
}

/** Tables of equipment: read, asked about, shown as a dry run, and entered at once. */
export const equipmentImports: FastifyPluginAsync = async (plain) => {
  const app = plain.withTypeProvider<ZodTypeProvider>();
  const tags = ['equipment'];

  app.get(
    '/equipment-imports/:equipmentImportId',
    {
      schema: {
        operationId: 'getEquipmentImport',
        tags,
        summary: 'The dry run on the catalogue as it is now',
        params: Params,
        response: { 200: EquipmentImportView, ...problems(401, 403, 404, 422) },
      },
    },
    async (request, reply) => {
      const { actor, file, planOn } = await importFor(app, request, request.params.equipmentImportId, 'readEquipment');
      const catalogue = await app.store.equipment.catalogue(scopeOf(actor));
      if (notModified(request, reply, etagOf(dryRunVersion(file, catalogue)))) return reply;
      return sendAnswer(reply, importAnswer(200)({ file, catalogue, dryRun: orProblem(planOn(catalogue)) }));
    },
  );
  app.put(
    '/equipment-imports/:equipmentImportId/answers',
    {
      schema: {
        operationId: 'answerEquipmentImport',
        tags,
        summary: 'Say what the table means: replaces what was said before, and gives the new dry run',
        params: Params,
        headers: MatchHeaders,
        body: ChoicesBody,
        response: { 200: EquipmentImportView, ...problems(401, 403, 404, 409, 412, 413, 415, 422, 428) },
      },
    },
    async (request, reply) => {
      const ifMatch = ifMatchVersion(request);
      const found = await importFor(app, request, request.params.equipmentImportId, 'editEquipment', request.body);
      const input = { actor: authorOf(request), id: found.file.id, ifMatch, choices: found.choices, planOn: found.planOn };
      const reads = always(request, importAnswer(200));
      return sendAnswer(reply, orProblem(await app.store.equipment.answerImport(scopeOf(found.actor), input, reads)));
    },
  );
  app.post(
    '/equipment-imports/:equipmentImportId/application',
    {
      schema: {
        operationId: 'applyEquipmentImport',
        tags,
        summary: 'Enter all rows that are taken, or none; the others are named with why',
        description: 'If-Match takes the ETag of the dry run: what is entered is what it showed. Nothing is taken out of use.',
        params: Params,
        headers: DecideHeaders,
        response: { 200: AppliedView, ...problems(401, 403, 404, 409, 412, 422, 428) },
      },
    },
    async (request, reply) => {
      const ifMatch = ifMatchVersion(request);
      const { actor, file, planOn } = await importFor(app, request, request.params.equipmentImportId, 'editEquipment');
      const once = onceWith(request, appliedAnswer);
      const input = { actor: authorOf(request), id: file.id, ifMatch, planOn };
      return sendAnswer(reply, orProblem(await app.store.equipment.applyImport(scopeOf(actor), input, once)));
    },
  );
};
