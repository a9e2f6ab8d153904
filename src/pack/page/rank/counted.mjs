// How well texts answer a question, exactly: the twin of src/evidence/bm25.rs and counted.rs.

/** Constants of BM25 for what articles say themselves. */
export const OWN = { k1: 1.2, b: 0.75 };
/** The same for what callers say. */
export const CALLERS = { k1: 4.0, b: 0.5 };

/** The texts of one family: lengths, the number of texts and terms of the whole knowledge base, and
 * for each term in how many of those texts it stands, and where and how often it stands in these. */
export class Family {
  constructor({ texts, terms, lengths, postings }) {
    Object.assign(this, { texts, terms, lengths, postings });
  }

  /** The score of each text that holds any of the weighted terms, by number. */
  scores(weighted, { k1, b }) {
    const scores = new Map();
    const average = this.terms / this.texts;
    for (const [term, weight] of weighted) {
      const found = this.postings.get(term);
      if (!found) {
        continue;
      }
      const rarity = idf(this.texts, found.df);
      for (let i = 0; i < found.at.length; i++) {
        const [text, tf] = [found.at[i], found.tf[i]];
        const length = this.lengths[text];
        const score = (rarity * tf * (k1 + 1)) / (tf + k1 * (1 - b + (b * length) / average));
        scores.set(text, (scores.get(text) ?? 0) + weight * score);
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
  const articles = new Set([...a.keys(), ...b.keys()]);
  return [...articles]
    .map((article) => [article, (a.get(article) ?? 0) + (b.get(article) ?? 0)])
    .sort((x, y) => y[1] - x[1] || x[0] - y[0]);
}
