// Served with two lines before these: FILES, the files of the pages, and VERSION, a digest of them.

const CACHE = `clothwright ${VERSION}`;
const WAIT_MS = 2500;
const PAGES = /^\/phone\/[0-9a-f-]{36}\/(board|loom)\/$/;

self.addEventListener("install", (event) => {
  event.waitUntil(caches.open(CACHE).then((cache) => cache.addAll(FILES)).then(() => self.skipWaiting()));
});

// Pages kept under an older version are carried over, so that what could be opened without a network still can be.
const carryOver = async () => {
  const now = await caches.open(CACHE);
  for (const name of await caches.keys()) {
    if (name === CACHE || !name.startsWith("clothwright ")) continue;
    const old = await caches.open(name);
    for (const request of await old.keys()) {
      if (PAGES.test(new URL(request.url).pathname) && !(await now.match(request))) await now.put(request, await old.match(request));
    }
    await caches.delete(name);
  }
  await self.clients.claim();
};
self.addEventListener("activate", (event) => event.waitUntil(carryOver()));

const keep = async (request) => {
  const answer = await fetch(request);
  if (answer.ok && !answer.redirected) await (await caches.open(CACHE)).put(request, answer.clone());
  return answer;
};

// The program's answer where it comes soon, else what is kept; a program that is slow is heard for the next time.
const soonOrKept = async (request) => {
  const kept = await caches.match(request, { ignoreSearch: true });
  const asked = keep(request);
  if (!kept) return asked;
  const late = new Promise((resolve) => setTimeout(resolve, WAIT_MS, kept));
  return Promise.race([asked.then((answer) => (answer.ok ? answer : kept), () => kept), late]);
};

self.addEventListener("fetch", (event) => {
  const { pathname, origin } = new URL(event.request.url);
  if (event.request.method !== "GET" || origin !== self.location.origin) return;
  if (FILES.includes(pathname) || PAGES.test(pathname)) event.respondWith(soonOrKept(event.request));
});

self.addEventListener("message", (event) => {
  if (!PAGES.test(event.data.keep)) return;
  const kept = keep(new Request(event.data.keep, { credentials: "same-origin" }));
  event.waitUntil(kept.then((answer) => event.ports[0].postMessage(answer.ok && !answer.redirected), () =>
    caches.match(event.data.keep).then((found) => event.ports[0].postMessage(Boolean(found)))));
});
