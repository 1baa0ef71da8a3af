import { useState } from 'react';
import { words } from '../words.ts';
import type { Choices, Unread } from './dry-run.ts';

const ENCODINGS = ['utf-8', 'utf-16le', 'utf-16be', 'windows-1252'] as const;

/** What to choose so that the rows can be read at all. */
export function MendUnread({ unread, isBusy, onChoose }: { unread: Unread; isBusy: boolean; onChoose: (choices: Choices) => void }) {
  const options = optionsOf(unread);
  const [chosen, setChosen] = useState('');
  const value = chosen === '' ? (options?.[0]?.value ?? '') : chosen;
  const headingRow = Number(value);
  const isReady = options !== null ? value !== '' : Number.isInteger(headingRow) && headingRow >= 1 && headingRow <= 1000;
  return (
    <form
      className="stack tight"
      onSubmit={(event) => {
        event.preventDefault();
        if (isReady) onChoose(choicesOf(unread, value));
      }}
    >
      <p className="fault">{words.imports.unread[unread.code].text}</p>
      <div className="row">
        <label className="field">
          <span>{words.imports.unread[unread.code].field}</span>
          {options !== null ? (
            <select value={value} onChange={(event) => setChosen(event.target.value)}>
              {options.map(({ value: one, text }) => (
                <option key={one} value={one}>
                  {text}
                </option>
              ))}
            </select>
          ) : (
            <input inputMode="numeric" size={6} value={chosen} onChange={(event) => setChosen(event.target.value)} />
          )}
        </label>
        <button type="submit" disabled={isBusy || !isReady}>
          {words.imports.answer}
        </button>
      </div>
    </form>
  );
}

type Option = { value: string; text: string };
function optionsOf(unread: Unread): Option[] | null {
  switch (unread.code) {
    case 'sheet-not-chosen':
      return unread.options.map((sheet) => ({ value: sheet, text: sheet }));
    case 'import-label-column-missing':
      return unread.options.map((heading, index) => ({ value: String(index), text: heading || words.imports.column(index + 1) }));
    case 'text-not-decodable':
      return ENCODINGS.map((encoding) => ({ value: encoding, text: encoding }));
    case 'table-without-heading-row':
      return null;
  }
}

function choicesOf(unread: Unread, value: string): Choices {
  switch (unread.code) {
    case 'sheet-not-chosen':
      return { sheet: value };
    case 'import-label-column-missing':
      return { columns: { label: Number(value) } };
    case 'text-not-decodable':
      return { encoding: value };
    case 'table-without-heading-row':
      return { headingRowNumber: Number(value) };
  }
}
