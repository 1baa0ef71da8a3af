// `npm run soak`: the long runs, with their seed and numbers. RACE_ROUNDS and RACE_SEED change them.
import { spawnSync } from 'node:child_process';

const rounds = process.env.RACE_ROUNDS ?? '200';
const seed = process.env.RACE_SEED ?? String(Math.floor(Math.random() * 1e9));
console.log(`races: ${rounds} rounds of eight acts, seed ${seed}`);
const run = spawnSync('npx', ['vitest', 'run', 'tests/store/races.test.ts'], {
  stdio: 'inherit',
  env: { ...process.env, RACE_ROUNDS: rounds, RACE_SEED: seed },
});
process.exit(run.status ?? 1);
