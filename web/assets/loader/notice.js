// What stands on the page until the program runs, and when it has stopped.
import { say } from "./language.js";

const byID = (id) => document.getElementById(id);
const notice = byID("app-wasm-loader");
const words = byID("app-wasm-loader-label");
const bar = byID("loading-bar");
const again = byID("loading-again");
again.addEventListener("click", () => location.reload());

export function hideNotice() {
  notice.hidden = true;
}

export function showStarting() {
  if (!words.textContent) words.textContent = say("Starting");
}

export function showFetched(percent) {
  bar.hidden = false;
  bar.value = percent;
  words.textContent = say("Fetching {0} %", percent);
}

// showStopped says why the program does not run, and offers to open it again.
export function showStopped(message) {
  words.textContent = message;
  bar.hidden = true;
  again.textContent = say("Open again");
  again.hidden = false;
  notice.hidden = false;
}
