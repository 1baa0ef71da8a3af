import { isUtf8 } from 'node:buffer';
import { fail, ok, type Result } from '../domain/foundation/result.ts';
import type { FileError } from './file-error.ts';
import type { Encoding } from './table.ts';

export type DecodedText = { text: string; encoding: Encoding; assumed: boolean };

const LINE_FEED = 0x0a;
/** More NUL bytes than this share is no text that anyone typed. */
const NUL_SHARE = 0.01;

/**
 * Bytes of a CSV file to text. A byte order mark decides; else valid UTF-8 is UTF-8. What is neither is Windows-1252, the habit
 * of spreadsheets in Europe, and is marked as assumed so that the reader looks at the umlauts. A file that holds both valid
 * UTF-8 letters and broken ones is damaged in either reading and is refused unless the caller names the encoding.
 */
export function decodeText(bytes: Uint8Array, chosen: Encoding | null): Result<DecodedText, FileError> {
  const buffer = Buffer.from(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const marked = encodingOfMark(buffer);
  const encoding = chosen ?? marked ?? (isUtf8(buffer) ? 'utf-8' : null);
  if (encoding !== null) return decodeAs(buffer, encoding, false);
  const scan = scanUtf8(buffer);
  if (scan.letters > 0) return fail({ code: 'text-not-decodable', encoding: 'utf-8', line: lineAt(buffer, scan.firstBrokenAt) });
  return decodeAs(buffer, 'windows-1252', true);
}

function decodeAs(buffer: Buffer, encoding: Encoding, assumed: boolean): Result<DecodedText, FileError> {
  let text: string;
  switch (encoding) {
    case 'utf-8':
      if (!isUtf8(buffer)) return fail({ code: 'text-not-decodable', encoding, line: lineAt(buffer, scanUtf8(buffer).firstBrokenAt) });
      text = buffer.toString('utf8');
      break;
    case 'utf-16le':
    case 'utf-16be':
      if (buffer.length % 2 !== 0) return fail({ code: 'text-not-decodable', encoding, line: lineAt(buffer, buffer.length) });
      // A lone surrogate becomes U+FFFD, by which its cell is found and refused.
      text = new TextDecoder(encoding).decode(buffer);
      break;
    case 'windows-1252':
      text = new TextDecoder('windows-1252').decode(buffer);
      break;
  }
  if (text.startsWith('\uFEFF')) text = text.slice(1);
  if (nulCount(text) > text.length * NUL_SHARE) return fail({ code: 'file-format-not-read', found: 'binary', read: ['CSV', 'XLSX'] });
  return ok({ text, encoding, assumed });
}

function encodingOfMark(buffer: Buffer): Encoding | null {
  if (buffer.length >= 3 && buffer[0] === 0xef && buffer[1] === 0xbb && buffer[2] === 0xbf) return 'utf-8';
  if (buffer.length >= 2 && buffer[0] === 0xff && buffer[1] === 0xfe) return 'utf-16le';
  if (buffer.length >= 2 && buffer[0] === 0xfe && buffer[1] === 0xff) return 'utf-16be';
  return null;
}

/** Counts whole multi-byte letters and finds the first byte that belongs to none. Overlong forms are left to `isUtf8`. */
function scanUtf8(buffer: Buffer): { letters: number; firstBrokenAt: number } {
  let letters = 0;
  let firstBrokenAt = -1;
  for (let at = 0; at < buffer.length;) {
    const lead = buffer[at] ?? 0;
    const length =
      lead < 0x80 ? 1 : lead >= 0xc2 && lead < 0xe0 ? 2 : lead >= 0xe0 && lead < 0xf0 ? 3 : lead >= 0xf0 && lead < 0xf5 ? 4 : 0;
    if (length > 0 && (length === 1 || isUtf8(buffer.subarray(at, at + length)))) {
      if (length > 1) letters += 1;
      at += length;
    } else {
      if (firstBrokenAt < 0) firstBrokenAt = at;
      at += 1;
    }
  }
  return { letters, firstBrokenAt };
}

function lineAt(buffer: Buffer, end: number): number {
  let line = 1;
  for (let at = 0; at < end; at += 1) if (buffer[at] === LINE_FEED) line += 1;
  return line;
}

function nulCount(text: string): number {
  let count = 0;
  for (let at = text.indexOf('\0'); at >= 0; at = text.indexOf('\0', at + 1)) count += 1;
  return count;
}
