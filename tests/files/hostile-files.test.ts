import { randomBytes } from 'node:crypto';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { MAX_FILE_BYTES } from '../../src/files/file-limits.ts';
import { readTable } from '../../src/files/read-table.ts';
import { tableFromBytes } from '../../src/files/table-from-bytes.ts';
import { archiveOf, HEADINGS, inline, workbookOf, workbookParts, type Part } from './archives.ts';
import { expectError, expectOk, tableOf, utf8 } from './expect-result.ts';

const GOOD_ROW = `<row r="2">${inline('A2', 'P1')}<c r="B2"><v>1</v></c><c r="C2"><v>2</v></c><c r="D2"><v>3</v></c><c r="E2"><v>450</v></c></row>`;
const GOOD = HEADINGS + GOOD_ROW;
const errorOf = async (bytes: Uint8Array) => expectError(await tableFromBytes(bytes, 'roof.xlsx', {}));
const withPart = (part: Part): Buffer => workbookOf(GOOD, [part]);
const cellsOf = async (sheetData: string) => (await tableOf(workbookOf(HEADINGS + sheetData))).rows[0]?.cells ?? [];

test('the workbook that the others are bent from is read', async () => {
  const table = await tableOf(workbookOf(GOOD));
  expect(table.rows).toHaveLength(1);
  expect(table.rows[0]?.cells[4]).toMatchObject({ kind: 'number', value: 450 });
});

describe('archives', () => {
  test('too many entries', async () => {
    const many = Array.from({ length: 2001 }, (_, index): Part => ({ name: `xl/media/${index}.png`, text: 'x' }));
    expect(await errorOf(archiveOf([...workbookParts(GOOD), ...many]))).toEqual({
      code: 'archive-too-many-entries',
      entries: 2008,
      limit: 2000,
    });
  });
  test('a bomb by ratio: 100 MB of nothing', async () => {
    const error = await errorOf(withPart({ name: 'xl/worksheets/sheet2.xml', bytes: Buffer.alloc(100 * 1024 * 1024, 0x20) }));
    expect(error).toMatchObject({ code: 'archive-ratio-too-high', limit: 100 });
  });
  test('a bomb by sum: more than 200 MB in all', async () => {
    const error = await errorOf(withPart({ name: 'xl/media/a.bin', text: 'x', statedBytes: 201 * 1024 * 1024 }));
    expect(error).toMatchObject({ code: 'archive-unpacks-too-large', limitBytes: 200 * 1024 * 1024 });
  });
  test('a bomb that states a small size stops at that size', async () => {
    const error = await errorOf(withPart({ name: 'xl/styles.xml', bytes: Buffer.alloc(50 * 1024 * 1024, 0x20), statedBytes: 100 }));
    expect(error).toMatchObject({ code: 'archive-damaged' });
  });
  test('a bomb of entries that share their bytes', async () => {
    const noise = randomBytes(300_000).toString('base64');
    const shared = Array.from({ length: 20 }, (_, index): Part => ({ name: `xl/x${index}.xml`, text: noise, sharesWith: 0 }));
    expect(await errorOf(archiveOf([{ name: 'xl/a.xml', text: noise }, ...shared]))).toEqual({
      code: 'archive-damaged',
      detail: 'entries overlap',
    });
  });
  test.each(['../../etc/passwd', '/etc/passwd', 'C:/windows/x.xml', 'xl/..\\..\\x.xml', 'xl/../../x.xml'])('the name %s', async (name) => {
    expect(await errorOf(withPart({ name, text: 'x' }))).toMatchObject({ code: 'archive-entry-name-unsafe' });
  });
  test('one name twice, also in other capitals', async () => {
    expect(await errorOf(archiveOf([...workbookParts(GOOD), { name: 'XL/WorkBook.xml', text: 'x' }]))).toEqual({
      code: 'archive-entry-twice',
      entry: 'XL/WorkBook.xml',
    });
  });
  test('an encrypted entry', async () => {
    expect(await errorOf(withPart({ name: 'xl/styles.xml', text: 'x', flags: 0x0801 }))).toEqual({
      code: 'file-encrypted',
      where: 'xl/styles.xml',
    });
    expect(await errorOf(withPart({ name: 'xl/styles.xml', text: 'x', flags: 0x0841 }))).toMatchObject({ code: 'file-encrypted' });
  });
  test('a wrong checksum', async () => {
    expect(await errorOf(withPart({ name: 'xl/styles.xml', text: '<a/>', crc: 1 }))).toEqual({
      code: 'archive-damaged',
      detail: 'xl/styles.xml does not match its checksum',
    });
  });
  test('cut anywhere, it is refused', async () => {
    const whole = workbookOf(GOOD);
    for (const share of [0.1, 0.5, 0.9, 0.99])
      expect(await errorOf(whole.subarray(0, whole.length * share))).toMatchObject({ code: 'archive-damaged' });
  });
  test('an empty archive, and archives of other formats, are named', async () => {
    expect(await errorOf(archiveOf([]))).toMatchObject({ code: 'file-format-not-read', found: 'ZIP archive' });
    expect(await errorOf(archiveOf([{ name: 'mimetype' }, { name: 'content.xml', text: '<a/>' }]))).toMatchObject({
      found: 'OpenDocument',
    });
    expect(await errorOf(archiveOf([{ name: '[Content_Types].xml' }, { name: 'word/document.xml', text: '<a/>' }]))).toMatchObject({
      found: 'DOCX',
    });
    expect(await errorOf(archiveOf([{ name: '[Content_Types].xml' }, { name: 'xl/workbook.bin', text: 'x' }]))).toMatchObject({
      found: 'XLSB',
    });
  });
  test('an archive hidden before another is not read', async () => {
    // Readers disagree on which of two directories counts, so one of them would see other ratings.
    const other = workbookOf(HEADINGS + GOOD_ROW.replace('450', '9000'));
    const detail = 'bytes that belong to no entry';
    expect(await errorOf(Buffer.concat([other, workbookOf(GOOD)]))).toEqual({ code: 'archive-damaged', detail });
    expect(await errorOf(Buffer.concat([Buffer.from('PK\x03\x04'), workbookOf(GOOD)]))).toMatchObject({ code: 'archive-damaged' });
  });
});

