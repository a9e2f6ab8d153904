// Does it sound like a danger? The twin of src/evidence/ear.rs.

import { plain } from "./letters.mjs";
import { Numbers, lines } from "./numbers.mjs";

/** Below this chance a phrase that was said only makes us ask. */
const DOUBTED_BELOW = 0.2;
/** From this chance on a text stops the case without any phrase, where nothing else explains it. */
const SOUNDS_FROM = 0.8;
/** An article without danger of this chance explains a text. */
export const EXPLAINED_FROM = 0.7;

const STEP = 1 / 64;
const FEWEST_TERMS = 6;
const WINDOW = 60;

/** Weights of words and of pairs of neighbours. */
export class Ear {
  constructor({ terms, weights, bias }, bytes) {
    const all = lines(terms);
    const numbers = new Numbers(bytes, weights);
    this.weights = new Map(all.map((term) => [term, unfolded(numbers.next())]));
    this.bias = bias;
  }

  /** How a text sounds: `danger`, its chance or null, and whether it is `harmless`. */
  hear(text) {
    const words = plain(text);
    const sums = [this.#sum(words.slice(0, WINDOW))];
    for (let from = WINDOW / 2; from + WINDOW / 2 < words.length; from += WINDOW / 2) {
      sums.push(this.#sum(words.slice(from, from + WINDOW)));
    }
    const clear = sums.filter((sum) => sum !== null);
    if (!clear.length) {
      return { danger: null, harmless: false };
    }
    const chance = 1 / (1 + Math.exp(-Math.max(...clear)));
    return {
      danger: chance >= SOUNDS_FROM ? chance : null,
      harmless: chance < DOUBTED_BELOW && words.length <= WINDOW,
    };
  }

  #sum(words) {
    const pairs = words.slice(1).map((word, i) => `${words[i]} ${word}`);
    const known = [...new Set([...words, ...pairs])].map((term) => this.weights.get(term));
    const weights = known.filter((weight) => weight !== undefined);
    if (weights.length < FEWEST_TERMS) {
      return null;
    }
    const sum = weights.reduce((all, weight) => all + weight, 0);
    return (sum / Math.sqrt(weights.length) + this.bias) * STEP;
  }
}

function unfolded(number) {
  return number % 2 === 1 ? -(number + 1) / 2 : number / 2;
}
