import { createHash, randomUUID } from 'node:crypto';
import { checkItem, type ItemError } from '../../domain/equipment/check-item.ts';
import { GENERIC_LIBRARY, type GenericItem } from '../../domain/equipment/generic-library.ts';
import { fail, ok, type Result } from '../../domain/foundation/result.ts';
import type { EquipmentKind } from '../../domain/plan/blank-equipment.ts';
import { equipmentBytes } from '../../domain/plan/equipment-hash.ts';
import type { EquipmentData } from '../../domain/plan/plan.ts';
import { storedFacts } from '../../domain/plan/stored-equipment.ts';
import { ownedBy, type Tx } from '../database.ts';
import { Prisma } from '../generated/client.ts';
import type { Actor } from '../history.ts';
import { labelKey } from '../register/structure.ts';
import { afterKey } from '../shows.ts';

/** An entry of the catalogue with what its latest version says. The generic library belongs to nobody and is never changed by anybody. */
export type EquipmentItem = {
  id: string;
  orgId: string | null;
  data: EquipmentData;
  latestNumber: number;
  sha256: string;
  note: string;
  version: number;
  createdAt: Date | null;
  retiredAt: Date | null;
};
export type EquipmentVersion = {
  itemId: string;
  number: number;
  bytes: string;
  sha256: string;
  note: string;
  authorName: string | null;
  createdAt: Date | null;
};
export type EquipmentError =
  | ItemError
  | { code: 'not-found' }
  | { code: 'version-moved-on'; version: number }
  | { code: 'equipment-read-only' }
  | { code: 'equipment-retired'; retiredAt: string }
  | { code: 'equipment-kind-fixed'; kind: EquipmentKind }
  | { code: 'equipment-name-taken'; name: string; id: string };

const sha256 = (text: string): string => createHash('sha256').update(text).digest('hex');

// ---- the generic library ----

const genericAt = (id: string): GenericItem | undefined => GENERIC_LIBRARY.find((item) => item.id === id.toLowerCase());
const genericVersions = ({ id, versions }: GenericItem): EquipmentVersion[] =>
  versions.map(({ data, note }, index) => {
    const bytes = equipmentBytes(data);
    return { itemId: id, number: index + 1, bytes, sha256: sha256(bytes), note, authorName: null, createdAt: null };
  });

function genericItem(generic: GenericItem): EquipmentItem {
  const latest = genericVersions(generic).at(-1)!;
  const { number: latestNumber, sha256: hash, note } = latest;
  const common = { id: generic.id, orgId: null, createdAt: null, retiredAt: null };
  return { ...common, data: storedFacts(latest.bytes), latestNumber, sha256: hash, note, version: latestNumber };
}

// ---- reading ----

type Row = Omit<EquipmentItem, 'data'> & { bytes: string };
const ITEM = Prisma.sql`i.id, i.org_id AS "orgId", i.latest_number AS "latestNumber", i.version, i.created_at AS "createdAt", i.retired_at AS "retiredAt",
  v.bytes, v.sha256, v.note FROM equipment_item i JOIN equipment_version v ON v.item_id = i.id AND v.number = i.latest_number`;
const itemOf = ({ bytes, ...row }: Row): EquipmentItem => ({ ...row, data: storedFacts(bytes) });

/** The asker's own, or the generic library's. */
export async function equipmentAt(tx: Tx, id: string): Promise<EquipmentItem | null> {
  const generic = genericAt(id);
  if (generic) return genericItem(generic);
  const [row] = await tx.sql.$queryRaw<Row[]>`SELECT ${ITEM} WHERE i.id = ${id}::uuid AND ${ownedBy(tx, 'i.org_id')}`;
  return row ? itemOf(row) : null;
}

export type EquipmentFilter = { kind?: EquipmentKind; name?: string; library?: 'own' | 'generic'; retired: boolean };
/** Where a page begins: after an own item by its instant and id, or after one of the generic library, which follows them. */
export type EquipmentPage = { limit: number; after: readonly string[] | null };
export const GENERIC = 'generic';

/** Own items, oldest first, then those of the generic library in its order. */
export async function equipmentWhere(tx: Tx, filter: EquipmentFilter, { limit, after }: EquipmentPage): Promise<EquipmentItem[]> {
  const inGeneric = after !== null && after[0] === GENERIC;
  const own = filter.library === 'generic' || inGeneric ? [] : await ownWhere(tx, filter, { limit, after });
  if (filter.library === 'own' || filter.retired || own.length === limit) return own;
  const from = inGeneric ? GENERIC_LIBRARY.findIndex(({ id }) => id === after[1]) + 1 : 0;
  const fits = ({ data }: EquipmentItem) =>
    (filter.kind === undefined || data.kind === filter.kind) &&
    (filter.name === undefined || data.name.toLowerCase().startsWith(filter.name.toLowerCase()));
  const generic = GENERIC_LIBRARY.slice(from).map(genericItem).filter(fits);
  return [...own, ...generic.slice(0, limit - own.length)];
}

