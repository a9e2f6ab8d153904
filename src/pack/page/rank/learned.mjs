// What each run of letters says for an article and a kind: the twin of src/evidence/learned.rs.

import { plain, runsOfWord } from "./letters.mjs";
import { MOST_WORDS } from "./question.mjs";

/** The kind of "none of the listed fixes". */
export const OTHER = "~other";

/** Learned weights, as the pack carries them. */
export class LearnedWords {
  constructor({ articles, kinds, runs, idf, ends, columns, weights }) {
    Object.assign(this, { idf, ends, columns, weights, kinds });
    this.articles = articles;
    this.articleAt = new Map(articles.map((id, at) => [id, at]));
    this.kindAt = new Map(kinds.map((kind, at) => [kind, articles.length + at]));
    this.numbers = new Map(runs.map((run, number) => [run, number]));
  }

  /** Scores a text; words after the first `MOST_WORDS` are not read. */
  score(text) {
    const scores = new Float64Array(this.articles.length + this.kinds.length);
    for (const [run, x] of this.#vector(plain(text).slice(0, MOST_WORDS))) {
      for (let i = run ? this.ends[run - 1] : 0; i < this.ends[run]; i++) {
        scores[this.columns[i]] += x * this.weights[i];
      }
    }
    return new Scores(this, scores);
  }

  /** Known runs, ascending, each with its part of a vector of length one. */
  #vector(words) {
    const counts = new Map();
    for (const word of new Set(words)) {
      for (const run of new Set(runsOfWord(word))) {
        const number = this.numbers.get(run);
        if (number !== undefined) {
          counts.set(number, (counts.get(number) ?? 0) + 1);
        }
      }
    }
    const counted = [...counts].sort((a, b) => a[0] - b[0]);
    let sum = 0;
    for (const [run, count] of counted) {
      sum += count * count * this.idf[run];
    }
    return counted.map(([run, count]) => [run, count * Math.sqrt(this.idf[run] / sum)]);
  }
}

class Scores {
  constructor(of, scores) {
    Object.assign(this, { of, scores });
  }

  article(id) {
    const at = this.of.articleAt.get(id);
    return at === undefined ? 0 : this.scores[at];
  }

  kind(kind) {
    const at = this.of.kindAt.get(kind);
    return at === undefined ? 0 : this.scores[at];
  }

  /** Ids of the articles that the text speaks for, best first, ties by id. */
  best(most) {
    return this.of.articles
      .map((id, at) => [this.scores[at], at, id])
      .filter(([score]) => score > 0)
      .sort((a, b) => b[0] - a[0] || a[1] - b[1])
      .slice(0, most)
      .map(([, , id]) => id);
  }
}
