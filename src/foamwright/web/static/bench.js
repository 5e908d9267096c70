// @ts-check
/** The bench page: one step, strokes to tick, a number to enter, what it means. */

import { Queue, newId } from "./bench_queue.js";
import { isEmpty, metres, nothing, nudged, parts, press, said, written } from "./bench_value.js";
import { adviseAt, keepPage, liveNotes, newestPage, showAdvice, toKeypad, trueSize } from "./bench_tablet.js";

const get = (/** @type {string} */ id) => /** @type {HTMLElement} */ (document.getElementById(id));
const data = JSON.parse(get("page-data").textContent ?? "{}");
const unit = data.unit;
const steps = /** @type {HTMLElement[]} */ ([...document.querySelectorAll(".step")]);
const last = steps.length - 1;

/** @param {string} key @param {Record<string, unknown>} [values] */
function say(key, values = {}) {
  const words = data.words[key];
  const form = typeof words === "string" ? words : values.n === 1 ? words.one : words.other;
  return form.replace(/\{([\w-]+)\}/g, (/** @type {string} */ _, /** @type {string} */ name) => String(values[name] ?? ""));
}

/**
 * @typedef {{step: number, ask: number, phase: "do" | "read", ticked: Record<string, boolean>, known: any[],
 *   last: {words: string, means: string} | null, told?: Record<string, Told>, hold?: "reading" | "step" | null}} Place
 * @typedef {{id: string, means: string, what: string}} Told
 */
/** @type {Place} */
let place = first(data);
let typed = nothing();
let asking = false;
/** @type {Queue} */
let queue;

const typedKey = `foamwright-typed-${data.job}-${data.plan}-${unit}`;

/** Where a tablet begins that has no place of its own, by what the shop had when the page was made. @param {any} made @returns {Place} */
function first(made) {
  return { step: made.begin, ...made.begun, ticked: {}, known: made.known, last: null };
}

/** Another step, shown by hand: what was said last belongs to the step that is left. @param {number} step @returns {Place} */
function turnedTo(step) {
  if (step === place.step) return { ...place, hold: null };
  return { ...place, step, ask: 0, phase: "do", hold: null, last: null };
}

/** Strokes and reading beside each other: see bench.css. */
const isWide = () => matchMedia("(min-width: 69rem)").matches;

function asks() {
  return [...steps[place.step].querySelectorAll("[data-ask]")];
}

function ask() {
  const found = /** @type {HTMLElement | undefined} */ (asks()[place.ask]);
  return found ? JSON.parse(found.dataset.ask ?? "null") : null;
}

/** Where the person stands goes to the disk with what was told; then the page shows it. @param {Place} next @param {any[]} records */
async function move(next, records = []) {
  await queue.keep(records, next);
  // Cleared only once the reading is on the disk, and before the next place is shown: a number that was meant
  // for the last place must never be judged, even for a moment, as the next one's.
  if (records.some((one) => one.kind === "readings")) typed = nothing();
  const turned = next.step !== place.step;
  place = next;
  show();
  if (turned) /** @type {HTMLElement | null} */ (steps[place.step].querySelector("h1"))?.focus({ preventScroll: true });
  if (place.hold) get("go-on").focus({ preventScroll: true });
  if (turned || records.some((one) => one.kind === "readings")) toAnswer();
}

/** What was just said, and what comes next, stand where the page begins. */
function toAnswer() {
  const top = get("last").hidden ? document.querySelector(".top") : get("answer");
  /** @type {HTMLElement} */ (top).scrollIntoView({ block: "start" });
}

