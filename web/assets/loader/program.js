// The program: compiled at once where it is kept on this device, fetched where
// it is not.
import { hideKeptList } from "./keptlist.js";
import { say } from "./language.js";
import { hideNotice, showFetched, showStarting, showStopped } from "./notice.js";
import { facts } from "./shell.js";

export const program = window.pegpourProgram(); // of this page: see early.js

const patience = 1000; // milliseconds, before the page says what it waits for

let started = false;
let slow = 0; // a timer

// elsewhere tells whether the address, which the program may have changed, is one of
// another program.
export function elsewhere() {
  return window.pegpourProgram() !== program;
}

export async function start() {
  slow = setTimeout(showStarting, patience);
  if (typeof WebAssembly !== "object" || typeof Go !== "function") {
    stop(say("This browser cannot run Pegpour: it lacks WebAssembly. A browser of the last five years has it."));
    return;
  }
  new MutationObserver((_, observer) => {
    observer.disconnect();
    started = true;
    clearTimeout(slow);
    hideNotice();
    facts.app = "running";
  }).observe(document.body, { childList: true });

  try {
    const go = new Go();
    const { instance } = await instantiate(go.importObject);
    go.run(instance).then(
      () => stop(say("Pegpour has stopped. What you entered before is kept.")),
      (err) => stop(say("Pegpour has stopped. What you entered before is kept."), err),
    );
  } catch (err) {
    stop(
      navigator.onLine
        ? say("Pegpour could not be fetched. Open it again when the signal is better.")
        : say("Pegpour is not on this device yet, and there is no signal. Open it once with signal; then it works without."),
      err,
    );
  }
}

async function instantiate(imports) {
  const kept = await window.pegpourKept; // see early.js
  if (kept) return { instance: await WebAssembly.instantiate(kept, imports) };
  const response = fetchShowingProgress(facts[program], Number(facts[`${program}Size`]));
  if (WebAssembly.instantiateStreaming) return WebAssembly.instantiateStreaming(response, imports);
  return response.then((r) => r.arrayBuffer()).then((bytes) => WebAssembly.instantiate(bytes, imports));
}

async function fetchShowingProgress(address, size) {
  const response = await fetch(address);
  if (!response.ok) throw new Error(`${address}: status ${response.status}`);
  const begun = performance.now();
  let got = 0;
  const counted = new TransformStream({
    transform(chunk, next) {
      got += chunk.byteLength;
      if (!started && performance.now() - begun > patience) showFetched(Math.min(100, Math.round((got / size) * 100)));
      next.enqueue(chunk);
    },
  });
  return new Response(response.body.pipeThrough(counted), { headers: response.headers });
}

function stop(message, err) {
  clearTimeout(slow);
  if (err) console.error(err);
  facts.app = "stopped";
  // The screen of a stopped program no longer answers, so it goes.
  document.body.firstElementChild.hidden = true;
  hideKeptList();
  showStopped(message);
}
