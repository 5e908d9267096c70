// @ts-check
/** The planning page: numbers typed and a board dragged, worked out by the shop; the newest wish alone is sent. */

import { depthAt, showSurface } from "./surface.js";

/** @typedef {{sheet: string, blank: string, slide: number|null}} Wish */

const start = JSON.parse(/** @type {HTMLElement} */ (document.getElementById("plan-start")).textContent ?? "{}");
const form = /** @type {HTMLFormElement} */ (document.getElementById("plan-form"));
const board = form.dataset.board;
/** @type {Wish} */
const state = { sheet: start.sheet, blank: start.blank, slide: null };
const words = start.words;
const inches = start.unit === "in";
const UNIT = inches ? 0.0254 : 0.001;
const MARK = inches ? 0.0254 / 16 : 0.001;

const part = (/** @type {string} */ id) => /** @type {HTMLElement} */ (document.getElementById(id));
const all = (/** @type {string} */ selector, /** @type {ParentNode} */ inside = document) =>
  /** @type {HTMLElement[]} */ ([...inside.querySelectorAll(selector)]);

/** @param {string} text */
function say(text) {
  part("live").textContent = text;
}

/** One address: of the wishes that come while an answer is on its way, only the newest is sent. */
class Newest {
  /**
   * @param {string} path
   * @param {(answer: any, wish: any) => void} take
   * @param {string[]} parts pages' parts that are out of date until the answer is there
   */
  constructor(path, take, parts = []) {
    this.path = path;
    this.take = take;
    this.parts = parts;
    this.busy = false;
    /** @type {any} */
    this.wish = undefined;
  }

  /** @param {any} wish */
  ask(wish) {
    this.wish = wish;
    for (const id of this.parts) part(id).classList.add("stale-part");
    if (!this.busy) void this.send();
  }

  async send() {
    this.busy = true;
    while (this.wish !== undefined) {
      const wish = this.wish;
      this.wish = undefined;
      try {
        const answer = await post(this.path, wish);
        this.take(answer, wish);
        say("");
      } catch (why) {
        say(words.lost);
        if (this.wish === undefined) await new Promise((go) => setTimeout(go, 2000));
        if (this.wish === undefined && !(why instanceof Refused)) this.wish = wish;
      }
    }
    this.busy = false;
    for (const id of this.parts) part(id).classList.remove("stale-part");
  }
}

class Refused extends Error {}

/** @param {string} path @param {any} wish */
async function post(path, wish) {
  const typed = wish instanceof URLSearchParams;
  /** @type {Record<string, string>} */
  const headers = { "X-Foamwright-Csrf": start.csrf };
  if (!typed) headers["Content-Type"] = "application/json";
  const answer = await fetch(path, { method: "POST", headers, body: typed ? wish : JSON.stringify(wish) });
  if (!answer.ok) throw answer.status < 500 ? new Refused() : new Error();
  return answer.json();
}

/* The board's numbers. */

const fields = () => {
  const sent = new URLSearchParams();
  for (const [name, value] of new FormData(form)) if (typeof value === "string") sent.append(name, value);
  return sent;
};

const boards = new Newest(`/plan/${board}/live/board`, (answer) => {
  const fresh = new DOMParser().parseFromString(answer.form, "text/html");
  const rows = fresh.querySelectorAll(".stations .row").length;
  if (rows !== document.querySelectorAll(".stations .row").length) {
    const last = /** @type {HTMLElement|null} */ (document.activeElement);
    const name = last?.getAttribute("name");
    part("board").innerHTML = answer.form;
    if (name) /** @type {HTMLElement|null} */ (form.elements.namedItem(name))?.focus();
  } else renew(fresh);
  if (answer.stands) part("head").innerHTML = answer.head;
  // What stands below is of the last numbers that made a board: it stays, and pales, and nothing jumps.
  for (const id of ["head", "stock", "lay", "off", "strokes"]) part(id).classList.toggle("stale-part", !answer.stands);
  say(answer.stands ? "" : words.none);
  part("changed").hidden = !answer.changed;
  keep();
  if (!answer.stands || answer.sheet === state.sheet) return;
  state.sheet = answer.sheet;
  if (state.blank) blanks.ask({ ...state });
  stock.ask({ ...state });
});

