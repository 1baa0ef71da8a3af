import type { FastifyInstance, FastifyRequest } from 'fastify';
import type { Action, Actor } from '../auth/can.ts';
import type { Space } from '../store/register/venues.ts';
import { authorize, requireActor, scopeOf } from './actor.ts';
import { ProblemError } from './problem.ts';

/** A space, for an action that the caller may do there. Whether it exists is no secret; what it holds is. */
export async function spaceFor(
  app: FastifyInstance,
  request: FastifyRequest,
  spaceId: string,
  action: Action,
): Promise<{ space: Space; actor: Actor }> {
  const actor = requireActor(request);
  const space = await app.store.register.space(scopeOf(actor), spaceId);
  if (!space) throw new ProblemError({ code: 'not-found' });
  authorize(actor, action, { kind: 'space', venueOrgId: space.venueOrgId, opened: space.opened, granted: space.granted });
  return { space, actor };
}