function show() {
  for (const [number, one] of steps.entries()) one.hidden = number !== place.step;
  const wanted = ask();
  document.body.dataset.phase = wanted ? place.phase : "do";
  document.body.dataset.asks = wanted ? "some" : "none";
  document.body.dataset.at = `${place.step + 1}/${place.ask + 1}/${document.body.dataset.phase}${place.hold ? "/hold" : ""}`;
  get("step-number").textContent = String(Math.min(place.step + 1, last));
  for (const button of steps[place.step].querySelectorAll(".group")) {
    const group = /** @type {HTMLElement} */ (button);
    button.setAttribute("aria-pressed", String(Boolean(place.ticked[`${place.step}/${group.dataset.group}`])));
  }
  for (const mark of steps[place.step].querySelectorAll("[data-place]")) {
    mark.classList.toggle("now", wanted !== null && mark.getAttribute("data-place") === wanted.station);
  }
  if (wanted) showAsk(/** @type {HTMLElement} */ (asks()[place.ask]));
  adviseAt(place.step);
  showLast();
  showTyped();
}

/** @param {HTMLElement} item */
function showAsk(item) {
  const count = asks().length;
  const tool = item.querySelector(".ask-tool")?.textContent ?? "";
  get("ask").textContent = item.querySelector(".ask-title")?.textContent ?? "";
  get("ask-count").textContent = (count > 1 ? `${say("reading-of", { n: place.ask + 1, of: count })}, ` : "") + tool;
  get("want").replaceChildren(...figure(item.querySelector(".ask-want")?.textContent ?? ""));
}

function showLast() {
  get("last").hidden = !place.last;
  get("last").textContent = place.last?.words ?? "";
  get("last").dataset.means = place.last?.means ?? "";
  document.body.dataset.hold = place.hold ?? "";
  get("sum").hidden = place.hold !== "step";
  get("sum").textContent = place.hold === "step" ? summary() : "";
  get("go-on").hidden = !place.hold;
  get("go-on").textContent = say(place.hold === "step" ? "go-on-all-the-same" : "go-on");
}

/** What was told of the step in hand. @param {Place} at */
function toldHere(at) {
  return Object.entries(at.told ?? {})
    .filter(([name]) => name.startsWith(`${at.step}/`))
    .map(([, told]) => told);
}

const stops = (/** @type {string} */ means) => means === "too-deep" || means === "questioned";

/** How many readings of a step say stop, in words. */
function summary() {
  const all = toldHere(place);
  const counted = ["too-deep-thickness", "too-deep-width", "too-deep-rocker", "questioned"].map((kind) => {
    const n = all.filter((one) => one.means === kind || `${one.means}-${one.what}` === kind).length;
    return n ? say(`sum-${kind}`, { n }) : "";
  });
  return say("sum", { n: all.length, counted: counted.filter(Boolean).join(", ") });
}

/** A number with a built fraction. @param {string} text */
function figure(text) {
  const found = /^(?:(\d+) )?(\d+)\/(\d+)$/.exec(text);
  if (!found) return [document.createTextNode(text)];
  return built(found[1] ?? "", found[2], found[3]);
}

/** @param {string} whole @param {string} over @param {string} under */
function built(whole, over, under) {
  const fraction = document.createElement("span");
  fraction.className = "fraction";
  const top = document.createElement("sup");
  const bottom = document.createElement("sub");
  top.textContent = over;
  bottom.textContent = under;
  const slash = document.createElement("span");
  slash.className = "slash";
  slash.textContent = "/";
  fraction.append(top, slash, bottom);
  return [document.createTextNode(whole ? `${whole}\u2009` : ""), fraction];
}

function showTyped() {
  localStorage.setItem(typedKey, JSON.stringify(typed));
  const { over, under, ...rest } = parts(typed);
  const whole = rest.whole.replace(".", data.point);
  get("got").replaceChildren(...(over ? built(whole, over, under) : [document.createTextNode(whole || "–")]));
  for (const key of document.querySelectorAll("[data-key]")) {
    const name = key.getAttribute("data-key") ?? "";
    if (key.hasAttribute("aria-pressed")) {
      const on = name === "half" ? typed.half : typed.mark !== null && name === `m${typed.mark}`;
      key.setAttribute("aria-pressed", String(on));
    }
  }
  asking = false;
  get("question").hidden = true;
  get("keys").hidden = false;
  get("save").hidden = false;
  showMeaning();
}

