// The answer as every face shows it: the twin of src/view/answer.rs and answer/stop.rs. Its form is
// that of `fixtally ask --json`; `similar` is always empty here.

const SHOWN_FROM = 0.02;
const ARTICLES = 3;

/** Draws an advice, with at most `limit` fixes. */
export function drawAnswer(advice, ground, limit) {
  const fixes = listed(advice, limit).map(([rank, ranked]) => fixLine(rank, ranked, ground));
  return {
    kb: ground.about,
    danger: advice.stops.map(danger),
    ask_first: advice.askFirst.map(({ article, words }) => ({
      id: article.id,
      title: article.title,
      why: words,
    })),
    articles: articleLines(advice, ground),
    fixes,
    next_check: advice.nextCheck && checkLine(advice.nextCheck, ground),
    stop: advice.stop && stopLine(advice, fixes, ground),
    unlisted: advice.belief.unlisted,
    similar: [],
  };
}

/** The fixes listed where there is no room for all: the likely ones of what the role may not do
 * take the places of fixes hardly worth a line, and up to half of all places, but never all. Each comes
 * with its place in the whole order. */
function listed({ fixes, stop }, limit) {
  const first = fixes.findIndex((ranked) => !ranked.allowed);
  const split = first < 0 ? fixes.length : first;
  const [own, others] = [fixes.slice(0, split), fixes.slice(split)];
  const likely = (some) => some.findLastIndex((ranked) => ranked.chance >= SHOWN_FROM) + 1;
  const used = Math.max(likely(own), stop ? stop.after : 0);
  const spare = Math.min(Math.max(limit - used, 0, Math.floor(limit / 2)), Math.max(limit - 1, 0));
  const shown = own.slice(0, limit - Math.min(spare, likely(others)));
  return [
    ...shown.map((ranked, i) => [i + 1, ranked]),
    ...others.slice(0, limit - shown.length).map((ranked, i) => [split + i + 1, ranked]),
  ];
}

/** A danger that does not stop the case is not listed: it has no fixes to offer. */
function articleLines({ articles, stops }, ground) {
  const isShown = ([number, chance]) => {
    const article = ground.articles[number];
    return chance >= SHOWN_FROM && (!article.danger || stops.some((s) => s.article === article));
  };
  return articles
    .filter(isShown)
    .slice(0, ARTICLES)
    .map(([number, chance]) => ({
      id: ground.articles[number].id,
      title: ground.articles[number].title,
      chance,
      basis: basis(ground.onlyAuthor(number)),
    }));
}

function basis(onlyAuthor) {
  return onlyAuthor ? "author" : "tickets";
}

function danger({ article, said, likely, sounds, confirmed }) {
  let why = `said: ${said}`;
  if (sounds !== undefined) {
    why = `it sounds like a danger (${rounded(sounds * 100)} %), perhaps this one`;
  } else if (confirmed) {
    why = "it is so, as was said";
  } else if (said === undefined) {
    why = `what was said fits it in ${rounded(likely * 100)} of 100 such cases`;
  }
  return { id: article.id, title: article.title, why, do_now: article.danger.do_now };
}

function fixLine(rank, ranked, ground) {
  const { fix } = ranked;
  const proof = ground.fixEvidence[fix.number];
  return {
    rank,
    id: fix.id,
    title: fix.title,
    kind: fix.kind,
    chance: ranked.chance,
    low: ranked.low,
    high: ranked.high,
    basis: basis(ranked.onlyAuthor),
    resolved: proof.resolved,
    tries: proof.tries,
    inferred: proof.inferred,
    raw_low: proof.rawLow,
    raw_high: proof.rawHigh,
    cases: ranked.articles.reduce((sum, a) => sum + ground.articleEvidence[a].cases, 0),
    minutes: proof.minutes,
    who: fix.who,
    allowed: ranked.allowed,
    hazards: fix.hazards,
    cautions: ground.cautions(fix.hazards),
    after: ranked.after,
    articles: ranked.articles.map((a) => ground.articles[a].id),
  };
}

function checkLine({ check, saves }, ground) {
  return {
    id: check.id,
    question: check.question,
    answers: check.answers,
    who: check.who,
    hazards: check.hazards,
    cautions: ground.cautions(check.hazards),
    minutes: check.minutes,
    saves_minutes: saves,
  };
}

function stopLine({ stop, fixes }, shown, { handOnMinutes }) {
  const toDo = shown.filter((fix) => fix.allowed).length;
  const n = stop.after;
  let why;
  if (n === 0) {
    why = `now. Handing on (${rounded(handOnMinutes)} min) is cheaper than trying any of these.`;
  } else {
    const these =
      n === 1 && toDo >= 1
        ? "the first fix"
        : n <= toDo
          ? `the first ${n} fixes`
          : `${n} fixes, ${toDo} of them listed here; the last is "${fixes[n - 1].fix.title}"`;
    const minutes = rounded(stop.minutes);
    why = `after ${these}; expected ${minutes} min to the end, handing on included.`;
  }
  return { after: n, minutes_expected: stop.minutes, why };
}

/** A number without decimals as Rust prints it: halves to the even side. */
function rounded(x) {
  const down = Math.floor(x);
  const up = x - down > 0.5 || (x - down === 0.5 && down % 2 === 1);
  return String(up ? down + 1 : down);
}
