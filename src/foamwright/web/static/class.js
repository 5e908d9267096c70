// @ts-check
/** The class page stays true: whenever something has happened, the rows are asked for again. */

const SOON_MS = 200;
/** Waiting long is an alarm that no event tells of. */
const LOOK_AGAIN_MS = 30000;
const EVENTS = [
  "reading", "reading-settled", "strokes", "step-changed", "note", "note-seen", "job-opened", "job-changed",
  "job-blank", "job-plan", "job-stage", "job-archived",
];

const get = (/** @type {string} */ id) => /** @type {HTMLElement} */ (document.getElementById(id));
let timer = 0;

function soon() {
  clearTimeout(timer);
  timer = setTimeout(refresh, SOON_MS);
}

async function refresh() {
  try {
    const answer = await fetch("/class/rows", { signal: AbortSignal.timeout(6000) });
    if (!answer.ok || answer.redirected) throw new Error(String(answer.status));
    show(await answer.text());
    get("away").hidden = true;
  } catch {
    get("away").hidden = false;
  }
}

/** @param {string} rows */
function show(rows) {
  const at = document.activeElement?.getAttribute("href");
  get("rows").innerHTML = rows;
  if (at) /** @type {HTMLElement | null} */ (document.querySelector(`#rows a[href="${CSS.escape(at)}"]`))?.focus();
  const list = document.querySelector(".class");
  const said = list?.getAttribute("data-said") ?? "";
  if (list && get("wanting").textContent !== said) get("wanting").textContent = said;
  if (list) get("jobs-count").textContent = list.getAttribute("data-count");
}

document.addEventListener("click", (event) => {
  const link = /** @type {HTMLElement} */ (event.target).closest("[data-note]");
  const to = /** @type {HTMLSelectElement | null} */ (document.getElementById("f-job_id"));
  if (!link || !to) return;
  event.preventDefault();
  to.value = link.getAttribute("data-note") ?? "";
  get("f-words").focus();
});

const source = new EventSource("/api/live");
for (const name of EVENTS) source.addEventListener(name, soon);
source.addEventListener("open", soon);
source.addEventListener("error", soon);
addEventListener("pagehide", () => source.close());
setInterval(refresh, LOOK_AGAIN_MS);