/** @param {any} wanted @param {number} value */
function meaning(wanted, value) {
  const before = knownAt(wanted);
  if (value > data.never_m) return { means: "impossible", words: say("beyond") };
  if (before !== null && value > before + data.growth_m) {
    return { means: "questioned", words: say("questioned-before", { before: said(before, unit, data.point) }) };
  }
  const range = wanted.ranges.find((/** @type {any} */ one) => one.upto === null || value <= one.upto + 1e-9);
  const values = { ...wanted, off: said(Math.abs(value - range.off), unit, data.point) };
  return { means: range.means, words: say(wordsFor(range.means, wanted), values) };
}

/** @param {string} means @param {any} wanted */
function wordsFor(means, wanted) {
  if (means === "too-deep") return `too-deep-${wanted.what}`;
  // Rocker grows as foam goes, and how wide a blank was nobody asks: there the limit is that of any board.
  if (means === "questioned") return wanted.what === "thickness" ? "questioned-most" : "beyond";
  if (means !== "behind" || wanted.chip) return means;
  return wanted.what === "rocker" ? "behind-rocker" : "behind-check";
}

/** The least that was read there before; rocker may grow. @param {any} wanted */
function knownAt(wanted) {
  if (wanted.what === "rocker") return null;
  const there = place.known
    .filter((one) => one.what === wanted.what && Math.abs(one.station_m - wanted.station_m) < data.same_station_m)
    .map((one) => one.value_m);
  return there.length ? Math.min(...there) : null;
}

function showMeaning() {
  const wanted = ask();
  const found = wanted && !isEmpty(typed) ? meaning(wanted, metres(typed, unit)) : { means: "none", words: "" };
  const bar = get("means");
  bar.dataset.means = found.means;
  /** @type {HTMLElement} */ (bar.querySelector(".mark")).textContent = MARKS[found.means] ?? "";
  /** @type {HTMLElement} */ (bar.querySelector(".says")).textContent = found.words;
}

/** @type {Record<string, string>} */
const MARKS = { "too-deep": "×", ahead: "▼", "as-planned": "✓", behind: "▲", questioned: "?", impossible: "×" };

/** A second tap of the same hand comes within this, milliseconds. */
const DOUBLE_MS = 1000;
let savedBy = -DOUBLE_MS;

/** @param {Event} tap */
async function save(tap) {
  const wanted = ask();
  if (!wanted || place.hold) return;
  if (isEmpty(typed)) {
    // The second half of a double tap: the first has saved, and the next place has nothing typed yet.
    if (tap.timeStamp - savedBy < DOUBLE_MS) return;
    const bar = get("means");
    bar.dataset.means = "untyped";
    /** @type {HTMLElement} */ (bar.querySelector(".says")).textContent = say("nothing-typed");
    return;
  }
  const found = meaning(wanted, metres(typed, unit));
  // The shop would refuse it, and it would wait on the tablet for ever.
  if (found.means === "impossible") return;
  if (found.means === "questioned" && !asking) {
    asking = true;
    get("question").hidden = false;
    get("keys").hidden = true;
    get("save").hidden = true;
    get("again").focus();
    return;
  }
  savedBy = tap.timeStamp;
  await keepReading(wanted, found);
}

/** @param {any} wanted @param {{means: string, words: string}} found */
async function keepReading(wanted, found) {
  const value = metres(typed, unit);
  const words = written(typed, unit);
  const body = {
    client_id: newId(),
    stage: wanted.stage,
    station: wanted.station,
    station_m: wanted.station_m,
    what: wanted.what,
    value_m: value,
    written: words,
    tool: wanted.tool,
    tablet_ms: Date.now(),
  };
  const known = found.means === "questioned" ? place.known : [...place.known, { ...wanted, ranges: undefined, value_m: value }];
  const lastWords = `${MARKS[found.means]} ${say("saved", { value: words.replace(".", data.point), place: wanted.said })} ${found.words}`;
  const told = { ...place.told, [`${place.step}/${place.ask}`]: { id: body.client_id, means: found.means, what: wanted.what } };
  const records = /** @type {any[]} */ ([{ kind: "readings", body }]);
  /** @type {Place} */
  const here = { ...place, known, told, last: { words: lastWords, means: found.means } };
  const isLast = place.ask + 1 >= asks().length;
  /** @type {Place} */
  const next = stops(found.means) && !isLast ? { ...here, hold: "reading" } : further(here, records);
  await move(next, records);
}

