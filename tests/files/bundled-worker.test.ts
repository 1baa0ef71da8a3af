import { mkdtempSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { build } from 'esbuild';
import { expect, test } from 'vitest';
import { utf8 } from './expect-result.ts';

type Reader = { readTable: (bytes: Uint8Array, fileName: string) => Promise<unknown> };

// The shipped program is bundled: there the worker is a JavaScript file beside the bundle and no TypeScript loader is at hand.
test('the bundled reader starts its bundled worker', async () => {
  const root = join(import.meta.dirname, '../..');
  // Below node_modules, where packages kept out of the bundle are found.
  const outdir = mkdtempSync(join(root, 'node_modules/.bundled-worker-'));
  try {
    await build({
      absWorkingDir: root,
      entryPoints: { main: 'src/files/read-table.ts', 'table-worker': 'src/files/table-worker.ts' },
      outdir,
      bundle: true,
      packages: 'external',
      platform: 'node',
      target: 'node20.19',
      format: 'esm',
      outExtension: { '.js': '.js' },
      logLevel: 'warning',
    });
    const { readTable } = (await import(/* @vite-ignore */ pathToFileURL(join(outdir, 'main.js')).href)) as Reader;
    expect(await readTable(utf8('Label;x;y\nP1;1,5;2\n'), 'roof.csv')).toMatchObject({
      ok: true,
      value: { separator: ';', rows: [{ rowNumber: 2 }] },
    });
  } finally {
    rmSync(outdir, { recursive: true, force: true });
  }
});
