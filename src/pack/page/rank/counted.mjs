// How well texts answer a question, exactly: the twin of src/evidence/bm25.rs and counted.rs.

/** Constants of BM25 for what articles say themselves. */
export const OWN = { k1: 1.2, b: 0.75 };
/** The same for what callers say. */
export const CALLERS = { k1: 4.0, b: 0.5 };

/** The texts of one family: lengths, the number of texts and terms of the whole knowledge base; for
 * each term its number, in how many of those texts it stands, and where its places end: in which text,
 * and how often. */
export class Family {
  constructor({ all, terms, lengths, numbers, df, ends, text, times }) {
    Object.assign(this, { all, terms, lengths, numbers, df, ends, text, times });
  }

  /** The score of each text, by number; 0 where it holds none of the weighted terms. One question asks for
   * the same more than once. */
  scores(weighted, constants) {
    if (this.asked !== weighted) {
      this.found = this.#scored(weighted, constants);
      this.asked = weighted;
    }
    return this.found;
  }

  #scored(weighted, { k1, b }) {
    const scores = new Float64Array(this.lengths.length);
    const average = this.terms / this.all;
    for (const [term, weight] of weighted) {
      const number = this.numbers.get(term);
      if (number === undefined) {
        continue;
      }
      const rarity = idf(this.all, this.df[number]);
      for (let i = number ? this.ends[number - 1] : 0; i < this.ends[number]; i++) {
        const [text, tf] = [this.text[i], this.times[i]];
        const length = this.lengths[text];
        const score = (rarity * tf * (k1 + 1)) / (tf + k1 * (1 - b + (b * length) / average));
        scores[text] += weight * score;
      }
    }
    return scores;
  }
}

function idf(texts, df) {
  return Math.log(1 + (texts - df + 0.5) / (df + 0.5));
}

/** Numbers of articles by their score in own plus callers' words, best first, ties by number. */
export function textScores({ own, callers }, weighted) {
  const [a, b] = [own.scores(weighted, OWN), callers.scores(weighted, CALLERS)];
  return Array.from(a, (score, article) => [article, score + b[article]])
    .filter(([, score]) => score > 0)
    .sort((x, y) => y[1] - x[1] || x[0] - y[0]);
}
