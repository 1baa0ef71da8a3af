import type { CellFault } from './table.ts';

export type FaultCode =
  | CellFault
  | 'label-missing'
  | 'heading-again'
  | 'totals-row'
  | 'more-cells-than-headings'
  | 'position-missing'
  | 'not-a-number'
  | 'not-a-date'
  | 'other-decimal-sign'
  | 'other-date-order'
  | 'unit-not-known'
  | 'unit-does-not-fit'
  | 'unit-contradicts-heading'
  | 'out-of-range'
  | 'length-malformed'
  | 'date-instead-of-text'
  | 'date-instead-of-number'
  | 'number-instead-of-date'
  | 'text-too-long';

/** What is wrong with one cell (or, where `letter` is null, with the row), and how to mend it. */
export type Fault = {
  code: FaultCode;
  field: string | null;
  letter: string | null;
  heading: string | null;
  cellText: string;
  problem: string;
  mend: string;
};

/** `detail` completes the sentence where a fact is needed. */
const WORDS: Readonly<Record<FaultCode, (detail: string) => readonly [problem: string, mend: string]>> = {
  'cell-too-long': () => ['The cell holds more than 2000 characters.', 'Shorten it.'],
  'nul-character': () => ['The cell holds a NUL character.', 'Type the cell anew.'],
  'control-character': () => ['The cell holds a control character that cannot be seen.', 'Type the cell anew.'],
  'lone-surrogate': () => ['The cell holds half a character.', 'Type the cell anew.'],
  'damaged-character': () => [
    'A character of the cell was lost before the file came here.',
    'Type the cell anew and save the file as UTF-8.',
  ],
  'formula-without-value': () => [
    'The formula has no stored result.',
    'Open and save the workbook in a spreadsheet, or replace the formula by its value.',
  ],
  'error-value': () => ['The cell shows an error or no usable value.', 'Mend the formula, or replace it by its value.'],
  'date-out-of-range': () => ['The date lies before March 1900 or after 2199.', 'Enter the date again.'],
  'format-changes-value': () => ['The number format shows another number than the one stored.', 'Format the cell as a plain number.'],
  'label-missing': () => ['The row has no label.', 'Enter the label as painted, or delete the row.'],
  'heading-again': () => ['The row repeats the headings.', 'Delete the row.'],
  'totals-row': () => ['The row looks like a sum of others.', 'Delete the row, or give the label another name.'],
  'more-cells-than-headings': () => [
    'The row has more cells than the headings.',
    'Look for a separator inside a cell, such as a decimal comma; put the cell in quotes.',
  ],
  'position-missing': (detail) => [`The position is not whole: ${detail} is missing.`, 'Enter all coordinates.'],
  'not-a-number': () => ['This is not one number.', 'Enter one number in digits, with its unit or with the unit in the heading.'],
  'not-a-date': () => ['This is not a date.', 'Write it as 2026-05-31.'],
  'other-decimal-sign': (detail) => [`The number does not fit the decimal sign ${detail}.`, 'Write all numbers of the column alike.'],
  'other-date-order': (detail) => [`The date does not fit the order ${detail}.`, 'Write it as 2026-05-31.'],
  'unit-not-known': (detail) => [`"${detail}" is no unit known here.`, 'Use kg, t, lb, kN, m, mm, ft or in.'],
  'unit-does-not-fit': (detail) => [`The unit ${detail} does not measure this.`, 'Enter the value in a unit that does.'],
  'unit-contradicts-heading': (detail) => [`The cell and the heading say different units: ${detail}.`, 'Let one of them say the unit.'],
  'out-of-range': (detail) => [`The value lies outside ${detail}.`, 'Check digits and unit.'],
  'length-malformed': () => ['This is not a length in feet and inches.', `Write it as 12' 3 1/2", with less than 12 inches.`],
  'date-instead-of-text': () => ['The spreadsheet turned this label into a date.', 'Format the cell as text and enter the label again.'],
  'date-instead-of-number': () => ['The spreadsheet turned this number into a date.', 'Format the cell as a number and enter it again.'],
  'number-instead-of-date': () => ['This is a number, not a date.', 'Format the cell as a date, or write it as 2026-05-31.'],
  'text-too-long': (detail) => [`The text has more than ${detail} characters.`, 'Shorten it.'],
};

export function faultOf(code: FaultCode, place: Pick<Fault, 'field' | 'letter' | 'heading' | 'cellText'>, detail = ''): Fault {
  const [problem, mend] = WORDS[code](detail);
  return { code, ...place, problem, mend };
}
