// The numbers that speak for each candidate: the twin of src/evidence/features.rs.

import { CALLERS, OWN, textScores } from "./counted.mjs";
import { OTHER } from "./learned.mjs";
import { isExcluded } from "./question.mjs";

const BY_TEXT = 20;
const BY_LEARNED = 10;
const ASKED_FOR = 60;

/** Places of the features in a row, as `Feature` in src/evidence/equation.rs numbers them. */
export const Feature = {
  OwnArticle: 0, OwnFix: 1, CallersOfPair: 2, CallersOfArticle: 3, CallersOfKind: 4,
  LettersOfArticle: 5, LettersOfKind: 6, Common: 7, Share: 8, Code: 9, Signs: 10,
  LearnedArticle: 11, LearnedKind: 12,
};

const FEATURES = Object.keys(Feature).length;

/** Chooses the candidates and computes their features: pairs by number, ascending, with rows. */
export function table(question, ground) {
  const learned = ground.learned.score(question.all.text);
  const articles = chosenArticles(question, learned, ground);
  const dangers = articles.filter((a) => ground.articles[a].danger);
  const others = articles.filter((a) => !ground.articles[a].danger);
  const affirmed = ground.learned.score(question.affirmed.text);
  return [
    ...rowsOf(others, question.all, learned, question, ground),
    ...rowsOf(dangers, question.affirmed, affirmed, question, ground),
  ].sort((a, b) => a.pair - b.pair);
}

/** The best by text and by learned words, those whose code or sign was shown or whose check was
 * answered, and all dangers; without those about another device or firmware. */
function chosenArticles(question, learned, ground) {
  const { said } = question;
  const excluded = (a) => isExcluded(ground.articles[a], said);
  const best = textScores(ground.families, question.all.words)
    .slice(0, ASKED_FOR)
    .filter(([a]) => !excluded(a))
    .slice(0, BY_TEXT);
  const chosen = new Set(best.map(([a]) => a));
  // Words that are all unknown have letters in common with anything.
  if (chosen.size) {
    for (const id of learned.best(BY_LEARNED)) {
      const number = ground.articleNumbers.get(id);
      if (number !== undefined && !excluded(number)) {
        chosen.add(number);
      }
    }
  }
  ground.articles.forEach((article, number) => {
    const shown =
      article.danger ||
      said.about.has(article.id) ||
      article.codes.some((code) => said.codes.includes(code)) ||
      article.signs.some(([lamp, state]) => said.signs[lamp] === state);
    if (shown && !excluded(number)) {
      chosen.add(number);
    }
  });
  return [...chosen].sort((a, b) => a - b);
}

function rowsOf(articles, terms, learned, question, ground) {
  const rows = articles.flatMap((a) =>
    ground.pairsOf[a].map((pair) => ({ pair, row: new Array(FEATURES).fill(0) })),
  );
  textFeatures(rows, terms, ground);
  for (const { pair, row } of rows) {
    shownFeatures(pair, question, ground, row);
    const { article, fix } = ground.pairs[pair];
    row[Feature.LearnedArticle] = learned.article(ground.articles[article].id);
    row[Feature.LearnedKind] = learned.kind(fix === null ? OTHER : ground.fixes[fix].kind);
  }
  return rows;
}

function textFeatures(rows, { words, grams }, { families, pairs }) {
  const article = (pair) => pairs[pair].article;
  const kind = (pair) => pairs[pair].kind;
  for (const [feature, family, constants, terms, textOf] of [
    [Feature.OwnArticle, families.own, OWN, words, article],
    [Feature.OwnFix, families.fix, OWN, words, (pair) => pairs[pair].fix],
    [Feature.CallersOfPair, families.pair, CALLERS, words, (pair) => pair],
    [Feature.CallersOfArticle, families.callers, CALLERS, words, article],
    [Feature.CallersOfKind, families.kind, CALLERS, words, kind],
    [Feature.LettersOfArticle, families.callers_grams, CALLERS, grams, article],
    [Feature.LettersOfKind, families.kind_grams, CALLERS, grams, kind],
  ]) {
    const scores = family.scores(terms, constants);
    const sum = terms.reduce((total, [, weight]) => total + weight, 0);
    const scale = Math.sqrt(Math.max(sum, 1));
    for (const { pair, row } of rows) {
      const text = textOf(pair);
      row[feature] = text === null ? 0 : scores[text] / scale;
    }
  }
}

function shownFeatures(pair, { said }, ground, row) {
  const { article: number } = ground.pairs[pair];
  const article = ground.articles[number];
  const slot = pair - ground.pairsOf[number][0];
  const share = ground.sharesOf(number, said.device)[slot]?.[0] ?? 0;
  row[Feature.Common] = Math.log(ground.articleEvidence[number].weight + 1);
  row[Feature.Share] = Math.log(Math.max(share, 1e-9));
  row[Feature.Code] = article.codes.some((code) => said.codes.includes(code)) ? 1 : 0;
  for (const [lamp, state] of article.signs) {
    if (Object.hasOwn(said.signs, lamp)) {
      row[Feature.Signs] += said.signs[lamp] === state ? 1 : -1;
    }
  }
}
