// Stands between the pages and the network. The server puts in front of this file VERSION, SHELL (the
// addresses of what every page needs) and WAY_OUT (that of the page shown when there is no other).
// Network first; what was kept is the way out without it.

const SHELL_CACHE = `shell-${VERSION}`;
const PATIENCE = 4000; // ms; then a page that is kept is better than one that may never come
// The form itself sees to what these say, so the kept form answers whatever they are. Anything else
// in an address may mean another page, as the lie does: another one must not stand for it.
const SEEN_TO = { "/inspect/": ["reason", "for"] };
const AS_ASKED = { ignoreVary: true };
const AS_FILE = { ignoreSearch: true, ignoreVary: true };

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
  if (request.mode === "navigate") event.respondWith(page(event));
  else if (request.method === "GET" && SHELL.includes(pathname)) event.respondWith(file(request));
});

async function page(event) {
  const { request } = event;
  const kept = request.method === "GET" ? await taken(request) : null;
  const asked = fetch(request);
  try {
    const answer = await (kept ? Promise.race([asked, afterPatience()]) : asked);
    if (kept && answer.status >= 500) return kept.answer;
    if (kept && answer.ok && !answer.redirected) {
      if (kept.asAsked) await kept.cache.put(kept.address, answer.clone());
      event.waitUntil(renewBeside(kept));
    }
    return answer;
  } catch {
    asked.catch(() => {}); // too late now, and nobody waits for it
    return kept?.answer ?? (await caches.match(WAY_OUT)) ?? Response.error();
  }
}

async function taken(request) {
  const asked = request.url.split("#")[0], addresses = new Set([asked, withoutWhatIsSeenTo(asked)]);
  for (const name of await caches.keys()) {
    if (!name.startsWith("taken-")) continue;
    const cache = await caches.open(name);
    for (const address of addresses) {
      const answer = await cache.match(address, AS_ASKED);
      if (answer) return { cache, address, answer, asAsked: address === asked };
    }
  }
  return null;
}

function withoutWhatIsSeenTo(url) {
  const address = new URL(url);
  for (const [end, names] of Object.entries(SEEN_TO)) {
    if (address.pathname.endsWith(end)) names.forEach((name) => address.searchParams.delete(name));
  }
  return address.href;
}

// What was taken along follows the register: with a page go the others of the same points, so that
// one lie of the plan does not show older readings than the other.
async function renewBeside({ cache, address }) {
  const same = await cache.keys(address, AS_FILE);
  const others = same.map((request) => request.url).filter((url) => url !== address);
  await Promise.all(others.map(async (url) => {
    const answer = await fetch(url, { credentials: "same-origin" });
    if (answer.ok && !answer.redirected) await cache.put(url, answer);
  })).catch(() => {}); // no signal after all: the older copies stay
}

const afterPatience = () => new Promise((_, reject) => setTimeout(() => reject(new Error("slow")), PATIENCE));

async function file(request) {
  const kept = await caches.match(request, AS_FILE);
  const asked = fetch(request);
  try {
    return await (kept ? Promise.race([asked, afterPatience()]) : asked);
  } catch {
    asked.catch(() => {});
    return kept ?? Response.error();
  }
}
