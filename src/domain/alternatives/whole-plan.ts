import { outcomeOf } from '../assessment/assess.ts';
import type { Verdict } from '../assessment/assessment.ts';
import { AssessmentMemory } from '../assessment/memory.ts';
import { checkPlan, type CheckedPlan } from '../plan/check-plan.ts';
import { CandidateAssessor } from './candidate-assessor.ts';
import { alternativesFor } from './one-hang.ts';
import { better, type Alternative, type Budget, type Found, type HangQuestion, type SoFar } from './question.ts';

export type PlanQuestion = Omit<HangQuestion, 'hangId'>;
export type PlanFound = Omit<Found, 'alternatives'> & {
  /** Hangs to put in the place of those of the same ids, all of them together. */
  readonly changes: Alternative[];
  readonly planVerdict: Verdict;
  /** Hangs with a part in a hard check that is still over. */
  readonly stillOver: string[];
};

const MOST_ROUNDS = 3;

/**
 * A plan with something over, hang by hang, the hardest first: each is given the best way up that there is with the others as they are by
 * then, for as many rounds as help. Then each that was changed is asked once more, since others have made way. Not every combination is
 * tried: it says so. A hang that cannot be placed stays as it is and is named.
 */
export function alternativesForPlan(question: PlanQuestion, budget: Budget): PlanFound {
  const search = new PlanSearch(question, budget);
  search.placeWhatIsOver();
  search.tryChangedAgain();
  return search.found();
}

class PlanSearch {
  readonly #question: PlanQuestion;
  readonly #budget: Budget;
  readonly #memory = new AssessmentMemory();
  readonly #changes = new Map<string, Alternative>();
  readonly #stopped = new Set<Found['stoppedEarly'][number]>(['combinations']);
  #plan: CheckedPlan;
  #considered = 0;
  #ruledOut = 0;
  #assessed = 0;

  constructor(question: PlanQuestion, budget: Budget) {
    this.#question = question;
    this.#budget = budget;
    this.#plan = question.plan;
  }

  placeWhatIsOver(): void {
    for (let round = 0; round < MOST_ROUNDS; round += 1) {
      let placed = 0;
      const over = this.#over();
      for (const [at, hangId] of over.entries()) {
        const [best] = this.#ask(hangId, { hang: at + 1, ofHangs: over.length });
        if (best !== undefined && this.#put(best)) placed += 1;
      }
      if (placed === 0) return;
    }
  }

  /** Asked of the hang as it was, so that a way is measured from there; taken where it is better than the one chosen. */
  tryChangedAgain(): void {
    const changes = [...this.#changes];
    for (const [at, [hangId, chosen]] of changes.entries()) {
      const first = this.#question.plan.hangs.find(({ id }) => id === hangId);
      const before = this.#plan;
      if (first === undefined || !this.#replace(first)) continue;
      const [best] = this.#ask(hangId, { hang: at + 1, ofHangs: changes.length });
      if (best === undefined || better(best, chosen) >= 0 || !this.#put(best)) this.#plan = before;
    }
  }

  found(): PlanFound {
    return {
      changes: [...this.#changes.values()],
      planVerdict: this.#outcome().verdict,
      stillOver: this.#over(),
      considered: this.#considered,
      ruledOut: this.#ruledOut,
      assessed: this.#assessed,
      stoppedEarly: [...this.#stopped].sort(),
    };
  }

  #outcome() {
    const neighbours = this.#question.neighbours.filter(({ status }) => status === 'agreed');
    return outcomeOf({ ...this.#question, neighbours, plan: this.#plan }, this.#memory).outcome;
  }

  /** Ids of hangs with a part in something over, the most used first. */
  #over(): string[] {
    const outcome = this.#outcome();
    const assessor = new CandidateAssessor({ ...this.#question, plan: this.#plan, hangId: '' });
    return this.#plan.hangs
      .map(({ id }) => ({ id, ...assessor.ownPart(outcome, id) }))
      .filter(({ verdict }) => verdict === 'over')
      .sort((a, b) => (b.utilisation ?? Infinity) - (a.utilisation ?? Infinity) || (a.id < b.id ? -1 : 1))
      .map(({ id }) => id);
  }

  #ask(hangId: string, at: Pick<SoFar, 'hang' | 'ofHangs'>): Alternative[] {
    const mostAssessed = this.#budget.mostAssessed - this.#assessed;
    const isOver: Budget['isOver'] = ({ assessed }) => this.#budget.isOver({ ...at, assessed: this.#assessed + assessed });
    const isLate = isOver({ assessed: 0, ...at });
    if (mostAssessed <= 0) this.#stopped.add('assessments');
    if (isLate) this.#stopped.add('time');
    if (mostAssessed <= 0 || isLate) return [];
    const bounds = { ...this.#question.bounds, most: 1 };
    const found = alternativesFor({ ...this.#question, plan: this.#plan, hangId, bounds }, { mostAssessed, isOver });
    this.#considered += found.considered;
    this.#ruledOut += found.ruledOut;
    this.#assessed += found.assessed;
    for (const why of found.stoppedEarly) this.#stopped.add(why);
    return found.alternatives;
  }

  #put(alternative: Alternative): boolean {
    if (!this.#replace(alternative.hang)) return false;
    this.#changes.set(alternative.hang.id, alternative);
    return true;
  }

  #replace(hang: Alternative['hang']): boolean {
    const plan = checkPlan(
      { ...this.#plan, hangs: this.#plan.hangs.map((other) => (other.id === hang.id ? hang : other)) },
      this.#question.show,
    );
    if (plan.ok) this.#plan = plan.value;
    return plan.ok;
  }
}
