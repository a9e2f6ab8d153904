// A fix: on one line of the list, and taken up with its steps. Cautions always stand before steps.
import { cleaned, h, tick } from "./dom.mjs";
import { tally } from "./tally.mjs";
import { chance, minutes, sentences, short, spoken } from "./words.mjs";

/** Cautions, each with the word that says what it is. */
export function cautions(list) {
  return list.length === 0 ? null : h("div", { class: "cautions", role: "note" }, list.map((text) => h("p", null, h("strong", null, "Caution. "), text)));
}

/** Who may do it. */
export function who(role) {
  return h("span", { class: "who" }, role);
}

/** One line of the list. `key` is the digit that takes it up; `titles` names what must come before. */
export function fixLine(fix, { key, first, take, titleOf }) {
  const words = [h("strong", null, fix.title)];
  const before = fix.after.map((id) => titleOf?.(id) ?? spoken(short(id)));
  return h(
    "li",
    { class: first ? "fix first" : "fix", "data-fix": fix.id },
    h(
      "div",
      { class: "line" },
      take ? tick(key, words, take) : h("span", { class: "tick still" }, h("span", { class: "box", "aria-hidden": "true" }, key ?? ""), h("span", { class: "words" }, words)),
      h("span", { class: "chance" }, fix.basis === "author" ? "" : chance(fix.chance)),
      h("span", { class: "minutes" }, minutes(fix.minutes)),
      who(fix.who),
    ),
    tally(fix),
    fix.hazards.length > 0 || before.length > 0
      ? h(
          "p",
          { class: "notes" },
          fix.hazards.length > 0 ? h("strong", { class: "hazard" }, `Hazard: ${fix.hazards.map(spoken).join(", ")}. `) : null,
          before.length > 0 ? `First: ${sentences(before)}` : null,
        )
      : null,
  );
}

/** The list, all but `without`, with the line from which handing on is cheaper, and what the role may not do last. */
export function fixList(answer, { keyOf, take, titleOf, without }) {
  const items = [];
  let beyond = false;
  answer.fixes.forEach((fix, at) => {
    if (fix.id === without) return;
    if (answer.stop && at === answer.stop.after && fix.allowed && at > 0) items.push(divider("from here on handing on costs less time"));
    if (!fix.allowed && !beyond) {
      beyond = true;
      items.push(divider("not for this call: somebody else's work"));
    }
    items.push(fixLine(fix, { key: keyOf?.(at), first: at === 0, take: take && fix.allowed ? () => take(fix) : null, titleOf }));
  });
  return h("ol", { class: "fixes" }, items);
}

function divider(words) {
  return h("li", { class: "divider" }, h("span", null, words));
}

/** A fix taken up: cautions, who, then the steps, each of which can be remarked on. */
export function shown(showing, { html, remark, link }) {
  return h(
    "div",
    { class: "shown", "data-fix": showing.id },
    h("h3", null, showing.title),
    showing.because ? h("p", { class: "because" }, `${showing.because}.`) : null,
    cautions(showing.cautions),
    h("p", { class: "effort" }, who(showing.who), ", about ", minutes(showing.minutes), link ? [", ", h("a", { href: link(showing.id) }, "read it in its article")] : null),
    showing.steps.length > 0
      ? h(
          "ol",
          { class: "steps" },
          showing.steps.map((step, at) =>
            h("li", null, h("span", null, step), remark ? h("button", { type: "button", class: "wrong", "aria-label": `Step ${at + 1} is wrong: leave a remark`, onclick: () => remark(at + 1) }, "wrong?") : null),
          ),
        )
      : html
        ? cleaned(html)
        : null,
    showing.done_when ? h("p", { class: "done-when" }, h("strong", null, "Done when: "), showing.done_when) : null,
    h("p", { class: "law" }, "Local codes and licensed practice prevail."),
  );
}
