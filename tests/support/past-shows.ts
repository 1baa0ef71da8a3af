import pg from 'pg';

/**
 * Puts loads of `count` other shows into a space, each of two days and `points` loads, straight into the tables: one a week to both sides of
 * `around`, the past ones called down already (asked for once, so that they are still there, and no longer agreed).
 */
export async function withOtherShows(
  superUrl: string,
  { spaceId, pointIds, around, count }: { spaceId: string; pointIds: readonly string[]; around: Date; count: number },
): Promise<void> {
  const client = new pg.Client({ connectionString: superUrl });
  await client.connect();
  try {
    await client.query('ALTER TABLE commitment DISABLE TRIGGER locked_in');
    await client.query(
      `INSERT INTO commitment (id, space_id, ref, status, plan_sha256, hang_id, point_id, from_at, to_at,
         resting_x_kn, resting_y_kn, resting_kn, moving_x_kn, moving_y_kn, moving_kn, is_lower_bound)
       SELECT gen_random_uuid(), $1, r.ref, CASE WHEN r.week > 0 THEN 'agreed' ELSE 'submitted' END, repeat('0', 64), gen_random_uuid(), p.id,
         $2::timestamptz + make_interval(days => 7 * r.week), $2::timestamptz + make_interval(days => 7 * r.week + 2), 0, 0, 1, 0, 0, 1.25, false
       FROM (SELECT gen_random_uuid() AS ref, CASE WHEN n % 2 = 0 THEN 1 + n / 2 ELSE -1 - n / 2 END AS week FROM generate_series(0, $3::int - 1) n) r
         CROSS JOIN unnest($4::uuid[]) AS p(id)`,
      [spaceId, around, count, pointIds],
    );
    await client.query('ALTER TABLE commitment ENABLE TRIGGER locked_in');
    await client.query('ANALYZE commitment; ANALYZE commitment_day');
  } finally {
    await client.end();
  }
}
