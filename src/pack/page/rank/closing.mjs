// Denials that close what stands before them: the twin of src/base/negation/closing.rs.

import { answer, fearedBefore } from "./answer.mjs";
import { Gap, SHORT } from "./gaps.mjs";

/** "smoke: none", "I looked for sparks and there weren't any". */
export function backward(text, c, at) {
  const clause = text.clauses[c];
  const [start, end] = clause;
  const { AUXILIARY, CLOSE, OR, EXCLUDED, BARE, LIGHT, WORKING, PRONOUN } = text.lists;
  if (text.is(at, ["free"]) && at > start && !text.is(at + 1, ["of", "from", "to"])) {
    text.deny([at - 1, at], at);
    return;
  }
  // "einen Schlag hat niemand bekommen"
  const fronted = at > start && text.is(at, ["niemand", "nadie"]) && text.is(at - 1, AUXILIARY);
  const strong = text.is(at, CLOSE) || fronted;
  if (!strong && !text.denial(at, end)) {
    return;
  }
  if (text.is(at - (at > start ? 1 : 0), OR) && text.is(at, ["not", "no", "nicht"])) {
    return;
  }
  // "230 V gegen N" names the neutral.
  const wires = ["gegen", "to", "against", "und", "and", "zu", "auf", "l1", "l2", "l3"];
  if (text.is(at, ["n"]) && at > start && text.is(at - 1, wires)) {
    return;
  }
  // "can't exclude", "nicht auszuschliessen"
  if (text.is(at, EXCLUDED) && deniedJustBefore(text, start, at)) {
    return;
  }
  const replies =
    at === start &&
    text.gaps[at] === Gap.Question &&
    text.is(at, BARE) &&
    !text.undone(at, at + 1, end);
  if (replies) {
    answer(text, c, at, false);
    return;
  }
  const sums = summary(text, at, end);
  if (!sums && !closes(text, at, strong, clause)) {
    answersInBetween(text, clause, at);
    return;
  }
  let subject = at;
  while (
    subject > start &&
    (text.is(subject - 1, LIGHT) || (subject - 1 === start && text.is(subject - 1, BARE)))
  ) {
    subject -= 1;
  }
  if (subject === start) {
    answer(text, c, at, subject < at || sums || speaks(text, at, end));
    return;
  }
  if (sums) {
    text.deny([start, at], at);
    answer(text, c, at, true);
    return;
  }
  const before = at - 1;
  if (
    text.is(before, WORKING) ||
    text.is(before, ["weiss", "know", "se"]) ||
    nothingDone(text, at)
  ) {
    return;
  }
  if (text.isAny([subject, at], PRONOUN)) {
    text.deny([start, subject], at);
    fearedBefore(text, c, at);
  } else if (strong && !unnoticed(text, clause, at)) {
    text.deny([statementStart(text, clause, at), at], at);
  }
}

function deniedJustBefore(text, start, at) {
  for (let i = Math.max(at - 2, 0, start); i < at; i++) {
    if (text.deniesAt(i)) {
      return true;
    }
  }
  return false;
}

/** "none of that" sums up all that was named. */
function summary(text, at, end) {
  const of = at + 1;
  if (
    !text.is(at, ["none", "nothing", "nichts", "nada"]) ||
    !text.is(of, ["of", "davon", "dergleichen", "de"])
  ) {
    return false;
  }
  for (let i = of + 1; i < end; i++) {
    if (!text.is(i, text.lists.SUMMARY)) {
      return false;
    }
  }
  return of + 1 < end || text.is(of, ["davon", "dergleichen"]);
}

function speaks(text, at, end) {
  const behind = [at + 1, end];
  const someone = nobody(text, at) && text.isAny(behind, text.lists.AUXILIARY);
  const untrue =
    text.is(at, ["not", "no", "nicht"]) &&
    text.isAny(behind, ["true", "case", "correct", "verdad", "cierto", "wahr"]);
  return (someone && !text.isAny(behind, text.lists.HERE)) || untrue;
}

