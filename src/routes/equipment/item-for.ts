import type { FastifyInstance, FastifyRequest } from 'fastify';
import { authorize, requireActor, scopeOf } from '../actor.ts';
import { ProblemError } from '../problem.ts';

/** An item that the asker may read: of their own organisation, or of the generic library. Any other is not there. */
export async function itemFor(app: FastifyInstance, request: FastifyRequest, id: string, action: 'readEquipment' | 'editEquipment') {
  const actor = requireActor(request);
  const item = await app.store.equipment.item(scopeOf(actor), id);
  if (!item) throw new ProblemError({ code: 'not-found' });
  authorize(actor, action, { kind: 'organisation', orgId: item.orgId ?? actor.orgId });
  return { actor, item };
}
