import { outcomeOf } from '../assessment/assess.ts';
import type { Check, Outcome, Verdict } from '../assessment/assessment.ts';
import { AssessmentMemory } from '../assessment/memory.ts';
import { bareHang } from '../capacity/bare-hang.ts';
import { knToKg } from '../foundation/units.ts';
import { checkPlan } from '../plan/check-plan.ts';
import type { Hang, Plan } from '../plan/plan.ts';
import { worstVerdict } from '../roof/verdict.ts';
import type { Alternative, HangQuestion } from './question.ts';

/** What a line brings to what it hangs from, without parts of a way up. */
export type LineLoad = { readonly restingKg: number; readonly movingKg: number };

/** Where a candidate stands against the hang as it is. */
export type Change = Pick<Alternative, 'displacementM' | 'moved' | 'holesSwapped'>;

/** Has candidates assessed, each in the whole plan in place of the hang. */
export class CandidateAssessor {
  readonly #question: HangQuestion;
  readonly #memory = new AssessmentMemory();
  readonly #bareMemory = new AssessmentMemory();
  readonly #limitsAt = new Map<string, ReadonlySet<string>>();
  assessed = 0;

  constructor(question: HangQuestion) {
    this.#question = question;
  }

  /** Null when such a plan is impossible, or when a hard check that the hang has a part in is over. */
  assess(hang: Hang, change: Change): Alternative | null {
    this.assessed += 1;
    const outcome = this.#outcome(
      this.#question.plan.hangs.map((other) => (other.id === hang.id ? hang : other)),
      this.#memory,
    );
    if (outcome === null) return null;
    const { verdict, utilisation } = this.ownPart(outcome, hang.id);
    if (verdict === 'over') return null;
    const legs = hang.pickUps.map(({ attachment }) => (attachment.kind === 'bridle' ? attachment.legs.length : 1));
    return {
      hang,
      verdict,
      planVerdict: outcome.verdict,
      utilisation,
      ...change,
      pieces: legs.reduce((sum, count) => sum + count, 0),
      mostLegs: legs.reduce((most, count) => Math.max(most, count), 1),
      pointIds: pointsOf(outcome, hang.id),
    };
  }

  /** The hard checks that a hang has a part in: its own, those of its points, and those of every limit and member over its points. */
  ownPart(outcome: Outcome, hangId: string): { verdict: Verdict; utilisation: number | null; checks: Check[] } {
    const points = new Set(pointsOf(outcome, hangId));
    const limits = new Set([...points].flatMap((pointId) => [...this.#limitsOf(pointId)]));
    const checks = outcome.checks.filter((check) => {
      if (!check.hard) return false;
      if (check.hangId !== null) return check.hangId === hangId;
      return check.pointId !== null ? points.has(check.pointId) : limits.has(check.limitId ?? check.memberId ?? '');
    });
    const utilisations = checks.flatMap(({ utilisation }) => (utilisation === null ? [] : [utilisation]));
    return {
      verdict: worstVerdict(checks.map(({ verdict }) => verdict)),
      utilisation: utilisations.length === 0 ? null : utilisations.reduce((most, one) => Math.max(most, one), 0),
      checks,
    };
  }

  /** The roof with all but the hang, and what it would say of each of these points as soon as anything hung there. */
  withoutHang(pointIds: readonly string[]): Outcome | null {
    const { plan, roof, hangId } = this.#question;
    const up = plan.hangs.find(({ id }) => id === hangId)?.up ?? null;
    const probes = pointIds.map((pointId) => ({ ...bareHang(pointId, 0, roof), up }));
    return this.#outcome([...plan.hangs.filter(({ id }) => id !== hangId), ...probes], new AssessmentMemory());
  }

  /** Of each pick-up, from the hang with every line straight up to one point. */
  lineLoads(hang: Hang, pointId: string): ReadonlyMap<string, LineLoad> {
    const attachment = { kind: 'direct' as const, pointId, parts: [] };
    const plain = { ...hang, pickUps: hang.pickUps.map((pickUp) => ({ ...pickUp, attachment, secondary: null })) };
    const outcome = this.#outcome([plain], new AssessmentMemory());
    const kg = (pickUpId: string, name: string): number | null => {
      const load = outcome?.loads.find((one) => one.pickUpId === pickUpId && one.case === name);
      return load === undefined ? null : knToKg(load.downKn);
    };
    return new Map(
      hang.pickUps.map(({ id }) => {
        const restingKg = kg(id, 'resting') ?? 0;
        return [id, { restingKg, movingKg: kg(id, 'moving') ?? restingKg }];
      }),
    );
  }

  #limitsOf(pointId: string): ReadonlySet<string> {
    const known = this.#limitsAt.get(pointId);
    if (known !== undefined) return known;
    const outcome = this.#outcome([bareHang(pointId, 1, this.#question.roof)], this.#bareMemory, []);
    const limits = new Set(outcome?.checks.flatMap(({ limitId, memberId }) => limitId ?? memberId ?? []));
    this.#limitsAt.set(pointId, limits);
    return limits;
  }

  #outcome(hangs: Hang[], memory: AssessmentMemory, neighbours = this.#question.neighbours): Outcome | null {
    const { plan, show } = this.#question;
    const candidate: Plan = { ...plan, hangs };
    const checked = checkPlan(candidate, show);
    if (!checked.ok) return null;
    const agreed = neighbours.filter(({ status }) => status === 'agreed');
    return outcomeOf({ ...this.#question, plan: checked.value, neighbours: agreed }, memory).outcome;
  }
}

const pointsOf = ({ loads }: Outcome, hangId: string): string[] =>
  [...new Set(loads.filter((load) => load.hangId === hangId).map(({ pointId }) => pointId))].sort();
