import { execFileSync } from 'node:child_process';
import { join } from 'node:path';
import type { TestProject } from 'vitest/node';
import { startCluster } from './support/cluster.ts';
import type { ClusterAddress } from './support/cluster.ts';

declare module 'vitest' {
  interface ProvidedContext {
    cluster: ClusterAddress;
  }
}

export default async function setup(project: TestProject): Promise<() => Promise<void>> {
  execFileSync(process.execPath, [join(import.meta.dirname, '../scripts/generate.mjs')]);
  const { address, stop } = await startCluster();
  project.provide('cluster', address);
  return stop;
}
