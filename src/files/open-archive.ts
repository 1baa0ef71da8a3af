import { crc32 } from 'node:zlib';
import { fromBufferPromise, getFileNameLowLevel, validateFileName, type Entry, type ZipFile } from 'yauzl';
import { fail, ok, type Result } from '../domain/foundation/result.ts';
import type { FileError } from './file-error.ts';
import { MAX_ARCHIVE_ENTRIES, MAX_UNPACK_RATIO, MAX_UNPACKED_BYTES } from './file-limits.ts';

/** Names of all entries, and the bytes of those that were wanted. */
export type Archive = { names: readonly string[]; parts: ReadonlyMap<string, Buffer> };
type Listed = { name: string; entry: Entry };

const END_MARK_BYTES = 22;
/** What the form for large archives puts before the end mark: its own record of 56 bytes and the locator of 20. */
const LARGE_END_MARK_BYTES = 76;

/**
 * Opens a ZIP archive that a stranger made. The directory is judged first: count, sizes, ratio, names, encryption. Then each
 * wanted part is unpacked, held to the size that the directory stated and to its checksum. Nothing is written to disk.
 */
export async function openArchive(bytes: Uint8Array, wanted: (name: string) => boolean): Promise<Result<Archive, FileError>> {
  const buffer = Buffer.from(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  try {
    const zip = await fromBufferPromise(buffer, { decodeStrings: false });
    const listed = await judgedDirectory(zip, buffer.length);
    if (!listed.ok) return listed;
    const parts = new Map<string, Buffer>();
    for (const { name, entry } of listed.value) {
      if (!wanted(name)) continue;
      const part = await unpack(zip, name, entry);
      if (!part.ok) return part;
      parts.set(name, part.value);
    }
    return ok({ names: listed.value.map((each) => each.name), parts });
  } catch (error) {
    if (!(error instanceof Error)) throw error;
    if (error.message === 'strong encryption is not supported') return fail({ code: 'file-encrypted', where: 'archive' });
    // The reader of archives throws on every malformed byte; its words say which.
    return fail({ code: 'archive-damaged', detail: error.message });
  }
}

async function judgedDirectory(zip: ZipFile, packedBytes: number): Promise<Result<Listed[], FileError>> {
  const tooMany = (entries: number) => fail({ code: 'archive-too-many-entries', entries, limit: MAX_ARCHIVE_ENTRIES });
  if (zip.entryCount > MAX_ARCHIVE_ENTRIES) return tooMany(zip.entryCount);
  const listed: Listed[] = [];
  const seen = new Set<string>();
  let unpackedBytes = 0;
  let packedSumBytes = 0;
  for await (const entry of zip.eachEntry()) {
    if (listed.length >= MAX_ARCHIVE_ENTRIES) return tooMany(listed.length + 1);
    const name = getFileNameLowLevel(entry.generalPurposeBitFlag, entry.fileNameRaw, entry.extraFields, true);
    const unsafe = validateFileName(name) ?? (name.includes('\0') ? 'NUL in name' : null);
    if (unsafe !== null) return fail({ code: 'archive-entry-name-unsafe', entry: name.slice(0, 200), detail: unsafe });
    if (entry.isEncrypted()) return fail({ code: 'file-encrypted', where: name.slice(0, 200) });
    if (seen.has(name.toLowerCase())) return fail({ code: 'archive-entry-twice', entry: name.slice(0, 200) });
    seen.add(name.toLowerCase());
    unpackedBytes += entry.uncompressedSize;
    packedSumBytes += entry.compressedSize;
    listed.push({ name, entry });
  }
  // Bytes between directory and end mark belong to no entry: another archive may hide there, and other readers would find that one.
  const gapBytes = packedBytes - END_MARK_BYTES - zip.comment.length - zip.readEntryCursor;
  if (gapBytes !== 0 && gapBytes !== LARGE_END_MARK_BYTES)
    return fail({ code: 'archive-damaged', detail: 'bytes that belong to no entry' });
  if (unpackedBytes > MAX_UNPACKED_BYTES)
    return fail({ code: 'archive-unpacks-too-large', bytes: unpackedBytes, limitBytes: MAX_UNPACKED_BYTES });
  const ratio = Math.ceil(unpackedBytes / packedBytes);
  if (ratio > MAX_UNPACK_RATIO) return fail({ code: 'archive-ratio-too-high', ratio, limit: MAX_UNPACK_RATIO });
  // Entries that share the same packed bytes are how a small bomb unpacks to much.
  if (packedSumBytes > packedBytes) return fail({ code: 'archive-damaged', detail: 'entries overlap' });
  return ok(listed);
}

async function unpack(zip: ZipFile, name: string, entry: Entry): Promise<Result<Buffer, FileError>> {
  const stream = await zip.openReadStreamPromise(entry);
  const chunks: Buffer[] = [];
  let unpackedBytes = 0;
  for await (const chunk of stream) {
    if (!Buffer.isBuffer(chunk)) throw new TypeError('an archive entry is read as bytes');
    unpackedBytes += chunk.length;
    // The stream ends with an error of its own at the stated size; this holds even if it did not.
    if (unpackedBytes > entry.uncompressedSize) return fail({ code: 'archive-damaged', detail: `${name} is larger than stated` });
    chunks.push(chunk);
  }
  const part = Buffer.concat(chunks, unpackedBytes);
  if (crc32(part) !== entry.crc32) return fail({ code: 'archive-damaged', detail: `${name} does not match its checksum` });
  return ok(part);
}