describe('parts of a workbook', () => {
  const ENTITIES = '<!DOCTYPE a [<!ENTITY b "bbbb"><!ENTITY c SYSTEM "file:///etc/passwd">]>';
  test.each([
    'xl/worksheets/sheet1.xml',
    'xl/sharedStrings.xml',
    'xl/workbook.xml',
    '[Content_Types].xml',
    'xl/_rels/workbook.xml.rels',
    'docProps/core.xml',
  ])('a DOCTYPE in %s', async (name) => {
    expect(await errorOf(withPart({ name, text: `<?xml version="1.0"?>${ENTITIES}<a>&c;</a>` }))).toEqual({
      code: 'xml-doctype',
      entry: name,
    });
  });
  test('a DOCTYPE hidden in UTF-16 or behind another encoding', async () => {
    const name = 'xl/worksheets/sheet1.xml';
    expect(await errorOf(withPart({ name, bytes: Buffer.from(`\uFEFF${ENTITIES}<a/>`, 'utf16le') }))).toEqual({
      code: 'xml-not-utf8',
      entry: name,
    });
    expect(await errorOf(withPart({ name, text: `<?xml version="1.0" encoding="UTF-7"?><a/>` }))).toEqual({
      code: 'xml-not-utf8',
      entry: name,
    });
    expect(await errorOf(withPart({ name, bytes: Buffer.from([0x3c, 0x61, 0xff, 0x2f, 0x3e]) }))).toEqual({
      code: 'xml-not-utf8',
      entry: name,
    });
  });
  test('cells in a comment are no cells', async () => {
    const table = await tableOf(workbookOf(`${GOOD}<!-- ${GOOD_ROW.replaceAll('2"', '3"')} -->`));
    expect(table.rows).toHaveLength(1);
  });
  test.each(['1,5', '12abc', '0x1F', 'NaN', '--1', '1 5'])(
    'a stored number "%s", of which a reader would take the beginning',
    async (value) => {
      const sheet = HEADINGS + GOOD_ROW.replace('<v>450</v>', `<v>${value}</v>`);
      expect(await errorOf(workbookOf(sheet))).toEqual({
        code: 'workbook-cell-malformed',
        entry: 'xl/worksheets/sheet1.xml',
        cell: 'E2',
        cellText: value,
      });
    },
  );
  test('a cell that names another row than the one it stands in', async () => {
    expect(await errorOf(workbookOf(HEADINGS + GOOD_ROW.replace('r="E2"', 'r="E999999"')))).toMatchObject({
      code: 'workbook-cell-malformed',
      cell: 'E999999',
    });
    expect(await errorOf(workbookOf(HEADINGS + GOOD_ROW.replace('r="E2"', 'r="E12"')))).toMatchObject({
      code: 'workbook-cell-malformed',
      cell: 'E12',
    });
  });
  test('a text that the shared texts do not hold', async () => {
    expect(await errorOf(workbookOf(`${GOOD}<row r="3"><c r="A3" t="s"><v>7</v></c></row>`))).toMatchObject({ code: 'workbook-damaged' });
    expect(await errorOf(workbookOf(`${GOOD}<row r="3"><c r="A3" t="s"><v>-1</v></c></row>`))).toMatchObject({
      code: 'workbook-cell-malformed',
    });
  });
  test('rows beyond the limit, even after a gap', async () => {
    expect(await errorOf(workbookOf(`${GOOD}<row r="900000">${inline('A900000', 'P2')}</row>`))).toEqual({
      code: 'table-too-many-rows',
      limit: 20_000,
    });
  });
  test('columns beyond the limit', async () => {
    expect(await errorOf(workbookOf(`${GOOD}<row r="3">${inline('XFD3', 'P2')}</row>`))).toEqual({
      code: 'table-too-many-columns',
      rowNumber: 3,
      limit: 256,
    });
  });
  test('sheets with names that JavaScript knows', async () => {
    const workbook = workbookParts(GOOD).find((part) => part.name === 'xl/workbook.xml')?.text ?? '';
    for (const name of ['__proto__', 'constructor', 'toString']) {
      const table = await tableOf(withPart({ name: 'xl/workbook.xml', text: workbook.replace('name="Roof"', `name="${name}"`) }));
      expect(table.sheet).toBe(name);
      expect(table.rows).toHaveLength(1);
      expect({}).not.toHaveProperty('!data');
    }
  });
});

