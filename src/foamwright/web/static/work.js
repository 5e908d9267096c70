// @ts-check
/** The workbench: what is dragged, typed and stepped goes to the shop as the newest wish; its drawing comes back. */

import { morph } from "./morph.js";

/**
 * @typedef {object} State
 * @property {string} sheet @property {string} view @property {string} at @property {string} blank
 * @property {number|null} slide @property {string} by @property {number} since @property {number} tall
 * @property {boolean} twice @property {number} zoom @property {number} centre
 */
/** @typedef {Partial<State> & {moved?: [string, number], typed?: Record<string, string>, made?: string, light?: boolean, whole?: boolean, slide_written?: string}} Wish */
/** @typedef {{sheet: string, at: string}} Past */

const begin = JSON.parse(part("plan-start").textContent ?? "{}");
const words = begin.words;
const form = /** @type {HTMLFormElement} */ (part("work"));
const sheetField = /** @type {HTMLTextAreaElement} */ (form.elements.namedItem("sheet"));
const board = form.dataset.board ?? "";
const stage = part("stage");
/** @type {State} */
const state = {
  sheet: sheetField.value, view: begin.view, at: begin.at, blank: begin.blank, slide: begin.slide, by: begin.by,
  since: begin.since, tall: begin.tall, twice: begin.twice, zoom: 1, centre: 0.5,
};
const PX_A_MARK = 8;

/** @param {string} id */
function part(id) {
  return /** @type {HTMLElement} */ (document.getElementById(id));
}
/** @param {string} text */
function say(text) {
  if (part("live").textContent !== text) part("live").textContent = text;
}

/* Asking the shop: one wish in flight, the newest waits, the others are forgotten; but a change that stays is not. */

/** @param {string} path @param {unknown} wish */
async function post(path, wish) {
  const headers = { "X-Foamwright-Csrf": begin.csrf, "Content-Type": "application/json" };
  const answer = await fetch(path, { method: "POST", headers, body: JSON.stringify(wish) });
  if (!answer.ok) throw new Error(String(answer.status));
  return answer.json();
}

/** @typedef {(answer: any, before: Past) => void} Then what to do with an answer, and with what stood as it was sent */
/** @type {{wish: Wish, then: Then}[]} */
const waiting = [];
let flying = false;
/** What is done once nothing is under way. @type {(() => void)[]} */
const afterwards = [];

/** Whether a wish that waits may be forgotten for a newer one. @param {Wish} old @param {Wish} fresh */
function outdone(old, fresh) {
  if (old.light || !(old.made || old.moved || old.typed)) return true;
  // Steps of one number each say where it shall be, so the last one is enough.
  return !fresh.light && old.moved !== undefined && old.moved[0] === fresh.moved?.[0];
}

/** @param {Wish} wish @param {Then} [then] */
function ask(wish, then = () => {}) {
  const last = waiting.at(-1);
  if (last && outdone(last.wish, wish)) waiting.pop();
  waiting.push({ wish, then });
  if (!flying) void send();
}

async function send() {
  flying = true;
  for (let next = waiting.shift(); next; next = waiting.shift()) {
    const { wish, then } = next;
    const before = { sheet: state.sheet, at: state.at };
    try {
      const answer = await post(`/plan/${board}/live`, { ...state, ...size(), ...wish });
      say("");
      show(answer, wish, before);
      then(answer, before);
    } catch {
      say(words.lost);
      await new Promise((go) => setTimeout(go, 2000));
      if (!waiting.length) waiting.push(next);
    }
  }
  flying = false;
  while (!flying && afterwards.length) afterwards.shift()?.();
}

function size() {
  return { width: Math.max(200, stage.clientWidth), height: Math.max(120, stage.clientHeight), slip: Math.max(200, (document.querySelector(".section")?.clientWidth ?? part("slip-in").clientWidth) - 28) };
}

