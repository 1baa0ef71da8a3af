import { read, utils, type CellObject, type WorkBook, type WorkSheet } from '@e965/xlsx';
import { fail, ok, type Result } from '../domain/foundation/result.ts';
import type { RawTable } from './assemble-table.ts';
import { printable, textCell } from './cell-text.ts';
import { checkedSheet, checkedXml, isWorksheet } from './check-workbook-xml.ts';
import { isoDateOf } from './date-text.ts';
import type { FileError } from './file-error.ts';
import { LAST_ROW_NUMBER, MAX_COLUMNS, MAX_ROWS } from './file-limits.ts';
import { openArchive } from './open-archive.ts';
import { storedArchive } from './stored-archive.ts';
import type { Cell, CellFault, Row, Sheet } from './table.ts';

/** Parts by which the workbook reader would take the archive for another format. */
const OF_OTHER_FORMATS = /^(?:META-INF\/|Index\/|objectdata\.xml$|index\.xml)/i;

/** An uploaded workbook to the rows of one sheet: checked archive → checked parts → workbook reader → plain cells. */
export async function workbookRows(bytes: Uint8Array, chosenSheet: string | null): Promise<Result<RawTable, FileError>> {
  const archive = await openArchive(bytes, (name) => /\.(?:xml|rels)$/i.test(name) && !OF_OTHER_FORMATS.test(name));
  if (!archive.ok) return archive;
  const other = otherFormat(archive.value.names);
  if (other !== null) return fail({ code: 'file-format-not-read', found: other, read: ['CSV', 'XLSX'] });
  const checked = new Map<string, Buffer>();
  for (const [name, part] of archive.value.parts) {
    const xml = checkedXml(name, part);
    if (!xml.ok) return xml;
    if (isWorksheet(xml.value)) {
      const lastRowNumber = checkedSheet(name, xml.value);
      if (!lastRowNumber.ok) return lastRowNumber;
      if (lastRowNumber.value > LAST_ROW_NUMBER) return fail({ code: 'table-too-many-rows', limit: MAX_ROWS });
    }
    checked.set(name, Buffer.from(xml.value, 'utf8'));
  }
  const workbook = openedWorkbook(storedArchive(checked));
  return workbook.ok ? rowsOfSheet(workbook.value, chosenSheet) : workbook;
}

