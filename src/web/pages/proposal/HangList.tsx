import { useMemo } from 'react';
import type { Check } from '../../../domain/assessment/assessment.ts';
import type { Hang } from '../../../domain/plan/plan.ts';
import { worstByHang } from '../../checks/order.ts';
import { StateMark } from '../../parts/StateMark.tsx';
import { words } from '../../words.ts';

type Props = { hangs: readonly Hang[]; checks: readonly Check[]; selectedHangId: string | null; onSelect: (hangId: string) => void };

/** Every hang with the worst that stops a yes, of its own checks and of the points that it uses. */
export function HangList({ hangs, checks, selectedHangId, onSelect }: Props) {
  const worstOf = useMemo(() => worstByHang(checks), [checks]);
  if (hangs.length === 0) return <p className="soft">{words.proposal.noHangs}</p>;
  return (
    <ul className="hangs" aria-label={words.proposal.hangs}>
      {hangs.map((hang) => {
        const worst = worstOf(hang);
        return (
          <li key={hang.id}>
            <button type="button" aria-pressed={hang.id === selectedHangId} onClick={() => onSelect(hang.id)}>
              <span>
                {hang.label} <span className="soft">{words.hang.kinds[hang.kind]}</span>
              </span>
              {worst && <StateMark mark={worst.verdict} />}
            </button>
          </li>
        );
      })}
    </ul>
  );
}
