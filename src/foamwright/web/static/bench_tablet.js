// @ts-check
/** The tablet itself: true sizes, staying awake, the page kept for when the link is away, notes from the teacher. */

const CARD_MM = 85.6;
const KEY = "foamwright-card-px";
const get = (/** @type {string} */ id) => /** @type {HTMLInputElement} */ (document.getElementById(id));

/** ISO/IEC 7810 ID-1 is 85.60 mm wide: how many pixels that is here, as set once by hand, or else a guess. */
function cardPixels() {
  const kept = Number(localStorage.getItem(KEY));
  if (kept >= 240 && kept <= 900) return kept;
  // A finger means a tablet, about 150 pixels to the inch; a mouse a desk, 96.
  return Math.round((CARD_MM / 25.4) * (matchMedia("(pointer: coarse)").matches ? 150 : 96));
}

/** @param {number} pixels */
function useCard(pixels) {
  document.documentElement.style.setProperty("--mm", `${pixels / CARD_MM}px`);
}

/** Give the page its true millimetres, and the dialog that sets them. */
export function trueSize() {
  useCard(cardPixels());
  const dialog = /** @type {any} */ (get("tablet"));
  const fields = [get("card-slider"), get("card-number")];
  for (const field of fields) {
    field.value = String(cardPixels());
    field.addEventListener("input", () => {
      const pixels = Number(field.value);
      if (!(pixels >= 240 && pixels <= 900)) return;
      localStorage.setItem(KEY, String(pixels));
      for (const other of fields) if (other !== field) other.value = field.value;
      useCard(pixels);
    });
  }
  get("open-tablet").addEventListener("click", () => dialog.showModal());
  get("close-tablet").addEventListener("click", () => dialog.close());
}

/** Keep the page on the tablet and the screen awake, where the browser lets us (https, or this machine). */
export function keepPage() {
  if ("serviceWorker" in navigator) {
    navigator.serviceWorker.register("/bench-worker.js", { scope: "/jobs/" }).then(tellWorker, () => {});
  }
  const wake = () => {
    if (document.visibilityState === "visible") navigator.wakeLock?.request("screen").catch(() => {});
  };
  document.addEventListener("visibilitychange", wake);
  wake();
}

/** The worker came after this page and what it is made of: tell it, so that the first reload finds them. */
async function tellWorker() {
  const { active } = await navigator.serviceWorker.ready;
  const made = performance.getEntriesByType("resource").map((one) => one.name);
  const statics = made.filter((name) => new URL(name).pathname.startsWith("/static/"));
  active?.postMessage({ keep: [location.href.split("#")[0], ...statics] });
  document.body.dataset.kept = "asked";
}

/**
 * Notes as they come, and a newer plan.
 * @param {any} data @param {string} csrf @param {(key: string, values?: Record<string, unknown>) => string} say
 */
export function liveNotes(data, csrf, say) {
  const source = new EventSource(`/api/live?job=${data.job}`);
  const look = () => showNotes(data, csrf, say);
  for (const name of ["note", "note-seen"]) source.addEventListener(name, look);
  source.addEventListener("job-plan", (event) => {
    if (JSON.parse(event.data).plan_revision !== data.plan) showNewer(data, say);
  });
  addEventListener("pagehide", () => source.close());
  look();
}

/** What the shop makes of it, when the link is there; what stood there stays when it is not. @param {any} data */
export async function showAdvice(data) {
  try {
    const answer = await fetch(`/jobs/${data.job}/bench/advice`, { signal: AbortSignal.timeout(20000) });
    if (!answer.ok || answer.redirected) return;
    const words = (await answer.text()).trim();
    get("advice").innerHTML = words;
    adviseAt(advised);
  } catch {
    return;
  }
}

let advised = -1;

/** Only what belongs to the step in hand is shown; nothing does: nothing. @param {number} step */
export function adviseAt(step) {
  advised = step;
  const parts = /** @type {HTMLElement[]} */ ([...get("advice").querySelectorAll("[data-steps]")]);
  for (const one of parts) one.hidden = !(one.dataset.steps ?? "").split(" ").includes(String(step));
  get("advice").hidden = parts.every((one) => one.hidden);
}

/** Keys and Save are seen together where they can be; what is in view already stays where it is. */
export function toKeypad() {
  const keys = get("keys").getBoundingClientRect();
  const save = get("save").getBoundingClientRect();
  if (!save.height || save.bottom - keys.top > innerHeight) return;
  if (keys.top < 0 || save.bottom > innerHeight) get("save").scrollIntoView({ block: "end" });
}

/** The page's data as the shop has them now: a browser keeps the page for days. @param {any} data */
export async function newestPage(data) {
  const [opened] = /** @type {PerformanceNavigationTiming[]} */ (performance.getEntriesByType("navigation"));
  if (opened?.transferSize || opened?.workerStart) return data;
  try {
    const answer = await fetch(location.pathname, { cache: "reload", signal: AbortSignal.timeout(2500) });
    if (!answer.ok || answer.redirected) return data;
    const page = new DOMParser().parseFromString(await answer.text(), "text/html");
    return JSON.parse(page.getElementById("page-data")?.textContent ?? "null") ?? data;
  } catch {
    return data;
  }
}

/** @param {any} data @param {(key: string) => string} say */
function showNewer(data, say) {
  const link = document.createElement("a");
  link.href = `/jobs/${data.job}/bench`;
  link.textContent = say("newer-plan-go");
  get("note").replaceChildren(`! ${say("newer-plan")} `, link);
  get("note").hidden = false;
}

/** @param {any} data @param {string} csrf @param {(key: string, values?: Record<string, unknown>) => string} say */
async function showNotes(data, csrf, say) {
  let told;
  try {
    const answer = await fetch(`/api/jobs/${data.job}/notes`, { signal: AbortSignal.timeout(6000) });
    if (!answer.ok) return;
    told = await answer.json();
  } catch {
    return;
  }
  const unread = told.notes.filter((/** @type {any} */ one) => one.from_role !== "bench" && !one.seen_at);
  const panel = get("note");
  panel.hidden = !unread.length;
  panel.replaceChildren(...unread.map((/** @type {any} */ one) => noteLine(one, data, csrf, say)));
}

/** @param {any} note @param {any} data @param {string} csrf @param {(key: string, values?: Record<string, unknown>) => string} say */
function noteLine(note, data, csrf, say) {
  const line = document.createElement("p");
  const who = document.createElement("strong");
  who.textContent = say(note.written_by === "host" ? "note-from-host" : "note-from", { who: note.written_by });
  const seen = document.createElement("button");
  seen.type = "button";
  seen.textContent = say("note-seen");
  seen.addEventListener("click", () => {
    const headers = { "x-foamwright-csrf": csrf };
    fetch(`/api/jobs/${data.job}/notes/${note.id}/seen`, { method: "PUT", headers }).then(() => line.remove(), () => {});
  });
  line.append(who, ` ${note.words} `, seen);
  return line;
}
