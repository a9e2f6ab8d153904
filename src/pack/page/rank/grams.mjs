// How often longer runs of letters stand in texts, from what the shorter ones leave open: reads what
// src/pack/content/grams.rs writes, and walks as it does.
//
// A longer run has no text of its own here: it is the run that it begins with, and the one that it ends
// with. Those with the same beginning have numbers in a row.

import { Bits, Numbers, lists } from "./numbers.mjs";

const MOST_LEFT = 6;

/** Runs of letters by number: the shortest by their letters, others by the two runs in them. */
export class Runs {
  constructor(shortest, longer) {
    this.shortest = new Map(shortest.map((run, number) => [run, number]));
    const all = shortest.length + longer;
    // For each run: the numbers of those that begin with it, and which run it ends with.
    this.from = new Int32Array(all);
    this.to = new Int32Array(all);
    this.tail = new Int32Array(all);
    this.known = new Map();
  }

  /** The number of a run; undefined where it is not known. A word is typed letter by letter, so the same runs
   * are asked for again and again. */
  get(run) {
    const number = this.shortest.get(run);
    if (number !== undefined || run.length < 4) {
      return number;
    }
    if (!this.known.has(run)) {
      this.known.set(run, this.#longer(run));
    }
    return this.known.get(run);
  }

  #longer(run) {
    const [first, tail] = [this.get(withoutLast(run)), this.get(withoutFirst(run))];
    if (first !== undefined && tail !== undefined) {
      for (let longer = this.from[first]; longer < this.to[first]; longer++) {
        if (this.tail[longer] === tail) {
          return longer;
        }
      }
    }
    return undefined;
  }
}

/** The shortest runs and their places, as `listed` gives them, with the longer ones behind. */
export function withLonger(shortest, { df, ends, text, times }, longer, bytes) {
  const family = {
    df: grown(df, longer.runs),
    ends: grown(ends, longer.runs),
    text: grown(text, longer.places),
    times: grown(times, longer.places),
    numbers: new Runs(shortest, longer.runs),
  };
  new Walk(family, longer, bytes).read(shortest);
  return family;
}

function grown(list, more) {
  const longer = new Int32Array(list.length + more);
  longer.set(list);
  return longer;
}

class Walk {
  constructor(family, longer, bytes) {
    this.family = family;
    this.count = family.df.length - longer.runs;
    this.there = new Bits(bytes, longer.there);
    this.others = new Numbers(bytes, longer.others);
    this.none = lists(Bits, bytes, longer.none);
    this.all = lists(Bits, bytes, longer.all);
    this.sizes = lists(Numbers, bytes, longer.times);
    // What is left of each run in its texts, for longer runs that begin with it and that end with it.
    this.begins = new Int32Array(family.times.length);
    this.ends = new Int32Array(family.times.length);
    // Places, in both lists, of the texts in which something is left of both.
    this.open = new Int32Array(2 * family.times.length + 2);
  }

  /** Reads all runs, length by length. */
  read(shortest) {
    const { numbers, df } = this.family;
    const beginnings = new Map();
    shortest.forEach((run, number) => {
      const beginning = withoutLast(run);
      const found = beginnings.get(beginning) ?? [number, number];
      beginnings.set(beginning, [found[0], number + 1]);
    });
    const none = [0, 0];
    let seconds = (run) => beginnings.get(withoutFirst(shortest[run])) ?? none;
    for (let from = 0, to = this.count; to < df.length && to > from; [from, to] = [to, this.count]) {
      this.#level(from, to, seconds);
      seconds = (run) => [numbers.from[numbers.tail[run]], numbers.to[numbers.tail[run]]];
    }
  }

  /** Reads the runs that are one letter longer than those with the numbers `from` to `to`. */
  #level(from, to, seconds) {
    const { ends, times, numbers } = this.family;
    const [first, last] = [placesFrom(ends, from), placesFrom(ends, to)];
    this.begins.set(times.subarray(first, last), first);
    this.ends.set(times.subarray(first, last), first);
    for (let run = from; run < to; run++) {
      numbers.from[run] = this.count;
      const [second, end] = seconds(run);
      for (let tail = second; tail < end; tail++) {
        const open = this.#findOpen(run, tail);
        if (open && this.there.next()) {
          this.#places(open);
          numbers.tail[this.count++] = tail;
        }
      }
      numbers.to[run] = this.count;
    }
  }

  #findOpen(run, second) {
    const { ends, text } = this.family;
    const { begins, ends: left, open } = this;
    const [to, end] = [ends[run], ends[second]];
    let count = 0;
    let j = placesFrom(ends, second);
    for (let i = placesFrom(ends, run); i < to && j < end; ) {
      if (text[i] < text[j]) {
        i += 1;
      } else if (text[i] > text[j]) {
        j += 1;
      } else {
        if (begins[i] && left[j]) {
          open[count++] = i;
          open[count++] = j;
        }
        i += 1;
        j += 1;
      }
    }
    return count;
  }

  #places(count) {
    const { df, ends, text, times } = this.family;
    const { begins, ends: left, open } = this;
    const before = placesFrom(ends, this.count);
    let at = before;
    for (let k = 0; k < count; k += 2) {
      const i = open[k];
      const j = open[k + 1];
      const found = this.#times(begins[i], left[j]);
      if (found) {
        text[at] = text[i];
        times[at++] = found;
        begins[i] -= found;
        left[j] -= found;
      }
    }
    ends[this.count] = at;
    df[this.count] = this.others.next() + at - before;
  }

  #times(a, b) {
    const [less, more] = a < b ? [a, b] : [b, a];
    const list = (Math.min(more, MOST_LEFT) - 1) * MOST_LEFT + Math.min(less, MOST_LEFT) - 1;
    if (this.none[list].next()) {
      return 0;
    }
    if (less === 1 || this.all[list].next()) {
      return less;
    }
    return less === 2 ? 1 : this.sizes[list].next() + 1;
  }
}

function placesFrom(ends, run) {
  return run ? ends[run - 1] : 0;
}

/** Letters may be pairs of code units. */
function withoutFirst(run) {
  return run.slice(run.codePointAt(0) > 0xffff ? 2 : 1);
}

function withoutLast(run) {
  const isPair = run.length > 1 && run.codePointAt(run.length - 2) > 0xffff;
  return run.slice(0, isPair ? -2 : -1);
}
