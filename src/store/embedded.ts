import { chmod, chown, mkdir, readFile, readdir, rename, rm } from 'node:fs/promises';
import { createServer } from 'node:net';
import { join, resolve } from 'node:path';
import { setTimeout as pause } from 'node:timers/promises';
import pg from 'pg';
import { fail, ok } from '../domain/foundation/result.ts';
import type { Result } from '../domain/foundation/result.ts';
import { exists, findBinaries, program } from './embedded-binaries.ts';
import type { BinariesError } from './embedded-binaries.ts';
import { readOrMakeSecrets, writeSecret } from './embedded-secrets.ts';
import type { Secrets } from './embedded-secrets.ts';
import { chooseRunner } from './embedded-user.ts';
import type { Runner, RunnerError } from './embedded-user.ts';

export type EmbeddedOptions = {
  dataDir: string;
  /** Server settings beyond PostgreSQL's defaults. fsync and synchronous_commit stay on where the records matter. */
  settings?: Readonly<Record<string, string>>;
  log?: (line: string) => void;
};
export type EmbeddedServer = {
  port: number;
  secrets: Secrets;
  /** True when it was running already: the process that had started it was killed. */
  takenOver: boolean;
  /** Stops the server. It commits what it has answered for, and ends every connection. */
  stop: () => Promise<void>;
};
export type EmbeddedError =
  | BinariesError
  | RunnerError
  | { code: 'data-dir-unusable'; dataDir: string; reason: string }
  | { code: 'data-dir-in-use'; dataDir: string; port: number }
  | { code: 'database-not-made'; dataDir: string; output: string }
  | { code: 'database-not-started'; dataDir: string; output: string };

export const SUPERUSER = 'postgres';
const CONNECT_PATIENCE_MS = 5000; // a server that is starting or stopping refuses connections for a moment
const RETRY_MS = 100;
// The session that holds this lock owns the server. It ends with its process, however that ends, so no lock file can go stale.
const OWNERSHIP_LOCK = 730_118_204;

type Cluster = { dataDir: string; folder: string; runner: Runner; settings: Readonly<Record<string, string>>; secrets: Secrets };

/** Starts this data folder's own PostgreSQL, making it first where there is none, and takes over one that a killed process left. */
export async function startEmbedded({
  dataDir: given,
  settings = {},
  log = () => {},
}: EmbeddedOptions): Promise<Result<EmbeddedServer, EmbeddedError>> {
  const dataDir = resolve(given);
  const folder = join(dataDir, 'postgres');
  const binaries = await findBinaries();
  if (!binaries.ok) return binaries;
  let cluster: Cluster;
  try {
    await makeDataDir(dataDir);
    const secrets = await readOrMakeSecrets(dataDir);
    const runner = await chooseRunner(binaries.value, dataDir, folder);
    if (!runner.ok) return runner;
    cluster = { dataDir, folder, runner: runner.value, settings, secrets };
    const made = await makeCluster(cluster);
    if (!made.ok) return made;
  } catch (error) {
    return fail({ code: 'data-dir-unusable', dataDir, reason: String(error) });
  }

  const running = await ensureRunning(cluster);
  if (!running.ok) return running;
  const owned = await own(cluster, running.value.port);
  if (!owned.ok) return owned;
  const { port, found: takenOver } = running.value;
  const watch = watchOver(cluster, port, owned.value, log);
  return ok({
    port,
    secrets: cluster.secrets,
    takenOver,
    stop: async () => {
      if (!(await watch.release())) return; // another process owns it by now
      await cluster.runner.run(program(cluster.runner.binaries, 'pg_ctl'), ['stop', '-D', folder, '-m', 'fast', '-w', '-t', '60']);
    },
  });
}

async function makeDataDir(dataDir: string): Promise<void> {
  const made = await mkdir(dataDir, { recursive: true });
  // PostgreSQL's user must pass through it, also after a umask of 077; what is secret in it is closed by itself.
  if (made !== undefined) await chmod(dataDir, 0o711);
}

/** initdb into a folder beside, then one rename: a start that is killed on the way leaves nothing that looks like a database. */
async function makeCluster({ dataDir, folder, runner, secrets }: Cluster): Promise<Result<void, EmbeddedError>> {
  await clearUnfinished(dataDir);
  if (await exists(folder)) return ok(undefined);
  const unfinished = `${folder}.making-${process.pid}`;
  const passwordFile = `${unfinished}.password`;
  await mkdir(unfinished, { mode: 0o700 });
  await writeSecret(passwordFile, `${secrets.superuser}\n`);
  if (runner.owner) for (const path of [unfinished, passwordFile]) await chown(path, runner.owner.uid, runner.owner.gid);
  // The built-in locale sorts alike on every platform, whichever locales the machine has.
  const locale = ['--encoding=UTF8', '--locale=C', '--locale-provider=builtin', '--builtin-locale=C.UTF-8'];
  const args = ['-D', unfinished, '-U', SUPERUSER, '--auth=scram-sha-256', `--pwfile=${passwordFile}`, ...locale];
  const { exitCode, output } = await runner.run(program(runner.binaries, 'initdb'), args);
  await rm(passwordFile, { force: true });
  if (exitCode !== 0) return fail({ code: 'database-not-made', dataDir, output });
  await rename(unfinished, folder).catch(async (error: unknown) => {
    await rm(unfinished, { recursive: true, force: true });
    if (!(await exists(folder))) throw error; // else another start was first
  });
  return ok(undefined);
}

async function clearUnfinished(dataDir: string): Promise<void> {
  for (const name of await readdir(dataDir)) {
    const pid = Number(/\.making-(\d+)/.exec(name)?.[1]);
    if (Number.isInteger(pid) && (pid === process.pid || !isAlive(pid))) await rm(join(dataDir, name), { recursive: true, force: true });
  }
}

