// Photos, and the build files that carry them. Their bytes stay with the browser: the program on the page gets names,
// hashes and sizes, and the lines that are text.
//
// window.loomwright.files:
//
//   shrink(file, side)  {bytes, hash, width, height}: a picture upright, its longer side at most side, as JPEG with nothing
//                       in it but its pixels
//   show(bytes)         an address at which the page shows a photo
//   write()             a file to be written: text(bytes), photo(bytes), sum(), blob()
//   read(file, keep)    a file to be read: await next() is the next piece, or null after the last: {text, sum}, lines, or
//                       {name, bytes, hash}, a photo; see storage.Piece. Without keep there are no bytes.
//
// The bytes of a photo are let go of by whoever has used them: the program would keep them until its next collection.
"use strict";
(() => {
  if (!window.loomwright) return; // the loader has refused to go on
  const STEP = 256 << 10; // bytes that are read at once
  const MAX_LINE = 1 << 20, MAX_BLOB = 8 << 20; // see the limits in storage
  const MAX_BLOB_LINE = Math.ceil(MAX_BLOB / 3) * 4 + 256;
  const bytesOf = async (blob) => new Uint8Array(await blob.arrayBuffer());
  const letGo = (bytes) => { structuredClone(bytes.buffer, { transfer: [bytes.buffer] }); };

  // --- SHA-256 that takes its bytes piece by piece, as crypto.subtle does not. Source: FIPS 180-4, 4.1.2, 4.2.2, 6.2.

  const K = Int32Array.of(
    0x428a2f98, 0x71374491, 0xb5c0fbcf, 0xe9b5dba5, 0x3956c25b, 0x59f111f1, 0x923f82a4, 0xab1c5ed5,
    0xd807aa98, 0x12835b01, 0x243185be, 0x550c7dc3, 0x72be5d74, 0x80deb1fe, 0x9bdc06a7, 0xc19bf174,
    0xe49b69c1, 0xefbe4786, 0x0fc19dc6, 0x240ca1cc, 0x2de92c6f, 0x4a7484aa, 0x5cb0a9dc, 0x76f988da,
    0x983e5152, 0xa831c66d, 0xb00327c8, 0xbf597fc7, 0xc6e00bf3, 0xd5a79147, 0x06ca6351, 0x14292967,
    0x27b70a85, 0x2e1b2138, 0x4d2c6dfc, 0x53380d13, 0x650a7354, 0x766a0abb, 0x81c2c92e, 0x92722c85,
    0xa2bfe8a1, 0xa81a664b, 0xc24b8b70, 0xc76c51a3, 0xd192e819, 0xd6990624, 0xf40e3585, 0x106aa070,
    0x19a4c116, 0x1e376c08, 0x2748774c, 0x34b0bcb5, 0x391c0cb3, 0x4ed8aa4a, 0x5b9cca4f, 0x682e6ff3,
    0x748f82ee, 0x78a5636f, 0x84c87814, 0x8cc70208, 0x90befffa, 0xa4506ceb, 0xbef9a3f7, 0xc67178f2);
  const START = Int32Array.of(
    0x6a09e667, 0xbb67ae85, 0x3c6ef372, 0xa54ff53a, 0x510e527f, 0x9b05688c, 0x1f83d9ab, 0x5be0cd19);

  class Sum {
    #state = START.slice();
    #block = new Uint8Array(64);
    #words = new Int32Array(64);
    #length = 0;

    add(bytes) {
      let at = 0;
      const held = this.#length % 64;
      this.#length += bytes.length;
      if (held > 0) {
        at = Math.min(64 - held, bytes.length);
        this.#block.set(bytes.subarray(0, at), held);
        if (held + at < 64) return;
        this.#mix(this.#block, 0);
      }
      for (; at + 64 <= bytes.length; at += 64) this.#mix(bytes, at);
      this.#block.set(bytes.subarray(at));
    }

    // hex returns the hash of what was added so far; more may be added afterwards.
    hex() {
      const end = new Sum();
      end.#state = this.#state.slice();
      end.#block = this.#block.slice();
      end.#length = this.#length;
      const tail = new Uint8Array((this.#length % 64 < 56 ? 64 : 128) - this.#length % 64);
      tail[0] = 0x80;
      const view = new DataView(tail.buffer);
      view.setUint32(tail.length - 8, Math.floor(this.#length / 2 ** 29));
      view.setUint32(tail.length - 4, this.#length * 8 >>> 0);
      end.add(tail);
      return Array.from(end.#state, (word) => (word >>> 0).toString(16).padStart(8, "0")).join("");
    }

    #mix(bytes, at) {
      const w = this.#words, s = this.#state;
      for (let i = 0; i < 16; i++, at += 4) {
        w[i] = bytes[at] << 24 | bytes[at + 1] << 16 | bytes[at + 2] << 8 | bytes[at + 3];
      }
      for (let i = 16; i < 64; i++) {
        const x = w[i - 15], y = w[i - 2];
        const s0 = (x >>> 7 | x << 25) ^ (x >>> 18 | x << 14) ^ x >>> 3;
        const s1 = (y >>> 17 | y << 15) ^ (y >>> 19 | y << 13) ^ y >>> 10;
        w[i] = w[i - 16] + s0 + w[i - 7] + s1 | 0;
      }
      let a = s[0], b = s[1], c = s[2], d = s[3], e = s[4], f = s[5], g = s[6], h = s[7];
      for (let i = 0; i < 64; i++) {
        const s1 = (e >>> 6 | e << 26) ^ (e >>> 11 | e << 21) ^ (e >>> 25 | e << 7);
        const t1 = h + s1 + (e & f ^ ~e & g) + K[i] + w[i] | 0;
        const s0 = (a >>> 2 | a << 30) ^ (a >>> 13 | a << 19) ^ (a >>> 22 | a << 10);
        const t2 = s0 + (a & b ^ a & c ^ b & c) | 0;
        h = g; g = f; f = e; e = d + t1 | 0;
        d = c; c = b; b = a; a = t1 + t2 | 0;
      }
      s[0] += a; s[1] += b; s[2] += c; s[3] += d; s[4] += e; s[5] += f; s[6] += g; s[7] += h;
    }
  }

  function hashOf(bytes) {
    const sum = new Sum();
    sum.add(bytes);
    return sum.hex();
  }

  // --- base64. Source: RFC 4648, 4.

  const ascii = (text) => Uint8Array.from(text, (sign) => sign.charCodeAt(0));
  const SIGNS = ascii("ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/");
  const VALUES = new Uint8Array(256).fill(64);
  SIGNS.forEach((sign, value) => { VALUES[sign] = value; });
  const PAD = 61; // "="

  function encode(bytes) {
    const out = new Uint8Array(Math.ceil(bytes.length / 3) * 4);
    let to = 0;
    for (let i = 0; i < bytes.length; i += 3) { // beyond the end there is undefined, which counts as 0
      const v = bytes[i] << 16 | bytes[i + 1] << 8 | bytes[i + 2];
      out[to++] = SIGNS[v >> 18];
      out[to++] = SIGNS[v >> 12 & 63];
      out[to++] = SIGNS[v >> 6 & 63];
      out[to++] = SIGNS[v & 63];
    }
    out.fill(PAD, out.length - (3 - bytes.length % 3) % 3);
    return out;
  }

  // decode returns null for what is not base64.
  function decode(text) {
    const n = text.length;
    if (n % 4 !== 0) return null;
    const pad = n === 0 || text[n - 1] !== PAD ? 0 : text[n - 2] !== PAD ? 1 : 2;
    const out = new Uint8Array(n / 4 * 3 - pad);
    let to = 0;
    for (let i = 0; i < n; i += 4) {
      const last = i + 4 === n ? pad : 0;
      const a = VALUES[text[i]], b = VALUES[text[i + 1]];
      const c = last > 1 ? 0 : VALUES[text[i + 2]], d = last > 0 ? 0 : VALUES[text[i + 3]];
      if (a > 63 || b > 63 || c > 63 || d > 63) return null;
      const v = a << 18 | b << 12 | c << 6 | d;
      out[to++] = v >> 16;
      if (last < 2) out[to++] = v >> 8;
      if (last < 1) out[to++] = v;
    }
    return out;
  }

  // --- a file that is written

  class Writer {
    #parts = []; // the browser keeps them, where it likes
    #sum = new Sum();

    text(bytes) {
      this.#sum.add(bytes);
      this.#parts.push(new Blob([bytes]));
      letGo(bytes);
    }

    photo(bytes) {
      this.text(encode(bytes));
      letGo(bytes);
    }

    sum() { return this.#sum.hex(); }

    blob() { return new Blob(this.#parts); }
  }

  // --- a file that is read

  const PHOTO = ascii('{"blob":'), END = ascii('{"end":');
  const NEWLINE = 10;

  // A photo as we write it: HEAD, its hash, MIDDLE, base64, TAIL. Others are left to the program.
  const HEAD = ascii('{"blob":"'), MIDDLE = ascii('","data":"'), TAIL = ascii('"}');
  const DATA = HEAD.length + 64 + MIDDLE.length;
  const stands = (what, bytes, at) => what.every((b, i) => bytes[at + i] === b);
  const isHex = (b) => b >= 48 && b <= 57 || b >= 97 && b <= 102;

  class Reader {
    #file;
    #keep;
    #at = 0; // of the file, what is not read yet
    #rest = new Uint8Array(0); // what is read and not handed over
    #sum = new Sum();

    constructor(file, keep) {
      this.#file = file;
      this.#keep = keep;
    }

    async next() {
      for (;;) {
        const piece = this.#piece();
        if (piece) return piece;
        const more = await bytesOf(this.#file.slice(this.#at, this.#at + STEP));
        this.#at += more.length;
        if (more.length === 0) return this.#rest.length > 0 ? this.#text(this.#rest.length) : null;
        const rest = new Uint8Array(this.#rest.length + more.length);
        rest.set(this.#rest);
        rest.set(more, this.#rest.length);
        this.#rest = rest;
      }
    }

    // #piece returns the next piece of what is read, or null where there must be more to tell.
    #piece() {
      const rest = this.#rest;
      let end = 0; // of the lines that are only text
      while (end < rest.length) {
        const photo = stands(PHOTO, rest, end), last = stands(END, rest, end);
        if ((photo || last) && end > 0) break;
        const newline = rest.indexOf(NEWLINE, end);
        if (newline < 0) {
          if (end > 0 || rest.length <= (photo ? MAX_BLOB_LINE : MAX_LINE) + 1) break;
          return this.#text(rest.length);
        }
        end = newline + 1;
        if (last) return this.#text(end, this.#sum.hex());
        if (photo) return this.#photo(end) ?? this.#text(end);
      }
      return end > 0 ? this.#text(end) : null;
    }

    // #take takes bytes off the rest.
    #take(n) {
      const bytes = this.#rest.subarray(0, n);
      this.#rest = this.#rest.subarray(n);
      this.#sum.add(bytes);
      return bytes;
    }

    #text(n, sum = "") { return { text: this.#take(n), sum }; }

    #photo(n) {
      const line = this.#rest.subarray(0, n - 1), to = line.length - TAIL.length;
      const hash = line.subarray(HEAD.length, HEAD.length + 64);
      if (to < DATA || !stands(HEAD, line, 0) || !hash.every(isHex) || !stands(MIDDLE, line, HEAD.length + 64) || !stands(TAIL, line, to)) {
        return null;
      }
      const bytes = decode(line.subarray(DATA, to));
      if (!bytes || bytes.length > MAX_BLOB) return null;
      const name = String.fromCharCode(...hash);
      this.#take(n);
      return { name, bytes: this.#keep ? bytes : null, hash: hashOf(bytes) };
    }
  }

  // --- pictures

  async function shrink(file, side) {
    const bitmap = await createImageBitmap(file, { imageOrientation: "from-image" });
    const scale = Math.min(1, side / Math.max(bitmap.width, bitmap.height));
    const canvas = document.createElement("canvas");
    canvas.width = Math.max(1, Math.round(bitmap.width * scale));
    canvas.height = Math.max(1, Math.round(bitmap.height * scale));
    const draw = canvas.getContext("2d", { alpha: false });
    draw.imageSmoothingQuality = "medium"; // else it takes a few pixels of each and leaves a grain
    draw.drawImage(bitmap, 0, 0, canvas.width, canvas.height);
    bitmap.close();
    const { width, height } = canvas;
    const blob = await new Promise((done) => canvas.toBlob(done, "image/jpeg", 0.8));
    canvas.width = canvas.height = 0;
    if (!blob) throw new DOMException("no picture of " + width + " × " + height, "EncodingError");
    const bytes = await bytesOf(blob);
    return { bytes, hash: hashOf(bytes), width, height };
  }

  function show(bytes) {
    const url = URL.createObjectURL(new Blob([bytes], { type: "image/jpeg" }));
    letGo(bytes);
    return url;
  }

  window.loomwright.files = {
    shrink, show, write: () => new Writer(), read: (file, keep) => new Reader(file, keep),
  };
})();
