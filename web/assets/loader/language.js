// The language. The page lists the languages that there is a file of. The one
// spoken at the start is the one chosen before, or else the first of the
// browser's own that is English or listed.
import { facts } from "./shell.js";

const chosenKey = "pegpour-language"; // of localStorage
const files = {}; // addresses by language
for (const entry of (facts.words || "").split(";")) {
  const [code, , address] = entry.split("|");
  if (address) files[code] = address;
}

let said = {}; // what this script itself says, in the language of the start

// chosenLanguage is the language chosen before, "" for the phone's own.
export function chosenLanguage() {
  try {
    return localStorage.getItem(chosenKey) || "";
  } catch {
    return ""; // a browser that keeps nothing
  }
}

// listenToWords resolves to the file of a language, and has say speak it from
// then on.
export function listenToWords(code) {
  const words = fetchWords(code);
  words.then((text) => (said = text ? JSON.parse(text).texts : {})).catch(() => {});
  return words;
}

// speak resolves to the file of a language and remembers that it was chosen.
export async function speak(code) {
  const text = await fetchWords(code);
  try {
    if (code) localStorage.setItem(chosenKey, code);
    else localStorage.removeItem(chosenKey);
  } catch {} // the setting itself is kept with the sites
  return text;
}

// say puts a text into the language of the start, with parts in its holes.
export function say(english, ...parts) {
  const text = typeof said[english] === "string" ? said[english] : english;
  return text.replace(/\{(\d)\}/g, (_, n) => parts[n]);
}

async function fetchWords(code) {
  const address = fileOf(code);
  if (!address) return "";
  const response = await fetch(address);
  if (!response.ok) throw new Error(`${address}: status ${response.status}`);
  return response.text();
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
