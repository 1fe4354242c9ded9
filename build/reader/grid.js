// The grid of a symbol that the library does not find: when one corner mark is under dirt or glare, or the label is bent
// round a wire, the other marks and the regular pattern still say where each module lies. What is found is drawn anew,
// flat and clean, for the library to read. Pictures are grey, one byte a pixel, {pixels, width, height}.

// averaged returns the mean light of the square around each pixel, half pixels to each side; beyond the edge lies what lies
// at the edge.
function averaged({ pixels, width, height }, half) {
  const out = new Uint8Array(pixels.length), columns = new Uint32Array(width), part = 1 / (2 * half + 1) ** 2;
  for (let y = -half; y <= half; y++) {
    const row = Math.min(Math.max(y, 0), height - 1) * width;
    for (let x = 0; x < width; x++) columns[x] += pixels[row + x];
  }
  for (let y = 0, i = 0; y < height; y++) {
    let sum = 0;
    for (let x = -half; x <= half; x++) sum += columns[Math.min(Math.max(x, 0), width - 1)];
    for (let x = 0; x < width; x++) {
      out[i++] = sum * part + 0.001; // what is whole stays whole
      sum += columns[Math.min(x + half + 1, width - 1)] - columns[Math.max(x - half, 0)];
    }
    const low = Math.min(y + half + 1, height - 1) * width, top = Math.max(y - half, 0) * width;
    for (let x = 0; x < width; x++) columns[x] += pixels[low + x] - pixels[top + x];
  }
  return { pixels: out, width, height };
}

// smoothed returns a picture with less noise and, where sharp is above 0, with its edges that many times stronger, which
// undoes some blur.
function smoothed(picture, sharp) {
  const near = averaged(picture, 1);
  if (!sharp) return near;
  const around = averaged(picture, 3), pixels = new Uint8ClampedArray(near.pixels.length);
  for (let i = 0; i < pixels.length; i++) pixels[i] = near.pixels[i] + sharp * (near.pixels[i] - around.pixels[i]);
  return { pixels, width: near.width, height: near.height };
}

// parted returns black where a picture is darker than around, half pixels to each side, else white.
function parted({ pixels, width, height }, half) {
  const out = new Uint8Array(pixels.length), around = averaged({ pixels, width, height }, half).pixels;
  for (let i = 0; i < out.length; i++) out[i] = pixels[i] < around[i] ? 0 : 255;
  return { pixels: out, width, height };
}

// marksOf returns what looks like corner marks, the surest first, from a picture that was parted and its light, at least of this contrast: places with five runs of 1, 1, 3, 1, 1 in the row and
// in the column. A mark has a middle, the width of its cut, its colour, and in how many rows it was seen.
function marksOf({ pixels, width, height }, light, contrast) {
  const marks = [];
  const fits = (a, b, c, d, e) => {
    const unit = (a + b + c + d + e) / 7, off = unit * 0.75 + 0.5;
    return unit >= 1.5 && Math.abs(a - unit) < off && Math.abs(b - unit) < off && Math.abs(d - unit) < off &&
      Math.abs(e - unit) < off && Math.abs(c - 3 * unit) < 1.5 * off;
  };
  // The column's cut through x, y: its middle and width, or nothing.
  const column = (x, y, most) => {
    const color = pixels[y * width + x], runs = [0, 0, 0, 0, 0];
    const walk = (step) => {
      let j = y;
      for (let k = 2; k < 5; k++) {
        for (const want = k === 3 ? 255 - color : color; j >= 0 && j < height && pixels[j * width + x] === want; j += step) {
          if (++runs[step > 0 ? k : 4 - k] > most) return j;
        }
      }
      return j;
    };
    const low = walk(1), top = walk(-1);
    runs[2]--; // the middle pixel was counted twice
    return fits(...runs) ? { y: (low + top) / 2, cut: low - top - 1 } : null;
  };
  for (let y = 1; y < height; y++) {
    let a = 0, b = 0, c = 0, d = 0, e = 0, f = 0; // where the last runs began
    for (let x = 1, i = y * width + 1; x <= width; x++, i++) {
      if (x < width && pixels[i] === pixels[i - 1]) continue;
      (a = b), (b = c), (c = d), (d = e), (e = f), (f = x);
      if (d - c <= b - a || d - c <= f - e || !fits(b - a, c - b, d - c, e - d, f - e)) continue;
      const middle = (c + d) >> 1, cut = f - a, line = y * width;
      if (Math.abs(light[line + middle] - light[line + ((b + c) >> 1)]) < contrast) continue;
      const down = column(middle, y, cut);
      if (!down || down.cut > 2 * cut || cut > 2 * down.cut) continue;
      const mark = { x: (c + d - 1) / 2, y: down.y, cut: (cut + down.cut) / 2, dark: pixels[y * width + middle] === 0, seen: 1 };
      const same = marks.find((m) => m.dark === mark.dark && Math.hypot(m.x - mark.x, m.y - mark.y) < 0.3 * mark.cut);
      if (!same) marks.push(mark);
      else {
        same.seen++;
        for (const k of ["x", "y", "cut"]) same[k] += (mark[k] - same[k]) / same.seen;
      }
    }
  }
  return marks.sort((a, b) => b.seen - a.seen).slice(0, 8);
}

