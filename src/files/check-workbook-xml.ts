import { isUtf8 } from 'node:buffer';
import { fail, ok, type Result } from '../domain/foundation/result.ts';
import type { FileError } from './file-error.ts';

const DECLARED_ENCODING = /^\s*<\?xml[^>]*?\bencoding\s*=\s*["']([^"']*)["']/;
const DOCTYPE = /<!\s*(?:DOCTYPE|ENTITY)/i;
const COMMENT = /<!--[\s\S]*?-->/g;
const CELL_TAGS = /<(?:\w+:)?(?:(row|c)\b([^<>]*)>|v(?:\s[^<>]*)?>([^<]*)<|(is)\b)/g;
/** The same attribute names the row on a row and the cell on a cell. */
const PLACE = /(?:^|\s)r\s*=\s*["']([^"']*)["']/;
const CELL_TYPE = /(?:^|\s)t\s*=\s*["']([^"']*)["']/;
const CELL_NAME = /^[A-Z]{1,3}([1-9]\d{0,6})$/;
const WORKSHEET_ROOT = /<(?:\w+:)?worksheet[\s>]/;
const INDEX = /^\s*\d+\s*$/;
const DECIMAL = /^\s*[+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?\s*$/;

/** A part of a workbook as text without comments. UTF-8 only; a DOCTYPE has no place in it and is how entities are smuggled in. */
export function checkedXml(entry: string, part: Buffer): Result<string, FileError> {
  if (!isUtf8(part) || part.includes(0)) return fail({ code: 'xml-not-utf8', entry });
  const text = part.toString('utf8').replace(/^\uFEFF/, '');
  const declared = DECLARED_ENCODING.exec(text.slice(0, 200))?.[1];
  if (declared !== undefined && !/^(?:utf-?8|us-ascii)$/i.test(declared)) return fail({ code: 'xml-not-utf8', entry });
  if (DOCTYPE.test(text)) return fail({ code: 'xml-doctype', entry });
  return ok(text.includes('<!--') ? text.replace(COMMENT, '') : text);
}

/**
 * What the workbook reader would pass over in silence: it reads "12abc" and "1,5" as 12 and 1 and puts a cell where its own name
 * says, whatever row it stands in. So each number of a sheet must be one as XML Schema writes it, and each cell in its row.
 * @returns the last row that holds a value
 */
export function checkedSheet(entry: string, xml: string): Result<number, FileError> {
  let rowNumber = 0;
  let lastRowNumber = 0;
  let cell = '';
  let type = 'n';
  for (const [, tag, attributes = '', value] of xml.matchAll(CELL_TAGS)) {
    if (tag === 'row') {
      const stated = PLACE.exec(attributes)?.[1];
      rowNumber = stated === undefined ? rowNumber + 1 : Number(stated);
      if (!Number.isInteger(rowNumber) || rowNumber < 1) return malformed(entry, 'row', attributes);
    } else if (tag === 'c') {
      cell = PLACE.exec(attributes)?.[1] ?? '';
      type = CELL_TYPE.exec(attributes)?.[1] ?? 'n';
      if (cell !== '' && CELL_NAME.exec(cell)?.[1] !== String(rowNumber)) return malformed(entry, cell, `in row ${rowNumber}`);
    } else {
      lastRowNumber = Math.max(lastRowNumber, rowNumber);
      if (value === undefined || value === '') continue;
      if ((type === 'n' && !DECIMAL.test(value)) || (type === 's' && !INDEX.test(value))) return malformed(entry, cell, value);
    }
  }
  return ok(lastRowNumber);
}

export const isWorksheet = (xml: string): boolean => WORKSHEET_ROOT.test(xml.slice(0, 4000));

const malformed = (entry: string, cell: string, cellText: string) =>
  fail({ code: 'workbook-cell-malformed', entry, cell: cell.slice(0, 20), cellText: cellText.slice(0, 200) });
