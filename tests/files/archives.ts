// Makes archives and workbooks byte by byte, so that a test can lie in any field.
import { crc32, deflateRawSync } from 'node:zlib';

export type Part = {
  name: string;
  text?: string;
  bytes?: Buffer;
  /** Stated instead of the true unpacked size. */
  statedBytes?: number;
  flags?: number;
  crc?: number;
  /** Takes the packed bytes of an earlier part instead of its own. */
  sharesWith?: number;
};

export function archiveOf(parts: readonly Part[]): Buffer {
  const chunks: Buffer[] = [];
  const directory: Buffer[] = [];
  const offsets: number[] = [];
  let offset = 0;
  parts.forEach((part, index) => {
    const body = part.bytes ?? Buffer.from(part.text ?? '', 'utf8');
    const packed = deflateRawSync(body);
    const name = Buffer.from(part.name, 'utf8');
    const fields = Buffer.alloc(26);
    fields.writeUInt16LE(20, 0);
    fields.writeUInt16LE(part.flags ?? 0x0800, 2);
    fields.writeUInt16LE(8, 4);
    fields.writeUInt32LE(part.crc ?? crc32(body), 10);
    fields.writeUInt32LE(packed.length, 14);
    fields.writeUInt32LE(part.statedBytes ?? body.length, 18);
    fields.writeUInt16LE(name.length, 22);
    const shared = part.sharesWith === undefined ? undefined : offsets[part.sharesWith];
    offsets[index] = shared ?? offset;
    if (shared === undefined) {
      const local = Buffer.concat([Buffer.from('PK\x03\x04', 'latin1'), fields, name, packed]);
      chunks.push(local);
      offset += local.length;
    }
    const header = Buffer.alloc(46);
    header.write('PK\x01\x02', 0, 'latin1');
    header.writeUInt16LE(20, 4);
    fields.copy(header, 6);
    header.writeUInt32LE(offsets[index] ?? 0, 42);
    directory.push(header, name);
  });
  const listing = Buffer.concat(directory);
  const end = Buffer.alloc(22);
  end.write('PK\x05\x06', 0, 'latin1');
  end.writeUInt16LE(parts.length, 8);
  end.writeUInt16LE(parts.length, 10);
  end.writeUInt32LE(listing.length, 12);
  end.writeUInt32LE(offset, 16);
  return Buffer.concat([...chunks, listing, end]);
}

const CONTENT_TYPES = `<?xml version="1.0" encoding="UTF-8"?><Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types"><Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/><Default Extension="xml" ContentType="application/xml"/><Override PartName="/xl/workbook.xml" ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.sheet.main+xml"/><Override PartName="/xl/worksheets/sheet1.xml" ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.worksheet+xml"/><Override PartName="/xl/sharedStrings.xml" ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.sharedStrings+xml"/><Override PartName="/xl/styles.xml" ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.styles+xml"/></Types>`;
const RELS = `<?xml version="1.0" encoding="UTF-8"?><Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"><Relationship Id="rId1" Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/officeDocument" Target="xl/workbook.xml"/></Relationships>`;
const WORKBOOK_RELS = `<?xml version="1.0" encoding="UTF-8"?><Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"><Relationship Id="rId1" Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/worksheet" Target="worksheets/sheet1.xml"/><Relationship Id="rId2" Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/sharedStrings" Target="sharedStrings.xml"/><Relationship Id="rId3" Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/styles" Target="styles.xml"/></Relationships>`;
const NAMESPACE = 'http://schemas.openxmlformats.org/spreadsheetml/2006/main';
/** Cell styles by index: 0 general, 1 day (built-in format 14), 2 `0.0" kg"`, 3 percent, 4 thousands cut off, 5 `0.00`. */
const STYLES = `<?xml version="1.0" encoding="UTF-8"?><styleSheet xmlns="${NAMESPACE}"><numFmts count="2"><numFmt numFmtId="164" formatCode="0.0&quot; kg&quot;"/><numFmt numFmtId="165" formatCode="0.0,"/></numFmts><fonts count="1"><font/></fonts><fills count="1"><fill/></fills><borders count="1"><border/></borders><cellXfs count="6"><xf numFmtId="0"/><xf numFmtId="14" applyNumberFormat="1"/><xf numFmtId="164" applyNumberFormat="1"/><xf numFmtId="9" applyNumberFormat="1"/><xf numFmtId="165" applyNumberFormat="1"/><xf numFmtId="2" applyNumberFormat="1"/></cellXfs></styleSheet>`;

const escapeXml = (text: string): string =>
  text.replaceAll('&', '&amp;').replaceAll('<', '&lt;').replaceAll('>', '&gt;').replaceAll('"', '&quot;');

/** A workbook of one sheet whose `<sheetData>` is given, with parts replaced or added. */
export function workbookParts(sheetData: string, replaced: readonly Part[] = [], sharedStrings: readonly string[] = []): Part[] {
  const parts: Part[] = [
    { name: '[Content_Types].xml', text: CONTENT_TYPES },
    { name: '_rels/.rels', text: RELS },
    {
      name: 'xl/workbook.xml',
      text: `<?xml version="1.0" encoding="UTF-8"?><workbook xmlns="${NAMESPACE}" xmlns:r="http://schemas.openxmlformats.org/officeDocument/2006/relationships"><sheets><sheet name="Roof" sheetId="1" r:id="rId1"/></sheets></workbook>`,
    },
    { name: 'xl/_rels/workbook.xml.rels', text: WORKBOOK_RELS },
    { name: 'xl/worksheets/sheet1.xml', text: sheetXml(sheetData) },
    {
      name: 'xl/sharedStrings.xml',
      text: `<?xml version="1.0" encoding="UTF-8"?><sst xmlns="${NAMESPACE}">${sharedStrings.map((text) => `<si><t>${escapeXml(text)}</t></si>`).join('')}</sst>`,
    },
    { name: 'xl/styles.xml', text: STYLES },
  ];
  const names = new Set(replaced.map((part) => part.name));
  return [...parts.filter((part) => !names.has(part.name)), ...replaced];
}

export const sheetXml = (sheetData: string, after = ''): string =>
  `<?xml version="1.0" encoding="UTF-8"?><worksheet xmlns="${NAMESPACE}"><sheetData>${sheetData}</sheetData>${after}</worksheet>`;

export const inline = (cell: string, text: string): string =>
  `<c r="${cell}" t="inlineStr"><is><t xml:space="preserve">${escapeXml(text)}</t></is></c>`;

/** Heading row of five columns in row 1: Label, x [m], y [m], z [m], WLL [kg]. */
export const HEADINGS = `<row r="1">${['Label', 'x [m]', 'y [m]', 'z [m]', 'WLL [kg]'].map((text, index) => inline(`${'ABCDE'.charAt(index)}1`, text)).join('')}</row>`;

export const workbookOf = (sheetData: string, replaced: readonly Part[] = []): Buffer => archiveOf(workbookParts(sheetData, replaced));
