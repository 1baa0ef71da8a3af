import type { FastifyPluginAsync } from 'fastify';
import type { ZodTypeProvider } from 'fastify-type-provider-zod';
import { z } from 'zod';
import { versionChanges } from '../../domain/equipment/version-changes.ts';
import { storedFacts } from '../../domain/plan/stored-equipment.ts';
import { scopeOf } from '../actor.ts';
import { problems } from '../errors.ts';
import { notModified } from '../headers.ts';
import { nextLink, PageQuery, readCursor } from '../paging.ts';
import { ProblemError } from '../problem.ts';
import { Id, listOf } from '../schemas/common.ts';
import { EquipmentDataSchema } from '../schemas/plan.ts';
import { EquipmentVersionView, presentVersion } from './equipment-views.ts';
import { itemFor } from './item-for.ts';

const number = z.coerce.number().int().min(1).max(1_000_000);
const WholeVersionView = z.object({ ...EquipmentVersionView.shape, data: EquipmentDataSchema }).meta({ id: 'WholeEquipmentVersion' });
const ChangesView = z
  .object({ from: z.int(), to: z.int(), changes: z.array(z.object({ fact: z.string(), before: z.unknown(), after: z.unknown() })) })
  .meta({ id: 'EquipmentChanges' });

/** Versions of a piece of equipment: written once, and kept for the plans that name them. */
export const equipmentVersions: FastifyPluginAsync = async (plain) => {
  const app = plain.withTypeProvider<ZodTypeProvider>();
  const tags = ['equipment'];

  app.get(
    '/equipment/:equipmentId/versions',
    {
      schema: {
        operationId: 'listEquipmentVersions',
        tags,
        summary: 'Versions, newest first',
        params: z.strictObject({ equipmentId: Id }),
        querystring: PageQuery,
        response: { 200: listOf(EquipmentVersionView), ...problems(401, 403, 404) },
      },
    },
    async (request, reply) => {
      const { actor, item } = await itemFor(app, request, request.params.equipmentId, 'readEquipment');
      const { limit, cursor } = request.query;
      const below = readCursor(cursor, z.tuple([z.string().regex(/^\d{1,7}$/)]));
      const rows = await app.store.equipment.versions(scopeOf(actor), item.id, below ? Number(below[0]) : null, limit);
      const last = rows.at(-1);
      reply.headers(nextLink(request.url, last && rows.length === limit ? [String(last.number)] : null));
      return { items: rows.map(presentVersion) };
    },
  );
  app.get(
    '/equipment/:equipmentId/versions/:number',
    {
      schema: {
        operationId: 'getEquipmentVersion',
        tags,
        summary: 'One version with its facts: it never changes',
        params: z.strictObject({ equipmentId: Id, number }),
        response: { 200: WholeVersionView, ...problems(401, 403, 404) },
      },
    },
    async (request, reply) => {
      const { actor, item } = await itemFor(app, request, request.params.equipmentId, 'readEquipment');
      const found = await app.store.equipment.version(scopeOf(actor), item.id, request.params.number);
      if (!found) throw new ProblemError({ code: 'not-found' });
      reply.header('cache-control', 'private, max-age=31536000, immutable');
      if (notModified(request, reply, `"${found.sha256}"`)) return reply;
      return { ...presentVersion(found), data: storedFacts(found.bytes) };
    },
  );
  app.get(
    '/equipment/:equipmentId/versions/:from/changes/:to',
    {
      schema: {
        operationId: 'compareEquipmentVersions',
        tags,
        summary: 'The facts that two versions state differently',
        params: z.strictObject({ equipmentId: Id, from: number, to: number }),
        response: { 200: ChangesView, ...problems(401, 403, 404) },
      },
    },
    async (request) => {
      const { actor, item } = await itemFor(app, request, request.params.equipmentId, 'readEquipment');
      const { from, to } = request.params;
      const [before, after] = [
        await app.store.equipment.version(scopeOf(actor), item.id, from),
        await app.store.equipment.version(scopeOf(actor), item.id, to),
      ];
      if (!before || !after) throw new ProblemError({ code: 'not-found' });
      return { from, to, changes: versionChanges(storedFacts(before.bytes), storedFacts(after.bytes)) };
    },
  );
};
