// @ts-check
/** What comes off, on the wall: the depth under the pointer, and the board in the round. */

import { depthAt, showSurface } from "./surface.js";

/** @param {HTMLElement} wall @param {Record<string, string>} words */
export function wireOff(wall, words) {
  const figure = /** @type {HTMLElement|null} */ (wall.querySelector(".round"));
  const over = /** @type {HTMLElement|null} */ (wall.querySelector(".over"));
  if (!figure || !over || figure.dataset.wired !== undefined) return;
  figure.dataset.wired = "";
  const inches = figure.dataset.unit === "in";
  const surface = showSurface(figure, words.round);
  const out = /** @type {HTMLElement} */ (wall.querySelector("[data-under]"));
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
    out.textContent = depth === null ? words.outside : words.off
      .replace("{depth}", written(depth, inches)).replace("{face}", words[face])
      .replace("{along}", written(x, inches, 4)).replace("{aside}", written(Math.abs(y), inches, 4));
  });
  over.addEventListener("pointerleave", () => {
    cross.style.visibility = "hidden";
    out.textContent = words.outside;
  });
}

/** @param {number} metres @param {boolean} inches @param {number} parts of an inch */
function written(metres, inches, parts = 32) {
  const point = (1.1).toLocaleString(document.documentElement.lang)[1];
  if (!inches) return `${(metres * 1000).toFixed(parts === 4 ? 0 : 1)} mm`.replace(".", point);
  let steps = Math.round((metres / 0.0254) * parts), under = parts;
  while (steps && steps % 2 === 0 && under > 1) [steps, under] = [steps / 2, under / 2];
  const whole = Math.floor(steps / under), rest = steps - whole * under;
  return `${whole || !rest ? whole : ""}${whole && rest ? " " : ""}${rest ? `${rest}/${under}` : ""} in`;
}