/** Everything but what a person types: what is told, pale numbers, marks of what is wrong. */
function renew(/** @type {Document} */ fresh) {
  for (const told of all("[data-told]", fresh)) {
    const here = document.getElementById(told.id);
    if (here && here.innerHTML !== told.innerHTML) here.innerHTML = told.innerHTML;
  }
  for (const input of all("[name]", fresh)) {
    const here = form.elements.namedItem(input.getAttribute("name") ?? "");
    if (!(here instanceof HTMLElement)) continue;
    for (const name of ["placeholder", "aria-invalid"]) {
      const value = input.getAttribute(name);
      if (value === null) here.removeAttribute(name);
      else here.setAttribute(name, value);
    }
  }
  const labels = all(".station", fresh);
  all(".stations .station").forEach((label, n) => (label.textContent = labels[n].textContent));
}

let pause = 0;
part("board").addEventListener("input", (event) => {
  if (/** @type {HTMLElement} */ (event.target).id === "new-place") return;
  clearTimeout(pause);
  pause = window.setTimeout(() => boards.ask(fields()), 250);
});
part("board").addEventListener("change", () => {
  clearTimeout(pause);
  boards.ask(fields());
});

/** What was typed is kept over a reload, for as long as the stored board is the one it began from. */
const kept = `plan-${board}-${/** @type {HTMLInputElement} */ (form.elements.namedItem("revision")).value}`;
function keep() {
  try {
    if (part("changed").hidden) sessionStorage.removeItem(kept);
    else sessionStorage.setItem(kept, JSON.stringify([...fields()].filter(([name]) => /\/|^(name|length)$/.test(name))));
  } catch { /* A browser that keeps nothing: then a reload begins anew. */ }
}
function bringBack() {
  try {
    const typed = JSON.parse(sessionStorage.getItem(kept) ?? "[]");
    for (const [name, value] of typed) {
      const field = form.elements.namedItem(name);
      if (field instanceof HTMLInputElement || field instanceof HTMLSelectElement) field.value = value;
    }
    if (typed.length) boards.ask(fields());
  } catch { /* As above. */ }
}
form.addEventListener("submit", (event) => {
  const button = /** @type {HTMLButtonElement|null} */ (/** @type {SubmitEvent} */ (event).submitter);
  const to = button?.getAttribute("formaction");
  if (button?.name === "blank") {
    event.preventDefault();
    choose(button.value);
  } else if (!to) {
    event.preventDefault();
    clearTimeout(pause);
    boards.ask(fields());
  } else {
    // What is typed goes along, but to a file that takes its place.
    asks = /from-file/.test(to);
    setTimeout(() => (asks = true), 1000);
    if (/save/.test(to)) sessionStorage.removeItem(kept);
  }
});
let asks = true;
addEventListener("beforeunload", (event) => {
  if (asks && !part("changed").hidden) event.preventDefault();
});

/* The blank. */

const stock = new Newest("/plan/live/stock", (answer) => {
  const open = all("#stock details").map((one) => one.hasAttribute("open"));
  part("stock").innerHTML = answer.html;
  all("#stock details").forEach((one, n) => open[n] && one.setAttribute("open", ""));
  if (!state.blank && answer.best) {
    state.blank = answer.best;
    mark();
    blanks.ask({ ...state });
  }
}, ["stock"]);

part("stock").addEventListener("change", (event) => {
  const input = /** @type {HTMLInputElement} */ (event.target);
  if (input.name === "blank") choose(input.value);
});

/** @param {string} blank */
function choose(blank) {
  state.blank = blank;
  state.slide = null;
  mark();
  blanks.ask({ ...state });
}

function mark() {
  for (const input of all(`#stock [name="blank"]`)) /** @type {HTMLInputElement} */ (input).checked = /** @type {HTMLInputElement} */ (input).value === state.blank;
  for (const row of all(".blank")) row.classList.toggle("chosen", Boolean(row.querySelector(":checked")));
}

const blanks = new Newest("/plan/live/blank", (answer, wish) => {
  if (wish.blank !== state.blank) return;
  part("lay").innerHTML = answer.html;
  wireLay();
  settle();
}, ["lay"]);

/* Where it lies. */

/** @type {{box: HTMLElement, length: number, least: number, most: number, low: number, high: number}|null} */
let lying = null;
let slide = 0;
let tall = Number(/** @type {RadioNodeList|null} */ (form.elements.namedItem("tall"))?.value || 1);
let tallChosen = new URLSearchParams(location.search).has("tall");

