// Firmware versions and ranges: the twin of src/articles/firmware.rs.

const LARGEST = 2n ** 64n - 1n;
const HOLDS = {
  ">=": (order) => order >= 0,
  "<=": (order) => order <= 0,
  ">": (order) => order > 0,
  "<": (order) => order < 0,
  "=": (order) => order === 0,
};

/** The numbers at the start of a text, after an optional `v`; null where there is none. */
export function readVersion(text) {
  const numbers = [];
  for (const part of text.trim().replace(/^[vV]/, "").split(".")) {
    const digits = /^[0-9]*/.exec(part)[0];
    if (!digits) {
      break;
    }
    const number = BigInt(digits);
    if (number > LARGEST) {
      return null;
    }
    numbers.push(number);
    if (digits.length < part.length) {
      break;
    }
  }
  return numbers.length ? numbers : null;
}

/** Whether a range such as `>=2.4, <3.2` excludes a version; an unknown one is never excluded. */
export function excludes(range, version) {
  if (!range || !version) {
    return false;
  }
  return !range.split(",").every((part) => {
    const [, sign, limit] = /^(>=|<=|>|<|=)(.*)$/s.exec(part.trim());
    return HOLDS[sign](compare(version, readVersion(limit)));
  });
}

function compare(a, b) {
  for (let i = 0; i < Math.max(a.length, b.length); i++) {
    const [x, y] = [a[i] ?? 0n, b[i] ?? 0n];
    if (x !== y) {
      return x < y ? -1 : 1;
    }
  }
  return 0;
}
