// Builds what `npm start` runs: the database client, then src/ bundled into dist/. Packages stay outside the bundles.
// With --if-changed it does nothing when dist/ was built from these very sources and this lock file.
import { existsSync, readFileSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { join, relative } from 'node:path';
import { generateIfChanged, hashOfFiles } from './generate.mjs';

const root = join(import.meta.dirname, '..');
const entries = { main: 'src/main.ts', 'make-roles': 'src/make-roles.ts', 'table-worker': 'src/files/table-worker.ts' };
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
  rmSync(join(root, 'dist'), { recursive: true, force: true }); // parts of an earlier build have other names
  await build({
    absWorkingDir: root,
    entryPoints: entries,
    outdir: 'dist',
    bundle: true,
    splitting: true, // what is imported later is loaded later
    chunkNames: 'parts/[name]-[hash]',
    packages: 'external',
    platform: 'node',
    target: 'node20.19',
    format: 'esm',
    sourcemap: true,
    sourcesContent: false,
    logLevel: 'warning',
  });
  writeFileSync(stampFile, builtFrom);
}

function sources(folder) {
  return readdirSync(folder, { withFileTypes: true, recursive: true })
    .filter((entry) => entry.isFile())
    .map((entry) => relative(root, join(entry.parentPath, entry.name)))
    .filter((path) => !path.startsWith('src/store/generated'))
    .sort();
}
