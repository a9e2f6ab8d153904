// What is known of a case before anything is tried: the twin of src/evidence/question.rs.

import { chars, isAlphanumeric } from "./chars.mjs";
import { excludes, readVersion } from "./firmware.mjs";
import { grams } from "./letters.mjs";
import { weigh } from "./spelling.mjs";

/** Words of a question beyond this many are ignored. */
export const MOST_WORDS = 400;

/** A text as weighted terms, grams, and as it stands; what is `like` it may have the same words. */
export function terms(text, analyzer, known, like) {
  const words = analyzer.words(text).slice(0, MOST_WORDS);
  const folded = words.join(" ");
  if (like?.folded === folded) {
    return { ...like, text };
  }
  return {
    words: weigh(words.map((word) => analyzer.stem(word)), known),
    grams: grams(folded).map((gram) => [gram, 1]),
    folded,
    text,
  };
}

/** The codes of a case: those given, then those typed among the words. `all` are the codes of articles by
 * their small letters. */
export function codesOf(said, all) {
  const codes = [...said.codes];
  for (const word of spelled(said.words)) {
    const shown = all.get(lower(word));
    if (shown !== undefined && !codes.includes(shown)) {
      codes.push(shown);
    }
  }
  return codes;
}

/** Codes by their small letters; of like ones the first. */
export function codesByLetters(articles) {
  const codes = articles.flatMap((article) => article.codes).reverse();
  return new Map(codes.map((code) => [lower(code), code]));
}

/** ASCII letters alone are made small. */
function lower(text) {
  return text.replace(/[A-Z]/g, (c) => c.toLowerCase());
}

/**
 * The runs of letters and digits in a text, and behind each pair of runs that may be the two parts of
 * one code (`K-31`) the two together.
 */
function spelled(text) {
  const found = [];
  let [before, gap, run] = ["", "", ""];
  const end = () => {
    if (run === "") return;
    found.push(run);
    if (/^[- .]?$/u.test(gap) && /^[A-Za-z]{1,2}$/u.test(before) && /^[0-9]+$/u.test(run)) {
      found.push(before + run);
    }
    [before, gap, run] = [run, "", ""];
  };
  for (const c of chars(text)) {
    if (isAlphanumeric(c)) {
      run += c;
    } else {
      end();
      gap += c;
    }
  }
  end();
  return found;
}

/** Whether an article is about another device or firmware than the case. */
export function isExcluded(article, said) {
  const otherDevice =
    said.device && article.devices.length > 0 && !article.devices.includes(said.device);
  return Boolean(otherDevice) || excludes(article.firmware, readVersion(said.firmware ?? ""));
}
