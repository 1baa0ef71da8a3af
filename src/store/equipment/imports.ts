import { createHash, randomUUID } from 'node:crypto';
import { fail, ok, type Result } from '../../domain/foundation/result.ts';
import { equipmentBytes } from '../../domain/plan/equipment-hash.ts';
import type { EquipmentData } from '../../domain/plan/plan.ts';
import { dryRunVersion } from '../../domain/roof/dry-run-version.ts';
import { ownedBy, type Tx } from '../database.ts';
import { Prisma } from '../generated/client.ts';
import type { Actor } from '../history.ts';
import { labelKey } from '../register/structure.ts';
import { catalogueOf, lockCatalogue, type Catalogue } from './items.ts';

export type ImportedKind = 'hoist' | 'part' | 'cabinet' | 'truss' | 'cable';
export type EquipmentImport = {
  id: string;
  orgId: string;
  kind: ImportedKind;
  fileName: string;
  /** What the person who imports has said about the table, as it was checked when it came in. */
  choices: Record<string, unknown>;
  version: number;
  createdAt: Date;
  appliedAt: Date | null;
};
/** `id` null: a new item; else a new version of that one. */
export type CatalogueChange = { id: string | null; data: EquipmentData };
/** What an import would do to the catalogue. `open`: questions without which it cannot be told. */
export type CatalogueDryRun = { readonly open: number; readonly changes: readonly CatalogueChange[] };
/** Worked out on the catalogue that the transaction sees. */
export type PlanOnCatalogue<D extends CatalogueDryRun, E> = (catalogue: Catalogue) => Result<D, E>;
export type PlannedImport<D extends CatalogueDryRun> = { file: EquipmentImport; catalogue: Catalogue; dryRun: D };
export type AppliedImport<D extends CatalogueDryRun> = { file: EquipmentImport; dryRun: D; items: EnteredItem[] };
export type EnteredItem = { id: string; name: string; number: number };
export type EquipmentImportError =
  | { code: 'not-found' }
  | { code: 'version-moved-on'; version: number }
  | { code: 'import-questions-open'; open: number }
  | { code: 'import-applied'; appliedAt: string };

const FILE = Prisma.sql`id, org_id AS "orgId", kind, file_name AS "fileName", options AS choices, version, created_at AS "createdAt",
  applied_at AS "appliedAt"`;

async function importAt(tx: Tx, id: string): Promise<EquipmentImport | null> {
  const [row] = await tx.sql.$queryRaw<EquipmentImport[]>`
    SELECT ${FILE} FROM equipment_import WHERE id = ${id}::uuid AND ${ownedBy(tx, 'org_id')}`;
  return row ?? null;
}

/** With the file's bytes. */
export async function importWithBytes(tx: Tx, id: string): Promise<{ file: EquipmentImport; bytes: Uint8Array } | null> {
  const file = await importAt(tx, id);
  if (!file) return null;
  const [row] = await tx.sql.$queryRaw<{ bytes: Uint8Array }[]>`
    SELECT bytes FROM equipment_import WHERE id = ${id}::uuid AND ${ownedBy(tx, 'org_id')}`;
  return row ? { file, bytes: row.bytes } : null;
}

type About<D extends CatalogueDryRun, E> = { actor: Actor; planOn: PlanOnCatalogue<D, E> };
export type NewImport<D extends CatalogueDryRun, E> = About<D, E> & { kind: ImportedKind; fileName: string; bytes: Uint8Array };

export async function createImport<D extends CatalogueDryRun, E>(tx: Tx, input: NewImport<D, E>): Promise<Result<PlannedImport<D>, E>> {
  const { actor, kind, fileName, bytes } = input;
  const catalogue = await catalogueOf(tx);
  const dryRun = input.planOn(catalogue);
  if (!dryRun.ok) return dryRun;
  const id = randomUUID();
  await tx.sql.$executeRaw`
    INSERT INTO equipment_import (id, org_id, kind, file_name, bytes, options, created_by, created_at)
    VALUES (${id}::uuid, ${actor.orgId}::uuid, ${kind}, ${fileName}, ${bytes}, '{}'::jsonb, ${actor.personId}::uuid, ${tx.now})`;
  tx.note({ orgs: [actor.orgId!], type: 'equipmentImport.created', subjectId: id, actor, facts: { kind, fileName } });
  return ok({ file: (await importAt(tx, id))!, catalogue, dryRun: dryRun.value });
}

export type Answering<D extends CatalogueDryRun, E> = About<D, E> & { id: string; ifMatch: number; choices: Record<string, unknown> };

