import { randomUUID } from 'node:crypto';
import { fail, ok, type Result } from '../domain/foundation/result.ts';
import { ownedBy, type Database, type Scope, type Tx } from './database.ts';
import { Prisma } from './generated/client.ts';
import type { Actor } from './history.ts';
import { act } from './once.ts';
import { afterKey, type Keyset } from './shows.ts';

export type SpaceAccess = {
  id: string;
  spaceId: string;
  spaceName: string;
  venueName: string;
  venueOrgId: string;
  tourOrgId: string;
  tourOrgName: string;
  state: 'requested' | 'granted' | 'refused' | 'ended';
  note: string;
  reply: string;
  requestedAt: Date;
  decidedAt: Date | null;
  endsAt: Date | null;
  version: number;
};
export type AccessError =
  | { code: 'not-found' }
  | { code: 'version-moved-on'; version: number }
  | { code: 'access-already'; state: string }
  | { code: 'end-in-the-past'; endsAt: string };

const COLUMNS = Prisma.sql`a.id, a.space_id AS "spaceId", s.name AS "spaceName", v.name AS "venueName", a.venue_org_id AS "venueOrgId",
  a.tour_org_id AS "tourOrgId", o.name AS "tourOrgName", a.state, a.note, a.reply, a.requested_at AS "requestedAt", a.decided_at AS "decidedAt",
  a.ends_at AS "endsAt", a.version`;
const FROM = Prisma.sql`space_access a JOIN space s ON s.id = a.space_id JOIN venue v ON v.id = s.venue_id JOIN organisation o ON o.id = a.tour_org_id`;
const visible = (tx: Tx) => ownedBy(tx, 'a.venue_org_id', 'a.tour_org_id');

/** Who may read a space's roof: asked for by a production, given with an end or refused by the venue. */
export function accessStore(db: Database) {
  return {
    ask: act(db, ask),
    find: (scope: Scope, id: string) => db.read(scope, (tx) => accessAt(tx, id)),
    list: (scope: Scope, filter: { spaceId?: string; state?: string }, { limit, after }: Keyset) =>
      db.read(scope, (tx) => {
        const conditions = [visible(tx), afterKey('a.requested_at', after, 'a.id')];
        if (filter.spaceId) conditions.push(Prisma.sql`a.space_id = ${filter.spaceId}::uuid`);
        if (filter.state) conditions.push(Prisma.sql`a.state = ${filter.state}`);
        return tx.sql.$queryRaw<SpaceAccess[]>`
          SELECT ${COLUMNS} FROM ${FROM} WHERE ${Prisma.join(conditions, ' AND ')} ORDER BY a.requested_at, a.id LIMIT ${limit}`;
      }),
    decide: act(db, decide),
  };
}

async function accessAt(tx: Tx, id: string): Promise<SpaceAccess | null> {
  const [row] = await tx.sql.$queryRaw<SpaceAccess[]>`SELECT ${COLUMNS} FROM ${FROM} WHERE a.id = ${id}::uuid AND ${visible(tx)}`;
  return row ?? null;
}

type Asking = { actor: Actor; spaceId: string; note: string; until: Date };

/** Asks the venue. Where it has opened the space to all, asking is being let in until the day asked for. */
async function ask(tx: Tx, { actor, spaceId, note, until }: Asking): Promise<Result<SpaceAccess, AccessError>> {
  if (until <= tx.now) return fail({ code: 'end-in-the-past', endsAt: until.toISOString() });
  const [space] = await tx.sql.$queryRaw<
    { opened: boolean; venue_org_id: string }[]
  >`SELECT opened, venue_org_id FROM space WHERE id = ${spaceId}::uuid`;
  if (!space) return fail({ code: 'not-found' });
  const [known] = await tx.sql.$queryRaw<{ id: string; state: string; live: boolean }[]>`
    SELECT a.id, a.state, (a.state = 'granted' AND a.ends_at > ${tx.now}) AS live FROM space_access a
    WHERE a.space_id = ${spaceId}::uuid AND a.tour_org_id = ${actor.orgId}::uuid FOR UPDATE`;
  if (known && (known.state === 'requested' || known.live)) return fail({ code: 'access-already', state: known.state });
  const state = space.opened ? 'granted' : 'requested';
  const id = known?.id ?? randomUUID();
  const endsAt = space.opened ? until : null;
  const rows = await tx.sql.$executeRaw`
    INSERT INTO space_access (id, space_id, tour_org_id, state, note, reply, requested_by, requested_at, decided_at, ends_at)
    VALUES (${id}::uuid, ${spaceId}::uuid, ${actor.orgId}::uuid, ${state}, ${note}, '', ${actor.personId}::uuid, ${tx.now}, ${space.opened ? tx.now : null}::timestamptz, ${endsAt}::timestamptz)
    ON CONFLICT (space_id, tour_org_id) DO UPDATE SET state = excluded.state, note = excluded.note, reply = '', requested_by = excluded.requested_by,
      requested_at = excluded.requested_at, decided_by = NULL, decided_at = excluded.decided_at, ends_at = excluded.ends_at, version = space_access.version + 1
    WHERE NOT (space_access.state = 'requested' OR (space_access.state = 'granted' AND space_access.ends_at > ${tx.now}))`;
  if (rows !== 1) return fail({ code: 'access-already', state }); // another of the same organisation asked at this moment
  tx.note({
    orgs: [space.venue_org_id, actor.orgId!],
    type: space.opened ? 'access.granted' : 'access.requested',
    subjectId: id,
    actor,
    facts: { spaceId, note, until: until.toISOString() },
  });
  return ok((await accessAt(tx, id))!);
}

type Deciding = { actor: Actor; id: string; ifMatch: number; reply: string } & (
  { answer: 'grant'; until: Date } | { answer: 'refuse' | 'end' }
);

async function decide(tx: Tx, input: Deciding): Promise<Result<SpaceAccess, AccessError>> {
  const found = await accessAt(tx, input.id);
  if (!found || (tx.walls.store && found.venueOrgId !== tx.scope.orgId)) return fail({ code: 'not-found' });
  if (input.answer === 'grant' && input.until <= tx.now) return fail({ code: 'end-in-the-past', endsAt: input.until.toISOString() });
  const open = input.answer === 'end' ? found.state === 'granted' : input.answer === 'refuse' ? found.state === 'requested' : true;
  if (!open) return fail({ code: 'access-already', state: found.state });
  const state = { grant: 'granted', refuse: 'refused', end: 'ended' }[input.answer];
  const endsAt = input.answer === 'grant' ? input.until : input.answer === 'end' ? tx.now : null;
  const rows = await tx.sql.$executeRaw`
    UPDATE space_access SET state = ${state}, reply = ${input.reply}, decided_by = ${input.actor.personId}::uuid, decided_at = ${tx.now}, ends_at = ${endsAt}::timestamptz,
      version = version + 1 WHERE id = ${input.id}::uuid AND version = ${input.ifMatch}`;
  if (rows !== 1) return fail({ code: 'version-moved-on', version: found.version });
  tx.note({
    orgs: [found.venueOrgId, found.tourOrgId],
    type: `access.${state}`,
    subjectId: found.id,
    actor: input.actor,
    facts: { spaceId: found.spaceId, reply: input.reply, until: endsAt?.toISOString() ?? null },
  });
  return ok((await accessAt(tx, found.id))!);
}
