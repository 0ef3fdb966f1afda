// The service worker: after one visit the page opens without a network.
//
// Before this text the build puts VERSION and FILES: for each file of the page its SHA-256 and its kind, the page itself
// under the name "". A version is taken in whole, each file checked against its sum, or not at all; it then waits until it
// is asked for or no tab of the version before is open. The page is one version's from its first byte to its last, since
// every other file carries a sum in its name.
"use strict";

const SCOPE = self.registration.scope;
// Other pages of the same site have caches of their own, and so has this page in another folder.
const OURS = `yokeline ${SCOPE} `;
const OWN = OURS + VERSION;
// What a cache notes beside the files: the caches that were there before it, and the tabs it serves.
const OLDER = `${SCOPE}?older`;
const TAB = `${SCOPE}?tab=`;

self.addEventListener("install", (event) => event.waitUntil(takeIn()));
self.addEventListener("activate", (event) => event.waitUntil(tidy()));

self.addEventListener("message", (event) => {
  if (event.data === "take") {
    self.skipWaiting();
  } else if (event.data === "here") {
    event.waitUntil(welcome(event.source));
  }
});

self.addEventListener("fetch", (event) => {
  const { request } = event;
  const path = request.url.split(/[?#]/)[0];
  if (request.method !== "GET" || !path.startsWith(SCOPE)) {
    return;
  }
  const name = path.slice(SCOPE.length);
  if (request.mode === "navigate") {
    if (name === "" || name === "index.html") {
      event.respondWith(kept(SCOPE, [OWN], request));
    }
  } else if (name in FILES) {
    event.respondWith(kept(path, [OWN], request));
  } else {
    event.respondWith(fromAnyVersion(path, request));
  }
});

async function takeIn() {
  const older = (await caches.keys()).filter((name) => name.startsWith(OURS) && name !== OWN);
  try {
    const arrived = await Promise.all(Object.keys(FILES).map(checked));
    const cache = await caches.open(OWN);
    await Promise.all(arrived.map(([address, file]) => cache.put(address, file)));
    await cache.put(OLDER, new Response(JSON.stringify(older)));
  } catch (error) {
    await caches.delete(OWN);
    throw error;
  }
}

// A file that is what the build made: as the browser has it already, or else fetched anew past every cache.
async function checked(name) {
  const [sum, kind] = FILES[name];
  const address = new URL(name, SCOPE).href;
  for (const cache of ["default", "reload"]) {
    const response = await fetch(address, { cache });
    const bytes = await response.arrayBuffer();
    const digest = new Uint8Array(await crypto.subtle.digest("SHA-256", bytes));
    if (btoa(String.fromCharCode(...digest)) === sum) {
      return [address, new Response(bytes, { headers: { "content-type": kind } })];
    }
  }
  throw new Error(`${name || "The page"} did not arrive as it was made.`);
}

// A file out of the first of these caches that has it; the browser may have thrown it away, and then it comes as ever.
async function kept(address, names, request) {
  for (const name of names) {
    const file = (await caches.has(name)) && (await (await caches.open(name)).match(address));
    if (file) {
      return file;
    }
  }
  return fetch(request);
}

// A tab that a version before this one opened may still ask for a file of that version.
async function fromAnyVersion(address, request) {
  return kept(address, (await caches.keys()).filter((name) => name.startsWith(OURS)), request);
}

// Notes a tab that shows this version, and forgets those that are closed.
async function welcome(tab) {
  const cache = await caches.open(OWN);
  const open = await openTabs();
  for (const { url } of await cache.keys()) {
    if (url.startsWith(TAB) && !open.has(url)) {
      await cache.delete(url);
    }
  }
  await cache.put(TAB + tab.id, new Response());
  await tidy();
}

// Deletes the versions before this one that no open tab shows any more.
async function tidy() {
  const older = await (await caches.open(OWN)).match(OLDER);
  const open = await openTabs();
  for (const name of older ? await older.json() : []) {
    if (!(await caches.has(name))) {
      continue;
    }
    const notes = await (await caches.open(name)).keys();
    if (!notes.some(({ url }) => open.has(url))) {
      await caches.delete(name);
    }
  }
}

async function openTabs() {
  const tabs = await self.clients.matchAll({ includeUncontrolled: true, type: "window" });
  return new Set(tabs.map((tab) => TAB + tab.id));
}
