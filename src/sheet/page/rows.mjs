// The rows of the sheet, from top to bottom. Digits: 1 to 3 take a fix up, 4 and on answer what is at
// hand, 0 ends.
import { articles, askFirst, question, sentence, summary, triesMade } from "./case.mjs";
import { h, row, tick } from "./dom.mjs";
import { fixList, shown } from "./fix.mjs";
import { heldInWords } from "./held.mjs";
import { panel } from "./panel.mjs";
import { ago, day, spoken } from "./words.mjs";

const FIXES = 3;
/** A box that ends a case: its key waits for Enter. */
const SURE = { "data-sure": true };
const fixKey = (at) => (at < FIXES ? String(at + 1) : null);
const answerKey = (at) => (at < 6 ? String(at + 4) : null);

/** The line that is written on. */
export function pen({ oninput, onenter }) {
  return h("input", {
    class: "pen",
    id: "pen",
    type: "text",
    autocomplete: "off",
    autocapitalize: "off",
    spellcheck: "true",
    enterkeyhint: "done",
    maxlength: "4000",
    "aria-describedby": "pen-hint",
    oninput,
    onkeydown: (event) => {
      if (event.key === "Enter" && !event.isComposing) onenter();
    },
  });
}

/** The printed head: whose sheet, which case, how many lie on the pile. */
export function head(now, acts) {
  const others = now.pile.filter((one) => one.id !== now.state?.case).length;
  const which = now.view === "article" || now.view === "articles" ? "Articles" : now.state?.case ? `Job sheet ${now.state.case}` : "New job sheet";
  return h(
    "header",
    { class: "head" },
    h("p", { class: "desk" }, h("a", { href: "/" }, now.desk.name)),
    h(now.view === "sheet" ? "h1" : "p", { class: "which" }, which),
    h(
      "p",
      { class: "aside" },
      h("span", { class: "date" }, day(now.desk.as_of)),
      now.view === "sheet" && now.state
        ? h("button", { type: "button", class: "plain", onclick: acts.aside }, "lay aside", others > 0 ? [` (${others}`, h("span", { class: "wide" }, " on the pile"), ")"] : null)
        : h("a", { href: now.view === "sheet" ? "/articles" : "/" }, now.view === "sheet" ? "articles" : "to the sheet"),
    ),
  );
}

/**
 * What was said, and the line for more. The row stays where it is while one writes: keyboards that compose
 * words, as on telephones, would lose them with it.
 */
export function saidRow(line) {
  const told = h("div");
  const below = h("div");
  const section = row("Said", "said-row", told, h("label", { class: "unseen", for: "pen" }, "What the caller says"), line, below);
  const fill = (now, acts) => {
    const lines = now.state?.lines ?? [];
    const begin = lines.length === 0 && line.value === "";
    // Under a danger no click takes back what was said.
    const strike = now.state?.answer?.danger.length > 0 ? null : acts.strike;
    told.replaceChildren(...(lines.length > 0 ? [sentence(lines, strike)] : []));
    below.replaceChildren(
      h("p", { class: "hint", id: "pen-hint" }, begin ? "Write what the caller says, as it comes: words, codes, lamps. Enter puts it on the sheet." : heard(now)),
      ...(now.unclear ? [h("p", { class: "unclear", role: "alert" }, `Not clear: ${now.unclear}.`)] : []),
    );
    return section;
  };
  return { section, fill };
}

function heard(now) {
  if (now.held) return heldInWords(now.held);
  if (now.sending.length > 0) return `On its way: ${now.sending.join(" ")}`;
  if (now.preview) return "Enter puts it on the sheet.";
  if (now.state?.answer?.danger.length > 0 && !now.state.closing) return "What the caller says is still written down.";
  const changed = (now.state?.changed ?? []).filter((one) => one !== "nothing to speak of");
  const told = [...(now.state?.unknown ?? []), ...(changed.length > 0 ? [`Changed: ${changed.join("; ")}`] : [])];
  return told.map((one) => `${one}.`).join(" ");
}

/** The device's front, folded to one line until it is opened. */
export function front(now, shown, acts) {
  const known = shown?.known ?? { signs: {}, codes: [] };
  const device = now.desk.devices.find((one) => one.id === known.device);
  const facts = [device?.title ?? known.device, known.firmware && `firmware ${known.firmware}`, ...known.codes, ...Object.entries(known.signs).map(([lamp, state]) => `${spoken(lamp)} ${spoken(state)}`)].filter(Boolean);
  if (now.desk.devices.length === 0) return null;
  return row(
    "Front",
    "front-row",
    tick(",", facts.length > 0 ? facts.join(", ") : "device, lamps and codes on a drawing", () => acts.toggle("frontOpen"), { "aria-expanded": String(now.frontOpen), class: "tick fold" }),
    now.frontOpen ? panel(now.desk.devices, known, acts.line) : null,
  );
}

