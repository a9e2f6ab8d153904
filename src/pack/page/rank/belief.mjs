// What is believed after tries and answers: the twin of src/call/belief.rs.

const EXPECT = 3;

/** The chances less what was tried, times what was seen. `tried` is a set, `seen` check to answer. */
export function believe(chances, tried, seen, ground) {
  const belief = {
    pairs: chances.pairs,
    chance: chances.pairs.map((pair, i) => {
      const { fix } = ground.pairs[pair];
      return fix !== null && tried.has(ground.fixes[fix].id) ? 0 : chances.chance[i];
    }),
    unlisted: chances.unlisted,
  };
  for (const check of Object.keys(seen).sort()) {
    weighAnswer(belief, check, seen[check], ground);
  }
  return normalised(belief);
}

/** The belief after one more answer. */
export function afterAnswer(belief, check, answer, ground) {
  const next = { ...belief, chance: [...belief.chance] };
  weighAnswer(next, check, answer, ground);
  return normalised(next);
}

/** Multiplies by how well each candidate explains an answer; unknown checks change nothing. */
function weighAnswer(belief, id, answer, ground) {
  const check = ground.checkOf(id);
  if (!check) {
    return;
  }
  const likely = likelihoods(belief.pairs, check, answer, ground);
  belief.chance = belief.chance.map((chance, i) => chance * likely[i]);
  belief.unlisted *= usual(check, answer, ground);
}

function normalised(belief) {
  const sum = belief.chance.reduce((total, chance) => total + chance, 0) + belief.unlisted;
  if (sum > 0) {
    belief.chance = belief.chance.map((chance) => chance / sum);
    belief.unlisted /= sum;
  } else {
    belief.unlisted = 1;
  }
  return belief;
}

/** The chance of each fix over all articles that share it, by number; only those above zero. */
export function byFix({ pairs, chance }, ground) {
  const chances = new Map();
  pairs.forEach((pair, i) => {
    const { fix } = ground.pairs[pair];
    if (fix !== null && chance[i] > 0) {
      chances.set(fix, (chances.get(fix) ?? 0) + chance[i]);
    }
  });
  return chances;
}

/** The chance of each article, by number. */
export function byArticle({ pairs, chance }, ground) {
  const chances = new Map();
  pairs.forEach((pair, i) => {
    const { article } = ground.pairs[pair];
    chances.set(article, (chances.get(article) ?? 0) + chance[i]);
  });
  return chances;
}

/** How usual an answer is over all cases that saw the check. */
export function usual(check, answer, ground) {
  const { seen, total } = ground.checkEvidence[check.number];
  return ((seen.get(answer) ?? 0) + 1) / (total + check.answers.length);
}

/** How likely each candidate makes an answer. */
export function likelihoods(pairs, check, answer, ground) {
  const common = usual(check, answer, ground);
  return pairs.map((pair) => {
    const { article, fix } = ground.pairs[pair];
    if (!ground.articles[article].checkSet.has(check.number)) {
      return common;
    }
    const expected = fix === null ? undefined : ground.expected(fix, check.id);
    const found = ground.checkEvidence[check.number].ended.get(article);
    const answers = fix === null ? found?.other : found?.fixes.get(fix);
    const times = answers?.times.get(answer) ?? 0;
    const total = answers?.total ?? 0;
    const says = expected === answer ? EXPECT : 0;
    const speaks = expected === undefined ? 0 : EXPECT;
    return (
      (times + says + check.answers.length * common) / (total + speaks + check.answers.length)
    );
  });
}