let lastStage = "";
/** @param {any} answer @param {Wish} wish @param {Past} sent where the bench stood as the wish went out */
function show(answer, wish, sent) {
  for (const [name, html] of Object.entries(answer.parts)) {
    const box = part(name === "slip" ? "slip-in" : name);
    // What cannot be drawn stays as it was drawn last, pale.
    const drawn = name !== "stage" || state.view !== "board" || /** @type {string} */ (html).includes("<svg");
    box.classList.toggle("pale", !drawn);
    if (!drawn || (name === "stage" && html === lastStage)) continue;
    if (name === "stage") lastStage = /** @type {string} */ (html);
    morph(box, /** @type {string} */ (html));
  }
  if (!wish.light) {
    // A wish that waits already begins from its own sheet; what is typed meanwhile is in it.
    // Where the person has gone on since, by a tap or a step back, theirs is the newer.
    if ((wish.made || wish.moved || wish.typed) && state.sheet === sent.sheet) state.sheet = answer.sheet;
    if (state.at === sent.at) state.at = answer.at;
    sheetField.value = state.sheet;
    document.body.dataset.changed = String(answer.changed);
    address();
    keys();
    if (state.view === "off" || state.view === "strokes") void import("./off.js").then((off) => off.wireOff(stage, words));
    if (state.view === "board") remedies();
    keep();
    if (answer.more && !waiting.length) ask({ whole: true });
  }
}

function address() {
  const query = new URLSearchParams();
  if (state.view !== "board") query.set("view", state.view);
  if (state.at !== "centre") query.set("at", state.at);
  if (state.blank) query.set("blank", state.blank);
  if (state.slide !== null && inputOf("slide")) query.set("slide", inputOf("slide")?.value ?? "");
  if (state.since) query.set("since", String(state.since));
  if (state.tall !== 3) query.set("tall", String(state.tall));
  if (state.by !== "cost") query.set("by", state.by);
  history.replaceState(null, "", `${location.pathname}${query.size ? "?" : ""}${query}`);
}
/** @param {string} name */
const inputOf = (name) => /** @type {HTMLInputElement|null} */ (form.querySelector(`input[name="${name}"]`));

/* What was, and what was taken back. */

/** @type {{revision: number, sheet: string, undo: Past[], redo: Past[], saving?: boolean}} */
let past = { revision: begin.revision, sheet: state.sheet, undo: [], redo: [] };
const shelf = `work-${board}`;
const MOST = 100;

function keep() {
  past.sheet = state.sheet;
  try {
    sessionStorage.setItem(shelf, JSON.stringify(past));
  } catch { /* A browser that keeps nothing: then a reload begins anew. */ }
}
function keys() {
  for (const [id, list] of /** @type {[string, Past[]][]} */ ([["undo", past.undo], ["redo", past.redo]])) {
    const key = /** @type {HTMLButtonElement} */ (part(id));
    key.dataset.mine = "";
    key.hidden = false;
    key.disabled = list.length === 0;
  }
}
let lastName = "", lastTime = 0;
/** Note what stands before it changes; steps of one number that follow each other are taken back as one. @param {string} name @param {Past} before */
function note(name, before) {
  const now = performance.now();
  const joined = name !== "" && name === lastName && now - lastTime < 900;
  lastName = name;
  lastTime = now;
  if (joined && past.undo.length) return;
  past.undo.push(before);
  if (past.undo.length > MOST) past.undo.shift();
  past.redo = [];
}
/** Take a change back, or make it again; one that is still on its way to the shop is waited for. @param {"undo"|"redo"} way */
function back(way) {
  if (flying) return void afterwards.push(() => back(way));
  const then = past[way].pop();
  if (!then) return;
  past[way === "undo" ? "redo" : "undo"].push({ sheet: state.sheet, at: state.at });
  state.sheet = then.sheet;
  state.at = then.at;
  lastName = "";
  ask({});
}

/** Ask for a change of the sheet, and note what it was. @param {string} name @param {Wish} wish */
function change(name, wish) {
  const { at } = state;
  ask(wish, (answer, before) => {
    if (answer.sheet !== before.sheet) note(name, { sheet: before.sheet, at });
    keys();
    keep();
  });
}

/* Numbers: steps by keys and buttons. */

/** What a number will be once all steps are answered. @type {Map<string, number>} */
const meant = new Map();

/** @param {HTMLElement} holder the row's field, or an instrument @param {string} name @param {number} marks */
function step(holder, name, marks) {
  const { value, mark, least, most } = holder.dataset;
  if (value === undefined || mark === undefined) return;
  const was = meant.get(name) ?? Number(value), one = Number(mark);
  const to = Math.max(Number(least), Math.min(Number(most), (Math.round(was / one) + marks) * one));
  meant.set(name, to);
  if (name === "slide") {
    state.slide = to;
    ask({}, () => meant.delete(name));
  } else {
    const { at } = state;
    ask({ moved: [name, to] }, (answer, before) => {
      if (Math.abs((meant.get(name) ?? to) - to) < 1e-9) meant.delete(name);
      if (answer.sheet !== before.sheet) note(name, { sheet: before.sheet, at });
      keys();
      keep();
    });
  }
}

