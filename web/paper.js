// The worker that makes a PDF. It loads nothing but the script that starts a Go program: the page fetches the program and
// the fonts and posts their bytes.
//
// One message of the page: {wasm, order, build, regular, bold}, order a text and the rest ArrayBuffers. Answers: {page,
// pages} before each page, at last {pdf}, an ArrayBuffer, or {code, error}; code "stopped" if the program broke off. The page
// ends the worker then, or earlier if the person does not want the file any more.
"use strict";
importScripts("../wasm_exec.js");

// What the program last wrote to the console, which is why it stopped.
let said = "";
const { writeSync } = globalThis.fs;
const text = new TextDecoder();
globalThis.fs.writeSync = (fd, bytes) => {
  said = (said + text.decode(bytes, { stream: true })).slice(0, 2000);
  return writeSync(fd, bytes);
};

self.onmessage = async ({ data }) => {
  const stopped = (error) => self.postMessage({ code: "stopped", error: String(error) });
  try {
    const go = new Go();
    const { instance } = await WebAssembly.instantiate(data.wasm, go.importObject);
    delete data.wasm;
    self.order = data;
    let code = 0;
    go.exit = (n) => { code = n; };
    await go.run(instance);
    if (code !== 0) stopped(said || "exit code " + code); // else it has answered
  } catch (error) {
    stopped(error);
  }
};
