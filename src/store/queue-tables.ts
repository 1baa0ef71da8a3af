import pg from 'pg';

/**
 * Makes or brings up to date the tables of graphile-worker, in a schema of their own that belongs to the owner. Each step of it is one
 * transaction, so one that was cut off is taken up again. A newer version of it comes with a migration of ours, which brings us here.
 */
export async function makeQueueTables(ownerUrl: string): Promise<void> {
  const { runMigrations } = await import('graphile-worker'); // 0.15 s to load, which a start with nothing to migrate does not wait for
  const pgPool = new pg.Pool({ connectionString: ownerUrl, max: 1 });
  try {
    await runMigrations({ pgPool });
  } finally {
    await pgPool.end();
  }
}
