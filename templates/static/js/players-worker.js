// Keeps the players' pages on the device, so that they can be read without a network. Its say ends
// with its scope: the players' pages and what they are made of. A page comes from the network while
// that answers in time, else from the shelf; style sheets and fonts come from the shelf, since their
// address changes whenever they do.
const SCOPE = new URL(self.registration.scope).pathname;
const SHELF = `pacestick ${SCOPE}`;
const STATIC = "/static/";
const STAMP = new URL(self.location.href).searchParams.get("stamp");
const PATIENCE_MS = 4000;

self.addEventListener("install", () => self.skipWaiting());
self.addEventListener("activate", (event) => event.waitUntil(begin()));
self.addEventListener("message", (event) => event.waitUntil(keep(event)));
self.addEventListener("fetch", (event) => {
  const { method, url } = event.request;
  const { origin, pathname } = new URL(url);
  if (method !== "GET" || origin !== self.location.origin) return;
  if (pathname.startsWith(STATIC)) event.respondWith(fromShelf(event.request));
  else if (isOurs(pathname)) event.respondWith(newest(event));
});

function isOurs(path) {
  return (path === SCOPE || path.startsWith(`${SCOPE}/`)) && !path.endsWith("/worker.js");
}

// A new worker comes with new style sheets: the pages are fetched again before the old ones go.
async function begin() {
  await self.clients.claim();
  const shelf = await caches.open(SHELF);
  const kept = (await shelf.keys()).map((request) => request.url);
  const pages = kept.filter((url) => isOurs(new URL(url).pathname));
  const fetched = await Promise.allSettled(pages.map((url) => shelf.add(url)));
  if (fetched.some((each) => each.status === "rejected")) return;
  const old = kept.filter((url) => isOldStatic(new URL(url).pathname));
  await Promise.all(old.map((url) => shelf.delete(url)));
}

function isOldStatic(path) {
  return path.startsWith(STATIC) && !path.startsWith(`${STATIC}${STAMP}/`);
}

// First the page that is open, and it is told; then the pages it leads to, which may take longer.
async function keep(event) {
  const shelf = await caches.open(SHELF);
  const { page, more } = event.data;
  try {
    await Promise.all(ours(page).map((url) => take(shelf, url)));
  } catch {
    if (await shelf.match(page[0])) event.source.postMessage("alone");
    return;
  }
  event.source.postMessage("kept");
  for (const url of ours(more)) await take(shelf, url).catch(() => {});
}

function ours(urls) {
  return [...new Set(urls)].filter((url) => {
    const { origin, pathname } = new URL(url);
    return origin === self.location.origin && (isOurs(pathname) || pathname.startsWith(STATIC));
  });
}

async function take(shelf, url) {
  const isThere = await shelf.match(url);
  if (isThere && new URL(url).pathname.startsWith(STATIC)) return;
  const answer = await fetch(url);
  if (!answer.ok || answer.redirected) throw new Error(url);
  await shelf.put(url, answer);
}

async function fromShelf(request) {
  const shelf = await caches.open(SHELF);
  return (await shelf.match(request)) || fetch(request);
}

async function newest(event) {
  const shelf = await caches.open(SHELF);
  const kept = await shelf.match(event.request.url);
  const asked = fetch(event.request).then((answer) => note(shelf, event.request.url, answer));
  if (!kept) return asked.catch(() => whatIsKept(shelf));
  event.waitUntil(asked.catch(() => {}));
  return Promise.race([asked, later()]).catch(() => kept.clone());
}

// What is refused is gone for good: an event that was deleted, a link that was renewed.
async function note(shelf, url, answer) {
  if (answer.ok && answer.type === "basic" && !answer.redirected) await shelf.put(url, answer.clone());
  if (answer.status === 403 || answer.status === 404) await shelf.delete(url);
  return answer;
}

function later() {
  return new Promise((_, reject) => setTimeout(() => reject(new Error("slow")), PATIENCE_MS));
}

async function whatIsKept(shelf) {
  const pages = [];
  for (const request of await shelf.keys()) {
    const answer = isOurs(new URL(request.url).pathname) && (await shelf.match(request));
    const title = answer && /<title>([^<]*)<\/title>/.exec(await answer.text());
    if (title) pages.push(`<li><a class="act" href="${request.url}">${title[1]}</a></li>`);
  }
  const styles = ["fonts", "screen"].map((name) => `<link rel="stylesheet" href="${STATIC}${STAMP}/css/${name}.css">`);
  const body = pages.length ? `<ul class="names">${pages.join("")}</ul>` : "<p>Nothing yet.</p>";
  const html = `<!doctype html><html lang="en"><meta charset="utf-8"><meta name="viewport" content="width=device-width, initial-scale=1"><title>No network</title>${styles.join("")}<main><h1>No network</h1><p>This page has not been opened on this device before. Kept here:</p>${body}</main></html>`;
  return new Response(html, { headers: { "Content-Type": "text/html; charset=utf-8" } });
}
