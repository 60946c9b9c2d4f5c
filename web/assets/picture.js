// Draws bodies on a canvas by WebGL and lets fingers turn them. The program gives corners
// and edges once, as engine/draw/solid has them, and matrices for each picture.
const parts = 12; // drawing.ModelParts
const corner = 8; // numbers of a corner, and of an edge
const edge = 11;
const shadowSize = 2048; // of the sun's picture; half of it where nothing draws fast
const shadowDark = 0.3; // draw.ShadowDark

const moved = `#version 300 es
precision highp float;
uniform mat4 view;
uniform mat4 part[${parts}];`;

// The grain of materials, by places in mm; it fades where it would be finer than a pixel.
const grains = `
float noise(vec2 p) {
  vec2 i = floor(p), f = fract(p);
  f = f * f * (3. - 2. * f);
  #define h(x) fract(sin(dot(x, vec2(12.9898, 78.233))) * 43758.5453)
  return mix(mix(h(i), h(i + vec2(1, 0)), f.x), mix(h(i + vec2(0, 1)), h(i + vec2(1, 1)), f.x), f.y);
}
float grain(float size) {
  vec2 p = at.xy / size;
  return (noise(p) - .5) * clamp(1.5 - length(fwidth(p)), 0., 1.);
}`;
const grained = `
  if (k == 5) g += .22 * grain(900.) + .3 * grain(120.) + .35 * grain(35.);
  else if (k == 2) g += .5 * grain(60.) + .1 * grain(700.);
  else if (k == 1) g += .06 * grain(1100.) + .05 * grain(45.);
  else if (k == 4) g += .05 * grain(1500.) + .12 * grain(25.);
  else if (k == 6) g += .3 * grain(160.) + .2 * grain(40.);
  else if (k == 3) {
    vec2 p = at.xy / vec2(210., 105.);
    p.x += .5 * mod(floor(p.y), 2.);
    vec2 w = fwidth(p) + vec2(.025, .05), e = abs(fract(p) - .5);
    float joint = max(smoothstep(.5 - w.x, .5, e.x), smoothstep(.5 - w.y, .5, e.y));
    float plain = clamp(1.4 - 2. * length(fwidth(p)), 0., 1.);
    g += plain * (.16 * (noise(floor(p) * 1.7) - .5) - .22 * joint);
  } else if (k == 15) g += .5 * (noise(at.xz / 160.) - .5);`;

const bodies = (rich) => [
  `${moved}
uniform mat4 sun;
layout(location = 0) in vec3 place;
layout(location = 1) in vec3 colour;
layout(location = 2) in vec2 look;
out vec3 tint, at, lit;
flat out float kind;
void main() {
  vec4 p = part[int(look.y)] * vec4(place, 1);
  tint = colour;
  at = place;
  kind = look.x;
  lit = (sun * p).xyz * .5 + .5;
  gl_Position = view * p;
}`,
  `#version 300 es
precision highp float;
precision highp sampler2DShadow;
uniform sampler2DShadow shadow;
uniform float shadows;
in vec3 tint, at, lit;
flat in float kind;
out vec4 seen;
${rich ? grains : ""}
void main() {
  int k = int(mod(kind, 32.));
  float g = 1.;
  ${rich ? grained : ""}
  if (kind >= 32. && shadows > 0.) {
    float s = 0.;
    ${rich ? "for (int i = -1; i < 2; i++) for (int j = -1; j < 2; j++)" : "float i = 0., j = 0.;"}
    s += texture(shadow, vec3(lit.xy + vec2(i, j) / float(textureSize(shadow, 0).x), lit.z - .0012));
    g *= 1. - ${shadowDark} * (1. - s / ${rich ? "9." : "1."});
  }
  seen = vec4(tint * g, 1);
}`,
];
const edges = [
  `${moved}
uniform vec2 size;
uniform float thick;
in vec3 from, to, colour;
in vec2 which;
out vec4 tint;
void main() {
  mat4 m = view * part[int(which.x)];
  vec4 a = m * vec4(from, 1), b = m * vec4(to, 1);
  float near = 1e-3 * max(abs(a.w), abs(b.w));
  if (a.w < near) a = mix(a, b, (near - a.w) / (b.w - a.w));
  if (b.w < near) b = mix(b, a, (near - b.w) / (a.w - b.w));
  vec2 along = (b.xy / b.w - a.xy / a.w) * size;
  vec2 d = length(along) > 0. ? normalize(along) : vec2(1, 0);
  vec4 p = gl_VertexID < 2 ? a : b;
  p.xy += vec2(-d.y, d.x) * (gl_VertexID % 2 == 0 ? thick : -thick) / size * p.w;
  p.z -= 2e-4 * p.w;
  tint = vec4(colour, 1);
  gl_Position = p;
}`,
  `#version 300 es
precision mediump float;
in vec4 tint;
out vec4 seen;
void main() { seen = tint; }`,
];

