// What each run of letters says for an article and a kind: the twin of src/evidence/learned.rs.

import { plain, runsOfWord } from "./letters.mjs";
import { Bits, Numbers, doubles, lines } from "./numbers.mjs";
import { MOST_WORDS } from "./question.mjs";

/** The kind of "none of the listed fixes". */
export const OTHER = "~other";

/** Learned weights: a run has a row of them, its columns and weights up to where it ends, and is as
 * rare as `idf` of its row says. */
export class LearnedWords {
  constructor({ articles, kinds, runs, rows, idf, ends, columns, weights }) {
    Object.assign(this, { rows, idf, ends, columns, weights, articles, kinds });
    this.articleAt = new Map(articles.map((id, at) => [id, at]));
    this.kindAt = new Map(kinds.map((kind, at) => [kind, articles.length + at]));
    this.numbers = new Map(runs.map((run, number) => [run, number]));
  }

  /** Scores a text; words after the first `MOST_WORDS` are not read. */
  score(text) {
    const words = plain(text).slice(0, MOST_WORDS);
    const asked = words.join(" ");
    if (this.asked !== asked) {
      this.found = this.#scored(words);
      this.asked = asked;
    }
    return this.found;
  }

  #scored(words) {
    const scores = new Float64Array(this.articles.length + this.kinds.length);
    for (const [run, x] of this.#vector(words)) {
      const row = this.rows[run];
      for (let i = row ? this.ends[row - 1] : 0; i < this.ends[row]; i++) {
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
      sum += count * count * this.idf[this.rows[run]];
    }
    const part = (run, count) => count * Math.sqrt(this.idf[this.rows[run]] / sum);
    return counted.map(([run, count]) => [run, part(run, count)]);
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

/** Reads what src/pack/content/learned.rs writes. */
export function readRows(part, bytes) {
  const runs = lines(part.runs);
  const back = new Numbers(bytes, part.back);
  const rows = new Int32Array(runs.length);
  let count = 0;
  for (let run = 0; run < runs.length; run++) {
    const steps = back.next();
    rows[run] = steps ? count - steps : count++;
  }
  const rarity = new Numbers(bytes, part.rarity).list(count);
  const rarities = doubles(bytes, part.rarities);
  const { ends, columns } = readColumns(part, bytes, count);
  const weights = new Float64Array(columns.length);
  const sizes = new Numbers(bytes, part.sizes);
  const byRarity = Array.from(rarity.keys()).sort((a, b) => rarity[a] - rarity[b]);
  for (const row of byRarity) {
    for (let i = row ? ends[row - 1] : 0; i < ends[row]; i++) {
      weights[i] = sizes.next() / part.per_one;
    }
  }
  const negative = new Bits(bytes, part.negative);
  for (let i = 0; i < weights.length; i++) {
    weights[i] = negative.next() ? -weights[i] : weights[i];
  }
  const idf = Float64Array.from(rarity, (which) => rarities[which]);
  return { articles: part.articles, kinds: part.kinds, runs, rows, idf, ends, columns, weights };
}

function readColumns({ articles, kinds, speaks }, bytes, rows) {
  const width = articles.length + kinds.length;
  const bits = new Bits(bytes, speaks);
  const ends = new Int32Array(rows);
  const columns = new Int32Array(rows * width);
  let count = 0;
  for (let row = 0; row < rows; row++) {
    for (let column = 0; column < width; column++) {
      if (bits.next()) {
        columns[count++] = column;
      }
    }
    ends[row] = count;
  }
  return { ends, columns: columns.slice(0, count) };
}
