import { fail, type Result } from '../domain/foundation/result.ts';
import { assembleTable } from './assemble-table.ts';
import { csvRows } from './csv-rows.ts';
import { decodeText } from './decode-text.ts';
import type { FileError } from './file-error.ts';
import { MAX_FILE_BYTES } from './file-limits.ts';
import type { Row, Table, TableChoices, TableNote } from './table.ts';

/** Judged by content; a name says what someone called a file, not what it is. Null = text. */
function formatOf(buffer: Buffer): string | null {
  const starts = (...bytes: number[]): boolean => bytes.every((byte, at) => buffer[at] === byte);
  if (starts(0x50, 0x4b)) return 'ZIP';
  if (starts(0xd0, 0xcf, 0x11, 0xe0)) return 'XLS';
  if (starts(0x25, 0x50, 0x44, 0x46)) return 'PDF';
  if (starts(0x1f, 0x8b)) return 'GZIP';
  if (starts(0x89, 0x50, 0x4e, 0x47) || starts(0xff, 0xd8, 0xff)) return 'image';
  const head = buffer
    .subarray(0, 512)
    .toString('latin1')
    .replace(/^\u00ef\u00bb\u00bf/, '')
    .trimStart()
    .toLowerCase();
  if (/^<(?:!doctype|html|table|\?xml)/.test(head)) return head.includes('<?xml') ? 'XML' : 'HTML';
  return null;
}

/** Runs in the worker, where a hostile file can cost no more than the worker. Callers use `readTable`. */
export async function tableFromBytes(bytes: Uint8Array, fileName: string, choices: TableChoices): Promise<Result<Table, FileError>> {
  if (bytes.byteLength === 0) return fail({ code: 'file-empty' });
  if (bytes.byteLength > MAX_FILE_BYTES) return fail({ code: 'file-too-large', bytes: bytes.byteLength, limitBytes: MAX_FILE_BYTES });
  const buffer = Buffer.from(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const chosenRowNumber = choices.headingRowNumber ?? null;
  const format = formatOf(buffer);
  if (format === 'ZIP') {
    const { workbookRows } = await import('./workbook-rows.ts'); // a large library, not loaded for a text
    const raw = await workbookRows(bytes, choices.sheet ?? null);
    return raw.ok ? assembleTable(raw.value, fileName, chosenRowNumber) : raw;
  }
  // A workbook with a password is an older container with the encrypted workbook inside.
  if (format === 'XLS' && buffer.includes(Buffer.from('EncryptedPackage', 'utf16le')))
    return fail({ code: 'file-encrypted', where: 'workbook' });
  if (format !== null) return fail({ code: 'file-format-not-read', found: format, read: ['CSV', 'XLSX'] });
  const decoded = decodeText(bytes, choices.encoding ?? null);
  if (!decoded.ok) return decoded;
  const { text, encoding, assumed } = decoded.value;
  if (text.trim() === '') return fail({ code: 'file-empty' });
  const read = csvRows(text, choices.separator ?? null);
  if (!read.ok) return read;
  const { rows, separator } = read.value;
  const notes = assumed ? assumedEncoding(rows) : [];
  return assembleTable({ format: 'csv', encoding, separator, sheets: [], sheet: null, rows, notes }, fileName, chosenRowNumber);
}

/** Shows the first cell with a letter whose reading was assumed, so that a person can see whether it reads right. */
function assumedEncoding(rows: readonly Row[]): TableNote[] {
  for (const { rowNumber, cells } of rows) {
    const sample = cells.find((cell) => cell !== null && /[^\u0000-\u007f]/.test(cell.shown));
    if (sample) return [{ code: 'encoding-assumed', encoding: 'windows-1252', rowNumber, sample: sample.shown }];
  }
  return [];
}
