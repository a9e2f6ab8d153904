// One question to a pack: the twin of `Desk::answer` in src/cli/desk/mod.rs.

import { advise } from "./advice.mjs";
import { chances } from "./chance.mjs";
import { chars } from "./chars.mjs";
import { table } from "./features.mjs";
import { readClauses } from "./negation.mjs";
import { codesOf, terms } from "./question.mjs";
import { doneSteps } from "./steps.mjs";
import { drawAnswer } from "./view.mjs";

/**
 * Answers a case. All parts may be left out: `words`, `device`, `firmware`, `codes`, `signs` (lamp
 * to state), `seen` (check to answer), `tried` (fixes), `couldNot` (steps such as `fix ID`),
 * `notDanger` and `danger` (articles), `since` (denied article and the words written since), `role`, `by`
 * (`chance` or `time`).
 */
export function ask(ground, asked, limit = 5) {
  return drawAnswer(think(ground, asked), ground, limit);
}

/** The advice behind an answer. */
export function think(ground, asked) {
  const { analyzer, known } = ground;
  const words = asked.words ?? "";
  const seen = asked.seen ?? {};
  const tried = new Set(asked.tried ?? []);
  const alarms = listen(words, ground);
  const said = {
    words,
    device: asked.device ?? null,
    firmware: asked.firmware ?? null,
    codes: asked.codes ?? [],
    signs: asked.signs ?? {},
    about: about(seen, ground),
  };
  said.codes = codesOf(said, ground.codes);
  const all = terms(words, analyzer, known);
  const question = { said, all, affirmed: terms(alarms.left, analyzer, known, all) };
  const found = chances(table(question, ground), ground.weights, ground.unlistedTimes);
  const anew = toldAnew(asked, ground);
  const inHand = {
    said,
    tried,
    seen,
    done: doneSteps(tried, seen, asked.couldNot ?? [], ground),
    notDanger: new Set((asked.notDanger ?? []).filter((id) => !anew.includes(id))),
    danger: new Set([...(asked.danger ?? []), ...anew]),
    role: asked.role ?? null,
    by: asked.by ?? "chance",
  };
  return advise(inHand, found, alarms, ground);
}

/**
 * The dangers that words written after a denial tell anew. They are listened to alone, as if a case
 * began with them: the twin of `told_anew` in src/cli/call/anew.rs.
 */
function toldAnew({ since = [], device, firmware }, ground) {
  const anew = [];
  for (const [id, words] of since.filter(([, written]) => written.trim())) {
    const { stops, askFirst } = think(ground, { words, device, firmware });
    for (const { article, said, sounds } of stops) {
      if ((said !== undefined && article.id === id) || sounds !== undefined) {
        anew.push(article.id);
      }
    }
    // Doubted, yet not denied: after a denial it is better stopped once too often.
    const denies = readClauses(words, ground.stopWords.lists).deniedBy.some((by) => by.length);
    if (!denies && askFirst.some(({ article }) => article.id === id)) {
      anew.push(id);
    }
  }
  return anew;
}

/** Texts beyond this many bytes are listened to in parts as well; parts overlap. */
const LONG = 4000;
const PART = 4000;
const OVERLAP = 400;

/** The dangers in the words: said beats denied, whatever the length. */
function listen(words, { stopWords, known }) {
  const found = stopWords.find(words, known);
  if (new TextEncoder().encode(words).length > LONG) {
    const letters = chars(words);
    for (let from = 0; from < letters.length; from += PART - OVERLAP) {
      const part = stopWords.find(letters.slice(from, from + PART).join(""), known);
      for (const [id, alarm] of part.alarms) {
        if (!found.alarms.has(id) || alarm.denied === undefined) {
          found.alarms.set(id, alarm);
        }
      }
      part.heard.forEach((id) => found.heard.add(id));
      found.sounds = Math.max(found.sounds ?? 0, part.sounds ?? 0) || null;
    }
  }
  return found;
}

/** The articles whose checks were answered: they are in question whatever the words say. */
function about(seen, ground) {
  const answered = ({ checks }) => checks.some((c) => Object.hasOwn(seen, ground.checks[c].id));
  return new Set(ground.articles.filter(answered).map(({ id }) => id));
}
