import { execFileSync } from 'node:child_process';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import type { TestProject } from 'vitest/node';
import { startCluster } from './support/cluster.ts';
import type { ClusterAddress } from './support/cluster.ts';

declare module 'vitest' {
  interface ProvidedContext {
    cluster: ClusterAddress;
  }
}

let stop: (() => Promise<void>) | undefined;

export async function setup(project: TestProject): Promise<void> {
  // Once, before the test files that start what is built run side by side.
  execFileSync(process.execPath, [join(import.meta.dirname, '../scripts/build.mjs'), '--if-changed']);
  process.env.BUILT_THREADS = pathToFileURL(join(import.meta.dirname, '../dist/')).href; // what the test files start as threads
  const cluster = await startCluster();
  stop = cluster.stop;
  project.provide('cluster', cluster.address);
}

export const teardown = async (): Promise<void> => stop?.();