/** Bring a number back to what it was when it was saved. @param {string} name */
function home(name) {
  if (name === "slide") {
    state.slide = null;
    return ask({});
  }
  change("", { made: `${name}|saved` });
}

addEventListener("keydown", (event) => {
  const target = /** @type {HTMLElement} */ (event.target);
  const typing = target.matches("input, textarea, select");
  if ((event.ctrlKey || event.metaKey) && /^[zy]$/i.test(event.key) && !(typing && target.dataset.typing !== undefined)) {
    event.preventDefault();
    const again = event.shiftKey || /y/i.test(event.key);
    return back(again ? "redo" : "undo");
  }
  if (event.ctrlKey || event.metaKey || event.altKey && !/Arrow/.test(event.key)) return;
  const row = target.closest("[data-row]");
  const hand = /** @type {HTMLElement|null} */ (target.closest("[data-hand]"));
  const name = hand?.dataset.hand ?? (row && target.matches("input[data-kind]") ? /** @type {HTMLElement} */ (row).dataset.row : undefined);
  const marks = { ArrowUp: 1, ArrowDown: -1, PageUp: 8, PageDown: -8 }[event.key];
  if (name && name !== "at" && marks !== undefined) {
    event.preventDefault();
    delete target.dataset.typing;
    return step(target, name, marks);
  }
  if (name && name !== "at" && event.key === "Home" && !typing) {
    event.preventDefault();
    return home(name);
  }
  if (event.key === "Escape") {
    for (const one of document.querySelectorAll("details[open].versions, details[open].menu")) one.removeAttribute("open");
  }
  if (state.view === "blank" && name === "slide" && /Arrow(Left|Right)/.test(event.key)) {
    event.preventDefault();
    return step(/** @type {HTMLElement} */ (hand), name, event.key === "ArrowRight" ? 1 : -1);
  }
  if ((hand || (row && event.altKey)) && /Arrow(Left|Right)/.test(event.key) && state.view === "board") {
    event.preventDefault();
    const turns = /** @type {NodeListOf<HTMLElement>} */ (document.querySelectorAll(".turn"));
    return go((event.key === "ArrowRight" ? turns[1] : turns[0])?.dataset.go ?? "", name);
  }
  if (typing) return;
  if (event.key === "1" && state.view === "board") return near(drawingNumber("one"), null);
  if (event.key === "0" && state.view === "board") return near(1, null);
});

/** Go to another stop; the same instrument there stays in hand. @param {string} stop @param {string} [name] */
function go(stop, name) {
  if (!stop) return;
  state.at = stop;
  const kind = name?.split("/")[0];
  ask({}, () => {
    if (kind && !document.activeElement?.matches("[data-hand], input")) {
      /** @type {HTMLElement|null} */ (document.querySelector(`[data-hand^="${kind}/"]`))?.focus();
    }
    document.querySelector(".stop-key[aria-current]")?.scrollIntoView({ block: "nearest", inline: "nearest" });
  });
}

/* Numbers typed. */

form.addEventListener("input", (event) => {
  const field = /** @type {HTMLInputElement} */ (event.target);
  if (!field.name.startsWith("n:") || field instanceof HTMLSelectElement) return;
  field.dataset.typing = "";
  if (field.dataset.kind !== "length" && field.dataset.kind !== "number") return;
  ask({ typed: { [field.name.slice(2)]: field.value }, light: true });
});
form.addEventListener("change", (event) => {
  const field = /** @type {HTMLInputElement} */ (event.target);
  if (field.name === "slide") {
    state.slide = lengthOf(field.value);
    return ask({ slide_written: field.value.slice(0, 60) });
  }
  if (!field.name.startsWith("n:")) return;
  delete field.dataset.typing;
  change("", { typed: { [field.name.slice(2)]: field.value } });
});
form.addEventListener("focusout", (event) => {
  delete /** @type {HTMLElement} */ (event.target).dataset.typing;
});

