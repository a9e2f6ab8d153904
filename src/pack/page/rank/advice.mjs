// What to do in a case: the twin of src/call/advice.rs.

import { believe, byArticle } from "./belief.mjs";
import { STOPS_AT } from "./danger.mjs";
import { EXPLAINED_FROM } from "./ear.mjs";
import { Feature } from "./features.mjs";
import { nextCheck } from "./next_check.mjs";
import * as order from "./order.mjs";
import { isExcluded } from "./question.mjs";
import { stepsLeft, subset } from "./steps.mjs";

/** Dangers first, then the fixes in order, when to stop, what to ask. */
export function advise(inHand, chances, alarms, ground) {
  const left = without(chances, inHand.notDanger, ground);
  const belief = believe(left, inHand.tried, inHand.seen, ground);
  const articles = [...byArticle(belief, ground)].sort((a, b) => b[1] - a[1] || a[0] - b[0]);
  const { stops, askFirst } = dangers(inHand, left, articles, alarms, ground);
  const advice = { stops, askFirst, belief, articles, fixes: [], stop: null, nextCheck: null };
  if (!stops.length) {
    const steps = putInOrder(advice, inHand, ground);
    advice.nextCheck = nextCheck(belief, steps, inHand.done, inHand.role, ground);
  }
  return advice;
}

/** Takes out dangers that do not apply; the belief renormalises. */
function without(chances, notDanger, ground) {
  const chance = chances.chance.map((p, i) => {
    const { article } = ground.pairs[chances.pairs[i]];
    return notDanger.has(ground.articles[article].id) ? 0 : p;
  });
  return { ...chances, chance };
}

/**
 * What somebody made sure of stops; a stop-word stops; a denied or doubtful one asks; what sounds like a danger stops at the likeliest
 * that was not ruled out; else the chance decides, where anything speaks for it.
 */
function dangers(inHand, chances, articles, alarms, ground) {
  const [stops, askFirst] = [[], []];
  const explained = articles.some(
    ([number, chance]) => chance >= EXPLAINED_FROM && !ground.articles[number].danger,
  );
  let sounds = inHand.notDanger.size || explained ? null : alarms.sounds;
  for (const article of ground.articles.filter(({ id, danger }) => danger && inHand.danger.has(id))) {
    const said = alarms.alarms.get(article.id)?.said;
    stops.push(said === undefined ? { article, confirmed: true } : { article, said });
  }
  for (const [number, chance] of articles) {
    const article = ground.articles[number];
    if (
      !article.danger ||
      inHand.danger.has(article.id) ||
      inHand.notDanger.has(article.id) ||
      isExcluded(article, inHand.said)
    ) {
      continue;
    }
    const alarm = alarms.alarms.get(article.id);
    if (alarm?.denied !== undefined) {
      askFirst.push({ article, words: alarm.denied });
    } else if (alarm) {
      stops.push({ article, said: alarm.said });
    } else if (sounds !== null) {
      stops.push({ article, sounds });
      sounds = null;
    } else if (chance >= STOPS_AT && spokenFor(number, chances, alarms, ground)) {
      stops.push({ article, likely: chance });
    }
  }
  return { stops, askFirst };
}

function spokenFor(number, { pairs, rows }, { heard }, ground) {
  return (
    heard.has(ground.articles[number].id) ||
    pairs.some(
      (pair, i) =>
        ground.pairs[pair].article === number &&
        (rows[i][Feature.Code] > 0 || rows[i][Feature.Signs] > 0),
    )
  );
}

/** Puts the fixes in order, and gives the steps that are left. */
function putInOrder(advice, inHand, ground) {
  const steps = stepsLeft(advice.belief, inHand.done, inHand.role, ground);
  const own = subset(steps, (at) => steps.allowed[at]);
  const others = subset(steps, (at) => !steps.allowed[at]);
  const sort = inHand.by === "time" ? order.byTime : order.byChance;
  const sequence = sort(own.jobs);
  const isFix = (at) => steps.what[at] < ground.fixes.length;
  if (inHand.by === "time") {
    const found = order.stop(own.jobs, sequence, ground.handOnMinutes);
    const after = sequence.slice(0, found.after).filter((i) => isFix(own.old[i])).length;
    advice.stop = { after, minutes: found.minutes };
  }
  const inOrder = [
    ...sequence.map((i) => own.old[i]),
    ...sort(others.jobs).map((i) => others.old[i]),
  ];
  const pairsOf = pairsByFix(advice.belief, ground);
  advice.fixes = inOrder
    .filter(isFix)
    .map((at) =>
      ranked(
        ground.fixes[steps.what[at]],
        steps.allowed[at],
        steps.jobs[at].after.map((before) => ground.steps[steps.what[before]].work.id),
        pairsOf.get(steps.what[at]) ?? [],
        inHand,
        ground,
      ),
    );
  return steps;
}

/** The pairs of each fix with their chances, likeliest first. */
function pairsByFix({ pairs, chance }, ground) {
  const found = new Map();
  pairs.forEach((pair, i) => {
    const { fix } = ground.pairs[pair];
    const those = found.get(fix) ?? [];
    found.set(fix, those);
    those.push([chance[i], pair]);
  });
  found.forEach((those) => those.sort((a, b) => b[0] - a[0] || a[1] - b[1]));
  return found;
}

function ranked(fix, allowed, after, pairs, inHand, ground) {
  const chance = pairs.reduce((sum, [p]) => sum + p, 0);
  const articleOf = (pair) => ground.pairs[pair].article;
  const articles = pairs.length ? pairs.map(([, pair]) => articleOf(pair)) : fix.articles;
  let share;
  let likeliest = ground.articleNumbers.get(fix.id.split("#")[0]);
  if (pairs.length) {
    const [, pair] = pairs[0];
    likeliest = articleOf(pair);
    share = ground.sharesOf(likeliest, inHand.said.device)[pair - ground.pairsOf[likeliest][0]];
  }
  return {
    fix,
    ...shifted(chance, share),
    onlyAuthor: ground.onlyAuthor(likeliest),
    articles,
    allowed,
    after,
  };
}

/** The chance with the interval of the share, moved by the same step in log odds. */
function shifted(chance, share) {
  if (!share) {
    return { chance, low: chance, high: chance };
  }
  const logit = (p) => {
    const inside = Math.min(Math.max(p, 1e-9), 1 - 1e-9);
    return Math.log(inside / (1 - inside));
  };
  const [middle, low, high] = share;
  const moved = (end) => 1 / (1 + Math.exp(-(logit(chance) + logit(end) - logit(middle))));
  return { chance, low: Math.min(moved(low), chance), high: Math.max(moved(high), chance) };
}
