// From typed words to weighted terms of the known vocabulary: the twin of src/base/spelling.rs.

import { chars, compareText, isDigit, partitionPoint } from "./chars.mjs";

const ONE_SLIP = 0.7;
const TWO_SLIPS = 0.5;
const BEGUN = 0.7;
const ONE_SLIP_FROM = 4;
const TWO_SLIPS_FROM = 8;
const BEGUN_FROM = 3;
const STAND_INS = 3;

/** The known terms, sorted by code point. */
export class Vocabulary {
  constructor(terms) {
    this.terms = terms;
    this.all = new Set(terms);
  }

  /** What makes the search for near ones fast; made when a word is not known for the first time. */
  prepare() {
    this.letters ??= this.terms.map(chars);
    this.masks ??= this.letters.map(mask);
  }

  knows(term) {
    return this.all.has(term);
  }

  /** The known terms at the smallest distance from an unknown one, and that distance. */
  near(term) {
    const letters = chars(term);
    if (letters.length < ONE_SLIP_FROM || letters.some(isDigit)) {
      return { slips: 0, near: [] };
    }
    this.prepare();
    let best = letters.length < TWO_SLIPS_FROM ? 1 : 2;
    const own = mask(letters);
    const found = [];
    this.masks.forEach((known, i) => {
      const other = this.letters[i];
      if (Math.abs(other.length - letters.length) > best || differing(known, own) > 2 * best) {
        return;
      }
      const slips = slipsWithin(letters, other, best);
      if (slips !== null) {
        best = slips;
        found.push([slips, this.terms[i]]);
      }
    });
    const near = found.filter(([slips]) => slips === best).map(([, known]) => known);
    return { slips: best, near: near.slice(0, STAND_INS) };
  }

  /** The shortest known terms that this one begins. */
  begunBy(start) {
    if (chars(start).length < BEGUN_FROM) {
      return [];
    }
    const found = [];
    const from = partitionPoint(this.terms, (t) => compareText(t, start) < 0);
    for (let i = from; i < this.terms.length && this.terms[i].startsWith(start); i++) {
      found.push(i);
    }
    const length = (i) => chars(this.terms[i]).length;
    found.sort((a, b) => length(a) - length(b));
    return found.slice(0, STAND_INS).map((i) => this.terms[i]);
  }
}

/** Bit set of the letters of a term, in two halves: a to z have a bit each, others share 38. */
function mask(letters) {
  let [low, high] = [0, 0];
  for (const c of letters) {
    const code = c.codePointAt(0);
    const bit = code >= 97 && code <= 122 ? code - 97 : 26 + (code % 38);
    if (bit < 32) {
      low |= 1 << bit;
    } else {
      high |= 1 << (bit - 32);
    }
  }
  return [low, high];
}

function differing(a, b) {
  return ones(a[0] ^ b[0]) + ones(a[1] ^ b[1]);
}

function ones(bits) {
  let count = 0;
  for (let left = bits; left; left &= left - 1) {
    count += 1;
  }
  return count;
}

/** Whether two words are one slip apart: an edit, or two neighbours exchanged. */
export function oneSlip(a, b) {
  const [x, y] = [chars(a), chars(b)];
  return (
    Math.abs(x.length - y.length) <= 1 &&
    differing(mask(x), mask(y)) <= 2 &&
    slipsWithin(x, y, 1) === 1
  );
}

/** The number of slips between two words where it is at most `most` (Damerau 1964, restricted). */
export function slipsWithin(a, b, most) {
  if (Math.abs(a.length - b.length) > most || b.length < ONE_SLIP_FROM - 1) {
    return null;
  }
  let before = [];
  let last = Array.from({ length: b.length + 1 }, (_, i) => i);
  for (let i = 1; i <= a.length; i++) {
    const row = new Array(b.length + 1).fill(i);
    let least = i;
    for (let j = 1; j <= b.length; j++) {
      const other = a[i - 1] === b[j - 1] ? 0 : 1;
      row[j] = Math.min(last[j] + 1, row[j - 1] + 1, last[j - 1] + other);
      if (i > 1 && j > 1 && a[i - 1] === b[j - 2] && a[i - 2] === b[j - 1]) {
        row[j] = Math.min(row[j], before[j - 2] + 1);
      }
      least = Math.min(least, row[j]);
    }
    if (least > most) {
      return null;
    }
    before = last;
    last = row;
  }
  return last[b.length] <= most ? last[b.length] : null;
}

/** The terms of a question, each once with its weight, sorted. */
export function weigh(terms, known) {
  const weighted = new Map();
  const put = (term, weight) => weighted.set(term, Math.max(weighted.get(term) ?? 0, weight));
  terms.forEach((term, i) => {
    if (known.knows(term)) {
      put(term, 1);
      return;
    }
    const begun = i + 1 === terms.length ? known.begunBy(term) : [];
    begun.forEach((word) => put(word, BEGUN / begun.length));
    if (!begun.length) {
      const { slips, near } = known.near(term);
      const weight = slips === 1 ? ONE_SLIP : TWO_SLIPS;
      near.forEach((word) => put(word, weight / near.length));
    }
  });
  return [...weighted].sort((a, b) => compareText(a[0], b[0]));
}