function nobody(text, at) {
  return (
    text.is(at, text.lists.NOBODY) ||
    (text.is(at, ["no", "not"]) && text.is(at + 1, ["one", "body"]))
  );
}

/** Whether the denial closes its clause: only words that fill stand behind it. */
function closes(text, at, strong, [start, clauseEnd]) {
  const { EXCLUDED, ENDS, GOES_ON, FORMS, FINDING, LIGHT, FRONTED, REPLY, FORMS_OF, ANY } =
    text.lists;
  if (text.is(at, EXCLUDED) && text.is(at + 1, ["by", "von", "por"])) {
    return true;
  }
  let end = clauseEnd;
  for (let i = at + 1; strong && i < clauseEnd; i++) {
    if (text.is(i, ENDS)) {
      end = i;
      break;
    }
  }
  let first = true;
  for (let i = start; i < at; i++) {
    first &&= text.is(i, GOES_ON);
  }
  const someone = first && nobody(text, at);
  const reply = first && text.gaps[start] === Gap.Question;
  const fronted = strong && fronts(text, start, at);
  const filling = (i) =>
    text.is(i, FORMS) ||
    text.is(i, FINDING) ||
    (someone && (text.is(i, LIGHT) || text.is(i, FRONTED))) ||
    (reply && text.is(i, REPLY)) ||
    (fronted && text.is(i, FRONTED)) ||
    (text.is(i, FORMS_OF) && text.is(i - 1, ["of", "like", "davon", "de"]));
  for (let i = at + 1; i < end; i++) {
    if (!filling(i)) {
      return false;
    }
  }
  const finding = !someone && !reply && text.isAny([at + 1, end], FINDING);
  return !finding || text.isAny([at + 1, end], ANY);
}

/** "den Rauch hat keiner bemerkt": with its article it was there all the same. */
function unnoticed(text, [start, end], at) {
  return (
    text.is(at, ["keiner", "niemand", "nadie"]) && text.is(start, text.lists.THE) && at + 1 < end
  );
}

/** Whether what is spoken of stands in front: a bare noun or two. */
function fronts(text, start, at) {
  const { LIGHT, THE, STATES } = text.lists;
  let end = at;
  while (end > start && text.is(end - 1, LIGHT)) end--;
  const nouns = end - start;
  return nouns >= 1 && nouns <= 4 && !text.is(start, THE) && !text.isAny([start, end], STATES);
}

/** "smell none heat none": each answers what stands before it. */
function answersInBetween(text, [start, end], at) {
  const { CLOSE } = text.lists;
  const answers = ["none", "nil", "neg", "n", "negative"];
  if (!text.is(at, answers) || text.is(at + 1, ["of", "for"])) {
    return;
  }
  // "330 V gegen N": only among answers does an n deny.
  if (text.is(at, ["n"]) && !text.is(end - 1, CLOSE)) {
    return;
  }
  let from = at;
  while (from > start && at - from < SHORT && !text.is(from - 1, CLOSE)) from--;
  text.deny([from, at], at);
}

/** "the breaker did nothing" tells of no danger denied. */
function nothingDone(text, at) {
  return (
    text.is(at, ["nothing", "nada", "nichts"]) &&
    text.is(at - 1, ["do", "does", "did", "done", "tut", "macht", "hace", "hizo"])
  );
}

/** Where the statement begins that a closing denial denies. */
function statementStart(text, [start], at) {
  // "arde no se ve nada"
  if (text.is(at, ["nada", "nadie", "ninguno", "ninguna"])) {
    for (let i = at - 1; i >= start; i--) {
      if (text.is(i, ["no"])) {
        return i;
      }
    }
  }
  for (let i = at - 1; i >= start; i--) {
    if (text.is(i, text.lists.ENDS)) {
      return i - start > 1 ? i + 1 : start;
    }
  }
  return start;
}
