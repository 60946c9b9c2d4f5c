// What the start waits for longest is begun at once, while the rest of the page
// is still fetched: the program is compiled, if it is kept on this device, and
// the browser opens the file its databases are in.
"use strict";

// Which program the address of the page needs: "office", "building" or "phone", the
// names of their addresses in the page's data.
window.pegpourProgram = () => {
  const { office, building } = document.documentElement.dataset;
  if (office && /^\/office(\/|$)/.test(location.pathname)) return "office";
  return building && /^\/((rules|rates|learned|take|show)$|site\/[^/]+\/(build\/|(pour-day|past|owner|pack|photos|overlay|sources|quote|rules|rates|show)$))/.test(location.pathname) ? "building" : "phone";
};

// The compiled program, or null: then loader/program.js fetches it. It is read from
// where the worker keeps it, not by way of the worker: that takes half the time.
window.pegpourKept = (async () => {
  const workers = navigator.serviceWorker;
  if (!workers || !workers.controller || !self.caches || !WebAssembly.compileStreaming) return null;
  const response = await caches.match(document.documentElement.dataset[window.pegpourProgram()]);
  if (self.indexedDB && indexedDB.databases) indexedDB.databases().catch(() => {});
  return response ? WebAssembly.compileStreaming(response) : null;
})().catch(() => null);
