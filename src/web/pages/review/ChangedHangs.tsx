import { useQuery } from '@tanstack/react-query';
import type { Check } from '../../../domain/assessment/assessment.ts';
import { pointIdsOfHang } from '../../../domain/plan/attachment-places.ts';
import type { Hang, Plan } from '../../../domain/plan/plan.ts';
import type { Proposal } from '../../api/client.ts';
import { frozenPlanQuery } from '../../api/queries.ts';
import { Against, VerdictMark } from '../../checks/CheckList.tsx';
import type { Labels } from '../../checks/labels.ts';
import { worstFirst } from '../../checks/order.ts';
import { Loading } from '../../parts/Loading.tsx';
import { ProblemPanel } from '../../parts/ProblemPanel.tsx';
import { useUnits } from '../../units/units-choice.ts';
import { massText, type Units } from '../../units/units.ts';
import { words } from '../../words.ts';
import { hangChanges } from './plan-changes.ts';

type Props = { proposal: Proposal; plan: Plan; checks: readonly Check[]; labels: Labels };

/** Since the submission before this one, each hang with the worst that is said of it now. */
export function ChangedHangs({ proposal, plan, checks, labels }: Props) {
  const units = useUnits();
  const before = useQuery(frozenPlanQuery(proposal.id, proposal.submissions - 1));
  if (before.isLoadingError) return <ProblemPanel error={before.error} onRetry={() => void before.refetch()} />;
  if (!before.data) return <Loading what={words.review.changed} />;
  const changes = hangChanges(before.data.plan, plan);
  return (
    <section className="sheet stack tight">
      <h2>{words.review.changedSince(changes.length, proposal.submissions - 1)}</h2>
      <ul>
        {changes.map(({ hang, kind, massBeforeKg, massKg, moved }) => (
          <li key={hang.id}>
            <strong>{hang.label}</strong> {words.review.changes[kind]}
            {moved && `, ${words.review.moved_}`}
            {massBeforeKg !== massKg && `, ${mass(massBeforeKg, units)} → ${mass(massKg, units)}`}
            {kind !== 'removed' && <Worst check={worstOf(hang, checks)} labels={labels} />}
          </li>
        ))}
      </ul>
    </section>
  );
}

const mass = (massKg: number | null, units: Units): string => (massKg === null ? words.notStated : massText(massKg, units, 'load'));

function Worst({ check, labels }: { check: Check | undefined; labels: Labels }) {
  if (!check) return null;
  return (
    <div className="row">
      <VerdictMark check={check} />
      <span className="soft">
        {labels.of(check)} {words.checks.kinds[check.kind]}
      </span>
      <Against check={check} />
    </div>
  );
}

function worstOf(hang: Hang, checks: readonly Check[]): Check | undefined {
  const about = new Set<string>([hang.id, ...hang.pickUps.map(({ id }) => id), ...pointIdsOfHang(hang)]);
  return checks
    .filter(({ hard, hangId, pickUpId, pointId }) => hard && [hangId, pickUpId, pointId].some((one) => one !== null && about.has(one)))
    .sort(worstFirst)[0];
}