/** Dangers to make sure of, above everything that there is to do. The first one has keys. */
export function makeSure(now, state, acts) {
  const asked = state?.answer?.ask_first ?? [];
  if (asked.length === 0) return null;
  const answers = now.preview ? {} : { confirm: (one) => acts.line(`yes ${one.id}`), deny: (one) => acts.line(`no danger ${one.id}`) };
  const keyOf = (at, yes) => (at > 0 ? null : yes ? "7" : "8");
  return row("First", "first-row", askFirst(asked, { keyOf, ...answers }), h("p", { class: "hint" }, "No other question is asked until then."));
}

/** What to do: the fix that is taken up with what may come of it, then the best fixes. */
export function todo(now, state, acts) {
  const answer = state?.answer;
  if (!answer) return null;
  const titles = new Map(answer.fixes.map((fix) => [fix.id, fix.title]));
  const list = fixList(answer, {
    keyOf: fixKey,
    take: (fix) => acts.line(fix.id),
    without: now.preview ? null : state.showing?.id,
    titleOf: (id) => titles.get(id),
  });
  const cheaper = answer.stop && answer.stop.after === 0 && answer.fixes.length > 0;
  if (state.showing && !now.preview) {
    const result = (key, words, line, more) => tick(key, words, () => acts.line(line), more);
    return [
      row(
        "Do",
        "do-row",
        shown(state.showing, { html: state.html?.text, remark: (step) => acts.remark({ step }), link: (id) => `/articles/${id}` }),
        h("div", { class: "answers" }, result("4", "fixed", "fixed", SURE), result("5", "no change", "no change"), result("6", "could not be done", "could not")),
      ),
      list.childElementCount > 0 ? row("Or", "or-row", list) : null,
    ];
  }
  return row(
    "Do",
    "do-row",
    answer.hardly_known ? h("p", { class: "ask-first", role: "note" }, answer.hardly_known) : null,
    articles(answer, (one) => `/articles/${one.id}`),
    answer.fixes.length === 0 ? h("p", null, "No fix is known for this. Say more, or hand on.") : list,
    cheaper ? h("p", { class: "cheaper" }, "Handing on now costs less time than trying any of these.") : null,
  );
}

/** Whether the check is asked because a fix was taken up that must come after it. */
export function comesFirst(state) {
  return Boolean(state?.asking) && state.asking.id !== state.answer?.next_check?.id;
}

/** What to ask next. */
export function toAsk(now, state, acts) {
  const asking = state?.asking ?? (now.preview && !state?.answer?.ask_first.length ? state?.answer?.next_check : null);
  if (!asking) return null;
  return row(
    "Ask",
    "ask-row",
    comesFirst(state) && !now.preview ? h("p", { class: "because" }, "Before the fix that was taken up:") : null,
    question(asking, {
      html: state.html?.how,
      keyOf: answerKey,
      answer: (answer) => acts.line(`${asking.id} ${answer}`),
      skip: state.asking ? () => acts.line("could not") : null,
    }),
  );
}

/** What was tried in this case. */
export function triedRow(now, acts) {
  const made = triesMade(now.state?.lines ?? [], acts.strike);
  return made ? row("Tried", "tried-row", made) : null;
}

/** The end: how, then what must still be answered. */
export function ending(now, state, acts) {
  if (!now.state || now.preview) return null;
  const of = now.state;
  const closing = of.closing;
  if (closing) {
    const article = closing.asks === "article";
    const choices = closing.choices.map((one, at) => tick(String(at + 1), one.title, () => acts.line(one.id), SURE));
    const others = article
      ? [tick("4", "no article covers it", () => acts.line("none"), SURE), tick("5", "not sure", () => acts.line("not sure"), SURE)]
      : [tick("4", "no, it is a new case", () => acts.line("no"), SURE)];
    return row(
      "End",
      "end-row",
      h("p", { class: "question" }, article ? "Which article was it?" : "This site rang before. Does this call continue that one?"),
      h("div", { class: "choices" }, choices, others),
      h("p", { class: "hint" }, tick("-", "not yet: take the ending back", acts.undo, { class: "tick faint" })),
      of.summary ? summary(of.summary) : null,
    );
  }
  if (endedBy(of.lines ?? [])) {
    return row(
      "End",
      "end-row",
      h("p", { class: "question" }, "This case has ended and is not in the ledger yet."),
      h("div", { class: "choices" }, tick("0", "close it now", () => acts.line("close"), SURE), tick("-", "not yet: take the ending back", acts.undo, { class: "tick faint" })),
    );
  }
  if (!now.ending) return row("End", "end-row", tick("0", "hand on, or close", acts.end, { class: "tick fold" }));
  return row(
    "End",
    "end-row",
    h(
      "div",
      { class: "choices" },
      tick("1", "hand on to whoever goes there", () => acts.line("hand on"), SURE),
      tick("2", "something that no article lists fixed it", () => acts.line("something else fixed it"), SURE),
      tick("3", "the caller is gone: drop it", () => acts.line("drop"), SURE),
      tick("0", "not yet", acts.end, { class: "tick faint" }),
    ),
  );
}

