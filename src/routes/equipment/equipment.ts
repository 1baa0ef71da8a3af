import type { FastifyPluginAsync } from 'fastify';
import type { ZodTypeProvider } from 'fastify-type-provider-zod';
import { z } from 'zod';
import { authorize, authorOf, requireActor, scopeOf } from '../actor.ts';
import { problems } from '../errors.ts';
import { always, etagOf, ifMatchVersion, MatchHeaders, notModified, OnceHeaders, onceWith, sendAnswer } from '../headers.ts';
import { nextLink, PageQuery, readCursor } from '../paging.ts';
import { orProblem } from '../problem.ts';
import { Id, listOf } from '../schemas/common.ts';
import { equipmentImports } from './equipment-imports.ts';
import { equipmentVersions } from './equipment-versions.ts';
import { EQUIPMENT_KINDS, EquipmentBody, EquipmentView, itemAnswer, nextItem, presentItem } from './equipment-views.ts';
import { itemFor } from './item-for.ts';
import { uploadEquipment } from './upload-equipment.ts';

const Params = z.strictObject({ equipmentId: Id });
const Cursor = z.union([z.tuple([z.iso.datetime(), z.uuid()]), z.tuple([z.literal('generic'), z.uuid()])]);

/** The catalogue: an organisation's own equipment, read by all its members, and the generic library beside it. */
export const equipmentRoutes: FastifyPluginAsync = async (plain) => {
  await plain.register(equipmentVersions);
  await plain.register(uploadEquipment);
  await plain.register(equipmentImports);
  const app = plain.withTypeProvider<ZodTypeProvider>();
  const tags = ['equipment'];

  app.get(
    '/equipment',
    {
      schema: {
        operationId: 'listEquipment',
        tags,
        summary: 'Own equipment, oldest first, then the generic library',
        querystring: PageQuery.extend({
          kind: z.enum(EQUIPMENT_KINDS).optional(),
          name: z.string().min(1).max(200).optional().describe('begins with'),
          library: z.enum(['own', 'generic']).optional(),
          retired: z.enum(['true']).optional().describe('those that are out of use, in place of those in use'),
        }),
        response: { 200: listOf(EquipmentView), ...problems(401, 403) },
      },
    },
    async (request, reply) => {
      const actor = requireActor(request);
      authorize(actor, 'readEquipment', { kind: 'organisation', orgId: actor.orgId });
      const { limit, cursor, retired, ...filter } = request.query;
      const page = { limit, after: readCursor(cursor, Cursor) };
      const items = await app.store.equipment.list(scopeOf(actor), { ...filter, retired: retired === 'true' }, page);
      reply.headers(nextLink(request.url, nextItem(items, limit)));
      return { items: items.map(presentItem) };
    },
  );
  app.post(
    '/equipment',
    {
      schema: {
        operationId: 'createEquipment',
        tags,
        summary: 'Enter a piece of equipment: its first version',
        headers: OnceHeaders,
        body: EquipmentBody,
        response: { 201: EquipmentView, ...problems(401, 403, 409, 413, 415, 422) },
      },
    },
    async (request, reply) => {
      const actor = requireActor(request);
      authorize(actor, 'editEquipment', { kind: 'organisation', orgId: actor.orgId });
      const once = onceWith(request, itemAnswer(201));
      const made = await app.store.equipment.create(scopeOf(actor), { actor: authorOf(request), ...request.body }, once);
      return sendAnswer(reply, orProblem(made));
    },
  );
  app.get(
    '/equipment/:equipmentId',
    {
      schema: {
        operationId: 'getEquipment',
        tags,
        summary: 'A piece of equipment with its latest version',
        params: Params,
        response: { 200: EquipmentView, ...problems(401, 403, 404) },
      },
    },
    async (request, reply) => {
      const { item } = await itemFor(app, request, request.params.equipmentId, 'readEquipment');
      if (notModified(request, reply, etagOf(item.version))) return reply;
      return presentItem(item);
    },
  );
  app.put(
    '/equipment/:equipmentId',
    {
      schema: {
        operationId: 'putEquipment',
        tags,
        summary: 'Write a new version; those before it stay, and plans that used them too',
        params: Params,
        headers: MatchHeaders,
        body: EquipmentBody,
        response: { 200: EquipmentView, ...problems(401, 403, 404, 409, 412, 413, 415, 422, 428) },
      },
    },
    async (request, reply) => {
      const ifMatch = ifMatchVersion(request);
      const { actor, item } = await itemFor(app, request, request.params.equipmentId, 'editEquipment');
      const input = { actor: authorOf(request), id: item.id, ifMatch, ...request.body };
      return sendAnswer(reply, orProblem(await app.store.equipment.change(scopeOf(actor), input, always(request, itemAnswer(200)))));
    },
  );
  app.delete(
    '/equipment/:equipmentId',
    {
      schema: {
        operationId: 'retireEquipment',
        tags,
        summary: 'Take a piece of equipment out of use: its versions stay readable',
        params: Params,
        headers: MatchHeaders,
        response: { 200: EquipmentView, ...problems(401, 403, 404, 409, 412, 422, 428) },
      },
    },
    async (request, reply) => {
      const ifMatch = ifMatchVersion(request);
      const { actor, item } = await itemFor(app, request, request.params.equipmentId, 'editEquipment');
      const input = { actor: authorOf(request), id: item.id, ifMatch };
      return sendAnswer(reply, orProblem(await app.store.equipment.retire(scopeOf(actor), input, always(request, itemAnswer(200)))));
    },
  );
};
