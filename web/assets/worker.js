// The service worker of one version. The build puts one line and delta.js before this file:
//
//   const bundle = {version, page, files: [{path, sha256, size}, ...], office: [...]};
//
// Rules it keeps:
//   - A version is put by whole or not at all: each file is checked against its
//     digest before any is kept.
//   - It never takes over unasked. It waits until a page says "activate", or
//     until no page of the older version is open any more.
//   - Files are named by their content, so a page of an older version gets
//     exactly its own files, whichever worker answers. The files of a version
//     are kept until no open page uses it.
//   - Of a program that is kept in an older version only what changed is fetched, if the
//     server has it, and the new one is made of the two, checked as any file. While
//     somebody types nothing is made.
//   - The program of the office is kept with the rest on a device on which somebody
//     has opened the office, and on no other. Where it is not kept yet, the office's
//     page comes from the server, so that its program is of the page's version.
"use strict";

const cachePrefix = "pegpour-";
const cacheName = cachePrefix + bundle.version;
const shared = "/opened"; // what another app shares goes there, see loader/opened.js
const officeProgram = /^\/a\/office\.\w+\.wasm$/; // of any version
// Held by each page, shared, as long as it lives (loader/versions.js takes it).
const versionLockPrefix = "pegpour-version-";
const program = /^\/a\/([a-z]+)\.\w+\.wasm$/;
// Held by a page, shared, while somebody types there (loader/typing.js takes it).
const typingLock = "pegpour-typing";
// Held while caches are filled or removed, so that the two never cross.
const cachesLock = "pegpour-caches";

self.addEventListener("install", (event) => event.waitUntil(install()));
self.addEventListener("activate", (event) => event.waitUntil(activate()));

self.addEventListener("message", (event) => {
  switch (event.data && event.data.type) {
    case "activate":
      event.waitUntil(self.skipWaiting());
      break;
    case "office":
      event.waitUntil(keepOffice(event.data.version).then((kept) => event.ports[0].postMessage(kept)));
      break;
    case "version":
      if (event.ports[0]) event.ports[0].postMessage(bundle.version);
      break;
    case "tidy":
      event.waitUntil(removeUnused());
      break;
  }
});

self.addEventListener("fetch", (event) => {
  const url = new URL(event.request.url);
  if (url.origin !== self.location.origin) return;
  if (event.request.method === "POST" && url.pathname === shared) event.respondWith(receive(event.request));
  if (event.request.method !== "GET") return;
  if (url.pathname.startsWith("/a/")) {
    event.respondWith(asset(event.request, url.pathname));
  } else if (event.request.mode === "navigate" && !url.pathname.startsWith("/api/")) {
    event.respondWith(page(event.request, url.pathname));
  }
});

async function install() {
  const files = (await isOfficeUsed()) ? [...bundle.files, ...bundle.office] : bundle.files;
  if ((await caches.keys()).some((name) => name.startsWith(cachePrefix))) await nobodyTypes(); // else nothing works yet
  const responses = await fetchAll(files);
  await navigator.locks.request(cachesLock, async () => {
    try {
      await keep(files, responses);
    } catch (err) {
      await caches.delete(cacheName);
      throw err;
    }
  });
}

// fetchAll gets files all at once, but for programs that are made of older ones: each takes
// three times its size while it is made.
async function fetchAll(files) {
  const made = new Map();
  for (const file of files) {
    const response = await makeOfOlder(file).catch(() => null); // then the whole is fetched
    if (response) made.set(file, response);
  }
  return Promise.all(files.map((file) => made.get(file) || fetchChecked(file)));
}

// makeOfOlder makes a program of one that an older version left and of what changed, null
// where there is none of the two, or what comes of it is not what this version needs.
async function makeOfOlder(file) {
  const kind = program.exec(file.path);
  if (!kind || (await caches.match(file.path))) return null;
  for (const name of (await caches.keys()).filter((name) => name.startsWith(cachePrefix))) {
    const cache = await caches.open(name);
    for (const { url } of await cache.keys()) {
      const older = new URL(url).pathname;
      const of = program.exec(older);
      if (!of || of[1] !== kind[1]) continue;
      const changes = await fetch(`${file.path}/from/${older.slice("/a/".length)}`, { credentials: "same-origin" });
      if (!changes.ok) continue;
      const [old, delta] = await Promise.all([cache.match(older), changes].map(async (r) => new Uint8Array(await (await r).arrayBuffer())));
      const made = await applyDelta(old, delta, file.size, nobodyTypes);
      const response = new Response(made, { headers: { "Content-Type": "application/wasm" } });
      if (await digestMatches(response, file)) return response;
    }
  }
  return null;
}

