// The check to ask next: the twin of src/call/next_check.rs.

import { afterAnswer, byArticle, likelihoods, usual } from "./belief.mjs";
import { leastMinutes } from "./order.mjs";
import { mayDo, openBefore, stepsLeft, subset, withDone } from "./steps.mjs";

const LIKELY = 0.01;
const WORTH_ASKING = 0.5;

/** The check that saves most expected minutes, if one saves half a minute; ties go to the first id. */
export function nextCheck(belief, done, role, ground) {
  const now = minutesLeft(belief, done, role, ground);
  let best = null;
  for (const check of askable(belief, done, role, ground)) {
    const saves = now - afterAsking(check, belief, done, role, ground) - check.minutes;
    if (saves >= WORTH_ASKING && (!best || saves > best.saves)) {
      best = { check, saves };
    }
  }
  return best;
}

function minutesLeft(belief, done, role, ground) {
  const steps = stepsLeft(belief, done, role, ground);
  return leastMinutes(subset(steps, (at) => steps.allowed[at]).jobs, ground.handOnMinutes);
}

function afterAsking(check, belief, done, role, ground) {
  const answered = withDone(done, ground.stepOfCheck(check.id));
  let expected = 0;
  for (const answer of check.answers) {
    const likely = likelihoods(belief.pairs, check, answer, ground);
    const chance =
      belief.chance.reduce((sum, p, i) => sum + p * likely[i], 0) +
      belief.unlisted * usual(check, answer, ground);
    const next = afterAnswer(belief, check.id, answer, ground);
    expected += chance * minutesLeft(next, answered, role, ground);
  }
  return expected;
}

function askable(belief, done, role, ground) {
  const numbers = new Set();
  for (const [article, chance] of byArticle(belief, ground)) {
    if (chance >= LIKELY) {
      ground.articles[article].checks.forEach((number) => numbers.add(number));
    }
  }
  const isAskable = (check) => {
    const step = ground.stepOfCheck(check.id);
    return (
      !done.done[step] &&
      !done.notPossible[step] &&
      !openBefore(step, done, ground).length &&
      mayDo(check, role, ground)
    );
  };
  return [...numbers]
    .sort((a, b) => a - b)
    .map((number) => ground.checks[number])
    .filter(isAskable);
}