/** @param {string} text metres of what a person writes, or null @returns {number|null} */
function lengthOf(text) {
  const unit = document.querySelector(".slide-field .unit")?.textContent === "mm" ? 0.001 : 0.0254;
  const found = /^\s*(\d+(?:[.,]\d+)?)?\s*(?:(\d+)\s*\/\s*(\d+))?\s*$/.exec(text);
  if (!found || !text.trim()) return null;
  return (Number((found[1] ?? "0").replace(",", ".")) + (found[2] ? Number(found[2]) / Number(found[3]) : 0)) * unit;
}

/* Buttons: each is a submit button that works without this script, too. */

form.addEventListener("submit", (event) => {
  const button = /** @type {HTMLButtonElement|null} */ (event.submitter);
  if (button?.hasAttribute("formaction")) {
    if (/save$/.test(button.getAttribute("formaction") ?? "")) {
      past.saving = true;
      keep();
    }
    leaving = true;
    setTimeout(() => { leaving = false; }, 1500);
    return;
  }
  event.preventDefault();
  if (!button) return;
  const { name, value } = button;
  if (name === "go" || name === "at") {
    if (state.view !== "board") state.view = "board";
    return go(value);
  }
  if (name === "view") Object.assign(state, { view: value, zoom: 1 });
  else if (name === "tall") state.tall = Number(value);
  else if (name === "twice") state.twice = value === "1";
  else if (name === "by") state.by = value;
  else if (name === "since") state.since = Number(value);
  else if (name === "blank") Object.assign(state, { blank: value, slide: null });
  else if (name === "slide") state.slide = null;
  else if (name === "back_to") return change("", { made: `version|${value}` });
  else if (name === "make" && button.dataset.step) {
    const row = /** @type {HTMLElement} */ (button.closest("[data-row]"));
    const field = /** @type {HTMLElement|null} */ (row.querySelector("input"));
    return field ? step(field, row.dataset.row ?? "", Number(button.dataset.step)) : undefined;
  } else if (name === "make") return change("", { made: value });
  else return;
  form.dataset.view = state.view;
  part("slip").scrollTop = 0;
  ask({});
});
part("undo").addEventListener("click", () => back("undo"));
part("redo").addEventListener("click", () => back("redo"));
document.addEventListener("click", (event) => {
  const target = /** @type {HTMLElement} */ (event.target);
  const key = /** @type {HTMLElement|null} */ (target.closest("button.make, button.leave"));
  if (key?.dataset.remedy && key.dataset.value) change("", { moved: [key.dataset.name ?? "", Number(key.dataset.value)] });
  if (key?.dataset.leave) leave(key.dataset.leave);
  for (const one of document.querySelectorAll("details.versions[open], details.menu[open]")) if (!one.contains(target)) one.removeAttribute("open");
});
let leaving = false;
addEventListener("beforeunload", (event) => {
  // What is not saved is kept for a reload; only going away for good is asked about.
  if (!leaving && document.body.dataset.changed === "true" && past.undo.length) event.preventDefault();
});

/* What a finding needs, and what is left as it is. */

const leftShelf = `left-${board}`;
/** @returns {string[]} */
const left = () => {
  try {
    return JSON.parse(localStorage.getItem(leftShelf) ?? "[]");
  } catch {
    return [];
  }
};
/** @param {string} key */
function leave(key) {
  const keys = left();
  const at = keys.indexOf(key);
  if (at < 0) keys.push(key);
  else keys.splice(at, 1);
  try {
    localStorage.setItem(leftShelf, JSON.stringify(keys));
  } catch { /* Then it is told again. */ }
  remedies();
}
let askedFor = "";
function remedies() {
  const keys = left();
  const rows = /** @type {NodeListOf<HTMLElement>} */ (document.querySelectorAll("[data-notice]"));
  for (const row of rows) {
    row.classList.toggle("left", keys.includes(row.dataset.notice ?? ""));
    const leaves = /** @type {HTMLElement} */ (row.querySelector(".leave"));
    leaves.dataset.mine = "";
    leaves.hidden = row.classList.contains("wrong");
  }
  const wanted = `${state.at}\n${state.sheet}`;
  if (!rows.length || wanted === askedFor) return;
  askedFor = wanted;
  post(`/plan/${board}/live/remedy`, { sheet: state.sheet, at: state.at }).then(({ remedies: found }) => {
    if (wanted !== `${state.at}\n${state.sheet}`) return;
    for (const key of /** @type {NodeListOf<HTMLElement>} */ (document.querySelectorAll("button.make"))) {
      const right = found[key.dataset.remedy ?? ""];
      key.dataset.mine = "";
      key.hidden = !right;
      if (!right) continue;
      Object.assign(key.dataset, { name: right.name, value: String(right.value) });
      /** @type {HTMLElement} */ (key.querySelector("span")).textContent = right.text;
    }
  }, () => { askedFor = ""; });
}

