import type { Verdict } from '../domain/assessment/assessment.ts';
import type { Alternative, Found, SoFar } from '../domain/alternatives/question.ts';
import type { PlanQuestion } from '../domain/alternatives/whole-plan.ts';
import { fail, ok, type Result } from '../domain/foundation/result.ts';
import { startThread } from '../start-thread.ts';

export type AlternativesJob = {
  readonly question: PlanQuestion;
  /** null = the whole plan. */
  readonly hangId: string | null;
  readonly budgetS: number;
  readonly mostAssessed: number;
};
export type AlternativesAnswer = Omit<Found, 'alternatives'> & {
  results: { changes: Alternative[]; planVerdict: Verdict }[];
  stillOver: string[];
};
/** What the thread posts: how far it is, every now and then, and at last its answer. */
export type Told = { soFar: SoFar } | { answer: AlternativesAnswer };
export type SearchError = { code: 'searches-busy'; running: number } | { code: 'search-ended' };

const MOST_AT_ONCE = 2;
/** Beyond its own budget: one assessment of a large plan, and the start of a thread. */
const GRACE_S = 5;
const HEAP_MB = 512;
let running = 0;

/**
 * The search in a thread of its own, so that nobody else waits for it. It ends by its budget, and at once when nobody waits for the answer
 * any more.
 * @param signal  aborted when the caller has gone
 * @param onProgress  told how far it is, a few times a second
 */
export async function findAlternatives(
  job: AlternativesJob,
  signal: AbortSignal,
  onProgress: (soFar: SoFar) => void = () => {},
): Promise<Result<AlternativesAnswer, SearchError>> {
  if (running >= MOST_AT_ONCE) return fail({ code: 'searches-busy', running });
  if (signal.aborted) return fail({ code: 'search-ended' });
  running += 1;
  const options = { workerData: job, resourceLimits: { maxOldGenerationSizeMb: HEAP_MB } };
  const worker = startThread(new URL('./alternatives-worker.ts', import.meta.url), options);
  let timer: NodeJS.Timeout | undefined;
  try {
    return await new Promise<Result<AlternativesAnswer, SearchError>>((resolve, reject) => {
      const end = () => resolve(fail({ code: 'search-ended' }));
      timer = setTimeout(end, (job.budgetS + GRACE_S) * 1000);
      signal.addEventListener('abort', end, { once: true });
      worker.on('message', (told: Told) => ('answer' in told ? resolve(ok(told.answer)) : onProgress(told.soFar)));
      worker.once('error', reject);
      worker.once('exit', (code) => reject(new Error(`the search ended with ${code} and no answer`)));
    });
  } finally {
    clearTimeout(timer);
    running -= 1;
    await worker.terminate();
  }
}
