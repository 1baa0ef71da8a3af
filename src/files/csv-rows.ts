import { CsvError, parse } from 'csv-parse/sync';
import { fail, ok, type Result } from '../domain/foundation/result.ts';
import { textCell } from './cell-text.ts';
import type { FileError } from './file-error.ts';
import { HEADING_SEARCH_ROWS, LAST_ROW_NUMBER, MAX_CELL_CHARS, MAX_COLUMNS } from './file-limits.ts';
import { recognisedHeadings } from './headings.ts';
import type { Row, Separator } from './table.ts';

const SEPARATORS: readonly Separator[] = [';', '\t', ','];
/** First line that some spreadsheets write to announce their separator. */
const SEPARATOR_LINE = /^sep=([,;\t])\r?\n/i;

const MAX_ROW_CHARS = MAX_COLUMNS * MAX_CELL_CHARS;

export type CsvRows = { rows: Row[]; separator: Separator };

/**
 * Text to rows, RFC 4180 with two liberties that venues' files need: other separators, and a quote inside an unquoted cell is
 * just a character (12' 3"). The separator is the one under which the most headings are recognised.
 */
export function csvRows(text: string, chosen: Separator | null): Result<CsvRows, FileError> {
  const announced = SEPARATOR_LINE.exec(text);
  const body = announced ? text.slice(announced[0].length) : text;
  const linesBefore = announced ? 1 : 0;
  const said = SEPARATORS.find((each) => each === announced?.[1]);
  const longLine = tooLongLine(body);
  if (longLine !== null) return fail({ code: 'csv-row-too-long', rowNumber: longLine + linesBefore });
  const separator = chosen ?? said ?? likelySeparator(body);
  const records = csvRecords(body, separator, LAST_ROW_NUMBER + 1);
  if (!records.ok) return records;
  const rows: Row[] = [];
  for (const [index, record] of records.value.entries()) {
    const rowNumber = index + 1 + linesBefore;
    const cells = record.map((each) => textCell(each, null));
    while (cells.length > 0 && cells.at(-1) === null) cells.pop();
    if (cells.length > MAX_COLUMNS) return fail({ code: 'table-too-many-columns', rowNumber, limit: MAX_COLUMNS });
    rows.push({ rowNumber, cells, hidden: false });
  }
  return ok({ rows, separator });
}

function likelySeparator(body: string): Separator {
  let best: { separator: Separator; recognised: number; width: number } = { separator: ',', recognised: 0, width: 0 };
  for (const separator of SEPARATORS) {
    const records = csvRecords(body, separator, HEADING_SEARCH_ROWS);
    if (!records.ok) continue;
    for (const record of records.value) {
      const recognised = recognisedHeadings(record);
      const width = record.filter((each) => each.trim() !== '').length;
      const better = recognised === best.recognised ? recognised === 0 && width > best.width : recognised > best.recognised;
      if (better) best = { separator, recognised, width };
    }
  }
  return best.separator;
}

/** A line of separators alone costs the parser an array element for each, so its length is looked at before it is parsed. */
function tooLongLine(body: string): number | null {
  for (let line = 1, start = 0; start < body.length; line += 1) {
    const next = body.indexOf('\n', start);
    const end = next < 0 ? body.length : next;
    if (end - start > MAX_ROW_CHARS) return line;
    start = end + 1;
  }
  return null;
}

function csvRecords(body: string, delimiter: Separator, to: number): Result<string[][], FileError> {
  try {
    return ok(
      parse(body, {
        delimiter,
        to,
        record_delimiter: ['\r\n', '\n', '\r'],
        relax_quotes: true,
        relax_column_count: true,
        max_record_size: MAX_ROW_CHARS,
      }),
    );
  } catch (error) {
    if (!(error instanceof CsvError)) throw error;
    // Of the row in which it went wrong; the parser's line count may already be at the end of the file.
    const rowNumber = typeof error.records === 'number' ? error.records + 1 : 1;
    if (error.code === 'CSV_QUOTE_NOT_CLOSED') return fail({ code: 'csv-quote-not-closed', rowNumber });
    if (error.code === 'CSV_MAX_RECORD_SIZE') return fail({ code: 'csv-row-too-long', rowNumber });
    throw error;
  }
}
