// Elements as values. Text is always text, never markup.

/** An element with attributes, listeners (`onclick`) and children; null and false are left out. */
export function h(name, attributes, ...children) {
  return filled(document.createElement(name), attributes, children);
}

/** The same for a drawing. */
export function svg(name, attributes, ...children) {
  return filled(document.createElementNS("http://www.w3.org/2000/svg", name), attributes, children);
}

function filled(element, attributes, children) {
  for (const [key, value] of Object.entries(attributes ?? {})) {
    if (value === null || value === undefined || value === false) {
      continue;
    }
    if (key.startsWith("on")) {
      element.addEventListener(key.slice(2), value);
    } else {
      element.setAttribute(key, value === true ? "" : value);
    }
  }
  element.append(...children.flat(Infinity).filter((c) => c !== null && c !== undefined && c !== false));
  return element;
}

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
