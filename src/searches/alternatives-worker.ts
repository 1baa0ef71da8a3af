import { parentPort, workerData } from 'node:worker_threads';
import { alternativesFor } from '../domain/alternatives/one-hang.ts';
import type { Budget } from '../domain/alternatives/question.ts';
import { alternativesForPlan } from '../domain/alternatives/whole-plan.ts';
import type { AlternativesAnswer, AlternativesJob } from './find-alternatives.ts';

// Posted by findAlternatives of the same build, so its type is known; workerData itself is untyped.
const { question, hangId, budgetS, mostAssessed } = workerData as AlternativesJob;
const endMs = performance.now() + budgetS * 1000;
const budget: Budget = { mostAssessed, isOver: () => performance.now() > endMs };
parentPort?.postMessage(hangId === null ? ofPlan() : ofHang(hangId));

function ofPlan(): AlternativesAnswer {
  const { changes, planVerdict, stillOver, ...counts } = alternativesForPlan(question, budget);
  return { ...counts, stillOver, results: changes.length === 0 ? [] : [{ changes, planVerdict }] };
}

function ofHang(id: string): AlternativesAnswer {
  const { alternatives, ...counts } = alternativesFor({ ...question, hangId: id }, budget);
  return { ...counts, stillOver: [], results: alternatives.map((one) => ({ changes: [one], planVerdict: one.planVerdict })) };
}
