import { z } from 'zod';
import { UNITS_OF } from '../../files/units-of-measure.ts';
import { dryRunVersion } from '../../domain/roof/dry-run-version.ts';
import type { Planned } from '../../store/register/imports.ts';
import { etagOf } from '../headers.ts';
import { Id, InstantText, Version } from '../schemas/common.ts';
import { presentDryRun, type ImportDryRun } from './import-dry-run.ts';

const text = z.string().max(300);
export const ChoicesBody = z
  .strictObject({
    sheet: text.exactOptional(),
    headingRowNumber: z.int().min(1).max(1000).exactOptional(),
    encoding: z.enum(['utf-8', 'utf-16le', 'utf-16be', 'windows-1252']).exactOptional(),
    separator: z.enum([',', ';', '\t']).exactOptional(),
    columns: z
      .record(z.string().max(50), z.int().min(0).max(255).nullable())
      .exactOptional()
      .describe('the column index of a field, or null to leave it out'),
    units: z.record(z.string().max(50), z.enum([...new Set(Object.values(UNITS_OF).flat())])).exactOptional(),
    decimalSign: z.enum(['.', ',']).exactOptional(),
    answers: z.record(text, text).exactOptional().describe('by the id of the question'),
  })
  .meta({ examples: [{ decimalSign: ',', units: { wllKg: 'kg' } }] });

const count = z.int().min(0);
const letter = z.string().nullable();
const value = z.union([z.string(), z.number()]).nullable();
export const RowView = z
  .object({
    rowNumber: z.int().describe('as a spreadsheet counts'),
    label: z.string().nullable(),
    outcome: z.enum(['add', 'change', 'same', 'duplicate', 'refused', 'question']),
    id: Id.optional(),
    changes: z.array(z.object({ field: z.string(), old: value, new: value })).optional(),
    draft: z.record(z.string(), value).optional(),
    faults: z
      .array(
        z.object({
          code: z.string(),
          field: z.string().nullable(),
          letter: letter.describe('of the column; null: the row as a whole'),
          heading: z.string().nullable(),
          cellText: z.string(),
          problem: z.string(),
          mend: z.string(),
        }),
      )
      .optional(),
    ofRowNumber: z.int().optional(),
    differs: z.array(z.string()).optional(),
    questionIds: z.array(z.string()).optional(),
    notes: z.array(z.looseObject({ code: z.string() })),
  })
  .meta({ id: 'ImportRow' });
const Question = z.object({
  id: z.string(),
  code: z.string(),
  field: z.string(),
  letter: z.string(),
  heading: z.string(),
  sample: z.object({ rowNumber: z.int(), cellText: z.string() }).nullable(),
  rowCount: count,
  alternatives: z.array(z.object({ answer: z.string(), readsAs: z.string() })),
});
/** What every import shows, whatever its table tells of. */
export const DRY_RUN = {
  fileName: z.string(),
  createdAt: InstantText,
  appliedAt: InstantText.nullable(),
  version: Version.describe('of the answers and what the table is compared with, together: the ETag'),
  choices: z.looseObject({}),
  unread: z.looseObject({ code: z.string() }).nullable().describe('why no row could be read yet; answer, and they are'),
  table: z
    .object({
      format: z.string(),
      encoding: z.string().nullable(),
      separator: z.string().nullable(),
      sheet: z.string().nullable(),
      sheets: z.array(z.object({ name: z.string(), hidden: z.boolean(), rowCount: count })),
      headingRowNumber: z.int(),
      columns: z.array(
        z.object({
          columnIndex: count,
          letter: z.string(),
          heading: z.string(),
          unitText: z.string().nullable(),
          field: z.string().nullable(),
          unit: z.string().nullable(),
          isEntered: z.boolean(),
        }),
      ),
      notes: z.array(z.looseObject({ code: z.string() })),
    })
    .nullable(),
  fieldsNotFound: z.array(z.string()),
  questions: z.array(Question),
  rows: z.array(RowView),
  notInFile: z.array(z.object({ id: Id, label: z.string() })).describe('known, and named by no row: they stay'),
  counts: z.object({ add: count, change: count, same: count, duplicate: count, refused: count, question: count, notInFile: count }),
};
export const ImportView = z.object({ id: Id, spaceId: Id, kind: z.enum(['point', 'member']), ...DRY_RUN }).meta({ id: 'Import' });

const presentImport = ({ file, structure, dryRun }: Planned<ImportDryRun>) => ({
  id: file.id,
  spaceId: file.spaceId,
  kind: file.kind,
  fileName: file.fileName,
  createdAt: file.createdAt.toISOString(),
  appliedAt: file.appliedAt?.toISOString() ?? null,
  version: dryRunVersion(file, structure),
  choices: file.choices,
  ...presentDryRun(dryRun),
});
export const importAnswer = (planned: Planned<ImportDryRun>, status: number) => ({
  status,
  body: presentImport(planned),
  etag: etagOf(dryRunVersion(planned.file, planned.structure)),
  ...(status === 201 ? { location: `/api/v1/spaces/${planned.file.spaceId}/imports/${planned.file.id}` } : {}),
});

export const AppliedView = z
  .object({
    importId: Id,
    structureVersion: Version,
    items: z.array(z.object({ kind: z.string(), id: Id, label: z.string(), version: Version })),
    leftOut: z.array(RowView).describe('rows that were not taken, each with why'),
  })
  .meta({ id: 'AppliedImport' });
