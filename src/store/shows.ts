import { randomUUID } from 'node:crypto';
import { fail, ok, type Result } from '../domain/foundation/result.ts';
import { ownedBy, type Database, type Scope, type Tx } from './database.ts';
import { Prisma } from './generated/client.ts';
import { act } from './once.ts';
import type { Actor } from './history.ts';

export type Production = { id: string; tourOrgId: string; name: string; version: number; createdAt: Date };
export type Call = { what: string; at: string };
export type Show = {
  id: string;
  productionId: string;
  productionName: string;
  tourOrgId: string;
  venueOrgId: string;
  venueName: string;
  spaceId: string;
  spaceName: string;
  timeZone: string;
  name: string;
  startsAt: Date;
  endsAt: Date;
  calls: Call[];
  shared: boolean;
  version: number;
  createdAt: Date;
};

export type ShowError =
  | { code: 'not-found' }
  | { code: 'version-moved-on'; version: number }
  | { code: 'access-needed'; spaceId: string }
  | { code: 'show-has-proposals'; proposals: number };

type ShowFilter = { productionId?: string; spaceId?: string; from?: Date; to?: Date };
export type Keyset = { limit: number; after: readonly string[] | null };

export function showsStore(db: Database) {
  return {
    createProduction: act(db, async (tx, { actor, name }: { actor: Actor; name: string }): Promise<Result<Production, never>> => {
      const row = await tx.sql.production.create({ data: { id: randomUUID(), tourOrgId: actor.orgId!, name, createdAt: tx.now } });
      tx.note({ orgs: [row.tourOrgId], type: 'production.created', subjectId: row.id, actor, facts: { name } });
      return ok(row);
    }),
    findProduction: (scope: Scope, id: string) => db.read(scope, (tx) => productionAt(tx, id)),
    listProductions: (scope: Scope, { limit, after }: Keyset) =>
      db.read(
        scope,
        (tx) => tx.sql.$queryRaw<Production[]>`
          SELECT id, tour_org_id AS "tourOrgId", name, version, created_at AS "createdAt" FROM production
          WHERE ${ownedBy(tx, 'tour_org_id')} AND ${afterKey('created_at', after)} ORDER BY created_at, id LIMIT ${limit}`,
      ),
    renameProduction: act(
      db,
      async (tx, input: { actor: Actor; id: string; ifMatch: number; name: string }): Promise<Result<Production, ShowError>> => {
        const found = await productionAt(tx, input.id);
        if (!found || found.tourOrgId !== input.actor.orgId) return fail({ code: 'not-found' });
        const changed = await tx.sql.production.updateMany({
          where: { id: input.id, version: input.ifMatch },
          data: { name: input.name, version: { increment: 1 } },
        });
        if (changed.count !== 1) return fail({ code: 'version-moved-on', version: found.version });
        tx.note({
          orgs: [found.tourOrgId],
          type: 'production.renamed',
          subjectId: found.id,
          actor: input.actor,
          facts: { from: found.name, to: input.name },
        });
        return ok({ ...found, name: input.name, version: found.version + 1 });
      },
    ),

    createShow: act(db, createShow),
    findShow: (scope: Scope, id: string) => db.read(scope, (tx) => showAt(tx, id)),
    listShows: (scope: Scope, filter: ShowFilter, page: Keyset) => db.read(scope, (tx) => showsWhere(tx, filter, page)),
    changeShow: act(db, changeShow),
  };
}

type NewShow = { actor: Actor; productionId: string; spaceId: string; name: string; startsAt: Date; endsAt: Date; calls: Call[] };

