// Trimwright's service worker: keeps the whole app on the phone, so that it starts without a
// network. The build fills in the two blanks below and writes the result as sw.js.
"use strict";

const version = "VERSION";
const files = ["FILES"];
// Not every visit needs these: the words of a language. They are kept when somebody wants them.
const optional = ["OPTIONAL"];

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

// What a file is called in every version: without the digest at its end.
function stem(file) {
  const address = new URL(file, scope).href;
  return address.slice(0, address.lastIndexOf("-"));
}

// What is kept of the versions before, by what it is called in every version.
async function keptStems() {
  const names = (await caches.keys()).filter((name) => name.startsWith(mine));
  const kept = await Promise.all(names.map(async (name) => (await caches.open(name)).keys()));
  return kept.flat().map((request) => stem(request.url));
}

// All files or none; among them those that were wanted before.
async function keep() {
  const stems = await keptStems();
  const wanted = [...files, ...optional.filter(([file]) => stems.includes(stem(file)))];
  const answers = await Promise.all(wanted.map(fetched));
  const cache = await caches.open(current);
  await Promise.all(wanted.map(([file], k) => cache.put(file, answers[k])));
}

// One that not every visit needs, kept from now on. Where it cannot be had there is no content: that tells the
// page as much as an error, which would stand in the console.
async function brought(cache, row) {
  const answer = await fetched(row).catch(() => new Response(null, { status: 204 }));
  // A phone short of space has it for this time.
  if (answer.status === 200) await cache.put(row[0], answer.clone()).catch(() => {});
  return answer;
}

// The page of another version may ask, by the name that the file has there.
async function keepToo(name) {
  const row = optional.find(([file]) => stem(file) === stem(name));
  const cache = await caches.open(current);
  if (row && !(await cache.match(row[0], { ignoreVary: true }))) await brought(cache, row);
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
  const row = optional.find(([file]) => new URL(file, scope).href === url.href);
  if (row) return brought(cache, row);
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
  if (event.data && event.data.type === "keep") event.waitUntil(keepToo(event.data.file));
});