// fixedOf returns the modules of every symbol of n modules a side that do not depend on its text, row by row: 1 dark,
// -1 light, 0 for what depends on it. Source: ISO/IEC 18004, 6.3, for versions 1 to 6.
const fixedOf = (() => {
  const kept = [];
  return (n) => {
    if (kept[n]) return kept[n];
    const fixed = new Int8Array(n * n);
    const square = (row, column, side, value) => {
      for (let i = Math.max(row, 0); i < Math.min(row + side, n); i++) {
        for (let j = Math.max(column, 0); j < Math.min(column + side, n); j++) fixed[i * n + j] = value;
      }
    };
    for (let i = 8; i < n - 8; i++) fixed[6 * n + i] = fixed[i * n + 6] = i % 2 ? -1 : 1;
    for (const [i, j] of [[0, 0], [0, n - 7], [n - 7, 0]]) {
      square(i - 1, j - 1, 9, -1), square(i, j, 7, 1), square(i + 1, j + 1, 5, -1), square(i + 2, j + 2, 3, 1);
    }
    if (n > 21) square(n - 9, n - 9, 5, 1), square(n - 8, n - 8, 3, -1), square(n - 7, n - 7, 1, 1);
    return (kept[n] = fixed);
  };
})();

// A shape says where a symbol lies: the pixels of its four corners, clockwise from the top left (0 to 7), how far the middle
// of its rows and columns bows out, in pixels (8 to 11), and how much their modules narrow to the edges (12, 13).
//
// placesOf returns the pixels of the middles of all modules, x and y in turn.
function placesOf(shape, n, places) {
  const [x0, y0, x1, y1, x2, y2, x3, y3, rowX, rowY, columnX, columnY, rowNarrow, columnNarrow] = shape;
  // The projective map of a square. Source: Heckbert, Fundamentals of texture mapping, 1989, 2.2.3.
  const sx = x0 - x1 + x2 - x3, sy = y0 - y1 + y2 - y3, dx1 = x1 - x2, dx2 = x3 - x2, dy1 = y1 - y2, dy2 = y3 - y2;
  const det = dx1 * dy2 - dx2 * dy1, g = (sx * dy2 - sy * dx2) / det, h = (dx1 * sy - dy1 * sx) / det;
  const a = x1 - x0 + g * x1, b = x3 - x0 + h * x3, d = y1 - y0 + g * y1, e = y3 - y0 + h * y3;
  for (let i = 0, at = 0; i < n; i++) {
    const t = (i + 0.5) / n - 0.5, bulge = 1 - 4 * t * t, v = t + 0.5 + columnNarrow * t * bulge;
    for (let j = 0; j < n; j++) {
      const s = (j + 0.5) / n - 0.5, swell = 1 - 4 * s * s, u = s + 0.5 + rowNarrow * s * swell, w = g * u + h * v + 1;
      places[at++] = (a * u + b * v + x0) / w + rowX * swell + columnX * bulge;
      places[at++] = (d * u + e * v + y0) / w + rowY * swell + columnY * bulge;
    }
  }
  return places;
}

