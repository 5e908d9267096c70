// @ts-check
/** What comes off, in the round: a small WebGL2 view, and the numbers behind it for the value under the pointer. */

/**
 * @typedef {object} Surface
 * @property {number} n stations along
 * @property {number} k places across the half-width
 * @property {number} length metres
 * @property {Float32Array} half (n) half-widths, metres
 * @property {Float32Array} bottom (n*k) heights of the finished bottom
 * @property {Float32Array} deck (n*k) heights of the finished deck
 * @property {Float32Array} bottomOff (n*k) what comes off the bottom
 * @property {Float32Array} deckOff (n*k) what comes off the deck
 */

const QUANTUM = 0.02e-3;
const CIVIDIS =
  "fee838f0d846dec958cdbb63bcae6caba0729b94768c88787d7c786f707361656f535a6d434e6c32436d1a386f002e6a00224e";

/** @param {string} text @param {number} length @returns {Surface} */
export function readSurface(text, length) {
  const bytes = Uint8Array.from(atob(text), (sign) => sign.charCodeAt(0));
  const numbers = new Int16Array(bytes.buffer);
  const [n, k] = numbers;
  let at = 2;
  const take = (/** @type {number} */ count) => {
    at += count;
    return Float32Array.from(numbers.subarray(at - count, at), (value) => value * QUANTUM);
  };
  return {
    n, k, length,
    half: take(n),
    bottom: take(n * k), deck: take(n * k), bottomOff: take(n * k), deckOff: take(n * k),
  };
}

/** Stations crowd towards both tips. @param {Surface} s @param {number} i */
const station = (s, i) => 0.5 * s.length * (1 - Math.cos((Math.PI * i) / (s.n - 1)));

/**
 * The depth that comes off at a place, or null outside the outline.
 * @param {Surface} s @param {number} x metres from the tail @param {number} y metres from the stringer
 * @param {"deck"|"bottom"} face
 */
export function depthAt(s, x, y, face) {
  if (!(x >= 0 && x <= s.length)) return null;
  const i = Math.min(Math.floor((Math.acos(1 - (2 * x) / s.length) / Math.PI) * (s.n - 1)), s.n - 2);
  const near = station(s, i), part = (x - near) / (station(s, i + 1) - near);
  const edge = s.half[i] + part * (s.half[i + 1] - s.half[i]);
  if (Math.abs(y) > edge || edge <= 0) return null;
  // Places across crowd towards the rail by the sine of an even angle.
  const share = Math.abs(y) / edge;
  const j = Math.min(Math.floor((Math.asin(share) / (Math.PI / 2)) * (s.k - 1)), s.k - 2);
  const low = Math.sin((j / (s.k - 1)) * Math.PI / 2), high = Math.sin(((j + 1) / (s.k - 1)) * Math.PI / 2);
  const over = (share - low) / (high - low);
  const values = face === "deck" ? s.deckOff : s.bottomOff;
  const at = (/** @type {number} */ row) =>
    values[row * s.k + j] + over * (values[row * s.k + j + 1] - values[row * s.k + j]);
  return at(i) + part * (at(i + 1) - at(i));
}

const VERTEX = `#version 300 es
in vec4 place; uniform vec4 turn; uniform vec2 scale; out float off;
void main() {
  float x = turn.x * place.x - turn.y * place.y, y = turn.y * place.x + turn.x * place.y;
  off = place.w;
  gl_Position = vec4(x * scale.x, (place.z * turn.z + y * turn.w) * scale.y, 0.3 * (y * turn.z - place.z * turn.w), 1.);
}`;
const FRAGMENT = `#version 300 es
precision highp float;
in float off; uniform float most, step_m; uniform vec3 colours[17]; out vec4 colour;
void main() {
  float at = clamp(off / most, 0., 1.) * 16.; int i = min(int(at), 15);
  vec3 tint = mix(colours[i], colours[i + 1], at - float(i));
  float level = off / step_m, near = abs(fract(level - .5) - .5) / fwidth(level);
  float line = off < most + .5 * step_m ? 1. - clamp(near - .2, 0., 1.) : 0.;
  colour = vec4(mix(tint, vec3(.063, .141, .169), .8 * line), 1.);
}`;

/** @param {Surface} s */
function mesh(s) {
  const places = [], triangles = [];
  const middle = (Math.min(...s.bottom) + Math.max(...s.deck)) / 2;
  for (const [heights, offs] of [[s.deck, s.deckOff], [s.bottom, s.bottomOff]])
    for (const side of [1, -1]) {
      const first = places.length / 4;
      for (let i = 0; i < s.n; i++)
        for (let j = 0; j < s.k; j++) {
          const at = i * s.k + j, y = side * s.half[i] * Math.sin((j / (s.k - 1)) * Math.PI / 2);
          places.push(station(s, i) - s.length / 2, y, heights[at] - middle, offs[at]);
          if (i && j) {
            const d = first + at;
            triangles.push(d, d - 1, d - s.k, d - 1, d - s.k - 1, d - s.k);
          }
        }
    }
  return { places: new Float32Array(places), triangles: new Uint16Array(triangles) };
}

