// The packaged library without our steps: what they are measured against.
self.onmessage = async (event) => {
  const m = event.data;
  if (m.wasm) {
    await ZXingWASM.getZXingModule({ wasmBinary: m.wasm });
    self.postMessage({ ready: true });
    return;
  }
  const picture = { width: m.width, height: m.height, data: new Uint8ClampedArray(m.data) };
  const options = { formats: ["QRCode"], tryHarder: true, maxNumberOfSymbols: 8, textMode: "Plain" };
  const found = await ZXingWASM.readBarcodesFromImageData(picture, options);
  self.postMessage({ id: m.id, texts: found.map((code) => code.text) });
};
