import { fail, ok, type Result } from '../domain/foundation/result.ts';
import type { FileError } from './file-error.ts';
import { HEADING_SEARCH_ROWS, LAST_ROW_NUMBER, MAX_ROWS } from './file-limits.ts';
import { recognisedHeadings } from './headings.ts';
import { KINDS } from './import-fields.ts';
import { columnLetter, type Cell, type Column, type Row, type Table, type TableNote } from './table.ts';
import { unitOfWord } from './units-of-measure.ts';

/** One recognised heading may stand in a title by chance; two in one row do not. */
const ENOUGH_HEADINGS = 2;

export type RawTable = Omit<Table, 'columns' | 'rows' | 'headingRowNumber' | 'fileName'> & { rows: readonly Row[] };

/** Finds the heading row and the row of units, and keeps the rows below them that hold anything. */
export function assembleTable(raw: RawTable, fileName: string, chosenRowNumber: number | null): Result<Table, FileError> {
  const heading = headingRow(raw.rows, chosenRowNumber);
  if (!heading.ok) return heading;
  const below = raw.rows.filter((row) => row.rowNumber > heading.value.rowNumber && row.cells.some((cell) => cell !== null));
  const units = below[0] !== undefined && isRowOfUnits(below[0]) ? below[0] : null;
  const rows = units === null ? below : below.slice(1);
  if (rows.length > MAX_ROWS || (rows.at(-1)?.rowNumber ?? 0) > LAST_ROW_NUMBER)
    return fail({ code: 'table-too-many-rows', limit: MAX_ROWS });
  const columns: Column[] = [];
  const notes: TableNote[] = [...raw.notes];
  const width = [heading.value, ...rows].reduce((widest, row) => Math.max(widest, row.cells.length), 0);
  for (let columnIndex = 0; columnIndex < width; columnIndex += 1) {
    const letter = columnLetter(columnIndex);
    const text = textOf(heading.value.cells[columnIndex]);
    if (text !== '') columns.push({ columnIndex, letter, heading: text, unitText: textOf(units?.cells[columnIndex]) || null });
    else if (rows.some((row) => (row.cells[columnIndex] ?? null) !== null)) notes.push({ code: 'column-without-heading', letter });
  }
  const titles = raw.rows.filter((row) => row.rowNumber < heading.value.rowNumber && row.cells.some((cell) => cell !== null));
  if (titles.length > 0) notes.push({ code: 'title-rows-skipped', rowNumbers: titles.map((row) => row.rowNumber) });
  return ok({ ...raw, fileName, headingRowNumber: heading.value.rowNumber, columns, rows, notes });
}

function headingRow(rows: readonly Row[], chosenRowNumber: number | null): Result<Row, FileError> {
  if (chosenRowNumber !== null) {
    const chosen = rows.find((row) => row.rowNumber === chosenRowNumber);
    return chosen ? ok(chosen) : fail({ code: 'heading-row-not-found', headingRowNumber: chosenRowNumber });
  }
  let best: { row: Row; recognised: number } | null = null;
  const looked = rows.slice(0, HEADING_SEARCH_ROWS);
  for (const row of looked) {
    const recognised = recognisedHeadings(row.cells.map(textOf));
    if (recognised >= ENOUGH_HEADINGS && recognised > (best?.recognised ?? 0)) best = { row, recognised };
  }
  if (best) return ok(best.row);
  const wanted = `${KINDS.points.wanted}; for members, ${KINDS.members.wanted}; for equipment, ${KINDS.hoists.wanted}`;
  return fail({ code: 'table-without-heading-row', rowsLookedAt: looked.length, wanted });
}

/** A row under the heading that holds units and nothing else. A single "m" could be a label; two units are not. */
function isRowOfUnits(row: Row): boolean {
  const texts = row.cells.map(textOf).filter((text) => text !== '');
  const units = texts.filter((text) => unitOfWord(text.replace(/^[[({]|[\])}]$/g, '')) !== null || text === '-');
  return units.length >= 2 && units.length === texts.length;
}

const textOf = (cell: Cell | null | undefined): string => (cell?.kind === 'text' ? cell.shown.trim() : '');
