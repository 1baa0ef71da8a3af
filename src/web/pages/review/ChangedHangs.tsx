import { useQuery } from '@tanstack/react-query';
import type { Plan } from '../../../domain/plan/plan.ts';
import type { Proposal } from '../../api/client.ts';
import { frozenPlanQuery } from '../../api/queries.ts';
import { Loading } from '../../parts/Loading.tsx';
import { ProblemPanel } from '../../parts/ProblemPanel.tsx';
import { useUnits } from '../../units/units-choice.ts';
import { massText, type Units } from '../../units/units.ts';
import { words } from '../../words.ts';
import { hangChanges } from './plan-changes.ts';

/** Since the submission before this one. */
export function ChangedHangs({ proposal, plan }: { proposal: Proposal; plan: Plan }) {
  const units = useUnits();
  const before = useQuery(frozenPlanQuery(proposal.id, proposal.submissions - 1));
  if (before.isError) return <ProblemPanel error={before.error} onRetry={() => void before.refetch()} />;
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
          </li>
        ))}
      </ul>
    </section>
  );
}

const mass = (massKg: number | null, units: Units): string => (massKg === null ? words.notStated : massText(massKg, units, 'load'));
