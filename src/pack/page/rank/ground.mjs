// What a pack carries, opened for the ranker. `src/pack/content.rs` and below writes it.

import { Family } from "./counted.mjs";
import { StopWords } from "./danger.mjs";
import { Ear } from "./ear.mjs";
import { readLists } from "./gaps.mjs";
import { withLonger } from "./grams.mjs";
import { LearnedWords, readRows } from "./learned.mjs";
import { Bits, Numbers, doubles, lines } from "./numbers.mjs";
import { codesByLetters } from "./question.mjs";
import { Vocabulary } from "./spelling.mjs";
import { Analyzer } from "./text.mjs";

/** The format that this page reads. */
export const FORMAT = 4;

const FEW_CASES = 5;

/** Opens the unpacked bytes: the length of the JSON in four bytes, the JSON, then the numbers. */
export function open(bytes) {
  const length = new DataView(bytes.buffer, bytes.byteOffset).getUint32(0, true);
  const content = JSON.parse(new TextDecoder().decode(bytes.subarray(4, 4 + length)));
  if (content.format !== FORMAT) {
    throw new Error(`this page reads format ${FORMAT}, the pack has format ${content.format}`);
  }
  return new Ground(content, bytes.subarray(4 + length));
}

/** Articles, fixes, checks and evidence by number, and what is looked up by id. */
class Ground {
  constructor(content, blob) {
    const { settings, evidence } = content;
    this.content = content;
    this.about = content.about;
    this.roles = settings.roles;
    this.handOnMinutes = settings.hand_on_minutes;
    this.devices = settings.devices;
    this.hazards = new Map(settings.hazards.map((hazard) => [hazard.id, hazard]));
    this.articles = content.articles.map((a) => ({ ...a, checkSet: new Set(a.checks) }));
    this.fixes = content.fixes.map((fix, number) => ({
      ...fix,
      number,
      expects: new Map([...fix.expect].reverse()),
    }));
    this.checks = content.checks.map((check, number) => ({ ...check, number }));
    this.articleNumbers = numbers(this.articles);
    this.codes = codesByLetters(this.articles);
    this.fixNumbers = numbers(this.fixes);
    this.checkNumbers = numbers(this.checks);
    this.#numberPairs(content.kinds);
    this.unlistedTimes = evidence.unlisted;
    this.articleEvidence = articleEvidence(evidence, blob);
    this.fixEvidence = evidence.fixes.map(
      ([resolved, tries, inferred, rawLow, rawHigh, minutes]) =>
        ({ resolved, tries, inferred, rawLow, rawHigh, minutes }),
    );
    this.checkEvidence = evidence.checks.map(readAnswers);
    this.#numberSteps();
    this.weights = content.weights;
    const { families, known } = readFamilies(content.families, blob);
    this.families = families;
    onFirstUse(this, "learned", () => new LearnedWords(readRows(content.learned, blob)));
    this.analyzer = new Analyzer(content.words);
    this.known = new Vocabulary(known);
    const ear = content.ear && new Ear(content.ear, blob);
    const read = () => new StopWords(this.articles, this.analyzer, readLists(content.lists), ear);
    onFirstUse(this, "stopWords", read);
  }

