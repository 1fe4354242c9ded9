// Gives pictures to the packaged code reader as the app does, and says what it answers and how long that takes.
"use strict";
const start = async (script) => {
  const worker = new Worker(script);
  const ask = (message) => new Promise((done, fail) => {
    worker.onmessage = (e) => (e.data.error ? fail(new Error(e.data.error)) : done(e.data));
    worker.onerror = () => fail(new Error("the worker failed"));
    worker.postMessage(message, [message.wasm ?? message.data]);
  });
  await ask({ wasm: await (await fetch("reader.wasm")).arrayBuffer() });
  return ask;
};

let workers;
// feed shows one picture up to held times, until it is read, and once to the library alone where alone is set.
window.feed = async (number, width, height, held, budget, alone) => {
  workers ??= Promise.all([start("plain.js"), start("reader.js")]);
  const [plain, reader] = await workers;
  const grey = new Uint8Array(await (await fetch("frame/" + number)).arrayBuffer());
  const picture = () => {
    const data = new Uint32Array(grey.length);
    for (let i = 0; i < grey.length; i++) data[i] = (grey[i] * 0x10101) | 0xff000000;
    return data.buffer;
  };
  const timed = async (ask, budget) => {
    const data = picture(), since = performance.now();
    const { texts } = await ask({ id: 0, width, height, data, budget });
    return { Texts: texts, Took: performance.now() - since };
  };
  const result = { Plain: alone ? await timed(plain) : {}, Tries: [] };
  do {
    result.Tries.push(await timed(reader, budget));
  } while (result.Tries.length < held && !result.Tries.at(-1).Texts.length);
  return result;
};