describe('cells of a workbook', () => {
  const rowWith = (cell: string): string => `<row r="2">${inline('A2', 'P1')}${cell}</row>`;
  test('a formula gives its stored result and is flagged', async () => {
    const cells = await cellsOf(rowWith('<c r="E2"><f>HYPERLINK("http://example.invalid")+1</f><v>450</v></c>'));
    expect(cells[4]).toMatchObject({ kind: 'number', value: 450, formula: 'HYPERLINK("http://example.invalid")+1' });
  });
  test.each(['<c r="E2"><f>A1*2</f></c>', '<c r="E2"><f>A1*2</f><v></v></c>', '<c r="E2"><f>A1*2</f><v/></c>'])(
    'a formula without a stored result is no zero: %s',
    async (cell) => {
      expect((await cellsOf(rowWith(cell)))[4]).toMatchObject({ kind: 'fault', fault: 'formula-without-value' });
    },
  );
  test('a real zero stays a zero', async () => {
    expect((await cellsOf(rowWith('<c r="E2"><v>0</v></c>')))[4]).toMatchObject({ kind: 'number', value: 0 });
  });
  test('an error, an infinite number', async () => {
    expect((await cellsOf(rowWith('<c r="E2" t="e"><v>#REF!</v></c>')))[4]).toMatchObject({
      kind: 'fault',
      fault: 'error-value',
      shown: '#REF!',
    });
    expect((await cellsOf(rowWith('<c r="E2"><v>1e999</v></c>')))[4]).toMatchObject({ kind: 'fault', fault: 'error-value' });
  });
  test('days are days, counted from either year', async () => {
    // 46173 = 31 May 2026, counted from 30 December 1899: 46173 days later by the proleptic Gregorian calendar.
    expect((await cellsOf(rowWith('<c r="E2" s="1"><v>46173</v></c>')))[4]).toMatchObject({ kind: 'date', isoDate: '2026-05-31' });
    expect((await cellsOf(rowWith('<c r="E2" s="1"><v>46173.75</v></c>')))[4]).toMatchObject({ kind: 'date', isoDate: '2026-05-31' });
    const workbook = workbookParts(GOOD).find((part) => part.name === 'xl/workbook.xml')?.text ?? '';
    const from1904 = workbook.replace('<sheets>', '<workbookPr date1904="1"/><sheets>');
    const table = await tableOf(
      workbookOf(HEADINGS + rowWith('<c r="E2" s="1"><v>44711</v></c>'), [{ name: 'xl/workbook.xml', text: from1904 }]),
    );
    expect(table.rows[0]?.cells[4]).toMatchObject({ kind: 'date', isoDate: '2026-05-31' });
  });
  test.each(['60', '0.5', '-3', '9999999'])('the serial day %s is no certain day', async (serial) => {
    expect((await cellsOf(rowWith(`<c r="E2" s="1"><v>${serial}</v></c>`)))[4]).toMatchObject({
      kind: 'fault',
      fault: 'date-out-of-range',
    });
  });
  test('a unit in the number format counts; a format that shows another number is refused', async () => {
    expect((await cellsOf(rowWith('<c r="E2" s="2"><v>450</v></c>')))[4]).toMatchObject({ kind: 'number', value: 450, unitShown: 'kg' });
    expect((await cellsOf(rowWith('<c r="E2" s="3"><v>0.5</v></c>')))[4]).toMatchObject({ kind: 'fault', fault: 'format-changes-value' });
    expect((await cellsOf(rowWith('<c r="E2" s="4"><v>450000</v></c>')))[4]).toMatchObject({
      kind: 'fault',
      fault: 'format-changes-value',
    });
    expect((await cellsOf(rowWith('<c r="E2" s="5"><v>450</v></c>')))[4]).toMatchObject({
      kind: 'number',
      value: 450,
      unitShown: null,
      shown: '450.00',
    });
  });
  test.each([
    ['_x0000_', 'nul-character'],
    ['_xD800_', 'lone-surrogate'],
    ['_x0007_', 'control-character'],
    ['\uFFFD', 'damaged-character'],
    ['x'.repeat(2001), 'cell-too-long'],
  ])('the text %.12s', async (text, fault) => {
    expect((await cellsOf(rowWith(inline('B2', `P${text}`))))[1]).toMatchObject({ kind: 'fault', fault });
  });
});

