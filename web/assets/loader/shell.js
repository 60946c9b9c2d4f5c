// What the program may know of the page that loads it, as window.pegpourShell;
// package app reads it.
import { tellUpdate } from "./framework.js";

// What the build wrote into the page.
export const facts = document.documentElement.dataset;

export const shell = {
  version: facts.version,
  updateReady: false, // a newer version is complete on this device
  offline: "preparing", // "preparing", "ready", "impossible", "failed"
  applyUpdate: null, // applyUpdate() changes over to the newest version
  elsewhere: null, // elsewhere() tells whether the address needs another program
  holdYard: null, // holdYard(run) calls run in the one page that speaks to the yard
  speak: null, // speak(code) resolves to the file of a language, "" for English
  chosen: "", // the language chosen before, "" for the phone's own
  words: null, // resolves to the file of the language at the start
  keepList: null, // keepList() remembers the list of sites as it stands on the page
  forgetList: null, // forgetList() forgets it
  remind: null, // remind(name, at, words, seen, address) keeps a reminder
  remindsAt: null, // remindsAt(name) is the time of one, ms, or 0
};

// change sets a property and tells the program, if that is news.
export function change(property, value) {
  if (shell[property] === value) return;
  shell[property] = value;
  tellUpdate();
}
