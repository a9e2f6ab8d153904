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

/** Multiplies by how well each candidate explains an answer; unknown checks change nothing. */
function weighAnswer(belief, id, answer, ground) {
  const check = ground.checkOf(id);
  if (!check) {
    return;
  }
  const likely = explained(belief.pairs, check, ground)(answer);
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

/** How likely each candidate makes an answer to a check: a function of the answer. */
export function explained(pairs, check, ground) {
  const known = [];
  pairs.forEach((pair, i) => {
    const { article, fix } = ground.pairs[pair];
    if (ground.articles[article].checkSet.has(check.number)) {
      const found = ground.checkEvidence[check.number].ended.get(article);
      const answers = fix === null ? found?.other : found?.fixes.get(fix);
      const expected = fix === null ? undefined : ground.expected(fix, check.id);
      known.push({ i, answers, expected });
    }
  });
  const count = check.answers.length;
  return (answer) => {
    const common = usual(check, answer, ground);
    const likely = new Float64Array(pairs.length).fill(common);
    for (const { i, answers, expected } of known) {
      const times = answers?.times.get(answer) ?? 0;
      const total = answers?.total ?? 0;
      const says = expected === answer ? EXPECT : 0;
      const speaks = expected === undefined ? 0 : EXPECT;
      likely[i] = (times + says + count * common) / (total + speaks + count);
    }
    return likely;
  };
}
