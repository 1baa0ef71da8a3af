// Makes what is not kept in git, when what it comes from has changed: the database client of prisma/schema.prisma in src/store/generated,
// and the types of the API in src/web/api/generated. The types serve the compiler alone: nothing that runs needs them.
import { execFileSync } from 'node:child_process';
import { existsSync, readFileSync, readdirSync, realpathSync, writeFileSync } from 'node:fs';
import { createHash } from 'node:crypto';
import { join, relative } from 'node:path';
import { fileURLToPath } from 'node:url';

const root = join(import.meta.dirname, '..');
const stampFile = join(root, 'src/store/generated/.made-from');

export function hashOfFiles(paths) {
  const hash = createHash('sha256');
  for (const path of paths)
    hash
      .update(`${path}\0`)
      .update(readFileSync(join(root, path)))
      .update('\0');
  return hash.digest('hex');
}

export function generateIfChanged() {
  const madeFrom = hashOfFiles(['prisma/schema.prisma', 'prisma.config.ts', 'node_modules/prisma/package.json']);
  if (existsSync(stampFile) && readFileSync(stampFile, 'utf8') === madeFrom) return;
  try {
    execFileSync(process.execPath, [join(root, 'node_modules/prisma/build/index.js'), 'generate'], {
      cwd: root,
      stdio: 'pipe',
      encoding: 'utf8',
    });
  } catch (error) {
    throw new Error(`prisma generate failed:\n${error.stdout}${error.stderr}`);
  }
  writeFileSync(stampFile, madeFrom);
}

function apiTypesIfChanged() {
  if (!existsSync(join(root, 'node_modules/openapi-typescript'))) return;
  const stamp = join(root, 'src/web/api/generated/.made-from');
  const routes = readdirSync(join(root, 'src/routes'), { withFileTypes: true, recursive: true })
    .filter((entry) => entry.isFile())
    .map((entry) => relative(root, join(entry.parentPath, entry.name)))
    .sort();
  const madeFrom = hashOfFiles([...routes, 'scripts/api-types.ts', 'node_modules/openapi-typescript/package.json']);
  if (existsSync(stamp) && readFileSync(stamp, 'utf8') === madeFrom) return;
  execFileSync(process.execPath, ['--import', 'tsx', join(root, 'scripts/api-types.ts')], { cwd: root, stdio: 'inherit' });
  writeFileSync(stamp, madeFrom);
}

if (realpathSync(process.argv[1]) === fileURLToPath(import.meta.url)) {
  generateIfChanged();
  apiTypesIfChanged();
}
