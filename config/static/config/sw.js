// Stands between the pages and the network. The server puts in front of this file VERSION, SHELL (the
// addresses of what every page needs) and WAY_OUT (that of the page shown when there is no other).
// Network first; what was kept is the way out without it.

const SHELL_CACHE = `shell-${VERSION}`;
const PATIENCE = 4000; // ms; then a page that is kept is better than one that may never come
const AS_KEPT = { ignoreSearch: true, ignoreVary: true };

self.addEventListener("install", (event) => {
  self.skipWaiting();
  event.waitUntil(caches.open(SHELL_CACHE).then((cache) => Promise.all(SHELL.map((address) => keep(cache, address)))));
});

// As a stranger sees it: the shell is kept for whoever uses the phone next.
async function keep(cache, address) {
  const answer = await fetch(address, { credentials: "omit", cache: "reload" });
  if (!answer.ok || answer.redirected) throw new Error(`${address}: ${answer.status}`);
  await cache.put(address, answer);
}

self.addEventListener("activate", (event) => {
  event.waitUntil((async () => {
    const old = (await caches.keys()).filter((name) => name.startsWith("shell-") && name !== SHELL_CACHE);
    await Promise.all(old.map((name) => caches.delete(name)));
    await self.clients.claim();
  })());
});

self.addEventListener("fetch", (event) => {
  const { request } = event;
  const { origin, pathname } = new URL(request.url);
  if (origin !== self.location.origin) return;
  if (request.mode === "navigate") event.respondWith(page(request));
  else if (request.method === "GET" && SHELL.includes(pathname)) event.respondWith(file(request));
});

async function page(request) {
  const kept = request.method === "GET" ? await taken(request) : null;
  const asked = fetch(request);
  try {
    const answer = await (kept ? Promise.race([asked, afterPatience()]) : asked);
    if (kept && answer.status >= 500) return kept.answer;
    // The copy that was taken along follows the page, but never becomes another one.
    if (kept && answer.ok && !answer.redirected) await kept.cache.put(request.url, answer.clone());
    return answer;
  } catch {
    asked.catch(() => {}); // too late now, and nobody waits for it
    return kept?.answer ?? (await caches.match(WAY_OUT)) ?? Response.error();
  }
}

async function taken(request) {
  for (const name of await caches.keys()) {
    if (!name.startsWith("taken-")) continue;
    const cache = await caches.open(name);
    const answer = await cache.match(request.url, AS_KEPT);
    if (answer) return { cache, answer };
  }
  return null;
}

const afterPatience = () => new Promise((_, reject) => setTimeout(() => reject(new Error("slow")), PATIENCE));

async function file(request) {
  const kept = await caches.match(request, AS_KEPT);
  const asked = fetch(request);
  try {
    return await (kept ? Promise.race([asked, afterPatience()]) : asked);
  } catch {
    asked.catch(() => {});
    return kept ?? Response.error();
  }
}
