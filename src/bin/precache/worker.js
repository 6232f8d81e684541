// Trimwright's service worker: keeps the whole app on the phone, so that it starts without a
// network. The build fills in the two blanks below and writes the result as sw.js.
"use strict";

const version = "VERSION";
const files = ["FILES"];

// Two copies of the app may live in two folders of one host, and share its caches: each keeps to
// names that hold its own address. An address has no space, so none begins like another's.
const scope = self.registration.scope;
const mine = `trimwright ${scope} `;
const current = mine + version;
const page = new URL("./", scope).href;

// All files or none. "reload" asks the server itself: the browser's own cache may hold a file of
// the same name from an older build.
async function keep() {
  const cache = await caches.open(current);
  await cache.addAll(files.map((file) => new Request(file, { cache: "reload" })));
}

async function dropOlder() {
  const names = await caches.keys();
  const older = names.filter((name) => name.startsWith(mine) && name !== current);
  await Promise.all(older.map((name) => caches.delete(name)));
  await self.clients.claim();
}

// The app's own address, whatever is behind its question mark.
function isPage(url) {
  const path = url.origin + url.pathname;
  return path === page || path === `${page}index.html`;
}

async function answer(request) {
  const cache = await caches.open(current);
  const url = new URL(request.url);
  const asked = request.mode === "navigate" && isPage(url) ? page : request;
  // What a server says its answers vary with does not matter: these are files.
  const kept = await cache.match(asked, { ignoreVary: true });
  if (kept) return kept;
  // Not the app's, or thrown away by a phone short of space.
  return fetch(request);
}

self.addEventListener("install", (event) => event.waitUntil(keep()));
self.addEventListener("activate", (event) => event.waitUntil(dropOlder()));

self.addEventListener("fetch", (event) => {
  if (event.request.method === "GET" && event.request.url.startsWith(scope)) {
    event.respondWith(answer(event.request));
  }
});

// A newer worker waits until the person says so: half-typed readings are not to be swept away.
self.addEventListener("message", (event) => {
  if (event.data && event.data.type === "take over") self.skipWaiting();
});
