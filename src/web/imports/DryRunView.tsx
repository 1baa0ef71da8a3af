import { useState } from 'react';
import { ProblemPanel } from '../parts/ProblemPanel.tsx';
import { StateMark } from '../parts/StateMark.tsx';
import { words } from '../words.ts';
import { factName, valueText } from '../parts/fact-text.ts';
import { OUTCOME_MARK, takenCount, unreadOf, worstRowsFirst, type Choices, type DryRun, type ImportRow } from './dry-run.ts';
import { MendUnread } from './MendUnread.tsx';

type Props = {
  dryRun: DryRun;
  isBusy: boolean;
  error: unknown;
  onChoose: (choices: Choices) => void;
  onApply: () => void;
  onDrop: () => void;
};

const AT_ONCE = 100;

/** A table before it is entered: what must be answered, and row by row what would become of it. */
export function DryRunView({ dryRun, isBusy, error, onChoose, onApply, onDrop }: Props) {
  const { counts, questions, rows, fieldsNotFound } = dryRun;
  const unread = unreadOf(dryRun);
  const taken = takenCount(dryRun);
  const isOpen = unread !== null || questions.length > 0;
  const [isWhole, setWhole] = useState(false);
  const sorted = worstRowsFirst(rows);
  const shown = isWhole ? sorted : sorted.slice(0, AT_ONCE);
  return (
    <section className="sheet stack" aria-label={words.imports.title(dryRun.fileName)}>
      <h2>{words.imports.title(dryRun.fileName)}</h2>
      {unread === null && <p role="status">{words.imports.counts(counts)}</p>}
      {error !== null && <ProblemPanel error={error} />}
      {unread !== null && (
        <MendUnread unread={unread} isBusy={isBusy} onChoose={(choices) => onChoose({ ...dryRun.choices, ...choices })} />
      )}
      {questions.length > 0 && (
        <Questions
          key={dryRun.version}
          questions={questions}
          isBusy={isBusy}
          onAnswer={(answers) => {
            const before = dryRun.choices as Choices;
            onChoose({ ...before, answers: { ...before.answers, ...answers } });
          }}
        />
      )}
      {fieldsNotFound.length > 0 && <p className="soft">{words.imports.notFound(fieldsNotFound.map(factName).join(', '))}</p>}
      {rows.length > 0 && (
        <div className="scroll">
          <table className="fold">
            <thead>
              <tr>
                <th scope="col" className="number">
                  {words.imports.row}
                </th>
                <th scope="col">{words.point.label}</th>
                <th scope="col">{words.imports.outcome}</th>
                <th scope="col">{words.imports.what}</th>
              </tr>
            </thead>
            <tbody>
              {shown.map((row) => (
                <tr key={row.rowNumber}>
                  <td className="number" data-of={words.imports.row}>
                    {row.rowNumber}
                  </td>
                  <th scope="row">{row.label ?? words.imports.noLabel}</th>
                  <td>
                    <StateMark mark={OUTCOME_MARK[row.outcome]} word={words.imports.outcomes[row.outcome]} />
                  </td>
                  <td>
                    <RowText row={row} />
                  </td>
                </tr>
              ))}
            </tbody>
          </table>
        </div>
      )}
      {sorted.length > shown.length && (
        <div>
          <button type="button" onClick={() => setWhole(true)}>
            {words.imports.allRows(sorted.length)}
          </button>
        </div>
      )}
      <div className="row">
        <button type="button" disabled={isBusy} onClick={onDrop}>
          {words.imports.drop}
        </button>
        <button type="button" className="main" disabled={isBusy || isOpen || taken === 0} onClick={onApply}>
          {words.imports.apply(taken)}
        </button>
        {isOpen && <span className="soft">{words.imports.answerFirst}</span>}
      </div>
    </section>
  );
}

/** Why a row is not taken and how to mend it, or what would be different. */
export function RowText({ row }: { row: ImportRow }) {
  if (row.outcome === 'duplicate')
    return (
      <span>
        {row.differs && row.differs.length > 0
          ? words.imports.contradicts(row.ofRowNumber ?? 0, row.differs.map(factName).join(', '))
          : words.imports.copyOf(row.ofRowNumber ?? 0)}
      </span>
    );
  return (
    <ul className="plain">
      {row.faults?.map(({ code, letter, heading, cellText, problem, mend }, index) => (
        <li key={`${code} ${index}`}>
          {letter !== null && <strong>{words.imports.cell(letter, row.rowNumber, heading ?? '')}</strong>}{' '}
          {cellText !== '' && <code>{cellText}</code>} <span className="fault">{problem}</span> {mend}
        </li>
      ))}
      {row.changes?.map(({ field, old, new: now }) => (
        <li key={field}>
          {factName(field)}: {valueText(old)} → <strong>{valueText(now)}</strong>
        </li>
      ))}
      {row.outcome === 'add' &&
        row.draft &&
        Object.entries(row.draft)
          .filter(([field, value]) => value !== null && field !== 'label')
          .map(([field, value]) => (
            <li key={field} className="inline">
              {factName(field)} <strong>{valueText(value)}</strong>
            </li>
          ))}
      {row.notes.map(({ code }, index) => (
        <li key={`${code} ${index}`} className="soft">
          {words.imports.notes[code as keyof typeof words.imports.notes] ?? code}
        </li>
      ))}
    </ul>
  );
}

function Questions({
  questions,
  isBusy,
  onAnswer,
}: {
  questions: DryRun['questions'];
  isBusy: boolean;
  onAnswer: (answers: Record<string, string>) => void;
}) {
  const [answers, setAnswers] = useState<Record<string, string>>({});
  return (
    <form
      className="stack"
      onSubmit={(event) => {
        event.preventDefault();
        onAnswer(answers);
      }}
    >
      <h3>{words.imports.questions(questions.length)}</h3>
      {questions.map(({ id, code, letter, heading, sample, rowCount, alternatives }) => (
        <fieldset key={id} className="sheet stack tight">
          <legend>
            {words.imports.asks[code as keyof typeof words.imports.asks] ?? code} {heading} <span className="soft">({letter})</span>
          </legend>
          <p className="soft">
            {words.imports.waiting(rowCount)} {sample && words.imports.sample(sample.rowNumber, sample.cellText)}
          </p>
          {alternatives.map(({ answer, readsAs }) => (
            <label key={answer} className="row">
              <input type="radio" name={id} checked={answers[id] === answer} onChange={() => setAnswers({ ...answers, [id]: answer })} />
              <span>
                {answer} <span className="soft">{words.imports.readsAs(readsAs)}</span>
              </span>
            </label>
          ))}
        </fieldset>
      ))}
      <div>
        <button type="submit" disabled={isBusy || Object.keys(answers).length === 0}>
          {words.imports.answer}
        </button>
      </div>
    </form>
  );
}
