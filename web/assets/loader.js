// Loads and starts the program, and looks after its service worker. What the
// program may know stands in window.pegpourShell; package app reads it.
"use strict";

// go-app looks for these four functions; the program puts its own in the place
// of the first three.
var goappNav = function () {};
var goappOnUpdate = function () {};
var goappOnAppInstallChange = function () {};
function goappGetenv() {
  return "";
}

// The browser's offer to install, kept until the person asks for it.
let installOffer = null;
window.addEventListener("beforeinstallprompt", (event) => {
  event.preventDefault();
  installOffer = event;
  goappOnAppInstallChange();
});
window.addEventListener("appinstalled", () => {
  installOffer = null;
  goappOnAppInstallChange();
});
function goappIsAppInstalled() {
  return window.matchMedia("(display-mode: standalone)").matches || navigator.standalone === true;
}
function goappIsAppInstallable() {
  return !goappIsAppInstalled() && installOffer !== null;
}
async function goappShowInstallPrompt() {
  const offer = installOffer;
  installOffer = null;
  await offer.prompt();
  await offer.userChoice;
  goappOnAppInstallChange();
}

// Enter in an entry of one line is told to the program as an event of its own.
document.addEventListener("keydown", (event) => {
  if (event.key !== "Enter" || event.isComposing || !event.target.matches("input[data-entry]")) return;
  event.preventDefault();
  event.target.dispatchEvent(new Event("entered"));
});

// A key of the keypad types when it is pressed, as a key of any keyboard does,
// and not when it is let go. Where a finger on it may be about to scroll, and for
// the keys that go on and back, the click counts.
let pressedKey = null;
document.addEventListener("pointerdown", (event) => {
  pressedKey = null;
  const key = event.target.closest("[data-types]");
  if (!key || event.button !== 0 || scrolls(document.documentElement) || scrolls(key.closest(".content"))) return;
  key.click();
  pressedKey = key;
});
document.addEventListener("mousedown", (event) => {
  if (pressedKey !== null) event.preventDefault(); // the cursor stays in the entry
});
document.addEventListener("click", (event) => {
  if (!event.isTrusted || event.detail === 0 || pressedKey === null) return; // a keyboard's, a screen reader's
  if (event.target.closest("[data-types]") === pressedKey) event.stopImmediatePropagation(); // typed already
  pressedKey = null;
}, true);
function scrolls(part) {
  return part !== null && part.scrollHeight > part.clientHeight + 1;
}

