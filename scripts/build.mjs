// Builds what `npm start` runs: the database client, then src/ bundled into dist/. Packages stay outside the bundles.
// With --if-changed it does nothing when dist/ was built from these very sources and this lock file.
import { existsSync, readFileSync, readdirSync, renameSync, rmSync, writeFileSync } from 'node:fs';
import { join, relative } from 'node:path';
import { generateIfChanged, hashOfFiles } from './generate.mjs';

const root = join(import.meta.dirname, '..');
const entries = {
  main: 'src/main.ts',
  'make-roles': 'src/make-roles.ts',
  'table-worker': 'src/files/table-worker.ts',
  calculate: 'src/cli.ts',
};
const stampFile = join(root, 'dist/.built-from');

const builtFrom = hashOfFiles([
  ...['package-lock.json', 'package.json', 'prisma.config.ts', 'prisma/schema.prisma', 'scripts/build.mjs', 'scripts/generate.mjs'],
  ...sources(join(root, 'src')),
]);
const isBuilt = existsSync(stampFile) && readFileSync(stampFile, 'utf8') === builtFrom;
const isWhole = Object.keys(entries).every((name) => existsSync(join(root, `dist/${name}.js`)));

if (!(process.argv.includes('--if-changed') && isBuilt && isWhole)) {
  generateIfChanged();
  const { build } = await import('esbuild'); // only here: it takes longer to load than to see that nothing changed
  const making = `.dist-${process.pid}`; // two builds at once do not mix: the last one whole is kept
  await build({
    absWorkingDir: root,
    entryPoints: entries,
    outdir: making,
    bundle: true,
    splitting: true, // what is imported later is loaded later
    packages: 'external',
    platform: 'node',
    target: 'node20.19',
    format: 'esm',
    sourcemap: true,
    sourcesContent: false,
    logLevel: 'warning',
  });
  writeFileSync(join(root, making, '.built-from'), builtFrom);
  replaceDist(join(root, making));
}

function replaceDist(made) {
  for (let attempt = 1; ; attempt += 1) {
    rmSync(join(root, 'dist'), { recursive: true, force: true });
    try {
      renameSync(made, join(root, 'dist'));
      return;
    } catch (error) {
      if (attempt === 3) throw error; // else another build put its own there between the two steps
    }
  }
}

function sources(folder) {
  return readdirSync(folder, { withFileTypes: true, recursive: true })
    .filter((entry) => entry.isFile())
    .map((entry) => relative(root, join(entry.parentPath, entry.name)))
    .filter((path) => !path.startsWith('src/store/generated'))
    .sort();
}