  /** Pairs article by article in the author's order with "none of the listed" last. */
  #numberPairs(kinds) {
    const kindNumbers = new Map(kinds.map((kind, number) => [kind, number]));
    this.pairs = [];
    this.pairsOf = this.articles.map(({ fixes }, article) =>
      [...fixes, null].map((fix) => {
        const kind = fix === null ? null : kindNumbers.get(this.fixes[fix].kind);
        return this.pairs.push({ article, fix, kind }) - 1;
      }),
    );
  }

  /** Fixes, then checks, each with what must come before it, by number, and its minutes. */
  #numberSteps() {
    const step = (work, minutes) => {
      const after = work.after.map((before) => {
        const [kind, id] = before.split(" ");
        return kind === "fix" ? this.fixNumbers.get(id) : this.stepOfCheck(id);
      });
      return { work, minutes, after: after.filter((number) => number !== undefined) };
    };
    this.steps = [
      ...this.fixes.map((fix) => step(fix, this.fixEvidence[fix.number].minutes)),
      ...this.checks.map((check) => step(check, check.minutes)),
    ];
  }

  /** The number of a check among the steps; undefined where there is no such check. */
  stepOfCheck(id) {
    const number = this.checkNumbers.get(id);
    return number === undefined ? undefined : this.fixes.length + number;
  }

  fixOf(id) {
    return this.fixes[this.fixNumbers.get(id)];
  }

  checkOf(id) {
    return this.checks[this.checkNumbers.get(id)];
  }

  /** Share, low and high of each fix of an article in its order, "none of the listed" last. */
  sharesOf(article, device) {
    const { shares, devices } = this.articleEvidence[article];
    return devices.get(device) ?? shares;
  }

  /** Whether an article's order is still only its author's. */
  onlyAuthor(article) {
    return article === undefined || this.articleEvidence[article].known < FEW_CASES;
  }

  /** Whether a role may do work that asks for `who`. */
  may(role, who) {
    const [mine, asked] = [this.roles.indexOf(role), this.roles.indexOf(who)];
    return mine >= 0 && asked >= 0 && mine >= asked;
  }

  cautions(hazards) {
    return hazards.filter((h) => this.hazards.has(h)).map((h) => this.hazards.get(h).caution);
  }

  /** The answer a fix expects of a check; undefined where it expects none. */
  expected(fix, check) {
    return this.fixes[fix].expects.get(check);
  }
}

function numbers(list) {
  return new Map(list.map(({ id }, number) => [id, number]));
}

function readAnswers({ seen, total, ended }) {
  const byArticle = ended.map(([article, fixes, other]) => [
    article,
    {
      fixes: new Map(fixes.map(([fix, answers]) => [fix, counted(answers)])),
      other: counted(other),
    },
  ]);
  return { seen: new Map(seen), total, ended: new Map(byArticle) };
}

function counted(answers) {
  return { times: new Map(answers), total: answers.reduce((sum, [, n]) => sum + n, 0) };
}

/** A property that is made when it is first asked for: the page can be typed into before. */
function onFirstUse(of, name, make) {
  let made = null;
  Object.defineProperty(of, name, { enumerable: true, get: () => (made ??= make()) });
}

/** Shares of an article's fixes, overall and by device, each with its interval. */
function articleEvidence({ shares, articles }, bytes) {
  const values = doubles(bytes, shares);
  const count = values.length / 3;
  let at = 0;
  const next = () => {
    const row = [values[at], values[at + count], values[at + 2 * count]];
    at += 1;
    return row;
  };
  const rows = (length) => Array.from({ length }, next);
  return articles.map((article) => ({
    ...article,
    shares: rows(article.shares),
    devices: new Map(article.devices.map(([device, length]) => [device, rows(length)])),
  }));
}

function readFamilies({ words, runs, known, families: all }, bytes) {
  const lists = { words: lines(words), runs: lines(runs) };
  const those = (list, at) => {
    const bits = new Bits(bytes, at);
    return list.filter(() => bits.next());
  };
  const families = {};
  for (const { name, texts, terms, lengths, has, at, longer } of all) {
    onFirstUse(families, name, () => {
      const mine = those(longer ? lists.runs : lists.words, has);
      const short = listed(mine.length, new Numbers(bytes, at));
      const found = longer
        ? withLonger(mine, short, longer, bytes)
        : { ...short, numbers: new Map(mine.map((word, number) => [word, number])) };
      return new Family({ ...found, all: texts, terms, lengths });
    });
  }
  return { families, known: those(lists.words, known) };
}

/** Of so many words in how many texts each stands, where its places end, and the places. */
function listed(length, read) {
  const df = read.list(length);
  const ends = read.list(length);
  for (let i = 0, end = 0; i < ends.length; i++) {
    df[i] += ends[i];
    ends[i] = end += ends[i];
  }
  const count = ends.length ? ends.at(-1) : 0;
  const [text, times] = [read.list(count), read.list(count)];
  for (let word = 0, i = 0; word < ends.length; word++) {
    for (let last = -1; i < ends[word]; i++) {
      text[i] = last += text[i] + 1;
      times[i] += 1;
    }
  }
  return { df, ends, text, times };
}
