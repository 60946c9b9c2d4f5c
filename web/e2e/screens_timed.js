// What a screen does to its page: taken down from the start of each document, and
// handed out since the last begin().
//
// Interactions: Event Timing API; one takes as long as the longest of its events, and the
// next paint of many is the 98th percentile (web.dev/articles/inp; GoogleChrome/web-vitals,
// src/lib/InteractionManager.ts).
// Layout shift: the largest sum of a session window, shifts less than 1 s apart and less
// than 5 s after the first, without those within 500 ms of an input (web.dev/articles/cls;
// chromium.googlesource.com, docs/speed/metrics_changelog/2021_06_cls.md).
window.timed = (() => {
  let events = new Map(), shifts = [], moved = [], last = 0;
  const named = (node) => {
    const e = node && (node.nodeType === 1 ? node : node.parentElement);
    return e ? e.tagName.toLowerCase() + (e.id && "#" + e.id) + (e.getAttribute("class") ? "." + e.getAttribute("class").split(" ")[0] : "") : "?";
  };
  const take = {
    longtask: (e) => { last = Math.max(last, e.startTime + e.duration); },
    event: (e) => { if (e.interactionId) events.set(e.interactionId, Math.max(e.duration, events.get(e.interactionId) || 0)); },
    "layout-shift": (e) => {
      if (e.hadRecentInput) return;
      shifts.push([e.startTime, e.value]);
      moved.push(...e.sources.map((s) => named(s.node)));
    },
  };
  const observers = Object.entries(take).map(([type, each]) => {
    const o = new PerformanceObserver((list) => list.getEntries().forEach(each));
    o.observe({type, buffered: true, ...(type === "event" && {durationThreshold: 16})});
    return [o, each];
  });
  addEventListener("DOMContentLoaded", () => new MutationObserver(() => { last = performance.now(); })
    .observe(document.documentElement, {childList: true, subtree: true, characterData: true, attributes: true}));
  const later = (ms) => new Promise((then) => setTimeout(then, ms));
  return {
    begin() {
      observers.forEach(([o]) => o.takeRecords());
      events = new Map(); shifts = []; moved = []; last = performance.now();
    },
    // quiet waits until nothing happened for a moment, or three seconds where it never ends.
    async quiet() {
      const begun = performance.now();
      do await later(50); while (performance.now() - last < 300 && performance.now() - begun < 3000);
    },
    async end() {
      await new Promise((then) => { requestAnimationFrame(() => requestAnimationFrame(then)); later(500).then(then); });
      await later(0);
      observers.forEach(([o, each]) => o.takeRecords().forEach(each));
      let worst = 0, sum = 0, first = 0, before = 0;
      for (const [at, value] of shifts) {
        if (!sum || at - before >= 1000 || at - first >= 5000) { sum = 0; first = at; }
        before = at;
        worst = Math.max(worst, sum += value);
      }
      return JSON.stringify({Interactions: [...events.values()], Shift: worst, Moved: [...new Set(moved)]});
    },
  };
})();
