// Text analysis: the twin of src/base/text.rs.

import { chars, compareText, isAlphabetic, isAlphanumeric, isDigit } from "./chars.mjs";
import { stem as porter } from "./stem.mjs";

const MARK = /^\p{M}$/u;

/** Folds case, accents and compatibility forms. */
export function fold(text) {
  if (isPlain(text)) {
    return text.toLowerCase();
  }
  let out = "";
  for (const c of text.normalize("NFKD")) {
    // Letter by letter: a whole text would give a sigma at the end of a word another form.
    if (c !== "\0" && !MARK.test(c)) {
      out += c.toLowerCase().replaceAll("ß", "ss");
    }
  }
  return out;
}

/** Whether folding is nothing but small letters: ASCII, no null. */
function isPlain(text) {
  for (let i = 0; i < text.length; i++) {
    const code = text.charCodeAt(i);
    if (code === 0 || code > 127) {
      return false;
    }
  }
  return true;
}

/** Folds and splits into words; a point or hyphen between two digits stays inside. */
export function split(text) {
  const folded = chars(fold(text));
  const words = [];
  let word = "";
  for (let i = 0; i < folded.length; i++) {
    const c = folded[i];
    const inside =
      isAlphanumeric(c) ||
      ((c === "." || c === "-") &&
        i > 0 &&
        isDigit(folded[i - 1]) &&
        i + 1 < folded.length &&
        isDigit(folded[i + 1]));
    if (inside) {
      word += c;
    } else if (word) {
      words.push(word);
      word = "";
    }
  }
  if (word) {
    words.push(word);
  }
  return words;
}

/** Turns text into terms by the tables of `words.toml`; tables are lists of key and value. */
export class Analyzer {
  constructor(tables) {
    this.same = new Map(tables.same);
    this.groups = new Map(tables.groups);
    this.apart = new Map(tables.apart);
    this.phrases = new Map();
    this.stems = new Map();
    for (const [name, synonyms] of tables.same) {
      for (const synonym of synonyms) {
        this.#add(synonym, name);
      }
    }
    for (const [short, long] of tables.short) {
      this.#add(short, long);
    }
    for (const rewrites of this.phrases.values()) {
      rewrites.sort((a, b) => b.rest.length - a.rest.length || compareLists(a.rest, b.rest));
    }
  }

  #add(text, name) {
    if (this.parted(name, text)) {
      return;
    }
    const [from, into] = [split(text), split(name)];
    if (!from.length || !into.length || from.join(" ") === into.join(" ")) {
      return;
    }
    const [first, ...rest] = from;
    if (!this.phrases.has(first)) {
      this.phrases.set(first, []);
    }
    this.phrases.get(first).push({ rest, into });
  }

  /** Whether `[apart]` parts two words. */
  parted(a, b) {
    const lists = (from, to) => (this.apart.get(from) ?? []).includes(to);
    return lists(a, b) || lists(b, a);
  }

  /** The terms of a text, in order, stemmed. */
  terms(text) {
    return this.words(text).map((word) => this.stem(word));
  }

  /** The words of a text, in order, folded and rewritten but not stemmed. */
  words(text) {
    const plain = split(text);
    const out = [];
    for (let at = 0; at < plain.length; ) {
      const rewrite = (this.phrases.get(plain[at]) ?? []).find(({ rest }) =>
        rest.every((word, i) => plain[at + 1 + i] === word),
      );
      if (rewrite) {
        out.push(...rewrite.into);
        at += 1 + rewrite.rest.length;
      } else {
        out.push(plain[at]);
        at += 1;
      }
    }
    return out;
  }

  /** The stem of one folded word; words with digits are their own stem. */
  stem(word) {
    let found = this.stems.get(word);
    if (found === undefined) {
      found = chars(word).every(isAlphabetic) ? porter(word) : word;
      this.stems.set(word, found);
    }
    return found;
  }
}

function compareLists(a, b) {
  for (let i = 0; i < a.length && i < b.length; i++) {
    const order = compareText(a[i], b[i]);
    if (order) {
      return order;
    }
  }
  return a.length - b.length;
}