(function () {
  const facts = document.documentElement.dataset;
  const byID = (id) => document.getElementById(id);
  const loading = byID("app-wasm-loader");
  const words = byID("app-wasm-loader-label");
  const bar = byID("loading-bar");
  const again = byID("loading-again");

  const shell = {
    version: facts.version,
    updateReady: false, // a newer version is complete on this device
    offline: "preparing", // "preparing", "ready", "impossible", "failed"
    applyUpdate,
    holdYard,
    speak, // speak(code) resolves to the file of a language, "" for English
    chosen: "", // the language chosen before, "" for the phone's own
    words: null, // the file of the language at the start
    keepList, // keepList() remembers the list of sites as it stands on the page
  };
  window.pegpourShell = shell;

  // ---- The language ------------------------------------------------------

  // The page lists the languages that there is a file of. The one spoken at
  // the start is the one chosen before, or else the first of the browser's own
  // that is English or listed.
  const languageKey = "pegpour-language";
  const files = {};
  for (const entry of (facts.words || "").split(";")) {
    const [code, , address] = entry.split("|");
    if (address) files[code] = address;
  }
  let said = {}; // what this file itself says, in that language
  shell.chosen = chosen();
  shell.words = fetchWords(shell.chosen);
  shell.words.then((text) => (said = text ? JSON.parse(text).texts : {})).catch(() => {});

  function chosen() {
    let kept = "";
    try {
      kept = localStorage.getItem(languageKey) || "";
    } catch {} // a browser that keeps nothing
    return kept;
  }

  function fileOf(code) {
    for (const wanted of code ? [code] : navigator.languages || []) {
      const primary = wanted.toLowerCase().split("-")[0];
      if (files[wanted]) return files[wanted];
      if (files[primary]) return files[primary];
      if (primary === "en") return "";
    }
    return "";
  }

  async function fetchWords(code) {
    const address = fileOf(code);
    if (!address) return "";
    const response = await fetch(address);
    if (!response.ok) throw new Error(`${address}: status ${response.status}`);
    return response.text();
  }

  async function speak(code) {
    const text = await fetchWords(code);
    try {
      if (code) localStorage.setItem(languageKey, code);
      else localStorage.removeItem(languageKey);
    } catch {} // the setting itself is kept with the sites
    return text;
  }

  function say(english, ...parts) {
    const text = typeof said[english] === "string" ? said[english] : english;
    return text.replace(/\{(\d)\}/g, (_, n) => parts[n]);
  }

  again.addEventListener("click", () => location.reload());

  function changed(property, value) {
    if (shell[property] === value) return;
    shell[property] = value;
    goappOnUpdate();
  }

  // ---- The list of sites as it was last ------------------------------------

  // Until the program runs the page shows the list of sites as it stood there
  // last, with no more of it than the first screens. What is tapped meanwhile is
  // tapped again in the program's own list, once that is there.
  const listKey = "pegpour-list";
  const listed = 12; // sites
  const root = document.documentElement;
  let wanted = ""; // the part tapped last: see partOf
  showKeptList();

  function keepList() {
    const screen = document.querySelector(".screen-sites:not(.kept-list)");
    if (!screen || document.querySelector(".kept-list")) return;
    const copy = screen.cloneNode(true);
    for (const part of copy.querySelectorAll(`.update-notice, .bar, .tallies, .list-rest, .site:nth-child(n + ${listed + 1})`)) part.remove();
    copy.querySelector("[data-list]").removeAttribute("data-list");
    for (const input of copy.querySelectorAll("input")) input.disabled = true;
    const kept = { version: shell.version, html: copy.innerHTML, root: {} };
    for (const name of ["lang", "dir", "data-theme", "data-thumb"]) kept.root[name] = root.getAttribute(name) || "";
    const text = JSON.stringify(kept);
    try {
      if (localStorage.getItem(listKey) !== text) localStorage.setItem(listKey, text);
    } catch {} // no room: the next start shows none
  }

  function showKeptList() {
    if (location.pathname !== "/") return;
    let kept = null;
    try {
      kept = JSON.parse(localStorage.getItem(listKey));
    } catch {}
    if (!kept || kept.version !== shell.version || typeof kept.html !== "string") return;
    for (const [name, value] of Object.entries(kept.root || {})) if (value) root.setAttribute(name, value);
    const list = document.createElement("div");
    list.className = "screen screen-sites kept-list";
    list.setAttribute("aria-busy", "true");
    list.innerHTML = kept.html;
    list.addEventListener("click", (event) => {
      const part = event.target.closest("a, button");
      if (!part) return;
      event.preventDefault();
      for (const other of list.querySelectorAll(".wanted")) other.classList.remove("wanted");
      part.classList.add("wanted");
      wanted = partOf(part);
    });
    loading.hidden = true;
    document.body.append(list);
    root.dataset.keptList = "";
    const there = () => {
      if (!document.querySelector("[data-list=here]")) return;
      observer.disconnect();
      hideKeptList();
      for (const part of wanted ? document.querySelectorAll(".screen-sites a, .screen-sites button") : [])
        if (partOf(part) === wanted) return part.click();
    };
    const observer = new MutationObserver(there);
    observer.observe(document.body, { childList: true, subtree: true, attributes: true, attributeFilter: ["data-list"] });
  }

  function hideKeptList() {
    const list = document.querySelector(".kept-list");
    if (list) list.remove();
    delete root.dataset.keptList;
  }

  // partOf names a link or button of the list, the same in every copy of it.
  function partOf(part) {
    const link = part.closest(".site") && part.closest(".site").querySelector("a");
    return [part.localName, part.dataset.do || "", part.getAttribute("href") || "", link ? link.getAttribute("href") : ""].join(" ");
  }

  // ---- The program -------------------------------------------------------

  let started = false;
  const slow = setTimeout(() => {
    if (!words.textContent) words.textContent = say("Starting");
  }, 1000);

  holdVersion();
  start().finally(registerWorker);

  async function start() {
    if (typeof WebAssembly !== "object" || typeof Go !== "function") {
      stop(say("This browser cannot run Pegpour: it lacks WebAssembly. A browser of the last five years has it."));
      return;
    }
    new MutationObserver((_, observer) => {
      observer.disconnect();
      started = true;
      clearTimeout(slow);
      loading.hidden = true;
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
    const kept = await window.pegpourKept;
    if (kept) return { instance: await WebAssembly.instantiate(kept, imports) };
    const response = fetchShowingProgress(facts.wasm, Number(facts.wasmSize));
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
        if (!started && performance.now() - begun > 1000) {
          const percent = Math.min(100, Math.round((got / size) * 100));
          bar.hidden = false;
          bar.value = percent;
          words.textContent = say("Fetching {0} %", percent);
        }
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
    words.textContent = message;
    bar.hidden = true;
    again.textContent = say("Open again");
    again.hidden = false;
    loading.hidden = false;
  }

  // ---- Versions ----------------------------------------------------------

  // The worker keeps the files of a version as long as a page holds this lock.
  function holdVersion() {
    if (!navigator.locks) return;
    navigator.locks.request(`pegpour-version-${shell.version}`, { mode: "shared" }, () => new Promise(() => {}));
  }

  // One page of this device speaks to the yard: run is called in the page that
  // gets the lock, which it keeps as long as it lives; then another one gets it.
  function holdYard(run) {
    if (!navigator.locks) {
      run();
      return;
    }
    navigator.locks.request("pegpour-yard", () => {
      run();
      return new Promise(() => {});
    });
  }

  async function registerWorker() {
    const workers = navigator.serviceWorker;
    if (!workers || !navigator.locks) {
      changed("offline", "impossible");
      return;
    }
    workers.addEventListener("controllerchange", compareWithController);
    try {
      const registration = await workers.register(facts.worker, { updateViaCache: "none" });
      watch(registration, registration.installing);
      watch(registration, registration.waiting);
      registration.addEventListener("updatefound", () => watch(registration, registration.installing));
      compareWithController();
      if (registration.active) {
        changed("offline", "ready");
      }
      // The page that was here before a change of version may take a moment to
      // be gone, and with it the need for its files.
      const tidy = () => registration.active && registration.active.postMessage({ type: "tidy" });
      tidy();
      setTimeout(tidy, 10 * 1000);
      const look = () => {
        tidy();
        registration.update().catch(() => {}); // no signal: another time
      };
      document.addEventListener("visibilitychange", () => document.visibilityState === "visible" && look());
      window.addEventListener("online", look);
      setInterval(look, 60 * 60 * 1000);
    } catch (err) {
      // Without signal the browser may fail to look for a newer worker though
      // this one works; then the app is kept all the same.
      changed("offline", workers.controller ? "ready" : "failed");
    }
  }

  function watch(registration, worker) {
    if (!worker) return;
    const see = () => {
      if (worker.state === "installed" && registration.active && registration.active !== worker) {
        changed("updateReady", true);
      } else if (worker.state === "activated") {
        changed("offline", "ready");
      } else if (worker.state === "redundant" && !registration.active) {
        changed("offline", "failed");
      }
    };
    worker.addEventListener("statechange", see);
    see();
  }

  // Another page may have changed over to a newer version, or the server has
  // one since this page was sent. This page goes on with its own, and offers.
  function compareWithController() {
    const controller = navigator.serviceWorker.controller;
    if (!controller) return;
    const channel = new MessageChannel();
    channel.port1.onmessage = (event) => {
      if (event.data !== shell.version) changed("updateReady", true);
    };
    controller.postMessage({ type: "version" }, [channel.port2]);
  }

  // applyUpdate changes over to the newest version and reloads this page, once.
  // The program has saved the edit in progress before it calls this.
  async function applyUpdate() {
    let reloading = false;
    const reload = () => {
      if (reloading) return;
      reloading = true;
      location.reload();
    };
    const workers = navigator.serviceWorker;
    const registration = workers && (await workers.getRegistration());
    const waiting = registration && registration.waiting;
    if (!waiting) {
      reload();
      return;
    }
    workers.addEventListener("controllerchange", reload);
    waiting.addEventListener("statechange", () => waiting.state === "activated" && reload());
    waiting.postMessage({ type: "activate" });
  }
})();
