// A case on site as a value: what is known, what was done, how it ended. No clock, no storage here.

/** A case that has not begun; `role` is who works here. */
export function newCase(id, now, role) {
  return {
    id, opened: now, role, words: "", device: null, firmware: "", codes: [], signs: {}, acts: [],
    end: null,
  };
}

/** Whether anything is known yet. */
export function isEmpty({ words, codes, signs, acts }) {
  return !words.trim() && !codes.length && !Object.keys(signs).length && !acts.length;
}

/** The case as the ranking is asked. */
export function asked(c) {
  const tried = done(c, "no-change");
  const couldNot = done(c, "not-possible").filter((fix) => !tried.includes(fix));
  return {
    words: c.words,
    device: c.device,
    firmware: c.firmware,
    codes: c.codes,
    signs: c.signs,
    seen: seen(c),
    tried,
    couldNot: [...couldNot.map((fix) => `fix ${fix}`), ...skipped(c).map((check) => `check ${check}`)],
    notDanger: notDanger(c),
    danger: judged(c, "confirm").map(({ article }) => article),
    since: since(c),
    role: c.role,
    by: "time",
  };
}

function done({ acts }, result) {
  return acts.filter((act) => act.kind === "try" && act.result === result).map(({ fix }) => fix);
}

/** Answers by check, as last given. */
function seen({ acts }) {
  const answers = {};
  for (const act of acts) {
    if (act.kind === "answer") {
      answers[act.check] = act.answer;
    } else if (act.kind === "skip") {
      delete answers[act.check];
    }
  }
  return answers;
}

function skipped(c) {
  const answered = seen(c);
  const skips = c.acts.filter(({ kind }) => kind === "skip").map(({ check }) => check);
  return [...new Set(skips)].filter((check) => !Object.hasOwn(answered, check));
}

function notDanger(c) {
  return judged(c, "deny").map(({ article }) => article);
}

/** The dangers of which somebody last said this: `deny` that they do not apply, `confirm` that they do. */
function judged({ acts }, kind) {
  const last = new Map();
  for (const act of acts) {
    if (act.kind === "deny" || act.kind === "confirm") {
      last.set(act.article, act);
    }
  }
  return [...last.values()].filter((act) => act.kind === kind);
}

/** What was written since each denial: it may tell the danger anew. */
function since(c) {
  return judged(c, "deny").map(({ article, words }) => [article, added(words ?? c.words, c.words)]);
}

/** The words that a text has more than it had: those between what begins and what ends alike. */
export function added(before, now) {
  const [old, words] = [before, now].map((text) => text.split(/\s+/).filter(Boolean));
  let from = 0;
  while (from < old.length && from < words.length && old[from] === words[from]) {
    from += 1;
  }
  let alike = 0;
  while (alike < Math.min(old.length, words.length) - from && old.at(-1 - alike) === words.at(-1 - alike)) {
    alike += 1;
  }
  return words.slice(from, words.length - alike).join(" ");
}

/** The case with one more thing done. A fix that ended it ends the case. */
export function act(c, what, now) {
  const acts = [...c.acts, { ...what, at: now }];
  const ends = what.kind === "try" && what.result === "resolved";
  const end = ends ? { outcome: "resolved", article: what.article, at: now } : c.end;
  return { ...c, acts, end };
}

/** The case ended without a fix: handed on or dropped. */
export function ended(c, outcome, article, note, now) {
  return { ...c, end: { outcome, article, note: note.trim(), at: now } };
}

/** The case without one of the things done; a case that ended by it goes on. */
export function without(c, at) {
  const gone = c.acts[at];
  const end = gone.kind === "try" && gone.result === "resolved" ? null : c.end;
  return { ...c, acts: c.acts.filter((_, i) => i !== at), end };
}

/** The ticket of a case that ended, in the form that `fixtally tickets export` shows. */
export function ticket(c) {
  const shown = [...c.codes, ...Object.entries(c.signs).map(([lamp, state]) => `${lamp} ${state}`)];
  const told = {
    id: c.id,
    opened: c.opened,
    closed: c.end.at,
    device: c.device,
    firmware: c.firmware.trim() || null,
    channel: "pack",
    said: c.words.trim() || shown.join(", ") || "nothing was said",
    codes: c.codes,
    signs: c.signs,
    seen: seen(c),
    article: c.end.article,
    tries: c.acts.filter(({ kind }) => kind === "try").map(({ fix, result }) => ({ fix, result })),
    outcome: c.end.outcome,
    not_danger: notDanger(c),
    notes: c.end.note || null,
  };
  return Object.fromEntries(Object.entries(told).filter(([, value]) => value !== null));
}

/** What goes back to the desk: one JSON value a line, first which pack it came from. */
export function returned(about, cases, remarks) {
  const lines = [
    { fixtally_site: 1, kb: about.name, fingerprint: about.fingerprint, as_of: about.as_of },
    ...cases.filter((c) => c.end).map((c) => ({ ticket: ticket(c) })),
    ...remarks.map((remark) => ({ remark })),
  ];
  return lines.map((line) => `${JSON.stringify(line)}\n`).join("");
}
