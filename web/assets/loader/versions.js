// The versions of the app that are kept on this device, and the service worker
// that keeps them.
import { program } from "./program.js";
import { change, facts, shell } from "./shell.js";

const second = 1000; // milliseconds

// holdVersion keeps the files of this version as long as the page lives: the
// worker removes none while a page holds this lock.
export function holdVersion() {
  if (!navigator.locks) return;
  navigator.locks.request(`pegpour-version-${shell.version}`, { mode: "shared" }, () => new Promise(() => {}));
}

export async function registerWorker() {
  const workers = navigator.serviceWorker;
  if (!workers || !navigator.locks) {
    change("offline", "impossible");
    return;
  }
  workers.addEventListener("controllerchange", compareWithController);
  try {
    const registration = await workers.register(facts.worker, { updateViaCache: "none" });
    watch(registration, registration.installing);
    watch(registration, registration.waiting);
    registration.addEventListener("updatefound", () => watch(registration, registration.installing));
    compareWithController();
    if (registration.active) becomeReady(registration.active);
    lookAfter(registration);
  } catch (err) {
    // Without signal the browser may fail to look for a newer worker though
    // this one works; then the app is kept all the same.
    change("offline", workers.controller ? "ready" : "failed");
  }
}

// lookAfter has the worker remove what no page uses, and looks for a newer one:
// now and then, and whenever somebody is back or there is signal again.
function lookAfter(registration) {
  const tidy = () => registration.active && registration.active.postMessage({ type: "tidy" });
  tidy();
  // The page that was here before a change of version may take a moment to
  // be gone, and with it the need for its files.
  setTimeout(tidy, 10 * second);
  const look = () => {
    tidy();
    registration.update().catch(() => {}); // no signal: another time
  };
  document.addEventListener("visibilitychange", () => document.visibilityState === "visible" && look());
  window.addEventListener("online", look);
  setInterval(look, 3600 * second);
}

// watch tells the program how far a worker is with keeping its version.
function watch(registration, worker) {
  if (!worker) return;
  const see = () => {
    if (worker.state === "installed" && registration.active && registration.active !== worker) {
      change("updateReady", true);
    } else if (worker.state === "activated") {
      becomeReady(worker);
    } else if (worker.state === "redundant" && !registration.active) {
      change("offline", "failed");
    }
  };
  worker.addEventListener("statechange", see);
  see();
}

// becomeReady says that this page would start without signal. The worker keeps the
// program of the office only once somebody opens the office: so it is told.
function becomeReady(worker) {
  if (program !== "office") {
    change("offline", "ready");
    return;
  }
  ask(worker, { type: "office", version: shell.version }, (kept) => change("offline", kept ? "ready" : "failed"));
}

// ask sends a worker a message and hands on its answer.
function ask(worker, message, answered) {
  const channel = new MessageChannel();
  channel.port1.onmessage = (event) => answered(event.data);
  worker.postMessage(message, [channel.port2]);
}

// Another page may have changed over to a newer version, or the server has
// one since this page was sent. This page goes on with its own, and offers.
function compareWithController() {
  const controller = navigator.serviceWorker.controller;
  if (!controller) return;
  ask(controller, { type: "version" }, (version) => version !== shell.version && change("updateReady", true));
}