describe('text files', () => {
  const errorOfText = async (bytes: Uint8Array) => expectError(await tableFromBytes(bytes, 'roof.csv', {}));
  test('nothing, blanks, a byte order mark alone', async () => {
    for (const text of ['', '  \r\n ', '\uFEFF']) expect(await errorOfText(utf8(text))).toEqual({ code: 'file-empty' });
  });
  test.each<[string, Buffer]>([
    ['PDF', Buffer.from('%PDF-1.7')],
    ['GZIP', Buffer.from([0x1f, 0x8b, 8, 0])],
    ['XLS', Buffer.from([0xd0, 0xcf, 0x11, 0xe0, 0xa1, 0xb1, 0x1a, 0xe1])],
    ['HTML', Buffer.from(' <!DOCTYPE html><table><tr><td>Label')],
    ['XML', Buffer.from('<?xml version="1.0"?><Workbook/>')],
    ['image', Buffer.from([0x89, 0x50, 0x4e, 0x47])],
    ['binary', Buffer.concat([Buffer.from('Label,x\n'), Buffer.alloc(100)])],
  ])('%s is named, whatever the file is called', async (found, bytes) => {
    expect(await errorOfText(bytes)).toEqual({ code: 'file-format-not-read', found, read: ['CSV', 'XLSX'] });
  });
  test('a workbook with a password', async () => {
    const bytes = Buffer.concat([Buffer.from([0xd0, 0xcf, 0x11, 0xe0]), Buffer.from('EncryptedPackage', 'utf16le')]);
    expect(await errorOfText(bytes)).toEqual({ code: 'file-encrypted', where: 'workbook' });
  });
  test('valid and broken UTF-8 in one file', async () => {
    const bytes = Buffer.concat([utf8('Label,x,y,z\nÖst 1,1,2,3\nS'), Buffer.from([0xfc]), utf8('d,1,2,3\n')]);
    expect(await errorOfText(bytes)).toEqual({ code: 'text-not-decodable', encoding: 'utf-8', line: 3 });
  });
  test('an odd number of bytes in UTF-16', async () => {
    expect(await errorOfText(Buffer.concat([Buffer.from('\uFEFFLabel,x\nP1,1\n', 'utf16le'), Buffer.from([0x41])]))).toMatchObject({
      code: 'text-not-decodable',
    });
  });
  test('NUL, lone surrogates and overlong cells are faults of their cell', async () => {
    const text = `\uFEFFLabel,x,y,z\nP\0,1,2,3\nP\uD800,1,2,3\n${'P'.repeat(2001)},1,2,3\nP4,1,2,3\n${'Row,1,2,3\n'.repeat(200)}`;
    const table = await tableOf(Buffer.from(text, 'utf16le'));
    expect(table.rows.slice(0, 4).map((row) => row.cells[0])).toMatchObject([
      { kind: 'fault', fault: 'nul-character' },
      { kind: 'fault', fault: 'damaged-character' },
      { kind: 'fault', fault: 'cell-too-long' },
      { kind: 'text', shown: 'P4' },
    ]);
  });
  test('a quote that never ends is found where it begins', async () => {
    expect(await errorOfText(utf8(`Label,x,y,z\nP1,1,2,3\n"P2,1,2,3\nP3,1,2,3\n`))).toEqual({ code: 'csv-quote-not-closed', rowNumber: 3 });
  });
  test('endless rows, endless cells, too many rows, too many columns', async () => {
    expect(await errorOfText(Buffer.alloc(10_000_000, 0x2c))).toEqual({ code: 'csv-row-too-long', rowNumber: 1 });
    expect(await errorOfText(utf8(`Label,x,y,z\n"${'a\n'.repeat(400_000)}",1,2,3\n`))).toEqual({ code: 'csv-row-too-long', rowNumber: 2 });
    expect(await errorOfText(utf8(`Label,x,y,z\n${'P,1,2,3\n'.repeat(20_001)}`))).toEqual({ code: 'table-too-many-rows', limit: 20_000 });
    expect((await tableOf(`Label,x,y,z\n${'P,1,2,3\n'.repeat(20_000)}`)).rows).toHaveLength(20_000);
    expect(await errorOfText(utf8(`Label,x,y,z\nP${',1'.repeat(300)}\n`))).toEqual({
      code: 'table-too-many-columns',
      rowNumber: 2,
      limit: 256,
    });
  });
});