/** A show needs the venue's leave to read its roof: asked for, and not ended. */
async function createShow(tx: Tx, input: NewShow): Promise<Result<Show, ShowError>> {
  const production = await productionAt(tx, input.productionId);
  if (!production || production.tourOrgId !== input.actor.orgId) return fail({ code: 'not-found' });
  const [space] = await tx.sql.$queryRaw<{ id: string }[]>`SELECT id FROM space WHERE id = ${input.spaceId}::uuid`;
  if (!space) return fail({ code: 'not-found' });
  if (!(await mayReadRoof(tx, input.spaceId))) return fail({ code: 'access-needed', spaceId: input.spaceId });
  await enterOpenedSpace(tx, input);
  const id = randomUUID();
  await tx.sql.$executeRaw`
    INSERT INTO show (id, production_id, space_id, name, starts_at, ends_at, calls, created_at)
    VALUES (${id}::uuid, ${input.productionId}::uuid, ${input.spaceId}::uuid, ${input.name}, ${input.startsAt}, ${input.endsAt},
      ${JSON.stringify(input.calls)}::jsonb, ${tx.now})`;
  tx.note({
    orgs: [production.tourOrgId],
    type: 'show.opened',
    subjectId: id,
    actor: input.actor,
    facts: { name: input.name, spaceId: input.spaceId, from: input.startsAt.toISOString(), to: input.endsAt.toISOString() },
  });
  return ok((await showAt(tx, id))!);
}

/** Where the venue opened a space to all, opening a show there is the asking and the granting: what hangs is shown to insiders alone. */
async function enterOpenedSpace(tx: Tx, { actor, spaceId, endsAt }: NewShow): Promise<void> {
  await tx.sql.$executeRaw`
    INSERT INTO space_access (id, space_id, tour_org_id, state, note, reply, requested_by, requested_at, decided_at, ends_at)
    SELECT ${randomUUID()}::uuid, s.id, ${actor.orgId}::uuid, 'granted', '', 'opened to all', ${actor.personId}::uuid, ${tx.now}, ${tx.now}, ${endsAt}
    FROM space s WHERE s.id = ${spaceId}::uuid AND s.opened
    ON CONFLICT (space_id, tour_org_id) DO UPDATE SET state = 'granted', ends_at = greatest(space_access.ends_at, excluded.ends_at), version = space_access.version + 1
      WHERE space_access.state <> 'granted' OR space_access.ends_at < excluded.ends_at`;
}

type ShowChange = { actor: Actor; id: string; ifMatch: number; name?: string; startsAt?: Date; endsAt?: Date; calls?: Call[] };

/** Dates can move only while no proposal was put to the venue: what was assessed was assessed for these. */
async function changeShow(tx: Tx, { actor, id, ifMatch, ...change }: ShowChange): Promise<Result<Show, ShowError>> {
  const found = await showAt(tx, id);
  if (!found || (tx.walls.store && found.tourOrgId !== actor.orgId)) return fail({ code: 'not-found' });
  const moved =
    (change.startsAt !== undefined && change.startsAt.getTime() !== found.startsAt.getTime()) ||
    (change.endsAt !== undefined && change.endsAt.getTime() !== found.endsAt.getTime());
  if (moved) {
    const submitted = await tx.sql.proposal.count({ where: { showId: id, submissionCount: { gt: 0 } } });
    if (submitted > 0) return fail({ code: 'show-has-proposals', proposals: submitted });
  }
  const next = { ...found, ...change };
  const done = await tx.sql.$executeRaw`
    UPDATE show SET name = ${next.name}, starts_at = ${next.startsAt}, ends_at = ${next.endsAt}, calls = ${JSON.stringify(next.calls)}::jsonb, version = version + 1
    WHERE id = ${id}::uuid AND version = ${ifMatch}`;
  if (done !== 1) return fail({ code: 'version-moved-on', version: found.version });
  if (moved)
    await tx.sql.proposal.updateMany({
      where: { showId: id },
      data: { startsAt: next.startsAt, endsAt: next.endsAt, version: { increment: 1 } },
    });
  tx.note({ orgs: [found.tourOrgId], type: 'show.changed', subjectId: id, actor, facts: { fields: Object.keys(change).sort() } });
  return ok({ ...next, version: found.version + 1 });
}

