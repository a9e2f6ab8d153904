// An answer on the page: what to ask, what to do, in one column.

import { h } from "../../page/dom.mjs";
import { press } from "./press.mjs";
import { chance as percent, minutes, proof, spoken } from "../../page/words.mjs";

/** Dangers, until somebody on site says that they do not apply. With `lift` they cover everything. */
export function dangerView(dangers, deny, lift) {
  const dialog = lift ? { class: "danger-cover", role: "alertdialog", "aria-modal": "true" } : { class: "danger-here", role: "alert" };
  return h("div", { ...dialog, tabindex: "-1", "aria-labelledby": "stop" },
    h("p", { class: "stop", id: "stop" }, "STOP. Danger."),
    dangers.map((danger) => [
      h("h2", null, danger.title),
      h("p", { class: "why" }, danger.why),
      h("ol", { class: "now" }, danger.do_now.map((step) => h("li", null, step))),
    ]),
    h("p", { class: "law" }, "Nothing else is offered until somebody here says that it does not apply."),
    dangers.map((danger) => press(`I looked: "${danger.title}" does not apply here`, () => deny(danger))),
    lift && press("I wrote it wrongly: change the words", lift, { class: "quiet" }));
}

/** Everything else of an answer. `acts`: `reply(check, answer)`, `skip(check)`, `confirm(danger)`,
 * `deny(danger)`. */
export function answerView(answer, acts, titleOf) {
  const fixes = fixList(answer, titleOf);
  return [
    makeSure(answer, acts),
    answer.next_check && checkView(answer.next_check, acts),
    h("h2", null, !answer.fixes.length ? "No fix is known for this" : answer.next_check ? "Then try" : "Try this"),
    answer.fixes.length > 1 && h("p", { class: "hint" }, "In the order that costs least time."),
    answer.fixes.length
      ? fixes
      : h("p", null, "Say more, pick what the lamps show, or hand the case on."),
    answer.stop && h("p", { class: "hand-on" }, h("strong", null, "Hand on: "), answer.stop.why),
    answer.fixes.length > 0 && h("p", { class: "unlisted" }, `No article covers it: ${percent(answer.unlisted)}`),
    answer.articles.length > 0 && h("h2", null, "Read"),
    h("ul", { class: "read" }, answer.articles.map((article) =>
      h("li", null, h("a", { href: `#${article.id}` }, article.title), " ",
        h("span", { class: "chance" }, article.basis === "author" ? "" : percent(article.chance))))),
  ];
}

/** Dangers to make sure of, above whatever else is shown. */
export function makeSure(answer, acts) {
  return (answer?.ask_first ?? []).map((asked) => askFirst(asked, acts));
}

function askFirst(asked, acts) {
  return h("section", { class: "ask-first", "data-danger": asked.id },
    h("h2", null, "Make sure first"),
    h("p", null, `${asked.title}: you said "${asked.why}", perhaps not as a fact. Is it so?`),
    press("Yes, it is so", () => acts.confirm(asked)),
    press("I looked: it does not apply", () => acts.deny(asked)));
}

/** A check with its answers to press. */
export function checkView(check, acts) {
  const saves = check.saves_minutes ? `; saves about ${minutes(check.saves_minutes)}` : "";
  return h("section", { class: "check", "data-check": check.id },
    h("h2", null, "Look first"),
    h("p", { class: "question" }, check.question),
    check.cautions.map(caution),
    h("p", { class: "facts" },
      `${minutes(check.minutes)}, ${check.who}${saves}. `,
      h("a", { href: `#${check.id.replace("#", "--")}` }, "How to look")),
    h("div", { class: "answers" },
      check.answers.map((answer) => press(spoken(answer), () => acts.reply(check, answer))),
      press("cannot look", () => acts.skip(check), { class: "quiet" })));
}

export function caution(text) {
  return h("p", { class: "caution" }, h("strong", null, "Caution. "), text);
}

function fixList(answer, titleOf) {
  const items = [];
  let beyond = false;
  answer.fixes.forEach((fix, at) => {
    if (answer.stop && at === answer.stop.after && fix.allowed && at > 0) {
      items.push(h("li", { class: "divider" }, "from here handing on is cheaper"));
    }
    if (!fix.allowed && !beyond) {
      beyond = true;
      items.push(h("li", { class: "divider" }, "not your work"));
    }
    items.push(fixLine(fix, at, titleOf));
  });
  return h("ol", { class: "fixes" }, items);
}

function fixLine(fix, at, titleOf) {
  const notes = [proof(fix), minutes(fix.minutes), fix.who];
  const before = fix.after.map(titleOf).filter(Boolean);
  return h("li", { class: at === 0 ? "fix first" : "fix", "data-fix": fix.id },
    h("a", { href: `#work=${fix.id}` },
      h("span", { class: "rank" }, `${fix.rank}`),
      h("span", { class: "title" }, fix.title),
      h("span", { class: "chance" }, fix.basis === "author" ? "" : percent(fix.chance))),
    h("p", { class: "notes" }, notes.join(" · ")),
    fix.hazards.length > 0 && h("p", { class: "hazard" }, `Hazard: ${fix.hazards.map(spoken).join(", ")}`),
    before.length > 0 && h("p", { class: "notes" }, `First: ${before.join("; ")}`));
}
