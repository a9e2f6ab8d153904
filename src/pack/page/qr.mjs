// QR codes by ISO/IEC 18004: byte mode, error correction L, versions 1 to 40. Own code, because the
// page may load nothing and files of others are not kept in this repository; decoders of others read
// what it makes in `tools/crosscheck/check_qr.py`. Tables of level L are those of the standard (from
// memory; the decoders would stumble over a wrong one).

const EC_WORDS = [
  7, 10, 15, 20, 26, 18, 20, 24, 30, 18, 20, 24, 26, 30, 22, 24, 28, 30, 28, 28,
  28, 28, 30, 30, 26, 28, 30, 30, 30, 30, 30, 30, 30, 30, 30, 30, 30, 30, 30, 30,
];
const BLOCKS = [
  1, 1, 1, 1, 1, 2, 2, 2, 2, 4, 4, 4, 4, 4, 6, 6, 6, 6, 7, 8,
  8, 9, 9, 10, 12, 12, 12, 13, 14, 15, 16, 17, 18, 19, 19, 20, 21, 22, 24, 25,
];
const LEVEL_L = 1;

const MASKS = [
  (x, y) => (x + y) % 2 === 0,
  (x, y) => y % 2 === 0,
  (x) => x % 3 === 0,
  (x, y) => (x + y) % 3 === 0,
  (x, y) => ((x / 3 | 0) + (y / 2 | 0)) % 2 === 0,
  (x, y) => ((x * y) % 2) + ((x * y) % 3) === 0,
  (x, y) => (((x * y) % 2) + ((x * y) % 3)) % 2 === 0,
  (x, y) => (((x + y) % 2) + ((x * y) % 3)) % 2 === 0,
];

/** The modules of a text, row by row, dark ones true, without the quiet zone; null if too long. */
export function qrCode(text) {
  const bytes = new TextEncoder().encode(text);
  for (let version = 1; version <= 40; version++) {
    const words = bitsOf(version) >> 3;
    const room = words - EC_WORDS[version - 1] * BLOCKS[version - 1];
    if (4 + lengthBits(version) + 8 * bytes.length <= 8 * room) {
      return draw(version, withCorrection(version, words, dataWords(version, bytes, room)));
    }
  }
  return null;
}

function lengthBits(version) {
  return version < 10 ? 8 : 16;
}

/** How many modules of a version carry data. */
function bitsOf(version) {
  let bits = (16 * version + 128) * version + 64;
  if (version >= 2) {
    const across = ((version / 7) | 0) + 2;
    bits -= (25 * across - 10) * across - 55;
    bits -= version >= 7 ? 36 : 0;
  }
  return bits;
}

function dataWords(version, bytes, room) {
  const bits = [];
  const put = (value, length) => {
    for (let i = length - 1; i >= 0; i--) {
      bits.push((value >> i) & 1);
    }
  };
  put(0b0100, 4);
  put(bytes.length, lengthBits(version));
  bytes.forEach((byte) => put(byte, 8));
  put(0, Math.min(4, room * 8 - bits.length));
  put(0, (8 - (bits.length % 8)) % 8);
  const words = [];
  for (let i = 0; i < bits.length; i += 8) {
    words.push(bits.slice(i, i + 8).reduce((word, bit) => (word << 1) | bit, 0));
  }
  for (let pad = 0xec; words.length < room; pad ^= 0xec ^ 0x11) {
    words.push(pad);
  }
  return words;
}

/** Data in blocks with their correction words, interleaved. */
function withCorrection(version, words, data) {
  const [count, ec] = [BLOCKS[version - 1], EC_WORDS[version - 1]];
  const short = (words / count) | 0;
  const longFrom = count - (words % count);
  const divisor = generator(ec);
  const blocks = [];
  for (let i = 0, from = 0; i < count; i++) {
    const length = short - ec + (i < longFrom ? 0 : 1);
    const block = data.slice(from, from + length);
    from += length;
    blocks.push({ block, ec: remainder(block, divisor) });
  }
  const out = [];
  for (let i = 0; i <= short - ec; i++) {
    blocks.forEach(({ block }) => i < block.length && out.push(block[i]));
  }
  for (let i = 0; i < ec; i++) {
    blocks.forEach((block) => out.push(block.ec[i]));
  }
  return out;
}

/** Multiplies in GF(2^8) modulo x^8 + x^4 + x^3 + x^2 + 1. */
function times(a, b) {
  let product = 0;
  for (let i = 7; i >= 0; i--) {
    product = (product << 1) ^ ((product >> 7) * 0x11d);
    product ^= ((b >> i) & 1) * a;
  }
  return product;
}

/** The product of (x - 2^i), highest power left out. */
function generator(degree) {
  const found = new Array(degree).fill(0);
  found[degree - 1] = 1;
  let root = 1;
  for (let i = 0; i < degree; i++) {
    for (let j = 0; j < degree; j++) {
      found[j] = times(found[j], root) ^ (j + 1 < degree ? found[j + 1] : 0);
    }
    root = times(root, 2);
  }
  return found;
}

function remainder(data, divisor) {
  const left = new Array(divisor.length).fill(0);
  for (const word of data) {
    const factor = word ^ left.shift();
    left.push(0);
    divisor.forEach((d, i) => (left[i] ^= times(d, factor)));
  }
  return left;
}

