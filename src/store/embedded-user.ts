import { spawn } from 'node:child_process';
import { readFile, stat } from 'node:fs/promises';
import { platform } from 'node:os';
import { fail, ok } from '../domain/foundation/result.ts';
import type { Result } from '../domain/foundation/result.ts';
import { copyBinaries, program } from './embedded-binaries.ts';
import type { Binaries } from './embedded-binaries.ts';

type SystemUser = { uid: number; gid: number };
type Outcome = { exitCode: number | null; output: string };
/** Who PostgreSQL runs as. `owner` is the user that must own its files; null leaves them to whom we are. */
export type Runner = { binaries: Binaries; owner: SystemUser | null; run: (command: string, args: readonly string[]) => Promise<Outcome> };
export type RunnerError = { code: 'data-dir-closed'; dataDir: string; tried: string[] };

const SYSTEM_USER = 'postgres';
// PostgreSQL refuses to run as root. In a user namespace of its own the process is user 1000 to itself and still root's to the files,
// so it may pass a folder of mode 700 that belongs to root.
const OWN_NAMESPACE = ['--user', '--map-user=1000', '--map-group=1000'];

/**
 * Chooses who PostgreSQL runs as: ourselves, unless we are root. As root: whoever owns the files of a cluster made before, else the
 * system user `postgres` (made if missing) when the data folder is open to it, else a user namespace.
 * @param dataDir     an existing folder
 * @param clusterDir  the cluster's own folder in it, which may not exist yet
 */
export async function chooseRunner(binaries: Binaries, dataDir: string, clusterDir: string): Promise<Result<Runner, RunnerError>> {
  if (process.getuid?.() !== 0) return ok({ binaries, owner: null, run: (command, args) => run(command, args, {}) });
  const made = await stat(clusterDir).catch(() => null);
  const tried: string[] = [];
  if (made === null || made.uid !== 0) {
    const user = made ? { uid: made.uid, gid: made.gid } : await systemUser();
    const found = user && (await asUser(user, binaries, dataDir));
    if (found) return ok(found);
    tried.push(user ? `system user ${user.uid} cannot reach the folder` : `no system user ${SYSTEM_USER}, and none could be made`);
  }
  if (made === null || made.uid === 0) {
    const found = await inNamespace(binaries, dataDir);
    if (found) return ok(found);
    tried.push('no user namespace (unshare) here');
  }
  return fail({ code: 'data-dir-closed', dataDir, tried });
}

async function asUser(user: SystemUser, binaries: Binaries, dataDir: string): Promise<Runner | null> {
  const asThem = (command: string, args: readonly string[]) => run(command, args, user);
  if ((await asThem('/bin/sh', ['-c', 'test -x "$1"', 'sh', dataDir])).exitCode !== 0) return null;
  for (const candidate of [() => binaries, () => copyBinaries(binaries, dataDir)]) {
    const reachable = await candidate();
    if ((await asThem(program(reachable, 'postgres'), ['--version'])).exitCode === 0)
      return { binaries: reachable, owner: user, run: asThem };
  }
  return null;
}

async function inNamespace(binaries: Binaries, dataDir: string): Promise<Runner | null> {
  const asThem = (command: string, args: readonly string[]) => run('unshare', [...OWN_NAMESPACE, command, ...args], {});
  const writable = await asThem('/bin/sh', ['-c', 'test -w "$1" && test -x "$1"', 'sh', dataDir]);
  const runs = await asThem(program(binaries, 'postgres'), ['--version']);
  return writable.exitCode === 0 && runs.exitCode === 0 ? { binaries, owner: null, run: asThem } : null;
}

async function systemUser(): Promise<SystemUser | null> {
  const known = await userOf(SYSTEM_USER);
  if (known) return known;
  await run('useradd', ['--system', '--user-group', '--no-create-home', '--shell', '/usr/sbin/nologin', SYSTEM_USER], {});
  return userOf(SYSTEM_USER);
}

async function userOf(name: string): Promise<SystemUser | null> {
  const accounts = await readFile('/etc/passwd', 'utf8').catch(() => '');
  const fields = accounts
    .split('\n')
    .map((line) => line.split(':'))
    .find(([login]) => login === name);
  const [uid, gid] = [Number(fields?.[2]), Number(fields?.[3])];
  return Number.isInteger(uid) && Number.isInteger(gid) && uid > 0 ? { uid, gid } : null;
}

function run(command: string, args: readonly string[], user: Partial<SystemUser>): Promise<Outcome> {
  return new Promise((settle) => {
    // The folder we were started in may be closed to the other user, which would stop PostgreSQL's programs.
    const child = spawn(command, args, { ...user, cwd: '/', env: environment(), stdio: ['ignore', 'pipe', 'pipe'], windowsHide: true });
    let output = '';
    const hear = (chunk: Buffer) => (output += chunk.toString('utf8'));
    child.stdout.on('data', hear);
    child.stderr.on('data', hear);
    child.on('error', (error) => settle({ exitCode: null, output: String(error) }));
    child.on('close', (exitCode) => settle({ exitCode, output }));
    // 'close' may never come: a server that pg_ctl leaves running can inherit the pipes.
    child.on('exit', (exitCode) => setTimeout(() => settle({ exitCode, output }), 500).unref());
  });
}

/** PG… variables (PGDATA, PGPORT, PGOPTIONS) would redirect PostgreSQL's programs; a locale may be missing on this machine. */
function environment(): NodeJS.ProcessEnv {
  const kept = Object.fromEntries(Object.entries(process.env).filter(([name]) => !/^(PG|LC_|LANG)/.test(name)));
  if (platform() === 'win32') return kept;
  return { ...kept, LC_ALL: 'C', PATH: `${process.env.PATH ?? '/usr/bin:/bin'}:/usr/sbin:/sbin` }; // useradd lives in sbin
}
