// Answers, clauses that deny the clauses before them: the twin of src/base/negation/answer.rs.

import { Gap, SHORT } from "./gaps.mjs";

/** The denial at `at` answers what the clauses before clause `c` say. */
export function answer(text, c, at, spoken) {
  const { FIRST_PERSON, SAID, SEEKING, BARE, ASKS } = text.lists;
  // "he says it smells. I don't": what another one said stands.
  const own = text.isAny([text.clauses[c][0], at], FIRST_PERSON);
  let before = c > 0 && onlyAnswer(text, c - 1) ? c - 1 : c;
  let first = true;
  while (before > 0) {
    const gap = text.gaps[text.clauses[before][0]];
    const question = text.clauses[before - 1];
    const length = question[1] - question[0];
    // "stimmt | aber nicht"
    if (spoken && first && gap <= Gap.Comma && saysNothing(text, question)) {
      before -= 1;
      continue;
    }
    const looked = sought(text, question) || (!own && text.isAny(question, SAID));
    const strong =
      spoken ||
      text.isAny(question, SEEKING) ||
      text.is(at, ["none", "nil", "negative", "fehlanzeige", "n", "neg"]);
    const bare = text.is(at, BARE) && !text.is(at + 1, ["one"]);
    const asked = looked || text.is(question[0], ASKS);
    const answered = () => {
      switch (gap) {
        case Gap.Question:
        case Gap.Colon:
        case Gap.Dash:
        case Gap.Slash:
          return true;
        case Gap.Comma:
        case Gap.Space:
          return strong || (bare && length <= SHORT);
        default:
          // "pins look melted. No, nobody was here": such a no goes on.
          return bare && !spoken && goesOn(text, c)
            ? text.is(question[0], ASKS)
            : (bare || spoken) && (asked || length <= 2);
      }
    };
    const listed = (gap === Gap.Comma || gap === Gap.Slash) && length <= SHORT;
    // "has the smoke stopped? no"
    if (!(first ? answered() : listed) || ended(text, question)) {
      return;
    }
    text.deny(question, at);
    if (looked) {
      return;
    }
    before -= 1;
    first = onlyAnswer(text, before);
  }
}

/** "thought it smoked but it isn't": the clause before tells what was feared or said. */
export function fearedBefore(text, c, by) {
  if (c === 0 || text.gaps[text.clauses[c][0]] > Gap.Comma) {
    return;
  }
  const before = text.clauses[c - 1];
  if ((text.isAny(before, text.lists.SAID) || sought(text, before)) && !ended(text, before)) {
    text.deny(before, by);
  }
}

/** "I thought it smoked, turned out it was steam". */
export function turnedOut(text, c) {
  const { FEARING, SAID, TURNED, THE, AN } = text.lists;
  const clause = text.clauses[c];
  const [start, end] = clause;
  const before = text.clauses[c - 1];
  const feared = c > 0 && (text.isAny(before, FEARING) || text.isAny(before, SAID));
  if (!feared || text.gaps[start] > Gap.Comma) {
    return;
  }
  const only =
    saysNothing(text, clause) &&
    text.isAny(clause, ["its", "s", "is", "was", "war", "ist", "era", "es"]) &&
    text.is(end, ["only", "just", "nur", "bloss", "solo"]) &&
    (text.is(end + 1, THE) || text.is(end + 1, AN));
  for (let i = start; i < Math.min(start + 3, end); i++) {
    if (text.is(i, TURNED)) {
      text.deny(before, i);
      return;
    }
  }
  if (only) {
    text.deny(before, end);
  }
}

function goesOn(text, c) {
  return text.gaps[text.clauses[c][1]] === Gap.Comma;
}

function onlyAnswer(text, c) {
  const [start, end] = text.clauses[c];
  return end - start === 1 && text.is(start, text.lists.CLOSE);
}

function saysNothing(text, [start, end]) {
  for (let i = start; i < end; i++) {
    if (!text.is(i, text.lists.LIGHT)) {
      return false;
    }
  }
  return true;
}

function sought(text, clause) {
  const { SEEKING, FEARING, WHETHER } = text.lists;
  return [SEEKING, FEARING, WHETHER].some((list) => text.isAny(clause, list));
}

function ended(text, clause) {
  return text.isAny(clause, text.lists.ENDED);
}
