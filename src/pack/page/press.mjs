// What a thumb presses.

import { h } from "../../page/dom.mjs";

/** A large thing to press. */
export function press(words, act, more) {
  return h("button", { type: "button", onclick: act, ...more }, words);
}

/** A listed choice of which one holds; `pick` takes its value. */
export function choice(name, legend, options, chosen, pick) {
  const row = ([value, words]) =>
    h("label", null,
      h("input", { type: "radio", name, value, checked: value === chosen, onchange: () => pick(value) }),
      h("span", null, words));
  return h("fieldset", { class: "choice" }, h("legend", null, legend), options.map(row));
}