// fitOf tells how well a shape fits soft, a picture in black and white with soft edges: the fixed modules must have their
// colour, and the others have one colour at their middle, whichever. 1 is perfect. dark is the colour of the marks.
function fitOf(soft, shape, n, dark, all, places) {
  const { pixels, width, height } = soft, fixed = fixedOf(n), sign = dark ? -1 : 1;
  placesOf(shape, n, places);
  let sum = 0, most = 0;
  for (let k = 0; k < fixed.length; k++) {
    if (!fixed[k] && !all) continue;
    const x = places[2 * k] | 0, y = places[2 * k + 1] | 0;
    const value = x >= 0 && y >= 0 && x < width && y < height ? pixels[y * width + x] / 127.5 - 1 : 0;
    if (fixed[k]) sum += 2 * sign * fixed[k] * value, most += 2;
    else sum += Math.abs(value), most++;
  }
  return sum / most;
}

// guessesOf returns shapes that two or three marks may belong to, the likeliest first.
function guessesOf(soft, marks) {
  const guesses = [], places = new Float32Array(2 * 41 * 41);
  const guess = (a, b, c, dark, unit) => { // the middles of the marks top left, top right, bottom left
    const ux = b.x - a.x, uy = b.y - a.y, vx = c.x - a.x, vy = c.y - a.y;
    const about = ((Math.hypot(ux, uy) + Math.hypot(vx, vy)) / 2 / unit + 7 - 17) / 4;
    for (let version = Math.max(1, Math.round(about - 0.8)); version <= Math.min(6, Math.round(about + 0.6)); version++) {
      const n = 17 + 4 * version, p = 3.5 / (n - 7), q = 1 + p;
      const corner = (s, t) => [a.x + s * ux + t * vx, a.y + s * uy + t * vy];
      const shape = [...corner(-p, -p), ...corner(q, -p), ...corner(q, q), ...corner(-p, q), 0, 0, 0, 0, 0, 0];
      guesses.push({ shape, n, dark, fit: fitOf(soft, shape, n, dark, false, places) });
    }
  };
  for (const a of marks) {
    for (const b of marks) {
      if (a === b || a.dark !== b.dark || a.cut > 1.7 * b.cut || b.cut > 1.7 * a.cut) continue;
      const dx = b.x - a.x, dy = b.y - a.y, far = Math.hypot(dx, dy), cut = (a.cut + b.cut) / 14;
      // A turned mark is cut longer than it is wide.
      const side = (cut * Math.max(Math.abs(dx), Math.abs(dy))) / far;
      const slant = (cut * Math.max(Math.abs(dx + dy), Math.abs(dx - dy))) / far / Math.SQRT2;
      if (far < 10 * side || far > 60 * side) continue;
      const at = (s, t) => ({ x: a.x + s * dx - t * dy, y: a.y + s * dy + t * dx }); // along a to b, and to the right of it
      guess(a, b, at(0, 1), a.dark, side); // top left and top right
      guess(a, at(0, -1), b, a.dark, side); // top left and bottom left
      guess(at(0.5, -0.5), a, b, a.dark, slant); // bottom left and top right, with the top left on one side
      for (const c of marks) {
        if (c === a || c === b || c.dark !== a.dark) continue;
        const ex = c.x - a.x, ey = c.y - a.y, other = Math.hypot(ex, ey), turn = (dx * ey - dy * ex) / far / other;
        if (turn > 0.5 && other < 2 * far && far < 2 * other) guess(a, b, c, a.dark, side);
      }
    }
  }
  return guesses.sort((a, b) => b.fit - a.fit);
}

