import type { Check, NeighbourLoad, PointLoad } from '../../domain/assessment/assessment.ts';
import { outcomeOf } from '../../domain/assessment/assess.ts';
import type { AssessmentMemory } from '../../domain/assessment/memory.ts';
import { checkPlan } from '../../domain/plan/check-plan.ts';
import type { PlanFault } from '../../domain/plan/plan-fault.ts';
import type { Plan } from '../../domain/plan/plan.ts';
import type { PublishedRoof } from '../../domain/roof/structure.ts';

/** What a plan is worked out on; sent once, and again when it moves. */
export type LiveScene = {
  readonly roof: PublishedRoof;
  readonly show: { readonly from: string; readonly to: string };
  readonly neighbours: readonly NeighbourLoad[];
  readonly asOf: string;
};
export type WorkedOut = {
  readonly kind: 'worked-out';
  readonly verdict: Check['verdict'];
  readonly checks: readonly Check[];
  readonly loads: readonly PointLoad[];
  readonly totals: { readonly massKg: number; readonly worstUtilisation: number | null };
  readonly cautions: readonly string[];
};
export type LiveAnswer = WorkedOut | { readonly kind: 'faulty'; readonly faults: readonly PlanFault[] };

/** The domain's own reckoning, with nothing of ours in between: what the server will say of the same plan on the same roof. */
export function liveChecks({ roof, show, neighbours, asOf }: LiveScene, plan: Plan, memory: AssessmentMemory): LiveAnswer {
  const checked = checkPlan(plan, show);
  if (!checked.ok) return { kind: 'faulty', faults: checked.error.faults };
  const { outcome, cautions } = outcomeOf(
    { roof, revisionHash: '', policyHash: '', planHash: '', plan: checked.value, show, neighbours, asOf },
    memory,
  );
  const { verdict, checks, loads, totals } = outcome;
  return { kind: 'worked-out', verdict, checks, loads, totals, cautions };
}
