// @ts-check
/** Keeps what the app is made of, and a page that says when the shop does not answer; needs a secure context. */

const version = new URL(import.meta.url).pathname.split("/")[2];
if ("serviceWorker" in navigator) {
  navigator.serviceWorker.register("/bench-worker.js", { scope: "/" }).then(async () => {
    const { active } = await navigator.serviceWorker.ready;
    const made = performance.getEntriesByType("resource").map((one) => one.name);
    const statics = made.filter((name) => new URL(name).pathname.startsWith("/static/"));
    active?.postMessage({ keep: [new URL(`/offline?v=${version}`, location.href).href, ...statics] });
  }, () => {});
}
