import type { FastifyPluginAsync } from 'fastify';
import type { ZodTypeProvider } from 'fastify-type-provider-zod';
import { z } from 'zod';
import { checkDraft } from '../../domain/roof/draft-check.ts';
import { remarksOn } from '../../domain/roof/draft-remarks.ts';
import { offeredPolicies } from '../../domain/roof/offered-policies.ts';
import type { Item, ItemChange, KeptItem, Structure } from '../../store/register/structure.ts';
import { authorOf, requireReader, scopeOf } from '../actor.ts';
import { problems } from '../errors.ts';
import { always, etagOf, ifMatchVersion, MatchHeaders, notModified, OnceHeaders, onceWith, sendAnswer } from '../headers.ts';
import { orProblem, ProblemError } from '../problem.ts';
import { Id, listOf, Name, Version } from '../schemas/common.ts';
import { EXAMPLE_POINT } from '../schemas/structure-example.ts';
import {
  ITEM_KINDS,
  KeepOutSchema,
  LimitSchema,
  MemberSchema,
  NodeSchema,
  PointSchema,
  PolicySchema,
  SignedPolicySchema,
  StandingLoadSchema,
  type ItemPath,
} from '../schemas/structure.ts';
import { spaceFor } from '../spaces-seen.ts';

const SpaceParams = z.strictObject({ spaceId: Id });
const Fault = z.object({ pointer: z.string(), code: z.string(), message: z.string() });
const StructureView = z
  .object({
    spaceId: Id,
    version: Version,
    exposure: z.string(),
    timeZone: z.string(),
    nodes: z.array(NodeSchema),
    members: z.array(MemberSchema),
    points: z.array(PointSchema),
    limits: z.array(LimitSchema),
    keepOuts: z.array(KeepOutSchema),
    standingLoads: z.array(StandingLoadSchema),
    policy: SignedPolicySchema.nullable(),
    versions: z.record(Id, Version).describe('of each item, for its ETag'),
    faults: z.array(Fault).describe('what stops publishing'),
    remarks: z.array(Fault).describe('what will be unknown, never a pass'),
  })
  .meta({ id: 'Structure' });
const PolicyBody = z
  .strictObject({ policy: PolicySchema, signerRole: Name })
  .meta({ examples: [{ policy: offeredPolicies()[0]!.policy, signerRole: 'technical manager' }] });
const Change = z.discriminatedUnion('kind', [
  ...Object.entries(ITEM_KINDS).map(([path, { schema }]) =>
    z.strictObject({
      kind: z.literal(path),
      ifMatch: z.int().positive().nullable().describe('the version replaced; null: new'),
      item: schema,
    }),
  ),
  z.strictObject({
    kind: z.literal('remove'),
    of: z.enum(Object.keys(ITEM_KINDS) as [ItemPath, ...ItemPath[]]),
    id: Id,
    ifMatch: z.int().positive(),
  }),
] as unknown as [z.ZodObject<{ kind: z.ZodLiteral<'remove'> }>]);
type ChangeBody = { kind: ItemPath; ifMatch: number | null; item: Item } | { kind: 'remove'; of: ItemPath; id: string; ifMatch: number };
const ChangedView = z
  .object({ version: Version, items: z.array(z.object({ kind: z.string(), id: Id, version: Version })) })
  .meta({ id: 'ChangedStructure' });

const presentStructure = ({ spaceId, version, versions, draft }: Structure) => ({
  spaceId,
  version,
  ...draft,
  versions,
  faults: checkDraft(draft),
  remarks: remarksOn(draft),
});
const structureAnswer = (structure: Structure) => ({ status: 200, body: presentStructure(structure), etag: etagOf(structure.version) });
const changedAnswer = ({ version, items }: { version: number; items: KeptItem[] }) => ({
  status: 200,
  body: { version, items: items.map(({ kind, id, version: itemVersion }) => ({ kind, id, version: itemVersion })) },
  etag: etagOf(version),
});

