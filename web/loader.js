// The loader: starts the program, keeps it on the device, and says so when it stops.
//
// It gives the program one object, window.loomwright, and tells of changes by events on window:
//
//   version        the version that is kept on this device, "" until that is known
//   offline        true when every file is on this device            event "loomwright:offline"
//   updateWaiting  true when a newer version is ready to be taken    event "loomwright:update"
//   applyUpdate()  takes the newer version and opens it; call it when all is saved, by a tap
//   readAhead(name) hands over what was read of the database of that name while the program was fetched, once
//   installPrompt  the browser's offer to install, or null           event "loomwright:install"
//                  installPrompt.prompt() shows it, installPrompt.userChoice resolves to {outcome}
//
// The framework looks for the functions whose names start with goapp.
"use strict";
(() => {
  const root = new URL("./", document.baseURI).href;
  const wasm = root + document.currentScript.dataset.wasm;
  const hour = 3600e3;
  const patience = 100; // ms that a program which is ready waits for what is stored; more than a slow phone takes

  if (window.top !== window.self) {
    // A page that shows another one can lead taps astray.
    stopped("Loomwright does not run inside another page", "Open it in a tab of its own.", { link: true });
    return;
  }
  if (location.href.split(/[?#]/)[0] !== root) { // index.html by its name
    history.replaceState(null, "", root + location.search + location.hash);
  }

  const folder = new URL(root).pathname.replace(/\/$/, "");
  const settings = {
    GOAPP_ROOT_PREFIX: decodeURIComponent(folder), // it is compared with a path that is decoded
    GOAPP_STATIC_RESOURCES_URL: folder,
  };
  window.goappGetenv = (name) => settings[name] ?? "";
  window.goappNav = window.goappOnUpdate = window.goappOnAppInstallChange = () => {};
  window.goappIsAppInstallable = () => lw.installPrompt !== null;
  window.goappIsAppInstalled = () => matchMedia("(display-mode: standalone)").matches || navigator.standalone === true;
  window.goappShowInstallPrompt = () => lw.installPrompt?.prompt();

  const stored = reading();
  const lw = window.loomwright = {
    version: "", offline: false, updateWaiting: false, installPrompt: null, applyUpdate, readAhead: stored.handOver,
  };
  const tell = (name) => window.dispatchEvent(new CustomEvent("loomwright:" + name));

  // --- what is stored

  // reading reads what the program will ask for first, while it is fetched and compiled: the phone's id, the list of builds,
  // and the build that the address names, for a tag the one touched last. Layout and order are those of storage/idb, which
  // reads by itself what it is not given: where not all is read in time, or another tab has written meanwhile.
  function reading() {
    const database = "loomwright", schema = 1;
    let db, news, read = null, over = false, changed = false;
    const answer = (request) => new Promise((done, failed) => {
      request.onsuccess = () => done(request.result);
      request.onerror = (event) => { event.preventDefault(); failed(request.error); };
    });

    async function start() {
      const count = localStorage.getItem(database + ".saved"); // before the list: it may be behind that, never ahead
      if (!count) return; // nothing is stored
      news = new BroadcastChannel(database);
      news.onmessage = () => { changed = true; };
      const request = indexedDB.open(database, schema);
      request.onupgradeneeded = () => request.transaction.abort(); // it is gone: the program says so
      db = await answer(request);
      db.onversionchange = () => db.close();
      if (over) return db.close();
      const all = db.transaction(["meta", "snapshots", "edits"]);
      const get = (store, how, ...key) => answer(all.objectStore(store)[how](...key));
      const between = (store, from, to) => get(store, "getAll", IDBKeyRange.bound(from, to, true, true));
      // An empty list sorts after every word.
      const [device, builds] = await Promise.all([get("meta", "get", ["value", "device"]), between("meta", ["build"], ["build", []])]);
      const parts = { db, count, device, builds };
      const id = named(builds);
      if (id) {
        const snapshot = await get("snapshots", "get", id);
        let from = [id];
        const ranges = [];
        for (const one of [...(snapshot?.devices ?? [])].sort((a, b) => (a.id < b.id ? -1 : 1))) {
          ranges.push([from, [id, one.id]]);
          from = [id, one.id, one.last];
        }
        ranges.push([from, [id, []]]);
        const lines = await Promise.all(ranges.map(([from, to]) => between("edits", from, to)));
        parts.build = { id, snapshot, lines: lines.flat() };
      }
      read = parts;
    }

    function named(builds) {
      const fragment = location.hash.slice(1);
      if (!/^[0-9a-z]{8}$/i.test(fragment)) return new URLSearchParams(fragment).get("b");
      const living = builds.filter((b) => !b.gone);
      return living.reduce((last, b) => (b.at > last.at ? b : last), living[0])?.build;
    }

    const done = start().catch(() => {}); // the program meets the same trouble, and says it
    function handOver(name) {
      over = true;
      news?.close();
      const given = changed || name !== database ? null : read;
      if (!given) db?.close();
      read = news = db = null;
      return given;
    }
    return { done, handOver };
  }

  // --- the program

  // What it last wrote to the console, for the page that says that it stopped.
  let said = "";
  const { writeSync } = globalThis.fs;
  const text = new TextDecoder();
  globalThis.fs.writeSync = (fd, bytes) => {
    said = (said + text.decode(bytes, { stream: true })).slice(-4000);
    return writeSync(fd, bytes);
  };

  async function start() {
    const go = new Go();
    let program;
    try {
      program = await instantiate(go.importObject);
    } catch (error) {
      console.error("loader:", error);
      await repair(error);
      return;
    }
    sessionStorage.removeItem("loomwright:repaired");
    await Promise.race([stored.done, new Promise((ok) => setTimeout(ok, patience))]);
    performance.mark("loomwright:run"); // what is before it is the browser's part of the start
    const ended = go.run(program.instance);
    keep();
    await ended;
    stopped("The app stopped", "What was saved is safe on this device.", { details: said });
  }

  async function instantiate(imports) {
    const answer = await fetch(wasm);
    if (!answer.ok) throw new Error("app.wasm: status " + answer.status);
    if (WebAssembly.instantiateStreaming && answer.headers.get("Content-Type") === "application/wasm") {
      return WebAssembly.instantiateStreaming(answer, imports);
    }
    return WebAssembly.instantiate(await answer.arrayBuffer(), imports);
  }

  // repair is for a device that has lost a part of the app. Nothing runs yet, so nothing can be lost: it gets the parts
  // again, or else the newest version, and opens that, once.
  async function repair(error) {
    const again = !sessionStorage.getItem("loomwright:repaired");
    const registration = await navigator.serviceWorker?.getRegistration(root);
    if (again && registration?.active) {
      sessionStorage.setItem("loomwright:repaired", "yes");
      const { missing } = await check(registration.active);
      if (missing.length === 0) return location.reload();
      await registration.update().catch(() => {});
      await settled(registration.installing);
      if (registration.waiting) return take(registration.waiting);
    }
    sessionStorage.removeItem("loomwright:repaired");
    stopped("The app could not start", "A part of it is missing on this device and could not be fetched. " +
      "What was saved is safe on this device. Connect once, then reload.", { details: String(error) });
  }

  function stopped(title, message, { details = "", link = false }) {
    const make = (tag, content) => Object.assign(document.createElement(tag), { textContent: content });
    const page = Object.assign(make("div", ""), { className: "stopped" });
    page.setAttribute("role", "alert");
    page.append(make("h1", title), make("p", message));
    if (link) {
      page.append(Object.assign(make("a", "Open Loomwright"), { href: root, target: "_blank", rel: "noopener" }));
    } else {
      page.append(Object.assign(make("button", "Reload"), { type: "button", onclick: () => location.reload() }));
    }
    if (details) {
      const more = make("details", "");
      more.append(make("summary", "What it said last"), make("pre", details));
      page.append(more);
    }
    // The program is gone: a tap that still reached it would only throw.
    window.onclick = window.onpopstate = null;
    document.body.replaceChildren(page);
  }

  // --- on the device

  // check has the worker fetch what is missing, and returns what still is.
  function check(worker) {
    return new Promise((resolve) => {
      const { port1, port2 } = new MessageChannel();
      port1.onmessage = (event) => resolve(event.data);
      worker.postMessage("CHECK", [port2]);
    });
  }

  // settled waits until a worker that is being installed is ready or has failed.
  function settled(worker) {
    return new Promise((resolve) => {
      const look = () => { if (!worker || worker.state !== "installing") resolve(); };
      worker?.addEventListener("statechange", look);
      look();
    });
  }

  let registration;

  async function keep() {
    if (!navigator.serviceWorker) return;
    try {
      registration = await navigator.serviceWorker.register(root + "worker.js", { scope: root, updateViaCache: "none" });
    } catch (error) {
      console.error("loader: this browser cannot keep the app for use with no signal:", error);
      return;
    }
    registration.addEventListener("updatefound", () => watch(registration.installing));
    watch(registration.installing ?? registration.waiting);
    showUpdate();
    look();
    let checked = Date.now();
    document.addEventListener("visibilitychange", () => {
      if (document.visibilityState !== "visible" || !navigator.onLine || Date.now() - checked < hour) return;
      checked = Date.now();
      registration.update().catch(() => {});
    });
    window.addEventListener("online", look);
  }

  // look finds out whether everything is on the device, and gets what is not.
  async function look() {
    const { active } = await navigator.serviceWorker.ready;
    const { version, missing } = await check(active);
    const offline = missing.length === 0;
    if (offline === lw.offline && version === lw.version) return;
    Object.assign(lw, { version, offline });
    tell("offline");
  }

  function watch(worker) {
    worker?.addEventListener("statechange", () => {
      showUpdate();
      if (worker.state === "activated") look();
    });
  }

  function showUpdate() {
    const waiting = Boolean(registration.waiting && registration.active);
    if (waiting === lw.updateWaiting) return;
    lw.updateWaiting = waiting;
    tell("update");
    if (waiting) window.goappOnUpdate();
  }

  function applyUpdate() {
    if (registration?.waiting) take(registration.waiting);
  }

  // take lets a waiting worker take over and opens its version. Only this tab reloads: another one may hold an entry
  // that is not saved yet, and goes on with the version it has.
  function take(worker) {
    navigator.serviceWorker.addEventListener("controllerchange", () => location.reload(), { once: true });
    worker.postMessage("SKIP_WAITING");
  }

  // --- onto the home screen

  function offer(prompt) {
    lw.installPrompt = prompt;
    tell("install");
    window.goappOnAppInstallChange();
  }
  window.addEventListener("beforeinstallprompt", (event) => { event.preventDefault(); offer(event); });
  window.addEventListener("appinstalled", () => offer(null));

  start();
})();