// nobodyTypes waits until no page holds its lock.
const nobodyTypes = () => navigator.locks.request(typingLock, () => {});

async function keep(files, responses) {
  const cache = await caches.open(cacheName);
  await Promise.all(files.map((file, i) => cache.put(file.path, responses[i])));
}

// isOfficeUsed tells whether any version kept here has its program of the office.
async function isOfficeUsed() {
  for (const name of (await caches.keys()).filter((name) => name.startsWith(cachePrefix)))
    for (const request of await (await caches.open(name)).keys())
      if (officeProgram.test(new URL(request.url).pathname)) return true;
  return false;
}

// isOfficeKept tells whether this version has its program of the office.
async function isOfficeKept() {
  const cache = await caches.open(cacheName);
  const kept = await Promise.all(bundle.office.map((file) => cache.match(file.path)));
  return kept.every(Boolean);
}

// keepOffice keeps the program of the office, if the page that asks is of this
// version: a page of another one is kept by its own worker.
async function keepOffice(version) {
  if (version !== bundle.version || (await isOfficeKept())) return true;
  try {
    const responses = await fetchAll(bundle.office);
    await navigator.locks.request(cachesLock, () => keep(bundle.office, responses));
    return true;
  } catch {
    return false; // no signal, or no room
  }
}

// fetchChecked gets one file: from an older version that has the very same
// one, or else from the server, once more past the browser's own cache when
// what came is not what it should be.
async function fetchChecked(file) {
  const kept = await caches.match(file.path);
  if (kept && (await digestMatches(kept, file))) return kept;
  let fault;
  for (const cache of ["default", "reload"]) {
    const response = await fetch(file.path, { cache, credentials: "same-origin" });
    if (!response.ok) fault = `status ${response.status}`;
    else if (await digestMatches(response, file)) return response;
    else fault = "the content is not what this version needs";
  }
  throw new Error(`${file.path}: ${fault}`);
}

async function digestMatches(response, file) {
  const body = await response.clone().arrayBuffer();
  const digest = new Uint8Array(await crypto.subtle.digest("SHA-256", body));
  return Array.from(digest, (b) => b.toString(16).padStart(2, "0")).join("") === file.sha256;
}

async function activate() {
  await self.clients.claim();
  await removeUnused();
}

// removeUnused removes the files of versions that no open page uses. A page
// that is still loading has not said which version it is: then nothing goes.
async function removeUnused() {
  await navigator.locks.request(cachesLock, async () => {
    if (self.registration.installing || self.registration.waiting) return;
    const names = (await caches.keys()).filter((name) => name.startsWith(cachePrefix) && name !== cacheName);
    if (names.length === 0) return;

    // Each page that has started holds one lock.
    const held = (await navigator.locks.query()).held.filter((lock) => lock.name.startsWith(versionLockPrefix));
    const open = await self.clients.matchAll({ type: "window", includeUncontrolled: true });
    if (open.length > held.length) return;

    const used = new Set(held.map((lock) => cachePrefix + lock.name.slice(versionLockPrefix.length)));
    await Promise.all(names.filter((name) => !used.has(name)).map((name) => caches.delete(name)));
  });
}

// receive keeps a file that another app shares until the page has taken it.
async function receive(request) {
  const file = (await request.formData()).get("file");
  if (file instanceof File) await (await caches.open(shared)).put(shared, new Response(file));
  return Response.redirect("/?shared", 303);
}

// page answers every address of the app: which screen it is, the app decides.
async function page(request, path) {
  if (/^\/office(\/|$)/.test(path) && !(await isOfficeKept())) {
    const newest = await fetch(request).catch(() => null);
    if (newest && newest.ok) return newest;
  }
  const kept = await (await caches.open(cacheName)).match(bundle.page);
  return kept || fetch(request);
}

async function asset(request, path) {
  const kept = (await (await caches.open(cacheName)).match(path)) || (await caches.match(path));
  return kept || fetch(request);
}