const shade = [
  `${moved}
layout(location = 0) in vec3 place;
layout(location = 2) in vec2 look;
void main() { gl_Position = view * (part[int(look.y)] * vec4(place, 1)); }`,
  `#version 300 es
precision mediump float;
void main() {}`,
];

// drawnSlowly tells whether no graphics processor draws here, as its driver's name says.
function drawnSlowly() {
  const gl = document.createElement("canvas").getContext("webgl2");
  if (!gl) return true;
  const named = gl.getExtension("WEBGL_debug_renderer_info");
  const name = gl.getParameter(named ? named.UNMASKED_RENDERER_WEBGL : gl.RENDERER);
  gl.getExtension("WEBGL_lose_context")?.loseContext();
  return /swiftshader|llvmpipe|softpipe|software|basic render/i.test(name);
}

// painter paints on a canvas; null where this browser cannot. It is slow where no graphics
// processor draws but the processor itself.
function painter(canvas) {
  const slow = drawnSlowly();
  const gl = canvas.getContext("webgl2", { antialias: !slow });
  if (!gl) return null;
  const size = slow ? shadowSize / 2 : shadowSize;
  const program = ([vertex, fragment], ...names) => {
    const made = gl.createProgram();
    for (const [kind, source] of [[gl.VERTEX_SHADER, vertex], [gl.FRAGMENT_SHADER, fragment]]) {
      const shader = gl.createShader(kind);
      gl.shaderSource(shader, source);
      gl.compileShader(shader);
      gl.attachShader(made, shader);
    }
    gl.linkProgram(made);
    if (!gl.getProgramParameter(made, gl.LINK_STATUS)) throw new Error(gl.getProgramInfoLog(made) || "WebGL");
    const u = {};
    for (const name of names) u[name] = gl.getUniformLocation(made, name);
    return { made, u };
  };
  const [plainBody, richBody] = [false, true].map((rich) => program(bodies(rich), "view", "part", "sun", "shadows"));
  const line = program(edges, "view", "part", "size", "thick");
  const dark = program(shade, "view", "part");

  // list ties numbers of a buffer to the attributes of a program.
  const list = (buffer, { made }, stride, each, ...fields) => {
    const array = gl.createVertexArray();
    gl.bindVertexArray(array);
    gl.bindBuffer(gl.ARRAY_BUFFER, buffer);
    for (const [name, count, at] of fields) {
      const where = gl.getAttribLocation(made, name);
      if (where < 0) continue;
      gl.enableVertexAttribArray(where);
      gl.vertexAttribPointer(where, count, gl.FLOAT, false, 4 * stride, 4 * at);
      gl.vertexAttribDivisor(where, each);
    }
    return array;
  };
  const corners = gl.createBuffer();
  const lines = gl.createBuffer();
  const ofBody = list(corners, richBody, corner, 0, ["place", 3, 0], ["colour", 3, 3], ["look", 2, 6]);
  const ofShade = list(corners, dark, corner, 0, ["place", 3, 0], ["look", 2, 6]);
  const ofLine = list(lines, line, edge, 1, ["from", 3, 0], ["to", 3, 3], ["colour", 3, 6], ["which", 2, 9]);

  const depth = gl.createTexture();
  const sunlit = gl.createFramebuffer();
  gl.bindTexture(gl.TEXTURE_2D, depth);
  gl.texStorage2D(gl.TEXTURE_2D, 1, gl.DEPTH_COMPONENT24, size, size);
  gl.texParameteri(gl.TEXTURE_2D, gl.TEXTURE_COMPARE_MODE, gl.COMPARE_REF_TO_TEXTURE);
  gl.texParameteri(gl.TEXTURE_2D, gl.TEXTURE_MIN_FILTER, gl.LINEAR);
  gl.texParameteri(gl.TEXTURE_2D, gl.TEXTURE_MAG_FILTER, gl.LINEAR);
  gl.texParameteri(gl.TEXTURE_2D, gl.TEXTURE_WRAP_S, gl.CLAMP_TO_EDGE);
  gl.texParameteri(gl.TEXTURE_2D, gl.TEXTURE_WRAP_T, gl.CLAMP_TO_EDGE);
  gl.bindFramebuffer(gl.FRAMEBUFFER, sunlit);
  gl.framebufferTexture2D(gl.FRAMEBUFFER, gl.DEPTH_ATTACHMENT, gl.TEXTURE_2D, depth, 0);

  let cornerCount = 0;
  let edgeCount = 0;
  let hidden = 0;
  let shadows = true;
  let shadowed = null; // the parts for which the shadows were found
  return {
    slow,
    close: () => gl.getExtension("WEBGL_lose_context")?.loseContext(),
    // load takes a model: its first corners, so many, only hide what lies behind them.
    load(ofFaces, ofEdges, hides, withShadows) {
      gl.bindBuffer(gl.ARRAY_BUFFER, corners);
      gl.bufferData(gl.ARRAY_BUFFER, ofFaces, gl.STATIC_DRAW);
      gl.bindBuffer(gl.ARRAY_BUFFER, lines);
      gl.bufferData(gl.ARRAY_BUFFER, ofEdges, gl.STATIC_DRAW);
      [cornerCount, edgeCount, hidden, shadows, shadowed] = [ofFaces.length / corner, ofEdges.length / edge, hides, withShadows, null];
    },
    // paint paints a frame, with the grain of all materials and soft shadows where it is rich.
    paint(frame, rich) {
      const some = (from, count) => frame.subarray(from, from + count);
      const moves = 16 * parts;
      gl.enable(gl.DEPTH_TEST);
      const sunsParts = some(32 + moves, moves);
      if (shadows && !(shadowed && sunsParts.every((v, i) => v === shadowed[i]))) {
        shadowed = sunsParts.slice();
        gl.bindFramebuffer(gl.FRAMEBUFFER, sunlit);
        gl.viewport(0, 0, size, size);
        gl.clear(gl.DEPTH_BUFFER_BIT);
        gl.useProgram(dark.made);
        gl.uniformMatrix4fv(dark.u.view, false, some(16, 16));
        gl.uniformMatrix4fv(dark.u.part, false, sunsParts);
        gl.bindVertexArray(ofShade);
        gl.enable(gl.POLYGON_OFFSET_FILL);
        gl.polygonOffset(1.5, 4);
        gl.drawArrays(gl.TRIANGLES, 0, cornerCount);
        gl.disable(gl.POLYGON_OFFSET_FILL);
      }
      gl.bindFramebuffer(gl.FRAMEBUFFER, null);
      gl.viewport(0, 0, canvas.width, canvas.height);
      gl.clearColor(0, 0, 0, 0);
      gl.clear(gl.COLOR_BUFFER_BIT | gl.DEPTH_BUFFER_BIT);
      const body = rich ? richBody : plainBody;
      gl.useProgram(body.made);
      gl.uniformMatrix4fv(body.u.view, false, some(0, 16));
      gl.uniformMatrix4fv(body.u.sun, false, some(16, 16));
      gl.uniformMatrix4fv(body.u.part, false, some(32, moves));
      gl.uniform1f(body.u.shadows, shadows ? 1 : 0);
      gl.bindVertexArray(ofBody);
      if (hidden) {
        gl.colorMask(false, false, false, false);
        gl.drawArrays(gl.TRIANGLES, 0, hidden);
        gl.colorMask(true, true, true, true);
      }
      gl.drawArrays(gl.TRIANGLES, hidden, cornerCount - hidden);
      gl.useProgram(line.made);
      gl.uniformMatrix4fv(line.u.view, false, some(0, 16));
      gl.uniformMatrix4fv(line.u.part, false, some(32, moves));
      gl.uniform2f(line.u.size, canvas.width, canvas.height);
      gl.uniform1f(line.u.thick, Math.max(1, 0.7 * canvas.width / Math.max(1, canvas.clientWidth)));
      gl.bindVertexArray(ofLine);
      gl.drawArraysInstanced(gl.TRIANGLE_STRIP, 0, 4, edgeCount);
    },
  };
}

