import { execFileSync, spawn } from 'node:child_process';
import { once } from 'node:events';
import { mkdir, mkdtemp, readFile, readdir, rm, stat, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { createInterface } from 'node:readline';
import { afterAll, afterEach, beforeAll, expect, test, vi } from 'vitest';
import pg from 'pg';
import { SUPERUSER, startEmbedded } from '../../src/store/embedded.ts';
import type { EmbeddedServer } from '../../src/store/embedded.ts';

vi.setConfig({ testTimeout: 120_000 });

const folders: string[] = [];
const servers: EmbeddedServer[] = [];
const elsewhere: (() => Promise<void>)[] = [];
afterEach(async () => {
  for (const kill of elsewhere.splice(0)) await kill();
  for (const server of servers.splice(0)) await server.stop();
  for (const folder of folders.splice(0)) await rm(folder, { recursive: true, force: true });
});

async function newDataDir(): Promise<string> {
  const folder = await mkdtemp(join(tmpdir(), 'roofbook-embedded-'));
  folders.push(folder);
  return join(folder, 'data');
}

// Made once; a test that is not about the making starts from a copy.
let made: string;
beforeAll(async () => {
  made = await mkdtemp(join(tmpdir(), 'roofbook-embedded-made-'));
  const first = await startEmbedded({ dataDir: join(made, 'data') });
  if (!first.ok) throw new Error(JSON.stringify(first.error));
  await first.value.stop();
});
afterAll(() => rm(made, { recursive: true, force: true }));

async function madeDataDir(): Promise<string> {
  const dataDir = await newDataDir();
  execFileSync('cp', ['-a', join(made, 'data'), dataDir]); // with the owners of its files, which fs.cp leaves behind
  return dataDir;
}

async function start(dataDir: string): Promise<EmbeddedServer> {
  const started = await startEmbedded({ dataDir });
  if (!started.ok) throw new Error(JSON.stringify(started.error));
  servers.push(started.value);
  return started.value;
}

/** A start in a process of its own; `answer` is what it tells. */
async function startElsewhere(dataDir: string): Promise<{ answer: Record<string, unknown>; kill: () => Promise<void> }> {
  const script = join(import.meta.dirname, '../support/embedded-process.ts');
  const child = spawn(process.execPath, ['--import', 'tsx', script, dataDir], { stdio: ['ignore', 'pipe', 'inherit'] });
  const ended = once(child, 'exit');
  const kill = async () => {
    child.kill('SIGKILL');
    await ended;
  };
  elsewhere.push(kill);
  const [line] = (await once(createInterface(child.stdout), 'line')) as [string];
  return { answer: JSON.parse(line) as Record<string, unknown>, kill };
}

async function ask(server: EmbeddedServer, sql: string): Promise<unknown[]> {
  const client = new pg.Client({
    host: '127.0.0.1',
    port: server.port,
    user: SUPERUSER,
    password: server.secrets.superuser,
    database: 'postgres',
  });
  client.on('error', () => {});
  await client.connect();
  try {
    return (await client.query<Record<string, unknown>>(sql)).rows;
  } finally {
    await client.end();
  }
}

const pidOf = async (dataDir: string): Promise<number> =>
  Number((await readFile(join(dataDir, 'postgres/postmaster.pid'), 'utf8')).split('\n')[0]);

test('what was written is there after a stop and a start, and answers wait for the disk', async () => {
  const dataDir = await newDataDir();
  const first = await start(dataDir);
  expect(first.takenOver).toBe(false);
  await ask(first, 'CREATE TABLE kept AS SELECT 42 AS answer');
  for (const setting of ['fsync', 'synchronous_commit', 'full_page_writes'])
    expect(await ask(first, `SHOW ${setting}`)).toEqual([{ [setting]: 'on' }]);
  await servers.pop()?.stop();
  await expect(ask(first, 'SELECT 1')).rejects.toMatchObject({ code: 'ECONNREFUSED' });

  const second = await start(dataDir);
  expect(second.takenOver).toBe(false);
  expect(await ask(second, 'SELECT answer FROM kept')).toEqual([{ answer: 42 }]);
});

test('it listens on this machine only, to those who know a password, and its passwords are closed to others', async () => {
  const dataDir = await newDataDir();
  const server = await start(dataDir);
  expect(await ask(server, 'SHOW listen_addresses')).toEqual([{ listen_addresses: '127.0.0.1' }]);
  expect(await ask(server, 'SHOW unix_socket_directories')).toEqual([{ unix_socket_directories: '' }]);
  await expect(ask({ ...server, secrets: { ...server.secrets, superuser: 'wrong' } }, 'SELECT 1')).rejects.toMatchObject({ code: '28P01' });
  expect((await stat(join(dataDir, 'passwords.json'))).mode & 0o077).toBe(0);
  expect((await stat(join(dataDir, 'postgres'))).mode & 0o077).toBe(0);
  expect((await readdir(dataDir)).filter((name) => name.includes('making'))).toEqual([]);
});

test('a killed process leaves a server that the next start takes over with what it had answered for', async () => {
  const dataDir = await madeDataDir();
  const killed = await startElsewhere(dataDir);
  const port = killed.answer.port;
  await killed.kill();
  const next = await start(dataDir);
  expect(next).toMatchObject({ takenOver: true, port });
  expect(await ask(next, 'SELECT 1 AS one')).toEqual([{ one: 1 }]);
});

test('a second process is refused while the first one lives, and leaves its server alone', async () => {
  const dataDir = await madeDataDir();
  const owner = await start(dataDir);
  const refused = await startElsewhere(dataDir);
  expect(refused.answer).toEqual({ code: 'data-dir-in-use', dataDir, port: owner.port });
  expect(await ask(owner, 'SELECT 1 AS one')).toEqual([{ one: 1 }]);
});

test('of two first starts at once one owns the folder and the other is refused', async () => {
  const dataDir = await newDataDir();
  const both = await Promise.all([startElsewhere(dataDir), startElsewhere(dataDir)]);
  expect(both.map(({ answer }) => answer.code ?? 'started').sort()).toEqual(['data-dir-in-use', 'started']);
  for (const one of both) await one.kill();
  expect((await start(dataDir)).takenOver).toBe(true);
});

test('a server that is killed comes back on its port by itself, with every committed row', async () => {
  const dataDir = await madeDataDir();
  const server = await start(dataDir);
  await ask(server, 'CREATE TABLE kept (n int)');
  for (let n = 0; n < 2; n += 1) {
    await ask(server, `INSERT INTO kept VALUES (${n})`);
    process.kill(await pidOf(dataDir), 'SIGKILL');
    await vi.waitFor(async () => expect(await ask(server, 'SELECT count(*)::int AS n FROM kept')).toEqual([{ n: n + 1 }]), {
      timeout: 30_000,
      interval: 100,
    });
  }
});

test("a crash's process id that another program has by now does not stop a start", async () => {
  const dataDir = await madeDataDir();
  await start(dataDir);
  const pidFile = join(dataDir, 'postgres/postmaster.pid');
  const lines = (await readFile(pidFile, 'utf8')).split('\n');
  await servers.pop()?.stop();
  lines[0] = String(process.pid); // alive, and not PostgreSQL
  await writeFile(pidFile, lines.join('\n'));
  expect((await start(dataDir)).takenOver).toBe(false);
});

test('a first start that was killed on the way leaves nothing in the way', async () => {
  const dataDir = await newDataDir();
  const deadPid = 2 ** 22 + 1; // above the largest process id of Linux
  await mkdir(join(dataDir, `postgres.making-${deadPid}`), { recursive: true });
  await writeFile(join(dataDir, `passwords.json.making-${deadPid}`), '{');
  await start(dataDir);
  expect((await readdir(dataDir)).sort()).toEqual(['passwords.json', 'postgres']);
});

test('a folder that cannot be made is named', async () => {
  const dataDir = await newDataDir();
  await writeFile(dataDir, 'a file');
  expect(await startEmbedded({ dataDir })).toMatchObject({ ok: false, error: { code: 'data-dir-unusable', dataDir } });
});
