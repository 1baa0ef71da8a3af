import { randomUUID } from 'node:crypto';
import type { FastifyInstance, FastifyPluginAsync, FastifyRequest } from 'fastify';
import type { ZodTypeProvider } from 'fastify-type-provider-zod';
import { z } from 'zod';
import type { Actor } from '../../auth/can.ts';
import type { LoggedEvent } from '../../store/events/feed.ts';
import type { Stay } from '../../store/events/presence.ts';
import { authorize, callerOf, requireActor, requireCaller, scopeOf } from '../actor.ts';
import { problems } from '../errors.ts';
import { ProblemError } from '../problem.ts';
import { seenFor } from '../proposals/seen.ts';
import { Id } from '../schemas/common.ts';
import { spaceFor } from '../spaces-seen.ts';
import { EventStream } from './event-stream.ts';
import { OpenStreams } from './open-streams.ts';

const OpenQuery = z
  .strictObject({
    proposalId: Id.optional().describe('that is open on the page: others who have it open are told who does'),
    spaceId: Id.optional(),
  })
  .refine(({ proposalId, spaceId }) => proposalId === undefined || spaceId === undefined, {
    message: 'a proposal or a space',
    path: ['spaceId'],
  });
type OpenQuery = z.infer<typeof OpenQuery>;
type Visit = { readonly request: FastifyRequest; readonly query: OpenQuery; readonly actor: Actor; readonly stream: EventStream };
const LastEventHeaders = z.object({
  'last-event-id': z
    .string()
    .regex(/^\d{1,15}$/)
    .optional()
    .describe('the number of the last event that was received: what came after it is sent first'),
});
const STREAM_EXAMPLE = [
  'retry: 1400',
  'event: position\nid: 7\ndata: {"number":7,"missed":true}',
  'event: change\nid: 8\ndata: {"number":8,"at":"2027-01-12T09:30:00.000Z","type":"proposal.agreed","subjectId":"2f0c9a6e-9f0b-4a67-8b7c-0e4f6a1d2c33","actorName":"Maren Aldous"}',
].join('\n\n');
const Stream = z
  .string()
  .describe(
    'event: position (number, missed: read again what you show), change (number, at, type, subjectId, actorName), ' +
      'present (people: who else has the same page open), ended (why). A comment every 15 seconds at most.',
  )
  .meta({ examples: [`${STREAM_EXAMPLE}\n\n`] });

/** What happens to the organisation, as it happens: numbered without a gap, so that whoever loses the connection loses nothing. */
export const eventsRoutes: FastifyPluginAsync = async (plain) => {
  const app = plain.withTypeProvider<ZodTypeProvider>();
  const { events } = app.store;
  const open = new OpenStreams(app.config.streams, events.isHeard);
  const stopListening = events.listen({
    signIn: (personId) => open.check(personId),
    presence: (subjectId) => open.showPresence(subjectId),
  });
  app.addHook('preClose', async () => {
    stopListening();
    open.close();
  });

  app.get(
    '/events',
    {
      schema: {
        operationId: 'followEvents',
        tags: ['history'],
        summary: 'What happens, as it happens (Server-Sent Events)',
        querystring: OpenQuery,
        headers: LastEventHeaders,
        response: {
          200: { description: 'A stream that stays open', content: { 'text/event-stream': { schema: Stream } } },
          ...problems(401, 403, 404),
        },
      },
    },
    async (request, reply) => {
      const actor = requireActor(request);
      await mayFollow(app, request, request.query);
      reply.type('text/event-stream').headers({ 'cache-control': 'no-store', 'x-accel-buffering': 'no', connection: 'close' });
      if (request.method === 'HEAD') return reply.send('');
      const free = open.take(actor.personId);
      const stream = new EventStream();
      stream.once('close', free);
      reply.raw.once('close', () => stream.destroy());
      try {
        await follow({ request, query: request.query, actor, stream });
      } catch (error) {
        stream.destroy();
        throw error;
      }
      return reply.send(stream as never); // typed as text, which a stream of it is
    },
  );

  async function follow(visit: Visit): Promise<void> {
    const { request, query, actor, stream } = visit;
    const lastId = request.headers['last-event-id'];
    const following = await events.follow(actor.orgId, typeof lastId === 'string' ? Number(lastId) : null, {
      take: async (logged) => {
        for (const event of logged) if (!stream.send('change', changeOf(event), event.number)) return;
        await stream.drained();
      },
      lost: () => stream.destroy(),
    });
    stream.once('close', following.stop);
    stream.send('position', { number: following.position, missed: following.missed }, following.position);
    const showPresence = tellPresence(visit);
    open.add({
      stream,
      personId: actor.personId,
      subjectId: query.proposalId ?? query.spaceId ?? null,
      showPresence: () => void showPresence(),
      check: () => void endUnlessAllowed(app, visit).then(() => showPresence(true)),
    });
    following.begin();
    void showPresence(true);
  }

  /** Says that they are here while the stream is open, and tells them who else is. */
  function tellPresence({ request, query, actor, stream }: Visit) {
    const subject = subjectOf(query);
    const streamId = randomUUID();
    const scope = scopeOf(actor);
    let shown = '[]';
    const left = () => events.leave(scope, streamId).catch((error: unknown) => request.log.warn({ err: error }, 'presence stays a while'));
    if (subject) stream.once('close', () => void left());
    return async (stays = false): Promise<void> => {
      if (!subject) return;
      try {
        if (stays && !stream.destroyed) await events.stay(scope, { streamId, subject, name: requireCaller(request).personName });
        if (stream.destroyed) return void (await left());
        const present = await events.present(scope, subject.id, streamId);
        const people = present.map(({ personId, name, orgId }) => ({ name, own: orgId === actor.orgId, you: personId === actor.personId }));
        if (JSON.stringify(people) === shown) return;
        shown = JSON.stringify(people);
        stream.send('present', { people });
      } catch (error) {
        request.log.warn({ err: error }, 'who else is there is not known'); // the events do not depend on it
      }
    };
  }
};

const changeOf = ({ number, at, type, subjectId, actorName }: LoggedEvent) => ({
  number,
  at: at.toISOString(),
  type,
  subjectId,
  actorName,
});

const subjectOf = ({ proposalId, spaceId }: OpenQuery): Stay['subject'] | null => {
  if (proposalId !== undefined) return { kind: 'proposal', id: proposalId };
  return spaceId === undefined ? null : { kind: 'space', id: spaceId };
};

async function mayFollow(app: FastifyInstance, request: FastifyRequest, { proposalId, spaceId }: OpenQuery): Promise<void> {
  const { orgId } = requireActor(request);
  authorize(requireActor(request), 'readEvents', { kind: 'organisation', orgId });
  if (proposalId !== undefined) await seenFor(app, request, proposalId, 'readProposal');
  if (spaceId !== undefined) await spaceFor(app, request, spaceId, 'readSpace');
}

/** The sign-in may have ended or run out, roles and access may have changed. Where the database does not answer, the next time tells. */
async function endUnlessAllowed(app: FastifyInstance, { request, query, actor, stream }: Visit): Promise<void> {
  try {
    request.caller = await callerOf(app, request);
    if (request.caller?.actor?.orgId !== actor.orgId) throw new ProblemError({ code: 'not-signed-in' });
    await mayFollow(app, request, query);
  } catch (error) {
    if (!(error instanceof ProblemError)) return;
    stream.send('ended', { why: error.error.code });
    stream.end();
  }
}