/** Replaces what was said about the table. */
export async function answerImport<D extends CatalogueDryRun, E>(
  tx: Tx,
  input: Answering<D, E>,
): Promise<Result<PlannedImport<D>, EquipmentImportError | E>> {
  const open = await openImport(tx, input);
  if (!open.ok) return open;
  const { file, catalogue } = open.value;
  const dryRun = input.planOn(catalogue);
  if (!dryRun.ok) return dryRun;
  await tx.sql.$executeRaw`
    UPDATE equipment_import SET options = ${JSON.stringify(input.choices)}::jsonb, version = version + 1 WHERE id = ${file.id}::uuid`;
  const { actor } = input;
  tx.note({ orgs: [file.orgId], type: 'equipmentImport.answered', subjectId: file.id, actor, facts: { fileName: file.fileName } });
  return ok({ file: { ...file, choices: input.choices, version: file.version + 1 }, catalogue, dryRun: dryRun.value });
}

export type Applying<D extends CatalogueDryRun, E> = About<D, E> & { id: string; ifMatch: number };

/** Enters every row that is taken, all in this transaction. What is done is what the dry run of that version showed. */
export async function applyImport<D extends CatalogueDryRun, E>(
  tx: Tx,
  input: Applying<D, E>,
): Promise<Result<AppliedImport<D>, EquipmentImportError | E>> {
  const open = await openImport(tx, input);
  if (!open.ok) return open;
  const { file, catalogue } = open.value;
  const planned = input.planOn(catalogue);
  if (!planned.ok) return planned;
  const dryRun = planned.value;
  if (dryRun.open > 0) return fail({ code: 'import-questions-open', open: dryRun.open });
  const items = await enter(tx, input.actor, `import of ${file.fileName}`, dryRun.changes, catalogue);
  await tx.sql.$executeRaw`UPDATE equipment_import SET applied_at = ${tx.now}, version = version + 1 WHERE id = ${file.id}::uuid`;
  const facts = { fileName: file.fileName, kind: file.kind, items };
  tx.note({ orgs: [file.orgId], type: 'equipmentImport.applied', subjectId: file.id, actor: input.actor, facts });
  return ok({ file: { ...file, version: file.version + 1, appliedAt: tx.now }, dryRun, items });
}

/** In as many statements for thousands as for one. The dry run was worked out under the catalogue's lock, so names are one each. */
async function enter(
  tx: Tx,
  actor: Actor,
  note: string,
  changes: readonly CatalogueChange[],
  catalogue: Catalogue,
): Promise<EnteredItem[]> {
  const latest = new Map(catalogue.items.map(({ id, latestNumber }) => [id, latestNumber]));
  const rows = changes.map(({ id, data }) => {
    const bytes = equipmentBytes(data);
    return {
      id: id ?? randomUUID(),
      is_new: id === null,
      kind: data.kind,
      name: data.name,
      name_key: labelKey(data.name),
      number: id === null ? 1 : latest.get(id)! + 1,
      bytes,
      sha256: createHash('sha256').update(bytes).digest('hex'),
    };
  });
  if (rows.length === 0) return [];
  const table = Prisma.sql`json_to_recordset(${JSON.stringify(rows)}::json)
    AS r(id uuid, is_new boolean, kind text, name text, name_key text, number int, bytes text, sha256 text)`;
  await tx.sql.$executeRaw`
    UPDATE equipment_item i SET name = r.name, name_key = r.name_key, latest_number = r.number, version = i.version + 1
    FROM ${table} WHERE i.id = r.id AND NOT r.is_new AND ${ownedBy(tx, 'i.org_id')}`;
  await tx.sql.$executeRaw`
    INSERT INTO equipment_item (id, org_id, kind, name, name_key, latest_number, created_at)
    SELECT r.id, ${actor.orgId}::uuid, r.kind, r.name, r.name_key, r.number, ${tx.now} FROM ${table} WHERE r.is_new`;
  await tx.sql.$executeRaw`
    INSERT INTO equipment_version (item_id, number, org_id, bytes, sha256, note, author_id, author_name, created_at)
    SELECT r.id, r.number, ${actor.orgId}::uuid, r.bytes, r.sha256, ${note}, ${actor.personId}::uuid, ${actor.name}, ${tx.now} FROM ${table}`;
  return rows.map(({ id, name, number }) => ({ id, name, number }));
}

/** The import and the catalogue, held until the transaction ends, in the version that the caller has read. */
async function openImport(
  tx: Tx,
  { id, ifMatch }: { id: string; ifMatch: number },
): Promise<Result<{ file: EquipmentImport; catalogue: Catalogue }, EquipmentImportError>> {
  await lockCatalogue(tx);
  const file = await importAt(tx, id);
  if (!file) return fail({ code: 'not-found' });
  const catalogue = await catalogueOf(tx);
  const version = dryRunVersion(file, catalogue);
  if (version !== ifMatch) return fail({ code: 'version-moved-on', version });
  if (file.appliedAt !== null) return fail({ code: 'import-applied', appliedAt: file.appliedAt.toISOString() });
  return ok({ file, catalogue });
}
