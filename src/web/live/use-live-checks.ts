import { useEffect, useRef, useState } from 'react';
import type { Plan } from '../../domain/plan/plan.ts';
import type { FromWorker, ToWorker } from './checks-worker.ts';
import { applied } from './differences.ts';
import type { LiveAnswer, LiveScene, WorkedOut } from './live-checks.ts';

/** `of`: what the answer is of; where that is not what is shown by now, the answer is of something else. */
export type Live = { readonly answer: LiveAnswer | null; readonly of: Asked | null; readonly failed: string | null };
type Asked = { readonly scene: LiveScene; readonly plan: Plan };

/** Checks of the plan as it is being drawn, in a worker, so that drawing never waits for them. The last answer stays until the next. */
export function useLiveChecks(scene: LiveScene | null, plan: Plan): Live {
  const worker = useRef<Worker | null>(null);
  const asked = useRef<{ number: number; of: Asked | null }>({ number: 0, of: null });
  const [live, setLive] = useState<Live>({ answer: null, of: null, failed: null });

  useEffect(() => {
    const made = new Worker(new URL('./checks-worker.ts', import.meta.url), { type: 'module' });
    worker.current = made;
    let before: Pick<WorkedOut, 'checks' | 'loads'> = { checks: [], loads: [] };
    made.addEventListener('message', ({ data: { number, answer: sent } }: MessageEvent<FromWorker>) => {
      const answer =
        sent.kind === 'worked-out'
          ? { ...sent, checks: applied(before.checks, sent.checks), loads: applied(before.loads, sent.loads) }
          : sent;
      if (answer.kind === 'worked-out') before = answer; // also where it is not shown: the next answer differs from this one
      if (number === asked.current.number) setLive({ answer, of: asked.current.of, failed: null });
    });
    made.addEventListener('error', (event) => setLive({ answer: null, of: null, failed: event.message }));
    return () => {
      made.terminate();
      worker.current = null;
    };
  }, []);

  useEffect(() => {
    if (scene !== null) worker.current?.postMessage({ kind: 'scene', scene } satisfies ToWorker);
  }, [scene]);

  useEffect(() => {
    if (scene === null || worker.current === null) return;
    const number = asked.current.number + 1;
    asked.current = { number, of: { scene, plan } };
    worker.current.postMessage({ kind: 'plan', number, plan } satisfies ToWorker);
  }, [scene, plan]);

  return live;
}