// A server that was killed between the last line and its ticket, or a ledger that could not be written,
// leaves a case that has ended and is not closed.
export function endedBy(lines) {
  return lines.some((line) => !line.struck && (line.kind === "end" || (line.kind === "try" && /\bfixed it\b/.test(line.text))));
}

/** A closed case: its ticket, and the summary to copy. */
export function closedSheet(now, acts) {
  const closed = now.state.closed;
  return [
    row(
      "Closed",
      "closed-row",
      h("p", { class: "stamp done" }, "Closed"),
      h("p", { class: "question" }, `${closed.ticket}: ${closed.ending}.`),
      h("p", null, "The ticket is in the ledger.", closed.article && closed.article !== "unlisted" ? [" Under ", h("a", { href: `/articles/${closed.article}` }, closed.article), "."] : "", closed.follows ? ` It continues ${closed.follows}.` : ""),
      closed.taken_out ? h("p", { class: "taken-out" }, `Taken out of what was said and noted: ${closed.taken_out}.`) : null,
      h("div", { class: "choices" }, tick("1", "next call", () => acts.visit("/")), tick("-", "open it again", acts.undo)),
    ),
    now.summary ? row("Summary", "summary-row", summary(now.summary, () => copy(now.summary), "2")) : null,
  ];
}

async function copy(text) {
  try {
    await navigator.clipboard.writeText(text);
  } catch {
    // Not every browser lets a page at the clipboard: what is selected can be copied by hand.
    getSelection().selectAllChildren(document.querySelector(".summary pre"));
    return;
  }
  const words = document.querySelector(".summary .tick .words");
  if (words) words.textContent = "copied";
}

/** Open cases, each on one digit. */
export function pile(now, acts) {
  if (now.pile.length === 0) return null;
  return row(
    "Pile",
    "pile-row",
    h(
      "ol",
      { class: "pile" },
      now.pile.map((one, at) => h("li", null, tick(at < 9 ? String(at + 1) : null, [h("span", { class: "ink" }, one.said), h("span", { class: "notes" }, ` ${one.id}, ${ago(one.minutes_ago)}`)], () => acts.visit(`/cases/${one.id}`)))),
    ),
  );
}

/** The form for a remark, where one is being left. */
export function remarkForm(now, acts) {
  if (!now.remark) return null;
  const field = h("input", { class: "pen", id: "remark", type: "text", maxlength: "500", required: true, value: now.remark.begin });
  const form = h(
    "form",
    {
      onsubmit: (event) => {
        event.preventDefault();
        if (field.value.trim()) acts.leaveRemark(field.value);
      },
    },
    h("label", { for: "remark" }, `What is wrong with “${now.remark.title ?? now.remark.article}”?`),
    field,
    h("button", { type: "submit", class: "tick" }, h("span", { class: "words" }, "leave the remark")),
    h("button", { type: "button", class: "tick faint", onclick: acts.aside }, h("span", { class: "words" }, "not now")),
  );
  return row("Remark", "remark-row", form);
}

const KEYS = [
  ["1 2 3", "take a fix up"],
  ["4 …", "answer what is asked, or say what came of the fix"],
  ["7 8", "a danger to make sure of: it is so, it does not apply"],
  ["0", "end the case"],
  ["-", "take the last line back"],
  [".", "turn the sheet: closed cases alike"],
  [",", "the device's front"],
  ["!", "a remark: this is wrong"],
  ["Esc", "lay the sheet aside; a digit brings one up from the pile"],
  ["Enter", "a digit at once; what ends a case or denies a danger only so"],
  ["space", "begin a line with a sign; a digit that is written on is text anyway"],
];

/** The keys, always to be seen; all of them on demand. */
export function keysRow(now, acts, act) {
  if (!now.keysOpen) {
    return h(
      "footer",
      { class: "keys" },
      now.state ? [tick("-", "take back", acts.undo), tick(".", "turn over", acts.turn)] : null,
      tick("?", "all keys", () => acts.toggle("keysOpen"), { "aria-expanded": "false", class: "tick" }),
      h("p", { class: "law" }, "Local codes and licensed practice prevail."),
    );
  }
  return row(
    "Keys",
    "keys-row",
    h("p", { class: "hint" }, "While the line is empty, one key each:"),
    h("dl", { class: "legend" }, KEYS.map(([key, what]) => [h("dt", null, key), h("dd", null, what)])),
    h("label", null, h("input", { type: "checkbox", checked: act, onchange: (event) => acts.keys(event.target.checked) }), " single keys act"),
    h("p", { class: "hint" }, "Lines the sheet understands besides the caller's words: ", now.desk.help.map(([say]) => say).join(" · ")),
    tick("?", "close", () => acts.toggle("keysOpen"), { "aria-expanded": "true" }),
  );
}
