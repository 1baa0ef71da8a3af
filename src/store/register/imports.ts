import { dryRunVersion } from '../../domain/roof/dry-run-version.ts';
import { randomUUID } from 'node:crypto';
import { fail, ok, type Result } from '../../domain/foundation/result.ts';
import { ownedBy, type Tx } from '../database.ts';
import { Prisma } from '../generated/client.ts';
import type { Actor } from '../history.ts';
import { changeItems, structureOf, type ItemChange, type KeptItem, type Structure, type StructureError } from './structure.ts';

export type ImportFile = {
  id: string;
  spaceId: string;
  venueOrgId: string;
  kind: 'point' | 'member';
  fileName: string;
  /** What the person who imports has said about the table, as it was checked when it came in. */
  choices: Record<string, unknown>;
  version: number;
  createdAt: Date;
  appliedAt: Date | null;
};
/** What an import would do to the working copy. `open`: questions without which it cannot be told. */
export type DryRun = { readonly open: number; readonly changes: readonly ItemChange[] };
/** Worked out on the working copy that the transaction sees. */
export type PlanOn<D extends DryRun, E> = (structure: Structure) => Result<D, E>;
export type Planned<D extends DryRun> = { file: ImportFile; structure: Structure; dryRun: D };
export type ImportError = StructureError | { code: 'import-questions-open'; open: number } | { code: 'import-applied'; appliedAt: string };

const FILE = Prisma.sql`id, space_id AS "spaceId", venue_org_id AS "venueOrgId", kind, file_name AS "fileName", options AS choices, version,
  created_at AS "createdAt", applied_at AS "appliedAt"`;

type ImportId = { spaceId: string; id: string };

export async function importAt(tx: Tx, { spaceId, id }: ImportId): Promise<ImportFile | null> {
  const [row] = await tx.sql.$queryRaw<ImportFile[]>`
    SELECT ${FILE} FROM import_file WHERE id = ${id}::uuid AND space_id = ${spaceId}::uuid AND ${ownedBy(tx, 'venue_org_id')}`;
  return row ?? null;
}

/** With the file's bytes. */
export async function importWithBytes(tx: Tx, of: ImportId): Promise<{ file: ImportFile; bytes: Uint8Array } | null> {
  const file = await importAt(tx, of);
  if (!file) return null;
  const [row] = await tx.sql.$queryRaw<{ bytes: Uint8Array }[]>`
    SELECT bytes FROM import_file WHERE id = ${of.id}::uuid AND ${ownedBy(tx, 'venue_org_id')}`;
  return row ? { file, bytes: row.bytes } : null;
}

export type NewImport<D extends DryRun, E> = {
  actor: Actor;
  spaceId: string;
  kind: ImportFile['kind'];
  fileName: string;
  bytes: Uint8Array;
  planOn: PlanOn<D, E>;
};

export async function createImport<D extends DryRun, E>(tx: Tx, input: NewImport<D, E>): Promise<Result<Planned<D>, ImportError | E>> {
  const { actor, spaceId, kind, fileName, bytes } = input;
  const structure = await structureOf(tx, spaceId);
  if (!structure) return fail({ code: 'not-found' });
  const dryRun = input.planOn(structure);
  if (!dryRun.ok) return dryRun;
  const id = randomUUID();
  await tx.sql.$executeRaw`
    INSERT INTO import_file (id, space_id, kind, file_name, bytes, options, created_by, created_at)
    VALUES (${id}::uuid, ${spaceId}::uuid, ${kind}, ${fileName}, ${bytes}, '{}'::jsonb, ${actor.personId}::uuid, ${tx.now})`;
  tx.note({ orgs: [structure.venueOrgId], type: 'import.created', subjectId: id, actor, facts: { spaceId, kind, fileName } });
  return ok({ file: (await importAt(tx, { spaceId, id }))!, structure, dryRun: dryRun.value });
}