// settled moves a guess, one number of its shape after the other, until it fits best.
function settled(soft, { shape, n, dark }) {
  const best = shape.slice(), places = new Float32Array(2 * n * n);
  const unit = (Math.hypot(best[2] - best[0], best[3] - best[1]) + Math.hypot(best[6] - best[0], best[7] - best[1])) / 2 / n;
  let fit = fitOf(soft, best, n, dark, true, places);
  for (const step of [1, 1, 0.5, 0.5, 0.25]) {
    for (let k = 0; k < best.length; k++) {
      const by = k < 12 ? step * unit : step * 0.1, was = best[k];
      for (const to of [was + by, was - by]) {
        best[k] = to;
        const now = fitOf(soft, best, n, dark, true, places);
        if (now > fit) {
          fit = now;
          break;
        }
        best[k] = was;
      }
    }
  }
  return { shape: best, n, dark, fit };
}

// modulesOf tells for each module of a shape whether it is dark: darker than the middle between the dark and the light ones
// around it, three to each side.
function modulesOf({ pixels, width, height }, { shape, n, dark }) {
  const places = placesOf(shape, n, new Float32Array(2 * n * n)), fixed = fixedOf(n);
  const light = new Float32Array(n * n), is = new Uint8Array(n * n);
  for (let k = 0; k < light.length; k++) {
    const x = places[2 * k] - 0.5, y = places[2 * k + 1] - 0.5, x0 = Math.floor(x), y0 = Math.floor(y), fx = x - x0, fy = y - y0;
    if (x0 < 0 || y0 < 0 || x0 + 1 >= width || y0 + 1 >= height) return null;
    const i = y0 * width + x0;
    light[k] = (pixels[i] * (1 - fx) + pixels[i + 1] * fx) * (1 - fy) + (pixels[i + width] * (1 - fx) + pixels[i + width + 1] * fx) * fy;
    if (!dark) light[k] = 255 - light[k];
  }
  for (let round = 0; round < 3; round++) {
    const before = is.slice();
    for (let i = 0; i < n; i++) {
      for (let j = 0; j < n; j++) {
        let sum = [0, 0], count = [0, 0], all = 0;
        for (let y = Math.max(i - 3, 0); y <= Math.min(i + 3, n - 1); y++) {
          for (let x = Math.max(j - 3, 0); x <= Math.min(j + 3, n - 1); x++) {
            const k = y * n + x, color = fixed[k] ? +(fixed[k] > 0) : before[k];
            all += light[k];
            if (round || fixed[k]) (sum[color] += light[k]), count[color]++;
          }
        }
        const around = (Math.min(i + 3, n - 1) - Math.max(i - 3, 0) + 1) * (Math.min(j + 3, n - 1) - Math.max(j - 3, 0) + 1);
        const middle = round && count[0] && count[1] ? (sum[0] / count[0] + sum[1] / count[1]) / 2 : all / around;
        is[i * n + j] = light[i * n + j] < middle;
      }
    }
  }
  return is.map((v, k) => (fixed[k] ? fixed[k] > 0 : v));
}

// drawn returns a clean picture of modules, with the white border that belongs to it.
function drawn(modules, n) {
  const border = 4, each = 3, side = (n + 2 * border) * each, pixels = new Uint8Array(side * side).fill(255);
  for (let y = 0; y < n * each; y++) {
    for (let x = 0; x < n * each; x++) {
      if (modules[((y / each) | 0) * n + ((x / each) | 0)]) pixels[(y + border * each) * side + x + border * each] = 0;
    }
  }
  return { pixels, width: side, height: side };
}

// symbolsOf returns clean pictures of the symbols that may lie in a picture, the likeliest first, at most so many; each is
// made when it is asked for. sharp is that of smoothed, half that of parted.
function* symbolsOf(picture, sharp, half, most) {
  const smooth = smoothed(picture, sharp), bits = parted(smooth, half), soft = averaged(bits, 1);
  // Grain makes patterns of its own where there is nothing to see. Source: our choice, more than the grain of a dim picture
  // makes often, and less than the faintest marks have.
  const marks = marksOf(bits, smooth.pixels, 5 + 3 * sharp);
  for (const guess of guessesOf(soft, marks).slice(0, most)) {
    const shape = settled(soft, guess), modules = modulesOf(smooth, shape);
    if (modules) yield drawn(modules, shape.n);
  }
}
