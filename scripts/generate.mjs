// Makes the database client of prisma/schema.prisma in src/store/generated, when the schema or the generator's version has changed.
import { execFileSync } from 'node:child_process';
import { existsSync, readFileSync, realpathSync, writeFileSync } from 'node:fs';
import { createHash } from 'node:crypto';
import { join } from 'node:path';
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

if (realpathSync(process.argv[1]) === fileURLToPath(import.meta.url)) generateIfChanged();
