// What a pack carries, opened for the ranker. `src/pack/content.rs` writes it.

import { Family } from "./counted.mjs";
import { StopWords } from "./danger.mjs";
import { readLists } from "./gaps.mjs";
import { LearnedWords } from "./learned.mjs";
import { Vocabulary } from "./spelling.mjs";
import { Analyzer } from "./text.mjs";

/** The format that this page reads. */
export const FORMAT = 1;

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
    this.articles = content.articles;
    this.fixes = content.fixes.map((fix, number) => ({ ...fix, number }));
    this.checks = content.checks.map((check, number) => ({ ...check, number }));
    this.articleNumbers = numbers(this.articles);
    this.fixNumbers = numbers(this.fixes);
    this.checkNumbers = numbers(this.checks);
    this.#numberPairs(content.kinds);
    this.unlistedTimes = evidence.unlisted;
    this.articleEvidence = evidence.articles.map((a) => ({ ...a, devices: new Map(a.devices) }));
    this.fixEvidence = evidence.fixes.map(
      ([resolved, tries, inferred, rawLow, rawHigh, minutes]) =>
        ({ resolved, tries, inferred, rawLow, rawHigh, minutes }),
    );
    this.checkEvidence = evidence.checks.map(readAnswers);
    this.weights = content.weights;
    this.families = families(content.families, blob);
    this.learned = new LearnedWords(learned(content.learned, blob));
    this.analyzer = new Analyzer(content.words);
    this.known = new Vocabulary(lines(content.vocabulary));
    this.stopWords = new StopWords(this.articles, this.analyzer, readLists(content.lists));
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
    return this.fixes[fix].expect.find(([id]) => id === check)?.[1];
  }
}

function numbers(list) {
  return new Map(list.map(({ id }, number) => [id, number]));
}

function readAnswers({ seen, total, ended }) {
  const byArticle = ended.map(([article, fixes, other]) => [
    article,
    {
      fixes: new Map(fixes.map(([fix, answers]) => [fix, new Map(answers)])),
      other: new Map(other),
    },
  ]);
  return { seen: new Map(seen), total, ended: new Map(byArticle) };
}

/** Reads numbers that were written low seven bits first (LEB128). */
class Numbers {
  constructor(blob, [from, to]) {
    this.bytes = blob.subarray(from, to);
    this.at = 0;
  }

  next() {
    let [value, scale] = [0, 1];
    for (;;) {
      const byte = this.bytes[this.at++];
      value += (byte & 127) * scale;
      if (byte < 128) {
        return value;
      }
      scale *= 128;
    }
  }

  list(length) {
    return Array.from({ length }, () => this.next());
  }
}

function families(list, blob) {
  const found = {};
  for (const { name, texts, terms, lengths, words, at } of list) {
    const read = new Numbers(blob, at);
    const postings = new Map();
    for (const word of lines(words)) {
      const [df, held] = [read.next(), read.next()];
      const entry = { df, at: [], tf: [] };
      for (let i = 0, text = -1; i < held; i++) {
        text += read.next() + 1;
        entry.at.push(text);
        entry.tf.push(read.next());
      }
      postings.set(word, entry);
    }
    found[name] = new Family({ texts, terms, lengths, postings });
  }
  return found;
}

function learned({ articles, kinds, runs, idf, counts, columns, weights }, blob) {
  const list = lines(runs);
  const ends = [];
  let end = 0;
  for (const count of new Numbers(blob, counts).list(list.length)) {
    ends.push((end += count));
  }
  return {
    articles,
    kinds,
    runs: list,
    idf: floats(blob, idf, 8),
    ends,
    columns: new Numbers(blob, columns).list(end),
    weights: floats(blob, weights, 4),
  };
}

function lines(text) {
  return text ? text.split("\n") : [];
}

/** Little-endian floats of 4 or 8 bytes. */
function floats(blob, [from, to], size) {
  const view = new DataView(blob.buffer, blob.byteOffset + from, to - from);
  const read = size === 8 ? (i) => view.getFloat64(8 * i, true) : (i) => view.getFloat32(4 * i, true);
  return Float64Array.from({ length: (to - from) / size }, (_, i) => read(i));
}