function wireLay() {
  const box = /** @type {HTMLElement|null} */ (document.querySelector(".lying"));
  if (!box) {
    lying = null;
    return;
  }
  const curve = /** @type {HTMLElement} */ (box.querySelector(".curve"));
  const number = (/** @type {string|undefined} */ text) => Number(text);
  const side = /** @type {SVGSVGElement} */ (box.querySelector(".side"));
  lying = {
    box, length: number(box.dataset.length) / 1000, least: number(curve.dataset.least), most: number(curve.dataset.most),
    low: number(curve.dataset.low), high: number(curve.dataset.high),
  };
  const slider = /** @type {HTMLInputElement} */ (part("slider"));
  slide = Number(slider.getAttribute("value"));
  slider.hidden = false;
  slider.addEventListener("input", () => slideTo(Number(slider.value)));
  slider.addEventListener("change", letGo);
  slider.addEventListener("keydown", byKeys);
  const best = document.getElementById("to-best");
  if (best) {
    best.hidden = false;
    best.addEventListener("click", () => {
      slideTo(Number(best.dataset.slide));
      state.slide = null;
      settleSoon();
    });
  }
  part("slide").addEventListener("change", () => {
    const typed = /** @type {HTMLInputElement} */ (part("slide")).value.trim();
    if (!typed && best) return best.click();
    const metres = lengthOf(typed.replace(/^[-−]/, "")), { least, most } = lying ?? { least: 0, most: 0 };
    const beyond = metres !== null && !/^[-−]?0*$/.test(typed) && (/^[-−]/.test(typed) || metres < least - 0.001 || metres > most + 0.001);
    if (metres === null || beyond) return refuse(typed, metres === null ? "unread" : "beyond");
    slideTo(metres);
    settleSoon();
  });
  for (const one of all(`[name="tall"]`))
    one.addEventListener("change", () => {
      tallChosen = true;
      setTall(Number(/** @type {HTMLInputElement} */ (one).value));
    });
  wireDrag(side);
  setTall(!tallChosen && side.getBoundingClientRect().width < 620 ? 3 : tall);
}

/** What was typed as the slide stays, marked, with what is wrong beside it. @param {string} typed @param {string} why */
function refuse(typed, why) {
  const told = part("told-slide"), line = document.createElement("p"), what = document.createElement("strong");
  part("slide").setAttribute("aria-invalid", "true");
  line.className = "problem";
  what.textContent = (told.dataset[why] ?? "").replace("{typed}", () => typed.slice(0, 60));
  line.append("× ", what, ` ${told.dataset.range}`);
  told.replaceChildren(line);
}

/** @param {SVGSVGElement} side */
function wireDrag(side) {
  // The width is asked for once: asked at every move, it would lay the page out at every move.
  /** @type {{x: number, slide: number, width: number}|null} */
  let from = null;
  side.addEventListener("pointerdown", (event) => {
    from = { x: event.clientX, slide, width: side.getBoundingClientRect().width };
    side.setPointerCapture(event.pointerId);
  });
  side.addEventListener("pointermove", (event) => {
    if (from && lying) slideTo(from.slide + ((event.clientX - from.x) * lying.length) / from.width);
  });
  const end = () => {
    if (from) letGo();
    from = null;
  };
  side.addEventListener("pointerup", end);
  side.addEventListener("pointercancel", end);
}

/** @param {KeyboardEvent} event */
function byKeys(event) {
  if (!lying) return;
  const by = { ArrowLeft: -1, ArrowDown: -1, ArrowRight: 1, ArrowUp: 1, PageUp: 8, PageDown: -8 }[event.key];
  const to = event.key === "Home" ? lying.least : event.key === "End" ? lying.most : null;
  if (by === undefined && to === null) return;
  event.preventDefault();
  slideTo(to ?? (Math.round(slide / MARK) + (by ?? 0)) * MARK);
  settleSoon();
}

/** @param {number} metres */
function slideTo(metres) {
  if (!lying) return;
  slide = Math.max(lying.least, Math.min(lying.most, metres));
  state.slide = slide;
  part("slide").removeAttribute("aria-invalid");
  part("told-slide").replaceChildren();
  for (const moved of all(".moves")) moved.setAttribute("transform", matrix());
  place();
  for (const id of ["off", "strokes"]) part(id).classList.add("stale-part");
  lays.ask({ ...state });
}

/** Once the hand lets go the board lies at a mark that a tape shows, so that every number said is exact. */
function letGo() {
  slideTo(Math.round(slide / MARK) * MARK);
  settleSoon();
}

/** The last lift and tilt, with the slide as it is in the hand. */
let lift = "0", tilt = "0";
const matrix = () => `matrix(1 ${tilt} 0 1 ${(slide * 1000).toFixed(3)} ${lift})`;

