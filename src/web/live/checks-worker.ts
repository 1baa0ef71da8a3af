import { AssessmentMemory } from '../../domain/assessment/memory.ts';
import type { Hang, Plan } from '../../domain/plan/plan.ts';
import { differences, type Differences } from './differences.ts';
import { liveChecks, type LiveAnswer, type LiveScene, type WorkedOut } from './live-checks.ts';

export type ToWorker = { kind: 'scene'; scene: LiveScene } | { kind: 'plan'; number: number; plan: Plan };
/** Of thousands of checks few change with an edit, and only those are copied: the others are named by their place in the answer before. */
export type FromWorker = { number: number; answer: Sent | Exclude<LiveAnswer, WorkedOut>; tookMs: number };
export type Sent = Omit<WorkedOut, 'checks' | 'loads'> & {
  readonly checks: Differences<WorkedOut['checks'][number]>;
  readonly loads: Differences<WorkedOut['loads'][number]>;
};

let scene: LiveScene | null = null;
let memory = new AssessmentMemory();
/** A message arrives as a copy: hangs that did not change are put back as the objects they were, so that the memory knows them. */
const known = new Map<string, { text: string; hang: Hang }>();
let before: Pick<WorkedOut, 'checks' | 'loads'> = { checks: [], loads: [] };
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
  const sent = answer.kind === 'worked-out' ? sentOf(answer) : answer;
  postMessage({ number: data.number, answer: sent, tookMs: performance.now() - began } satisfies FromWorker);
});

function sentOf(answer: WorkedOut): Sent {
  const sent = { ...answer, checks: differences(before.checks, answer.checks), loads: differences(before.loads, answer.loads) };
  before = answer;
  return sent;
}

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
