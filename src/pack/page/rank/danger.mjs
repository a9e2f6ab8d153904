// Whether what was said stops everything: the twin of src/evidence/danger.rs.

import { readClauses, statesOnly } from "./negation.mjs";
import { Book } from "./phrases.mjs";

/** A danger whose chance reaches this stops the case. */
export const STOPS_AT = 0.1;

const HEARD_FROM = 4;

/** The stop phrases of all danger articles, analysed once. */
export class StopWords {
  constructor(articles, analyzer, lists, ear) {
    Object.assign(this, { analyzer, lists, ear });
    this.book = new Book(analyzer, lists);
    const read = (phrases) => phrases.map((text) => this.book.phrase(text)).filter(Boolean);
    this.listening = articles
      .filter((article) => article.danger)
      .map(({ id, danger }) => ({
        id,
        stop: read(danger.stop),
        harmless: read(danger.harmless),
        own: new Set(danger.own),
      }));
  }

  /**
   * By danger article `{ said }` or `{ denied }`, who was heard of at all, the words left, and the
   * chance of a danger where nothing was heard and it sounds like one.
   */
  find(text, known) {
    const clauses = readClauses(text, this.lists);
    const reading = this.book.read(clauses, known);
    const alarms = new Map();
    const heard = new Set();
    const harmless = clauses.words.map(() => false);
    const said = this.#left(clauses);
    const sound = this.#sound(text, clauses);
    const isFact = (chosen) => !sound.harmless || statesOnly(clauses, chosen, this.lists);
    for (const article of this.listening) {
      const taken = clauses.words.map(() => false);
      article.harmless.forEach((phrase) => reading.take(phrase, taken));
      taken.forEach((is, at) => (harmless[at] ||= is));
      if (isHeard(article, said(taken))) {
        heard.add(article.id);
      }
      for (const phrase of article.stop) {
        const found = reading.find(phrase, taken, isFact);
        if (found && !found.denied) {
          alarms.set(article.id, { said: found.words });
          break;
        }
        if (found && !alarms.has(article.id)) {
          alarms.set(article.id, { denied: found.words });
        }
      }
    }
    const found = { alarms, heard, left: affirmed(clauses, harmless).join(" "), sounds: null };
    takeIn(found, sound);
    return found;
  }

  /** What is denied beside it is no reason to doubt what is said: "smells burnt, but no smoke". */
  #sound(text, clauses) {
    if (!this.ear) {
      return { danger: null, harmless: false };
    }
    const sound = this.ear.hear(text);
    if (sound.harmless && clauses.deniedBy.some((by) => by.length)) {
      const said = affirmed(clauses, clauses.words.map(() => false));
      sound.harmless = this.ear.hear(said.join(" ")).harmless;
    }
    return sound;
  }

  /** The terms that are neither taken nor denied; analysed anew only where others are taken. */
  #left(clauses) {
    let [before, terms] = [null, null];
    return (taken) => {
      const key = taken.join();
      if (key !== before) {
        terms = new Set(this.analyzer.terms(affirmed(clauses, taken).join(" ")));
        before = key;
      }
      return terms;
    };
  }
}

function isHeard({ own }, said) {
  return [...said].filter((term) => own.has(term)).length >= HEARD_FROM;
}

/** Takes in how the same text sounds. */
function takeIn(found, { danger, harmless }) {
  if (harmless) {
    found.heard.clear();
  }
  found.sounds = found.alarms.size ? null : danger;
}

function affirmed({ words, deniedBy }, taken) {
  return words.filter((_, at) => !taken[at] && !deniedBy[at].length);
}
