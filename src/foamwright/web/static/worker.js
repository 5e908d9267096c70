// @ts-check
// Keeps the bench pages and what they are made of on the tablet, so that they open while the link is away.
const KEPT = "foamwright-bench-1";
const WAIT_MS = 2500;
const worker = /** @type {ServiceWorkerGlobalScope} */ (/** @type {unknown} */ (self));
const isBench = (/** @type {URL} */ url) => /^\/jobs\/\d+\/bench(\/\d+)?$/.test(url.pathname);

worker.addEventListener("install", () => worker.skipWaiting());
worker.addEventListener("activate", (event) => event.waitUntil(worker.clients.claim()));

worker.addEventListener("message", (event) => {
  // The page that was open before this worker was: kept now, so that its first reload finds it.
  if (event.data?.keep) event.waitUntil(keepAll(event.data.keep));
});

worker.addEventListener("fetch", (event) => {
  const url = new URL(event.request.url);
  if (event.request.method !== "GET" || url.origin !== location.origin) return;
  if (event.request.mode === "navigate") event.respondWith(isBench(url) ? page(event.request) : shell(event.request));
  else if (url.pathname.startsWith("/static/")) event.respondWith(fixed(event.request));
});

/** What this page is made of stays; what an earlier version was made of goes. @param {string[]} addresses */
async function keepAll(addresses) {
  await Promise.all(addresses.map(keepOne));
  const kept = await caches.open(KEPT);
  const version = (/** @type {string} */ address) => new URL(address).searchParams.get("v") ?? new URL(address).pathname.split("/")[2];
  const now = new Set(addresses.filter((one) => new URL(one).pathname.startsWith("/static/")).map(version));
  for (const { url } of await kept.keys()) {
    if (/^\/(static\/|offline)/.test(new URL(url).pathname) && !now.has(version(url))) await kept.delete(url);
  }
}

/** @param {string} address */
async function keepOne(address) {
  const kept = await caches.open(KEPT);
  if (await kept.match(address)) return;
  const answer = await fetch(address, { credentials: "same-origin" }).catch(() => null);
  if (answer?.ok && !answer.redirected) await kept.put(address, answer);
}

/** From the shop; where it does not answer, a page that says so and what is kept here. @param {Request} request */
async function shell(request) {
  try {
    return await fetch(request);
  } catch (why) {
    const kept = await caches.open(KEPT);
    const away = (await kept.keys()).find(({ url }) => new URL(url).pathname === "/offline");
    const had = away && await kept.match(away);
    if (had) return had;
    throw why;
  }
}

/** From the shop if it answers soon; else as it was kept. @param {Request} request */
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

/** The address of a script or style names what is in it: what is kept is never old. @param {Request} request */
async function fixed(request) {
  const kept = await caches.open(KEPT);
  const had = await kept.match(request.url);
  if (had) return had;
  const answer = await fetch(request);
  if (answer.ok) await kept.put(request.url, answer.clone());
  return answer;
}
