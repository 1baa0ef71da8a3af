import { useQuery } from '@tanstack/react-query';
import type { Proposal, Requirement } from '../../api/client.ts';
import { decisionsQuery } from '../../api/queries.ts';
import { momentText } from '../../parts/dates.ts';
import { ProblemPanel } from '../../parts/ProblemPanel.tsx';
import { StateMark, type Mark } from '../../parts/StateMark.tsx';
import { words } from '../../words.ts';

const MARK: Record<Requirement['met'], Mark> = { met: 'fits', unmet: 'over', overridden: 'close', not_applicable: 'unknown' };

/** Every gate of a yes, and every answer that was given with what it covers. */
export function RecordView({ proposal }: { proposal: Proposal }) {
  const decisions = useQuery(decisionsQuery(proposal.id));
  return (
    <div className="halves">
      <section className="sheet stack">
        <h2>{words.record.requirements}</h2>
        <ul className="talk">
          {proposal.requirements.map(({ id, met, words: said }) => (
            <li key={id}>
              <StateMark mark={MARK[met]} word={words.record.met[met]} /> <span>{said}</span>
            </li>
          ))}
        </ul>
      </section>
      <section className="sheet stack">
        <h2>{words.record.decisions}</h2>
        {decisions.isError && <ProblemPanel error={decisions.error} onRetry={() => void decisions.refetch()} />}
        {decisions.data?.items.length === 0 && <p className="soft">{words.record.none}</p>}
        <ul className="talk">
          {decisions.data?.items.map((one) => (
            <li key={one.id} className="stack tight">
              <p>
                <strong>{words.record.answers[one.answer as 'agree'] ?? one.answer}</strong>, {one.deciderName}, {momentText(one.decidedAt)}
              </p>
              {one.reason !== '' && <p>{one.reason}</p>}
              {one.conditions.length > 0 && (
                <ul>
                  {one.conditions.map(({ text }) => (
                    <li key={text}>{text}</li>
                  ))}
                </ul>
              )}
              <p className="soft">
                {words.record.covers} <code>{one.covers.planHash.slice(0, 12)}</code>, <code>{one.covers.revisionHash.slice(0, 12)}</code>,{' '}
                <code>{one.covers.assessmentHash.slice(0, 12)}</code>
              </p>
            </li>
          ))}
        </ul>
      </section>
    </div>
  );
}
