// `npm run bench [part …]`: each part prints its rows; a number is read beside its goal and its baseline of the same run.
import { join } from 'node:path';
import { build } from 'esbuild';

const PARTS: Record<string, () => Promise<void>> = {
  statics: async () => {
    for (const part of ['beam', 'bridle', 'array']) await ofDomain(`statics-${part}`);
  },
  limits: () => ofDomain('limits'),
  alternatives: () => ofDomain('alternatives'),
  assessment: () => ofDomain('assessment'),
  history: async () => (await import('./history.ts')).run(),
  service: async () => (await import('./service.ts')).run(),
  web: async () => (await import('./web/run.ts')).run(),
};
type MicroRow = { name: string; medianUs: number; leastUs?: number; goalUs: number | null };

/**
 * A part of domain code alone, bundled as the build bundles it: run from its sources it would be half as fast, since what strips the
 * types there wraps every closure in a call that keeps its name.
 */
async function ofDomain(part: string): Promise<void> {
  const bundled = await build({
    entryPoints: [join(import.meta.dirname, `${part}.ts`)],
    bundle: true,
    write: false,
    platform: 'node',
    target: 'node20.19',
    format: 'esm',
  });
  const [file] = bundled.outputFiles;
  if (file === undefined) throw new Error(`${part} came out empty`);
  const url = `data:text/javascript;base64,${Buffer.from(file.contents).toString('base64')}`;
  printMicros(((await import(url)) as { run: () => MicroRow[] }).run());
}

function printMicros(rows: readonly MicroRow[]): void {
  for (const { name, medianUs, leastUs, goalUs } of rows) {
    const beside = [
      ...(leastUs === undefined ? [] : [`least ${leastUs.toFixed(0)} µs`]),
      ...(goalUs === null ? [] : [`goal ${goalUs} µs`]),
    ];
    console.log(`${name.padEnd(72)} ${medianUs.toFixed(2).padStart(12)} µs   ${beside.join(', ')}`.trimEnd());
  }
}

const wanted = process.argv.slice(2);
for (const [name, part] of Object.entries(PARTS)) {
  if (wanted.length > 0 && !wanted.includes(name)) continue;
  console.log(`\n== ${name} ==`);
  await part();
}
process.exit(0);
