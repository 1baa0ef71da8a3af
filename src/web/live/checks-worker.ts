import { AssessmentMemory } from '../../domain/assessment/memory.ts';
import type { Hang, Plan } from '../../domain/plan/plan.ts';
import { liveChecks, type LiveAnswer, type LiveScene } from './live-checks.ts';

export type ToWorker = { kind: 'scene'; scene: LiveScene } | { kind: 'plan'; number: number; plan: Plan };
export type FromWorker = { number: number; answer: LiveAnswer; tookMs: number };

let scene: LiveScene | null = null;
let memory = new AssessmentMemory();
/** A message arrives as a copy: hangs that did not change are put back as the objects they were, so that the memory knows them. */
const known = new Map<string, { text: string; hang: Hang }>();
let equipment: { text: string; list: Plan['equipment'] } | null = null;

addEventListener('message', ({ data }: MessageEvent<ToWorker>) => {
  if (data.kind === 'scene') {
    scene = data.scene;
    memory = new AssessmentMemory();
    return;
  }
  if (scene === null) return;
  const began = performance.now();
  const answer = liveChecks(scene, sameObjects(data.plan), memory);
  postMessage({ number: data.number, answer, tookMs: performance.now() - began } satisfies FromWorker);
});

function sameObjects(plan: Plan): Plan {
  const equipmentText = JSON.stringify(plan.equipment);
  if (equipment?.text !== equipmentText) equipment = { text: equipmentText, list: plan.equipment };
  const hangs = plan.hangs.map((hang) => {
    const text = JSON.stringify(hang);
    const before = known.get(hang.id);
    if (before?.text === text) return before.hang;
    known.set(hang.id, { text, hang });
    return hang;
  });
  return { ...plan, hangs, equipment: equipment.list };
}