async function productionAt(tx: Tx, id: string): Promise<Production | null> {
  const [row] = await tx.sql.$queryRaw<Production[]>`
    SELECT id, tour_org_id AS "tourOrgId", name, version, created_at AS "createdAt" FROM production WHERE id = ${id}::uuid AND ${ownedBy(tx, 'tour_org_id')}`;
  return row ?? null;
}

const SHOW_COLUMNS = Prisma.sql`s.id, s.production_id AS "productionId", p.name AS "productionName", s.tour_org_id AS "tourOrgId",
  s.venue_org_id AS "venueOrgId", v.name AS "venueName", s.space_id AS "spaceId", sp.name AS "spaceName", v.time_zone AS "timeZone",
  s.name, s.starts_at AS "startsAt", s.ends_at AS "endsAt", s.calls, s.shared_at IS NOT NULL AS shared, s.version, s.created_at AS "createdAt"`;
const SHOW_FROM = Prisma.sql`show s JOIN production p ON p.id = s.production_id JOIN space sp ON sp.id = s.space_id JOIN venue v ON v.id = sp.venue_id`;

/** The touring side's own, and for the venue those that were put to it. */
const showVisible = (tx: Tx) =>
  tx.walls.store
    ? Prisma.sql`(${ownedBy(tx, 's.tour_org_id')} OR (${ownedBy(tx, 's.venue_org_id')} AND s.shared_at IS NOT NULL))`
    : Prisma.sql`TRUE`;

export async function showAt(tx: Tx, id: string): Promise<Show | null> {
  const [row] = await tx.sql.$queryRaw<Show[]>`SELECT ${SHOW_COLUMNS} FROM ${SHOW_FROM} WHERE s.id = ${id}::uuid AND ${showVisible(tx)}`;
  return row ?? null;
}

export async function showsWhere(tx: Tx, { productionId, spaceId, from, to }: ShowFilter, { limit, after }: Keyset): Promise<Show[]> {
  const conditions = [showVisible(tx), afterKey('s.starts_at', after, 's.id')];
  if (productionId) conditions.push(Prisma.sql`s.production_id = ${productionId}::uuid`);
  if (spaceId) conditions.push(Prisma.sql`s.space_id = ${spaceId}::uuid`);
  if (from) conditions.push(Prisma.sql`s.ends_at > ${from}`);
  if (to) conditions.push(Prisma.sql`s.starts_at < ${to}`);
  return tx.sql.$queryRaw<Show[]>`
    SELECT ${SHOW_COLUMNS} FROM ${SHOW_FROM} WHERE ${Prisma.join(conditions, ' AND ')} ORDER BY s.starts_at, s.id LIMIT ${limit}`;
}

/** Rows after the last one of the page before, in the order (instant, id). */
export function afterKey(column: string, after: readonly string[] | null, idColumn = 'id'): Prisma.Sql {
  if (after === null) return Prisma.sql`TRUE`;
  return Prisma.sql`(${Prisma.raw(column)}, ${Prisma.raw(idColumn)}) > (${after[0] ?? ''}::timestamptz, ${after[1] ?? ''}::uuid)`;
}

/** Own roof, an opened one, or a grant that has not ended. */
export async function mayReadRoof(tx: Tx, spaceId: string): Promise<boolean> {
  const org = tx.scope.orgId;
  const [row] = await tx.sql.$queryRaw<{ yes: boolean }[]>`
    SELECT (s.venue_org_id = ${org}::uuid OR s.opened OR EXISTS (SELECT 1 FROM space_access a WHERE a.space_id = s.id
      AND a.tour_org_id = ${org}::uuid AND a.state = 'granted' AND a.ends_at > ${tx.now})) AS yes
    FROM space s WHERE s.id = ${spaceId}::uuid`;
  return row?.yes ?? false;
}
