import { execFileSync, spawn } from 'node:child_process';
import type { ChildProcess } from 'node:child_process';
import { once } from 'node:events';
import { mkdtemp, rm } from 'node:fs/promises';
import { createServer, connect } from 'node:net';
import type { Socket } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeAll, expect, test, vi } from 'vitest';
import { exists } from '../../src/store/embedded-binaries.ts';
import { emptyDatabase, freshDatabase } from '../support/database.ts';

vi.setConfig({ testTimeout: 120_000, hookTimeout: 120_000 });

const ROOT = join(import.meta.dirname, '../..');
beforeAll(() => {
  execFileSync(process.execPath, [join(ROOT, 'scripts/build.mjs'), '--if-changed'], { stdio: 'pipe' });
});

const processes: ChildProcess[] = [];
const folders: string[] = [];
afterEach(async () => {
  for (const child of processes.splice(0)) {
    if (child.exitCode !== null || child.signalCode !== null) continue;
    const ended = once(child, 'exit');
    child.kill('SIGTERM');
    await ended;
  }
  for (const folder of folders.splice(0)) await rm(folder, { recursive: true, force: true });
});

async function newDataDir(): Promise<string> {
  const folder = await mkdtemp(join(tmpdir(), 'roofbook-start-'));
  folders.push(folder);
  return join(folder, 'data');
}

async function freePort(): Promise<number> {
  const probe = createServer().listen(0, '127.0.0.1');
  await once(probe, 'listening');
  const address = probe.address();
  probe.close();
  if (address === null || typeof address === 'string') throw new Error('no port');
  return address.port;
}

type Started = { child: ChildProcess; origin: string; port: number; output: () => string; ended: Promise<number | null> };
async function start(environment: Record<string, string>): Promise<Started> {
  const port = Number(environment.PORT ?? (await freePort()));
  const env = { PATH: process.env.PATH, LOG_LEVEL: 'warn', DEMO: 'no', PORT: String(port), ...environment };
  const child = spawn(process.execPath, [join(ROOT, 'dist/main.js')], { env, cwd: tmpdir(), stdio: ['ignore', 'pipe', 'pipe'] });
  processes.push(child);
  let output = '';
  child.stdout.on('data', (chunk: Buffer) => (output += chunk.toString()));
  child.stderr.on('data', (chunk: Buffer) => (output += chunk.toString()));
  const ended = once(child, 'close').then(([exitCode]) => exitCode as number | null);
  return { child, port, origin: `http://127.0.0.1:${port}`, output: () => output, ended };
}

const isReady = (origin: string): Promise<boolean> =>
  fetch(`${origin}/health/ready`).then(
    (answer) => answer.status === 200,
    () => false,
  );
async function ready(service: Started): Promise<Started> {
  await vi.waitFor(async () => expect(await isReady(service.origin), service.output()).toBe(true), { timeout: 60_000, interval: 50 });
  return service;
}

/** A request whose last byte is still to come. The server asks for the body when it has taken the request up: from then on it is in flight. */
async function beginRequest(port: number): Promise<{ socket: Socket; received: () => string }> {
  const socket = connect(port, '127.0.0.1');
  let text = '';
  socket.on('data', (chunk) => (text += chunk.toString()));
  socket.on('error', () => {}); // a reset shows in what was received
  const head = [
    'POST /api/v1/calculations/beam HTTP/1.1',
    'host: localhost',
    'content-type: application/json',
    'content-length: 2',
    'expect: 100-continue',
  ];
  socket.write(`${head.join('\r\n')}\r\n\r\n`);
  await vi.waitFor(() => expect(text).toContain('100 Continue'), { timeout: 10_000, interval: 10 });
  socket.write('{');
  return { socket, received: () => text };
}

test('the next start takes over what a killed process left; asked to stop, it answers the request in flight, then stops its database and ends', async () => {
  const dataDir = await newDataDir();
  const killed = await ready(await start({ DATA_DIR: dataDir }));
  killed.child.kill('SIGKILL');
  await killed.ended;
  expect(await exists(join(dataDir, 'postgres/postmaster.pid'))).toBe(true);
  const service = await ready(await start({ DATA_DIR: dataDir }));
  expect(service.output()).toContain('Took over');

  const { socket: slow, received } = await beginRequest(service.port);
  const closed = once(slow, 'close');
  service.child.kill('SIGTERM');
  await vi.waitFor(async () => expect(await isReady(service.origin)).toBe(false), { timeout: 10_000, interval: 20 });
  slow.write('}');
  const sinceMs = performance.now();
  await closed;
  expect(performance.now() - sinceMs).toBeLessThan(5000); // half the patience with requests that do not end
  expect(received()).toMatch(/^HTTP\/1\.1 100 Continue\r\n\r\nHTTP\/1\.1 [24]\d\d /);
  expect(await service.ended).toBe(0);
  expect(await exists(join(dataDir, 'postgres/postmaster.pid'))).toBe(false);
});

