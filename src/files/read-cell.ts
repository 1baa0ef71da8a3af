import { refused, valueOf, type CellReading, type ColumnReader } from './column-reader.ts';
import { readDateText } from './date-text.ts';
import { headingKey } from './headings.ts';
import type { Alternative } from './import-choices.ts';
import { readNumberCell } from './read-number-cell.ts';
import type { Cell } from './table.ts';
import { withoutFormulaEscape } from './write-csv.ts';

/** What people write for "we do not know". Not "none" or "nil", which may be a zero. */
const UNKNOWN_WORDS = new Set([
  'n a',
  'na',
  'k a',
  'tbc',
  'tbd',
  'unknown',
  'not known',
  'unbekannt',
  'inconnu',
  'desconocido',
  'onbekend',
]);
const UNKNOWN_MARKS = /^[-–—?]+$/;
const NAMES_OTHER_THINGS = new Set(['label', 'memberLabel', 'fromNodeLabel', 'toNodeLabel']);
const UNKNOWN_ANSWER = 'unknown';

/** One cell to a value in SI, to what is wrong with it, or to what must be asked first. */
export function readCell(cell: Cell | null, reader: ColumnReader): CellReading {
  if (cell === null) return valueOf(null);
  if (cell.kind === 'fault') return refused(cell.fault, cell, reader);
  const { spec } = reader;
  if (spec.field !== 'label' && saysUnknown(cell)) return { is: 'value', value: null, saidUnknown: true };
  switch (spec.is) {
    case 'text':
      return readText(cell, reader, spec.maxChars);
    case 'number':
      return readNumberCell(cell, reader, spec);
    case 'date':
      return readDate(cell, reader);
    case 'choice':
      return readChoice(cell, reader, spec.values);
  }
}

const saysUnknown = (cell: Cell): boolean =>
  cell.kind === 'text' && (UNKNOWN_MARKS.test(cell.shown.trim()) || UNKNOWN_WORDS.has(headingKey(cell.shown.replace(/\./g, ' '))));

function readText(cell: Cell, reader: ColumnReader, maxChars: number): CellReading {
  const names = NAMES_OTHER_THINGS.has(reader.spec.field);
  if (names && cell.kind === 'date') return refused('date-instead-of-text', cell, reader);
  const plain = withoutFormulaEscape(cell.shown).normalize('NFC').replace(/\r\n?/g, '\n').trim();
  const text = names ? plain.replace(/\s+/g, ' ') : plain;
  if (text.length > maxChars) return refused('text-too-long', cell, reader, `${maxChars}`);
  return valueOf(text === '' ? null : text);
}

function readDate(cell: Cell, reader: ColumnReader): CellReading {
  if (cell.kind === 'date') return valueOf(cell.isoDate);
  if (cell.kind === 'number') return refused('number-instead-of-date', cell, reader);
  const read = readDateText(cell.shown, reader.dateOrder);
  switch (read.is) {
    case 'date':
      return valueOf(read.isoDate);
    case 'not-date':
      return refused('not-a-date', cell, reader);
    case 'other-order':
      return refused('other-date-order', cell, reader, reader.dateOrder ?? '');
    case 'ambiguous': {
      const alternatives = [
        { answer: 'day-first', readsAs: read.dayFirst },
        { answer: 'month-first', readsAs: read.monthFirst },
      ];
      return { is: 'asks', asks: [{ id: `${reader.spec.field}:date-order`, code: 'date-order', alternatives }] };
    }
  }
}

function readChoice(cell: Cell, reader: ColumnReader, values: Readonly<Record<string, string>>): CellReading {
  const key = headingKey(cell.shown) || cell.shown.trim();
  for (const [value, words] of Object.entries(values)) if (words.split(' | ').includes(key)) return valueOf(value);
  const id = `${reader.spec.field}:value:${key}`;
  const offered = [...Object.keys(values), UNKNOWN_ANSWER];
  const answer = reader.answers.get(id, offered);
  if (answer !== null) return valueOf(answer === UNKNOWN_ANSWER ? null : answer);
  const alternatives: Alternative[] = offered.map((each) => ({ answer: each, readsAs: each }));
  return { is: 'asks', asks: [{ id, code: 'value-meaning', alternatives }] };
}
