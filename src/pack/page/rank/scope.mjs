// How far a denial reaches: the twin of src/base/negation/scope.rs.

import { isDigit } from "./chars.mjs";
import { turnedOut } from "./answer.mjs";
import { backward } from "./closing.mjs";
import { Gap, denies } from "./gaps.mjs";

const REACH = 7;
const ITEM = 5;

/** For each word the places of the words that deny it. */
export function mark(words, gaps, clauses, lists) {
  const text = new Text(words, gaps, clauses, lists);
  clauses.forEach(([start, end], c) => {
    for (let at = start; at < end; at++) {
      text.forward(c, at);
      backward(text, c, at);
    }
    turnedOut(text, c);
  });
  return text.by;
}

export class Text {
  constructor(words, gaps, clauses, lists) {
    Object.assign(this, { words, gaps, clauses, lists });
    this.by = words.map(() => []);
    this.starts = new Set(clauses.map(([start]) => start));
  }

  /** Whether the word at a place is one of these: a set, or words. */
  is(at, list) {
    const word = this.words[at];
    return word !== undefined && (list instanceof Set ? list.has(word) : list.includes(word));
  }

  isAny([from, to], list) {
    for (let i = from; i < to; i++) {
      if (this.is(i, list)) {
        return true;
      }
    }
    return false;
  }

  deniesAt(at) {
    return this.words[at] !== undefined && denies(this.words[at], this.lists);
  }

  deny([from, to], by) {
    for (let at = from; at < to; at++) {
      if (at !== by && !this.by[at].includes(by)) {
        this.by[at].push(by);
      }
    }
  }

  /** How many words a denial at this place has; 0 where there is none. */
  denial(at, end) {
    const lexical = this.lists.LEXICAL.find(
      (phrase) => at + phrase.length <= end && phrase.every((w, i) => this.words[at + i] === w),
    );
    if (lexical) {
      // "can't rule out", "nicht auszuschliessen": denying a denial denies nothing.
      for (let i = Math.max(at - 2, 0); i < at; i++) {
        if (this.deniesAt(i)) {
          return 0;
        }
      }
      return lexical.length;
    }
    if (!this.deniesAt(at)) {
      return 0;
    }
    const without = ["without", "ohne", "sin"];
    // "no 3 is burning" names a number.
    const number = this.words[at] === "no" && at + 1 < end && isDigit(this.words[at + 1][0]);
    const double = at + 1 < end && this.is(at + 1, without) && !this.is(at, without);
    const doubled = at > 0 && this.is(at, without) && this.deniesAt(at - 1);
    const orNot =
      at > 0 &&
      this.is(at, ["not", "no", "nicht"]) &&
      this.is(at - 1, this.lists.OR) &&
      at + 1 === end;
    return number || double || doubled || orNot ? 0 : 1;
  }

  /** Whether what follows the denial tells that nothing is denied. */
  undone(at, from, end) {
    if (from >= end) {
      return false;
    }
    const { SE_ASKS, UNDENY, EXCLUDING } = this.lists;
    if (this.is(from, ["se"])) {
      return this.is(from + 1, SE_ASKS) && from + 1 < end;
    }
    const filler = ["a", "the", "really", "very", "so", "quite", "that", "one", "in", "any"];
    const next = this.is(from, filler) ? from + 1 : from;
    const more = ["more", "mehr", "mas", "so"];
    const told = this.is(from, more)
      ? this.is(at, ["no", "nicht", "not"]) && !this.is(from, ["so"])
      : this.is(from, UNDENY) || (next < end && this.is(next, UNDENY) && !this.is(next, more));
    // "never seen sparks before" has seen them now.
    const before = this.is(end - 1, ["before", "bisher", "zuvor", "antes"]);
    // "isn't that smoke?" asks.
    const asks =
      this.gaps[end] === Gap.Question &&
      this.starts.has(at) &&
      this.is(at, ["isnt", "arent", "wasnt", "doesnt", "dont", "didnt", "shouldnt"]);
    // "no podemos descartar humo", "haven't ruled out smoke"
    const open = this.isAny([from, Math.min(from + 3, end)], EXCLUDING);
    return told || before || asks || open;
  }

  forward(c, at) {
    const [, end] = this.clauses[c];
    const length = this.denial(at, end);
    if (!length) {
      return;
    }
    const from = at + length;
    if (this.undone(at, from, end)) {
      return;
    }
    const { WORKING, MODAL, PERCEIVE } = this.lists;
    for (let i = from; i < Math.min(from + 2, end); i++) {
      if (this.is(i, WORKING)) {
        this.deny([from, i + 1], at);
        return;
      }
    }
    if (this.is(at, MODAL) && !this.is(from, PERCEIVE)) {
      this.deny([from, Math.min(from + 1, end)], at);
      return;
    }
    const reached = this.reach(from, end);
    this.deny([from, reached], at);
    if (reached === end) {
      this.alongList(c, at);
    }
  }

  /** Where a denial that begins before `from` ends. */
  reach(from, end) {
    const { OR, GOES_ON, ENDS, SUBJECT, SAYING, COMMON } = this.lists;
    let left = REACH;
    for (let at = from; at < end; at++) {
      if (this.is(at, OR)) {
        left = REACH;
      } else if (left === 0) {
        return at;
      } else if (!COMMON.has(this.words[at])) {
        left -= 1;
      }
      // "lädt nicht und qualmt": the denial stands behind what it denies.
      if (at === from && this.is(at, GOES_ON) && !this.is(at, OR)) {
        return at;
      }
      if (this.is(at, ENDS) && at > from) {
        // "isn't hot and smelly": one word that closes the clause belongs to the list.
        const pair = this.is(at, GOES_ON) && at - from <= 2 && at + 2 === end;
        return pair ? end : at;
      }
      if (this.is(at, SUBJECT) && at > from && !this.is(at - 1, SAYING)) {
        return at;
      }
    }
    return end;
  }

  /** "denies smoke, sparks or heat": over commas. */
  alongList(c, by) {
    const { OR, GOES_ON } = this.lists;
    const items = [];
    for (let next = c + 1; next < this.clauses.length && items.length < 6; next++) {
      const [start, end] = this.clauses[next];
      const parted = this.gaps[start] === Gap.Comma || this.gaps[start] === Gap.Slash;
      if (!parted || end - start > ITEM || this.holdsDenial([start, end])) {
        break;
      }
      items.push([start, end]);
      if (this.isAny([start, end], this.deniesAt(by) ? OR : GOES_ON)) {
        items.forEach((item, i) => {
          const whole = i + 1 < items.length || !this.deniesAt(by);
          this.deny([item[0], whole ? item[1] : this.reach(item[0], item[1])], by);
        });
        return;
      }
    }
    for (const item of items) {
      if (item[1] - item[0] !== 1 || this.is(item[0], ["yes", "ja", "si", "y"])) {
        return;
      }
      this.deny(item, by);
    }
  }

  holdsDenial([from, to]) {
    for (let i = from; i < to; i++) {
      if (this.denial(i, to) || this.is(i, ["n"])) {
        return true;
      }
    }
    return false;
  }
}
