// The English stemmer of Porter (2001), "The English (Porter2) stemming algorithm",
// snowballstem.org/algorithms/english/stemmer.html, in the edition that the Rust core uses
// (rust-stemmers 1.2): regions are marked once, before anything is cut off.

import { chars } from "./chars.mjs";

const VOWELS = new Set("aeiouy");
const NOT_SHORT_END = new Set("aeiouywxY");
const BEFORE_LI = new Set("cdeghkmnrt");
const DOUBLES = new Set(["bb", "dd", "ff", "gg", "mm", "nn", "pp", "rr", "tt"]);

const WHOLE = new Map([
  ["skis", "ski"], ["skies", "sky"], ["dying", "die"], ["lying", "lie"], ["tying", "tie"],
  ["idly", "idl"], ["gently", "gentl"], ["ugly", "ugli"], ["early", "earli"], ["only", "onli"],
  ["singly", "singl"],
  ...["sky", "news", "howe", "atlas", "cosmos", "bias", "andes"].map((w) => [w, w]),
]);

const AFTER_1A = new Set([
  "inning", "outing", "canning", "herring", "earring", "proceed", "exceed", "succeed",
]);

const STEP_2 = byLength({
  tional: "tion", enci: "ence", anci: "ance", abli: "able", entli: "ent", izer: "ize",
  ization: "ize", ational: "ate", ation: "ate", ator: "ate", alism: "al", aliti: "al", alli: "al",
  fulness: "ful", ousli: "ous", ousness: "ous", iveness: "ive", iviti: "ive", biliti: "ble",
  bli: "ble", ogi: "og", fulli: "ful", lessli: "less", li: "",
});

const STEP_3 = byLength({
  tional: "tion", ational: "ate", alize: "al", icate: "ic", iciti: "ic", ical: "ic", ful: "",
  ness: "", ative: "",
});

const STEP_4 = byLength(
  Object.fromEntries(
    ("al ance ence er ic able ible ant ement ment ent ism ate iti ous ive ize ion").split(" ")
      .map((suffix) => [suffix, ""]),
  ),
);

function byLength(table) {
  return Object.entries(table).sort((a, b) => b[0].length - a[0].length);
}

/** The stem of a folded word of letters. */
export function stem(word) {
  if (WHOLE.has(word)) {
    return WHOLE.get(word);
  }
  let w = chars(word);
  if (w.length < 3) {
    return word;
  }
  markConsonantY(w);
  const regions = regionsOf(w);
  w = step1a(w);
  if (!AFTER_1A.has(w.join(""))) {
    w = step1b(w, regions);
    w = step1c(w);
    w = step2(w, regions);
    w = step3(w, regions);
    w = step4(w, regions);
    w = step5(w, regions);
  }
  return w.join("").replaceAll("Y", "y");
}

function markConsonantY(w) {
  if (w[0] === "y") {
    w[0] = "Y";
  }
  for (let i = 1; i < w.length; i++) {
    if (w[i] === "y" && VOWELS.has(w[i - 1])) {
      w[i] = "Y";
    }
  }
}

/** Where the two regions begin: behind the first consonant after a vowel, and again behind that. */
function regionsOf(w) {
  const behind = (from) => {
    let i = from;
    while (i < w.length && !VOWELS.has(w[i])) i++;
    while (i < w.length && VOWELS.has(w[i])) i++;
    return i < w.length ? i + 1 : null;
  };
  const word = w.join("");
  const opening = ["gener", "commun", "arsen"].find((start) => word.startsWith(start));
  const first = opening ? opening.length : behind(0);
  if (first === null) {
    return { r1: w.length, r2: w.length };
  }
  return { r1: first, r2: behind(first) ?? w.length };
}

function ends(w, suffix) {
  const from = w.length - suffix.length;
  if (from < 0) {
    return false;
  }
  for (let i = 0; i < suffix.length; i++) {
    if (w[from + i] !== suffix[i]) {
      return false;
    }
  }
  return true;
}

/** The word without its last `n` letters, with others put there. */
function cut(w, n, instead = "") {
  return [...w.slice(0, w.length - n), ...instead];
}

function longest(w, table) {
  return table.find(([suffix]) => ends(w, suffix));
}

function hasVowel(w) {
  return w.some((c) => VOWELS.has(c));
}

/** Whether the word ends in a short syllable. */
function isShort(w) {
  const n = w.length;
  if (n >= 3 && !NOT_SHORT_END.has(w[n - 1]) && VOWELS.has(w[n - 2]) && !VOWELS.has(w[n - 3])) {
    return true;
  }
  return n === 2 && !VOWELS.has(w[1]) && VOWELS.has(w[0]);
}

function step1a(w) {
  if (ends(w, "sses")) {
    return cut(w, 2);
  }
  if (ends(w, "ied") || ends(w, "ies")) {
    return cut(w, 3, w.length - 3 >= 2 ? "i" : "ie");
  }
  if (ends(w, "us") || ends(w, "ss") || !ends(w, "s")) {
    return w;
  }
  return hasVowel(w.slice(0, -2)) ? cut(w, 1) : w;
}

function step1b(w, { r1 }) {
  for (const suffix of ["eedly", "eed"]) {
    if (ends(w, suffix)) {
      return w.length - suffix.length >= r1 ? cut(w, suffix.length, "ee") : w;
    }
  }
  const suffix = ["ingly", "edly", "ing", "ed"].find((s) => ends(w, s));
  if (!suffix || !hasVowel(w.slice(0, -suffix.length))) {
    return w;
  }
  const left = cut(w, suffix.length);
  if (["at", "bl", "iz"].some((s) => ends(left, s))) {
    return [...left, "e"];
  }
  if (DOUBLES.has(left.slice(-2).join(""))) {
    return cut(left, 1);
  }
  return left.length === r1 && isShort(left) ? [...left, "e"] : left;
}

function step1c(w) {
  const n = w.length;
  const y = w[n - 1] === "y" || w[n - 1] === "Y";
  return y && n > 2 && !VOWELS.has(w[n - 2]) ? cut(w, 1, "i") : w;
}

function step2(w, { r1 }) {
  const found = longest(w, STEP_2);
  if (!found || w.length - found[0].length < r1) {
    return w;
  }
  const [suffix, instead] = found;
  const before = w[w.length - suffix.length - 1];
  if ((suffix === "ogi" && before !== "l") || (suffix === "li" && !BEFORE_LI.has(before))) {
    return w;
  }
  return cut(w, suffix.length, instead);
}

function step3(w, { r1, r2 }) {
  const found = longest(w, STEP_3);
  if (!found) {
    return w;
  }
  const [suffix, instead] = found;
  const from = w.length - suffix.length;
  return from < r1 || (suffix === "ative" && from < r2) ? w : cut(w, suffix.length, instead);
}

function step4(w, { r2 }) {
  const found = longest(w, STEP_4);
  if (!found || w.length - found[0].length < r2) {
    return w;
  }
  const before = w[w.length - found[0].length - 1];
  return found[0] === "ion" && before !== "s" && before !== "t" ? w : cut(w, found[0].length);
}

function step5(w, { r1, r2 }) {
  const from = w.length - 1;
  if (w[from] === "e") {
    const may = from >= r2 || (from >= r1 && !isShort(w.slice(0, -1)));
    return may ? cut(w, 1) : w;
  }
  return w[from] === "l" && from >= r2 && w[from - 1] === "l" ? cut(w, 1) : w;
}
