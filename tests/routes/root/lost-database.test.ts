import pg from 'pg';
import { expect, test } from 'vitest';
import { startApp } from '../../support/app.ts';

test('without its database the service says that it is not ready, and goes on when it is back', async () => {
  const running = await startApp();
  const venue = await running.signUp('Venue manager', 'venueOperator');
  const database = new URL(running.database.superUrl).pathname.slice(1);
  const superuser = new pg.Client({ connectionString: running.database.superUrl.replace(database, 'postgres') });
  await superuser.connect();
  try {
    const cut = () => superuser.query('SELECT pg_terminate_backend(pid) FROM pg_stat_activity WHERE datname = $1', [database]);
    await superuser.query(`ALTER DATABASE "${database}" ALLOW_CONNECTIONS false`);
    await cut();
    const refused = { status: 503, body: { type: '/problems/not-ready' }, headers: { 'retry-after': '1' } };
    for (let asked = 0; asked < 3; asked += 1) expect(await venue.call('GET', 'auth/me')).toMatchObject(refused);
    expect(await venue.call('POST', 'venues', { name: 'H', place: 'T', timeZone: 'Europe/Amsterdam', contactRole: 'r' })).toMatchObject(
      refused,
    );
    expect((await running.call('GET', '/health/ready')).status).toBe(503);
    expect((await running.call('GET', '/health/live')).status).toBe(200);
    await superuser.query(`ALTER DATABASE "${database}" ALLOW_CONNECTIONS true`);
    await expect.poll(async () => (await venue.call('GET', 'auth/me')).status, { timeout: 10_000 }).toBe(200);
  } finally {
    await superuser.end();
    await running.close();
  }
});
