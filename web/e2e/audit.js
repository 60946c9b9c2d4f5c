// What the tests measure on a screen that axe does not: defines window.audit.
// Each check returns a list of complaints, one line each.
"use strict";
window.audit = (() => {
  const name = (e) => {
    const all = (e.getAttribute("aria-label") || e.innerText || e.value || "").trim();
    const words = all.replace(/\s+/g, " ").slice(0, 40);
    return `<${e.tagName.toLowerCase()}${e.id ? " #" + e.id : ""} .${[...e.classList].join(".")}> "${words}"`;
  };
  // What an element has of those around it is found once for each of them, and anew for
  // each check: between two the page may change.
  let known = [];
  const inherited = (find) => {
    const at = known.push(null) - 1;
    return (e) => {
      const answers = (known[at] ||= new Map());
      if (!answers.has(e)) answers.set(e, find(e));
      return answers.get(e);
    };
  };
  const anew = (check) => (...given) => {
    known = known.map(() => null);
    return check(...given);
  };
  const hidden = inherited((e) => {
    if (!e) return false;
    const s = getComputedStyle(e);
    return s.display === "none" || s.visibility === "hidden" || s.opacity === "0" || hidden(e.parentElement);
  });
  const folded = inherited((e) => !!e && ((e.tagName === "DETAILS" && !e.open) || folded(e.parentElement)));
  const shown = (e) => !hidden(e) && !(folded(e) && !e.closest("summary")) && e.getClientRects().length > 0;
  // A box of one pixel holds words for the ear only.
  const forTheEar = inherited((e) => {
    if (!e) return false;
    const r = e.getBoundingClientRect();
    return (r.width <= 2 && r.height <= 2 && getComputedStyle(e).overflow !== "visible") || forTheEar(e.parentElement);
  });
  const unseen = ["SCRIPT", "STYLE", "NOSCRIPT", "TITLE", "DESC", "title", "desc", "OPTION"];
  const withWords = ":not([type=file]):not([type=checkbox]):not([type=radio]):not([type=range])";
  // texts returns every visible piece of text with the element it stands in.
  const texts = () => {
    const found = [];
    const walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
    for (let n = walk.nextNode(); n; n = walk.nextNode()) {
      if (!n.data.trim()) continue;
      const e = n.parentElement;
      if (unseen.includes(e.tagName) || !shown(e) || forTheEar(e)) continue;
      found.push({ node: n, e });
    }
    for (const e of document.querySelectorAll(`input${withWords}, textarea, select`)) {
      if (shown(e) && !forTheEar(e)) found.push({ node: null, e });
    }
    return found;
  };
  const box = (t) => {
    if (!t.node) return t.e.getBoundingClientRect();
    const r = document.createRange();
    r.selectNodeContents(t.node);
    return r.getBoundingClientRect();
  };
  const rgba = (c) => {
    const m = c.match(/rgba?\(([^)]+)\)/);
    if (!m) return null;
    const v = m[1].split(/[\s,/]+/).filter(Boolean).map(parseFloat);
    return { r: v[0], g: v[1], b: v[2], a: v.length > 3 ? v[3] : 1 };
  };
  const over = (top, under) => {
    const mixed = (colour) => top[colour] * top.a + under[colour] * (1 - top.a);
    return { r: mixed("r"), g: mixed("g"), b: mixed("b"), a: 1 };
  };
  const luminance = (c) => {
    const f = (v) => { v /= 255; return v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4; };
    return 0.2126 * f(c.r) + 0.7152 * f(c.g) + 0.0722 * f(c.b);
  };
  const ratio = (a, b) => {
    const [x, y] = [luminance(a), luminance(b)].sort((p, q) => q - p);
    return (x + 0.05) / (y + 0.05);
  };
  const groundOf = inherited((e) => {
    if (!e) return { r: 255, g: 255, b: 255, a: 1 };
    const c = rgba(getComputedStyle(e).backgroundColor);
    if (!c || c.a === 0) return groundOf(e.parentElement);
    return c.a === 1 ? c : over(c, groundOf(e.parentElement));
  });
  const disabled = (e) => e.closest(":disabled, [aria-disabled=true]");

  // Contrast of words with their ground: 7:1 at any size (WCAG 1.4.6, and more
  // than it asks of large text), or what is asked for; of the edges of
  // controls: 3:1 (1.4.11).
  function contrast(wanted = 7) {
    const found = new Set();
    for (const t of texts()) {
      if (disabled(t.e)) continue;
      const s = getComputedStyle(t.e);
      const ink = rgba(t.e.closest("svg") ? s.fill : s.color);
      if (!ink) continue;
      const ground = groundOf(t.e);
      const r = ratio(over(ink, ground), ground);
      if (r < wanted) {
        found.add(`contrast ${r.toFixed(2)} of ${name(t.e)}: ${t.e.closest("svg") ? s.fill : s.color}`);
      }
      if (!t.node && t.e.placeholder) {
        const p = rgba(getComputedStyle(t.e, "::placeholder").color);
        if (p && ratio(over(p, ground), ground) < wanted) found.add(`contrast of the hint in ${name(t.e)}`);
      }
    }
    for (const e of document.querySelectorAll("button, input, select, textarea, .wide, .choice")) {
      if (!shown(e) || disabled(e) || forTheEar(e)) continue;
      const s = getComputedStyle(e), ground = groundOf(e.parentElement);
      const edged = parseFloat(s.borderBottomWidth) >= 1 && s.borderBottomStyle !== "none";
      const edge = edged ? ratio(over(rgba(s.borderBottomColor), ground), ground) : Infinity;
      if (edge < 3 && ratio(groundOf(e), ground) < 3) found.add(`edge ${edge.toFixed(2)} of ${name(e)}`);
    }
    return [...found];
  }

  // What the sun leaves of the contrast of two colours on a screen: see
  // engine/draw/glare, where the model stands.
  const inGlare = (screen, a, b) => {
    const thrownBack = (screen.illuminance * screen.reflectance) / Math.PI;
    const [x, y] = [luminance(a), luminance(b)].map((l) => screen.white * l + thrownBack).sort((p, q) => q - p);
    return x / y;
  };
  // How much of an element its own and its parents' opacity lets be seen.
  const seen = inherited((e) => (e ? parseFloat(getComputedStyle(e).opacity) * seen(e.parentElement) : 1));
  // The share of its size that the stem of a letter is broad, by weight: common
  // practice of text faces.
  const stem = (weight) => (weight < 400 ? 0.07 : weight < 600 ? 0.09 : weight < 700 ? 0.12 : 0.14);

  // Every text, edge and line in full sun: its contrast there, and that it is as
  // broad as a line has to be. What only closes a gap between areas, takes the tap or
  // lights up a line is none; nor are the areas and edges of a picture in light,
  // which engine/draw tests.
  function glare({ screen, least, stroke }) {
    const found = new Set();
    const judge = (ink, ground, e, what, broad) => {
      if (!ink) return;
      const left = inGlare(screen, over({ ...ink, a: ink.a * seen(e) }, ground), ground);
      if (left < least) found.add(`in the glare ${left.toFixed(2)} of ${what()}`);
      if (broad < stroke) found.add(`in the glare ${broad.toFixed(2)} px broad: ${what()}`);
    };
    for (const t of texts()) {
      if (disabled(t.e)) continue;
      const s = getComputedStyle(t.e), svg = t.e.closest("svg"), ground = groundOf(t.e);
      const m = svg && t.e.getScreenCTM();
      const size = parseFloat(s.fontSize) * (m ? Math.hypot(m.a, m.b) : 1);
      judge(rgba(svg ? s.fill : s.color), ground, t.e, () => name(t.e), size * stem(parseFloat(s.fontWeight)));
      if (!t.node && t.e.placeholder) {
        judge(rgba(getComputedStyle(t.e, "::placeholder").color), ground, t.e, () => `the hint in ${name(t.e)}`);
      }
      if (s.textDecorationLine !== "none" && s.textDecorationThickness.endsWith("px")) {
        const broad = parseFloat(s.textDecorationThickness);
        judge(rgba(s.textDecorationColor), ground, t.e, () => `the line of ${name(t.e)}`, broad);
      }
    }
    for (const e of document.querySelectorAll("body *")) {
      if (e.closest("svg") || !shown(e) || forTheEar(e) || disabled(e)) continue;
      for (const pseudo of [undefined, "::before", "::after"]) {
        const s = getComputedStyle(e, pseudo);
        if (pseudo && s.content === "none") continue;
        const inside = groundOf(e), ground = pseudo ? inside : groundOf(e.parentElement);
        if (inGlare(screen, inside, ground) >= least) continue; // its area is seen
        for (const side of ["Top", "Right", "Bottom", "Left"]) {
          const broad = parseFloat(s[`border${side}Width`]), ink = rgba(s[`border${side}Color`]);
          if (!broad || s[`border${side}Style`] === "none" || !ink || ink.a === 0) continue;
          judge(ink, ground, e, () => `the edge of ${name(e)}`, broad);
        }
      }
    }
    const none = ".d-hit, .d-halo, .d-f, .d-lit .d-e, .d-lit .d-f, .case";
    for (const e of document.querySelectorAll("svg :is(path, circle, ellipse, line, rect, polyline, polygon)")) {
      const hatch = e.closest("pattern");
      if (e.matches(none) || e.closest(".case, .d-lit pattern") || disabled(e)) continue;
      if (hatch ? !shown(e.closest("svg")) : !shown(e)) continue;
      const s = getComputedStyle(e), ink = rgba(s.stroke);
      const m = e.getScreenCTM(), fixed = s.vectorEffect === "non-scaling-stroke";
      const broad = parseFloat(s.strokeWidth) * (fixed || !m ? 1 : Math.hypot(m.a, m.b));
      const of = (a) => a.getAttribute("class");
      const what = () => `the line <${e.tagName} .${of(e)}> in .${of(e.parentElement)}`;
      // On a photo a line has a case of paper around it.
      const around = e.closest(".overlay-lines") && (e.closest("g") || e).previousElementSibling;
      if (around && !around.matches(".case")) found.add(`nothing between the photo and ${what()}`);
      const ground = around ? rgba(getComputedStyle(around).stroke) : groundOf(e);
      if (ink && ink.a > 0 && broad > 0) judge(ink, ground, e, what, broad);
    }
    return [...found].slice(0, 30);
  }

  const control = "a[href], button, input:not([type=hidden]), select, textarea, summary, [role=button], [role=link], " +
    "[role=tab], [role=checkbox], [role=radio], [role=slider], [tabindex]:not([tabindex='-1'])";
  const controls = () => [...document.querySelectorAll(control)].filter(shown);

  // Targets are at least 48 by 48 CSS pixels; a field in a label has the
  // label's.
  function targets() {
    const found = new Set();
    for (const e of controls()) {
      if (e.getAttribute("role") === "region") continue; // scrolled by keys, not pressed
      let r = e.getBoundingClientRect();
      const label = e.closest("label") || (e.labels && e.labels[0]);
      if (label && (["checkbox", "radio", "file"].includes(e.type) || r.width <= 2)) r = label.getBoundingClientRect();
      if (r.width < 47.5 || r.height < 47.5) {
        found.add(`target ${r.width.toFixed(0)} × ${r.height.toFixed(0)} of ${name(e)}`);
      }
    }
    return [...found];
  }

  // Text is at least so many CSS pixels high, in a drawing as it is scaled.
  function sizes(least, drawn = least) {
    const found = new Set();
    for (const t of texts()) {
      let size = parseFloat(getComputedStyle(t.e).fontSize);
      const svg = t.e.closest("svg");
      if (svg) {
        const m = t.e.getScreenCTM && t.e.getScreenCTM();
        if (m) size *= Math.hypot(m.a, m.b);
      }
      if (size < (svg ? drawn : least) - 0.1) {
        found.add(`text of ${size.toFixed(1)} px in ${svg ? "the drawing: " + t.e.textContent : name(t.e)}`);
      }
    }
    return [...found];
  }

  const below = (e) => e && e !== document.body; // of what the page itself does
  const scrolls = inherited((e) => {
    if (!below(e)) return null;
    const sideways = /(auto|scroll)/.test(getComputedStyle(e).overflowX) && e.scrollWidth > e.clientWidth + 1;
    return sideways ? e : scrolls(e.parentElement);
  });
  const floating = inherited((e) => {
    if (!below(e)) return null;
    return /fixed|sticky/.test(getComputedStyle(e).position) ? e : floating(e.parentElement);
  });
  // cutters are those around an element that may cut it: up to the first that lets nothing
  // stand out of it.
  const cutters = inherited((e) => {
    if (!below(e)) return [];
    const s = getComputedStyle(e), x = /hidden|clip/.test(s.overflowX), y = /hidden|clip/.test(s.overflowY);
    const further = s.overflow === "visible" ? cutters(e.parentElement) : [];
    return x || y ? [{ e, x, y, r: e.getBoundingClientRect() }, ...further] : further;
  });

  // The page does not scroll sideways, no words are cut or leave the screen,
  // and none stand on others.
  function layout() {
    const found = new Set();
    const wide = document.documentElement.clientWidth;
    if (document.documentElement.scrollWidth > wide + 1) {
      found.add(`the page scrolls sideways: ${document.documentElement.scrollWidth} of ${wide}`);
    }
    const all = texts().filter((t) => !t.e.closest("svg"));
    const boxes = [];
    for (const t of all) {
      const b = box(t);
      if (b.width === 0) continue;
      const side = scrolls(t.e);
      if (!side && (b.left < -1 || b.right > wide + 1)) {
        found.add(`off the screen, ${b.left.toFixed(0)} to ${b.right.toFixed(0)}: ${name(t.e)}`);
      }
      for (const { e, x, y, r } of cutters(t.e)) {
        const cutX = x && (b.right > r.right + 2 || b.left < r.left - 2);
        const cutY = y && (b.bottom > r.bottom + 3 || b.top < r.top - 3);
        if (cutX || cutY) found.add(`cut by ${name(e).split(" \"")[0]}: ${name(t.e)}`);
      }
      const { left, right, top, bottom } = b;
      boxes.push({ b: { left, right, top, bottom }, t, f: floating(t.e), side });
    }
    boxes.sort((p, q) => p.b.top - q.b.top);
    for (const e of controls()) {
      if (forTheEar(e) || e.closest("svg")) continue;
      if (e.tagName !== "BUTTON" && e.tagName !== "A") continue;
      if (getComputedStyle(e).display !== "inline" && e.scrollWidth > e.clientWidth + 2 && !scrolls(e)) {
        found.add(`too wide for its button, ${e.scrollWidth} of ${e.clientWidth}: ${name(e)}`);
      }
    }
    for (let i = 0; i < boxes.length; i++) {
      for (let j = i + 1; j < boxes.length; j++) {
        const p = boxes[i], q = boxes[j];
        if (q.b.top > p.b.bottom) break; // and so do all that come after
        const y = Math.min(p.b.bottom, q.b.bottom) - q.b.top;
        const x = Math.min(p.b.right, q.b.right) - Math.max(p.b.left, q.b.left);
        if (x <= 3 || y <= 6 || p.f !== q.f || p.side !== q.side) continue;
        if (p.t.e.contains(q.t.e) || q.t.e.contains(p.t.e)) continue;
        found.add(`${name(p.t.e)} stands on ${name(q.t.e)} by ${x.toFixed(0)} × ${y.toFixed(0)}`);
      }
    }
    return [...found].slice(0, 12);
  }

  // Every drawing is either decoration or has words made from the plan.
  function drawings() {
    const found = [];
    for (const svg of document.querySelectorAll("svg")) {
      if (!shown(svg) || svg.closest("[aria-hidden=true]")) continue;
      const named = (attribute) => (svg.getAttribute(attribute) || "").split(/\s+/)
        .map((id) => (document.getElementById(id) || {}).textContent || "").join(" ");
      const inside = (part) => (svg.querySelector(part) || {}).textContent || "";
      const said = svg.getAttribute("aria-label") || named("aria-labelledby") || inside("title");
      const described = named("aria-describedby") || inside("desc");
      if (svg.matches(".code-picture[role=img][aria-label]")) continue; // for cameras: what it says stands beside it
      if (svg.getAttribute("role") !== "img" || !/\d/.test(said + described)) {
        found.push(`a drawing without a spoken summary: "${said}" "${described.slice(0, 60)}"`);
      }
    }
    return found;
  }

  // No words of a drawing stand on others or leave it. Turned ones are compared
  // with the box around them when turned by a quarter, else left out.
  function lettering() {
    const found = new Set();
    for (const svg of document.querySelectorAll("svg")) {
      if (!shown(svg)) continue;
      const frame = svg.getBoundingClientRect();
      const boxes = [];
      for (const e of svg.querySelectorAll("text")) {
        if (!e.textContent.trim() || !shown(e)) continue;
        const m = e.getScreenCTM();
        if (Math.abs(m.a * m.b) > 0.01) continue;
        const r = e.getBoundingClientRect();
        const size = parseFloat(getComputedStyle(e).fontSize) * Math.hypot(m.a, m.b);
        const turned = Math.abs(m.b) > Math.abs(m.a);
        // The box of a line of text is higher than its letters.
        const c = { x: (r.left + r.right) / 2, y: (r.top + r.bottom) / 2 };
        const w = turned ? size * 0.7 : r.width, h = turned ? r.height : size * 0.7;
        const b = { left: c.x - w / 2, right: c.x + w / 2, top: c.y - h / 2, bottom: c.y + h / 2 };
        b.words = e.textContent;
        const leaves = b.left < frame.left - 3 || b.right > frame.right + 3 ||
          b.top < frame.top - 3 || b.bottom > frame.bottom + 3;
        if (leaves) found.add(`"${b.words}" leaves its drawing`);
        for (const o of boxes) {
          const x = Math.min(b.right, o.right) - Math.max(b.left, o.left);
          const y = Math.min(b.bottom, o.bottom) - Math.max(b.top, o.top);
          if (x > 2 && y > 2) found.add(`"${b.words}" stands on "${o.words}" in the drawing`);
        }
        boxes.push(b);
      }
    }
    return [...found];
  }

  // With reduced motion nothing moves by itself.
  function motion() {
    const found = [];
    for (const e of document.querySelectorAll("html, body *")) {
      const s = getComputedStyle(e);
      if (parseFloat(s.transitionDuration) > 0 || s.animationName !== "none" || s.scrollBehavior === "smooth") {
        found.push(`moves: ${name(e)}`);
      }
    }
    return found.slice(0, 5);
  }

  // Which way arrows point, by what they are called: those of going on and back
  // along the words turn with them, those of moving a picture do not.
  const along = {
    "Back": -1, "All sites": -1, "Sites on this device": -1, "Before": -1, "Question before": -1, "Peg before": -1,
    "Next": 1, "Next peg": 1,
  };
  const still = { "Move left": -1, "Move right": 1, "Spot left": -1, "Spot right": 1 };
  function arrows() {
    const found = [];
    const wordsRun = document.documentElement.dir === "rtl" ? -1 : 1;
    for (const e of controls()) {
      const called = (e.getAttribute("aria-label") || e.innerText).trim();
      const wanted = called in along ? along[called] * wordsRun : still[called];
      const path = e.querySelector("svg.sign path");
      if (!wanted || !path) continue;
      const on = (share) => {
        const point = path.getPointAtLength(path.getTotalLength() * share);
        return point.matrixTransform(path.getScreenCTM()).x;
      };
      if (Math.sign(on(0.5) - on(0)) !== wanted) found.push(`points the wrong way: ${name(e)}`);
    }
    for (const e of document.querySelectorAll("details:not([open]) > summary")) {
      if (!shown(e)) continue;
      const m = new DOMMatrix(getComputedStyle(e, "::before").transform);
      if (Math.sign(m.a + m.c) !== wordsRun) found.push(`points the wrong way: ${name(e)}`);
    }
    return found;
  }

  // Each key shows the whole of its word, in one line.
  function keys() {
    const found = [];
    for (const e of document.querySelectorAll(".key")) {
      const words = [...e.childNodes].find((n) => n.nodeType === Node.TEXT_NODE && n.data.trim());
      if (!words || !shown(e)) continue;
      const r = document.createRange(), k = e.getBoundingClientRect();
      r.selectNodeContents(words);
      const w = r.getBoundingClientRect(), lines = new Set([...r.getClientRects()].map((l) => Math.round(l.top))).size;
      if (lines > 1 || w.left < k.left || w.right > k.right || w.top < k.top - 1 || w.bottom > k.bottom + 1) {
        found.push(`not whole on its key, in ${lines} lines: ${name(e)}`);
      }
    }
    return found;
  }

  // What a question of the walk needs is in sight, and in the lower two thirds of the
  // screen: keys, choices and what goes on or back.
  function reach() {
    const found = [];
    for (const e of document.querySelectorAll(".key, .speak, .choice, .steps .step, .words")) {
      if (!shown(e)) continue;
      const r = e.getBoundingClientRect(), middle = (r.top + r.bottom) / 2;
      const where = `${r.top.toFixed(0)} to ${r.bottom.toFixed(0)} of ${innerHeight}`;
      if (middle < innerHeight / 3) found.push(`out of the thumb's reach, ${where}: ${name(e)}`);
      const bars = document.querySelector(".tabs").getBoundingClientRect();
      if (r.bottom > bars.top + 1) found.push(`under the tabs, ${where}: ${name(e)}`);
    }
    return found;
  }

  // What can be pressed is in the lower two thirds of the screen, scrolled there or with the
  // page pulled down: either thumb gets there (common practice, from memory: no published
  // source). Further down on the page it is scrolled up.
  function thumb() {
    const found = [];
    scrollTo({ top: 0, behavior: "instant" });
    document.documentElement.dataset.low = "";
    for (const e of controls()) {
      const r = e.getBoundingClientRect(), middle = (r.top + r.bottom) / 2;
      if (middle < innerHeight / 3 && !forTheEar(e)) found.push(`out of the thumb's reach, ${r.top.toFixed(0)} to ${r.bottom.toFixed(0)}: ${name(e)}`);
    }
    delete document.documentElement.dataset.low;
    return found;
  }

  // The keypad for gloves has three digits in a row, each so many CSS pixels wide, and as
  // high where the screen has room; the microphone is as wide.
  function large(least) {
    const found = [];
    const digits = [...document.querySelectorAll(".key")].filter((e) => shown(e) && /^[0-9]$/.test(e.dataset.key));
    if (document.querySelector(".keypad") && digits.length !== 10) found.push(`${digits.length} digits`);
    for (const e of document.querySelectorAll(".speak")) {
      const r = e.getBoundingClientRect();
      if (shown(e) && (r.width < least || r.height < 55.5)) found.push(`${r.width.toFixed(1)} × ${r.height.toFixed(1)} px: ${name(e)}`);
    }
    for (const e of digits) {
      const r = e.getBoundingClientRect();
      if (r.width < least) found.push(`${r.width.toFixed(1)} px wide: ${name(e)}`);
      if (innerHeight >= 900 && r.height < least) found.push(`${r.height.toFixed(1)} px high: ${name(e)}`);
      if (r.height < 55.5) found.push(`${r.height.toFixed(1)} px high: ${name(e)}`);
    }
    return found;
  }

  // A screen reader is told which language to speak.
  function language() {
    const told = document.documentElement.lang;
    return /^[a-z]{2,3}(-|$)/.test(told) ? [] : [`the language is "${told}"`];
  }

  // rules runs the rules of axe that have one of the tags.
  const rules = (tags) =>
    complaints({ runOnly: { type: "tag", values: tags }, rules: { "color-contrast-enhanced": { enabled: true } } });

  // colours runs those rules of axe whose answer another theme may change.
  const ofColour = ["color-contrast", "color-contrast-enhanced", "link-in-text-block"];
  const colours = () => complaints({ runOnly: { type: "rule", values: ofColour } });

  async function complaints(options) {
    const result = await axe.run(document, { ...options, resultTypes: ["violations"] });
    return result.violations.flatMap((v) => v.nodes.slice(0, 3).map((n) => {
      const why = (n.any[0] || n.all[0] || n.none[0] || {}).message || "";
      return `axe ${v.id}: ${v.help}: ${n.target} ${n.html.slice(0, 140)} ${why}`;
    }));
  }

  const checks = {
    contrast, glare, targets, sizes, layout, drawings, lettering, motion, language, arrows, keys, reach, thumb, large,
  };
  for (const check in checks) checks[check] = anew(checks[check]);
  return { ...checks, rules, colours };
})();