describe('in the worker', () => {
  test('a workbook and a text come back whole', async () => {
    expect(expectOk(await readTable(workbookOf(GOOD), 'roof.csv')).format).toBe('xlsx');
    expect(expectOk(await readTable(utf8('Label;x;y\nP1;1;2\n'), 'roof.xlsx')).separator).toBe(';');
  });
  test('the uploaded bytes are left as they were', async () => {
    const bytes = utf8('Label;x;y\nP1;1;2\n');
    await readTable(bytes, 'a');
    expect(bytes).toEqual(utf8('Label;x;y\nP1;1;2\n'));
  });
  test('more than 20 MB is refused before a worker starts', async () => {
    const bytes = new Uint8Array(MAX_FILE_BYTES + 1);
    expect(expectError(await readTable(bytes, 'a'))).toEqual({
      code: 'file-too-large',
      bytes: MAX_FILE_BYTES + 1,
      limitBytes: MAX_FILE_BYTES,
    });
  });
  test('a worker that takes too long is ended', async () => {
    const started = performance.now();
    const error = expectError(await readTable(utf8('Label;x\nP1;1\n'), 'a', {}, { limitS: 0.001, heapMb: 256 }));
    expect(error).toEqual({ code: 'reading-took-too-long', limitS: 0.001 });
    expect(performance.now() - started).toBeLessThan(5000);
  });
  test('a sheet that needs more memory than the worker has ends the worker and not the process', async () => {
    const row = (number: number): string =>
      `<row r="${number}">${Array.from({ length: 26 }, (_, index) => `<c r="${String.fromCharCode(65 + index)}${number}"><v>${(number * 7919 * (index + 1)) % 99_991}.5</v></c>`).join('')}</row>`;
    const sheetData = HEADINGS + Array.from({ length: 6000 }, (_, index) => row(index + 2)).join('');
    const error = expectError(await readTable(workbookOf(sheetData), 'a', {}, { limitS: 50, heapMb: 32 }));
    expect(error).toEqual({ code: 'reading-took-too-much-memory', limitMb: 32 });
  }, 60_000);
});

