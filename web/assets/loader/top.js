import { goUp } from "./low.js";

// A screen that is gone to begins at its top. One that is gone back to is no new
// entry of the history, and the browser shows it where it was left.
export function beginAtTheTop() {
  const push = history.pushState;
  history.pushState = function (...entry) {
    const from = location.pathname;
    push.apply(history, entry);
    if (location.pathname === from || location.hash) return;
    goUp();
    scrollTo({ top: 0, behavior: "instant" });
    document.querySelector("#content")?.scrollTo({ top: 0, behavior: "instant" });
  };
}
