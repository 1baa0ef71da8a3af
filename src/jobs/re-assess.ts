import type { Task } from 'graphile-worker';
import { z } from 'zod';
import type { Store } from '../store/store.ts';

const Job = z.strictObject({
  spaceId: z.uuid(),
  revision: z.int(),
  scope: z.strictObject({ orgId: z.uuid(), personId: z.uuid() }),
});

/**
 * What a revision means for each agreement that stood when it was published: found out one by one, so that whatever cuts it off, what has
 * been found out stays so and the rest waits. Asked to stop, it puts the rest in again.
 */
export const reAssess =
  (store: Store, stopping: AbortSignal): Task =>
  async (payload, { addJob, job }) => {
    const { spaceId, revision, scope } = Job.parse(payload);
    while (!stopping.aborted) {
      if ((await store.register.reAssessNext(scope, spaceId, revision)) === 'done') return;
    }
    await addJob('re-assess', payload, { jobKey: job.key ?? undefined, maxAttempts: job.max_attempts });
  };