function otherFormat(names: readonly string[]): string | null {
  const has = (name: RegExp): boolean => names.some((each) => name.test(each));
  if (has(/^xl\/workbook\.bin$/i)) return 'XLSB';
  if (has(/^\[Content_Types\]\.xml$/i) && has(/(?:^|\/)workbook\d*\.xml$/i)) return null;
  if (has(/^content\.xml$/i)) return 'OpenDocument';
  if (has(/^word\//i)) return 'DOCX';
  if (has(/^ppt\//i)) return 'PPTX';
  return 'ZIP archive';
}

function openedWorkbook(archive: Buffer): Result<WorkBook, FileError> {
  try {
    return ok(
      read(archive, {
        type: 'buffer',
        dense: true,
        nodim: true,
        cellFormula: true,
        cellNF: true,
        cellHTML: false,
        // Hidden rows come only with styles, and a formula without a stored result only as a stub; without stubs it is no cell at all.
        cellStyles: true,
        sheetStubs: true,
      }),
    );
  } catch (error) {
    // Every fault of a workbook is an exception here, with words as the only facts.
    return fail({ code: 'workbook-damaged', detail: error instanceof Error ? error.message.slice(0, 200) : 'unreadable' });
  }
}

function rowsOfSheet(workbook: WorkBook, chosenSheet: string | null): Result<RawTable, FileError> {
  const date1904 = workbook.Workbook?.WBProps?.date1904 === true;
  const read: { sheet: Sheet; rows: Row[]; merged: string[] }[] = [];
  for (const [index, name] of workbook.SheetNames.entries()) {
    const worksheet = workbook.Sheets[name];
    if (worksheet === undefined) return fail({ code: 'workbook-damaged', detail: `sheet ${printable(name)} cannot be read` });
    if (worksheet['!type'] !== undefined && worksheet['!type'] !== 'sheet') continue;
    const rows = rowsOf(worksheet, date1904);
    if (!rows.ok) return rows;
    const hidden = (workbook.Workbook?.Sheets?.[index]?.Hidden ?? 0) !== 0;
    const merged = (worksheet['!merges'] ?? []).map((range) => utils.encode_range(range));
    const rowCount = rows.value.filter((row) => row.cells.some((cell) => cell !== null)).length;
    read.push({ sheet: { name, hidden, rowCount }, rows: rows.value, merged });
  }
  const filled = read.filter(({ sheet }) => sheet.rowCount > 0);
  const names = read.map(({ sheet }) => sheet.name);
  const found = chosenSheet === null ? filled[0] : read.find(({ sheet }) => sheet.name === chosenSheet);
  if (chosenSheet === null && filled.length > 1) return fail({ code: 'sheet-not-chosen', sheets: names });
  if (found === undefined)
    return chosenSheet === null ? fail({ code: 'file-empty' }) : fail({ code: 'sheet-not-found', sheet: chosenSheet, sheets: names });
  return ok({
    format: 'xlsx',
    encoding: null,
    separator: null,
    sheets: read.map(({ sheet }) => sheet),
    sheet: found.sheet.name,
    rows: found.rows,
    notes: found.merged.length > 0 ? [{ code: 'merged-cells', ranges: found.merged.slice(0, 100) }] : [],
  });
}

function rowsOf(worksheet: WorkSheet, date1904: boolean): Result<Row[], FileError> {
  const rows: Row[] = [];
  const grid: readonly (readonly CellObject[])[] = worksheet['!data'] ?? [];
  // By forEach, which passes over the holes of a sparse sheet.
  let tooWideAt: number | null = null;
  grid.forEach((line, index) => {
    const cells: (Cell | null)[] = [];
    line.forEach((cell, columnIndex) => {
      const read = cellOf(cell, date1904);
      if (read === null) return;
      if (columnIndex >= MAX_COLUMNS) {
        tooWideAt ??= index + 1;
        return;
      }
      while (cells.length < columnIndex) cells.push(null);
      cells.push(read);
    });
    rows.push({ rowNumber: index + 1, cells, hidden: worksheet['!rows']?.[index]?.hidden === true });
  });
  return tooWideAt === null ? ok(rows) : fail({ code: 'table-too-many-columns', rowNumber: tooWideAt, limit: MAX_COLUMNS });
}

function cellOf(cell: CellObject, date1904: boolean): Cell | null {
  const formula = cell.f ?? cell.F ?? null;
  const shown = printable(cell.w ?? (cell.v === undefined ? '' : String(cell.v)));
  const fault = (code: CellFault): Cell => ({ kind: 'fault', fault: code, shown, formula });
  switch (cell.t) {
    case 'z':
      return formula === null ? null : { kind: 'fault', fault: 'formula-without-value', shown: `=${printable(formula)}`, formula };
    case 's': {
      const text = String(cell.v ?? '');
      return text.trim() === '' ? null : textCell(text, formula);
    }
    case 'b':
      return { kind: 'boolean', shown, formula };
    case 'n':
      return typeof cell.v === 'number' && Number.isFinite(cell.v)
        ? numberCell(cell.v, formatOf(cell), shown, formula, date1904)
        : fault('error-value');
    default:
      return fault('error-value');
  }
}

const formatOf = (cell: CellObject): string => (typeof cell.z === 'string' ? cell.z : 'General');

function numberCell(value: number, format: string, shown: string, formula: string | null, date1904: boolean): Cell {
  const fault = (code: CellFault): Cell => ({ kind: 'fault', fault: code, shown, formula });
  if (showsDate(format)) {
    const isoDate = isoDateOfSerial(value, date1904);
    return isoDate === null ? fault('date-out-of-range') : { kind: 'date', isoDate, shown: isoDate, formula };
  }
  const unquoted = format.replace(/"[^"]*"|\\./g, '');
  // A percent sign or a comma behind the digits shows another number than the one stored: which of them is meant cannot be known.
  if (unquoted.includes('%') || /[0#?],+(?![0#?])/.test(unquoted)) return fault('format-changes-value');
  const unitShown = /^[-+−]?\s*[\d.,'’\s\u00a0\u202f]*\d\s*([^\d\s][^\d]*)$/u.exec(shown)?.[1]?.trim() ?? null;
  return { kind: 'number', value: value === 0 ? 0 : value, unitShown: format === 'General' ? null : unitShown, shown, formula };
}

/** A number format with a letter of days or hours in it, once literals, fillers and colours are taken out. */
const showsDate = (format: string): boolean =>
  /[ymdhs]/i.test(format.replace(/"[^"]*"|\\.|_.|\*./g, '').replace(/\[(?!(?:h+|m+|s+)\])[^\]]*\]/gi, ''));

const MS_PER_DAY = 86_400_000;
/** Serial day 60 is 29 February 1900, which never was: spreadsheets count it, so days before it are off by one and refused. */
const FIRST_CERTAIN_SERIAL = 61;
const DAYS_1904 = 1462;

/** @source ECMA-376 Part 1, 18.17.4.1: day 1 is 1 January 1900, or day 0 is 1 January 1904 */
function isoDateOfSerial(serial: number, date1904: boolean): string | null {
  const day = Math.floor(serial) + (date1904 ? DAYS_1904 : 0);
  if (!(day >= FIRST_CERTAIN_SERIAL && day < 200_000)) return null;
  const date = new Date(Date.UTC(1899, 11, 30) + day * MS_PER_DAY);
  return isoDateOf(date.getUTCFullYear(), date.getUTCMonth() + 1, date.getUTCDate());
}
