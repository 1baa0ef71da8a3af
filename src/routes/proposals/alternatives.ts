import type { FastifyPluginAsync, FastifyReply, FastifyRequest } from 'fastify';
import type { ZodTypeProvider } from 'fastify-type-provider-zod';
import { z } from 'zod';
import { CAUTIONS } from '../../domain/assessment/cautions.ts';
import type { SoFar } from '../../domain/alternatives/question.ts';
import type { Result } from '../../domain/foundation/result.ts';
import { findAlternatives, type AlternativesAnswer, type SearchError } from '../../searches/find-alternatives.ts';
import { scopeOf } from '../actor.ts';
import { problems } from '../errors.ts';
import { EventStream } from '../events/event-stream.ts';
import { orProblem, toProblem } from '../problem.ts';
import { Id } from '../schemas/common.ts';
import { HangSchema } from '../schemas/plan.ts';
import { seenFor } from './seen.ts';

const MOST_ASSESSED = 20_000;
const Body = z
  .strictObject({
    hangId: Id.nullable().describe('null: the whole plan, every hang that is over, the hardest first'),
    withinM: z.number().min(0).max(40).default(12).describe('points farther from a pick-up in plan are not tried'),
    shift: z
      .strictObject({ xM: z.number().min(0).max(10), yM: z.number().min(0).max(10) })
      .default({ xM: 0, yM: 0 })
      .describe('how far a hang may be moved to either side'),
    mostLegs: z.union([z.literal(1), z.literal(2), z.literal(3)]).default(3),
    legAngleDeg: z
      .number()
      .min(1)
      .max(80)
      .default(40)
      .describe('an apex is put as high as its flattest leg stays within this, off vertical'),
    most: z.int().min(1).max(20).default(5).describe('results for each number of legs'),
    budgetS: z.number().min(0.1).max(30).default(10),
  })
  .meta({ examples: [{ hangId: null, withinM: 8, shift: { xM: 1, yM: 1 }, mostLegs: 2, legAngleDeg: 40, most: 3, budgetS: 1 }] });

const Verdict = z.enum(['fits', 'close', 'over', 'unknown']);
const ChangeView = z
  .object({
    hang: HangSchema,
    verdict: Verdict.describe('of every hard check that this hang has a part in'),
    utilisation: z.number().nullable(),
    displacementM: z.number(),
    moved: z.object({ xM: z.number(), yM: z.number() }),
    pieces: z.int().describe('lines and legs that go up'),
    mostLegs: z.int(),
    holesSwapped: z.boolean(),
    pointIds: z.array(z.string()),
  })
  .meta({ id: 'AlternativeHang' });
const AlternativesView = z
  .object({
    proposalId: Id,
    revision: z.int(),
    results: z
      .array(z.object({ planVerdict: Verdict.describe('of the whole plan with it'), changes: z.array(ChangeView) }))
      .describe('best first; each hang takes the place of the one of its id in the plan'),
    stillOver: z.array(Id).describe('of a whole plan: hangs for which nothing was found'),
    considered: z.int(),
    ruledOut: z.int().describe('not assessed: a necessary condition fails, or a bound shows that they could not beat those kept'),
    assessed: z.int(),
    stoppedEarly: z
      .array(z.enum(['assessments', 'time', 'combinations']))
      .describe('empty: of the ways considered none is better; it says nothing of ways that were not'),
    cautions: z.array(z.string()),
  })
  .meta({ id: 'Alternatives' });

const STREAM_EXAMPLE = 'event: progress\ndata: {"assessed":120,"hang":2,"ofHangs":5}\n\n';
const ProgressStream = z
  .string()
  .describe(
    'event: progress (assessed: ways assessed; hang, ofHangs: which hang of how many it is at), found (as in JSON), failed (a problem). ' +
      'The last two end it.',
  )
  .meta({ examples: [STREAM_EXAMPLE] });

const OWN_CAUTIONS = [
  'A bridle is offered without its steels, so nothing of it is known to fit: choose them for the lengths, and have the plan assessed with them.',
  'What others have asked for is not counted until it is agreed.',
];

export const alternatives: FastifyPluginAsync = async (plain) => {
  const app = plain.withTypeProvider<ZodTypeProvider>();
  app.post(
    '/proposals/:proposalId/alternatives',
    {
      schema: {
        operationId: 'findAlternatives',
        tags: ['assessments'],
        summary: 'What would fit in place of a hang, or of all that is over; nothing is changed',
        description:
          'Straight up, on bridles of two and three legs, moved, in other holes of an array frame: each assessed in the working plan among all ' +
          'that is agreed. Ranked by verdict, way moved, pieces, utilisation. Accept text/event-stream to be told how far it is. Close the ' +
          'request to stop it.',
        params: z.strictObject({ proposalId: Id }),
        body: Body,
        response: {
          200: {
            description: 'What was found; as a stream, after how far it is',
            content: { 'application/json': { schema: AlternativesView }, 'text/event-stream': { schema: ProgressStream } },
          },
          ...problems(400, 401, 403, 404, 409, 413, 415, 422, 429),
        },
      },
    },
    async (request, reply) => {
      const { proposalId } = request.params;
      const { actor } = await seenFor(app, request, proposalId, 'findAlternatives');
      const { hangId, budgetS, ...bounds } = request.body;
      const { revision, ...question } = orProblem(await app.store.proposals.alternativesFor(scopeOf(actor), proposalId, hangId));
      const gone = new AbortController();
      reply.raw.once('close', () => gone.abort());
      const job = { question: { ...question, bounds }, hangId, budgetS, mostAssessed: MOST_ASSESSED };
      const view = (found: AlternativesAnswer) => ({ proposalId, revision, ...found, cautions: [...CAUTIONS, ...OWN_CAUTIONS] });
      const wantsProgress = request.headers.accept?.split(',').some((type) => type.trim().startsWith('text/event-stream')) === true;
      if (!wantsProgress) return view(orProblem(await findAlternatives(job, gone.signal)));
      const stream = await withProgress(
        request,
        (onProgress) => findAlternatives(job, gone.signal, onProgress),
        (found) => AlternativesView.parse(view(found)),
      );
      return asStream(reply).send(stream);
    },
  );
};

const asStream = (reply: FastifyReply) =>
  reply.type('text/event-stream').headers({ 'cache-control': 'no-store', 'x-accel-buffering': 'no', connection: 'close' });

/** The stream of a search, once it has something to tell: a search that is refused at once is refused as anything else is. */
async function withProgress(
  request: FastifyRequest,
  search: (onProgress: (soFar: SoFar) => void) => Promise<Result<AlternativesAnswer, SearchError>>,
  view: (found: AlternativesAnswer) => object,
): Promise<EventStream> {
  const stream = new EventStream();
  let begin = () => {};
  const begun = new Promise<null>((resolve) => {
    begin = () => resolve(null);
  });
  const searched = search((soFar) => {
    stream.send('progress', soFar);
    begin();
  });
  const early = await Promise.race([begun, searched]);
  if (early !== null && !early.ok) {
    stream.destroy();
    orProblem(early);
  }
  const instance = `urn:uuid:${request.id}`;
  searched.then(
    (found) => (found.ok ? stream.finish('found', view(found.value)) : stream.finish('failed', toProblem(found.error, instance))),
    (error: unknown) => {
      request.log.error({ err: error }, 'a search failed');
      stream.finish('failed', toProblem({ code: 'internal-error' }, instance));
    },
  );
  return stream;
}