describe('random damage', () => {
  const read = (bytes: Uint8Array) => tableFromBytes(bytes, 'x', {});
  test('a workbook with bytes changed never throws and never changes a rating unseen', async () => {
    const whole = workbookOf(GOOD);
    await fc.assert(
      fc.asyncProperty(fc.array(fc.tuple(fc.nat(whole.length - 1), fc.nat(255)), { minLength: 1, maxLength: 4 }), async (changes) => {
        const bytes = Buffer.from(whole);
        for (const [at, byte] of changes) bytes[at] = byte;
        const result = await read(bytes);
        // Every part is held to its checksum, so what still reads reads as it was.
        if (result.ok) expect(result.value.rows[0]?.cells[4]).toMatchObject({ value: 450 });
        else expect(result.error.code).toMatch(/^[a-z-]+$/);
      }),
      { numRuns: 400 },
    );
  }, 60_000);
  test('any bytes as text never throw', async () => {
    await fc.assert(
      fc.asyncProperty(fc.uint8Array({ maxLength: 400 }), async (bytes) => {
        const result = await read(Buffer.concat([utf8('Label,x,y,z\n'), bytes]));
        if (!result.ok) expect(result.error.code).toMatch(/^[a-z-]+$/);
      }),
      { numRuns: 400 },
    );
  }, 60_000);
  test('sheets of random elements never throw', async () => {
    const piece = fc.constantFrom(
      '<row r="3">',
      '</row>',
      '<c r="A3">',
      '<c r="B3" t="s">',
      '</c>',
      '<v>',
      '1',
      '</v>',
      '<f>',
      '</f>',
      '<is><t>',
      '</t></is>',
      '<![CDATA[',
      ']]>',
      '&#0;',
      '&amp;',
      '<c',
      '"',
      '<mergeCell ref="A1:Z9"/>',
      '<f t="shared" si="0"/>',
      '_xD800_',
    );
    await fc.assert(
      fc.asyncProperty(fc.array(piece, { maxLength: 30 }), async (pieces) => {
        const result = await read(workbookOf(GOOD + pieces.join('')));
        if (!result.ok) expect(result.error.code).toMatch(/^[a-z-]+$/);
      }),
      { numRuns: 300 },
    );
  }, 60_000);
});
