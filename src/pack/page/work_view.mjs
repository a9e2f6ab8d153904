// A fix in work: cautions first, then one step at a time in large letters.

import { caution, checkView, makeSure } from "./answer_view.mjs";
import { h } from "../../page/dom.mjs";
import { press } from "./press.mjs";
import { minutes, spoken } from "../../page/words.mjs";

/**
 * Draws a fix. `answer` holds the dangers that are to be made sure of first; `written` is what the article says of it: `{ lead, steps, tail }` as elements, or null
 * where this role may not see it. `at` is the step in hand; `acts`: `go(step)`, `told(result)`,
 * `confirm(danger)`, `deny(danger)`,
 * `remark(step, text)`.
 */
export function workView({ answer, fix, allowed, cautions, before }, written, at, acts) {
  return [
    makeSure(answer, acts),
    h("h2", { class: "fix-title", tabindex: "-1" }, fix.title),
    h("p", { class: "facts" },
      `${minutes(fix.minutes)}, work for: ${fix.who}`,
      fix.hazards.length > 0 && h("strong", { class: "hazard" }, ` · Hazard: ${fix.hazards.map(spoken).join(", ")}`)),
    cautions.map(caution),
    allowed ? workable(written, before, at, acts) : notYours(fix, acts),
  ];
}

function notYours(fix, acts) {
  return [
    h("p", { class: "not-yours" }, `This is work for: ${fix.who}. Hand it on.`),
    h("details", null,
      h("summary", null, "Somebody who may did it"),
      h("div", { class: "told" },
        press("It works now", () => acts.told("resolved")),
        press("No change", () => acts.told("no-change")))),
  ];
}

/** What must be done before the fix: the first thing of it. */
function first({ check, allowed, words, href }, acts) {
  if (!check) {
    return h("p", { class: "before" }, "First: ", h("a", { href }, words));
  }
  return allowed
    ? checkView(check, acts)
    : h("p", { class: "not-yours" }, `First: ${check.question} This is work for: ${check.who}.`);
}

function workable(written, before, at, acts) {
  if (before.length) {
    return first(before[0], acts);
  }
  if (!written) {
    return h("p", null, "Its steps are not in this pack.");
  }
  const { lead, steps, tail } = written;
  const last = at >= steps.length;
  return [
    at === 0 && lead,
    !last && stepView(steps, at, acts),
    last && [
      h("h3", null, "All steps are done"),
      tail,
      h("div", { class: "told" },
        press("It works now", () => acts.told("resolved"), { class: "good" }),
        press("No change", () => acts.told("no-change")),
        steps.length > 0 && press("Back one step", () => acts.go(steps.length - 1), { class: "quiet" })),
    ],
    h("div", { class: "aside" },
      press("It cannot be done here", () => acts.told("not-possible"), { class: "quiet" }),
      remarkForm(last ? null : at + 1, acts)),
  ];
}

function stepView(steps, at, acts) {
  return [
    h("p", { class: "count" }, `Step ${at + 1} of ${steps.length}`),
    h("div", { class: "step", tabindex: "-1" }, steps[at].cloneNode(true)),
    h("div", { class: "told" },
      press(at + 1 < steps.length ? "Done, next" : "Done", () => acts.go(at + 1), { class: "good" }),
      at > 0 && press("Back one step", () => acts.go(at - 1), { class: "quiet" })),
  ];
}

function remarkForm(step, acts) {
  const field = h("textarea", { rows: "2", "aria-label": "What is wrong?" });
  return h("details", null,
    h("summary", null, step ? `Step ${step} is wrong or missing something` : "Something is wrong here"),
    field,
    press("Keep this remark", () => field.value.trim() && acts.remark(step, field.value.trim())));
}
