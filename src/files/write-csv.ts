export type CsvHeader = { name: string; unit: string | null; holds: 'text' | 'number' };
export type CsvValue = string | number | null;

/** A spreadsheet takes a text that starts so for a formula. Leading apostrophes are counted in, so that the escape can be undone. */
const FORMULA_START = /^'*[=+\-@\t\r\0]/;
/** Our own import, and every other reader that knows both habits, would have to ask whether this is a thousand or one. */
const AMBIGUOUS = /^-?[1-9]\d{0,2}\.\d{3}$/;
const NEEDS_QUOTES = /[",\r\n]|^\s|\s$/;
const BYTE_ORDER_MARK = '\uFEFF';

/**
 * A table as RFC 4180 has it: comma, CRLF, quotes doubled. Text that a spreadsheet would run as a formula gets an apostrophe in
 * front; numbers never do. Numbers have a decimal point and every digit, so reading them back gives the same number.
 * @param options.mark  byte order mark, without which some spreadsheets misread letters beyond ASCII
 */
export function writeCsv(headers: readonly CsvHeader[], rows: readonly (readonly CsvValue[])[], options = { mark: false }): string {
  const heading = headers.map(({ name, unit }) => quoted(escaped(unit === null ? name : `${name} [${unit}]`)));
  const lines = rows.map((row) => {
    if (row.length !== headers.length) throw new RangeError(`a row has ${row.length} values for ${headers.length} headers`);
    return row.map((value, index) => written(value, headers[index]?.holds ?? 'text')).join(',');
  });
  return `${options.mark ? BYTE_ORDER_MARK : ''}${[heading.join(','), ...lines].map((line) => `${line}\r\n`).join('')}`;
}

function written(value: CsvValue, holds: CsvHeader['holds']): string {
  if (value === null) return '';
  if (typeof value === 'number') {
    if (holds !== 'number') throw new TypeError('a number in a column of text');
    return decimalText(value);
  }
  if (holds !== 'text') throw new TypeError('text in a column of numbers');
  return quoted(escaped(value));
}

const escaped = (text: string): string => (FORMULA_START.test(text) ? `'${text}` : text);
const quoted = (text: string): string => (NEEDS_QUOTES.test(text) ? `"${text.replaceAll('"', '""')}"` : text);

/** The text that the escape of `writeCsv` was put on, or the text as it is. */
export const withoutFormulaEscape = (text: string): string => (/^'+[=+\-@\t\r\0]/.test(text) ? text.slice(1) : text);

/** Decimal digits without an exponent, the fewest that give the same double again; one more zero where the point might be a group's. */
export function decimalText(value: number): string {
  if (!Number.isFinite(value)) throw new RangeError('not a finite number');
  const shortest = String(value === 0 ? 0 : value);
  const plain = shortest.includes('e') ? expanded(shortest) : shortest;
  return AMBIGUOUS.test(plain) ? `${plain}0` : plain;
}

function expanded(scientific: string): string {
  const [mantissa = '', exponentText = '0'] = scientific.split('e');
  const sign = mantissa.startsWith('-') ? '-' : '';
  const [whole = '', fraction = ''] = mantissa.replace('-', '').split('.');
  const digits = whole + fraction;
  const point = whole.length + Number(exponentText);
  if (point <= 0) return `${sign}0.${'0'.repeat(-point)}${digits}`;
  return point >= digits.length
    ? `${sign}${digits}${'0'.repeat(point - digits.length)}`
    : `${sign}${digits.slice(0, point)}.${digits.slice(point)}`;
}
