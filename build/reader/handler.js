// Messages of the page, in order: {wasm} once, the bytes of reader.wasm; then for each picture {id, width, height, data,
// budget}, data its RGBA bytes, budget how many milliseconds it may take, 0 for as many as it needs. Answers: {ready},
// {id, texts}, or {id, error}; {error} if the reader did not start.
self.onmessage = async (event) => {
  const m = event.data;
  try {
    if (m.wasm) {
      await ZXingWASM.getZXingModule({ wasmBinary: m.wasm });
      self.postMessage({ ready: true });
      return;
    }
    const picture = { width: m.width, height: m.height, data: new Uint8ClampedArray(m.data) };
    self.postMessage({ id: m.id, texts: await textsOf(picture, m.budget || Infinity) });
  } catch (e) {
    self.postMessage({ id: m.id, error: String(e) });
  }
};

// tryRotate is for codes of bars: the library finds these at any angle.
const plainly = { formats: ["QRCode"], tryHarder: true, tryRotate: false, maxNumberOfSymbols: 8, textMode: "Plain" };
// For pictures that are drawn clean, and for those in black and white.
const cleanly = {
  formats: ["QRCode"], textMode: "Plain", isPure: true, maxNumberOfSymbols: 1, binarizer: "FixedThreshold",
  tryHarder: false, tryRotate: false, tryInvert: false, tryDownscale: false,
};
const inBlack = { ...plainly, binarizer: "FixedThreshold", tryDownscale: false };

async function read(picture, options) {
  return (await ZXingWASM.readBarcodesFromImageData(picture, options)).map((code) => code.text);
}

// The middle of a picture is where a person holds a code. Source: our choice, two thirds of the camera's square, so that a
// step takes about as long as the plain reading; the whole of it is read plainly.
const middle = 480;

// What is tried on the middle of a picture that could not be read plainly. Source: measured on the pictures of build/frames:
// of 120 that are not read plainly the first reads 92, all together 104; where the same pictures are drawn 1.6 times
// smaller, the first reads 72 of 151, all together 92, of which 16 are read by the doubled one alone.
const steps = [
  (picture, late) => readSymbols(picture, 2, 10, late),
  (picture) => read(colored(doubled(cropped(picture, 300))), { ...plainly, tryDownscale: false }), // small codes
  (picture, late) => readSymbols(picture, 0, 8, late),
  (picture, late) => readSymbols(picture, 0, 16, late),
  (picture) => read(colored(parted(picture, 7)), inBlack), // small spots of glare
];
const took = steps.map(() => 0); // milliseconds, at the last time
let turn = 0; // the step that the next picture begins with; a picture that is read starts anew

// textsOf reads a picture plainly, and then by one step, and by more as long as they are likely to keep to the budget. The
// pictures of a camera show the same code again and again, so the next one goes on where this one ended.
async function textsOf(picture, budget) {
  const began = performance.now(), late = (ms) => performance.now() - began + ms > budget;
  const plain = await read(picture, plainly);
  if (plain.length) {
    turn = 0;
    return plain;
  }
  const grey = greyOf(picture, middle);
  for (let done = 0; done < steps.length; done++) {
    if (done && late(took[turn])) return [];
    const now = turn, since = performance.now();
    turn = (turn + 1) % steps.length;
    const texts = await steps[now](grey, late);
    took[now] = performance.now() - since;
    if (texts.length) {
      turn = now; // what has read this code reads it in the next picture too
      return texts;
    }
  }
  return [];
}

// readSymbols reads the three likeliest symbols whose grid can be found.
async function readSymbols(picture, sharp, half, late) {
  for (const clean of symbolsOf(picture, sharp, half, 3)) {
    const texts = await read(colored(clean), cleanly);
    if (texts.length || late(0)) return texts;
  }
  return [];
}

// greyOf returns how light the square in the middle is, of this side or as large as there is. Source: ITU-R BT.601, its
// weights as parts of 256.
function greyOf({ data, width, height }, side) {
  const w = Math.min(side, width), h = Math.min(side, height), left = (width - w) >> 1, top = (height - h) >> 1;
  const pixels = new Uint8Array(w * h);
  for (let y = 0, i = 0; y < h; y++) {
    for (let x = 0, k = 4 * ((top + y) * width + left); x < w; x++, k += 4) {
      pixels[i++] = (77 * data[k] + 150 * data[k + 1] + 29 * data[k + 2]) >> 8;
    }
  }
  return { pixels, width: w, height: h };
}

// colored returns a grey picture as the library takes it.
function colored({ pixels, width, height }) {
  const data = new Uint8ClampedArray(4 * pixels.length), whole = new Uint32Array(data.buffer);
  for (let i = 0; i < pixels.length; i++) whole[i] = (pixels[i] * 0x10101) | 0xff000000;
  return { data, width, height };
}

// cropped returns the square in the middle, of this side or as large as there is.
function cropped({ pixels, width, height }, side) {
  const w = Math.min(side, width), h = Math.min(side, height), left = (width - w) >> 1, top = (height - h) >> 1;
  const out = new Uint8Array(w * h);
  for (let y = 0; y < h; y++) out.set(pixels.subarray((top + y) * width + left, (top + y) * width + left + w), y * w);
  return { pixels: out, width: w, height: h };
}

// doubled returns a picture of twice the size, its pixels in between blended.
function doubled({ pixels, width, height }) {
  const out = new Uint8Array(4 * width * height);
  for (let y = 0, i = 0; y < 2 * height; y++) {
    const near = (y >> 1) * width, next = Math.min(Math.max((y >> 1) + (y % 2 ? 1 : -1), 0), height - 1) * width;
    for (let x = 0; x < 2 * width; x++) {
      const l = x >> 1, r = Math.min(Math.max(l + (x % 2 ? 1 : -1), 0), width - 1);
      out[i++] = (9 * pixels[near + l] + 3 * (pixels[near + r] + pixels[next + l]) + pixels[next + r]) >> 4;
    }
  }
  return { pixels: out, width: 2 * width, height: 2 * height };
}