const still = matchMedia("(prefers-reduced-motion: reduce)");
const largest = 6; // enlargement

// picture shows a model on a canvas. ask(look, frame) has the program fill the frame, a
// Float32Array, for a look: turn, rise, open, zoom, right, up, shape; it gives back the rise
// that it took. tell(look) is called when a movement is over, and lost() when the canvas
// shows nothing any more. null where this browser cannot.
window.pegpourPicture = (canvas, ask, tell, lost) => {
  let paint = null;
  try {
    paint = painter(canvas);
  } catch (err) {
    console.warn(err);
  }
  if (!paint) return null;
  const bytes = new Uint8Array(4 * 16 * (2 + 2 * parts));
  const frame = new Float32Array(bytes.buffer);
  const look = { turn: 0, rise: 0, open: 0, zoom: 1, right: 0, up: 0, shape: 1 };
  let aims = {}; // where a movement ends: {to, from, began, lasts} of each
  let asked = 0; // the frame that is waited for
  let slider = null;
  let turns = true;
  let ready = false;
  let slow = paint.slow; // then it is plain while it moves, and rich once it rests
  let rests = 0; // a timer
  let times = []; // of the last frames

  // fit gives the canvas the pixels that it is painted with.
  const fit = (rich) => {
    const ratio = !slow ? Math.min(devicePixelRatio, 2) : rich ? Math.min(devicePixelRatio, 2) : 1;
    const [wide, high] = [Math.round(canvas.clientWidth * ratio), Math.round(canvas.clientHeight * ratio)];
    if (wide > 0 && high > 0 && (wide !== canvas.width || high !== canvas.height)) [canvas.width, canvas.height] = [wide, high];
  };
  const smooth = (t) => t * t * (3 - 2 * t);
  const draw = (rich) => {
    look.shape = canvas.height / canvas.width;
    look.rise = ask(look, bytes);
    paint.paint(frame, rich);
    if (slider) slider.value = Math.round(100 * look.open);
  };
  const rest = () => {
    times = [];
    if (!ready || !canvas.isConnected) return;
    fit(true);
    draw(true);
  };
  const next = (now) => {
    asked = 0;
    if (!ready || !canvas.isConnected) return;
    const aimed = Object.keys(aims).length > 0;
    for (const [name, aim] of Object.entries(aims)) {
      aim.began ??= now;
      const part = aim.lasts > 0 ? Math.min(1, (now - aim.began) / aim.lasts) : 1;
      look[name] = aim.from + (aim.to - aim.from) * smooth(part);
      if (part === 1) delete aims[name];
    }
    times = [...times.slice(-8), now];
    slow ||= times.length > 8 && now - times[0] > 8 * 30;
    fit(!slow);
    draw(!slow);
    clearTimeout(rests);
    rests = setTimeout(rest, slow ? 400 : 1000);
    if (Object.keys(aims).length > 0) again();
    else if (aimed) tell(look);
  };
  const again = () => (asked ||= requestAnimationFrame(next));
  const aim = (name, to, lasts) => {
    aims[name] = { from: look[name], to, lasts: still.matches ? 0 : lasts };
    again();
  };
  const set = (changes) => {
    for (const name in changes) delete aims[name];
    Object.assign(look, changes);
    again();
  };
  const held = (v, most) => Math.max(-most, Math.min(most, v));
  // zoomTo keeps what lies at a place of the picture (-1 to 1) where it is, moved by a little.
  const zoomTo = (zoom, x, y, dx = 0, dy = 0) => {
    zoom = Math.max(1, Math.min(largest, zoom));
    const most = 1 - 1 / zoom;
    const right = held(look.right + x / look.zoom - (x + dx) / zoom, most);
    set({ zoom, right, up: held(look.up + y / look.zoom - (y + dy) / zoom, most) });
  };

  const fingers = new Map();
  let tapped = null;
  const at = (e) => {
    const box = canvas.getBoundingClientRect();
    return { x: (2 * (e.clientX - box.left)) / box.width - 1, y: 1 - (2 * (e.clientY - box.top)) / box.height };
  };
  const middle = () => {
    const [a, b = a] = fingers.values();
    return { x: (a.x + b.x) / 2, y: (a.y + b.y) / 2, apart: Math.hypot((a.x - b.x) * canvas.width, (a.y - b.y) * canvas.height) };
  };
  canvas.addEventListener("pointerdown", (e) => {
    if (!turns || e.button > 0) return;
    fingers.set(e.pointerId, at(e));
    canvas.setPointerCapture(e.pointerId);
  });
  canvas.addEventListener("pointermove", (e) => {
    if (!fingers.has(e.pointerId)) return;
    const before = middle();
    fingers.set(e.pointerId, at(e));
    const now = middle();
    if (fingers.size === 1) set({ turn: look.turn - 1.3 * (now.x - before.x), rise: look.rise - 0.7 * (now.y - before.y) });
    else if (fingers.size === 2) {
      const zoom = before.apart > 0 ? (look.zoom * now.apart) / before.apart : look.zoom;
      zoomTo(zoom, before.x, before.y, now.x - before.x, now.y - before.y);
    }
  });
  const off = (e) => {
    if (!fingers.delete(e.pointerId)) return;
    tell(look);
    if (e.type !== "pointerup") return;
    const here = at(e);
    if (tapped && e.timeStamp - tapped.when < 300 && Math.hypot(here.x - tapped.x, here.y - tapped.y) < 0.15) {
      tapped = null;
      if (look.zoom > 1) zoomTo(1, 0, 0);
      else zoomTo(2.5, here.x, here.y);
    } else tapped = { ...here, when: e.timeStamp };
  };
  canvas.addEventListener("pointerup", off);
  canvas.addEventListener("pointercancel", off);
  canvas.addEventListener("wheel", (e) => {
    if (!turns || !e.ctrlKey) return;
    e.preventDefault();
    const { x, y } = at(e);
    zoomTo(look.zoom * Math.exp(-e.deltaY / 100), x, y);
  }, { passive: false });
  canvas.addEventListener("webglcontextlost", () => {
    if (ready) lost();
    ready = false;
  });

  new ResizeObserver(again).observe(canvas);
  again();
  return {
    look,
    // close ends all that it does, and gives up the graphics.
    close() {
      ready = false;
      clearTimeout(rests);
      paint.close();
    },
    aim,
    set,
    // zoom enlarges the middle of what is seen.
    zoom: (by) => zoomTo(look.zoom * by, 0, 0),
    // load takes a model; the slider follows the gate, and turning says whether fingers turn it.
    load(faces, ofEdges, hides, shadows, follows, turning) {
      paint.load(new Float32Array(faces.buffer), new Float32Array(ofEdges.buffer), hides, shadows);
      [slider, turns, ready] = [follows, turning, true];
      times = [];
      again();
    },
    // still copies the picture onto a canvas of its own, so many pixels wide, over what
    // under(pen, width, height) painted there.
    still(wide, under) {
      const [w, h] = [canvas.width, canvas.height];
      const copy = document.createElement("canvas");
      [canvas.width, canvas.height] = [copy.width, copy.height] = [wide, Math.round((wide * h) / w)];
      draw(true);
      const pen = copy.getContext("2d");
      under(pen, copy.width, copy.height);
      pen.drawImage(canvas, 0, 0);
      [canvas.width, canvas.height] = [w, h];
      draw(true);
      return copy;
    },
  };
};
