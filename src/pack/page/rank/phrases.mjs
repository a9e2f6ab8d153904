// Phrases that a text is searched for: the twin of src/base/phrases.rs.

import { chars, isAlphabetic } from "./chars.mjs";
import { Reading } from "./find.mjs";
import { denies } from "./gaps.mjs";
import { plainWords } from "./negation.mjs";
import { oneSlip } from "./spelling.mjs";
import { split } from "./text.mjs";

const SLIP_FROM = 5;
const REPLACED_FROM = 7;
const DEEPEST = 4;
const PLAIN = /^[a-z]+$/;

/** Phrases, analysed once. A form is a kind and a word: `stem`, `whole`, `begins`, `ends`, `holds`. */
export class Book {
  constructor(analyzer, lists) {
    this.analyzer = analyzer;
    this.lists = lists;
    this.numbers = new Map();
    const kinds = ["stem", "whole", "begins", "ends", "holds"];
    this.formOf = Object.fromEntries(kinds.map((kind) => [kind, new Map()]));
    this.slots = [];
    this.begun = [];
    this.loose = [];
    this.written = new Map();
    // Places and groups stand in many phrases.
    this.placed = new Map();
    this.analysed = Array.from({ length: DEEPEST + 1 }, () => new Map());
  }

  /** Analyses a phrase into parts of places; none where it holds no word or an unknown group. */
  phrase(text) {
    const parts = [];
    const [, asks, alone, rest] = /^\s*(\??)\s*(\^?)(.*)$/s.exec(text);
    for (const part of rest.split("&")) {
      const slots = part.split(/\p{White_Space}+/u).filter(Boolean).map((place) => this.#place(place));
      if (slots.includes(null)) {
        return null;
      }
      const known = slots.filter((slot) => slot !== undefined);
      if (!known.length) {
        return null;
      }
      parts.push(known);
    }
    return Object.assign(parts, { asks: asks !== "", alone: alone !== "" });
  }

  /** The slot of a place as written; undefined where it holds no word, null where it names no known group. */
  #place(place) {
    if (!this.placed.has(place)) {
      const alternatives = [];
      const known = place.split("|").every((written) => this.#alternatives(written, 0, alternatives));
      this.placed.set(place, known ? this.#slot(alternatives) : null);
    }
    return this.placed.get(place);
  }

  #slot(found) {
    const alternatives = found
      .sort(compareNumbers)
      .filter((one, i) => i === 0 || compareNumbers(one, found[i - 1]) !== 0);
    if (!alternatives.length) {
      return undefined;
    }
    const number = this.slots.push(alternatives) - 1;
    alternatives.forEach((alternative, i) => this.begun[alternative[0]].push([number, i]));
    return number;
  }

  #alternatives(written, depth, into) {
    const known = this.analysed[depth];
    let found = known.get(written);
    if (found === undefined) {
      const fresh = [];
      found = this.#analyse(written, depth, fresh) && fresh;
      known.set(written, found);
    }
    for (const alternative of found || []) {
      into.push(alternative);
    }
    return found !== false;
  }

  #analyse(written, depth, into) {
    if (PLAIN.test(written)) {
      this.#plain(written, into);
      return true;
    }
    const group = /^<(.*)>$/s.exec(written);
    if (group) {
      const members = depth < DEEPEST ? this.analyzer.groups.get(group[1]) : undefined;
      return (
        members !== undefined &&
        members.every((member) => this.#alternatives(member, depth + 1, into))
      );
    }
    const whole = written.startsWith("=");
    const [ends, begins] = [written.startsWith("*"), written.endsWith("*")];
    const words = plainWords(written);
    const alternative = words.map((word, i) => {
      const [open, on] = [ends && i === 0, begins && i === words.length - 1];
      const kind = whole ? "whole" : open && on ? "holds" : open ? "ends" : on ? "begins" : "stem";
      return this.#form(kind, word);
    });
    if (!alternative.length) {
      return true;
    }
    if (words.length === 1 && !whole && !ends && !begins) {
      this.#plain(words[0], into);
    } else {
      into.push(alternative);
    }
    return true;
  }

  /** One word without a mark: its synonyms, and itself. */
  #plain(word, into) {
    const own = this.#form("stem", word);
    for (const synonym of this.analyzer.same.get(word) ?? []) {
      into.push(split(synonym).map((part) => this.#form("stem", part)));
    }
    into.push([own]);
  }

  /** The number of a form; the word of a stem comes as written and is stemmed here. */
  #form(kind, written) {
    const known = this.formOf[kind];
    if (!known.has(written)) {
      known.set(written, this.#newForm(kind, written));
    }
    return known.get(written);
  }

  #newForm(kind, written) {
    const slips = (kind === "stem" || kind === "begins") && chars(written).length >= SLIP_FROM;
    const word = kind === "stem" ? this.analyzer.stem(written) : written;
    const key = `${kind} ${word}`;
    let number = this.numbers.get(key);
    if (number === undefined) {
      number = this.begun.length;
      this.numbers.set(key, number);
      this.begun.push([]);
      if (kind !== "stem" && kind !== "whole") {
        this.loose.push([kind, word, number]);
      }
    }
    if (slips) {
      const first = chars(written)[0];
      const list = this.written.get(first) ?? [];
      list.push([written, number]);
      this.written.set(first, list);
    }
    return number;
  }

  /** Finds all alternatives in a text. */
  read(clauses, known) {
    const forms = clauses.words.map((word) => this.#formsOf(word, known));
    return new Reading(this, clauses, forms);
  }

  /** The forms that a word of a text meets. */
  #formsOf(word, known) {
    const stem = this.analyzer.stem(word);
    const met = [this.numbers.get(`stem ${stem}`), this.numbers.get(`whole ${word}`)].filter(
      (number) => number !== undefined,
    );
    for (const [kind, part, number] of this.loose) {
      if (meets(kind, part, word)) {
        met.push(number);
      }
    }
    const slip =
      !met.length &&
      chars(word).every(isAlphabetic) &&
      !this.lists.COMMON.has(word) &&
      !denies(word, this.lists) &&
      !known.knows(stem);
    return slip ? this.#slips(word) : met;
  }

  #slips(word) {
    const letters = chars(word);
    const list = this.written.get(letters[0]);
    if (!list || letters.length + 1 < SLIP_FROM) {
      return [];
    }
    const fits = ([known]) => {
      const exchanged = chars(known).length === letters.length && sorted(known) !== sorted(word);
      // Most words that differ in one letter alone are words of their own.
      return (
        (!exchanged || letters.length >= REPLACED_FROM) &&
        oneSlip(word, known) &&
        !this.analyzer.parted(word, known)
      );
    };
    return list.filter(fits).map(([, number]) => number);
  }
}

function sorted(word) {
  return chars(word).sort().join("");
}

function meets(kind, part, word) {
  switch (kind) {
    case "begins":
      return word.startsWith(part);
    case "ends":
      return word.endsWith(part);
    default:
      return word.includes(part);
  }
}

function compareNumbers(a, b) {
  for (let i = 0; i < a.length && i < b.length; i++) {
    if (a[i] !== b[i]) {
      return a[i] - b[i];
    }
  }
  return a.length - b.length;
}
