// Keeps the page for use without a network. What stands above is written when the page
// is made: the files, and a name that changes with any of them.
const name = "page " + edition;

self.addEventListener("install", (event) => {
  event.waitUntil((async () => {
    const cache = await caches.open(name);
    await cache.addAll(["./", ...files].map((file) => new Request(file, { cache: "no-cache" })));
    await self.skipWaiting();
  })());
});

self.addEventListener("activate", (event) => {
  event.waitUntil((async () => {
    for (const old of await caches.keys()) {
      if (old.startsWith("page ") && old !== name) await caches.delete(old);
    }
    await self.clients.claim();
  })());
});

// What is kept answers, so that page, script and library are always of one edition.
self.addEventListener("fetch", (event) => {
  event.respondWith((async () => {
    const cache = await caches.open(name);
    return (await cache.match(event.request, { ignoreSearch: true })) ?? fetch(event.request);
  })());
});