/* Hands on the wall. */

/** @typedef {{name: string, axis: string, gear: number, x: number, y: number, start: number, value: number, mark: number, least: number, most: number, sheet: string, box: DOMRect}} Held */
/** @type {Held|null} */
let held = null;
/** @type {Map<number, {x: number, y: number}>} */
const touching = new Map();

/** @param {string} name */
const handOf = (name) => /** @type {HTMLElement|null} */ (document.querySelector(`[data-hand="${CSS.escape(name)}"][data-value]`));
/** @param {string} key */
const drawingNumber = (key) => Number(/** @type {HTMLElement|null} */ (stage.querySelector(".drawing"))?.dataset[key] ?? 0);

form.addEventListener("pointerdown", (event) => {
  const target = /** @type {HTMLElement} */ (event.target);
  const ground = /** @type {HTMLElement|null} */ (target.closest("#stage, .section"));
  if (!ground || event.button !== 0) return;
  touching.set(event.pointerId, { x: event.clientX, y: event.clientY });
  if (touching.size === 2) return pinch();
  const grip = /** @type {HTMLElement|null} */ (target.closest("[data-hand]"));
  if (!grip && (ground !== stage || state.view !== "board")) return;
  event.preventDefault();
  ground.setPointerCapture(event.pointerId);
  const name = grip?.dataset.hand ?? "at";
  const source = handOf(name) ?? grip;
  const value = Number(source?.dataset.value ?? 0);
  const pull = Number(source?.dataset.pull ?? 1);
  held = {
    name, axis: grip?.dataset.axis ?? "x", x: event.clientX, y: event.clientY, start: value, value,
    gear: grip?.dataset.gear ? Number(grip.dataset.gear) * Number(source?.dataset.mark ?? 1) : Math.sign(pull || 1) * PX_A_MARK,
    mark: Number(source?.dataset.mark ?? 1), least: Number(source?.dataset.least ?? 0), most: Number(source?.dataset.most ?? 0),
    sheet: state.sheet, box: ground.getBoundingClientRect(),
  };
  document.body.classList.add("dragging");
  grip?.focus?.({ preventScroll: true });
  if (name === "at" && !grip) plumb(event.clientX);
});

form.addEventListener("pointermove", (event) => {
  const finger = touching.get(event.pointerId);
  if (finger) Object.assign(finger, { x: event.clientX, y: event.clientY });
  if (touching.size === 2) return pinch();
  if (!held) return;
  if (held.name === "at") return plumb(event.clientX);
  const way = held.axis === "x" ? event.clientX - held.x : event.clientY - held.y;
  const steps = Math.round(way / held.gear);
  const to = Math.max(held.least, Math.min(held.most, (Math.round(held.start / held.mark) + steps) * held.mark));
  if (steps === 0 && held.value === held.start) return;
  if (Math.abs(to - held.value) < 1e-9) return;
  held.value = to;
  shift(held.name, to);
  if (held.name === "slide") {
    state.slide = to;
    ask({ light: true });
  } else ask({ sheet: held.sheet, moved: [held.name, to], light: true });
});

/** Move what is held at once; the drawing follows. @param {string} name @param {number} to */
function shift(name, to) {
  const grip = handOf(name);
  if (!grip) return;
  const marks = (to - Number(grip.dataset.value)) / Number(grip.dataset.mark);
  if (name === "slide") {
    const gear = Number(/** @type {HTMLElement|null} */ (stage.querySelector("[data-gear]"))?.dataset.gear ?? 0);
    for (const one of stage.querySelectorAll(".moves")) one.setAttribute("transform", `translate(${(marks * Number(grip.dataset.mark) * gear).toFixed(1)} 0)`);
    return;
  }
  const by = (marks * Number(grip.dataset.pull)).toFixed(1);
  grip.setAttribute("transform", grip.dataset.axis === "x" ? `translate(${by} 0)` : `translate(0 ${by})`);
}

