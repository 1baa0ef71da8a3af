import { randomUUID } from 'node:crypto';
import { fail, ok, type Result } from '../../domain/foundation/result.ts';
import type { Exposure } from '../../domain/roof/structure.ts';
import { ownedBy, type Tx } from '../database.ts';
import { Prisma } from '../generated/client.ts';
import type { Actor } from '../history.ts';
import { afterKey, type Keyset } from '../shows.ts';

export type Venue = {
  id: string;
  venueOrgId: string;
  name: string;
  place: string;
  timeZone: string;
  contactRole: string;
  version: number;
  createdAt: Date;
};
export type Space = {
  id: string;
  venueId: string;
  venueOrgId: string;
  venueName: string;
  timeZone: string;
  name: string;
  exposure: Exposure;
  opened: boolean;
  latestRevision: number | null;
  granted: boolean;
  version: number;
  createdAt: Date;
};
export type RegisterError = { code: 'not-found' } | { code: 'version-moved-on'; version: number };

const VENUE = Prisma.sql`id, venue_org_id AS "venueOrgId", name, place, time_zone AS "timeZone", contact_role AS "contactRole", version, created_at AS "createdAt"`;

/** Name, place and contact are for everyone who is signed in. */
export async function venueAt(tx: Tx, id: string): Promise<Venue | null> {
  const [row] = await tx.sql.$queryRaw<Venue[]>`SELECT ${VENUE} FROM venue WHERE id = ${id}::uuid`;
  return row ?? null;
}

export async function venuesWhere(
  tx: Tx,
  filter: { name?: string; place?: string; own?: boolean },
  { limit, after }: Keyset,
): Promise<Venue[]> {
  const conditions = [afterKey('created_at', after)];
  if (filter.name) conditions.push(Prisma.sql`starts_with(lower(name), lower(${filter.name}))`);
  if (filter.place) conditions.push(Prisma.sql`starts_with(lower(place), lower(${filter.place}))`);
  if (filter.own) conditions.push(Prisma.sql`venue_org_id = ${tx.scope.orgId}::uuid`);
  return tx.sql.$queryRaw<
    Venue[]
  >`SELECT ${VENUE} FROM venue WHERE ${Prisma.join(conditions, ' AND ')} ORDER BY created_at, id LIMIT ${limit}`;
}

export type NewVenue = { actor: Actor; name: string; place: string; timeZone: string; contactRole: string };

export async function createVenue(tx: Tx, { actor, ...venue }: NewVenue): Promise<Result<Venue, never>> {
  const id = randomUUID();
  await tx.sql.$executeRaw`
    INSERT INTO venue (id, venue_org_id, name, place, time_zone, contact_role, created_at)
    VALUES (${id}::uuid, ${actor.orgId}::uuid, ${venue.name}, ${venue.place}, ${venue.timeZone}, ${venue.contactRole}, ${tx.now})`;
  tx.note({ orgs: [actor.orgId!], type: 'venue.created', subjectId: id, actor, facts: venue });
  return ok((await venueAt(tx, id))!);
}

type VenueChange = {
  actor: Actor;
  id: string;
  ifMatch: number;
  change: Partial<Pick<Venue, 'name' | 'place' | 'timeZone' | 'contactRole'>>;
};

export async function changeVenue(tx: Tx, { actor, id, ifMatch, change }: VenueChange): Promise<Result<Venue, RegisterError>> {
  const found = await venueAt(tx, id);
  if (!found) return fail({ code: 'not-found' });
  const next = { ...found, ...change };
  const rows = await tx.sql.$executeRaw`
    UPDATE venue SET name = ${next.name}, place = ${next.place}, time_zone = ${next.timeZone}, contact_role = ${next.contactRole}, version = version + 1
    WHERE id = ${id}::uuid AND version = ${ifMatch} AND ${ownedBy(tx, 'venue_org_id')}`;
  if (rows !== 1) return fail({ code: 'version-moved-on', version: found.version });
  tx.note({ orgs: [found.venueOrgId], type: 'venue.changed', subjectId: id, actor, facts: change });
  return ok({ ...next, version: found.version + 1 });
}

