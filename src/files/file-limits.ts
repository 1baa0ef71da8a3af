// A spreadsheet of a roof holds a few hundred rows; these stop a hostile file long before they stop a venue.
export const MAX_FILE_BYTES = 20 * 1024 * 1024;
export const MAX_UNPACKED_BYTES = 200 * 1024 * 1024;
export const MAX_ARCHIVE_ENTRIES = 2000;
/** Unpacked size over packed size. Real workbooks stay near 10; a bomb needs hundreds. */
export const MAX_UNPACK_RATIO = 100;
export const MAX_ROWS = 20_000;
export const MAX_COLUMNS = 256;
export const MAX_CELL_CHARS = 2000;
/** The heading must stand within these first rows; above it only titles. */
export const HEADING_SEARCH_ROWS = 50;
/** The last row that is looked at: room for the titles, then the rows. */
export const LAST_ROW_NUMBER = MAX_ROWS + HEADING_SEARCH_ROWS;
export const READING_LIMIT_S = 10;
export const READING_HEAP_MB = 256;
