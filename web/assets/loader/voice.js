// Numbers are spoken where the browser understands speech on the device itself. No sound
// goes to a network: where that is not sure there is no microphone on the screen.
// https://webaudio.github.io/web-speech-api/
const tags = { en: "en-US", de: "de-DE" }; // languages in which the program reads numbers
const patience = 15000; // milliseconds to say a number in

// Kept while the browser is asked what it understands. A browser in which nobody answers
// that ends the page, as Chromium without a window does: it is asked once and never again.
const asking = "pegpour-asks-voice";

const root = document.documentElement;
const Recognition = window.SpeechRecognition || window.webkitSpeechRecognition;

let tag = ""; // of the language that is understood, or would be
let looks = 0;
let end = null; // ends listening with an outcome, null while nobody is listened to
let finish = null; // has what was said so far understood

export function listenForNumbers() {
  if (!Recognition || !("processLocally" in Recognition.prototype) || !Recognition.available) return;
  if (kept(asking) === navigator.userAgent) return;
  addEventListener("pagehide", () => keep(asking, ""));
  look();
  new MutationObserver(look).observe(root, { attributeFilter: ["lang"] });
  for (const event of ["online", "offline"]) addEventListener(event, look);
  document.addEventListener("visibilitychange", () => (document.hidden ? end?.("aborted") : look()));
  document.addEventListener("keydown", (event) => event.target.dataset?.do === "speak" || end?.(""), true);
  document.addEventListener("click", pressed, true);
}

// look finds whether this language is understood here, or would be once its words are
// loaded. What the root says of it shows the controls: see pegpour.css.
async function look() {
  const mine = ++looks;
  const language = root.lang.split("-")[0];
  const all = tags[language] ? [...navigator.languages.filter((l) => l.split("-")[0] === language), tags[language]] : [];
  let found = "";
  let of = "";
  for (const langs of all.map((l) => [l])) {
    keep(asking, navigator.userAgent);
    const state = await Recognition.available({ langs, processLocally: true }).catch(() => "");
    keep(asking, "");
    if (state === "available") [found, of] = ["ready", langs[0]];
    else if (state === "downloadable" && !found && navigator.onLine) [found, of] = ["offered", langs[0]];
    if (found === "ready") break;
  }
  if (mine !== looks) return;
  if (tag !== of) end?.("aborted");
  tag = of;
  show(found);
}

function kept(name) {
  try {
    return localStorage.getItem(name);
  } catch {
    return null; // this browser keeps nothing
  }
}

function keep(name, value) {
  try {
    if (value) localStorage.setItem(name, value);
    else localStorage.removeItem(name);
  } catch {
    // it keeps nothing
  }
}

function show(state) {
  if (state) root.dataset.voice = state;
  else delete root.dataset.voice;
}

function pressed(event) {
  const does = event.target.closest?.("[data-do]")?.dataset.do;
  if (does === "load-speech") load();
  else if (does !== "speak") end?.(""); // who does something else has stopped speaking
  else if (end) finish();
  else listen(event.target.closest("[data-do]"));
}

async function load() {
  looks++;
  show("loading");
  if (await Recognition.install({ langs: [tag], processLocally: true }).catch(() => false)) look();
  else show("failed");
}

function listen(button) {
  const entry = document.getElementById("entry");
  const recognition = new Recognition();
  recognition.lang = tag;
  recognition.processLocally = true;
  if (!entry || !recognition.processLocally) return;
  const field = entry.dataset.entry;
  const tell = (outcome, words) => {
    const now = document.getElementById("entry"); // may be another one meanwhile
    if (now?.dataset.entry !== field) return;
    now.dispatchEvent(new CustomEvent("spoken", { detail: { outcome, words: words || "", language: tag.split("-")[0] } }));
  };
  const ended = (outcome, words) => {
    if (end !== ended) return;
    end = null;
    clearTimeout(timer);
    delete root.dataset.listening;
    button.removeAttribute("aria-pressed");
    recognition.abort();
    tell(outcome, words);
    if (outcome === "language-not-supported") look();
  };
  const timer = setTimeout(() => ended("no-speech"), patience);
  end = ended;
  finish = () => recognition.stop();
  root.dataset.listening = "";
  button.setAttribute("aria-pressed", "true");
  recognition.onstart = () => end === ended && tell("listening");
  recognition.onresult = (event) => ended("heard", event.results[0][0].transcript);
  recognition.onerror = (event) => ended(event.error);
  recognition.onnomatch = recognition.onend = () => ended("no-speech");
  tell("asks");
  try {
    recognition.start();
  } catch {
    ended("failed");
  }
}
