import { Worker, type WorkerOptions } from 'node:worker_threads';

/**
 * Starts a worker thread that stands beside its caller under one name: as built, the bundle beside the program. Run from source, as tests
 * do, a worker starts as plain JavaScript, so it first takes on the TypeScript loader, or takes the bundle in BUILT_THREADS, which starts
 * in a twentieth of the time.
 * @param source  where it stands in source
 */
export function startThread(source: URL, options: WorkerOptions): Worker {
  const name = source.pathname.replace(/^.*\//, '').replace(/\.[jt]s$/, '.js');
  if (!import.meta.url.endsWith('.ts')) return new Worker(new URL(name, import.meta.url), options);
  const built = process.env.BUILT_THREADS;
  if (built !== undefined) return new Worker(new URL(name, built), options);
  const start = `import('tsx/esm/api').then((loader) => { loader.register(); return import(${JSON.stringify(source.href)}); })`;
  return new Worker(start, { ...options, eval: true });
}