async function ensureRunning(cluster: Cluster, wantedPort?: number): Promise<Result<{ port: number; found: boolean }, EmbeddedError>> {
  let output = '';
  // Three tries: another process can take the free port first, and orphans of a killed server need a moment to go.
  for (let attempt = 0; attempt < 3; attempt += 1) {
    const found = await runningPort(cluster.folder);
    if (found !== null) return ok({ port: found, found: true });
    const port = wantedPort ?? (await freePort());
    const settings = { port: String(port), listen_addresses: '127.0.0.1', unix_socket_directories: '', ...ROUTINE, ...cluster.settings };
    const flags = Object.entries(settings).map(([name, value]) => `-c ${name}=${quoted(value)}`);
    const args = ['start', '-D', cluster.folder, '-l', join(cluster.folder, 'start.log'), '-w', '-t', '60', '-o', flags.join(' ')];
    const started = await cluster.runner.run(program(cluster.runner.binaries, 'pg_ctl'), args);
    if (started.exitCode === 0) return ok({ port, found: false });
    output = `${started.output}\n${await lastLines(cluster.folder)}`.trim();
    await pause(500);
  }
  return fail({ code: 'database-not-started', dataDir: cluster.dataDir, output });
}

const ROUTINE = {
  timezone: 'UTC',
  log_timezone: 'UTC',
  // A week of logs, each day's file written over a week later.
  logging_collector: 'on',
  log_filename: 'postgresql-%a.log',
  log_truncate_on_rotation: 'on',
};

// pg_ctl hands the flags to a shell (on Windows to CreateProcess, which wants double quotes).
const quoted = (value: string): string => (process.platform === 'win32' ? `"${value}"` : `'${value.replaceAll("'", "'\\''")}'`);

/**
 * The port of the server that runs on this cluster, or null. A process id can be given away again after a crash of the machine or
 * in a new container, so the process must also look like this server; PostgreSQL itself would refuse to start beside any process.
 */
async function runningPort(folder: string): Promise<number | null> {
  const pidFile = join(folder, 'postmaster.pid');
  const lines = (await readFile(pidFile, 'utf8').catch(() => '')).split('\n');
  const [pid, port] = [Number(lines[0]), Number(lines[3])];
  if (!Number.isInteger(pid) || pid <= 0 || !isAlive(pid)) return null;
  const commandLine = await readFile(`/proc/${pid}/cmdline`, 'utf8').catch(() => null); // Linux only
  if (commandLine !== null && !commandLine.includes('postgres')) {
    await rm(pidFile, { force: true });
    return null;
  }
  return Number.isInteger(port) && port > 0 ? port : null;
}

function isAlive(pid: number): boolean {
  try {
    process.kill(pid, 0);
    return true;
  } catch (error) {
    return error instanceof Error && 'code' in error && error.code === 'EPERM'; // alive, and another user's
  }
}

async function own({ dataDir, secrets }: Cluster, port: number): Promise<Result<pg.Client, EmbeddedError>> {
  const deadlineMs = Date.now() + CONNECT_PATIENCE_MS;
  for (;;) {
    const client = new pg.Client({
      host: '127.0.0.1',
      port,
      user: SUPERUSER,
      password: secrets.superuser,
      database: 'postgres',
      keepAlive: true,
    });
    client.on('error', () => {}); // the watch hears 'end'
    let refusal: EmbeddedError;
    try {
      await client.connect();
      const { rows } = await client.query<{ owned: boolean }>('SELECT pg_try_advisory_lock($1) AS owned', [OWNERSHIP_LOCK]);
      if (rows[0]?.owned) return ok(client);
      refusal = { code: 'data-dir-in-use', dataDir, port };
    } catch (error) {
      refusal = { code: 'database-not-started', dataDir, output: String(error) };
    }
    await client.end().catch(() => {});
    if (Date.now() > deadlineMs) return fail(refusal);
    await pause(RETRY_MS);
  }
}

/** Starts the server again, on the same port, when it died under us. */
function watchOver(cluster: Cluster, port: number, first: pg.Client, log: (line: string) => void): Watch {
  let [released, lost] = [false, false];
  let reviving = Promise.resolve();
  const revive = async (): Promise<void> => {
    log('The embedded database ended. Starting it again.');
    while (!released && !lost) {
      const again = await ensureRunning(cluster, port);
      const owned = again.ok ? await own(cluster, port) : again;
      if (owned.ok) {
        log('The embedded database runs again.');
        return listen(owned.value);
      }
      lost = owned.error.code === 'data-dir-in-use';
      log(lost ? `Another process owns the database in ${cluster.dataDir} now.` : 'The embedded database does not start. Trying again.');
      if (!lost) await pause(1000);
    }
  };
  const listen = (client: pg.Client): void => {
    client.on('end', () => {
      if (!released) reviving = revive();
    });
  };
  listen(first);
  return {
    release: async () => {
      released = true;
      await reviving;
      return !lost;
    },
  };
}

/** `release` ends the watch and tells whether the server is still ours to stop. */
type Watch = { release: () => Promise<boolean> };

const freePort = (): Promise<number> =>
  new Promise((settle, reject) => {
    const probe = createServer();
    probe.on('error', reject);
    probe.listen(0, '127.0.0.1', () => {
      const address = probe.address();
      probe.close(() => (address && typeof address === 'object' ? settle(address.port) : reject(new Error('no port'))));
    });
  });

async function lastLines(folder: string): Promise<string> {
  const text = await readFile(join(folder, 'start.log'), 'utf8').catch(() => '');
  return text.split('\n').slice(-10).join('\n');
}