/** The working copy of a roof: read whole, changed item by item or in one batch, with a policy that is chosen and signed. */
export const structureRoutes: FastifyPluginAsync = async (plain) => {
  const app = plain.withTypeProvider<ZodTypeProvider>();
  const tags = ['structure'];

  app.get(
    '/policies',
    {
      schema: {
        operationId: 'listPolicies',
        tags,
        summary: 'Sets of factors and thresholds on offer, with the source of each value; a venue chooses and signs',
        response: {
          200: listOf(
            z.object({
              setId: z.string(),
              title: z.string(),
              policy: PolicySchema,
              sources: z.array(z.object({ values: z.array(z.string()), source: z.string() })),
            }),
          ),
          ...problems(401, 403),
        },
      },
    },
    async (request) => {
      requireReader(request);
      return { items: offeredPolicies() };
    },
  );
  app.get(
    '/spaces/:spaceId/structure',
    {
      schema: {
        operationId: 'getStructure',
        tags,
        summary: 'The working copy, whole, with what stops it from being published',
        params: SpaceParams,
        response: { 200: StructureView, ...problems(401, 403, 404) },
      },
    },
    async (request, reply) => {
      const { actor } = await spaceFor(app, request, request.params.spaceId, 'readStructure');
      const structure = await app.store.register.structure(scopeOf(actor), request.params.spaceId);
      if (!structure) throw new ProblemError({ code: 'not-found' });
      if (notModified(request, reply, etagOf(structure.version))) return reply;
      return presentStructure(structure);
    },
  );
  app.put(
    '/spaces/:spaceId/structure/policy',
    {
      schema: {
        operationId: 'signPolicy',
        tags,
        summary: 'Choose the policy and sign it: needed before publishing',
        params: SpaceParams,
        headers: MatchHeaders,
        body: PolicyBody,
        response: { 200: StructureView, ...problems(401, 403, 404, 412, 413, 415, 422, 428) },
      },
    },
    async (request, reply) => {
      const ifMatch = ifMatchVersion(request);
      const { actor } = await spaceFor(app, request, request.params.spaceId, 'signPolicy');
      const author = authorOf(request);
      const { policy, signerRole } = request.body;
      const signed = { policy, signedBy: author.name, signerRole, signedAt: app.now().toISOString() };
      const input = { actor: author, spaceId: request.params.spaceId, ifMatch, policy: signed };
      return sendAnswer(reply, orProblem(await app.store.register.signPolicy(scopeOf(actor), input, always(request, structureAnswer))));
    },
  );
  app.post(
    '/spaces/:spaceId/structure/batch',
    {
      bodyLimit: 16 * 1024 * 1024,
      schema: {
        operationId: 'changeStructure',
        tags,
        summary: 'Many changes of the working copy at once: all or none',
        params: SpaceParams,
        headers: OnceHeaders,
        body: z
          .strictObject({ changes: z.array(Change).min(1).max(5000) })
          .meta({ examples: [{ changes: [{ kind: 'points', ifMatch: null, item: EXAMPLE_POINT }] }] }),
        response: { 200: ChangedView, ...problems(401, 403, 404, 409, 412, 413, 415, 422) },
      },
    },
    async (request, reply) => {
      const { actor } = await spaceFor(app, request, request.params.spaceId, 'editStructure');
      const changes = (request.body.changes as unknown as ChangeBody[]).map((change): ItemChange =>
        change.kind === 'remove'
          ? { kind: ITEM_KINDS[change.of].kind, id: change.id, ifMatch: change.ifMatch, body: null }
          : { kind: ITEM_KINDS[change.kind].kind, id: change.item.id, ifMatch: change.ifMatch, body: change.item },
      );
      const input = { actor: authorOf(request), spaceId: request.params.spaceId, changes, because: 'batch' };
      return sendAnswer(reply, orProblem(await app.store.register.changeItems(scopeOf(actor), input, onceWith(request, changedAnswer))));
    },
  );

  for (const [path, { kind, schema }] of Object.entries(ITEM_KINDS)) {
    const Params = z.strictObject({ spaceId: Id, itemId: Id });
    const name = schema.meta()?.id ?? kind;
    const url = `/spaces/:spaceId/structure/${path}/:itemId`;
    app.get(
      url,
      {
        schema: {
          operationId: `get${name}`,
          tags,
          summary: `One of the ${path}`,
          params: Params,
          response: { 200: schema as z.ZodType<Item>, ...problems(401, 403, 404) },
        },
      },
      async (request, reply) => {
        const { actor } = await spaceFor(app, request, request.params.spaceId, 'readStructure');
        const item = await app.store.register.item(scopeOf(actor), request.params.spaceId, kind, request.params.itemId);
        if (!item) throw new ProblemError({ code: 'not-found' });
        if (notModified(request, reply, etagOf(item.version))) return reply;
        return item.body;
      },
    );
    app.put(
      url,
      {
        schema: {
          operationId: `put${name}`,
          tags,
          summary: `Replace one of the ${path} (If-Match), or enter a new one (If-None-Match: *)`,
          params: Params,
          headers: z.object({ ...MatchHeaders.shape, 'if-none-match': z.string().max(10).optional() }),
          body: schema as z.ZodType<Item>,
          response: { 200: ChangedView, ...problems(401, 403, 404, 409, 412, 413, 415, 422, 428) },
        },
      },
      async (request, reply) => {
        const ifMatch = request.headers['if-none-match'] === '*' ? null : ifMatchVersion(request);
        const { actor } = await spaceFor(app, request, request.params.spaceId, 'editStructure');
        const { spaceId, itemId } = request.params;
        if (request.body.id !== itemId) {
          throw new ProblemError({ code: 'invalid-request', errors: [{ pointer: '/id', message: 'not the id in the address' }] });
        }
        const input = { actor: authorOf(request), spaceId, changes: [{ kind, id: itemId, ifMatch, body: request.body }], because: 'edit' };
        const answer = orProblem(await app.store.register.changeItems(scopeOf(actor), input, always(request, changedAnswer)));
        return sendAnswer(reply, answer);
      },
    );
    app.delete(
      url,
      {
        schema: {
          operationId: `delete${name}`,
          tags,
          summary: `Remove one of the ${path}`,
          params: Params,
          headers: MatchHeaders,
          response: { 200: ChangedView, ...problems(401, 403, 404, 412, 428) },
        },
      },
      async (request, reply) => {
        const ifMatch = ifMatchVersion(request);
        const { actor } = await spaceFor(app, request, request.params.spaceId, 'editStructure');
        const { spaceId, itemId } = request.params;
        const input = { actor: authorOf(request), spaceId, changes: [{ kind, id: itemId, ifMatch, body: null }], because: 'removal' };
        return sendAnswer(reply, orProblem(await app.store.register.changeItems(scopeOf(actor), input, always(request, changedAnswer))));
      },
    );
  }
};
