// Where the phrases of a book stand in a text: the twin of src/base/phrases/find.rs.

import { partitionPoint } from "./chars.mjs";
import { statesOnly } from "./negation.mjs";

/** How many other words may stand between two words of a phrase. */
const GAP = 2;
const MOST = 24;
const NEAR = 12;

/** Whether these forms stand side by side from a place on. */
function standsAt(wanted, forms, at) {
  return wanted.every((form, i) => forms[at + i]?.includes(form));
}

/** A text with the places of every alternative of a book. */
export class Reading {
  constructor(book, clauses, forms) {
    this.clauses = clauses;
    this.lists = book.lists;
    // By slot; most have none.
    this.places = new Array(book.slots.length);
    forms.forEach((met, at) => {
      for (const form of met) {
        for (const [slot, alternative] of book.begun[form]) {
          const { length } = book.slots[slot][alternative];
          if (length === 1 || standsAt(book.slots[slot][alternative], forms, at)) {
            const places = (this.places[slot] ??= []);
            const end = at + length;
            if (!places.some(([from, to]) => from === at && to === end)) {
              places.push([at, end]);
            }
          }
        }
      }
    });
  }

  /** Marks in `taken` the words that a harmless phrase covers wherever it stands, denied or not. */
  take(phrase, taken) {
    if (!this.#stands(phrase)) {
      return;
    }
    const free = taken.map(() => false);
    for (const sentence of this.clauses.sentences) {
      const parts = this.#parts(phrase, sentence, free, 0);
      const near = (way, other) => other.some((o) => Math.abs(o[0] - way[0]) <= NEAR);
      for (const way of parts.flat()) {
        if (parts.every((other) => near(way, other))) {
          way.forEach((at) => (taken[at] = true));
        }
      }
    }
  }

  /**
   * Looks for a phrase outside of what is taken: null, or its words and whether they are denied or,
   * by their places, no fact.
   */
  find(phrase, taken, isFact) {
    if (!this.#stands(phrase)) {
      return null;
    }
    let found = null;
    for (const sentence of this.clauses.sentences) {
      const fact = (places) => !phrase.asks && isFact(places);
      const judge = (places) =>
        phrase.alone && !statesOnly(this.clauses, places, this.lists) ? null : this.#judge(places, fact);
      const chosen = this.#choose(this.#parts(phrase, sentence, taken, GAP), judge, []);
      if (chosen && !chosen.denied) {
        return chosen;
      }
      found = chosen ?? found;
    }
    return found;
  }

  /** Whether each of its places has a word somewhere; hardly any phrase has. */
  #stands(phrase) {
    return phrase.every((slots) => slots.every((slot) => this.places[slot]));
  }

  /** For each part the ways it stands in a sentence, as places of its words. */
  #parts(phrase, sentence, taken, gap) {
    const parts = [];
    for (const slots of phrase) {
      const ways = [];
      this.#follow(slots, 0, sentence, taken, gap, [], ways);
      parts.push(ways);
      if (!ways.length) {
        break;
      }
    }
    return parts;
  }

  #follow(slots, nth, [from, to], taken, gap, path, ways) {
    if (nth === slots.length) {
      ways.push(path);
      return;
    }
    const end = this.#sentenceEnd(from);
    for (const [start, stop] of this.places[slots[nth]]) {
      const fits = from <= start && start < to && stop <= end;
      if (!fits || taken.slice(start, stop).includes(true) || ways.length >= MOST) {
        continue;
      }
      const covered = Array.from({ length: stop - start }, (_, i) => start + i);
      const next = [stop, Math.min(stop + gap + 1, this.#pieceEnd(stop, end))];
      this.#follow(slots, nth + 1, next, taken, gap, [...path, ...covered], ways);
    }
  }

  /** A sequence does not run over punctuation. */
  #pieceEnd(from, end) {
    for (let at = from; at < end; at++) {
      if (this.clauses.parted[at]) {
        return at;
      }
    }
    return end;
  }

  #sentenceEnd(at) {
    const { sentences, words } = this.clauses;
    const next = partitionPoint(sentences, ([, end]) => end <= at);
    return next < sentences.length ? sentences[next][1] : words.length;
  }

  /** Goes through the combinations of the parts until one is said. */
  #choose(parts, judge, chosen) {
    if (!parts.length) {
      return judge(chosen);
    }
    const [part, ...rest] = parts;
    let best = null;
    for (const way of part) {
      const found = this.#choose(rest, judge, [...chosen, ...way]);
      if (found && !found.denied) {
        return found;
      }
      best = found ?? best;
    }
    return best;
  }

  /** A denial that is itself a word of the phrase does not deny the phrase: "so hot, can't touch". */
  #judge(chosen, isFact) {
    const { words, deniedBy } = this.clauses;
    const deniers = chosen.flatMap((at) => deniedBy[at]).filter((by) => !chosen.includes(by));
    const places = [...new Set([...chosen, ...deniers])].sort((a, b) => a - b);
    const between = (at, nth) => (nth === 0 ? "" : places[nth - 1] + 1 === at ? " " : " … ");
    return {
      denied: deniers.length > 0 || !isFact(chosen),
      words: places.map((at, nth) => between(at, nth) + words[at]).join(""),
    };
  }
}