async function ownWhere(tx: Tx, { kind, name, retired }: EquipmentFilter, { limit, after }: EquipmentPage): Promise<EquipmentItem[]> {
  const conditions = [ownedBy(tx, 'i.org_id'), afterKey('i.created_at', after, 'i.id')];
  conditions.push(retired ? Prisma.sql`i.retired_at IS NOT NULL` : Prisma.sql`i.retired_at IS NULL`);
  if (kind) conditions.push(Prisma.sql`i.kind = ${kind}`);
  if (name) conditions.push(Prisma.sql`starts_with(lower(i.name), lower(${name}))`);
  const rows = await tx.sql.$queryRaw<Row[]>`
    SELECT ${ITEM} WHERE ${Prisma.join(conditions, ' AND ')} ORDER BY i.created_at, i.id LIMIT ${limit}`;
  return rows.map(itemOf);
}

/** All that an organisation has in use. `version` grows with every change of any of its entries, since none is ever deleted. */
export type Catalogue = { version: number; items: EquipmentItem[] };

export async function catalogueOf(tx: Tx): Promise<Catalogue> {
  const [head] = await tx.sql.$queryRaw<{ version: number }[]>`
    SELECT coalesce(sum(version), 0)::int AS version FROM equipment_item i WHERE i.org_id = ${tx.scope.orgId}::uuid`;
  const rows = await tx.sql.$queryRaw<Row[]>`
    SELECT ${ITEM} WHERE i.org_id = ${tx.scope.orgId}::uuid AND i.retired_at IS NULL ORDER BY i.created_at, i.id`;
  return { version: head?.version ?? 0, items: rows.map(itemOf) };
}

const VERSION = Prisma.sql`item_id AS "itemId", number, bytes, sha256, note, author_name AS "authorName", created_at AS "createdAt"`;

/** Newest first. */
export async function versionsOf(tx: Tx, id: string, below: number | null, limit: number): Promise<EquipmentVersion[]> {
  const generic = genericAt(id);
  if (generic)
    return genericVersions(generic)
      .filter(({ number }) => below === null || number < below)
      .toReversed()
      .slice(0, limit);
  return tx.sql.$queryRaw<EquipmentVersion[]>`
    SELECT ${VERSION} FROM equipment_version
    WHERE item_id = ${id}::uuid AND ${ownedBy(tx, 'org_id')} AND number < ${below ?? 2_147_483_647} ORDER BY number DESC LIMIT ${limit}`;
}

export async function versionAt(tx: Tx, id: string, number: number): Promise<EquipmentVersion | null> {
  const generic = genericAt(id);
  if (generic) return genericVersions(generic)[number - 1] ?? null;
  const [row] = await tx.sql.$queryRaw<EquipmentVersion[]>`
    SELECT ${VERSION} FROM equipment_version WHERE item_id = ${id}::uuid AND number = ${number} AND ${ownedBy(tx, 'org_id')}`;
  return row ?? null;
}

/** The hash of each version of those of the items that the asker may read. */
export async function knownVersions(tx: Tx, ids: readonly string[]): Promise<Map<string, Map<number, string>>> {
  const own = await tx.sql.$queryRaw<Pick<EquipmentVersion, 'itemId' | 'number' | 'sha256'>[]>`
    SELECT item_id AS "itemId", number, sha256 FROM equipment_version WHERE item_id = ANY(${ids}::uuid[]) AND ${ownedBy(tx, 'org_id')}`;
  const generic = ids.flatMap((id) => genericAt(id) ?? []).flatMap(genericVersions);
  const known = new Map<string, Map<number, string>>();
  for (const { itemId, number, sha256: hash } of [...own, ...generic]) {
    known.set(itemId, (known.get(itemId) ?? new Map<number, string>()).set(number, hash));
  }
  return known;
}

// ---- writing ----

/** One change of an organisation's catalogue at a time: names stay one each, and an import enters what its dry run showed. */
export async function lockCatalogue(tx: Tx): Promise<void> {
  await tx.sql.$queryRaw`SELECT pg_advisory_xact_lock(hashtextextended(${`equipment ${tx.scope.orgId}`}, 0))::text`;
}

export type NewItem = { actor: Actor; data: EquipmentData; note: string };

