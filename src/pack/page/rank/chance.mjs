// The chance of every candidate: the twin of src/evidence/equation.rs and chance.rs.

import { Feature } from "./features.mjs";

/** Chances of rows of features: `chance` beside each pair, and `unlisted`; they sum to one. */
export function chances(rows, weights, unlistedTimes) {
  const utilities = rows.map(({ row }) => row.reduce((sum, x, i) => sum + weights.beta[i] * x, 0));
  const { sum, doubt } = sumAndDoubt(utilities);
  const unlisted =
    weights.unlisted +
    weights.beta[Feature.Common] * Math.log(unlistedTimes + 1) +
    weights.unlisted_by_sum * sum +
    weights.unlisted_by_doubt * doubt;
  const chance = softmax([...utilities, unlisted]);
  return {
    pairs: rows.map(({ pair }) => pair),
    rows: rows.map(({ row }) => row),
    chance: chance.slice(0, -1),
    unlisted: chance.at(-1),
  };
}

function softmax(utilities) {
  const top = Math.max(...utilities);
  const exps = utilities.map((u) => Math.exp(u - top));
  const sum = exps.reduce((total, e) => total + e, 0);
  return exps.map((e) => e / sum);
}

/** `ln Σ exp`, and the entropy of the chances among themselves; both 0 without candidates. */
function sumAndDoubt(utilities) {
  if (!utilities.length) {
    return { sum: 0, doubt: 0 };
  }
  const top = Math.max(...utilities);
  const sum = top + Math.log(utilities.reduce((total, u) => total + Math.exp(u - top), 0));
  const doubt = utilities.reduce((total, u) => total + Math.exp(u - sum) * (sum - u), 0);
  return { sum, doubt };
}
