// Reads what src/pack/content/bytes.rs writes: many small numbers.

/** Whole numbers, low seven bits first (LEB128). */
export class Numbers {
  constructor(bytes, [from, to]) {
    Object.assign(this, { bytes, at: from, to });
  }

  next() {
    let byte = this.bytes[this.at++];
    if (byte < 128) {
      return byte;
    }
    let [value, scale] = [byte & 127, 128];
    do {
      byte = this.bytes[this.at++];
      value += (byte & 127) * scale;
      scale *= 128;
    } while (byte >= 128);
    return value;
  }

  list(length) {
    const list = new Int32Array(length);
    for (let i = 0; i < length; i++) {
      list[i] = this.next();
    }
    return list;
  }
}

/** Yes and no, the first in the lowest bit. */
export class Bits {
  constructor(bytes, [from]) {
    Object.assign(this, { bytes, at: from * 8 });
  }

  next() {
    const bit = (this.bytes[this.at >> 3] >> (this.at & 7)) & 1;
    this.at += 1;
    return bit;
  }
}

/** Lists that stand one behind the other: from, then where each ends. */
export function lists(Kind, bytes, ends) {
  return ends.slice(1).map((end, i) => new Kind(bytes, [ends[i], end]));
}

/** Little-endian floats of 8 bytes. */
export function doubles(bytes, [from, to]) {
  const view = new DataView(bytes.buffer, bytes.byteOffset + from, to - from);
  return Float64Array.from({ length: (to - from) / 8 }, (_, i) => view.getFloat64(8 * i, true));
}

/** Words of which each begins with how many letters it takes from the one before: `A` for none. */
export function lines(text) {
  let before = "";
  const whole = (line) => (before = before.slice(0, line.charCodeAt(0) - 65) + line.slice(1));
  return text ? text.split("\n").map(whole) : [];
}
