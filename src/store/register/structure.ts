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
type Known = { kind: ItemKind; id: string; label_key: string; version: number };

/** All of them or none, in as many statements for thousands as for one. The working copy's own version moves on once. */
export async function changeItems(
  tx: Tx,
  { actor, spaceId, changes, because }: Changing,
): Promise<Result<{ version: number; items: KeptItem[] }, StructureError>> {
  const [head] = await tx.sql.$queryRaw<{ version: number; venue_org_id: string }[]>`
    UPDATE structure SET version = version + 1 WHERE space_id = ${spaceId}::uuid AND ${ownedBy(tx, 'venue_org_id')} RETURNING version, venue_org_id`;
  if (!head) return fail({ code: 'not-found' });
  const known = await tx.sql.$queryRaw<Known[]>`SELECT kind, id, label_key, version FROM structure_item WHERE space_id = ${spaceId}::uuid`;
  const fault = faultIn(changes, known);
  if (fault) return fail(fault);
  const gone = changes.filter(({ body }) => body === null).map(({ kind, id }) => ({ kind, id }));
  if (gone.length > 0) {
    await tx.sql.$executeRaw`
      DELETE FROM structure_item s USING json_to_recordset(${JSON.stringify(gone)}::json) AS g(kind text, id uuid)
      WHERE s.space_id = ${spaceId}::uuid AND s.kind = g.kind AND s.id = g.id`;
  }
  const put = changes.flatMap(({ kind, id, body }) => (body === null ? [] : [{ kind, id, label_key: labelKey(body.label), body }]));
  const kept = await tx.sql.$queryRaw<{ kind: ItemKind; id: string; version: number }[]>`
    INSERT INTO structure_item (space_id, kind, id, label_key, body, updated_by, updated_at)
    SELECT ${spaceId}::uuid, p.kind, p.id, p.label_key, p.body, ${actor.personId}::uuid, ${tx.now}
    FROM json_to_recordset(${JSON.stringify(put)}::json) AS p(kind text, id uuid, label_key text, body jsonb)
    ON CONFLICT (space_id, kind, id) DO UPDATE SET label_key = excluded.label_key, body = excluded.body, version = structure_item.version + 1,
      updated_by = excluded.updated_by, updated_at = excluded.updated_at RETURNING kind, id, version`;
  const bodies = new Map(put.map(({ kind, id, body }) => [`${kind} ${id}`, body]));
  tx.note({
    orgs: [head.venue_org_id],
    type: 'structure.changed',
    subjectId: spaceId,
    actor,
    facts: { because, version: head.version, items: changes.map(({ kind, id, body }) => ({ kind, id, removed: body === null })) },
  });
  return ok({ version: head.version, items: kept.map((item) => ({ ...item, body: bodies.get(`${item.kind} ${item.id}`)! })) });
}

/** The first change that cannot be made: versions against what is there, labels against what will be there. */
function faultIn(changes: readonly ItemChange[], known: readonly Known[]): StructureError | null {
  const there = new Map(known.map((item) => [`${item.kind} ${item.id}`, item]));
  const after = new Map(known.map((item) => [`${item.kind} ${item.id}`, { ...item, label: item.label_key }]));
  const seen = new Set<string>();
  for (const { kind, id, ifMatch, body } of changes) {
    const key = `${kind} ${id}`;
    if (seen.has(key)) return { code: 'already-there', kind, id };
    seen.add(key);
    const found = there.get(key);
    if (ifMatch === null && found) return { code: 'already-there', kind, id };
    if (!found && (body === null || typeof ifMatch === 'number')) return { code: 'not-found' };
    if (found && typeof ifMatch === 'number' && found.version !== ifMatch) return { code: 'version-moved-on', version: found.version };
    if (body === null) after.delete(key);
    else after.set(key, { kind, id, label_key: labelKey(body.label), version: 0, label: body.label });
  }
  const labels = new Map<string, string>();
  for (const { kind, id, label_key, label } of after.values()) {
    const other = labels.get(`${kind} ${label_key}`);
    if (other !== undefined) return { code: 'label-taken', kind, label, id: other };
    labels.set(`${kind} ${label_key}`, id);
  }
  return null;
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
