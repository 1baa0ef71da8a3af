const KEPT = 'roofbook-load-in';
export type Fetched = { readonly value: unknown; readonly asOf: Date; readonly isKept: boolean };
/** `status` 0: no answer and nothing kept. */
export type Missing = { readonly status: number };

/** Reads from the service, or with no signal from what was kept the last time. */
export async function read(path: string): Promise<Fetched | Missing> {
  const headers: Record<string, string> = {};
  const organisation = localStorage.getItem('roofbook.acting-organisation');
  if (organisation !== null) headers['acting-organisation'] = organisation;
  try {
    const answer = await fetch(path, { headers });
    if (!answer.ok) {
      // Who may no longer read it does not keep it either. Signed out is another thing: signing in shows it again.
      if (answer.status === 403 || answer.status === 404) await (await caches.open(KEPT)).delete(path);
      return { status: answer.status };
    }
    const asOf = new Date(answer.headers.get('date') ?? Date.now());
    const isKept = answer.headers.get('roofbook-kept') !== null;
    if (!isKept) await (await caches.open(KEPT)).put(path, answer.clone());
    return { value: await answer.json(), asOf, isKept };
  } catch {
    return { status: 0 };
  }
}

/** This page itself and the files that it is made of. */
export async function keepPage(): Promise<void> {
  const files = performance
    .getEntriesByType('resource')
    .map(({ name }) => name)
    .filter((name) => new URL(name).pathname.startsWith('/assets/'));
  const kept = await caches.open(KEPT);
  await Promise.allSettled([location.pathname, '/icon.svg', ...files].map((file) => kept.add(file)));
}
