import type { NeighbourLoad } from '../domain/assessment/assessment.ts';
import type { Tx } from './database.ts';
import { Prisma } from './generated/client.ts';

/** What the lock of a space's roof says. Whoever holds it is alone in changing what hangs there, until the transaction ends. */
export type RoofLock = { readonly spaceId: string; readonly latestRevision: number };

/**
 * Takes the space's lock, the second in the order of all locks: idempotency key, space, proposal, heads of history.
 * Under row-level security a lock that finds no row locks nothing and says nothing, so one row it must be.
 */
export async function lockSpace(tx: Tx, spaceId: string): Promise<RoofLock> {
  const rows = await tx.sql.$queryRaw<{ latest_revision: number }[]>`
    UPDATE space_lock SET version = version + 1, holder_xid = pg_current_xact_id()::text::bigint
    WHERE space_id = ${spaceId}::uuid RETURNING latest_revision`;
  const [row] = rows;
  if (rows.length !== 1 || !row) throw new Error(`the lock of space ${spaceId} took ${rows.length} rows, not one`);
  return { spaceId, latestRevision: row.latest_revision };
}

/** Says which revision is the latest. Needs the lock, which publishing takes like a decision does. */
export async function moveLatestRevision(
  tx: Tx,
  spaceId: string,
  latest: { number: number; sha256: string; engineerAboveKg: number | null },
): Promise<void> {
  const rows = await tx.sql.$executeRaw`
    UPDATE space_lock SET latest_revision = ${latest.number}, latest_sha256 = ${latest.sha256}, engineer_above_kg = ${latest.engineerAboveKg}
    WHERE space_id = ${spaceId}::uuid AND latest_revision = ${latest.number - 1} AND holder_xid = pg_current_xact_id()::text::bigint`;
  if (rows !== 1) throw new Error(`revision ${latest.number} of space ${spaceId} does not follow the latest`);
}

type CommitmentRow = {
  id: string;
  ref: string;
  status: 'agreed' | 'submitted';
  plan_sha256: string;
  hang_id: string;
  point_id: string;
  from_at: string;
  to_at: string;
  resting_x_kn: number;
  resting_y_kn: number;
  resting_kn: number;
  moving_x_kn: number;
  moving_y_kn: number;
  moving_kn: number;
  is_lower_bound: boolean;
};

/** A load of a neighbour was hidden from us: computing on would call a full roof free. */
export class HiddenCommitments extends Error {}

const DAY_MS = 86_400_000;
/** Midnights (UTC) around [from, to): the days that it touches. */
const daysAround = (from: Date, to: Date): { first: Date; end: Date } => ({
  first: new Date(Math.floor(from.getTime() / DAY_MS) * DAY_MS),
  end: new Date(Math.ceil(to.getTime() / DAY_MS) * DAY_MS),
});

/** Class k holds lengths up to 4^k days, up to the longest that the database takes. */
const SPAN_CLASSES = [0, 1, 2, 3, 4, 5] as const;

/**
 * What hangs, or is asked to hang, in a space on any day that [from, to) touches, as a table `near`: of each class of lengths one range
 * of an index. And as `ended` what is agreed, has passed and was not called down.
 */
function nearAndEnded(spaceId: string, first: Date, end: Date, now: Date): Prisma.Sql {
  const ofClass = SPAN_CLASSES.map(
    (k) => Prisma.sql`SELECT * FROM commitment WHERE space_id = ${spaceId}::uuid AND span_class = ${k}::int AND from_at < ${end}
      AND from_at > ${new Date(first.getTime() - 4 ** k * DAY_MS)} AND to_at > ${first}`,
  );
  return Prisma.sql`
  near AS MATERIALIZED (${Prisma.join(ofClass, ' UNION ALL ')}),
  ended AS MATERIALIZED (SELECT * FROM commitment WHERE space_id = ${spaceId}::uuid AND status = 'agreed' AND to_at <= ${now})`;
}

/** One statement: the loads, and the counts by which it is known that none is missing. */
export function hangingQuery(spaceId: string, from: Date, to: Date, exceptRef: string | null, now: Date): Prisma.Sql {
  const { first, end } = daysAround(from, to);
  const today = daysAround(now, now).first;
  return Prisma.sql`
    WITH ${nearAndEnded(spaceId, first, end, now)}
    SELECT l.latest_revision,
      (SELECT coalesce(sum(there), 0)::int FROM commitment_day d
        WHERE d.space_id = l.space_id AND d.day >= (${first}::timestamptz AT TIME ZONE 'UTC')::date AND d.day < (${end}::timestamptz AT TIME ZONE 'UTC')::date) AS counted,
      (SELECT coalesce(sum((least(to_at - interval '1 millisecond', ${end}::timestamptz - interval '1 millisecond') AT TIME ZONE 'UTC')::date
        - (greatest(from_at, ${first}) AT TIME ZONE 'UTC')::date + 1), 0)::int FROM near) AS visible,
      (SELECT coalesce(sum(last_agreed), 0)::int FROM commitment_day d
        WHERE d.space_id = l.space_id AND d.last_agreed > 0 AND d.day < (${today}::timestamptz AT TIME ZONE 'UTC')::date) AS ended_counted,
      (SELECT count(*)::int FROM ended WHERE to_at <= ${today}) AS ended_visible,
      (SELECT coalesce(json_agg(to_json(c) ORDER BY c.ref, c.hang_id, c.point_id, c.status), '[]') FROM (
        SELECT * FROM near WHERE from_at < ${to} AND to_at > ${from} UNION SELECT * FROM ended WHERE from_at < ${to}) c
        WHERE c.ref IS DISTINCT FROM ${exceptRef}::uuid) AS rows
    FROM space_lock l WHERE l.space_id = ${spaceId}::uuid`;
}

