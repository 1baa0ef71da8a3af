import { parentPort, workerData } from 'node:worker_threads';
import { alternativesFor } from '../domain/alternatives/one-hang.ts';
import type { Budget } from '../domain/alternatives/question.ts';
import { alternativesForPlan } from '../domain/alternatives/whole-plan.ts';
import type { AlternativesAnswer, AlternativesJob, Told } from './find-alternatives.ts';

// Posted by findAlternatives of the same build, so its type is known; workerData itself is untyped.
const { question, hangId, budgetS, mostAssessed } = workerData as AlternativesJob;
const TELL_EVERY_MS = 250;
const endMs = performance.now() + budgetS * 1000;
let tellAtMs = performance.now();
const budget: Budget = {
  mostAssessed,
  isOver: (soFar) => {
    const nowMs = performance.now();
    if (nowMs >= tellAtMs) {
      tellAtMs = nowMs + TELL_EVERY_MS;
      tell({ soFar });
    }
    return nowMs > endMs;
  },
};
tell({ answer: hangId === null ? ofPlan() : ofHang(hangId) });

function tell(told: Told): void {
  parentPort?.postMessage(told);
}

function ofPlan(): AlternativesAnswer {
  const { changes, planVerdict, stillOver, ...counts } = alternativesForPlan(question, budget);
  return { ...counts, stillOver, results: changes.length === 0 ? [] : [{ changes, planVerdict }] };
}

function ofHang(id: string): AlternativesAnswer {
  const { alternatives, ...counts } = alternativesFor({ ...question, hangId: id }, budget);
  return { ...counts, stillOver: [], results: alternatives.map((one) => ({ changes: [one], planVerdict: one.planVerdict })) };
}
