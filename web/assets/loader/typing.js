// While somebody types the page holds a lock, and the worker makes nothing of what it
// fetches: a key is answered before a newer version is.
const pause = 5000; // milliseconds after the last key until it counts as none

let ends = 0; // a timer, 0 while the lock is not held
let release = null;

export function holdTyping() {
  if (!navigator.locks) return;
  for (const event of ["input", "keydown", "pointerdown"]) document.addEventListener(event, typed, { capture: true, passive: true });
}

function typed(event) {
  if (event.type === "pointerdown" && !event.target.closest("[data-types]")) return;
  if (ends === 0) {
    const done = new Promise((resolve) => (release = resolve));
    navigator.locks.request("pegpour-typing", { mode: "shared" }, () => done);
  }
  clearTimeout(ends);
  ends = setTimeout(() => {
    ends = 0;
    release();
  }, pause);
}