/** The next reading, or the next step; a step that has readings which say stop is held first. @param {Place} at @param {any[]} records @returns {Place} */
function further(at, records) {
  if (at.ask + 1 < asks().length) return { ...at, hold: null, ask: at.ask + 1 };
  if (at.hold !== "step" && toldHere(at).some((one) => stops(one.means))) return { ...at, hold: "step" };
  return { ...at, ...finished(records) };
}

/** The next step; what is told of this one. @param {any[]} records @returns {Pick<Place, "step" | "ask" | "phase" | "hold">} */
function finished(records) {
  if (place.step < last) records.push({ kind: "step", body: { step: place.step + 1, state: "done" } });
  return { step: Math.min(place.step + 1, last), ask: 0, phase: "do", hold: null };
}

/** After an answer that says stop, only a deliberate tap leads on. */
function goOn() {
  const records = /** @type {any[]} */ ([]);
  const next = further(place, records);
  const same = next.step === place.step;
  return move({ ...next, last: same ? place.last : null }, records).then(toAnswer);
}

/** The shop may question what the tablet had no reason to: the step is held for it at its end. @param {any} answer */
function heard(answer) {
  showAdvice(data);
  const named = new Set((answer.questioned ?? []).map((/** @type {any} */ one) => one.client_id));
  const found = Object.entries(place.told ?? {}).filter(([, told]) => named.has(told.id) && !stops(told.means));
  if (!found.length) return;
  const told = { ...place.told, ...Object.fromEntries(found.map(([name, one]) => [name, { ...one, means: "questioned" }])) };
  return inTurn(() => move({ ...place, told }));
}

/** @param {HTMLElement} button */
async function tick(button) {
  const name = `${place.step}/${button.dataset.group}`;
  const on = !place.ticked[name];
  const count = Number(button.dataset.count) * (on ? 1 : -1);
  const body = { client_id: newId(), step: place.step + 1, count, tablet_ms: Date.now() };
  await move({ ...place, ticked: { ...place.ticked, [name]: on } }, [{ kind: "strokes", body }]);
}

function toRead() {
  if (asks().length) return move({ ...place, phase: "read" }).then(toKeypad);
  const records = /** @type {any[]} */ ([]);
  const next = finished(records);
  return move({ ...place, ...next, last: null }, records);
}

function back() {
  if (place.hold) return move({ ...place, hold: null });
  if (place.phase === "read" && place.ask === 0 && !isWide()) return move({ ...place, phase: "do" });
  if (place.ask > 0) return move({ ...place, ask: place.ask - 1 });
  return move(turnedTo(Math.max(0, place.step - 1)));
}

function onward() {
  const count = asks().length;
  if (place.hold === "reading") return goOn();
  if (place.phase === "do" && count && !isWide()) return move({ ...place, phase: "read" }).then(toKeypad);
  if (place.ask + 1 < count) return move({ ...place, ask: place.ask + 1 });
  if (place.hold !== "step" && toldHere(place).some((one) => stops(one.means))) return move({ ...place, hold: "step" }).then(toAnswer);
  return move(turnedTo(Math.min(place.step + 1, last)));
}

/** One thing at a time: a second press while the disk is written waits for the first. */
let busy = Promise.resolve();
/** @param {() => Promise<void> | void} act */
function inTurn(act) {
  busy = busy.then(act).catch((why) => {
    get("door").hidden = false;
    get("door").textContent = say("not-kept");
    console.warn(why);
  });
  return busy;
}

