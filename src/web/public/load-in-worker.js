// Keeps load-in sheets readable with no signal. It serves from what the page has kept, and only when the network does not answer:
// what is newer always wins. Its scope is /load-in/, so no other screen is touched.
const KEPT = 'roofbook-load-in';
const PATIENCE_MS = 4000;

self.addEventListener('install', () => self.skipWaiting());
self.addEventListener('activate', (event) => event.waitUntil(self.clients.claim()));
self.addEventListener('fetch', (event) => {
  if (event.request.method !== 'GET' || new URL(event.request.url).origin !== self.location.origin) return;
  event.respondWith(newestOf(event.request));
});

async function newestOf(request) {
  const kept = await caches.open(KEPT);
  if (new URL(request.url).pathname.startsWith('/assets/')) {
    const same = await kept.match(request.url); // the name holds a hash: it never changes
    if (same) return same;
  }
  try {
    const answer = await fetch(request, { signal: AbortSignal.timeout(PATIENCE_MS) });
    if (answer.status < 500) return answer;
    return (await kept.match(request.url)) ?? answer;
  } catch (error) {
    const before = await kept.match(request.url);
    if (!before) throw error;
    const headers = new Headers(before.headers);
    headers.set('roofbook-kept', 'yes');
    return new Response(before.body, { status: before.status, headers });
  }
}