/** The drawing with the mask that disturbs least. */
function draw(version, words) {
  let best = null;
  for (let mask = 0; mask < MASKS.length; mask++) {
    const grid = new Grid(version);
    grid.format(mask);
    grid.data(words, MASKS[mask]);
    const penalty = penaltyOf(grid.dark);
    if (!best || penalty < best.penalty) {
      best = { penalty, dark: grid.dark };
    }
  }
  return best.dark;
}

class Grid {
  constructor(version) {
    this.size = 17 + 4 * version;
    const rows = () => Array.from({ length: this.size }, () => new Array(this.size).fill(false));
    this.dark = rows();
    this.fixed = rows();
    for (let i = 0; i < this.size; i++) {
      this.set(6, i, i % 2 === 0);
      this.set(i, 6, i % 2 === 0);
    }
    for (const [x, y] of [[3, 3], [this.size - 4, 3], [3, this.size - 4]]) {
      this.square(x, y, 4, [0, 1, 3]);
    }
    const places = alignment(version, this.size);
    const last = places.length - 1;
    places.forEach((x, i) => places.forEach((y, j) => {
      const corner = (i === 0 && j === 0) || (i === 0 && j === last) || (i === last && j === 0);
      if (!corner) {
        this.square(x, y, 2, [0, 2]);
      }
    }));
    if (version >= 7) {
      this.version(version);
    }
  }

  set(x, y, dark) {
    this.dark[y][x] = dark;
    this.fixed[y][x] = true;
  }

  /** Rings around a middle; those of the `darkOnes` distances are dark. */
  square(x, y, reach, darkOnes) {
    for (let dy = -reach; dy <= reach; dy++) {
      for (let dx = -reach; dx <= reach; dx++) {
        const [px, py] = [x + dx, y + dy];
        if (px >= 0 && px < this.size && py >= 0 && py < this.size) {
          this.set(px, py, darkOnes.includes(Math.max(Math.abs(dx), Math.abs(dy))) );
        }
      }
    }
  }

  version(version) {
    let rest = version;
    for (let i = 0; i < 12; i++) {
      rest = (rest << 1) ^ ((rest >> 11) * 0x1f25);
    }
    const bits = (version << 12) | rest;
    for (let i = 0; i < 18; i++) {
      const dark = ((bits >> i) & 1) === 1;
      const [a, b] = [this.size - 11 + (i % 3), (i / 3) | 0];
      this.set(a, b, dark);
      this.set(b, a, dark);
    }
  }

  format(mask) {
    const data = (LEVEL_L << 3) | mask;
    let rest = data;
    for (let i = 0; i < 10; i++) {
      rest = (rest << 1) ^ ((rest >> 9) * 0x537);
    }
    const bits = ((data << 10) | rest) ^ 0x5412;
    const bit = (i) => ((bits >> i) & 1) === 1;
    for (let i = 0; i < 6; i++) {
      this.set(8, i, bit(i));
    }
    this.set(8, 7, bit(6));
    this.set(8, 8, bit(7));
    this.set(7, 8, bit(8));
    for (let i = 9; i < 15; i++) {
      this.set(14 - i, 8, bit(i));
    }
    for (let i = 0; i < 8; i++) {
      this.set(this.size - 1 - i, 8, bit(i));
    }
    for (let i = 8; i < 15; i++) {
      this.set(8, this.size - 15 + i, bit(i));
    }
    this.set(8, this.size - 8, true);
  }

  /** Fills pairs of columns from the right, up and down in turn. */
  data(words, mask) {
    let i = 0;
    for (let right = this.size - 1; right >= 1; right -= 2) {
      right = right === 6 ? 5 : right;
      for (let step = 0; step < this.size; step++) {
        for (const x of [right, right - 1]) {
          const up = ((right + 1) & 2) === 0;
          const y = up ? this.size - 1 - step : step;
          if (!this.fixed[y][x]) {
            const dark = i < words.length * 8 && ((words[i >> 3] >> (7 - (i & 7))) & 1) === 1;
            this.dark[y][x] = dark !== mask(x, y);
            i += 1;
          }
        }
      }
    }
  }
}

function alignment(version, size) {
  if (version === 1) {
    return [];
  }
  const count = ((version / 7) | 0) + 2;
  const step = version === 32 ? 26 : Math.ceil((version * 4 + 4) / (count * 2 - 2)) * 2;
  const places = [];
  for (let at = size - 7; places.length < count - 1; at -= step) {
    places.unshift(at);
  }
  return [6, ...places];
}

/** The four penalties of the standard, which choose the mask. */
function penaltyOf(dark) {
  const size = dark.length;
  let penalty = 0;
  const lines = [...dark, ...dark.map((_, x) => dark.map((row) => row[x]))];
  for (const line of lines) {
    const text = line.map((is) => (is ? "1" : "0")).join("");
    for (const [run] of text.matchAll(/0{5,}|1{5,}/g)) {
      penalty += run.length - 2;
    }
    for (let i = 0; i + 11 <= size; i++) {
      const part = text.slice(i, i + 11);
      penalty += part === "10111010000" || part === "00001011101" ? 40 : 0;
    }
  }
  let count = 0;
  for (let y = 0; y < size; y++) {
    for (let x = 0; x < size; x++) {
      count += dark[y][x] ? 1 : 0;
      const same = (a, b) => dark[a][b] === dark[y][x];
      if (x + 1 < size && y + 1 < size && same(y, x + 1) && same(y + 1, x) && same(y + 1, x + 1)) {
        penalty += 3;
      }
    }
  }
  return penalty + 10 * Math.floor(Math.abs((count * 20) / (size * size) - 10));
}
