import { useEffect, useRef, useState } from 'react';
import type { Plan } from '../../domain/plan/plan.ts';
import type { FromWorker, ToWorker } from './checks-worker.ts';
import type { LiveAnswer, LiveScene } from './live-checks.ts';

export type Live = { readonly answer: LiveAnswer | null; readonly isBehind: boolean; readonly failed: string | null };

/** Checks of the plan as it is being drawn, in a worker, so that drawing never waits for them. The last answer stays until the next. */
export function useLiveChecks(scene: LiveScene | null, plan: Plan): Live {
  const worker = useRef<Worker | null>(null);
  const asked = useRef(0);
  const [live, setLive] = useState<Live>({ answer: null, isBehind: true, failed: null });

  useEffect(() => {
    if (scene === null) return;
    const made = new Worker(new URL('./checks-worker.ts', import.meta.url), { type: 'module' });
    worker.current = made;
    made.addEventListener('message', ({ data }: MessageEvent<FromWorker>) => {
      if (data.number === asked.current) setLive({ answer: data.answer, isBehind: false, failed: null });
    });
    made.addEventListener('error', (event) => setLive({ answer: null, isBehind: false, failed: event.message }));
    made.postMessage({ kind: 'scene', scene } satisfies ToWorker);
    return () => {
      made.terminate();
      worker.current = null;
    };
  }, [scene]);

  useEffect(() => {
    if (worker.current === null) return;
    asked.current += 1;
    setLive((before) => ({ ...before, isBehind: true }));
    worker.current.postMessage({ kind: 'plan', number: asked.current, plan } satisfies ToWorker);
  }, [scene, plan]);

  return live;
}
