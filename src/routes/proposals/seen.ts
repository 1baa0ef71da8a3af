import type { FastifyInstance, FastifyRequest } from 'fastify';
import { partyOf, type Action, type Actor } from '../../auth/can.ts';
import type { Party } from '../../domain/agreement/parties.ts';
import type { Proposal } from '../../store/proposals/rows.ts';
import { authorize, authorOf, requireActor, scopeOf } from '../actor.ts';
import { ProblemError } from '../problem.ts';
import { subjectOf } from './views.ts';

export type Seen = {
  proposal: Proposal;
  actor: Actor;
  party: Party;
  act: { actor: ReturnType<typeof authorOf>; party: Party; proposalId: string; spaceId: string };
};

/** The proposal as the caller sees it, for an action they may do: unseen is 404, before anything of its state is told. */
export async function seenFor(app: FastifyInstance, request: FastifyRequest, proposalId: string, action: Action): Promise<Seen> {
  const actor = requireActor(request);
  const proposal = await app.store.proposals.find(scopeOf(actor), proposalId);
  if (!proposal) throw new ProblemError({ code: 'not-found' });
  const subject = subjectOf(proposal);
  authorize(actor, action, subject);
  const party = partyOf(actor, subject);
  if (!party) throw new ProblemError({ code: 'not-found' });
  return { proposal, actor, party, act: { actor: authorOf(request), party, proposalId: proposal.id, spaceId: proposal.spaceId } };
}
