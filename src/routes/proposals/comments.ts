import type { FastifyPluginAsync } from 'fastify';
import type { ZodTypeProvider } from 'fastify-type-provider-zod';
import { z } from 'zod';
import type { Comment } from '../../store/proposals/comments.ts';
import { scopeOf } from '../actor.ts';
import { problems } from '../errors.ts';
import { DecideHeaders, etagOf, ifMatchVersion, notModified, OnceHeaders, onceWith, sendAnswer } from '../headers.ts';
import { nextByInstant, nextLink, PageQuery, readCursor } from '../paging.ts';
import { orProblem, ProblemError } from '../problem.ts';
import { Id, InstantText, listOf, Version } from '../schemas/common.ts';
import { seenFor } from './seen.ts';

const Params = z.strictObject({ proposalId: Id });
const CommentParams = z.strictObject({ proposalId: Id, commentId: Id });
const pin = { pinKind: z.enum(['proposal', 'hang', 'pickUp', 'point', 'check']), pinId: z.string().min(1).max(300).nullable() };
const CommentBody = z
  .strictObject({
    ...pin,
    text: z.string().trim().min(1).max(4000),
    blocking: z.boolean().describe('true: no yes before this is resolved'),
  })
  .refine(({ pinKind, pinId }) => (pinKind === 'proposal') === (pinId === null), {
    path: ['pinId'],
    message: 'names what it is pinned to, and is null for the proposal as a whole',
  })
  .meta({
    examples: [
      {
        pinKind: 'point',
        pinId: 'b0000000-0000-4000-8000-000000000001',
        text: 'Is the duct below this point still there?',
        blocking: true,
      },
    ],
  });
const CommentView = z
  .object({
    id: Id,
    proposalId: Id,
    ...pin,
    text: z.string(),
    blocking: z.boolean(),
    authorId: Id,
    authorOrganisationId: Id,
    authorName: z.string(),
    createdAt: InstantText,
    resolvedBy: Id.nullable(),
    resolvedAt: InstantText.nullable(),
    version: Version,
  })
  .meta({ id: 'Comment' });

const present = ({ authorOrg, createdAt, resolvedAt, ...comment }: Comment) => ({
  ...comment,
  authorOrganisationId: authorOrg,
  createdAt: createdAt.toISOString(),
  resolvedAt: resolvedAt?.toISOString() ?? null,
});

export const comments: FastifyPluginAsync = async (plain) => {
  const app = plain.withTypeProvider<ZodTypeProvider>();
  const tags = ['comments'];
  app.get(
    '/proposals/:proposalId/comments',
    {
      schema: {
        operationId: 'listComments',
        tags,
        summary: 'What was said, oldest first',
        params: Params,
        querystring: PageQuery,
        response: { 200: listOf(CommentView), ...problems(401, 403, 404) },
      },
    },
    async (request, reply) => {
      const { actor, proposal } = await seenFor(app, request, request.params.proposalId, 'readProposal');
      const { limit, cursor } = request.query;
      const rows = await app.store.proposals.comments(scopeOf(actor), proposal.id, { limit, after: readCursor(cursor) });
      reply.headers(
        nextLink(
          request.url,
          nextByInstant(rows, limit, ({ createdAt }) => createdAt),
        ),
      );
      return { items: rows.map(present) };
    },
  );
  app.post(
    '/proposals/:proposalId/comments',
    {
      schema: {
        operationId: 'addComment',
        tags,
        summary: 'Say something, pinned to a hang, pick-up, point or check',
        params: Params,
        headers: OnceHeaders,
        body: CommentBody,
        response: { 201: CommentView, ...problems(401, 403, 404, 409, 413, 415, 422) },
      },
    },
    async (request, reply) => {
      const { actor, act } = await seenFor(app, request, request.params.proposalId, 'comment');
      const added = await app.store.proposals.addComment(
        scopeOf(actor),
        { ...act, ...request.body },
        onceWith(request, (comment) => ({
          status: 201,
          body: present(comment),
          etag: etagOf(comment.version),
          location: `/api/v1/proposals/${act.proposalId}/comments/${comment.id}`,
        })),
      );
      return sendAnswer(reply, orProblem(added));
    },
  );
  app.get(
    '/proposals/:proposalId/comments/:commentId',
    {
      schema: {
        operationId: 'getComment',
        tags,
        summary: 'One comment',
        params: CommentParams,
        response: { 200: CommentView, ...problems(401, 403, 404) },
      },
    },
    async (request, reply) => {
      const { actor, proposal } = await seenFor(app, request, request.params.proposalId, 'readProposal');
      const comment = await app.store.proposals.comment(scopeOf(actor), proposal.id, request.params.commentId);
      if (!comment) throw new ProblemError({ code: 'not-found' });
      if (notModified(request, reply, etagOf(comment.version))) return reply;
      return present(comment);
    },
  );
  app.post(
    '/proposals/:proposalId/comments/:commentId/resolution',
    {
      schema: {
        operationId: 'resolveComment',
        tags,
        summary: 'Mark a comment as resolved: by its author, or by those who answer for the side that raised it',
        params: CommentParams,
        headers: DecideHeaders,
        body: z.strictObject({}).meta({ examples: [{}] }),
        response: { 200: CommentView, ...problems(401, 403, 404, 409, 412, 413, 415, 422, 428) },
      },
    },
    async (request, reply) => {
      const ifMatch = ifMatchVersion(request);
      const { actor, act } = await seenFor(app, request, request.params.proposalId, 'resolveComment');
      const resolved = await app.store.proposals.resolveComment(
        scopeOf(actor),
        { ...act, commentId: request.params.commentId, ifMatch },
        onceWith(request, (comment) => ({ status: 200, body: present(comment), etag: etagOf(comment.version) })),
      );
      return sendAnswer(reply, orProblem(resolved));
    },
  );
};
