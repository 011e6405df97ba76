'use strict';
// The client's page: turns, opens, takes apart, cuts and measures the model that stands in the page as JSON.
// Lengths are mm and the room's axes are x across, y to the rear, z up. Nothing is fetched, but for a page that
// follows a file. All words go in as text, never as markup.
(() => {

/* Vectors and frames -------------------------------------------------------------------------------- */

const add = (a, b) => [a[0] + b[0], a[1] + b[1], a[2] + b[2]];
const sub = (a, b) => [a[0] - b[0], a[1] - b[1], a[2] - b[2]];
const times = (a, s) => [a[0] * s, a[1] * s, a[2] * s];
const dot = (a, b) => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
const cross = (a, b) => [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]];
const length = a => Math.hypot(a[0], a[1], a[2]);
const unit = a => times(a, 1 / (length(a) || 1));
const clamp = (v, low, high) => Math.max(low, Math.min(high, v));

// A frame is where x, y and z go, and the origin: [x, y, z, o].
const STILL = [[1, 0, 0], [0, 1, 0], [0, 0, 1], [0, 0, 0]];
const along = (f, v) => add(add(times(f[0], v[0]), times(f[1], v[1])), times(f[2], v[2]));
const point = (f, p) => add(along(f, p), f[3]);
const within = (f, outer) => [along(outer, f[0]), along(outer, f[1]), along(outer, f[2]), point(outer, f[3])];
const localWay = (f, v) => [dot(f[0], v), dot(f[1], v), dot(f[2], v)];
const localPoint = (f, p) => localWay(f, sub(p, f[3]));
const shifted = (f, by) => [f[0], f[1], f[2], add(f[3], by)];

function turnedAbout(axis, degrees, about) {
  const c = Math.cos(degrees * Math.PI / 180), s = Math.sin(degrees * Math.PI / 180);
  const turn = v => add(add(times(v, c), times(cross(axis, v), s)), times(axis, dot(axis, v) * (1 - c)));
  const f = [turn([1, 0, 0]), turn([0, 1, 0]), turn([0, 0, 1]), [0, 0, 0]];
  return shifted(f, sub(about, along(f, about)));
}

/* The model ----------------------------------------------------------------------------------------- */

const model = JSON.parse(document.getElementById('model').textContent);

function numbers(base64, Kind) {
  const text = atob(base64), bytes = new Uint8Array(text.length);
  for (let i = 0; i < text.length; i++) bytes[i] = text.charCodeAt(i);
  return new Kind(bytes.buffer);
}

function box(points) {
  const low = [Infinity, Infinity, Infinity], high = [-Infinity, -Infinity, -Infinity];
  for (const p of points) for (let k = 0; k < 3; k++) {
    if (p[k] < low[k]) low[k] = p[k];
    if (p[k] > high[k]) high[k] = p[k];
  }
  return [low, high];
}

const corners = ([low, high]) =>
  [0, 1, 2, 3, 4, 5, 6, 7].map(i => [i & 1 ? high[0] : low[0], i & 2 ? high[1] : low[1], i & 4 ? high[2] : low[2]]);

const meshes = model.meshes.map(m => {
  const Kind = m.wide ? Uint32Array : Uint16Array, flat = numbers(m.points, Float32Array), points = [];
  for (let i = 0; i < flat.length; i += 3) points.push([flat[i], flat[i + 1], flat[i + 2]]);
  const made = {points, triangles: numbers(m.triangles, Kind), edges: numbers(m.edges, Kind), faces: m.faces};
  made.box = points.length ? box(points) : null;
  return made;
});
const parts = model.parts.map((p, number) => ({...p, number, mesh: meshes[p.mesh], body: -1, module: -1, at: p.frame}))
  .map(p => ({...p, hidden: !p.mesh.box}));
const shown = () => parts.filter(p => !p.hidden && p.mesh.box);
model.bodies.forEach((b, k) => b.parts.forEach(p => { if (parts[p].body < 0) parts[p].body = k; }));
model.modules.forEach((m, k) => m.parts.forEach(p => { parts[p].module = k; }));
const light = hex => [1, 3, 5].map(k => Math.pow(parseInt(hex.slice(k, k + 2), 16) / 255, 2.2));

const state = {
  open: model.bodies.map(() => 0), openTo: model.bodies.map(() => 0), apart: 0, apartTo: 0,
  cut: '', cutAt: 0.5, cutOther: false, measuring: false, points: [], near: null, facing: null,
  selected: -1, sizes: true, units: model.units,
};

function motion(body, share) {
  if (!share) return STILL;
  if (body.toward) return shifted(STILL, times(body.toward, body.travel * share));
  return turnedAbout(body.axis, body.by * share, body.about);
}

function place() {
  const moves = model.bodies.map((b, k) => motion(b, state.open[k]));
  const away = parts.map(() => [0, 0, 0]);
  model.steps.forEach((step, k) => {
    const share = clamp(state.apart - k, 0, 1);
    if (share) for (const p of step.parts) away[p] = add(away[p], times(step.by, share));
  });
  parts.forEach((p, i) => {
    p.at = shifted(p.body < 0 ? p.frame : within(p.frame, moves[p.body]), away[i]);
  });
}

const cornersOf = (p, at) => corners(p.mesh.box).map(c => point(at, c));
const standing = parts.filter(p => p.mesh.box);
const whole = standing.length ? box(standing.flatMap(p => p.mesh.points.map(q => point(p.frame, q)))) : [[0, 0, 0], [1, 1, 1]];
const middle = times(add(whole[0], whole[1]), 0.5), radius = length(sub(whole[1], whole[0])) / 2 || 1;

/* Sizes in words ------------------------------------------------------------------------------------ */

function show(mm) {
  if (state.units === 'mm') return (Math.round(mm * 10) / 10 + 0).toFixed(1).replace(/\.0$/, '') + ' mm';
  const n = Math.round(Math.abs(mm) / 25.4 * 64), whole = Math.floor(n / 64);
  let top = n % 64, below = 64;
  while (top && top % 2 === 0) { top /= 2; below /= 2; }
  const text = (whole || !top ? String(whole) : '') + (top ? (whole ? ' ' : '') + top + '/' + below : '');
  return (Math.abs(Math.abs(mm) - n * 25.4 / 64) < 1e-3 ? '' : '~') + text + ' in';
}

const sizes = p => p.size.map(show).join(' x ');
const spoken = name => name.replace(/\./g, ', ').replace(/_/g, ' ');

/* The page ------------------------------------------------------------------------------------------ */

const byId = id => document.getElementById(id);

function element(tag, given = {}, ...children) {
  const made = document.createElement(tag);
  for (const [key, value] of Object.entries(given)) {
    if (key.startsWith('on')) made.addEventListener(key.slice(2), value);
    else if (key in made) made[key] = value;
    else made.setAttribute(key, value);
  }
  made.append(...children);
  return made;
}

const stage = byId('stage'), canvas = element('canvas', {id: 'canvas', tabIndex: 0});
canvas.setAttribute('role', 'application');
canvas.setAttribute('aria-roledescription', '3D model');
canvas.setAttribute('aria-label', document.title);
canvas.setAttribute('aria-describedby', 'keys');
const gl = canvas.getContext('webgl2', {antialias: !slowDriver(), stencil: true, alpha: false});
if (!gl) {
  byId('why').textContent = 'This browser shows no 3D; here is a picture, and all sizes are in the text.';
  follow();
  return;
}

function slowDriver() {
  const probe = document.createElement('canvas').getContext('webgl2');
  const told = probe && probe.getExtension('WEBGL_debug_renderer_info');
  const name = told ? String(probe.getParameter(told.UNMASKED_RENDERER_WEBGL)) : '';
  const lose = probe && probe.getExtension('WEBGL_lose_context');
  if (lose) lose.loseContext();
  return /swiftshader|llvmpipe|software|basic render/i.test(name);
}

const SVG = 'http://www.w3.org/2000/svg';
const overlay = document.createElementNS(SVG, 'svg');
overlay.id = 'overlay';
overlay.setAttribute('aria-hidden', 'true');
const say = element('div', {id: 'say', role: 'status'});
const KEYS = 'Arrow keys turn, plus and minus zoom, o opens everything, t takes one part off, shift t puts it back, ' +
  'm measures, h hides the chosen part, a shows all, Escape lets go.';
stage.append(canvas, overlay, say, element('p', {id: 'keys', className: 'unseen', textContent: KEYS}));
byId('still').remove();
document.body.classList.add('turns');

/* Drawing ------------------------------------------------------------------------------------------- */

const PART = `uniform highp sampler2D uParts;
  vec4 row(int part, int k) { return texelFetch(uParts, ivec2(k, part), 0); }
  vec3 placed(int part, vec3 p) {
    return vec3(dot(row(part, 0), vec4(p, 1)), dot(row(part, 1), vec4(p, 1)), dot(row(part, 2), vec4(p, 1)));
  }`;
const CUT = `uniform vec4 uCut; in vec3 vWorld; void cut() { if (dot(vWorld, uCut.xyz) > uCut.w) discard; }`;

function shader(kind, text) {
  const made = gl.createShader(kind);
  gl.shaderSource(made, '#version 300 es\nprecision highp float;\n' + text);
  gl.compileShader(made);
  if (!gl.getShaderParameter(made, gl.COMPILE_STATUS)) throw new Error(gl.getShaderInfoLog(made));
  return made;
}

function program(vertex, fragment) {
  const made = gl.createProgram();
  gl.attachShader(made, shader(gl.VERTEX_SHADER, vertex));
  gl.attachShader(made, shader(gl.FRAGMENT_SHADER, fragment));
  gl.linkProgram(made);
  if (!gl.getProgramParameter(made, gl.LINK_STATUS)) throw new Error(gl.getProgramInfoLog(made));
  const at = {};
  for (let i = 0; i < gl.getProgramParameter(made, gl.ACTIVE_UNIFORMS); i++) {
    const name = gl.getActiveUniform(made, i).name;
    at[name] = gl.getUniformLocation(made, name);
  }
  return {made, at};
}

const faces = program(`
  layout(location = 0) in vec3 aPoint; layout(location = 1) in vec3 aNormal; layout(location = 2) in float aPart;
  ${PART}
  uniform mat4 uView; out vec3 vWorld, vNormal, vBench; flat out vec4 vWood; flat out vec3 vAlong; flat out float vSeed;
  void main() {
    int part = int(aPart);
    vWood = row(part, 3);
    vec3 r0 = row(part, 0).xyz, r1 = row(part, 1).xyz, r2 = row(part, 2).xyz;
    vWorld = placed(part, aPoint);
    vNormal = vec3(dot(r0, aNormal), dot(r1, aNormal), dot(r2, aNormal));
    vAlong = vec3(r0.x, r1.x, r2.x);
    vBench = aPoint;
    vSeed = aPart * 37.0;
    gl_Position = vWood.a < 0.0 ? vec4(0, 0, 2, 1) : uView * vec4(vWorld, 1);
  }`, `
  ${CUT}
  in vec3 vNormal, vBench; flat in vec4 vWood; flat in vec3 vAlong; flat in float vSeed;
  uniform vec3 uEye; uniform float uGrain, uNight; uniform vec3 uChosen; out vec4 oColour;
  float hash(vec2 p) { p = fract(p * vec2(0.1031, 0.1137)); p += dot(p, p.yx + 33.33); return fract((p.x + p.y) * p.x); }
  float noise(vec2 p) {
    vec2 i = floor(p), f = fract(p); f = f * f * (3.0 - 2.0 * f);
    return mix(mix(hash(i), hash(i + vec2(1, 0)), f.x), mix(hash(i + vec2(0, 1)), hash(i + vec2(1, 1)), f.x), f.y);
  }
  void main() {
    cut();
    vec3 normal = normalize(vNormal);
    if (!gl_FrontFacing) normal = -normal;
    float sun = max(dot(normal, normalize(vec3(0.34, -0.46, 0.82))), 0.0);
    float lit = 0.66 * sun + 0.50 * (0.45 + 0.55 * (0.5 + 0.5 * normal.z)) + 0.22 * max(dot(normal, uEye), 0.0);
    vec3 wood = vWood.rgb;
    float end = abs(dot(normal, vAlong));
    float grain = floor(vWood.a) / 64.0;
    if (uGrain > 0.0 && grain > 0.0) {
      float across = vBench.y + 0.35 * vBench.z + vSeed;
      float wander = noise(vec2(vBench.x / 700.0, across / 54.0) + 500.0);
      float bands = noise(vec2(vBench.x / 700.0, across / 9.0 + 1.5 * wander) + 900.0);
      float fibres = noise(vec2(vBench.x / 60.0, across / 1.1) + 1300.0);
      wood *= 1.0 - 0.26 * grain * (0.62 * bands + 0.38 * fibres - 0.5) * (1.0 - end);
    }
    wood *= 1.0 - 0.18 * pow(end, 4.0);
    vec3 colour = wood * lit * mix(1.0, 0.72, uNight);
    if (fract(vWood.a) > 0.25) colour = mix(colour, uChosen, 0.45);
    oColour = vec4(pow(colour, vec3(1.0 / 2.2)), 1);
  }`);

const lines = program(`
  layout(location = 0) in vec3 aFrom; layout(location = 1) in vec3 aTo; layout(location = 2) in float aPart;
  ${PART}
  uniform mat4 uView; uniform vec2 uSize; uniform float uWide; out vec3 vWorld;
  void main() {
    int part = int(aPart);
    vec3 from = placed(part, aFrom), to = placed(part, aTo);
    bool first = (gl_VertexID & 1) == 0;
    vWorld = first ? from : to;
    vec4 a = uView * vec4(from, 1), b = uView * vec4(to, 1);
    vec2 way = (b.xy / b.w - a.xy / a.w) * uSize;
    float far = length(way);
    vec2 side = far > 1e-6 ? vec2(-way.y, way.x) / far : vec2(0, 1);
    vec4 at = first ? a : b;
    at.xy += side * (gl_VertexID < 2 ? -1.0 : 1.0) * uWide / uSize * at.w;
    at.z -= at.w * 3e-5;
    gl_Position = row(part, 3).a < 0.0 ? vec4(0, 0, 2, 1) : at;
  }`, `${CUT} uniform vec4 uInk; out vec4 oColour; void main() { cut(); oColour = uInk; }`);

const caps = program(`
  layout(location = 0) in vec3 aPoint; uniform mat4 uView; out vec3 vWorld;
  void main() { vWorld = aPoint; gl_Position = uView * vec4(aPoint, 1); }`, `
  in vec3 vWorld; uniform vec3 uColour; uniform float uPitch; out vec4 oColour;
  void main() { oColour = vec4(uColour * (fract((vWorld.x + vWorld.y + vWorld.z) / uPitch) < 0.16 ? 0.7 : 1.0), 1); }`);

// A round face shares its normals at each point; the angle at a corner weighs, not the size of the triangle.
function normalsOf(mesh) {
  const out = new Float32Array(mesh.triangles.length * 3), t = mesh.triangles, P = mesh.points;
  for (const [start, count, round] of mesh.faces) {
    const shared = new Map();
    for (let k = start; k < start + count; k++) {
      const [a, b, c] = [P[t[3 * k]], P[t[3 * k + 1]], P[t[3 * k + 2]]], own = unit(cross(sub(b, a), sub(c, a)));
      for (let j = 0; j < 3; j++) {
        const [p, q, r] = [[a, b, c], [b, c, a], [c, a, b]][j], at = t[3 * k + j];
        const angle = Math.acos(clamp(dot(unit(sub(q, p)), unit(sub(r, p))), -1, 1));
        if (round) shared.set(at, add(shared.get(at) || [0, 0, 0], times(own, angle)));
        else out.set(own, 9 * k + 3 * j);
      }
    }
    if (round) for (let i = 3 * start; i < 3 * (start + count); i++) out.set(unit(shared.get(t[i])), 3 * i);
  }
  return out;
}

function buffer(values, sizes, divisor) {
  const vertices = gl.createVertexArray(), stride = sizes.reduce((a, b) => a + b) * 4;
  gl.bindVertexArray(vertices);
  gl.bindBuffer(gl.ARRAY_BUFFER, gl.createBuffer());
  gl.bufferData(gl.ARRAY_BUFFER, values, gl.STATIC_DRAW);
  let at = 0;
  sizes.forEach((size, k) => {
    gl.enableVertexAttribArray(k);
    gl.vertexAttribPointer(k, size, gl.FLOAT, false, stride, at);
    if (divisor) gl.vertexAttribDivisor(k, divisor);
    at += size * 4;
  });
  return vertices;
}

// All parts in one buffer, each corner with the number of its part: one call draws them all.
const batch = (() => {
  const normals = new Map(meshes.map(m => [m, normalsOf(m)]));
  const corners = parts.reduce((n, p) => n + p.mesh.triangles.length, 0);
  const ends = parts.reduce((n, p) => n + p.mesh.edges.length / 2, 0);
  const solid = new Float32Array(corners * 7), drawn = new Float32Array(ends * 7);
  let i = 0, j = 0;
  for (const p of parts) {
    const {points, triangles, edges} = p.mesh, n = normals.get(p.mesh);
    p.first = i / 7;
    for (let k = 0; k < triangles.length; k++, i += 7) {
      solid.set(points[triangles[k]], i);
      solid.set(n.subarray(3 * k, 3 * k + 3), i + 3);
      solid[i + 6] = p.number;
    }
    p.count = i / 7 - p.first;
    for (let k = 0; k < edges.length; k += 2, j += 7) {
      drawn.set(points[edges[k]], j);
      drawn.set(points[edges[k + 1]], j + 3);
      drawn[j + 6] = p.number;
    }
  }
  return {solid: buffer(solid, [3, 3, 1]), corners, drawn: buffer(drawn, [3, 3, 1], 1), ends};
})();

const plate = gl.createBuffer(), plateVertices = gl.createVertexArray();
gl.bindVertexArray(plateVertices);
gl.bindBuffer(gl.ARRAY_BUFFER, plate);
gl.enableVertexAttribArray(0);
gl.vertexAttribPointer(0, 3, gl.FLOAT, false, 0, 0);

const table = gl.createTexture(), rows = new Float32Array(Math.max(parts.length, 1) * 16);
gl.bindTexture(gl.TEXTURE_2D, table);
gl.texParameteri(gl.TEXTURE_2D, gl.TEXTURE_MIN_FILTER, gl.NEAREST);
gl.texParameteri(gl.TEXTURE_2D, gl.TEXTURE_MAG_FILTER, gl.NEAREST);
const woods = parts.map(p => light(p.colour));

function tell() {
  parts.forEach((p, k) => {
    const f = p.at, o = 16 * k;
    for (let r = 0; r < 3; r++) rows.set([f[0][r], f[1][r], f[2][r], f[3][r]], o + 4 * r);
    // Whole part of the last number: how plainly the grain shows, of 64; half: the part is chosen; -1: not drawn.
    rows.set([...woods[k], p.hidden ? -1 : Math.round(p.grain * 63) + (k === state.selected ? 0.5 : 0)], o + 12);
  });
  gl.bindTexture(gl.TEXTURE_2D, table);
  gl.texImage2D(gl.TEXTURE_2D, 0, gl.RGBA32F, 4, Math.max(parts.length, 1), 0, gl.RGBA, gl.FLOAT, rows);
}

/* The camera ---------------------------------------------------------------------------------------- */

const FIELD = 0.5, EASE = matchMedia('(prefers-reduced-motion: reduce)').matches ? 1 : 0.24;
const camera = {turn: -0.6, rise: 0.36, far: radius * 3, at: middle.slice()}, aim = {...camera, at: middle.slice()};
let view = null, wide = 1, high = 1;

function axes(c) {
  const back = [Math.sin(c.turn) * Math.cos(c.rise), -Math.cos(c.turn) * Math.cos(c.rise), Math.sin(c.rise)];
  const right = [Math.cos(c.turn), Math.sin(c.turn), 0];
  return {back, right, up: cross(back, right)};
}

function look() {
  const {back, right, up} = axes(camera), eye = add(camera.at, times(back, camera.far));
  const near = Math.max(camera.far - 12 * radius, camera.far * 0.02), far = camera.far + 12 * radius;
  const tall = 1 / Math.tan(FIELD / 2), across = tall * high / wide, a = (far + near) / (near - far);
  const b = 2 * far * near / (near - far), e = [-dot(right, eye), -dot(up, eye), -dot(back, eye)];
  view = new Float32Array(16);
  for (let k = 0; k < 3; k++) view.set([right[k] * across, up[k] * tall, back[k] * a, -back[k]], 4 * k);
  view.set([e[0] * across, e[1] * tall, e[2] * a + b, -e[2]], 12);
}

function onScreen(p) {
  const [x, y, , w] = [0, 1, 2, 3].map(k => view[k] * p[0] + view[4 + k] * p[1] + view[8 + k] * p[2] + view[12 + k]);
  return [(x / w * 0.5 + 0.5) * wide, (0.5 - y / w * 0.5) * high, w];
}

function ray(x, y) {
  const {back, right, up} = axes(camera), tall = Math.tan(FIELD / 2);
  const side = times(right, (x / wide * 2 - 1) * tall * wide / high), rise = times(up, (1 - y / high * 2) * tall);
  return {from: add(camera.at, times(back, camera.far)), way: unit(sub(add(side, rise), back))};
}

// The nearest view of everything shown, as it will be when all has come to rest.
function fit() {
  const was = [state.open, state.apart];
  state.open = state.openTo;
  state.apart = state.apartTo;
  place();
  const points = shown().flatMap(p => cornersOf(p, p.at));
  [state.open, state.apart] = was;
  place();
  if (!points.length) return;
  const [low, top] = box(points), tall = Math.tan(FIELD / 2) * 0.84, broad = tall * wide / high;
  const {back, right, up} = axes(aim);
  let at = times(add(low, top), 0.5), far = 0;
  for (let round = 0; round < 3; round++) {
    const q = points.map(p => sub(p, at));
    far = Math.max(...q.map(v => Math.max(Math.abs(dot(v, up)) / tall, Math.abs(dot(v, right)) / broad) + dot(v, back)));
    const x = q.map(v => dot(v, right) / (far - dot(v, back))), y = q.map(v => dot(v, up) / (far - dot(v, back)));
    const half = values => (Math.min(...values) + Math.max(...values)) / 2 * far;
    at = add(at, add(times(right, half(x)), times(up, half(y))));
  }
  aim.at = at;
  aim.far = far;
}

/* One picture --------------------------------------------------------------------------------------- */

let quick = slowDriver(), quickly = false, night = false;
const theme = name => getComputedStyle(document.documentElement).getPropertyValue(name).trim();
const share = hex => [1, 3, 5].map(k => parseInt(hex.slice(k, k + 2), 16) / 255);
let paper = [1, 1, 1], ink = [0, 0, 0], chosen = [0, 0.2, 0.5];

function readTheme() {
  paper = share(theme('--paper'));
  ink = share(theme('--ink'));
  chosen = share(theme('--chosen')).map(c => Math.pow(c, 2.2));
  night = theme('--night') === '1';
  touch();
}

function cutPlane() {
  if (!state.cut) return [0, 0, 0, 1];
  const k = 'xyz'.indexOf(state.cut), n = [0, 0, 0], at = whole[0][k] + (whole[1][k] - whole[0][k]) * state.cutAt;
  n[k] = state.cutOther ? -1 : 1;
  return [...n, n[k] * at];
}

function resize() {
  // A slow machine draws few px while things move, and more than there are once they rest: that smooths edges.
  const r = canvas.getBoundingClientRect(), own = Math.min(devicePixelRatio || 1, 2);
  const ratio = quickly ? 0.75 : quick ? Math.max(own, 1.5) : own;
  wide = Math.max(r.width, 1);
  high = Math.max(r.height, 1);
  const w = Math.max(1, Math.round(wide * ratio)), h = Math.max(1, Math.round(high * ratio));
  if (canvas.width !== w || canvas.height !== h) { canvas.width = w; canvas.height = h; }
  return ratio;
}

function draw() {
  const ratio = resize(), cut = cutPlane(), {back} = axes(camera);
  look();
  place();
  tell();
  gl.viewport(0, 0, canvas.width, canvas.height);
  gl.clearColor(...paper, 1);
  gl.clear(gl.COLOR_BUFFER_BIT | gl.DEPTH_BUFFER_BIT | gl.STENCIL_BUFFER_BIT);
  gl.enable(gl.DEPTH_TEST);
  gl.depthFunc(gl.LEQUAL);
  gl.enable(gl.POLYGON_OFFSET_FILL);
  gl.polygonOffset(1, 1);
  state.cut ? gl.disable(gl.CULL_FACE) : gl.enable(gl.CULL_FACE);
  gl.useProgram(faces.made);
  gl.uniformMatrix4fv(faces.at.uView, false, view);
  gl.uniform4fv(faces.at.uCut, cut);
  gl.uniform3fv(faces.at.uEye, back);
  gl.uniform1f(faces.at.uGrain, quickly ? 0 : 1);
  gl.uniform1f(faces.at.uNight, night ? 1 : 0);
  gl.uniform3fv(faces.at.uChosen, chosen);
  gl.bindVertexArray(batch.solid);
  gl.drawArrays(gl.TRIANGLES, 0, batch.corners);
  gl.disable(gl.POLYGON_OFFSET_FILL);
  gl.disable(gl.CULL_FACE);
  if (state.cut && !quickly) drawCaps(cut);
  if (!quickly || parts.length <= 80) drawLines(cut, ratio);
  drawOverlay();
}

function drawLines(cut, ratio) {
  gl.enable(gl.BLEND);
  gl.blendFunc(gl.SRC_ALPHA, gl.ONE_MINUS_SRC_ALPHA);
  gl.useProgram(lines.made);
  gl.uniformMatrix4fv(lines.at.uView, false, view);
  gl.uniform4fv(lines.at.uCut, [cut[0], cut[1], cut[2], cut[3] + 0.01]);
  gl.uniform2f(lines.at.uSize, canvas.width, canvas.height);
  gl.uniform1f(lines.at.uWide, Math.max(1, 0.9 * ratio));
  gl.uniform4f(lines.at.uInk, 0.09, 0.07, 0.05, 0.7);
  gl.bindVertexArray(batch.drawn);
  gl.drawArraysInstanced(gl.TRIANGLE_STRIP, 0, 4, batch.ends);
  gl.disable(gl.BLEND);
}

// Where the cut goes through a part its back faces are seen once more than its front faces: there the wood is filled.
function drawCaps(cut) {
  const n = cut.slice(0, 3), k = 'xyz'.indexOf(state.cut), s = radius * 12;
  const u = [0, 0, 0], v = [0, 0, 0];
  u[(k + 1) % 3] = 1;
  v[(k + 2) % 3] = 1;
  const centre = add(times(n, cut[3]), add(times(u, dot(middle, u)), times(v, dot(middle, v))));
  const corner = (a, b) => add(centre, add(times(u, a * s), times(v, b * s)));
  const flat = [[-1, -1], [1, -1], [1, 1], [-1, -1], [1, 1], [-1, 1]].flatMap(([a, b]) => corner(a, b));
  gl.bindBuffer(gl.ARRAY_BUFFER, plate);
  gl.bufferData(gl.ARRAY_BUFFER, new Float32Array(flat), gl.DYNAMIC_DRAW);
  gl.enable(gl.STENCIL_TEST);
  for (const p of shown()) {
    const heights = cornersOf(p, p.at).map(c => dot(c, n));
    if (Math.min(...heights) > cut[3] || Math.max(...heights) < cut[3]) continue;
    gl.clear(gl.STENCIL_BUFFER_BIT);
    gl.useProgram(faces.made);
    gl.colorMask(false, false, false, false);
    gl.depthMask(false);
    gl.disable(gl.DEPTH_TEST);
    gl.stencilFunc(gl.ALWAYS, 0, 255);
    gl.stencilOpSeparate(gl.FRONT, gl.KEEP, gl.KEEP, gl.DECR_WRAP);
    gl.stencilOpSeparate(gl.BACK, gl.KEEP, gl.KEEP, gl.INCR_WRAP);
    gl.bindVertexArray(batch.solid);
    gl.drawArrays(gl.TRIANGLES, p.first, p.count);
    gl.colorMask(true, true, true, true);
    gl.depthMask(true);
    gl.enable(gl.DEPTH_TEST);
    gl.stencilFunc(gl.NOTEQUAL, 0, 255);
    gl.stencilOp(gl.KEEP, gl.KEEP, gl.KEEP);
    gl.useProgram(caps.made);
    gl.uniformMatrix4fv(caps.at.uView, false, view);
    gl.uniform3fv(caps.at.uColour, woods[p.number].map(c => 0.35 + 0.65 * Math.pow(c, 1 / 2.2)));
    gl.uniform1f(caps.at.uPitch, radius * 0.035);
    gl.bindVertexArray(plateVertices);
    gl.drawArrays(gl.TRIANGLES, 0, 6);
  }
  gl.disable(gl.STENCIL_TEST);
}

/* Lines of measure ---------------------------------------------------------------------------------- */

function drawOverlay() {
  const made = [];
  const node = (tag, given, text) => {
    const e = document.createElementNS(SVG, tag);
    for (const [k, v] of Object.entries(given)) e.setAttribute(k, typeof v === 'number' ? v.toFixed(1) : v);
    if (text) e.textContent = text;
    made.push(e);
  };
  const label = (x, y, text, kind) => {
    const half = text.length * 4.4 + 4;
    node('text', {x: clamp(x, half, Math.max(half, wide - half)), y: clamp(y, 14, high - 12), class: kind}, text);
  };
  const measure = (from, to, kind, text) => {
    const a = onScreen(from), b = onScreen(to);
    if (a[2] <= 0 || b[2] <= 0) return;
    const way = [b[0] - a[0], b[1] - a[1]], far = Math.hypot(...way) || 1, tick = [-way[1] / far * 5, way[0] / far * 5];
    node('line', {x1: a[0], y1: a[1], x2: b[0], y2: b[1], class: kind});
    for (const p of [a, b]) node('line', {x1: p[0] - tick[0], y1: p[1] - tick[1], x2: p[0] + tick[0], y2: p[1] + tick[1], class: kind});
    label((a[0] + b[0]) / 2, (a[1] + b[1]) / 2, text, kind);
  };
  if (state.points.length) {
    for (const p of state.points) { const s = onScreen(p); node('circle', {cx: s[0], cy: s[1], r: 5, class: 'measured'}); }
    if (state.points.length === 2) measure(state.points[0], state.points[1], 'measured', show(length(sub(state.points[1], state.points[0]))));
    else if (state.facing) measure(state.points[0], state.facing, 'across', show(length(sub(state.facing, state.points[0]))));
  } else if (state.selected >= 0) partSizes(parts[state.selected], measure);
  else if (state.sizes && state.apart < 0.02 && standing.length) overallSizes(measure);
  if (state.near) { const s = onScreen(state.near.at); node('circle', {cx: s[0], cy: s[1], r: 7, class: 'near ' + state.near.kind}); }
  overlay.setAttribute('viewBox', `0 0 ${wide} ${high}`);
  overlay.replaceChildren(...made);
}

function overallSizes(measure) {
  const [low, top] = whole, off = radius * 0.08, {back} = axes(camera);
  const x = back[0] > 0 ? top[0] + off : low[0] - off, y = back[1] > 0 ? top[1] + off : low[1] - off;
  const far = back[0] > 0 ? low[0] - off : top[0] + off, words = ['wide', 'deep', 'high'];
  const told = k => `${show(top[k] - low[k])} ${words[k]}`;
  measure([low[0], y, low[2]], [top[0], y, low[2]], 'overall', told(0));
  measure([x, low[1], low[2]], [x, top[1], low[2]], 'overall', told(1));
  measure([far, y, low[2]], [far, y, top[2]], 'overall', told(2));
}

function partSizes(p, measure) {
  const [a, b] = p.mesh.box, off = Math.max(radius * 0.015, 6), at = (x, y, z) => point(p.at, [x, y, z]);
  measure(at(a[0], a[1] - off, b[2]), at(b[0], a[1] - off, b[2]), 'part', show(p.size[0]));
  measure(at(b[0] + off, a[1], b[2]), at(b[0] + off, b[1], b[2]), 'part', show(p.size[1]));
  measure(at(a[0] - off, b[1], a[2]), at(a[0] - off, b[1], b[2]), 'part', show(p.size[2]));
}

/* Picking: on the processor, exact ------------------------------------------------------------------ */

function meets(p, from, way, nearest) {
  const o = localPoint(p.at, from), d = localWay(p.at, way), [low, top] = p.mesh.box;
  let enter = -Infinity, leave = Infinity;
  for (let k = 0; k < 3; k++) {
    let a = (low[k] - o[k]) / d[k], b = (top[k] - o[k]) / d[k];
    if (a > b) [a, b] = [b, a];
    if (a > enter) enter = a;
    if (b < leave) leave = b;
  }
  if (enter > leave + 1e-6 || leave < 0 || enter > nearest) return null;
  return met(p, o, d, from, way, nearest);
}

// Möller and Trumbore, "Fast, minimum storage ray/triangle intersection" (1997).
function met(p, o, d, from, way, nearest) {
  const t = p.mesh.triangles, P = p.mesh.points, cut = cutPlane();
  let best = null;
  for (let i = 0; i < t.length; i += 3) {
    const a = P[t[i]], u = sub(P[t[i + 1]], a), v = sub(P[t[i + 2]], a), q = cross(d, v), turn = dot(u, q);
    if (Math.abs(turn) < 1e-12) continue;
    const s = sub(o, a), b = dot(s, q) / turn;
    if (b < 0 || b > 1) continue;
    const r = cross(s, u), c = dot(d, r) / turn;
    if (c < 0 || b + c > 1) continue;
    const far = dot(v, r) / turn;
    if (far <= 1e-6 || far >= nearest) continue;
    const at = add(from, times(way, far));
    if (state.cut && dot(at, cut) > cut[3]) continue;
    nearest = far;
    best = {part: p, far, at, normal: along(p.at, unit(cross(u, v)))};
  }
  return best;
}

function cast(from, way, skip) {
  let best = null;
  for (const p of shown()) if (p !== skip) best = meets(p, from, way, best ? best.far : Infinity) || best;
  return best;
}

const pick = (x, y) => { const r = ray(x, y); return cast(r.from, r.way); };

// The corner or edge that is meant: the nearest on the screen that is not hidden, of whatever part.
function snap(x, y) {
  const eye = ray(x, y).from, cut = cutPlane(), cornersNear = [], edgesNear = [];
  const cutOff = p => state.cut && dot(p, cut) > cut[3] + 1e-3;
  for (const p of shown()) {
    const seen = p.mesh.points.map(q => { const at = point(p.at, q); return [at, onScreen(at)]; }), e = p.mesh.edges;
    for (let i = 0; i < e.length; i += 2) {
      const [A, a] = seen[e[i]], [B, b] = seen[e[i + 1]];
      for (const [at, s] of [[A, a], [B, b]]) {
        const off = Math.hypot(s[0] - x, s[1] - y);
        if (off < 16 && !cutOff(at)) cornersNear.push({off, at, kind: 'corner'});
      }
      const way = [b[0] - a[0], b[1] - a[1]], long = way[0] ** 2 + way[1] ** 2;
      const share = long ? clamp(((x - a[0]) * way[0] + (y - a[1]) * way[1]) / long, 0, 1) : 0;
      const off = Math.hypot(a[0] + way[0] * share - x, a[1] + way[1] * share - y);
      if (off < 9) {
        const deep = share * a[2] / (b[2] + share * (a[2] - b[2])), at = add(A, times(sub(B, A), deep));
        if (!cutOff(at)) edgesNear.push({off, at, kind: 'edge'});
      }
    }
  }
  const isSeen = c => {
    const way = sub(c.at, eye), far = length(way), hit = cast(eye, times(way, 1 / far));
    return !hit || hit.far > far - Math.max(0.5, far * 5e-4);
  };
  for (const near of [cornersNear, edgesNear]) {
    near.sort((a, b) => a.off - b.off);
    const found = near.slice(0, 24).find(isSeen);
    if (found) return found;
  }
  const hit = pick(x, y);
  return hit && {at: hit.at, kind: 'face', normal: hit.normal};
}

/* Hands: mouse, touch, keys ------------------------------------------------------------------------- */

const pointers = new Map();
let moved = 0, pinch = null, lastTap = null, dirty = true;
function touch() { dirty = true; }
function hover(near) { state.near = near; if (view) drawOverlay(); }
const zoom = by => { aim.far = camera.far = clamp(aim.far * by, radius * 0.06, radius * 30); touch(); };

function slide(dx, dy) {
  const {right, up} = axes(aim), mm = 2 * aim.far * Math.tan(FIELD / 2) / high;
  aim.at = add(aim.at, add(times(right, -dx * mm), times(up, dy * mm)));
  camera.at = aim.at;
}

// How far two fingers are apart, and the place between them.
function span() {
  const [a, b] = [...pointers.values()];
  return {far: Math.hypot(a[0] - b[0], a[1] - b[1]), at: [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2]};
}

canvas.addEventListener('pointerdown', e => {
  canvas.setPointerCapture(e.pointerId);
  pointers.set(e.pointerId, [e.offsetX, e.offsetY]);
  if (pointers.size === 1) moved = 0;
  pinch = pointers.size === 2 ? span() : null;
});
canvas.addEventListener('pointermove', e => {
  const was = pointers.get(e.pointerId);
  if (!was) {
    if (state.measuring) hover(snap(e.offsetX, e.offsetY));
    return;
  }
  const dx = e.offsetX - was[0], dy = e.offsetY - was[1];
  pointers.set(e.pointerId, [e.offsetX, e.offsetY]);
  moved += Math.abs(dx) + Math.abs(dy);
  if (pointers.size === 2) {
    const now = span();
    if (pinch && now.far) { zoom(pinch.far / now.far); slide(now.at[0] - pinch.at[0], now.at[1] - pinch.at[1]); }
    pinch = now;
  } else if (e.buttons & 6 || e.shiftKey) slide(dx, dy);
  else {
    aim.turn -= dx * 0.008;
    aim.rise = clamp(aim.rise + dy * 0.008, -1.5, 1.5);
    camera.turn = aim.turn;
    camera.rise = aim.rise;
  }
  touch();
});
const release = e => {
  const held = pointers.delete(e.pointerId);
  pinch = null;
  if (held && e.type === 'pointerup' && moved < 8 && !pointers.size) tapped(e.offsetX, e.offsetY, e.timeStamp);
};
canvas.addEventListener('pointerup', release);
canvas.addEventListener('pointercancel', release);
canvas.addEventListener('pointerleave', () => hover(null));
canvas.addEventListener('contextmenu', e => e.preventDefault());
canvas.addEventListener('wheel', e => { e.preventDefault(); zoom(Math.exp(clamp(e.deltaY, -200, 200) * 0.0014)); }, {passive: false});

function tapped(x, y, when) {
  const twice = lastTap && when - lastTap.when < 400 && Math.hypot(x - lastTap.x, y - lastTap.y) < 24;
  lastTap = twice ? null : {x, y, when};
  if (state.measuring) return measureAt(x, y);
  const hit = pick(x, y);
  if (twice && hit && hit.part.body >= 0) return openBody(hit.part.body, state.openTo[hit.part.body] > 0.5 ? 0 : 1);
  choose(hit ? hit.part.number : -1);
}

function measureAt(x, y) {
  const found = snap(x, y);
  if (!found) return;
  if (state.points.length > 1) state.points = [];
  state.points.push(found.at);
  state.facing = null;
  if (state.points.length === 1 && found.kind === 'face') {
    const hit = cast(add(found.at, times(found.normal, 0.01)), found.normal);
    if (hit) state.facing = hit.at;
  }
  tellMeasure();
  touch();
}

const turnBy = (turn, rise) => { aim.turn += turn; aim.rise = clamp(aim.rise + rise, -1.5, 1.5); touch(); };
const KEY = {
  ArrowLeft: () => turnBy(0.15, 0), ArrowRight: () => turnBy(-0.15, 0), ArrowUp: () => turnBy(0, 0.12),
  ArrowDown: () => turnBy(0, -0.12), '+': () => zoom(0.88), '=': () => zoom(0.88), '-': () => zoom(1.14),
  o: () => openAll(state.openTo.some(v => v < 0.5) ? 1 : 0), t: () => takeApart(Math.floor(state.apartTo) + 1),
  T: () => takeApart(Math.ceil(state.apartTo) - 1), m: () => setMeasuring(!state.measuring),
  h: () => state.selected >= 0 && hide(parts[state.selected], true), a: showAll,
  Escape: () => { setMeasuring(false); choose(-1); },
};
canvas.addEventListener('keydown', e => {
  if (e.ctrlKey || e.metaKey || e.altKey || !KEY[e.key]) return;
  e.preventDefault();
  KEY[e.key]();
});

/* What the hands do --------------------------------------------------------------------------------- */

const controls = {open: [], rows: []};

function tellMeasure() {
  if (!state.measuring) return say.replaceChildren();
  const [a, b] = state.points, told = [element('strong', {textContent: 'Measure'})];
  if (!a) told.push(' Tap two points; corners and edges draw the point to them.');
  else if (b) {
    const d = sub(b, a).map(Math.abs);
    told.push(element('output', {textContent: show(length(d))}),
      element('small', {textContent: `across ${show(d[0])}, deep ${show(d[1])}, up ${show(d[2])}`}));
  } else {
    told.push(' Tap the second point.');
    if (state.facing) told.push(element('small', {textContent: `Straight across to the wood opposite: ${show(length(sub(state.facing, a)))}`}));
  }
  say.replaceChildren(...told);
}

function tellChosen() {
  const p = parts[state.selected];
  if (!p) return say.replaceChildren();
  const body = model.bodies[p.body], buttons = [];
  if (body) buttons.push(button(state.openTo[p.body] > 0.5 ? 'Shut' : 'Open', () => openBody(p.body, state.openTo[p.body] > 0.5 ? 0 : 1)));
  buttons.push(button('Hide', () => hide(p, true)), button('Only this', () => only(p)));
  say.replaceChildren(element('strong', {}, element('bdi', {textContent: spoken(p.id)})), element('span', {textContent: sizes(p)}),
    element('span', {}, element('bdi', {textContent: p.wood})), element('span', {className: 'buttons'}, ...buttons));
}

function choose(number) {
  state.selected = number;
  controls.rows.forEach((row, k) => row && row.classList.toggle('chosen', k === number));
  state.measuring ? tellMeasure() : tellChosen();
  touch();
}

function setMeasuring(on) {
  state.measuring = on;
  state.points = [];
  state.near = state.facing = null;
  if (on) state.selected = -1;
  canvas.classList.toggle('measuring', on);
  controls.measure.setAttribute('aria-pressed', on);
  on ? tellMeasure() : tellChosen();
  touch();
}

function openBody(k, to) {
  state.openTo[k] = to;
  controls.open[k].value = to;
  fit();
  tellChosen();
  touch();
}

const openAll = to => model.bodies.forEach((_, k) => openBody(k, to));

function takeApart(to) {
  state.apartTo = clamp(to, 0, model.steps.length);
  controls.apart.value = state.apartTo;
  const k = Math.ceil(state.apartTo), step = model.steps[k - 1];
  const told = step ? `Step ${k} of ${model.steps.length}: ${spoken(step.name)} comes off` : 'All together';
  controls.step.textContent = told;
  controls.apart.setAttribute('aria-valuetext', told);
  fit();
  touch();
}

function hide(p, on) {
  p.hidden = on;
  if (on && state.selected === p.number) choose(-1);
  syncRows();
}

function only(p) { for (const q of standing) q.hidden = q !== p; syncRows(); fit(); }
function showAll() { for (const p of standing) p.hidden = false; syncRows(); fit(); }

function syncRows() {
  parts.forEach((p, k) => { if (controls.rows[k]) controls.rows[k].querySelector('input').checked = !p.hidden; });
  for (const {tick, own} of controls.groups) {
    const on = own.filter(p => !p.hidden).length;
    tick.checked = on > 0;
    tick.indeterminate = on > 0 && on < own.length;
  }
  touch();
}

/* Controls ------------------------------------------------------------------------------------------ */

const button = (text, press) => element('button', {type: 'button', textContent: text, onclick: press});

function toggle(text, get, set) {
  const made = button(text, () => { set(!get()); made.setAttribute('aria-pressed', get()); touch(); });
  made.setAttribute('aria-pressed', get());
  return made;
}

function slider(label, most, step, change, name) {
  const input = element('input', {type: 'range', min: 0, max: most, step, value: 0});
  input.addEventListener('input', () => { change(Number(input.value)); touch(); });
  const words = element('span', {}, element('bdi', {textContent: label}));
  if (name) input.dataset.name = name;
  return [element('label', {className: 'row'}, words, input), input];
}

function group(title, opened, ...children) {
  const made = element('details', {open: opened}, element('summary', {textContent: title}), ...children);
  byId('controls').append(made);
  return made;
}

const desk = matchMedia('(min-width: 820px)').matches;

if (model.bodies.length) {
  const rows = model.bodies.map((b, k) => {
    const [row, input] = slider(spoken(b.name), 1, 0.01, v => { state.openTo[k] = v; }, b.name);
    input.addEventListener('change', fit);
    controls.open[k] = input;
    return row;
  });
  group('Open and shut', true, element('div', {className: 'buttons'}, button('Open all', () => openAll(1)),
    button('Shut all', () => openAll(0))), ...rows);
}
if (model.steps.length) {
  const [row, input] = slider('Apart', model.steps.length, 0.05, v => takeApart(v), 'apart');
  controls.apart = input;
  controls.step = element('p', {className: 'step', role: 'status', textContent: 'All together'});
  group('Take apart', desk, element('div', {className: 'buttons'}, button('Take one off', () => KEY.t()), button('Put one back', () => KEY.T()),
    button('All together', () => takeApart(0)), button('All apart', () => takeApart(model.steps.length))), row, controls.step);
} else { controls.apart = {setAttribute() {}}; controls.step = {}; }

const VIEWS = {Corner: [-0.6, 0.36], Front: [0, 0], Left: [-Math.PI / 2, 0], Right: [Math.PI / 2, 0], Back: [Math.PI, 0], Above: [0, 1.5]};
controls.measure = button('Measure', () => setMeasuring(!state.measuring));
controls.measure.setAttribute('aria-pressed', false);
const darkNow = () => theme('--night') === '1';
group('Look', true,
  element('div', {className: 'buttons'}, ...Object.entries(VIEWS).map(([name, [turn, rise]]) =>
    button(name, () => { aim.turn = turn; aim.rise = rise; fit(); touch(); }))),
  element('div', {className: 'buttons'}, controls.measure, toggle('Sizes', () => state.sizes, v => { state.sizes = v; }),
    toggle('Inches', () => state.units === 'in', v => { state.units = v ? 'in' : 'mm'; state.measuring ? tellMeasure() : tellChosen(); }),
    toggle('Night', darkNow, v => { document.documentElement.dataset.theme = v ? 'night' : 'day'; readTheme(); })));

const WAYS = [['', 'Whole'], ['x', 'Cut from left to right'], ['y', 'Cut from front to back'], ['z', 'Cut level']];
const way = element('select', {}, ...WAYS.map(([value, text]) => element('option', {value, textContent: text})));
way.setAttribute('aria-label', 'Cut through');
const other = toggle('Other side', () => state.cutOther, v => { state.cutOther = v; });
way.addEventListener('change', () => {
  state.cut = way.value;
  if (state.cut) state.cutOther = axes(camera).back['xyz'.indexOf(state.cut)] < 0;
  other.setAttribute('aria-pressed', state.cutOther);
  touch();
});
const [cutRow, cutInput] = slider('At', 1, 0.002, v => { state.cutAt = clamp(v, 0.002, 0.998); }, 'cut');
cutInput.value = 0.5;
group('Look inside', false, element('div', {className: 'row'}, way, other), cutRow);

controls.groups = [];
(() => {
  const list = element('ul', {className: 'parts'});
  const modules = model.modules.length ? [...model.modules, {name: 'other parts', parts: parts.filter(p => p.module < 0).map(p => p.number)}] : [];
  const line = p => {
    const tick = element('input', {type: 'checkbox', checked: !p.hidden});
    tick.setAttribute('aria-label', `show ${spoken(p.id)}`);
    tick.addEventListener('change', () => hide(p, !tick.checked));
    const patch = element('span', {className: 'patch'});
    patch.style.background = p.colour;
    const name = element('button', {type: 'button', className: 'name', onclick: () => choose(state.selected === p.number ? -1 : p.number)},
      element('bdi', {textContent: spoken(p.id)}));
    controls.rows[p.number] = element('li', {}, tick, patch, name);
    list.append(controls.rows[p.number]);
  };
  for (const m of modules) {
    const own = m.parts.map(n => parts[n]).filter(p => p.mesh.box);
    if (!own.length) continue;
    const tick = element('input', {type: 'checkbox', checked: true});
    tick.setAttribute('aria-label', `show ${spoken(m.name)}`);
    tick.addEventListener('change', () => { for (const p of own) p.hidden = !tick.checked; syncRows(); });
    controls.groups.push({tick, own});
    list.append(element('li', {className: 'module'}, tick, element('bdi', {textContent: spoken(m.name)})));
    own.forEach(line);
  }
  if (!modules.length) standing.forEach(line);
  group('Show and hide', false, element('div', {className: 'buttons'}, button('Show all', showAll)), list);
})();

/* Following a file ---------------------------------------------------------------------------------- */

const KEPT = 'dryfit-view';

function keep() {
  const hidden = standing.filter(p => p.hidden).map(p => p.id);
  const open = Object.fromEntries(model.bodies.map((b, k) => [b.name, state.openTo[k]]));
  const kept = {aim, open, hidden, apart: state.apartTo, cut: state.cut, cutAt: state.cutAt, cutOther: state.cutOther,
    units: state.units, sizes: state.sizes, theme: document.documentElement.dataset.theme || ''};
  try { sessionStorage.setItem(KEPT, JSON.stringify(kept)); } catch (_) { /* a browser that keeps nothing */ }
}

function restore() {
  let kept = null;
  try { kept = JSON.parse(sessionStorage.getItem(KEPT)); } catch (_) { return false; }
  if (!kept) return false;
  Object.assign(aim, kept.aim);
  Object.assign(camera, kept.aim);
  model.bodies.forEach((b, k) => {
    state.open[k] = state.openTo[k] = kept.open[b.name] || 0;
    controls.open[k].value = state.openTo[k];
  });
  state.apart = state.apartTo = Math.min(kept.apart, model.steps.length);
  controls.apart.value = state.apartTo;
  for (const p of standing) p.hidden = kept.hidden.includes(p.id);
  for (const key of ['cut', 'cutAt', 'cutOther', 'units', 'sizes']) state[key] = kept[key];
  way.value = state.cut;
  cutInput.value = state.cutAt;
  if (kept.theme) document.documentElement.dataset.theme = kept.theme;
  syncRows();
  return true;
}

// What the check found, put in place of what it found before.
function tellFindings(live) {
  byId('live').className = live.state;
  byId('headline').textContent = live.headline;
  byId('told').replaceChildren(...live.lines.map(line => element('li', {textContent: line})));
}

// Asks again and again whether there is something newer: other findings are put in, another model is loaded anew
// with the page, and seen as this one was.
async function follow() {
  if (!model.live) return;
  let [version, told] = model.live;
  for (;;) {
    try {
      const answer = await fetch(`/changes?version=${version}&told=${told}`, {cache: 'no-store'});
      const live = await answer.json();
      byId('pulse').textContent = '';
      if (live.version !== version) {
        if (gl) keep();
        location.reload();
        return;
      }
      if (live.told !== told) tellFindings(live);
      told = live.told;
    } catch (_) {
      byId('pulse').textContent = 'dryfit watch has stopped; this is the last it showed.';
      await new Promise(done => setTimeout(done, 1000));
    }
  }
}

/* Running ------------------------------------------------------------------------------------------- */

let frames = 0, slowFrames = 0, lastFrame = 0;

// One step of everything that is on its way; whether anything still is.
function advance() {
  let moving = false;
  const ease = (from, to) => {
    if (Math.abs(to - from) < 1e-4 * Math.max(1, Math.abs(to))) return to;
    moving = true;
    return from + (to - from) * EASE;
  };
  const turn = ((aim.turn - camera.turn + Math.PI) % (2 * Math.PI) + 2 * Math.PI) % (2 * Math.PI) - Math.PI;
  camera.turn = Math.abs(turn) < 1e-4 ? aim.turn : (moving = true, camera.turn + turn * EASE);
  camera.rise = ease(camera.rise, aim.rise);
  camera.far = ease(camera.far, aim.far);
  camera.at = camera.at.map((v, k) => ease(v, aim.at[k]));
  state.open = state.open.map((v, k) => ease(v, state.openTo[k]));
  state.apart = ease(state.apart, state.apartTo);
  return moving;
}

function tick(now) {
  const moving = advance() || pointers.size > 0, wasQuick = quickly;
  quickly = quick && moving;
  if (moving || dirty || wasQuick !== quickly) {
    dirty = false;
    draw();
    frames++;
    // Three slow frames on end, and from then on what moves is drawn more plainly.
    slowFrames = moving && now - lastFrame > 60 && now - lastFrame < 2000 ? slowFrames + 1 : 0;
    if (slowFrames > 3) quick = true;
  }
  lastFrame = now;
  requestAnimationFrame(tick);
}

// For tests and for the curious: where a point of the room is on the screen, and what the page is about.
window.dryfit = {
  onScreen: p => onScreen(p).slice(0, 2), frames: () => frames, still: () => !advance() && !dirty,
  state: () => ({open: state.open, apart: state.apart, selected: parts[state.selected] ? parts[state.selected].id : '',
    hidden: standing.filter(p => p.hidden).map(p => p.id), points: state.points, camera: {turn: camera.turn, rise: camera.rise, far: camera.far}}),
};

matchMedia('(prefers-color-scheme: dark)').addEventListener('change', readTheme);
new ResizeObserver(touch).observe(canvas);
canvas.addEventListener('webglcontextlost', e => { e.preventDefault(); location.reload(); });
const known = Boolean(model.live) && restore();
readTheme();
resize();
if (!known) { fit(); Object.assign(camera, aim); }
follow();
requestAnimationFrame(now => { tick(now); stage.dataset.ready = 'yes'; });
})();