/** Move every mark that stands at the slide. */
function place() {
  if (!lying) return;
  const span = lying.most - lying.least, at = span > 0 ? (100 * (slide - lying.least)) / span : 50;
  const tail = (100 * slide) / lying.length;
  for (const [selector, name, value] of /** @type {[string, string, number][]} */ ([
    [".plumb", "x1", at], [".plumb", "x2", at], [`[data-cx="slide"]`, "cx", at],
    [`[data-at="tail_percent"]`, "x", tail], [`[data-cx="tail_percent"]`, "cx", tail],
  ])) for (const one of all(selector, lying.box)) one.setAttribute(name, `${value}%`);
  /** @type {HTMLInputElement} */ (part("slider")).value = String(slide);
}

const lays = new Newest("/plan/live/lay", (answer) => showLaid(answer));

/** @param {any} answer */
function showLaid(answer) {
  if (!lying || !answer.matrix) return;
  [, , tilt, , , , lift] = answer.matrix.split(/[( )]/);
  for (const moved of all(".moves")) moved.setAttribute("transform", matrix());
  all(".board-shape")[0]?.classList.toggle("out", !answer.fits);
  const typing = part("slide").hasAttribute("aria-invalid") || (document.activeElement === part("slide") && !lays.busy);
  for (const one of all("[data-show]")) {
    const text = String(answer[one.dataset.show ?? ""] ?? "");
    if (one instanceof HTMLInputElement) one.value = typing ? one.value : text;
    else setText(one, figure(text));
  }
  for (const face of ["deck", "bottom"])
    all(`[data-off="${face}"]`).forEach((cell, n) => setText(cell, answer[face][n]));
  for (const n of [1, 2]) all(`[data-part="${n}"]`).forEach((cell, end) => (cell.textContent = answer.parts[end][n]));
  const drop = 90 - (80 * (answer.minutes_exact - lying.low)) / (lying.high - lying.low);
  for (const dot of all(".hand")) {
    dot.setAttribute("visibility", answer.minutes_exact === null ? "hidden" : "visible");
    if (answer.minutes_exact !== null) dot.setAttribute("cy", `${drop}%`);
  }
  for (const one of all(`[data-at="nose_percent"]`)) one.setAttribute("x", `${answer.nose_percent}%`);
  part("slider").setAttribute("aria-valuetext", `${figure(answer.slide)} ${start.unit}, ${answer.minutes} ${words.minutes}`);
}

/** @param {number} times */
function setTall(times) {
  tall = times;
  const box = /** @type {HTMLElement} */ (document.querySelector(".lying"));
  const { length = "1", top = "0", height = "1" } = box.dataset;
  const side = /** @type {SVGSVGElement} */ (box.querySelector(".side"));
  side.setAttribute("viewBox", `0 ${Number(top) * times} ${length} ${Number(height) * times}`);
  side.querySelector(".heights")?.setAttribute("transform", `scale(1 ${times})`);
  for (const input of all(`[name="tall"]`)) /** @type {HTMLInputElement} */ (input).checked = Number(/** @type {HTMLInputElement} */ (input).value) === times;
  all("[data-scale]")[0].textContent = words[`scale-${times}`];
  // Hatching is drawn at one size on the screen, however long the blank and however tall its heights.
  const pixel = Number(length) / (side.getBoundingClientRect().width || 1000);
  for (const [id, angle] of [["hatch-deck", 45], ["hatch-bottom", -45]])
    part(String(id)).setAttribute("patternTransform", `scale(1 ${1 / times}) rotate(${angle}) scale(${0.75 * pixel})`);
}
addEventListener("resize", () => lying && setTall(tall));

/* What follows once the hand lets go: the surface, the strokes. */

let resting = 0;
function settleSoon() {
  clearTimeout(resting);
  resting = window.setTimeout(settle, 150);
}
function settle() {
  const wish = { ...state };
  const at = new URLSearchParams({ blank: state.blank });
  if (state.slide !== null) at.set("slide", `${state.slide.toFixed(6)} m`);
  history.replaceState(null, "", `?${at}`);
  offs.ask(wish);
  strokes.ask(wish);
}

const offs = new Newest("/plan/live/off", (answer, wish) => {
  part("off").innerHTML = answer.html;
  wireOff();
  if (wish.slide === state.slide && wish.blank === state.blank && answer.laid) showLaid(answer.laid);
}, ["off"]);
const strokes = new Newest("/plan/live/strokes", (answer) => (part("strokes").innerHTML = answer.html), ["strokes"]);

