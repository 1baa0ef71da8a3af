import { useQuery } from '@tanstack/react-query';
import { useState } from 'react';
import type { Check } from '../../../domain/assessment/assessment.ts';
import type { Proposal } from '../../api/client.ts';
import { assessmentQuery, frozenPlanQuery, roofQuery } from '../../api/queries.ts';
import { CheckList } from '../../checks/CheckList.tsx';
import { labelsOf } from '../../checks/labels.ts';
import { Loading } from '../../parts/Loading.tsx';
import { ProblemPanel } from '../../parts/ProblemPanel.tsx';
import { words } from '../../words.ts';
import { PlanBesideHang } from './PlanBesideHang.tsx';

/** The plan as it was put to the venue, with the assessment that was kept of it. */
export function SubmittedPlan({ proposal }: { proposal: Proposal }) {
  const frozen = useQuery(frozenPlanQuery(proposal.id, proposal.submissions));
  const kept = useQuery(assessmentQuery(proposal.id));
  const roof = useQuery({ ...roofQuery(proposal.spaceId, kept.data?.revision ?? 1), enabled: kept.data !== undefined });
  const [hangId, setHang] = useState<string | null>(null);
  const [pointId, setPoint] = useState<string | null>(null);
  const failed = frozen.error ?? kept.error ?? roof.error;
  if (failed) return <ProblemPanel error={failed} />;
  if (!frozen.data || !kept.data || !roof.data) return <Loading what={words.proposal.plan} />;
  const plan = frozen.data.plan;
  const checks = kept.data.assessment.outcome.checks as Check[];
  return (
    <>
      <PlanBesideHang
        roof={roof.data}
        hangs={plan.hangs}
        checks={checks}
        loads={kept.data.assessment.outcome.loads}
        selectedHangId={hangId ?? plan.hangs[0]?.id ?? null}
        selectedPointId={pointId}
        onSelectHang={setHang}
        onSelectPoint={setPoint}
        above={<p className="soft">{words.proposal.frozen(frozen.data.number, frozen.data.revision)}</p>}
      />
      <h2>{words.checks.title}</h2>
      <CheckList checks={checks} labels={labelsOf(roof.data, plan.hangs)} />
    </>
  );
}
