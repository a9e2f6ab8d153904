// Letters as the Rust core sees them: whole code points, sorted by code point.

const ALPHABETIC = /^\p{Alphabetic}$/u;
const NUMERIC = /^\p{N}$/u;
const SPACE = /^\p{White_Space}$/u;

/** The code points of a text. */
export function chars(text) {
  return Array.from(text);
}

export function isDigit(c) {
  return c >= "0" && c <= "9" && c.length === 1;
}

export function isAlphabetic(c) {
  if (c.length === 1 && c < "\x80") {
    return (c >= "a" && c <= "z") || (c >= "A" && c <= "Z");
  }
  return ALPHABETIC.test(c);
}

export function isNumeric(c) {
  return c < "\x80" ? isDigit(c) : NUMERIC.test(c);
}

export function isAlphanumeric(c) {
  return isAlphabetic(c) || isNumeric(c);
}

export function isSpace(c) {
  return SPACE.test(c);
}

/** Compares by code point, as Rust compares strings; JavaScript's own `<` goes by half pairs. */
export function compareText(a, b) {
  const length = Math.min(a.length, b.length);
  for (let i = 0; i < length; i++) {
    const [x, y] = [a.charCodeAt(i), b.charCodeAt(i)];
    if (x !== y) {
      const pair = (u) => u >= 0xd800 && u <= 0xdfff;
      return pair(x) === pair(y) ? x - y : pair(x) ? 1 : -1;
    }
  }
  return a.length - b.length;
}

/** The first place in a sorted list at which `isBefore` is false. */
export function partitionPoint(list, isBefore) {
  let [low, high] = [0, list.length];
  while (low < high) {
    const middle = (low + high) >> 1;
    if (isBefore(list[middle])) {
      low = middle + 1;
    } else {
      high = middle;
    }
  }
  return low;
}
