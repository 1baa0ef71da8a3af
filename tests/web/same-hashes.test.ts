import { createHash } from 'node:crypto';
import { join } from 'node:path';
import { build } from 'esbuild';
import { expect, test } from 'vitest';
import { chromiumPath, startBrowser } from '../support/browser.ts';
import { manyHashes } from '../support/many-assessments.ts';

const COUNT = 1000;
const SEED = 20261125;
const executable = chromiumPath();
if (executable === null && process.env.CI === 'true') throw new Error('no browser: install chromium, or name one in CHROMIUM_PATH');

test.skipIf(executable === null)(
  `${COUNT} assessments hash the same in Node and in Chromium`,
  async () => {
    const root = join(import.meta.dirname, '../..');
    const { outputFiles } = await build({
      absWorkingDir: root,
      stdin: {
        contents: `import { sha256 } from '@noble/hashes/sha2.js';
        import { bytesToHex, utf8ToBytes } from '@noble/hashes/utils.js';
        import { manyHashes } from './tests/support/many-assessments.ts';
        globalThis.hashes = manyHashes(${COUNT}, ${SEED}, (text) => bytesToHex(sha256(utf8ToBytes(text))));`,
        resolveDir: root,
        loader: 'ts',
      },
      bundle: true,
      write: false,
      format: 'iife',
      platform: 'browser',
    });
    const browser = await startBrowser(executable!);
    try {
      const page = await browser.newPage();
      await page.addScriptTag({ content: outputFiles[0]!.text });
      const inBrowser = await page.evaluate(() => (globalThis as unknown as { hashes: string[] }).hashes);
      const here = manyHashes(COUNT, SEED, (text) => createHash('sha256').update(text).digest('hex'));
      expect(new Set(here).size).toBe(COUNT);
      expect(inBrowser).toEqual(here);
      console.log(`${COUNT} assessments, seed ${SEED}: Node ${process.version} and Chromium ${browser.version()} agree`);
    } finally {
      await browser.close();
    }
  },
  120_000,
);
