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
    this.articles = content.articles.map((a) => ({ ...a, checkSet: new Set(a.checks) }));
    this.fixes = content.fixes.map((fix, number) => ({
      ...fix,
      number,
      expects: new Map([...fix.expect].reverse()),
    }));
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
    this.#numberSteps();
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
    const list = new Int32Array(length);
    for (let i = 0; i < length; i++) {
      list[i] = this.next();
    }
    return list;
  }
}

function families(all, blob) {
  const found = {};
  for (const { name, texts, terms, lengths, words, at } of all) {
    const read = new Numbers(blob, at);
    const list = lines(words);
    const numbers = new Map(list.map((word, number) => [word, number]));
    const df = read.list(list.length);
    const ends = read.list(list.length);
    for (let i = 0, end = 0; i < ends.length; i++) {
      df[i] += ends[i];
      ends[i] = end += ends[i];
    }
    const count = ends.length ? ends.at(-1) : 0;
    const places = { text: read.list(count), times: read.list(count) };
    for (let word = 0, i = 0; word < ends.length; word++) {
      for (let text = -1; i < ends[word]; i++) {
        places.text[i] = text += places.text[i] + 1;
        places.times[i] += 1;
      }
    }
    found[name] = new Family({ texts, terms, lengths, numbers, df, ends, places });
  }
  return found;
}

function learned({ articles, kinds, runs, idf, counts, columns, weights }, blob) {
  const list = lines(runs);
  const ends = new Numbers(blob, counts).list(list.length);
  for (let i = 1; i < ends.length; i++) {
    ends[i] += ends[i - 1];
  }
  return {
    articles,
    kinds,
    runs: list,
    idf: floats(blob, idf, 8),
    ends,
    columns: new Numbers(blob, columns).list(ends.length ? ends.at(-1) : 0),
    weights: weightsOf(weights, blob, ends.length ? ends.at(-1) : 0),
  };
}

/** Whole multiples of `1/per_one`, signs in the lowest bit; or floats. */
function weightsOf({ per_one: perOne, at }, blob, length) {
  if (!perOne) {
    return floats(blob, at, 4);
  }
  const grains = new Numbers(blob, at).list(length);
  const read = new Float64Array(length);
  for (let i = 0; i < length; i++) {
    const n = grains[i];
    read[i] = (n & 1 ? -(n + 1) / 2 : n / 2) / perOne;
  }
  return read;
}

/** Words of which each begins with how many letters it takes from the one before: `A` for none. */
function lines(text) {
  let before = "";
  const whole = (line) => (before = before.slice(0, line.charCodeAt(0) - 65) + line.slice(1));
  return text ? text.split("\n").map(whole) : [];
}

/** Little-endian floats of 4 or 8 bytes. */
function floats(blob, [from, to], size) {
  const view = new DataView(blob.buffer, blob.byteOffset + from, to - from);
  const read = new Float64Array((to - from) / size);
  for (let i = 0; i < read.length; i++) {
    read[i] = size === 8 ? view.getFloat64(8 * i, true) : view.getFloat32(4 * i, true);
  }
  return read;
}
