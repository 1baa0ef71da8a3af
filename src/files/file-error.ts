/** Why a file as a whole cannot be read. Names what and where; a fault of one cell is not here but in the row's report. */
export type FileError =
  | { code: 'file-empty' }
  | { code: 'file-too-large'; bytes: number; limitBytes: number }
  | { code: 'file-format-not-read'; found: string; read: readonly ['CSV', 'XLSX'] }
  | { code: 'file-encrypted'; where: string }
  | { code: 'archive-damaged'; detail: string }
  | { code: 'archive-too-many-entries'; entries: number; limit: number }
  | { code: 'archive-unpacks-too-large'; bytes: number; limitBytes: number }
  | { code: 'archive-ratio-too-high'; ratio: number; limit: number }
  | { code: 'archive-entry-name-unsafe'; entry: string; detail: string }
  | { code: 'archive-entry-twice'; entry: string }
  | { code: 'xml-doctype'; entry: string }
  | { code: 'xml-not-utf8'; entry: string }
  | { code: 'workbook-damaged'; detail: string }
  | { code: 'workbook-cell-malformed'; entry: string; cell: string; cellText: string }
  | { code: 'sheet-not-chosen'; sheets: readonly string[] }
  | { code: 'sheet-not-found'; sheet: string; sheets: readonly string[] }
  | { code: 'text-not-decodable'; encoding: string; line: number }
  | { code: 'csv-quote-not-closed'; rowNumber: number }
  | { code: 'csv-row-too-long'; rowNumber: number }
  | { code: 'table-too-many-rows'; limit: number }
  | { code: 'table-too-many-columns'; rowNumber: number; limit: number }
  | { code: 'table-without-heading-row'; rowsLookedAt: number; wanted: string }
  | { code: 'heading-row-not-found'; headingRowNumber: number }
  | { code: 'reading-took-too-long'; limitS: number }
  | { code: 'reading-took-too-much-memory'; limitMb: number };