/** @param {PointerEvent} event */
function release(event) {
  touching.delete(event.pointerId);
  if (!held) return;
  const { name, value, start, sheet } = held;
  held = null;
  document.body.classList.remove("dragging");
  if (name === "at" || name === "slide") return ask({});
  if (Math.abs(value - start) < 1e-9) return;
  lastName = "";
  const before = { sheet, at: state.at };
  ask({ sheet, moved: [name, value] }, (answer) => {
    lastName = "";
    if (answer.sheet !== sheet) note("", before);
    keys();
    keep();
  });
}
form.addEventListener("pointerup", release);
form.addEventListener("pointercancel", release);

/** The plumb line goes where the hand is: to a station near by, else to a whole inch or centimetre. @param {number} clientX */
function plumb(clientX) {
  const box = held?.box ?? stage.getBoundingClientRect();
  const scale = drawingNumber("scale"), length = drawingNumber("length");
  if (!scale) return;
  const x = Math.max(0, Math.min(length, (clientX - box.left - drawingNumber("origin")) / scale));
  const inches = document.querySelector(".unit[aria-pressed=true]")?.textContent === "in";
  const unit = inches ? 0.0254 : 0.01;
  const near = /** @type {HTMLElement[]} */ ([...document.querySelectorAll("[data-at]")]).find((one) => Math.abs(Number(one.dataset.at) - x) * scale < 10);
  const back = x > length / 2 ? length - x : x;
  const at = near?.dataset.go ?? `${Math.round(back / unit)} ${inches ? "in" : "cm"} from ${x > length / 2 ? "nose" : "tail"}`;
  if (at === state.at) return;
  state.at = at;
  ask({ light: held !== null });
}

/* Nearer and farther. */

/** @param {number} zoom @param {number|null} centre */
function near(zoom, centre) {
  const plumbX = Number(stage.querySelector(".plumb-bob")?.getAttribute("aria-valuenow") ?? NaN) / 1000;
  state.zoom = Math.max(1, Math.min(24, zoom));
  const at = centre ?? (Number.isFinite(plumbX) ? plumbX / drawingNumber("length") : 0.5);
  state.centre = Math.max(0, Math.min(1, at));
  ask({ light: true });
}
stage.addEventListener("wheel", (event) => {
  if (state.view !== "board") return;
  event.preventDefault();
  const box = stage.getBoundingClientRect(), scale = drawingNumber("scale"), length = drawingNumber("length");
  const under = (event.clientX - box.left - drawingNumber("origin")) / scale;
  const zoom = Math.max(1, Math.min(24, state.zoom * Math.exp(-event.deltaY / 400)));
  const after = (scale / state.zoom) * zoom;
  near(zoom, (under + (box.width / 2 - (event.clientX - box.left)) / after) / length);
}, { passive: false });
let spread = 0;
function pinch() {
  held = null;
  const [one, two] = [...touching.values()];
  const now = Math.hypot(one.x - two.x, one.y - two.y);
  if (spread && now) near((state.zoom * now) / spread, null);
  spread = now;
  addEventListener("pointerup", () => { spread = 0; }, { once: true });
}

/* The beginning. */

function bringBack() {
  try {
    const kept = JSON.parse(sessionStorage.getItem(shelf) ?? "null");
    if (!kept) return false;
    if (kept.revision === begin.revision && kept.sheet !== state.sheet && sheetField.value === begin.saved) {
      past = kept;
      state.sheet = kept.sheet;
      return true;
    }
    if (kept.revision === begin.revision || kept.saving) past = { ...kept, revision: begin.revision, saving: false };
  } catch { /* As above. */ }
  return false;
}
const restored = bringBack();
document.body.classList.add("scripted");
keys();
const drawn = stage.querySelector(".drawing")?.getAttribute("viewBox")?.split(" ").map(Number) ?? [0, 0, 0, 0];
const now = size();
const off = Math.abs(drawn[2] - now.width) > 2 || Math.abs(drawn[3] - now.height) > 2;
if (off || restored || state.view !== "board") ask({});
else remedies();
let settle = 0;
addEventListener("resize", () => {
  clearTimeout(settle);
  settle = window.setTimeout(() => ask({}), 60);
});
