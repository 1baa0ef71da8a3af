import pg from 'pg';
import { ROLES } from './roles.ts';

/** What background work needs of the database: connections as the worker's role, and to know which workers have died. */
export type Queue = {
  readonly pool: pg.Pool;
  /** Says, for as long as this process lives, that the worker does. Said again, it makes sure. */
  attend: (workerId: string) => Promise<void>;
  /** Frees the jobs of workers that live no more, so that others take them up; else they would be held for four hours. */
  freeJobsOfTheDead: () => Promise<void>;
  close: () => Promise<void>;
};

const CONNECTIONS = 3; // one listens, one is the worker's presence, one takes jobs and gives them back

/** @param appUrl  the application's login, which may take the worker's role */
export function openQueue(appUrl: string): Queue {
  const pool = new pg.Pool({ connectionString: appUrl, max: CONNECTIONS, options: `-c role=${ROLES.worker}` });
  pool.on('error', () => {}); // an idle connection was lost: the next use makes another
  let presence: pg.PoolClient | null = null;

  /** PostgreSQL gives a session's lock up when the process at its other end is gone, however it went. */
  async function attend(workerId: string): Promise<void> {
    if (presence) return;
    const client = await pool.connect();
    client.once('error', (error: Error) => {
      presence = null;
      client.release(error);
    });
    await client.query('SELECT pg_advisory_lock(hashtextextended($1, 0))', [workerId]);
    presence = client;
  }

  return {
    pool,
    attend,
    freeJobsOfTheDead: async () => {
      await pool.query(FREE_JOBS_OF_THE_DEAD);
    },
    close: async () => {
      presence?.release(true);
      await pool.end();
    },
  };
}

// Shared, so that two that look at once do not take each other for alive; given up at once, at the end of the statement's transaction.
const FREE_JOBS_OF_THE_DEAD = `
  WITH holders AS MATERIALIZED (SELECT DISTINCT locked_by AS id FROM graphile_worker._private_jobs WHERE locked_by IS NOT NULL),
    dead AS MATERIALIZED (SELECT id FROM holders WHERE pg_try_advisory_xact_lock_shared(hashtextextended(id, 0)))
  SELECT graphile_worker.force_unlock_workers(array_agg(id)) FROM dead HAVING count(*) > 0`;
