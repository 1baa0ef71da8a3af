import type { HangLoads } from '../plan/hang-loads.ts';
import type { HangFinding } from '../plan/hook-load.ts';
import type { Policy } from '../roof/structure.ts';
import { utilisationOf, verdictOf } from '../roof/verdict.ts';
import type { Check } from './assessment.ts';
import { checkOf, printed, reasonOf, whysMissing } from './check.ts';
import type { Interval } from './load-units.ts';

/** What the statics of a hang tell about the hang itself, as checks. */
export const findingChecks = ({ hang, findings }: HangLoads, during: Interval, { closeFrom, secondaryCasesHard }: Policy): Check[] =>
  findings.map((finding) => {
    const { demand, capacity, unit, why } = finding;
    return checkOf(finding.kind, [hang.id, finding.subject], {
      hangId: hang.id,
      pickUpId: finding.pickUpId,
      during,
      hard: finding.hard || (secondaryCasesHard && (finding.case === 'slack' || finding.case === 'accidental')),
      case: finding.case,
      demand,
      capacity,
      unit,
      utilisation: utilisationOf(demand, capacity),
      verdict: verdictIn(finding, closeFrom),
      reason: reasonOf(whysMissing(why)),
      reckoning: finding.reckonings.map(printed),
    });
  });

function verdictIn({ state, demand, capacity, why }: HangFinding, closeFrom: number): Check['verdict'] {
  if (state === 'compare') return verdictOf(demand, capacity, closeFrom, why.length > 0);
  return state === 'forbidden' ? 'over' : state === 'unknown' ? 'unknown' : 'fits';
}
