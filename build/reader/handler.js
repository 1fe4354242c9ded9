// Messages of the page, in order: {wasm} once, the bytes of reader.wasm; then for each picture {id, width, height, data},
// data its RGBA bytes. Answers: {ready}, {id, texts}, or {id, error}; {error} if the reader did not start.
self.onmessage = async (event) => {
  const m = event.data;
  try {
    if (m.wasm) {
      await ZXingWASM.getZXingModule({ wasmBinary: m.wasm });
      self.postMessage({ ready: true });
      return;
    }
    const picture = { width: m.width, height: m.height, data: new Uint8ClampedArray(m.data) };
    const found = await ZXingWASM.readBarcodesFromImageData(picture, {
      formats: ["QRCode"],
      tryHarder: true,
      maxNumberOfSymbols: 8,
      textMode: "Plain",
    });
    self.postMessage({ id: m.id, texts: found.map((code) => code.text) });
  } catch (e) {
    self.postMessage({ id: m.id, error: String(e) });
  }
};
