import { fail, ok, type Result } from '../../domain/foundation/result.ts';
import type {
  Exposure,
  KeepOut,
  Limit,
  Member,
  RoofDraft,
  RoofNode,
  RoofPoint,
  SignedPolicy,
  StandingLoad,
} from '../../domain/roof/structure.ts';
import { ownedBy, type Tx } from '../database.ts';
import type { Actor } from '../history.ts';
import type { RegisterError } from './venues.ts';

export type ItemKind = 'node' | 'member' | 'point' | 'limit' | 'keepOut' | 'standingLoad';
export type Item = RoofNode | Member | RoofPoint | Limit | KeepOut | StandingLoad;
export type KeptItem = { kind: ItemKind; id: string; body: Item; version: number };
export type Structure = { spaceId: string; venueOrgId: string; version: number; draft: RoofDraft; versions: Record<string, number> };
export type StructureError =
  | RegisterError
  | { code: 'label-taken'; kind: ItemKind; label: string; id: string }
  | { code: 'already-there'; kind: ItemKind; id: string };

/** One change of the working copy. `ifMatch`: the version replaced; null: it must not be there yet; 'any': whichever is there (imports, which compared already). */
export type ItemChange = { kind: ItemKind; id: string; ifMatch: number | null | 'any'; body: Item | null };

const LISTS = {
  node: 'nodes',
  member: 'members',
  point: 'points',
  limit: 'limits',
  keepOut: 'keepOuts',
  standingLoad: 'standingLoads',
} as const;

/** Labels are one where people read them as one. */
export const labelKey = (label: string): string => label.trim().replace(/\s+/g, ' ').toLowerCase();

export async function structureOf(tx: Tx, spaceId: string): Promise<Structure | null> {
  const [head] = await tx.sql.$queryRaw<
    { venueOrgId: string; version: number; policy: SignedPolicy | null; exposure: Exposure; timeZone: string }[]
  >`
    SELECT t.venue_org_id AS "venueOrgId", t.version, t.policy, s.exposure, v.time_zone AS "timeZone"
    FROM structure t JOIN space s ON s.id = t.space_id JOIN venue v ON v.id = s.venue_id
    WHERE t.space_id = ${spaceId}::uuid AND ${ownedBy(tx, 't.venue_org_id')}`;
  if (!head) return null;
  const items = await tx.sql.$queryRaw<KeptItem[]>`
    SELECT kind, id, body, version FROM structure_item WHERE space_id = ${spaceId}::uuid AND ${ownedBy(tx, 'venue_org_id')} ORDER BY kind, label_key, id`;
  const draft: RoofDraft = {
    exposure: head.exposure,
    timeZone: head.timeZone,
    nodes: [],
    members: [],
    points: [],
    limits: [],
    keepOuts: [],
    standingLoads: [],
    policy: head.policy,
  };
  const versions: Record<string, number> = {};
  for (const { kind, id, body, version } of items) {
    (draft[LISTS[kind]] as Item[]).push(body);
    versions[id] = version;
  }
  return { spaceId, venueOrgId: head.venueOrgId, version: head.version, draft, versions };
}

export async function itemAt(tx: Tx, spaceId: string, kind: ItemKind, id: string): Promise<KeptItem | null> {
  const [row] = await tx.sql.$queryRaw<KeptItem[]>`
    SELECT kind, id, body, version FROM structure_item
    WHERE space_id = ${spaceId}::uuid AND kind = ${kind} AND id = ${id}::uuid AND ${ownedBy(tx, 'venue_org_id')}`;
  return row ?? null;
}

type Changing = { actor: Actor; spaceId: string; changes: readonly ItemChange[]; because: string };

