// `npm run soak`: the long runs one after the other, each with its seed and numbers. RACE_ROUNDS, MODEL_RUNS, KILLS
// MODEL_STEPS and MEMORY_SEQUENCES change how long; RACE_SEED, MODEL_SEED, KILL_SEED and MEMORY_SEED repeat a run.
import { spawnSync } from 'node:child_process';

const SOAKS = [
  { file: 'tests/store/races.test.ts', what: 'rounds of eight acts at once', length: 'RACE_ROUNDS', byDefault: '200', seed: 'RACE_SEED' },
  {
    file: 'tests/domain/assessment-memory.test.ts',
    what: 'sequences of edits',
    length: 'MEMORY_SEQUENCES',
    byDefault: '2000',
    seed: 'MEMORY_SEED',
  },
  { file: 'tests/store/interleavings.test.ts', what: 'lives of a space', length: 'MODEL_RUNS', byDefault: '500', seed: 'MODEL_SEED' },
  { file: 'tests/processes/killed.test.ts', what: 'kills of the process', length: 'KILLS', byDefault: '100', seed: 'KILL_SEED' },
];

let failed = 0;
for (const { file, what, length, byDefault, seed } of SOAKS) {
  const many = process.env[length] ?? byDefault;
  const seeded = process.env[seed] ?? String(Math.floor(Math.random() * 1e9));
  console.log(`${file}: ${many} ${what}, ${seed}=${seeded}`);
  const run = spawnSync('npx', ['vitest', 'run', file], {
    stdio: 'inherit',
    env: { MODEL_PROCESSES: '2', MODEL_STEPS: '12', ...process.env, [length]: many, [seed]: seeded },
  });
  if (run.status !== 0) failed += 1;
}
process.exit(failed === 0 ? 0 : 1);
