import { crc32 } from 'node:zlib';

const LOCAL_HEADER_BYTES = 30;
const DIRECTORY_HEADER_BYTES = 46;
const END_BYTES = 22;
const VERSION = 20;
const UTF8_NAMES = 0x0800;

/**
 * A ZIP archive of the given parts, stored without compression. The workbook reader gets this instead of the uploaded bytes, so
 * it sees exactly the parts that were checked and cannot read another archive hidden in the same bytes.
 * @source PKWARE APPNOTE.TXT 6.3, sections 4.3.7, 4.3.12, 4.3.16
 */
export function storedArchive(parts: ReadonlyMap<string, Buffer>): Buffer {
  const bodies: Buffer[] = [];
  const directory: Buffer[] = [];
  let offset = 0;
  for (const [name, part] of parts) {
    const nameBytes = Buffer.from(name, 'utf8');
    const common = Buffer.alloc(26);
    common.writeUInt16LE(VERSION, 0);
    common.writeUInt16LE(UTF8_NAMES, 2);
    common.writeUInt32LE(crc32(part), 10);
    common.writeUInt32LE(part.length, 14);
    common.writeUInt32LE(part.length, 18);
    common.writeUInt16LE(nameBytes.length, 22);
    const local = Buffer.alloc(4);
    local.writeUInt32LE(0x04034b50, 0);
    bodies.push(local, common, nameBytes, part);
    const header = Buffer.alloc(DIRECTORY_HEADER_BYTES);
    header.writeUInt32LE(0x02014b50, 0);
    header.writeUInt16LE(VERSION, 4);
    common.copy(header, 6);
    header.writeUInt32LE(offset, 42);
    directory.push(header, nameBytes);
    offset += LOCAL_HEADER_BYTES + nameBytes.length + part.length;
  }
  const listing = Buffer.concat(directory);
  const end = Buffer.alloc(END_BYTES);
  end.writeUInt32LE(0x06054b50, 0);
  end.writeUInt16LE(parts.size, 8);
  end.writeUInt16LE(parts.size, 10);
  end.writeUInt32LE(listing.length, 12);
  end.writeUInt32LE(offset, 16);
  return Buffer.concat([...bodies, listing, end]);
}
