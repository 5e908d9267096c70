// Keeps the bench pages and what they are made of on the tablet, so that they open while the link is away.
const KEPT = "foamwright-bench-1";
const WAIT_MS = 2500;
const isBench = (url) => /^\/jobs\/\d+\/bench(\/\d+)?$/.test(url.pathname);

self.addEventListener("install", () => self.skipWaiting());
self.addEventListener("activate", (event) => event.waitUntil(self.clients.claim()));

self.addEventListener("message", (event) => {
  // The page that was open before this worker was: kept now, so that its first reload finds it.
  if (event.data?.keep) event.waitUntil(keepAll(event.data.keep));
});

self.addEventListener("fetch", (event) => {
  const url = new URL(event.request.url);
  if (event.request.method !== "GET" || url.origin !== location.origin) return;
  if (event.request.mode === "navigate" && isBench(url)) event.respondWith(page(event.request));
  else if (url.pathname.startsWith("/static/")) event.respondWith(fixed(event.request));
});

/** What this page is made of stays; what an earlier version was made of goes. */
async function keepAll(addresses) {
  await Promise.all(addresses.map(keepOne));
  const kept = await caches.open(KEPT);
  const version = (address) => new URL(address).pathname.split("/")[2];
  const now = new Set(addresses.filter((one) => new URL(one).pathname.startsWith("/static/")).map(version));
  for (const { url } of await kept.keys()) {
    if (new URL(url).pathname.startsWith("/static/") && !now.has(version(url))) await kept.delete(url);
  }
}

async function keepOne(address) {
  const kept = await caches.open(KEPT);
  if (await kept.match(address)) return;
  const answer = await fetch(address, { credentials: "same-origin" }).catch(() => null);
  if (answer?.ok && !answer.redirected) await kept.put(address, answer);
}

/** From the shop if it answers soon; else as it was kept. */
async function page(request) {
  const kept = await caches.open(KEPT);
  const asked = new AbortController();
  const had = await kept.match(request.url);
  const timer = had && setTimeout(() => asked.abort(), WAIT_MS);
  try {
    const answer = await fetch(request.url, { credentials: "same-origin", redirect: "manual", signal: asked.signal, cache: "no-cache" });
    if (answer.ok) await kept.put(request.url, answer.clone());
    if (answer.status >= 500 && had) return had;
    return answer;
  } catch (why) {
    if (had) return had;
    throw why;
  } finally {
    clearTimeout(timer);
  }
}

/** The address of a script or style names what is in it: what is kept is never old. */
async function fixed(request) {
  const kept = await caches.open(KEPT);
  const had = await kept.match(request.url);
  if (had) return had;
  const answer = await fetch(request);
  if (answer.ok) await kept.put(request.url, answer.clone());
  return answer;
}
