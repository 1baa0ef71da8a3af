import type { FastifyPluginAsync } from 'fastify';
import { acts } from './acts.ts';
import { alternatives } from './alternatives.ts';
import { assessment } from './assessment.ts';
import { comments } from './comments.ts';
import { createProposal } from './create-proposal.ts';
import { plans } from './plans.ts';
import { readProposals } from './read-proposals.ts';
import { review } from './review.ts';
import { submission } from './submission.ts';

/** A plan put to a venue for one show, from its first draft to the handing back of the roof. */
export const proposalsRoutes: FastifyPluginAsync = async (app) => {
  for (const route of [createProposal, readProposals, plans, assessment, alternatives, submission, review, acts, comments])
    await app.register(route);
};
