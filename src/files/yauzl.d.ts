// What this project uses of yauzl 3, which ships no types.
declare module 'yauzl' {
  import type { Readable } from 'node:stream';
  export interface Entry {
    fileNameRaw: Buffer;
    generalPurposeBitFlag: number;
    extraFields: { id: number; data: Buffer }[];
    compressionMethod: number;
    compressedSize: number;
    uncompressedSize: number;
    crc32: number;
    isEncrypted(): boolean;
  }
  export interface ZipFile {
    entryCount: number;
    comment: Buffer;
    /** After all entries were read: where the directory ends. */
    readEntryCursor: number;
    eachEntry(): AsyncIterable<Entry>;
    openReadStreamPromise(entry: Entry): Promise<Readable>;
  }
  export function fromBufferPromise(buffer: Buffer, options: { decodeStrings: boolean }): Promise<ZipFile>;
  export function getFileNameLowLevel(flag: number, raw: Buffer, extraFields: Entry['extraFields'], strict: boolean): string;
  export function validateFileName(name: string): string | null;
}
