// The check to ask next: the twin of src/call/next_check.rs.

import { byArticle, explained, usual } from "./belief.mjs";
import { byTime, groups, stop } from "./order.mjs";
import { mayDo, openBefore, subset } from "./steps.mjs";

const LIKELY = 0.01;
const WORTH_ASKING = 0.5;

/** The check that saves most expected minutes, if one saves half a minute; ties go to the first id.
 * `steps` are those that are left. */
export function nextCheck(belief, steps, done, role, ground) {
  const prospect = new Prospect(belief, steps, ground);
  const now = prospect.minutes(prospect.all);
  let best = null;
  for (const check of askable(belief, done, role, ground)) {
    const saves = now - prospect.afterAsking(check) - check.minutes;
    if (saves >= WORTH_ASKING && (!best || saves > best.saves)) {
      best = { check, saves };
    }
  }
  return best;
}

/** The steps that are left, to be given other chances: a check that can be asked waits for nothing and is
 * allowed, so once it is answered the same steps are left, without itself. */
class Prospect {
  constructor(belief, steps, ground) {
    Object.assign(this, { belief, ground });
    const { jobs, old } = subset(steps, (at) => steps.allowed[at]);
    this.places = new Map(old.map((at, place) => [steps.what[at], place]));
    this.all = tied(jobs.map((job) => ({ ...job })));
    this.placeOf = belief.pairs.map((pair) => this.places.get(ground.pairs[pair].fix) ?? -1);
  }

  minutes({ jobs, groups: known }) {
    return stop(jobs, byTime(jobs, known), this.ground.handOnMinutes).minutes;
  }

  afterAsking(check) {
    const { belief, ground, placeOf } = this;
    const itself = this.places.get(ground.stepOfCheck(check.id)) ?? Infinity;
    const steps = itself < Infinity ? without(this.all, itself) : this.all;
    const likelihoods = explained(belief.pairs, check, ground);
    const chances = new Float64Array(this.all.jobs.length);
    let expected = 0;
    for (const answer of check.answers) {
      const likely = likelihoods(answer);
      const weighed = belief.chance.map((chance, i) => chance * likely[i]);
      const chance =
        weighed.reduce((sum, one) => sum + one, 0) + belief.unlisted * usual(check, answer, ground);
      chances.fill(0);
      placeOf.forEach((place, i) => {
        if (place >= 0) {
          chances[place] += weighed[i] / chance;
        }
      });
      steps.jobs.forEach((job, at) => (job.chance = chances[at < itself ? at : at + 1]));
      expected += chance * this.minutes(steps);
    }
    return expected;
  }
}

function tied(jobs) {
  return { jobs, groups: groups(jobs) };
}

function without({ jobs }, place) {
  const others = jobs.filter((_, at) => at !== place);
  return tied(others.map((job) => ({
    ...job,
    after: job.after.filter((at) => at !== place).map((at) => (at < place ? at : at - 1)),
  })));
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
