import type { FastifyInstance } from 'fastify';
import type { Actor } from '../../auth/can.ts';
import type { Organisation } from '../../store/accounts/organisations.ts';
import { scopeOf } from '../actor.ts';
import { ProblemError } from '../problem.ts';

/** Every organisation is seen by name, so what may not be done to another's is 403, and 404 means that there is none. */
export async function requireOrganisation({ store }: FastifyInstance, actor: Actor, id: string): Promise<Organisation> {
  const found = await store.accounts.organisation(scopeOf(actor), id);
  if (!found) throw new ProblemError({ code: 'not-found' });
  return found;
}
