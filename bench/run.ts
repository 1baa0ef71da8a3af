// `npm run bench [part …]`: each part prints its rows; a number is read beside its goal and its baseline of the same run.
const PARTS: Record<string, () => Promise<void>> = {
  statics: async () => {
    for (const part of ['beam', 'bridle', 'array'])
      printMicros(((await import(`./statics-${part}.ts`)) as { run: () => MicroRow[] }).run());
  },
  limits: async () => printMicros((await import('./limits.ts')).run()),
  alternatives: async () => printMicros((await import('./alternatives.ts')).run()),
  assessment: async () => printMicros((await import('./assessment.ts')).run()),
  history: async () => (await import('./history.ts')).run(),
  service: async () => (await import('./service.ts')).run(),
};
type MicroRow = { name: string; medianUs: number; goalUs: number | null };

function printMicros(rows: readonly MicroRow[]): void {
  for (const { name, medianUs, goalUs } of rows) {
    console.log(`${name.padEnd(60)} ${medianUs.toFixed(2).padStart(12)} µs${goalUs === null ? '' : `   goal ${goalUs} µs`}`);
  }
}

const wanted = process.argv.slice(2);
for (const [name, part] of Object.entries(PARTS)) {
  if (wanted.length > 0 && !wanted.includes(name)) continue;
  console.log(`\n== ${name} ==`);
  await part();
}
process.exit(0);