/** @param {WebGL2RenderingContext} gl @param {number} kind @param {string} text */
function shader(gl, kind, text) {
  const made = /** @type {WebGLShader} */ (gl.createShader(kind));
  gl.shaderSource(made, text);
  gl.compileShader(made);
  return made;
}

/** The angles last turned to, kept while numbers change. */
const turned = { yaw: -0.42, pitch: 0.6 };

/**
 * Show the surface in a figure, over its plain picture; the picture stays where there is no WebGL2.
 * @param {HTMLElement} figure @param {string} words what a screen reader calls it
 * @returns {Surface}
 */
export function showSurface(figure, words) {
  const { surface = "", length = "0", most = "1", step = "1" } = figure.dataset;
  const s = readSurface(surface, Number(length));
  const canvas = document.createElement("canvas");
  const gl = canvas.getContext("webgl2", { antialias: true });
  if (!gl) return s;
  const program = gl.createProgram();
  gl.attachShader(program, shader(gl, gl.VERTEX_SHADER, VERTEX));
  gl.attachShader(program, shader(gl, gl.FRAGMENT_SHADER, FRAGMENT));
  gl.linkProgram(program);
  if (!gl.getProgramParameter(program, gl.LINK_STATUS)) return s;
  gl.useProgram(program);
  const { places, triangles } = mesh(s);
  gl.bindBuffer(gl.ARRAY_BUFFER, gl.createBuffer());
  gl.bufferData(gl.ARRAY_BUFFER, places, gl.STATIC_DRAW);
  gl.bindBuffer(gl.ELEMENT_ARRAY_BUFFER, gl.createBuffer());
  gl.bufferData(gl.ELEMENT_ARRAY_BUFFER, triangles, gl.STATIC_DRAW);
  const place = gl.getAttribLocation(program, "place");
  gl.enableVertexAttribArray(place);
  gl.vertexAttribPointer(place, 4, gl.FLOAT, false, 0, 0);
  const at = (/** @type {string} */ name) => gl.getUniformLocation(program, name);
  gl.uniform1f(at("most"), Number(most));
  gl.uniform1f(at("step_m"), Number(step));
  gl.uniform3fv(at("colours"), (CIVIDIS.match(/../g) ?? []).map((two) => parseInt(two, 16) / 255));
  gl.enable(gl.DEPTH_TEST);

  const widest = 2 * Math.max(...s.half);
  let waiting = false;
  const draw = () => {
    waiting = false;
    const ratio = Math.min(devicePixelRatio || 1, 2);
    const width = Math.round(canvas.clientWidth * ratio), height = Math.round(canvas.clientHeight * ratio);
    if (!width || !height) return;
    if (canvas.width !== width || canvas.height !== height) Object.assign(canvas, { width, height });
    gl.viewport(0, 0, width, height);
    gl.clearColor(0, 0, 0, 0);
    gl.clear(gl.COLOR_BUFFER_BIT | gl.DEPTH_BUFFER_BIT);
    const { yaw, pitch } = turned;
    gl.uniform4f(at("turn"), Math.cos(yaw), Math.sin(yaw), Math.cos(pitch), Math.sin(pitch));
    const span = Math.hypot(Math.cos(yaw) * s.length, Math.sin(yaw) * widest);
    const rise = Math.hypot(Math.sin(yaw) * s.length, Math.cos(yaw) * widest) * Math.abs(Math.sin(pitch)) + 0.15;
    const scale = Math.min(1.9 / span, (1.8 * height) / width / rise);
    gl.uniform2f(at("scale"), scale, (scale * width) / height);
    gl.drawElements(gl.TRIANGLES, triangles.length, gl.UNSIGNED_SHORT, 0);
  };
  const redraw = () => {
    if (!waiting) requestAnimationFrame(draw);
    waiting = true;
  };
  const turn = (/** @type {number} */ yaw, /** @type {number} */ pitch) => {
    turned.yaw += yaw;
    turned.pitch = Math.max(-1.5, Math.min(1.5, turned.pitch + pitch));
    redraw();
  };
  canvas.tabIndex = 0;
  canvas.setAttribute("role", "img");
  canvas.setAttribute("aria-label", words);
  canvas.addEventListener("pointerdown", (event) => canvas.setPointerCapture(event.pointerId));
  canvas.addEventListener("pointermove", (event) => {
    if (canvas.hasPointerCapture(event.pointerId)) turn(event.movementX * 0.008, event.movementY * 0.008);
  });
  canvas.addEventListener("keydown", (event) => {
    const by = { ArrowLeft: [-0.1, 0], ArrowRight: [0.1, 0], ArrowUp: [0, -0.1], ArrowDown: [0, 0.1] }[event.key];
    if (!by) return;
    event.preventDefault();
    turn(by[0], by[1]);
  });
  new ResizeObserver(redraw).observe(canvas);
  figure.querySelector(".plain-picture")?.setAttribute("hidden", "");
  figure.prepend(canvas);
  return s;
}
