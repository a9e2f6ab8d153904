// Texts as short runs of letters: the twin of src/evidence/letters.rs and of `grams` in texts.rs.

import { chars, compareText, isAlphanumeric, isNumeric } from "./chars.mjs";
import { fold } from "./text.mjs";

const SHORTEST = 2;
const LONGEST = 5;

/** The words of a text: joined over `/` and apostrophes, every run of digits one `0`. */
export function plain(text) {
  const folded = chars(fold(text));
  const isWord = (c) => c !== undefined && isAlphanumeric(c);
  const words = [""];
  let inNumber = false;
  folded.forEach((c, i) => {
    const joins =
      (c === "/" || c === "'" || c === "’") && i > 0 && isWord(folded[i - 1]) && isWord(folded[i + 1]);
    if (joins) {
      return;
    }
    if (!isAlphanumeric(c)) {
      inNumber = false;
      words.push("");
      return;
    }
    const numeric = isNumeric(c);
    if (!numeric) {
      words[words.length - 1] += c;
    } else if (!inNumber) {
      words[words.length - 1] += "0";
    }
    inNumber = numeric;
  });
  return words.filter(Boolean);
}

/** The runs of one word with a space at either end; some may come twice. */
export function runsOfWord(word) {
  return windows(` ${word} `, SHORTEST, LONGEST);
}

/** The character grams of folded words, each once, sorted, over the bounds of words too. */
export function grams(folded) {
  if (!folded) {
    return [];
  }
  return [...new Set(windows(` ${folded} `, 3, 5))].sort(compareText);
}

function windows(text, shortest, longest) {
  const letters = chars(text);
  // Where no letter is a pair of code units a part of the text is quicker.
  const single = letters.length === text.length;
  const runs = [];
  for (let size = shortest; size <= longest; size++) {
    for (let at = 0; at + size <= letters.length; at++) {
      runs.push(single ? text.slice(at, at + size) : letters.slice(at, at + size).join(""));
    }
  }
  return runs;
}