test('a port that is taken stops the start and the database; two signals at once, as when npm passes on what the terminal has sent already, are one wish to stop', async () => {
  const dataDir = await newDataDir();
  const other = createServer().listen(0, '127.0.0.1');
  await once(other, 'listening');
  const address = other.address();
  const port = address !== null && typeof address === 'object' ? address.port : 0;
  const refused = await start({ PORT: String(port), DATA_DIR: dataDir });
  expect(await refused.ended).toBe(1);
  expect(refused.output()).toMatch(/PORT/);
  expect(await exists(join(dataDir, 'postgres/postmaster.pid'))).toBe(false);
  other.close();

  const service = await ready(await start({ DATA_DIR: dataDir }));
  service.child.kill('SIGINT');
  service.child.kill('SIGTERM'); // not the same again: the system makes one of two equal signals that wait
  expect(await service.ended).toBe(0);
  expect(await exists(join(dataDir, 'postgres/postmaster.pid'))).toBe(false);
});

test('a later Ctrl-C ends it with a request still open', async () => {
  const database = await freshDatabase();
  const service = await ready(await start({ DATABASE_URL: database.appUrl, MIGRATION_DATABASE_URL: database.ownerUrl }));
  const { socket: slow } = await beginRequest(service.port);
  // The open request holds the first wish back; later ones that come close upon it are the same wish, the next one ends it.
  await vi.waitFor(
    () => {
      service.child.kill('SIGINT');
      expect(service.child.exitCode).not.toBeNull();
    },
    { timeout: 8000, interval: 50 }, // less than the patience with requests that do not end
  );
  expect(await service.ended).toBe(1);
  slow.destroy();
  await database.drop();
});

test('wrong variables stop the start, each by its name', async () => {
  const service = await start({ PORT: '70000', LOG_LEVEL: 'loud', DATA_DIR: await newDataDir() });
  expect(await service.ended).toBe(1);
  expect(service.output()).toMatch(/PORT: .*\n.*LOG_LEVEL: /);
});

test('a login that row-level security does not hold stops the start', async () => {
  const database = await freshDatabase();
  for (const url of [database.ownerUrl, database.superUrl]) {
    const service = await start({ DATABASE_URL: url, MIGRATION_DATABASE_URL: database.ownerUrl });
    expect(await service.ended).toBe(1);
    expect(service.output()).toContain('DATABASE_URL: the login');
  }
  await database.drop();
});

test('a database that does not answer stops the start', async () => {
  const url = 'postgresql://roofbook_owner:x@127.0.0.1:1/roofbook';
  const service = await start({ DATABASE_URL: url, MIGRATION_DATABASE_URL: url });
  expect(await service.ended).toBe(1);
  expect(service.output()).toContain('MIGRATION_DATABASE_URL: PostgreSQL does not answer');
  expect(service.output()).not.toContain(':x@');
});

test('two processes migrate and serve one database in turn, and one goes on when the other is killed', async () => {
  const database = await emptyDatabase();
  const environment = { DATABASE_URL: database.appUrl, MIGRATION_DATABASE_URL: database.ownerUrl };
  const both = await Promise.all([start(environment), start(environment)]);
  const [first, second] = await Promise.all(both.map(ready));
  if (!first || !second) throw new Error('two were started');
  const statuses = [];
  for (let n = 0; n < 20; n += 1) statuses.push((await fetch(`${n % 2 === 0 ? first.origin : second.origin}/health/ready`)).status);
  expect(new Set(statuses)).toEqual(new Set([200]));
  first.child.kill('SIGKILL');
  await first.ended;
  for (let n = 0; n < 10; n += 1) expect((await fetch(`${second.origin}/health/ready`)).status).toBe(200);
  second.child.kill('SIGTERM');
  expect(await second.ended).toBe(0);
  await database.drop();
});
