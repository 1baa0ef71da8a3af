// Copies the project below a folder that only its owner may enter, starts it there twice by `npm start`, and checks that it becomes
// ready, in time once it is built and has its database, and that a stop leaves nothing running. As root this is the hard case: PostgreSQL
// refuses to run as root, and no other user can enter the folder.
import { execFileSync, spawn } from 'node:child_process';
import { cpSync, chmodSync, existsSync, mkdirSync, mkdtempSync, readdirSync, rmSync } from 'node:fs';
import { createServer } from 'node:net';
import { join, relative } from 'node:path';
import { setTimeout as pause } from 'node:timers/promises';

const GOAL_S = 5; // once built and with its database, on an idle machine: told, not enforced, since machines differ
const PATIENCE_S = 120;

const root = join(import.meta.dirname, '..');
const closed = mkdtempSync(join(root, '.closed-')); // beside the packages, so that they can be linked instead of copied
const project = join(closed, 'roofbook');
try {
  mkdirSync(project);
  const left = new Set(['.git', 'data', 'dist', 'coverage', 'node_modules', relative(root, closed)]);
  for (const entry of readdirSync(root)) if (!left.has(entry)) cpSync(join(root, entry), join(project, entry), { recursive: true });
  execFileSync('cp', ['--archive', '--link', join(root, 'node_modules'), project]);
  chmodSync(closed, 0o700);
  const first = await startAndStop();
  const second = await startAndStop();
  console.log(
    `Below a closed folder: ready ${first.toFixed(1)} s after an npm start that builds first, ${second.toFixed(1)} s after the second (goal ${GOAL_S} s).`,
  );
} finally {
  rmSync(closed, { recursive: true, force: true });
}

async function startAndStop() {
  const port = await freePort();
  const env = { ...process.env, PORT: String(port), LOG_LEVEL: 'warn' };
  for (const name of ['DATA_DIR', 'DATABASE_URL', 'MIGRATION_DATABASE_URL', 'PUBLIC_URL', 'HOST', 'INIT_CWD']) delete env[name];
  const service = spawn('npm', ['start'], { cwd: project, env, stdio: ['ignore', 'inherit', 'inherit'] });
  const ended = new Promise((settle) => service.on('close', (exitCode) => settle(exitCode)));
  const sinceMs = performance.now();
  let readyS = null;
  while (readyS === null && service.exitCode === null && performance.now() - sinceMs < PATIENCE_S * 1000) {
    const answer = await fetch(`http://127.0.0.1:${port}/health/ready`).catch(() => null);
    if (answer?.status === 200) readyS = (performance.now() - sinceMs) / 1000;
    else await pause(50);
  }
  service.kill('SIGTERM');
  const exitCode = await ended;
  if (readyS === null) throw new Error('The service did not become ready.');
  if (exitCode !== 0) throw new Error(`npm start ended with ${exitCode}.`);
  if (existsSync(join(project, 'data/postgres/postmaster.pid'))) throw new Error('The stop left the database running.');
  return readyS;
}

function freePort() {
  return new Promise((settle) => {
    const probe = createServer().listen(0, '127.0.0.1', () => {
      const { port } = probe.address();
      probe.close(() => settle(port));
    });
  });
}
