import { chmod, mkdir, mkdtemp, readFile, readdir, rename, rm, stat } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { afterEach, expect, test } from 'vitest';
import { copyBinaries, exists, findBinaries, mendLinks } from '../../src/store/embedded-binaries.ts';
import type { Binaries } from '../../src/store/embedded-binaries.ts';
import { chooseRunner } from '../../src/store/embedded-user.ts';

const isRoot = process.getuid?.() === 0;
const folders: string[] = [];
afterEach(async () => {
  for (const folder of folders.splice(0)) await rm(folder, { recursive: true, force: true });
});

async function newFolder(mode = 0o755): Promise<string> {
  const folder = await mkdtemp(join(tmpdir(), 'roofbook-user-'));
  folders.push(folder);
  await chmod(folder, mode);
  return folder;
}

async function binaries(): Promise<Binaries> {
  const found = await findBinaries();
  if (!found.ok) throw new Error(JSON.stringify(found.error));
  return found.value;
}

async function chosen(from: Binaries, dataDir: string) {
  const runner = await chooseRunner(from, dataDir, join(dataDir, 'postgres'));
  if (!runner.ok) throw new Error(JSON.stringify(runner.error));
  return runner.value;
}

test('whoever is not root runs PostgreSQL as themselves; root runs it as a system user of less', async () => {
  const runner = await chosen(await binaries(), await newFolder());
  if (isRoot) expect(runner.owner?.uid).toBeGreaterThan(0);
  else expect(runner.owner).toBeNull();
  const { exitCode, output } = await runner.run(join(runner.binaries.folder, 'bin/postgres'), ['--version']);
  expect(output).toContain('PostgreSQL');
  expect(exitCode).toBe(0);
});

test('a data folder below one of mode 700 is reached, as root by a user namespace', async () => {
  const closed = await newFolder(0o700);
  const dataDir = join(closed, 'data');
  await mkdir(dataDir);
  const runner = await chosen(await binaries(), dataDir);
  expect(runner.owner).toBeNull();
  const { output } = await runner.run('/bin/sh', ['-c', 'id -u; touch "$1/reached"', 'sh', dataDir]);
  expect(Number(output.trim())).toBeGreaterThan(0); // PostgreSQL refuses user 0
  expect(await exists(join(dataDir, 'reached'))).toBe(true);
});

test('binaries below a folder of mode 700 are copied for a system user who can reach the data folder', async () => {
  const installed = await binaries();
  const closed = await newFolder(0o700);
  const dataDir = await newFolder();
  const moved = await copyBinaries(installed, closed);
  const runner = await chosen(moved, dataDir);
  expect(runner.binaries.folder.startsWith(isRoot ? dataDir : closed)).toBe(true);
  expect((await runner.run(join(runner.binaries.folder, 'bin/initdb'), ['--version'])).exitCode).toBe(0);
});

test('a copy is open to every user whatever the umask, and made once', async () => {
  const installed = await binaries();
  const folder = await newFolder();
  const umask = process.umask(0o077);
  const copied = await copyBinaries(installed, folder).finally(() => process.umask(umask));
  for (const path of ['.', 'bin', 'bin/postgres', 'lib', 'share'])
    expect((await stat(join(copied.folder, path))).mode & 0o005, path).toBe(0o005);
  const before = await stat(copied.folder);
  expect(await copyBinaries(installed, folder)).toEqual(copied);
  expect((await stat(copied.folder)).ctimeMs).toBe(before.ctimeMs);
  expect(await readdir(folder)).toHaveLength(1);
});

test('library links that an install without scripts leaves out are made', async () => {
  const installed = await binaries();
  const home = await newFolder();
  const bare = await copyBinaries(installed, home);
  const native = join(home, 'native');
  await rename(bare.folder, native);
  const links = JSON.parse(await readFile(join(native, 'pg-symlinks.json'), 'utf8')) as { target: string }[];
  expect(links.length).toBeGreaterThan(0);
  for (const { target } of links) await rm(join(home, target), { force: true });
  await mendLinks(home);
  for (const { target } of links) expect(await exists(join(home, target)), target).toBe(true);
  const runner = await chosen({ ...installed, folder: native }, dirname(native));
  expect((await runner.run(join(native, 'bin/postgres'), ['--version'])).exitCode).toBe(0);
});

test('where neither a system user nor a namespace serves, the data folder is named', async () => {
  const closed = await newFolder(0o700);
  const path = process.env.PATH;
  process.env.PATH = '/nowhere'; // no unshare on it
  const runner = await chooseRunner(await binaries(), closed, join(closed, 'postgres')).finally(() => (process.env.PATH = path));
  if (isRoot)
    expect(runner).toEqual({ ok: false, error: { code: 'data-dir-closed', dataDir: closed, tried: expect.any(Array) as string[] } });
  else expect(runner.ok).toBe(true); // it is our own folder
});
