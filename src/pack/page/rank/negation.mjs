// What a text denies: the twin of src/base/negation.rs. The word lists come with the pack.

import { chars, isAlphanumeric, isDigit, isSpace } from "./chars.mjs";
import { Gap, denies } from "./gaps.mjs";
import { mark } from "./scope.mjs";
import { fold } from "./text.mjs";

const MOST_LETTERS = 6000;
const LONGEST = 100;
const FRAGMENT = 3;
const APOSTROPHES = new Set(["'", "’", "`", "´"]);

/** Cuts a text into words, sentences and clauses, and finds which words deny which. */
export function readClauses(text, lists) {
  const { words, gaps } = tokens(chars(text).slice(0, MOST_LETTERS).join(""));
  const sentences = [];
  const clauses = [];
  const asked = [];
  let [sentence, clause] = [0, 0];
  for (let at = 1; at <= words.length; at++) {
    const gap = gaps[at];
    const contrast =
      at < words.length && lists.CONTRAST.has(words[at]) && !denies(words[at - 1], lists);
    if (gap > Gap.Space || contrast || at - clause === LONGEST) {
      clauses.push([clause, at]);
      asked.push(gap === Gap.Question);
      clause = at;
    }
    if (gap >= Gap.Stop) {
      const last = sentences.at(-1);
      if (last && at - sentence <= FRAGMENT) {
        last[1] = at;
      } else {
        sentences.push([sentence, at]);
      }
      sentence = at;
    }
  }
  const parted = gaps.slice(0, words.length).map((gap) => gap > Gap.Space);
  const deniedBy = mark(words, gaps, clauses, lists);
  return { words, sentences, clauses, asked, parted, deniedBy };
}

/** Whether these words are all that their statement says: the twin of src/base/negation/statement.rs. */
export function statesOnly(clauses, chosen, lists) {
  const range = statement(clauses, chosen, lists);
  return range !== null && saysOnly(clauses, range, chosen, lists);
}

/** The statement that holds all of these words, or null. */
function statement({ words, clauses, asked }, chosen, lists) {
  const is = (at, list) => lists[list].has(words[at]);
  const [first, last] = [Math.min(...chosen), Math.max(...chosen)];
  const nth = clauses.findIndex(([, end]) => end > first);
  const [from, end] = clauses[nth];
  const begins = (at) =>
    is(at, "SUBJECT") && !["SAYING", "ENDS", "SUPPOSED"].some((list) => is(at - 1, list));
  let start = first;
  while (start > from && !begins(start)) {
    start -= 1;
  }
  const turned = is(start, "ASKS") && (is(start + 1, "PRONOUN") || is(start + 1, "SUBJECT"));
  let supposed = false;
  for (let at = start; at < end; at++) {
    supposed ||= !chosen.includes(at) && is(at, "SUPPOSED");
  }
  return last >= end || asked[nth] || turned || supposed ? null : [start, end];
}

/** Whether a statement says these words and nothing else of any weight. */
function saysOnly({ words }, [start, end], chosen, lists) {
  return words.slice(start, end).every((word, i) => {
    const light = lists.LIGHT.has(word) && !lists.OPEN.has(word);
    return chosen.includes(start + i) || lists.BESIDE.has(word) || light;
  });
}

/** The words of a text as they are read here. */
export function plainWords(text) {
  return tokens(text).words;
}

function tokens(text) {
  const letters = chars(fold(text).replaceAll("w/o ", "without "));
  const is = (at, test) => at >= 0 && at < letters.length && test(letters[at]);
  const [words, gaps] = [[], []];
  let word = "";
  let gap = Gap.Space;
  for (let i = 0; i < letters.length; i++) {
    const c = letters[i];
    const numeric = (c === "." || c === "-" || c === ",") && is(i - 1, isDigit) && is(i + 1, isDigit);
    if (isAlphanumeric(c) || numeric) {
      if (!word) {
        gaps.push(gap);
        gap = Gap.Space;
      }
      word += c;
      continue;
    }
    const shortened =
      APOSTROPHES.has(c) &&
      word.endsWith("n") &&
      letters[i + 1] === "t" &&
      !is(i + 2, isAlphanumeric);
    if (shortened) {
      continue;
    }
    if (word) {
      words.push(word);
      word = "";
    }
    gap = Math.max(gap, gapOf(letters, i, is, words.at(-1)));
  }
  if (word) {
    words.push(word);
  }
  gaps.push(Math.max(gap, Gap.Stop));
  return { words, gaps };
}

function gapOf(letters, i, is, lastWord) {
  switch (letters[i]) {
    case ".":
      return gapOfPoint(letters, i, is, lastWord);
    case "\n":
    case ";":
    case "!":
      return Gap.Stop;
    case "?":
      return Gap.Question;
    case ",":
    case "(":
    case ")":
    case "…":
      return Gap.Comma;
    case "/":
    case "|":
      return Gap.Slash;
    case ":":
    case "=":
      return Gap.Colon;
    case "–":
    case "—":
      return Gap.Dash;
    case "-":
      return i === 0 || is(i - 1, isSpace) ? Gap.Dash : Gap.Space;
    default:
      return Gap.Space;
  }
}

function gapOfPoint(letters, i, is, lastWord) {
  if (letters[i + 1] === "." || letters[i - 1] === ".") {
    return Gap.Comma;
  }
  // "no. 4" is a number; a point inside an abbreviation or an address parts nothing.
  if (lastWord === "no" || lastWord === "nr") {
    let next = i + 1;
    while (letters[next] === " ") next++;
    if (is(next, isDigit)) {
      return Gap.Space;
    }
  }
  return is(i + 1, isAlphanumeric) ? Gap.Space : Gap.Stop;
}
