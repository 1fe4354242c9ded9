// The service worker: keeps the whole app on the device and answers from there, so that it works with no signal.
//
// The next line is replaced when the site is made: the version, and the hash of every file by its name. The name ""
// is the document. A file with another hash is never stored, so two versions cannot mix.
const SITE = { version: "", files: {} };

// The folder this copy lives in. Found at run time, so that the same files work wherever they are put. It is part of
// the name of the cache: a copy beside or below this one has caches of its own, which are not touched.
const ROOT = self.registration.scope;
const PREFIX = "lw:" + encodeURIComponent(new URL(ROOT).pathname) + ":";
const CACHE = PREFIX + SITE.version;
const NAMES = Object.keys(SITE.files);

// stamp is what stands behind the ? in an address of our document: it names the bytes that are meant.
const stamp = (name) => SITE.files[name].slice("sha256-".length).replace(/[+/=]/g, "").slice(0, 12);

// load fetches one file. The hash lets the browser's own cache answer, which saves a second download of what the page
// has just loaded; what is stale there is fetched anew.
async function load(name) {
  const address = name === "" ? ROOT : ROOT + name + "?" + stamp(name);
  const get = async (cache) => {
    const answer = await fetch(address, { cache, integrity: SITE.files[name], redirect: "error" });
    if (!answer.ok) throw new Error(`${name || "the document"}: status ${answer.status}`);
    return answer;
  };
  try {
    return await get("default");
  } catch {
    return get("reload");
  }
}

// Everything is fetched before anything is stored: a site that is half copied, or a server that fails, leaves the
// version that works alone.
self.addEventListener("install", (event) => {
  event.waitUntil((async () => {
    try {
      const answers = await Promise.all(NAMES.map(load));
      const cache = await caches.open(CACHE);
      await Promise.all(NAMES.map((name, i) => cache.put(ROOT + name, answers[i])));
    } catch (error) {
      await caches.delete(CACHE);
      throw error;
    }
  })());
});

self.addEventListener("activate", (event) => {
  event.waitUntil((async () => {
    for (const key of await caches.keys()) {
      if (key.startsWith(PREFIX) && key !== CACHE) await caches.delete(key);
    }
    await self.clients.claim();
  })());
});

// "SKIP_WAITING": the person asked for the new version. "CHECK": fetch what is missing and answer with what still is.
self.addEventListener("message", (event) => {
  if (event.data === "SKIP_WAITING") {
    event.waitUntil(self.skipWaiting());
  } else if (event.data === "CHECK" && event.ports.length === 1) {
    event.waitUntil((async () => event.ports[0].postMessage({ version: SITE.version, missing: await heal() }))());
  }
});

async function missing(cache) {
  const have = new Set((await cache.keys()).map((request) => request.url));
  return NAMES.filter((name) => !have.has(ROOT + name));
}

// heal fetches the files that the browser has thrown away, and returns the names of those it could not get.
async function heal() {
  const cache = await caches.open(CACHE);
  await Promise.all((await missing(cache)).map(async (name) => {
    try {
      await cache.put(ROOT + name, await load(name));
    } catch { /* it stays on the list of the missing */ }
  }));
  return (await missing(cache)).map((name) => name || "index.html");
}

// A file of ours is answered from the cache. So is the document, whatever stands behind ? and #. Anything else, such as
// a copy of the app in a folder below, is the network's; with no network an unknown page leads to the app.
self.addEventListener("fetch", (event) => {
  const { request } = event;
  const url = new URL(request.url);
  const folder = url.origin + url.pathname;
  if (request.method !== "GET" || !folder.startsWith(ROOT)) return;
  let name = folder.slice(ROOT.length);
  if (request.mode === "navigate" && (name === "" || name === "index.html")) {
    event.respondWith(page(request));
  } else if (Object.hasOwn(SITE.files, name)) {
    // Another stamp asks for another version: never ours.
    if (url.search === "" || url.search === "?" + stamp(name)) event.respondWith(file(event, name));
  } else if (request.mode === "navigate") {
    event.respondWith(elsewhere(request));
  }
});

async function file(event, name) {
  const cache = await caches.open(CACHE);
  const kept = await cache.match(ROOT + name);
  if (kept) return kept;
  try {
    const answer = await load(name);
    event.waitUntil(cache.put(ROOT + name, answer.clone()));
    return answer;
  } catch {
    return Response.error();
  }
}

// page answers with the document, if its scripts are there too: without them it could not even say what is missing.
async function page(request) {
  const cache = await caches.open(CACHE);
  const get = async (name) => {
    const kept = await cache.match(ROOT + name);
    if (kept) return kept;
    const answer = await load(name);
    await cache.put(ROOT + name, answer.clone());
    return answer;
  };
  try {
    const [answer] = await Promise.all(["", "loader.js", "wasm_exec.js"].map(get));
    return answer;
  } catch { /* no network, or the server has another version by now */ }
  try {
    return await fetch(request);
  } catch {
    return new Response(
      `<!doctype html><html lang="en"><meta charset="utf-8"><meta name="viewport" content="width=device-width">` +
      `<title>Loomwright</title><h1>The app is not on this device any more</h1>` +
      `<p>The browser has thrown the program away, and there is no signal to get it back. ` +
      `What was saved is kept apart from it and is not touched. Connect once, then open this page again.`,
      { status: 503, headers: { "Content-Type": "text/html; charset=utf-8" } });
  }
}

async function elsewhere(request) {
  try {
    const answer = await fetch(request);
    if (answer.ok || answer.type === "opaqueredirect") return answer;
  } catch { /* no network */ }
  return Response.redirect(ROOT);
}