const SPACE = (
  tx: Tx,
) => Prisma.sql`s.id, s.venue_id AS "venueId", s.venue_org_id AS "venueOrgId", v.name AS "venueName", v.time_zone AS "timeZone", s.name, s.exposure, s.opened,
  (SELECT l.latest_revision FROM space_lock l WHERE l.space_id = s.id) AS "latestRevision",
  (s.venue_org_id = ${tx.scope.orgId}::uuid OR s.opened OR EXISTS (SELECT 1 FROM space_access a WHERE a.space_id = s.id
    AND a.tour_org_id = ${tx.scope.orgId}::uuid AND a.state = 'granted' AND a.ends_at > ${tx.now})) AS granted,
  s.version, s.created_at AS "createdAt"`;

/** Name and exposure are for everyone who is signed in; `granted` says whether the asker may read the roof. */
export async function spaceAt(tx: Tx, id: string): Promise<Space | null> {
  const [row] = await tx.sql.$queryRaw<
    Space[]
  >`SELECT ${SPACE(tx)} FROM space s JOIN venue v ON v.id = s.venue_id WHERE s.id = ${id}::uuid`;
  return row ?? null;
}

export async function spacesOf(tx: Tx, venueId: string, { limit, after }: Keyset): Promise<Space[]> {
  return tx.sql.$queryRaw<Space[]>`
    SELECT ${SPACE(tx)} FROM space s JOIN venue v ON v.id = s.venue_id
    WHERE s.venue_id = ${venueId}::uuid AND ${afterKey('s.created_at', after, 's.id')} ORDER BY s.created_at, s.id LIMIT ${limit}`;
}

type NewSpace = { actor: Actor; venueId: string; name: string; exposure: Exposure };

export async function createSpace(tx: Tx, { actor, venueId, name, exposure }: NewSpace): Promise<Result<Space, RegisterError>> {
  const [venue] = await tx.sql.$queryRaw<
    { id: string }[]
  >`SELECT id FROM venue WHERE id = ${venueId}::uuid AND ${ownedBy(tx, 'venue_org_id')}`;
  if (!venue) return fail({ code: 'not-found' });
  const id = randomUUID();
  await tx.sql
    .$executeRaw`INSERT INTO space (id, venue_id, name, exposure, created_at) VALUES (${id}::uuid, ${venueId}::uuid, ${name}, ${exposure}, ${tx.now})`;
  await tx.sql.$executeRaw`INSERT INTO space_lock (space_id) VALUES (${id}::uuid)`;
  await tx.sql.$executeRaw`INSERT INTO structure (space_id) VALUES (${id}::uuid)`;
  tx.note({ orgs: [actor.orgId!], type: 'space.created', subjectId: id, actor, facts: { venueId, name, exposure } });
  return ok((await spaceAt(tx, id))!);
}

type SpaceChange = { actor: Actor; id: string; ifMatch: number; change: Partial<Pick<Space, 'name' | 'exposure' | 'opened'>> };

/** The exposure is part of the working copy: a published revision keeps the one it was published with. */
export async function changeSpace(tx: Tx, { actor, id, ifMatch, change }: SpaceChange): Promise<Result<Space, RegisterError>> {
  const found = await spaceAt(tx, id);
  if (!found) return fail({ code: 'not-found' });
  const next = { ...found, ...change };
  const rows = await tx.sql.$executeRaw`
    UPDATE space SET name = ${next.name}, exposure = ${next.exposure}, opened = ${next.opened}, version = version + 1
    WHERE id = ${id}::uuid AND version = ${ifMatch} AND ${ownedBy(tx, 'venue_org_id')}`;
  if (rows !== 1) return fail({ code: 'version-moved-on', version: found.version });
  if (change.exposure !== undefined) {
    await tx.sql.$executeRaw`UPDATE structure SET version = version + 1 WHERE space_id = ${id}::uuid AND ${ownedBy(tx, 'venue_org_id')}`;
  }
  tx.note({ orgs: [found.venueOrgId], type: 'space.changed', subjectId: id, actor, facts: change });
  return ok({ ...next, version: found.version + 1 });
}
