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

// A file of this version, by the digest of its contents. What the page has loaded a moment ago is in
// the browser's own cache; where that holds none, or one of the same name from an older build, the
// server is asked.
async function fetched([file, integrity]) {
  const ask = (cache) => fetch(file, { cache, integrity });
  const answer = await ask("force-cache").catch(() => ask("reload"));
  if (!answer.ok) throw new TypeError(`${file}: ${answer.status}`);
  return answer;
}

// All files or none.
async function keep() {
  const answers = await Promise.all(files.map(fetched));
  const cache = await caches.open(current);
  await Promise.all(files.map(([file], k) => cache.put(file, answers[k])));
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
