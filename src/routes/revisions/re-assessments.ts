import type { FastifyPluginAsync } from 'fastify';
import type { ZodTypeProvider } from 'fastify-type-provider-zod';
import { z } from 'zod';
import type { ReAssessment } from '../../store/register/re-assessments.ts';
import { scopeOf } from '../actor.ts';
import { problems } from '../errors.ts';
import { nextLink, PageQuery, readCursor } from '../paging.ts';
import { ProblemError } from '../problem.ts';
import { CheckView } from '../proposals/assessment-view.ts';
import { Id, InstantText, listOf } from '../schemas/common.ts';
import { spaceFor } from '../spaces-seen.ts';

const SpaceParams = z.strictObject({ spaceId: Id });
const OUTCOMES = {
  kept: 'its plan gives the same outcome on the new roof',
  stillFits: 'another outcome, that fits: it is stale until the venue says yes to it once more',
  doesNot: 'it does not fit on the new roof, or cannot be computed there: it is stale',
  ended: 'it was taken back, called down or agreed anew before it was checked',
};
const outcome = z.enum(['kept', 'stillFits', 'doesNot', 'ended']).describe(
  Object.entries(OUTCOMES)
    .map(([name, means]) => `${name}: ${means}`)
    .join('; '),
);
export const AgreementMovedView = z
  .object({
    proposalId: Id,
    outcome,
    verdict: CheckView.shape.verdict.nullable().describe('of its plan on the new roof; null where it cannot be computed there'),
    failing: z
      .array(CheckView.pick({ id: true, verdict: true, demand: true, capacity: true, unit: true }))
      .describe('hard checks that become over or unknown'),
  })
  .meta({ id: 'AgreementMoved' });
const ReAssessmentView = z
  .object({
    revision: z.int(),
    publishedAt: InstantText,
    total: z.int().describe('agreements that stood when it was published'),
    done: z.int(),
    kept: z.int(),
    stillFits: z.int(),
    doesNot: z.int(),
    ended: z.int(),
    settledAt: InstantText.nullable().describe('when the last was found out; null while any waits, and where there was none'),
  })
  .meta({ id: 'ReAssessment' });
const ReAssessmentWhole = ReAssessmentView.extend({
  agreements: z.array(AgreementMovedView.extend({ outcome: outcome.nullable().describe('null while it waits') })),
}).meta({ id: 'ReAssessmentWhole' });

const present = ({ publishedAt, settledAt, ...counts }: ReAssessment) => ({
  ...counts,
  publishedAt: publishedAt.toISOString(),
  settledAt: settledAt?.toISOString() ?? null,
});

/** What each revision means for the agreements that stood: found out in the background, told as far as it is. */
export const reAssessmentsRoutes: FastifyPluginAsync = async (plain) => {
  const app = plain.withTypeProvider<ZodTypeProvider>();
  const tags = ['revisions'];
  app.get(
    '/spaces/:spaceId/re-assessments',
    {
      schema: {
        operationId: 'listReAssessments',
        tags,
        summary: 'How far each revision has been held against the agreements that stood, newest first',
        params: SpaceParams,
        querystring: PageQuery,
        response: { 200: listOf(ReAssessmentView), ...problems(401, 403, 404) },
      },
    },
    async (request, reply) => {
      const { spaceId } = request.params;
      const { actor } = await spaceFor(app, request, spaceId, 'readStructure');
      const { limit, cursor } = request.query;
      const below = readCursor(cursor, z.tuple([z.string().regex(/^\d{1,7}$/)]));
      const rows = await app.store.register.reAssessments(scopeOf(actor), spaceId, below ? Number(below[0]) : null, limit);
      const last = rows.at(-1);
      reply.headers(nextLink(request.url, last && rows.length === limit ? [String(last.revision)] : null));
      return { items: rows.map(present) };
    },
  );
  app.get(
    '/spaces/:spaceId/re-assessments/:number',
    {
      schema: {
        operationId: 'getReAssessment',
        tags,
        summary: 'What a revision means for each agreement that stood: kept, still fits, does not and why, or not known yet',
        params: z.strictObject({ spaceId: Id, number: z.coerce.number().int().min(1).max(1_000_000) }),
        response: { 200: ReAssessmentWhole, ...problems(401, 403, 404) },
      },
    },
    async (request) => {
      const { spaceId, number } = request.params;
      const { actor } = await spaceFor(app, request, spaceId, 'readStructure');
      const found = await app.store.register.reAssessment(scopeOf(actor), spaceId, number);
      if (!found) throw new ProblemError({ code: 'not-found' });
      const { agreements, ...progress } = found;
      return { ...present(progress), agreements };
    },
  );
};