function wireOff() {
  const figure = /** @type {HTMLElement|null} */ (document.querySelector(".round"));
  const over = /** @type {HTMLElement|null} */ (document.querySelector(".over"));
  if (!figure || !over) return;
  const surface = showSurface(figure, words.round);
  const out = /** @type {HTMLElement} */ (document.querySelector("[data-under]"));
  const cross = /** @type {SVGElement} */ (over.querySelector(".cross"));
  const half = Math.max(...surface.half);
  over.addEventListener("pointermove", (event) => {
    const box = over.getBoundingClientRect();
    const across = (event.clientX - box.left) / box.width, down = (event.clientY - box.top) / box.height;
    const x = across * surface.length, y = (0.5 - down) * (2 * half + 0.006);
    const face = y >= 0 ? "deck" : "bottom", depth = depthAt(surface, x, y, face);
    cross.style.visibility = depth === null ? "hidden" : "visible";
    for (const [one, name, at] of /** @type {[string, string, number][]} */ ([["across", "x", across], ["along", "y", down]]))
      for (const n of [1, 2]) cross.querySelector(`.${one}`)?.setAttribute(name + n, `${100 * at}%`);
    setText(out, depth === null ? words.outside : words.off
      .replace("{depth}", written(depth)).replace("{face}", words[face])
      .replace("{along}", written(x, inches ? 4 : 1)).replace("{aside}", written(Math.abs(y), inches ? 4 : 1)));
  });
  over.addEventListener("pointerleave", () => {
    cross.style.visibility = "hidden";
    out.textContent = words.outside;
  });
}

/* Lengths as a person says them. */

/** A figure to be shown, with its decimals as the page's language writes them; a field takes a point. @param {string} text */
function figure(text) {
  const point = (1.1).toLocaleString(document.documentElement.lang)[1];
  return text.replace(/(\d)\.(?=\d)/g, `$1${point}`);
}

/** A text with its fractions set as fractions, as the shop's pages have them. @param {HTMLElement} here @param {string} text */
function setText(here, text) {
  if (here.dataset.text === text) return;
  here.dataset.text = text;
  here.replaceChildren(...text.split(/(\b\d{1,3}\/\d{1,3}\b)/).map((piece, n) => {
    if (n % 2 === 0) return piece;
    const [over, under] = piece.split("/");
    const fraction = document.createElement("span"), top = document.createElement("sup"), foot = document.createElement("sub");
    fraction.className = "fraction";
    top.textContent = over;
    foot.textContent = under;
    fraction.append(top, "/", foot);
    return fraction;
  }));
}

/** @param {number} metres @param {number} parts of an inch; or 1 for whole millimetres */
function written(metres, parts = 32) {
  if (!inches) return figure(`${(metres * 1000).toFixed(parts === 1 ? 0 : 1)} mm`);
  let steps = Math.round((metres / 0.0254) * parts), under = parts;
  while (steps && steps % 2 === 0 && under > 1) [steps, under] = [steps / 2, under / 2];
  const whole = Math.floor(steps / under), rest = steps - whole * under;
  return `${whole || !rest ? whole : ""}${whole && rest ? " " : ""}${rest ? `${rest}/${under}` : ""} in`;
}

/** Metres that a person wrote, or null. @param {string} text */
function lengthOf(text) {
  const found = /^\s*(\d+(?:\.\d*)?|\.\d+)?(?:(?:^|[\s-]+)(\d+)\/(\d+))?\s*(mm|cm|m|in|")?\s*$/.exec(text.replace(",", "."));
  if (!found || (found[1] === undefined && found[2] === undefined)) return null;
  const value = Number(found[1] ?? 0) + (found[2] ? Number(found[2]) / Number(found[3]) : 0);
  const unit = { mm: 0.001, cm: 0.01, m: 1, in: 0.0254, '"': 0.0254 }[found[4] ?? ""] ?? UNIT;
  return Number.isFinite(value) ? value * unit : null;
}

/* Begin. */

document.documentElement.classList.add("scripted");
// The page is painted before it is wired: the wiring asks for sizes, and so would lay everything out at once.
await new Promise((go) => (requestAnimationFrame(() => setTimeout(go)), setTimeout(go, 1000)));
const first = /** @type {SVGElement|null} */ (document.querySelector(".moves"));
if (first) [, , tilt, , , , lift] = (first.getAttribute("transform") ?? "").split(/[( )]/);
wireLay();
wireOff();
if (new URLSearchParams(location.search).has("slide")) state.slide = start.slide;
const bare = (/** @type {string} */ id) => Boolean(document.querySelector(`#${id} > .waiting`));
if (bare("stock")) stock.ask({ ...state });
if (state.blank && bare("lay")) blanks.ask({ ...state });
else if (state.blank && (bare("off") || bare("strokes"))) settle();
bringBack();