export type Answering<D extends DryRun, E> = ImportId & {
  actor: Actor;
  ifMatch: number;
  choices: Record<string, unknown>;
  planOn: PlanOn<D, E>;
};

/** Replaces what was said about the table. */
export async function answerImport<D extends DryRun, E>(tx: Tx, input: Answering<D, E>): Promise<Result<Planned<D>, ImportError | E>> {
  const open = await openImport(tx, input);
  if (!open.ok) return open;
  const { file, structure } = open.value;
  const dryRun = input.planOn(structure);
  if (!dryRun.ok) return dryRun;
  await tx.sql.$executeRaw`
    UPDATE import_file SET options = ${JSON.stringify(input.choices)}::jsonb, version = version + 1 WHERE id = ${file.id}::uuid`;
  const facts = { spaceId: file.spaceId, fileName: file.fileName };
  tx.note({ orgs: [file.venueOrgId], type: 'import.answered', subjectId: file.id, actor: input.actor, facts });
  return ok({ file: { ...file, choices: input.choices, version: file.version + 1 }, structure, dryRun: dryRun.value });
}

export type Applying<D extends DryRun, E> = ImportId & { actor: Actor; ifMatch: number; planOn: PlanOn<D, E> };
export type Applied<D extends DryRun> = { file: ImportFile; dryRun: D; structureVersion: number; items: KeptItem[] };

/** Enters every row that is taken, all in this transaction. What is done is what the dry run of that version showed. */
export async function applyImport<D extends DryRun, E>(tx: Tx, input: Applying<D, E>): Promise<Result<Applied<D>, ImportError | E>> {
  const open = await openImport(tx, input);
  if (!open.ok) return open;
  const { file, structure } = open.value;
  const planned = input.planOn(structure);
  if (!planned.ok) return planned;
  const dryRun = planned.value;
  if (dryRun.open > 0) return fail({ code: 'import-questions-open', open: dryRun.open });
  let [structureVersion, items]: [number, KeptItem[]] = [structure.version, []];
  if (dryRun.changes.length > 0) {
    const because = `import of ${file.fileName}`;
    const changed = await changeItems(tx, { actor: input.actor, spaceId: file.spaceId, changes: dryRun.changes, because });
    if (!changed.ok) return changed;
    [structureVersion, items] = [changed.value.version, changed.value.items];
  }
  await tx.sql.$executeRaw`UPDATE import_file SET applied_at = ${tx.now}, version = version + 1 WHERE id = ${file.id}::uuid`;
  const facts = { spaceId: file.spaceId, fileName: file.fileName, items: items.length };
  tx.note({ orgs: [file.venueOrgId], type: 'import.applied', subjectId: file.id, actor: input.actor, facts });
  return ok({ file: { ...file, version: file.version + 1, appliedAt: tx.now }, dryRun, structureVersion, items });
}

/** The import and the working copy, held until the transaction ends, in the version that the caller has read. */
async function openImport(
  tx: Tx,
  { spaceId, id, ifMatch }: ImportId & { ifMatch: number },
): Promise<Result<{ file: ImportFile; structure: Structure }, ImportError>> {
  await tx.sql.$queryRaw`SELECT 1 FROM structure WHERE space_id = ${spaceId}::uuid AND ${ownedBy(tx, 'venue_org_id')} FOR UPDATE`;
  await tx.sql.$queryRaw`SELECT 1 FROM import_file WHERE id = ${id}::uuid AND ${ownedBy(tx, 'venue_org_id')} FOR UPDATE`;
  const file = await importAt(tx, { spaceId, id });
  const structure = file && (await structureOf(tx, spaceId));
  if (!file || !structure) return fail({ code: 'not-found' });
  const version = dryRunVersion(file, structure);
  if (version !== ifMatch) return fail({ code: 'version-moved-on', version });
  if (file.appliedAt !== null) return fail({ code: 'import-applied', appliedAt: file.appliedAt.toISOString() });
  return ok({ file, structure });
}
