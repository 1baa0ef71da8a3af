import type { OrgKind } from '../../auth/can.ts';
import { fail, ok, type Result } from '../../domain/foundation/result.ts';
import { ownedBy, type Tx } from '../database.ts';
import { Prisma } from '../generated/client.ts';
import type { Actor } from '../history.ts';
import type { Keyset } from '../shows.ts';

export type Organisation = { id: string; name: string; kind: OrgKind; version: number; createdAt: Date };
export type OrganisationError = { code: 'not-found' } | { code: 'version-moved-on'; version: number };

const COLUMNS = Prisma.sql`id, name, kind, version, created_at AS "createdAt"`;

/** Names and kinds are for everybody who is signed in. */
export async function organisationAt(tx: Tx, id: string): Promise<Organisation | null> {
  const [row] = await tx.sql.$queryRaw<Organisation[]>`SELECT ${COLUMNS} FROM organisation WHERE id = ${id}::uuid`;
  return row ?? null;
}

type Filter = { namePrefix?: string | undefined; kind?: OrgKind | undefined };

/** In order of name and id; `after` is such a pair. */
export function organisationsWhere(tx: Tx, { namePrefix, kind }: Filter, { limit, after }: Keyset): Promise<Organisation[]> {
  const conditions = [Prisma.sql`TRUE`];
  if (namePrefix !== undefined) conditions.push(Prisma.sql`starts_with(lower(name), lower(${namePrefix}))`);
  if (kind !== undefined) conditions.push(Prisma.sql`kind = ${kind}`);
  if (after !== null) conditions.push(Prisma.sql`(name, id) > (${after[0] ?? ''}, ${after[1] ?? ''}::uuid)`);
  return tx.sql.$queryRaw<Organisation[]>`
    SELECT ${COLUMNS} FROM organisation WHERE ${Prisma.join(conditions, ' AND ')} ORDER BY name, id LIMIT ${limit}`;
}

type Rename = { actor: Actor; id: string; ifMatch: number; name: string };

export async function renameOrganisation(tx: Tx, { actor, id, ifMatch, name }: Rename): Promise<Result<Organisation, OrganisationError>> {
  const found = await organisationAt(tx, id);
  if (!found) return fail({ code: 'not-found' });
  const changed = await tx.sql.$executeRaw`
    UPDATE organisation SET name = ${name}, version = version + 1 WHERE ${ownedBy(tx, 'id')} AND id = ${id}::uuid AND version = ${ifMatch}`;
  if (changed !== 1) return fail({ code: 'version-moved-on', version: found.version });
  tx.note({ orgs: [id], type: 'organisation.renamed', subjectId: id, actor, facts: { from: found.name, to: name } });
  return ok({ ...found, name, version: found.version + 1 });
}
