import { randomBytes } from 'node:crypto';
import { inject } from 'vitest';
import { copyTemplate, dropDatabase, urlOf } from './cluster.ts';

export type TestDatabase = {
  name: string;
  /** The application's login: row-level security holds for it. */
  appUrl: string;
  ownerUrl: string;
  workerUrl: string;
  /** A superuser's login, which no policy holds: to look at what is really there, or to take the database's wall away. */
  superUrl: string;
  drop: () => Promise<void>;
};

/** A migrated database of its own for a test file: make it in `beforeAll`, drop it in `afterAll`. */
export const freshDatabase = (): Promise<TestDatabase> => databaseFrom();

/** A database without tables. */
export const emptyDatabase = (): Promise<TestDatabase> => databaseFrom('template1');

async function databaseFrom(template?: string): Promise<TestDatabase> {
  const cluster = inject('cluster');
  const name = `test_${randomBytes(8).toString('hex')}`;
  await copyTemplate(cluster, name, template);
  return {
    name,
    appUrl: urlOf(cluster, 'app', name),
    ownerUrl: urlOf(cluster, 'owner', name),
    workerUrl: urlOf(cluster, 'worker', name),
    superUrl: urlOf(cluster, 'superuser', name),
    drop: () => dropDatabase(cluster, name),
  };
}
