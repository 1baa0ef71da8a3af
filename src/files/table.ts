/** Why a cell has no value that may be used. Found while the file is read; a row with one in a mapped column is refused. */
export type CellFault =
  | 'cell-too-long'
  | 'nul-character'
  | 'control-character'
  | 'lone-surrogate'
  | 'damaged-character'
  | 'formula-without-value'
  | 'error-value'
  | 'date-out-of-range'
  | 'format-changes-value';

type Common = {
  /** What a reader of the sheet sees. */
  shown: string;
  /** The formula whose stored result this is. It is never computed again here. */
  formula: string | null;
};

export type Cell = Common &
  (
    | { kind: 'text' }
    | {
        kind: 'number';
        value: number;
        /** Unit that the cell's number format prints behind the number, as "kg" in `0.0" kg"`. */
        unitShown: string | null;
      }
    | { kind: 'date'; isoDate: string }
    | { kind: 'boolean' }
    | { kind: 'fault'; fault: CellFault }
  );

/** `rowNumber` counts from 1 as a spreadsheet does, titles and blank rows included. Blank cells are null. */
export type Row = { rowNumber: number; cells: readonly (Cell | null)[]; hidden: boolean };

/** `unitText` comes from a row of units below the heading, where there is one. */
export type Column = { columnIndex: number; letter: string; heading: string; unitText: string | null };

export type TableNote =
  | { code: 'encoding-assumed'; encoding: 'windows-1252'; rowNumber: number; sample: string }
  | { code: 'column-without-heading'; letter: string }
  | { code: 'merged-cells'; ranges: readonly string[] }
  | { code: 'title-rows-skipped'; rowNumbers: readonly number[] };

export type Sheet = { name: string; hidden: boolean; rowCount: number };

export type Encoding = 'utf-8' | 'utf-16le' | 'utf-16be' | 'windows-1252';
export type Separator = ',' | ';' | '\t';

export type Table = {
  fileName: string;
  format: 'csv' | 'xlsx';
  encoding: Encoding | null;
  separator: Separator | null;
  sheets: readonly Sheet[];
  sheet: string | null;
  headingRowNumber: number;
  columns: readonly Column[];
  rows: readonly Row[];
  notes: readonly TableNote[];
};

export type TableChoices = {
  sheet?: string;
  headingRowNumber?: number;
  encoding?: Encoding;
  separator?: Separator;
};

/** 0 → A, 25 → Z, 26 → AA, as spreadsheets name columns. */
export function columnLetter(columnIndex: number): string {
  const rest = columnIndex % 26;
  const letter = String.fromCharCode(65 + rest);
  return columnIndex < 26 ? letter : columnLetter((columnIndex - rest) / 26 - 1) + letter;
}
