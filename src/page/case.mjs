// A case on the sheet: what was said as a sentence, the check to ask, the tries made, the end.
import { cleaned, h, tick } from "./dom.mjs";
import { cautions } from "./fix.mjs";
import { capital, chance, minutes, sentences, spoken } from "./words.mjs";

/**
 * What was said, line after line as one running text. Each line can be struck through, and comes back the
 * same way.
 */
export function sentence(lines, strike) {
  const told = lines.filter((line) => line.kind === "said");
  return h(
    "p",
    { class: "sentence" },
    told.map((line) => {
      const words = sentences([capital(line.text)]);
      const what = line.struck ? "Put back" : "Strike through";
      return [
        strike
          ? h("button", { type: "button", class: line.struck ? "said struck" : "said", "aria-label": `${what}: ${words}`, title: what, onclick: () => strike(line) }, words)
          : h("span", { class: line.struck ? "said struck" : "said" }, words),
        " ",
      ];
    }),
  );
}

/** What was tried in this case. */
export function triesMade(lines, strike) {
  const made = lines.filter((line) => line.kind === "try");
  if (made.length === 0) return null;
  return h(
    "ul",
    { class: "made" },
    made.map((line) =>
      h("li", null, strike ? h("button", { type: "button", class: line.struck ? "said struck" : "said", title: line.struck ? "Put back" : "Strike through", onclick: () => strike(line) }, capital(line.text)) : capital(line.text)),
    ),
  );
}

/** The check to ask, each answer on one key. */
export function question(asking, { html, keyOf, answer, skip }) {
  const saves = asking.saves_minutes >= 0.5 ? `, saves ${minutes(asking.saves_minutes)}` : "";
  return [
    cautions(asking.cautions),
    h("p", { class: "question" }, asking.question),
    h(
      "div",
      { class: "answers" },
      asking.answers.map((one, at) => tick(keyOf(at), spoken(one), () => answer(one))),
      skip ? tick(keyOf(asking.answers.length), "cannot be done", skip, { class: "tick faint" }) : null,
    ),
    h("p", { class: "effort" }, h("span", { class: "who" }, asking.who), `, ${minutes(asking.minutes)}${saves}`),
    html ? h("details", null, h("summary", null, "How to find out"), cleaned(html)) : null,
  ];
}

/** Dangers that were said, perhaps not as a fact: to be made sure of first. */
export function askFirst(list, { keyOf, confirm, deny }) {
  return list.map((asked, at) =>
    h(
      "div",
      { class: "ask-first", role: "note" },
      h("p", null, h("strong", null, "Make sure first: "), asked.title, `. “${asked.why}” was said, perhaps not as a fact: is it so?`),
      confirm ? tick(keyOf(at, true), "yes, it is so", () => confirm(asked)) : null,
      deny ? tick(keyOf(at, false), "made sure: it does not apply", () => deny(asked), { "data-sure": true }) : null,
    ),
  );
}

/** Which articles it may be, likeliest first. */
export function articles(answer, link) {
  const words = answer.articles.map((one) =>
    h("li", null, one.basis === "author" ? null : h("span", { class: "chance" }, chance(one.chance)), link ? h("a", { href: link(one) }, one.title) : one.title),
  );
  if (answer.unlisted >= 0.1 && answer.fixes.length > 0) words.push(h("li", null, h("span", { class: "chance" }, chance(answer.unlisted)), "no article covers it"));
  return words.length > 0 ? h("ul", { class: "articles" }, words) : null;
}

/** A hand-over or a closed case as plain text, to be copied into another system. */
export function summary(text, copy, key) {
  return h("div", { class: "summary" }, h("pre", { tabindex: "0", "aria-label": "Summary of the case" }, text), copy ? tick(key, "copy it", copy) : null);
}