/**
 * Everything else that hangs, or is asked to hang, in a space during [from, to): with agreed shows whose time has passed and that
 * nobody has called down. Throws when the rows seen are not all that were counted when they were written.
 */
export async function hangingDuring(
  tx: Tx,
  spaceId: string,
  from: Date,
  to: Date,
  exceptRef: string | null,
): Promise<{ latestRevision: number; neighbours: NeighbourLoad[] }> {
  const [seen] = await tx.sql.$queryRaw<Seen[]>(hangingQuery(spaceId, from, to, exceptRef, tx.now));
  if (!seen) throw new HiddenCommitments(`the lock of space ${spaceId} is not to be seen`);
  if (seen.counted !== seen.visible || seen.ended_counted !== seen.ended_visible)
    throw new HiddenCommitments(
      `space ${spaceId} has ${seen.counted} + ${seen.ended_counted} loads by day, ${seen.visible} + ${seen.ended_visible} are to be seen`,
    );
  return { latestRevision: seen.latest_revision, neighbours: seen.rows.map(neighbourOf) };
}
/** The refs of what is agreed and hangs at some time during [from, to), as a subquery. */
export function agreedRefsDuring(spaceId: string, from: Date, to: Date, now: Date): Prisma.Sql {
  const { first, end } = daysAround(from, to);
  return Prisma.sql`(WITH ${nearAndEnded(spaceId, first, end, now)}
    SELECT ref FROM near WHERE status = 'agreed' AND from_at < ${to} AND to_at > ${from} UNION SELECT ref FROM ended WHERE from_at < ${to})`;
}

type Seen = {
  latest_revision: number;
  counted: number;
  visible: number;
  ended_counted: number;
  ended_visible: number;
  rows: CommitmentRow[];
};

const instant = (text: string): string => new Date(text).toISOString();

function neighbourOf(row: CommitmentRow): NeighbourLoad {
  return {
    ref: row.ref,
    status: row.status,
    planHash: row.plan_sha256,
    hangId: row.hang_id,
    pointId: row.point_id,
    from: instant(row.from_at),
    to: instant(row.to_at),
    resting: { xKn: row.resting_x_kn, yKn: row.resting_y_kn, downKn: row.resting_kn },
    moving: { xKn: row.moving_x_kn, yKn: row.moving_y_kn, downKn: row.moving_kn },
    isLowerBound: row.is_lower_bound,
  };
}

/** Puts `rows` in place of what a proposal has standing under a status; none = takes it away. Needs the space's lock (the database checks). */
export async function replaceCommitments(
  tx: Tx,
  spaceId: string,
  ref: string,
  status: 'agreed' | 'submitted',
  rows: readonly Omit<NeighbourLoad, 'ref' | 'status'>[],
): Promise<void> {
  await tx.sql.$executeRaw`DELETE FROM commitment WHERE space_id = ${spaceId}::uuid AND ref = ${ref}::uuid AND status = ${status}`;
  if (rows.length === 0) return;
  const flat = rows.map((row) => ({
    plan_sha256: row.planHash,
    hang_id: row.hangId,
    point_id: row.pointId,
    from_at: row.from,
    to_at: row.to,
    resting_x_kn: row.resting.xKn,
    resting_y_kn: row.resting.yKn,
    resting_kn: row.resting.downKn,
    moving_x_kn: row.moving.xKn,
    moving_y_kn: row.moving.yKn,
    moving_kn: row.moving.downKn,
    is_lower_bound: row.isLowerBound ?? false,
  }));
  await tx.sql.$executeRaw`
    INSERT INTO commitment (id, space_id, ref, status, plan_sha256, hang_id, point_id, from_at, to_at,
      resting_x_kn, resting_y_kn, resting_kn, moving_x_kn, moving_y_kn, moving_kn, is_lower_bound)
    SELECT gen_random_uuid(), ${spaceId}::uuid, ${ref}::uuid, ${status}, r.* FROM json_to_recordset(${JSON.stringify(flat)}::json)
      AS r(plan_sha256 text, hang_id uuid, point_id uuid, from_at timestamptz, to_at timestamptz,
        resting_x_kn float8, resting_y_kn float8, resting_kn float8, moving_x_kn float8, moving_y_kn float8, moving_kn float8, is_lower_bound boolean)`;
}
