// Starts a test binary and sends home what it prints and how it ends, in that order.
"use strict";
(async () => {
  let sent = Promise.resolve();
  const send = (to, body) => { sent = sent.then(() => fetch(to, { method: "POST", body })); };
  const end = (code) => send("/exit?code=" + code);
  try {
    const go = new Go();
    go.argv = await (await fetch("/args")).json();
    go.env = { TMPDIR: "/tmp" };
    go.exit = end;
    globalThis.fs.writeSync = (_, bytes) => { send("/out", bytes.slice()); return bytes.length; };
    const { instance } = await WebAssembly.instantiateStreaming(fetch("/test.wasm"), go.importObject);
    await go.run(instance);
  } catch (error) {
    send("/out", String(error) + "\n");
    end(1);
  }
})();
