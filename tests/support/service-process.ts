import { execFileSync, spawn, type ChildProcess } from 'node:child_process';
import { randomUUID } from 'node:crypto';
import { once } from 'node:events';
import { createServer } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, vi } from 'vitest';
import type { TestDatabase } from './database.ts';

const ROOT = join(import.meta.dirname, '../..');
export const buildService = (): void =>
  void execFileSync(process.execPath, [join(ROOT, 'scripts/build.mjs'), '--if-changed'], { stdio: 'pipe' });

export type ServiceProcess = { child: ChildProcess; origin: string; output: () => string };

/** The built service as a process of its own on a test database. */
export async function serviceOn(database: TestDatabase, environment: Record<string, string> = {}): Promise<ServiceProcess> {
  const port = await freePort();
  const env = {
    PATH: process.env.PATH,
    LOG_LEVEL: 'warn',
    PORT: String(port),
    PUBLIC_URL: 'http://localhost:3000', // the same for every process: it is who issues the tokens
    DATABASE_URL: database.appUrl,
    MIGRATION_DATABASE_URL: database.ownerUrl,
    RATE_LIMIT: '999999/1',
    RATE_LIMIT_SIGN_IN: '999999/1',
    ...environment,
  };
  const child = spawn(process.execPath, [join(ROOT, 'dist/main.js')], { env, cwd: tmpdir(), stdio: ['ignore', 'pipe', 'pipe'] });
  let output = '';
  child.stdout.on('data', (chunk: Buffer) => (output += chunk.toString()));
  child.stderr.on('data', (chunk: Buffer) => (output += chunk.toString()));
  const origin = `http://127.0.0.1:${port}`;
  const isReady = () =>
    fetch(`${origin}/health/ready`).then(
      (answer) => answer.ok,
      () => false,
    );
  await vi.waitFor(async () => expect(await isReady(), output).toBe(true), { timeout: 60_000, interval: 50 });
  return { child, origin, output: () => output };
}

export async function killed({ child }: ServiceProcess, signal: 'SIGKILL' | 'SIGTERM' = 'SIGKILL'): Promise<void> {
  if (child.exitCode !== null || child.signalCode !== null) return;
  const ended = once(child, 'exit');
  child.kill(signal);
  await ended;
}

export type Fetched = { status: number; body: Record<string, unknown> & { id: string }; etag: string };
export async function callAt(
  origin: string,
  token: string | null,
  method: string,
  path: string,
  body?: unknown,
  headers: Record<string, string> = {},
): Promise<Fetched> {
  const answered = await fetch(`${origin}/api/v1/${path}`, {
    method,
    headers: {
      ...(method === 'POST' ? { 'idempotency-key': randomUUID() } : {}),
      ...(token ? { authorization: `Bearer ${token}` } : {}),
      ...(body === undefined ? {} : { 'content-type': 'application/json' }),
      ...headers,
    },
    ...(body === undefined ? {} : { body: JSON.stringify(body) }),
  });
  const text = await answered.text();
  return {
    status: answered.status,
    body: (text === '' ? {} : JSON.parse(text)) as Fetched['body'],
    etag: answered.headers.get('etag') ?? '',
  };
}

async function freePort(): Promise<number> {
  const probe = createServer().listen(0, '127.0.0.1');
  await once(probe, 'listening');
  const address = probe.address();
  probe.close();
  if (address === null || typeof address === 'string') throw new Error('no port');
  return address.port;
}