export async function createItem(tx: Tx, { actor, data, note }: NewItem): Promise<Result<EquipmentItem, EquipmentError>> {
  const checked = checkItem(data);
  if (!checked.ok) return checked;
  await lockCatalogue(tx);
  const taken = await nameTaken(tx, data, null);
  if (taken) return fail(taken);
  const id = randomUUID();
  await tx.sql.$executeRaw`
    INSERT INTO equipment_item (id, org_id, kind, name, name_key, latest_number, created_at)
    VALUES (${id}::uuid, ${actor.orgId}::uuid, ${data.kind}, ${data.name}, ${labelKey(data.name)}, 1, ${tx.now})`;
  await writeVersion(tx, id, 1, { actor, data, note });
  tx.note({ orgs: [actor.orgId!], type: 'equipment.created', subjectId: id, actor, facts: { kind: data.kind, name: data.name } });
  return ok((await equipmentAt(tx, id))!);
}

export type ChangedItem = NewItem & { id: string; ifMatch: number };

/** A new version; those before it stay. */
export async function changeItem(tx: Tx, input: ChangedItem): Promise<Result<EquipmentItem, EquipmentError>> {
  const { actor, data, note } = input;
  const checked = checkItem(data);
  if (!checked.ok) return checked;
  const open = await openItem(tx, input);
  if (!open.ok) return open;
  const { id, latestNumber, version, data: before } = open.value;
  if (before.kind !== data.kind) return fail({ code: 'equipment-kind-fixed', kind: before.kind });
  const taken = await nameTaken(tx, data, id);
  if (taken) return fail(taken);
  const number = latestNumber + 1;
  const rows = await tx.sql.$executeRaw`
    UPDATE equipment_item SET name = ${data.name}, name_key = ${labelKey(data.name)}, latest_number = ${number}, version = version + 1
    WHERE id = ${id}::uuid AND version = ${version} AND ${ownedBy(tx, 'org_id')}`;
  if (rows !== 1) return fail({ code: 'version-moved-on', version });
  await writeVersion(tx, id, number, { actor, data, note });
  tx.note({ orgs: [actor.orgId!], type: 'equipment.changed', subjectId: id, actor, facts: { number, name: data.name } });
  return ok((await equipmentAt(tx, id))!);
}

/** Out of the list; its versions stay, since plans name them. */
export async function retireItem(
  tx: Tx,
  input: { actor: Actor; id: string; ifMatch: number },
): Promise<Result<EquipmentItem, EquipmentError>> {
  const open = await openItem(tx, input);
  if (!open.ok) return open;
  const { id, version, data } = open.value;
  const rows = await tx.sql.$executeRaw`
    UPDATE equipment_item SET retired_at = ${tx.now}, version = version + 1 WHERE id = ${id}::uuid AND version = ${version} AND ${ownedBy(tx, 'org_id')}`;
  if (rows !== 1) return fail({ code: 'version-moved-on', version });
  tx.note({ orgs: [input.actor.orgId!], type: 'equipment.retired', subjectId: id, actor: input.actor, facts: { name: data.name } });
  return ok((await equipmentAt(tx, id))!);
}

/** The item in the version that the caller has read, held until the transaction ends. */
async function openItem(tx: Tx, { id, ifMatch }: { id: string; ifMatch: number }): Promise<Result<EquipmentItem, EquipmentError>> {
  await lockCatalogue(tx);
  const found = await equipmentAt(tx, id);
  if (!found) return fail({ code: 'not-found' });
  if (found.version !== ifMatch) return fail({ code: 'version-moved-on', version: found.version });
  if (found.orgId === null) return fail({ code: 'equipment-read-only' });
  return found.retiredAt === null ? ok(found) : fail({ code: 'equipment-retired', retiredAt: found.retiredAt.toISOString() });
}

async function nameTaken(tx: Tx, { kind, name }: EquipmentData, by: string | null): Promise<EquipmentError | null> {
  const [other] = await tx.sql.$queryRaw<{ id: string }[]>`
    SELECT id FROM equipment_item WHERE kind = ${kind} AND name_key = ${labelKey(name)} AND retired_at IS NULL
      AND id IS DISTINCT FROM ${by}::uuid AND org_id = ${tx.scope.orgId}::uuid`;
  return other ? { code: 'equipment-name-taken', name, id: other.id } : null;
}

async function writeVersion(tx: Tx, id: string, number: number, { actor, data, note }: NewItem): Promise<void> {
  const bytes = equipmentBytes(data);
  await tx.sql.$executeRaw`
    INSERT INTO equipment_version (item_id, number, org_id, bytes, sha256, note, author_id, author_name, created_at)
    VALUES (${id}::uuid, ${number}, ${actor.orgId}::uuid, ${bytes}, ${sha256(bytes)}, ${note}, ${actor.personId}::uuid, ${actor.name}, ${tx.now})`;
}