/** @param {string} key */
function type(key) {
  const isFirst = isEmpty(typed);
  typed = press(typed, key, unit);
  showTyped();
  if (isFirst) toKeypad();
}

function listen() {
  for (const key of document.querySelectorAll("[data-key]")) {
    key.addEventListener("click", () => type(key.getAttribute("data-key") ?? ""));
  }
  get("rub").addEventListener("click", () => type("rub"));
  for (const name of ["save", "keep"]) get(name).addEventListener("click", (tap) => inTurn(() => save(tap)));
  get("go-on").addEventListener("click", () => inTurn(goOn));
  get("again").addEventListener("click", () => {
    showTyped();
    get("save").focus();
  });
  get("back").addEventListener("click", () => inTurn(back));
  get("skip").addEventListener("click", () => inTurn(onward));
  for (const button of document.querySelectorAll(".to-read")) button.addEventListener("click", () => inTurn(toRead));
  for (const button of document.querySelectorAll(".group")) {
    button.addEventListener("click", () => inTurn(() => tick(/** @type {HTMLElement} */ (button))));
  }
  document.addEventListener("keydown", byKeyboard);
  addEventListener("hashchange", () => inTurn(toNamedStep));
}

/** An address that ends in #12 opens step 12: for a code on the job sheet, or a teacher's link. */
function toNamedStep() {
  const named = /^#(\d{1,3})$/.exec(location.hash);
  const step = named ? Number(named[1]) - 1 : -1;
  if (step >= 0 && step <= last && step !== place.step) return move(turnedTo(step));
}

/** @param {KeyboardEvent} event */
function byKeyboard(event) {
  const target = /** @type {HTMLElement} */ (event.target);
  if (!ask() || place.hold || event.ctrlKey || event.metaKey || event.altKey || target.closest("input, select, textarea, dialog")) return;
  if (/^[0-9]$/.test(event.key)) type(event.key);
  else if ([".", data.point].includes(event.key) && unit === "mm") type(".");
  else if (event.key === "Backspace") type("rub");
  else if (event.key === "ArrowUp" || event.key === "ArrowDown") {
    if (target.closest("[tabindex='0'], summary")) return;
    typed = nudged(typed, event.key === "ArrowUp" ? 1 : -1, unit);
    showTyped();
  } else return;
  event.preventDefault();
}

/** @param {import("./bench_queue.js").State} state */
function showWaiting(state) {
  const bar = get("waiting");
  bar.dataset.state = state.refused ? "refused" : state.waiting ? "waiting" : "saved";
  bar.textContent = state.refused
    ? `× ${say("refused", { n: state.refused, why: state.why })}`
    : state.waiting
      ? `… ${say("waiting", { n: state.waiting })}`
      : `✓ ${say("all-saved")}`;
  if (state.door) {
    const pair = document.createElement("a");
    pair.href = "/pair";
    pair.textContent = say("door");
    get("door").replaceChildren("× ", pair);
  }
  get("door").hidden = !state.door;
}

async function begin() {
  trueSize();
  listen();
  try {
    typed = { ...nothing(), ...JSON.parse(localStorage.getItem(typedKey) ?? "{}") };
  } catch {
    typed = nothing();
  }
  const csrf = document.body.dataset.csrf ?? "";
  queue = await Queue.open({ job: data.job, plan: data.plan, csrf, changed: showWaiting, told: heard });
  place = (await queue.place()) ?? first(await newestPage(data));
  await toNamedStep();
  // Hidden until here: without this script there is no use in keys.
  for (const one of document.querySelectorAll("[data-by-script]")) /** @type {HTMLElement} */ (one).hidden = false;
  show();
  document.body.dataset.ready = "yes";
  keepPage();
  liveNotes(data, csrf, say);
  showAdvice(data);
}

inTurn(begin);
