// @ts-check
/** A number as it is typed: whole inches and sixteenths (and half of one), or millimetres. */

/** @typedef {{whole: string, mark: number | null, half: boolean}} Typed */

/** @returns {Typed} */
export const nothing = () => ({ whole: "", mark: null, half: false });

/** @type {(a: number, b: number) => number} */
const divisor = (a, b) => (b ? divisor(b, a % b) : a);

/** @param {number} parts @param {number} of */
function fraction(parts, of) {
  const common = divisor(parts, of);
  return [parts / common, of / common];
}

/** @param {Typed} typed @param {string} key @param {string} unit @returns {Typed} */
export function press(typed, key, unit) {
  if (key === "rub") return rubbed(typed);
  if (key === "half") return { ...typed, half: !typed.half };
  if (key.startsWith("m")) return { ...typed, mark: Number(key.slice(1)) };
  if (key === ".") return typed.whole.includes(".") ? typed : { ...typed, whole: `${typed.whole || "0"}.` };
  const most = unit === "in" ? /^\d{0,2}$/ : /^\d{0,4}(\.\d?)?$/;
  const whole = (typed.whole === "0" ? "" : typed.whole) + key;
  return most.test(whole) ? { ...typed, whole } : typed;
}

/** The last thing typed goes first. @param {Typed} typed @returns {Typed} */
function rubbed(typed) {
  if (typed.half) return { ...typed, half: false };
  if (typed.mark !== null) return { ...typed, mark: null };
  return { ...typed, whole: typed.whole.slice(0, -1) };
}

/** @param {Typed} typed */
export const isEmpty = (typed) => typed.whole === "" && typed.mark === null && !typed.half;

/** @param {Typed} typed @param {string} unit @returns {number} metres */
export function metres(typed, unit) {
  if (unit === "mm") return Number(typed.whole) / 1000;
  return ((Number(typed.whole) * 32 + (typed.mark ?? 0) * 2 + (typed.half ? 1 : 0)) * 254) / 320000;
}

/** @param {number} value metres @param {string} unit @returns {Typed} */
export function typedFrom(value, unit) {
  if (unit === "mm") return { whole: String(Math.max(0, Math.round(value * 2000) / 2)), mark: null, half: false };
  const steps = Math.max(0, Math.round((value * 320000) / 254));
  return { whole: String(Math.floor(steps / 32)), mark: Math.floor((steps % 32) / 2), half: steps % 2 === 1 };
}

/** Whole part, numerator and denominator; no fraction: empty. @param {Typed} typed */
export function parts(typed) {
  const thirtySeconds = (typed.mark ?? 0) * 2 + (typed.half ? 1 : 0);
  const [over, under] = thirtySeconds ? fraction(thirtySeconds, 32).map(String) : ["", ""];
  if (over) return { whole: Number(typed.whole) ? typed.whole : "", over, under };
  return { whole: typed.whole || (typed.mark === null ? "" : "0"), over, under };
}

/** As the shop is told it, with a point. @param {Typed} typed @param {string} unit */
export function written(typed, unit) {
  const { whole, over, under } = parts(typed);
  return `${[whole, over && `${over}/${under}`].filter(Boolean).join(" ") || "0"} ${unit}`;
}

/** A length in words, to the nearest mark. @param {number} value metres @param {string} unit @param {string} [point] */
export function said(value, unit, point = ".") {
  if (unit === "mm") return `${(value * 1000).toFixed(1).replace(".", point)} mm`;
  return written(typedFrom(value, unit), unit);
}

/** One mark more or less. @param {Typed} typed @param {number} steps @param {string} unit */
export function nudged(typed, steps, unit) {
  const step = unit === "mm" ? 0.0005 : 0.0254 / 32;
  return typedFrom(Math.max(0, metres(typed, unit) + steps * step), unit);
}
