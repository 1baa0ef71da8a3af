import { createContext, memo, useContext, useMemo, useState, type ReactNode } from 'react';
import type { Check } from '../../domain/assessment/assessment.ts';
import { StateMark } from '../parts/StateMark.tsx';
import { useUnits } from '../units/units-choice.ts';
import { amountText, utilisationText, type Units } from '../units/units.ts';
import { words } from '../words.ts';
import type { Labels } from './labels.ts';
import { MemberDiagram } from './MemberDiagram.tsx';
import { groupedChecks } from './order.ts';

const AT_ONCE = 8;

/** What checks name, for what is open alone: so that a line is drawn again only when its own check is another. */
const LabelsHere = createContext<Labels>({ of: () => words.checks.gone, point: () => words.checks.gone });

/** Hard checks, then those that only advise; worst first by the kind of limit. Each opens to how its number came about. */
export function CheckList({ checks, labels }: { checks: readonly Check[]; labels: Labels }) {
  const [hard, advisory] = useMemo(() => [checks.filter((check) => check.hard), checks.filter((check) => !check.hard)], [checks]);
  if (checks.length === 0) return <p className="soft">{words.checks.empty}</p>;
  return (
    <LabelsHere value={labels}>
      <div className="stack">
        {hard.length > 0 && <Kinds title={words.checks.hard(hard.length)} checks={hard} labels={labels} />}
        {advisory.length > 0 && <Kinds title={words.checks.advisory(advisory.length)} checks={advisory} labels={labels} />}
      </div>
    </LabelsHere>
  );
}

function Kinds({ title, checks, labels }: { title: string; checks: readonly Check[]; labels: Labels }) {
  const groups = useMemo(() => groupedChecks(checks), [checks]);
  return (
    <div className="stack tight">
      <h3>{title}</h3>
      {groups.map(({ kind, checks: inside }) => (
        <section key={kind} className="sheet stack tight">
          <h4>
            {words.checks.kinds[kind]} <span className="soft">{inside.length}</span>
          </h4>
          <Lines checks={inside.slice(0, AT_ONCE)} labels={labels} />
          {inside.length > AT_ONCE && (
            <Opening summary={words.checks.more(inside.length - AT_ONCE)}>
              {() => <Lines checks={inside.slice(AT_ONCE)} labels={labels} />}
            </Opening>
          )}
        </section>
      ))}
    </div>
  );
}

/** Its inside is made when it is first opened: of hundreds of checks few are. */
function Opening({ summary, children }: { summary: ReactNode; children: () => ReactNode }) {
  const [wasOpened, setOpened] = useState(false);
  return (
    <details onToggle={() => setOpened(true)}>
      <summary>{summary}</summary>
      {wasOpened && children()}
    </details>
  );
}

const Lines = ({ checks, labels }: { checks: readonly Check[]; labels: Labels }) => (
  <ul className="checks">
    {checks.map((check) => (
      <Line key={check.id} check={check} name={labels.of(check)} />
    ))}
  </ul>
);

const Line = memo(function Line({ check, name }: { check: Check; name: string }) {
  const summary = (
    <>
      <VerdictMark check={check} />
      <span>
        <strong>{name}</strong> {check.reason && <span className="soft">{check.reason.text}</span>}
      </span>
      <Against check={check} />
      <Bar share={check.utilisation} verdict={check.verdict} />
    </>
  );
  return (
    <li>
      <Opening summary={summary}>{() => <Reckoning check={check} />}</Opening>
    </li>
  );
});

/** The verdict, with whether it stops a yes in words. */
export const VerdictMark = ({ check: { verdict, hard } }: { check: Pick<Check, 'verdict' | 'hard'> }) => (
  <span className="verdict">
    <StateMark mark={verdict} advises={!hard} />
    {!hard ? <small>{words.checks.advises}</small> : verdict !== 'fits' && <small>{words.checks.isHard}</small>}
  </span>
);

export function Against({ check }: { check: Check }) {
  return <span className="number">{againstText(check, useUnits())}</span>;
}

type Compared = Pick<Check, 'demand' | 'capacity' | 'unit' | 'utilisation' | 'verdict'>;

export function againstText({ demand, capacity, unit, utilisation, verdict }: Compared, units: Units): string {
  if (demand === null || capacity === null) return verdict === 'unknown' ? words.checks.noNumbers : '';
  const text = words.checks.against(amountText(demand, unit, units, 'load'), amountText(capacity, unit, units, 'capacity'));
  return utilisation === null ? text : `${text} · ${utilisationText(utilisation)}`;
}

const Bar = ({ share, verdict }: { share: number | null; verdict: Check['verdict'] }) => (
  <span className={`bar state ${verdict}`} aria-hidden="true">
    <svg viewBox="0 0 100 10" preserveAspectRatio="none">
      <rect width={Math.min(100, (share ?? 0) * 100)} height="10" fill="currentColor" />
    </svg>
  </span>
);

function Reckoning({ check }: { check: Check }) {
  const units = useUnits();
  const labels = useContext(LabelsHere);
  return (
    <div className="inside stack tight">
      {check.case !== null && <p>{words.checks.inCase(words.checks.cases[check.case])}</p>}
      {check.reckoning.map(({ formula, numbers, result, source }, index) => (
        <dl className="facts" key={index}>
          <dt>{words.checks.formula}</dt>
          <dd>{formula}</dd>
          <dt>{words.checks.numbers}</dt>
          <dd>{numbers}</dd>
          <dt>{words.checks.result}</dt>
          <dd>{result}</dd>
          <dt>{words.checks.source}</dt>
          <dd>{source}</dd>
        </dl>
      ))}
      <MemberDiagram check={check} />
      {check.counted.length > 0 && (
        <p className="soft">
          {words.checks.counted}:{' '}
          {check.counted
            .map(({ from, pointId, amount }) =>
              [words.checks.from[from], pointId === null ? '' : labels.point(pointId), amountText(amount, check.unit, units, 'load')]
                .filter((part) => part !== '')
                .join(' '),
            )
            .join('; ')}
        </p>
      )}
      {check.reckoning.length + check.counted.length === 0 && <p className="soft">{words.checks.nothingReckoned}</p>}
    </div>
  );
}
