// Keeps the page for use without a network: its files are fetched once a version; what the page's code names by content comes from
// there, everything else from the network as long as there is one. Nothing but the page's own files is ever kept.

/** The few names of a service worker that this one uses (the DOM's types are those of a window). */
interface WorkerScope {
  readonly registration: { readonly scope: string };
  readonly clients: { claim(): Promise<void> };
  skipWaiting(): Promise<void>;
  addEventListener(
    type: 'install' | 'activate',
    listener: (event: { waitUntil(work: Promise<unknown>): void }) => void,
  ): void;
  addEventListener(type: 'fetch', listener: (event: FetchEventLike) => void): void;
}

interface FetchEventLike {
  readonly request: Request;
  respondWith(response: Promise<Response>): void;
}

const scope = self as unknown as WorkerScope;

/** Set when the page is built. */
const KEPT: { readonly version: string; readonly files: readonly string[] } = JSON.parse('__FILES_TO_KEEP__');

const PREFIX = 'raythread-';
const CACHE = PREFIX + KEPT.version;

scope.addEventListener('install', (event) => {
  const keep = async (): Promise<void> => {
    const cache = await caches.open(CACHE);
    await cache.addAll(KEPT.files.map((file) => new URL(file, scope.registration.scope).href));
    await scope.skipWaiting();
  };
  event.waitUntil(keep());
});

scope.addEventListener('activate', (event) => {
  const tidy = async (): Promise<void> => {
    const names = await caches.keys();
    await Promise.all(
      names.filter((name) => name.startsWith(PREFIX) && name !== CACHE).map((name) => caches.delete(name)),
    );
    await scope.clients.claim();
  };
  event.waitUntil(tidy());
});

scope.addEventListener('fetch', (event) => {
  const { request } = event;
  const { href } = new URL(request.url);
  if (request.method !== 'GET' || !href.startsWith(scope.registration.scope)) return;
  const inPlace = href.slice(scope.registration.scope.length).split(/[?#]/)[0] ?? '';
  event.respondWith(inPlace.startsWith('assets/') ? keptFirst(request) : networkFirst(request, inPlace));
});

async function keptFirst(request: Request): Promise<Response> {
  const cache = await caches.open(CACHE);
  return (await cache.match(request)) ?? fetch(request);
}

async function networkFirst(request: Request, inPlace: string): Promise<Response> {
  try {
    return await fetch(request);
  } catch (error) {
    const cache = await caches.open(CACHE);
    const kept = await cache.match(new URL(inPlace, scope.registration.scope).href);
    if (kept !== undefined) return kept;
    throw error;
  }
}
