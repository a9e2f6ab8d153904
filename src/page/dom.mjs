// Elements as values: `h("p", { class: "said" }, "words")`. Text is always text, never markup.

/** An element with attributes, listeners (`onclick`) and children; `null` and `false` are left out. */
export function h(name, attributes, ...children) {
  return filled(document.createElement(name), attributes, children);
}

/** The same for a drawing. */
export function svg(name, attributes, ...children) {
  return filled(document.createElementNS("http://www.w3.org/2000/svg", name), attributes, children);
}

function filled(element, attributes, children) {
  for (const [key, value] of Object.entries(attributes ?? {})) {
    if (value === null || value === undefined || value === false) continue;
    if (key.startsWith("on")) element.addEventListener(key.slice(2), value);
    else element.setAttribute(key, value === true ? "" : String(value));
  }
  element.append(...children.flat(Infinity).filter((child) => child !== null && child !== undefined && child !== false));
  return element;
}

/**
 * Fills a place with these, but leaves each child, and each item of a numbered list, that looks the same: what
 * does not change is not laid out again. What looks the same must do the same.
 */
export function renew(place, wanted) {
  const old = [...place.childNodes];
  wanted.forEach((node, at) => {
    const there = old[at];
    if (!there) place.append(node);
    else if (there.tagName === "OL" && node.tagName === "OL") renew(there, [...node.childNodes]);
    else if (!there.isEqualNode(node)) there.replaceWith(node);
  });
  old.slice(wanted.length).forEach((node) => node.remove());
}

/** A block of HTML that the server or the pack's maker has already cleaned. */
export function cleaned(html) {
  const block = h("div", { class: "text" });
  block.innerHTML = html;
  return block;
}

/** One row of the sheet: a printed label in the margin, and what is filled in beside it. */
export function row(label, name, ...content) {
  const id = `row-${name}`;
  return h("section", { class: `row ${name}`, "aria-labelledby": id }, h("h2", { id }, label), h("div", { class: "fill" }, content));
}

/** A box to tick with the key that ticks it, and the words beside it. */
export function tick(key, words, act, more) {
  return h(
    "button",
    { type: "button", class: "tick", "data-key": key, "aria-keyshortcuts": key, onclick: act, ...more },
    h("span", { class: "box", "aria-hidden": "true" }, key ?? ""),
    h("span", { class: "words" }, words),
  );
}