/** All of them or none. The working copy's own version moves on once. */
export async function changeItems(
  tx: Tx,
  { actor, spaceId, changes, because }: Changing,
): Promise<Result<{ version: number; items: KeptItem[] }, StructureError>> {
  const [head] = await tx.sql.$queryRaw<{ version: number; venue_org_id: string }[]>`
    UPDATE structure SET version = version + 1 WHERE space_id = ${spaceId}::uuid AND ${ownedBy(tx, 'venue_org_id')} RETURNING version, venue_org_id`;
  if (!head) return fail({ code: 'not-found' });
  const items: KeptItem[] = [];
  for (const change of changes) {
    const kept = change.body === null ? await removeItem(tx, spaceId, change) : await putItem(tx, actor, spaceId, change, change.body);
    if (!kept.ok) return kept;
    if (kept.value) items.push(kept.value);
  }
  tx.note({
    orgs: [head.venue_org_id],
    type: 'structure.changed',
    subjectId: spaceId,
    actor,
    facts: { because, version: head.version, items: changes.map(({ kind, id, body }) => ({ kind, id, removed: body === null })) },
  });
  return ok({ version: head.version, items });
}

async function putItem(
  tx: Tx,
  actor: Actor,
  spaceId: string,
  { kind, id, ifMatch }: ItemChange,
  body: Item,
): Promise<Result<KeptItem, StructureError>> {
  const key = labelKey(body.label);
  const [other] = await tx.sql.$queryRaw<{ id: string }[]>`
    SELECT id FROM structure_item WHERE space_id = ${spaceId}::uuid AND kind = ${kind} AND label_key = ${key} AND id <> ${id}::uuid`;
  if (other) return fail({ code: 'label-taken', kind, label: body.label, id: other.id });
  const found = await itemAt(tx, spaceId, kind, id);
  if (ifMatch === null && found) return fail({ code: 'already-there', kind, id });
  if (typeof ifMatch === 'number' && !found) return fail({ code: 'not-found' });
  if (typeof ifMatch === 'number' && found && found.version !== ifMatch) return fail({ code: 'version-moved-on', version: found.version });
  const [row] = await tx.sql.$queryRaw<{ version: number }[]>`
    INSERT INTO structure_item (space_id, kind, id, label_key, body, updated_by, updated_at)
    VALUES (${spaceId}::uuid, ${kind}, ${id}::uuid, ${key}, ${JSON.stringify(body)}::jsonb, ${actor.personId}::uuid, ${tx.now})
    ON CONFLICT (space_id, kind, id) DO UPDATE SET label_key = excluded.label_key, body = excluded.body, version = structure_item.version + 1,
      updated_by = excluded.updated_by, updated_at = excluded.updated_at RETURNING version`;
  return ok({ kind, id, body, version: row!.version });
}

async function removeItem(tx: Tx, spaceId: string, { kind, id, ifMatch }: ItemChange): Promise<Result<null, StructureError>> {
  const found = await itemAt(tx, spaceId, kind, id);
  if (!found) return fail({ code: 'not-found' });
  if (ifMatch !== 'any' && found.version !== ifMatch) return fail({ code: 'version-moved-on', version: found.version });
  await tx.sql.$executeRaw`DELETE FROM structure_item WHERE space_id = ${spaceId}::uuid AND kind = ${kind} AND id = ${id}::uuid`;
  return ok(null);
}

type Signing = { actor: Actor; spaceId: string; ifMatch: number; policy: SignedPolicy };

export async function signPolicy(tx: Tx, { actor, spaceId, ifMatch, policy }: Signing): Promise<Result<Structure, StructureError>> {
  const found = await structureOf(tx, spaceId);
  if (!found) return fail({ code: 'not-found' });
  const rows = await tx.sql.$executeRaw`
    UPDATE structure SET policy = ${JSON.stringify(policy)}::jsonb, version = version + 1 WHERE space_id = ${spaceId}::uuid AND version = ${ifMatch}`;
  if (rows !== 1) return fail({ code: 'version-moved-on', version: found.version });
  tx.note({
    orgs: [found.venueOrgId],
    type: 'policy.signed',
    subjectId: spaceId,
    actor,
    facts: { setId: policy.policy.setId, signedBy: policy.signedBy },
  });
  return ok((await structureOf(tx, spaceId))!);
}
