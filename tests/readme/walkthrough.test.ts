import { execFile } from 'node:child_process';
import { mkdtemp, readFile, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { promisify } from 'node:util';
import { afterAll, beforeAll, expect, test, vi } from 'vitest';
import { freshDatabase, type TestDatabase } from '../support/database.ts';
import { buildService, killed, serviceOn, type ServiceProcess } from '../support/service-process.ts';

let database: TestDatabase;
let service: ServiceProcess;
let folder: string;
beforeAll(async () => {
  buildService();
  database = await freshDatabase();
  service = await serviceOn(database, { DEMO: 'yes' });
  await vi.waitFor(() => expect(service.output()).toContain('The demonstration is loaded'), { timeout: 60_000 }); // as a newcomer does
  folder = await mkdtemp(join(tmpdir(), 'roofbook-readme-'));
}, 180_000);
afterAll(async () => {
  await killed(service, 'SIGTERM');
  await database.drop();
  await rm(folder, { recursive: true, force: true });
});

test('the walk-through of the README ends in an agreed proposal, run as printed', { timeout: 120_000 }, async () => {
  const readme = await readFile(join(import.meta.dirname, '../../README.md'), 'utf8');
  const script = [...readme.matchAll(/```sh\n([\s\S]*?)```/g)].map(([, block]) => block).join('\n');
  const env = { PATH: process.env.PATH, API: `${service.origin}/api/v1` };
  const { stdout } = await promisify(execFile)('bash', ['--norc', '-e', '-o', 'pipefail', '-c', script], { cwd: folder, env });
  const printed = stdout.trim().split('\n');
  expect(printed).toEqual(['1000', '636.9325', 'fits', 'submitted', 'agreed']);
  expect(readme).toContain(`That prints ${printed.join(', ')}.`);
  // the worked example, by its own arithmetic
  const moving = 1.25 * (420 + 4 * 1.1 + (50 + 3 + 20) * 1.15) + 1.3 * 1.15;
  expect(Number(printed[1])).toBeCloseTo(moving, 9);
});
